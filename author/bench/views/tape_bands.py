"""What lies on the tape: the steps' spans in lanes, and what is found quickly by its time."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from PyQt6.QtGui import QImage

from author.procedure.cues import Cue
from author.procedure.document import Procedure

if TYPE_CHECKING:
    from author.recording.analyses import Analyses

LANES = 3


class StepSpan(NamedTuple):
    """The span of a step on the tape.

    Attributes:
        step: id of the step.
        number: its number through the procedure.
        start: first moment, seconds.
        end: moment up to which it is shown, seconds.
        lane: 0 beside the film, more where spans overlap.
    """

    step: str
    number: int
    start: Decimal
    end: Decimal
    lane: int = 0


def spans_of(procedure: Procedure, recording: str) -> tuple[StepSpan, ...]:
    """Return the spans of the steps in one recording, by their start, in lanes."""
    found = []
    for placed in procedure.placed_steps():
        clip = placed.step.clip
        if clip is not None and clip.recording == recording:
            found.append((clip.start, clip.end, placed.number, placed.step.id))
    free = [Decimal(-1)] * LANES
    spans = []
    for start, end, number, step in sorted(found):
        lane = next((at for at, until in enumerate(free) if until <= start), LANES - 1)
        free[lane] = max(free[lane], end)
        spans.append(StepSpan(step, number, start, end, lane))
    return tuple(spans)


class TapePictures:
    """Small pictures by their time; of too many those unused longest go first."""

    MOST = 900

    def __init__(self) -> None:
        self._kept: dict[float, QImage] = {}
        self._times: list[float] = []

    def put(self, pictures: Mapping[float, QImage] | Iterable[tuple[float, QImage]]) -> None:
        """Keep pictures by the start of their frame, seconds."""
        self._kept.update(pictures)
        while len(self._kept) > self.MOST:
            del self._kept[next(iter(self._kept))]
        self._times = sorted(self._kept)

    def within(self, first: float, last: float) -> tuple[float, QImage] | None:
        """Return the first picture whose frame begins in a stretch, half open; None if none."""
        at = bisect_left(self._times, first)
        if at == len(self._times) or self._times[at] >= last:
            return None
        time = self._times[at]
        image = self._kept.pop(time)
        self._kept[time] = image  # the one used last is the last to go
        return time, image


@dataclass(eq=False)
class TapeContent:
    """What is known of the recording on the tape.

    Attributes:
        tall: whether its pictures are higher than they are wide.
    """

    spans: tuple[StepSpan, ...] = ()
    cues: tuple[Cue, ...] = ()
    analyses: Analyses | None = None
    shots: tuple[float, ...] = ()
    tall: bool = False
    pictures: TapePictures = field(default_factory=TapePictures)

    def hang(self, pictures: Sequence[tuple[float, QImage]]) -> bool:
        """Keep pictures by the start of their frame; whether they show that the film is tall."""
        self.pictures.put(pictures)
        was = self.tall
        self.tall = was or any(image.height() > image.width() for _, image in pictures)
        return self.tall is not was

    def spans_between(self, first: float, last: float) -> list[StepSpan]:
        """Return the spans of which something lies between two times."""
        end = bisect_right(self.spans, last, key=lambda span: float(span.start))
        return [span for span in self.spans[:end] if span.end >= first]

    def cues_between(self, first: float, last: float) -> list[tuple[Cue, Decimal | None]]:
        """Return captions that begin between two times, each with the start of the next."""
        begin = bisect_left(self.cues, first, key=lambda cue: float(cue.start))
        end = bisect_right(self.cues, last, key=lambda cue: float(cue.start))
        after = [cue.start for cue in self.cues[begin + 1 : end + 1]]
        return list(zip(self.cues[begin:end], [*after, None][: end - begin], strict=True))

    def shots_between(self, first: float, last: float) -> Sequence[float]:
        """Return the times of shot changes between two times."""
        return self.shots[bisect_left(self.shots, first) : bisect_right(self.shots, last)]

    def pauses_between(self, first: float, last: float) -> list[tuple[float, float]]:
        """Return the pauses of which something lies between two times."""
        if self.analyses is None:
            return []
        pauses = self.analyses.pauses
        begin = bisect_left(pauses, first, key=lambda pause: float(pause.end))
        end = bisect_right(pauses, last, key=lambda pause: float(pause.start))
        return [(float(each.start), float(each.end)) for each in pauses[begin:end]]

    def level(self, first: float, last: float) -> float:
        """Return the highest level between two times, 0 to 1 for −54 to −6 dBFS."""
        heard = self.analyses.heard if self.analyses is not None else None
        if heard is None:
            return 0.0
        begin = int(first * 50)
        values = heard.level[begin : max(begin + 1, int(last * 50))]
        return min(max((float(values.max()) + 54) / 48, 0.0), 1.0) if len(values) else 0.0
