"""Plus and minus: tolerances, put to the values they belong to."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.number_tokens import Token
from author.proposals.number_words import number_at
from author.proposals.quantity_amount import Amount, between

_BOTH = re.compile(
    r",? ?(?:plus (?:or|/|and|,)? ?minus|\+/-|\+ / -|± ?|give or take|within|to within)"
    r"(?: about| maybe| a| an)?"
)


_EITHER = re.compile(r"(?:of \w+ )?(?:either (?:way|side)|up or down|more or less either)\b")
# "two thou of interference on it, give or take half a thou"
_ASIDE = (
    r"(?:of|on|in|at|from|for|below|under|above|past|off)(?: (?:[a-z']+)){1,6}"
    r"(?= ?,? ?(?:plus|give|±|\+)) ?"
)


_NONE = r"(?:nothing|zero|nought|naught|nil|zip)"


_PLUS = re.compile(r",? ?(?:and )?(?:plus|\+)")


_MINUS = re.compile(r",? ?(?:and )?(?:minus|-|−)")


_PLUS_NONE = re.compile(rf",? ?(?:and )?plus {_NONE} ?,? ?(?:and )?minus")


_MINUS_NONE = re.compile(rf",? ?(?:and )?minus {_NONE} ?,? ?(?:and )?plus")


def with_tolerances(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts with each "plus or minus" put to the value before it."""
    kept: list[Amount] = []
    for amount in amounts:
        before = kept[-1] if kept else None
        if not (amount.is_plain() and _is_taken(tokens, before, amount)):
            kept.append(amount)
    return kept


def _is_taken(tokens: list[Token], before: Amount | None, amount: Amount) -> bool:
    """Read an amount as a tolerance where it is one; return whether another took it up."""
    if _EITHER.match(between(tokens, amount.last, min(amount.last + 6, len(tokens)))):
        amount.plus = amount.minus = amount.nominal
        if before is not None and before.is_plain() and stands_by(before, amount):
            before.last = amount.last
            return True
        amount.form = "both"
        return False
    opens = between(tokens, 0, amount.first)
    if before is None and re.fullmatch(r"(?:so |to |and )?plus", opens):
        ahead = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
        if re.match(rf",? ?(?:and )?minus {_NONE}\b", ahead):
            amount.plus, amount.minus, amount.form = amount.nominal, Decimal(0), "both"
            return False
    start = before.last if before else max(0, amount.first - 4)
    words = between(tokens, start, amount.first)
    sides = _sides(words, alone=before is None)
    if sides is None:
        return before is not None and _is_one_side(tokens, before, amount, words)
    within = "within" in words
    after = between(tokens, amount.last, min(amount.last + 3, len(tokens)))
    if before is None and within and not re.match(r"(?:of )(?:that|it|this|spec|nominal)\b", after):
        return False
    within = within and before is not None
    amount.plus, amount.minus = (amount.nominal if side else Decimal(0) for side in sides)
    if before is not None and before.is_plain() and stands_by(before, amount):
        before.last = amount.last
        return True
    if within:
        amount.plus = amount.minus = None
    else:
        amount.form = "both"
    return False


def _sides(words: str, *, alone: bool) -> tuple[bool, bool] | None:
    """Return whether the words before an amount open a part above and one below."""
    if _PLUS_NONE.fullmatch(words):
        return False, True
    if _MINUS_NONE.fullmatch(words):
        return True, False
    if alone:
        found = re.search(rf"{_BOTH.pattern}$", words)
    else:
        found = _BOTH.fullmatch(words) or re.fullmatch(_ASIDE + _BOTH.pattern, words)
    return (True, True) if found else None


def _is_one_side(tokens: list[Token], before: Amount, amount: Amount, words: str) -> bool:
    """Take "plus point one, minus nothing": one part after the other."""
    sides = (_PLUS.fullmatch(words), _MINUS.fullmatch(words))
    if not any(sides) or amount.nominal is None:
        return False
    other = _MINUS if sides[0] else _PLUS
    ahead = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
    word = "minus" if sides[0] else "plus"
    none = re.match(rf",? ?(?:and )?{word} {_NONE}\b", ahead)
    if none and before.is_plain():
        amount.plus = amount.nominal if sides[0] else Decimal(0)
        amount.minus = amount.nominal if sides[1] else Decimal(0)
        if stands_by(before, amount):
            before.last = amount.last + len(none.group().split())
            return True
        return False
    follows = number_at(tokens, amount.last + 1) if amount.last + 1 < len(tokens) else None
    if before.is_plain() and follows and other.fullmatch(tokens[amount.last].low):
        before.plus, before.minus = (amount.nominal, None) if sides[0] else (None, amount.nominal)
        before.last = amount.last
        return True
    if (before.plus is None) is (before.minus is None):
        return False
    amount.plus = before.plus if before.plus is not None else amount.nominal
    amount.minus = before.minus if before.minus is not None else amount.nominal
    if not stands_by(before, amount):
        return False
    before.last = amount.last
    return True


def stands_by(aim: Amount, part: Amount) -> bool:
    """Put a tolerance to the value it belongs to; return whether it fits there."""
    if aim.nominal is None or part.plus is None or part.minus is None:
        return False
    plus, minus = part.plus, part.minus
    if part.unit == "%" and aim.unit != "%":
        plus, minus = (abs(aim.nominal) * share / 100 for share in (plus, minus))
        plus, minus = (Decimal(format(share.normalize(), "f")) for share in (plus, minus))
    elif part.unit and aim.unit and part.unit != aim.unit:
        held = Amount(0, 0, nominal=plus, lower=minus, unit=part.unit)
        if not held.moved_to(aim.unit) or held.nominal is None or held.lower is None:
            return False
        plus, minus = held.nominal, held.lower
    if max(plus, minus) >= abs(aim.nominal) and aim.unit is not None and aim.nominal:
        return False
    aim.unit = aim.unit or part.unit
    aim.lower, aim.upper, aim.form = aim.nominal - minus, aim.nominal + plus, "both"
    aim.plus = aim.minus = None
    aim.flags |= part.flags - {"about"}
    return True
