"""Small files beside records: who sent, released or answered; canonical JSON, never changed."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from author.contract.canonical_json import canonical_file
from author.errors import InputError
from author.procedure.values import Node
from author.storage import file_error

Note = TypeVar("Note", bound=Node)
_MOST_BYTES = 64 * 1024


def read_note(file: Path, model: type[Note]) -> Note:
    """Read a note.

    Args:
        file: the file.
        model: the form it has to be of.

    Raises:
        InputError: if it is a link, or not exactly what the program would have written.
        MachineError: if it cannot be read.
    """
    try:
        with file.open("rb") as stream:
            data = stream.read(_MOST_BYTES)
    except OSError as error:
        raise file_error(error, file) from error
    try:
        note = model.model_validate_json(data)
        same = canonical_file(note) == data
    except (ValidationError, InputError):
        same = False
    if not same or file.is_symlink():
        raise InputError(
            "this file was changed, or is none of the program's",
            remedy="Bring it back from a copy",
            file=file,
        )
    return note
