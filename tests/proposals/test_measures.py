"""What proposals are worth on narrations: the floors below are what was measured, less a little.

``measure`` holds narrations that the rules have not seen; the floors are no aims. The aims, and
how far they are, stand in ``DEVELOPERS.md``.
"""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from proposals.measuring import Tally, measure
from proposals.narrating import narrations

FLOORS = {
    "build": {
        "quantities": (0.857, 0.853),
        "hazard recall": (1.0, 0.918),
        "hazard precision": (0.633, 1.0),
        "parts and tools": (0.779, 0.703),
        "step boundaries": (0.720, 0.775),
        "chatter removed": (1.0, 0.902),
        "instructions kept": (1.0, 0.987),
    },
    "measure": {
        "quantities": (0.773, 0.763),
        "hazard recall": (1.0, 0.836),
        "hazard precision": (0.511, 1.0),
        "parts and tools": (0.769, 0.709),
        "step boundaries": (0.686, 0.732),
        "chatter removed": (1.0, 0.845),
        "instructions kept": (1.0, 0.981),
    },
}


@pytest.mark.parametrize("half", FLOORS)
def test_proposals_are_worth_what_was_measured(half):
    tally = Tally()
    for narration in narrations(half):
        measure(narration, propose(narration.spoken()), tally)
    for name, (precision, recall) in FLOORS[half].items():
        count = tally.counts[name]
        assert count.precision >= precision, name
        assert count.recall >= recall, name
