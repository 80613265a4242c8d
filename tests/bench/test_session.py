"""What the views are told of a change, and when."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.bench.remark_sorting import NOTHING_SAID, sort_remarks
from author.bench.session import Session
from author.bench.window import BenchWindow
from author.checks import check
from author.editing import AddStep, SetField, Span
from author.procedure.document import Procedure

Told = list[tuple[Procedure, Procedure]]


@pytest.fixture
def session(window: BenchWindow) -> Session:
    return window.session


@pytest.fixture
def told(session: Session) -> Told:
    found: Told = []
    session.changed.connect(lambda before, after: found.append((before, after)))
    return found


def look_at_it(session: Session, at: int = 1) -> AddStep:
    span = Span(session.films.front, Decimal(at), Decimal(at) + Decimal("0.5"))
    return AddStep("Look at it.", id=f"look-{at}", span=span)


def test_of_a_gesture_the_views_hear_once(session: Session, told: Told) -> None:
    first = session.procedure
    with session.document.gesture("Two at once"):
        session.do(look_at_it(session))
        session.do(SetField(("steps", "look-1", "action"), "Feel it."))
        assert not told
    assert told == [(first, session.procedure)]


def test_a_step_made_in_a_gesture_can_be_chosen_in_it(session: Session, told: Told) -> None:
    chosen: list[str] = []
    session.step_chosen.connect(chosen.append)
    with session.document.gesture("Two at once"):
        session.do(look_at_it(session))
        session.choose_step("look-1")
        assert len(told) == 1 and chosen == ["look-1"]
        session.do(SetField(("steps", "look-1", "action"), "Feel it."))
    assert [before is after for before, after in told] == [False, False]
    assert told[1] == (told[0][1], session.procedure)


def test_views_end_on_what_is_there_where_a_gesture_comes_to_nothing(
    session: Session, told: Told
) -> None:
    title = session.procedure.title
    with session.document.gesture("There and back"):
        session.do(SetField(("title",), "Another"))
        session.do(SetField(("title",), title))
    assert told[-1][1] is session.procedure and not session.document.history
    with pytest.raises(KeyboardInterrupt), session.document.gesture("Broken off"):
        session.do(SetField(("title",), "Another"))
        raise KeyboardInterrupt
    assert told[-1][1] is session.procedure and session.procedure.title == title


def test_remarks_that_stay_are_the_same_objects(session: Session) -> None:
    for at in (1, 2):
        session.do(look_at_it(session, at))
    first = sort_remarks(check(session.procedure), NOTHING_SAID)
    again = sort_remarks(check(session.procedure), first)
    assert again.list is first.list
    session.do(SetField(("steps", "look-2", "action"), "It is looked at."))
    third = sort_remarks(check(session.procedure), first)
    assert third.list is not first.list
    assert third.by_step["look-1"] is first.by_step["look-1"]
    assert third.by_step["look-2"] != first.by_step["look-2"]
    assert sorted(map(repr, third.list.remarks)) == sorted(
        map(repr, check(session.procedure).remarks)
    )
