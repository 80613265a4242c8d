"""Who signed a procedure of a library with a key, as its front page prints it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from author.library.shop import shop_around
from author.library.signing.audit import ProcedureAudit, audit_procedure
from author.library.signing.manifest import ProcedureAct
from author.library.signing.people import read_keyring
from author.procedure.document import Procedure
from author.publish.signatures import Signature

_SAID = {
    "authored": "this revision, with a key",
    "reviewed": "the review, with a key",
    "approved": "approved, with a key",
}


def key_signatures(folder: Path, procedure: Procedure) -> tuple[Signature, ...]:
    """Return the signatures with keys on a procedure that stands in a library.

    Only those that hold are told: of this revision, over what is stored now, in a history
    in which nothing is wrong.

    Args:
        folder: the folder of the procedure; one outside a library has none.
        procedure: the procedure as it is printed.

    Raises:
        InputError: if a file of the library is wrong.
        MachineError: if it cannot be read.
    """
    shop = shop_around(folder)
    if shop is None:
        return ()
    place = shop.place_of(folder.resolve().name)
    found = audit_procedure(shop, place, read_keyring(shop.folder), outputs=False)
    if found.problems:
        return ()
    last: dict[tuple[str, str], Signature] = {}
    for act in _standing(found, procedure.revision):
        signature = Signature(act.role.capitalize(), act.name, _SAID[act.purpose], act.time[:10])
        last[act.name, act.purpose] = signature
    return tuple(last.values())


def _standing(found: ProcedureAudit, revision: int) -> Iterator[ProcedureAct]:
    for report in found.acts:
        act = report.entry.act
        if report.stands and act.revision == revision and act.purpose in _SAID:
            yield act
