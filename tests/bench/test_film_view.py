"""The film: keys lead to the exact frame, and the time told is that of the frame shown."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PyQt6.QtCore import QEvent, QRect, QSize, Qt
from PyQt6.QtGui import QImage, QKeyEvent
from PyQt6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from author.bench.images import FramePicture
from author.bench.session import Session
from author.bench.views.film_moves import said_at
from author.bench.views.film_picture import FilmPicture, fitted
from author.editing import AddStep, Span
from author.procedure.cues import Cue
from author.recording.analyses import Analyses
from author.recording.hearing import Pause
from author.recording.shots import ShotChange

from .film_stage import Stage

KEY = Qt.Key
SHIFT, CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier
ALT = Qt.KeyboardModifier.AltModifier


@pytest.fixture
def put_up(qtbot: QtBot) -> Iterator[Callable[[Session], Stage]]:
    made: list[Stage] = []

    def put(session: Session) -> Stage:
        stage = Stage(session)
        made.append(stage)
        stage.show()
        stage.film.setFocus()
        qtbot.waitUntil(lambda: stage.desk.count() == 150 and stage.there(0), timeout=20_000)
        return stage

    yield put
    for stage in made:
        stage.film.stop()
        stage.hide()
        stage.deleteLater()


@pytest.fixture
def stage(put_up: Callable[[Session], Stage], session: Session) -> Stage:
    return put_up(session)


def known(stage: Stage, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be known where shots change and nobody speaks."""
    analyses = Analyses(
        looks=np.zeros(0),
        times=np.zeros(0),
        shots=(ShotChange("cut", 50, 50), ShotChange("fade", 90, 100)),
        motion=(),
        heard=None,
        pauses=(Pause(Decimal("1"), Decimal("2")), Pause(Decimal("4.01"), Decimal("5"))),
    )
    monkeypatch.setattr(stage.desk, "analyses", lambda recording=None: analyses)


def test_the_first_frame_is_there_with_its_time(stage: Stage) -> None:
    assert stage.film.time.text() == "0:00.000"
    assert stage.film.place.text() == "0.000000 s · frame 0, last 149 · bench.mp4"


def test_keys_hammered_either_way_lead_to_the_exact_frame(qtbot: QtBot, stage: Stage) -> None:
    chance = random.Random(2)
    keys = [
        (KEY.Key_Right, None, 1),
        (KEY.Key_Left, None, -1),
        (KEY.Key_Right, SHIFT, 25),
        (KEY.Key_Left, SHIFT, -25),
    ]
    at = 0
    for number in range(160):
        key, held, way = keys[chance.randrange(4)]
        qtbot.keyClick(stage, key, held or Qt.KeyboardModifier.NoModifier)
        at = min(max(at + way, 0), 149)
        assert stage.desk.frame == at
        if number % 20 == 19:
            qtbot.keyClick(stage, KEY.Key_End if number % 40 == 19 else KEY.Key_Home, CTRL)
            at = 149 if number % 40 == 19 else 0
        if chance.random() < 0.3:
            qtbot.wait(chance.randrange(1, 30))
    qtbot.waitUntil(lambda: stage.there(at), timeout=20_000)
    qtbot.waitUntil(lambda: stage.painted[-1].frame == at, timeout=5_000)
    assert len(stage.painted) > 5  # pictures on the way; how many hangs on the machine


def test_a_held_key_waits_for_something_to_see(stage: Stage) -> None:
    def press(*, again: bool) -> None:
        event = QKeyEvent(QEvent.Type.KeyPress, KEY.Key_Right, SHIFT, "", again)
        QApplication.sendEvent(stage.film, event)  # finds the shortcut as a real key does

    press(again=False)
    assert stage.desk.waiting
    for _ in range(10):
        press(again=True)
    assert stage.desk.frame == 25
    press(again=False)
    assert stage.desk.frame == 50


