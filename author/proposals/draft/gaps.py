"""What a complete procedure needs and the film does not say, as questions, worst first."""

from __future__ import annotations

import re
from bisect import bisect
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from author.procedure.times import clock_text
from author.procedure.units import all_units
from author.proposals.draft.bounded import told_with_limits
from author.proposals.draft.inspections import inspections
from author.proposals.draft.lines import line
from author.proposals.draft.messages import messages, worth_telling
from author.proposals.draft.parts_back import MOST_TOLD, ask, of_parts
from author.proposals.draft.stages import stages
from author.proposals.language.fasteners import fastener_in
from author.proposals.proposal import Asked, Proposal, Question

_DONE_UP = re.compile(
    r"\b(?:tighten|torque|nip|do (?:it|them|the [\w ]+?) up|snug|cinch|good and tight|"
    r"nice and tight|tight)\w*\b",
    re.IGNORECASE,
)
# What is told to be as tight as fingers make it has its torque, or is meant to have none.
_BY_HAND = re.compile(
    r"\b(?:by hand|(?:hand|finger)s?[- ]tight|(?:two |your )?fingers\b|no (?:more|torque)|"
    r"thumb ?screws?|(?:only|just) (?:nipped|snug)|"
    r"(?:not|don't|isn't|aren't|never|too|before (?:you|they|it|i)\S*)"
    r" (?:\w+ )?tight\w*|tight spots?|re-?tighten it later)\b",
    re.IGNORECASE,
)
_TIGHT = frozenset({"torque", "turns", "angle"})
_SIZES = (
    r"(?:free |pitch |end |side |bore |shaft |wall )?(?:gap|clearance|run-?out|play|end float|"
    r"depth|pressure|voltage|resistance|backlash|preload|length|thickness|diameter|height|"
    r"bore size|squareness|deflection)"
)
_MEASURES = re.compile(
    r"\b(?:measure|gauge (?:it|them|that|the|each|every)|mike|"
    rf"(?:check|set) the (?:level|(?P<size>{_SIZES}(?: (?:of|between|at|in) (?:the|each|both) "
    r"(?:[\w-]+ ){0,2}?[\w-]+(?= (?:with|on|before|after|and)\b|[^\w\s-]|\s*$))?))"
    r"|check [^.;,]{3,60}? with (?:a |an |the |your )?(?:vernier |digital |outside |inside )?"
    r"(?:calipers?|micrometer|feelers?(?: gauges?)?|bore gauge|dial gauge|straight ?edge|"
    r"multimeter))\b",
    re.IGNORECASE,
)
_INSTRUMENT = re.compile(
    r"\b(?:calipers?|micrometer|feelers?|gauges?|indicator|straight ?edge|multimeter|meter|ruler|"
    r"tape measure|thermometer)\b",
    re.IGNORECASE,
)
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
_DOUBTFUL = Decimal("0.7")
_NEEDS_NONE = frozenset({"time", "turns", "mass", "volume", ""})
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
    numbers = _numbers_by_step(proposals)
    asked = [
        *_of_torques(steps, numbers),
        *_of_power(proposals),
        *of_parts(steps, proposals),
        *_of_numbers(proposals),
        *_of_measuring(steps, numbers),
        *_of_warnings(steps, proposals),
        *_of_inspections(steps, proposals),
        *_of_supplies(proposals),
        *_of_findings(proposals),
        *_of_unseen_work(proposals),
        *_of_doubts(proposals),
    ]
    return tuple(sorted(asked, key=lambda q: (-q.weight, q.recording, q.at, q.text)))


def _numbers_by_step(proposals: Sequence[Proposal]) -> dict[str, list[Proposal]]:
    found: dict[str, list[Proposal]] = {}
    for p in proposals:
        for step in dict.fromkeys(p.steps) if p.kind == "measurement" else ():
            found.setdefault(step, []).append(p)
    return found


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


def _of_torques(
    steps: Sequence[Proposal], numbers: Mapping[str, Sequence[Proposal]]
) -> Iterator[Question]:
    for step in steps:
        if step.detail("section") == "removal":
            continue  # "the nut is tight, heat it": it is being undone
        said = [n.said for n in numbers.get(step.id, ()) if _quantity_of(n) in _TIGHT]
        open_one = _tightened(step.said, said)
        if open_one is None:
            continue
        what, words = open_one
        yield ask(
            step, 95, f"The {what} {'are' if what.endswith('s') else 'is'} tightened at "
            f"{clock_text(step.start)} (“{words}”): to what torque, in what order, and "
            "are the threads dry, oiled or with threadlocker?", "torque",
            of=f"torque of the {what}",
        )  # fmt: skip


def _tightened(said: str, told: Sequence[str]) -> tuple[str, str] | None:
    """Return the first fastener that is tightened and not told how tight, and the words of it.

    Args:
        said: what was said of a step.
        told: the torques, turns and angles said of it, as they were said.
    """
    sentences = re.split(r"(?<=[.!?])\s+", said)
    for at, sentence in enumerate(sentences):
        beside = " ".join(sentences[max(0, at - 1) : at + 2])
        if _BY_HAND.search(sentence) or any(one in beside for one in told):
            continue
        for found in _DONE_UP.finditer(sentence):
            near = _around(sentence, found.start(), found.end())
            if (what := fastener_in(near)) is not None:
                return what.lower(), near
    return None


def _of_power(proposals: Sequence[Proposal]) -> Iterator[Question]:
    said = [p for p in proposals if p.kind not in {"chatter", "preview"}]
    named = next((p for p in said if _POWER.search(p.said)), None)
    if named is not None and not any(_MADE_SAFE.search(p.said) for p in said):
        yield ask(
            named, 98, f"Electricity is named at {clock_text(named.start)} and nothing is said of "
            "making safe: where is it isolated, locked and tried, and who may do it?", "safe"
        )  # fmt: skip


