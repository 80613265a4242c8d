"""What proposals are worth on narrations: the floors below are what was measured, less a little.

``measure`` and ``unseen`` hold narrations that the rules have not seen; the floors are no aims.
The aims, and how far they are, stand in ``DEVELOPERS.md``.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from author.proposals.claims import propose
from proposals.measuring import Tally, measure
from proposals.narrating import NARRATIONS, narrations

FLOORS = {
    "build": {
        "quantities": (0.893, 0.884),
        "hazard recall": (1.0, 0.920),
        "hazard precision": (0.575, 1.0),
        "parts and tools": (0.792, 0.740),
        "step boundaries": (0.775, 0.830),
        "chatter removed": (1.0, 0.950),
        "instructions kept": (1.0, 0.987),
    },
    "further": {
        "quantities": (0.840, 0.820),
        "hazard recall": (1.0, 0.890),
        "hazard precision": (0.575, 1.0),
        "parts and tools": (0.710, 0.640),
        "step boundaries": (0.530, 0.745),
        "chatter removed": (1.0, 0.880),
        "instructions kept": (1.0, 0.985),
    },
    "unfitted": {
        "quantities": (0.845, 0.845),
        "hazard recall": (1.0, 0.895),
        "hazard precision": (0.595, 1.0),
        "parts and tools": (0.728, 0.690),
        "step boundaries": (0.590, 0.745),
        "chatter removed": (1.0, 0.910),
        "instructions kept": (1.0, 0.985),
    },
    "wider": {
        "quantities": (0.770, 0.780),
        "hazard recall": (1.0, 0.860),
        "hazard precision": (0.525, 1.0),
        "parts and tools": (0.760, 0.655),
        "step boundaries": (0.590, 0.715),
        "chatter removed": (1.0, 0.855),
        "instructions kept": (1.0, 0.983),
    },
    "unseen": {
        "quantities": (0.700, 0.732),
        "hazard recall": (1.0, 0.825),
        "hazard precision": (0.515, 1.0),
        "parts and tools": (0.710, 0.670),
        "step boundaries": (0.545, 0.655),
        "chatter removed": (1.0, 0.825),
        "instructions kept": (1.0, 0.988),
    },
    "measure": {
        "quantities": (0.812, 0.795),
        "hazard recall": (1.0, 0.858),
        "hazard precision": (0.482, 1.0),
        "parts and tools": (0.775, 0.742),
        "step boundaries": (0.700, 0.750),
        "chatter removed": (1.0, 0.890),
        "instructions kept": (1.0, 0.981),
    },
}


@pytest.mark.parametrize("folder", FLOORS)
def test_proposals_are_worth_what_was_measured(folder):
    tally = Tally()
    for narration in narrations(folder):
        measure(narration, propose(narration.spoken()), tally)
    for name, (precision, recall) in FLOORS[folder].items():
        count = tally.counts[name]
        assert count.precision >= precision, name
        assert count.recall >= recall, name


DEVELOPERS = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
NUMBERS = {"ten": 10, "twelve": 12, "fifteen": 15, "twenty": 20,
           "seventy": 70, "thirty": 30}  # fmt: skip
# Each has to stand there once at least, so that a sentence written anew does not go unlooked.
COUNTED = {
    "measure": (r"`bench_proposals.py measure`, (\d+) narrations", r"\| all (\d+) \|"),
    "build": (r"\| built on \((\d+)\) \|",),
    "further": (r"`narrations/further` are (\w+) by",),
    "unfitted": (r"`narrations/unfitted` are (\w+) by",),
    "wider": (r"`narrations/wider` are (\S+) by",),
    "unseen": (r"`narrations/unseen` are (\w+) by",),
}


@pytest.mark.parametrize("folder", COUNTED)
def test_the_counts_of_narrations_that_are_told_are_those_of_the_folders(folder):
    there = len(list((NARRATIONS / folder).glob("*.yaml")))
    for pattern in COUNTED[folder]:
        told = re.findall(pattern, DEVELOPERS)
        assert told, pattern
        assert {NUMBERS.get(one) or int(one) for one in told} == {there}, pattern


def test_the_older_and_the_new_ones_are_all_of_them():
    older, new = map(int, re.search(r"\| the older (\d+) \| the new (\d+) \|", DEVELOPERS).groups())
    assert older + new == len(list((NARRATIONS / "measure").glob("*.yaml")))


def test_every_folder_of_narrations_has_floors():
    assert {path.name for path in NARRATIONS.iterdir() if path.is_dir()} == set(FLOORS)
