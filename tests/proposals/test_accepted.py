"""What is accepted in a step, and what only tells how this unit was found."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.draft.procedure import Front, draft_of
from proposals.said import told

LOOK, ACCEPT = "(to be written) what to look for", "(to be written) what is accepted"


def criteria(*texts):
    found = propose(told("Lift the cover off.", *texts)).proposals
    plain = draft_of(found, Front(id="x", title="x"), {}).plain
    steps = [step for section in plain["sections"] for step in section["steps"]]
    return [(c["look_for"], c["accept"]) for step in steps for c in step.get("criteria", ())]


@pytest.mark.parametrize(
    ("texts", "criterion"),
    [
        # A fault is what to look for, never what is accepted.
        (["The rollers on the top are worn flat."],
         ("The rollers on the top are worn flat", ACCEPT)),
        (["See how the roller's got a flat on it?", "It ought to spin with a finger."],
         ("See how the roller's got a flat on it", "It ought to spin with a finger")),
        (["Look for any bright ring in the bore.", "There's none here, so I'm happy."],
         ("Look for any bright ring in the bore", "No bright ring in the bore")),
        (["Let it run for half an hour.", "A drop a minute at first is all right.",
          "After that it has to be dry."],
         (LOOK, "A drop a minute at first is all right, after that it has to be dry")),
        (["Tie ten knots by hand.", "I want ten out of ten before it goes back in the field."],
         (LOOK, "I want ten out of ten before it goes back in the field")),
        (["Have a look at the magnet in the plug.",
          "There's some fine fuzz on it, which is normal.", "Chips would not be."],
         ("Have a look at the magnet in the plug",
          "Some fine fuzz on it, which is normal, chips would not be")),
        (["Make sure the pawl drops freely."],
         ("Make sure the pawl drops freely", "The pawl drops freely")),
        (["Check for leaks with soapy water, no bubbles is what you want."],
         ("Check for leaks with soapy water", "No bubbles is what you want")),
    ],
)  # fmt: skip
def test_what_is_accepted_is_told_and_no_fault(texts, criterion):
    assert criteria(*texts) == [criterion]


@pytest.mark.parametrize(
    "texts",
    [
        ["The limit is half a millimetre.", "So this is too much."],
        ["Clean the seat with a brass brush and no water on it."],
        ["I want you to hold the other end before it goes in."],
        ["Check the float.", "After that it has to be bolted down."],
    ],
)
def test_work_and_a_verdict_on_a_reading_accept_nothing(texts):
    assert not [accept for _, accept in criteria(*texts) if accept != ACCEPT]
