"""One clock over the files a camera split a take into: every frame once, in order."""

from __future__ import annotations

import random
from decimal import Decimal
from itertools import accumulate, pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.errors import InputError
from author.procedure.facts import Damage, RecordingFacts
from author.recording import facts_of
from author.recording.chapters import JoinedReader, in_order, join

from . import films
from .conftest import LONG_GOP

MICRO = Decimal("0.000001")


def part_of(number: int, steps: list[int], lead: int = 0, **more) -> tuple[Path, RecordingFacts]:
    bounds = [MICRO * each for each in accumulate(steps, initial=lead)]
    name, starts = f"part{number}.mp4", tuple(bounds[:-1])
    more = {"width": 96, "height": 64, "sha256": f"{number:064}", **more}
    return Path("/films") / name, RecordingFacts(
        name, 1, frame_starts=starts, duration=bounds[-1], **more
    )


STEPS = st.lists(st.integers(1, 2_000_000), min_size=1, max_size=12)
PARTS = st.lists(st.tuples(STEPS, st.integers(0, 900_000)), min_size=1, max_size=6).map(
    lambda each: [part_of(number, *one) for number, one in enumerate(each)]
)


@given(PARTS)
def test_every_frame_has_one_place_on_one_clock(parts):
    joined = join(parts)
    counts = [facts.frame_count for _, facts in parts]
    places = [(part, at) for part, count in enumerate(counts) for at in range(count)]
    assert [joined.locate(index) for index in range(joined.frame_count)] == places
    assert all(one < two for one, two in pairwise((*joined.frame_starts, joined.duration)))
    for (part, at), start in zip(places, joined.frame_starts, strict=True):
        assert start == joined.offset(part) + parts[part][1].frame_starts[at]
        assert start.as_tuple().exponent == -6
    for index in (-1, joined.frame_count):
        with pytest.raises(InputError, match="no frame"):
            joined.locate(index)


@given(PARTS)
def test_the_picture_goes_on_without_a_gap(parts):
    joined = join(parts)
    lengths = [facts.duration - facts.frame_starts[0] for _, facts in parts]
    assert joined.duration == parts[0][1].frame_starts[0] + sum(lengths)
    for part in range(1, len(parts)):
        end = joined.offset(part - 1) + parts[part - 1][1].duration
        assert joined.frame_starts[joined.firsts[part]] == end


@given(PARTS)
def test_joining_step_by_step_is_joining_at_once(parts):
    whole = join(parts)
    for count in range(1, len(parts)):
        some = join(parts[:count])
        assert whole.frame_starts[: some.frame_count] == some.frame_starts
        assert whole.frame_starts[some.frame_count] == some.duration


@given(PARTS, st.integers(0, 20_000_000))
def test_a_mark_means_the_nearest_start(parts, micros):
    joined = join(parts)
    mark = MICRO * micros
    alone = RecordingFacts("a", 1, "0", 2, 2, joined.frame_starts, joined.duration)
    assert joined.index_at(mark) == alone.index_at(mark)


def test_lost_pictures_at_a_joint_keep_their_time_and_damage_its_place():
    first = part_of(1, [40_000] * 5)
    lost = Damage(Decimal("0.100000"), Decimal("0.500000"), "4 pictures cannot be decoded")
    about = Damage(None, None, "unreadable")
    second = part_of(2, [40_000] * 5, lead=500_000, damage=(lost, about))
    joined = join([first, second])
    assert joined.frame_starts[5] == Decimal("0.6")  # 0.2 and the 0.4 that are lost
    assert joined.damage == (
        Damage(Decimal("0.2"), Decimal("0.6"), "part2.mp4: 4 pictures cannot be decoded"),
        Damage(None, None, "part2.mp4: unreadable"),
    )


@pytest.mark.parametrize(
    ("second", "problem"),
    [
        (part_of(2, [10], width=64, height=96), "its picture is 64 × 96, not 96 × 64"),
        (part_of(2, [10], sha256=f"{1:064}"), "is the same film as part1.mp4"),
        (part_of(2, []), "no frame to show"),
    ],
)
def test_what_cannot_follow_on_is_refused(second, problem):
    with pytest.raises(InputError, match=problem) as caught:
        join([part_of(1, [10]), second])
    assert caught.value.file == str(second[0])
    assert caught.value.remedy


def test_no_part_is_refused():
    with pytest.raises(InputError, match="no part"):
        join([])


def test_names_are_ordered_as_a_person_would():
    wanted = [
        *("A001C001.MP4", "clip.mp4", "clip1.mp4", "clip2.mp4", "Clip09.mp4"),
        *("clip10.mp4", "clip10b.mp4", "clip100.mp4"),
    ]
    paths = [Path(name) for name in wanted]
    mixed = paths.copy()
    random.Random(4).shuffle(mixed)
    assert in_order(mixed) == paths
    assert in_order([Path("b/1.mp4"), Path("a/1.mp4")]) == [Path("a/1.mp4"), Path("b/1.mp4")]
    assert in_order([Path("9.mp4"), Path("²10.mp4"), Path("x.mp4"), Path("8")])[0] == Path("8")


@given(st.lists(st.text("aB019_", min_size=1, max_size=5), unique=True, max_size=9), st.randoms())
def test_order_does_not_hang_on_how_names_are_given(names, rng):
    paths = [Path(name) for name in names]
    ordered = in_order(paths)
    rng.shuffle(paths)
    assert in_order(paths) == ordered
    assert sorted(ordered) == sorted(paths)


@given(st.lists(st.integers(0, 10**12), unique=True, max_size=9))
def test_numbers_count_as_numbers(numbers):
    paths = [Path(f"GX{number}.MP4") for number in numbers]
    assert in_order(paths) == [Path(f"GX{number}.MP4") for number in sorted(numbers)]


@pytest.mark.parametrize("suffix", ["mp4", "ts"])
def test_a_take_in_three_files_is_found_whole(tmp_path, suffix):
    """Split without decoding; sound is in it, and ends elsewhere than the picture."""
    whole = films.make(
        tmp_path / f"whole.{suffix}",
        films.steady(90),
        options={**LONG_GOP, "g": "30", "keyint_min": "30"},
        sound=films.tone(3.1),
    )
    films.ffmpeg(
        *("-i", whole, "-map", "0", "-c", "copy", "-f", "segment", "-segment_time", "0.9"),
        *("-reset_timestamps", "1", tmp_path / f"part%d.{suffix}"),
    )
    files = in_order(list(tmp_path.glob("part*")))
    assert len(files) == 3
    parts = [(file, facts_of(file)) for file in files]
    with JoinedReader(parts) as reader:
        joined = reader.joined
        assert joined.frame_count == 90
        in_one_pass = list(reader.frames(range(90)))
        assert [films.number_in(each.pixels) for each in in_one_pass] == list(range(90))
        assert [each.index for each in in_one_pass] == list(range(90))
        for index in (89, 60, 59, 30, 29, 0):
            frame = reader.at(joined.frame_starts[index])
            assert (frame.index, frame.start) == (index, joined.frame_starts[index])
            assert films.number_in(frame.pixels) == index
        assert reader.at(joined.duration).index == 89
    starts = facts_of(whole).frame_starts
    drift = [one - two for one, two in zip(joined.frame_starts, starts, strict=True)]
    assert max(drift) - min(drift) <= 3 * MICRO
