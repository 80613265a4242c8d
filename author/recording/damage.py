"""What is not whole in a film, told from what one full reading saw.

Opening and decoding without an exception proves nothing: cut tails, a start in the
middle of a group of pictures and single bad samples raise none. So what was seen is
compared with what the file claims, and the decoder's own complaints are heard.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from author.errors import one_line
from author.procedure.facts import Damage
from author.recording.index import FilmIndex, seconds

_MAX_REPORTED = 50
_SLACK = Fraction(1, 2)
"""Seconds a header's duration may differ: encoders round it and sound ends a little later."""
_HOLE = Fraction(1, 2)
"""Seconds without a picture that may be a hole, in a file that is not whole."""

_ONE_PASSAGE = 1
"""Seconds between two complaints of the sound that are told as one passage."""

SOUND = "sound"
"""Source of complaints that are about the sound; all others are about the pictures."""

# Said by decoders of films that are whole.
_HARMLESS = (
    "co located POCs unavailable",
    "mmco: unref short failure",
    "number of reference frames",
    "unable to decode APP fields",
    "timescale not set",
    "Could not find codec parameters",
    "Missing reference picture, default is",
    "Late SEI",
)


@dataclass(frozen=True, slots=True)
class Complaint:
    """One line the media library logged at error level.

    Attributes:
        source: the part that said it, such as ``h264``, or ``SOUND``.
        text: what it said.
        where: first and last tick of the packets then in the decoder, or None if it
            came from reading the container.
    """

    source: str
    text: str
    where: tuple[int, int] | None


@dataclass
class Observed:
    """What one full reading saw, in ticks of the picture stream.

    Attributes:
        ticks: starts of the frames kept, strictly rising.
        keys: indices of key frames among them.
        corrupt: indices of frames flagged as corrupt.
        packets: number of picture packets read.
        visible: presentation ticks of packets meant to be seen, unsorted.
        complaints: error lines.
        jumps: ticks before which the clock ran backwards, with the frames left out.
        timed: whether every frame had a time stamp.
        interlaced: whether any frame was interlaced, so that packets may be fields.
        cut: why reading ended early, or an empty string.
        listed: number of samples in the container's list, or None.
        claimed_end: end by the header, seconds on the recording's clock, or None.
        real_end: end of the last picture or sound found, same clock.
    """

    ticks: list[int] = field(default_factory=list)
    keys: list[int] = field(default_factory=list)
    corrupt: list[int] = field(default_factory=list)
    packets: int = 0
    visible: list[int] = field(default_factory=list)
    complaints: list[Complaint] = field(default_factory=list)
    jumps: dict[int, int] = field(default_factory=dict)
    timed: bool = True
    interlaced: bool = False
    cut: str = ""
    listed: int | None = None
    claimed_end: Fraction | None = None
    real_end: Fraction = Fraction(0)

    def packet(self, pts: int | None, discard: bool) -> None:
        """Note one picture packet."""
        self.packets += 1
        if pts is not None and not discard:
            self.visible.append(pts)

    def frame(self, tick: int, key: bool, corrupt: bool, interlaced: bool) -> bool:
        """Note one decoded frame, and return whether it is kept."""
        self.interlaced = self.interlaced or interlaced
        if self.ticks and tick <= self.ticks[-1]:
            self.jumps[self.ticks[-1]] = self.jumps.get(self.ticks[-1], 0) + 1
            return False
        if key:
            self.keys.append(len(self.ticks))
        if corrupt:
            self.corrupt.append(len(self.ticks))
        self.ticks.append(tick)
        return True


def damage_of(seen: Observed, index: FilmIndex) -> tuple[Damage, ...]:
    """Return what is not whole, in the order of time.

    Args:
        seen: what the reading saw.
        index: the index made of it, for its clock.
    """
    found = [
        *_late_start(seen, index),
        *_lost(seen, index),
        *_complaints(seen, index),
        *_sound(seen, index),
        *_corrupt(seen, index),
        *_jumps(seen, index),
        *_tail(seen, index),
    ]
    found.sort(key=lambda each: (each.start is None, each.start or 0, each.end or 0))
    if len(found) > _MAX_REPORTED:
        more = len(found) - _MAX_REPORTED
        last = Damage(None, None, f"{more} more damaged passages are not listed")
        found = [*found[:_MAX_REPORTED], last]
    return tuple(found)


