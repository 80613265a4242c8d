"""Walking through a film: every picture shown is the very frame asked for, newest wish first."""

from __future__ import annotations

import multiprocessing
import os
import random
import shutil
import signal
import threading
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.errors import InputError
from author.recording.cursor import Cursor, Lost, Shown
from author.recording.kept_frames import Kept, Layout, layout_for
from author.recording.key_pictures import chosen_keys, coarse_to_fine
from author.recording.knowing import known
from author.recording.survey import survey

from . import films


class Screen:
    """Keeps what a cursor shows; every picture is looked at."""

    def __init__(self) -> None:
        self.got: list[Shown | Lost] = []
        self.change = threading.Condition()

    def __call__(self, event: Shown | Lost) -> None:
        with self.change:
            self.got.append(event)
            self.change.notify_all()

    def wait(self, ticket: int, quality: str = "reduced") -> Shown | Lost:
        def ready() -> Shown | Lost | None:
            return next(
                (
                    each
                    for each in self.got
                    if each.ticket == ticket and (isinstance(each, Lost) or each.quality == quality)
                ),
                None,
            )

        with self.change:
            assert self.change.wait_for(ready, timeout=120), (ticket, quality, len(self.got))
            found = ready()
        assert found is not None
        return found

    def all_true(self) -> None:
        for each in self.got:
            assert isinstance(each, Shown)
            assert films.number_in(each.pixels) == each.frame


@pytest.fixture
def walk(film):
    """Open a cursor on a film of this name."""
    opened: list[Cursor] = []

    def open_it(name: str | Path, **more) -> tuple[Cursor, Screen, int]:
        path = film(name) if isinstance(name, str) else name
        _, index = known(path)
        screen = Screen()
        cursor = Cursor(path, index, screen, **more)
        opened.append(cursor)
        return cursor, screen, len(index.ticks)

    yield open_it
    for each in opened:
        each.close()
    assert not [t for t in threading.enumerate() if t.name.startswith("reelwright")]
    assert not multiprocessing.active_children()


@pytest.mark.parametrize(
    "name", ["b_frames", "vfr", "right", "mirror_left", "open_gop_ts", "hevc", "vp9", "raw"]
)
def test_forward_back_and_anywhere(name, walk):
    cursor, screen, count = walk(name)
    chance = random.Random(3)
    at = [0, 1, 2, count - 1, *range(count - 2, count - 12, -1)]
    at += [chance.randrange(count) for _ in range(12)]
    for frame in at:
        shown = screen.wait(cursor.show(frame))
        assert isinstance(shown, Shown)
        assert (shown.frame, films.number_in(shown.pixels)) == (frame, frame)
    screen.all_true()


def test_the_full_frame_follows_the_reduced_one(walk, film):
    cursor, screen, _ = walk("b_frames", box=(32, 24))
    ticket = cursor.show(41, full=True)
    full = screen.wait(ticket, "full")
    assert full.pixels.shape == (64, 96, 3)
    reduced = screen.wait(ticket)
    assert reduced.pixels.shape[0] < 64
    assert [each.quality for each in screen.got] == ["reduced", "full"]
    again = screen.wait(cursor.show(41, full=True), "full")
    assert (again.pixels == full.pixels).all()


def test_a_preview_is_shown_at_once_and_replaced(walk, film, tmp_path):
    survey(film("b_frames"), tmp_path / "preview", lambda done, total: None)
    cursor, screen, _ = walk("b_frames")
    screen.wait(cursor.show(0))
    cursor.use_preview(tmp_path / "preview")
    ticket = cursor.show(70)
    screen.wait(ticket)
    assert [e.quality for e in screen.got if e.ticket == ticket] == ["preview", "reduced"]
    screen.all_true()


def test_the_newest_wish_wins(walk):
    cursor, screen, count = walk("b_frames")
    tickets = [cursor.show(frame) for frame in [*range(0, count, 2), 33]]
    assert screen.wait(tickets[-1]).frame == 33
    cursor.close()
    screen.all_true()
    assert [each.ticket for each in screen.got] == sorted(each.ticket for each in screen.got)
    assert len(screen.got) < len(tickets)


def test_a_wish_outside_the_film_is_told(walk):
    cursor, screen, count = walk("b_frames")
    lost = screen.wait(cursor.show(count))
    assert isinstance(lost, Lost)
    assert screen.wait(cursor.show(count - 1)).frame == count - 1


def test_frames_around_are_decoded_while_nobody_asks(walk, tmp_path):
    options = {"g": "50", "bf": "3", "sc_threshold": "0", "preset": "veryfast"}
    path = films.make(tmp_path / "long.mp4", films.steady(400), options=options)
    cursor, screen, _ = walk(path)
    screen.wait(cursor.show(200))
    for frame in range(199, 120, -1):
        assert films.number_in(screen.wait(cursor.show(frame)).pixels) == frame


