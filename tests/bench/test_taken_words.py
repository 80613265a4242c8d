"""What is said once proposals were accepted: which, and where they stand now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

import pytest

from author.bench.proposal_words import brief, called, counted, told
from author.bench.taken_words import taken_words
from author.errors import InputError
from author.proposals.proposal import Proposal, ProposalKind
from author.tasks.proposal_entries import Taken
from author.tasks.taking_command import TakeIn

STEPS = {"lift": 3, "press": 4}
SOME = object.__new__(TakeIn)
"""A change, whatever it is."""
NO_CHANGE = Taken(None, (), (), {}, {}, {}, {})


def proposal(name: str, kind: ProposalKind, text: str) -> Proposal:
    return Proposal(name, kind, text, text, "film", Decimal(1), Decimal(2), Decimal(1), "Why.")


LIFT = proposal("a", "step", "Lift the cover.")
RUNOUT = proposal("b", "measurement", "runout of the rim: at most 0.12 mm")
COVER = proposal("c", "part", "cover")
TALK = proposal("d", "chatter", "So anyway")
PLACES: Mapping[str, tuple[str, ...]] = {
    "a": ("steps", "lift"),
    "b": ("steps", "lift", "specs"),
    "c": ("parts",),
}


def after(done: list[Proposal], was: Mapping[str, str] | None = None, **more: object) -> str:
    places = {p.id: PLACES[p.id] for p in done if p.id in PLACES}
    names = tuple(p.id for p in done)
    result = replace(NO_CHANGE, command=SOME, done=names, places=places)
    result = replace(result, **more)  # type: ignore[arg-type]
    return taken_words(result, done, was or {}, STEPS.get)


@pytest.mark.parametrize(
    ("done", "words"),
    [
        ([LIFT], "Accepted: Step “Lift the cover” (step 3)."),
        (
            [LIFT, RUNOUT],
            "Accepted: Step “Lift the cover” (step 3); Number “runout of the rim: at most "
            "0.12 mm” (step 3, Measurements).",
        ),
        ([COVER], "Accepted: Part “cover” (list “Parts”)."),
        ([TALK], "Accepted: Talk, left out: “So anyway”."),
        ([LIFT, RUNOUT, COVER], "Accepted: 1 step, 1 number in step 3, 1 part."),
        ([COVER, COVER, TALK], "Accepted: 2 parts, 1 piece of talk."),
    ],
)
def test_what_was_taken_up_is_told_with_where_it_stands(done, words):
    assert after(done) == words


def test_many_are_counted_with_the_steps_they_went_to():
    numbers = [replace(RUNOUT, id=f"n{n}") for n in range(49)]
    places = {p.id: ("steps", f"s{n % 17}", "specs") for n, p in enumerate(numbers)}
    assert after(numbers, places=places) == "Accepted: 49 numbers in 17 steps."
    assert told(numbers) == "49 numbers"


def test_what_was_changed_says_what_it_was():
    words = after([RUNOUT], {"b": "runout of the rim: at most 0.2 mm"})
    assert words == (
        "Accepted: Number “runout of the rim: at most 0.12 mm” in place of “runout of the rim: "
        "at most 0.2 mm” (step 3, Measurements)."
    )


def test_what_stood_there_is_said_to_have_stood_there():
    assert after([LIFT], command=None).endswith("It is step 3 already.")
    assert after([COVER], command=None).endswith("It stood there already.")
    assert after([COVER, LIFT], command=None).endswith("All stood there already.")
    assert after([TALK], command=None) == "Accepted: Talk, left out: “So anyway”."


def test_what_waits_and_what_has_to_be_changed_are_told_with_it():
    assert after([], waiting=("x",)) == "One belongs to a step that is not accepted yet."
    assert after([LIFT], waiting=("x", "y")).endswith(
        "2 belong to steps that are not accepted yet."
    )
    problem = InputError("no unit was said", remedy="Write it")
    words = after([], problems={"x": problem, "y": problem})
    assert words.startswith("2 have to be changed first, as: No unit was said")
    assert after([], problems={"x": problem}).startswith("No unit was said")


def test_another_number_of_the_same_step_is_told():
    words = after([RUNOUT], otherwise={"b": "Runout of the rim: max 0.1 mm"})
    assert "Step 3 says otherwise too: “Runout of the rim: max 0.1 mm”" in words


@pytest.mark.parametrize(
    ("text", "number", "short"),
    [
        ("Lift it.", False, "Lift it"),
        (f"{'very ' * 30}long", False, f"{('very ' * 13).strip()}…"),
        (f"distance of {'the far ' * 20}end: 12.05 to 12.11 mm", True, None),
        (f"a note: {'more ' * 30}", True, None),
    ],
)
def test_a_long_text_is_cut_between_words_and_a_value_never(text, number, short):
    found = brief(text, is_number=number)
    assert len(found) <= 70
    assert short in {None, found}
    if text.endswith("mm"):
        assert found.endswith("…: 12.05 to 12.11 mm")


def test_one_is_counted_as_one():
    assert counted([LIFT]) == "1 step"
    assert counted([RUNOUT, LIFT, LIFT]) == "2 steps, 1 number"
    assert called(RUNOUT) == "Number “runout of the rim: at most 0.12 mm”"
