"""For every film: frame at its own time is that frame, and whole films have no damage."""

from __future__ import annotations

import random
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from author.procedure.facts import RecordingFacts
from author.recording import FrameReader, describe

from . import films
from .conftest import MAKERS

# The numbers of the frames that are shown, where they are not 0 to 74.
SHOWN: dict[str, Sequence[int]] = {
    **dict.fromkeys(("vfr", "vfr_b_mkv", "sound_first", "video_late_ts"), range(60)),
    **dict.fromkeys(
        ("right", "over", "left", "mirror", "flip", "mirror_right", "mirror_left"), range(12)
    ),
    **dict.fromkeys(("field_pairs", "field_pairs_mp4"), range(30)),
    "long_gop": range(260),
    "trimmed": range(15, 75),
    "negative": range(30, 75),
    "cut_out": [*range(30), *range(60, 75)],
}
# Seconds between frames, where they are not a thirtieth.
STEPS = {
    **dict.fromkeys(("right", "over", "left", "mirror"), Fraction(1001, 30_000)),
    **dict.fromkeys(("flip", "mirror_right", "mirror_left"), Fraction(1001, 30_000)),
    **dict.fromkeys(("ts", "ts_wrap"), Fraction(3003, 90_000)),
    **dict.fromkeys(("field_pairs", "field_pairs_mp4", "raw"), Fraction(1, 25)),
}
# When the first picture comes, where that is not at once: sound is there before it.
FIRST = {
    **{"sound_first": Fraction(1, 2), "video_late_ts": Fraction(3, 2), "delayed": Fraction(1, 2)},
    # AVI has times of decoding only, and showing comes one or two frames after.
    **{"part2": Fraction(1, 30), "avi_b_frames": Fraction(2, 30)},
    "fragmented": Fraction(2, 30),  # composition begins so late, and no edit list says otherwise
}
# Sound of these begins before its own time, by the samples the coder runs in on.
_RUN_IN = Fraction(1024, films.RATE)
_MILLISECONDS = (".mkv", ".webm", ".flv", ".wmv")  # containers that count no finer


def times_of(name: str) -> list[Fraction]:
    """When each shown frame should start, seconds from the first."""
    if name.startswith("vfr"):
        base = Fraction(1, 90_000 if name == "vfr" else 1000)
        ticks = films.uneven(60) if name == "vfr" else [t // 90 for t in films.uneven(60)]
        return [tick * base for tick in ticks]
    step = STEPS.get(name, Fraction(1, 30))
    return [step * number for number in range(len(SHOWN.get(name, range(75))))]


@cache
def facts_of(path: Path) -> RecordingFacts:
    """Read a film through, once for both tests."""
    return describe(path).facts


@pytest.mark.parametrize("name", MAKERS)
def test_each_frame_is_found_at_its_own_time(name, film):
    path = film(name)
    facts = facts_of(path)
    shown = list(SHOWN.get(name, range(75)))
    assert facts.damage == ()
    assert facts.frame_count == len(shown)
    order = list(range(len(shown)))
    random.Random(name).shuffle(order)
    with FrameReader(path, facts) as reader:
        forward = list(reader.frames(range(len(shown))))
        assert [films.number_in(each.pixels) for each in forward] == shown
        assert {each.pixels.shape for each in forward} == {(facts.height, facts.width, 3)}
        for index in [*order[:120], *list(reversed(range(len(shown))))[:12]]:
            frame = reader.at(facts.frame_starts[index])
            assert (frame.index, frame.start) == (index, facts.frame_starts[index])
            assert films.number_in(frame.pixels) == shown[index]


@pytest.mark.parametrize("name", MAKERS)
def test_times_are_those_of_the_film(name, film):
    path = film(name)
    facts = facts_of(path)
    slack = Fraction(1 if path.suffix in _MILLISECONDS else 0, 1000) + Fraction(2, 1_000_000)
    first, expected = facts.frame_starts[0], times_of(name)
    found = [Fraction(each - first) for each in facts.frame_starts]
    assert max(abs(one - two) for one, two in zip(found, expected, strict=True)) <= slack
    assert all(before < after for before, after in pairwise(facts.frame_starts))
    assert abs(Fraction(first) - FIRST.get(name, 0)) <= slack + _RUN_IN
    last = Fraction(facts.duration - facts.frame_starts[-1])
    if not name.startswith("vfr"):
        assert abs(last - STEPS.get(name, Fraction(1, 30))) <= slack
    assert facts.duration == facts.duration.quantize(Decimal("0.000001")) > facts.frame_starts[-1]
