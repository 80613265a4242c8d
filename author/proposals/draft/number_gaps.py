"""What is not said of numbers: torques, limits and units, as questions to the technician."""

from __future__ import annotations

import re
from bisect import bisect
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from author.procedure.times import clock_text
from author.procedure.units import all_units
from author.proposals.draft.bounded import told_with_limits
from author.proposals.draft.parts_back import ask
from author.proposals.draft.stages import stages
from author.proposals.language.fasteners import fastener_in
from author.proposals.proposal import Proposal, Question

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
MEASURES = re.compile(
    r"\b(?:measure|gauge (?:it|them|that|the|each|every)|mike|"
    rf"(?:check|set) the (?:level|(?P<size>{_SIZES}(?: (?:of|between|at|in) (?:the|each|both) "
    r"(?:[\w-]+ ){0,2}?[\w-]+(?= (?:with|on|before|after|and)\b|[^\w\s-]|\s*$))?))"
    r"|check [^.;,]{3,60}? with (?:a |an |the |your )?(?:vernier |digital |outside |inside )?"
    r"(?:calipers?|micrometer|feelers?(?: gauges?)?|bore gauge|dial gauge|straight ?edge|"
    r"multimeter))\b",
    re.IGNORECASE,
)
"""Words by which something is measured; ``size`` is what, where they tell it."""
_INSTRUMENT = re.compile(
    r"\b(?:calipers?|micrometer|feelers?|gauges?|indicator|straight ?edge|multimeter|meter|ruler|"
    r"tape measure|thermometer)\b",
    re.IGNORECASE,
)
_DOUBTFUL = Decimal("0.7")
_NEEDS_NONE = frozenset({"time", "turns", "mass", "volume", ""})


def numbers_by_step(proposals: Sequence[Proposal]) -> dict[str, list[Proposal]]:
    """Return the numbers told of each step, by its id.

    Args:
        proposals: all that is proposed.
    """
    found: dict[str, list[Proposal]] = {}
    for p in proposals:
        for step in dict.fromkeys(p.steps) if p.kind == "measurement" else ():
            found.setdefault(step, []).append(p)
    return found


def _quantity_of(proposal: Proposal) -> str:
    unit = proposal.values.unit if proposal.values else None
    return all_units()[unit].quantity if unit else proposal.detail("quantity") or ""


def of_torques(
    steps: Sequence[Proposal], numbers: Mapping[str, Sequence[Proposal]]
) -> Iterator[Question]:
    """Ask how tight what is tightened is, where nobody says it.

    Args:
        steps: the steps.
        numbers: those of each step, by its id.
    """
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
            near = words_around(sentence, found.start(), found.end())
            if (what := fastener_in(near)) is not None:
                return what.lower(), near
    return None


def words_around(sentence: str, begin: int, end: int) -> str:
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


def of_numbers(proposals: Sequence[Proposal]) -> Iterator[Question]:
    """Ask for the limits and the unit of numbers that have none.

    Args:
        proposals: all that is proposed.
    """
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


def of_measuring(
    steps: Sequence[Proposal], numbers: Mapping[str, Sequence[Proposal]]
) -> Iterator[Question]:
    """Ask for the limits of what is measured without a number.

    Args:
        steps: the steps.
        numbers: those of each step, by its id.
    """
    for step in steps:
        found = MEASURES.search(step.said)
        if found and not numbers.get(step.id):
            words = with_its_thing(found[0], [step.said])
            how = "" if _INSTRUMENT.search(step.said) else ", and with what instrument"
            yield ask(
                step, 75, f"Something is measured at {clock_text(step.start)} and no number is "
                f"said (“{words}”): between which limits{how}?", "limits", of=found["size"] or "",
            )  # fmt: skip


def with_its_thing(words: str, told: Sequence[str]) -> str:
    """Return a few words with those about them: "have a look" does not tell at what."""
    if len(words.split()) > _FEW:
        return words
    for said in told:
        for sentence in re.split(r"(?<=[.!?])\s+", said):
            at = sentence.find(words)
            if at >= 0:
                return words_around(sentence, at, at + len(words))
    return words


_FEW = 4
