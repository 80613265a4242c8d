"""Is every job record as it was sent, and every release and answer as it was written?"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

from author.contract.reading import read_bytes
from author.errors import InputError
from author.library.records.answers import read_answer
from author.library.records.index import places_in
from author.library.records.keeping import (
    ANSWERS,
    FOLLOWED,
    RECORD_FILES,
    SENT_FILE,
    Sent,
    records_folder,
)
from author.library.records.notes import read_note
from author.library.records.releases import read_release
from author.library.shop import RECORDS, Shop
from author.library.signing.history import Problem
from author.progress import Cancel


def record_faults(shop: Shop, cancel: Cancel | None = None) -> Iterator[Problem]:
    """Yield the files among the records that were changed since they came.

    Args:
        shop: the library.
        cancel: looked at between files.

    Raises:
        MachineError: if a file cannot be read.
        Cancelled: on request.
    """
    top = records_folder(shop)
    for place in sorted(places_in(shop)):
        if cancel is not None:
            cancel.check()
        try:
            said = _fault(top.joinpath(*place.split("/")), place)
        except InputError as error:
            said = error.problem
        if said is not None:
            yield Problem(said, f"{RECORDS}/{place}")
    for file in sorted((top / FOLLOWED).glob("*.yaml")):
        if file.is_symlink() or _sha256(file) != file.stem:
            yield Problem(
                "this is not the procedure file that was followed",
                f"{RECORDS}/{FOLLOWED}/{file.name}",
            )


def _fault(path: Path, place: str) -> str | None:
    parts = place.split("/")
    if len(parts) == 3:
        read_release(path)
        return None
    if parts[0] == ANSWERS:
        read_answer(path)
        return None
    sent = read_note(path / SENT_FILE, Sent)
    file = next((one for name in RECORD_FILES if (one := path / name).exists()), None)
    if file is None:
        return "the record is gone"
    if file.is_symlink() or _sha256(file) != sent.sha256:
        return "this is not the record that was sent"
    return None


def _sha256(file: Path) -> str:
    return hashlib.sha256(read_bytes(file)).hexdigest()
