"""Runs that are killed at a step of the file system."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterable
from pathlib import Path
from types import ModuleType


def killed(seams: Iterable[ModuleType], job: Callable[[], object], fatal: int) -> bool:
    """Run a job in a child that kills itself at a step; return whether it got through.

    Args:
        seams: the modules that tell of their steps.
        job: what to run.
        fatal: which step is the last, from 1.
    """
    child = os.fork()
    if child == 0:
        left = fatal

        def killer(_what: str, _path: Path) -> None:
            nonlocal left
            left -= 1
            if not left:
                os.kill(os.getpid(), signal.SIGKILL)

        try:
            for module in seams:
                module.before_step = killer  # type: ignore[attr-defined]
            job()
        finally:
            os._exit(0)
    _, status = os.waitpid(child, 0)
    return os.WIFEXITED(status)
