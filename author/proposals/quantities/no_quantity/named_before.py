"""Words before a number that make it a name: "second pass", "threadlocker 243"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.vocabulary import (
    NAMES_BEFORE,
)
from author.proposals.quantities.numbers.tokens import Token

# "A drop of threadlocker 243", "EP 220", "top it up with AW thirty two": which one it is.
_OF_STUFF = re.compile(
    r"\b(?:loctite|thread ?lock(?:er|ing)?|retainer|e ?p|v ?g|iso v ?g|sae|hlp|hvi"
    r"|(?:with|of|some|the|use|in|proper|fresh|takes|it's|an?) (?:iso|a ?w))$"
)


_GRADES, _MOST_SECONDS = 15, 1000


# "A litre of fifteen forty", "some ten W forty": SAE J300's grades of engine oil.
_OIL_GRADE = re.compile(
    r"(?:zero|nought|five|ten|fifteen|twenty)[ -](?:w[ -]?)?(?:twenty|thirty|forty|fifty|sixty)"
    r"|(?:0|5|10|15|20)[ -](?:w[ -]?)?(?:20|30|40|50|60)"
)
_OF_SOME = re.compile(r"\b(?:of|some|with|use|straight|proper|fresh|new|the)$")
_OIL_BEHIND = re.compile(r"(?:oil|in it|in there|up to|to the|till|until|goes|semi|mineral|,|\.|$)")


def is_of_a_sort(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number tells which sort it is: "threadlocker 243", "a pair of 7206s"."""
    value = amount.nominal or 0
    said = between(tokens, amount.first, amount.last)
    if _OIL_GRADE.fullmatch(said):
        ahead = between(tokens, max(0, amount.first - 2), amount.first)
        behind = between(tokens, amount.last, min(len(tokens), amount.last + 2))
        if _OF_SOME.search(ahead) and _OIL_BEHIND.match(behind):
            return True
    # "Put a litre of AW 32 in": no inches
    if amount.unit in {None, "in"} and amount.form == "whole" and value >= _GRADES:
        return bool(_OF_STUFF.search(between(tokens, max(0, amount.first - 3), amount.first)))
    many = tokens[amount.last - 1].text == "s" and value >= _MOST_SECONDS
    return many and amount.unit == "s" and amount.form == "whole"


_ORDINALS = frozenset({"first", "second", "third", "fourth", "next", "last", "final", "each",
                       "every", "initial", "another", "that", "this"})  # fmt: skip


_STAGES = frozenset({"pass", "stage", "step", "round"})


def is_name_before(tokens: list[Token], amount: Amount, before: str) -> bool:
    """Whether the word before makes the number a name; of "second pass, twenty" it does not.

    Args:
        tokens: words of the sentence.
        amount: one of its amounts.
        before: the word right before it, in small letters.
    """
    if before not in NAMES_BEFORE:
        return False
    ahead = tokens[amount.first - 2].low if amount.first > 1 else ""
    same = before == "number" and ahead in {"same", "magic", "right", "old", "new"}
    done = before in _DONE and (ahead in _DENYING or ahead.endswith(("'s", "'re", "'m")))
    done = done or (before == "drawing" and amount.form == "decimal")  # "as per drawing 49.96"
    done = done or tokens[amount.first - 1].text == "pH"  # "PH two" is a bit
    denied = before == "no" and amount.form == "decimal"  # "no nought point two leaf goes in"
    return not (same or done or denied or (before in _STAGES and ahead in _ORDINALS))


# Names that are also something done: "it's drawing 1.75", "don't pass a hundred and ten".
_DONE = frozenset({"drawing", "pass", "stage", "step"})


_DENYING = frozenset({"don't", "never", "not", "mustn't", "shouldn't", "won't", "can't", "is",
                      "was", "are", "i'm", "cannot"})  # fmt: skip
