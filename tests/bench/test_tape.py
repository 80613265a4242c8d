"""The tape: where a time lies, what is drawn, and what the hand does on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PyQt6.QtCore import QPoint, QPointF, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QWheelEvent
from PyQt6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from author.bench.session import Session
from author.bench.theme import DARK, LIGHT
from author.bench.views.tape_bands import LANES, StepSpan, TapeContent, TapePictures, spans_of
from author.bench.views.tape_painting import Columns, TapePainter
from author.bench.views.tape_scale import LARGEST, TapeScale
from author.editing import AddStep, Span
from author.procedure.cues import Cue
from author.procedure.times import read_clock

from .film_stage import Stage, number_in

KEY, LEFT = Qt.Key, Qt.MouseButton.LeftButton
scales = st.builds(TapeScale, length=st.floats(0.2, 40_000), points=st.floats(0.02, LARGEST))


@given(scales, st.floats(0, 1))
def test_a_place_and_its_time_belong_together(scale: TapeScale, part: float) -> None:
    seconds = part * scale.length
    assert scale.seconds(scale.y(seconds)) == pytest.approx(seconds, abs=1e-6)
    assert scale.seconds(-1000) == 0
    assert scale.seconds(scale.height + 1000) == scale.length


@given(scales, st.floats(0, 1))
def test_figures_stand_at_their_time_and_have_room(scale: TapeScale, part: float) -> None:
    top = part * scale.height
    lines = scale.graduations(top, top + 700)
    assert len(lines) < 200
    figures = [line for line in lines if line.rank == 0]
    for line in figures:
        assert scale.y(read_clock(line.figure)) == pytest.approx(line.y, abs=1e-6)
    gaps = [after.y - before.y for before, after in pairwise(figures)]
    assert all(gap > 30 for gap in gaps)


@given(scales, st.floats(0.01, 100), st.integers(50, 3000))
def test_a_tape_is_never_shorter_than_its_place(scale: TapeScale, factor: float, room: int) -> None:
    drawn = scale.scaled(factor, room)
    assert drawn.points <= LARGEST
    assert drawn.height >= room - 2 or drawn.points == LARGEST


def test_pictures_unused_longest_go_first() -> None:
    image = QImage(4, 4, QImage.Format.Format_RGB888)
    pictures = TapePictures()
    pictures.put((float(n), image) for n in range(TapePictures.MOST))
    assert pictures.within(0.0, 0.5) is not None
    pictures.put([(1e6, image)])
    assert pictures.within(0.0, 0.5) is not None
    assert pictures.within(1.0, 1.5) is None
    assert pictures.within(1e6, 2e6) is not None


def test_captions_are_found_with_the_one_that_follows() -> None:
    cues = tuple(Cue(Decimal(at), Decimal(at + 1), str(at)) for at in (1, 5, 9))
    content = TapeContent(cues=cues)
    found = [(cue.text, after) for cue, after in content.cues_between(0, 6)]
    assert found == [("1", Decimal(5)), ("5", Decimal(9))]
    assert [(cue.text, after) for cue, after in content.cues_between(6, 99)] == [("9", None)]


@pytest.fixture
def stage(qtbot: QtBot, session: Session) -> Iterator[Stage]:
    made = Stage(session)
    made.show()
    qtbot.waitUntil(lambda: made.desk.count() == 150 and made.there(0), timeout=20_000)
    yield made
    made.film.stop()
    made.hide()
    made.deleteLater()


def add(stage: Stage, *spans: tuple[str, str]) -> list[str]:
    """Add steps with these spans; return their ids."""
    session, found = stage.session, []
    for start, end in spans:
        before = {placed.step.id for placed in session.procedure.placed_steps()}
        span = Span(stage.recording, Decimal(start), Decimal(end))
        assert session.do(AddStep(action="Turn it.", span=span))
        after = {placed.step.id for placed in session.procedure.placed_steps()}
        found.append((after - before).pop())
    return found


def place(stage: Stage, x: int, seconds: float) -> QPoint:
    """Where a time lies in sight."""
    top = stage.tape.verticalScrollBar().value()
    return QPoint(x, round(stage.tape.scale.y(seconds) - top))


def line(stage: Stage, step: str) -> int:
    """Where the line of a step's bracket stands."""
    spans = spans_of(stage.session.procedure, stage.recording)
    lane = next(span.lane for span in spans if span.step == step)
    return Columns(stage.tape.viewport().width()).line(lane)


