"""Tables of signs: words and words in a row that speak for something, each with points."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from author.proposals.language.plain_words import Plain
from author.proposals.language.verbs import forms


@dataclass(frozen=True, slots=True)
class WordSigns:
    """A table of signs.

    Attributes:
        points: for each sign how much it speaks for what is asked.
        by_word: the signs of a word.
        by_phrase: by their first word, the words that follow in a row and their sign.
    """

    points: Mapping[str, float]
    by_word: Mapping[str, tuple[str, ...]]
    by_phrase: Mapping[str, tuple[tuple[tuple[str, ...], str], ...]]

    @classmethod
    def of(cls, table: Mapping[str, Any]) -> WordSigns:
        """Return a table made ready.

        Args:
            table: for each sign its ``words``, ``verbs`` (counted in all their forms) and
                ``phrases`` (parted by commas), and ``points`` if it has any here.
        """
        by_word: dict[str, tuple[str, ...]] = {}
        by_phrase: dict[str, tuple[tuple[tuple[str, ...], str], ...]] = {}
        for name, one in table.items():
            listed = one.get("words", "").split()
            for verb in one.get("verbs", "").split():
                listed += [verb, *forms(verb)]
            for word in dict.fromkeys(listed):
                by_word[word] = (*by_word.get(word, ()), name)
            for phrase in one.get("phrases", "").split(","):
                first, *rest = phrase.split() or [""]
                if first:
                    by_phrase[first] = (*by_phrase.get(first, ()), (tuple(rest), name))
        points = {name: float(one.get("points", 0)) for name, one in table.items()}
        return cls(points, by_word, by_phrase)

    def phrases_at(self, said: Plain, at: int) -> Sequence[str]:
        """Return the signs whose words in a row begin at a word."""
        return [
            name
            for tail, name in self.by_phrase.get(said.words[at], ())
            if said.words[at + 1 : at + 1 + len(tail)] == tail
        ]
