"""Orders that take their verb from the one before, and words that only sound like it."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from proposals.said import told


def done(*texts: str) -> str:
    """Return all that the steps of a talk tell to do."""
    steps = [p for p in propose(told("Lock it out.", *texts)).proposals if p.kind == "step"]
    return " ".join(f"{p.detail('first') or ''} {p.text} {p.detail('also') or ''}" for p in steps)


@pytest.mark.parametrize(
    ("texts", "order"),
    [
        (("Slide the shaft in.", "Drop the key in, the gear on, and the circlip after it."),
         "Fit the circlip after it."),
        (("Loosen the top bolts.", "Bottom bolts next."), "the bottom bolts."),
        (("Take the top bolts out, bottom bolts next.",), "the bottom bolts out."),
        (("Undo the two screws on the left side.", "Then the other side."),
         "the two screws on the other side."),
        (("Undo the nut on the right.", "Same again on the left."), "the nut on the left."),
        (("Grease the front bearing.", "Same again at the back."), "the back bearing."),
        (("Torque both bolts to 35.", "Same for the other side, but without the sensor."),
         "do the same for the other side, without the sensor."),
        (("Grease the pin.", "Do the same on the left, only there's no spring there."),
         "do the same on the left."),
        (("Undo the bolt on the left.", "Then the other one."), "the other bolt."),
    ],
)  # fmt: skip
def test_the_order_before_is_done_again(texts: tuple[str, ...], order: str) -> None:
    assert order in done(*texts)


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        (("Check the oil.", "Then the other side of it is dirty."), "other side"),
        (("Take the guard off.", "Same again tomorrow."), "tomorrow"),
        (("Clean the filter.", "Have a look at what's next."), "next"),
        (("Take the belt off.", "Then the other day it broke."), "day"),
        (("Take the bearing out.", "And the seal behind it is dry."), "seal"),
        (("Pull the pin.", "The same thing happened on the left side last week."), "left"),
        (("If it leaks, change the seal.", "Same on the other side."), "other side"),
        (("Never hit the shaft.", "Same on the other end."), "other end"),
        (("Take a photo of how the belt runs.", "The blades next."), "ake the blades"),
        (("Take a picture of the wires.", "The two plugs next."), "ake the two plugs"),
    ],
)
def test_nothing_is_done_again(texts: tuple[str, ...], words: str) -> None:
    assert words not in done(*texts)


@pytest.mark.parametrize(
    ("texts", "order", "never"),
    [
        (("The two halves of the tub are held by 16 bolts.", "Take the tub bolts out."),
         "Take the tub bolts out.", "16 bolts"),
        (("The gearbox cover is held by eight screws.", "Undo the cover screws crosswise."),
         "Undo the cover screws crosswise.", "eight screws"),
        (("The cover is held by eight screws.", "Undo the motor screws."), "eight screws", "none"),
        (("Four bolts hold the lid.", "Take those out."), "Undo the four bolts.", "Take"),
    ],
)  # fmt: skip
def test_what_holds_is_undone_once(texts: tuple[str, ...], order: str, never: str) -> None:
    assert order in done(*texts)
    assert never not in done(*texts)


def test_the_circlip_goes_back_on() -> None:
    found = propose(
        told("Slide the shaft in.", "Drop the key in, the gear on, and the circlip after it.")
    ).proposals
    moved = {move.part for p in found for move in p.moves if move.act == "refits"}
    assert "part-circlip" in moved
