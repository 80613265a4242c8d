"""What a quantity is for: limits, an aim, a rough value, or what happened to be measured."""

from __future__ import annotations

import re

from author.proposals.number_tokens import Token
from author.proposals.quantity_amount import Amount, between
from author.proposals.quantity_cues import (
    ASKING,
    BAD,
    BARE,
    BARE_OVER,
    BARE_UNDER,
    BETTER,
    CAP,
    CAP_AFTER,
    CAP_LATER,
    FLOOR,
    FLOOR_AFTER,
    FOLLOWS,
    GOOD,
    HERE,
    IN_HAND,
    MAX_OF,
    MEASURED,
    MIN_OF,
    NEARLY,
    OF_FORCE,
    ON_GAUGE,
    OPINION,
    RAISING,
    ROUGH,
    ROUGH_AFTER,
    SO_GOOD,
    SPEAKS,
    TIGHT,
    UNTIL,
    UP_TO,
    WANTED,
    WEAKLY_MEASURED,
)
from author.proposals.quantity_units import kind_of


def give_role(
    tokens: list[Token], amount: Amount, begin: int, end: int, *, gauge: bool, setting: bool
) -> None:
    """Set the role of an amount, and turn a one-sided one into its limit.

    Args:
        tokens: of the sentence.
        amount: one of its amounts.
        begin: index after the amount before, or of the first token of the clause.
        end: index of the amount behind, or after the last token.
        gauge: whether a measuring instrument is named here or shortly before.
        setting: whether something is set or tightened here.
    """
    if amount.form in {"thread", "size"}:
        amount.role = amount.form
        return
    before = _back(tokens, amount, begin, 9)
    clause = _back(tokens, amount, begin, 12)
    behind = between(tokens, amount.last, min(end, amount.last + 9))
    rest = between(tokens, amount.last, min(len(tokens), amount.last + 14))
    if amount.form == "both":
        amount.role = "limits" if amount.lower is not None else "tolerance"
        return
    if amount.form == "range":
        amount.role = "limits"
        return
    if end < len(tokens) and _OF_THE_NEXT.fullmatch(behind):
        behind = ""
    later = between(tokens, amount.last, min(end, amount.last + 14))
    told = amount.flags & {"upper", "lower"}
    if not told and CAP_LATER.search(later):
        told = {"upper"}
    side = (
        told.pop()
        if told
        else _side(before, behind, rest, clause, fine=amount.unit in {"thou", "µm"})
    )
    if not side and tokens[min(amount.last, len(tokens) - 1)].low.startswith("feeler"):
        refused = re.match(
            r"feeler \w* ?(?:shouldn't|mustn't|won't|can't) (?:go|fit|pass|slide)", rest
        )
        side = "upper" if refused or (ASKING.search(clause) and BAD.search(rest)) else ""
    if side:
        amount.role = "limits"
        if side == "upper":
            amount.upper, amount.nominal = amount.nominal, None
        else:
            amount.lower, amount.nominal = amount.nominal, None
        amount.flags.discard("about")
        return
    amount.role = _aim_or_reading(clause, behind, rest, gauge=gauge, setting=setting)
    if amount.role == "measured" and amount.unit == "turn" and not MEASURED.search(clause):
        amount.role = "aim"
    if amount.role == "aim" and ("about" in amount.flags or is_rough(before, behind)):
        amount.role = "about"


def goes_on(tokens: list[Token], before: Amount, amount: Amount) -> bool:
    """Whether a value only continues the readings before: "and point four at the bottom"."""
    if before.role != "measured" or amount.role not in {"aim", "about"}:
        return False
    words = between(tokens, before.last, amount.first)
    alike = amount.unit in {None, before.unit} or (
        before.unit is None and kind_of(amount.unit) == "length"
    )
    return alike and not WANTED.search(words) and bool(re.search(r"\band\b|^,", words))


def is_rough(before: str, behind: str) -> bool:
    """Whether the words around a value call it approximate."""
    return bool(ROUGH.search(before) or ROUGH_AFTER.match(behind))


