"""What an author's folder was taken from, and whether the library has gone on since.

A hidden file in the folder keeps the procedure as it was on the shelf and the SHA-256 of every
file beside it. Two people's changes are told apart by it; the library itself holds none.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, ValidationError

from author.contract.procedure_file import PROCEDURE_FILE, LoadedProcedure, parse_procedure
from author.contract.reading import read_bytes
from author.contract.review_file import REVIEW_FILE
from author.errors import InputError, MachineError, in_command
from author.library.shelves.given_up import GIVEN_UP, given_up_in
from author.library.shop import REVISIONS, Shop
from author.library.signing.history import HISTORY, SIGNATURES, library_history
from author.library.signing.manifest import safe_names, with_state
from author.procedure.document import State
from author.procedure.values import Count, Fingerprint, Id, Line, Node
from author.storage import file_sha256, replace_file

BASE_FILE = ".on-the-shelf.json"
KEPT = (REVISIONS, SIGNATURES, HISTORY, GIVEN_UP)
"""What the library keeps in a procedure's folder; an author's folder never brings it."""
_MOST = 100_000_000


class Base(Node):
    """What a folder was taken from.

    Attributes:
        form: ``shelf-base/1``.
        library: what the shop calls the library.
        founded: SHA-256 of its founding act, if it has one.
        procedure: id of the procedure.
        revision: its revision.
        files: SHA-256 of every file, by its path below the folder.
        text: the procedure file.
        review: the sign-offs, if there were any.
        given_up: how many lines of what was given up the library had then.
    """

    form: Literal["shelf-base/1"]
    library: Line
    founded: Fingerprint | None = None
    procedure: Id
    revision: Count
    files: Annotated[dict[str, Fingerprint], BeforeValidator(safe_names), Field(min_length=1)]
    text: str
    review: str | None = None
    given_up: int = 0


@dataclass(frozen=True, slots=True)
class Meeting:
    """An author's folder that meets a library which has gone on since.

    Attributes:
        base: what the folder was taken from.
        before: that procedure.
        mine: the author's procedure.
        files: every file of the author's folder.
        theirs: the procedure on the shelf.
        shelf: every file on the shelf, what the library itself keeps left out.
    """

    base: Base
    before: LoadedProcedure
    mine: LoadedProcedure
    files: Mapping[str, Path]
    theirs: LoadedProcedure
    shelf: Mapping[str, Path]


@dataclass(frozen=True, slots=True)
class Together:
    """What is to be shelved where two people's changes meet.

    Attributes:
        contents: files that are written in place of the author's.
        kept: files that stay as the library has them.
        mine: what the author's folder brings, one line each, in the terms of the trade.
        library: what the library has had since, likewise.
        notes: what else the author should know, one sentence each.
        given_up: what the library had and has no longer, one line each, to be kept there.
        decided: at how many places an answer said what counts.
    """

    contents: Mapping[str, bytes]
    kept: frozenset[str]
    mine: tuple[str, ...] = ()
    library: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    given_up: tuple[str, ...] = ()
    decided: int = 0


Bring = Callable[[Meeting], Together]
"""Brings both together, or raises an ``InputError`` that names what both have changed."""


def base_of(folder: Path, procedure: str, shop: Shop) -> Base | None:
    """Return what a folder was taken from; None if it does not say so, or not of this library.

    Args:
        folder: the author's folder.
        procedure: id of the procedure in it.
        shop: the library.

    Raises:
        InputError, MachineError: if the library's history cannot be read.
    """
    try:
        with (folder / BASE_FILE).open("rb") as stream:
            base = Base.model_validate_json(stream.read(_MOST))
    except (OSError, ValidationError, RecursionError):
        return None
    text = hashlib.sha256(base.text.encode()).hexdigest()
    if base.procedure != procedure or base.files.get(PROCEDURE_FILE) != text:
        return None
    founded = _founded(shop)
    if base.founded is None:
        return base if founded is not None or base.library == shop.sheet.name else None
    return base if base.founded == founded else None


def _founded(shop: Shop) -> str | None:
    entries = library_history(shop.folder).entries
    return entries[0].sha256 if entries else None


def new_base(shop: Shop, loaded: LoadedProcedure, data: bytes, files: Mapping[str, str]) -> Base:
    """Return what a folder says from now on of what it was taken from.

    Args:
        shop: the library.
        loaded: the procedure in the folder.
        data: bytes of its file.
        files: SHA-256 of every file, that of the procedure as well.

    Raises:
        InputError, MachineError: if the library or the sign-offs cannot be read.
    """
    review = None
    if REVIEW_FILE in files:
        with suppress(UnicodeDecodeError):
            review = read_bytes(loaded.file.with_name(REVIEW_FILE)).decode()
    return Base(
        form="shelf-base/1",
        library=shop.sheet.name,
        founded=_founded(shop),
        procedure=loaded.procedure.id,
        revision=loaded.procedure.revision,
        files={**files, PROCEDURE_FILE: hashlib.sha256(data).hexdigest()},
        text=data.decode(),
        review=review,
        given_up=len(given_up_in(shop.place_of(loaded.procedure.id))),
    )


def write_base(folder: Path, base: Base) -> None:
    """Write down what a folder was taken from; where it cannot be written, it stays unsaid."""
    plain = base.model_dump(mode="json", exclude_none=True)
    text = json.dumps(plain, indent=1, ensure_ascii=False, sort_keys=True)
    with suppress(InputError, MachineError):
        replace_file(folder / BASE_FILE, f"{text}\n".encode())


def desk_files(folder: Path) -> Iterator[tuple[str, Path]]:
    """Yield name and path of every file of an author's folder, hidden and the library's left out.

    A link is followed where it leads to a file in the same folder.

    Raises:
        InputError: if something there cannot be taken: a link that leads out, names that differ
            only in case, neither a file nor a folder.
    """
    names: dict[str, str] = {}
    for root, folders, some in os.walk(folder):
        base = Path(root)
        top = base == folder
        folders[:] = sorted(f for f in folders if not f.startswith(".") and not (top and f in KEPT))
        for name in sorted(some):
            if name.startswith(".") or (top and name in KEPT):
                continue
            path = base / name
            short = path.relative_to(folder).as_posix()
            other = names.setdefault(short.casefold(), short)
            if other != short:
                raise InputError(
                    f"'{other}' and '{short}' differ only in case, and not every disk can tell "
                    "them apart",
                    remedy="Rename one of them",
                    file=path,
                )
            if path.is_symlink() and not path.resolve().is_relative_to(folder):
                raise InputError(
                    "this link leads out of the procedure's folder",
                    remedy="Put the file itself there",
                    file=path,
                )
            if not path.is_file():
                raise InputError(
                    "this is neither a file nor a folder", remedy="Take it out", file=path
                )
            yield short, path
        for name in folders:
            if (base / name).is_symlink():
                raise InputError(
                    "this is a link to a folder", remedy="Put the folder there", file=base / name
                )


def shelf_files(folder: Path) -> Iterator[tuple[str, Path]]:
    """Yield name and path of every plain file of a procedure's folder in the library.

    What the library itself keeps there, hidden files and links are left out.
    """
    for root, folders, names in os.walk(folder):
        base = Path(root)
        top = base == folder
        folders[:] = sorted(f for f in folders if not f.startswith(".") and not (top and f in KEPT))
        for name in sorted(names):
            path = base / name
            if not name.startswith(".") and path.is_file() and not path.is_symlink():
                yield path.relative_to(folder).as_posix(), path


def differing(files: Mapping[str, Path], shelf: Mapping[str, Path]) -> set[str]:
    """Return the names under which both have a file, but not the same."""
    return {
        name
        for name, path in files.items()
        if (place := shelf.get(name)) is not None
        and (place.stat().st_size != path.stat().st_size or file_sha256(place) != file_sha256(path))
    }


def has_gone_on(
    base: Base, files: Mapping[str, Path], shelf: Mapping[str, Path], state: State
) -> bool:
    """Whether the library has another content now than the one a folder was taken from.

    A state given in the library is no content, nor is a file that only the library has.
    """
    for name in sorted(shelf.keys() & base.files.keys()):
        if name == PROCEDURE_FILE:
            data = read_bytes(shelf[name])
            text = base.text.encode()
            if data not in {text, with_state(text, state)}:
                return True
        elif file_sha256(shelf[name]) != base.files[name]:
            return True
    added = {name: path for name, path in files.items() if name not in base.files}
    return bool(differing(added, shelf))


def meeting(
    base: Base,
    mine: LoadedProcedure,
    files: Mapping[str, Path],
    theirs: LoadedProcedure,
    shelf: Mapping[str, Path],
) -> Meeting | None:
    """Return what meets; None if what the folder was taken from is no procedure any more."""
    try:
        before = parse_procedure(base.text.encode(), mine.file)
    except InputError:
        return None
    return Meeting(base, before, mine, files, theirs, shelf)


def refuse_unknown(loaded: LoadedProcedure, shop: Shop, source: Path) -> InputError:
    """Return the error that a folder does not say what it was taken from."""
    one = loaded.procedure
    return InputError(
        f"the library has another draft of revision {one.revision}, and this folder does not say "
        "what it was taken from",
        remedy="Take the library's with 'reelwright library take "
        f"{in_command(shop.folder)} {one.id} NEW_FOLDER' and bring your changes "
        "there, or say --replace to put yours in its place; "
        "the library then keeps the one before",
        file=source,
    )


def refuse_other_case(shop: Shop, name: str, target: Path) -> None:
    """Refuse a link in a procedure's place, and a folder whose name differs only in case.

    Raises:
        InputError: if there is one.
    """
    if target.is_symlink():
        raise InputError("this is a link, not a folder", remedy="Take it out", file=target)
    for other in shop.procedures.iterdir():
        if other.name != name and other.name.casefold() == name:
            raise InputError(
                f"the library has a folder '{other.name}': '{name}' differs from it only in case",
                remedy=f"Rename it to '{name}' if it is the same procedure, or take it out",
                file=other,
            )


def not_asked(place: str, file: Path) -> InputError:
    """Return the error that an answer is to a question nobody asks."""
    return InputError(
        f"--keep answers '{place[:80]}', and there both have not changed the same",
        remedy="Leave it out",
        file=file,
    )


def refuse_step_back(loaded: LoadedProcedure, before: int) -> None:
    """Refuse a revision below the one in the library.

    Raises:
        InputError: if it is.
    """
    one = loaded.procedure
    if one.revision < before:
        raise InputError(
            f"this is revision {one.revision}, and the library has revision {before}",
            remedy=f"Count the revision up to {before + 1} if this is to follow it",
            file=loaded.file,
        )
