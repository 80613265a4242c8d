"""Numbers that count things: "four you can see", "ten stops, then ten"."""

from __future__ import annotations

import re

from author.procedure.number_words import ONES
from author.proposals.language.verbs import is_work
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.cues import CAP_AFTER
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.vocabulary import (
    APPROVING,
    CHARACTERISTIC_WORDS,
    DIMENSIONS,
    FASTENERS,
    GO_ON,
    PRAISE,
    THINGS,
)
from author.proposals.quantities.no_quantity.sizes import tries_a_gap
from author.proposals.quantities.numbers.parts import BELOW_HUNDRED
from author.proposals.quantities.numbers.tokens import Token

_ASKED = frozenset(
    {"is", "to", "at", "reads", "measures", "than", "another", "over", "above", "under", "below",
     "exceed", "past", "least", "most", "was", "were", "got", "showing", "says", "hit", "seeing",
     "see", "getting", "shows", "hold", "holds", "take", "takes", "need", "needs", "want", "wants",
     "using", "made", "makes", "reading", "said", "give", "gives", "use"}
)  # fmt: skip
_WAYS = frozenset({"up", "down", "over", "under", "in", "out", "off", "to"})
_PLACED = re.compile(
    r"(?:at|on|in|along|down|up|round|under|behind) (?:the|each|this|that"
    r"|either) \w+(?: \w+)? ?,? ?(?:and )?"
)
_COUNTS_ON = re.compile(r"^[a-z]+s\b.*(?:then|and|,)(?: (?:another|the next|the other))?$")
_ALONG = re.compile(
    r"(?:of the way|down|across|along|up|full|through|round|empty|throttle|speed|open)\b"
)
_I_MAKE_IT = re.compile(
    r"\b(?:i (?:make|call|get|read)(?: it| that)|mine's|mines|mine is|ours is|it reads)$"
)
_DATED = re.compile(r"(?:this|next|last) (?:year|month|week|morning|time)\b|today\b|yesterday\b")
_NUMBERED_THINGS = frozenset({"bolts", "screws", "nuts", "pins", "studs", "cylinders", "teeth",
                              "steps", "terminals", "holes", "numbers", "positions",
                              "poles"})  # fmt: skip
_SEEN = re.compile(
    r"(?:done|gone|missing|short|to go|in (?:a|the|each|every) (?:pack|box|bag|kit|set"
    r"|packet))\b|"
    r"(?:that )?(?:you|i|we) (?:can|can't|could|see|don't)\b|each (?:end|side)\b|(?:at"
    r"|on) (?:the|each) "
    r"(?:front|back|rear|top|bottom|side|end)s?(?: and|,) (?:one|two|three|four|five|six)\b"
)


def is_counted_again(tokens: list[Token], counted: Amount, amount: Amount) -> bool:
    """Whether a bare number goes on with what the one before counts: "ten stops, then ten".

    Args:
        tokens: words of the sentence.
        counted: a number that counts.
        amount: the next number.
    """
    both = counted.unit is None and amount.unit is None and counted.form == amount.form == "whole"
    words = between(tokens, counted.last, amount.first)
    if both and max(counted.nominal or 0, amount.nominal or 0) <= 6 and _PLACED.fullmatch(words):
        return True  # "one at the top, two at the bottom"
    if _goes_on_with_a_thing(tokens, counted, amount):
        return True
    sizes = counted.unit == amount.unit and counted.form == amount.form == "whole"
    if sizes and words in {"and a", "or a", ", and a", ", a"}:
        return True  # "a ten and a thirteen"
    if not both or amount.role or amount.nominal != counted.nominal:
        return False
    return bool(words) and words[0].isalpha() and bool(_COUNTS_ON.search(words))


_APPOSED = re.compile(r"(?:[a-z]+ ){1,4}, ?(?:and )?(?:about )?")
_MEASURED_BY = frozenset({"long", "wide", "deep", "thick", "high", "tall", "across", "diameter"})
_SAYS = frozenset({"is", "are", "was", "be", "it", "it's", "they", "they're", "that's", "wants",
                   "cut",
                   "set", "and", "to", "gap", "should"})  # fmt: skip


