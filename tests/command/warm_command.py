"""The command in a process of its own that need not load the program first.

``WarmCommand`` starts this file once. It loads what the commands load and then, for each
call, forks: the child takes the call's folder, surroundings and outputs, and is the command
from there on, as if it had just been started. Tests of the start itself start it anew.
"""

from __future__ import annotations

import gc
import json
import os
import signal
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

from author.cli import main
from author.cli.running import COMMANDS

# What commands load, also only when they come to it. Qt is not among them: it starts threads.
EVERYTHING = (
    *(f"cli.{name}" for name in sorted({name for name, _ in COMMANDS.values()})),
    *("contract", "checks", "publish.pdf", "publish.page", "publish.order_sheet"),
    *("publish.record_sheet", "publish.annotations", "publish.captions", "publish.drawing"),
    *("recording.describing", "recording.reader", "recording.stills", "recording.clips"),
    *("recording.analyses", "recording.best_still", "recording.chapters", "recording.together"),
)


@dataclass(frozen=True)
class Done:
    """What a run of the command left: exit code, outputs, and its peak of memory in MB."""

    code: int
    out: str
    err: str
    peak: int


class WarmCommand:
    """Runs commands one after another. Use it as a context manager.

    Args:
        modules: names below ``author`` of what is loaded beforehand.
    """

    def __init__(self, modules: Sequence[str] = EVERYTHING) -> None:
        self._modules = modules

    def __enter__(self) -> WarmCommand:
        self._mother = subprocess.Popen(
            [sys.executable, __file__, *self._modules],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            encoding="utf-8",
        )
        return self

    def __exit__(self, *_: object) -> None:
        assert self._mother.stdin
        assert self._mother.stdout
        self._mother.stdin.close()
        self._mother.wait(timeout=60)
        self._mother.stdout.close()

    def run(self, arguments: Sequence[str], folder: Path, told: Path, most: float = 0) -> Done:
        """Run a command to its end.

        Args:
            arguments: of the command.
            folder: where it runs.
            told: folder for the files that take its output and errors.
            most: seconds after which it is killed; 0 for never.
        """
        files = [told / "out", told / "err"]
        for file in files:
            file.write_bytes(b"")
        assert self._mother.stdin
        assert self._mother.stdout
        call = {
            "arguments": list(arguments),
            "folder": str(folder),
            "files": [os.devnull, *map(str, files)],
            "most": most,
            "surroundings": dict(os.environ),
        }
        self._mother.stdin.write(json.dumps(call) + "\n")
        self._mother.stdin.flush()
        code, peak = json.loads(self._mother.stdout.readline())
        out, err = (file.read_text() for file in files)
        return Done(code, out, err, peak)


def next_call() -> dict[str, Any]:
    """Wait for calls; return in the child that is to carry one out."""
    while line := sys.stdin.buffer.readline():
        child = os.fork()
        if child == 0:
            call: dict[str, Any] = json.loads(line)
            return call
        _, status, used = os.wait4(child, 0)
        unit = 1024 * 1024 if sys.platform == "darwin" else 1024
        answer = [os.waitstatus_to_exitcode(status), used.ru_maxrss // unit]
        sys.stdout.write(f"{answer}\n")
        sys.stdout.flush()
    os._exit(0)


def become(call: dict[str, Any]) -> None:
    """Take the folder, the surroundings, the arguments and the outputs of a call."""
    os.chdir(call["folder"])
    os.environ.clear()
    os.environ.update(call["surroundings"])
    for number, name in enumerate(call["files"]):
        file = os.open(name, os.O_RDONLY if number == 0 else os.O_WRONLY)
        os.dup2(file, number)
        os.close(file)
    sys.argv[:] = ["reelwright", *call["arguments"]]
    signal.setitimer(signal.ITIMER_REAL, call["most"])


if __name__ == "__main__":
    for module in sys.argv[1:]:
        import_module(f"author.{module}")
    gc.collect()
    gc.freeze()
    become(next_call())
    main()
