"""The words by which things are known in the talk of a shop, read from the program's table."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from author.proposals.language.word_forms import singular
from author.resources import load_own_table

ThingKind = Literal["part", "tool", "supply"]
NounKind = Literal["part", "tool", "supply", "weak", "feature", "plain"]


@dataclass(frozen=True, slots=True)
class TradeWords:
    """Nouns of the trade.

    Attributes:
        heads: what the last word of a name says of its kind; singular.
        phrases: names of two to four words, singular, hyphens read as spaces.
        modifiers: words that stand before a head and belong to its name.
        compounds: verbs that stand before a head as part of its name, with those heads.
        dropped: words of a name that do not tell one thing from another.
        measures: words for an amount: "a dab of".
        same: names of one thing, each with the name it is taken for.
        spellings: two ways to write one word.
        fasteners: what is turned tight, in one word.
        no_fasteners: names that end like one and are none.
    """

    heads: Mapping[str, NounKind]
    phrases: Mapping[str, NounKind]
    modifiers: frozenset[str]
    compounds: Mapping[str, frozenset[str]]
    dropped: frozenset[str]
    measures: frozenset[str]
    same: Mapping[str, str]
    spellings: Mapping[str, str]
    fasteners: frozenset[str]
    no_fasteners: frozenset[str]

    def kind_of(self, word: str) -> NounKind | None:
        """Return what a noun in small letters says of its kind, singular or plural."""
        return self.heads.get(word) or self.heads.get(singular(word))


@cache
def trade_words() -> TradeWords:
    """Return the table, read once."""
    table = load_own_table("trade_words.yaml")
    heads: dict[str, NounKind] = {}
    for kind, words in _heads(table):
        for word in words.split():
            heads.setdefault(word, kind)
            heads.setdefault(singular(word), kind)
    phrases: dict[str, NounKind] = {}
    named: tuple[NounKind, ...] = ("part", "tool", "supply", "feature")
    for one in named:
        for phrase in table["phrases"][one].split(","):
            phrases[as_phrase(phrase.split())] = one
    return TradeWords(
        heads=heads,
        phrases=phrases,
        modifiers=frozenset(table["modifiers"].split()),
        compounds={verb: frozenset(with_.split()) for verb, with_ in table["compounds"].items()},
        dropped=frozenset(table["dropped"].split()),
        measures=frozenset(table["measures"].split()),
        same={as_phrase(one.split()): names[0] for names in table["same"] for one in names},
        spellings=dict(table["spellings"]),
        fasteners=frozenset(table["fasteners"].split()),
        no_fasteners=frozenset(as_phrase(one.split()) for one in table["no_fasteners"].split(",")),
    )


def _heads(table: dict[str, Any]) -> list[tuple[NounKind, str]]:
    return [
        ("tool", table["tools"]),
        ("supply", table["supplies"]),
        *(("part", words) for words in table["parts"].values()),
        ("weak", table["weak_parts"]),
        ("feature", table["features"]),
        ("plain", table["plain"]),
    ]


def as_phrase(words: list[str]) -> str:
    """Return words as the table of phrases has them: small, the last one singular, no hyphens."""
    parts = " ".join(words).lower().replace("'", "").replace("-", " ").split()
    return " ".join([*parts[:-1], singular(parts[-1])]) if parts else ""


def is_bit_size(word: str) -> bool:
    """Whether a word is the size of a tool that is named by it: "a T20"."""
    return _BIT_SIZE.fullmatch(word) is not None


_BIT_SIZE = re.compile(r"t\d{1,3}|ph\d|pz\d")
