"""Numbers in a query that filter nothing: without a unit, with none known, or taken as words."""

from __future__ import annotations

import re
from decimal import Decimal

from author.library.asking.query import Asked, value_alone
from author.library.index.words import SHORTEST_CORRECTED, edits_between, folded
from author.procedure.units import all_quantities, find_unit

_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_RANGE = re.compile(rf"(?<!\S){_NUMBER}\s+to\s+{_NUMBER}(?!\S)", re.IGNORECASE)
_PLAIN = re.compile(_NUMBER)
_USUAL = {"m": "mm", "K": "°C", "Pa": "bar", "m³": "l", "rad": "°", "rad/s": "rpm"}
"""Units of the bench by the SI unit: common practice, no source."""
_AFTER = re.compile(
    rf"(?<!\S)(?:{_NUMBER}\s*(?:\.\.|–|-|±)\s*{_NUMBER}|(?:max|min)\s+{_NUMBER}|{_NUMBER})(?!\S)",
    re.IGNORECASE,
)


def forgotten_units(typed: str, asked: Asked) -> tuple[str, ...]:
    """Return a sentence for each range whose unit was forgotten, without a full stop.

    A range such as ``20 to 30`` is one wherever it stands; another, or one number, only behind
    the name of its quantity: ``6203-2`` may be a part.

    Args:
        typed: the query.
        asked: what it was read as.
    """
    text = " ".join(typed.split())
    said = []
    end = 0
    for match in sorted((*_RANGE.finditer(text), *_AFTER.finditer(text)), key=re.Match.start):
        before = text[: match.start()].split()
        quantity = _quantity(before[-1]) if before else None
        if match.start() < end or any(match[0] in one.said for one in asked.specs):
            continue
        behind = text[match.end() :].split()
        wrong = behind[0] if behind and match.re is _RANGE else ""
        if wrong and wrong.isalpha() and wrong.endswith("s") and find_unit(wrong) is None:
            said.append(f"“{wrong}” is no unit known here, nor is “{match[0]} {wrong}” a range")
            end = match.end()
        elif match.re is _RANGE or quantity is not None:
            unit = all_quantities()[quantity or "torque"]
            whole = f"{match[0]} {_USUAL.get(unit, unit)}"
            slip = quantity is not None and folded(before[-1]) != quantity
            taken = f"“{before[-1]}” is taken for {quantity}. " if slip else ""
            down = _written_upward(match[0])
            if down is not None:
                said.append(f"{taken}{match[0]} runs downward and is no range: write {down}")
            else:
                said.append(f"{taken}{match[0]} of what? Write e.g. {whole}")
            end = match.end()
    return tuple(said)


def _written_upward(said: str) -> str | None:
    """Return a range whose greater number stands first the other way round; None for others."""
    numbers = _PLAIN.findall(said)
    if len(numbers) != 2 or "±" in said or Decimal(numbers[0]) <= Decimal(numbers[1]):
        return None
    swapped = iter(reversed(numbers))
    return _PLAIN.sub(lambda _: next(swapped), said)


def taken_values(typed: str, asked: Asked) -> tuple[str, ...]:
    """Return a sentence for each number with a unit, how it was taken, without a full stop.

    Args:
        typed: the query.
        asked: what it was read as.
    """
    tokens = typed.split()
    if not asked.words and (alone := value_alone(" ".join(tokens))) is not None:
        return (f"{alone.said} is taken as a value; beside another word it is looked for as words",)
    said = []
    for at, token in enumerate(tokens):
        pair = " ".join(tokens[at : at + 2]) if _PLAIN.fullmatch(token) else token
        if pair.split()[-1].casefold() == "in" or any(pair in one.said for one in asked.specs):
            continue  # "2 in" is hardly ever inches among words
        if (value := value_alone(pair)) is not None:
            name = value.quantity.replace("_", " ")
            said.append(f"{pair} is looked for as words; as a value write {name} {pair}")
    return tuple(said)


def _quantity(word: str) -> str | None:
    """Return the quantity a word names, a slip of the keys let pass."""
    name = folded(word)
    if name in all_quantities():
        return name
    near = (one for one in all_quantities() if edits_between(name, one, 1) <= 1)
    return next(near, None) if len(name) >= SHORTEST_CORRECTED else None
