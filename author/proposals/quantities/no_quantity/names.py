"""Numbers that are no quantities: names, sizes of tools, counts, dates, prices, idioms."""

from __future__ import annotations

import re
from itertools import pairwise

from author.checks.verbs import words
from author.procedure.number_words import ONES
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.behind_numbers import names_its_size
from author.proposals.quantities.amounts.tightening import is_head_size
from author.proposals.quantities.amounts.units import MIL, POUND, kind_of
from author.proposals.quantities.amounts.vocabulary import (
    CHARACTERISTIC_WORDS,
    FASTENERS,
    MONEY,
    MONTHS,
    NAMES_BEFORE,
    NO_UNITS,
    OF_A_MAKE,
    THINGS,
)
from author.proposals.quantities.no_quantity import tools
from author.proposals.quantities.no_quantity.counts import counts_a_thing, counts_on, is_told_behind
from author.proposals.quantities.no_quantity.idle_times import is_idle, is_small_talk
from author.proposals.quantities.no_quantity.named_before import is_name_before, is_of_a_sort
from author.proposals.quantities.no_quantity.refused import names_refused
from author.proposals.quantities.no_quantity.sizes import is_size_of_thing
from author.proposals.quantities.no_quantity.told_in_passing import is_in_passing
from author.proposals.quantities.no_quantity.which_one import carries, is_timber, tells_which
from author.proposals.quantities.numbers.parts import BEHIND_A_READING
from author.proposals.quantities.numbers.tokens import Token

_FEW_DIGITS, _MOST_DIGITS = 3, 5
_COUNTED_OUT = frozenset({"123", "234", "345", "321", "432"})


def _can_be_read_out(tokens: list[Token], amount: Amount) -> bool:
    """Whether digits said one by one can be a value: "eight nine seven", "one four nine eight"."""
    digits = amount.last - amount.first
    if digits == _FEW_DIGITS:
        after = tokens[amount.last].low if amount.last < len(tokens) else ""
        return after in BEHIND_A_READING and f"{amount.nominal}" not in _COUNTED_OUT
    return _FEW_DIGITS < digits <= _MOST_DIGITS


# What such a size can measure instead: "a two millimetre gap" is one.
_MEASURES = ("long", "deep", "proud", "apart", "wide", "thick", "high", "tall", "of", "from",
             "below", "above", "past", "off", "under", "clear", "out", "in", "up",
             "down")  # fmt: skip
_CLOCK = frozenset(["half", "quarter", "ten", "twenty", "five"])
_NEAR = 12
_WITHIN = frozenset({"within", "than", "to"})
_COUNTED = ("counted", "count", "there's", "there are", "there're", "got all", "all", "all the")
_STRETCHES = frozenset({"in a", "in any", "in one", "in each"})
_MEASURED_OFF = words(
    "metre meter foot hundred thousand inch minute hour star cross diagonal spiral zigzag case "
    "event"
)
_AGO = frozenset({"ago", "old", "o'clock", "oclock"})
_STARTS_MONEY = frozenset({"$", "£", "€"})
_SURE = (
    "of you", "of people", "of folks", "of them", "of these", "of those", "of customers",
    "of cases", "of the cases", "off", "discount", "less than", "more than", "sure", "certain",
    "of the time", "happy", "positive", "there", "confident", "agree",
)  # fmt: skip


def _in_a_stretch(tokens: list[Token], after: int) -> bool:
    """Whether things are counted on a stretch: "more than two in a hand's width"."""
    low = [token.low for token in tokens[after : after + 3]]
    return " ".join(low[:2]) in _STRETCHES and not _MEASURED_OFF & set(low[2:])


