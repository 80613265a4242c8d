"""In an open document, what tells a number that is changed is told anew, or marked to be."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.contract import parse_procedure, write_yaml
from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.draft.changes import Changed
from author.proposals.draft.procedure import Front, draft_of
from author.proposals.speech.sentences import sentences_of
from author.tasks.proposal_entries import taken
from author.tasks.proposal_places import Known
from author.tasks.proposal_sheet import Decision
from author.tasks.proposals_now import as_all_decided


def changed(tmp_path, said, text, say="change"):
    """Return the one step of a draft after its one number was changed in the window."""
    cues = [Cue(Decimal(9 * n), Decimal(9 * n + 6), one) for n, one in enumerate(said)]
    found = {p.id: p for p in propose(sentences_of(cues, "talk")).proposals}
    plain = draft_of(tuple(found.values()), Front("job", "Job"), {}).plain
    document = parse_procedure(write_yaml(plain).encode(), tmp_path / "procedure.yaml").procedure
    number = next(p for p in found.values() if p.kind == "measurement")
    decisions = {number.id: Decision(say, Changed(text=text), "Ann Reed")}
    now = as_all_decided(found, decisions)
    result = taken(document, [now[number.id]], Known(now, was=found))
    assert result.done == (number.id,)
    (placed,) = result.command.after.placed_steps()
    return placed.step, now


def test_words_that_tell_it_otherwise_are_marked(tmp_path):
    step, _ = changed(
        tmp_path,
        ["Tighten the nut to 25 newton metres, 25 and no more or the casting cracks."],
        "torque of the nut: 28 to 30 N·m",
    )
    assert "(to be written) tell anew, since it is 28 to 30 N·m now" in step.note
    assert len(step.torques) == 1


def test_a_warning_in_the_same_breath_tells_the_new_number(tmp_path):
    step, _ = changed(
        tmp_path,
        ["Warm the bearing.", "Never go over 110 degrees, or the grease burns."],
        "temperature: at most 90 °C",
    )
    assert [one.avoid for one in step.hazards] == ["Never go over 90 °C"]
    assert "110" not in str(step.hazards)


@pytest.mark.parametrize("say", ["open", "refuse"])
def test_a_change_that_waits_is_told_nowhere_else(tmp_path, say):
    said = ["Put the lid on and tighten the four screws crosswise to nine newton metres."]
    _, now = changed(tmp_path, said, "torque: 10 to 12 N·m", say)
    assert [p.text for p in now.values() if p.kind == "order"] == [
        "Tighten the four screws crosswise to nine newton metres"
    ]
