"""A mark means the frame whose start is nearest; spans are half open slices of frames."""

from __future__ import annotations

from decimal import Decimal
from itertools import accumulate, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.procedure.facts import RecordingFacts
from author.recording import FrameReader, facts_of

from . import films

MICRO = Decimal("0.000001")
# From two microseconds to three seconds between frames, as phones and screen capture have it.
STEPS = st.lists(st.integers(2, 3_000_000), min_size=2, max_size=40)


@st.composite
def irregular(draw: st.DrawFn) -> RecordingFacts:
    steps = draw(STEPS)
    bounds = [MICRO * each for each in accumulate(steps, initial=draw(st.integers(0, 10**7)))]
    return RecordingFacts("film.mp4", 1, "0" * 64, 96, 64, tuple(bounds[:-1]), bounds[-1])


@given(irregular(), st.data())
def test_a_mark_near_a_start_means_that_frame(film, data):
    bounds = [*film.frame_starts, film.duration]
    index = data.draw(st.integers(0, film.frame_count))
    assert film.index_at(bounds[index]) == index
    if index:
        before = (bounds[index] - bounds[index - 1]) / 2
        assert film.index_at(bounds[index] - before + MICRO / 2) == index
        assert film.index_at(bounds[index] - before) == index - 1  # a tie: the earlier one
    if index < film.frame_count:
        after = (bounds[index + 1] - bounds[index]) / 2
        assert film.index_at(bounds[index] + after) == index
        assert film.index_at(bounds[index] + after + MICRO / 2) == index + 1


@given(irregular(), st.data())
def test_a_span_holds_exactly_the_frames_that_start_in_it(film, data):
    bounds = [*film.frame_starts, film.duration]
    first = data.draw(st.integers(0, film.frame_count))
    end = data.draw(st.integers(first, film.frame_count))
    found = range(film.index_at(bounds[first]), film.index_at(bounds[end]))
    inside = [n for n, at in enumerate(film.frame_starts) if bounds[first] <= at < bounds[end]]
    assert list(found) == inside


@given(irregular(), st.lists(st.integers(0, 10**9), max_size=6))
def test_spans_side_by_side_share_no_frame_and_lose_none(film, marks):
    """Wherever the cuts are set, every frame is in one span and in no other."""
    cuts = [Decimal(0), *sorted(MICRO * each for each in marks), film.duration]
    indices = [film.index_at(cut) for cut in cuts]
    assert indices == sorted(indices)
    indices[0] = 0
    indices[-1] = film.frame_count
    spans = [range(one, two) for one, two in pairwise(indices)]
    assert [n for span in spans for n in span] == list(range(film.frame_count))


@pytest.mark.parametrize("name", ["vfr", "vfr_b_mkv", "delayed", "field_pairs"])
def test_marks_around_a_start_show_that_frame(film, name):
    facts = facts_of(film(name))
    with FrameReader(film(name), facts) as reader:
        for index in (0, 1, 13, 14, facts.frame_count - 1):
            start = facts.frame_starts[index]
            for mark in (max(Decimal(0), start - MICRO), start, start + MICRO):
                assert films.number_in(reader.at(mark).pixels) == index
        last = facts.frame_count - 1
        for mark in (facts.duration, facts.duration + 1):
            assert reader.at(mark).index == last
        span = range(facts.index_at(facts.frame_starts[5]), facts.index_at(facts.frame_starts[9]))
        numbers = [films.number_in(each.pixels) for each in reader.frames(span)]
        assert numbers == [5, 6, 7, 8]
