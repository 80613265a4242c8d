"""Sentences that say how far a stage has read them, and let it be stopped.

A stage reads sentences one after another and knows nothing of windows and of keys that stop a
run. Ten hours of talk take a minute, so somebody has to look: what it reads does.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from typing import overload

from author.progress import SILENT, Cancel, Progress
from author.proposals.speech.spoken import Sentence

_LOOK = 100
"""How many sentences are read between two looks."""
_TELL = 0.2
"""Seconds between two reports, so that a mere count of the sentences makes none."""


class Walked(Sequence[Sentence]):
    """Sentences that look whether to stop whenever a hundred of them were read.

    Args:
        sentences: what was said, in order.
        progress: told how far the stage is.
        cancel: looked at on the way.
    """

    def __init__(
        self,
        sentences: Sequence[Sentence],
        progress: Progress = SILENT,
        cancel: Cancel | None = None,
    ) -> None:
        self._sentences = tuple(sentences)
        self._progress = progress
        self._cancel = cancel
        self._left = _LOOK
        self._job = ""
        self._told = 0.0

    def to(self, what: str) -> Walked:
        """Return these sentences for the next stage.

        Args:
            what: what it finds, in a word or a few.

        Raises:
            Cancelled: if somebody asked to stop.
        """
        self._job = f"finding {what}"
        self._told = 0.0  # a stage is told of when it begins
        self._look(0)
        return self

    def __len__(self) -> int:
        return len(self._sentences)

    @overload
    def __getitem__(self, index: int) -> Sentence: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Sentence]: ...
    def __getitem__(self, index: int | slice) -> Sentence | Sequence[Sentence]:
        self._left -= 1
        if self._left <= 0 and isinstance(index, int):
            self._look(index)
        return self._sentences[index]

    def __iter__(self) -> Iterator[Sentence]:
        for index in range(len(self._sentences)):
            yield self[index]

    def _look(self, index: int) -> None:
        self._left = _LOOK
        if self._cancel is not None:
            self._cancel.check()
        now = time.monotonic()
        if now - self._told >= _TELL:
            self._told = now
            self._progress.report(self._job, index % len(self) if index else 0, len(self))


def walked(sentences: Sequence[Sentence]) -> Walked:
    """Return sentences that can be told how far they were read, as they are if they can."""
    return sentences if isinstance(sentences, Walked) else Walked(sentences)
