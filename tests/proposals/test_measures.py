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
        "quantities": (0.915, 0.91),
        "hazard recall": (1.0, 0.934),
        "hazard precision": (0.635, 1.0),
        "parts and tools": (0.78, 0.735),
        "step boundaries": (0.736, 0.777),
        "chatter removed": (1.0, 0.921),
        "instructions kept": (1.0, 0.987),
    },
    "measure": {
        "quantities": (0.79, 0.773),
        "hazard recall": (1.0, 0.819),
        "hazard precision": (0.484, 1.0),
        "parts and tools": (0.763, 0.736),
        "step boundaries": (0.725, 0.773),
        "chatter removed": (1.0, 0.865),
        "instructions kept": (1.0, 0.98),
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
