"""A library on disk: ``library.yaml`` with the shop's name and people, and where things lie."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE, as_plain
from author.contract.reading import read_bytes, read_model
from author.contract.yaml_writer import write_yaml
from author.errors import InputError, in_command
from author.procedure.shop_sheet import SHOP_SCHEMA, Member, Role, ShopSheet
from author.storage import file_error, replace_file

__all__ = ["SHOP_SCHEMA", "Member", "Role", "ShopSheet"]  # told on, beside what is made here

SHOP_FILE = "library.yaml"
PROCEDURES = "procedures"
RECORDS = "records"
REVISIONS = "revisions"
INDEX = ".index"
ACCOUNTS = ".accounts"
LOCK = ".lock"
_ASIDE = re.compile(r"[1-9][0-9]{0,8}-replaced-[1-9][0-9]{0,8}")
IGNORED = ".gitignore"
_IGNORED_TEXT = f"""\
# Made from the files, or for this machine alone: not for a version store.
/{INDEX}/
/{ACCOUNTS}/
/{LOCK}
*.lock
.*.new-*
.*.part
"""


@dataclass(frozen=True, slots=True)
class Shop:
    """A library that is there.

    Attributes:
        folder: its folder.
        sheet: what its ``library.yaml`` says.
    """

    folder: Path
    sheet: ShopSheet

    @property
    def procedures(self) -> Path:
        """Folder of the procedure folders."""
        return self.folder / PROCEDURES

    def place_of(self, procedure: str) -> Path:
        """Return the folder of a procedure, by its id."""
        return self.procedures / procedure


def open_shop(folder: Path) -> Shop:
    """Return the library in a folder.

    Raises:
        InputError: if there is none, or its ``library.yaml`` is wrong.
        MachineError: if it cannot be read.
    """
    file = folder / SHOP_FILE
    if not file.is_file():
        raise InputError(
            f"there is no library here: {SHOP_FILE} is missing",
            remedy=f"Make one with 'reelwright library new {in_command(folder)}', "
            "or name another folder",
            file=folder,
        )
    sheet, _ = read_model(read_bytes(file), file, ShopSheet, SHOP_SCHEMA)
    return Shop(Path(os.path.abspath(folder)), sheet)  # noqa: PTH100 - without following links


def shop_around(folder: Path) -> Shop | None:
    """Return the library that a procedure's folder stands in; None if it stands in none.

    Raises:
        InputError: if the ``library.yaml`` of it is wrong.
        MachineError: if it cannot be read.
    """
    folder = folder.resolve()
    library = folder.parent.parent
    inside = folder.parent.name == PROCEDURES and (library / SHOP_FILE).is_file()
    return open_shop(library) if inside else None


def new_shop(folder: Path, name: str) -> Shop:
    """Make an empty library.

    Args:
        folder: missing or empty.
        name: what the shop calls it.

    Raises:
        InputError: if the folder is in use or cannot be written, or the name is no line.
        MachineError: if the machine fails.
    """
    if (folder / SHOP_FILE).exists():
        raise InputError("there is a library already", remedy="Name a new folder", file=folder)
    if folder.exists() and not _is_free(folder):
        raise InputError(
            "this is not an empty folder", remedy="Name an empty or a new folder", file=folder
        )
    text = write_yaml({"schema": SHOP_SCHEMA, "name": name, "people": "none"}).encode()
    read_model(text, folder / SHOP_FILE, ShopSheet, SHOP_SCHEMA)
    try:
        (folder / PROCEDURES).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise file_error(error, folder) from error
    if not (folder / IGNORED).exists():
        replace_file(folder / IGNORED, _IGNORED_TEXT.encode())
    replace_file(folder / SHOP_FILE, text)
    return open_shop(folder)


def _is_free(folder: Path) -> bool:
    """Whether a folder holds nothing but hidden files, or what a killed run left of this one."""
    if not folder.is_dir():
        return False
    seen = [one for one in folder.iterdir() if not one.name.startswith(".")]
    return not seen or (
        seen == [folder / PROCEDURES] and seen[0].is_dir() and not any(seen[0].iterdir())
    )


def write_sheet(shop: Shop, sheet: ShopSheet) -> Shop:
    """Put another ``library.yaml`` in its place, all or nothing.

    Raises:
        InputError, MachineError: if it cannot be written.
    """
    replace_file(shop.folder / SHOP_FILE, write_yaml(as_plain(sheet)).encode())
    return Shop(shop.folder, sheet)


def folder_names(shop: Shop) -> list[str]:
    """Return the names of the procedure folders, sorted, those being built left out.

    Raises:
        InputError: if the folder of procedures cannot be read.
        MachineError: if the machine fails.
    """
    try:
        with os.scandir(shop.procedures) as entries:
            return sorted(
                entry.name
                for entry in entries
                if not entry.name.startswith(".") and entry.is_dir(follow_symlinks=False)
            )
    except FileNotFoundError:
        return []
    except OSError as error:
        raise file_error(error, shop.procedures) from error


def procedure_folders(shop: Shop) -> Iterator[tuple[str, Path]]:
    """Yield the name and path of every procedure folder, those being built left out.

    Raises:
        InputError, MachineError: if the folder of procedures cannot be read.
    """
    for name in folder_names(shop):
        yield name, shop.procedures / name


def revision_files(folder: Path) -> Iterator[tuple[int, Path]]:
    """Yield number and procedure file of the older revisions kept in a procedure's folder."""
    place = folder / REVISIONS
    if not place.is_dir():
        return
    numbers = sorted(int(one.name) for one in place.iterdir() if one.name.isdecimal())
    for number in numbers:
        yield number, place / str(number) / PROCEDURE_FILE


def set_aside(folder: Path) -> Iterator[tuple[str, Path]]:
    """Yield name and procedure file of the drafts that another of their revision replaced."""
    place = folder / REVISIONS
    if not place.is_dir():
        return
    for name in sorted(one.name for one in place.iterdir() if _ASIDE.fullmatch(one.name)):
        yield name, place / name / PROCEDURE_FILE


def free_aside(folder: Path, revision: int) -> str:
    """Return a name below ``revisions/`` for a draft that another one takes the place of."""
    count = 1
    while (folder / REVISIONS / f"{revision}-replaced-{count}").exists():
        count += 1
    return f"{revision}-replaced-{count}"
