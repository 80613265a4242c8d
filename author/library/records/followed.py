"""The procedure file a job record was made with, found again by its SHA-256."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import get_args

from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.reading import read_bytes
from author.errors import InputError
from author.library.quick_reader import read_document
from author.library.shop import (
    PROCEDURES,
    RECORDS,
    REVISIONS,
    Shop,
    free_aside,
    revision_files,
    set_aside,
)
from author.library.signing.manifest import with_state
from author.procedure.document import Procedure, State
from author.procedure.job_record import JobRecord

FOLLOWED = "followed"
Published = Callable[[Procedure], bytes]
"""Writes the procedure file as publishing does."""
_STATES: tuple[State, ...] = get_args(State)


def records_folder(shop: Shop) -> Path:
    """Return the folder of all records."""
    return shop.folder / RECORDS


def find_followed(
    shop: Shop, record: JobRecord, published: Published, file: Path
) -> tuple[bytes, Procedure]:
    """Return the procedure file a record was made with, to the byte, and the procedure in it.

    Known are the current file, those of older revisions, drafts that were put aside, and what
    publishing makes or made of them; each in every state, as the library itself changes the line
    that says it.

    Args:
        shop: the library.
        record: the record.
        published: writes a procedure file as publishing does.
        file: the record's name, for errors.

    Raises:
        InputError: if the library does not know the procedure or the content.
        MachineError: if it cannot be read.
    """
    kept = records_folder(shop) / FOLLOWED / f"{record.content}.yaml"
    if kept.is_file() and not kept.is_symlink():
        data = read_bytes(kept)
        if hashlib.sha256(data).hexdigest() == record.content:
            return data, read_document(data, kept)
    name, revision = record.procedure.id, record.procedure.revision
    folder = shop.place_of(name)
    if folder.is_symlink() or not (folder / PROCEDURE_FILE).is_file():
        raise InputError(
            f"the library holds no procedure '{name}'",
            remedy="Shelve the procedure first, and send the record again",
            file=file,
        )
    for data in _candidates(folder, published, revision):
        for state in _STATES:
            told = with_state(data, state)
            if told is not None and hashlib.sha256(told).hexdigest() == record.content:
                return told, read_document(told, folder / PROCEDURE_FILE)
    aside = f"{PROCEDURES}/{name}/{REVISIONS}/{free_aside(folder, revision or 1)}"
    which = "" if revision is None else f", revision {revision},"
    raise InputError(
        f"the library does not know the file of '{name}'{which} that the record was made with: "
        f"its fingerprint begins {record.content[:16]}",
        remedy="Shelve the procedure as it was followed, or put the procedure.yaml that was "
        f"published with its work page into {aside}; then send the record again",
        file=file,
    )


def _candidates(folder: Path, published: Published, revision: int | None) -> Iterator[bytes]:
    older = [file for _, file in revision_files(folder)]
    files = [folder / PROCEDURE_FILE, *older, *(file for _, file in set_aside(folder))]
    files = [file for file in files if file.is_file() and not file.is_symlink()]
    for file in files:
        yield read_bytes(file)
        for inner in sorted(file.parent.iterdir()):
            made = inner / PROCEDURE_FILE
            if not inner.is_symlink() and made.is_file() and not made.is_symlink():
                yield read_bytes(made)
    for file in files:
        try:
            procedure = read_document(read_bytes(file), file)
        except InputError:
            continue  # a damaged one is told of by other commands, and is none to follow
        if procedure.revision == revision:
            yield published(procedure)
