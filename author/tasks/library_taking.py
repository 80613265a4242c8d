"""Take a procedure out of the library to work on it."""

from __future__ import annotations

import os
import secrets
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from author.contract.procedure_file import PROCEDURE_FILE, parse_procedure
from author.contract.reading import read_bytes
from author.errors import InputError
from author.library.shelves.bases import BASE_FILE, Base, base_of, new_base, shelf_files, write_base
from author.library.shelves.given_up import given_up_in
from author.library.shelves.shelving import copy_file
from author.library.shop import Shop, open_shop, procedure_folders
from author.library.signing.audit import no_such_procedure
from author.library.signing.states import SETTLED
from author.procedure.document import Procedure
from author.progress import SILENT, Cancel, Progress
from author.storage import before_step, file_error, file_sha256, flush_folder, without_links

_TRIES = 5


@dataclass(frozen=True, slots=True)
class Taken:
    """A procedure that was taken out of the library to work on.

    Attributes:
        procedure: the document.
        folder: where it lies now.
        did: ``new`` folder, ``renewed`` where an unchanged copy lay there, or ``same`` where
            that is what the library has still.
        notes: what to think of, one sentence each.
    """

    procedure: Procedure
    folder: Path
    did: Literal["new", "renewed", "same"]
    notes: tuple[str, ...]


def take(
    folder: Path,
    procedure: str,
    to: Path,
    *,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Taken:
    """Copy the newest revision of a procedure into a folder, which remembers it.

    Args:
        folder: the library.
        procedure: id of the procedure.
        to: a missing or empty folder, or a copy taken before that nobody has changed since.
        progress: told how many files are copied.
        cancel: looked at between files; nothing is left behind.

    Raises:
        InputError: if there is no such procedure, the folder is in use, or it cannot be written.
        MachineError: if the machine fails.
        Cancelled: on request.
    """
    shop = open_shop(folder)
    place = dict(procedure_folders(shop)).get(procedure)
    if place is None or not (place / PROCEDURE_FILE).is_file():
        raise no_such_procedure(shop, procedure)
    to = Path(os.path.abspath(to))  # noqa: PTH100 - without following links
    if without_links(to).is_relative_to(shop.folder.resolve()):
        raise InputError("this lies in the library", remedy="Name a folder outside", file=to)
    try:
        known = _known(to, procedure, shop)
        to.parent.mkdir(parents=True, exist_ok=True)
        built = to.parent / f".{to.name}.new-{secrets.token_hex(4)}"
        before_step("make", built)
        built.mkdir()
        try:
            base, document = _copied(shop, place, built, progress, cancel or Cancel())
            did = _put(built, to, known, base)
        finally:
            shutil.rmtree(built, ignore_errors=True)
    except OSError as error:
        raise file_error(error, error.filename or to) from error
    since = given_up_in(place)[known.given_up :] if known else ()
    lost = (f"Given up in the library since you took it: {line}." for line in since)
    return Taken(document, to, did, (*lost, *_notes(document)))


def _known(to: Path, procedure: str, shop: Shop) -> Base | None:
    """Return what an unchanged copy was taken from; None for a free place.

    Raises:
        InputError: if the folder holds anything else.
    """
    if to.is_symlink() or (to.exists() and not to.is_dir()):
        raise InputError("this is a file or a link", remedy="Name a new folder", file=to)
    if not to.exists() or not any(to.iterdir()):
        return None
    base = base_of(to, procedure, shop)
    if base is None:
        raise InputError(
            "this folder is in use, and no copy of this procedure from this library",
            remedy="Name an empty or a new folder",
            file=to,
        )
    changed = _changed(to, base)
    if changed is not None:
        raise InputError(
            "this was changed since it was taken",
            remedy="Shelve it first with 'reelwright library shelve', or name a new folder",
            file=to / changed,
        )
    return base


def _changed(to: Path, base: Base) -> str | None:
    for name, digest in base.files.items():
        path = to.joinpath(*name.split("/"))
        if not path.is_file() or file_sha256(path) != digest:
            return name
    return None


def _copied(
    shop: Shop, place: Path, built: Path, progress: Progress, cancel: Cancel
) -> tuple[Base, Procedure]:
    """Copy what is on the shelf, as it was at one moment."""
    for _ in range(_TRIES):
        try:
            was = place.stat().st_ino
            data = read_bytes(place / PROCEDURE_FILE)
            shelf = dict(shelf_files(place))
            digests = {}
            for done, (name, path) in enumerate(shelf.items()):
                cancel.check()
                progress.report("copying files", done, len(shelf))
                digests[name] = copy_file(path, built.joinpath(*name.split("/")))
            progress.report("copying files", len(shelf), len(shelf))
            still = place.stat().st_ino == was and read_bytes(place / PROCEDURE_FILE) == data
        except FileNotFoundError:
            still = False  # the folder was exchanged under our hands
        if still:
            loaded = parse_procedure(data, built / PROCEDURE_FILE)
            base = new_base(shop, loaded, data, digests)
            write_base(built, base)
            return base, loaded.procedure
        shutil.rmtree(built)
        built.mkdir()
    raise InputError(
        "others are shelving this all the time", remedy="Try again in a moment", file=place
    )


def _put(
    built: Path, to: Path, known: Base | None, base: Base
) -> Literal["new", "renewed", "same"]:
    """Put the copy in its place: the folder as a whole, or file by file into an older copy."""
    if known is None:
        if to.exists():
            to.rmdir()
        before_step("rename", to)
        built.rename(to)
        flush_folder(to.parent)
        return "new"
    for name in (*base.files, *known.files):
        _refuse_link(to, name)
    for name in base.files:
        path = to.joinpath(*name.split("/"))
        own = name not in known.files and path.exists()
        if own and file_sha256(path) != base.files[name]:
            raise InputError(
                "the library has another file of this name now",
                remedy="Rename yours, and take it again",
                file=path,
            )
    # Whatever is cut short here merges like a change of the same content: what is remembered
    # of the older copy goes last.
    for name in sorted(base.files, key=lambda name: name == PROCEDURE_FILE):
        path = to.joinpath(*name.split("/"))
        if known.files.get(name) != base.files[name]:
            path.parent.mkdir(parents=True, exist_ok=True)
            before_step("rename", path)
            built.joinpath(*name.split("/")).replace(path)
    for name in known.files.keys() - base.files.keys():
        to.joinpath(*name.split("/")).unlink(missing_ok=True)
    before_step("rename", to / BASE_FILE)
    (built / BASE_FILE).replace(to / BASE_FILE)
    return "same" if known.files == base.files else "renewed"


def _refuse_link(to: Path, name: str) -> None:
    """Refuse a folder that is a link on the way to a file: what lies behind it is not ours."""
    for parent in to.joinpath(*name.split("/")).parents:
        if parent == to:
            return
        if parent.is_symlink():
            raise InputError(
                "this is a link to a folder",
                remedy="Take it out, or name a new folder",
                file=parent,
            )


def _notes(document: Procedure) -> list[str]:
    if document.state in SETTLED:
        return [
            f"Revision {document.revision} is {document.state} and stays as it is: count the "
            f"revision up to {document.revision + 1} and write 'state: draft' before you change it."
        ]
    return []
