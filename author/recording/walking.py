"""The decoding process behind a cursor: walks through a film, near frames kept decoded.

Two threads. One listens: it answers at once from what is kept, or from the preview. The
other decodes: first the newest frame asked for, then, while nobody asks, the frames
around it, so that the next step either way is there already. Keeping is bounded: frames
are made smaller before fewer are kept.
"""

from __future__ import annotations

import os
import signal
import threading
import traceback
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from av.video.frame import VideoFrame

from author.errors import InputError, MachineError
from author.memory import give_back_at_once
from author.recording.index import FilmIndex
from author.recording.kept_frames import Kept, Layout
from author.recording.picture import Painter, Pixels
from author.recording.preview import Preview
from author.recording.reducing import Reducer, upright
from author.recording.seeking import Seeker
from author.recording.slots import Slots

_AHEAD_FIRST, _BACK_FIRST, _AHEAD, _AHEAD_RUNNING = 8, 60, 30, 45


def serve_walk(pipe: Connection) -> None:
    """Answer a cursor until the pipe closes.

    Requests are ``("open", path, index, memory, layout)``, ``("show", ticket, frame,
    full)``, ``("index", plain)`` for a better index, ``("preview", folder)`` and ``("run",
    on)`` while the film runs. Answers are ``("shown", ticket, frame, tick, quality, slot,
    width, height)``, ``("lost", ticket, frame, problem, remedy)``, and ``("input" |
    "machine" | "bug", problem, remedy)``.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent decides when to stop
    give_back_at_once()
    walk: _Walk | None = None
    try:
        while True:
            messages = [pipe.recv()]
            while pipe.poll():
                messages.append(pipe.recv())
            newest = max((n for n, m in enumerate(messages) if m[0] == "show"), default=-1)
            for number, message in enumerate(messages):
                match message:
                    case ("open", path, plain, memory, layout):
                        walk = _opened(pipe, path, plain, memory, layout)
                    case ("show", ticket, frame, full) if walk is not None:
                        if number == newest:
                            walk.ask(_Wanted(ticket, frame, full))
                    case ("index", plain) if walk is not None:
                        walk.adopt(FilmIndex.from_plain(plain))
                    case ("preview", folder) if walk is not None:
                        walk.use_preview(Path(folder))
                    case ("run", on) if walk is not None:
                        walk.run(on)
    except (EOFError, OSError):
        pass  # the parent is gone or has closed
    finally:
        if walk is not None:
            walk.close()
        with suppress(OSError):
            pipe.close()


def _opened(
    pipe: Connection, path: str, plain: dict[str, Any], memory: str, layout: Layout
) -> _Walk | None:
    try:
        return _Walk(pipe, Path(path), FilmIndex.from_plain(plain), memory, layout)
    except (InputError, MachineError) as error:
        kind = "input" if isinstance(error, InputError) else "machine"
        pipe.send((kind, error.problem, error.remedy))
    return None


@dataclass(frozen=True, slots=True)
class _Wanted:
    ticket: int
    frame: int
    full: bool


class _Walk:
    def __init__(
        self, pipe: Connection, path: Path, index: FilmIndex, memory: str, layout: Layout
    ) -> None:
        self._path = path
        self._index = index
        self._layout = layout
        self._kept = Kept(layout)
        self._slots = Slots(memory, layout, pipe)
        self._listening = Painter(index.geometry)
        self._preview: Preview | None = None
        self._state = _state_of(path)
        self._change = threading.Condition()
        self._wanted: _Wanted | None = None
        self._better: FilmIndex | None = None
        self._renumbers = False
        self._at = 0
        self._running = False
        self._closed = False
        # From here on only the thread that decodes touches them.
        self._painter = Painter(index.geometry)
        self._reducer = Reducer(layout.pixels)
        self._front = Seeker(path, index)
        self._behind: Seeker | None = None
        self._held: dict[int, VideoFrame] = {}
        self._hopeless: set[int] = set()
        self._worker = threading.Thread(target=self._work, name="reelwright-walk")
        self._worker.start()

    # The thread that listens.

    def ask(self, wanted: _Wanted) -> None:
        """Answer from what is there; leave the rest to the other thread."""
        index = self._better or self._index
        if not 0 <= wanted.frame < len(index.ticks):
            self._slots.lost(wanted.ticket, wanted.frame, "there is no such frame", "")
            return
        # While frames are being numbered anew, what is kept may go by the old numbers.
        small, quality = None if self._renumbers else self._kept.get(wanted.frame), "reduced"
        if small is None and self._preview is not None:
            small, quality = self._preview.picture(wanted.frame), "preview"
        if small is not None:
            pixels = self._small(self._listening, small)
            self._slots.show(
                wanted.ticket, wanted.frame, index.ticks[wanted.frame], quality, pixels
            )
        with self._change:
            self._at = wanted.frame
            self._kept.centre = wanted.frame
            done = small is not None and quality == "reduced" and not wanted.full
            self._wanted = None if done else wanted
            self._change.notify()

    def adopt(self, index: FilmIndex) -> None:
        """Go on with a better index; frames keep their times, not their numbers."""
        with self._change:
            before = (self._better or self._index).ticks
            self._renumbers = self._renumbers or index.ticks[: len(before)] != before
            self._better = index
            if self._preview is not None:
                self._preview.retime(index.ticks)
            self._change.notify()

    def use_preview(self, folder: Path) -> None:
        """Show pictures of this preview where no better one is there."""
        if self._preview is not None:
            self._preview.close()
        self._preview = Preview(folder, self._index.ticks)

    def run(self, on: bool) -> None:
        """While the film runs, only frames to come are decoded ahead."""
        with self._change:
            self._running = on
            self._change.notify()

    def close(self) -> None:
        with self._change:
            self._closed = True
            self._change.notify()
        self._worker.join()
        for seeker in (self._front, self._behind):
            if seeker is not None:
                seeker.close()
        if self._preview is not None:
            self._preview.close()
        self._slots.close()

    # The thread that decodes.

    def _work(self) -> None:
        # What is kept is shown by the other thread: let it have the processor first.
        with suppress(AttributeError, OSError):
            os.nice(2)
        while True:
            with self._change:
                if self._closed:
                    return
                wanted, better = self._wanted, self._better
                self._better = None
            try:
                if better is not None:
                    self._take_over(better)
                elif wanted is not None:
                    self._serve(wanted)
                elif not self._fill():
                    with self._change:
                        if not (self._closed or self._wanted or self._better):
                            self._change.wait()
            except InputError as error:
                self._give_up(wanted, error.problem, error.remedy)
            except (EOFError, OSError):
                return  # the parent is gone
            except Exception:
                self._give_up(wanted, traceback.format_exc(), "")

    def _give_up(self, wanted: _Wanted | None, problem: str, remedy: str) -> None:
        if wanted is not None:
            self._finish(wanted)
            with suppress(OSError):
                self._slots.lost(wanted.ticket, wanted.frame, problem, remedy)

    def _finish(self, wanted: _Wanted) -> None:
        with self._change:
            if self._wanted is wanted:
                self._wanted = None

    def _take_over(self, better: FilmIndex) -> None:
        same = better.ticks[: len(self._index.ticks)] == self._index.ticks
        if not same:
            self._kept.clear()
        with self._change:
            self._index = better
            self._renumbers = self._better is not None and self._renumbers
        if not same:
            self._held.clear()
        self._hopeless.clear()
        self._front.adopt(better)
        if self._behind is not None:
            self._behind.adopt(better)

    def _interrupted(self, own: _Wanted | None = None) -> bool:
        """Whether something more urgent than the work in hand has come up."""
        return self._closed or (self._wanted is not None and self._wanted is not own)

    def _serve(self, wanted: _Wanted) -> None:
        """Show the frame wanted, unless a newer wish comes first."""
        if _state_of(self._path) != self._state:
            raise InputError("changed while it was open", remedy="Open the recording again")
        source = self._held.get(wanted.frame)
        if source is not None:
            self._deliver(wanted, source)
            return
        small = self._kept.get(wanted.frame)
        if small is not None and not wanted.full:
            self._show(wanted, "reduced", self._small(self._painter, small))
            self._finish(wanted)
            return

        def give(number: int, frame: VideoFrame) -> None:
            if number == wanted.frame:
                self._deliver(wanted, frame)
            else:
                self._hold(number, frame)

        key = max(0, self._index.key_before(wanted.frame))
        seeker = self._nearest(key, wanted.frame)
        first = max(key, wanted.frame - self._layout.held)
        if key <= seeker.position <= wanted.frame:
            first = max(first, seeker.position)
        seeker.run(first, wanted.frame, give, lambda: self._interrupted(wanted))

    def _nearest(self, key: int, frame: int) -> Seeker:
        """The decoder that stands nearest before a frame; one that fills may be well on its way."""
        standing = [
            each
            for each in (self._front, self._behind)
            if each is not None and key <= each.position <= frame
        ]
        return max(standing, key=lambda each: each.position, default=self._front)

    def _deliver(self, wanted: _Wanted, source: VideoFrame) -> None:
        small = self._keep(wanted.frame, source)
        self._show(wanted, "reduced", self._small(self._painter, small))
        if wanted.full and not self._interrupted(wanted):
            self._show(wanted, "full", self._painter.paint(source))
        self._finish(wanted)

    def _show(self, wanted: _Wanted, quality: str, pixels: Pixels) -> None:
        tick = self._index.ticks[wanted.frame]
        self._slots.show(wanted.ticket, wanted.frame, tick, quality, pixels)

    def _hold(self, number: int, frame: VideoFrame) -> None:
        """Keep a decoded frame as it is for a moment: making it smaller takes time."""
        self._held[number] = frame
        while len(self._held) > self._layout.held:
            del self._held[min(self._held, key=lambda n: -abs(n - self._at))]

    def _keep(self, number: int, frame: VideoFrame) -> VideoFrame:
        self._held.pop(number, None)
        small = self._kept.get(number)
        if small is None:
            small = self._reducer.reduce(frame)
            self._kept.put(number, small)
        return small

    def _small(self, painter: Painter, small: VideoFrame) -> Pixels:
        index = self._index
        size = upright(index.geometry, small.width, small.height)
        return painter.paint_small(small, index.matrix, index.full_range, size)

    def _fill(self) -> bool:
        """Do one piece of the work that can wait; return whether there was any."""
        if self._held:
            nearest = min(self._held, key=lambda n: abs(n - self._at))
            self._keep(nearest, self._held[nearest])
            return True
        goal = self._goal()
        if goal is None:
            return False
        first, last = goal
        seeker = self._seeker_for(first)
        met: set[int] = set()

        def give(number: int, frame: VideoFrame) -> None:
            met.add(number)
            self._keep(number, frame)

        try:
            whole = seeker.run(first, last, give, self._interrupted)
        except InputError:
            whole = True
        if whole:  # what did not come will not come: do not ask for it without end
            self._hopeless.update(set(range(first, last + 1)) - met)
        return True

    def _seeker_for(self, first: int) -> Seeker:
        """The front decoder goes forward from where it stands; another one goes back."""
        if self._layout.decoders == 1 or first >= self._front.position >= 0:
            return self._front
        if self._behind is None:
            self._behind = Seeker(self._path, self._index)
        return self._behind

    def _goal(self) -> tuple[int, int] | None:
        """Return the frames to decode next, inclusive; None if all that is wanted is kept."""
        at, room = self._at, self._layout.count - _AHEAD - 4
        goals = [(at, at + _AHEAD_FIRST), (at, at + _AHEAD_RUNNING)]
        if not self._running:
            goals = [
                (at, at + _AHEAD_FIRST),
                (at - min(_BACK_FIRST, room), at),
                (at, at + _AHEAD),
                (at - room, at),
            ]
        for first, last in goals:
            low, high = max(0, first), min(last, len(self._index.ticks) - 1)
            missing = [n for n in range(low, high + 1) if not self._there(n)]
            if not missing:
                continue
            if first == at:
                return missing[0], high
            # Backwards one group of pictures at a time, the nearest first.
            key = max(self._index.key_before(missing[-1]), 0)
            return max(key, missing[0]), missing[-1]
        return None

    def _there(self, number: int) -> bool:
        return number in self._kept or number in self._hopeless


def _state_of(path: Path) -> tuple[int, int] | None:
    """Size and time of a file; None if it is gone, which does not hurt what is open."""
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_size, status.st_mtime_ns
