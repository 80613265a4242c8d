"""What was said: words with their times, put together into sentences."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Word:
    """One word as it stands in the captions, with the signs that touch it.

    Attributes:
        text: the word, e.g. ``face,``; never empty, no white space in it.
        at: index of its first letter in the text of its sentence.
        start: when it begins, seconds on the clock of the recording.
        end: when it ends, same clock; not before ``start``.
    """

    text: str
    at: int
    start: Decimal
    end: Decimal


@dataclass(frozen=True, slots=True)
class Sentence:
    """A stretch of speech that holds together.

    Attributes:
        recording: id of the recording it is said on.
        text: its words, one space between them.
        words: the same words with their times, at least one.
        pause_before: seconds of silence between the sentence before and this one, 0 where
            they touch or it is the first.
        pause_after: the same towards the sentence that follows, 0 for the last.
    """

    recording: str
    text: str
    words: tuple[Word, ...]
    pause_before: Decimal = Decimal(0)
    pause_after: Decimal = Decimal(0)

    @property
    def start(self) -> Decimal:
        """When its first word begins, seconds."""
        return self.words[0].start

    @property
    def end(self) -> Decimal:
        """When its last word ends, seconds."""
        return self.words[-1].end

    def span_of(self, begin: int, end: int) -> tuple[Decimal, Decimal]:
        """Return when a part of the text is said, seconds.

        Args:
            begin: index of its first letter in ``text``.
            end: index after its last letter.
        """
        said = [w for w in self.words if w.at < end and w.at + len(w.text) > begin]
        if not said:
            return self.start, self.end
        return said[0].start, said[-1].end
