"""Sentences for tests: made of their words, each 0.4 s long."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from author.proposals.speech.spoken import Sentence, Word

WORD = Decimal("0.4")


def said(text: str, start: str | Decimal = "0", *, recording: str = "film") -> Sentence:
    """Return one sentence; white space in the text becomes one space between words.

    Args:
        text: at least one word.
        start: when its first word begins, seconds.
        recording: id of the recording.
    """
    words, at, now = [], 0, Decimal(start)
    for word in text.split():
        words.append(Word(word, at, now, now + WORD))
        at, now = at + len(word) + 1, now + WORD
    return Sentence(recording, " ".join(text.split()), tuple(words))


def told(*texts: str, pause: str = "0.5", recording: str = "film") -> tuple[Sentence, ...]:
    """Return sentences said one after the other with the same pause between them."""
    gap, now, sentences = Decimal(pause), Decimal(0), []
    for number, text in enumerate(texts):
        one = said(text, now, recording=recording)
        before = gap if number else Decimal(0)
        after = gap if number + 1 < len(texts) else Decimal(0)
        sentences.append(Sentence(one.recording, one.text, one.words, before, after))
        now = one.end + gap
    return tuple(sentences)


def joined(sentences: Iterable[Sentence]) -> str:
    """Return what was said as one text."""
    return " ".join(sentence.text for sentence in sentences)
