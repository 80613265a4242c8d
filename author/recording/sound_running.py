"""The sound of a film in order from any moment on, as PCM. For the process beside the window.

Samples are 16-bit, left and right in turn. What is missing, or does not decode, is silence,
so that sample n is always the sound of one moment: ``start + n / rate``.
"""

from __future__ import annotations

import signal
import traceback
from collections.abc import Iterator
from contextlib import suppress
from fractions import Fraction
from itertools import chain
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import av
import numpy as np
from av.audio.frame import AudioFrame
from av.audio.resampler import AudioResampler
from av.audio.stream import AudioStream
from numpy.typing import NDArray

from author.errors import InputError, MachineError
from author.memory import give_back_at_once
from author.recording.index import MICRO, FilmIndex
from author.recording.opening import opened
from author.recording.sound_reading import SAME_RUN, sound_frames

Samples = NDArray[np.int16]

CHUNK = 4096
"""Most samples of each channel in one piece."""

_LEADS = (Fraction(1, 4), Fraction(2), Fraction(12))
"""Seconds before the moment at which reading begins: a coder needs some to run in, and
in some containers a seek lands late."""


def serve_sound(pipe: Connection) -> None:
    """Give sound until the pipe closes.

    Requests are ``("open", path, index)``, ``("from", ticket, microseconds, rate)``,
    ``("more", ticket, samples)`` for how many samples may be given beyond those asked for
    so far, and ``("halt",)``. Answers are ``("pcm", ticket, bytes)``, ``("end", ticket)``,
    and ``("input" | "machine" | "bug", problem, remedy)``.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent decides when to stop
    give_back_at_once()
    giver = _Giver(pipe)
    try:
        while True:
            while not giver.ready or pipe.poll():
                giver.take(pipe.recv())
            giver.give()
    except (EOFError, OSError):
        pass  # the parent is gone or has closed
    except (InputError, MachineError) as error:
        kind = "input" if isinstance(error, InputError) else "machine"
        with suppress(OSError):
            pipe.send((kind, error.problem, error.remedy))
    except Exception:
        with suppress(OSError):
            pipe.send(("bug", traceback.format_exc(), ""))
    finally:
        giver.close()
        with suppress(OSError):
            pipe.close()


class _Giver:
    def __init__(self, pipe: Connection) -> None:
        self._pipe = pipe
        self._reader: RunningSound | None = None
        self._ticket = 0
        self._credit = 0
        self._pieces: Iterator[Samples] | None = None

    @property
    def ready(self) -> bool:
        """Whether there is something to give and it is wanted."""
        return self._pieces is not None and self._credit > 0

    def take(self, message: tuple[Any, ...]) -> None:
        match message:
            case ("open", path, plain):
                self._reader = RunningSound(Path(path), FilmIndex.from_plain(plain))
            case ("from", ticket, micro, rate) if self._reader is not None:
                self._ticket, self._credit = ticket, 0
                self._pieces = self._reader.run(Fraction(micro, MICRO), rate)
            case ("more", ticket, samples) if ticket == self._ticket:
                self._credit += samples
            case ("halt",):
                self._pieces = None

    def give(self) -> None:
        assert self._pieces is not None  # noqa: S101 - it is ready
        piece = next(self._pieces, None)
        if piece is None:
            self._pieces = None
            self._pipe.send(("end", self._ticket))
        else:
            self._credit -= len(piece)
            self._pipe.send(("pcm", self._ticket, piece.tobytes()))

    def close(self) -> None:
        if self._reader is not None:
            self._reader.close()


class RunningSound:
    """The sound of an opened film, to be had from any moment on. Close it at the end."""

    def __init__(self, path: Path, index: FilmIndex) -> None:
        """Open the film.

        Raises:
            InputError: it has no sound, changed, or cannot be opened.
            MachineError: it cannot be read.
        """
        if index.sound is None:
            raise InputError("has no sound", remedy="Run it without", file=path)
        self._path = path
        self._index = index
        self._sound = index.sound
        self._zero = Fraction(index.origin, MICRO)
        self._open()

    def close(self) -> None:
        """Close the film."""
        self._opened.__exit__(None, None, None)

    def run(self, start: Fraction, rate: int) -> Iterator[Samples]:
        """Yield the sound from a moment to the end of the pictures.

        Args:
            start: seconds on the recording's clock.
            rate: samples for each second of the film.

        Yields:
            Samples in order, each piece samples × 2.
        """
        end = self._index.clock(self._index.end_tick)
        total = max(0, round((Fraction(end) - start) * rate))
        given = 0
        for at, samples in self._placed(start, rate):
            if at >= total:
                break
            for piece in _silence(at - given):
                yield piece
                given += len(piece)
            for piece in _pieces(samples[max(0, given - at) : total - at]):
                yield piece
                given += len(piece)
        yield from _silence(total - given)

    def _open(self) -> None:
        self._opened = opened(self._path)
        self._container, _ = self._opened.__enter__()
        streams = self._container.streams
        found = streams[self._sound.stream] if self._sound.stream < len(streams) else None
        if not isinstance(found, AudioStream):
            self.close()
            raise InputError("changed while it was open", remedy="Open it again", file=self._path)
        self._stream = found

    def _placed(self, start: Fraction, rate: int) -> Iterator[tuple[int, Samples]]:
        """Yield samples and where they belong, counted from the moment asked for.

        As in ``sound_reading``: a run without a gap is placed by its first frame.
        """
        resampler: AudioResampler | None = None
        form: tuple[str, int, int] | None = None
        expected: Fraction | None = None
        at = 0
        for frame in chain(self._frames_from(start), [None]):
            if frame is None:
                for made in _made(resampler, None):
                    yield at, made
                return
            begin = self._start_of(frame)
            begin = expected if begin is None else begin
            if begin is None or not frame.samples or not frame.sample_rate:
                continue
            same = (frame.format.name, len(frame.layout.channels), frame.sample_rate)
            if expected is None or abs(begin - expected) > SAME_RUN or same != form:
                for made in _made(resampler, None):
                    yield at, made
                # One channel stays one: mixed to two it would lose half its power.
                layout = "mono" if len(frame.layout.channels) == 1 else "stereo"
                resampler, form = AudioResampler("flt", layout, rate), same
                at = round((begin - start) * rate)
                expected = begin
            expected += Fraction(frame.samples, frame.sample_rate)
            for made in _made(resampler, frame):
                yield at, made
                at += len(made)

    def _start_of(self, frame: AudioFrame) -> Fraction | None:
        if frame.pts is None or frame.time_base is None:
            return None
        return frame.pts * frame.time_base - self._zero

    def _frames_from(self, start: Fraction) -> Iterator[AudioFrame]:
        """Yield decoded sound from a moment on, or from before it."""
        for lead in _LEADS:
            goal = start - lead
            if goal <= Fraction(self._sound.start) or not self._index.timed:
                break
            if not self._seek(goal):
                continue
            frames = sound_frames(self._container, self._stream)
            first = next(frames, None)
            if first is None:
                continue
            begin = self._start_of(first)
            if begin is not None and begin <= start:
                yield first
                yield from frames
                return
        self.close()
        self._open()
        yield from sound_frames(self._container, self._stream)

    def _seek(self, goal: Fraction) -> bool:
        base = self._stream.time_base
        if base is None:
            return False
        try:
            self._container.seek(int((goal + self._zero) / base), stream=self._stream)
        except (av.FFmpegError, OSError, ValueError):
            return False
        return True


def _made(resampler: AudioResampler | None, frame: AudioFrame | None) -> Iterator[Samples]:
    """Yield what a resampler makes of a frame, as 16-bit samples × 2."""
    if resampler is None:
        return
    try:
        found = resampler.resample(frame)
    except (av.FFmpegError, ValueError):
        return  # a form nobody can mix: silence
    for each in found:
        raw = each.to_ndarray().reshape(-1, len(each.layout.channels))
        values = np.nan_to_num(raw, posinf=0.0, neginf=0.0)
        samples = np.rint(np.clip(values, -1, 1) * 32767).astype(np.int16)
        yield np.broadcast_to(samples, (len(samples), 2))


def _silence(count: int) -> Iterator[Samples]:
    for at in range(0, count, CHUNK):
        yield np.zeros((min(CHUNK, count - at), 2), np.int16)


def _pieces(samples: Samples) -> Iterator[Samples]:
    for at in range(0, len(samples), CHUNK):
        yield samples[at : at + CHUNK]
