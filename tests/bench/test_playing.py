"""A running film: the picture follows the sound, and no frame is shown for another's time."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from PyQt6.QtCore import Qt
from pytestqt.qtbot import QtBot

from author.bench.playing import DOUBLE, HALF
from author.bench.session import Session
from author.recording.film import Indexed

from .film_stage import Speaker, Stage

KEY = Qt.Key


@pytest.fixture
def put_up(qtbot: QtBot, session: Session) -> Iterator[Callable[[Speaker], Stage]]:
    made: list[Stage] = []

    def put(speaker: Speaker) -> Stage:
        stage = Stage(session, speaker)
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
def stage(put_up: Callable[[Speaker], Stage]) -> Stage:
    return put_up(Speaker())


def go(qtbot: QtBot, stage: Stage, seconds: float, frame: int) -> None:
    """Let the sound reach a moment, and see which frame is shown."""
    stage.speaker.now = seconds
    qtbot.waitUntil(lambda: stage.there(frame), timeout=20_000)


def sounding(qtbot: QtBot, stage: Stage) -> None:
    qtbot.waitUntil(lambda: stage.speaker.sounding, timeout=20_000)


def test_the_picture_follows_the_clock_of_the_sound(qtbot: QtBot, stage: Stage) -> None:
    qtbot.keyClick(stage, KEY.Key_Space)
    sounding(qtbot, stage)
    assert stage.film.player.running
    go(qtbot, stage, 0.05, 1)
    go(qtbot, stage, 1.0, 25)
    go(qtbot, stage, 1.039, 25)
    go(qtbot, stage, 3.5, 87)
    assert stage.desk.moment == Decimal("3.480000")
    samples = np.frombuffer(bytes(stage.speaker.heard), np.int16).reshape(-1, 2)
    loud = np.flatnonzero(np.abs(samples[:, 0].astype(int)) > 2000)
    if len(loud):
        assert abs(loud[0] / 48_000 - 1.0) < 0.01  # the first beep of the film
    qtbot.keyClick(stage, KEY.Key_Space)
    assert not stage.film.player.running
    assert not stage.speaker.sounding
    assert stage.desk.frame == 87


def test_it_runs_on_when_more_is_known_of_the_film(qtbot: QtBot, stage: Stage) -> None:
    index = stage.desk.index()
    assert index is not None
    qtbot.keyClick(stage, KEY.Key_Space)
    sounding(qtbot, stage)
    stage.speaker.now = 1.0
    stage.film.player._tick()
    assert stage.desk.waiting
    stage.desk._take(stage.recording, Indexed(index, exact=True))
    qtbot.waitUntil(lambda: stage.there(25), timeout=20_000)
    qtbot.wait(400)
    assert stage.speaker.begun == 1
    go(qtbot, stage, 3.5, 87)


@pytest.mark.parametrize("speed", [HALF, DOUBLE])
def test_at_another_speed_the_film_keeps_to_the_sound(
    speed: Fraction, qtbot: QtBot, stage: Stage
) -> None:
    stage.film.player.set_speed(speed)
    stage.film.player.run()
    sounding(qtbot, stage)
    go(qtbot, stage, 1.0, int(25 * speed))
    go(qtbot, stage, 1.3, int(Fraction(13, 10) * 25 * speed))


def test_it_halts_at_the_last_frame_and_begins_again(qtbot: QtBot, stage: Stage) -> None:
    stage.desk.show(140)
    stage.film.player.run()
    sounding(qtbot, stage)
    stage.speaker.now = 9.0
    qtbot.waitUntil(lambda: not stage.film.player.running, timeout=10_000)
    qtbot.waitUntil(lambda: stage.there(149), timeout=20_000)
    stage.film.player.run()
    qtbot.waitUntil(lambda: stage.there(0), timeout=20_000)


def test_over_and_over(qtbot: QtBot, stage: Stage) -> None:
    player = stage.film.player
    player.set_loop((Decimal("1"), Decimal("2")))
    player.run()
    sounding(qtbot, stage)
    qtbot.waitUntil(lambda: stage.there(25), timeout=20_000)
    go(qtbot, stage, 0.5, 37)
    begun = stage.speaker.begun
    stage.speaker.now = 1.01
    qtbot.waitUntil(lambda: stage.speaker.begun == begun + 1, timeout=20_000)
    qtbot.waitUntil(lambda: stage.there(25), timeout=20_000)
    assert all(25 <= each.frame < 50 for each in stage.painted if each.frame)
    player.set_loop(None)
    sounding(qtbot, stage)
    go(qtbot, stage, 2.0, stage.desk.frame_during(player._start + 2))


def test_a_jump_while_it_runs_goes_on_from_there_and_a_frame_step_halts(
    qtbot: QtBot, stage: Stage
) -> None:
    stage.film.player.run()
    sounding(qtbot, stage)
    go(qtbot, stage, 0.5, 12)
    qtbot.keyClick(stage, KEY.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert stage.film.player.running
    assert not stage.speaker.sounding
    sounding(qtbot, stage)
    go(qtbot, stage, 0.4, 47)
    qtbot.keyClick(stage, KEY.Key_Left)
    assert not stage.film.player.running
    qtbot.waitUntil(lambda: stage.there(46), timeout=20_000)


def test_without_a_device_it_runs_by_the_clock_and_says_so_once(
    qtbot: QtBot, put_up: Callable[[Speaker], Stage]
) -> None:
    stage = put_up(Speaker(there=False))
    qtbot.keyClick(stage, KEY.Key_Space)
    qtbot.waitUntil(lambda: stage.desk.frame > 12, timeout=20_000)
    qtbot.keyClick(stage, KEY.Key_Space)
    qtbot.keyClick(stage, KEY.Key_Space)
    at = stage.desk.frame
    qtbot.waitUntil(lambda: stage.desk.frame > at + 3, timeout=20_000)
    qtbot.keyClick(stage, KEY.Key_Space)
    assert [words for _, words in stage.said if "sound device" in words] == [
        "There is no sound device: the film runs without sound."
    ]
    frames = [each.frame for each in stage.painted]
    assert all(a <= b for a, b in pairwise(frames))


def test_a_device_that_goes_away_does_not_stop_the_film(qtbot: QtBot, stage: Stage) -> None:
    stage.film.player.run()
    sounding(qtbot, stage)
    go(qtbot, stage, 0.5, 12)
    stage.speaker.lost = True
    qtbot.waitUntil(lambda: stage.desk.frame > 20, timeout=20_000)
    assert stage.film.player.running
    assert "is gone" in stage.said[-1][1]


def test_stop_ends_all_and_may_be_called_twice(qtbot: QtBot, stage: Stage) -> None:
    stage.film.player.run()
    sounding(qtbot, stage)
    stage.film.stop()
    stage.film.stop()
    assert not stage.film.player.running
    assert not stage.speaker.sounding
