"""The quick index: from packets alone, good enough to find every frame of a sound film by."""

from __future__ import annotations

import os
import random
import shutil
from pathlib import Path

import pytest

from author.errors import Cancelled
from author.progress import SILENT, Cancel
from author.recording import cache, describe
from author.recording.knowing import known, quick_index
from author.recording.packets import index_packets
from author.recording.picture import Painter
from author.recording.seeking import Seeker

from . import films


def nobody(done: int, total: int | None) -> None: ...


@pytest.mark.parametrize(
    "name",
    ["b_frames", "vfr", "ts", "open_gop", "sound_first", "mjpeg", "vp9", "fragmented", "hevc"],
)
def test_it_is_what_the_survey_finds(name, film):
    quick = index_packets(film(name), nobody)
    _, exact = known(film(name))
    assert quick.ticks == exact.ticks
    assert (quick.origin, quick.geometry, quick.time_base) == (
        exact.origin,
        exact.geometry,
        exact.time_base,
    )
    assert set(quick.keys) <= set(range(len(exact.ticks)))
    assert (quick.matrix, quick.full_range) == (exact.matrix, exact.full_range)


def test_a_film_without_times_has_none(film):
    assert index_packets(film("raw"), nobody) is None


@pytest.mark.parametrize("name", ["b_frames", "open_gop", "ts", "mpeg2", "interlaced"])
def test_frames_are_found_by_it_in_any_order(name, film):
    quick = index_packets(film(name), nobody)
    _, exact = known(film(name))
    wanted = [n for n, tick in enumerate(quick.ticks) if tick in set(exact.ticks)]
    random.Random(5).shuffle(wanted)
    assert len(wanted) > 40
    painter, seeker = Painter(quick.geometry), Seeker(film(name), quick)
    try:
        for number in wanted[:30]:
            found: dict[int, int] = {}

            def give(at, frame, found=found):
                found[at] = films.number_in(painter.paint(frame))

            seeker.run(number, number, give)
            assert found == {number: exact.ticks.index(quick.ticks[number])}
    finally:
        seeker.close()


def test_parts_of_it_only_grow(tmp_path, monkeypatch):
    path = films.make(tmp_path / "long.mp4", films.steady(600), options={"g": "30", "bf": "3"})
    monkeypatch.setattr("author.recording.packets._FIRST_PART", 0.0)
    monkeypatch.setattr("author.recording.packets._LOOK_EVERY", 100)
    parts = []
    whole = index_packets(path, nobody, parts.append)
    assert len(parts) >= 3
    for part in parts:
        assert part.ticks == whole.ticks[: len(part.ticks)]
        assert part.keys == tuple(key for key in whole.keys if key < len(part.ticks))


def test_it_is_kept_and_thrown_away_when_the_file_changes(film, tmp_path, monkeypatch):
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    path = tmp_path / "film.mp4"
    shutil.copy(film("b_frames"), path)
    first = quick_index(path)
    assert cache.load_quick(path) == first
    moved = path.rename(tmp_path / "other name.mp4")
    assert cache.load_quick(moved) == first
    shutil.copy(film("vfr"), moved)
    assert cache.load_quick(moved) is None
    assert quick_index(moved).ticks != first.ticks


def test_a_changed_time_alone_makes_it_void(film, tmp_path, monkeypatch):
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    path = Path(shutil.copy(film("b_frames"), tmp_path / "film.mp4"))
    quick_index(path)
    os.utime(path, (1, 1))
    assert cache.load_quick(path) is None


def test_the_exact_one_is_taken_where_it_is_known(film, tmp_path):
    path = film("b_frames")
    describe(path)
    _, exact = known(path)
    if cache.load_digest(path):  # not before the file has settled
        assert quick_index(path) == exact


def test_it_can_be_stopped(film, tmp_path, monkeypatch):
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    cancel = Cancel()
    cancel.request()
    path = film("no_b")
    with pytest.raises(Cancelled):
        quick_index(path, progress=SILENT, cancel=cancel)
