"""What one pass over a film tells beyond its frames: shots, movement, sharpness, speech."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from author.errors import MachineError
from author.progress import SILENT, Cancel, Progress
from author.recording import cache
from author.recording.best_still import Choice, best_still
from author.recording.chapters import Joined
from author.recording.hearing import FRAME, SILENCE, Heard, Pause, pauses
from author.recording.index import MICRO, FilmIndex
from author.recording.knowing import known, surveyed
from author.recording.preview import Records, read_records, read_state
from author.recording.shots import MotionSpan, ShotChange, motion_spans, shot_changes
from author.storage import cache_folder

_STEPS = 5
"""Values of level for each one of loudness."""


@dataclass(frozen=True, slots=True, eq=False)
class Analyses:
    """What was seen and heard in a film, or in the parts of one joined.

    Attributes:
        looks: one record a frame (``looks.LOOK``).
        times: start of each frame, seconds on the recording's clock.
        shots: changes of shot, by frame index.
        motion: spans in which hands work or all is still, by frame index.
        heard: level and loudness of the sound, or None without sound.
        pauses: times without speech, seconds on the recording's clock; empty without sound.
    """

    looks: npt.NDArray[np.void]
    times: npt.NDArray[np.float64]
    shots: tuple[ShotChange, ...]
    motion: tuple[MotionSpan, ...]
    heard: Heard | None
    pauses: tuple[Pause, ...]

    def best_still(self, at: int, within: float) -> Choice:
        """Return the best frame for a still near a mark, and why.

        Args:
            at: index of the frame that is marked.
            within: seconds before and after it to look in.
        """
        return best_still(self.looks, self.times, self.shots, at, within)


def analyses_of(path: Path, progress: Progress = SILENT, cancel: Cancel | None = None) -> Analyses:
    """Return what was seen and heard in a film, surveying it if that was not done or kept.

    Raises:
        InputError, MachineError, Cancelled: as ``describe``; also if there is no room for
            what the survey finds.
    """
    digest, index = known(path, progress, cancel)
    place = cache.use_preview(digest)
    found = _kept(place, index)
    if found is None:
        with cache.alone(digest, progress, cancel):
            found = _kept(place, index)
            if found is None:
                index = surveyed(path, digest, progress, cancel)
                found = _kept(place, index)
    if found is None:
        raise MachineError(
            "there is no room to keep what is seen in the recording",
            remedy=f"Free some space on the disk of {cache_folder()}",
            file=path,
        )
    return found


def _kept(place: Path, index: FilmIndex) -> Analyses | None:
    """Return what a whole survey left in a folder, or None if it is not there or damaged."""
    state = read_state(place)
    if state is None or not state["done"]:
        return None
    try:
        records, sound = read_records(place, len(index.ticks)), (place / "sound").read_bytes()
        heard = Heard.from_bytes(sound) if sound else None
    except (OSError, ValueError):
        return None
    return _concluded(records["look"], _times(records, index), heard)


def _times(records: Records, index: FilmIndex) -> npt.NDArray[np.float64]:
    times: npt.NDArray[np.float64] = records["tick"] * float(index.time_base)
    return times - index.origin / MICRO


def joined_analyses(parts: Sequence[Analyses], joined: Joined) -> Analyses:
    """Return what was seen and heard in the parts of one film, on its joined clock.

    A shot goes on over a joint, and so does a pause.

    Args:
        parts: what was seen and heard in each part.
        joined: the parts on one clock.
    """
    offsets = [float(joined.offset(part)) for part in range(len(parts))]
    times = [each.times + offset for each, offset in zip(parts, offsets, strict=True)]
    looks = np.concatenate([each.looks for each in parts])
    return _concluded(looks, np.concatenate(times), _heard_on(parts, offsets, joined))


def _heard_on(parts: Sequence[Analyses], offsets: Sequence[float], joined: Joined) -> Heard | None:
    """Lay the sound of each part where the part lies; the later part counts where two meet."""
    if all(each.heard is None for each in parts):
        return None
    step = float(FRAME)
    steps = -(-round(float(joined.duration) / step) // _STEPS)
    level = np.full(steps * _STEPS, SILENCE, np.float32)
    speech = np.zeros(steps * _STEPS, np.uint8)
    momentary = np.full(steps, SILENCE, np.float32)
    for part, offset in zip(parts, offsets, strict=True):
        if part.heard is not None:
            at = round(offset / step)
            _lay(level, part.heard.level, at)
            _lay(speech, part.heard.speech, at)
            _lay(momentary, part.heard.momentary, round(offset / step / _STEPS))
    return Heard(level, momentary, speech)


def _lay(whole: npt.NDArray[np.generic], part: npt.NDArray[np.generic], at: int) -> None:
    first = max(0, at)
    end = min(len(whole), at + len(part))
    if end > first:
        whole[first:end] = part[first - at : end - at]


def _concluded(
    looks: npt.NDArray[np.void], times: npt.NDArray[np.float64], heard: Heard | None
) -> Analyses:
    return Analyses(
        looks=looks,
        times=times,
        shots=shot_changes(looks, times),
        motion=motion_spans(looks, times),
        heard=heard,
        pauses=pauses(heard) if heard is not None else (),
    )
