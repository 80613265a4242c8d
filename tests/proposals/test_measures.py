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
        "quantities": (0.967, 0.953),
        "hazard recall": (1.0, 0.905),
        "hazard precision": (0.68, 1.0),
        "parts and tools": (0.792, 0.778),
        "step boundaries": (0.805, 0.805),
        "chatter removed": (1.0, 0.917),
        "instructions kept": (1.0, 0.987),
    },
    "measure": {
        "quantities": (0.80, 0.80),
        "hazard recall": (1.0, 0.853),
        "hazard precision": (0.515, 1.0),
        "parts and tools": (0.762, 0.79),
        "step boundaries": (0.80, 0.795),
        "chatter removed": (1.0, 0.90),
        "instructions kept": (1.0, 0.975),
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
