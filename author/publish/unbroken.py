"""What a line must not end in: a value and its unit, a thread, a size, a fit, a part number.

Only what is shown is held together; the document keeps its own characters.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache

from author.procedure.units import all_units

# What is longer than this is broken, so that it cannot run off a narrow place.
_AT_MOST = 26
_NUMBER = r"[+\u2212-]?\d[\d.,/]*"
_PART_NUMBER = r"(?<![\w-])(?=[\w/-]*\d)[A-Z0-9]+(?:-[A-Z0-9/]+)+(?![\w-])"
_MARKUP = re.compile(
    r"<!--.*?-->|<(script|style|svg|title|option|textarea)\b.*?</\1>|<[^>]*>", re.DOTALL
)
_NO_BREAK = "\u00a0"


def with_fixed_spaces(text: str) -> str:
    """Return text whose spaces inside a value, a thread, a size, a fit, a revision do not break."""
    return _values().sub(lambda found: _shorter(found.group(), _fixed), text)


def with_whole_values(document: str) -> str:
    """Return HTML in which values and part numbers are spans that do not break.

    Attributes, scripts, drawings and texts that take no elements are left as they are.
    """
    pieces: list[str] = []
    end = 0
    for found in _MARKUP.finditer(document):
        pieces += (_spans(document[end : found.start()]), found.group())
        end = found.end()
    return "".join((*pieces, _spans(document[end:])))


def _spans(text: str) -> str:
    return _held().sub(lambda found: _shorter(found.group(), _span), text)


def _span(value: str) -> str:
    # Where a whole range does not fit, its end at least stays with the unit.
    head, to, tail = value.rpartition(" to ")
    return f'<span class="whole">{head}{to}{_span(tail) if to else tail}</span>'


def _fixed(value: str) -> str:
    return value.replace(" ", _NO_BREAK)


def _shorter(value: str, hold: Callable[[str], str]) -> str:
    """Hold a value together, or the last number of one that is too long for that."""
    if len(value) <= _AT_MOST:
        return hold(value)
    head, space, tail = value.rpartition(" to ")
    return f"{head}{space}{hold(tail)}" if space and len(tail) <= _AT_MOST else value


@cache
def _values() -> re.Pattern[str]:
    return re.compile(_value_pattern())


@cache
def _held() -> re.Pattern[str]:
    # With the marks beside it, which would stand alone at the end of a line.
    return re.compile(rf"\(?(?:{_value_pattern()}|{_PART_NUMBER})\)?[.,;:]?(?!\w)")


def _value_pattern() -> str:
    units = sorted(all_units(), key=len, reverse=True)
    unit = rf"[ \u00a0]?(?:{'|'.join(map(re.escape, units))})(?!\w)"
    several = rf"M?{_NUMBER}(?: (?:to|×) {_NUMBER})*"
    size = rf"M?{_NUMBER}(?: × {_NUMBER})+(?!\w)"
    fit = r"\d[\d.]* (?:[A-Z]{1,2}|[a-z]{1,2})\d{1,2}(?!\w)"
    revision = r"[Rr]evision \d+(?!\w)"
    return rf"(?<![\w.,/-])(?:{several}{unit}|{size}|{fit}|{revision})"
