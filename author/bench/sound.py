"""The loudspeaker: PCM in, and how much of it has been heard, which is the film's clock.

Qt's sound library is loaded when it is first asked for, and the program does without it,
as it does without a sound device.
"""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any, Protocol

from PyQt6.QtCore import QIODevice

if TYPE_CHECKING:
    from PyQt6.QtMultimedia import QAudioSink

RATE = 48_000
"""Samples a second, of two channels, 16 bits each."""

SAMPLE_BYTES = 4
_BUFFER = RATE * SAMPLE_BYTES // 4
_STALL = 3.0  # seconds after which a device that takes nothing counts as gone
_FATAL = ("OpenError", "IOError", "FatalError")
_STEP = 0.1  # seconds over which the clock is drawn on between two words of the device


class Clock(Protocol):
    """Says how long a film has run, in seconds of the person's time."""

    def seconds(self) -> float:
        """Return the seconds since it was begun."""


class Stopwatch:
    """The clock of a film without sound."""

    def __init__(self) -> None:
        self._begun = time.monotonic()

    def seconds(self) -> float:
        """Return the seconds since it was begun."""
        return time.monotonic() - self._begun


class Loudspeaker:
    """The sound device of the machine. A clock while it sounds."""

    def __init__(self) -> None:
        self._sink: QAudioSink | None = None
        self._device: QIODevice | None = None
        self._waiting = bytearray()
        self._told = 0.0
        self._told_at = 0.0
        self._reached = 0.0

    def available(self) -> bool:
        """Whether there is a device to be heard; the first time this takes a moment."""
        media = _media()
        return media is not None and not media.QMediaDevices.defaultAudioOutput().isNull()

    def begin(self) -> bool:
        """Begin to sound what was given; return whether the device does."""
        self._let_go()
        media = _media()
        if media is None:
            return False
        form = media.QAudioFormat()
        form.setSampleRate(RATE)
        form.setChannelCount(2)
        form.setSampleFormat(media.QAudioFormat.SampleFormat.Int16)
        output = media.QMediaDevices.defaultAudioOutput()
        if output.isNull() or not output.isFormatSupported(form):
            return False
        self._sink = media.QAudioSink(output, form)
        self._sink.setBufferSize(_BUFFER)
        self._device = self._sink.start()
        self._told = self._reached = 0.0
        self._told_at = time.monotonic()
        self.feed()
        return self._device is not None

    def give(self, data: bytes) -> None:
        """Give more to be heard."""
        self._waiting += data
        self.feed()

    def feed(self) -> None:
        """Hand over to the device what it has room for."""
        if self._sink is None or self._device is None:
            return
        room = min(self._sink.bytesFree(), len(self._waiting)) // SAMPLE_BYTES * SAMPLE_BYTES
        if room > 0:
            taken = self._device.write(bytes(self._waiting[:room]))
            del self._waiting[: max(taken, 0)]

    @property
    def waiting(self) -> int:
        """Samples that the device had no room for yet."""
        return len(self._waiting) // SAMPLE_BYTES

    def seconds(self) -> float:
        """Return the seconds heard; between two words of the device drawn on a little."""
        if self._sink is not None:
            told, now = self._sink.processedUSecs() / 1e6, time.monotonic()
            if told != self._told:
                self._told, self._told_at = told, now
            ahead = min(now - self._told_at, _STEP) if told else 0.0
            self._reached = max(self._reached, told + ahead)
        return self._reached

    @property
    def lost(self) -> bool:
        """Whether the device that sounded does so no longer."""
        if self._sink is None:
            return False
        stalled = self.waiting > 0 and time.monotonic() - self._told_at > _STALL
        return stalled or self._sink.error().name in _FATAL

    def end(self) -> None:
        """Be silent at once."""
        self._waiting.clear()
        self._let_go()

    def _let_go(self) -> None:
        if self._sink is not None:
            self._sink.reset()
            self._sink.stop()
            self._sink.deleteLater()
        self._sink = self._device = None


def _media() -> Any:
    """Return Qt's sound library, or None where it cannot be loaded."""
    try:
        from PyQt6 import QtMultimedia
    except ImportError:
        return None
    return QtMultimedia
