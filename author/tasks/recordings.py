"""Look at one recording: what it is, and one frame of it."""

from __future__ import annotations

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
    """

    path: Path
    index: int
    start: Decimal
    width: int
    height: int


def save_frame(
    path: Path,
    at: Decimal,
    out: Path,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> SavedFrame:
    """Write the frame whose start is nearest to a time.

    Args:
        path: the recording.
        at: seconds on the recording's clock.
        out: picture to write, ``.png`` or ``.jpg``.
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
    with recording.FrameReader(path, facts) as reader:
        frame = reader.frame(index)
    data = recording.encode_still(frame.pixels, "png" if form == "png" else "jpeg")
    replace_file(out, data)
    height, width = frame.pixels.shape[:2]
    return SavedFrame(out, index, frame.start, width, height)


def describe_recording(
    path: Path, progress: Progress = SILENT, cancel: Cancel | None = None
) -> recording.Description:
    """Read a film through and say what it is and whether it is whole.

    Raises:
        InputError: if it is no film.
        MachineError: if it cannot be read or the decoder dies.
    """
    return recording.describe(path, progress, cancel)
