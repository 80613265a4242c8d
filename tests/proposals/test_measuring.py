"""The measure itself: value and limit count alike told as one quantity or as two."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from proposals.measuring import Tally, measure
from proposals.narrating import Narration

_VALUE = {"said": "fifty millimetres", "role": "aim", "nominal": "50", "unit": "mm"}
_LIMIT = {"said": "forty-eight", "role": "limits", "lower": "48", "unit": "mm"}
_BOTH = {**_VALUE, "role": "limits", "lower": "48"}
_IN_ONE = "The spring is fifty millimetres new, and under forty-eight it's scrap."
_IN_TWO = "The spring is fifty millimetres. Anything under forty-eight millimetres is scrap."


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
    ],
)
def test_value_and_limit_count_alike_as_one_or_as_two(say, marks, strict, free):
    assert counted(say, *marks) == (strict, free)