def _late_start(seen: Observed, index: FilmIndex) -> list[Damage]:
    """Pictures before the first one that could be decoded."""
    early = [tick for tick in seen.visible if tick < seen.ticks[0]]
    if not early or not seen.timed:
        return []
    what = (
        f"{_pictures(len(early))} at the start cannot be decoded: the recording begins"
        " in the middle of a group of pictures"
    )
    start = max(Decimal("0.000000"), index.clock(min(early)))
    return [Damage(start, index.clock(seen.ticks[0]), what)]


def _lost(seen: Observed, index: FilmIndex) -> list[Damage]:
    """Pictures that are in the file and did not come out of the decoder."""
    runs: dict[int, list[int]] = {}
    for tick in _undecoded(seen, index):
        runs.setdefault(bisect_right(seen.ticks, tick), []).append(tick)
    found = []
    for after, ticks in runs.items():
        if after == len(seen.ticks) and _breaks_off(seen):
            continue  # told with the end of the file
        what = f"{_pictures(len(ticks))} cannot be decoded"
        end = max(_boundary(index, after), ticks[-1])
        found.append(Damage(index.clock(ticks[0]), index.clock(end), what))
    return found


def _undecoded(seen: Observed, index: FilmIndex) -> list[int]:
    """Ticks of pictures after the first that were read and not decoded, rising."""
    if seen.interlaced or not seen.timed or index.codec in ("vp8", "vp9", "av1", "libdav1d"):
        return []  # there, packets are not frames
    known = set(seen.ticks)
    lost = sorted(t for t in seen.visible if t not in known and t > seen.ticks[0])
    return [] if len(lost) * 5 > len(seen.visible) * 2 else lost


def _complaints(seen: Observed, index: FilmIndex) -> list[Damage]:
    """Passages the decoder complained of: from there to the next key frame."""
    passages: list[tuple[int, int, str, int]] = []
    for each in seen.complaints:
        if each.where is None or each.source == SOUND or _harmless(each):
            continue
        first, last = each.where
        if last < seen.ticks[0]:
            continue  # told already: nothing before the first frame could be decoded
        start = max(0, bisect_right(seen.ticks, first) - 1)
        after = bisect_right(seen.keys, bisect_right(seen.ticks, last) - 1)
        end = seen.keys[after] if after < len(seen.keys) else len(seen.ticks)
        if passages and start < passages[-1][1]:
            old = passages[-1]
            passages[-1] = (min(start, old[0]), max(end, old[1]), old[2], old[3] + 1)
        else:
            passages.append((start, end, f"{each.source}: {each.text}", 1))
    found = []
    for start, end, text, count in passages:
        more = f", and {count - 1} more complaints of the decoder" if count > 1 else ""
        what = f"{_pictures(end - start)} may be spoilt ({one_line(text)}{more})"
        found.append(
            Damage(index.clock(_boundary(index, start)), index.clock(_boundary(index, end)), what)
        )
    return found


def _sound(seen: Observed, index: FilmIndex) -> list[Damage]:
    """Passages of the sound that could not be decoded."""
    complaints = [
        (*each.where, each.text)
        for each in seen.complaints
        if each.source == SOUND and each.where is not None
    ]
    passages: list[list[tuple[int, int, str]]] = []
    for each in sorted(complaints):
        last = passages[-1][-1][1] if passages else None
        if last is not None and (each[0] - last) * index.time_base <= _ONE_PASSAGE:
            passages[-1].append(each)
        else:
            passages.append([each])
    found = []
    for passage in passages:
        first, last, text = passage[0][0], passage[-1][1], one_line(passage[0][2])
        pieces = "1 piece" if len(passage) == 1 else f"{len(passage)} pieces"
        end = max(last, _boundary(index, bisect_right(seen.ticks, last)))
        start = max(Decimal("0.000000"), index.clock(first))
        what = f"{pieces} of the sound cannot be decoded ({text})"
        found.append(Damage(start, max(start, index.clock(end)), what))
    return found


