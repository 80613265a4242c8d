"""What speaks for and against each unit that a bare number may have."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.bare_numbers.evidence import evidence_of, is_repeat, leads_to_unit
from author.proposals.quantities.bare_numbers.measured import SMALL_WORDS, Measured
from author.proposals.quantities.bare_numbers.topic import (
    DISTANCES,
    PASSING,
    Said,
    Talk,
    decades,
    has_places,
    size_of,
    step_of,
)
from author.proposals.quantities.bare_numbers.turns import is_change

# How far apart two sizes lie, in powers of ten.
_APART = ((0.02, "0"), (0.1, "0.1"), (0.2, "0.2"), (0.4, "0.4"), (0.7, "0.7"), (1.05, "1"),
          (1.5, "1.5"), (2.2, "2"))  # fmt: skip
_SIZES = ((0, "0"), (1, "1"), (4, "few"), (12, "dozen"), (99, "tens"), (999, "hundreds"))
_NEAR, _SHORT, _NEXT = 8, 5, 3
# Into how many steps the sizes between one and ten are parted.
_STEPS = 2
_LONG = frozenset({"m", "ft", "cm"})
_METRIC = frozenset({"mm", "cm", "m", "µm"})
# Units whose numbers are whole, halves or quarters; a finer number is of another unit.
_COARSE = frozenset({"µm", "turn", "thou", "r/min", "psi", "lbf·ft", "lbf·in", "°"})
_IN_EIGHTHS = frozenset({"in", "ft", "turn", "US gal", "US qt", "lb", "oz", "h", "L", "thou"})
_IN_HUNDREDTHS = frozenset({"mm", "in", "thou"})
_IN_PARTS = frozenset({"mm", "in", "turn", "thou"})


# Ways of which some kinds of quantity are surer than others.
_BY_KIND = frozenset({"named", "told", "tools"})


@dataclass(frozen=True, slots=True)
class Mention:
    """Where a unit was said.

    Attributes:
        said: the unit, and the value it was said with.
        far: how many sentences before; below nought behind.
        behind: whether it follows in the same sentence.
    """

    said: Said
    far: int
    behind: bool = False

    @property
    def is_before(self) -> bool:
        """Whether it was said before the number."""
        return self.far >= 0 and not self.behind

    @property
    def passes_by(self) -> bool:
        """Whether it is of a kind that comes between readings and takes nothing up."""
        return self.said.kind in PASSING


@dataclass(frozen=True, slots=True)
class Shape:
    """What every unit of a bare number is held against.

    Attributes:
        size: how large it is, None where it is nought or has no value.
        places: with how many decimals it was told.
        finer: whether it was said finer than in eighths.
        changes: whether it tells by how much something changes.
    """

    size: float | None
    places: int
    finer: bool
    changes: bool

    @classmethod
    def of(cls, scene: Scene, amount: Amount) -> Shape:
        """Return that of an amount of a sentence."""
        return cls(size_of(amount), places_of(amount), has_places(amount), is_change(scene, amount))


# Of the number itself


def number_signs(talk: Talk, scene: Scene, amount: Amount, near: Measured) -> Iterator[str]:
    """Yield what the form of a bare number and the words beside it tell.

    Args:
        talk: the recording.
        scene: the sentence.
        amount: one of its amounts.
        near: what the words around it speak of.
    """
    yield "always"
    yield f"evidence {evidence_of(scene, amount)}"
    yield f"form {amount.form}"
    yield f"role {amount.role}"
    yield f"size {step_of(size_of(amount) or 0, _SIZES)}"
    if amount.bottom > 1:
        yield f"parts {amount.bottom}"
    yield from _beside(scene, amount)
    if is_repeat(scene, amount):
        yield "repeat"
    if leads_to_unit(scene, amount):
        yield "leads"
    if "corrected" in amount.flags:
        yield "corrected"
    if scene.gauge:
        yield "gauge"
    if scene.setting:
        yield "setting"
    if len(scene.tokens) <= _SHORT:
        yield "short"
    back = range(min(_NEXT, scene.index) + 1)
    told = (i for i in back if any(s.kind not in PASSING for s in talk.said[scene.index - i]))
    yield f"unit within {next(told, 'none')}"
    yield f"kinds {'named' if near.named or near.told else 'tools' if near.tools else 'none'}"
    yield f"nearest {step_of(_nearest(talk, scene, amount), _APART)}"


def _beside(scene: Scene, amount: Amount) -> Iterator[str]:
    """Yield the word before and the one behind, where it is a small one or a sign."""
    tokens = scene.tokens
    before = tokens[amount.first - 1].low if amount.first else "^"
    behind = tokens[amount.last].low if amount.last < len(tokens) else "$"
    yield f"before {before if before in SMALL_WORDS or not before.isalpha() else 'word'}"
    yield f"behind {behind if behind in SMALL_WORDS or not behind.isalpha() else 'word'}"
    if behind.isalpha() and behind.endswith("s") and behind not in SMALL_WORDS:
        yield "behind plural"


def _nearest(talk: Talk, scene: Scene, amount: Amount) -> float:
    """Return how far it lies from the value of any unit told shortly before."""
    size = size_of(amount)
    some = talk.said[max(0, scene.index - _NEAR) : scene.index + 1]
    return min((one.apart(size) for told in some for one in told if one.value), default=9.0)


# Of a unit for it


def unit_signs(
    talk: Talk,
    scene: Scene,
    amount: Amount,
    shape: Shape,
    unit: str,
    mentions: Sequence[Mention],
    recent: Mapping[str, int],
    near: Measured,
    *,
    heard: bool,
) -> Iterator[str]:
    """Yield what speaks for and against one unit of a bare number.

    Args:
        talk: the recording.
        scene: the sentence.
        amount: one of its amounts.
        shape: what is held against every unit of it.
        unit: a symbol.
        mentions: where that unit was said near it, those before it first.
        recent: the place of each unit among those said before, the latest first.
        near: what the words around the number speak of.
        heard: whether the unit is said anywhere on the recording.
    """
    kind = kind_of(unit) or "none"
    before = [one for one in mentions if one.is_before]
    if before:
        yield from _said_before(talk, scene, shape, before)
    elif mentions:
        yield from _said_behind(talk, scene, amount, mentions)
    elif heard:
        yield "said elsewhere"
    else:
        yield "never said"
        yield f"never said {unit}"
    place = recent.get(unit)
    yield f"place {'none' if place is None else min(place, 3)}"
    size = shape.size
    alike = [decades(size, value) for value in talk.units.get(kind, {}).get(unit, ()) if size]
    if alike:
        yield f"any apart {step_of(min(alike), _APART)}"
    for way, kinds in near.by_way():
        if kinds:
            yield f"{way} {'yes' if kind in kinds else 'no'}"
            if way in _BY_KIND and kind in kinds:
                yield f"{way} {kind}"
            if kind in kinds and len(kinds) > 1:
                yield f"{way} among others"
    yield from (f"{kind} by {word}" for word in near.words)
    yield from _of_unit(talk, amount, shape, unit, kind)


def _said_before(
    talk: Talk, scene: Scene, shape: Shape, before: Sequence[Mention]
) -> Iterator[str]:
    last, size = before[0], shape.size
    yield f"said {step_of(last.far, DISTANCES)}"
    if last.said.carried:
        yield "carried"
    if last.said.value is None:
        yield "unit alone"
    if last.passes_by:
        yield f"passing {min(last.far, _NEXT)}"
    if last.far:
        both = (scene.words & talk.scenes[scene.index - last.far].words) - SMALL_WORDS
        yield f"shares {min(2, len(both))}"
    valued = [one.said for one in before if one.said.value and one.far <= _NEAR]
    if not valued:
        return
    yield f"last apart {step_of(valued[0].apart(size), _APART)}"
    yield f"near apart {step_of(min(one.apart(size) for one in valued), _APART)}"
    if places := shape.places:
        other = max(0, -_exponent(Decimal(repr(valued[0].value)).normalize()))
        yield f"decimals {'like' if other == places else 'unlike'}"


def _said_behind(
    talk: Talk, scene: Scene, amount: Amount, mentions: Sequence[Mention]
) -> Iterator[str]:
    first = mentions[0]
    apart = step_of(first.said.apart(size_of(amount)), _APART)
    if first.behind:
        yield "said behind"
        yield "leads there" if leads_to_unit(scene, amount) else "does not lead there"
        yield f"behind apart {apart}"
        return
    yield f"said ahead {-first.far}"
    yield f"ahead apart {apart}"
    short = len(talk.scenes[scene.index - first.far].tokens) <= _SHORT + 1
    if first.said.value is None and short:
        yield "explained ahead"


def _of_unit(talk: Talk, amount: Amount, shape: Shape, unit: str, kind: str) -> Iterator[str]:
    """Yield how a number of that form goes with a unit."""
    yield f"kind {kind}"
    yield f"kind {kind} {amount.form}"
    if size := shape.size:
        yield f"{unit} of size {math.floor(_STEPS * math.log10(size))}"
    if _is_too_fine(amount, shape, unit):
        yield "too fine"
    if unit in _LONG:
        yield "long"
    if kind == "length" and talk.metric is not None:
        yield f"metric {(unit in _METRIC) == talk.metric}"
    if amount.form == "whole" and unit == "in":
        yield "whole inches"
    if amount.bottom > 1:
        yield f"parts {amount.bottom} {unit}" if unit in _IN_PARTS else "parts"
    if shape.changes:
        yield "change"
    if amount.role == "measured":
        yield f"measured {kind}" if kind in {"torque", "turns", "time"} else "measured"


def _is_too_fine(amount: Amount, shape: Shape, unit: str) -> bool:
    """Whether a number is finer than a unit is counted in; a shop's "tenths" are of a thou."""
    places = shape.places
    if unit in _LONG and (amount.bottom in {100, 1000} or places > 1):
        return True
    if unit not in _IN_HUNDREDTHS and amount.bottom in {100, 1000}:
        return True
    if amount.bottom in {8, 16, 32, 64} and unit not in _IN_EIGHTHS:
        return True
    if unit in {"°C", "°F"} and places > 1:
        return True
    if unit == "turn" and amount.form == "decimal":
        return True
    return unit in _COARSE and shape.finer and not (unit == "thou" and amount.bottom == 10)


def places_of(amount: Amount) -> int:
    """Return with how many decimals a value was told, by the one that has most."""
    values = [v for v in (amount.nominal, amount.upper, amount.lower) if v is not None]
    return max((-_exponent(v) for v in values), default=0)


def _exponent(value: Decimal) -> int:
    return int(value.as_tuple().exponent)
