"""Clips kept from one publishing to the next."""

import math
import os

import pytest

from author.recording import kept_clips
from author.recording.loudness import Loudness

LOUD = Loudness(-16.5, -1.2)
CLIP = bytes(range(256)) * 9000


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def stored(tmp_path, key, content=CLIP, loud=LOUD):
    clip = tmp_path / "clip.mp4"
    clip.write_bytes(content)
    kept_clips.store(key, clip, loud)


@pytest.mark.parametrize("loud", [LOUD, None, Loudness(-math.inf, -math.inf)])
def test_a_clip_comes_back_byte_for_byte_with_its_loudness(folder, tmp_path, loud):
    stored(tmp_path, "a" * 64, loud=loud)
    place = tmp_path / "again.mp4"
    assert kept_clips.fetch("a" * 64, place)
    assert place.read_bytes() == CLIP
    assert kept_clips.loudness("a" * 64) == loud
    assert not kept_clips.fetch("b" * 64, tmp_path / "other.mp4")
    assert not (tmp_path / "other.mp4").exists()


@pytest.mark.parametrize("damage", ["cut", "changed", "empty", "head"])
def test_a_damaged_clip_counts_as_absent(folder, tmp_path, damage):
    stored(tmp_path, "a" * 64)
    (kept,) = folder.iterdir()
    whole = kept.read_bytes()
    kept.write_bytes(
        {
            "cut": whole[:-5],
            "changed": whole[:-1] + b"?",
            "empty": b"",
            "head": b"[1]" + whole[3:],
        }[damage]
    )
    place = tmp_path / "again.mp4"
    assert not kept_clips.fetch("a" * 64, place)
    assert not place.exists()
    stored(tmp_path, "a" * 64)
    assert kept_clips.fetch("a" * 64, place)


def test_kept_clips_are_bounded_and_those_used_last_stay(folder, tmp_path, monkeypatch):
    monkeypatch.setenv("REELWRIGHT_CLIPS_MB", "7")
    for number in range(3):
        stored(tmp_path, f"{number:064}")
        os.utime(folder / f"clip-{number:064}.kept", (number, number))
    assert kept_clips.fetch(f"{0:064}", tmp_path / "used.mp4")
    stored(tmp_path, "f" * 64)
    left = {number for number in range(3) if (folder / f"clip-{number:064}.kept").exists()}
    assert left == {0, 2}
    assert sum(each.stat().st_size for each in folder.iterdir()) <= 7 * 1024 * 1024


def test_what_is_larger_than_all_that_may_be_kept_is_not_kept(folder, tmp_path, monkeypatch):
    monkeypatch.setenv("REELWRIGHT_CLIPS_MB", "1")
    stored(tmp_path, "a" * 64)
    assert not folder.exists() or not any(folder.iterdir())


def test_a_folder_that_cannot_be_written_does_no_harm(tmp_path, monkeypatch):
    (tmp_path / "cache").write_text("no folder")
    monkeypatch.setenv("REELWRIGHT_CACHE", str(tmp_path / "cache"))
    stored(tmp_path, "a" * 64)
    assert not kept_clips.fetch("a" * 64, tmp_path / "again.mp4")
    assert kept_clips.loudness("a" * 64) is None
