"""Reads procedure files for the index, many of them in processes of their own."""

from __future__ import annotations

import gc
import hashlib
import multiprocessing
import os
import signal
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from multiprocessing.connection import Connection, wait
from pathlib import Path

from author.contract.reading import read_bytes
from author.errors import MachineError, ReelwrightError
from author.library.index.facts import Facts, facts_of
from author.library.index.scanning import now_ns
from author.library.quick_reader import read_document
from author.memory import collector_at_rest
from author.progress import Cancel

_ALONE = 40
"""So few files are read here: a process takes as long to start."""
_BATCH = 20
_SELDOM = (50_000, 20, 50)
"""How seldom Python searches for unused memory in a process that reads."""


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a procedure file cannot be read.

    Attributes:
        problem: what is wrong.
        remedy: what to do about it.
        line: where in the file, from 1, if that is known.
    """

    problem: str
    remedy: str
    line: int | None


@dataclass(frozen=True, slots=True)
class Read:
    """What was read of one file.

    Attributes:
        place: its place below the folder of procedures.
        size: bytes.
        changed_ns: when it was last changed, nanoseconds.
        seen_ns: when it was read, nanoseconds.
        digest: its SHA-256; empty if it could not be read.
        facts: what the index keeps of it; a problem if it is damaged; None if the digest is
            the one known.
    """

    place: str
    size: int
    changed_ns: int
    seen_ns: int
    digest: str
    facts: Facts | Problem | None


Order = tuple[str, Path, str]
"""Place, file, and the digest that is known of it; empty if none is."""


def read_one(order: Order) -> Read:
    """Read one file for the index. A damaged one gives a problem, never an error."""
    place, file, known = order
    seen = now_ns()
    try:
        status = file.lstat()
        if stat.S_ISLNK(status.st_mode):
            problem = Problem("this is a link, not a file", "Put the file itself here", None)
            return Read(place, status.st_size, status.st_mtime_ns, seen, "", problem)
        data = read_bytes(file)
    except (OSError, ReelwrightError) as error:
        return Read(place, 0, 0, 0, "", _problem(error))
    digest = hashlib.sha256(data).hexdigest()
    facts: Facts | Problem | None = None
    if digest != known:
        try:
            facts = facts_of(read_document(data, file))
        except (ReelwrightError, RecursionError) as error:
            facts = _problem(error)
    return Read(place, status.st_size, status.st_mtime_ns, seen, digest, facts)


def _problem(error: Exception) -> Problem:
    if isinstance(error, ReelwrightError):
        return Problem(error.problem, error.remedy, error.line)
    return Problem(f"this cannot be read: {error}", "Look at the file", None)


def read_all(orders: list[Order], cancel: Cancel, workers: int | None = None) -> Iterator[Read]:
    """Yield what is read of many files, in any order.

    Args:
        orders: the files.
        cancel: looked at between files.
        workers: how many processes to read with; as many as there are cores if not said.

    Raises:
        MachineError: if a process dies.
        Cancelled: on request.
    """
    count = workers if workers is not None else os.cpu_count() or 1
    if len(orders) <= _ALONE or count < 2:
        for order in orders:
            cancel.check()
            yield read_one(order)
        return
    with _Crew(min(count, len(orders) // _BATCH + 1)) as crew:
        yield from crew.read(orders, cancel)


class _Crew:
    """Processes that read; each ends when this one does, however it ends."""

    def __init__(self, count: int) -> None:
        context = multiprocessing.get_context("spawn")
        self.processes = []
        self.lines: list[Connection] = []
        for _ in range(count):
            ours, theirs = context.Pipe()
            process = context.Process(target=_serve, args=(theirs,), daemon=True)
            process.start()
            theirs.close()
            self.processes.append(process)
            self.lines.append(ours)

    def __enter__(self) -> _Crew:
        return self

    def __exit__(self, *_: object) -> None:
        for line in self.lines:
            line.close()
        for process in self.processes:
            process.join(5)
            if process.is_alive():
                process.kill()
                process.join()

    def read(self, orders: list[Order], cancel: Cancel) -> Iterator[Read]:
        rest = iter(orders)
        waiting: dict[Connection, int] = dict.fromkeys(self.lines, 0)
        for _ in range(2):  # one batch in hand, one in reserve
            for line in self.lines:
                self._send(line, rest, waiting)
        while any(waiting.values()):
            cancel.check()
            ready = wait([line for line, count in waiting.items() if count], timeout=0.5)
            for line in [line for line in waiting if line in ready]:
                try:
                    with collector_at_rest():
                        batch = line.recv()
                except (EOFError, OSError) as error:
                    raise MachineError(
                        "a process that reads procedures has died",
                        remedy="Run it again, with more memory free",
                    ) from error
                waiting[line] -= 1
                self._send(line, rest, waiting)
                yield from batch

    @staticmethod
    def _send(line: Connection, rest: Iterator[Order], waiting: dict[Connection, int]) -> None:
        batch = list(islice(rest, _BATCH))
        if batch:
            line.send(batch)
            waiting[line] += 1


def _serve(line: Connection) -> None:
    """Read what is asked for until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # What a file is made of goes as soon as it is read: searching for it costs a tenth more.
    gc.freeze()
    gc.set_threshold(*_SELDOM)
    while True:
        try:
            batch = line.recv()
            line.send([read_one(order) for order in batch])
        except (EOFError, OSError):
            return
