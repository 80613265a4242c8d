"""A thing that was named in the talk: the type that finding, weighing and gathering share."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from author.proposals.language.trade_words import ThingKind
from author.proposals.language.word_forms import singular

PASSING = Decimal("0.3")
"""Things no surer than this are only spoken of."""
FAINT = Decimal("0.1")
"""Words that may name a thing; alone they never do."""


@dataclass(frozen=True, slots=True)
class Thing:
    """A thing that is named in a sentence.

    Attributes:
        sentence: index of the sentence.
        begin: index of the first letter of the name in the text of the sentence.
        end: index after its last letter.
        kind: what it is for the job.
        name: as it was said, without article, count and words such as "old".
        number: its part number, where one was said with it.
        count: how many, where that was said.
        where: where a supply goes, as it was said.
        confidence: from 0 to 1.
        reason: why it is taken for that, one sentence.
        signs: how its name stands among the words, by which it is weighed.
        ahead: how likely the network thinks it a part, a tool and a supply, 0 to 1, where that is
            known.
    """

    sentence: int
    begin: int
    end: int
    kind: ThingKind
    name: str
    number: str | None
    count: int | None
    where: str | None
    confidence: Decimal
    reason: str
    signs: frozenset[str] = frozenset()
    ahead: tuple[float, float, float] | None = None


def is_many(thing: Thing) -> bool:
    """Whether a thing is named in the plural."""
    last = thing.name.split()[-1].lower()
    return singular(last) != last
