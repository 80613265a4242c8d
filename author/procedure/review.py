"""Sign-offs of numbers and critical points: kept beside the procedure, never in it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from typing import Annotated, Literal

from pydantic import BaseModel, Field

from author.procedure.document import Point, Procedure
from author.procedure.specs import LimitSpec
from author.procedure.values import STATED, Count, Date, Fingerprint, Id, Line, Node

REVIEW_SCHEMA = "review/1"


class SignOff(Node):
    """What one person said of one number, critical point or criterion.

    Attributes:
        point: id of the spec, critical point or criterion.
        content: fingerprint of what was looked at: the point, its source and its
            instrument. A later change of any of them makes the sign-off stale.
        verdict: ``accepted``, or ``queried`` with a note.
        by: name or initials.
        role: what the person is to the shop.
        date: the day.
        note: what is queried, the answer that settles a query, or anything else worth saying.
    """

    point: Id
    content: Fingerprint
    verdict: Literal["accepted", "queried"]
    by: Line
    role: Line
    date: Date
    note: Line | None = None


class ReviewSheet(Node):
    """All sign-offs of one revision of a procedure.

    Attributes:
        schema_name: ``review/1``; written as ``schema``, always first.
        procedure: id of the procedure.
        revision: its revision.
        sign_offs: what was said, oldest first.
    """

    schema_name: Annotated[Literal["review/1"], Field(alias="schema")]
    procedure: Id
    revision: Count
    sign_offs: Annotated[tuple[SignOff, ...], STATED]

    def latest(self) -> dict[str, SignOff]:
        """Return the last word on each point by its id."""
        return self.latest_of(lambda _: True)

    def latest_of(self, wanted: Callable[[SignOff], bool]) -> dict[str, SignOff]:
        """Return the last word on each point, of those that are wanted."""
        return {sign_off.point: sign_off for sign_off in self.sign_offs if wanted(sign_off)}

    def queries(self) -> tuple[SignOff, ...]:
        """Return the queries that nobody has settled: the last word on their points."""
        return tuple(one for one in self.latest().values() if one.verdict == "queried")

    def overruled(self) -> tuple[tuple[SignOff, SignOff], ...]:
        """Return each query that somebody else settled, with the acceptance that settled it.

        Whoever queried a point and has said something else of it since has taken that back.
        """
        latest, asked = self.latest(), dict[tuple[str, str], tuple[int, SignOff]]()
        for at, one in enumerate(self.sign_offs):
            asked[one.point, same_name(one.by)] = (at, one)
        found = []
        for at, query in asked.values():
            if query.verdict != "queried" or latest[query.point].verdict == "queried":
                continue
            later = (one for one in self.sign_offs[at:] if one.point == query.point)
            found.append((query, next(one for one in later if one.verdict == "accepted")))
        return tuple(found)


def said_of(sign_off: SignOff) -> str:
    """Return what somebody said of a point: ``'gap' was queried by J. R.: “Is it not 5?”``."""
    note = f": “{sign_off.note}”" if sign_off.note else ""
    return f"'{sign_off.point}' was {sign_off.verdict} by {sign_off.by}{note}"


def authors_of(procedure: Procedure) -> tuple[str, ...]:
    """Return who wrote a procedure: its authors, and whoever wrote a revision of it."""
    named = procedure.review.authors if procedure.review else ()
    return (*named, *(change.by for change in procedure.changes if change.by))


def same_name(name: str) -> str:
    """Return what two spellings of one name share: ``A. R.``, ``a.r.`` and ``AR``."""
    return "".join(char for char in name.casefold() if char.isalnum())


def point_content(procedure: Procedure, point: Point) -> str:
    """Return the fingerprint of a point with all it rests on.

    Args:
        procedure: the document it stands in.
        point: a spec, critical point or criterion of it.

    Returns:
        SHA-256, hexadecimal, of the JSON text of the point, its source and its
        instrument with sorted keys; derived SI values are left out.
    """
    source = next((s for s in procedure.sources if s.id == point.source), None)
    named = point.instrument if isinstance(point, LimitSpec) else None
    instrument = next((t for t in procedure.tools if t.id == named), None)
    parts = [_plain(node) for node in (point, source, instrument)]
    text = json.dumps(parts, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _plain(node: BaseModel | None) -> object:
    if node is None:
        return None
    return node.model_dump(mode="json", by_alias=True, exclude_none=True, exclude={"si"})