def test_every_picture_on_the_tape_hangs_at_its_own_time(
    qtbot: QtBot, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    hung: dict[float, QImage] = {}
    put = TapePictures.put

    def noted(self, pictures) -> None:
        pictures = dict(pictures)
        hung.update(pictures)
        put(self, pictures)

    monkeypatch.setattr(TapePictures, "put", noted)
    made = Stage(session)
    try:
        made.show()
        qtbot.waitUntil(lambda: made.desk.analyses() is not None, timeout=60_000)
        made.tape.enlarge(8)
        qtbot.waitUntil(lambda: len(hung) > 8, timeout=60_000)
        for seconds, image in hung.items():
            frame = made.desk.frame_at(Decimal(seconds))
            assert float(made.desk.start_of(frame)) == pytest.approx(seconds, abs=1e-6)
            assert number_in(image) == frame
    finally:
        made.film.stop()
        made.hide()
        made.deleteLater()


def test_overlapping_spans_lie_beside_one_another(stage: Stage) -> None:
    add(stage, ("0", "2"), ("1", "3"), ("1.5", "4"), ("2", "3"), ("0.5", "6"))
    spans = spans_of(stage.session.procedure, stage.recording)
    assert [span.start for span in spans] == sorted(span.start for span in spans)
    assert max(span.lane for span in spans) == LANES - 1
    lanes = {(span.start, span.end): span.lane for span in spans}
    assert lanes[Decimal("0"), Decimal("2")] != lanes[Decimal("1"), Decimal("3")]
    assert spans_of(stage.session.procedure, "another") == ()


def test_drawing_along_the_tape_moves_the_film(qtbot: QtBot, stage: Stage) -> None:
    port = stage.tape.viewport()
    qtbot.mousePress(port, LEFT, pos=place(stage, 20, 1.01))
    assert stage.desk.frame in range(24, 27)
    for seconds in (1.5, 2.2, 3.0, 4.4):
        qtbot.mouseMove(port, place(stage, 20, seconds))
        at = stage.desk.frame_during(Decimal(str(seconds)))
        assert abs(stage.desk.frame - at) <= 1 + 25 / stage.tape.scale.points
    qtbot.mouseRelease(port, LEFT, pos=place(stage, 20, 4.4))
    last = stage.desk.frame
    qtbot.waitUntil(lambda: stage.there(last), timeout=20_000)
    qtbot.mouseMove(port, place(stage, 20, 1.0))
    assert stage.desk.frame == last


def test_pressing_a_bracket_chooses_its_step(qtbot: QtBot, stage: Stage) -> None:
    first, second = add(stage, ("1", "2.5"), ("3", "5"))
    stage.session.choose_step(first)
    qtbot.mouseClick(stage.tape.viewport(), LEFT, pos=place(stage, line(stage, second) + 2, 4.0))
    assert stage.session.step == second
    assert stage.desk.frame == 100  # the film goes to the still of the step


@pytest.mark.parametrize(
    ("end", "to", "wanted"),
    [(1.0, 0.5, ("0.5", "4")), (4.0, 5.0, ("1", "5")), (4.0, 0.2, ("1", "1.04"))],
)
def test_an_end_of_the_chosen_bracket_can_be_drawn(
    end: float, to: float, wanted: tuple[str, str], qtbot: QtBot, stage: Stage
) -> None:
    (step,) = add(stage, ("1", "4"))
    stage.session.choose_step(step)
    document, port, x = stage.session.document, stage.tape.viewport(), line(stage, step)
    entries = len(document.history)
    qtbot.mousePress(port, LEFT, pos=place(stage, x, end))
    for part in (0.3, 0.7, 1.0):
        qtbot.mouseMove(port, place(stage, x, end + (to - end) * part))
    assert len(document.history) == entries
    qtbot.mouseRelease(port, LEFT, pos=place(stage, x, to))
    clip = stage.session.placed().step.clip
    near = Decimal(1) / Decimal(stage.tape.scale.points) + Decimal("0.04")
    assert abs(clip.start - Decimal(wanted[0])) <= near
    assert abs(clip.end - Decimal(wanted[1])) <= near
    assert clip.start == stage.desk.boundary(clip.start)
    assert clip.end == stage.desk.boundary(clip.end)
    assert len(document.history) == entries + 1
    stage.session.undo()
    back = stage.session.placed(step).step.clip
    assert (back.start, back.end) == (Decimal("1"), Decimal("4"))


def test_larger_and_smaller_keep_the_moment_in_its_place(qtbot: QtBot, stage: Stage) -> None:
    assert stage.tape.accessibleName()
    assert "Z draws it larger" in stage.tape.accessibleDescription()
    stage.tape.setFocus()
    stage.desk.show(75)
    before = place(stage, 0, 3.0).y()
    points = stage.tape.scale.points
    for _ in range(4):
        qtbot.keyClick(stage.tape, KEY.Key_Z)
    assert stage.tape.scale.points == pytest.approx(min(points * 1.25**4, LARGEST))
    assert abs(place(stage, 0, 3.0).y() - before) < 6
    for _ in range(4):
        qtbot.keyClick(stage.tape, KEY.Key_Z, Qt.KeyboardModifier.ShiftModifier)
    assert stage.tape.scale.points == pytest.approx(points)


def test_ctrl_and_the_wheel_keep_the_place_under_the_hand(stage: Stage) -> None:
    stage.tape.enlarge(4)
    port = stage.tape.viewport()
    seconds = stage.tape.scale.seconds(stage.tape.verticalScrollBar().value() + 200)
    event = QWheelEvent(
        QPointF(30, 200),
        port.mapToGlobal(QPointF(30, 200)),
        QPoint(),
        QPoint(0, 120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.ControlModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(port, event)
    assert abs(place(stage, 0, seconds).y() - 200) <= 2


def test_the_moment_stays_in_sight(stage: Stage) -> None:
    stage.tape.enlarge(6)
    for frame in (149, 0, 80, 81, 10):
        stage.desk.show(frame)
        y = place(stage, 0, float(stage.desk.moment)).y()
        assert 0 <= y <= stage.tape.viewport().height()


def test_only_what_changed_is_painted_anew(
    qtbot: QtBot, stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    stage.tape.enlarge(20)
    stage.tape.verticalScrollBar().setValue(0)
    add(stage, ("5", "5.9"))
    for _ in range(8):
        stage.tape.viewport().repaint()
    painted: list[int] = []
    ground: Callable[..., None] = TapePainter.ground

    def noted(self, painter, content, top, bottom) -> None:
        painted.append(top)
        ground(self, painter, content, top, bottom)

    monkeypatch.setattr(TapePainter, "ground", noted)
    stage.desk.show(3)
    stage.tape.viewport().repaint()
    assert painted == []
    add(stage, ("0.1", "0.2"))
    stage.tape.viewport().repaint()
    assert painted
    assert max(painted) < stage.tape.scale.y(0.2) + 24


@pytest.mark.parametrize("colours", [LIGHT, DARK])
def test_the_chosen_bracket_is_thicker_not_only_another_colour(colours, qapp) -> None:
    columns = Columns(300)
    tape = TapePainter(TapeScale(10, 20), columns, colours, qapp.font())
    span = StepSpan("one", 1, Decimal(1), Decimal(9))
    inked = []
    for chosen in (False, True):
        image = QImage(300, 220, QImage.Format.Format_RGB32)
        image.fill(QColor(colours.tape))
        painter = QPainter(image)
        tape.bracket(painter, span, chosen=chosen)
        painter.end()
        row = [image.pixelColor(x, 60) for x in range(columns.brackets, 300)]
        inked.append(sum(colour != QColor(colours.tape) for colour in row))
    assert inked[1] >= inked[0] + 2