def left_alone(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number only looks like a quantity, whatever stands around its sentence.

    Args:
        tokens: of the sentence.
        amount: one of its amounts; of sizes and threads only timber is left alone.
    """
    if amount.form in {"thread", "size"}:
        after = tokens[amount.last].low if amount.last < len(tokens) else ""
        in_turn = set(amount.numbers) == {1} and amount.unit is None  # "wires on, one by one"
        return is_timber(tokens, amount) or in_turn or after in {"spanner", "spanners", "wrench"}
    if amount.form == "spelled" and amount.unit is None:
        named = amount.first and tokens[amount.first - 1].low in NAMES_BEFORE
        return bool(named) or not _can_be_read_out(tokens, amount)
    before = tokens[amount.first - 1].low if amount.first else ""
    after = tokens[amount.last].low if amount.last < len(tokens) else ""
    ahead = between(tokens, max(0, amount.first - 4), amount.first)
    behind = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
    if (
        kind_of(amount.unit) == "count"
        or _OLD_ONE.match(behind)
        or _ARE_FEET.match(between(tokens, amount.last - 1, amount.last + 4))
        or _ARE_FEET.match(between(tokens, amount.last - 2, amount.last))
        or (
            amount.nominal == 1
            and _TURN_IS_WORTH.match(between(tokens, amount.last - 1, amount.last + 6))
        )
        or is_of_a_sort(tokens, amount)
        or is_told_behind(tokens, amount)
        or names_its_size(tokens, amount.first, amount.last)
        or tools.is_spanner(tokens, amount)
        or is_head_size(tokens, amount)
        or _takes_so_many(amount, ahead, behind)
        or before in _STARTS_MONEY
        or after in _AGO
        or is_idle(tokens, amount, ahead, behind)
        or is_in_passing(tokens, amount)
        or names_refused(tokens, amount)
        or is_small_talk(amount, ahead, between(tokens, amount.last, amount.last + 8))
    ):
        return True
    if tools.is_of_tool(tokens, amount) or tells_which(tokens, amount):
        return True
    summed = _sums_up(tokens, amount) or _is_half_a_thing(tokens, amount)
    if summed or _numbers_them(tokens, amount) or _is_of_engine(tokens, amount):
        return True
    makes = _names_a_make(tokens, amount, behind) or tools.is_so_many_ton(tokens, amount, before)
    if amount.form == "both":
        return False
    if amount.unit is None:
        named = makes and amount.form in {"mixed", "fraction"}
        return named or _names_something(tokens, amount, before, after)
    around = tokens[max(0, amount.first - _NEAR) : amount.last + _NEAR]
    priced = amount.unit == POUND and any(token.low in MONEY for token in around)
    sure = amount.unit == "%" and (
        _is_strength(tokens, amount) or behind.startswith(_SURE) or _is_all(amount, before)
    )
    # Of a resistor its value is told, not its size.
    size = kind_of(amount.unit) not in {"resistance", "capacitance"}
    return priced or sure or makes or (size and is_size_of_thing(tokens, amount, before))


def _takes_so_many(amount: Amount, ahead: str, behind: str) -> bool:
    """Whether so many are taken; "it may take three at most" tells a time."""
    bare = amount.unit is None and amount.form == "whole"
    return bare and _OR_TWO.search(ahead) is not None and not _AT_MOST.match(behind)


_AT_MOST = re.compile(r"(?:at (?:the )?(?:most|least|longest)|tops|max(?:imum)?)\b")
# "A drop or two", "take two, they get lost".
_OR_TWO = re.compile(
    r"\ban? (?!inch|mil|volt|amp|bar|turn|degree|litre|minute)\w+ or$"
    r"|(?<!or )(?<!bolts )(?<!nuts )(?<!screws )(?<!studs )(?<!ones )(?<!they )(?<!only )"
    r"\b(?:take|order)$"
)
# "The four feet of the motor", "one foot at a time", "its two front feet".
_ARE_FEET = re.compile(
    r"feet (?:of|on|under) (?:the|its|that)\b|foot at a time\b"
    r"|(?:front|back|rear|rubber) (?:feet|foot)\b"
)
# "A turn's worth about two pounds": what a turn brings, and none that is made.
_TURN_IS_WORTH = re.compile(
    r"turns?(?: (?:on|of) (?:the|this|that|it)(?: \w+){0,2})?(?:'s| is| are)? (?:worth|good for)\b"
    r"|turns?(?: (?:on|of) (?:the|this|that|it)(?: \w+){0,2})? gives? (?:you|me|about)\b"
)
_OLD_ONE = re.compile(r"across (?:the )?flats\b|(?:was|is|'s) (?:the|an|our) old |used to be\b")
_HUNDREDTH = 100
_RULES = frozenset({"edge", "straightedge", "rule", "ruler", "level"})
_LONG = frozenset({"m", "ft", "cm", "in"})
_NUMBERING = frozenset({"mark", "number", "label", "tag", "stamp", "marked", "numbered", "labelled",
                        "labeled", "tagged", "stamped", "numbering", "marking"})  # fmt: skip
_ENGINES = frozenset({"engine", "model", "diesel", "petrol", "motor", "turbo", "van", "car",
                      "truck", "tractor", "v6", "v8", "hybrid"})  # fmt: skip


def _numbers_them(tokens: list[Token], amount: Amount) -> bool:
    """Whether things get numbers from one up: "mark the vanes, one to four"."""
    ranged = amount.form == "range" and amount.lower == 1 and amount.unit is None
    if ranged and (amount.upper or 0) >= _THINNED and any(t.low in _MIXED for t in tokens):
        return True
    return ranged and any(token.low in _NUMBERING for token in tokens[: amount.first])


_MIXED = frozenset({"mix", "mixed", "dilute", "diluted", "ratio", "concentrate", "strength",
                    "thinned",
                    "cleaner", "parts", "detergent", "stuff", "soap", "solution"})  # fmt: skip
_THINNED = 3


_SUMS = re.compile(r"\b(?:so that's|that makes|which makes|that's|makes it|that makes it)$")


def _sums_up(tokens: list[Token], amount: Amount) -> bool:
    """Whether fasteners told before are added up: "four here, two behind, so that's six"."""
    whole = amount.form == "whole" and amount.unit is None and (amount.nominal or 0) > 1
    ends = amount.last >= len(tokens) or tokens[amount.last].kind == "sign"
    ahead = between(tokens, max(0, amount.first - 3), amount.first)
    summed = ends and bool(_SUMS.search(ahead))
    if not whole or not (summed or ahead.endswith(" another")):
        return False
    return any(token.low in FASTENERS for token in tokens[: amount.first])


def _is_of_engine(tokens: list[Token], amount: Amount) -> bool:
    """Whether litres tell which engine it is: "it's the two litre diesel"."""
    if amount.unit != "L" or not amount.single or not amount.is_plain() or amount.nominal == 1:
        return False
    behind = {token.low for token in tokens[amount.last : amount.last + 3]}
    ahead = {token.low for token in tokens[max(0, amount.first - 4) : amount.first]}
    return "of" not in behind and bool((behind | ahead) & _ENGINES)


_STRONG = frozenset({"alcohol", "ethanol", "peroxide", "solution", "isopropyl", "ipa", "acid",
                     "tin", "lead", "vinegar", "silver", "antifreeze", "bleach", "ammonia",
                     "spirit"})  # fmt: skip


def _is_strength(tokens: list[Token], amount: Amount) -> bool:
    """Whether percent tell which of its kind a stuff is: "seventy percent alcohol"."""
    return amount.last < len(tokens) and tokens[amount.last].low in _STRONG


def _is_half_a_thing(tokens: list[Token], amount: Amount) -> bool:
    """Whether a half is of a thing that stands before it: "a business card and a half"."""
    at = amount.first
    if (
        amount.unit is not None
        or amount.form != "fraction"
        or amount.bottom != 2
        or at < 2
        or tokens[at - 1].low != "and"
    ):
        return False
    return tokens[at - 2].low in THINGS or tokens[at - 2].low in {"card", "sheet", "page", "hair"}


def _is_all(amount: Amount, before: str) -> bool:
    return amount.nominal in {100, 110} and before not in {"to", "at", "is", "reads"}


def _names_a_make(tokens: list[Token], amount: Amount, behind: str) -> bool:
    """Whether a size names what stands before it: "the nut's a half inch", "a five-inch"."""
    if kind_of(amount.unit) not in {"length", "current", "volume", None} and amount.unit != MIL:
        return False
    if amount.form == "fraction" and between(tokens, amount.first + 1, amount.last)[:2] == "a ":
        return False  # "between box and nut half a millimetre"
    fine = amount.bottom == _HUNDREDTH and amount.unit is None
    if fine or behind.startswith(_MEASURES) or amount.form in {"range", "both"}:
        return False
    last = tokens[amount.last - 1]
    stands_alone = (
        not behind or not behind[0].isalpha() or behind.startswith(("and ", "to ", "for "))
    )
    before = tokens[amount.first - 1].low if amount.first else ""
    named = before in {"a", "an", "your", "my", "that", "this"}
    if (last.hyphen or named) and amount.single and stands_alone and amount.nominal != 1:
        return True
    edge = tokens[amount.first - 2].low if amount.first > 1 and before == "," else before
    if edge in _RULES and amount.unit in _LONG:
        return True  # "a straight edge, one point two metres"
    for back in range(1, 5):
        at = amount.first - back
        low = tokens[at].low.removesuffix("'s") if at >= 0 else ""
        if low in FASTENERS:
            return True
        if low not in OF_A_MAKE and not (back == 1 and amount.unit is None and low == ","):
            return False
    return False


def _names_something(tokens: list[Token], amount: Amount, before: str, after: str) -> bool:
    """Whether a number without a unit names or counts something."""
    following = tokens[amount.last + 1].low if amount.last + 1 < len(tokens) else ""
    if after == "of":
        if following in {"each", "one", "that", "spec", "this", "it"} and _is_near(tokens, amount):
            return False
        some = amount.form == "whole" and following == "it" and (amount.nominal or 0) > 1
        if some or (amount.form == "decimal" and following not in {"the", "a", "an"}):
            return False  # "I've thirty of it", "nought point nine of shims"
        fine = amount.form == "fraction" and amount.bottom >= 8
        return not fine and (amount.form == "whole" or following not in CHARACTERISTIC_WORDS)
    if after in {"a", "an", "per"} and following in {"minute", "second", "hour", "day", "week"}:
        return amount.form == "whole"  # "ninety a minute": beats, strokes or drops
    if before == "speed" and after == "on":
        return True  # "speed six on the dial"
    by_clock = before == "past" and amount.first > 1 and tokens[amount.first - 2].low in _CLOCK
    ranged = amount.form == "range" and after == "passes"  # "passes, the book reckons"
    named = (
        is_name_before(tokens, amount, before)
        or (after in NO_UNITS and not ranged)
        or bool({before, after} & MONTHS)
    )
    ratio = amount.form == "whole" and _in_ratio(tokens, amount)
    joined = ratio or "/" in {before, after} or (after == "-" and amount.form == "whole")
    denied = before == "not" and amount.form == "whole" and "corrected" not in amount.flags
    if by_clock or named or joined or denied or _is_code_or_count(tokens, amount, before, after):
        return True
    return counts_a_thing(tokens, amount, before, after)


def _is_near(tokens: list[Token], amount: Amount) -> bool:
    """Whether it says how near: "within two of each other", "inside of fifteen of that"."""
    ahead = [token.low for token in tokens[max(0, amount.first - 2) : amount.first]]
    return bool(ahead) and (ahead[-1] in _WITHIN or ahead == ["inside", "of"])


def _in_ratio(tokens: list[Token], amount: Amount) -> bool:
    """Whether a colon joins a number to another, as in 50:1; "speed again: forty" is none."""
    first, after = amount.first, amount.last
    before = first > 1 and tokens[first - 1].low == ":" and tokens[first].glued
    colon = after + 1 < len(tokens) and tokens[after].low == ":" and tokens[after + 1].glued
    return bool((before and tokens[first - 1].glued) or colon)


_MADE = frozenset({"made", "built", "bought", "new", "back", "out", "born", "started", "rebuilt",
                   "one"})  # fmt: skip


_IS_PAST = frozenset({"never", "not", "be", "is", "it's", "stay", "go", "goes", "drop", "drops",
                      "anything", "nothing", "well", "fall", "falls", "gets", "stays"})  # fmt: skip
# "The book lets you have one", "call it one".
_ALLOWED_ONE = re.compile(r"\b(?:(?:lets?|allows?) (?:you|us|me)(?: have)?|call it|calls? that)$")


def _is_code_or_count(tokens: list[Token], amount: Amount, before: str, after: str) -> bool:
    """Whether a number without a unit is part of a name, a year, or counted off."""
    first = tokens[amount.first]
    letters = len(before) == 1 and before.isalpha() and before not in {"a", "i"}
    letters = letters and not _in_turn(tokens, amount)
    capitals = amount.first and tokens[amount.first - 1].text.isupper() and len(before) > 1
    capitals = capitals and before not in _GASES
    touches = first.glued and before.isalpha()
    value = amount.nominal or 0
    alone = before in {",", "than", "lose", "drop", "exactly", "is"} and after in {
        "",
        ".",
        ",",
        ";",
    }
    alone = alone or (before in {"than", "over", "exceed"} and after in {"in", "at", "on", "each"})
    past = before in {"under", "below", "over", "above"} and after in {"", ".", ",", ";"}
    ahead = tokens[amount.first - 2].low if amount.first > 1 else ""
    alone = alone or (past and ahead in _IS_PAST)
    alone = (
        alone
        or before == "within"
        or bool(_ALLOWED_ONE.search(between(tokens, max(0, amount.first - 3), amount.first)))
    )
    if amount.form == "whole" and ((value == 1 and not alone) or counts_on(tokens, amount, after)):
        return True
    counted = " ".join(token.low for token in tokens[max(0, amount.first - 3) : amount.first])
    is_counted = counted.removesuffix(" ,").endswith(_COUNTED)
    if amount.form == "whole" and is_counted and not carries(tokens, amount):
        return True
    if amount.form == "whole" and _in_a_stretch(tokens, amount.last):
        return True
    if amount.form == "whole" and before == "in" and ahead in _MADE and 40 <= value <= 99:
        return True
    year = amount.form == "whole" and 1700 <= value <= 2035
    year = year and before not in {
        "at",
        "than",
        "reads",
        "hit",
        "making",
        "does",
        "turning",
        "runs",
    }
    if year and ("paired" in amount.flags or before in {"a", "in", "the", "since", "from"}):
        return True
    told = amount.first and tokens[amount.first - 1].low in ONES and first.kind == "word"
    if (amount.form == "mixed" and (told or value > 99_999)) and not first.glued:
        return True
    return bool(letters or touches or (capitals and amount.form == "whole" and before != "to"))


# "CO nineteen" is read off.
_GASES = frozenset({"co", "co2", "nox"})
_FEW = 12


def _in_turn(tokens: list[Token], amount: Amount) -> bool:
    """Whether letters tell what is read in turn: "R nine point one, Y nine point three"."""
    if amount.form != "decimal" and (amount.form != "whole" or (amount.nominal or 0) <= _FEW):
        return False
    letters = {
        token.low
        for token, after in pairwise(tokens)
        if token.text.isupper() and len(token.text) == 1 and token.low not in {"a", "i"}
        and not after.glued
    }  # fmt: skip
    return len(letters) > 1
