"""What a person and the checks are told of a film, and the cache behind it."""

from __future__ import annotations

import hashlib
import os
import shutil
from decimal import Decimal

import pytest

from author.errors import Cancelled, InputError
from author.progress import Cancel
from author.recording import FrameReader, cache, describe, facts_of, sha256_of
from author.recording.index import INDEX_VERSION

from . import films


class Heard(list):
    def report(self, job, done, total):
        self.append((job, done, total))


@pytest.mark.parametrize(
    ("name", "rotation", "mirrored", "size"),
    [
        ("b_frames", 0, False, (96, 64)),
        ("right", 90, False, (64, 96)),
        ("over", 180, False, (64, 96)),
        ("left", 270, False, (64, 96)),
        ("mirror", 0, True, (64, 96)),
        ("flip", 180, True, (64, 96)),
        ("mirror_right", 270, True, (64, 96)),
        ("mirror_left", 90, True, (64, 96)),
        ("wide_pixels", 0, False, (192, 64)),
        ("tall_pixels", 0, False, (96, 128)),
        ("odd", 0, False, (97, 65)),
    ],
)
def test_shown_size_and_turn(film, name, rotation, mirrored, size):
    found = describe(film(name))
    assert (found.rotation, found.mirrored) == (rotation, mirrored)
    assert (found.facts.width, found.facts.height) == size


def test_rate(film):
    steady, uneven = describe(film("b_frames")), describe(film("vfr"))
    assert (steady.varies, steady.median_ms) == (False, Decimal("33.333"))
    assert (uneven.varies, uneven.shortest_ms, uneven.longest_ms) == (True, 5, 2000)


def test_sound(film):
    assert describe(film("b_frames")).sound is None
    first = describe(film("sound_first"))
    assert abs(first.sound_lead - Decimal("0.5")) < Decimal("0.05")
    late = describe(film("sound_late"))
    assert abs(late.sound_lead + Decimal("0.5")) < Decimal("0.05")
    assert (late.sound.codec, late.sound.rate, late.sound.channels) == ("aac", 48_000, 1)


def test_clock_starts_at_the_container_start(film):
    facts = facts_of(film("ts"))
    assert 0 <= facts.frame_starts[0] < Decimal("0.1")
    assert facts.duration < 3


def test_chapters(film, tmp_path):
    lines = ";FFMETADATA1\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=1000\ntitle=Nut off\n"
    (tmp_path / "chapters").write_text(lines)
    source, out = film("b_frames"), tmp_path / "chapters.mkv"
    films.ffmpeg("-i", source, "-i", tmp_path / "chapters", "-map_chapters", 1, "-c", "copy", out)
    (chapter,) = describe(out).chapters
    assert (chapter.title, chapter.start, chapter.end) == ("Nut off", 0, 1)


def test_edit_list_is_honoured(film, tmp_path):
    out = tmp_path / "trimmed.mp4"
    films.ffmpeg("-ss", "0.5", "-i", film("b_frames"), "-c", "copy", out)
    facts = facts_of(out)
    with FrameReader(out, facts) as reader:
        numbers = [films.number_in(each.pixels) for each in reader.frames(range(5))]
        last = films.number_in(reader.frame(facts.frame_count - 1).pixels)
    assert facts.frame_starts[0] < Decimal("0.04")
    assert (numbers, last) == ([15, 16, 17, 18, 19], 74)
    assert facts.damage == ()


def test_fingerprint(film):
    path = film("b_frames")
    expected = hashlib.sha256(path.read_bytes()).hexdigest()
    assert sha256_of(path) == facts_of(path).sha256 == expected
    assert facts_of(path).size == path.stat().st_size


def test_progress_and_cancel(film, tmp_path, monkeypatch):
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    heard = Heard()
    describe(film("b_frames"), heard)
    assert any(job.startswith("fingerprint of ") for job, _, _ in heard)
    cancel = Cancel()
    cancel.request()
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "other"))
    with pytest.raises(Cancelled):
        describe(film("b_frames"), cancel=cancel)


def test_a_damaged_or_unwritable_cache_does_no_harm(film, tmp_path, monkeypatch):
    folder = tmp_path / "cache"
    monkeypatch.setenv("REELWRIGHT_CACHE", str(folder))
    path = film("vfr")
    before = facts_of(path)
    entries = list(folder.glob("index-*"))
    assert len(entries) == 1
    for garbage in (b"", b"garbage", entries[0].read_bytes()[:-9]):
        entries[0].write_bytes(garbage)
        assert cache.load_index(before.sha256) is None
        assert facts_of(path) == before
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    monkeypatch.setenv("REELWRIGHT_CACHE", str(blocked))
    assert facts_of(path) == before


def test_what_is_stored_is_what_was_found(film):
    for name in ("vfr", "ts", "raw"):
        facts = facts_of(film(name))
        stored = cache.load_index(facts.sha256)
        assert tuple(stored.clock(tick) for tick in stored.ticks) == facts.frame_starts
        assert stored == type(stored).from_plain(stored.to_plain())


def test_the_cache_is_bounded(tmp_path, monkeypatch, film):
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path))
    monkeypatch.setattr(cache, "MAX_BYTES", 3000)
    index = cache.load_index("0" * 64)
    assert index is None
    monkeypatch.undo()
    stored = cache.load_index(facts_of(film("vfr")).sha256)
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path))
    monkeypatch.setattr(cache, "MAX_BYTES", 3000)
    for number in range(20):
        cache.store_index(f"{number:064}", stored)
        os.utime(tmp_path / f"index-{INDEX_VERSION}-{number:064}.z", (number, number))
    cache.store_index("f" * 64, stored)
    assert sum(each.stat().st_size for each in tmp_path.iterdir()) <= 3000
    assert cache.load_index("f" * 64) == stored
    assert cache.load_index(f"{0:064}") is None


def test_a_changed_film_is_noticed(film, tmp_path):
    path = tmp_path / "film.mp4"
    shutil.copy(film("b_frames"), path)
    facts = facts_of(path)
    shutil.copy(film("vfr"), path)
    with pytest.raises(InputError, match="changed"), FrameReader(path, facts) as reader:
        reader.frame(0)


@pytest.mark.parametrize("name", ["-dash.mp4", 'it\'s "quoted" 50% a:b.mp4', "größe 🎬.mp4"])
def test_awkward_names(film, tmp_path, name, monkeypatch):
    shutil.copy(film("b_frames"), tmp_path / name)
    monkeypatch.chdir(tmp_path)
    from pathlib import Path

    path = Path(name)
    facts = facts_of(path)
    assert facts.file == name
    with FrameReader(path, facts) as reader:
        assert films.number_in(reader.frame(31).pixels) == 31
