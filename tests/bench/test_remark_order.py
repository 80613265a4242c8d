"""One goes from remark to remark from the place of the last; a success is told."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from author.bench.remark_order import gone_to, next_remark, weight
from author.bench.session import Session
from author.bench.window import BenchWindow
from author.checks import Remark, check
from author.editing import AddEntry, SetField
from bench.jobs import everything_said, sample_job

STEPS = ("bend-tab", "spin-wheel", "tighten-nut")


@pytest.fixture
def saw(open_session: Callable[[Path], Session], tmp_path: Path) -> Session:
    """The demonstration procedure with the same fault in three steps, in a part and in front."""
    session = open_session(sample_job(tmp_path))
    for step in STEPS:
        session.do(SetField(("steps", step, "action"), "Check it as required."))
    return session


def remarks(session: Session) -> list[Remark]:
    return sorted(check(session.procedure).remarks, key=weight)


def at(session: Session, step: str, found: list[Remark]) -> list[Remark]:
    placed = session.placed(step)
    assert placed is not None
    return [one for one in found if one.path[:4] == placed.path]


@pytest.mark.parametrize("by", [1, -1])
def test_one_goes_on_from_where_a_remark_was_mended(saw: Session, by: int) -> None:
    found = remarks(saw)
    steps = sorted(STEPS, key=lambda step: saw.placed(step).number)
    last = at(saw, steps[1], found)[0]
    gone = gone_to(saw.procedure, last)
    saw.do(SetField(("steps", steps[1], "action"), "Turn the wheel by hand."))
    left = [one for one in remarks(saw) if weight(one) == weight(last)]
    there = left[next_remark(saw.procedure, left, gone, by)]
    number = saw.placed(steps[1]).number
    same = [one for one in left if one.path[0] == "sections"]
    numbers = {one.path: _number(saw, one) for one in same if len(one.path) >= 4}
    further = [n for n in numbers.values() if (n >= number if by > 0 else n <= number)]
    assert _number(saw, there) == (min(further) if by > 0 else max(further))


def _number(session: Session, remark: Remark) -> int:
    return next(p.number for p in session.procedure.placed_steps() if p.path == remark.path[:4])


def test_a_neighbour_in_the_same_window_comes_before_another_window(saw: Session) -> None:
    found = remarks(saw)
    heavy = weight(at(saw, STEPS[0], found)[0])
    same = [one for one in found if weight(one) == heavy and one.path[0] == "sections"]
    gone = gone_to(saw.procedure, same[-1])
    elsewhere = [one for one in found if one.path[0] not in {"sections"}]
    left = [*(one for one in elsewhere if weight(one) == heavy), *same[:-1]]
    assert left[next_remark(saw.procedure, left, gone, 1)] == same[-2]


def test_the_key_goes_on_after_mending(window: BenchWindow, qtbot: QtBot) -> None:
    with qtbot.waitSignal(window.session.checked, timeout=10_000):
        pass
    view, deeds = window.remarks_view, window.actions_by_name
    place = [one.path for one in view.remarks].index(("purpose",))
    for _ in range(place + 1):
        deeds["next_remark"].trigger()
    assert view.chosen().path == ("purpose",)
    count, behind = len(view.remarks), view.remarks[place + 1].path
    window.session.do(SetField(("purpose",), "Keep the saw at work until its next service."))
    qtbot.waitUntil(lambda: len(view.remarks) < count, timeout=10_000)
    deeds["next_remark"].trigger()
    assert view.chosen().path == behind


def test_an_accepted_number_is_told_in_place_of_the_error(window, qtbot) -> None:
    session, view = window.session, window.review_view
    step = next(session.procedure.placed_steps()).step.id
    spec = {"characteristic": "Bore", "quantity": "length", "unit": "mm", "upper": "39.992"}
    session.do(AddEntry(("steps", step, "specs"), spec))
    window.actions_by_name["show_review"].trigger()
    window.actions_by_name["accept"].trigger()
    assert "Write a name" in window.statusBar().words()
    view._by.setText("R. V.")
    view._role.setText("Reviewer")
    said = everything_said(session)
    window.actions_by_name["accept"].trigger()
    qtbot.waitUntil(lambda: any(words.startswith("Accepted: Bore") for words in said))
