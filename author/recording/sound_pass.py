"""The sound of a film in the one pass over it: decoded, made mono, listened to."""

from __future__ import annotations

from fractions import Fraction
from typing import cast

import av
import numpy as np
import numpy.typing as npt
from av.audio.frame import AudioFrame
from av.audio.resampler import AudioResampler
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.packet import Packet
from av.video.stream import VideoStream

from author.recording.containers import base_of, heard_stream
from author.recording.hearing import RATE, Listener
from author.recording.index import MICRO

_BATCH = RATE  # samples


class SoundPass:
    """Hears the first sound of a film packet by packet, on the recording's clock."""

    def __init__(self, container: InputContainer, pictures: VideoStream) -> None:
        self._stream = heard_stream(container)
        # Zero as ``containers.origin_of`` will find it, told by the header.
        start = Fraction(container.start_time or 0, MICRO)
        picture = (pictures.start_time or 0) * base_of(pictures)
        self._start = min(start, picture) if pictures.start_time is not None else start
        self._listener = Listener()
        self._resampler = self._fresh()
        self._heard = False
        self._waiting: list[npt.NDArray[np.float32]] = []
        self._begun = self._count = 0

    @property
    def stream_index(self) -> int:
        """Index of the stream in the container, or -1 if there is no sound."""
        return self._stream.index if self._stream is not None else -1

    @property
    def codec(self) -> str:
        """Name of the decoder, as its complaints have it; empty without sound."""
        return "" if self._stream is None else self._stream.codec_context.name

    @staticmethod
    def _fresh() -> AudioResampler:
        return AudioResampler(format="flt", layout="mono", rate=RATE)

    def hear(self, packet: Packet[av.stream.Stream] | None) -> str:
        """Take one packet, or None at the end; return what the decoder says is wrong with it."""
        if self._stream is None:
            return ""
        try:
            frames = self._stream.decode(cast("Packet[AudioStream] | None", packet))
        except (av.FFmpegError, ValueError) as error:
            return str(getattr(error, "strerror", None) or error)
        for frame in frames:
            self._take(frame)
        return ""

    def _take(self, frame: AudioFrame) -> None:
        try:
            made = self._resampler.resample(frame)
        except ValueError:  # the form of the sound changed on the way
            self._resampler = self._fresh()
            made = self._resampler.resample(frame)
        for each in made:
            if each.pts is None or each.time_base is None:
                continue
            start = round((each.pts * each.time_base - self._start) * RATE)
            if start != self._begun + self._count or self._count >= _BATCH:
                self._hand_over()
                self._begun = start
            samples = each.to_ndarray().reshape(-1).astype(np.float32)
            self._waiting.append(samples)
            self._count += len(samples)

    def _hand_over(self) -> None:
        """Let the listener have what has come together: it works better on longer pieces."""
        if self._waiting:
            self._listener.hear(np.concatenate(self._waiting), self._begun)
            self._heard = True
        self._waiting, self._count = [], 0

    def finish(self) -> bytes:
        """Return what was heard; empty if there was nothing to hear."""
        self._hand_over()
        return self._listener.finish().to_bytes() if self._heard else b""
