"""Look over a folder of procedures for those that one of them names."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from author.checks import Neighbour
from author.checks.links import references
from author.contract import read_procedure
from author.contract.procedure_file import PROCEDURE_FILE
from author.errors import InputError
from author.library.shop import PROCEDURES, SHOP_FILE, revision_files
from author.procedure.document import Procedure
from author.progress import Cancel


def look_over(
    shelf: Path, procedure: Procedure, cancel: Cancel | None = None
) -> dict[str, Neighbour]:
    """Return what is known of every other procedure in a folder, by its id.

    Several folders may hold revisions of one procedure. Of those that a library keeps below a
    procedure, the ones that are asked for by their number are looked at as well.

    Args:
        shelf: a folder whose folders hold a ``procedure.yaml`` each, or a library.
        procedure: the one they are looked over for, itself left out.
        cancel: looked at between files.

    Raises:
        InputError: if there is no such folder, or a procedure in it cannot be read.
        MachineError: if the machine fails.
    """
    if not shelf.is_dir():
        raise InputError(
            "there is no such folder", remedy="Name a folder of procedure folders", file=shelf
        )
    places = shelf / PROCEDURES if (shelf / SHOP_FILE).is_file() else shelf
    asked = {(named.id, named.revision) for _, named in references(procedure)}
    found: dict[str, list[Procedure]] = {}
    for file in sorted(places.glob(f"*/{PROCEDURE_FILE}")):
        if cancel is not None:
            cancel.check()
        one = read_procedure(file).procedure
        if one.id == procedure.id:
            continue
        found.setdefault(one.id, []).append(one)
        for number, older in revision_files(file.parent):
            if (one.id, number) in asked and older.is_file():
                found[one.id].append(read_procedure(older).procedure)
    return {name: _neighbour(revisions) for name, revisions in found.items()}


def _neighbour(revisions: list[Procedure]) -> Neighbour:
    newest = max(revisions, key=lambda one: one.revision)
    needs = (before.procedure for before in newest.prerequisites)
    return Neighbour(
        revisions=frozenset(one.revision for one in revisions),
        needs=frozenset(reference.id for reference in needs if reference is not None),
        leaves_off={one.revision: _left(one, "close_outs", "discharges") for one in revisions},
        finds_off={one.revision: _left(one, "prerequisites", "hands_over") for one in revisions},
    )


def _left(procedure: Procedure, name: str, key: str) -> Counter[tuple[str, str]]:
    """Count the pieces that pass, under the part's id and under its number."""
    numbers = {part.id: part.number for part in procedure.parts}
    found: Counter[tuple[str, str]] = Counter()
    for entry in getattr(procedure, name):
        for left in getattr(entry, key) or ():
            for known in {left.part, numbers.get(left.part) or left.part}:
                found[known, left.state] += left.quantity
    return found
