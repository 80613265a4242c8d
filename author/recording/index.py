"""What one full reading of a film found: the exact times of its frames, and how to show them.

Times are integer ticks of the stream's time base. They become seconds with six
decimals only here, at the edge, rounded half to even.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from dataclasses import asdict, dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from typing import Any

from author.procedure.facts import Damage

INDEX_VERSION = 2
"""Raised whenever the meaning of a stored index changes, so that old ones are rebuilt."""

MICRO = 1_000_000


def seconds(value: Fraction) -> Decimal:
    """Return exact seconds as a decimal with six places, rounded half to even."""
    return (Decimal(round(value * MICRO)) / MICRO).quantize(
        Decimal("0.000001"), rounding=ROUND_HALF_EVEN
    )


@dataclass(frozen=True, slots=True)
class Geometry:
    """How a stored picture becomes the picture that is shown.

    The stored picture is first made ``scaled_width`` by ``scaled_height`` (square
    pixels), then transposed about its main diagonal if ``transpose``, then mirrored
    left to right if ``flip_x``, then top to bottom if ``flip_y``.
    """

    stored_width: int
    stored_height: int
    scaled_width: int
    scaled_height: int
    transpose: bool = False
    flip_x: bool = False
    flip_y: bool = False

    @property
    def shown(self) -> tuple[int, int]:
        """Width and height of the shown picture in pixels."""
        size = (self.scaled_width, self.scaled_height)
        return size[::-1] if self.transpose else size

    @property
    def mirrored(self) -> bool:
        """Whether the shown picture is a mirror image of the stored one."""
        return (self.transpose + self.flip_x + self.flip_y) % 2 == 1

    @property
    def rotation(self) -> int:
        """Clockwise turn in degrees (0, 90, 180, 270), after the mirroring if ``mirrored``."""
        if self.transpose:
            return 90 if self.flip_x else 270
        return 180 if self.flip_y else 0


@dataclass(frozen=True, slots=True)
class Sound:
    """The sound of a recording.

    Attributes:
        stream: index of the stream in the container.
        codec: short name of the codec.
        channels: number of channels.
        rate: samples a second.
        start: start of the sound, seconds on the recording's clock.
        end: end of the sound, same clock.
    """

    stream: int
    codec: str
    channels: int
    rate: int
    start: Decimal
    end: Decimal


@dataclass(frozen=True, slots=True)
class Chapter:
    """A named passage of a recording, seconds on its clock, half open."""

    title: str
    start: Decimal
    end: Decimal


@dataclass(frozen=True, slots=True)
class FilmIndex:
    """Everything that one full reading found.

    Attributes:
        container: short name of the container format.
        codec: short name of the picture codec.
        stream: index of the picture stream in the container.
        time_base: seconds of one tick.
        container_start: the container's start, microseconds; seeking counts from it.
        origin: zero of the recording's clock, microseconds of container time.
        ticks: start of each shown frame, strictly rising.
        end_tick: end of the last frame.
        keys: indices of frames from which decoding can begin, rising.
        timed: whether the file itself says when each frame is shown; without it
            frames can only be found by counting from the start.
        geometry: how to show a frame.
        matrix: the colour matrix the stream names (ITU-T H.273), 2 if it names none.
        full_range: whether luma uses all values from 0.
        sound: the first sound stream, if any.
        chapters: named passages.
        damage: what is not whole.
    """

    container: str
    codec: str
    stream: int
    time_base: Fraction
    container_start: int
    origin: int
    ticks: tuple[int, ...]
    end_tick: int
    keys: tuple[int, ...]
    timed: bool
    geometry: Geometry
    matrix: int
    full_range: bool
    sound: Sound | None
    chapters: tuple[Chapter, ...]
    damage: tuple[Damage, ...]

    def clock(self, tick: int) -> Decimal:
        """Return a tick as seconds on the recording's clock, six decimals."""
        return Decimal(self._micros(tick)).scaleb(-6)

    def _micros(self, tick: int) -> int:
        """Return a tick as microseconds on the clock, rounded half to even.

        In whole numbers: a window asks for thousands of times while a key is pressed.
        """
        base = self.time_base
        whole, rest = divmod(
            tick * base.numerator * MICRO - self.origin * base.denominator, base.denominator
        )
        up = 2 * rest > base.denominator or (2 * rest == base.denominator and whole % 2)
        return whole + bool(up)

    def boundary(self, index: int) -> int:
        """Return the tick at which frame ``index`` starts, or the film ends."""
        return self.end_tick if index == len(self.ticks) else self.ticks[index]

    def index_at(self, mark: Decimal) -> int:
        """Return the frame boundary a mark means, by the rule of ``RecordingFacts.index_at``.

        Args:
            mark: seconds on the recording's clock.

        Returns:
            An index from 0 up to and including the number of frames.
        """
        wanted = mark * MICRO
        after = bisect_left(self.ticks, math.ceil(wanted), key=self._micros)
        nearby = [each for each in (after - 1, after) if 0 <= each <= len(self.ticks)]
        return min(nearby, key=lambda each: (abs(self._micros(self.boundary(each)) - wanted), each))

    def key_before(self, index: int, back: int = 0) -> int:
        """Return the key frame at or before ``index``, or one ``back`` key frames earlier.

        Returns:
            A frame index, or -1 if decoding must begin at the start of the file.
        """
        at = bisect_right(self.keys, index) - 1 - back
        return self.keys[at] if at >= 0 else -1

    def to_plain(self) -> dict[str, Any]:
        """Return the index as a dict of plain JSON values."""
        plain = asdict(self)
        plain["time_base"] = [self.time_base.numerator, self.time_base.denominator]
        plain["version"] = INDEX_VERSION
        written: dict[str, Any] = _decimals_as_text(plain)
        return written

    @classmethod
    def from_plain(cls, plain: dict[str, Any]) -> FilmIndex:
        """Return the index that ``to_plain`` wrote.

        Raises:
            ValueError: it is of another version.
            KeyError, TypeError, ArithmeticError: it is damaged.
        """
        fields = dict(plain)
        if fields.pop("version") != INDEX_VERSION:
            raise ValueError("index of another version")
        fields["time_base"] = Fraction(*fields["time_base"])
        fields["geometry"] = Geometry(**fields["geometry"])
        if fields["sound"] is not None:
            fields["sound"] = Sound(**_from_text(fields["sound"]))
        fields["chapters"] = tuple(Chapter(**_from_text(each)) for each in fields["chapters"])
        fields["damage"] = tuple(Damage(**_from_text(each)) for each in fields["damage"])
        for name in ("ticks", "keys"):
            fields[name] = tuple(int(number) for number in fields[name])
        return cls(**fields)


def _decimals_as_text(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _decimals_as_text(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        if value and isinstance(value[0], int):
            return list(value)
        return [_decimals_as_text(each) for each in value]
    return str(value) if isinstance(value, Decimal) else value


def _from_text(plain: dict[str, Any]) -> dict[str, Any]:
    times = {
        key: Decimal(plain[key]) if plain[key] is not None else None for key in ("start", "end")
    }
    return {**plain, **times}
