"""A small rotating log of runs that failed, for a report to whoever mends the program."""

from __future__ import annotations

import contextlib
import logging
import os
from collections.abc import Sequence
from logging.handlers import RotatingFileHandler
from pathlib import Path

from platformdirs import user_log_path

LOG_FILE = "reelwright.log"
_MOST_BYTES = 256 * 1024
_OLD_FILES = 2


def log_folder() -> Path:
    """Return the folder of the log: ``REELWRIGHT_LOG`` if set, else the user's own."""
    named = os.environ.get("REELWRIGHT_LOG")
    return Path(named) if named else user_log_path("reelwright", appauthor=False)


class _Quiet(RotatingFileHandler):
    """Says nothing where it cannot write: on a full disk that is told already."""

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802
        """Leave it at that."""


def note_failure(error: BaseException, arguments: Sequence[str]) -> None:
    """Write a failed run into the log; a log that cannot be written is no reason to fail."""
    with contextlib.suppress(OSError):
        log_folder().mkdir(parents=True, exist_ok=True)
        handler = _Quiet(
            log_folder() / LOG_FILE,
            maxBytes=_MOST_BYTES,
            backupCount=_OLD_FILES,
            encoding="utf-8",
            errors="backslashreplace",
        )
        handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
        record = logging.LogRecord(
            "reelwright",
            logging.ERROR,
            __file__,
            0,
            "reelwright %s failed",
            (" ".join(arguments),),
            (type(error), error, error.__traceback__),
        )
        try:
            handler.emit(record)
        finally:
            handler.close()
