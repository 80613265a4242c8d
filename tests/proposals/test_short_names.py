"""What a short name stands for: which bolt, which clip, which side."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.proposal import Proposal
from proposals.said import told


def parts(*texts: str) -> dict[str, Proposal]:
    return {p.text: p for p in propose(told(*texts)).proposals if p.kind == "part"}


@pytest.mark.parametrize(
    ("texts", "name", "mentions"),
    [
        (("Take the caliper bolts out.", "Undo the carrier bolts.", "Lift the carrier off.",
          "Swing the caliper down and put a new bolt in the bottom."), "caliper bolt", "2"),
        (("Undo the pump bolts.", "Undo the motor bolts.", "Put the pump back.",
          "Fit the bolts."), "pump bolt", "2"),
        (("Take the front cover off.", "Take the rear cover off.", "Clean the cover."),
         "rear cover", "2"),
    ],
)  # fmt: skip
def test_a_short_name_is_of_what_is_told_beside_it(
    texts: tuple[str, ...], name: str, mentions: str
) -> None:
    assert parts(*texts)[name].detail("mentions") == mentions


def test_what_is_chocked_is_not_what_comes_off() -> None:
    found = parts("Chock the front wheels.", "Loosen the nuts.", "Take the wheel off.",
                  "Put the wheel back on.")  # fmt: skip
    assert found["wheel"].detail("mentions") == "2"


def test_one_clip_is_none_of_several_told_long_ago() -> None:
    talk = ["Keep the anti-rattle clips."] + ["Check the fluid."] * 25 + ["Pull the clip out."]
    assert "clip" in parts(*talk)
    assert "clip" not in parts("Take the anti-rattle clips out.", "Pull the clip out.")


@pytest.mark.parametrize(
    ("texts", "names"),
    [
        (("Take the left pad out.", "Take the right pad out.", "Fit the right pad."),
         {"left pad", "right-hand pad"}),
        (("Undo the left hand nut.", "Then undo the right hand nut."),
         {"left-hand nut", "right-hand nut"}),
        (("Take the left-hand cover off.", "Take the right-hand cover off."),
         {"left-hand cover", "right-hand cover"}),
        (("Take the pad out.", "Make sure you have the right pad."), {"pad"}),
        (("Hold the nut with your left hand and turn the bolt.",), {"nut", "bolt"}),
    ],
)  # fmt: skip
def test_the_right_one_is_on_the_right_where_another_is_on_the_left(
    texts: tuple[str, ...], names: set[str]
) -> None:
    assert set(parts(*texts)) == names


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Fit the sleeves, the bolts and the nuts.", "bolt"),
        ("Fit the cover, the screws and the clip.", "screw"),
        ("Take the cover off, the four screws and the clip.", "cover screw"),
        ("Take the cover off, four screws.", "cover screw"),
    ],
)
def test_a_fastener_in_a_list_is_of_nothing_in_it(text: str, name: str) -> None:
    assert name in parts("Lay it down.", text)


def test_each_of_them_is_one_of_them() -> None:
    found = parts("Take the shelves and the side racks out, each rack has one screw at the front.",
                  "Put the racks and shelves back.")  # fmt: skip
    assert "rack" not in found
    assert found["side rack"].detail("mentions") == "3"


def test_a_door_hung_on_its_hinges_is_back() -> None:
    found = propose(told("Lift the door off.", "Hang the door on the hinges.")).proposals
    acts = [move.act for p in found for move in p.moves if move.part == "part-door"]
    assert acts == ["removes", "refits"]
