"""The index of the library while a server runs: kept up to date beside the answers, not in them."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable, Hashable
from typing import TypeVar

from sqlalchemy import Connection

from author.errors import Cancelled, ReelwrightError
from author.library.asking.listing import FileProblem, problems
from author.library.index.damage import IndexDamagedError, with_mending
from author.library.index.database import Index, generation_of
from author.library.index.indexing import mend, refresh
from author.library.shop import Shop
from author.progress import Cancel
from author.serve.remembering import Remembered, bytes_of

Value = TypeVar("Value")
_LOG = logging.getLogger("reelwright.serve")
_WAIT = 2.0
_LEAVE_TIME = 0.5
_KEPT_BYTES = 24_000_000
"""Room for answers that are given again while the index stays as it is."""
_SHARE = 20
"""A look is followed by so many times its length without one: many folders take long."""


class StandingIndex:
    """The index of a library, read by many and looked after by one thread.

    Attributes:
        shop: the library.
        index: the index, for reading.
        trouble: what keeps the index from being up to date, one sentence; empty if nothing.
        faulty: procedure files that are no use as they are, at the last look.
    """

    def __init__(self, shop: Shop, look_every: float) -> None:
        self.shop = shop
        self.index = Index(shop, standing=True)
        self._writing = Index(shop)  # one of its own: it lets go of the file to make it anew
        self.trouble = ""
        self.faulty: tuple[FileProblem, ...] = ()
        self._every = look_every
        self._kept = Remembered(_KEPT_BYTES)
        self._cancel = Cancel()
        self._stop = threading.Event()
        self._one = threading.Lock()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin to look for what has changed."""
        self._thread = threading.Thread(target=self._watch, name="index", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End looking, and let go of the index."""
        self._cancel.request()
        self._stop.set()
        if self._thread is not None:
            self._thread.join(_LEAVE_TIME)
        self.index.close()
        self._writing.close()

    def ask(self, job: Callable[[Connection], Value]) -> Value:
        """Ask the index as it stands; one found missing or damaged is built anew first.

        Args:
            job: what to ask of it.

        Raises:
            InputError, MachineError: if the job says so, or the index cannot be read.
        """

        def asked() -> Value:
            with self.index.reading() as connection:
                return job(connection)

        def mended(anew: bool) -> None:
            with self._one:
                mend(self.shop, self._writing, anew, cancel=self._cancel)

        return with_mending(asked, mended)

    def kept(self, key: Hashable, job: Callable[[Connection], Value]) -> tuple[str, Value]:
        """Ask the index as it stands, or return what was answered in this very state of it.

        Args:
            key: what is asked; whatever the answer rests on beside the index is in it.
            job: what to ask of it.

        Returns:
            The word for the state of the index, and the answer, which is not to be changed.

        Raises:
            InputError, MachineError: as ``ask`` does.
        """

        def look(rows: Connection) -> tuple[str, Value]:
            generation = generation_of(rows)
            known: tuple[Value] | None = self._kept.get((generation, key))
            if known is None:
                known = (job(rows),)
                self._kept.put((generation, key), known, bytes_of(known))
            return generation, known[0]

        return self.ask(look)

    def look_now(self) -> None:
        """Take up what has changed in the library.

        Raises:
            InputError, MachineError: if the library or the index cannot be read or written.
        """
        with self._one:
            try:
                refresh(self.shop, self._writing, wait=_WAIT, cancel=self._cancel)
            except IndexDamagedError:
                mend(self.shop, self._writing, anew=False, cancel=self._cancel)
        self.faulty = self.kept("faulty", lambda rows: tuple(problems(rows)))[1]

    def _watch(self) -> None:
        while not self._stop.is_set():
            began = time.monotonic()
            try:
                self.look_now()
                self.trouble = ""
            except Cancelled:
                return
            except ReelwrightError as error:
                self._tell(str(error))
            except Exception as error:  # the thread has to go on
                _LOG.exception("looking after the index failed")
                self._tell(f"The index is not looked after: {error}")
            self._stop.wait(max(self._every, _SHARE * (time.monotonic() - began)))

    def _tell(self, trouble: str) -> None:
        if trouble != self.trouble:
            _LOG.error("%s", trouble)
        self.trouble = trouble
