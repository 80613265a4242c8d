"""What a clause of a sentence is, and why it is thought to be that."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Kind = Literal[
    "action",
    "hazard",
    "damage",
    "inspection",
    "decision",
    "orientation",
    "order",
    "count",
    "hidden",
    "prerequisite",
    "follow_on",
    "deferred",
    "reason",
    "off_camera",
    "preview",
    "chatter",
]


@dataclass(frozen=True, slots=True)
class Marked:
    """A clause of a sentence and what kind of thing it says.

    Attributes:
        sentence: index of the sentence.
        begin: index of its first letter in the text of the sentence.
        end: index after its last letter.
        kind: what it says; ``hazard`` hurts people, ``damage`` hurts things, ``count`` is
            of fasteners, ``hidden`` a fastener that cannot be seen.
        text: the words themselves.
        confidence: from 0 to 1, by the strength of the evidence.
        reason: the evidence in one plain sentence.
    """

    sentence: int
    begin: int
    end: int
    kind: Kind
    text: str
    confidence: Decimal
    reason: str


@dataclass(frozen=True, slots=True)
class Hit:
    """Evidence for one kind, found in the words of a sentence.

    Attributes:
        kind: what it speaks for.
        first: index of the first word it was found in.
        stop: index after the last.
        weight: strength of the evidence in hundredths.
        reason: the evidence in plain words, with ``{}`` where the words go.
    """

    kind: Kind
    first: int
    stop: int
    weight: int
    reason: str


@dataclass(frozen=True, slots=True)
class Found:
    """Evidence together with the words of the clause or clauses it speaks of.

    Attributes:
        hit: the evidence.
        first: index of the first word of what it marks.
        stop: index after the last.
    """

    hit: Hit
    first: int
    stop: int
