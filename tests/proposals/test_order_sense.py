"""Orders that lost what they are about are none; those that only look short stay.

Sentences invented for this; no source.
"""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.orders.sense import makes_sense, without_lost_end
from author.proposals.orders.wording import imperatives
from proposals.said import told


@pytest.mark.parametrize(
    "text",
    [
        "Take the out.",
        "Take the all day.",
        "Take that all day.",
        "Take anything from ninety-one to ninety-three.",
        "Take altogether.",
        "Give the frame.",
        "Give it another.",
        "Let the gun.",
        "Fit the flush with the housing.",
        "Drop me a line.",
        "Fit the drop you a line.",
        "Send us a picture.",
        "Bear with me.",
        "Take the gotta off first.",
    ],
)
def test_what_lost_its_noun_is_no_order(text: str) -> None:
    assert not makes_sense(text)


@pytest.mark.parametrize(
    "text",
    [
        "Take that off.",
        "Take it out.",
        "Take them all off.",
        "Take the back off.",
        "Give it a wipe.",
        "Give the lip a smear of grease.",
        "Let it down.",
        "Let the air out.",
        "Let it cool.",
        "Hold it.",
        "Set the old one aside.",
        "Slide the out-feed roller back.",
        "Fit the flush pipe.",
        "Turn the isolator off.",
        "Take anything loose off the bench.",
        "Take it from the jig.",
        "Take them from the tray.",
        "Hold the light for me up there.",
    ],
)
def test_a_short_order_stays(text: str) -> None:
    assert makes_sense(text)


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("Screw it until there's", "Screw it"),
        ("Lift it before anything's loose, it's", "Lift it before anything's loose"),
        ("Check what it is", "Check what it is"),
        ("Wait until it's cold", "Wait until it's cold"),
        ("Look where it was", "Look where it was"),
    ],
)
def test_the_beginning_of_a_lost_clause_is_cut(text: str, left: str) -> None:
    assert without_lost_end(text) == left


@pytest.mark.parametrize(
    ("said", "orders"),
    [
        (
            "Plug out and the plug in your pocket.",
            ["Take the plug out.", "Put the plug in your pocket."],
        ),
        (
            "Take the lid off and the screws in a tray.",
            ["Take the lid off.", "Put the screws in a tray."],
        ),
        (
            "Take the lid off and the gasket with it.",
            ["Take the lid off and the gasket with it."],
        ),
        ("Pull it out and the spring comes too.", ["Pull it out."]),
        ("Keep them left and right.", ["Keep them left and right."]),
        ("Let the gun have them.", []),
        ("The grub screw at the back.", ["Undo the grub screw at the back."]),
        ("The bolts in a bag.", ["Put the bolts in a bag."]),
        ("Then the relief valve, that should lift.", []),
    ],
)
def test_each_thing_goes_to_its_place(said: str, orders: list[str]) -> None:
    assert [order.action for order in imperatives(said, phase="removal")] == orders


@pytest.mark.parametrize(
    ("said", "action"),
    [
        ("Piston nut, new one, it's a lock nut.", "Fit a new piston nut."),
        ("Take the seal out, new one goes in dry.", "Take the seal out."),
    ],
)
def test_a_new_one_is_of_what_was_named_before(said: str, action: str) -> None:
    steps = [
        one.text for one in propose(told("Lock it out.", said)).proposals if one.kind == "step"
    ]
    assert any(action.rstrip(".") in text for text in steps)
