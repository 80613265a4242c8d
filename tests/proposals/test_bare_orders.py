"""Orders told without a verb: what is put, worn, switched or only said of a thing.

Sentences invented for this; no source.
"""

from __future__ import annotations

from typing import Literal

import pytest

from author.proposals.orders.wording import imperatives


def ordered(text: str, phase: Literal["removal", "fitting"] = "fitting") -> list[str]:
    """Return the orders of a text."""
    return [order.action for order in imperatives(text, phase=phase)]


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("New gloves on.", "Put new gloves on."),
        ("Face shield on.", "Put the face shield on."),
        ("Welding shield on.", "Put the welding shield on."),
        ("Belt shield on.", "Fit the belt shield."),
        ("Plenty of clean oil on everything.", "Put plenty of clean oil on everything."),
        ("A dab of blue on the threads.", "Put a dab of blue on the threads."),
        ("Bearings in the wee oven.", "Put the bearings in the wee oven."),
        ("Shaft in the freezer overnight.", "Put the shaft in the freezer overnight."),
        ("Rotor in the vice.", "Put the rotor in the vice."),
        ("Screws in a tray.", "Put the screws in a tray."),
        ("Balls in the tin with the clip.", "Put the balls in the tin with the clip."),
        ("Ring in the oven door.", "Fit the ring in the oven door."),
        ("Heating on.", "Turn the heating on."),
        ("We'm having the turbo off.", "Take the turbo off."),
        ("Press the old bearing off with the camera dead.", "Press the old bearing off."),
        ("Lift the pump out while the kettle was on.", "Lift the pump out."),
        ("Lift the pump out while it is warm.", "Lift the pump out while it is warm."),
        ("Grease the nipple every year.", "Grease the nipple."),
        ("Throw the old cover on the heap.", "Throw the old cover on the heap."),
    ],
)  # fmt: skip
def test_a_thing_is_put_where_it_is_kept_or_worn(text: str, order: str) -> None:
    assert ordered(text) == [order]


@pytest.mark.parametrize(
    "text",
    [
        "Dry as a chip.",
        "And you start worrying over that.",
        "Drain plug is on the bottom, square head.",
        "Dead in.",
        "Finish on.",
        "Flow and return open.",
        "You'll throw the meter across the yard.",
    ],
)
def test_what_is_only_told_is_no_order(text: str) -> None:
    assert ordered(text) == []


@pytest.mark.parametrize("text", ["New gloves on.", "New strip in the vice."])
def test_what_is_worn_or_held_renews_no_part(text: str) -> None:
    (order,) = imperatives(text, phase="fitting")
    assert order.act is None


@pytest.mark.parametrize("verb", ["Tag", "Chock", "Isolate", "Park", "Jack"])
def test_it_is_the_machine_where_the_whole_is_made_safe(verb: str) -> None:
    (order,) = imperatives(f"{verb} it at the front.", it="the screen")
    assert order.action == f"{verb} it at the front."
