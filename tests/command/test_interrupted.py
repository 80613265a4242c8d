"""Publishing that is stopped or killed leaves the old output or the new, never a mixture."""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import time
from pathlib import Path

import pytest

from .conftest import COMMAND, Run
from .test_commands import content
from .warm_command import WarmCommand


def test_stopped_by_the_user_leaves_nothing(
    written: Path, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    with subprocess.Popen(
        [COMMAND, "publish", written, "--to", "out"],
        cwd=tmp_path,
        # A cache of its own: clips that are kept from another test are not cut.
        env={**os.environ, "REELWRIGHT_CACHE": str(tmp_path_factory.mktemp("cache"))},
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
    run: Run, warm: WarmCommand | None, written: Path, out: Path, tmp_path: Path
) -> None:
    """As a user would lose power: no warning, at any moment; the fault at each write and
    rename is in tests/test_storage.py."""
    file = written / "procedure.yaml"
    file.write_text(file.read_text().replace("Belt change", "New belt"))
    began = time.monotonic()
    assert run("publish", written, "--to", "new").code == 0
    seconds = time.monotonic() - began
    reference = content(out), content(tmp_path / "new")
    told = tmp_path / "told"
    told.mkdir()
    chance = random.Random(10)
    for case in range(10):
        target = tmp_path / f"case-{case}" / "out"
        shutil.copytree(out, target)
        moment = chance.uniform(0.02, seconds)
        kill_after(moment, ["publish", str(written), "--to", str(target)], warm, told)
        assert any(content(target) == one for one in reference)
    assert run("publish", written, "--to", target).code == 0
    assert content(target) == reference[1]
    assert [p.name for p in target.parent.iterdir()] == ["out"]


def kill_after(seconds: float, call: list[str], warm: WarmCommand | None, told: Path) -> None:
    """Run the command and kill it; nobody hears the signal that does it."""
    if warm is not None:
        warm.run(call, told, told, most=seconds)
        return
    running = subprocess.Popen(
        [COMMAND, *call], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    time.sleep(seconds)
    running.kill()
    running.wait()
