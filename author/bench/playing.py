"""Runs a film with its sound: the picture follows what is heard.

At half and at double speed the sound is lower and higher as from a tape that runs slower or
faster: speech stays to be understood, and the clock stays that of the sound. Where there is
no sound, or no device for it, a film runs by the machine's clock. Each frame shown is that
of its moment; where pictures come too slowly, frames are left out, never shown late as if
they were others.
"""

from __future__ import annotations

import threading
import time
from decimal import Decimal
from fractions import Fraction

from PyQt6.QtCore import QObject, Qt, QTimer, pyqtSignal

from author.bench.films import FilmDesk
from author.bench.sound import RATE, SAMPLE_BYTES, Clock, Loudspeaker, Stopwatch
from author.recording.index import FilmIndex
from author.recording.sound_stream import Pcm, SoundEnded, SoundLost, SoundStream

NORMAL, HALF, DOUBLE = Fraction(1), Fraction(1, 2), Fraction(2)

_TICK = 8  # milliseconds
_SETTLE = 180  # milliseconds after a jump until the film runs on from there
_ENOUGH = RATE // 8  # samples that are there before the film starts
_AHEAD = RATE // 2  # samples asked for beyond those heard
_SOUND_WAITED = 4.0  # seconds


class Player(QObject):
    """Runs the film in front, from the frame that is looked at."""

    running_changed = pyqtSignal(bool)
    """Whether the film runs."""
    told = pyqtSignal(str, str)
    """Something to say: severity and words."""
    _heard = pyqtSignal(int, object)

    def __init__(
        self, films: FilmDesk, parent: QObject | None = None, speaker: Loudspeaker | None = None
    ) -> None:
        super().__init__(parent)
        self._films = films
        self._speaker = speaker or Loudspeaker()
        self._speed = NORMAL
        self._loop: tuple[Decimal, Decimal] | None = None
        self._running = False
        self._silence_told = False
        self._clock: Clock | None = None
        self._start = Decimal(0)
        self._wished = -1
        self._begun_at = 0.0
        self._stream: SoundStream | None = None
        self._stream_of: tuple[str, object] = ("", None)
        self._streams = 0
        self._ticket = 0
        self._asked = self._given = 0
        self._closing: list[threading.Thread] = []
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(_TICK)
        self._timer.timeout.connect(self._tick)
        self._again = QTimer(self)
        self._again.setSingleShot(True)
        self._again.setInterval(_SETTLE)
        self._again.timeout.connect(self._begin)
        self._heard.connect(self._take)  # told by other threads, so it is queued
        films.moved.connect(self._take_move)
        films.front_changed.connect(lambda _: self.halt())
        self._speaker.available()  # loads Qt's sound now, while nobody waits for a key

    @property
    def running(self) -> bool:
        """Whether the film runs."""
        return self._running

    @property
    def speed(self) -> Fraction:
        """How fast it runs; 1 is as filmed."""
        return self._speed

    def toggle(self) -> None:
        """Run, or halt."""
        if self._running:
            self.halt()
        else:
            self.run()

    def run(self) -> None:
        """Run from the frame that is looked at; from the last one, from the start."""
        if self._running or not self._films.count():
            return
        self._running = True
        self._begin()
        self.running_changed.emit(True)

    def halt(self) -> None:
        """Halt at the frame that is shown."""
        if not self._running:
            return
        self._running = False
        self._rest()
        self._films.run(False)
        self.running_changed.emit(False)

    def set_speed(self, speed: Fraction) -> None:
        """Run at another speed from here on."""
        if speed != self._speed:
            self._speed = speed
            if self._running:
                self._begin()

    def set_loop(self, span: tuple[Decimal, Decimal] | None) -> None:
        """Run over and over from one mark up to another, seconds; or no longer."""
        self._loop = span
        if self._running:
            self._begin()

    @property
    def loop(self) -> tuple[Decimal, Decimal] | None:
        """The marks between which the film runs over and over."""
        return self._loop

    def stop(self) -> None:
        """Halt, and end the process and the threads. May be called twice."""
        self.halt()
        self._speaker.end()
        self._let_go()
        for thread in self._closing:
            thread.join()
        self._closing.clear()

    def _rest(self) -> None:
        """Stop the clock and the sound."""
        self._timer.stop()
        self._again.stop()
        self._clock = None
        self._ticket = 0
        self._speaker.end()
        if self._stream is not None:
            self._stream.halt()

    def _begin(self) -> None:
        """Start clock and sound at the frame that is looked at."""
        self._rest()
        films = self._films
        first, end = self._bounds()
        frame = films.frame
        if not first <= frame < end - 1:
            frame = first
        self._wished = frame
        films.run(True)
        if frame != films.frame:
            films.show(frame)
        self._start = films.start_of(frame)
        self._begun_at = time.monotonic()
        if not self._ask_for_sound():
            self._clock = Stopwatch()
        self._timer.start()

    def _bounds(self) -> tuple[int, int]:
        """Return the frames to run through, half open."""
        count = self._films.count()
        if self._loop is None:
            return 0, count
        first, end = (min(self._films.frame_at(mark), count) for mark in self._loop)
        return (first, end) if end > first else (0, count)

    # --- sound ---

    def _ask_for_sound(self) -> bool:
        index = self._films.index()
        if index is None or index.sound is None:
            return False
        if not self._speaker.available():
            self._tell_silence(self.tr("There is no sound device: the film runs without sound."))
            return False
        stream = self._stream_for(index)
        self._asked = self._given = 0
        self._ticket = stream.play(self._start, int(RATE / self._speed))
        self._want_more()
        return True

    def _tell_silence(self, words: str) -> None:
        if not self._silence_told:
            self._silence_told = True
            self.told.emit("advice", words)

    def _stream_for(self, index: FilmIndex) -> SoundStream:
        wanted = (self._films.front, (index.sound, index.origin, index.end_tick, index.timed))
        if self._stream is None or self._stream_of != wanted:
            self._let_go()
            path = self._films.path(self._films.front)
            self._streams += 1
            number = self._streams
            assert path is not None  # noqa: S101 - it has an index
            self._stream = SoundStream(path, index, lambda event: self._heard.emit(number, event))
            self._stream_of = wanted
        return self._stream

    def _let_go(self) -> None:
        """End the sound's process, without waiting for it here."""
        if self._stream is not None:
            thread = threading.Thread(target=self._stream.close, name="reelwright-sound-end")
            thread.start()
            self._closing.append(thread)
        self._stream = None

    def _want_more(self) -> None:
        assert self._stream is not None  # noqa: S101 - it gave the ticket
        lacking = _AHEAD - (self._asked - self._given) - self._speaker.waiting
        if lacking > _AHEAD // 4:
            self._asked += lacking
            self._stream.more(self._ticket, lacking)

    def _take(self, stream: int, event: object) -> None:
        if stream != self._streams or self._stream is None or not self._running:
            return
        match event:
            case Pcm(ticket=ticket, data=data) if ticket == self._ticket:
                self._given += len(data) // SAMPLE_BYTES
                self._speaker.give(data)
                if self._clock is None and self._given >= _ENOUGH:
                    self._sound()
            case SoundEnded(ticket=ticket) if ticket == self._ticket:
                # Some devices sound their last piece only when more follows.
                self._speaker.give(bytes(RATE * SAMPLE_BYTES))
                if self._clock is None:
                    self._sound()
            case SoundLost(error=error):
                self._lose_sound(error.problem)

    def _sound(self) -> None:
        if self._speaker.begin():
            self._clock = self._speaker
        else:
            self._lose_sound(self.tr("The sound device does not answer: the film runs silently."))

    def _lose_sound(self, words: str) -> None:
        """Go on without sound from the moment reached."""
        self._tell_silence(words)
        self._speaker.end()
        self._let_go()
        self._ticket = 0
        self._start = self._films.moment
        self._clock = Stopwatch()

    # --- picture ---

    def _take_move(self, _: str, frame: int) -> None:
        """Somebody went elsewhere while the film runs: run on from there, when he rests."""
        if self._running and frame != self._wished:
            self._rest()
            self._again.start()

    def _tick(self) -> None:
        clock = self._clock
        if clock is None:
            if time.monotonic() - self._begun_at > _SOUND_WAITED:
                self._lose_sound(self.tr("The sound does not come: the film runs without it."))
            return
        if clock is self._speaker:
            self._speaker.feed()
            self._want_more()
            if self._speaker.lost:
                self._lose_sound(self.tr("The sound device is gone: the film runs without sound."))
                return
        ran = Fraction(round(clock.seconds() * 1_000_000), 1_000_000) * self._speed
        now = self._start + Decimal(round(ran * 1_000_000)) / 1_000_000
        first, end = self._bounds()
        if now >= self._films.start_of(end):
            self._come_to_end(first, end)
            return
        frame = self._films.frame_during(now)
        if frame > self._films.frame and frame != self._wished and not self._films.waiting:
            self._wished = frame
            self._films.run_to(frame)

    def _come_to_end(self, first: int, end: int) -> None:
        if self._loop is not None:
            self._wished = first
            self._films.show(first)
            self._begin()
        else:
            self._wished = end - 1
            self._films.show(end - 1)
            self.halt()
