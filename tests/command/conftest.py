"""The command as a user runs it, and small films and procedures to run it on."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from recording import films

COMMAND = Path(sys.executable).with_name("reelwright")


@dataclass(frozen=True)
class Done:
    """What a run of the command left."""

    code: int
    out: str
    err: str

    @property
    def problem(self) -> str:
        """The one line that says what went wrong; progress lines are indented."""
        lines = [line for line in self.err.splitlines() if not line.startswith("  ")]
        assert len(lines) == 1, self.err
        assert "Traceback" not in self.err
        return lines[0]


Run = Callable[..., Done]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """Run the command in the test's own folder."""

    def call(*arguments: str | Path) -> Done:
        done = subprocess.run(
            [COMMAND, *arguments], cwd=tmp_path, check=False, capture_output=True, text=True
        )
        return Done(done.returncode, done.stdout, done.stderr)

    return call


@pytest.fixture(scope="session")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A film of 90 frames that carry their number, three seconds long."""
    folder = tmp_path_factory.mktemp("film")
    options = {"g": "60", "bf": "3", "preset": "veryfast", "crf": "18"}
    return films.make(
        folder / "belt change.mp4", films.steady(90, 1000), size=(192, 128), options=options
    )


@pytest.fixture
def written(procedure: Path) -> Path:
    """The same with every place written that ``new`` leaves open."""
    file = procedure / "procedure.yaml"
    file.write_text(file.read_text().replace("(to be written) ", "Demo: "))
    return procedure


@pytest.fixture
def procedure(run: Run, film: Path, tmp_path: Path) -> Path:
    """A procedure folder as ``new`` makes it."""
    done = run("new", "belt-change", "--recording", film)
    assert done.code == 0, done.err
    return tmp_path / "belt-change"
