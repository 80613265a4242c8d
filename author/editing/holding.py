"""One window at a time changes a procedure: the lock, and who holds it."""

from __future__ import annotations

import contextlib
import getpass
import json
import os
import socket
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path

from filelock import FileLock, Timeout

from author.editing.journal_file import journal_path


@dataclass(frozen=True, slots=True)
class Holder:
    """Who has a procedure open.

    Attributes:
        user: name on that machine.
        host: the machine.
        process: number of the program there.
        since: when it was opened.
    """

    user: str
    host: str
    process: int
    since: str

    def __str__(self) -> str:
        """Return who it is in words."""
        return f"{self.user} on {self.host} (program {self.process}, since {self.since})"


class Hold:
    """The lock on one procedure file; held by one program of this user at a time.

    It is advisory and known to this machine alone: a change from elsewhere is noticed by the
    bytes of the file.

    Attributes:
        other: who holds it, if another does.
    """

    def __init__(self, file: Path) -> None:
        place = journal_path(file)
        self._note = place.with_suffix(".holder")
        # Taken by the worker that opens, let go by the window.
        self._lock = FileLock(place.with_suffix(".lock"), thread_local=False)
        self.other: Holder | None = None

    def take(self) -> bool:
        """Take the lock; False, and ``other`` says who, if another holds it.

        Where no lock can be had, since its folder cannot be written, nobody is kept out.
        """
        try:
            self._note.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            self._lock.acquire(timeout=0)
        except Timeout:
            self.other = self._read()
            return False
        except OSError:
            return True
        self.other = None
        me = Holder(user_name() or "somebody", socket.gethostname(), os.getpid(), _now())
        with contextlib.suppress(OSError):
            self._note.write_text(json.dumps(asdict(me)), encoding="utf-8")
        return True

    def release(self) -> None:
        """Let the lock go."""
        if self._lock.is_locked:
            with contextlib.suppress(OSError):
                self._note.unlink(missing_ok=True)
            self._lock.release()

    def _read(self) -> Holder:
        try:
            plain = json.loads(self._note.read_text(encoding="utf-8"))
            return Holder(
                str(plain["user"])[:80],
                str(plain["host"])[:80],
                int(plain["process"]),
                str(plain["since"])[:40],
            )
        except (OSError, ValueError, KeyError, TypeError):
            return Holder("somebody", "this machine", 0, "a moment ago")


def user_name() -> str | None:
    """Return what the machine calls who works at it; None if it cannot tell."""
    try:
        return getpass.getuser().strip()[:80] or None
    except (OSError, KeyError, ImportError):
        return None


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")
