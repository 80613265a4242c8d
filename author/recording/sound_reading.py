"""The whole sound of a film as one array on the recording's clock. For the decoding process."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from av.audio.frame import AudioFrame
from av.audio.resampler import AudioResampler
from av.audio.stream import AudioStream
from av.container import InputContainer
from numpy.typing import NDArray

from author.errors import InputError
from author.recording.index import MICRO, FilmIndex
from author.recording.opening import opened
from author.recording.packets import Tell, decoded

LONGEST = 12 * 3600
"""Seconds of sound that are read at most; bounds memory against false time stamps."""

SAME_RUN = Fraction(1, 100)
"""Seconds that a frame may lie off from where the last one ended and still go on from it:
time stamps are rounded, to a millisecond in some containers."""


def read_sound(path: Path, index: FilmIndex, rate: int, tell: Tell) -> NDArray[np.float32]:
    """Decode the sound of a film to one channel.

    Args:
        path: the film.
        index: what is known of it.
        rate: samples a second wanted.
        tell: called with the seconds read and the seconds there are; may raise to stop.

    Returns:
        Samples of full scale 1, from zero of the recording's clock to the end of the
        sound; the sound of time t is at ``round(t * rate)``. What is missing, or does not
        decode, is silence; what lies before zero is left out.

    Raises:
        InputError: the film has no sound, too much of it, or cannot be opened.
        MachineError: reading failed.
    """
    if index.sound is None:
        raise InputError("has no sound", remedy="Give a recording with sound", file=path)
    if index.sound.end > LONGEST:
        raise InputError(
            "claims more than twelve hours of sound", remedy="Cut it into parts", file=path
        )
    found = np.zeros(max(0, round(Fraction(index.sound.end) * rate)), np.float32)
    with opened(path) as (container, _):
        streams = container.streams
        if index.sound.stream >= len(streams):
            raise _changed(path)
        stream = streams[index.sound.stream]
        if not isinstance(stream, AudioStream):
            raise _changed(path)
        placer = _Placer(found, rate, Fraction(index.origin, MICRO))
        total = int(index.sound.end)
        for number, frame in enumerate(sound_frames(container, stream)):
            placer.take(frame)
            if number % 50 == 0:
                tell(min(total, placer.reached // rate), total)
        placer.close_run()
    return found


def _changed(path: Path) -> InputError:
    return InputError("changed while it was open", remedy="Open it again", file=path)


def sound_frames(container: InputContainer, stream: AudioStream) -> Iterator[AudioFrame]:
    """Yield the sound, passing over packets that do not decode."""
    packets = container.demux(stream)
    while True:
        try:
            packet = next(packets)
        except IndexError:  # of a stream that came up only now: not for us
            packets = container.demux(stream)
            continue
        except (StopIteration, av.FFmpegError, OSError, ValueError):
            break
        if packet.size:
            yield from decoded(stream, packet)
    yield from decoded(stream, None)


class _Placer:
    """Puts decoded frames where they belong, run by run.

    A run is sound without a gap. It is placed by the time stamp of its first frame; the
    others follow it sample by sample, since their own stamps are rounded.
    """

    def __init__(self, found: NDArray[np.float32], rate: int, zero: Fraction) -> None:
        self.reached = 0  # sample up to which sound was placed
        self._found = found
        self._rate = rate
        self._zero = zero
        self._resampler: AudioResampler | None = None
        self._form: tuple[str, int, int] | None = None
        self._expected: Fraction | None = None  # where the run ends, seconds

    def take(self, frame: AudioFrame) -> None:
        """Take the next frame."""
        if not frame.samples or not frame.sample_rate:
            return
        start = self._expected
        if frame.pts is not None and frame.time_base is not None:
            start = frame.pts * frame.time_base - self._zero
        if start is None:
            start = Fraction(0)
        form = (frame.format.name, len(frame.layout.channels), frame.sample_rate)
        on = self._expected is not None and abs(start - self._expected) <= SAME_RUN
        if not on or form != self._form:
            self.close_run()
            self._resampler = AudioResampler("flt", "mono", self._rate)
            self._form = form
            self.reached = round(start * self._rate)
            self._expected = start
        assert self._expected is not None  # noqa: S101 - set with the run
        self._expected += Fraction(frame.samples, frame.sample_rate)
        self._put(_mono(frame))

    def close_run(self) -> None:
        """Put what the resampler still holds."""
        if self._resampler is not None:
            self._put(None)
        self._resampler = None

    def _put(self, frame: AudioFrame | None) -> None:
        assert self._resampler is not None  # noqa: S101 - only within a run
        for made in self._resampler.resample(frame):
            samples = made.to_ndarray().reshape(-1)
            at, end = self.reached, self.reached + len(samples)
            self.reached = end
            low, high = max(0, at), min(end, len(self._found))
            if high > low:
                self._found[low:high] = samples[low - at : high - at]


def _mono(frame: AudioFrame) -> AudioFrame:
    """Return the mean of the channels: no channel is louder than the others, none clips."""
    values = frame.to_ndarray()
    if not frame.format.is_planar:
        values = values.reshape(-1, len(frame.layout.channels)).T
    mean = values.mean(0, dtype=np.float64)
    if values.dtype.kind in "iu":
        middle = 128 if values.dtype.kind == "u" else 0
        mean = (mean - middle) / (1 << (8 * values.dtype.itemsize - 1))
    mean = np.nan_to_num(mean, posinf=0.0, neginf=0.0)  # a damaged packet can decode to anything
    plain = AudioFrame.from_ndarray(mean.astype(np.float32)[None], "flt", "mono")
    plain.sample_rate = frame.sample_rate
    return plain
