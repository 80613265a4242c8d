"""What is found and left, what is due another day, and what holds the unit."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.draft.entries import job_entry
from author.proposals.draft.gaps import questions
from author.proposals.proposal import Proposal
from proposals.said import told


def proposed(text: str) -> list[Proposal]:
    """Return what is proposed of a sentence said while a cover is off."""
    return [p for p in propose(told("Take the cover off.", text)).proposals if p.kind != "step"]


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("Oh and the lever guard is missing, don't give it back without one.", {"deferred"}),
        ("The chain guard's bent, you can't send it out like that.", {"deferred"}),
        ("And the gauge glass is cracked, that should be done at the next visit.", {"deferred"}),
        (
            "the oil filter's due at two hundred hours so that's next time and the tyre on the "
            "left is perished so tell the owner",
            {"follow_on", "deferred"},
        ),
        ("The oil's due every two hundred hours.", {"follow_on"}),
        # Told for the work, for a case, or done at once.
        ("Don't run it without the guard.", {"hazard"}),
        ("If the guard is missing, don't run it until you have one.", {"hazard", "decision"}),
        ("When the filter's due at two hundred hours change it.", {"decision", "measurement"}),
        ("The belt is worn, so take it off and fit a new one.", {"inspection", "reason"}),
        ("Don't use it until the glue is dry, two hours.", {"hazard", "measurement"}),
        ("Let it run for two hours.", {"measurement"}),
    ],
)
def test_what_is_for_another_day(text: str, kinds: set[str]) -> None:
    found = {p.kind for p in proposed(text)} - {"part", "tool", "supply", "order"}
    assert found == kinds


def test_a_finding_is_that_of_the_unit_filmed_and_may_hold_it() -> None:
    (held,) = [p for p in proposed("The lever guard is missing, don't give it back without one.")
               if p.kind == "deferred"]  # fmt: skip
    entry = job_entry(held)
    assert entry["what"].startswith("On the unit filmed: The lever guard is missing")
    assert entry["holds"] is True
    assert any("before anybody has the unit back" in q.text for q in questions([held]))


def test_a_finding_left_for_later_holds_nothing() -> None:
    (left,) = [p for p in proposed("The hose is cracked, tell the owner.") if p.kind == "deferred"]
    assert "holds" not in job_entry(left)
    assert any("may the unit be used" in q.text for q in questions([left]))


@pytest.mark.parametrize(
    ("text", "what"),
    [
        (
            "And the belt guard's got a screw missing, so I'll fix that tomorrow.",
            "The belt guard's got a screw missing, so I'll fix that tomorrow",
        ),
        (
            "The switch is sticking a bit, I'll do it on Friday.",
            "The switch is sticking a bit, I'll do it on Friday",
        ),
        (
            "The belt's cracked, it'll do till Christmas, but order one.",
            "The belt's cracked, it'll do until Christmas",
        ),
        # The words of a warning, and the state that is put off.
        (
            "The other thing, the drive belt's got cracks in it, it'll do till Easter, order it.",
            "The drive belt's got cracks in it, it'll do until Easter",
        ),
    ],
)
def test_what_is_left_until_a_day_is_a_finding_and_no_step(text: str, what: str) -> None:
    all_of_it = propose(told("Take the cover off.", text)).proposals
    assert [p.text for p in all_of_it if p.kind == "deferred"] == [what]
    assert [p.text for p in all_of_it if p.kind == "step"] == ["Take the cover off."]


def test_the_front_of_what_is_put_off_is_no_warning() -> None:
    kinds = [p.kind for p in proposed("The hose is perished, it'll last until spring.")]
    assert "deferred" in kinds
    assert "hazard" not in kinds


@pytest.mark.parametrize(
    ("text", "part", "way"),
    [
        ("The drive belt's got cracks in it, so somebody needs to order one.", "drive belt", "yes"),
        # This job needs none of what holds on.
        ("The hose is perished, it'll last until spring, so order one.", "hose", "in case"),
        ("The bearing's rough, it'll do until Monday, we'll order one.", "bearing", "in case"),
        ("The belt's tired, it'll do till Easter, but order one.", "belt", "in case"),
    ],
)
def test_the_worn_part_is_ordered_not_its_crack_or_the_day(text: str, part: str, way: str) -> None:
    parts = [p for p in proposed(text) if p.kind == "part"]
    assert {p.text: p.detail("ordered") for p in parts if p.detail("ordered")} == {part: way}
    assert not {p.text for p in parts} & {"spring", "monday", "easter"}
