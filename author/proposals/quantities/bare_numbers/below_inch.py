"""Sizes below an inch told by their digits alone: "nine eight four" is 0.984 in.

Who works in inches reads a micrometer so; the point and the nought go without saying (common
practice, no source).
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from itertools import chain

from author.proposals.quantities.amounts.amount import between
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.cues import MEASURED
from author.proposals.quantities.amounts.dimensions import an_inch
from author.proposals.quantities.bare_numbers.digit_runs import Run
from author.proposals.quantities.numbers.parts import low_at
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import number_at

_REACH, _AHEAD, _BEHIND, _BACK = 2, 9, 4, 12
_LIKE = 0.06
# Digits of a size, to a thousandth or to a tenth of one; of four the first tells that no inch
# stands before them.
_PLACES, _FIRST_OF_FOUR = (3, 4), "456789"
# So many sentences tell whether somebody works in inches; more would take time and tell no more.
_TALK = 200
# Who counts so many thousandths means those by the bare number too.
_MANY_THOU = 100
_INCHES, _METRIC = frozenset({"in", "thou"}), frozenset({"mm", "µm", "cm"})
_SHOWN = frozenset({"micrometer", "micrometers", "mic", "mics", "mike", "mikes", "miked", "caliper",
                    "calipers", "callipers", "vernier", "telescoping"})  # fmt: skip
_ROUND = frozenset({"shaft", "shafts", "journal", "journals", "spindle", "axle", "pin", "pins",
                    "bore", "bores", "stem", "stems", "trunnion", "arbor", "kingpin",
                    "crankpin"})  # fmt: skip
_HELD = re.compile(
    r"\b(?:under|below|over|above|past|less than|more than|smaller than|bigger than|down to"
    r"|at (?:the )?(?:least|most)|wants?|needs?|should be|limit(?:'s| is)?|spec(?:'s| is)?"
    r"|scrap (?:at|under))(?: about| be| to be)?$"
)
_OF_ELSE = re.compile(
    r"\b(?:rpm|revs?|speed|weighs?|weight|hours?|years?|model|number|part|job|page|serial|drawing"
    r"|order|built|clock|counter|volts?|ohms?|amps?|degrees?|pressure|psi|pounds?|torque|bolts?"
    r"|nuts?|screws?|dollars?|bucks|long|length|run|running|spins?|slow|fast)\b"
)


def below_inch(
    tokens: list[Token], run: Run, near: Sequence[float], earlier: list[Scene]
) -> str | None:
    """Return such a size with its point, None where the digits are none.

    Args:
        tokens: of the sentence.
        run: the digits.
        near: values told shortly before.
        earlier: the sentences before, the nearest last.
    """
    if len(run.digits) not in _PLACES or run.digits.endswith("00"):
        return None
    ahead = between(tokens, max(0, run.first - _AHEAD), run.first)
    behind = between(tokens, run.last, min(run.last + _BEHIND, len(tokens)))
    unit = plain_unit_at(tokens, run.last) if run.last < len(tokens) else None
    if (unit is not None and unit.symbol != "in") or _OF_ELSE.search(f"{ahead} {behind}"):
        return None
    value = float(f"0.{run.digits}")
    if (end := _inches_behind(tokens, run)) is not None:
        return f"0.{run.digits}" if _alike(value, end) else None
    told = list(chain.from_iterable(scene.amounts for scene in earlier[-_TALK:]))
    units = {one.unit for one in told}
    counted = any(one.unit == "thou" and (one.nominal or 0) >= _MANY_THOU for one in told)
    if any(_alike(value, one) and _to_thousandths(one) for one in near) and not counted:
        return f"0.{run.digits}"  # "point three seven four, the book says three seventy-five"
    if not units & _INCHES or units & _METRIC or counted:
        return None
    again = any(one < 1 and _alike(value, one) for one in near)
    first = len(run.digits) == min(_PLACES) or run.digits[0] in _FIRST_OF_FOUR
    # Of figures nobody can tell whether a point was said: 622 may be so many thousandths.
    spoken = first and tokens[run.first].kind == "word" and _is_read_off(tokens, run, earlier)
    return f"0.{run.digits}" if again or spoken else None


def _to_thousandths(value: float) -> bool:
    """Whether a value below one has three decimals."""
    return 0 < value < 1 and f"{value:.6f}".endswith("000") and f"{value:.3f}"[-1] != "0"


def _alike(one: float, other: float) -> bool:
    return other > 0 and abs(math.log(one / other)) <= _LIKE


def _inches_behind(tokens: list[Token], run: Run) -> float | None:
    """Return the inches a range goes up to: "nine ninety-eight to one inch"."""
    if low_at(tokens, run.last) != "to":
        return None
    at = run.last + 1
    if (article := an_inch(tokens, at)) is not None:
        return float(article.value or 0)
    number = number_at(tokens, at) if at < len(tokens) else None
    unit = plain_unit_at(tokens, number.last) if number and number.last < len(tokens) else None
    inches = number is not None and unit is not None and unit.symbol == "in"
    return float(number.value) if number and inches and number.value else None


def _is_read_off(tokens: list[Token], run: Run, earlier: list[Scene]) -> bool:
    """Whether an instrument shows it, or it is told of something round as a reading or a limit."""
    words = {token.low for token in tokens}
    recent = [scene.words for scene in earlier[-_REACH:]]
    clause = between(tokens, max(0, run.first - _BACK), run.first)
    told = MEASURED.search(clause) or _HELD.search(clause)
    if words & _SHOWN or (told and any(one & _SHOWN for one in recent)):
        return True
    return bool(words & _ROUND and told)
