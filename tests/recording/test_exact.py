"""For every film: frame at its own time is that frame, and whole films have no damage."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.recording import FrameReader, describe

from . import films
from .conftest import MAKERS

COUNTS = {"vfr": 60, "vfr_b_mkv": 60, "sound_first": 60}
TURNED = {"right", "over", "left", "mirror", "flip", "mirror_right", "mirror_left"}


@pytest.mark.parametrize("name", MAKERS)
def test_each_frame_is_found_at_its_own_time(name, film):
    path = film(name)
    facts = describe(path).facts
    count = COUNTS.get(name, 12 if name in TURNED else 75)
    assert facts.damage == ()
    assert facts.frame_count == count
    with FrameReader(path, facts) as reader:
        in_one_pass = list(reader.frames(range(count)))
        assert [films.number_in(each.pixels) for each in in_one_pass] == list(range(count))
        for index in [count - 1, 0, count // 2, count // 2 + 1, count // 3, 1, count - 2, 7]:
            frame = reader.at(facts.frame_starts[index])
            assert (frame.index, films.number_in(frame.pixels)) == (index, index)
            assert frame.pixels.shape == (facts.height, facts.width, 3)


def test_times_are_those_of_the_film(film):
    facts = describe(film("vfr")).facts
    expected = [Decimal(tick) / 90_000 for tick in films.uneven(60)]
    assert list(facts.frame_starts) == [each.quantize(Decimal("0.000001")) for each in expected]
    assert facts.duration > facts.frame_starts[-1]