def _goes_on_with_a_thing(tokens: list[Token], named: Amount, amount: Amount) -> bool:
    """Whether a size goes on to say which thing: "half-inch solid steel, eighteen inches long"."""
    words = between(tokens, named.last, amount.first)
    after = tokens[amount.last].low if amount.last < len(tokens) else ""
    sized = kind_of(named.unit) == kind_of(amount.unit) == "length" and after in _MEASURED_BY
    return sized and bool(_APPOSED.fullmatch(words + " ")) and not _SAYS & set(words.split())


def counts_a_thing(tokens: list[Token], amount: Amount, before: str, after: str) -> bool:
    """Whether what follows a number without a unit is a thing it counts or names.

    Args:
        tokens: words of the sentence.
        amount: the number.
        before: the word before it.
        after: the word after it.
    """
    feeler = after.startswith("feeler")
    ahead = between(tokens, max(0, amount.first - 4), amount.first)
    if amount.form == "decimal" and (feeler or _I_MAKE_IT.search(ahead)):
        return feeler  # "I make it .14, cylinder back up", its comma left out
    if before in {"the", "this", "that", "my", "those", "these", "all", "both"}:
        return amount.form not in {"range", "both", "decimal"}
    listed = after == "and" and amount.last + 1 < len(tokens)
    listed = listed and tokens[amount.last + 1].low in ONES
    # "a two-hundredths feeler shouldn't start"
    tried = amount.bottom in {10, 100} and tries_a_gap(tokens, amount.last)
    if tried or listed or orders(tokens, amount.last) or _in_a_list(tokens, amount):
        return False
    if _is_told_as_count(tokens, amount, before):
        return True
    failing = before in {"than", "under", "below"} and after in _TRIED
    said = failing or after in _SAID_OF_IT or after in GO_ON or _is_tried(tokens, amount, after)
    if said or _ends(tokens, amount, after):
        return False
    plural = after.endswith("s") and not after.endswith(("ss", "'s"))
    if after not in THINGS and (amount.form in {"decimal", "mixed"} or "exact" in amount.flags):
        return plural
    if amount.bottom >= 8 and (after in CHARACTERISTIC_WORDS or after not in THINGS):
        return plural and after not in CHARACTERISTIC_WORDS
    asked = amount.form != "fraction" and (before.endswith("'s") or before in _ASKED)
    return not asked or plural or after in THINGS


# "Over seventy means trouble", "twelve being the limit", "270 lying flat".
_SAID_OF_IT = frozenset({"being", "means", "meaning", "lying", "standing"})
_TRIED = frozenset({"goes", "slides", "fits", "slips", "passes", "drags", "sticks",
                    "enters", "binds"})  # fmt: skip
# What a value is of, where nothing it could count stands behind.
_STATES = frozenset({"new", "nominal", "showing", "left", "remaining", "unworn", "open", "empty"})


def _is_tried(tokens: list[Token], amount: Amount, after: str) -> bool:
    """Whether it is tried in a gap, or told of the new part: "point five goes", "52 new, ..."."""
    if amount.form in {"decimal", "mixed"} and after in _TRIED:
        return True
    further = tokens[amount.last + 1] if amount.last + 1 < len(tokens) else None
    return after in _STATES and (further is None or further.kind == "sign" or further.low == "and")


_MOST_NAMED, _LEAST_LISTED = 3, 5


def _in_a_list(tokens: list[Token], amount: Amount) -> bool:
    """Whether values are told one thing after the other to the end: "drain plug 40 filler 30"."""
    if amount.form != "whole" or tokens[amount.first].kind != "digits" or not amount.first:
        return False
    if (amount.nominal or 0) < _LEAST_LISTED or amount.first > _MOST_NAMED:
        return False
    at, values = 0, 0
    while at < len(tokens):
        start = at
        while at < len(tokens) and tokens[at].kind == "word" and tokens[at].low not in GO_ON:
            at += 1
        named = 1 <= at - start <= _MOST_NAMED
        if not named or at >= len(tokens) or tokens[at].kind != "digits":
            return False
        values, at = values + 1, at + 1
    return values > 1


_OBJECTS = frozenset({"a", "an", "the", "it", "them", "'em", "him", "her", "that", "this", "those",
                      "these", "your", "my", "its", "both", "another", "all", "everything",
                      "new", "one", "some", "any"})  # fmt: skip
_WHERETO = frozenset({"for", "at", "out", "off", "up", "down", "in", "on", "back", "again", "over",
                      "until", "round", "around", "then", "and", "away"})  # fmt: skip


