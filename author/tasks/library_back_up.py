"""Write a whole library into one archive, check one, and put it back."""

from __future__ import annotations

import os
import zipfile
from contextlib import nullcontext
from pathlib import Path

from author.errors import InputError
from author.library.locking import writing
from author.library.shelves.bagging import BAGIT, BackedUp, back_up
from author.library.shelves.restoring import restore
from author.library.shelves.unbagging import Checked, check_archive
from author.library.shop import Shop, open_shop
from author.progress import SILENT, Cancel, Progress
from author.storage import without_links

__all__ = ["back_up_library", "check_back_up", "restore_library"]


def back_up_library(
    folder: Path,
    file: Path,
    *,
    accounts: bool = False,
    replace: bool = False,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> BackedUp:
    """Write a library into one archive. Who shelves or signs meanwhile waits.

    One that cannot be written from here is not held; a change of it ends the back-up.

    Args:
        folder: the library.
        file: the archive.
        accounts: whether the accounts of the server are put in too.
        replace: put it in the place of a back-up that is there already, in one step.
        progress: told how many megabytes are in.
        cancel: looked at on the way; nothing is left behind.

    Raises:
        InputError: if there is no library, the archive lies in it or is another file, or
            something cannot be put in.
        MachineError: if the disk is full, or the machine fails.
        Cancelled: on request.
    """
    shop = open_shop(folder)
    place = without_links(file.parent) / file.name
    if place.is_relative_to(shop.folder.resolve()):
        raise InputError(
            "this lies in the library itself", remedy="Name a file on another disk", file=file
        )
    if file.is_symlink() or (file.exists() and not _is_back_up(file)):
        raise InputError(
            "this is something else than a back-up", remedy="Name a new file", file=file
        )
    if file.exists() and not replace:
        raise InputError(
            "there is a back-up of this name already",
            remedy="Name a new file, or say --replace",
            file=file,
        )
    # Where nobody may write from here, all that is left is to see whether somebody else does.
    with writing(shop) if os.access(shop.folder, os.W_OK) else nullcontext():
        return back_up(open_shop(folder), file, accounts=accounts, progress=progress, cancel=cancel)


def _is_back_up(file: Path) -> bool:
    if not file.is_file():  # reading a device may never end
        return False
    try:
        with zipfile.ZipFile(file) as archive:
            return any(name.endswith(f"/{BAGIT}") for name in archive.namelist())
    except (OSError, ValueError, zipfile.BadZipFile):
        return False


def check_back_up(
    file: Path, *, progress: Progress = SILENT, cancel: Cancel | None = None
) -> Checked:
    """Hold every byte of an archive against its list. Writes nothing.

    Raises:
        InputError: if it is damaged, or not to be trusted.
        MachineError: if it cannot be read.
        Cancelled: on request.
    """
    return check_archive(file, progress=progress, cancel=cancel)


def restore_library(
    file: Path, to: Path, *, progress: Progress = SILENT, cancel: Cancel | None = None
) -> tuple[Shop, Checked]:
    """Put the library of an archive into a missing or empty folder, all or nothing.

    Raises:
        InputError: if the archive is damaged or not to be trusted, or the folder is in use.
        MachineError: if there is no room for it, or the machine fails.
        Cancelled: on request.
    """
    return restore(file, to, progress=progress, cancel=cancel)
