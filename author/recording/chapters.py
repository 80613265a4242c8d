"""One film in several files: cameras cut a long take into parts of about four gigabytes.

The parts are joined picture to picture: the first picture of a part begins where the last
one of the part before ends, by the time stamps of each. So one clock runs over all parts,
and every frame of every part has one place on it.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections import OrderedDict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import groupby
from pathlib import Path
from types import TracebackType

from author.errors import InputError
from author.procedure.facts import Damage, RecordingFacts
from author.progress import Cancel
from author.recording.reader import Frame, FrameReader

_OPEN_AT_ONCE = 2
"""Readers kept open: a person walks to and fro over one joint, not over many."""

_STEP = Decimal("0.000001")
_DIGITS = re.compile(r"(\d+)", re.ASCII)


@dataclass(frozen=True, slots=True)
class Joined:
    """Several recordings on one clock.

    Attributes:
        names: file name of each part, without folder.
        width: shown width in pixels, the same in all parts.
        height: shown height in pixels, the same in all parts.
        frame_starts: start of every frame of every part, strictly rising, seconds with
            six decimals on the joined clock, which is that of the first part.
        duration: end of the last frame of the last part, same clock.
        damage: passages that are not whole, same clock, each naming its file.
        firsts: index of the first frame of each part.
        offsets: where zero of each part's own clock stands on the joined clock.
    """

    names: tuple[str, ...]
    width: int
    height: int
    frame_starts: tuple[Decimal, ...]
    duration: Decimal
    damage: tuple[Damage, ...]
    firsts: tuple[int, ...]
    offsets: tuple[Decimal, ...]

    @property
    def frame_count(self) -> int:
        """Number of frames in all parts."""
        return len(self.frame_starts)

    def offset(self, part: int) -> Decimal:
        """Return where zero of a part's own clock stands on the joined clock, in seconds.

        The first picture of the part then begins at the end of the last picture of the
        part before. Sound that goes on after that last picture is not waited for: it
        runs on for some milliseconds in most parts, the camera records it again in the
        next one, and a wait would add a pause to the pictures at every joint. Pictures
        at the beginning of a part that cannot be decoded keep their time.

        Raises:
            IndexError: there is no such part.
        """
        return self.offsets[part]

    def locate(self, index: int) -> tuple[int, int]:
        """Return the part a frame is in, and its index in that part.

        Raises:
            InputError: the index is outside the joined film.
        """
        if not 0 <= index < self.frame_count:
            raise InputError(
                f"has no frame {index}: its {len(self.names)} parts have"
                f" {self.frame_count}, counted from 0",
                file=self.names[0],
            )
        part = bisect_right(self.firsts, index) - 1
        return part, index - self.firsts[part]

    def index_at(self, seconds: Decimal) -> int:
        """Return the frame boundary a mark means, by the rule of ``RecordingFacts.index_at``.

        Args:
            seconds: a mark on the joined clock.

        Returns:
            An index from 0 up to and including ``frame_count``.
        """
        bounds = (*self.frame_starts, self.duration)
        after = bisect_left(bounds, seconds)
        near = [each for each in (after - 1, after) if 0 <= each < len(bounds)]
        return min(near, key=lambda each: (abs(bounds[each] - seconds), each))


def in_order(paths: Sequence[Path]) -> list[Path]:
    """Return parts in the natural order of their names, in which numbers count as numbers.

    Names that differ only in case or leading zeros, and equal names in several folders,
    are ordered by the whole path.
    """
    return sorted(paths, key=lambda path: (_natural(path.stem), _natural(str(path)), str(path)))


def _natural(text: str) -> list[tuple[int, str]]:
    """Return a key that sorts ``part10`` after ``part9``."""
    pieces = _DIGITS.split(text.casefold())
    return [(int(each), "") if at % 2 else (-1, each) for at, each in enumerate(pieces)]


def join(parts: Sequence[tuple[Path, RecordingFacts]]) -> Joined:
    """Put the parts of one film on one clock.

    Args:
        parts: each part's file and what is known of it, in order.

    Raises:
        InputError: there is no part, one has no frames, is shown in another size than
            the first, or is the same film as one before it.
    """
    if not parts:
        raise InputError("no part was named", remedy="Name the files of the film in order")
    starts: list[Decimal] = []
    firsts: list[int] = []
    offsets: list[Decimal] = []
    damage: list[Damage] = []
    end = Decimal("0.000000")
    for at, (path, facts) in enumerate(parts):
        _check(path, facts, parts[:at])
        offset = end - _picture_start(facts) if at else end
        firsts.append(len(starts))
        offsets.append(offset)
        starts += [offset + each for each in facts.frame_starts]
        damage += [_moved(each, path, offset) for each in facts.damage]
        end = max(offset + facts.duration, starts[-1] + _STEP)
    width, height = parts[0][1].width, parts[0][1].height
    names = tuple(path.name for path, _ in parts)
    return Joined(
        names, width, height, tuple(starts), end, tuple(damage), tuple(firsts), tuple(offsets)
    )


def _check(
    path: Path, facts: RecordingFacts, before: Sequence[tuple[Path, RecordingFacts]]
) -> None:
    if not facts.frame_starts:
        raise InputError("has no frame to show", remedy="Leave this part out", file=path)
    for other, known in before:
        if known.sha256 == facts.sha256:
            raise InputError(
                f"is the same film as {other.name}", remedy="Name each part once", file=path
            )
    if before:
        first, known = before[0]
        if (known.width, known.height) != (facts.width, facts.height):
            raise InputError(
                f"does not follow on from {first.name}: its picture is {facts.width} ×"
                f" {facts.height}, not {known.width} × {known.height}",
                remedy="Name only the parts of one take; open other films by themselves",
                file=path,
            )


def _picture_start(facts: RecordingFacts) -> Decimal:
    """Return when the pictures of a part begin on its own clock, with those that are lost."""
    first = facts.frame_starts[0]
    lost = [
        each.start
        for each in facts.damage
        if each.start is not None and each.end is not None and each.end <= first
    ]
    return min([first, *lost])


def _moved(damage: Damage, path: Path, offset: Decimal) -> Damage:
    start = None if damage.start is None else damage.start + offset
    end = None if damage.end is None else damage.end + offset
    return Damage(start, end, f"{path.name}: {damage.what}")


class JoinedReader:
    """Reads frames of a joined film; a context manager that ends its processes."""

    def __init__(
        self, parts: Sequence[tuple[Path, RecordingFacts]], cancel: Cancel | None = None
    ) -> None:
        """Prepare to read.

        Args:
            parts: as for ``join``; each must still be the film its facts speak of.
            cancel: looked at while waiting for a frame.

        Raises:
            InputError: the parts cannot be joined.
        """
        self.joined = join(parts)
        self._parts = tuple(parts)
        self._cancel = cancel
        self._readers: OrderedDict[int, FrameReader] = OrderedDict()

    def __enter__(self) -> JoinedReader:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """End the processes. May be called twice."""
        while self._readers:
            self._readers.popitem()[1].close()

    def frame(self, index: int) -> Frame:
        """Return one frame by its index in the joined film; raises as ``frames``."""
        part, at = self.joined.locate(index)
        return self._placed(self._reader(part).frame(at), part)

    def at(self, seconds: Decimal) -> Frame:
        """Return the frame a mark on the joined clock means; the end means the last frame."""
        return self.frame(min(self.joined.index_at(seconds), self.joined.frame_count - 1))

    def frames(self, indices: Sequence[int]) -> Iterator[Frame]:
        """Yield the frames asked for, each once, in rising order, one part after another.

        Raises:
            InputError: an index is outside the film, or a part changed.
            MachineError: a decoder crashed or memory ran out.
            Cancelled: the user asked to stop.
        """
        places = [self.joined.locate(index) for index in sorted(set(indices))]
        for part, wanted in groupby(places, key=lambda place: place[0]):
            for frame in self._reader(part).frames([at for _, at in wanted]):
                yield self._placed(frame, part)

    def _placed(self, frame: Frame, part: int) -> Frame:
        index = self.joined.firsts[part] + frame.index
        return replace(frame, index=index, start=self.joined.frame_starts[index])

    def _reader(self, part: int) -> FrameReader:
        if part not in self._readers:
            while len(self._readers) >= _OPEN_AT_ONCE:
                self._readers.popitem(last=False)[1].close()
            self._readers[part] = FrameReader(*self._parts[part], self._cancel)
        self._readers.move_to_end(part)
        return self._readers[part]