def orders(tokens: list[Token], at: int) -> bool:
    """Whether an order begins behind a number: "past point three press a new one in"."""
    if at + 1 >= len(tokens) or tokens[at].kind != "word" or tokens[at].hyphen:
        return False
    word, following = tokens[at].low, tokens[at + 1].low
    if word in {"it", "them"} or not word.isalpha() or tokens[at + 1].hyphen:
        return False
    if following in {"it", "them", "'em", "him"} and word not in GO_ON:
        return True
    return is_work(word) and (following in _OBJECTS or following in _WHERETO - {"and", "in", "on"})


def _is_told_as_count(tokens: list[Token], amount: Amount, before: str) -> bool:
    """Whether the words around tell it, whatever the next one is: "four you can see"."""
    behind = between(tokens, amount.last, min(amount.last + 6, len(tokens)))
    if amount.form == "range":
        return before in _NUMBERED_THINGS
    if amount.form == "fraction":
        return _ALONG.match(behind) is not None
    if amount.form != "whole":
        return False
    if _THREAD.match(behind) or (before == "in" and _in_goes(tokens, amount)):
        return True
    if before == "and" and _NUMBERED.search(
        between(tokens, max(0, amount.first - 4), amount.first)
    ):
        return True
    out_of = before == "of" and amount.first > 1 and tokens[amount.first - 2].low == "out"
    seen = (amount.nominal or 0) <= _MOST_SEEN and _SEEN.match(behind) is not None
    shared = before not in _ASKED and _TO_EACH.match(behind)  # "eight to a row"
    few = seen or _goes_on_from_one(tokens, amount, behind)
    told = out_of or few or shared or _DATED.match(behind) or _OF_A_SORT.match(behind)
    sort = (amount.nominal or 0) <= _MOST_SEEN and behind.startswith(_SORTS)
    return bool(told) or _thing_ahead(tokens, amount.last + sort)


# "Terminals seven and eight", "pins two and four": which of them.
_NUMBERED = re.compile(
    r"\b(?:terminals|pins|cylinders|bolts|holes|ports|positions|contacts|wires|poles) "
    rf"(?:{'|'.join(sorted(ONES))}|[a-z]|\d\d?) and$"
)
_SORTS = ("long ", "short ", "thick ", "wide ")
_FROM_ONE = re.compile(
    r"\b(?:one|a single|an?) (?:[a-z]+ )?(?P<thing>[a-z]+) (?:on|at|in|for|by|each|under|behind)"
    r" (?:(?:the|each|this|that|your) )?[a-z]+(?: [a-z]+)? ?,? ?(?:and |then )?$"
)
_THEN_THERE = re.compile(r"(?:on|at|in|for|by|under|behind) (?:the|each|this|that|your)\b")
_MOST_MARKS = 6


def _goes_on_from_one(tokens: list[Token], amount: Amount, behind: str) -> bool:
    """Whether it counts on: "one dab on the left, two on the right", and no "one thou"."""
    if (amount.nominal or 0) > _MOST_MARKS or not _THEN_THERE.match(behind):
        return False
    begin = max(0, amount.first - 9)
    ahead = between(tokens, begin, amount.first)
    found = _FROM_ONE.search(ahead)
    if found is None or found["thing"] in CHARACTERISTIC_WORDS:
        return False
    return plain_unit_at(tokens, begin + len(ahead[: found.start("thing")].split())) is None


# "That's eight M10s".
_THREAD = re.compile(r"m ?\d+\b")
_TIGHTENED = frozenset({"do", "torque", "tighten", "torqued", "tightened", "nip", "pull"})
_MOST_GOES = 6


def _in_goes(tokens: list[Token], amount: Amount) -> bool:
    """Whether it tells how many goes it takes: "head bolts in three, twenty-five foot pounds"."""
    few = 1 < (amount.nominal or 0) <= _MOST_GOES and amount.last + 1 < len(tokens)
    if not few or tokens[amount.last].low not in {",", ":"}:
        return False
    ahead = {token.low for token in tokens[max(0, amount.first - 6) : amount.first]}
    further = tokens[amount.last + 1]
    value = further.kind == "digits" or further.low in BELOW_HUNDRED or further.low == "first"
    return value and bool(ahead & (FASTENERS | _TIGHTENED)) and "goes" not in ahead


