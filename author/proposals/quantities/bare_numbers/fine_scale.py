"""Whole numbers that are parts of a unit: "mine sags eight" where the film speaks of hundredths."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from author.checks.verbs import words
from author.proposals.quantities.amounts.amount import FINE_PARTS, Amount
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.bare_numbers.evidence import evidence_of
from author.proposals.quantities.bare_numbers.topic import (
    DISTANCES,
    Talk,
    decades,
    size_of,
    step_of,
)

_BACK, _AHEAD, _NEAR, _LATELY = 24, 2, 8, 3
_MOST, _LIKE = 200, 0.3
_FORMS = frozenset({"whole", "mixed", "range"})
_APART = ((0.05, "0"), (0.3, "0.3"), (0.6, "0.6"), (1.0, "1"), (1.5, "1.5"))
_PLURALS = {"tenths": 10, "hundredths": 100, "thousandths": 1000}
_PART = r"(tenths|hundredths|thousandths)\b(?! (?:of an inch|of a thou))"
_SCALE_TOLD = re.compile(
    # "when I say five I mean five hundredths", "if I call out eight that's eight hundredths"
    r"\b(?:when|if|where|whenever) (?:i|we|they) (?:say|call|tell|read|write)\b.{1,40}\b(?:i mean"
    rf"|we mean|that's|that is|it's|it is|(?:it|that|this) means)\b.{{0,20}}\b{_PART}"
    # "everything on this gauge is hundredths", "all the numbers are in hundredths"
    r"|\b(?:everything|every|all)\b(?: [a-z']+){0,5} (?:is|are|in|'s|'re)(?: (?:in|all))*"
    rf" {_PART}"
    # "I'm talking in hundredths", "we read in hundredths here"
    r"|\b(?:talk|speak|count|read|work|call|figur|giv)(?:e|es|ing|s)?(?: (?:it|them|all|these|those"
    r"|everything|the|numbers|readings|figures|this|out))* in"
    rf" {_PART}"
)
# What is hardly ever whole millimetres, and what it is read on.
_FINE = words(
    """
    runout wobble wobbles wobbling sag sags sagging droop droops float endfloat endplay play
    backlash lash clearance alignment aligned rim face bent true round ovality oval eccentric
    parallel taper tapered twist end-float swings run-out foot clearances hollow
    """
)
_GAUGES = frozenset({"clock", "clocked", "dial", "needle", "indicator", "dti", "gauge", "mic",
                     "micrometer", "feeler", "mike", "feelers"})  # fmt: skip


@dataclass(frozen=True, slots=True)
class FinePart:
    """Parts of a unit that were told near a number.

    Attributes:
        bottom: what they divide by.
        unit: of what, as far as it is known.
        size: how large the value was; None where the scale alone was told.
        far: how many sentences before; below nought behind.
        gap: how many amounts of its sentence stand between, where it is the same sentence.
    """

    bottom: int
    unit: str
    size: float | None
    far: int
    gap: int = 0


def scale_told(scene: Scene) -> int:
    """Return the parts a sentence says all its film's numbers are, 1 where it says none.

    "Everything on this gauge is hundredths", "when I say five I mean five hundredths".
    """
    if not scene.words & _PLURALS.keys():
        return 1
    found = _SCALE_TOLD.search(" ".join(token.low for token in scene.tokens))
    return _PLURALS[next(part for part in found.groups() if part)] if found else 1


def told_scale(talk: Talk, scene: Scene, amount: Amount) -> int:
    """Return the parts a bare length is by the scale its film tells, 1 where it is as it stands.

    A number in a row with lengths of its size that have their unit is told in that unit:
    "they were forty mil, these are thirty-nine".

    Args:
        talk: the recording.
        scene: the sentence.
        amount: one of its amounts, its place among them known.
    """
    bottom = next((one for one in talk.scales[: scene.index + _AHEAD + 1] if one > 1), 1)
    if bottom == 1 or bottom not in fine_parts(talk, scene, amount):
        return 1
    if any(one.bottom == bottom for one in scene.amounts[: amount.place]):
        return bottom
    fine = bool(scene.words & _FINE)
    alike = _whole_apart(talk, scene, amount, 0 if fine else 1) <= _LIKE
    return 1 if alike else bottom


def fine_parts(talk: Talk, scene: Scene, amount: Amount) -> dict[int, list[FinePart]]:
    """Return the fine parts told around a bare number by what they divide by, the nearest first.

    Args:
        talk: the recording.
        scene: the sentence.
        amount: one of its amounts, its place among them known.
    """
    size = size_of(amount)
    fits = amount.form in _FORMS and amount.bottom == 1 and amount.unit is None
    if not fits or size is None or size > _MOST or _is_finer(amount):
        return {}
    found: dict[int, list[FinePart]] = {}
    for one in _told(talk, scene, amount):
        found.setdefault(one.bottom, []).append(one)
    return found


def _is_finer(amount: Amount) -> bool:
    """Whether a number is no whole one nor one with a half or a quarter."""
    values = [v for v in (amount.nominal, amount.lower, amount.upper) if v is not None]
    return any(v * 4 != (v * Decimal(4)).to_integral_value() for v in values)


def _told(talk: Talk, scene: Scene, amount: Amount) -> Iterator[FinePart]:
    metric = talk.metric is not False
    for far in range(min(_BACK, scene.index) + 1):
        other = talk.scenes[scene.index - far]
        some = other.amounts[: amount.place] if not far else other.amounts
        for gap, one in enumerate(reversed(some)):
            if one.bottom in FINE_PARTS and (metric or one.unit in {"thou", "in"}):
                yield FinePart(one.bottom, _of(one), size_of(one), far, 0 if far else gap)
    for ahead, other in enumerate(talk.scenes[scene.index + 1 : scene.index + 1 + _AHEAD], 1):
        for one in other.amounts:
            if one.bottom in FINE_PARTS and metric and one.unit in {None, "mm"}:
                yield FinePart(one.bottom, _of(one), size_of(one), -ahead)
    for other in talk.scenes if metric else ():
        if (bottom := talk.scales[other.index]) > 1:
            yield FinePart(bottom, "mm", None, _BACK + 1)


def _of(amount: Amount) -> str:
    return amount.unit if amount.unit and kind_of(amount.unit) == "length" else "mm"


def part_signs(talk: Talk, scene: Scene, amount: Amount, parts: list[FinePart]) -> Iterator[str]:
    """Yield what speaks for and against whole numbers being such parts.

    Args:
        talk: the recording.
        scene: the sentence.
        amount: one of its amounts, its place among them and its role known.
        parts: those parts where they were told, the nearest first.
    """
    first, bottom = parts[0], parts[0].bottom
    size = (size_of(amount) or 0) / bottom
    yield "part"
    yield f"part {bottom}"
    yield f"part role {amount.role}"
    yield f"part form {amount.form}"
    yield f"part evidence {evidence_of(scene, amount)}"
    before = [one for one in parts if one.size and 0 <= one.far <= _BACK]
    if before:
        yield f"part said {step_of(before[0].far, DISTANCES)}"
        yield f"part last apart {step_of(decades(size, before[0].size), _APART)}"
        yield f"part any apart {step_of(min(decades(size, one.size) for one in before), _APART)}"
        if not before[0].far and not before[0].gap:
            yield "part right behind"
    else:
        yield "part ahead" if first.far < 0 else "part never before"
    yield f"part whole {step_of(_whole_apart(talk, scene, amount, _NEAR), _APART)}"
    lately = talk.scenes[max(0, scene.index - _LATELY) : scene.index]
    for name, some in (("fine", _FINE), ("gauge", _GAUGES)):
        near = "here" if scene.words & some else "lately"
        if near == "here" or any(one.words & some for one in lately):
            yield f"part {name} {near}"
    behind = scene.tokens[amount.last].low if amount.last < len(scene.tokens) else ""
    yield "part before a word" if behind.isalpha() else "part ends"


def _whole_apart(talk: Talk, scene: Scene, amount: Amount, back: int) -> float:
    """Return how far a number lies from any whole length that was told with its unit before."""
    size = size_of(amount)
    some = talk.said[max(0, scene.index - back) : scene.index + 1]
    return min(
        (
            decades(size, one.value)
            for told in some
            for one in told
            if one.value and one.kind == "length" and not one.carried and one.value >= 1
        ),
        default=9.0,
    )


def take_parts(amount: Amount, bottom: int) -> None:
    """Make a whole number the parts it is.

    Args:
        amount: the number.
        bottom: what the parts divide by.
    """
    for name in ("lower", "nominal", "upper", "minus", "plus"):
        value = getattr(amount, name)
        setattr(amount, name, None if value is None else value / bottom)
    if amount.form != "range":
        amount.form = "fraction"
    amount.bottom = bottom
    amount.flags.add("doubtful")
    amount.why.append(f"taken for {bottom}ths, as the values told before")
