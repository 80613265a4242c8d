"""Plus and minus: tolerances, put to the values they belong to."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.each_side import parts_of_each_side
from author.proposals.quantities.amounts.sized_parts import OF_FINE, names_size
from author.proposals.quantities.amounts.tolerance_sizes import stands_by
from author.proposals.quantities.amounts.units import VAGUE, kind_of
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import number_at

_BOTH_SIDES = (
    r"(?:plus (?:or|/|and|,)? ?minus|\+/-|\+ / -|± ?|gi[v']?e or take|more or less"
    r"|within|to within)"
    r"(?: about| maybe| a| an)?"
)
_BOTH_BEFORE = re.compile(rf"{_BOTH_SIDES}$")
_BOTH = (
    r"(?:nominal )?,? ?(?:(?:the |with |with a |a |its )?tolerances?(?: of| is| on it)? ?,? ?)?"
    + _BOTH_SIDES
)


EITHER = re.compile(
    r"(?:of \w+ )?(?:(?:in )?(?:either|each|any|both|one(?! [a-z]+ ?,? (?:and|but)\b))"
    r" (?:way|wey|side|road|direction)s?"
    r"(?: or the other)?|this (?:way|side) (?:or|and) (?:that|the other)(?: (?:way|side))?"
    r"|up or down"
    r"|up and down"
    r"|(?:over|above|high|long) (?:or|and) (?:under|below|low|short)"
    r"(?! than)|more or less either)\b"
    # "you can be half an inch off either way", "an inch out is a pass"
    r"|(?:off|out) (?:either|each) (?:way|side)\b"
    r"|(?:off|out) (?:is|'s) (?:still )?(?:a pass|fine|ok|okay|good|all right|alright|allowed)\b"
)
_NEAR = 3
"""Words between a value and what it may be off to each side."""
# "And the drawing forgives you two tenths this side and that side"
_GIVEN = re.compile(r"\b(?:forgiv|allow|tolerat|permit|grant|argu)[a-z]*\b")
_SHAKEN = re.compile(r"(?:of \w+ )?up and down")
_HAS = re.compile(
    r"(?:\b(?:it's|there's|that's|got|get|has|have|is|measures?|shows?|reads?|moves)|^)"
    r"(?: (?:about|a|an|at))*$"
)
_NOT_ALONE = re.compile(r"(?:of \w+ )?(?:each (?:side|way)|(?:in )?(?:any|both) |in either)")
_CAPPED = re.compile(
    r"\b(?:(?:no|not|never|nothing|isn't|don't)(?: \w+){0,2} (?:more than|over|past|above|beyond)"
    r"|at (?:the )?(?:very )?(?:most|least)|up to|less than|under|(?:max|min)(?:imum)?(?: of)?"
    r"|the (?:most|least))(?: about| a| an)?$"
)
# "two thou of interference on it, give or take half a thou"
_ASIDE = (
    r"(?:(?:(?:deep|down|in|out|proud|up|high|long|wide|across) )?"
    r"(?:of|on|in|at|from|for|below|under|above|past|off)(?: (?:[a-z']+)){1,6}|[a-z]+ to [a-z]+"
    r"|between(?: [a-z']+){1,4} and(?: [a-z']+){1,4}"
    r"|,? ?(?:long|deep|wide|high|thick|proud|across|apart|showing|out|sticking out|overall|clear)"
    r"(?: (?:each|either|both) (?:end|side|way)s?)?(?: ?, (?!plus|give|more|and|then|so)[a-z]+"
    r"(?: to [a-z]+)?)?)"
    r"(?= ?,? ?(?:plus|give|more or|±|\+)) ?"
)
_BOTH_ALONE = re.compile(rf"(?:{_ASIDE})?{_BOTH}")


# "four inches long, edge to edge, give or take an eighth": no other value can be meant.
_FAR_OFF = re.compile(
    r"(?: ?(?!(?:and|but|so|then|now|if|while|until|flush|level|square|true"
    r"|centred?|zero|again)\b)[a-z',-]++){1,9}?"  # whole words: else many ways to part a long one
    r" (?:give or take|plus or minus|plus minus)(?: about| maybe| a| an)?"
)


NONE = r"(?:nothing|nowt|zero|nought|naught|nil|zip)"


# "Minus nothing, no, sorry, minus two": what was begun and taken back.
_RESTARTED = re.compile(
    rf",? ?(?:and )?(?:plus|minus) {NONE}[, ]+"
    r"(?:(?:no|sorry|wait|hang on|hold on|i mean|actually)[, ]+)+(?P<sign>plus|minus|$)"
)
# "0.3, tolerance plus 0.05, minus nothing"
_ANNOUNCED = r"(?:(?:with )?(?:the |a |its )?tolerances?(?: of| is| are| on it)? ?,? ?)?"
_PLUS = re.compile(rf"(?:nominal )?,? ?(?:and )?{_ANNOUNCED}(?:plus|\+)")


_MINUS = re.compile(rf"(?:nominal )?,? ?(?:and )?{_ANNOUNCED}(?:minus|-|−)")


_PLUS_NONE = re.compile(rf",? ?(?:and )?plus {NONE} ?,? ?(?:and )?minus")


_MINUS_NONE = re.compile(rf",? ?(?:and )?(?:minus )?{NONE}(?: ?,? ?(?:and )?| to )plus")
# "Nine bar, and I'll not fight you over point two"
_NO_QUARREL = re.compile(
    r",? ?(?:and |but )?(?:i|we)(?:'ll|'d|'m| will| would| am)? ?(?:not|won't|wouldn't|never|don't)"
    r" (?:going to )?(?:fight|argue|quarrel|fuss|squabble|complain|cry|moan|grumble)(?:ing)?"
    r"(?: with)?(?: you| him| anyone| anybody)? (?:over|about|for)(?: a| an)?"
)


def with_tolerances(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts with each "plus or minus" put to the value before it."""
    kept: list[Amount] = []
    for amount in amounts:
        if amount.is_plain() and amount.unit is None and names_size(tokens, amount):
            amount.flags.add("sized")
        before = kept[-1] if kept else None
        start = before.last if before else max(0, amount.first - 4)
        if before is not None and len(kept) > 1 and _stands_between(tokens, kept[-2], before):
            warm, before = before.unit is not None, kept[-2]
            start = start if warm else before.last  # "twenty on all three, plus or minus five"
        if not (amount.is_plain() and _is_taken(tokens, before, amount, start)):
            kept.append(amount)
    if any(token.low in {"couple", "half"} for token in tokens):
        for one in kept:
            if one.is_plain() and one.unit is not None:
                _with_couple(tokens, one)
    return kept


