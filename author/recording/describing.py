"""What a film is and whether it is whole, for a person and for the checks."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

from author.procedure.facts import Damage, RecordingFacts
from author.progress import SILENT, Cancel, Progress
from author.recording import cache
from author.recording.index import Chapter, FilmIndex, Sound
from author.recording.knowing import known, quick_index, sha256_of


@dataclass(frozen=True, slots=True)
class Description:
    """What a person wants to know of a recording.

    Attributes:
        facts: what the checks need: exact frame starts, size, fingerprint, damage.
        container: short name of the container format.
        codec: short name of the picture codec.
        stored_width: width of the stored picture in pixels.
        stored_height: height of the stored picture in pixels.
        rotation: clockwise turn for showing, degrees (0, 90, 180, 270).
        mirrored: whether the stored picture is mirrored left to right before the turn.
        shortest_ms: shortest time between two frames, milliseconds; None with one frame.
        median_ms: median of the same.
        longest_ms: longest of the same.
        varies: whether the frame rate varies by more than a millisecond and a tenth.
        sound: the sound, if any; ``sound.start`` against ``picture_start`` tells which
            comes first.
        chapters: named passages.
    """

    facts: RecordingFacts
    container: str
    codec: str
    stored_width: int
    stored_height: int
    rotation: int
    mirrored: bool
    shortest_ms: Decimal | None
    median_ms: Decimal | None
    longest_ms: Decimal | None
    varies: bool
    sound: Sound | None
    chapters: tuple[Chapter, ...]

    @property
    def picture_start(self) -> Decimal:
        """Start of the first frame, seconds on the recording's clock."""
        return self.facts.frame_starts[0]

    @property
    def sound_lead(self) -> Decimal | None:
        """Seconds the sound starts before the picture (negative: after it), or None."""
        return None if self.sound is None else self.picture_start - self.sound.start

    @property
    def damage(self) -> tuple[Damage, ...]:
        """Passages that are not whole."""
        return self.facts.damage


def describe(path: Path, progress: Progress = SILENT, cancel: Cancel | None = None) -> Description:
    """Read a whole film and say what it is.

    The first time the film is decoded from end to end; what was found is kept on disk.

    Args:
        path: the film.
        progress: hears of hashing (MB) and decoding (seconds of film).
        cancel: looked at many times a second.

    Raises:
        InputError: it is no film that can be shown.
        MachineError: it cannot be read, or the decoder crashed.
        Cancelled: the user asked to stop.
    """
    digest, index = known(path, progress, cancel)
    return _description(path, digest, index)


def facts_of(
    path: Path, progress: Progress = SILENT, cancel: Cancel | None = None
) -> RecordingFacts:
    """Return what the checks need to know of a film; raises as ``describe``."""
    return describe(path, progress, cancel).facts


def quick_facts_of(
    path: Path, progress: Progress = SILENT, cancel: Cancel | None = None
) -> RecordingFacts:
    """Return the same as far as it can be had without decoding the film.

    Its times are what the container says; ``facts_of`` corrects them later where frames
    cannot be shown. Raises as ``describe``.
    """
    index = quick_index(path, progress=progress, cancel=cancel)
    if index is None:
        return facts_of(path, progress, cancel)
    digest = cache.load_digest(path) or sha256_of(path, progress, cancel)
    return _facts(path, digest, index)


def _facts(path: Path, digest: str, index: FilmIndex) -> RecordingFacts:
    width, height = index.geometry.shown
    return RecordingFacts(
        file=path.name,
        size=path.stat().st_size,
        sha256=digest,
        width=width,
        height=height,
        frame_starts=tuple(index.clock(tick) for tick in index.ticks),
        duration=index.clock(index.end_tick),
        damage=index.damage,
    )


def _description(path: Path, digest: str, index: FilmIndex) -> Description:
    facts = _facts(path, digest, index)
    spread = _spread(index)
    return Description(
        facts=facts,
        container=index.container,
        codec=index.codec,
        stored_width=index.geometry.stored_width,
        stored_height=index.geometry.stored_height,
        rotation=index.geometry.rotation,
        mirrored=index.geometry.mirrored,
        shortest_ms=spread[0],
        median_ms=spread[1],
        longest_ms=spread[2],
        varies=_varies(spread),
        sound=index.sound,
        chapters=index.chapters,
    )


def _spread(index: FilmIndex) -> tuple[Decimal | None, Decimal | None, Decimal | None]:
    """Shortest, median and longest time between frames, milliseconds to a thousandth."""
    steps = sorted(after - before for before, after in pairwise(index.ticks))
    if not steps:
        return None, None, None
    chosen = (steps[0], steps[len(steps) // 2], steps[-1])
    shortest, median, longest = (
        (Decimal(round(step * index.time_base * 1_000_000)) / 1000) for step in chosen
    )
    return shortest, median, longest


def _varies(spread: tuple[Decimal | None, Decimal | None, Decimal | None]) -> bool:
    shortest, median, longest = spread
    if shortest is None or median is None or longest is None:
        return False
    return longest - shortest > 1 + median / 10
