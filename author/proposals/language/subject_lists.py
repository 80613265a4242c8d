"""The commas of a list of which something is told: "the bolts, the washer and the nut come off"."""

from __future__ import annotations

from collections.abc import Sequence, Set

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, NUMBERS, PARTICLES, PREPOSITIONS
from author.proposals.language.trade_words import trade_words

LIST_LEADS = _words("and then now so next okay right also")
"""Words before a list that are no part of it."""
_DETERMINERS = ARTICLES | NUMBERS | _words("both all your my its old new same other")
_THINGS = frozenset({"part", "feature", "weak"})
_TELLS = _words(
    "come comes go goes get gets need needs want wants are all can have will should must is both "
    "just stay stays"
)
_LONGEST = 4
_SOON = 4


def list_commas(words: Sequence[str], marks: Sequence[str]) -> set[int]:
    """Return the words of a sentence behind which a comma only parts the names of a list.

    "The bolts, the washers and the plate go back on" is told of all three. The list begins its
    sentence or clause, and a verb follows it.

    Args:
        words: in small letters.
        marks: for each word the signs that stand behind it.
    """
    if "and" not in words:
        return set()
    found: set[int] = set()
    named = False
    for begin in range(len(words)):
        if begin == 0 or marks[begin - 1]:
            start = begin + 1 if words[begin] in LIST_LEADS else begin
            if not named:  # "disc, plate, disc, and the hub stays" has no list within
                found |= _list_at(words, marks, start)
            end = _name_end(words, marks, start)
            named = end is not None and marks[end] == ","
    return found


def _list_at(words: Sequence[str], marks: Sequence[str], at: int) -> set[int]:
    """Return where the commas of a list stand that begins at a word, none where no list does."""
    commas: set[int] = set()
    heads: set[str] = set()
    while (end := _name_end(words, marks, at)) is not None:
        if words[end] in heads:
            return set()  # "my padlock, my key, and the key goes in my pocket"
        heads.add(words[end])
        behind = end + 1
        if marks[end] == ",":
            commas.add(end)
            at = behind + 1 if behind < len(words) and words[behind] == "and" else behind
            if at > behind:
                last = _name_end(words, marks, at) if len(commas) > 1 else None
                return commas if _is_told(words, marks, last, heads) else set()
        elif behind < len(words) and words[behind] == "and" and commas:
            last = _name_end(words, marks, behind + 1)
            return commas if _is_told(words, marks, last, heads) else set()
        else:
            return set()
    return set()


def _is_told(words: Sequence[str], marks: Sequence[str], last: int | None, heads: Set[str]) -> bool:
    """Whether a verb stands behind the last name of a list, or an order for all of them."""
    if last is None or words[last] in heads:
        return False
    behind = words[last + 1 : last + 1 + _SOON]
    if marks[last] == ",":
        return "them" in behind
    return not marks[last] and bool(behind) and behind[0] in _TELLS


def _name_end(words: Sequence[str], marks: Sequence[str], at: int) -> int | None:
    """Return the last word of the name that begins at a word, or None where none does."""
    table = trade_words()
    for end in range(at, min(at + _LONGEST, len(words))):
        word = words[end]
        if word in PREPOSITIONS | PARTICLES or word in _TELLS - {"all", "both"}:
            return None
        if word in ARTICLES and end > at and words[end - 1] not in {"all", "both"}:
            return None  # "undo the bolts, the cover and the gasket come off"
        behind = words[end + 1] if end + 1 < len(words) else ""
        if marks[end] or behind == "and" or behind in _TELLS:
            named = word not in _DETERMINERS and table.kind_of(word) in _THINGS
            return end if named and "no" not in words[at:end] else None
    return None
