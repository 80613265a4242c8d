"""How the colours of a film are meant: matrix, primaries and transfer, by ITU-T H.273."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from author.progress import Cancel
from author.recording.ffmpeg import execute
from author.recording.high_range import Transfer
from author.recording.index import FilmIndex
from author.recording.opening import FORMATS, url_of

# Matrix number of ITU-T H.273 -> ffmpeg's names of the matrix, and of the primaries and the
# transfer that belong to it where the film names none.
_FAMILIES = {
    1: ("bt709", "bt709", "bt709"),
    4: ("fcc", "bt470m", "bt470m"),
    5: ("bt470bg", "bt470bg", "smpte170m"),
    6: ("smpte170m", "smpte170m", "smpte170m"),
    7: ("smpte240m", "smpte240m", "smpte240m"),
    9: ("bt2020nc", "bt2020", "bt2020-10"),
    10: ("bt2020nc", "bt2020", "bt2020-10"),
}
_HIGH_RANGE: dict[str, Transfer] = {"smpte2084": "smpte2084", "arib-std-b67": "arib-std-b67"}
_UNKNOWN = {"unknown", "reserved", "unspecified", ""}


@dataclass(frozen=True, slots=True)
class Colours:
    """How a film's colours are coded; the names are ffmpeg's.

    Attributes:
        matrix: from red, green and blue to luma and colour difference.
        primaries: which red, green and blue; ``auto`` for those the film names.
        transfer: from light to value; ``auto`` for the one the film names.
        full_range: whether luma uses all values from 0.
        high_range: the transfer of a picture of high dynamic range, or None.
    """

    matrix: str
    primaries: str = "auto"
    transfer: str = "auto"
    full_range: bool = False
    high_range: Transfer | None = None


def colours_of(path: Path, index: FilmIndex, cancel: Cancel | None = None) -> Colours:
    """Decode the first picture of a film and return how its colours are meant.

    Raises:
        InputError, MachineError, Cancelled: as ``ffmpeg.run``.
    """
    import ffmpeg

    source = ffmpeg.input(  # type: ignore[no-untyped-call]
        url_of(path), protocol_whitelist="file", format_whitelist=FORMATS, threads=1
    )
    chain = source[str(index.stream)].filter("showinfo", checksum="false")
    job = ffmpeg.output(chain, "-", f="null", **{"frames:v": 1})
    return meant(index, execute(job, file=path, cancel=cancel))


def meant(index: FilmIndex, log: str) -> Colours:
    """Return how colours are meant by what the filter ``showinfo`` wrote to the log."""
    matrix, primaries, transfer = _FAMILIES.get(index.matrix, _FAMILIES[1])
    named = re.search(r"color_primaries:(\S*) color_trc:(\S*)", log)
    said = (named[1], named[2]) if named else ("", "")
    return Colours(
        matrix,
        primaries if said[0] in _UNKNOWN else "auto",
        transfer if said[1] in _UNKNOWN else "auto",
        index.full_range,
        _HIGH_RANGE.get(said[1]),
    )