def test_a_film_that_changes_while_open(walk, film, tmp_path):
    path = Path(shutil.copy(film("b_frames"), tmp_path / "film.mp4"))
    cursor, screen, _ = walk(path)
    screen.wait(cursor.show(0))
    with path.open("ab") as stream:
        stream.write(b"more")
    # A frame far from what is kept has to come from the file, which is another one now.
    lost = next(
        (
            e
            for e in (screen.wait(cursor.show(n, full=True), "full") for n in (70, 5, 60))
            if isinstance(e, Lost)
        ),
        None,
    )
    assert lost is not None
    assert "changed" in str(lost.error)


def test_a_film_that_vanishes_stays_readable_or_is_told(walk, film, tmp_path):
    path = Path(shutil.copy(film("b_frames"), tmp_path / "film.mp4"))
    cursor, screen, _ = walk(path)
    screen.wait(cursor.show(0))
    path.unlink()
    found = screen.wait(cursor.show(60, full=True), "full")
    assert isinstance(found, Lost) or films.number_in(found.pixels) == 60


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal on this system")
def test_a_decoder_that_dies_is_told_and_replaced(walk):
    cursor, screen, _ = walk("b_frames")
    screen.wait(cursor.show(5))
    os.kill(cursor._decoder._process.pid, signal.SIGKILL)
    with screen.change:
        assert screen.change.wait_for(
            lambda: any(isinstance(each, Lost) for each in screen.got), timeout=120
        )
    lost = next(each for each in screen.got if isinstance(each, Lost))
    assert "crashed" in lost.error.problem
    assert films.number_in(screen.wait(cursor.show(40)).pixels) == 40


def test_it_is_no_longer_asked_after_it_is_closed(walk):
    cursor, screen, _ = walk("b_frames")
    screen.wait(cursor.show(5))
    cursor.close()
    cursor.close()
    count = len(screen.got)
    cursor.show(9)
    assert len(screen.got) == count


def test_of_a_large_film_less_is_kept_and_every_frame_still_true(walk, monkeypatch):
    from author.recording import kept_frames

    monkeypatch.setattr(kept_frames, "_LARGE", 0)
    cursor, screen, count = walk("b_frames")
    assert cursor._layout.decoders == 1
    for frame in (60, 59, 58, 30, 31, 32, 5, 6, count - 1):
        screen.wait(cursor.show(frame))
    screen.all_true()


def test_a_better_index_may_come_while_walking(walk, film):
    cursor, screen, _ = walk("open_gop")
    _, index = known(film("open_gop"))
    screen.wait(cursor.show(20))
    cursor.adopt(index)
    for frame in (21, 60, 3):
        assert films.number_in(screen.wait(cursor.show(frame)).pixels) == frame


@given(st.integers(0, 200))
def test_coarse_to_fine_is_a_permutation(count):
    order = list(coarse_to_fine(count))
    assert sorted(order) == list(range(count))
    assert order[:1] == [0][:count]


@given(
    keys=st.lists(st.integers(1, 5000), unique=True, max_size=60),
    box=st.tuples(st.integers(16, 4000), st.integers(16, 3000)),
    megabytes=st.integers(8, 512),
)
def test_the_cache_is_bounded_by_bytes(keys, box, megabytes, film_index):
    from dataclasses import replace

    index = replace(film_index, ticks=tuple(range(5001)), keys=(0, *sorted(keys)))
    layout = layout_for(index, box, megabytes << 20)
    assert layout.count * layout.pixels * 1.5 <= megabytes << 20
    assert layout.pixels <= box[0] * box[1]
    assert layout.count >= 96


@pytest.fixture(scope="module")
def film_index(tmp_path_factory):
    path = films.make(tmp_path_factory.mktemp("one") / "one.mp4", films.steady(3))
    return known(path)[1]


@settings(max_examples=30)
@given(st.lists(st.integers(0, 300), max_size=200), st.integers(0, 300))
def test_kept_frames_are_those_nearest(numbers, centre):
    kept = Kept(Layout(count=20, pixels=1, held=1, decoders=2, slot_bytes=1))
    kept.centre = centre
    for number in numbers:
        kept.put(number, None)
    nearest = sorted({abs(n - centre) for n in numbers})
    there = [n for n in set(numbers) if n in kept]
    assert len(there) <= 20
    assert not there or max(abs(n - centre) for n in there) <= nearest[min(20, len(nearest)) - 1]


def test_chosen_keys_are_spread(film_index):
    from dataclasses import replace

    index = replace(film_index, ticks=tuple(range(1000)), keys=tuple(range(0, 1000, 10)))
    assert chosen_keys(index, 200) == list(range(0, 1000, 10))
    few = chosen_keys(index, 7)
    assert len(few) == 7
    assert set(few) <= set(index.keys)
    assert all(100 < b - a < 200 for a, b in pairwise(few))


def test_encrypted_and_unreadable_films_are_refused(tmp_path):
    path = tmp_path / "none.mp4"
    path.write_bytes(b"no film at all")
    with pytest.raises(InputError):
        known(path)