# "Two wide ones", "ten long strokes": what looks like a dimension is what sort of thing it is.
_OF_A_SORT = re.compile(
    r"(?!(?:and|or|the|so|but|then|these|those)\b)[a-z]+ ones\b"
    r"|(?:long|short|wide|slow|deep|thick) (?!(?:is|as|its|this|was|across|plus|always|minus|less"
    r"|has|does|us)\b)[a-z]{2,}s(?<!ss)(?! (?:a|an|the|it|them)\b)(?=\s|$)"
    r"|a (?:row|layer|box|bag|pack|strip|tray|shelf)\b"
)
_TO_EACH = re.compile(r"(?:to (?:a|an|each|every) (?!stop\b|line\b|point\b)[a-z]+\b|per [a-z]+\b"
                      r"|in (?:a|each|every) (?:row|pack|box|bag|set|line|ring|kit|bank"
                      r"|case)\b)")  # fmt: skip
_MOST_SEEN = 12


def _ends(tokens: list[Token], amount: Amount, after: str) -> bool:
    """Whether nothing stands behind a number that it could count."""
    if not after or tokens[amount.last].kind == "sign" or "'" in after or after in DIMENSIONS:
        return True
    further = tokens[amount.last + 1] if amount.last + 1 < len(tokens) else None
    if after in APPROVING and (further is None or further.kind == "sign" or further.low in GO_ON):
        return True
    if amount.bottom in {10, 100} or amount.form in {"decimal", "range", "both"}:
        listed = tokens[amount.last].kind == "digits" or after in BELOW_HUNDRED
    else:
        listed = False
    showing = amount.bottom >= 8 and after.endswith("ing") and after not in THINGS
    return after in PRAISE or listed or showing


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


_COUNTED = ONES | {str(number): number for number in range(1, 6)}


def counts_on(tokens: list[Token], amount: Amount, after: str) -> bool:
    """Whether a number only counts: "one, two, three", "two up and two down", "85 140".

    Args:
        tokens: words of the sentence.
        amount: the number.
        after: the word after it.
    """
    value = amount.nominal or 0
    before_word = tokens[amount.first - 1].low if amount.first else ""
    back = amount.first - 1
    if back >= 0 and tokens[back].low in {",", "and"}:
        back -= 1
    aloud = any(token.low in {"count", "counting"} for token in tokens[max(0, back - 3) : back])
    before = (_COUNTED if aloud else ONES).get(tokens[back].low) if back >= 0 else None
    if before is not None and before == value - 1 and value <= 6:
        return True
    ahead = amount.last + 1 if after in {"and", ","} else amount.last
    if ahead < len(tokens) and BELOW_HUNDRED.get(tokens[ahead].low) == value + 1 and value <= 9:
        return not CAP_AFTER.match(between(tokens, ahead + 1, ahead + 6))  # "seven, eight tops"
    place = tokens[amount.last + 1].low if amount.last + 1 < len(tokens) else ""
    told = before_word in {"a", "get", "gets", *_ASKED} or place in {"the", "each", "every"}
    if value <= 12 and after in _WAYS and not told:
        return after != "to" and tokens[amount.first - 1].low not in {"than", "to", "at"}
    if before_word in {"steps", "stages", "passes", "then"}:
        return False
    follows = tokens[amount.last] if amount.last < len(tokens) else None
    return follows is not None and follows.kind == "digits" and "." not in follows.text


_FASTENED = re.compile(
    r"\b(?:bolts|nuts|screws|studs|clips|pins|rivets|washers|shims|springs|setscrews|buttons) ,"
    r"(?: all| there's| there are)?$"
)
_ALL_OF_IT = re.compile(r"(?:of (?:them|those|these)|in all)\b")
_AT_END = re.compile(r"[.;]?$")
_LOOSENED = frozenset({"slack", "slacken", "undo", "loosen", "remove", "unscrew", "ease", "crack"})
_MOST_FASTENED = 24


def is_told_behind(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number counts what was named right before it: "slack the motor bolts, four".

    Args:
        tokens: words of the sentence.
        amount: one of its amounts.
    """
    if amount.unit is not None or amount.form != "whole":
        return False
    ahead = between(tokens, max(0, amount.first - 4), amount.first)
    behind = between(tokens, amount.last, min(amount.last + 3, len(tokens)))
    few = (amount.nominal or 0) <= _MOST_FASTENED and _FASTENED.search(ahead) is not None
    loosened = tokens[0].low in _LOOSENED and _AT_END.fullmatch(behind) is not None
    return few and (loosened or _ALL_OF_IT.match(behind) is not None)
