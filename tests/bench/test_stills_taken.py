"""The still of a marked step is its best frame: at once, or as soon as the film is read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from author.bench.session import Session
from author.bench.stills import StillRenewing
from author.bench.window import BenchWindow
from author.editing import AddStep, SetField, Span
from bench.test_steady import Seen


@pytest.fixture
def read(window: BenchWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Seen:
    """What is seen in the film of the window: its sharpest frame is the 90th."""
    films = window.session.films
    qtbot.waitUntil(lambda: films.is_exact() and films.count() == 150, timeout=20_000)
    qtbot.waitUntil(lambda: films.analyses() is not None, timeout=20_000)
    seen = Seen()
    monkeypatch.setattr(films, "analyses", lambda _=None: seen)
    return seen


def still_frame(session: Session, step: str) -> int:
    placed = session.placed(step)
    assert placed is not None and placed.step.still is not None
    return session.films.frame_at(placed.step.still.at)


def mark(window: BenchWindow, first: int, last: int) -> str:
    for frame in (first, last):
        window.session.films.show(frame)
        window.actions_by_name["mark"].trigger()
    return window.session.step


def test_a_marked_step_has_its_best_frame_at_once(window: BenchWindow, read: Seen) -> None:
    session = window.session
    first = mark(window, 30, 100)  # the step that stood for the whole film
    assert still_frame(session, first) == 90
    entries = len(session.document.history)
    second = mark(window, 100, 140)
    assert second != first and still_frame(session, second) == 100
    assert len(session.document.history) == entries + 1
    window.to_film()


def test_both_halves_of_a_split_step_have_theirs(window: BenchWindow, read: Seen) -> None:
    session = window.session
    mark(window, 30, 129)
    second = mark(window, 20, 120)
    entries = len(session.document.history)
    session.films.show(60)
    window.actions_by_name["split"].trigger()
    assert len(session.document.history) == entries + 1
    assert session.step != second
    assert still_frame(session, session.step) == 90
    # The sharpest of the first half lies behind it; the nearest to that is taken.
    assert 50 < still_frame(session, second) < 60
    session.undo()
    assert still_frame(session, second) == 90
    window.to_film()


@pytest.fixture
def waiting(session: Session, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Session:
    """A session whose film is indexed and not surveyed yet."""
    films = session.films
    qtbot.waitUntil(lambda: films.is_exact() and films.count() == 150, timeout=20_000)
    qtbot.waitUntil(lambda: films.analyses() is not None, timeout=20_000)
    monkeypatch.setattr(films, "analyses", lambda _=None: None)
    return session


def added(session: Session, first: int, last: int) -> str:
    films = session.films
    span = Span(films.front, films.start_of(first), films.start_of(last))
    change = session.document.do(AddStep("Look at it.", span=span))
    return str(change.place[1])


def test_stills_nobody_touched_are_taken_anew_when_the_film_is_read(
    waiting: Session, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = waiting
    renewing = StillRenewing(session, session)
    left, chosen, told = (added(session, *span) for span in ((10, 140), (12, 140), (14, 140)))
    session.do(SetField(("steps", chosen, "still", "at"), session.films.start_of(30)))
    session.do(SetField(("steps", told, "still", "alt"), "The dial"))
    entries, middle = len(session.document.history), still_frame(session, told)
    monkeypatch.setattr(session.films, "analyses", lambda _=None: Seen())
    session.films.surveyed.emit(session.films.front)
    qtbot.waitUntil(lambda: still_frame(session, left) == 90)
    assert (still_frame(session, chosen), still_frame(session, told)) == (30, middle)
    assert len(session.document.history) == entries + 1
    assert session.document.undo_label == "Take the best frames as stills"
    session.undo()
    qtbot.wait(30)
    assert still_frame(session, left) == 75  # what a person takes back stays taken back
    assert renewing.parent() is session


def test_it_waits_for_work_that_is_offered(
    waiting: Session, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = waiting
    StillRenewing(session, session)
    step = added(session, 10, 140)
    offered = object()
    monkeypatch.setattr(session.document, "recovery", offered)
    monkeypatch.setattr(session.films, "analyses", lambda _=None: Seen())
    session.films.surveyed.emit(session.films.front)
    qtbot.wait(30)
    assert still_frame(session, step) == 75
    assert session.document.recovery is offered
    monkeypatch.setattr(session.document, "recovery", None)
    session.do(SetField(("title",), "Another title"))
    qtbot.waitUntil(lambda: still_frame(session, step) == 90)


def test_the_whole_film_that_a_job_begins_with_is_no_marked_step(
    open_session: Callable[[Path], Session], job_folder: Path, qtbot: QtBot
) -> None:
    session = open_session(job_folder)
    StillRenewing(session, session)
    qtbot.waitUntil(lambda: session.films.analyses() is not None, timeout=20_000)
    qtbot.wait(50)
    assert not session.document.dirty
