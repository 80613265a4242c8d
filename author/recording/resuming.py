"""Where a reading of a film was broken off, and how to go on there as if it had not been."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import av
import numpy as np
from av.packet import Packet

from author.recording.damage import Complaint, Observed
from author.recording.preview import CORRUPT, INTERLACED, KEY, Records, read_records, read_state

_WARM_UP = 64
"""Frames seen again, so that what looks at them compares as it would have."""


@dataclass(frozen=True, slots=True, eq=False)
class Halt:
    """A reading that was broken off.

    Attributes:
        records: one record for each frame that is kept.
        complaints: what the decoder had complained of until then.
        jumps: ticks before which the clock ran backwards, with the frames left out.
        begin: tick of the key frame at which to decode again: far enough back that
            enough of the frames that are kept already are looked at once more.
    """

    records: Records
    complaints: tuple[Complaint, ...]
    jumps: dict[int, int]
    begin: int

    def begins_at(self, packet: Packet[av.stream.Stream]) -> bool:
        """Return whether decoding goes on with this packet."""
        return packet.is_keyframe and packet.pts == self.begin

    def give_back(self, seen: Observed) -> None:
        """Let ``seen`` know what the earlier reading saw."""
        seen.ticks.extend(int(tick) for tick in self.records["tick"])
        flags = self.records["flags"]
        seen.keys.extend(int(n) for n in np.flatnonzero(flags & KEY))
        seen.corrupt.extend(int(n) for n in np.flatnonzero(flags & CORRUPT))
        seen.interlaced = bool((flags & INTERLACED).any())
        seen.complaints.extend(self.complaints)
        seen.jumps.update(self.jumps)

    @staticmethod
    def state(seen: Observed, frames: int, track: int, done: bool) -> dict[str, Any]:
        """Return what has to be kept to go on after ``frames`` frames."""
        # What came from the packets comes again: all of them are read again.
        decoder = [c for c in seen.complaints if c.where and c.source not in ("file", "sound")]
        return {
            "frames": frames,
            "track": track,
            "complaints": [[c.source, c.text, *c.where] for c in decoder if c.where],
            "jumps": sorted(seen.jumps.items()),
            "done": done,
        }


def read_halt(folder: Path | None) -> Halt | None:
    """Return where the preview in a folder was broken off; None if it cannot be gone on with."""
    state = None if folder is None else read_state(folder)
    if folder is None or state is None:
        return None
    try:
        records = read_records(folder, state["frames"])
        keys = np.flatnonzero(records["flags"][: max(0, len(records) - _WARM_UP)] & KEY)
        keys = keys[keys % 2 == 0]  # some looks are taken at every other frame
        if not len(keys) or keys[-1] == 0:
            return None
        return Halt(
            records=records,
            complaints=tuple(Complaint(s, t, (a, b)) for s, t, a, b in state["complaints"]),
            jumps={int(tick): int(count) for tick, count in state["jumps"]},
            begin=int(records["tick"][keys[-1]]),
        )
    except (OSError, ValueError, KeyError, TypeError, IndexError):
        return None
