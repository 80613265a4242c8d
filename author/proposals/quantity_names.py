"""Numbers that are no quantities: names, sizes of tools, counts, dates, prices, idioms."""

from __future__ import annotations

from author.proposals.number_parts import BELOW_HUNDRED, ONES
from author.proposals.number_tokens import Token
from author.proposals.quantity_amount import Amount, between
from author.proposals.quantity_units import MIL, POUND, kind_of
from author.proposals.quantity_vocabulary import (
    CHARACTERISTIC_WORDS,
    FASTENERS,
    GO_ON,
    JOINERS,
    MONEY,
    MONTHS,
    NAMES_BEFORE,
    NO_UNITS,
    OF_A_MAKE,
    THINGS,
)

# Things that a size names: a "ten mil socket" is not ten millimetres of anything.
# What such a size can measure instead: "a two millimetre gap" is one.
_MEASURES = ("long", "deep", "proud", "apart", "wide", "thick", "high", "tall", "of", "from",
             "below", "above", "past", "off", "under", "clear", "out", "in", "up",
             "down")  # fmt: skip
_ATTRIBUTES = frozenset({"length", "mass", "volume", "voltage", "current", "power", None})
_CLOCK = frozenset(["half", "quarter", "ten", "twenty", "five"])
_NEAR = 12
_ASKED = frozenset(
    {"is", "to", "at", "reads", "measures", "than", "another", "over", "above", "under", "below",
     "exceed", "past", "least", "most", "was", "were", "got", "showing", "says", "hit", "seeing",
     "getting", "shows"}
)  # fmt: skip
_TESTS = {"if", "shouldn't", "mustn't", "can't", "won't"}
_WITHIN = frozenset({"within", "than", "to"})
_COUNTED = ("counted", "count", "there's", "there are", "there're", "got all", "all", "all the")
_WAYS = frozenset({"up", "down", "over", "under", "in", "out", "off", "to"})
_AGO = frozenset({"ago", "old", "o'clock", "oclock"})
_FEELS = frozenset({"goes", "fits", "slides", "drag", "drags", "passes", "slips", "enters"})
_STARTS_MONEY = frozenset({"$", "£", "€"})
_SURE = (
    "off",
    "discount",
    "less than",
    "more than",
    "sure",
    "certain",
    "of the time",
    "happy",
    "positive",
    "there",
    "confident",
    "agree",
)
_IDLE = ("give me", "gimme", "hang on", "spare you the", "bear with me", "hold on", "just",
    "see you in", "back in",
         "took me", "take me", "takes me", "take you", "takes you", "took us", "i've been",
         "been at this", "been at it", "spent", "spend", "saves you", "save you", "skip ahead",
         "skip", "the last", "wait a", "wait one", "minute in", "in the first",
         "the first", "video is", "next time", "in about")  # fmt: skip
# Behind a number without a unit these go on with the sentence: no thing is counted.


