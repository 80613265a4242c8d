"""The ways on from a step, for the script of the work page: where each leads, and how often.

A way is named ``next``, ``STEP/0`` for a way of a decision, or ``SPEC/below`` for what a reaction
says; steps are named by their labels on the page, ``step-7``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, TypedDict

from author.procedure.document import PlacedStep, Procedure
from author.procedure.specs import Reaction
from author.procedure.steps import Branch
from author.publish.lookup import Lookup, procedure_text

SIDES = ("below", "above", "undecided")


class ReactionFacts(TypedDict):
    """What to do about a reading; ``to`` is the label of the step to go back to, if any."""

    do: Literal["repeat", "recover", "stop"]
    how: str
    to: str | None
    at_most: int | None


class OnwardFacts(TypedDict):
    """One way on.

    Attributes:
        to: label of the step it leads to; None where it leads to none.
        step: id of that step.
        back: whether that step is this one, or stands before it.
        ends: whether it may lead to no step: the end, a stop, another procedure.
        stop: whether the job stops there.
        words: what is done there, or the name of the other procedure.
        at_most: how often it may be taken.
    """

    to: str | None
    step: str | None
    back: bool
    ends: bool
    stop: bool
    words: str | None
    at_most: int | None


def label_of(step: str | None, lookup: Lookup) -> str | None:
    """Return the label of a step, or None where a draft names one that is not there."""
    placed = lookup.steps.get(step or "")
    return None if placed is None else f"step-{placed.number}"


def reaction_facts(reaction: Reaction | None, lookup: Lookup) -> ReactionFacts | None:
    """Return what to do about a reading, or None where nothing is said."""
    if reaction is None:
        return None
    return {
        "do": reaction.do,
        "how": reaction.how,
        "to": label_of(reaction.step, lookup),
        "at_most": reaction.at_most,
    }


def onward_facts(
    placed: PlacedStep, procedure: Procedure, lookup: Lookup
) -> dict[str, OnwardFacts]:
    """Return every way on from a step by its name.

    The plain way on is there also where a decision has to be taken instead.

    Args:
        placed: the step.
        procedure: its procedure.
        lookup: names behind its ids.
    """
    steps = [*procedure.placed_steps()]
    following = steps[placed.number] if placed.number < len(steps) else None
    target = lookup.steps.get(placed.step.goes_to or "", following)
    found = {"next": _onward(placed, target, ends=True)}
    decision = placed.step.decision
    for index, way in enumerate(decision.ways if decision else ()):
        found[f"{placed.step.id}/{index}"] = _branch(placed, way, steps, lookup)
    for spec in placed.step.all_specs():
        for side in SIDES:
            reaction: Reaction | None = getattr(spec, side)
            if reaction is not None:
                found[f"{spec.id}/{side}"] = _reaction(placed, reaction, lookup)
    return found


def plain_ways(ways: Mapping[str, OnwardFacts], decided: bool) -> dict[str, OnwardFacts]:
    """Return the ways a job takes unasked: those of the decision, or else the plain one.

    Args:
        ways: every way on of a step.
        decided: whether a decision has to be taken there.
    """
    if not decided:
        return {"next": ways["next"]}
    return {name: way for name, way in ways.items() if name.rpartition("/")[2].isdecimal()}


def only_by_ways(steps: Mapping[str, Mapping[str, OnwardFacts]]) -> frozenset[str]:
    """Return the ids of the steps that a job can pass by: without them the end is reached too.

    Ways back and stops lead to no end, and a reaction only asks for a way.

    Args:
        steps: the ways on of every step by its id, in order, those without a decision with
            the plain way on alone, those with one without it.
    """
    first = next(iter(steps), None)
    ways = {
        step: [w for w in on.values() if not w["back"] and not w["stop"]]
        for step, on in steps.items()
    }
    return frozenset(one for one in steps if one != first and _ends(first, ways, one))


def _ends(first: str | None, ways: Mapping[str, Sequence[OnwardFacts]], without: str) -> bool:
    """Return whether the end is reached from the first step without one of them."""
    seen, left = {without}, [first]
    while left:
        step = left.pop()
        if step is None or step in seen:
            continue
        seen.add(step)
        for way in ways[step]:
            if way["step"] is None:
                return True
            left.append(way["step"])
    return False


def _branch(
    placed: PlacedStep, way: Branch, steps: list[PlacedStep], lookup: Lookup
) -> OnwardFacts:
    most = way.at_most
    if way.stop is not None:
        return _onward(placed, None, ends=True, stop=True, words=way.stop, at_most=most)
    if way.procedure is not None:
        words = procedure_text(way.procedure)
        return _onward(placed, None, ends=True, words=words, at_most=most)
    if way.section is not None:
        first = next((one for one in steps if one.section.id == way.section), None)
        return _onward(placed, first, at_most=most)
    return _onward(placed, lookup.steps.get(way.step or ""), at_most=most)


def _reaction(placed: PlacedStep, reaction: Reaction, lookup: Lookup) -> OnwardFacts:
    how, most = reaction.how, reaction.at_most
    if reaction.do == "stop":
        return _onward(placed, None, ends=True, stop=True, words=how, at_most=most)
    target = lookup.steps.get(reaction.step or "")
    return _onward(placed, target, words=how, at_most=most)


def _onward(
    placed: PlacedStep,
    target: PlacedStep | None,
    *,
    ends: bool = False,
    stop: bool = False,
    words: str | None = None,
    at_most: int | None = None,
) -> OnwardFacts:
    return {
        "to": None if target is None else f"step-{target.number}",
        "step": None if target is None else target.step.id,
        "back": target is not None and target.number <= placed.number,
        "ends": ends,
        "stop": stop,
        "words": words,
        "at_most": at_most,
    }
