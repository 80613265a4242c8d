"""Pounds that a thing weighs, and revs that tell how fast it runs."""

from __future__ import annotations

import pytest

from author.proposals.quantities.reading import quantities_in
from proposals.said import told


def _last_unit(*say: str) -> str | None:
    return quantities_in(told(*say))[-1].unit


@pytest.mark.parametrize(
    ("before", "say", "unit"),
    [
        ("The seal takes two hundred psi.", "That lid's ninety pounds, get a sling on it.", "lb"),
        ("Nuts get forty foot pounds.", "The motor weighs right at thirty-eight pounds.", "lb"),
        ("Line pressure is ninety psi.", "Six bolts, ninety-one pounds of it, chain fall.", "lb"),
        ("Line pressure is ninety psi.", "The drum tips the scales at sixty pounds.", "lb"),
        ("Nuts get forty foot pounds.", "The hub's fifty pounds, so strap it, bolts out.", "lb"),
        ("Nuts get forty foot pounds.", "Lift arm bolts are sixty pounds.", "lbf·ft"),
        ("Nuts get forty foot pounds.", "The crane hook nut's ninety pounds.", "lbf·ft"),
        ("The relief is two hundred psi.", "The hoist relief's eighteen hundred pounds.", "psi"),
        ("Line pressure is ninety psi.", "You pull on the strap with thirty pounds.", "lbf"),
        ("Line pressure is ninety psi.", "Ours was at seventy pounds.", "psi"),
    ],
)
def test_pounds_that_a_thing_weighs(before: str, say: str, unit: str) -> None:
    assert _last_unit(before, say) == unit


def test_pounds_beside_as_many_kilos_are_a_weight() -> None:
    say = "The bit's a hundred and ninety pounds, call it eighty-six kilos."
    (one,) = quantities_in(told("Charge it to two hundred psi.", say))[1:]
    assert (one.nominal, one.unit) == (190, "lb")


@pytest.mark.parametrize(
    ("say", "unit"),
    [
        ("Run it empty at ten to fifteen revs.", "r/min"),
        ("Start with eight revs, with material.", "r/min"),
        ("Keep her under sixty revs.", "r/min"),
        ("The screw runs at twenty revs.", "r/min"),
        ("Turn it over ten revs by hand.", "turn"),
        ("After six revs the nut runs off the thread.", "turn"),
        ("Run the nut down with five revs.", "turn"),
        ("It takes twenty revs to open the gate.", "turn"),
        ("Back it off two revs.", "turn"),
    ],
)
def test_revs_of_what_runs(say: str, unit: str) -> None:
    assert _last_unit(say) == unit
