"""The sound of a running film: in order, at its moment, without end before the pictures end."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest

from author.recording.knowing import known
from author.recording.sound_reading import read_sound
from author.recording.sound_running import RunningSound
from author.recording.sound_stream import Pcm, SoundEnded, SoundLost, SoundStream

from . import films

RATE = 48_000
WITH_SOUND = ["ts", "sound_first", "sound_late", "fragmented", "delayed", "video_late_ts"]


def whole(path, index, start: Fraction, rate: int = RATE) -> np.ndarray:
    sound = RunningSound(path, index)
    try:
        return np.concatenate([np.zeros((0, 2), np.int16), *sound.run(start, rate)])
    finally:
        sound.close()


@pytest.mark.parametrize("name", WITH_SOUND)
def test_it_is_the_sound_of_its_moment(name, film):
    path = film(name)
    _, index = known(path)
    reference = read_sound(path, index, RATE, lambda done, total: None)
    end = index.clock(index.end_tick)
    for start in (Decimal(0), Decimal("0.37"), Decimal("1.5"), end - Decimal("0.05")):
        found = whole(path, index, Fraction(start))
        assert len(found) == round(Fraction(end - start) * RATE)
        first = round(start * RATE)
        wanted = np.zeros(len(found), np.float32)
        part = reference[first : first + len(found)]
        wanted[: len(part)] = part
        assert np.abs(found[:, 0] / 32767 - wanted).max() < 0.02, (name, start)
        assert (found[:, 0] == found[:, 1]).all()


def test_a_moment_far_in_is_sought_and_still_exact(tmp_path):
    beeps = [1.0, 14.0, 27.5, 29.0]
    path = films.make(
        tmp_path / "long.mp4",
        films.steady(300, 3000),
        options={"g": "60", "preset": "veryfast"},
        sound=films.tone(30, beeps=beeps),
    )
    _, index = known(path)
    found = np.abs(whole(path, index, Fraction(27))[:, 0].astype(int))
    loud = np.flatnonzero(found > 2000) / RATE
    assert abs(loud[0] - 0.5) < 0.005
    assert abs(loud[loud > 1.5][0] - 2.0) < 0.005
    assert not found[: int(0.48 * RATE)].max() > 400


@pytest.mark.parametrize("speed", [Fraction(1, 2), Fraction(2)])
def test_at_another_speed_the_rate_differs(speed, film):
    path = film("sound_late")
    _, index = known(path)
    found = whole(path, index, Fraction(0), int(RATE / speed))
    end = Fraction(index.clock(index.end_tick))
    assert len(found) == round(end * int(RATE / speed))
    loud = np.flatnonzero(np.abs(found[:, 0].astype(int)) > 2000)
    assert abs(loud[0] * speed / RATE - Fraction(1, 2)) < 0.01


class Ear:
    def __init__(self) -> None:
        self.events: list = []
        self.change = threading.Condition()

    def __call__(self, event) -> None:
        with self.change:
            self.events.append(event)
            self.change.notify_all()

    def until(self, true) -> None:
        with self.change:
            assert self.change.wait_for(lambda: true(self.events), 120), self.events

    def pcm(self, ticket: int) -> bytes:
        return b"".join(e.data for e in self.events if isinstance(e, Pcm) and e.ticket == ticket)


@pytest.fixture
def ear():
    yield Ear()
    assert not [t for t in threading.enumerate() if t.name.startswith("reelwright")]
    assert not multiprocessing.active_children()


def test_the_process_gives_as_much_as_is_asked_for_and_the_newest_wish_wins(film, ear):
    path = film("sound_first")
    _, index = known(path)
    with SoundStream(path, index, ear) as stream:
        old = stream.play(Decimal(0), RATE)
        stream.more(old, 5000)
        ear.until(lambda events: len(ear.pcm(old)) >= 5000 * 4)
        new = stream.play(Decimal("1.25"), RATE)
        stream.more(new, 10**7)
        ear.until(lambda events: any(isinstance(e, SoundEnded) for e in events))
        stream.halt()
    assert len(ear.pcm(old)) < 10_000 * 4
    assert ear.events[-1] == SoundEnded(new)
    given = np.frombuffer(ear.pcm(new), np.int16).reshape(-1, 2).astype(int)
    wanted = whole(path, index, Fraction(5, 4))
    assert given.shape == wanted.shape
    assert np.abs(given - wanted).max() < 60  # noise a decoder makes up is chance


def test_a_process_that_dies_is_told(film, ear):
    path = film("sound_first")
    _, index = known(path)
    with SoundStream(path, index, ear) as stream:
        ticket = stream.play(Decimal(0), RATE)
        stream.more(ticket, 100)
        ear.until(lambda events: events)
        os.kill(stream._decoder._process.pid, signal.SIGTERM)
        ear.until(lambda events: any(isinstance(e, SoundLost) for e in events))
    assert "crashed" in ear.events[-1].error.problem


def test_a_film_without_sound_is_refused(film):
    path = film("b_frames")
    _, index = known(path)
    with pytest.raises(Exception, match="has no sound"):
        RunningSound(path, index)
