"""Which revision of a procedure work goes by, and whether a job may be begun by one.

It is read from the files, not from the index, so that it is never behind them; the rule is
that of ``library.standing``.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass

from author.errors import InputError
from author.library.shop import REVISIONS, Shop
from author.library.signing.given_states import aside_by_history
from author.library.signing.states import OUT_OF_USE, WORKED_ON, ruling, words
from author.serve.procedure_view import Head, View, has_page, head_of, view_of
from author.serve.rendering import NotHereError
from author.serve.standing_audit import Held


@dataclass(frozen=True, slots=True)
class InForce:
    """The revision of a procedure that work goes by.

    Attributes:
        head: what is said first of it.
        place: name of its folder below ``revisions/``; None of the present revision.
        newest: head of the present revision; None if its file cannot be read.
        unread: why it cannot be read.
    """

    head: Head
    place: str | None
    newest: Head | None
    unread: str | None = None

    @property
    def is_ruled(self) -> bool:
        """Whether it is approved, so that work does go by it."""
        return self.head.state == "approved"


def in_force(shop: Shop, procedure: str) -> InForce:
    """Return which revision is in force.

    That is the present one, or while it is worked on or cannot be read the older one that was
    settled last, be it that it is withdrawn.

    Args:
        shop: the library.
        procedure: id of the procedure, as somebody typed it.

    Raises:
        NotHereError: if the library does not hold it.
        InputError: if its file is wrong and no older revision is approved.
        MachineError: if it cannot be read.
    """
    newest, wrong = None, None
    try:
        newest = head_of(shop, procedure)
    except NotHereError:
        raise
    except InputError as error:
        wrong = error
    if newest is None or newest.state in WORKED_ON:
        older = dict(_settled(shop, procedure))
        states = {number: head.state for number, head in older.items()}
        ruled = ruling(states, lambda: aside_by_history(shop, procedure))
        if ruled is not None:
            said = None if wrong is None else wrong.problem
            return InForce(older[ruled], str(ruled), newest, said)
    if newest is None:
        assert wrong is not None  # noqa: S101 - it is one or the other
        raise wrong
    return InForce(newest, None, newest)


def _settled(shop: Shop, procedure: str) -> Iterator[tuple[int, Head]]:
    """Yield the kept revisions from the newest to the first that is no more than put aside."""
    for number in older_revisions(shop, procedure):
        try:
            head = head_of(shop, procedure, str(number))
        except InputError:
            continue
        if head.revision == number and head.state not in WORKED_ON:
            yield number, head
            if head.state != "withdrawn":
                return


def older_revisions(shop: Shop, procedure: str) -> list[int]:
    """Return the numbers of the revisions kept below a procedure, the newest first."""
    try:
        names = os.listdir(shop.place_of(procedure) / REVISIONS)  # noqa: PTH208 - names are enough
    except OSError:
        return []
    return sorted((int(one) for one in names if one.isdecimal() and len(one) < 8), reverse=True)


def revision_view(shop: Shop, procedure: str, number: str) -> View:
    """Return what is shown of a revision by its number: the present one, or one that is kept.

    Raises:
        NotHereError, InputError, MachineError: as ``view_of`` does.
    """
    try:
        present = head_of(shop, procedure)
    except NotHereError:
        raise
    except InputError:
        present = None  # those that are kept are there all the same
    if present is not None and str(present.revision) == number:
        return view_of(shop, procedure)
    return view_of(shop, procedure, number)


def why_no_job(force: InForce, view: View, held: Held) -> str | None:
    """Return why no job is begun by a revision, as a sentence; None if one may be.

    Args:
        force: the revision in force.
        view: the revision a job is to be begun by.
        held: how the procedure stands by its signatures.
    """
    head, stands = view.head, held.kind(view.head.revision)
    if (view.place, head.revision) != (force.place, force.head.revision):
        number, ruled = force.head.revision, force.head.state
        if force.is_ruled:
            return f"Revision {number} is in force, not this one."
        if ruled in OUT_OF_USE:
            return f"Revision {number} is {words(ruled)}, and nothing after it is approved."
        return f"Revision {number} has taken the place of this one."
    if stands == "wrong":
        return "It is not as signed."
    if head.state in OUT_OF_USE:
        return f"It is {words(head.state)}{_reason(head, held)}."
    if head.state == "approved" and stands == "unsigned" and held.keyed:
        return "It says approved, and nobody has signed it."
    return _not_published(view)


def _reason(head: Head, held: Held) -> str:
    """Return why a revision was given its state, as whoever signed it said; else nothing."""
    for report in reversed(held.audit.acts):
        act = report.entry.act
        if (act.revision, act.purpose) == (head.revision, head.state):
            return f": {act.reason.rstrip('.')}" if act.reason else ""
    return ""


def _not_published(view: View) -> str | None:
    """Return that what is published is not what the file says now; None if it is."""
    published = view.published
    if has_page(published) and published is not None and published.revision != view.head.revision:
        return f"What is published is revision {published.revision}: publish this one."
    return "It was changed after it was published: publish it again." if view.behind else None
