"""What proposals are worth on narrations: the floors below are what was measured, less a little.

``measure`` and ``unseen`` hold narrations that the rules have not seen; the floors are no aims. Of
the large folders that the tables are fitted to every second narration is looked at here, and all
by `tests/benchmarks/bench_proposals.py`.
The aims, and how far they are, stand in ``DEVELOPERS.md``.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from author.proposals.claims import propose
from proposals.measuring import Tally, measure
from proposals.narrating import NARRATIONS, READABLE, narrations

FLOORS = {
    "build": {
        "quantities": (0.900, 0.900),
        "hazard recall": (1.0, 0.910),
        "hazard precision": (0.580, 1.0),
        "parts and tools": (0.785, 0.765),
        "step boundaries": (0.780, 0.835),
        "chatter removed": (1.0, 0.960),
        "instructions kept": (1.0, 0.985),
    },
    "further": {
        "quantities": (0.855, 0.830),
        "hazard recall": (1.0, 0.915),
        "hazard precision": (0.555, 1.0),
        "parts and tools": (0.715, 0.670),
        "step boundaries": (0.525, 0.735),
        "chatter removed": (1.0, 0.895),
        "instructions kept": (1.0, 0.990),
    },
    "unfitted": {
        "quantities": (0.845, 0.845),
        "hazard recall": (1.0, 0.890),
        "hazard precision": (0.590, 1.0),
        "parts and tools": (0.715, 0.700),
        "step boundaries": (0.590, 0.740),
        "chatter removed": (1.0, 0.915),
        "instructions kept": (1.0, 0.985),
    },
    "wider": {
        "quantities": (0.805, 0.820),
        "hazard recall": (1.0, 0.860),
        "hazard precision": (0.535, 1.0),
        "parts and tools": (0.780, 0.685),
        "step boundaries": (0.590, 0.710),
        "chatter removed": (1.0, 0.840),
        "instructions kept": (1.0, 0.980),
    },
    "unseen": {
        "quantities": (0.715, 0.740),
        "hazard recall": (1.0, 0.840),
        "hazard precision": (0.525, 1.0),
        "parts and tools": (0.705, 0.685),
        "step boundaries": (0.550, 0.675),
        "chatter removed": (1.0, 0.835),
        "instructions kept": (1.0, 0.990),
    },
    "measure": {
        "quantities": (0.820, 0.810),
        "hazard recall": (1.0, 0.860),
        "hazard precision": (0.480, 1.0),
        "parts and tools": (0.770, 0.760),
        "step boundaries": (0.705, 0.750),
        "chatter removed": (1.0, 0.890),
        "instructions kept": (1.0, 0.985),
    },
}


_MANY = 40


@pytest.mark.parametrize("folder", FLOORS)
def test_proposals_are_worth_what_was_measured(folder):
    tally, told = Tally(), narrations(folder)
    for narration in told[:: 2 if folder in READABLE and len(told) > _MANY else 1]:
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
