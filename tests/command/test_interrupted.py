"""Publishing that is stopped or killed leaves the old output or the new, never a mixture."""

from __future__ import annotations

import random
import shutil
import subprocess
import time
from pathlib import Path

from .conftest import COMMAND, Run
from .test_commands import content


def test_stopped_by_the_user_leaves_nothing(written: Path, tmp_path: Path) -> None:
    with subprocess.Popen(
        [COMMAND, "publish", written, "--to", "out"],
        cwd=tmp_path,
        stderr=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as running:
        assert running.stderr is not None
        for line in running.stderr:
            if "cutting" in line:
                running.terminate()
                break
        _, rest = running.communicate(timeout=60)
    assert running.returncode == 3
    assert "stopped on request" in rest
    assert [p.name for p in tmp_path.iterdir()] == ["belt-change"]


def test_killed_at_ten_random_moments_leaves_the_old_or_the_new(
    run: Run, written: Path, tmp_path: Path
) -> None:
    """As a user would lose power: no warning, at any moment; the fault at each write and
    rename is in tests/test_storage.py."""
    file = written / "procedure.yaml"
    texts = {"old": file.read_text(), "new": file.read_text().replace("Belt change", "New belt")}
    reference, seconds = {}, 0.0
    for name, text in texts.items():
        file.write_text(text)
        began = time.monotonic()
        assert run("publish", written, "--to", name).code == 0
        seconds = time.monotonic() - began
        reference[name] = content(tmp_path / name)
    chance = random.Random(10)
    for case in range(10):
        target = tmp_path / f"case-{case}" / "out"
        shutil.copytree(tmp_path / "old", target)
        running = subprocess.Popen(
            [COMMAND, "publish", written, "--to", target],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        time.sleep(chance.uniform(0.1, seconds))
        running.kill()
        running.wait()
        assert content(target) in (reference["old"], reference["new"])
    assert run("publish", written, "--to", target).code == 0
    assert content(target) == reference["new"]
    assert [p.name for p in target.parent.iterdir()] == ["out"]
