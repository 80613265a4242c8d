"""The sign-offs beside a procedure: ``review.yaml`` in its folder."""

from __future__ import annotations

from pathlib import Path

from author.contract.procedure_file import as_plain
from author.contract.reading import read_bytes, read_model
from author.contract.yaml_writer import write_yaml
from author.procedure.review import REVIEW_SCHEMA, ReviewSheet
from author.storage import replace_file

REVIEW_FILE = "review.yaml"


def read_review(folder: Path) -> ReviewSheet | None:
    """Return the sign-offs in a procedure's folder, or None if there are none.

    Raises:
        InputError: if the file is wrong; ``FileErrors`` tells several faults.
        MachineError: if it cannot be read.
    """
    file = folder / REVIEW_FILE
    if not file.exists():
        return None
    return read_model(read_bytes(file), file, ReviewSheet, REVIEW_SCHEMA)[0]


def review_bytes(sheet: ReviewSheet) -> bytes:
    """Return the file of a sheet of sign-offs: the same sheet gives the same bytes."""
    return write_yaml(as_plain(sheet)).encode()


def write_review(folder: Path, sheet: ReviewSheet) -> Path:
    """Write the sign-offs into a procedure's folder, all or nothing, and return the file."""
    file = folder / REVIEW_FILE
    replace_file(file, review_bytes(sheet))
    return file
