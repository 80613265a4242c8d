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
        "quantities": (0.94, 0.93),
        "hazard recall": (1.0, 0.88),
        "parts and tools": (0.74, 0.75),
        "step boundaries": (0.72, 0.73),
        "chatter removed": (1.0, 0.85),
        "instructions kept": (1.0, 1.0),
    },
    "measure": {
        "quantities": (0.74, 0.73),
        "hazard recall": (1.0, 0.85),
        "parts and tools": (0.69, 0.79),
        "step boundaries": (0.80, 0.70),
        "chatter removed": (1.0, 0.78),
        "instructions kept": (1.0, 0.97),
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
