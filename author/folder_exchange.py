"""Exchanging two folders in one step, and the lock that keeps two runs apart.

Linux has ``renameat2(RENAME_EXCHANGE)`` and macOS ``renamex_np(RENAME_SWAP)``: both are
atomic. Where neither serves (Windows, some network shares) the old folder is renamed
away first, and for that moment the target is missing; ``exchange`` puts it back if the
second rename fails.
"""

from __future__ import annotations

import contextlib
import ctypes
import errno
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from author.errors import InputError

_AT_FDCWD = -100
_EXCHANGE = 2
_UNSUPPORTED = {errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP}
_HELD = {errno.EAGAIN, errno.EACCES, errno.EDEADLK}
"""What systems say of a lock that another holds; Windows says the last two."""


def exchange(built: Path, target: Path) -> None:
    """Put ``built`` where ``target`` is; afterwards ``built`` holds what was there.

    Args:
        built: a finished folder in the same parent folder.
        target: a folder, or nothing yet.

    Raises:
        OSError: if neither way works; the target is then as it was.
    """
    if not target.exists():
        built.rename(target)
    elif not _exchange_at_once(built, target):
        _exchange_in_two(built, target)


def _exchange_at_once(one: Path, other: Path) -> bool:
    if os.name != "posix":
        return False
    libc = ctypes.CDLL(None, use_errno=True)
    first, second = os.fsencode(one), os.fsencode(other)
    if sys.platform.startswith("linux") and hasattr(libc, "renameat2"):
        done = libc.renameat2(_AT_FDCWD, first, _AT_FDCWD, second, _EXCHANGE)
    elif sys.platform == "darwin" and hasattr(libc, "renamex_np"):
        done = libc.renamex_np(first, second, _EXCHANGE)
    else:
        return False
    if done == 0:
        return True
    code = ctypes.get_errno()
    if code in _UNSUPPORTED:
        return False
    raise OSError(code, os.strerror(code), str(other))


def _exchange_in_two(built: Path, target: Path) -> None:
    away = built.with_name(f"{built.name}-old")
    target.rename(away)
    try:
        built.rename(target)
    except OSError:
        away.rename(target)
        raise
    away.rename(built)


@contextlib.contextmanager
def hold_lock(path: Path, about: Path, wait: float = 0.0) -> Iterator[None]:
    """Hold a lock that ends with the process, however it ends.

    Args:
        path: the lock file; taken away at the end, left empty by a killed run.
        about: what the lock protects, for the error.
        wait: seconds to wait for another process or thread that holds it.

    Raises:
        InputError: if another holds it for longer.
        OSError: if it cannot be made, or the disk knows no locks.
    """
    until = time.monotonic() + wait
    while (stream := _locked(path)) is None:
        if time.monotonic() >= until:
            raise InputError(
                "another run is writing there", remedy="Wait until it has ended", file=about
            )
        time.sleep(0.02)
    with stream:
        try:
            yield
        finally:
            path.unlink(missing_ok=True)


def _locked(path: Path) -> BinaryIO | None:
    """Return the lock file with its lock held, or None if another holds it."""
    stream = path.open("ab")
    try:
        _lock(stream.fileno())
        if os.path.samestat(os.fstat(stream.fileno()), path.stat()):
            return stream
    except (BlockingIOError, FileNotFoundError):
        pass  # held, or its holder has just ended and taken its file away
    except OSError as error:
        if error.errno not in _HELD:
            stream.close()
            raise
    stream.close()
    return None


def _lock(handle: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