def _around(sentence: str, begin: int, end: int) -> str:
    """Return some words of a sentence about a place in it, all of them if it is short."""
    first = sentence.rfind(" ", 0, max(0, begin - _BESIDE)) + 1 if begin > _BESIDE else 0
    last = sentence.find(" ", end + _BESIDE)
    return sentence[first : last if last > 0 else len(sentence)].strip(" .,;!?")


_BESIDE = 50
"""Letters beside a word within which what it is done to is named."""


class _Spans:
    """The spans of some proposals, to tell whether another lies within one of them."""

    def __init__(self, proposals: Sequence[Proposal]) -> None:
        self._ends: dict[str, tuple[list[Decimal], list[Decimal]]] = {}
        for p in sorted(proposals, key=lambda p: p.start):
            starts, last = self._ends.setdefault(p.recording, ([], []))
            starts.append(p.start)
            last.append(max(p.end, last[-1]) if last else p.end)

    def hold(self, inner: Proposal) -> bool:
        """Whether one of the spans holds the whole of another."""
        starts, last = self._ends.get(inner.recording, ([], []))
        begun = bisect(starts, inner.start)
        return begun > 0 and inner.end <= last[begun - 1]


def _of_numbers(proposals: Sequence[Proposal]) -> Iterator[Question]:
    told = _Spans([p for p in proposals if p.kind in {"hazard", "reason", "decision"}])
    limited = {
        (step, _quantity_of(p))
        for p in proposals
        if p.kind == "measurement" and p.detail("role") == "limits"
        for step in p.steps
    }
    asked: set[tuple[object, ...]] = set()
    on_the_way = _on_the_way(proposals) | told_with_limits(proposals)
    for p in proposals:
        if p.kind != "measurement" or p.values is None:
            continue
        role, when, quantity = p.detail("role"), clock_text(p.start), _quantity_of(p)
        if role == "aim" and told.hold(p):
            continue  # "there can be sixty degree water in there": nothing to keep to
        what = p.detail("characteristic") or "number"
        if p.values.unit is None and role not in {"thread", "size"}:
            yield ask(
                p, 80, f"“{p.said}” is said at {when} without a unit: which unit is it?", "unit"
            )  # fmt: skip
        elif role == "tolerance":
            yield ask(p, 75, f"“{p.said}” is said at {when}: of which value is that?")
        elif p.detail("unit_from_elsewhere") and p.confidence < _DOUBTFUL:
            yield ask(
                p, 60, f"“{p.said}” at {when} was taken to be in {p.values.unit}, from what was "
                "said before or after: is that right?"
            )  # fmt: skip
        if (p.steps, p.values) in asked or quantity in _NEEDS_NONE:
            continue  # said twice, or of a kind that is done by the clock and by eye
        asked.add((p.steps, p.values))
        if role == "aim" and p.values.nominal and p.id not in on_the_way:
            yield ask(p, 65, f"The {what} at {when} is “{p.said}”: between which limits?", "limits")
        elif role == "measured" and not any((step, quantity) in limited for step in p.steps):
            yield ask(
                p, 55, f"This one measured “{p.said}” at {when}: what limits must the {what} keep?",
                "limits",
            )  # fmt: skip


def _on_the_way(proposals: Sequence[Proposal]) -> frozenset[str]:
    """Return the ids of torques that are only stages on the way to a greater one."""
    by_step: dict[tuple[str, ...], list[Proposal]] = {}
    for each in proposals:
        if each.kind == "measurement" and _quantity_of(each) == "torque":
            by_step.setdefault(each.steps, []).append(each)
    return frozenset(
        each.id for torques in by_step.values() for some in stages(torques) for each in some[:-1]
    )


def _of_measuring(
    steps: Sequence[Proposal], numbers: Mapping[str, Sequence[Proposal]]
) -> Iterator[Question]:
    for step in steps:
        found = _MEASURES.search(step.said)
        if found and not numbers.get(step.id):
            words = _with_its_thing(found[0], [step.said])
            how = "" if _INSTRUMENT.search(step.said) else ", and with what instrument"
            yield ask(
                step, 75, f"Something is measured at {clock_text(step.start)} and no number is "
                f"said (“{words}”): between which limits{how}?", "limits", of=found["size"] or "",
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
    numbers = _numbers_by_step(proposals)
    for about in _by_step(steps, proposals):
        for one in inspections(about):
            first = one.proposals[0]
            if _FOUND_GOOD.search(first.said):
                continue
            words = _with_its_thing(first.said, [said[n] for n in first.steps if n in said])
            told = f"“{words}” at {clock_text(first.start)}"
            if not one.accept:
                if _MEASURES.search(first.said) and not any(numbers.get(n) for n in first.steps):
                    continue  # asked for its limits
                yield ask(
                    first, 35, f"{told}: what is accepted, and what is done if it is not so?",
                    "accepted",
                )  # fmt: skip
            elif not one.otherwise:
                yield ask(first, 35, f"{told}: what is done if it is not so?", "otherwise")


def _with_its_thing(words: str, told: Sequence[str]) -> str:
    """Return a few words with those about them: "have a look" does not tell at what."""
    if len(words.split()) > _FEW:
        return words
    for said in told:
        for sentence in re.split(r"(?<=[.!?])\s+", said):
            at = sentence.find(words)
            if at >= 0:
                return _around(sentence, at, at + len(words))
    return words


_FEW = 4


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
