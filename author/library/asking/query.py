"""What is asked of a library: words, ranges of numbers typed among them, and filters."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from author.errors import InputError
from author.library.index.words import folded, number_key, words_in
from author.procedure.spec_entry import Entry, read_entry
from author.procedure.units import all_quantities, all_units, find_unit

_MOST_TOKENS = 8
_MOST_WORDS = 40
_MOST_LETTERS = 2_000
_BEGINS = re.compile(r"[0-9.±+<>≤≥-]|(?:max|min|between|from|at|no|not|up)", re.IGNORECASE)
_VALUE = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)?\s?([^\s0-9].{0,20})")
# Words that say nothing of what is looked for, where others do.
_SMALL = frozenset(
    words_in(
        "a an and any are as at be by for from how i in into is it of on onto or out that the "
        "this to up was what when where which with"
    )
)


@dataclass(frozen=True, slots=True)
class SpecRange:
    """A range of numbers a requirement has to reach into.

    Attributes:
        quantity: kind of quantity, a key of ``schema/units.yaml``.
        lower: the least value in SI, None where there is none.
        upper: the largest.
        said: the range as it was typed.
    """

    quantity: str
    lower: Fraction | None
    upper: Fraction | None
    said: str

    def holds(self, unit: str, lower: str | None, nominal: str | None, upper: str | None) -> bool:
        """Whether the numbers of a requirement reach into the range, exactly.

        A requirement reaches from its least number to its largest: one with a single limit
        is at that limit.
        """
        scale = all_units()[unit]
        if scale.quantity != self.quantity:
            return False
        values = [scale.to_si(Decimal(one)) for one in (lower, nominal, upper) if one is not None]
        if not values:
            return False
        high_enough = self.lower is None or max(values) >= self.lower
        return high_enough and (self.upper is None or min(values) <= self.upper)


@dataclass(frozen=True, slots=True)
class Filters:
    """What a procedure has to be, beside having the words.

    Attributes:
        unit: words of the unit's name, or its number.
        states: states, any of them.
        parts: for each, a part of such a name or number.
        tools: for each, a tool of such a name.
        supplies: for each, a supply of such a name or number.
        specs: for each, a requirement whose numbers reach into the range.
        hazards: for each, a hazard message with these words, the signal word among them.
        hold: True for those with a finding that holds the unit, False for those without.
        author: part of an author's name.
        changed_since: day from which on it was last changed.
        changed_before: day before which it was last changed.
        older: look through older revisions too.
    """

    unit: str = ""
    states: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()
    specs: tuple[SpecRange, ...] = ()
    hazards: tuple[str, ...] = ()
    hold: bool | None = None
    author: str = ""
    changed_since: str = ""
    changed_before: str = ""
    older: bool = False


@dataclass(frozen=True, slots=True)
class Asked:
    """The words of a query, and the ranges typed among them.

    Attributes:
        words: for each word, the ways it may stand in a text: every word of a way has to be
            there.
        specs: the ranges.
    """

    words: tuple[tuple[tuple[str, ...], ...], ...]
    specs: tuple[SpecRange, ...]


def read_range(typed: str) -> SpecRange:
    """Return the range somebody typed: ``torque 20 to 30 N·m``, ``max 0.1 mm``.

    Raises:
        InputError: if it is no range with a unit, with a remedy.
    """
    tokens = typed.split()
    quantity = _quantity_before(tokens, 1) if len(tokens) > 1 else None
    rest = tokens if quantity is None else tokens[1:]
    try:
        entry = read_entry(" ".join(rest), quantity=quantity)
    except InputError:
        single = None if quantity is None else _single(" ".join(rest), quantity)
        if single is None:
            raise
        return single
    return _range(entry, " ".join(rest))


def read_query(typed: str) -> Asked:
    """Return what the words of a query ask for.

    A number with its unit and nothing beside it is a value; beside words it may be part of a
    name, "hook spanner 45 mm", and is looked for as words.

    Raises:
        InputError: if there are far too many of them.
    """
    if len(typed) > _MOST_LETTERS:
        raise InputError(
            f"a query is at most {_MOST_LETTERS} letters long", remedy="Take fewer words"
        )
    tokens, specs = _without_ranges(typed.split())
    alone = None if specs else value_alone(" ".join(tokens))
    if alone is not None:
        return Asked((), (alone,))
    words = [token for token in tokens if words_in(token)]
    if any(folded(word) not in _SMALL for word in words):
        words = [word for word in words if folded(word) not in _SMALL]
    if len(words) > _MOST_WORDS:
        raise InputError(f"a query has at most {_MOST_WORDS} words", remedy="Take fewer words")
    return Asked(tuple(_ways(words)), tuple(specs))


def value_alone(said: str) -> SpecRange | None:
    """Return the value that a text is: one number with its unit, and nothing beside it."""
    found = _VALUE.fullmatch(said.strip())
    unit = None if found is None else find_unit(found[1])
    return None if unit is None else _single(said.strip(), unit.quantity)


def _ways(words: Sequence[str]) -> Iterator[tuple[tuple[str, ...], ...]]:
    """Yield how each word may stand: whole, in its pieces, or joined with its neighbour."""
    keys = [number_key(word) for word in words]
    for index, word in enumerate(words):
        ways = {(keys[index],): None, tuple(words_in(word)): None}
        for first in (index - 1, index):
            joined = "".join(keys[first : first + 2]) if first >= 0 else ""
            if first + 1 < len(words) and any(char.isdigit() for char in joined):
                ways[joined,] = None
        yield tuple(ways)


def _without_ranges(tokens: list[str]) -> tuple[list[str], list[SpecRange]]:
    rest: list[str] = []
    specs: list[SpecRange] = []
    at = 0
    while at < len(tokens):
        found = _range_at(tokens, at)
        if found is None:
            rest.append(tokens[at])
            at += 1
            continue
        spec, end = found
        if rest and folded(rest[-1]) == spec.quantity.replace("_", " "):
            rest.pop()
        specs.append(spec)
        at = end
    return rest, specs


def _range_at(tokens: list[str], at: int) -> tuple[SpecRange, int] | None:
    """Return the longest range that begins at a word, and where it ends."""
    if not _BEGINS.match(tokens[at]):
        return None
    quantity = _quantity_before(tokens, at)
    for end in range(min(len(tokens), at + _MOST_TOKENS), at, -1):
        said = " ".join(tokens[at:end])
        if not any(char.isdigit() for char in said):
            continue
        try:
            entry = read_entry(said)
        except InputError:
            single = None if quantity is None else _single(said, quantity)
            if single is not None:
                return single, end
            continue
        if not entry.explanation.startswith("Limits of") and not entry.reference:
            return _range(entry, said), end
    return None


def _quantity_before(tokens: list[str], at: int) -> str | None:
    word = folded(tokens[at - 1]) if at else ""
    return word if word in all_quantities() else None


def _single(said: str, quantity: str) -> SpecRange | None:
    """Read one number with its unit, behind the name of its quantity."""
    try:
        entry = read_entry(f"ref {said}", quantity=quantity)
    except InputError:
        return None
    return _range(entry, said)


def _range(entry: Entry, said: str) -> SpecRange:
    limits = entry.limits
    unit = limits.unit
    low, high = limits.lower, limits.upper
    if low is None and high is None:
        low = high = limits.nominal
    return SpecRange(
        unit.quantity,
        None if low is None else unit.to_si(low),
        None if high is None else unit.to_si(high),
        said,
    )
