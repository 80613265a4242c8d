"""The house stands: imports point one way, and a light core stays light."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
HEAVY = {
    "av", "cv2", "numpy", "ffmpeg", "imageio_ffmpeg", "typst", "pikepdf", "jinja2", "chardet",
    "PyQt6", "rich",
}  # fmt: skip


def loaded_by(code: str) -> set[str]:
    """Return the top-level modules a fresh interpreter has loaded after running code."""
    program = f"{code}\nimport json, sys\nprint(json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, check=True, capture_output=True, text=True
    )
    return {name.split(".")[0] for name in json.loads(done.stdout.splitlines()[-1])}


def test_import_contracts_hold() -> None:
    tool = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run([tool], cwd=ROOT, check=False, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout


@pytest.mark.parametrize(
    "code",
    [
        "import author.procedure.document, author.checks, author.contract, author.editing",
        "import author.cli",
        "from author.cli.running import run; run(['--help'])",
    ],
)
def test_nothing_heavy_is_loaded(code: str) -> None:
    assert not loaded_by(code) & HEAVY


def test_help_loads_no_document() -> None:
    loaded = loaded_by("from author.cli.running import run; run(['--help'])")
    assert "pydantic" not in loaded
    assert "yaml" not in loaded


def test_top_level_holds_what_the_design_says() -> None:
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, check=True, capture_output=True, text=True
    ).stdout.split("\n")
    tops = {name.split("/")[0] for name in listed if name and not name.startswith(".")}
    assert tops == {
        "LICENSE", "README.md", "DEVELOPERS.md", "pyproject.toml",
        "author", "schema", "tests", "sample_media", "exports",
    }  # fmt: skip


def test_the_house_is_told_as_it_stands() -> None:
    """Every folder of the program and of its tests is named in DEVELOPERS, and no other."""
    told = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("```")[1]
    packages = {
        path.name for path in (ROOT / "author").iterdir() if (path / "__init__.py").exists()
    }
    assert set(re.findall(r"^  (\w+)/ ", told, re.MULTILINE)) == packages
    tests = told[told.index("\ntests/") : told.index("\nsample_media/")]
    folders = {path.name for path in (ROOT / "tests").iterdir() if any(path.glob("*.py"))}
    named = re.findall(r"\w+(?=[,:]| of)|(?<=library/)\w+", tests)
    assert folders <= set(named)
