"""Tools named by a part of their name: which one is meant, and which one is not."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from proposals.said import told


@pytest.mark.parametrize(
    ("texts", "names"),
    [
        (
            ("Boiler is at one point two bar.", "Put your gauge on and wait until it is at zero.",
             "Measure the depth with the depth gauge."),
            {"pressure gauge", "depth gauge"},
        ),
        (("Measure the groove with the depth gauge.", "The gauge should show eight millimetres."),
         {"depth gauge"}),
        (("Get the feeler gauge.", "The gauge should go in at point two millimetres."),
         {"feeler gauge"}),
        (("Undo the hoses, twenty seven spanner.", "Turn the ring with the c spanner."),
         {"twenty seven spanner", "c spanner"}),
        (("Undo the nut with a fourteen spanner.", "Take the spanner and undo the other one."),
         {"fourteen spanner"}),
        (("Turn the ring with the c spanner.", "Take the spanner off."), {"c spanner"}),
        (("Pull it with the spring balance.", "Pull again, and the fish scale reads ten newtons."),
         {"spring balance"}),
        (("Measure the gap with a ruler.", "Put the ruler away and use the steel rule."),
         {"ruler"}),
    ],
)  # fmt: skip
def test_which_tool_is_meant(texts: tuple[str, ...], names: set[str]) -> None:
    found = propose(told(*texts)).proposals
    assert {p.text for p in found if p.kind == "tool"} == names


@pytest.mark.parametrize(
    ("text", "used"),
    [
        ("Check the earth as well, it's a metal box with water in it.", False),
        ("That's a tank with oil in it.", False),
        ("Stand it in a bucket with water in it.", True),
        ("Fill the tray with clean oil.", True),
    ],
)
def test_what_something_holds_is_not_used(text: str, used: bool) -> None:
    found = propose(told("Take the cover off.", text)).proposals
    assert any(p.kind == "supply" for p in found) == used
