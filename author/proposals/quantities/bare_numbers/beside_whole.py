"""Points left out beside a whole size: "I get thirty-nine ninety-six, new it's forty"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from author.proposals.quantities.amounts.amount import between
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.cues import MEASURED
from author.proposals.quantities.amounts.units import MIL
from author.proposals.quantities.amounts.vocabulary import GAUGES, GO_ON
from author.proposals.quantities.bare_numbers.digit_runs import Run
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import number_at

_LEAST, _SHARE, _MOST_OFF, _VERY_NEAR = 5, 0.04, 1, 0.004
_AHEAD, _ALIKE = 5, 3
_LENGTHS = {"mm", MIL}
HELD = re.compile(
    r"\b(?:below|under|over|above|beyond|past|down to|at (?:the )?(?:most|least)"
    r"|(?:scrap(?:ped)?(?: it)?|limit(?:'s| is)?|worn(?: out)?|(?:mike|mic)s?(?: up)?)(?: at)?"
    r"|(?:minimum|maximum)(?: of| is|'s)?)(?: about| around)?$"
)
REFUSED = re.compile(
    r"(?:,? ?(?:and|or) (?:less|under|below|over|more|it's|they're|you)\b"
    r"|(?:is|'s) (?:the |your )?(?:limit|scrap|minimum|maximum|max|min|wear|least|most|end|bin"
    r"|junk)\b"
    r"|,? ?(?:at|as) (?:the )?(?:most|least|minimum|maximum|limit)\b)"
)
OF_ELSE = re.compile(
    r"\b(?:rpm|revs?|turns?|spins?|runs?|running|speed|weighs?|weight|long|length|hours?|years?"
    r"|model|number|part|job|page|serial|drawing|order|built|made|clock|counter"
    r"|volts?|degrees?|pressure)\b"
)
# Behind a size that was said whole: "forty new", "twenty-four on the nose".
_SIZED = frozenset({"new", "nominal", "standard", "is", "it's", "limit's", "on", "bang", "dead",
                    "exactly", "when", "from", "i", "i've", "mine", "this", "anything",
                    "below", "under", "over"}) | GO_ON  # fmt: skip
_NEW = re.compile(r"\b(?:new|nominal|standard|the book|should be|supposed to be|drawing)\b")


def beside_whole(tokens: list[Token], run: Run, around: Sequence[list[Token]]) -> str | None:
    """Return a reading or a limit with its point, where its size was said as a whole number.

    Args:
        tokens: of the sentence.
        run: the numbers.
        around: the sentences before and behind, without this one.
    """
    unit = plain_unit_at(tokens, run.last) if run.last < len(tokens) else None
    if unit is not None and unit.symbol not in _LENGTHS:
        return None
    dated = tokens[run.first].kind == "digits" and run.whole
    if dated or any(value / _ALIKE <= max(run.plain) <= value * _ALIKE for value in _else(tokens)):
        return None  # "since 2006"; "two forty-three" behind "two forty ohms"
    ahead = between(tokens, max(0, run.first - _AHEAD), run.first)
    behind = between(tokens, run.last, min(len(tokens), run.last + _AHEAD))
    if OF_ELSE.search(f"{ahead} {behind}"):
        return None
    held = bool(HELD.search(ahead) or MEASURED.search(ahead) or REFUSED.match(behind))
    held = held or any(token.low in GAUGES for token in tokens)
    for point in run.points:
        text = f"{run.digits[:point]}.{run.digits[point:]}"
        for each in (tokens, *around):
            skip = range(run.first, run.last) if each is tokens else range(0)
            for size, new in _sizes(each, skip):
                apart = abs(float(text) - size)
                near = _SHARE if held or new else _VERY_NEAR
                if 0 < apart < min(_MOST_OFF, near * size):
                    return text
    return None


def _else(tokens: list[Token]) -> Iterator[float]:
    """Yield values told with the unit of another quantity than a length."""
    at = 0
    while at < len(tokens):
        number = number_at(tokens, at)
        at = max(number.last, at + 1) if number else at + 1
        unit = plain_unit_at(tokens, at) if number and at < len(tokens) else None
        if number and number.value and unit and unit.symbol not in _LENGTHS:
            yield float(number.value)


def _sizes(tokens: list[Token], skip: range) -> Iterator[tuple[float, bool]]:
    """Yield whole numbers that can be a size, and whether they are told as that of a new part."""
    at = 0
    while at < len(tokens):
        number = number_at(tokens, at)
        if number is None:
            at += 1
            continue
        first, at = at, max(number.last, at + 1)
        if number.form != "whole" or not number.value or number.value < _LEAST or first in skip:
            continue
        follows = tokens[at] if at < len(tokens) else None
        unit = plain_unit_at(tokens, at) if follows else None
        ends = follows is None or follows.kind == "sign" or follows.low in _SIZED
        if ends or (unit is not None and unit.symbol in _LENGTHS):
            told = between(tokens, max(0, first - 3), min(len(tokens), at + 3))
            yield float(number.value), _NEW.search(told) is not None