# What is moved to and fro, or answers on both sides of the middle.
_SWUNG = re.compile(
    r"\b(?:swing|rock|twist|rotate|sweep|wiggle|waggle|jog|tilt|swivel|clicks?|trips?)\b"
    r"(?! [a-z' ]*\b(?:to|by) (?:the|within)\b)"
)


def _stands_between(tokens: list[Token], value: Amount, amount: Amount) -> bool:
    """Whether a number only tells where a value holds: "on all three", "at 20 degrees"."""
    warm = amount.unit in {"°C", "°F", "degree"} and amount.is_plain() and value.unit in _OF_A_PART
    if warm and between(tokens, value.last, amount.first) in {"at", ", at"}:
        return True
    ahead = between(tokens, max(0, amount.first - 2), amount.first)
    whole = amount.unit is None and amount.form == "whole" and amount.is_plain()
    return whole and re.fullmatch(r"(?:on|for|at|in) (?:all|those|these|the)", ahead) is not None


def _is_taken(tokens: list[Token], before: Amount | None, amount: Amount, start: int) -> bool:
    """Read an amount as a tolerance where it is one; return whether another took it up."""
    side = EITHER.match(between(tokens, amount.last, min(amount.last + 6, len(tokens))))
    counted = amount.unit is None and (before is None or before.unit is None)
    apart = before is None or kind_of(before.unit) != kind_of(amount.unit)
    lasts = kind_of(amount.unit) == "time"
    own = (lasts and side and not side.group().startswith("either")) or (
        apart and (lasts or amount.unit == "turn")
    )
    if side and (own or (before is None and _NOT_ALONE.match(side.group()))):
        return False  # "a quarter turn each side", "five minutes each way": told of each
    if side and apart and _SWUNG.search(between(tokens, max(0, amount.first - 12), amount.first)):
        return False  # "swing it sixty degrees each way"
    if side and before is not None and _is_of_each(tokens, before, amount, side.group()):
        return False
    told = between(tokens, max(0, amount.first - 5), amount.first)
    # "It's eight thousandths up and down": so much it can be moved.
    shaken = side and before is None and _SHAKEN.match(side.group()) and _HAS.search(told)
    if side and (shaken or _CAPPED.search(told)):
        return False  # "no more than two inches either way" is a limit of its own
    if side and not (counted and amount.form == "whole" and not side.group().startswith("either")):
        amount.plus = amount.minus = amount.nominal
        if before is not None and before.is_plain() and stands_by(before, amount):
            before.inner, before.last = before.inner or before.last, amount.last
            return True
        amount.form = "both"
        return False
    if before is not None and _is_put_beside(tokens, before, amount):
        return True
    return _is_announced(tokens, before, amount, start)


