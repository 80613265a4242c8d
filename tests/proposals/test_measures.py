"""What proposals are worth on narrations: the floors below are what was measured, less a little.

``measure``, ``unseen`` and ``plain`` hold narrations that the rules have not seen; the floors
are no aims. Of the large folders only some narrations are looked at here (``_EVERY``), and all by
`tests/benchmarks/bench_proposals.py`.
The aims, and how far they are, stand in ``README.md`` beside this.
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
        "quantities": (0.910, 0.890),
        "quantities to the mark": (0.910, 0.885),
        "hazard recall": (1.0, 0.950),
        "hazard precision": (0.735, 1.0),
        "parts and tools": (0.810, 0.750),
        "step boundaries": (0.860, 0.835),
        "chatter removed": (1.0, 0.990),
        "instructions kept": (1.0, 0.990),
    },
    "further": {
        "quantities": (0.865, 0.835),
        "quantities to the mark": (0.855, 0.815),
        "hazard recall": (1.0, 0.950),
        "hazard precision": (0.705, 1.0),
        "parts and tools": (0.735, 0.685),
        "step boundaries": (0.640, 0.815),
        "chatter removed": (1.0, 0.925),
        "instructions kept": (1.0, 0.985),
    },
    "unfitted": {
        "quantities": (0.885, 0.885),
        "quantities to the mark": (0.875, 0.870),
        "hazard recall": (1.0, 0.920),
        "hazard precision": (0.735, 1.0),
        "parts and tools": (0.770, 0.725),
        "step boundaries": (0.645, 0.795),
        "chatter removed": (1.0, 0.990),
        "instructions kept": (1.0, 0.985),
    },
    "wider": {
        "quantities": (0.800, 0.820),
        "quantities to the mark": (0.780, 0.805),
        "hazard recall": (1.0, 0.960),
        "hazard precision": (0.650, 1.0),
        "parts and tools": (0.790, 0.685),
        "step boundaries": (0.700, 0.835),
        "chatter removed": (1.0, 0.950),
        "instructions kept": (1.0, 0.965),
    },
    "howto": {
        "quantities": (0.800, 0.805),
        "quantities to the mark": (0.785, 0.775),
        "hazard recall": (1.0, 0.820),
        "hazard precision": (0.655, 1.0),
        "parts and tools": (0.765, 0.770),
        "step boundaries": (0.745, 0.790),
        "chatter removed": (1.0, 0.870),
        "instructions kept": (1.0, 0.975),
    },
    "trial": {
        "quantities": (0.760, 0.785),
        "quantities to the mark": (0.750, 0.760),
        "hazard recall": (1.0, 0.815),
        "hazard precision": (0.640, 1.0),
        "parts and tools": (0.735, 0.795),
        "step boundaries": (0.600, 0.685),
        "chatter removed": (1.0, 0.720),
        "instructions kept": (1.0, 0.975),
    },
    "unseen": {
        "quantities": (0.750, 0.775),
        "quantities to the mark": (0.740, 0.765),
        "hazard recall": (1.0, 0.860),
        "hazard precision": (0.625, 1.0),
        "parts and tools": (0.750, 0.700),
        "step boundaries": (0.645, 0.760),
        "chatter removed": (1.0, 0.925),
        "instructions kept": (1.0, 0.985),
    },
    "plain": {
        "quantities": (0.765, 0.755),
        "quantities to the mark": (0.745, 0.720),
        "hazard recall": (1.0, 0.820),
        "hazard precision": (0.460, 1.0),
        "parts and tools": (0.640, 0.675),
        "step boundaries": (0.790, 0.770),
        "chatter removed": (1.0, 0.930),
        "instructions kept": (1.0, 0.980),
    },
    "measure": {
        "quantities": (0.860, 0.850),
        "quantities to the mark": (0.840, 0.820),
        "hazard recall": (1.0, 0.910),
        "hazard precision": (0.590, 1.0),
        "parts and tools": (0.790, 0.770),
        "step boundaries": (0.750, 0.785),
        "chatter removed": (1.0, 0.920),
        "instructions kept": (1.0, 0.985),
    },
}


_EVERY = {"build": 4, "unfitted": 2, "wider": 8, "howto": 18, "trial": 3, "plain": 5}


@pytest.mark.parametrize("folder", FLOORS)
def test_proposals_are_worth_what_was_measured(folder):
    tally, told = Tally(), narrations(folder)
    for narration in told[:: _EVERY.get(folder, 1)]:
        measure(narration, propose(narration.spoken()), tally)
    for name, (precision, recall) in FLOORS[folder].items():
        count = tally.counts[name]
        assert count.precision >= precision, name
        assert count.recall >= recall, name


PAGE = Path(__file__).with_name("README.md").read_text(encoding="utf-8")
NUMBERS = {"ten": 10, "twelve": 12, "fifteen": 15, "twenty": 20,
           "eighty": 80, "eighty-eight": 88, "thirty": 30,
           "twenty-six": 26,
           "two-hundred-and-forty-nine": 249}  # fmt: skip
# Each has to stand there once at least, so that a sentence written anew does not go unlooked.
COUNTED = {
    "measure": (r"`bench_proposals.py measure`, (\d+) narrations", r"\| all (\d+) \|"),
    "build": (r"\| built on \((\d+)\) \|",),
    "further": (r"`narrations/further` are (\w+) by",),
    "unfitted": (r"`narrations/unfitted` are (\w+) by",),
    "wider": (r"`narrations/wider` are (\S+) by",),
    "unseen": (r"`narrations/unseen` are (\w+) by",),
    "plain": (r"`narrations/plain` are (\w+) by",),
    "howto": (r"`narrations/howto` are (\S+) by",),
    "trial": (r"`narrations/trial` are (\S+) by",),
}


@pytest.mark.parametrize("folder", COUNTED)
def test_the_counts_of_narrations_that_are_told_are_those_of_the_folders(folder):
    there = len(list((NARRATIONS / folder).glob("*.yaml")))
    for pattern in COUNTED[folder]:
        told = re.findall(pattern, PAGE)
        assert told, pattern
        assert {NUMBERS.get(one) or int(one) for one in told} == {there}, pattern


def test_every_folder_of_narrations_has_floors():
    assert {path.name for path in NARRATIONS.iterdir() if path.is_dir()} == set(FLOORS)
