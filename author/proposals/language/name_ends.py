"""Where a name ends in talk that no signs part: "the grub screw | two mil hex key"."""

from __future__ import annotations

from author.checks.verbs import words
from author.proposals.language.closed_words import BY_THEMSELVES, FRACTIONS, NUMBERS, STUFFS
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.trade_words import as_phrase, trade_words
from author.proposals.language.word_forms import singular

_AMOUNTS = words("pair lots couple plenty loads load")


def begins_anew(before: str, word: str, sized: bool) -> bool:
    """Whether a word behind that of a name begins another thing, or says how many there are.

    Args:
        before: the word before it.
        word: the word itself, in small letters.
        sized: whether a unit follows it.
    """
    table = trade_words()
    if word in _AMOUNTS:
        return as_phrase([before, word]) not in table.phrases
    if not sized or not (word in NUMBERS | FRACTIONS or word[0].isdigit()):
        return False
    return before not in table.modifiers and table.kind_of(before) in {"part", "tool", "weak"}


def is_no_part_of(word: str, behind: str, *, last: bool) -> bool:
    """Whether a word is no part of the name behind it: it names several, or counts it.

    "Take it off the frames | connecting rod", "before you touch a single bolt". Others take only
    words of the table before them: "dial", "glasses", "gloves".

    Args:
        word: in small letters.
        behind: the word behind it.
        last: whether that is the last of the name.
    """
    if word in _AMOUNTS:
        return True
    if word == "single":
        return is_fastener(behind)
    several = singular(word) != word and trade_words().kind_of(word) in {"feature", "weak"}
    alone = last and behind in BY_THEMSELVES and word not in STUFFS
    return (several or alone) and as_phrase([word, behind]) not in trade_words().phrases
