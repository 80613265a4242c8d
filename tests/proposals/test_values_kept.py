"""Values whose words look like names or counts, and names and counts that look like values."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.proposals.quantities.reading import quantities_in
from proposals.said import told


def _values(*sentences: str) -> list[str]:
    found = quantities_in(told(*sentences))
    return [
        "..".join(
            str(value) for value in (one.lower, one.nominal, one.upper) if value is not None
        )
        for one in found
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("sentences", "values"),
    [
        (["It's five point six amps on the plate, and it's drawing 1.75."], ["5.6", "1.75"]),
        (["Eight amps. R nine point one, Y nine point three."], ["8", "9.1", "9.3"]),
        (["Length under fifty millimetres is scrap, fifty-two new, so bin it."], ["50", "52"]),
        (["Keep it within two millimetres, dish within one."], ["2", "1"]),
        (["Two thou end to end.", "The two sides inside of fifteen of each other."], ["2", "15"]),
        (["That's three thou, and the sheet lets you have one over the length."], ["3", "1"]),
        (["There has to be at least nought point eight of silver, in millimetres."], ["0.8"]),
        (["Up and down it's ten thou, I got thirty of it."], ["10", "30"]),
        (["After ten hours of work you pull them again."], ["10"]),
        (["Point four millimetres goes, point five goes."], ["0.4", "0.5"]),
        (["It wants a tenth of a millimetre.", "I see two and a half hundredths."],
         ["0.1", "0.025"]),
        (["Get the room down to at least minus fifteen Celsius."], ["-15"]),
    ],
)  # fmt: skip
def test_a_value_is_kept_though_it_looks_like_a_name_or_count(
    sentences: list[str], values: list[str]
) -> None:
    assert _values(*sentences) == values


@pytest.mark.parametrize(
    "sentence",
    [
        "See drawing 175, and drawing 12 for the rest.",
        "On pass 3 slow down.",
        "Terminals U 1, V 1, W 1.",
        "Fuse F 10 and fuse G 12.",
        "Two left on the tray, four new bolts.",
        "It lets you one at a time through.",
        "It's had ten hours of work.",
        "Take ten of them.",
        "Three to four passes with the file.",
        "No two is the one at the back.",
    ],
)
def test_a_name_or_count_is_no_value(sentence: str) -> None:
    assert _values(sentence) == []


@pytest.mark.parametrize(
    ("sentences", "upper"),
    [
        (["Straight to a tenth of a millimetre.", "A two-hundredths feeler shouldn't start."],
         "0.02"),
        (["The gap is a millimetre.", "Feeler under the edge, five hundredths mustn't go in."],
         "0.05"),
        (["Four thou mustn't enter."], "4"),
        (["Five hundredths of a millimetre should go in."], None),
        (["Four thou must not start to show."], None),
    ],
)  # fmt: skip
def test_what_must_not_go_in_is_the_most_a_gap_may_be(
    sentences: list[str], upper: str | None
) -> None:
    last = quantities_in(told(*sentences))[-1]
    assert last.upper == (Decimal(upper) if upper else None)
