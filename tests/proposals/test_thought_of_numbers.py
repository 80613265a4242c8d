"""What the network thinks of a number is one sign more: it settles what the words leave open."""

from __future__ import annotations

import pytest

from author.proposals.quantities.reading import SpokenQuantity, quantities_in
from author.proposals.reader.ahead import Ahead
from author.proposals.reader.network import SIDES, Value
from proposals.said import told

_TALK = (
    "Pump it up and let it run for a while.",
    "The gauge on the regulator is the small one.",
)


def _read(*say: str, unit: str | None, side: str = "n", odds: float = 4.0) -> SpokenQuantity | None:
    """Return what is read last, where the network thinks the same of every word."""
    sentences = told(*say)
    sides = tuple(0.92 if one == side else 0.01 for one in SIDES)
    value = Value({unit: 0.9}, sides)
    ahead = [
        Ahead(0, 0, 0, (), (odds,) * len(one.words), (value,) * len(one.words)) for one in sentences
    ]
    found = quantities_in(sentences, ahead)
    return found[-1] if found else None


@pytest.mark.parametrize("unit", ["psi", "lbf", "N·m"])
def test_a_unit_that_was_said_plainly_stays(unit: str) -> None:
    one = _read(*_TALK, "You want thirty millimetres there.", unit=unit)
    assert one is not None
    assert one.unit == "mm"


def test_a_limit_is_told_as_one_though_no_word_says_so() -> None:
    say = "The label says forty bar."
    value, limit = _read(say, unit="bar"), _read(say, unit="bar", side="u")
    assert value is not None and limit is not None
    assert (value.nominal, value.upper) == (40, None)
    assert (limit.nominal, limit.upper, limit.role) == (None, 40, "limits")


def test_no_range_is_taken_apart() -> None:
    one = _read("Set it to between six and eight bar.", unit="bar", side="n")
    assert one is not None
    assert (one.lower, one.upper) == (6, 8)


def test_a_bare_number_has_the_unit_the_talk_is_about() -> None:
    say = (
        "The shaft is twenty millimetres.",
        "It holds eight bar.",
        "Take it up to nine and a half.",
    )
    length, pressure = _read(*say, unit="mm"), _read(*say, unit="bar")
    assert length is not None and pressure is not None
    assert (length.unit, pressure.unit) == ("mm", "bar")


def test_a_number_that_looks_like_a_name_is_kept_where_it_is_surely_a_value() -> None:
    say = ("The gap is two inches.", "Travel is inch and a half.")
    none, value = _read(*say, unit="in", odds=0.0), _read(*say, unit="in", odds=5.0)
    assert none is not None and none.nominal == 2
    assert value is not None and str(value.nominal) == "1.5"
    assert "looks like a name" in value.reason


def test_nothing_thought_is_nothing_changed() -> None:
    say = told("You want thirty pounds on it.", "And forty on the other.")
    assert quantities_in(say) == quantities_in(say, [Ahead(0, 0, 0)] * 2)


def test_what_is_done_faster_takes_less_time_whatever_is_thought() -> None:
    say = "Opening should be about two and a half seconds, closing not faster than three."
    one = _read(say, unit="s", side="u")
    assert one is not None
    assert (one.lower, one.upper) == (3, None)
