"""Numbers said one behind the other, in which a decimal point may have been left out.

"Eighty oh six", "fourteen ninety-eight", "24 9 8", "1498".
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from author.procedure.number_words import ONES
from author.proposals.quantities.amounts.threads import sizes_in
from author.proposals.quantities.amounts.vocabulary import NAMES_BEFORE
from author.proposals.quantities.no_quantity.tools import names_bearing
from author.proposals.quantities.numbers.parts import OH, ZEROS, below_hundred, low_at, parts_of
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import joined_halves, number_at, whole_below_thousand

_MOST_TAIL, _HUNDREDS = 5, 100
_ENDS = frozenset({"", ",", ".", ";", "so", "and", "but", "which"})


@dataclass(frozen=True, slots=True)
class Run:
    """Numbers said one behind the other.

    Attributes:
        first, last: indexes of its first token and after its last.
        digits: all of them.
        points: how many digits may stand before the point; none where it can only be a list.
        plain: the values they have if no point is put in.
        whole: whether they make one whole number as they stand.
    """

    first: int
    last: int
    digits: str
    points: tuple[int, ...]
    plain: tuple[float, ...]
    whole: bool


def runs_in(tokens: list[Token]) -> Iterator[Run]:
    """Yield the numbers of a sentence that may have lost a point, in order."""
    sizes: dict[int, int] | None = None
    inside: set[int] = set()
    at = 0
    while at < len(tokens):
        if sizes and at in sizes:
            at = max(sizes[at], at + 1)
            continue
        number = number_at(tokens, at)
        if number is None:
            at += 1
            continue
        run = None
        # "nine ninety-six and a half"
        halved = (
            number.form == "mixed"
            and tokens[at].kind == "word"
            and (number.value or 0) >= _HUNDREDS
        )
        if (halved or number.form in {"whole", "spelled"}) and number.value is not None:
            run = _run_at(tokens, at)
        if run is None:
            at = max(number.last, at + 1)
            continue
        if sizes is None:
            sizes = {first: size[0] for first, size in sizes_in(tokens).items()}
            inside = {at for first, last in sizes.items() for at in range(first, last)}
        named = low_at(tokens, at - 1) in NAMES_BEFORE or low_at(tokens, at - 1) == "point"
        named = named or names_bearing(tokens, run.first, run.last, run.digits)
        if not named and not inside & set(range(run.first, run.last)):
            yield run
        at = run.last


def _run_at(tokens: list[Token], at: int) -> Run | None:
    """Return a whole number with the digits said behind it, or digits that stand together."""
    token = tokens[at]
    if token.kind == "digits":
        if not token.low.isdigit() or token.low[0] == "0":
            return None
        whole: tuple[str, int] | None = token.low, at + 1
    else:
        found = whole_below_thousand(tokens, at)
        whole = (str(found[0]), found[1]) if found and found[0] else None
    if whole is None:
        return None
    tail, last = _tail(tokens, whole[1], after_one=len(whole[0]) == 1)
    digits = whole[0] + tail
    if tail and tokens[whole[1]].hyphen and not joined_halves(int(whole[0]), int(tail)):
        return None  # "ten-fifteen minutes"
    if digits in {"123", "1234", "12345", "123456"} and token.kind == "word":
        return None  # "mark them one two three four"
    follows = tokens[last] if last < len(tokens) else None
    if not tail and follows and follows.kind == token.kind == "digits" and "." not in follows.low:
        plain, _ = _plain(tokens, at, last + 1)
        return Run(at, last, digits, (), plain, whole=False)
    if not tail and not (token.kind == "digits" and 3 <= len(digits) <= 5):
        return None
    plain, one = _plain(tokens, at, last)
    if tail:
        singles = len(whole[0]) == 1 and last - at == len(digits)
        points = tuple(range(1, min(len(digits), 4))) if singles else (len(whole[0]),)
    else:
        points = tuple(range(1, len(digits)))
    if low_at(tokens, last) in {"hundred", "thousand", "by", "x", "×", "/", "point", ":"}:
        return None
    half = parts_of(tokens, last + 1) if tail and low_at(tokens, last) == "and" else None
    if half and half[0].denominator == 2:  # half of the last digit
        digits, last = digits + "5", half[1]
    return Run(at, last, digits, points, plain, whole=one)


def _tail(tokens: list[Token], at: int, *, after_one: bool) -> tuple[str, int]:
    """Return the digits said behind a whole number, of one digit or more, and the index after."""
    tail = ""
    while at < len(tokens) and len(tail) < _MOST_TAIL:
        low = tokens[at].low
        if low in OH or low in ZEROS:
            digit = "0"
        elif tokens[at].kind == "digits" and low.isdigit() and len(low) == 1:
            digit = low
        elif low in ONES:
            digit = str(ONES[low])
        else:
            return _pair(tokens, at, tail, after_one=after_one)
        if low_at(tokens, at + 1) in {"point", "hundred", "thousand"}:
            break
        parts = parts_of(tokens, at)
        if parts and parts[1] > at + 1:  # "two three eighths"
            break
        tail, at = tail + digit, at + 1
    if tail.strip("0") or len(tail) > 1:
        return tail, at
    return "", at


def _pair(tokens: list[Token], at: int, tail: str, *, after_one: bool) -> tuple[str, int]:
    """End a tail with two digits: "nineteen ninety-eight", "27 99", "one seven sixty-nine"."""
    if tail and not (after_one and len(tail) == 1):
        return (tail, at) if tail.strip("0") else ("", at)
    token = tokens[at]
    if token.kind == "digits":
        fits = token.low.isdigit() and len(token.low) == 2 and token.low[0] != "0"
        fits = fits and low_at(tokens, at + 1) != "/"
        return (tail + token.low, at + 1) if fits else (tail.strip("0"), at)
    found = below_hundred(tokens, at)
    more = found and low_at(tokens, found[1]) in {"hundred", "thousand", "point"}
    if found is None or found[0] < 10 or parts_of(tokens, at) or more:
        return tail.strip("0"), at
    tail, at = tail + str(found[0]), found[1]
    # "Fourteen ninety-nine five": and half a hundredth.
    half = low_at(tokens, at) == "five" and low_at(tokens, at + 1) in _ENDS and len(tail) == 2
    return (tail + "5", at + 1) if half else (tail, at)


def _plain(tokens: list[Token], at: int, last: int) -> tuple[tuple[float, ...], bool]:
    """Return the values without a point, and whether they are one whole number."""
    values, count = list[float](), 0
    while at < last:
        number = number_at(tokens, at)
        if number is None or number.value is None:
            at += 1
            continue
        if number.form == "spelled":
            values += [float(digit) for digit in str(number.value)]
        else:
            values.append(float(number.value))
        count += 1
        at = max(number.last, at + 1)
    whole = count == 1 and len(values) == 1
    return tuple(values), whole
