"""Orders without a verb that follow each other in bare words, and what a torque is then told of."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.language.telegraphic import begins_order, joins_orders
from author.proposals.orders.wording import imperatives
from proposals.said import told


@pytest.mark.parametrize(
    ("text", "second"),
    [
        ("nut off piston off", "piston"),
        ("engine off key out", "key"),
        ("piston on new nut with a drop of threadlocker", "new"),
        ("pin in new split pin", "new"),
        ("same oil iso 46 piston on", "piston"),
        ("split pin four by forty hoses on", "hoses"),
        ("nip it up rubber cap on", "rubber"),
        ("pull the pin out circlip off", "circlip"),
        ("cover back on bolts to nine", "bolts"),
        ("prop on nut to 35", "nut"),
        ("lid back on all 8 screws", "all"),
        ("all four screws breaker on and look at the meter", "breaker"),
        ("both covers power off at the board", "power"),
        ("fill it until it comes out of the top vent screw in first", "vent"),
        ("never turn it back new locknut", "new"),
        ("bend the tab flat shaft nut is left hand", "shaft"),
    ],
)
def test_an_order_begins_behind_another(text: str, second: str) -> None:
    low = text.split()
    assert begins_order(low, 0, low.index(second))


@pytest.mark.parametrize(
    "text",
    [
        "ring on the shaft with the gap up",
        "pump off the frame and on the bench",
        "belt on tensioner on the left stays loose",
        "bearing in new housing goes over it",
        "take the nut off piston rod stays in",
        "switch on pump runs for ten seconds",
        "guard back on two bolts and a washer each",
        "we need four hoses on this one",
        "take it off on the bench",
        "cover back on studs to the left of the pump",
        "turn the main breaker off",
        "turn the gas off",
        "remove the top cover off first",
        "take the front guard off last",
        "bend the legs straight with pliers",
        "never take it off new brackets included",
    ],
)
def test_no_order_begins_within_one(text: str) -> None:
    low = text.split()
    assert not [at for at in range(1, len(low)) if begins_order(low, 0, at)]


def test_two_orders_are_joined_by_and() -> None:
    low = ["key", "out", "and", "spark", "plug", "lead", "off"]
    assert joins_orders(low, 0, 2)
    for text in ("nut and washer off", "take it off and leave it on", "pump on and off"):
        low = text.split()
        assert not joins_orders(low, 0, low.index("and"))


@pytest.mark.parametrize(
    ("text", "orders"),
    [
        ("nut off piston off", ["Take the nut off.", "Take the piston off."]),
        ("piston on new nut HB-0936 with a drop of threadlocker",
         ["Fit the piston.", "Fit a new nut with a drop of threadlocker."]),
        ("new nut HB-0936 on", ["Fit a new nut."]),
        ("new bearing with grease already in it", []),
        ("the cover with two screws", ["Fit the cover with two screws."]),
        ("carrier in bolts to 16", ["Fit the carrier.", "Tighten the bolts."]),
        ("cover back on all 8 screws breaker on",
         ["Refit the cover.", "Fit all 8 screws.", "Turn the breaker on."]),
        ("breaker on the wall", []),
        ("oil goes in until it comes out of the top bleed screw in first",
         ["Put oil in until it comes out of the top.", "Fit the bleed screw first."]),
        ("undo the two bolts on the carrier ten mil heads",
         ["Undo the two bolts on the carrier."]),
        ("undo the two bolts on the carrier heads", ["Undo the two bolts on the carrier heads."]),
        ("bend the legs straight lock nut is a 27", ["Bend the legs straight."]),
        ("drain it and look at that it's like coffee", ["Drain it."]),
        ("brown wire goes to live yes I know", ["Fit the brown wire to live."]),
        ("measure the old ones first bottom row's reading twenty", ["Measure the old ones first."]),
        ("clean the old ones first with the pump's bearing brush",
         ["Clean the old ones first with the pump's bearing brush."]),
        ("push the coil in the groove start at the corners",
         ["Push the coil in the groove.", "Start at the corners."]),
        ("if it won't come heat the housing", ["If it won't come, heat the housing."]),
        ("keep the pins if they're straight mine are bent",
         ["If they're straight, keep the pins."]),
    ],
)  # fmt: skip
def test_each_is_an_order(text: str, orders: list[str]) -> None:
    assert [order.action for order in imperatives(text, phase="fitting")] == orders


@pytest.mark.parametrize(
    ("texts", "name"),
    [
        (("Gland in.", "Hoses on, forty five newton metres."), "torque of the hoses"),
        (("Tube back on, and that gets six newton metres.",), "torque of the tube"),
        # A screw of the same breath is what is tightened, and so is one told just before.
        (("Screen on with the two screws, six newton metres.",), "torque of the screen screws"),
        (("Four screws at three newton metres.", "Pump back in, nine newton metres."),
         "torque of the pump"),
        (("Put the four cover bolts in.", "Cover on, ten newton metres."),
         "torque of the cover bolts"),
        (("Look at the hose while you do the bolt, ten newton metres.",), "torque of the bolt"),
    ],
)  # fmt: skip
def test_a_torque_is_of_what_is_named_beside_it(texts: tuple[str, ...], name: str) -> None:
    found = propose(told("Take the old one out.", *texts)).proposals
    assert name in {p.detail("characteristic") for p in found if p.kind == "measurement"}