def _is_of_each(tokens: list[Token], value: Amount, amount: Amount, side: str) -> bool:
    """Whether something is told of each side or way behind a value, and no tolerance of it.

    "Fifty mil of daylight, then stands, one each side"; "180.1 across and 180.17 up and down".
    """
    if value.nominal and amount.nominal and amount.nominal >= abs(value.nominal):
        named = value.unit is None and amount.unit not in OF_FINE  # "heading one, thirty pounds"
        return named or amount.unit is None or amount.unit == value.unit
    words = between(tokens, value.last, amount.first)
    far = len(words.split()) > _NEAR and not _GIVEN.search(words)
    return side.endswith("side") and "either" not in side and far


def _is_put_beside(tokens: list[Token], before: Amount, amount: Amount) -> bool:
    """Take up a tolerance by the words behind it, or in percent; say whether it was one."""
    if _in_percent(tokens, before, amount):
        return True
    if taken := _only_one_way(tokens, before, amount):
        before.last = taken
        return True
    if end := parts_of_each_side(tokens, before, amount):
        if stands_by(before, amount):
            before.last = end
            return True
        amount.plus = amount.minus = None
    return False


def _is_announced(tokens: list[Token], before: Amount | None, amount: Amount, start: int) -> bool:
    """Take up a tolerance by the words before it; say whether another took it up."""
    opens = between(tokens, 0, amount.first)
    if before is None and re.fullmatch(r"(?:so |to |and )?plus", opens):
        ahead = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
        if re.match(rf",? ?(?:and )?minus {NONE}\b", ahead):
            amount.plus, amount.minus, amount.form = amount.nominal, Decimal(0), "both"
            return False
    words = between(tokens, start, amount.first)
    begun = _RESTARTED.fullmatch(words)
    if begun and before is not None and (begun["sign"] or (amount.nominal or 0) < 0):
        words = f", {begun['sign'] or 'minus'}"
        amount.nominal = abs(amount.nominal or Decimal(0))
    sides = _sides(words, alone=before is None)
    if sides is None:
        return before is not None and _is_one_side(tokens, before, amount, words)
    within = "within" in words
    if within and _tells_time(amount) and (before is None or not _tells_time(before)):
        return False  # "minus eighteen within three hours"
    if within and before is not None and before.first and before.unit is None:
        counted = tokens[before.first - 1].low in {"all", "both"}
        before = None if counted else before  # "all three within two thousandths"
    after = between(tokens, amount.last, min(amount.last + 3, len(tokens)))
    if before is None and within and not re.match(r"(?:of )(?:that|it|this|spec|nominal)\b", after):
        return False
    within = within and before is not None
    amount.plus, amount.minus = (amount.nominal if side else Decimal(0) for side in sides)
    if before is not None and before.is_plain() and stands_by(before, amount):
        before.inner = before.inner or before.last
        before.last = amount.last if start <= before.last else before.last
        return True
    if within:
        amount.plus = amount.minus = None
    else:
        amount.form = "both"
    return False


_OF_A_PART = frozenset({"Ω", "kΩ", "MΩ", "µF", "mΩ"})


def _in_percent(tokens: list[Token], before: Amount, amount: Amount) -> bool:
    """Take "forty microfarads, six percent" for six percent to each side."""
    near = between(tokens, before.last, amount.first) in {",", "at", ""}
    if amount.unit != "%" or before.unit not in _OF_A_PART or not (near and before.is_plain()):
        return False
    amount.plus = amount.minus = amount.nominal
    if stands_by(before, amount):
        before.last = amount.last
        return True
    amount.plus = amount.minus = None
    return False


_UNDER_ONLY = re.compile(
    r"(?:under|below|down|less|smaller|short|undersize|tight|low)(?: size)? ?,? ?(?:but |and )?"
    r"(?:never|not|nothing|no|none|nowt)(?: a \w+)? (?:over|above|up|more|bigger|long|oversize"
    r"|high)\b"
)
_OVER_ONLY = re.compile(
    r"(?:over|above|up|more|bigger|long|oversize|loose|high)(?: size)? ?,? ?(?:but |and )?"
    r"(?:never|not|nothing|no|none|nowt)(?: a \w+)? (?:under|below|down|less|smaller|short"
    r"|undersize"
    r"|low)\b"
)


