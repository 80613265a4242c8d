"""Small pictures of frames for a strip beside the film, out of its preview."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from author.errors import Cancelled
from author.progress import Cancel
from author.recording.index import FilmIndex
from author.recording.process import Decoder

if TYPE_CHECKING:
    from author.recording.picture import Pixels

_REST = 20
"""Seconds without a wish after which the process is ended; the next wish starts another."""


class Strip:
    """Gives small pictures of one film, the newest wish first, from one process.

    It starts with the first wish. Frames that the preview does not hold (yet) are left out,
    and so is everything while the film has not been read.
    """

    def __init__(self, path: Path, give: Callable[[int, Pixels], None]) -> None:
        """Prepare.

        Args:
            path: the film.
            give: takes the index of a frame and its picture, upright, about 160 × 90, on a
                thread of its own.
        """
        self._path = path
        self._give = give
        self._cancel = Cancel()
        self._turn = threading.Condition()
        self._wish: tuple[FilmIndex, list[int]] | None = None
        self._thread: threading.Thread | None = None
        self._decoder: Decoder | None = None
        self._sent: FilmIndex | None = None
        self._place: Path | None = None

    def use_preview(self, place: Path) -> None:
        """Say where the preview is; until then nothing is given."""
        with self._turn:
            self._place = place

    def want(self, index: FilmIndex, frames: Sequence[int]) -> None:
        """Wish for pictures; a wish that was not begun yet is void. Returns at once.

        Args:
            index: the index the frames are of.
            frames: indices of frames.
        """
        with self._turn:
            if self._cancel.requested:
                return
            self._wish = (index, list(frames))
            if self._thread is None:
                self._thread = threading.Thread(target=self._work, name="reelwright-strip")
                self._thread.start()
            self._turn.notify()

    def close(self) -> None:
        """End the process and wait for it. May be called twice."""
        with self._turn:
            self._cancel.request()
            self._turn.notify()
        if self._thread is not None:
            self._thread.join()

    def _work(self) -> None:
        try:
            while not self._cancel.requested:
                wish = self._next()
                if wish is None:
                    self._end()
                    continue
                try:
                    self._picture(*wish)
                except Cancelled:
                    return
                except Exception:  # the strip is a convenience: what fails is left out
                    self._end()
        finally:
            self._end()

    def _next(self) -> tuple[FilmIndex, list[int]] | None:
        with self._turn:
            rest = _REST if self._decoder is not None else None
            self._turn.wait_for(lambda: self._wish or self._cancel.requested, timeout=rest)
            wish, self._wish = self._wish, None
            return wish

    def _picture(self, index: FilmIndex, frames: list[int]) -> None:
        place = self._place
        if place is None:
            return
        if self._decoder is None:
            self._decoder = Decoder(self._path, self._cancel)
        plain = None if self._sent is index else index.to_plain()
        self._sent = index
        for answer in self._decoder.ask("strip", str(place), plain, frames):
            if answer[0] == "done":
                return
            self._give(answer[1], answer[2])

    def _end(self) -> None:
        if self._decoder is not None:
            self._decoder.close()
        self._decoder = self._sent = None
