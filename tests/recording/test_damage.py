"""Damaged films say what and from when to when, and the rest stays usable."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import av
import pytest

from author.errors import InputError
from author.recording import FrameReader, describe, facts_of

from . import films, handmade
from .conftest import LONG_GOP


def whole(path: Path, **more) -> Path:
    options = {**LONG_GOP, "g": "25"}
    return films.make(path, films.steady(100), options=options, size=(192, 128), **more)


def usable(path: Path) -> list[int]:
    facts = describe(path).facts
    with FrameReader(path, facts) as reader:
        return [films.number_in(each.pixels) for each in reader.frames(range(facts.frame_count))]


@pytest.mark.parametrize("keep", [0.3, 0.6, 0.9])
def test_cut_tail(tmp_path, keep):
    path = whole(tmp_path / "cut.mp4", container={"movflags": "faststart"})
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * keep)])
    facts = describe(path).facts
    assert 3 < facts.frame_count < 100
    assert "breaks off" in facts.damage[-1].what
    assert abs(facts.damage[-1].start - facts.duration) < Decimal("0.2")
    assert abs(facts.damage[-1].end - Decimal("3.333333")) < Decimal("0.1")
    assert f"{100 - facts.frame_count} pictures missing" in facts.damage[-1].what
    numbers = usable(path)
    assert numbers[:-2] == list(range(len(numbers) - 2))


@pytest.mark.parametrize("name", ["cut.mkv", "cut.ts", "fragments.mp4"])
def test_cut_tail_of_other_containers(tmp_path, name):
    more = {"container": {"movflags": "frag_keyframe+empty_moov"}} if "mp4" in name else {}
    path = whole(tmp_path / name, **more)
    path.write_bytes(path.read_bytes()[: int(path.stat().st_size * 0.6)])
    facts = describe(path).facts
    assert 3 < facts.frame_count < 90
    if name.endswith("mkv"):
        assert f"breaks off here, about {100 - facts.frame_count} p" in facts.damage[-1].what
    assert usable(path)[:20] == list(range(20))


def test_one_bad_sample(tmp_path):
    path = whole(tmp_path / "bad.mp4")
    with av.open(str(path)) as film:
        packets = [p for p in film.demux(video=0) if p.size]
        victim = sorted(packets, key=lambda each: each.pts)[41]
        at, size, base = victim.pos, victim.size, victim.time_base
        time = Decimal(victim.pts) / Decimal(base.denominator)
    data = bytearray(path.read_bytes())
    data[at + 4 : at + size] = bytes(255 - byte for byte in data[at + 4 : at + size])
    path.write_bytes(data)
    facts = describe(path).facts
    assert facts.damage
    assert any(d.start <= time <= d.end for d in facts.damage if d.start is not None)
    spoilt = facts.damage[0]
    count = facts.index_at(spoilt.end) - facts.index_at(spoilt.start)
    assert spoilt.what.startswith(f"{count} pictures may be spoilt")
    for each in facts.damage:
        assert each.start > Decimal("0.7")
        assert each.end < Decimal("1.8")
    numbers = usable(path)
    assert numbers[:25] == list(range(25))
    assert numbers[-40:] == list(range(60, 100))


def test_a_start_in_the_middle_of_a_group(tmp_path):
    path = whole(tmp_path / "middle.ts")
    data = path.read_bytes()
    with av.open(str(path)) as film:
        third = [p for p in film.demux(video=0) if p.size][3]
        path_at = third.pos
    head = data[: 188 * 3]
    path.write_bytes(head + data[path_at - path_at % 188 :])
    facts = describe(path).facts
    assert "middle of a group" in facts.damage[0].what
    assert facts.damage[0].end == facts.frame_starts[0]
    assert usable(path) == list(range(25, 100))


@pytest.mark.parametrize("name", ["open_gop_ts", "hevc_open_ts"])
def test_a_start_at_a_key_frame_whose_leading_pictures_hang_on_what_is_gone(film, tmp_path, name):
    source, path = film(name), tmp_path / "cut.ts"
    data = source.read_bytes()
    with av.open(str(source)) as each:
        key = [p.pos for p in each.demux(video=0) if p.size and p.is_keyframe][1]
    path.write_bytes(data[: 188 * 3] + data[key - key % 188 :])
    facts = describe(path).facts
    assert "3 pictures at the start cannot be decoded" in facts.damage[0].what
    assert usable(path) == list(range(20, 75))


def test_a_start_in_the_middle_of_a_group_of_field_pairs(tmp_path):
    path = handmade.field_pairs(tmp_path / "fields.ts", 36)
    data = path.read_bytes()
    with av.open(str(path)) as film:
        field = [p.pos for p in film.demux(video=0) if p.size][5]
    path.write_bytes(data[: 188 * 3] + data[field - field % 188 :])
    facts = describe(path).facts
    assert "middle of a group" in facts.damage[0].what
    assert facts.damage[0].end == facts.frame_starts[0]
    assert usable(path) == list(range(12, 36))


def packets_in(data: bytes, pid: int) -> list[int]:
    """Where the transport packets of one stream begin (ITU-T H.222.0, 2.4.3.2)."""
    return [at for at in range(0, len(data), 188) if (data[at + 1] & 31) << 8 | data[at + 2] == pid]


def test_lost_packets_of_the_picture(tmp_path):
    path = whole(tmp_path / "hole.ts")
    data = path.read_bytes()
    lost = packets_in(data, 256)[len(data) // 188 // 2 :][:7]
    before = sum(at in lost for at in range(0, len(data), 188))
    path.write_bytes(b"".join(data[a : a + 188] for a in range(0, len(data), 188) if a not in lost))
    assert before == 7
    facts = describe(path).facts
    (hurt, *_) = facts.damage
    assert Decimal(1) < hurt.start < hurt.end < Decimal("2.6")
    assert re.match(r"\d+ pictures (may be|cannot be|incomplete)", hurt.what)
    numbers = usable(path)
    assert numbers[:30] == list(range(30))
    assert numbers[-25:] == list(range(75, 100))


def spoil_sound(path: Path, first: int, count: int) -> tuple[Decimal, Decimal]:
    """Turn the bits of some packets of the sound over; return from when to when."""
    with av.open(str(path)) as film:
        packets = [p for p in film.demux(audio=0) if p.size][first : first + count]
        times = [Decimal(p.pts) / Decimal(p.time_base.denominator) for p in packets]
        places = [(p.pos, bytes(p)) for p in packets]
    data = bytearray(path.read_bytes())
    for block, content in places:
        at = data.index(content, block)  # behind the head of its block
        data[at : at + len(content)] = bytes(255 - byte for byte in content)
    path.write_bytes(data)
    return times[0], times[-1]


@pytest.mark.parametrize("name", ["sound.mp4", "sound.mkv"])
def test_damaged_sound(tmp_path, name):
    path = whole(tmp_path / name, sound=films.tone(3.4, level=0.4))
    first, last = spoil_sound(path, 40, 4)
    facts = describe(path).facts
    (hurt,) = facts.damage
    assert "4 pieces of the sound cannot be decoded" in hurt.what
    assert abs(hurt.start - first) < Decimal("0.05")
    assert Decimal(0) <= hurt.end - last < Decimal("0.1")
    assert usable(path) == list(range(100))


def test_lost_packets_of_the_sound(tmp_path):
    path = whole(tmp_path / "sound.ts", sound=films.tone(3.4, level=0.4))
    data = path.read_bytes()
    sound = packets_in(data, 257)
    within = [n for n, at in enumerate(sound) if not data[at + 1] & 64]  # not the first of a piece
    lost = sound[within[len(within) // 2] :][:4]
    path.write_bytes(b"".join(data[a : a + 188] for a in range(0, len(data), 188) if a not in lost))
    facts = describe(path).facts
    (hurt,) = facts.damage
    assert "of the sound" in hurt.what
    assert Decimal(1) < hurt.start <= hurt.end < Decimal("2.5")
    assert usable(path) == list(range(100))


def test_a_clock_that_begins_anew(tmp_path):
    """Two recordings in one stream: the second cannot be placed, and that is told."""
    path = whole(tmp_path / "two.ts")
    path.write_bytes(path.read_bytes() * 2)
    facts = describe(path).facts
    backwards = [each for each in facts.damage if "runs backwards" in each.what]
    left_out = sum(int(re.search(r"(\d+) pictures? left", each.what)[1]) for each in backwards)
    assert left_out + facts.frame_count == 200
    assert usable(path)[:99] == list(range(99))


BAD = {
    "text.mp4": (b"this is not a film, it is a shopping list\n" * 20, "not a video"),
    "nothing.mp4": (b"", "is empty"),
    "zeros.mp4": (bytes(5000), "not a video"),
    "list.m3u8": (b"#EXTM3U\n#EXTINF:1,\n/etc/passwd\n", "not a video"),
    "script.mp4": (b"ffconcat version 1.0\nfile /etc/passwd\n", "not a video"),
}


@pytest.mark.parametrize("name", BAD)
def test_what_is_no_film_is_one_clear_line(tmp_path, name):
    path = tmp_path / name
    path.write_bytes(BAD[name][0])
    with pytest.raises(InputError, match=BAD[name][1]) as caught:
        describe(path)
    assert caught.value.file == str(path)
    assert caught.value.remedy
    assert "\n" not in str(caught.value)


def test_missing_folder_and_sound_only(tmp_path):
    with pytest.raises(InputError, match="no such file"):
        describe(tmp_path / "missing.mp4")
    with pytest.raises(InputError, match="folder"):
        describe(tmp_path)
    films.ffmpeg("-f", "lavfi", "-i", "sine=d=1", tmp_path / "sound.m4a")
    with pytest.raises(InputError, match="no moving pictures"):
        describe(tmp_path / "sound.m4a")


def test_cut_before_its_list_of_frames(tmp_path):
    path = whole(tmp_path / "cut.mp4")
    path.write_bytes(path.read_bytes()[:4000])
    with pytest.raises(InputError, match="cut off"):
        describe(path)


def test_encrypted(tmp_path):
    source = whole(tmp_path / "open.mp4")
    key = "00112233445566778899aabbccddeeff"
    films.ffmpeg(
        *("-i", source, "-c", "copy", "-encryption_scheme", "cenc-aes-ctr"),
        *("-encryption_key", key, "-encryption_kid", key, tmp_path / "closed.mp4"),
    )
    with pytest.raises(InputError, match="encrypted"):
        describe(tmp_path / "closed.mp4")


def test_a_codec_nobody_knows(tmp_path):
    path = whole(tmp_path / "odd.mp4")
    path.write_bytes(path.read_bytes().replace(b"avc1", b"zzz9"))
    with pytest.raises(InputError, match="cannot be decoded"):
        describe(path)


def test_a_stream_that_comes_up_later_is_passed_over(tmp_path):
    """Cameras may announce sound only in the middle, where opening does not look."""
    parts = []
    for start, length, picture in ((0, 6, "noise"), (6, 1, "sound"), (7, 3, "noise")):
        source = f"testsrc=s=640x480:r=10:d={length}"
        source += ",noise=alls=90:allf=t" if picture == "noise" else ""
        sound = ["-f", "lavfi", "-i", "sine=d=1", "-c:a", "mp2"] if picture == "sound" else []
        codec = ["-c:v", "libx264", "-preset", "ultrafast", "-qp", "30", "-g", "10"]
        part = tmp_path / f"{start}.ts"
        films.ffmpeg("-f", "lavfi", "-i", source, *sound, *codec, "-output_ts_offset", start, part)
        parts.append(part.read_bytes())
    path = tmp_path / "all.ts"
    path.write_bytes(b"".join(parts))
    with av.open(str(path)) as film:
        assert len(film.streams) == 1
    facts = describe(path).facts
    assert facts.frame_count == 100
    with FrameReader(path, facts) as reader:
        assert len(list(reader.frames(range(100)))) == 100
        assert reader.frame(65).index == 65


def test_a_hole_in_an_unreadable_file_is_placed(tmp_path):
    source, good, bad = tmp_path / "a.mp4", tmp_path / "good.mkv", tmp_path / "bad.mkv"
    films.make(source, films.steady(300), options={**LONG_GOP, "g": "25"}, size=(192, 128))
    films.ffmpeg("-i", source, "-c", "copy", "-cluster_time_limit", "200", good)
    data = bytearray(good.read_bytes())
    first, end = len(data) // 2, len(data) * 5 // 8
    data[first:end] = bytes(byte ^ 0x5A for byte in data[first:end])
    bad.write_bytes(data)
    facts = facts_of(bad)
    lost = sorted(set(facts_of(good).frame_starts) - set(facts.frame_starts))
    hole = next(each for each in facts.damage if "no picture is found" in each.what)
    assert hole.start is not None
    assert hole.end is not None
    assert hole.start <= lost[1]
    assert hole.end >= lost[-1]
    assert usable(bad)
