"""The one pass over a film: preview, records, sound; broken off and gone on with; bounded."""

from __future__ import annotations

import errno
import random
import shutil
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from author.recording import cache
from author.recording.analyses import analyses_of
from author.recording.index import FilmIndex
from author.recording.knowing import known
from author.recording.picture import Painter
from author.recording.preview import Preview, PreviewWriter, read_records, read_state
from author.recording.reducing import upright
from author.recording.survey import survey
from author.storage import cache_folder

from . import films


class StopError(Exception):
    pass


def nobody(done: int, total: int | None) -> None: ...


@pytest.fixture(scope="module")
def long_film(tmp_path_factory) -> Path:
    options = {"g": "40", "bf": "3", "sc_threshold": "0", "preset": "veryfast", "crf": "18"}
    return films.make(
        tmp_path_factory.mktemp("long") / "long.mp4",
        films.steady(700),
        options=options,
        sound=films.tone(23.4),
    )


def numbers_in(folder: Path, index: FilmIndex) -> list[int | None]:
    preview, painter = Preview(folder, index.ticks), Painter(index.geometry)
    found = []
    for number in range(len(index.ticks)):
        small = preview.picture(number)
        if small is None:
            found.append(None)
            continue
        size = upright(index.geometry, small.width, small.height)
        pixels = painter.paint_small(small, index.matrix, index.full_range, size)
        found.append(films.number_in(pixels))
    preview.close()
    return found


@pytest.mark.parametrize("name", ["b_frames", "right", "mirror_left", "wide_pixels", "raw", "vp9"])
def test_the_preview_shows_the_very_frame(name, film, tmp_path):
    found = survey(film(name), tmp_path / "preview", nobody)
    assert numbers_in(tmp_path / "preview", found.index) == list(range(len(found.index.ticks)))


def test_broken_off_anywhere_and_gone_on_with_it_is_the_same(long_film, tmp_path, monkeypatch):
    monkeypatch.setattr("author.recording.survey._FRAMES_BETWEEN_MARKS", 50)
    whole = survey(long_film, tmp_path / "whole", nobody)
    place = tmp_path / "broken"
    for stop_at in (0, 5, 6, 12, 17):

        def tell(done, total, stop_at=stop_at):
            if done >= stop_at:
                raise StopError

        before = read_state(place)
        with pytest.raises(StopError):
            survey(long_film, place, tell)
        after = read_state(place)
        if before is not None:
            assert after["frames"] >= before["frames"]
    assert 300 < read_state(place)["frames"] < 700
    found = survey(long_film, place, nobody)
    assert found.index == whole.index
    assert found.sound == whole.sound
    for name in ("tick", "duration", "flags", "look"):
        assert (found.records[name] == whole.records[name]).all(), name
    assert numbers_in(place, found.index) == list(range(700))
    assert (read_records(place) == found.records).all()


def test_a_state_that_does_not_fit_begins_anew(long_film, film, tmp_path, monkeypatch):
    monkeypatch.setattr("author.recording.survey._FRAMES_BETWEEN_MARKS", 50)
    place = tmp_path / "preview"
    survey(long_film, place, nobody)
    found = survey(film("vfr"), place, nobody)  # of another film
    assert len(found.index.ticks) == 60
    assert numbers_in(place, found.index) == list(range(60))


def test_a_torn_picture_is_absent_not_wrong(film, tmp_path):
    place = tmp_path / "preview"
    found = survey(film("b_frames"), place, nobody)
    data = bytearray((place / "track").read_bytes())
    at = int(found.records["at"][30])
    data[at + 9] ^= 0x55
    (place / "track").write_bytes(data)
    numbers = numbers_in(place, found.index)
    assert numbers[30] is None
    assert numbers[:30] + numbers[31:] == [*range(30), *range(31, 75)]


def test_a_full_disk_ends_the_preview_and_not_the_survey(film, tmp_path, monkeypatch):
    def full(self):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(PreviewWriter, "_flush", full)
    place = tmp_path / "preview"
    found = survey(film("b_frames"), place, nobody)
    assert len(found.index.ticks) == len(found.records) == 75
    assert not place.exists() or not list(place.iterdir())


def test_previews_are_bounded_and_the_oldest_goes_first(film, tmp_path, monkeypatch):
    import os

    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("REELWRIGHT_PREVIEW_MB", "0")
    digest, _ = known(film("b_frames"))
    assert not cache.preview_folder(digest).exists() or not read_state(cache.preview_folder(digest))
    monkeypatch.setenv("REELWRIGHT_PREVIEW_MB", "1")
    places = []
    for number in range(4):
        place = cache_folder() / f"preview-{number}"
        place.mkdir()
        (place / "track").write_bytes(bytes(400_000))
        (place / "state").write_text("{}")
        os.utime(place / "state", (1000 + number, 1000 + number))
        places.append(place)
    cache.prune_previews(places[0])
    assert [each.exists() for each in places] == [True, False, False, True]


def test_analyses_come_from_the_kept_survey(film, tmp_path, monkeypatch):
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    path = film("ts")
    first = analyses_of(path)
    monkeypatch.setattr("author.recording.analyses.surveyed", None)  # must not be asked again
    again = analyses_of(path)
    assert (first.looks == again.looks).all()
    assert len(first.times) == 75
    assert abs(first.times[1] - first.times[0] - 1001 / 30000) < 1e-4
    assert first.heard is not None
    assert first.motion[0].start == 0
    assert first.motion[-1].end == 75


def test_analyses_make_what_was_thrown_away_anew(film, tmp_path, monkeypatch):
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    path = film("b_frames")
    first = analyses_of(path)
    digest, _ = known(path)
    shutil.rmtree(cache.preview_folder(digest))
    again = analyses_of(path)
    assert (first.looks == again.looks).all()
    assert first.heard is None
    assert first.pauses == ()


def test_the_track_is_held_to_its_rate(tmp_path):
    from author.recording.looks import LOOK

    rng = np.random.default_rng(1)
    writer = PreviewWriter(tmp_path / "p", Fraction(30))
    writer.begin(np.zeros(0, writer.records.dtype))
    import av

    for number in range(300):
        noise = rng.integers(0, 255, (270, 320), np.uint8)
        frame = av.VideoFrame.from_ndarray(noise, format="yuv420p")
        writer.add(frame, number, 1, 1, np.zeros((), LOOK)[()])
    writer.close()
    # Pure noise over ten seconds: no film is worse, and an hour of it stays under 300 MB.
    assert writer.size / 10 * 3600 < 290e6


def test_stopping_while_the_decoder_complains_never_hangs(tmp_path):
    path = films.make(
        tmp_path / "spoilt.mp4",
        films.steady(300),
        options={"g": "40", "bf": "3", "preset": "veryfast"},
        size=(640, 360),
    )
    data, chance = bytearray(path.read_bytes()), random.Random(1)
    for _ in range(400):
        data[chance.randrange(2000, len(data) - 20_000)] ^= 0xFF
    path.write_bytes(data)
    script = (
        "import sys\nfrom pathlib import Path\nfrom author.recording.survey import survey\n"
        "for round in range(12):\n"
        "    left = 3 + 2 * round\n"
        "    def tell(done, total):\n"
        "        global left\n"
        "        left -= 1\n"
        "        if left < 0: raise KeyError\n"
        "    try: survey(Path(sys.argv[1]), None, tell)\n"
        "    except KeyError: pass\n"
    )
    # In a process of its own: what hangs holds the interpreter, and nothing could stop it.
    subprocess.run([sys.executable, "-c", script, path], check=True, timeout=600)
