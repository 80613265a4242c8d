"""Words that are verbs or amounts elsewhere and names where something stands or is laid.

"Clock on the nose", "stands under the frame", "a bar through the wheel".
"""

from __future__ import annotations

from author.checks.verbs import words
from author.proposals.language.closed_words import ARTICLES, NUMBERS, STOP
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular

PLACES = words(
    """
    on onto in into under underneath across behind between against through round around over
    beneath at inside below either both each
    """
)
# Read, not measured off: nobody clocks on a nose, or mikes on a shaft.
_INSTRUMENTS = words("clock dial mike mic indicator feeler")
# Several of them stand somewhere; one of them would have its article.
_STOOD = words("stand chock trestle prop wedge block clamp strap sling strop jack brace")
_BEFORE = words("then and with so now plus or okay right good new")
_HANDLED = words(
    """
    with using use by via get put slip slide shove stick take grab poke run drop pass set lay
    have want need hold jam fit
    """
)
_KINDS = words(
    "long big short steel brass copper old wee little iron flat round heavy good another"
)


def is_laid(before: str, word: str, after: str) -> bool:
    """Whether a word names what is laid or stands somewhere.

    Args:
        before: the word before it, "" where it opens what is said.
        word: the word, in small letters.
        after: the word behind it, "" where nothing follows.
    """
    if word == "key":
        return after in NUMBERS  # "key five": its size
    if after not in PLACES:
        return False
    opens = not before or before in _BEFORE | ARTICLES | NUMBERS
    if word in _INSTRUMENTS:
        return opens and after not in {"onto", "into"}
    one = singular(word)
    return opens and one != word and one in _STOOD


def stands(bid: str, before: str, word: str, after: str) -> bool:
    """Whether "stand" or "stick" is done and names nothing: "stand clear", "the shaft stands".

    Args:
        bid: the word before the one before it.
        before: the word before it, "" where it opens what is said.
        word: the word, in small letters.
        after: the word behind it.
    """
    if is_laid(before, word, after) or before in {"with", "on", "onto", "off", "from"} | _ONE:
        return False
    counted = before in NUMBERS and (word.endswith("s") or before == "one")
    sorted_out = bid in _ONE and trade_words().kind_of(before) is None and before not in STOP
    return not (counted or sorted_out)


STANDING = words("stand stands stick sticks")
_ONE = words("a an the my your his her our their its this these those no another some")


def is_rod(before: str, bid: str, after: str) -> bool:
    """Whether "bar" names what somebody levers with; else it is so much pressure.

    Args:
        before: the word before it.
        bid: the word before its article, where it has one.
        after: the word behind it.
    """
    if before in _KINDS:
        return True
    if before in {"a", "the", "your", "my", "that", "this"}:
        return after != "and" and (bid in _HANDLED or before in {"your", "my"})
    return not before and after in PLACES - {"at", "over", "below", "either", "both", "each"}
