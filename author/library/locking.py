"""One writer at a time: locks of the library's files and of its index."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path

from filelock import FileLock, Timeout

from author.errors import InputError
from author.library.shop import LOCK, Shop
from author.storage import file_error

WAIT = 60.0
"""Seconds a run waits for another one."""


@contextlib.contextmanager
def one_writer(lock: Path, about: Path, wait: float = WAIT) -> Iterator[None]:
    """Hold a lock that ends with the process, however it ends.

    Args:
        lock: the lock file; it stays, empty.
        about: what the lock protects, for the error.
        wait: seconds to wait for another process that holds it.

    Raises:
        InputError: if another process holds it for longer, or it cannot be made.
        MachineError: if the disk is full.
    """
    held = FileLock(lock, timeout=wait)
    try:
        held.acquire()
    except Timeout:
        raise InputError(
            "another run is writing there", remedy="Wait until it has ended", file=about
        ) from None
    except OSError as error:
        raise file_error(error, about) from error
    try:
        yield
    finally:
        held.release()


@contextlib.contextmanager
def writing(shop: Shop) -> Iterator[None]:
    """Hold the lock of the library's files: for whoever shelves, signs or files a record.

    Raises:
        InputError: if another process holds it too long, or the library cannot be written.
        MachineError: if the machine fails.
    """
    with one_writer(shop.folder / LOCK, shop.folder):
        yield
