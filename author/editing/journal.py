"""Writes the journal of an open document, on threads of its own.

One thread writes each record to the file as it comes, so that it outlives the program;
another has the disk keep what is written, so that it outlives the machine's power. Whoever
makes a record waits for neither: only for the record before, and that for a few
milliseconds at the most. So a program that is killed loses at most its last gesture.

A journal that cannot be written is no reason to stop working: ``problem`` says so, and
everything since the last save is written anew as soon as the disk takes it.
"""

from __future__ import annotations

import contextlib
import errno
import os
import threading
from collections import deque
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, BinaryIO

from author.editing.journal_file import framed
from author.errors import ReelwrightError
from author.storage import before_step, file_error, replace_file

PATIENCE = 0.005
"""Seconds a new record waits at the most until the one before it is written."""


class Journal:
    """A journal that is being written.

    Attributes:
        path: its file; made with the first record.
        problem: why it cannot be written at the moment, or None.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.problem: str | None = None
        self._jobs: deque[Callable[[], None]] = deque()
        self._changed = threading.Condition()
        self._asked = self._done = 0
        self._closing = False
        # From here on for the writing thread alone.
        self._head = b""
        self._frames: list[tuple[int, bytes]] = []
        self._whole = False
        self._stream: BinaryIO | None = None
        self._disk = _Disk()
        self._thread = threading.Thread(target=self._work, name="journal", daemon=True)
        self._thread.start()

    def begin(self, first: Callable[[], Mapping[str, Any]], keep_after: int | None = None) -> None:
        """Let the journal begin anew: the document was opened, or saved.

        Args:
            first: makes the first record; called on the writing thread.
            keep_after: number of the last record that is not needed any more; those behind
                it stay. None: none stays.
        """
        self._put(lambda: self._begin(framed(first()), keep_after))

    def take_over(self, frames: tuple[bytes, ...]) -> None:
        """Go on with a journal that was read: its lines, the first record first."""

        def job() -> None:
            self._head, *rest = frames
            self._frames = [(0, frame) for frame in rest]
            self._whole = False
            self._write_whole()

        self._put(job)

    def append(self, record: Mapping[str, Any]) -> int:
        """Write a record, and return its number."""
        with self._changed:
            if self._done < self._asked:
                self._changed.wait_for(lambda: self._done >= self._asked, PATIENCE)
            number = self._asked + 1
            self._put(lambda: self._append(number, record))
        return number

    def announce(self, record: Mapping[str, Any]) -> None:
        """Write a record that is of no use once the journal begins anew; not the first one."""
        self._put(lambda: self._append(0, record) if self._frames else None)

    def flush(self, seconds: float = 10.0) -> bool:
        """Wait until all is written and kept by the disk; False if that takes longer."""
        with self._changed:
            if not self._changed.wait_for(lambda: self._done >= self._asked, seconds):
                return False
        return self._disk.settle(seconds)

    def close(self, *, remove: bool) -> None:
        """Write what is left and stop.

        Args:
            remove: whether the journal is of no use any more.
        """
        if remove:
            self._put(self._remove)
        with self._changed:
            self._closing = True
            self._changed.notify_all()
        self._thread.join()

    def _put(self, job: Callable[[], None]) -> None:
        with self._changed:
            self._jobs.append(job)
            self._asked += 1
            self._changed.notify_all()

    def _work(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._jobs or self._closing)
                if not self._jobs:
                    break
                job = self._jobs.popleft()
            try:
                job()
                self.problem = None
            except (OSError, ReelwrightError) as error:
                self._let_go()
                self._whole = False
                known = file_error(error, self.path) if isinstance(error, OSError) else error
                self.problem = known.problem
            except Exception as fault:  # without this thread nothing is kept at all
                self._let_go()
                self._whole = False
                self.problem = f"the journal could not be written: {fault}"
            finally:
                with self._changed:
                    self._done += 1
                    self._changed.notify_all()
        self._disk.settle(10.0)
        self._let_go()
        self._disk.stop()

    def _begin(self, head: bytes, keep_after: int | None) -> None:
        self._head = head
        left = [] if keep_after is None else [f for f in self._frames if f[0] > keep_after]
        self._frames = left
        if left:
            self._write_whole()
        else:
            self._remove()

    def _append(self, number: int, record: Mapping[str, Any]) -> None:
        frame, first = framed(record), not self._frames
        self._frames.append((number, frame))
        if not first and not self._whole:
            self._write_whole()
            return
        if self._stream is None:
            self._open(new=first)
        self._write(frame)
        self._whole = True

    def _open(self, *, new: bool) -> None:
        self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND | (os.O_TRUNC if new else 0)
        handle = os.open(self.path, flags | getattr(os, "O_BINARY", 0), 0o600)
        self._stream = open(handle, "ab", buffering=0)  # noqa: SIM115, PTH123
        self._disk.watch(self._stream)
        if new:
            self._write(self._head)

    def _write(self, frame: bytes) -> None:
        before_step("write", self.path)
        self._put_down(frame[: len(frame) // 2])
        before_step("write", self.path)
        self._put_down(frame[len(frame) // 2 :])
        self._disk.changed()

    def _put_down(self, data: bytes) -> None:
        """Write all of it: a disk that fills up takes a part and says so only of the next."""
        assert self._stream is not None  # noqa: S101
        left = memoryview(data)
        while left:
            taken = self._stream.write(left)
            if not taken:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(self.path))
            left = left[taken:]

    def _write_whole(self) -> None:
        """Put a journal of all records in the place of the one there is."""
        self._let_go()
        self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        replace_file(self.path, b"".join([self._head, *(frame for _, frame in self._frames)]))
        self._whole = True

    def _remove(self) -> None:
        self._let_go()
        self._whole = False
        with contextlib.suppress(FileNotFoundError):
            self.path.unlink()

    def _let_go(self) -> None:
        self._disk.watch(None)
        if self._stream is not None:
            with contextlib.suppress(OSError):
                self._stream.close()
            self._stream = None


class _Disk:
    """Has the disk keep what is written to a file, on a thread of its own."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._stream: BinaryIO | None = None
        self._dirty = self._busy = self._stopping = False
        self._thread = threading.Thread(target=self._work, name="journal-disk", daemon=True)
        self._thread.start()

    def watch(self, stream: BinaryIO | None) -> None:
        """Name the file; waits until the one before is let go."""
        with self._changed:
            self._changed.wait_for(lambda: not self._busy)
            self._stream, self._dirty = stream, False

    def changed(self) -> None:
        """Say that something was written."""
        with self._changed:
            self._dirty = True
            self._changed.notify_all()

    def settle(self, seconds: float) -> bool:
        """Wait until the disk has kept all."""
        with self._changed:
            return self._changed.wait_for(lambda: not (self._dirty or self._busy), seconds)

    def stop(self) -> None:
        """End the thread."""
        with self._changed:
            self._stopping = True
            self._changed.notify_all()
        self._thread.join()

    def _work(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._dirty or self._stopping)
                if not self._dirty:
                    return
                stream, self._dirty, self._busy = self._stream, False, True
            with contextlib.suppress(OSError, ValueError):
                if stream is not None:
                    os.fsync(stream.fileno())
            with self._changed:
                self._busy = False
                self._changed.notify_all()
