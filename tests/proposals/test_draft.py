"""The draft that proposals make: what was said, and nothing that was not."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from author.checks.wording import UNWRITTEN
from author.contract import parse_procedure, write_yaml
from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.draft.procedure import Front, draft_of
from author.proposals.speech.sentences import sentences_of


def draft(*texts, accepted=lambda _: False):
    cues = [Cue(Decimal(8 * n), Decimal(8 * n + 5), text) for n, text in enumerate(texts)]
    proposals = propose(sentences_of(cues, "film")).proposals
    taken = frozenset(p.id for p in proposals if accepted(p))
    made = draft_of(proposals, Front("job", "Job"), {}, taken)
    loaded = parse_procedure(write_yaml(made.plain, made.comments).encode(), Path("p.yaml"))
    return loaded.procedure, loaded.text()


def steps(procedure):
    return [placed.step for placed in procedure.placed_steps()]


def test_a_heard_number_stands_to_be_confirmed_with_its_words():
    procedure, _ = draft("Press the seal in to a depth of four and a half millimetres.")
    ((_, _, spec),) = procedure.placed_specs()
    assert spec.nominal == Decimal("4.5")
    assert spec.note.startswith(UNWRITTEN)
    assert "four and a half millimetres" in spec.note


def test_an_accepted_number_stands_as_it_is():
    procedure, _ = draft(
        "Press the seal in to a depth of four and a half millimetres.",
        accepted=lambda p: p.kind == "measurement",
    )
    ((_, _, spec),) = procedure.placed_specs()
    assert spec.note is None


def test_the_words_stand_before_the_step_as_evidence():
    _, text = draft("So, um, lift the cover off.")
    assert "# Said at 0:00" in text
    assert "lift the cover off" in text


def test_a_warning_gets_no_words_that_were_not_said():
    procedure, _ = draft("Lift the cover off.", "Never put your fingers under the spring.")
    (hazard,) = [h for step in steps(procedure) for h in step.hazards or ()]
    assert hazard.avoid == "Never put your fingers under the spring"
    assert hazard.hazard.startswith(UNWRITTEN)
    assert hazard.consequence is None


def test_gloves_are_not_what_the_step_is_for():
    procedure, _ = draft("Put your gloves on. Lift the blade off.")
    assert steps(procedure)[0].action.startswith("Lift the blade off")


def test_a_way_that_fails_leads_to_the_next_one():
    procedure, _ = draft(
        "Drive the bearing out with the drift. If it doesn't move after ten blows, "
        "pull it with the puller."
    )
    (step,) = steps(procedure)
    assert step.action == "Drive the bearing out with the drift."
    assert step.note is None
    first, second = step.ladder
    assert first.give_up_when == "It doesn't move after ten blows"
    assert second.how == "Pull it with the puller"


def test_nothing_said_about_steps_leaves_one_to_be_written():
    procedure, _ = draft("Hello everybody.")
    assert steps(procedure)[0].action.startswith(UNWRITTEN)


def test_hostile_words_stay_words():
    text = 'Lift the "<b>cover</b>": {x} # off, then 1:30 it\'s !!tag &a *b'
    procedure, yaml = draft(text)
    again = parse_procedure(yaml.encode(), Path("p.yaml"))
    assert again.procedure == procedure


def test_a_number_stands_in_one_place_and_not_in_the_action_as_well():
    procedure, _ = draft("Tighten the bolts to nine newton metres.")
    (step,) = steps(procedure)
    assert step.action == "Tighten the bolts."
    assert step.torques[0].nominal == Decimal(9)


def test_a_warning_is_not_refused_with_its_step():
    cues = [
        Cue(Decimal(0), Decimal(4), "Lift the cover off."),
        Cue(Decimal(20), Decimal(24), "Now pull the spring out."),
        Cue(Decimal(25), Decimal(29), "Never put your fingers under the spring."),
    ]
    proposals = propose(sentences_of(cues, "film")).proposals
    refused = [p for p in proposals if p.kind == "step"][1]
    left = [p for p in proposals if p is not refused]
    made = draft_of(left, Front("job", "Job"), {}).plain
    (step,) = [step for section in made["sections"] for step in section["steps"]]
    assert any("fingers" in hazard["avoid"] for hazard in step["hazards"])


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Keep your sleeves away from the fan, it'll have your arm.",
         "Keep your sleeves away from the fan", "It'll have your arm"),
        ("Don't you ever open the radiator cap hot, it'll spit boiling water in your face.",
         "Don't you ever open the radiator cap hot", "It'll spit boiling water in your face"),
        ("Never stand in line with it when it starts, it can burst.",
         "Never stand in line with it when it starts", "It can burst"),
        ("Never lever it with a screwdriver, you'll gouge the cover.",
         "Never lever it with a screwdriver", "You'll gouge the cover"),
    ],
)  # fmt: skip
def test_both_halves_of_a_warning_stand_in_one_message(said, avoid, harm):
    procedure, _ = draft("Lift the cover off.", said)
    (hazard,) = [h for step in steps(procedure) for h in step.hazards or ()]
    assert (hazard.avoid, hazard.hazard) == (avoid, harm)


def test_a_count_of_sides_is_no_count_of_parts():
    procedure, _ = draft("Fit the new wheel with the paper discs on both sides.")
    (step,) = steps(procedure)
    assert [(move.part, move.quantity) for move in step.ledger] == [("wheel", 1)]


def test_a_count_before_the_part_is_its_quantity():
    procedure, _ = draft("Remove the four guard screws.")
    (step,) = steps(procedure)
    assert [(move.part, move.quantity) for move in step.ledger] == [("guard-screw", 4)]
