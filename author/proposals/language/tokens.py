"""The words of a sentence, as names are found among them."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from author.proposals.language.closed_words import PRONOUNS
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import with_g

_TOKEN = re.compile(
    r"\d+(?:[.,/]\d+)*[a-z]*|[^\W_]+(?:['’./&-][^\W_]+)*(?:(?<=[^\W_]{3}in)['’](?!\w))?"
    r"|[,;:.!?–—…()\"]"
)


class Token(NamedTuple):
    """A word of a sentence.

    Attributes:
        text: as it was said.
        low: in small letters, without a possessive or short "is" behind it.
        begin: index of its first letter.
        end: index behind its last letter.
        parted: whether a sign stands before it.
        owned: whether "'s" stood behind it.
    """

    text: str
    low: str
    begin: int
    end: int
    parted: bool
    owned: bool


def tokens_of(text: str) -> list[Token]:
    """Return the words of a sentence; signs only part them."""
    return list(_tokens_of(text))


@lru_cache(maxsize=1024)  # each stage asks for the same words again, of a whole film
def _tokens_of(text: str) -> tuple[Token, ...]:
    found: list[Token] = []
    parted = True
    for match in _TOKEN.finditer(text):
        said = with_g(match[0])
        if not said[0].isalnum():
            parted = True
            continue
        low = said.lower().replace("’", "'")
        owned = False
        if "'" in low and low not in PRONOUNS:
            owned = low.endswith("'s")
            low = low[:-2] if owned else low
            if low.endswith(("'ll", "'d", "'re")) and low not in PRONOUNS:
                low, owned = low.rsplit("'", 1)[0], True
        if _names_a_side(found) and trade_words().kind_of(low) in _SIDED and not parted:
            left, hand = found[-2:]
            found[-2:] = [
                left._replace(text=f"{left.text}-{hand.text}", low=f"{left.low}-hand",
                              end=hand.end)
            ]  # fmt: skip
        found.append(Token(said, low, match.start(), match.end(), parted, owned))
        parted = False
    return tuple(found)


_SIDED = frozenset({"part", "weak", "feature"})


def _names_a_side(found: list[Token]) -> bool:
    """Whether the last words are "left hand", which with a name behind them tell a side."""
    last = [token.low for token in found[-2:]]
    return last in (["left", "hand"], ["right", "hand"]) and not found[-1].parted
