"""Every sort of question leads to the field that it asks for."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from author.bench.answering import is_answered, is_of_the_job, place_of
from author.bench.overlaps import overlap_of
from author.contract import read_procedure
from author.editing import path_of
from author.procedure.document import Procedure
from author.proposals.draft.gaps import questions
from author.proposals.proposal import Proposal, ProposalKind, Values
from author.proposals.steps.parts_told import Move
from bench.jobs import SAMPLE

STEP = "tighten-nut"
UNIT = Values(nominal=Decimal(22), unit="N·m")


@pytest.fixture(scope="module")
def saw() -> Procedure:
    return read_procedure(SAMPLE).procedure


def claim(kind: ProposalKind, said: str, text: str = "", **more: object) -> Proposal:
    known = {"id": kind, "recording": "saw", "start": Decimal(1), "end": Decimal(2),
             "confidence": Decimal("0.9"), "reason": "It is said", "steps": ("step",)}  # fmt: skip
    return Proposal(kind=kind, text=text or said, said=said, **(known | more))  # type: ignore[arg-type]


def step(said: str, **more: object) -> Proposal:
    return claim("step", said, id="step", steps=(), **more)


def number(role: str, values: Values = UNIT) -> Proposal:
    details = (("role", role), ("characteristic", "nut torque"))
    return claim("measurement", "twenty two", values=values, details=details)


CASES = [
    ([step("tighten the bolts")], "to what torque", ("steps", STEP, "torques")),
    ([step("measure the runout")], "between which limits", ("steps", STEP, "specs")),
    ([step("lift it off", moves=(Move("removes", "part"),)), claim("part", "cover")],
     "comes off", ("steps", STEP, "ledger")),
    ([step("put it on", moves=(Move("refits", "part"),)), claim("part", "cover")],
     "Fitted and never said", ("steps", STEP, "ledger")),
    ([claim("tool", "the mains lead")], "isolated", ("prerequisites",)),
    ([number("aim")], "between which limits", ("steps", STEP, "torques", 0, "lower")),
    ([number("measured")], "limits must", ("steps", STEP, "torques", 0, "lower")),
    ([number("tolerance")], "of which value", ("steps", STEP, "torques", 0, "lower")),
    ([number("limits", Values(upper=Decimal(3)))], "which unit",
     ("steps", STEP, "torques", 0, "lower")),
    ([claim("supply", "grease", "Thin machine oil")], "which grade", ("supplies",)),
    ([claim("deferred", "leave that crack")], "who releases", ("findings",)),
    ([claim("off_camera", "I did that before")], "not filmed", ("steps", STEP, "note")),
]  # fmt: skip


@pytest.mark.parametrize(("proposals", "asks", "place"), CASES, ids=[case[1] for case in CASES])
def test_a_question_leads_to_its_field(
    saw: Procedure, proposals: list[Proposal], asks: str, place: tuple[str | int, ...]
) -> None:
    question = next(q for q in questions(proposals) if asks in q.text)
    about = next(p for p in proposals if p.id == question.about)
    of_the_job = is_of_the_job(question, about)
    assert of_the_job == (place[0] != "steps")
    found = place_of(question, about, saw, None if of_the_job else STEP)
    assert found[: len(place)] == place
    assert path_of(saw, found)


@pytest.mark.parametrize(
    ("kind", "key", "field"),
    [("hazard", "hazards", {"consequence", "avoid"}),
     ("inspection", "criteria", {"accept", "otherwise"})],
)  # fmt: skip
def test_of_several_it_is_the_one_that_says_the_same(
    saw: Procedure, kind: ProposalKind, key: str, field: set[str]
) -> None:
    tried = 0
    for placed in saw.placed_steps():
        entries = getattr(placed.step, key) or ()
        for at, entry in enumerate(entries):
            words = getattr(entry, "hazard", None) or getattr(entry, "look_for", "")
            about = claim(kind, words)
            asked = [q for q in questions([about]) if "isolated" not in q.text]
            for question in asked:
                *found, last = place_of(question, about, saw, placed.step.id)
                assert found == ["steps", placed.step.id, key, at]
                assert last in field
                tried += 1
    assert tried >= 3


def graded(saw: Procedure) -> tuple[Procedure, Proposal]:
    """Return the sample with a grade of its first supply, and that supply as it was heard."""
    entry, *others = saw.supplies or ()
    supplies = (entry.model_copy(update={"grade": "ISO VG 32"}), *others)
    return saw.model_copy(update={"supplies": supplies}), claim("supply", entry.name)


def test_supplies_asked_for_together_are_not_answered_by_the_first_and_one_alone_is(
    saw: Procedure,
) -> None:
    job, first = graded(saw)
    both = [first, claim("supply", "brake cleaner", id="cleaner", start=Decimal(9))]
    for proposals, answered in ((both, False), (both[:1], True)):
        (asked,) = (q for q in questions(proposals) if "which grade" in q.text.lower())
        assert asked.about == first.id
        assert is_answered(asked, first, job, None) is answered


def test_warnings_asked_for_together_are_not_answered_by_the_first_and_one_alone_is(
    saw: Procedure,
) -> None:
    placed = next(p.step for p in saw.placed_steps() if p.step.hazards)
    hazard = placed.hazards[0]
    assert hazard.avoid
    known = {"steps": (placed.id,), "details": (("signal", "WARNING"),)}
    first = claim("hazard", f"{hazard.hazard} it can crush your fingers", hazard.hazard, **known)
    other = claim("hazard", "it can burn you", id="other", start=Decimal(60), end=Decimal(61),
                  **known)  # fmt: skip
    host = claim("step", "lower it", id=placed.id, steps=())
    for hazards, answered in (([first, other], False), ([first], True)):
        (asked,) = (q for q in questions([host, *hazards]) if "how is it avoided" in q.text)
        assert asked.about == first.id
        assert is_answered(asked, first, saw, placed.id) is answered


def test_words_of_the_film_do_not_make_one_question_one_of_several(saw: Procedure) -> None:
    job, first = graded(saw)
    said = replace(first, text=f"{first.text}; “the thin one”")
    (asked,) = (q for q in questions([said]) if "which grade" in q.text)
    assert is_answered(asked, said, job, None)


def test_what_a_span_shows_already_and_what_is_free_of_it(saw: Procedure) -> None:
    clips = [(p.number, p.step.clip) for p in saw.placed_steps() if p.step.clip is not None]
    number, clip = clips[2]
    second = Decimal(1)
    found = overlap_of(saw, clip.recording, clip.start, clip.end)
    assert found is not None
    assert number in found.numbers
    assert found.free is None
    assert overlap_of(saw, "no-such-film", clip.start, clip.end) is None
    last = max(c.end for _, c in clips if c.recording == clip.recording)
    assert overlap_of(saw, clip.recording, last, last + second) is None
    assert overlap_of(saw, clip.recording, last - Decimal("0.1"), last + second) is None
    over = overlap_of(saw, clip.recording, last - second, last + 3 * second)
    assert over is not None
    assert over.free == (last, last + 3 * second)
