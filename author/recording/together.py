"""Several recordings of one job: where each begins on the clock of the first, by their sound."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import numpy.typing as npt

from author.errors import InputError
from author.progress import SILENT, Cancel, Progress
from author.recording.knowing import known
from author.recording.offsets import Offset, offset_between
from author.recording.process import Decoder

_RATE = 8000


def sound_of(
    path: Path, rate: int, progress: Progress = SILENT, cancel: Cancel | None = None
) -> npt.NDArray[np.float32]:
    """Return the whole sound of a film, mono, from zero of its clock on, full scale 1.

    Args:
        path: the film.
        rate: samples a second.
        progress: hears of seconds of film.
        cancel: looked at many times a second.

    Raises:
        InputError: it is no film that can be shown, or has no sound.
        MachineError: it cannot be read, or the decoder crashed.
        Cancelled: the user asked to stop.
    """
    _, index = known(path, progress, cancel)
    parts = []
    with Decoder(path, cancel) as decoder:
        for answer in decoder.ask("sound", str(path), index.to_plain(), rate):
            match answer:
                case ("progress", done, total):
                    progress.report(f"listening to {path.name}, seconds", done, total)
                case ("samples", data):
                    parts.append(np.frombuffer(data, np.float32))
                case ("done",):
                    break
    return np.concatenate(parts) if parts else np.zeros(0, np.float32)


def offsets_of(
    paths: Sequence[Path], progress: Progress = SILENT, cancel: Cancel | None = None
) -> tuple[Offset, ...]:
    """Find where the zero of every recording after the first lies on the first's clock.

    Args:
        paths: recordings of one job, two at least.
        progress: hears how far it is.
        cancel: looked at often.

    Returns:
        One offset for each recording after the first.

    Raises:
        InputError: one has no sound, or where it belongs cannot be told for sure.
        MachineError: one cannot be read, or the decoder crashed.
        Cancelled: the user asked to stop.
    """
    first = sound_of(paths[0], _RATE, progress, cancel)
    found = []
    for path in paths[1:]:
        second = sound_of(path, _RATE, progress, cancel)
        try:
            found.append(offset_between(first, second, _RATE, progress, cancel))
        except InputError as error:
            raise InputError(error.problem, remedy=error.remedy, file=path) from None
    return tuple(found)
