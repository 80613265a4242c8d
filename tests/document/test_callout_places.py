"""Callouts and masks are moved and formed without ever leaving their picture."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.procedure.callout_places import (
    LEAST,
    area,
    corners,
    default_size,
    default_tail,
    filled,
    moved,
    place,
    resized,
    with_area,
    with_end,
)
from author.procedure.steps import Callout, Mask

SHARES = st.integers(0, 10**6).map(lambda n: Decimal(n) / 10**6)
SIZES = st.integers(1, 10**6).map(lambda n: Decimal(n) / 10**6)
FAR = st.integers(-2 * 10**6, 2 * 10**6).map(lambda n: Decimal(n) / 10**6)
PLACES = st.tuples(SHARES, SHARES)
EXTENTS = st.tuples(SIZES, SIZES)
WAYS = st.tuples(FAR, FAR)
POINTED = st.builds(
    Callout, shape=st.sampled_from(["arrow", "leader"]), at=PLACES, tail=st.none() | PLACES
)
LABELS = st.builds(Callout, shape=st.just("label"), at=PLACES)
OUTLINED = st.builds(Callout, shape=st.sampled_from(["ring", "box"]), at=PLACES, size=EXTENTS)
MASKS = st.builds(Mask, at=PLACES, size=EXTENTS)
ITEMS = POINTED | LABELS | OUTLINED | MASKS


def is_inside(item):
    """Whether all of it is in the picture, in no more than six digits, as a file may hold it."""
    both = corners(item)
    points = [item.at, *(both or ()), *([item.tail] if getattr(item, "tail", None) else [])]
    values = [value for point in points for value in point]
    written = [*item.at, *(item.size or ()), *(getattr(item, "tail", None) or ())]
    type(item).model_validate(item.model_dump(mode="json"))
    return all(0 <= value <= 1 for value in values) and all(
        -6 <= value.as_tuple().exponent <= 0 for value in written
    )


@given(ITEMS, WAYS)
def test_what_is_moved_stays_inside(item, by):
    after = moved(item, by)
    assert is_inside(after)
    assert after.size == item.size


@given(POINTED, WAYS)
def test_an_arrow_keeps_its_form_when_it_is_moved(item, by):
    before = filled(item, 1.5)
    after = moved(before, by)
    for axis in (0, 1):
        was = before.tail[axis] - before.at[axis]
        assert abs(after.tail[axis] - after.at[axis] - was) <= Decimal("0.0001")


@given(ITEMS, st.lists(WAYS, max_size=6))
def test_what_is_resized_stays_inside(item, ways):
    for by in ways:
        item = resized(item, by)
    if ways and item.size is not None:
        assert is_inside(item)
        assert min(item.size) >= LEAST


@given(MASKS | OUTLINED, WAYS, WAYS)
def test_an_area_between_corners_covers_them_as_far_as_they_are_inside(item, one, other):
    after = with_area(item, one, other)
    assert is_inside(after)
    assert min(after.size) >= LEAST
    (left, top), (right, bottom) = corners(after)
    rounding = Decimal("0.0001")
    for x, y in (place(*one), place(*other)):
        assert left - rounding <= x <= right + rounding
        assert top - rounding <= y <= bottom + rounding


@given(POINTED, st.sampled_from(["at", "tail"]), WAYS)
def test_an_end_is_put_at_the_nearest_place_inside(item, end, to):
    after = with_end(filled(item, 1.5), end, to)
    assert is_inside(after)
    assert getattr(after, end) == place(*to)


@given(st.sampled_from(["arrow", "ring", "box", "label", "leader"]), PLACES, st.floats(0.2, 6))
def test_what_is_drawn_by_default_lies_inside(shape, at, ratio):
    assert is_inside(filled(Callout(shape=shape, at=at), ratio))
    assert all(0 <= value <= 1 for value in default_tail(*map(float, at)))
    assert all(0 < value <= 1 for value in default_size(ratio))


def test_four_digits_are_written():
    callout = Callout(shape="arrow", at=place(0.123456, 1), tail=place(0, -3))
    assert callout.model_dump(mode="json")["at"] == ["0.1235", "1.0000"]
    assert callout.model_dump(mode="json")["tail"] == ["0.0000", "0.0000"]


@pytest.mark.parametrize("corner", [(0, 0), (1, 1)])
def test_an_area_of_nothing_is_the_smallest_there_may_be(corner):
    at, size = area(place(*corner), place(*corner))
    assert size == (LEAST, LEAST)
    assert all(LEAST / 2 <= value <= 1 - LEAST / 2 for value in at)
