"""Puts a procedure folder into the library, in one step of the file system.

The folder of a procedure holds its newest revision as the author's folder had it. The one
before is kept below ``revisions/``, by its number. What the library itself writes beside it,
signatures and history, is carried over and never overwritten.
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from author.contract.procedure_file import PROCEDURE_FILE, LoadedProcedure, read_procedure
from author.errors import InputError
from author.folder_exchange import exchange
from author.library.locking import writing
from author.library.manifest import with_state
from author.library.shop import REVISIONS, Shop
from author.progress import Cancel
from author.storage import before_step, file_error, file_sha256, write_file

KEPT = (REVISIONS, "signatures", "history")
"""What the library keeps in a procedure's folder; an author's folder never brings it."""

_LEFT = re.compile(r"\.([a-z0-9-]+)\.new-[0-9a-f]{8}(?:-old)?$")
_SETTLED = ("approved", "superseded", "withdrawn")


@dataclass(frozen=True, slots=True)
class Shelved:
    """What became of a procedure folder.

    Attributes:
        procedure: id of the procedure.
        revision: its revision.
        folder: where it lies now.
        did: ``new``, ``next`` revision, ``changed`` at the same revision, or ``same`` where
            the library had it already.
        before: the revision that was there, None if there was none.
    """

    procedure: str
    revision: int
    folder: Path
    did: Literal["new", "next", "changed", "same"]
    before: int | None


def shelve(shop: Shop, source: Path, cancel: Cancel | None = None) -> Shelved:
    """Put a procedure folder into the library.

    Args:
        shop: the library.
        source: a folder that holds a procedure, or its procedure file.
        cancel: looked at between files; the library is then as it was.

    Raises:
        InputError: if the procedure is wrong, older than the one in the library, or of a
            revision that is settled there with another content; if a link leads out of its
            folder; or if the library cannot be written.
        MachineError: if the machine fails.
        Cancelled: on request.
    """
    loaded = read_procedure(source)
    folder = loaded.file.parent.resolve()
    if folder.is_relative_to(shop.procedures.resolve()):
        raise InputError(
            "this folder lies in the library already", remedy="Name a folder outside", file=source
        )
    files = dict(_files_of(folder))
    with writing(shop):
        try:
            return _put(shop, loaded, files, cancel or Cancel())
        except OSError as error:
            raise file_error(error, error.filename or shop.folder) from error


def _put(shop: Shop, loaded: LoadedProcedure, files: dict[str, Path], cancel: Cancel) -> Shelved:
    one = loaded.procedure
    shop.procedures.mkdir(exist_ok=True)
    target = shop.place_of(one.id)
    _tidy(target)
    _refuse_other_case(shop, one.id, target)
    before = _before(target)
    if before is not None:
        _refuse_step_back(loaded, before)
        if before == one.revision and _is_same(target, files):
            return Shelved(one.id, one.revision, target, "same", before)
    built = shop.procedures / f".{one.id}.new-{secrets.token_hex(4)}"
    before_step("make", built)
    built.mkdir()
    try:
        for name, path in files.items():
            cancel.check()
            _copy(path, built.joinpath(*name.split("/")))
        if before == one.revision:
            _keep_state(target, built)
        if before is not None:
            _carry_over(target, built, before if before != one.revision else None, set(files))
        before_step("exchange", target)
        exchange(built, target)
        before_step("tidy", target)
    finally:
        shutil.rmtree(built, ignore_errors=True)
    did: Literal["new", "next", "changed"] = "new"
    if before is not None:
        did = "changed" if before == one.revision else "next"
    return Shelved(one.id, one.revision, target, did, before)


def _files_of(folder: Path) -> Iterator[tuple[str, Path]]:
    """Yield name and path of every file of an author's folder, hidden and the library's left out.

    A link is followed where it leads to a file in the same folder.
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


def _refuse_other_case(shop: Shop, name: str, target: Path) -> None:
    if target.is_symlink():
        raise InputError("this is a link, not a folder", remedy="Take it out", file=target)
    for other in shop.procedures.iterdir():
        if other.name != name and other.name.casefold() == name:
            raise InputError(
                f"the library has a folder '{other.name}': '{name}' differs from it only in case",
                remedy=f"Rename it to '{name}' if it is the same procedure, or take it out",
                file=other,
            )


