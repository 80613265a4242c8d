"""Which unit a bare number gets, by the words around it and by how large it is."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
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


def test_a_unit_nobody_says_is_that_of_nearly_the_same_value_told_before() -> None:
    said = told(
        "The vacuum is low, it has to give forty-two kilopascals.", "We cut the current.",
        "We remove the guard.", "The belt has cracks, so we put a new one.", "Now the cover.",
        "Be careful with the cover.", "Look, here are the vanes.",
        "We clean the slots with a brush.", "We fill it with oil.",
        "We take out the padlock, and we leave it to turn five minutes.",
        "Now it marks forty-three.",
    )  # fmt: skip
    found = [p for p in propose(said).proposals if p.kind == "measurement"]
    assert found[-1].values is not None
    assert found[-1].values.unit == "kPa"
