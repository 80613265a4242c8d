"""What belongs to a decision, a warning or a verdict is no point and no check of its own."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose

from .said import told


def texts(kind, *said):
    return [p.text for p in propose(told(*said)).proposals if p.kind == kind]


@pytest.mark.parametrize(
    "said",
    [
        ("Fill the tank.", "If it keeps dripping past the float, the washer is in upside down."),
        ("Fit the plate.", "If the arrow points left, the plate is on back to front."),
        ("Fit the lid.", "If it won't close, you've got the seal in backwards."),
        ("Fill the tank.", "If it drips, that means the washer has gone in upside down."),
    ],
)
def test_a_cause_of_a_fault_is_no_way_round(said):
    assert texts("orientation", *said) == []
    assert texts("decision", *said)


@pytest.mark.parametrize(
    ("said", "way"),
    [
        (("Fit the washer.", "It goes in upside down."), "The washer goes in upside down"),
        (("Fit the seal.", "If it's the old type, the lip goes in facing out."),
         "The lip goes in facing out"),
    ],
)  # fmt: skip
def test_how_a_thing_goes_in_is_one(said, way):
    assert texts("orientation", *said) == [way]


@pytest.mark.parametrize(
    "said",
    [
        ("Check the gap, I get three point two, so we are fine.", "We are fine"),
        ("Put the clock on the rim. Two hundredths, so we're fine there.", "fine there"),
        ("Fit the washer, and turn it on. If it drips, the seat is scored.", "The seat is scored"),
        ("Don't open the valve unless the pressure is down to nought.", "Unless the pressure"),
        ("Tighten it to 20 newton metres, anything over 25, or you'll crack it.", "Anything over"),
    ],
)
def test_what_accepts_nothing_is_not_looked_at(said):
    sentences, words = said
    assert not [one for one in texts("inspection", sentences) if words.lower() in one.lower()]


@pytest.mark.parametrize(
    ("said", "looked_at"),
    [
        ("If it rocks, check the bearing for play.", "Check the bearing for play"),
        ("Check the gap, half a mil is fine.", "Half a mil is fine"),
        ("Check the disc. It should be free of cracks, then we're fine.", "cracks"),
    ],
)
def test_what_is_looked_at_stays(said, looked_at):
    assert any(looked_at in one for one in texts("inspection", said))


def test_what_is_allowed_in_a_case_only_is_no_order():
    said = ("Don't open the valve unless the pressure is down to nought.", "Undo the cap.")
    assert not [one for one in texts("step", *said) if "unless" in one or "Open" in one]
