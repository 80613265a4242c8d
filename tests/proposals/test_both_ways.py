"""What is accepted in the window makes the same of a step as what is accepted by answers."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

import pytest

from author.contract import parse_procedure, write_yaml
from author.contract.procedure_file import as_plain
from author.editing import SetField
from author.procedure.cues import Cue
from author.procedure.document import Procedure
from author.proposals.claims import propose
from author.proposals.draft.procedure import Front, draft_of
from author.proposals.proposal import Proposal
from author.proposals.speech.sentences import sentences_of
from proposals.test_entries import PLAIN, Accepting

LISTS = ("hazards", "specs", "torques", "critical_points", "criteria")
LOOKED_AT = "Check the bearing for play.", "It should spin freely without any play."
IN_ONE_BREATH = ("Spin the pulley round by hand. It must run smooth with no noise.",)
WARNED = "Lift the cover off.", "Mind the spring.", "It can fly out and take your eye."
IN_STAGES = "Tighten the four M8 bolts to ten newton metres first.", "Then twenty newton metres."
JOBS = [LOOKED_AT, IN_ONE_BREATH, WARNED, IN_STAGES]


def proposed(texts: Sequence[str]) -> list[Proposal]:
    cues = [Cue(Decimal(4 * n), Decimal(4 * n + 4), text) for n, text in enumerate(texts)]
    return list(propose(sentences_of(cues, "film")).proposals)


def by_answers(proposals: Sequence[Proposal]) -> list[dict[str, object]]:
    made = draft_of(proposals, Front("job", "Job"), {}, frozenset(p.id for p in proposals))
    return told(parse_procedure(write_yaml(made.plain).encode(), Path("p.yaml")).procedure)


def begun() -> Procedure:
    return parse_procedure(write_yaml(PLAIN).encode(), Path("procedure.yaml")).procedure


def in_window(proposals: Sequence[Proposal]) -> Accepting:
    work = Accepting(begun(), proposals)
    work.accept(*(p for p in proposals if p.kind == "step"))
    return work


def told(procedure: Procedure) -> list[dict[str, object]]:
    """Return the claims of each step, numbers with what their source says."""
    titles = {source.id: source.title for source in procedure.sources}
    found = []
    for placed in procedure.placed_steps():
        step: dict[str, object] = {}
        for key in LISTS:
            plain = [as_plain(one) for one in getattr(placed.step, key) or ()]
            step[key] = [
                {name: titles.get(str(value), value) for name, value in one.items() if name != "id"}
                for one in plain
            ]
        found.append(step)
    return found


@pytest.mark.parametrize("texts", JOBS, ids=["looked at", "one breath", "warned", "stages"])
@pytest.mark.parametrize("way", ["at once", "in turn", "backwards", "twice"])
def test_the_same_claims_stand_in_the_document_whichever_way_they_are_accepted(
    texts: Sequence[str], way: str
) -> None:
    proposals = proposed(texts)
    wanted = by_answers(proposals)
    assert any(step[key] for step in wanted for key in LISTS)
    work = in_window(proposals)
    claims = [p for p in proposals if p.kind != "step"]
    if way == "at once":
        work.accept(*claims)
    for each in {"in turn": claims, "backwards": claims[::-1], "twice": claims * 2}.get(way, ()):
        found = work.accept(each)
        assert (found.done, found.otherwise) == ((each.id,), {})
    assert told(work.procedure) == wanted


def halves() -> tuple[Accepting, Proposal, Proposal]:
    proposals = proposed(LOOKED_AT)
    work = in_window(proposals)
    first, second = (p for p in proposals if p.kind == "inspection")
    work.accept(first)
    return work, first, second


def criteria(work: Accepting) -> list[tuple[str, str, str]]:
    (placed,) = work.procedure.placed_steps()
    return [(one.look_for, one.accept, one.otherwise) for one in placed.step.criteria or ()]


def test_what_was_written_where_it_was_asked_for_stays_when_the_other_half_comes() -> None:
    work, _, second = halves()
    (placed,) = work.procedure.placed_steps()
    place = ("steps", placed.step.id, "criteria", 0)
    name = placed.step.criteria[0].id
    work.procedure = SetField((*place, "otherwise"), "Renew it.").apply(work.procedure)
    work.accept(second)
    ((look, accept, otherwise),) = criteria(work)
    assert (look[:5], accept[:14], otherwise) == ("Check", "It should spin", "Renew it.")
    (placed,) = work.procedure.placed_steps()
    assert placed.step.criteria[0].id == name


@pytest.mark.parametrize("field", ["accept", "look_for"])
def test_what_a_person_wrote_is_not_written_over_by_the_other_half(field: str) -> None:
    work, _, second = halves()
    (placed,) = work.procedure.placed_steps()
    place = ("steps", placed.step.id, "criteria", 0, field)
    work.procedure = SetField(place, "In my own words.").apply(work.procedure)
    work.accept(second)
    assert len(criteria(work)) == 2
    assert "In my own words." in criteria(work)[0]
