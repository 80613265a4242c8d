"""What the network thinks of the numbers of a sentence, before any rule has looked at them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.reader.ahead import Ahead
from author.proposals.reader.network import Value
from author.proposals.speech.spoken import Sentence


@dataclass(frozen=True, slots=True)
class Thought:
    """What is thought of the words of a sentence.

    Attributes:
        sentence: the sentence.
        tokens: of its text.
        ahead: what the network thinks of it.
    """

    sentence: Sentence
    tokens: Sequence[Token]
    ahead: Ahead

    def odds_of(self, amount: Amount) -> float | None:
        """Return the log odds that an amount is a quantity; None where nothing is thought of it."""
        odds = [self.ahead.numbers[at] for at in self._words_of(amount)]
        return sum(odds) / len(odds) if odds else None

    def units_of(self, amount: Amount) -> dict[str | None, float]:
        """Return how likely each unit of an amount is, with None for none."""
        values = self._values_of(amount)
        found: dict[str | None, float] = {}
        for one in values:
            for unit, share in one.units.items():
                found[unit] = found.get(unit, 0.0) + share / len(values)
        return found

    def sides_of(self, amount: Amount) -> list[float]:
        """Return how likely each of ``SIDES`` is what an amount tells; [] if nothing is known."""
        values = self._values_of(amount)
        return [
            sum(each) / len(values) for each in zip(*(one.sides for one in values), strict=True)
        ]

    def _values_of(self, amount: Amount) -> list[Value]:
        values = (self.ahead.values[at] for at in self._words_of(amount))
        return [one for one in values if one is not None]

    def _words_of(self, amount: Amount) -> list[int]:
        begin, end = self.tokens[amount.first].begin, self.tokens[amount.last - 1].end
        return [
            at
            for at, word in enumerate(self.sentence.words[: len(self.ahead.numbers)])
            if word.at < end and word.at + len(word.text) > begin
        ]