def left_alone(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number only looks like a quantity, whatever stands around its sentence.

    Args:
        tokens: of the sentence.
        amount: one of its amounts; those of a size or a thread are never left alone.
    """
    if amount.form in {"thread", "size"}:
        return False
    if amount.form == "spelled" and amount.unit is None:
        named = amount.first and tokens[amount.first - 1].low in NAMES_BEFORE
        return bool(named) or amount.last - amount.first not in {4, 5}
    before = tokens[amount.first - 1].low if amount.first else ""
    after = tokens[amount.last].low if amount.last < len(tokens) else ""
    ahead = between(tokens, max(0, amount.first - 4), amount.first)
    behind = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
    if (
        kind_of(amount.unit) == "count"
        or before in _STARTS_MONEY
        or after in _AGO
        or _idle(amount, ahead, behind)
    ):
        return True
    makes = _names_a_make(tokens, amount, behind)
    if amount.form == "both":
        return False
    if amount.unit is None:
        named = makes and amount.form in {"mixed", "fraction"}
        return named or _names_something(tokens, amount, before, after)
    around = tokens[max(0, amount.first - _NEAR) : amount.last + _NEAR]
    priced = amount.unit == POUND and any(token.low in MONEY for token in around)
    sure = amount.unit == "%" and (behind.startswith(_SURE) or _is_all(amount, before))
    return priced or sure or makes or _is_size_of_thing(tokens, amount, before)


def _is_all(amount: Amount, before: str) -> bool:
    return amount.nominal in {100, 110} and before not in {"to", "at", "is", "reads"}


def _names_a_make(tokens: list[Token], amount: Amount, behind: str) -> bool:
    """Whether a size names what stands before it: "the nut's a half inch", "a five-inch"."""
    if kind_of(amount.unit) not in {"length", "current", "volume", None} and amount.unit != MIL:
        return False
    if behind.startswith(_MEASURES) or amount.form in {"range", "both"}:
        return False
    last = tokens[amount.last - 1]
    stands_alone = (
        not behind or not behind[0].isalpha() or behind.startswith(("and ", "to ", "for "))
    )
    before = tokens[amount.first - 1].low if amount.first else ""
    named = before in {"a", "an", "your", "my", "that", "this"}
    if (last.hyphen or named) and amount.single and stands_alone and amount.nominal != 1:
        return True
    for back in range(1, 5):
        at = amount.first - back
        low = tokens[at].low.removesuffix("'s") if at >= 0 else ""
        if low in FASTENERS:
            return True
        if low not in OF_A_MAKE and not (back == 1 and amount.unit is None and low == ","):
            return False
    return False


def _idle(amount: Amount, ahead: str, behind: str) -> bool:
    """Whether a time is only talk: "give me two minutes"."""
    if kind_of(amount.unit) != "time":
        return False
    if amount.unit == "s" and amount.nominal in {1, 2} and amount.form == "whole":
        starts = amount.first == 0 and behind[:1] in {",", "", "."}
        if starts or "article" in amount.flags:
            return True
    if amount.unit == "min" and amount.nominal == 1 and "article" in amount.flags:
        return amount.single and amount.form == "whole" and "good" not in ahead
    return ahead.endswith(_IDLE) or behind.startswith(("ago", "old", "from now", "later we"))


def _names_something(tokens: list[Token], amount: Amount, before: str, after: str) -> bool:
    """Whether a number without a unit names or counts something."""
    following = tokens[amount.last + 1].low if amount.last + 1 < len(tokens) else ""
    if after == "of":
        if following in {"each", "that", "spec", "this", "it"} and before in _WITHIN:
            return False
        fine = amount.form == "fraction" and amount.bottom >= 8
        return not fine and (amount.form == "whole" or following not in CHARACTERISTIC_WORDS)
    by_clock = before == "past" and amount.first > 1 and tokens[amount.first - 2].low in _CLOCK
    named = before in NAMES_BEFORE or after in NO_UNITS or bool({before, after} & MONTHS)
    ratio = amount.form == "whole" and ":" in {before, after}
    joined = ratio or "/" in {before, after} or (after == "-" and amount.form == "whole")
    denied = before == "not" and amount.form == "whole" and "corrected" not in amount.flags
    if by_clock or named or joined or denied or _is_code_or_count(tokens, amount, before, after):
        return True
    return _counts_a_thing(tokens, amount, before, after)


def _is_code_or_count(tokens: list[Token], amount: Amount, before: str, after: str) -> bool:
    """Whether a number without a unit is part of a name, a year, or counted off."""
    first = tokens[amount.first]
    letters = len(before) == 1 and before.isalpha() and before not in {"a", "i"}
    capitals = amount.first and tokens[amount.first - 1].text.isupper() and len(before) > 1
    touches = first.glued and before.isalpha()
    value = amount.nominal or 0
    alone = before in {",", "than"} and after in {"", ".", ",", ";"}
    if amount.form == "whole" and ((value == 1 and not alone) or _counts_on(tokens, amount, after)):
        return True
    counted = " ".join(token.low for token in tokens[max(0, amount.first - 2) : amount.first])
    if amount.form == "whole" and counted.endswith(_COUNTED):
        return True
    year = amount.form == "whole" and 1700 <= value <= 2035
    if year and ("paired" in amount.flags or before in {"a", "in", "the", "since", "from"}):
        return True
    told = amount.first and tokens[amount.first - 1].low in ONES and first.kind == "word"
    if (amount.form == "mixed" and (told or value > 99_999)) and not first.glued:
        return True
    return bool(letters or touches or (capitals and amount.form == "whole" and before != "to"))


def _counts_a_thing(tokens: list[Token], amount: Amount, before: str, after: str) -> bool:
    """Whether what follows a number without a unit is a thing it counts or names."""
    if amount.form == "decimal" and after.startswith("feeler"):
        return True
    if before in {"the", "this", "that", "my", "those", "these", "all", "both"}:
        return amount.form not in {"range", "both", "decimal"}
    if after == "and" and amount.last + 1 < len(tokens) and tokens[amount.last + 1].low in ONES:
        return False
    if amount.form == "whole" and _thing_ahead(tokens, amount.last):
        return True
    is_end = not after or tokens[amount.last].kind == "sign"
    if amount.bottom in {10, 100} or amount.form == "decimal":  # a list of readings
        is_end = is_end or tokens[amount.last].kind == "digits" or after in BELOW_HUNDRED
    if is_end or after in GO_ON:
        return False
    plural = after.endswith("s") and not after.endswith(("ss", "'s"))
    if amount.form in {"decimal", "mixed"} and after not in THINGS:
        return plural
    if amount.bottom in {10, 100} and after in CHARACTERISTIC_WORDS:
        return False
    asked = amount.form != "fraction" and (before.endswith("'s") or before in _ASKED)
    return not asked or plural or after in THINGS


def _thing_ahead(tokens: list[Token], at: int) -> bool:
    """Whether fasteners follow within three words: "four M8 screws", "four shield bolts"."""
    for place, token in enumerate(tokens[at : at + 4], at + 1):
        if token.hyphen or (place < len(tokens) and tokens[place].hyphen):
            continue
        if token.kind == "sign" or token.low in GO_ON or token.low in CHARACTERISTIC_WORDS:
            return False
        if token.low in FASTENERS and token.low.endswith("s"):
            return True
    return False


def _counts_on(tokens: list[Token], amount: Amount, after: str) -> bool:
    """Whether a number only counts: "one, two, three", "two up and two down", "85 140"."""
    value = amount.nominal or 0
    before_word = tokens[amount.first - 1].low if amount.first else ""
    back = amount.first - 1
    if back >= 0 and tokens[back].low in {",", "and"}:
        back -= 1
    before = ONES.get(tokens[back].low) if back >= 0 else None
    if before is not None and before == value - 1 and value <= 6:
        return True
    ahead = amount.last + 1 if after in {"and", ","} else amount.last
    if ahead < len(tokens) and BELOW_HUNDRED.get(tokens[ahead].low) == value + 1 and value <= 9:
        return True
    place = tokens[amount.last + 1].low if amount.last + 1 < len(tokens) else ""
    told = before_word in {"a", "get", "gets", *_ASKED} or place in {"the", "each", "every"}
    if value <= 12 and after in _WAYS and not told:
        return after != "to" and tokens[amount.first - 1].low not in {"than", "to", "at"}
    if before_word in {"steps", "stages", "passes", "then"}:
        return False
    follows = tokens[amount.last] if amount.last < len(tokens) else None
    return follows is not None and follows.kind == "digits" and "." not in follows.text


def _is_size_of_thing(tokens: list[Token], amount: Amount, before: str) -> bool:
    """Whether a size names the thing that follows: "the ten mil deep socket"."""
    at, steps = amount.last, 0
    if amount.unit == "mL" or tokens[amount.last - 1].low in {"mils", "mills"}:
        pass
    plural = tokens[amount.last - 1].low.endswith(("s", "feet")) and not amount.single
    if plural and amount.unit not in {MIL, "thou"}:
        return False
    while at < len(tokens) and steps < 4:
        low = tokens[at].low
        if low == "-":
            at += 1
            continue
        if low in CHARACTERISTIC_WORDS:
            return False
        if low in THINGS and not _goes_on(tokens, at):
            return not (
                low.startswith("feeler")
                and any(token.low in _TESTS for token in tokens)
                and _FEELS & {token.low for token in tokens[at : at + _NEAR]}
            )
        free = kind_of(amount.unit) in _ATTRIBUTES and low not in GO_ON and steps < 3
        if tokens[at].kind != "word" or not (low in JOINERS or free):
            return steps > 0 and _is_described(tokens, amount, before)
        at, steps = at + 1, steps + 1
    return 0 < steps < 3 and _is_described(tokens, amount, before)


def _is_described(tokens: list[Token], amount: Amount, before: str) -> bool:
    """Whether a size describes the thing that follows, as in "a sixteen mil shaft"."""
    long = kind_of(amount.unit) == "length" or amount.unit == MIL
    return (
        long
        and before in {"a", "an", "the", "this", "that", "my"}
        and (amount.single or amount.unit in {MIL, "mm"})
        and tokens[amount.last].low not in JOINERS
    )


def _goes_on(tokens: list[Token], at: int) -> bool:
    """Whether the thing is itself part of a characteristic: "ten newton metre bolt torque"."""
    after = tokens[at + 1].low if at + 1 < len(tokens) else ""
    return after in {"torque", "gap", "clearance", "pressure", "travel", "depth", "preload"}
