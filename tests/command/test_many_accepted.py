"""Many claims of one step that are accepted together are not made anew for each of them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.contract import parse_procedure, write_yaml
from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.draft.procedure import Front, draft_of
from author.proposals.draft.steps import StepMaker
from author.proposals.speech.sentences import sentences_of
from author.tasks.proposal_entries import taken
from author.tasks.proposal_places import Known

_MOST = 5
"""How often a step is made for each number: alone, and with what is accepted before and after."""


@pytest.fixture
def made(monkeypatch) -> list[int]:
    """How many claims a step was made of, each time one was."""
    counts: list[int] = []
    make = StepMaker.made

    def counted(self, step, about):
        counts.append(len(about))
        return make(self, step, about)

    monkeypatch.setattr(StepMaker, "made", counted)
    return counts


def test_each_number_of_a_step_asks_only_for_what_was_not_made_yet(tmp_path, made):
    said = [
        "Measure the shaft with the micrometer.",
        *(f"The seat {name} is 24.9{n} to 24.9{n + 1} millimetres."
          for n, name in enumerate(["at the front", "in the middle", "at the back", "below"])),
    ]  # fmt: skip
    cues = [Cue(Decimal(9 * n), Decimal(9 * n + 6), one) for n, one in enumerate(said)]
    found = {p.id: p for p in propose(sentences_of(cues, "talk")).proposals}
    plain = draft_of(tuple(found.values()), Front("job", "Job"), {}).plain
    document = parse_procedure(write_yaml(plain).encode(), tmp_path / "procedure.yaml").procedure
    numbers = [p for p in found.values() if p.kind == "measurement"]
    assert len(numbers) == 4
    made.clear()
    result = taken(document, numbers, Known(found))
    assert len(result.done) == len(numbers)
    assert len(made) <= _MOST * len(numbers)