def test_to_shot_changes_and_pauses(
    qtbot: QtBot, stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    if stage.desk.analyses() is None:
        qtbot.keyClick(stage, KEY.Key_Right, CTRL)
        assert stage.said[-1][0] == "advice"
        assert stage.desk.frame == 0
    known(stage, monkeypatch)
    met = []
    for key, held in [
        *[(KEY.Key_Right, CTRL)] * 3,
        *[(KEY.Key_Left, CTRL)] * 3,
        *[(KEY.Key_Right, ALT)] * 3,
        *[(KEY.Key_Left, ALT)] * 3,
    ]:
        qtbot.keyClick(stage, key, held)
        met.append(stage.desk.frame)
    assert met == [50, 100, 149, 100, 50, 0, 25, 100, 149, 100, 25, 0]


def test_going_to_a_time(qtbot: QtBot, stage: Stage) -> None:
    qtbot.keyClick(stage, KEY.Key_G)
    field = stage.film.goto.field
    assert field.isVisible()
    qtbot.keyClicks(field, "0:70")
    qtbot.keyClick(field, KEY.Key_Return)
    assert stage.said[-1][0] == "error"
    field.selectAll()
    qtbot.keyClicks(field, "0:02,04")
    qtbot.keyClick(field, KEY.Key_Return)
    assert stage.desk.moment == Decimal("2.040000")
    assert not field.isVisible()
    qtbot.waitUntil(lambda: stage.there(51), timeout=20_000)


def test_what_is_said_stands_under_the_film(
    qtbot: QtBot,
    put_up: Callable[[Session], Stage],
    open_session: Callable[[Path], Session],
    job_folder: Path,
) -> None:
    words = "WEBVTT\n\n00:01.000 --> 00:02.000\nTurn it\nby hand.\n\n00:03.000 --> 00:04.000\n<b>\n"
    (job_folder / "bench.vtt").write_text(words)
    stage = put_up(open_session(job_folder))
    qtbot.waitUntil(lambda: bool(stage.desk.captions()), timeout=10_000)
    for seconds, said in (
        ("0.96", ""),
        ("1", "Turn it by hand."),
        ("1.96", "Turn it by hand."),
        ("2", ""),
    ):
        stage.desk.show_at(Decimal(seconds))
        qtbot.waitUntil(lambda: stage.there(stage.desk.frame), timeout=20_000)
        assert stage.film.said.words == said


def test_a_step_can_be_run_over_and_over(qtbot: QtBot, stage: Stage) -> None:
    session = stage.session
    session.choose_step(next(session.procedure.placed_steps()).step.id)
    if stage.session.placed().step.clip is None:
        qtbot.keyClick(stage, KEY.Key_L)
        assert stage.said[-1][0] == "advice"
        assert not stage.deeds["loop"].isChecked()
    before = {placed.step.id for placed in session.procedure.placed_steps()}
    span = Span(stage.recording, Decimal("1"), Decimal("2"))
    assert session.do(AddStep(action="Turn it.", span=span))
    new = {placed.step.id for placed in session.procedure.placed_steps()} - before
    session.choose_step(new.pop())
    qtbot.keyClick(stage, KEY.Key_L)
    assert stage.film.player.loop == (Decimal("1"), Decimal("2"))
    assert stage.film.controls.loop.isChecked()
    session.undo()
    assert stage.film.player.loop != (Decimal("1"), Decimal("2"))


def test_speeds_shut_one_another_out(qtbot: QtBot, stage: Stage) -> None:
    seen = []
    for key in (KEY.Key_Minus, KEY.Key_Plus, KEY.Key_Plus, KEY.Key_Equal, KEY.Key_Minus):
        qtbot.keyClick(stage, key)
        seen.append(stage.film.player.speed)
    half, double = Fraction(1, 2), Fraction(2)
    assert seen == [half, 1, double, 1, half]
    qtbot.mouseClick(stage.film.controls.speed, Qt.MouseButton.LeftButton)
    assert stage.film.player.speed == double
    assert stage.film.controls.speed.text() == "2 ×"


def test_controls_for_the_mouse_do_the_same(qtbot: QtBot, stage: Stage) -> None:
    controls = stage.film.controls
    qtbot.mouseClick(controls.on, Qt.MouseButton.LeftButton)
    assert stage.desk.frame == 1
    qtbot.mouseClick(controls.back, Qt.MouseButton.LeftButton)
    assert stage.desk.frame == 0
    marked = []
    stage.deeds["mark"].triggered.connect(lambda: marked.append(stage.desk.moment))
    qtbot.mouseClick(controls.mark, Qt.MouseButton.LeftButton)
    assert marked == [Decimal("0.000000")]
    for button in (controls.back, controls.run, controls.on, controls.speed, controls.loop):
        assert button.accessibleName()
        assert button.toolTip() or button is controls.speed


def test_a_broken_film_is_told_in_the_picture_s_place(
    qtbot: QtBot, open_session: Callable[[Path], Session], job_folder: Path
) -> None:
    (job_folder / "bench.mp4").unlink()
    (job_folder / "bench.mp4").write_text("no film")
    stage = Stage(open_session(job_folder))
    try:
        stage.show()
        qtbot.waitUntil(lambda: "is not a video file" in stage.film.picture.words, timeout=20_000)
        assert stage.film.picture.picture is None
        assert stage.film.time.text() == ""
        qtbot.keyClick(stage, KEY.Key_Space)
        assert not stage.film.player.running
    finally:
        stage.film.stop()
        stage.hide()
        stage.deleteLater()


def test_a_film_that_is_not_there_is_named(
    qtbot: QtBot, open_session: Callable[[Path], Session], job_folder: Path
) -> None:
    (job_folder / "bench.mp4").unlink()
    stage = Stage(open_session(job_folder))
    try:
        stage.show()
        assert "Not found: bench.mp4" in stage.film.picture.words
        for key in (KEY.Key_Right, KEY.Key_Space, KEY.Key_G, KEY.Key_R):
            qtbot.keyClick(stage, key)
    finally:
        stage.film.stop()
        stage.hide()
        stage.deleteLater()


def test_a_rough_picture_says_so(qtbot: QtBot) -> None:
    image = QImage(320, 180, QImage.Format.Format_RGB888)
    image.fill(Qt.GlobalColor.black)
    widget = FilmPicture()
    qtbot.addWidget(widget)
    widget.resize(640, 360)
    light = []
    for quality in ("preview", "reduced"):
        widget.show_picture(FramePicture("film", 3, Decimal("0.12"), quality, image))
        grabbed = widget.grab().toImage()
        light.append(
            sum(grabbed.pixelColor(x, y).lightness() > 200 for x in range(80) for y in range(40))
        )
    assert light[0] > 200
    assert light[1] == 0


@given(
    st.tuples(st.integers(1, 4000), st.integers(1, 4000)),
    st.tuples(st.integers(40, 4000), st.integers(40, 4000)),
)
def test_a_picture_is_shown_whole_as_large_as_can_be(
    picture: tuple[int, int], place: tuple[int, int]
) -> None:
    box = QRect(0, 0, *place)
    found = fitted(QSize(*picture), box)
    assert box.contains(found)
    assert found.width() in (box.width(), 1) or found.height() in (box.height(), 1)
    if min(found.width(), found.height()) > 20:
        ratio = found.width() * picture[1] / (found.height() * picture[0])
        assert abs(ratio - 1) < 0.06


def test_captions_that_overlap_are_both_said() -> None:
    cues = [Cue(Decimal(0), Decimal(5), "one"), Cue(Decimal(2), Decimal(3), "two\nlines")]
    said = [said_at(cues, Decimal(at)) for at in (1, 2, 3, 5)]
    assert said == ["one", "one / two lines", "one", ""]
