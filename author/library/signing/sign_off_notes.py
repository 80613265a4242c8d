"""Sign-offs by people who may not give them: whoever wrote the procedure, or nobody known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from author.contract.review_file import read_review
from author.errors import InputError
from author.library.shop import Shop
from author.library.signing.known_people import KnownPeople, people_of
from author.procedure.document import Procedure
from author.procedure.review import ReviewSheet, SignOff, authors_of, point_content, same_name

_MOST_NAMED = 3


def sign_off_notes(procedure: Procedure, folder: Path, known: KnownPeople | None) -> Iterator[str]:
    """Yield what has to be told of the sign-offs beside a procedure, without full stop.

    Args:
        procedure: the document.
        folder: its folder.
        known: the people of the library; None if they cannot be read.

    Raises:
        MachineError: if the sign-offs cannot be read.
    """
    try:
        sheet = read_review(folder)
    except InputError as error:
        yield f"Its sign-offs cannot be read: {error.problem}"
        return
    if sheet is None:
        return
    wrote = {same_name(name) for name in authors_of(procedure)} - {""}
    own = [one for one in sheet.latest().values() if same_name(one.by) in wrote]
    if own:
        yield f"{_people(own)} wrote it and signed off {_points(own)}: somebody else has to"
    if known is None:
        yield "Whether the library knows who signed off cannot be said: its accounts are damaged"
        return
    strange = known.strange([one.by for one in sheet.sign_offs])
    theirs = [o for o in sheet.latest().values() if o.by in strange and o not in own]
    if theirs:
        yield strangers_said(theirs)


def accepted_by_strangers(
    procedure: Procedure, sheet: ReviewSheet, known: KnownPeople
) -> Iterator[SignOff]:
    """Yield the last word on each point that nobody known to the library has accepted as it is.

    An acceptance before a query of the point says nothing. Accounts that cannot be read here
    are taken for none.

    Args:
        procedure: the document.
        sheet: the sign-offs beside it.
        known: the people of the library.
    """
    content = {one.id: point_content(procedure, one) for _, _, one in procedure.placed_points()}
    vouched: dict[str, bool] = {}
    for one in sheet.sign_offs:
        if one.verdict == "queried":
            vouched[one.point] = False
        elif one.content == content.get(one.point):
            vouched[one.point] = vouched.get(one.point, False) or known.of(one.by) is not None
    for point, last in sheet.latest().items():
        if point in content and not vouched.get(point, False):
            yield last


def strangers_said(some: Sequence[SignOff]) -> str:
    """Return who signed off what without being known, without full stop."""
    return f"{_points(some)} signed off by {_people(some)}, whom the library does not know"


def people_or_none(shop: Shop) -> KnownPeople | None:
    """Return the people of a library; None where its accounts or its history are damaged."""
    try:
        return people_of(shop)
    except InputError:
        return None


def _people(some: Sequence[SignOff]) -> str:
    return _few(list(dict.fromkeys(one.by[:60] for one in some)))


def _points(some: Sequence[SignOff]) -> str:
    return _few([f"'{one.point}'" for one in some])


def _few(names: list[str]) -> str:
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    return f"{', '.join(names[:_MOST_NAMED])}{more}"
