"""What a complete procedure needs and the film does not say, as questions, worst first."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from author.procedure.times import clock_text
from author.proposals.draft.inspections import inspections
from author.proposals.draft.lines import line
from author.proposals.draft.messages import messages, worth_telling
from author.proposals.draft.number_gaps import (
    MEASURES,
    numbers_by_step,
    of_measuring,
    of_numbers,
    of_torques,
    with_its_thing,
)
from author.proposals.draft.parts_back import MOST_TOLD, ask, of_parts
from author.proposals.proposal import Asked, Proposal, Question

_POWER = re.compile(
    r"\b(?:mains|motor|plugged in|plug it in|mains plug|switch|electric\w*|volts?|"
    r"(?<!plug )(?<!of )(?<!lock)(?<!lock )wires(?! (?:brush|wheel|wool))|wiring|live(?! with\b)|"
    r"battery|power)\b",
    re.IGNORECASE,
)
_OFF = r"(?:off|out|oot|away|to zero|in (?:my|me|your) (?:hand|pocket))\b"
# An emergency stop isolates nothing; a battery cover that comes off does not either.
_SAYS_OFF = (
    r"(?:'s|'re| is| are| and| all| both| now| the| my| your| main| lead| leads| terminals?|"
    rf" cables?| clamps?| connectors?| links?| switch| supply| at the \w+){{0,4}} {_OFF}"
)
_MADE_SAFE = re.compile(
    r"\b(?:isolat\w+|unplug\w*|lock(?:ed|s)? (?:and tag|it)|lock(?:ed)? ?(?:out|off)|padlock\w*|"
    r"(?:my|your) lock\b|(?:the )?lock (?:there|on)(?! (?:the|that|this|it)\b)|"
    r"tag(?:ged)? (?:it|out|on)|switched? off|pull the plug|breaker(?! bar)|"
    r"(?:the|main|its|my|a) disconnect\b|disconnect\w*(?= (?:\S+ ){0,3}?(?:supply|mains|power|"
    r"batter\w+|negative|motor lead|cable|plug|feed)\b)|"
    r"(?:unhook|unclip|take|pull|undo) (?:\w+ )?batter\w+|"
    r"prove\w* (?:\w+ )?dead|dead at the|key(?:'s)? (?:out|with me|in (?:my|me|your))|"
    r"(?:plug|spark) (?:wires?|leads?|caps?|boots?)(?:'s)? off|boot (?:is )?off the plug|"
    r"negative off the|"
    rf"(?<!drain )(?<!filler )(?<!fill )(?<!oil )(?<!rubber )(?<!level )(?<!hex )(?<!spark )"
    rf"(?<!bleed )(?<!vent )(?<!sump )(?<!blanking )(?<!core )(?<!glow )(?<!lock)"
    rf"plug(?:'s)? {_OFF}|(?:negative|ground lead|earth lead|fuses?|mains|generator|battery|"
    rf"batteries|juice|power){_SAYS_OFF}|switch(?:es)?(?: (?:is|are|all|both|now))* "
    r"(?:off|to zero)\b)",
    re.IGNORECASE,
)


_DOUBTS = re.compile(
    r"\b(?:(?:what )?(?:i|we) (?:don't|do not) know (?:is|if|whether|what|which)|(?:i'm|we're|i am|"
    r"what i am) not sure|(?:i|we|you)?(?:'ll| will)? ?(?:have to|must|need to|gotta) (?:ask|check "
    r"with|look (?:it|that) up)|can't remember|don't remember)\b",
    re.IGNORECASE,
)
_WORN = re.compile(r"\b(?:gloves?|goggles|glasses|face shield|visor|mask|muffs)\b", re.I)
_SAME_DOUBT = 20
"""Seconds within which a doubt said again is the same."""
_FOUND_GOOD = re.compile(
    r"^(?:so |and |well |yeah )*(?:that's|it's|they're|that|this one's|mine's|looks?|all)? ?"
    r"(?:is |are |looks? )?(?:good|fine|okay|ok|lovely|perfect|spot on|great|nice|happy|grand)\b",
    re.IGNORECASE,
)


def questions(proposals: Sequence[Proposal]) -> tuple[Question, ...]:
    """Return the questions to the technician, those first that are worst to leave open.

    Args:
        proposals: all that is proposed and not refused.
    """
    steps = [p for p in proposals if p.kind == "step"]
    numbers = numbers_by_step(proposals)
    asked = [
        *of_torques(steps, numbers),
        *_of_power(proposals),
        *of_parts(steps, proposals),
        *of_numbers(proposals),
        *of_measuring(steps, numbers),
        *_of_warnings(steps, proposals),
        *_of_inspections(steps, proposals),
        *_of_supplies(proposals),
        *_of_findings(proposals),
        *_of_unseen_work(proposals),
        *_of_doubts(proposals),
    ]
    return tuple(sorted(asked, key=lambda q: (-q.weight, q.recording, q.at, q.text)))


def _by_step(steps: Sequence[Proposal], proposals: Sequence[Proposal]) -> Iterator[list[Proposal]]:
    """Yield what is proposed of each step, and last what is of none."""
    about: dict[str, list[Proposal]] = {step.id: [] for step in steps}
    of_none: list[Proposal] = []
    for p in proposals:
        known = [name for name in p.steps if name in about]
        for some in (about[name] for name in known) if known else (of_none,):
            some.append(p)
    yield from about.values()
    yield of_none


def _of_power(proposals: Sequence[Proposal]) -> Iterator[Question]:
    said = [p for p in proposals if p.kind not in {"chatter", "preview"}]
    named = next((p for p in said if _POWER.search(p.said)), None)
    if named is not None and not any(_MADE_SAFE.search(p.said) for p in said):
        yield ask(
            named, 98, f"Electricity is named at {clock_text(named.start)} and nothing is said of "
            "making safe: where is it isolated, locked and tried, and who may do it?", "safe"
        )  # fmt: skip


def _of_warnings(steps: Sequence[Proposal], proposals: Sequence[Proposal]) -> Iterator[Question]:
    halves: list[tuple[Proposal, Asked]] = []
    for about in _by_step(steps, proposals):
        for one in messages(worth_telling(about)):
            first = one.proposals[0]
            if one.signal != "NOTICE" and not one.harm and not _WORN.search(one.avoid):
                halves.append((first, "told"))
            elif one.signal != "NOTICE" and not one.avoid:
                halves.append((first, "avoided"))
    open_halves: tuple[tuple[Asked, str], ...] = (
        ("told", "what can happen"), ("avoided", "how is it avoided"),
    )  # fmt: skip
    for asks, asked in open_halves:
        some = [p for p, half in halves if half == asks]
        if some:
            told = "; ".join(
                f"“{line(p.said, 80)}” ({clock_text(p.start)})" for p in some[:MOST_TOLD]
            )
            whole = ask(
                some[0], 30, f"Warnings told by half, {asked}: {told}?", asks,
                several=len(some) > 1,
            )  # fmt: skip
            each = (f"“{line(p.said, 80)}” at {clock_text(p.start)}: {asked}?" for p in some)
            parts = (ask(p, 30, text, asks) for p, text in zip(some, each, strict=True))
            yield replace(whole, parts=tuple(parts))


def _of_inspections(steps: Sequence[Proposal], proposals: Sequence[Proposal]) -> Iterator[Question]:
    said = {step.id: step.said for step in steps}
    numbers = numbers_by_step(proposals)
    for about in _by_step(steps, proposals):
        for one in inspections(about):
            first = one.proposals[0]
            if _FOUND_GOOD.search(first.said):
                continue
            words = with_its_thing(first.said, [said[n] for n in first.steps if n in said])
            told = f"“{words}” at {clock_text(first.start)}"
            if not one.accept:
                if MEASURES.search(first.said) and not any(numbers.get(n) for n in first.steps):
                    continue  # asked for its limits
                yield ask(
                    first, 35, f"{told}: what is accepted, and what is done if it is not so?",
                    "accepted",
                )  # fmt: skip
            elif not one.otherwise:
                yield ask(first, 35, f"{told}: what is done if it is not so?", "otherwise")


def _of_supplies(proposals: Sequence[Proposal]) -> Iterator[Question]:
    told = [p for p in proposals if p.kind == "supply" and not p.detail("left_out")]
    open_ones = [p for p in told if not p.detail("where")]
    if len(open_ones) == 1:
        (p,) = open_ones
        yield ask(
            p, 25, f"{p.text.capitalize()} is used at {clock_text(p.start)}: which grade, how "
            "much, and on which surface?"
        )  # fmt: skip
    elif open_ones:
        names = ", ".join(f"{p.text} ({clock_text(p.start)})" for p in open_ones[:MOST_TOLD])
        more = f" and {len(open_ones) - MOST_TOLD} more" if len(open_ones) > MOST_TOLD else ""
        yield ask(
            open_ones[0], 25, f"Supplies are used: {names}{more}. Which grade of each, how much, "
            "and on which surface?", several=True,
        )  # fmt: skip


def _of_findings(proposals: Sequence[Proposal]) -> Iterator[Question]:
    for p in proposals:
        if p.kind == "deferred":
            asked = (
                "what must be done before anybody has the unit back"
                if p.detail("holds")
                else "may the unit be used meanwhile"
            )
            yield ask(
                p, 72, f"“{p.said}” at {clock_text(p.start)}: {asked}, and who releases it?"
            )  # fmt: skip


def _of_doubts(proposals: Sequence[Proposal]) -> Iterator[Question]:
    """Ask what the technician himself says he does not know."""
    told: set[str] = set()
    last: Decimal | None = None
    for p in sorted(proposals, key=lambda p: p.kind != "chatter"):
        if p.kind not in {"chatter", "preview", "step"}:
            continue
        for sentence in re.split(r"(?<=[.!?])\s+", p.said):
            near = last is not None and abs(p.start - last) < _SAME_DOUBT
            if _DOUBTS.search(sentence) and sentence not in told and not near:
                told.add(sentence)
                last = p.start
                yield ask(
                    p, 78, f"“{sentence.rstrip('.!?')}” at {clock_text(p.start)}: who knows, and "
                    "what is it?"
                )  # fmt: skip


def _of_unseen_work(proposals: Sequence[Proposal]) -> Iterator[Question]:
    for p in proposals:
        if p.kind == "off_camera":
            yield ask(
                p,
                50,
                f"“{p.said}” at {clock_text(p.start)} was not filmed: how exactly is it done?",
            )
