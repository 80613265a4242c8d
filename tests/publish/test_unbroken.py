"""Values, threads, sizes, fits and part numbers stay on one line; their characters stay."""

import re

import pytest

from author.publish.glyphs import breakable
from author.publish.unbroken import with_fixed_spaces, with_whole_values

VALUES = [
    "17 × 40 × 12 mm",
    "M16 × 1.5",
    "10 to 60 N·m",
    "4.465 to 4.585 mm",
    "17 h6",
    "40 N7",
    "max 8.0 kN",
    "−5 °C",
    "1/2 in",
    "revision 12",
]
PROSE = [
    "2 washers",
    "1 × Tab washer",
    "in 3 steps",
    "steps 12 to 14 of it",
    "10 minutes",
    "A 4",
    "the revision of 3 parts",
]
NUMBERS = ["BW-101", "TW-16", "286-2", "2026-03-31", "BW-101-2RS/C3"]


@pytest.mark.parametrize("value", VALUES)
def test_spaces_in_a_value_do_not_break_on_paper(value):
    number = value.removeprefix("max ")
    shown = breakable({"what": f"Read {value}, then go on."})["what"]
    assert number.replace(" ", "\u00a0") in shown
    assert shown.replace("\u00a0", " ") == f"Read {value}, then go on."


@pytest.mark.parametrize("words", PROSE)
def test_other_words_break_as_before(words):
    assert with_fixed_spaces(words) == words
    assert with_whole_values(words) == words


@pytest.mark.parametrize("value", [*VALUES, *NUMBERS])
def test_values_and_part_numbers_are_whole_on_the_page(value):
    number = value.removeprefix("max ")
    shown = with_whole_values(f"<p>Fit it ({value}).</p>")
    start, to, last = number.rpartition(" to ")
    whole = f'<span class="whole">{"(" if number == value else ""}'
    whole += f'{start}{to}<span class="whole">{last}).</span></span>' if to else f"{last}).</span>"
    assert whole in shown
    assert re.sub(r"</?span[^>]*>", "", shown) == f"<p>Fit it ({value}).</p>"


@pytest.mark.parametrize(
    "words",
    [
        '<p data-box="M16 × 1.5" title="40 mm">–</p>',
        "<svg><text>40 mm</text></svg>",
        "<script>const a = '40 mm';</script>",
        "<title>Bearing BW-101</title>",
        "<!-- 40 mm -->",
    ],
)
def test_attributes_scripts_and_drawings_are_left_alone(words):
    assert with_whole_values(words) == words


def test_what_is_too_long_for_a_narrow_place_may_break():
    long_range = "1234567.891 to 1234567.893 N·m"
    assert with_fixed_spaces(long_range) == "1234567.891 to 1234567.893\u00a0N·m"
