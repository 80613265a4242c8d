"""The window's end of the process that gives a film's sound: it decodes nothing itself."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from decimal import Decimal
from multiprocessing.connection import Connection
from pathlib import Path

from author.errors import Cancelled, MachineError, ReelwrightError
from author.progress import Cancel
from author.recording.index import MICRO, FilmIndex
from author.recording.process import Decoder


@dataclass(frozen=True, slots=True, eq=False)
class Pcm:
    """A piece of sound that follows the one before.

    Attributes:
        ticket: of the wish it answers.
        data: 16-bit samples in the machine's byte order, left and right in turn.
    """

    ticket: int
    data: bytes


@dataclass(frozen=True, slots=True)
class SoundEnded:
    """The end of the film's pictures is reached; no more sound follows for this ticket."""

    ticket: int


@dataclass(frozen=True, slots=True)
class SoundLost:
    """There will be no more sound, and why."""

    error: ReelwrightError


SoundEvent = Pcm | SoundEnded | SoundLost


def _give(pipe: Connection) -> None:
    """Give sound, in the process beside: only there the media libraries are loaded."""
    from author.recording.sound_running import serve_sound

    serve_sound(pipe)


class SoundStream:
    """The sound of one film from any moment on. A context manager.

    Wishes return at once; what comes is told to ``heard`` on a thread of the stream's own.
    """

    def __init__(self, path: Path, index: FilmIndex, heard: Callable[[SoundEvent], None]) -> None:
        """Begin to open the film in a process of its own; returns at once.

        Args:
            path: the film.
            index: its index, quick or exact; it names a sound.
            heard: takes what comes.
        """
        self._path = path
        self._heard = heard
        self._ticket = 0
        self._cancel = Cancel()
        self._lock = threading.Lock()
        self._decoder: Decoder | None = None
        self._unsent: list[tuple[object, ...]] = [("open", str(path), index.to_plain())]
        self._thread = threading.Thread(target=self._run, name="reelwright-sound")
        self._thread.start()

    def __enter__(self) -> SoundStream:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def play(self, start: Decimal, rate: int) -> int:
        """Wish for the sound from a moment on; older wishes are void. Then ask for ``more``.

        Args:
            start: seconds on the recording's clock.
            rate: samples wanted for each second of the film.

        Returns:
            The ticket that the answers carry.
        """
        self._ticket += 1
        self._send("from", self._ticket, round(start * MICRO), rate)
        return self._ticket

    def more(self, ticket: int, samples: int) -> None:
        """Let this many samples more come."""
        self._send("more", ticket, samples)

    def halt(self) -> None:
        """Wish for no more."""
        self._send("halt")

    def close(self) -> None:
        """End the process and the thread. May be called twice."""
        self._cancel.request()
        if self._thread is not threading.current_thread():
            self._thread.join()

    def _send(self, *message: object) -> None:
        with self._lock:
            if self._decoder is None:
                self._unsent.append(message)
                return
            with suppress(MachineError, Cancelled):  # its death is told by the thread that listens
                self._decoder.send(*message)

    def _run(self) -> None:
        try:
            with Decoder(self._path, self._cancel, _give) as decoder:
                with self._lock:
                    self._decoder = decoder
                    for message in self._unsent:
                        decoder.send(*message)
                self._listen(decoder)
        except Cancelled:
            return
        except (ReelwrightError, RuntimeError) as error:
            told = error if isinstance(error, ReelwrightError) else MachineError(str(error))
            if not self._cancel.requested:
                self._heard(SoundLost(told))

    def _listen(self, decoder: Decoder) -> None:
        while True:
            match decoder.receive():
                case ("pcm", ticket, data):
                    self._heard(Pcm(ticket, data))
                case ("end", ticket):
                    self._heard(SoundEnded(ticket))
