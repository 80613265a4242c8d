"""Look at one recording: what it is, and one frame of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from author import recording
from author.errors import InputError
from author.procedure.times import clock_text
from author.progress import SILENT, Cancel, Progress
from author.storage import replace_file

_FORMS = {".png": "png", ".jpg": "jpeg", ".jpeg": "jpeg"}


@dataclass(frozen=True, slots=True)
class SavedFrame:
    """A frame that was written.

    Attributes:
        path: where it was written.
        index: its number in the recording, from 0.
        start: its start in seconds, six decimals.
        width: pixels.
        height: pixels.
        reason: why this frame was chosen, if it was looked for; else empty.
    """

    path: Path
    index: int
    start: Decimal
    width: int
    height: int
    reason: str = ""


def save_frame(
    path: Path,
    at: Decimal,
    out: Path,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
    *,
    best_within: Decimal | None = None,
) -> SavedFrame:
    """Write the frame whose start is nearest to a time, or the best one for a still near it.

    Args:
        path: the recording.
        at: seconds on the recording's clock.
        out: picture to write, ``.png`` or ``.jpg``.
        best_within: look this many seconds before and after it for the sharpest frame.
        progress: told how far it is.
        cancel: looked at on the way.

    Raises:
        InputError: if the recording, the time or the name of the picture is wrong.
        MachineError: if the decoder or the disk fails.
    """
    form = _FORMS.get(out.suffix.lower())
    if form is None:
        raise InputError(
            "the picture's name has to end in .png or .jpg", remedy="Change --out", file=out
        )
    facts = recording.facts_of(path, progress, cancel)
    if at > facts.duration:
        raise InputError(
            f"the recording ends at {facts.duration:f} s ({clock_text(facts.duration)}), "
            f"before {at:f}",
            remedy="Choose an earlier time",
            file=path,
        )
    # The film's end is a boundary, not a frame: a time there means the last frame.
    index = min(facts.index_at(at), facts.frame_count - 1)
    reason = ""
    if best_within is not None:
        found = recording.analyses_of(path, progress, cancel)
        choice = found.best_still(index, float(best_within))
        index, reason = choice.index, choice.reason
    with recording.FrameReader(path, facts) as reader:
        frame = reader.frame(index)
    data = recording.encode_still(frame.pixels, "png" if form == "png" else "jpeg")
    replace_file(out, data)
    height, width = frame.pixels.shape[:2]
    return SavedFrame(out, index, frame.start, width, height, reason)


@dataclass(frozen=True, slots=True)
class Passage:
    """A passage of a recording: what, from when to when (seconds, half open)."""

    what: str
    start: Decimal
    end: Decimal


@dataclass(frozen=True, slots=True)
class Happenings:
    """What is seen and heard in a recording.

    Attributes:
        shots: changes of shot; from the first frame of the change to the first whole one.
        motion: spans in which something is worked at, or all is still.
        pauses: times without speech, or None without sound.
    """

    shots: tuple[Passage, ...]
    motion: tuple[Passage, ...]
    pauses: tuple[Passage, ...] | None


@dataclass(frozen=True, slots=True)
class RecordingReport:
    """What a recording is and whether it is whole, and what happens in it."""

    description: recording.Description
    happenings: Happenings


def describe_recording(
    path: Path, progress: Progress = SILENT, cancel: Cancel | None = None
) -> RecordingReport:
    """Read a film through and say what it is, whether it is whole, and what happens in it.

    Raises:
        InputError: if it is no film.
        MachineError: if it cannot be read, the decoder dies, or the cache has no room.
    """
    description = recording.describe(path, progress, cancel)
    found = recording.analyses_of(path, progress, cancel)
    facts = description.facts
    starts = (*facts.frame_starts, facts.duration)
    return RecordingReport(description, _happenings(found, starts))


def _happenings(found: recording.Analyses, starts: Sequence[Decimal]) -> Happenings:
    """Turn frame indices into times; ``starts`` holds each frame's start, and the end."""
    shots = tuple(Passage(s.kind, starts[s.start], starts[s.index]) for s in found.shots)
    motion = tuple(Passage(m.kind, starts[m.start], starts[m.end]) for m in found.motion)
    pauses = tuple(Passage("pause", each.start, each.end) for each in found.pauses)
    return Happenings(shots, motion, None if found.heard is None else pauses)


@dataclass(frozen=True, slots=True)
class PartsReport:
    """A recording that the camera split into several files, on one clock."""

    joined: recording.Joined
    happenings: Happenings


def join_parts(
    paths: Sequence[Path], progress: Progress = SILENT, cancel: Cancel | None = None
) -> PartsReport:
    """Put the files of one recording, in the order of their names, on one clock.

    Raises:
        InputError: if one is no film or cannot follow on from the first.
        MachineError: if one cannot be read, the decoder dies, or the cache has no room.
    """
    ordered = recording.in_order(paths)
    parts = [(path, recording.facts_of(path, progress, cancel)) for path in ordered]
    joined = recording.join(parts)
    seen = [recording.analyses_of(path, progress, cancel) for path in ordered]
    found = recording.joined_analyses(seen, joined)
    starts = (*joined.frame_starts, joined.duration)
    return PartsReport(joined, _happenings(found, starts))


def place_recordings(
    paths: Sequence[Path], progress: Progress = SILENT, cancel: Cancel | None = None
) -> tuple[recording.Offset, ...]:
    """Find from their sound where each recording after the first begins on the first's clock.

    Raises:
        InputError: if one is no film, has no sound, or cannot be placed for sure.
        MachineError: if one cannot be read or the decoder dies.
    """
    return recording.offsets_of(paths, progress, cancel)
