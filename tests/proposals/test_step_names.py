"""What a step is called: by what an author would write over it, told or meant."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.orders.wording import imperatives
from author.proposals.speech.sentences import sentences_of
from author.proposals.steps.action_points import Candidate, StepTalk
from author.proposals.steps.actions import called
from author.proposals.steps.topics import topic_orders
from author.proposals.things.finding import things_in
from proposals.said import told


def steps_of(*texts, gap=12):
    cues = [Cue(Decimal(gap * n), Decimal(gap * n + 4), text) for n, text in enumerate(texts)]
    return [p for p in propose(sentences_of(cues, "film")).proposals if p.kind == "step"]


def topic_of(text, phase):
    said = told(text)
    return topic_orders(said, things_in(said), [phase]).get(0)


def by_orders(*texts, phase="removal"):
    """Return what a step with these sentences is called, and what is done before and after."""
    every = [Candidate(o, n) for n, text in enumerate(texts) for o in imperatives(text)]
    kinds, names = (frozenset({"action"}),) * len(texts), (frozenset[str](),) * len(texts)
    found = called(every, StepTalk(tuple(range(len(texts))), texts, kinds, names, phase))
    return found.action, [o.action for o in found.before], [o.action for o in found.after]


@pytest.mark.parametrize(
    ("text", "phase", "name"),
    [
        ("Wheel nut next, and it's a left-hand thread.", "removal", "Undo the wheel nut."),
        ("Okay, the side cover, and this one gets everybody.", "removal", "Remove the side cover."),
        ("Wheel nut next, and it's a left-hand thread.", "fitting", "Fit the wheel nut."),
        ("New seals, these have a double lip.", "fitting", "Fit the new seals."),
        ("Now the shaft, where the seal rides.", "inspection", "Check the shaft."),
    ],
)
def test_of_a_thing_named_first_something_is_done(text, phase, name):
    assert topic_of(text, phase).action == name


@pytest.mark.parametrize(
    "text",
    ["The side cover holds the oil in.", "Feelers next, in the gap.", "Now it drips on the cover,"],
)
def test_a_thing_that_something_is_told_of_asks_for_nothing(text):
    assert topic_of(text, "removal") is None


def test_a_step_is_called_by_what_is_done_to_the_thing_named_first():
    names = [step.text for step in steps_of(
        "Wheel nut next, and this is what catches people out, it's a left-hand thread, so it goes "
        "the other way.",
        "I've seen people put a length of pipe on it and shear the end clean off.",
        "Now the belt comes off.",
    )]  # fmt: skip
    assert names[0].startswith("Undo the wheel nut")


def test_what_nobody_says_is_told_to_be_meant():
    said, meant = steps_of(
        "Undo the wheel nut and take the wheel off.",
        "Okay, the side cover next, and this one gets everybody, there's a hidden bolt behind it.",
        "Look for it with a torch, behind the bracket, it's full of dirt.",
    )
    assert meant.text.startswith("Remove the side cover")
    assert "is meant, though nobody says it" in meant.reason
    assert "is said to be done" in said.reason


def test_a_number_told_is_measured():
    names = [step.text for step in steps_of(
        "Fit the rotor.",
        "End float now, indicator on the end of the spindle, push and pull, and we want point one "
        "to point three of a millimetre.",
    )]  # fmt: skip
    assert "Measure the end float" in names[-1]


def test_what_finds_no_room_is_told_before_or_after():
    action, before, after = by_orders(
        "Use a soft rag.", "Undo the four bolts.", "Take the cover off.", "Wipe your hands."
    )
    assert action == "Undo the four bolts, and take the cover off."
    assert before == ["Use a soft rag."]
    assert after == ["Wipe your hands."]


def test_two_things_done_alike_stand_behind_one_verb():
    assert by_orders("Fit the rotor.", "Fit the cover with its screws.", phase="fitting")[0] == (
        "Fit the rotor and the cover with its screws."
    )


def test_nothing_is_told_twice():
    names = [step.text for step in steps_of(
        "The new parts are clean, so fit the new belt.",
        "New seals, these have a double lip. Fit the new seals.",
    )]  # fmt: skip
    assert all(name.lower().count("seals") < 2 for name in names)


def test_no_step_is_called_by_an_order_that_breaks_off():
    every = [Candidate(o, 0) for o in (*imperatives("Leave"), *imperatives("Press the seal in"))]
    talk = StepTalk((0,), ("Leave, press the seal in",), (frozenset(),), (frozenset(),), "fitting")
    found = called(every, talk)
    assert (found.action, found.before, found.after) == ("Press the seal in.", (), ())


def test_no_step_is_called_by_what_is_done_only_in_a_case():
    action, _, after = by_orders("Take the cover off.", "If it sticks, tap the cover.")
    assert action == "Take the cover off."
    assert [one for one in after if one.startswith("If it sticks")]
