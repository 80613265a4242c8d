"""Who signed a procedure of a library with a key, as its front page prints it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE
from author.library.shop import shop_around
from author.library.signing.audit import ProcedureAudit, audit_procedure
from author.library.signing.manifest import ProcedureAct
from author.library.signing.people import read_keyring
from author.library.signing.sign_off_notes import people_or_none
from author.library.signing.since_signed import changes_since
from author.procedure.document import Procedure
from author.procedure.review import ReviewSheet
from author.publish.signatures import Signature

_SAID = {
    "authored": "this revision, with a key",
    "reviewed": "the review, with a key",
    "approved": "approved, with a key",
}


def key_signatures(folder: Path, procedure: Procedure) -> tuple[Signature, ...]:
    """Return the signatures with keys on a procedure that stands in a library.

    Only those that hold are told: of this revision, over what is stored now, in a history
    in which nothing is wrong. Of an author it is told as well where the text alone holds.

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
    for act, said in _standing(found, procedure.revision, place):
        signature = Signature(act.role.capitalize(), act.name, said, act.time[:10])
        last[act.name, act.purpose] = signature
    return tuple(last.values())


def strangers(folder: Path, sheet: ReviewSheet | None) -> tuple[str, ...]:
    """Return who signed off and is not known to the library a procedure stands in.

    Args:
        folder: the folder of the procedure; outside a library nobody is a stranger.
        sheet: the sign-offs in it.

    Raises:
        InputError: if a file of the library is wrong.
        MachineError: if it cannot be read.
    """
    shop = shop_around(folder) if sheet is not None else None
    known = people_or_none(shop) if shop is not None else None
    if known is None or sheet is None:
        return ()
    return known.strange([one.by for one in sheet.sign_offs])


def _standing(
    found: ProcedureAudit, revision: int, place: Path
) -> Iterator[tuple[ProcedureAct, str]]:
    """Yield the acts that hold, and what each signed; an author's text holds by itself."""
    for report in found.acts:
        act = report.entry.act
        if act.revision != revision or act.purpose not in _SAID:
            continue
        if report.stands:
            yield act, _SAID[act.purpose]
        elif act.purpose == "authored":
            changed = changes_since(place, act, {}, exact=False)
            if not any(one.startswith(f"{PROCEDURE_FILE} ") for one in changed):
                yield act, "the text, with a key; its stills or clips have changed since"
