"""Puts the library of an archive into a folder of its own, all or nothing."""

from __future__ import annotations

import os
import re
import secrets
import shutil
from pathlib import Path

from author.errors import InputError, MachineError
from author.folder_exchange import hold_lock
from author.library.shelves.unbagging import Bag, Checked, opened_bag, read_all, refused
from author.library.shop import ACCOUNTS, PROCEDURES, SHOP_FILE, Shop, open_shop
from author.progress import SILENT, Cancel, Progress
from author.storage import before_step, file_error, flush_folder

_ROOM = 16_000_000


def restore(
    file: Path, to: Path, *, progress: Progress = SILENT, cancel: Cancel | None = None
) -> tuple[Shop, Checked]:
    """Put the library of an archive into a folder, all or nothing.

    Args:
        file: the archive.
        to: missing or empty.
        progress: told how many megabytes are written.
        cancel: looked at between blocks; nothing is left behind.

    Raises:
        InputError: as ``check_archive`` does, or if the folder is in use or cannot be written.
        MachineError: if there is no room for it, or the machine fails.
        Cancelled: on request.
    """
    to = Path(os.path.abspath(to))  # noqa: PTH100 - without following links
    try:
        _refuse_used(to)
        to.parent.mkdir(parents=True, exist_ok=True)
        with opened_bag(file) as bag, hold_lock(to.parent / f".{to.name}.lock", to):
            _refuse_used(to)
            _remove_leftovers(to)
            _refuse_no_room(bag, to)
            built = to.parent / f".{to.name}.new-{secrets.token_hex(4)}"
            before_step("make", built)
            built.mkdir()
            try:
                done = read_all(bag, built, progress, cancel or Cancel())
                (built / PROCEDURES).mkdir(exist_ok=True)
                _hide_accounts(built)
                _refuse_no_shop(bag, built)
                if hasattr(os, "sync"):
                    os.sync()  # all of it, before its name says that it is there
                if to.exists():
                    to.rmdir()
                before_step("rename", to)
                built.rename(to)
                flush_folder(to.parent)
            finally:
                shutil.rmtree(built, ignore_errors=True)
    except OSError as error:
        raise file_error(error, error.filename or to) from error
    return open_shop(to), done


def _refuse_used(to: Path) -> None:
    if to.is_symlink() or (to.exists() and (not to.is_dir() or any(to.iterdir()))):
        raise InputError(
            "this is not an empty folder", remedy="Name an empty or a new folder", file=to
        )


def _remove_leftovers(to: Path) -> None:
    """Take away what killed runs left; the lock says that none is alive."""
    for left in to.parent.iterdir():
        if re.fullmatch(rf"\.{re.escape(to.name)}\.new-[0-9a-f]{{8}}", left.name):
            shutil.rmtree(left, ignore_errors=True)


def _refuse_no_shop(bag: Bag, built: Path) -> None:
    try:
        open_shop(built)
    except InputError as error:
        raise refused(bag.file, f"its {SHOP_FILE} is wrong: {error.problem}") from error


def _refuse_no_room(bag: Bag, to: Path) -> None:
    free = shutil.disk_usage(to.parent).free
    if bag.size + _ROOM > free:
        raise MachineError(
            f"there is no room for it: it says {bag.size:,} bytes, {_ROOM:,} more have to stay "
            f"free for the index, and {free:,} are free",
            remedy="Make room, or name another disk; nothing was written",
            file=to,
        )


def _hide_accounts(built: Path) -> None:
    """Let nobody else read accounts, as the server has them."""
    place = built / ACCOUNTS
    if place.is_dir():
        for path in place.rglob("*"):
            path.chmod(0o700 if path.is_dir() else 0o600)
        place.chmod(0o700)