def _only_one_way(tokens: list[Token], before: Amount, amount: Amount) -> int:
    """Return the index after "two hundredths under but never over", nought where it is none."""
    behind = between(tokens, amount.last, min(amount.last + 8, len(tokens)))
    under, over = _UNDER_ONLY.match(behind), _OVER_ONLY.match(behind)
    found = under or over
    if found is None or not before.is_plain() or amount.first - before.last > 8:
        return 0
    if before.unit is None and amount.unit is None and amount.form == "whole":
        return 0
    amount.plus = Decimal(0) if under else amount.nominal
    amount.minus = amount.nominal if under else Decimal(0)
    if stands_by(before, amount):
        return amount.last + len(found.group().split())
    amount.plus = amount.minus = None
    return 0


_COUPLE = re.compile(
    r",? ?(?:and )?(?:a couple (?:either|each) (?:way|side)"
    r"|(?:a )?(?P<half>half)(?: (?:either|each) (?:way|side)"
    r"| (?:more|up|over)(?: ?,| or| and)*(?: (?:a )?half)? (?:less|down|under)"
    r"|(?: less| down| under)(?: ?,| or| and)*(?: (?:a )?half)? (?:more|up|over)))\b(?! than)"
)


def _with_couple(tokens: list[Token], amount: Amount) -> None:
    """Read "eighty mil long, a couple either way" and "half more, half less"."""
    for skip in range(4):
        at = amount.last + skip
        found = _COUPLE.match(between(tokens, at, min(at + 9, len(tokens))))
        if found and not amount.flags & {"corrected"}:
            part = Amount(at, at, Decimal("0.5") if found["half"] else Decimal(2))
            part.plus = part.minus = part.nominal
            if stands_by(amount, part):
                amount.last = at + len(found.group().split())
            return


def _sides(words: str, *, alone: bool) -> tuple[bool, bool] | None:
    """Return whether the words before an amount open a part above and one below."""
    if _PLUS_NONE.fullmatch(words):
        return False, True
    if _MINUS_NONE.fullmatch(words):
        return True, False
    if not alone and _NO_QUARREL.fullmatch(words):
        return True, True
    if not _BOTH_BEFORE.search(words):
        return None
    if alone:  # "more or less sixty": about so much
        found = not words.endswith(("more or less", "more or less a", "more or less an"))
    else:
        found = bool(_BOTH_ALONE.fullmatch(words) or _FAR_OFF.fullmatch(words))
    return (True, True) if found else None


def _tells_time(amount: Amount) -> bool:
    return kind_of(amount.unit) == "time"


def _is_one_side(tokens: list[Token], before: Amount, amount: Amount, words: str) -> bool:
    """Take "plus point one, minus nothing": one part after the other."""
    sides = (_PLUS.fullmatch(words), _MINUS.fullmatch(words))
    if not any(sides) or amount.nominal is None or (before.nominal or 0) < 0:
        return False  # "minus 4, minus 5" are two readings
    other = _MINUS if sides[0] else _PLUS
    ahead = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
    word = "minus" if sides[0] else "plus"
    none = re.match(rf",? ?(?:and )?{word} {NONE}\b", ahead)
    if none and before.is_plain():
        amount.plus = amount.nominal if sides[0] else Decimal(0)
        amount.minus = amount.nominal if sides[1] else Decimal(0)
        amount_unit, end = amount.unit, amount.last + len(none.group().split())
        told = plain_unit_at(tokens, end) if end < len(tokens) and amount.unit is None else None
        if told is not None and told.symbol not in VAGUE:
            amount.unit, end = told.symbol, told.last  # "plus ten, minus zero microns"
        if stands_by(before, amount):
            before.last = end
            return True
        amount.unit = amount_unit
        return False
    at = amount.last
    while at < len(tokens) and tokens[at].low in {",", "and"}:
        at += 1
    follows = number_at(tokens, at + 1) if at + 1 < len(tokens) else None
    if before.is_plain() and follows and other.fullmatch(tokens[at].low):
        before.plus, before.minus = (amount.nominal, None) if sides[0] else (None, amount.nominal)
        before.last, before.part_unit = amount.last, amount.unit
        return True
    if (before.plus is None) is (before.minus is None):
        return False
    amount.plus = before.plus if before.plus is not None else amount.nominal
    amount.minus = before.minus if before.minus is not None else amount.nominal
    amount.unit = amount.unit or before.part_unit
    if not stands_by(before, amount):
        return False
    before.last = amount.last
    return True