def _corrupt(seen: Observed, index: FilmIndex) -> list[Damage]:
    """Runs of frames flagged as corrupt."""
    found: list[Damage] = []
    run: list[int] = []
    for at in [*seen.corrupt, -1]:
        if run and at != run[-1] + 1:
            start, end = index.boundary(run[0]), index.boundary(run[-1] + 1)
            what = f"{_pictures(len(run))} incomplete"
            found.append(Damage(index.clock(start), index.clock(end), what))
            run = []
        run.append(at)
    return found


def _jumps(seen: Observed, index: FilmIndex) -> list[Damage]:
    """Places where the clock of the file runs backwards."""
    found = []
    for tick, count in seen.jumps.items():
        after = bisect_right(seen.ticks, tick)
        what = f"the clock of the file runs backwards here, {_pictures(count)} left out"
        found.append(Damage(index.clock(tick), index.clock(index.boundary(after)), what))
    return found


def _tail(seen: Observed, index: FilmIndex) -> list[Damage]:
    """What the file claims to hold beyond what was found."""
    container = [each for each in seen.complaints if each.where is None and not _harmless(each)]
    end = index.clock(index.end_tick)
    claimed = None if seen.claimed_end is None else max(end, seconds(seen.claimed_end))
    if _breaks_off(seen):
        last = sum(tick > seen.ticks[-1] for tick in _undecoded(seen, index))
        missing = _unlisted(seen) + last
        # Without a list of pictures, what is missing is only known by its length.
        guess = _about(index, _short(seen), "missing") if not _unlisted(seen) else ""
        lacks = f", {_pictures(missing)} missing" if missing and not guess else guess
        return [Damage(end, claimed, f"the file breaks off here{lacks}")]
    if container:
        text = one_line(f"{container[0].source}: {container[0].text}")
        return _holes(index) or [Damage(None, None, f"a part of the file is unreadable ({text})")]
    return []


def _breaks_off(seen: Observed) -> bool:
    """Whether the file ends before what it claims to hold."""
    return bool(seen.cut) or _unlisted(seen) > 0 or _short(seen) > _SLACK


def _unlisted(seen: Observed) -> int:
    """Pictures in the container's list that were not in the file."""
    return 0 if seen.listed is None else max(0, seen.listed - seen.packets)


def _short(seen: Observed) -> Fraction:
    """Seconds the film is shorter than its header claims."""
    return Fraction(0) if seen.claimed_end is None else seen.claimed_end - seen.real_end


def _holes(index: FilmIndex) -> list[Damage]:
    """Long times without a picture; a camera may pause, so only asked of an unreadable file."""
    usual = _usual(index)
    long = max(_HOLE / index.time_base, Fraction(usual * 10))
    found = []
    for before, after in pairwise(index.ticks):
        if after - before > long:
            lost = _about(index, (after - before - usual) * index.time_base, "lost")
            what = f"a part of the file is unreadable, and no picture is found here{lost}"
            found.append(Damage(index.clock(before + usual), index.clock(after), what))
    return found


def _usual(index: FilmIndex) -> int:
    """Median of the ticks from a frame to the next; 0 with a single frame."""
    steps = sorted(after - before for before, after in pairwise(index.ticks))
    return steps[len(steps) // 2] if steps else 0


def _about(index: FilmIndex, length: Fraction, fate: str) -> str:
    """How many pictures have room in so many seconds, at the film's usual rate."""
    usual = _usual(index)
    count = round(length / (usual * index.time_base)) if usual else 0
    return f", about {_pictures(count)} {fate}" if count > 0 else ""


def _harmless(complaint: Complaint) -> bool:
    return any(text in complaint.text for text in _HARMLESS)


def _boundary(index: FilmIndex, at: int) -> int:
    return index.boundary(min(max(at, 0), len(index.ticks)))


def _pictures(count: int) -> str:
    return "1 picture" if count == 1 else f"{count} pictures"
