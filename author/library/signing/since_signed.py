"""What was changed in a procedure's folder since an act of its history was signed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.reading import read_bytes
from author.contract.review_file import REVIEW_FILE, read_review, review_bytes
from author.errors import InputError
from author.library.signing.manifest import (
    ProcedureAct,
    covers_media,
    digest_of,
    names_to_sign,
    with_state,
)
from author.procedure.review import said_of

_NAMED, _MOST_LATER = 3, 200
Digests = dict[tuple[Path, str], str | None]
"""Digests taken already, by folder and name of the file."""


def changes_since(
    folder: Path, act: ProcedureAct, digests: Digests, *, exact: bool
) -> Iterator[str]:
    """Yield what differs between what was signed and what is stored.

    Who signed before anything was published signed the text: stills and clips made of it
    later change nothing of that, and are signed as published.

    Args:
        folder: where the files of the signed revision lie.
        act: the act.
        digests: of files that were read already; what is read is added.
        exact: whether the word for the state has to be as signed too.

    Raises:
        InputError, MachineError: if a file cannot be read.
    """
    for name, signed in act.files.items():
        if (folder, name) not in digests:
            digests[folder, name] = digest_of(folder, name)
        found = digests[folder, name]
        if found is None:
            yield f"{name} is missing, moved, or a link"
        elif found != signed and (
            exact or name != PROCEDURE_FILE or not _but_for_state(folder, act)
        ):
            later = _said_later(folder, signed) if name == REVIEW_FILE else ()
            yield f"{name} was changed" + (f" ({', '.join(later)})" if later else "")
    if act.purpose == "published" or covers_media(act):
        for name in names_to_sign(folder, act.purpose):
            if name not in act.files:
                yield f"{name} came after it was signed"


def _said_later(folder: Path, signed: str) -> tuple[str, ...]:
    """Return what was said of points since sign-offs were signed over, if that is all that differs.

    Args:
        folder: where the sign-offs lie.
        signed: SHA-256 of their file as it was signed.
    """
    try:
        sheet = read_review(folder)
    except InputError:
        return ()
    said = sheet.sign_offs if sheet is not None else ()
    for count in range(len(said) - 1, max(-1, len(said) - 1 - _MOST_LATER), -1):
        before = sheet.model_copy(update={"sign_offs": said[:count]}) if sheet else None
        if before and hashlib.sha256(review_bytes(before)).hexdigest() == signed:
            later = sorted(said[count:], key=lambda one: one.verdict != "queried")
            more = f"and {len(later) - _NAMED} more"
            named = tuple(said_of(one) for one in later[:_NAMED])
            return (*named, more) if len(later) > _NAMED else named
    return ()


def _but_for_state(folder: Path, act: ProcedureAct) -> bool:
    """Whether the procedure is what was signed, apart from the word for its state."""
    as_signed = with_state(read_bytes(folder / PROCEDURE_FILE), act.state)
    found = as_signed is not None and hashlib.sha256(as_signed).hexdigest()
    return found == act.files[PROCEDURE_FILE]
