"""The wheel, built from the sdist, holds the program, the schema, the font, no stray file."""

import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


def tracked(*folders: str) -> set[str]:
    done = subprocess.run(
        ["git", "ls-files", *folders], cwd=ROOT, check=True, capture_output=True, text=True
    )
    return set(done.stdout.split("\n")) - {""}


def test_wheel_built_from_sdist_holds_exactly_the_tracked_files(tmp_path: Path) -> None:
    subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--outdir", tmp_path, ROOT],
        check=True,
        capture_output=True,
    )
    (wheel,) = tmp_path.glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    packed = {name for name in names if ".dist-info/" not in name}
    expected = tracked("author") | {
        name.replace("schema/", "author/_schema/", 1) for name in tracked("schema")
    }
    assert packed == expected
    assert "author/resources/fonts/DejaVuSans.ttf" in packed
    assert "author/_schema/procedure.v1.schema.json" in packed
    licences = {Path(name).name for name in names if "/licenses/" in name}
    assert {"LICENSE", "LICENSE-DejaVu.txt"} <= licences


def test_installed_package_works_outside_a_checkout(tmp_path: Path) -> None:
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", tmp_path, ROOT],
        check=True,
        capture_output=True,
    )
    (wheel,) = tmp_path.glob("*.whl")
    place = tmp_path / "installed"
    zipfile.ZipFile(wheel).extractall(place)
    code = (
        "import sys; sys.path.insert(0, sys.argv[1]);"
        "from author.checks import all_rules; from author.procedure.units import find_unit;"
        "from author.resources import schema_folder; print(schema_folder());"
        "assert all_rules() and find_unit('Nm');"
        "from author.cli.running import run; sys.exit(run(['demo']))"
    )
    done = subprocess.run(
        [sys.executable, "-I", "-c", code, place],
        cwd=tmp_path,
        check=False,
        capture_output=True,
        text=True,
    )
    assert str(place / "author" / "_schema") in done.stdout
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "Run it in a checkout" in done.stderr
