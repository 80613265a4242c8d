"""The outline: steps are marked, moved, split and joined without the mouse."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PyQt6.QtCore import QModelIndex, QPointF, Qt
from PyQt6.QtGui import QDropEvent
from pytestqt.qtbot import QtBot

from author.bench.session import Session
from author.bench.views.steps_model import ROW, StepsModel
from author.checks.wording import UNWRITTEN
from author.editing import Rename
from author.procedure.steps import Step
from bench.hands import Hands
from bench.jobs import Desk, desk_on, sample_job


def frames_known(session: Session) -> bool:
    index = session.films.index()
    return index is not None and len(index.ticks) == 150


@pytest.fixture
def bench(session: Session, qtbot: QtBot) -> Iterator[Desk]:
    """The right column on a procedure just begun, its film read, the keys with the film."""
    qtbot.waitUntil(lambda: frames_known(session), timeout=20_000)
    with desk_on(session, qtbot) as desk:
        yield desk


@pytest.fixture
def saw(open_session: Callable[[Path], Session], tmp_path: Path, qtbot: QtBot) -> Iterator[Desk]:
    """The right column on the demonstration procedure, without its films."""
    with desk_on(open_session(sample_job(tmp_path)), qtbot) as desk:
        yield desk


def steps(session: Session) -> list[Step]:
    return [placed.step for placed in session.procedure.placed_steps()]


def order(session: Session) -> list[str]:
    return [step.id for step in steps(session)]


def show(bench: Desk, frame: int) -> None:
    bench.session.films.show(frame)


def test_a_step_is_marked_typed_and_done_in_three_keys_and_its_words(bench: Desk) -> None:
    hands, session = Hands(bench), bench.session
    show(bench, 10)
    hands.press("M")
    show(bench, 34)
    hands.press("M")
    hands.type("Undo the nut.")
    hands.press("Enter")
    assert hands.pressed == 3 + len("Undo the nut.")
    (step,) = steps(session)
    assert step.action == "Undo the nut."
    assert step.clip is not None and step.still is not None
    films = session.films
    # The frame shown at the second press is the last one inside: 25 frames in all.
    assert (films.frame_at(step.clip.start), films.frame_at(step.clip.end)) == (10, 35)
    assert step.clip.start <= step.still.at < step.clip.end
    # The keys are back with the film, and the step has a name that a person can say.
    assert bench.film.hasFocus()
    assert step.id == "undo-nut" and session.step == "undo-nut"


def test_the_next_one_stands_behind_it_and_undo_takes_words_then_step(bench: Desk) -> None:
    hands, session = Hands(bench), bench.session
    for first, last, words in ((0, 9, "Open the door."), (20, 29, "Lift the wheel off.")):
        show(bench, first)
        hands.press("M")
        show(bench, last)
        hands.press("M")
        hands.type(words)
        hands.press("Enter")
    assert order(session) == ["open-door", "lift-wheel-off"]
    hands.press("Ctrl+Z")
    assert [step.action.startswith(UNWRITTEN) for step in steps(session)] == [False, True]
    bench.to_film()
    hands.press("Ctrl+Z")
    assert order(session) == ["open-door"]


def test_leaving_the_words_any_way_names_the_step_and_words_written_later_do_not(
    bench: Desk,
) -> None:
    hands, session = Hands(bench), bench.session
    hands.press("M", "M")
    hands.type("Lift the guard off.")
    hands.press("Esc")
    assert order(session) == ["lift-guard-off"]
    session.do(Rename(("steps", "lift-guard-off"), "step-7"))
    session.choose_step("step-7")
    hands.press("W")
    hands.press("Esc")
    hands.press("W")
    hands.type(" Twice.")
    hands.press("Esc")
    assert order(session) == ["step-7"]


def test_marking_backwards_and_one_frame_alone(bench: Desk) -> None:
    hands, session = Hands(bench), bench.session
    show(bench, 40)
    hands.press("M")
    show(bench, 30)
    hands.press("M")
    clip = steps(session)[0].clip
    films = session.films
    assert clip is not None
    assert (films.frame_at(clip.start), films.frame_at(clip.end)) == (30, 41)
    bench.to_film()
    show(bench, 50)
    hands.press("M", "M")
    clip = steps(session)[1].clip
    assert clip is not None
    assert (films.frame_at(clip.start), films.frame_at(clip.end)) == (50, 51)


def test_the_last_frame_of_the_film_can_be_the_last_one_inside(bench: Desk) -> None:
    hands, session = Hands(bench), bench.session
    show(bench, 140)
    hands.press("M")
    show(bench, 149)
    hands.press("M")
    clip = steps(session)[0].clip
    assert clip is not None and clip.end == session.films.start_of(150)


def test_a_mark_is_taken_back(bench: Desk) -> None:
    hands, session = Hands(bench), bench.session
    hands.press("M")
    assert session.mark is not None
    hands.press("Shift+M")
    assert session.mark is None
    assert session.document.history == ()


def test_begin_and_end_of_the_chosen_step_follow_the_film(bench: Desk) -> None:
    hands, session = Hands(bench), bench.session
    show(bench, 12)
    hands.press("F")
    show(bench, 80)
    hands.press("E")
    clip = steps(session)[0].clip
    films = session.films
    assert clip is not None
    assert (films.frame_at(clip.start), films.frame_at(clip.end)) == (12, 81)
    said: list[str] = []
    session.said.connect(lambda _severity, words: said.append(words))
    show(bench, 5)
    hands.press("E")
    assert steps(session)[0].clip is clip
    assert "not after its begin" in said[-1]


def test_a_step_is_split_at_the_frame_shown_and_joined_again(bench: Desk) -> None:
    hands, session = Hands(bench), bench.session
    show(bench, 60)
    hands.press("/")
    hands.type("Turn it over.")
    hands.press("Enter")
    first, second = steps(session)
    assert second.action == "Turn it over." and second.clip is not None and first.clip is not None
    assert first.clip.end == second.clip.start == session.films.start_of(60)
    hands.press("Up", "J")
    (whole,) = steps(session)
    assert whole.clip is not None and whole.clip.end == second.clip.end


def test_steps_are_moved_by_keys_across_sections_and_each_is_one_entry(saw: Desk) -> None:
    hands, session = Hands(saw), saw.session
    was = order(session)
    session.choose_step(was[1])
    hands.press("Ctrl+Up")
    assert order(session)[:2] == [was[1], was[0]]
    assert (session.step, len(session.document.history)) == (was[1], 1)
    last = session.procedure.sections[0].steps[-1].id
    session.choose_step(last)
    hands.press("Ctrl+Down")
    assert session.procedure.sections[1].steps[0].id == last
    hands.press("Ctrl+Z", "Ctrl+Z")
    assert order(session) == was


def test_several_steps_are_moved_and_removed_together(saw: Desk) -> None:
    session, outline = saw.session, saw.steps_view
    hands = Hands(saw)
    was = order(session)
    session.choose_step(was[0])
    outline.list.setFocus()
    hands.press("Shift+Down")
    assert outline.chosen_steps() == (was[0], was[1])
    hands.press("Ctrl+Down")
    assert order(session)[:3] == [was[2], was[0], was[1]]
    assert set(outline.chosen_steps()) == {was[0], was[1]}
    said: list[str] = []
    session.said.connect(lambda _severity, words: said.append(words))
    before = session.procedure
    hands.press("Ctrl+Del")
    gone = {was[0], was[1]} - set(order(session))
    assert gone == {was[0], was[1]} or (said and session.procedure is before)


def test_lines_are_dragged_within_and_between_sections(saw: Desk) -> None:
    session, model = saw.session, saw.steps_view.model
    was = order(session)
    move, nowhere = Qt.DropAction.MoveAction, QModelIndex()
    carried = model.mimeData([model.index(model.row_of(was[3]))])
    model.dropMimeData(carried, move, model.row_of(was[0]), 0, nowhere)
    assert order(session)[:2] == [was[3], was[0]]
    assert len(session.document.history) == 1
    # Dropped above a heading it is the last of the section before; below it, the first.
    heading = model.row_of(session.procedure.sections[1].id, section=True)
    carried = model.mimeData([model.index(model.row_of(was[0]))])
    model.dropMimeData(carried, move, heading, 0, nowhere)
    assert session.procedure.sections[0].steps[-1].id == was[0]
    model.dropMimeData(carried, move, heading + 1, 0, nowhere)
    assert session.procedure.sections[1].steps[0].id == was[0]
    # A section goes with its steps.
    titles = [section.title for section in session.procedure.sections]
    last = session.procedure.sections[-1]
    carried = model.mimeData([model.index(model.row_of(last.id, section=True))])
    model.dropMimeData(carried, move, 0, 0, nowhere)
    assert [s.title for s in session.procedure.sections] == [titles[-1], *titles[:-1]]


def test_what_is_dropped_lands_between_the_lines_under_the_pointer(saw: Desk) -> None:
    session, outline, model = saw.session, saw.steps_view.list, saw.steps_view.model
    was = order(session)
    carried = model.mimeData([model.index(model.row_of(step)) for step in was[:2]])
    target = outline.visualRect(model.index(model.row_of(was[3])))
    event = QDropEvent(
        QPointF(target.center().x(), target.bottom() - 1),
        Qt.DropAction.MoveAction,
        carried,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    outline.dropEvent(event)
    assert order(session)[:4] == [was[2], was[3], was[0], was[1]]
    assert len(session.document.history) == 1


def test_a_section_is_begun_and_named_in_its_line(saw: Desk, qtbot: QtBot) -> None:
    session, hands = saw.session, Hands(saw)
    was = [section.title for section in session.procedure.sections]
    session.choose_step(session.procedure.sections[0].steps[2].id)
    hands.press("N")
    hands.type("Tell everybody")
    hands.press("Enter")
    assert [s.title for s in session.procedure.sections] == [was[0], "Tell everybody", *was[1:]]
    saw.to_film()
    hands.press("N")
    hands.press("Esc")
    assert session.procedure.sections[1].title == "Tell everybody"


def test_what_is_missing_is_said_in_words(saw: Desk, qtbot: QtBot) -> None:
    session, model = saw.session, saw.steps_view.model
    session.jobs.cancel("check")
    with qtbot.waitSignal(session.checked, timeout=20_000):
        session.check()
    for row in model.rows:
        wanted = [r.problem for r in row.remarks]
        told = model.index(model.row_of(row.id, section=row.is_section)).data(
            Qt.ItemDataRole.AccessibleTextRole
        )
        assert all(problem in told for problem in wanted[:8])
    verdict = session.verdict
    assert verdict is not None
    in_steps = [r for r in verdict.remarks if len(r.path) >= 4 and r.path[2] == "steps"]
    assert sum(len(row.remarks) for row in model.rows) == len(in_steps)


def test_only_rows_that_changed_are_told(saw: Desk, qtbot: QtBot) -> None:
    session, model = saw.session, saw.steps_view.model
    told: list[tuple[int, int]] = []
    model.dataChanged.connect(lambda top, bottom, _roles: told.append((top.row(), bottom.row())))
    resets: list[bool] = []
    model.modelReset.connect(lambda: resets.append(True))
    step = order(session)[4]
    session.choose_step(step)
    hands = Hands(saw)
    hands.press("W")
    hands.type("x")
    row = model.row_of(step)
    assert told == [(row, row)] and resets == []


def test_the_rows_are_those_of_the_document_after_any_change(saw: Desk) -> None:
    session, model = saw.session, saw.steps_view.model
    hands = Hands(saw)
    for keys in (("Down", "Ctrl+Down"), ("J",), ("Ctrl+Z",), ("Down", "Ctrl+Up"), ("Ctrl+Z",)):
        saw.to_film()
        hands.press(*keys)
        fresh = StepsModel(session)
        shown = [model.index(at).data(ROW) for at in range(model.rowCount())]
        assert [(r.id, r.number, r.text) for r in shown] == [
            (r.id, r.number, r.text) for r in fresh.rows
        ]
        fresh.deleteLater()
