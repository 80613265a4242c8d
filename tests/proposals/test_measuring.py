"""The measure itself: value and limit count alike told as one quantity or as two."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from proposals.measuring import Tally, measure
from proposals.narrating import Narration
from proposals.same_names import alike, name_of

_VALUE = {"said": "fifty millimetres", "role": "aim", "nominal": "50", "unit": "mm"}
_LIMIT = {"said": "forty-eight", "role": "limits", "lower": "48", "unit": "mm"}
_BOTH = {**_VALUE, "role": "limits", "lower": "48"}
_IN_ONE = "The spring is fifty millimetres new, and under forty-eight it's scrap."
_IN_TWO = "The spring is fifty millimetres. Anything under forty-eight millimetres is scrap."
_WITHIN = "It's twenty-five ohms, anything from twenty-two to twenty-eight is fine."
_ABOUT = {"said": "twenty-five ohms", "role": "about", "nominal": "25", "unit": "Ω"}
_RANGE = {"said": "from twenty-two to twenty-eight", "role": "limits", "lower": "22",
          "upper": "28", "unit": "Ω"}  # fmt: skip
_OF_ONE = {"said": "fifty millimetres", "role": "size", "numbers": ["50"], "unit": "mm"}


def counted(say, *marks):
    sentence = {"from": "1.000", "to": "6.000", "say": say, "kinds": [],
                "quantities": list(marks)}  # fmt: skip
    data = {"style": "spoken", "format": "vtt", "sentences": [sentence], "steps": []}
    narration, tally = Narration("one", data), Tally()
    measure(narration, propose(narration.spoken()), tally)
    strict, free = tally.counts["quantities to the mark"], tally.counts["quantities"]
    return (strict.right, strict.found, strict.wanted), (free.right, free.found, free.wanted)


@pytest.mark.parametrize(
    ("say", "marks", "strict", "free"),
    [
        (_IN_ONE, [_BOTH], (1, 1, 1), (1, 1, 1)),
        (_IN_ONE, [_VALUE, _LIMIT], (0, 1, 2), (2, 2, 2)),
        (_IN_TWO, [_VALUE, _LIMIT], (2, 2, 2), (2, 2, 2)),
        (_IN_TWO, [_BOTH], (0, 2, 1), (1, 1, 1)),
        (_IN_ONE, [_VALUE, {**_LIMIT, "lower": "47"}], (0, 1, 2), (0, 1, 2)),
        (_IN_TWO, [{**_BOTH, "lower": "47"}], (0, 2, 1), (0, 2, 1)),
        (_WITHIN, [_ABOUT, _RANGE], (0, 1, 2), (2, 2, 2)),
        (_IN_TWO, [_OF_ONE, _LIMIT], (2, 2, 2), (2, 2, 2)),
        (_IN_TWO, [{**_OF_ONE, "numbers": ["51"]}, _LIMIT], (1, 2, 2), (1, 2, 2)),
    ],
)
def test_value_and_limits_count_alike_as_one_or_as_two(say, marks, strict, free):
    assert counted(say, *marks) == (strict, free)


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ("rattle gun", "impact wrench"),
        ("ruler", "steel rule"),
        ("snap ring pliers", "circlip pliers"),
        ("twenty-four mil spanner", "24 mm spanner"),
        ("thirteen millimetre socket", "13 mm socket"),
        ("blue thread lock", "blue threadlocker"),
        ("high-temp grease", "high-temperature grease"),
        ("bit of wood", "wooden block"),
        ("tray", "drain tray"),
        ("balance", "spring balance"),
        ("pen", "paint pen"),
    ],
)
def test_names_that_every_fitter_gives_to_one_thing_are_one(one, two):
    assert alike(name_of(one), name_of(two))


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ("impact driver", "impact wrench"),
        ("twenty-four spanner", "twenty-two spanner"),
        ("torque wrench", "torque screwdriver"),
        ("emery cloth", "lint-free cloth"),
        ("bore gauge", "feeler gauge"),
    ],
)
def test_names_of_two_things_are_two(one, two):
    assert not alike(name_of(one), name_of(two))
