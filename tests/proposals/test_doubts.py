"""Values that were doubted as they were said, and what a plain gauge shows."""

from __future__ import annotations

import pytest

from author.proposals.quantities.reading import quantities_in
from proposals.said import told


def values(*texts: str) -> list[str]:
    """Return every value of some sentences with its unit."""
    return [
        " ".join(str(v) for v in (one.lower, one.nominal, one.upper, one.unit) if v is not None)
        for one in quantities_in(told(*texts))
    ]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("The nut's three hundred and twenty newton metres plus minus fifteen, or was it three "
         "forty, no three twenty.", ["305 320 335 N·m"]),
        ("three hundred and twenty newton metres three twenty plus minus fifteen or was it three "
         "forty no three twenty", ["305 320 335 N·m"]),
        ("It's twenty newton metres, or was it twenty five, no, twenty.", ["20 N·m"]),
        ("Tighten it to twenty newton metres, or was it twenty five?", ["20 N·m"]),
        ("Tighten it to twenty newton metres, or is it twenty five, no, thirty.", ["30 N·m"]),
        ("Set it to two bar, hang on, was it three?", ["2 bar"]),
    ],
)  # fmt: skip
def test_a_value_that_is_doubted_stands_once_and_says_so(text: str, wanted: list[str]) -> None:
    assert values(text) == wanted
    if "plus" not in text:
        (one,) = quantities_in(told(text))
        assert "doubted as it was said" in one.reason
        assert one.confidence <= 1 / 2 + 1 / 10


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("It was twenty bar on Monday, was it thirty on Tuesday?", ["20 bar", "30 bar"]),
        ("It's twenty newton metres and the other is thirty.", ["20 N·m", "30 N·m"]),
        ("It reads 3.2 bar, it was 2.8.", ["3.2 bar", "2.8 bar"]),
        ("The gap is 2 mm, or it was 40 minutes ago.", ["2 mm"]),
        ("Is it twenty or thirty newton metres?", ["20 30 N·m"]),
        ("Torque is 45 newton metres, is it clean?", ["45 N·m"]),
    ],
)
def test_other_questions_take_nothing_away(text: str, wanted: list[str]) -> None:
    assert values(text)[: len(wanted)] == wanted


@pytest.mark.parametrize(
    ("texts", "last"),
    [
        (["Boiler is at 1.2 bar and 120 degrees C.",
          "Open the steam tap until the gauge is at zero."], "0 bar"),
        (["Set it to two bar and heat it to 90 degrees C.",
          "Open the valve until the gauge drops to zero."], "0 bar"),
        (["Two bar.", "End float is 0.2 mm.", "Put the dial gauge on the valve, it reads zero."],
         "0 mm"),
        (["Two bar.", "Valve lash, eight thou.", "The feeler for the valve is six."], "6 thou"),
    ],
)  # fmt: skip
def test_a_gauge_that_something_is_let_out_by_shows_a_pressure(texts: list[str], last: str) -> None:
    assert values(*texts)[-1] == last
