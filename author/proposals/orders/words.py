"""What the ways of saying an order have in common."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from author.checks.verbs import words as _words
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.loose_words import Said
from author.proposals.language.word_forms import singular

PARTICLES = _words("off out on in away back up down apart through over home together round")
OFF = _words("off out away apart")
PREPOSITIONS = _words(
    "on onto in into to between under over round around against through across behind inside at "
    "along beneath underneath"
)
BODY = _words("hand hands foot finger thumb knee")
"""What somebody puts on a thing to hold or work it: "foot on the pedal"."""
CLOCK = _words("clock dial")
"""What is set on a thing to read it: "clock on the hub"."""
STANDS = _words(
    "jack jacks stand stands lift hoist ramp bench trestle trestles block blocks hook crane horses"
)
PRONOUNS = _words("it they them these those this that")
_PERSONS = _words("i you we he she it they them never not who which if so or as")
FINITE = _words(
    """
    goes comes sits gets runs looks want need wants needs is are was were has have had got be
    stay stays remain remains
    been do does did can will would could should may might must
    """
)


@dataclass(frozen=True, slots=True)
class Frame:
    """An order taken out of a clause.

    Attributes:
        words: of the order, the verb in its base form first (behind "do not", "never").
        sure: whether it was said as something to do, and not left to be guessed.
        new: whether a new part takes the place of the old one.
    """

    words: tuple[str, ...]
    sure: bool = True
    new: bool = False


def holds_on(word: str) -> bool:
    """Whether a word is what holds a part on: a fastener but no plug, union or gland; a clip."""
    name = singular(word)
    return name in _CAUGHT or (is_fastener(name) and name not in _SHUT)


_CAUGHT = _words("clip catch")
# They shut an opening and hold no part.
_SHUT = _words("plug union gland")


def text_of(clause: Sequence[Said]) -> str:
    """Return the words of a clause as the rules read them, a space behind each."""
    return "".join(word.low + " " for word in clause)


def shown_of(words: Sequence[Said]) -> tuple[str, ...]:
    """Return words as they are written."""
    return tuple(word.shown for word in words)


def is_sentence(low: Sequence[str]) -> bool:
    """Whether words hold more than a name: somebody who does something, a "not", a number."""
    return any(
        (word in _PERSONS and (at or word not in PRONOUNS)) or "n't" in word or word in FINITE
        or word.endswith(("'ve", "'ll", "'re", "'d"))
        for at, word in enumerate(low)
    )  # fmt: skip


def lower_first(text: str) -> str:
    """Return a text that begins with a small letter, to stand within a sentence."""
    return text[:1].lower() + text[1:]
