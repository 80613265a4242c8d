"""Which unit a bare number gets, by the words around it and by how large it is."""

from __future__ import annotations

import pytest

from author.proposals.quantities.reading import quantities_in
from proposals.said import told


def _units(*say: str) -> list[str | None]:
    return [one.unit for one in quantities_in(told(*say))]


@pytest.mark.parametrize(
    ("say", "units"),
    [
        # Before "plus" a torque and behind it an angle, as they were told once.
        (
            ("Heads get sixty newton metres plus ninety degrees.", "Caps are fifty plus forty."),
            ["N·m", "°", "N·m", "°"],
        ),
        # What was never told so is not added so.
        (("The bolts get sixty newton metres.", "The shim is two millimetres."), ["N·m", "mm"]),
    ],
)
def test_unit_of_a_bare_number(say: tuple[str, ...], units: list[str]) -> None:
    assert _units(*say) == units
