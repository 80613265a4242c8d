"""Several recordings of one job on one clock, found from their sound."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtCore import QObject, pyqtSignal

from author.bench.films import FilmDesk
from author.bench.jobs import JobRunner
from author.errors import ReelwrightError
from author.tasks.recordings import place_recordings

if TYPE_CHECKING:
    from author.recording import Offset

_MICRO = Decimal("0.000001")


class SharedClock(QObject):
    """Where each recording stands on the clock of the one opened first.

    The sounds are compared once both recordings are read. A place that is not sure is no
    place: then each film keeps its own.
    """

    placed = pyqtSignal(str)
    """A recording was placed, or cannot be."""

    def __init__(self, films: FilmDesk, jobs: JobRunner, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._films = films
        self._jobs = jobs
        self._offsets: dict[str, Offset] = {}
        self._unsure: dict[str, ReelwrightError] = {}
        films.surveyed.connect(self._compare)
        for recording in films.recordings:
            if films.analyses(recording) is not None:
                self._compare(recording)

    def knows(self, recording: str) -> bool:
        """Whether a recording's place on the clock is known."""
        return recording in self._offsets or recording == self._first

    def unsure(self, recording: str) -> ReelwrightError | None:
        """Why the place of a recording cannot be told; None if it can, or is not known yet."""
        return self._unsure.get(recording)

    def same_moment(self, seconds: Decimal, of: str, on: str) -> Decimal | None:
        """Return a moment of one recording on the clock of another.

        Args:
            seconds: the moment, on the clock of ``of``.
            of: id of a recording.
            on: id of another.

        Returns:
            Seconds, six decimals; it may lie before or after that film. None if the place
            of one of them is not known.
        """
        if not (self.knows(of) and self.knows(on)):
            return None
        common = Fraction(seconds)
        if of != self._first:
            offset = self._offsets[of]
            common = Fraction(offset.seconds) + common * _pace(offset)
        if on != self._first:
            offset = self._offsets[on]
            common = (common - Fraction(offset.seconds)) / _pace(offset)
        return (Decimal(round(common * 1_000_000)) / 1_000_000).quantize(_MICRO)

    @property
    def _first(self) -> str:
        return self._films.recordings[0] if self._films.recordings else ""

    def _compare(self, _: str) -> None:
        """Compare every recording that is read with the first, once."""
        films = self._films
        if films.analyses(self._first) is None:
            return
        for recording in films.recordings[1:]:
            name = f"clock-{recording}"
            done = recording in self._offsets or recording in self._unsure
            if done or films.analyses(recording) is None or self._jobs.is_running(name):
                continue
            paths = [films.path(self._first), films.path(recording)]
            known: list[Path] = [path for path in paths if path is not None]
            self._jobs.run(
                name,
                partial(place_recordings, known),
                partial(self._take, recording),
                partial(self._fail, recording),
            )

    def _take(self, recording: str, offsets: tuple[Offset, ...]) -> None:
        self._offsets[recording] = offsets[0]
        self.placed.emit(recording)

    def _fail(self, recording: str, error: ReelwrightError) -> None:
        self._unsure[recording] = error
        self.placed.emit(recording)


def _pace(offset: Offset) -> Fraction:
    """Seconds of the first's clock for each second of the second's."""
    return 1 + Fraction(offset.drift or 0) / 1_000_000
