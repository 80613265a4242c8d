"""A cursor of a running film, and pictures on their way while frames get other numbers."""

from __future__ import annotations

import multiprocessing
import threading
import time
from dataclasses import replace

import pytest

from author.recording.cursor import Cursor, Lost, Shown
from author.recording.knowing import known

from . import films


class Screen:
    def __init__(self) -> None:
        self.got: list[Shown | Lost] = []
        self.change = threading.Condition()

    def __call__(self, event: Shown | Lost) -> None:
        with self.change:
            self.got.append(event)
            self.change.notify_all()

    def until(self, ticket: int) -> Shown:
        with self.change:
            assert self.change.wait_for(
                lambda: any(each.ticket == ticket for each in self.got), timeout=120
            )
        found = next(each for each in self.got if each.ticket == ticket)
        assert isinstance(found, Shown), found
        return found


@pytest.fixture(autouse=True)
def _all_ends():
    yield
    assert not [t for t in threading.enumerate() if t.name.startswith("reelwright")]
    assert not multiprocessing.active_children()


def test_while_it_runs_each_frame_is_the_one_wished(tmp_path):
    options = {"g": "50", "bf": "3", "sc_threshold": "0", "preset": "veryfast"}
    path = films.make(tmp_path / "long.mp4", films.steady(300), options=options)
    _, index = known(path)
    screen = Screen()
    with Cursor(path, index, screen) as cursor:
        cursor.run(True)
        for frame in [*range(100, 260, 2), *range(40, 70, 3)]:
            shown = screen.until(cursor.show(frame))
            assert films.number_in(shown.pixels) == shown.frame == frame
        cursor.run(False)
        assert films.number_in(screen.until(cursor.show(30)).pixels) == 30


@pytest.mark.parametrize("name", ["b_frames", "vfr"])
def test_no_picture_is_told_with_another_frame_s_time_when_numbers_change(name, film):
    path = film(name)
    _, index = known(path)
    keys = sorted({max(key - 1, 0) for key in index.keys})
    lacking = replace(index, ticks=index.ticks[1:], keys=tuple(keys))
    starts = {index.clock(tick): number for number, tick in enumerate(index.ticks)}
    for begun in range(4):
        screen = Screen()
        with Cursor(path, lacking, screen) as cursor:
            first = screen.until(cursor.show(10))
            assert films.number_in(first.pixels) == 11
            time.sleep(0.3)  # the frames around are kept by then
            cursor.show(12 + begun)  # answered by its old number when the new are known here
            before = len(screen.got)
            cursor.adopt(index)
            time.sleep(0.3)
            last = screen.until(cursor.show(40 - begun))
        assert films.number_in(last.pixels) == 40 - begun
        for place, each in enumerate(screen.got):
            assert isinstance(each, Shown)
            assert films.number_in(each.pixels) == starts[each.start]
            assert each.frame == starts[each.start] - (place < before)
