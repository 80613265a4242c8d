"""Digits that are no number anybody says break nothing: far too many, raised, of other scripts."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.quantities.reading import quantities_in
from proposals.said import told

LONG = "9" * 5000
"""More digits than Python turns into a number."""


@pytest.mark.parametrize("digits", [LONG, "²", "④", "٤٠", "9" * 13])
@pytest.mark.parametrize(
    "words",
    [
        "Tighten it to {} newton metres.",
        "Check it again after {} weeks.",
        "It reads 3/{} of an inch.",
        "It reads {}/8 of an inch.",
        "It is {}th of an inch.",
        "Use a {} mil key.",
        "It was forty, say {}.",
    ],
)
def test_no_number_is_made_of_them_and_the_rest_is_read(words, digits):
    said = told(words.format(digits), "Set the gap to 3 mm.")
    read = [quantity.nominal for quantity in quantities_in(said)]
    assert 3 in read
    assert all(value is None or value < 1000 for value in read)
    assert propose(said, {}).proposals


@pytest.mark.parametrize("heap", ["1.1." * 60, "1-" * 150, "1/" * 150])
def test_a_heap_of_digits_without_a_blank_is_no_row_of_numbers(heap):
    said = told(f"Tighten it to {heap} newton metres.", "Set the gap to 3 mm.")
    assert [quantity.nominal for quantity in quantities_in(said)] == [3]


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("After 2 weeks check it again.", "14 d"),
        ("The gap is 3/8 of an inch.", "0.375 in"),
        ("The gap is 5/16th of an inch.", "0.3125 in"),
    ],
)
def test_plain_digits_are_read_as_before(words, value):
    (quantity,) = quantities_in(told(words))
    assert f"{quantity.nominal} {quantity.unit}" == value