def _before(target: Path) -> int | None:
    """Return the revision in a folder of the library, None where there is no procedure."""
    if not (target / PROCEDURE_FILE).exists():
        return None
    try:
        return read_procedure(target).procedure.revision
    except InputError as error:
        raise InputError(
            f"the procedure in the library is damaged: {error.problem}",
            remedy="Mend it or take its folder out first, so that nothing is lost",
            file=target / PROCEDURE_FILE,
            line=error.line,
        ) from error


def _refuse_step_back(loaded: LoadedProcedure, before: int) -> None:
    one = loaded.procedure
    if one.revision < before:
        raise InputError(
            f"this is revision {one.revision}, and the library has revision {before}",
            remedy=f"Count the revision up to {before + 1} if this is to follow it",
            file=loaded.file,
        )


def _is_same(target: Path, files: dict[str, Path]) -> bool:
    """Whether every file is in the library as it is; refuses to change what is settled."""
    differ = {
        name
        for name, path in files.items()
        if not (place := target.joinpath(*name.split("/"))).is_file()
        or place.stat().st_size != path.stat().st_size
        or file_sha256(place) != file_sha256(path)
    }
    if differ:
        state = read_procedure(target).procedure.state
        # A state beyond draft is given in the library; the author's own file may still say draft.
        mine = with_state(files[PROCEDURE_FILE].read_bytes(), state)
        if state != "draft" and mine == (target / PROCEDURE_FILE).read_bytes():
            differ.discard(PROCEDURE_FILE)
        if differ and state in _SETTLED:
            raise InputError(
                f"this revision is {state} in the library, with another content",
                remedy="Count the revision up",
                file=files[min(differ)],
            )
    return not differ


def _keep_state(target: Path, built: Path) -> None:
    """Let a procedure that is shelved again keep the state it was given in the library."""
    file = built / PROCEDURE_FILE
    state = read_procedure(target).procedure.state
    data = with_state(file.read_bytes(), state) if state != "draft" else None
    if data is not None and data != file.read_bytes():
        write_file(file, data)


def _carry_over(target: Path, built: Path, before: int | None, fresh: set[str]) -> None:
    """Take along what the folder in the library holds beside the new files.

    Args:
        target: the folder in the library.
        built: the one that takes its place.
        before: the revision in the library where another one follows it, else None.
        fresh: names of the new files.
    """
    for root, folders, names in os.walk(target):
        base = Path(root)
        folders.sort()
        for name in sorted(names):
            path = base / name
            short = path.relative_to(target).as_posix()
            place = built.joinpath(*short.split("/"))
            if short.split("/")[0] not in KEPT:
                if before is not None:
                    place = built.joinpath(REVISIONS, str(before), *short.split("/"))
                elif short in fresh:
                    continue
            _link(path, place)


def _copy(path: Path, place: Path) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    before_step("write", place)
    shutil.copyfile(path, place)
    with place.open("rb+") as stream:
        os.fsync(stream.fileno())
    before_step("written", place)


def _link(path: Path, place: Path) -> None:
    """Put a file of the library at a second place, without its bytes where that can be."""
    place.parent.mkdir(parents=True, exist_ok=True)
    before_step("carry", place)
    try:
        os.link(path, place, follow_symlinks=False)
    except (OSError, NotImplementedError):
        shutil.copy2(path, place, follow_symlinks=False)


def tidy(shop: Shop) -> None:
    """Mend what killed runs left in the whole library; does nothing where nothing is left.

    Raises:
        InputError, MachineError: if it cannot be written.
    """
    left = {match[1] for one in shop.procedures.glob(".*") if (match := _LEFT.match(one.name))}
    if left:
        with writing(shop):
            for name in sorted(left):
                _tidy(shop.place_of(name))


def _tidy(target: Path) -> None:
    """Mend what killed runs left; the lock says no run is alive."""
    for away in sorted(target.parent.glob(f".{target.name}.new-????????-old")):
        if target.exists():
            shutil.rmtree(away, ignore_errors=True)
        else:
            away.rename(target)
    for built in sorted(target.parent.glob(f".{target.name}.new-????????")):
        shutil.rmtree(built, ignore_errors=True)
