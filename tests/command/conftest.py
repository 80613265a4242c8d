"""The command as a user runs it, and small films and procedures to run it on."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from recording import films

from .warm_command import WarmCommand

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
def started(tmp_path: Path) -> Run:
    """Start the command anew in the test's own folder, as a user does."""

    def call(*arguments: str | Path) -> Done:
        done = subprocess.run(
            [COMMAND, *arguments], cwd=tmp_path, check=False, capture_output=True, text=True
        )
        return Done(done.returncode, done.stdout, done.stderr)

    return call


@pytest.fixture(scope="session")
def warm() -> Iterator[WarmCommand | None]:
    """The command with the program loaded; none where a process cannot be forked."""
    if not hasattr(os, "fork"):
        yield None
        return
    with WarmCommand() as command:
        yield command


@pytest.fixture
def run(
    started: Run,
    warm: WarmCommand | None,
    tmp_path: Path,
    tmp_path_factory: pytest.TempPathFactory,
) -> Run:
    """Run the command in the test's own folder, in a process that has the program loaded."""
    if warm is None:
        return started
    told = tmp_path_factory.mktemp("told")

    def call(*arguments: str | Path) -> Done:
        done = warm.run(list(map(str, arguments)), tmp_path, told)
        return Done(done.code, done.out, done.err)

    return call


@pytest.fixture(scope="session")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A film of 90 frames that carry their number, three seconds long."""
    folder = tmp_path_factory.mktemp("film")
    options = {"g": "60", "bf": "3", "preset": "veryfast", "crf": "18"}
    return films.make(
        folder / "belt change.mp4", films.steady(90, 1000), size=(192, 128), options=options
    )


@pytest.fixture(scope="session")
def made(film: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A procedure folder as ``new`` makes it; only to be copied."""
    folder = tmp_path_factory.mktemp("made")
    call = [COMMAND, "new", "belt-change", "--recording", film]
    subprocess.run(call, cwd=folder, check=True, capture_output=True)
    return folder / "belt-change"


def write_all(procedure: Path) -> Path:
    """Write every place that ``new`` leaves open."""
    file = procedure / "procedure.yaml"
    file.write_text(file.read_text().replace("(to be written) ", "Demo: "))
    return procedure


@pytest.fixture(scope="session")
def made_outputs(made: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """All outputs of the procedure with every place written; only to be copied."""
    folder = tmp_path_factory.mktemp("outputs")
    written = write_all(Path(shutil.copytree(made, folder / "belt-change")))
    call = [COMMAND, "publish", written, "--to", "out"]
    subprocess.run(call, cwd=folder, check=True, capture_output=True)
    return folder / "out"


@pytest.fixture
def procedure(made: Path, tmp_path: Path) -> Path:
    """A procedure folder as ``new`` makes it."""
    return Path(shutil.copytree(made, tmp_path / "belt-change"))


@pytest.fixture
def written(procedure: Path) -> Path:
    """The same with every place written that ``new`` leaves open."""
    return write_all(procedure)


@pytest.fixture
def out(written: Path, made_outputs: Path, tmp_path: Path) -> Path:
    """The folder ``out``, where everything of it was published."""
    return Path(shutil.copytree(made_outputs, tmp_path / "out"))
