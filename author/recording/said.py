"""What was said on a recording: captions, and the words in them with their times if known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path

from author.errors import InputError
from author.procedure.cues import Cue
from author.procedure.times import clock_text

LATEST = Decimal(9_999_999)
"""The last second that is read as a time; the most that a mark can say."""

_NOTES = 50
# A caption may stay a little longer than the film, and its clock may run off a little.
_SLACK = Decimal(10)
_SLACK_SHARE = Decimal("0.05")


@dataclass(frozen=True, slots=True)
class SaidWord:
    """One word as the file has it, with the signs that touch it.

    Attributes:
        text: the word; never empty, no white space in it.
        start: when it begins, seconds with three decimals on the recording's clock; None
            if the file does not say.
        end: when it ends, same clock, not before ``start``; None if the file does not say.
    """

    text: str
    start: Decimal | None = None
    end: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Speech:
    """What a caption file says.

    Attributes:
        cues: the captions by their start.
        words: the words of each caption in turn, or None where no time of any word is
            known. Those of a caption are its text parted at white space.
        notes: what was left out or put right on the way, one sentence each.
    """

    cues: tuple[Cue, ...]
    words: tuple[tuple[SaidWord, ...], ...] | None = None
    notes: tuple[str, ...] = ()

    @classmethod
    def put_in_order(
        cls, said: Sequence[tuple[Cue, tuple[SaidWord, ...]]], notes: Sequence[str] = ()
    ) -> Speech:
        """Return captions in the order of their starts.

        Args:
            said: each caption with its words, or with none where nothing is known of them.
            notes: what was left out or put right; of very many only the first are kept.
        """
        order = sorted(said, key=lambda each: each[0].start)
        told = tuple(notes[:_NOTES])
        if len(notes) > _NOTES:
            told += (f"and {len(notes) - _NOTES} more faults",)
        words = None
        if any(word.start is not None for _, inner in order for word in inner):
            words = tuple(inner or tuple(map(SaidWord, cue.text.split())) for cue, inner in order)
        return cls(tuple(cue for cue, _ in order), words, told)

    def held_against(self, length: Decimal, file: Path) -> Speech:
        """Return what lies on a recording, with a note if a little lies beyond its end.

        Args:
            length: where the recording ends, seconds on its clock.
            file: the caption file, for the error.

        Raises:
            InputError: the captions go on well after the end, so they are of another
                recording.
        """
        over = sum(cue.start >= length for cue in self.cues)
        if not over:
            return self
        last = max(cue.start for cue in self.cues)
        if last > length + max(_SLACK, length * _SLACK_SHARE) or over == len(self.cues):
            raise InputError(
                f"the last caption comes at {clock_text(last)}, but the recording ends at "
                f"{clock_text(length)}: these are the captions of another recording",
                remedy="Give the captions of this recording",
                file=file,
            )
        kept = [n for n, cue in enumerate(self.cues) if cue.start < length]
        count = "one caption begins" if over == 1 else f"{over} captions begin"
        note = f"{count} after the end of the recording at {clock_text(length)} and are left out"
        return replace(
            self,
            cues=tuple(self.cues[n] for n in kept),
            words=None if self.words is None else tuple(self.words[n] for n in kept),
            notes=(*self.notes, note.replace("and are", "and is") if over == 1 else note),
        )
