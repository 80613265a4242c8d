"""What a complete procedure needs and the film does not say, as questions, worst first."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from decimal import Decimal

from author.procedure.times import clock_text
from author.procedure.units import all_units
from author.proposals.draft.inspections import inspections
from author.proposals.draft.messages import messages
from author.proposals.draft.steps import WORTH, line, stages
from author.proposals.language.fasteners import fastener_in
from author.proposals.proposal import Asked, Proposal, Question

_DONE_UP = re.compile(
    r"\b(?:tighten|torque|nip|do (?:it|them|the [\w ]+?) up|snug|cinch|good and tight|"
    r"nice and tight|tight)\w*\b",
    re.IGNORECASE,
)
_MEASURES = re.compile(
    r"\b(?:measure|gauge|check the (?:gap|clearance|runout|play|end float|depth|pressure|level|"
    r"voltage|resistance)|mike|set the (?:gap|depth|clearance|pressure|preload))\b",
    re.IGNORECASE,
)
_POWER = re.compile(
    r"\b(?:mains|motor|(?<!spark )(?<!drain )(?<!filler )(?<!oil )(?<!the )plug(?! (?:gap|wire|"
    r"lead|cap|socket|spanner|back))|switch|electric\w*|volts?|(?<!plug )(?<!of )"
    r"(?<!lock)(?<!lock )wires?(?! (?:brush|wheel|wool))|wiring|live|battery|power)\b",
    re.IGNORECASE,
)
_MADE_SAFE = re.compile(
    r"\b(?:isolat\w+|unplug\w*|lock(?:ed)? ?out|padlock|switched? off|power off|"
    r"disconnect\w*|pull the plug|breaker|plug (?:wires?|leads?|caps?) off)\b",
    re.IGNORECASE,
)


_DOUBTS = re.compile(
    r"\b(?:(?:what )?(?:i|we) (?:don't|do not) know (?:is|if|whether|what|which)|(?:i'm|we're|i am|"
    r"what i am) not sure|(?:i|we|you)?(?:'ll| will)? ?(?:have to|must|need to|gotta) (?:ask|check "
    r"with|look (?:it|that) up)|can't remember|don't remember)\b",
    re.IGNORECASE,
)
_WORN = re.compile(r"\b(?:gloves?|goggles|glasses|face shield|visor|mask|muffs)\b", re.I)
_DOUBTFUL = Decimal("0.7")
_NEEDS_NONE = frozenset({"time", "turns", "mass", "volume", ""})
_TOLD = 12
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
    asked = [
        *_of_torques(steps, proposals),
        *_of_power(proposals),
        *_of_parts(steps, proposals),
        *_of_numbers(proposals),
        *_of_measuring(steps, proposals),
        *_of_warnings(steps, proposals),
        *_of_inspections(steps, proposals),
        *_of_supplies(proposals),
        *_of_findings(proposals),
        *_of_unseen_work(proposals),
        *_of_doubts(proposals),
    ]
    return tuple(sorted(asked, key=lambda q: (-q.weight, q.recording, q.at, q.text)))


def _ask(about: Proposal, weight: int, text: str, asks: Asked = "told") -> Question:
    return Question(text, about.recording, about.start, weight, about.id, asks)


def _of_step(step: Proposal, proposals: Sequence[Proposal], kind: str) -> list[Proposal]:
    return [p for p in proposals if p.kind == kind and step.id in p.steps]


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


def _quantity_of(proposal: Proposal) -> str:
    unit = proposal.values.unit if proposal.values else None
    return all_units()[unit].quantity if unit else proposal.detail("quantity") or ""


def _of_torques(steps: Sequence[Proposal], proposals: Sequence[Proposal]) -> Iterator[Question]:
    for step in steps:
        what = fastener_in(step.said)
        if what is None or not _DONE_UP.search(step.said):
            continue
        if step.detail("section") == "removal":
            continue  # "the nut is tight, heat it": it is being undone
        numbers = _of_step(step, proposals, "measurement")
        if any(_quantity_of(n) in {"torque", "turns", "angle"} for n in numbers):
            continue
        yield _ask(
            step, 95, f"The {what} {'are' if what.endswith('s') else 'is'} tightened at "
            f"{clock_text(step.start)}: to what torque, in what order, and are the threads dry, "
            "oiled or with threadlocker?", "torque"
        )  # fmt: skip


def _of_power(proposals: Sequence[Proposal]) -> Iterator[Question]:
    said = [p for p in proposals if p.kind not in {"chatter", "preview"}]
    named = next((p for p in said if _POWER.search(p.said)), None)
    if named is not None and not any(_MADE_SAFE.search(p.said) for p in said):
        yield _ask(
            named, 98, f"Electricity is named at {clock_text(named.start)} and nothing is said of "
            "making safe: where is it isolated, locked and tried, and who may do it?", "safe"
        )  # fmt: skip


def _of_parts(steps: Sequence[Proposal], proposals: Sequence[Proposal]) -> Iterator[Question]:
    names = {p.id: p.text for p in proposals if p.kind == "part"}
    # "Don't order the hub, we reused it": that it goes back is said.
    back = {p.id for p in proposals if p.kind == "part" and p.detail("ordered") == "no"}
    off: dict[str, Proposal] = {}
    on: dict[str, Proposal] = {}
    scrapped: set[str] = set()
    new: set[str] = set()
    for step in steps:
        for move in (move for move in step.moves if move.certain):
            if move.act == "removes":
                off.setdefault(move.part, step)
            elif move.act == "discards":
                scrapped.add(move.part)
            else:
                on.setdefault(move.part, step)
            if move.act == "replaces":
                new.add(move.part)
    for part, step in off.items():
        known = part in on or part in back or _is_back(names.get(part, ""), step, proposals)
        if part in names and not known:
            yield _ask(
                step, 70 if part in scrapped else 85,
                f"The {names[part]} comes off at {clock_text(step.start)} and is never said to go "
                "back: is the same one refitted, is a new one fitted, or is it left off?", "part"
            )  # fmt: skip
    unknown = [part for part in on if part in names and part not in off and part not in new]
    if unknown:
        told = ", ".join(f"{names[p]} ({clock_text(on[p].start)})" for p in unknown[:_TOLD])
        more = f" and {len(unknown) - _TOLD} more" if len(unknown) > _TOLD else ""
        yield _ask(
            on[unknown[0]], 45, f"Fitted and never said to come off: {told}{more}. Which of them "
            "are new, and where do the others come off?", "part"
        )  # fmt: skip


def _is_back(name: str, off: Proposal, proposals: Sequence[Proposal]) -> bool:
    """Whether it is said later that a part is back, though not as an order: "that's the lid on"."""
    words = name.split()
    if not words:
        return False
    last = re.escape(words[-1])
    back = re.compile(
        rf"(?<!old )\b(?:{re.escape(name)}|{last})(?:e?s)?(?:'s|'re| is| are| goes| go| can go| "
        r"has to go| have to go)? (?:all |both )?(?:back(?: on| in)?|on|in|home)"
        r"(?=\W*$|[,.;!?]| and\b| again\b| with\b| first\b| then\b)",
        re.IGNORECASE,
    )
    return any(
        p.recording == off.recording and p.start >= off.start
        and any(not _DENIED.search(p.said[: m.start()]) for m in back.finditer(p.said))
        for p in proposals
        if p.kind not in {"part", "tool", "supply", "preview"}
    )  # fmt: skip


_DENIED = re.compile(
    r"\b(?:not?|never|don't|do not|isn't|aren't|before|if|unless|when|with|while)\b[^.]*$",
    re.IGNORECASE,
)


def _lies_in(inner: Proposal, outer: Proposal) -> bool:
    return (
        inner.recording == outer.recording and outer.start <= inner.start and inner.end <= outer.end
    )


def _of_numbers(proposals: Sequence[Proposal]) -> Iterator[Question]:
    told = [p for p in proposals if p.kind in {"hazard", "reason", "decision"}]
    limited = {
        (step, _quantity_of(p))
        for p in proposals
        if p.kind == "measurement" and p.detail("role") == "limits"
        for step in p.steps
    }
    asked: set[tuple[object, ...]] = set()
    on_the_way = _on_the_way(proposals)
    for p in proposals:
        if p.kind != "measurement" or p.values is None:
            continue
        role, when, quantity = p.detail("role"), clock_text(p.start), _quantity_of(p)
        if role == "aim" and any(_lies_in(p, one) for one in told):
            continue  # "there can be sixty degree water in there": nothing to keep to
        what = p.detail("characteristic") or "number"
        if p.values.unit is None and role not in {"thread", "size"}:
            yield _ask(p, 80, f"“{p.said}” is said at {when} without a unit: which unit is it?")
        elif role == "tolerance":
            yield _ask(p, 75, f"“{p.said}” is said at {when}: of which value is that?")
        elif p.detail("unit_from_elsewhere") and p.confidence < _DOUBTFUL:
            yield _ask(
                p, 60, f"“{p.said}” at {when} was taken to be in {p.values.unit}, from what was "
                "said before or after: is that right?"
            )  # fmt: skip
        if (p.steps, p.values) in asked or quantity in _NEEDS_NONE:
            continue  # said twice, or of a kind that is done by the clock and by eye
        asked.add((p.steps, p.values))
        if role == "aim" and p.values.nominal and p.id not in on_the_way:
            yield _ask(p, 65, f"The {what} at {when} is “{p.said}”: between which limits?")
        elif role == "measured" and not any((step, quantity) in limited for step in p.steps):
            yield _ask(
                p, 55, f"This one measured “{p.said}” at {when}: what limits must the {what} keep?"
            )


def _on_the_way(proposals: Sequence[Proposal]) -> frozenset[str]:
    """Return the ids of torques that are only stages on the way to a greater one."""
    by_step: dict[tuple[str, ...], list[Proposal]] = {}
    for each in proposals:
        if each.kind == "measurement" and _quantity_of(each) == "torque":
            by_step.setdefault(each.steps, []).append(each)
    return frozenset(
        each.id for torques in by_step.values() for some in stages(torques) for each in some[:-1]
    )


def _of_measuring(steps: Sequence[Proposal], proposals: Sequence[Proposal]) -> Iterator[Question]:
    for step in steps:
        found = _MEASURES.search(step.said)
        if found and not _of_step(step, proposals, "measurement"):
            yield _ask(
                step, 75, f"Something is measured at {clock_text(step.start)} and no number is "
                f"said (“{found[0]}”): between which limits, and with what instrument?", "limits"
            )  # fmt: skip


def _of_warnings(steps: Sequence[Proposal], proposals: Sequence[Proposal]) -> Iterator[Question]:
    halves: list[tuple[Proposal, Asked]] = []
    for about in _by_step(steps, proposals):
        worth = [p for p in about if p.kind == "hazard" and p.confidence >= WORTH]
        for one in messages(worth):
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
            told = "; ".join(f"“{line(p.said, 80)}” ({clock_text(p.start)})" for p in some[:_TOLD])
            yield _ask(some[0], 30, f"Warnings told by half, {asked}: {told}?", asks)


def _of_inspections(steps: Sequence[Proposal], proposals: Sequence[Proposal]) -> Iterator[Question]:
    for about in _by_step(steps, proposals):
        for one in inspections(about):
            first = one.proposals[0]
            if _FOUND_GOOD.search(first.said):
                continue
            told = f"“{first.said}” at {clock_text(first.start)}"
            if one.accept:
                yield _ask(first, 35, f"{told}: what is done if it is not so?", "otherwise")
            else:
                yield _ask(
                    first, 35, f"{told}: what is accepted, and what is done if it is not so?"
                )  # fmt: skip


def _of_supplies(proposals: Sequence[Proposal]) -> Iterator[Question]:
    open_ones = [p for p in proposals if p.kind == "supply" and not p.detail("where")]
    if len(open_ones) == 1:
        (p,) = open_ones
        yield _ask(
            p, 25, f"{p.text.capitalize()} is used at {clock_text(p.start)}: which grade, how "
            "much, and on which surface?"
        )  # fmt: skip
    elif open_ones:
        told = ", ".join(f"{p.text} ({clock_text(p.start)})" for p in open_ones[:_TOLD])
        more = f" and {len(open_ones) - _TOLD} more" if len(open_ones) > _TOLD else ""
        yield _ask(
            open_ones[0], 25, f"Supplies are used: {told}{more}. Which grade of each, how much, "
            "and on which surface?"
        )  # fmt: skip


def _of_findings(proposals: Sequence[Proposal]) -> Iterator[Question]:
    for p in proposals:
        if p.kind == "deferred":
            yield _ask(
                p, 72, f"“{p.said}” at {clock_text(p.start)}: may the unit be used meanwhile, and "
                "who releases it?"
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
                yield _ask(
                    p, 78, f"“{sentence.rstrip('.!?')}” at {clock_text(p.start)}: who knows, and "
                    "what is it?"
                )  # fmt: skip


def _of_unseen_work(proposals: Sequence[Proposal]) -> Iterator[Question]:
    for p in proposals:
        if p.kind == "off_camera":
            yield _ask(
                p,
                50,
                f"“{p.said}” at {clock_text(p.start)} was not filmed: how exactly is it done?",
            )
