"""What proposals are worth on narrations: the floors below are what was measured, less a little.

``measure``, ``unseen`` and ``plain`` hold narrations that the rules have not seen; the floors
are no aims. Of the large folders that the tables are fitted to every second narration is looked
at here, of ``plain`` every fourth, of ``howto`` every sixth, and all by
`tests/benchmarks/bench_proposals.py`.
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
        "quantities": (0.900, 0.900),
        "quantities to the mark": (0.895, 0.890),
        "hazard recall": (1.0, 0.970),
        "hazard precision": (0.740, 1.0),
        "parts and tools": (0.795, 0.780),
        "step boundaries": (0.805, 0.880),
        "chatter removed": (1.0, 0.985),
        "instructions kept": (1.0, 0.995),
    },
    "further": {
        "quantities": (0.850, 0.850),
        "quantities to the mark": (0.840, 0.830),
        "hazard recall": (1.0, 0.950),
        "hazard precision": (0.700, 1.0),
        "parts and tools": (0.740, 0.695),
        "step boundaries": (0.640, 0.830),
        "chatter removed": (1.0, 0.925),
        "instructions kept": (1.0, 0.990),
    },
    "unfitted": {
        "quantities": (0.855, 0.855),
        "quantities to the mark": (0.845, 0.840),
        "hazard recall": (1.0, 0.950),
        "hazard precision": (0.715, 1.0),
        "parts and tools": (0.760, 0.725),
        "step boundaries": (0.680, 0.855),
        "chatter removed": (1.0, 0.975),
        "instructions kept": (1.0, 0.985),
    },
    "wider": {
        "quantities": (0.820, 0.840),
        "quantities to the mark": (0.805, 0.815),
        "hazard recall": (1.0, 0.945),
        "hazard precision": (0.655, 1.0),
        "parts and tools": (0.800, 0.705),
        "step boundaries": (0.680, 0.825),
        "chatter removed": (1.0, 0.975),
        "instructions kept": (1.0, 0.985),
    },
    "howto": {
        "quantities": (0.750, 0.720),
        "quantities to the mark": (0.725, 0.680),
        "hazard recall": (1.0, 0.870),
        "hazard precision": (0.490, 1.0),
        "parts and tools": (0.640, 0.620),
        "step boundaries": (0.710, 0.780),
        "chatter removed": (1.0, 0.950),
        "instructions kept": (1.0, 0.975),
    },
    "unseen": {
        "quantities": (0.735, 0.755),
        "quantities to the mark": (0.725, 0.745),
        "hazard recall": (1.0, 0.850),
        "hazard precision": (0.600, 1.0),
        "parts and tools": (0.745, 0.705),
        "step boundaries": (0.620, 0.790),
        "chatter removed": (1.0, 0.905),
        "instructions kept": (1.0, 0.990),
    },
    "plain": {
        "quantities": (0.695, 0.700),
        "quantities to the mark": (0.680, 0.675),
        "hazard recall": (1.0, 0.820),
        "hazard precision": (0.370, 1.0),
        "parts and tools": (0.620, 0.675),
        "step boundaries": (0.680, 0.740),
        "chatter removed": (1.0, 0.870),
        "instructions kept": (1.0, 0.970),
    },
    "measure": {
        "quantities": (0.845, 0.830),
        "quantities to the mark": (0.830, 0.810),
        "hazard recall": (1.0, 0.905),
        "hazard precision": (0.575, 1.0),
        "parts and tools": (0.790, 0.780),
        "step boundaries": (0.740, 0.795),
        "chatter removed": (1.0, 0.915),
        "instructions kept": (1.0, 0.985),
    },
}


_EVERY = {"build": 2, "wider": 2, "howto": 6, "plain": 4}


@pytest.mark.parametrize("folder", FLOORS)
def test_proposals_are_worth_what_was_measured(folder):
    tally, told = Tally(), narrations(folder)
    for narration in told[:: _EVERY.get(folder, 1)]:
        measure(narration, propose(narration.spoken()), tally)
    for name, (precision, recall) in FLOORS[folder].items():
        count = tally.counts[name]
        assert count.precision >= precision, name
        assert count.recall >= recall, name


DEVELOPERS = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
NUMBERS = {"ten": 10, "twelve": 12, "fifteen": 15, "twenty": 20,
           "eighty": 80, "eighty-eight": 88, "thirty": 30,
           "seventy-two": 72}  # fmt: skip
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
}


@pytest.mark.parametrize("folder", COUNTED)
def test_the_counts_of_narrations_that_are_told_are_those_of_the_folders(folder):
    there = len(list((NARRATIONS / folder).glob("*.yaml")))
    for pattern in COUNTED[folder]:
        told = re.findall(pattern, DEVELOPERS)
        assert told, pattern
        assert {NUMBERS.get(one) or int(one) for one in told} == {there}, pattern


def test_every_folder_of_narrations_has_floors():
    assert {path.name for path in NARRATIONS.iterdir() if path.is_dir()} == set(FLOORS)