def _back(tokens: list[Token], amount: Amount, begin: int, most: int) -> str:
    """Return the words before an amount, back to the end of a clause."""
    first = max(begin, amount.first - most)
    words = [token.low for token in tokens[first : amount.first]]
    for at in range(len(words) - 1, -1, -1):
        if words[at] in {".", ";", "!", "?"}:
            words = words[at + 1 :]
            break
    return " ".join(word for word in words if word != ",")


def _side(before: str, behind: str, rest: str, clause: str, *, fine: bool) -> str:
    """Return which limit a value is: ``upper``, ``lower``, or empty."""
    if NEARLY.search(before):
        return ""
    if CAP.search(before) or MAX_OF.search(before):
        return "upper"
    if FLOOR.search(before) or MIN_OF.search(before):
        return "lower"
    if UP_TO.search(before):
        return "" if RAISING & set(before.split()) else "upper"
    return _compared(before, behind, rest, clause) or _said_behind(behind, rest, clause, fine=fine)


# "two hundred millimetres, max two hundred and one": the limit is the one that follows.
_OF_THE_NEXT = re.compile(r", (?:max|min|maximum|minimum)(?: of| is)?")
# Letters before an "under" that still opens its clause.
_OPENS = 12


def _compared(before: str, behind: str, rest: str, clause: str) -> str:
    """Read a bare "over" or "under": its side hangs on what happens beyond the value."""
    over, under = BARE_OVER.search(before), BARE_UNDER.search(before)
    if not (over or under) or (under and (IN_HAND.search(before) or OF_FORCE.match(behind))):
        return ""
    rejected = BAD.search(rest) is not None
    accepted = not rejected and GOOD.search(f"{clause} {rest}") is not None
    if over:
        return "lower" if accepted else "upper"
    opens = under is not None and under.start() < _OPENS
    rejected = rejected or BAD.search(clause) is not None
    asked = rejected or ASKING.search(clause) or (opens and FOLLOWS.match(rest))
    return "lower" if asked and not accepted else "upper"


def _said_behind(behind: str, rest: str, clause: str, *, fine: bool) -> str:
    """Read "max", "or less", "or better" behind the value."""
    sides = ("upper", "lower")
    if BETTER.match(behind):
        return sides[0] if fine or TIGHT.search(clause) else sides[1]
    cap, floor = CAP_AFTER.match(behind), FLOOR_AFTER.match(behind)
    if not (cap or floor):
        return ""
    # "three thou or more, and it's scrap": what is told is where it fails.
    rejected = ASKING.search(clause) and BAD.search(rest) and " or " in f" {behind[:6]}"
    return sides[bool(floor) is not bool(rejected)]


def _aim_or_reading(clause: str, behind: str, rest: str, *, gauge: bool, setting: bool) -> str:
    """Tell what this unit measured from what is wanted, by the nearest word that says so."""
    measured = max((found.end() for found in MEASURED.finditer(clause)), default=-1)
    wanted = max((found.end() for found in WANTED.finditer(clause)), default=-1)
    until = max((found.end() for found in UNTIL.finditer(clause)), default=-1)
    if wanted < 0 and until < 0 and ON_GAUGE.match(f" {behind}"):
        return "measured"
    if 0 <= until < measured and "got" not in clause:
        return "aim"
    if wanted < 0 and (gauge or "was" in clause) and WEAKLY_MEASURED.search(clause):
        return "measured"
    if measured > wanted:
        return "aim" if _told_by_others(clause, clause[:measured]) else "measured"
    if wanted >= 0:
        return "aim"
    if (not setting and HERE.match(behind)) or SO_GOOD.match(rest):
        return "measured"
    is_bare = gauge and BARE.fullmatch(clause) and not setting and not WANTED.search(behind)
    return "measured" if is_bare else "aim"


def _told_by_others(clause: str, told: str) -> bool:
    """Whether "says" or "get" is of the book or of you, not of the part in hand."""
    if SPEAKS.search(told) and OPINION.search(clause):
        return True
    if re.search(r"\bgets?$", told) and not re.search(r"\b(?:i|we|you) get$", told):
        return True
    return re.search(r"(?:you've|you'll have|if you have|they've) (?:got|have)$", told) is not None
