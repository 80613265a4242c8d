"""Makes what the pages of procedures show in a process of its own, asked for or ahead.

Reading a procedure and putting its page together takes the processor for as long as several
dozen other answers do; threads of one process would wait for one another meanwhile. What is made
is known by the state of the files it was made of, like what is made where it is shown.
"""

from __future__ import annotations

import logging
import multiprocessing
import signal
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import NamedTuple

from starlette.requests import Request

from author.errors import ReelwrightError
from author.library.shop import Shop, folder_names, open_shop
from author.serve.procedure_view import Made, has_room, is_known, make, take
from author.serve.standing_audit import Found, StandingAudit

_LOG = logging.getLogger("reelwright.serve")
_FIRST_WAIT = 1.0
"""Seconds a server answers before the process is begun."""
_PLACES = 3
"""So many are served or wait at one time; whoever finds no place makes the page himself."""
_PATIENCE = 0.5
"""Seconds for which anybody waits for another's procedure to be made."""
_LONGEST = 20.0
"""Seconds for one procedure; a process that takes longer is given up."""
_GLANCE = 0.01
_LEAVE_TIME = 0.5


class Beside(NamedTuple):
    """What the process made of one procedure.

    Attributes:
        made: what its page shows.
        found: how it stands by its signatures; None if that cannot be told.
    """

    made: Made
    found: Found | None


class PageMaker:
    """Has pages made in another process: those asked for first, then all there is room for."""

    def __init__(self, shop: Shop, audit: StandingAudit, is_idle: Callable[[], bool]) -> None:
        """Name what is made; nothing is begun yet.

        Args:
            shop: the library.
            audit: what is known of its procedures' signatures.
            is_idle: whether nobody waits for an answer, so that the time is free for pages
                that nobody asked for.
        """
        self._shop = shop
        self._audit = audit
        self._is_idle = is_idle
        self._stop = threading.Event()
        self._places = threading.Semaphore(_PLACES)
        self._one = threading.Lock()
        self._line: Connection | None = None
        self._process: BaseProcess | None = None
        self._thread: threading.Thread | None = None
        audit.before_reading = self.prepare

    def start(self) -> None:
        """Begin to make pages."""
        self._thread = threading.Thread(target=self._run, name="page maker", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End it; what is being made is left."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join(_LEAVE_TIME)

    def prepare(self, procedure: str) -> None:
        """Have what the page of a procedure shows made in the other process, if it is not yet.

        Whoever calls finds it made then, or makes it: nothing is promised.

        Args:
            procedure: its id, as somebody typed it.
        """
        if self._line is None or is_known(self._shop, procedure):
            return
        if self._places.acquire(blocking=False):
            try:
                self._have(procedure)
            finally:
                self._places.release()

    def _run(self) -> None:
        if self._stop.wait(_FIRST_WAIT):
            return
        if hasattr(signal, "pthread_sigmask"):
            # The process begins as this thread is: Ctrl+C is none of its business even then.
            signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        place = str(self._shop.folder)
        process = context.Process(target=_serve, args=(theirs, place), daemon=True)
        try:
            process.start()
            self._process = process
            theirs.close()
            self._line = ours
            self._make_ahead()
            self._stop.wait()
        except (OSError, ReelwrightError) as error:
            self._give_up(error)
        finally:
            self._line = None
            if self._process is not None:
                self._process.terminate()
                self._process.join()
            ours.close()

    def _make_ahead(self) -> None:
        for name in folder_names(self._shop):
            while not self._is_idle() and not self._stop.is_set():
                self._stop.wait(_GLANCE)
            if self._stop.is_set() or self._line is None or not has_room():
                return
            if not is_known(self._shop, name):
                self._have(name)

    def _have(self, procedure: str) -> None:
        if not self._one.acquire(timeout=_PATIENCE):
            return
        try:
            line = self._line
            if line is None:
                return
            line.send(procedure)
            if not line.poll(_LONGEST):
                raise TimeoutError(f"'{procedure}' takes too long")
            beside: Beside | None = line.recv()
        except (OSError, EOFError) as error:
            self._give_up(error)
            return
        finally:
            self._one.release()
        if beside is not None:
            take(beside.made)
            if beside.found is not None:
                self._audit.take(procedure, beside.found)

    def _give_up(self, error: Exception) -> None:
        self._line = None
        if self._process is not None:
            self._process.kill()  # it may be the one that takes too long
        if not self._stop.is_set():
            said = str(error) or "the process has ended"
            _LOG.warning("pages are made where they are shown, none ahead: %s", said)


def prepare(request: Request) -> None:
    """Have what is shown of the procedure of a path made, where it is not made yet."""
    maker: PageMaker | None = request.app.state.maker
    if maker is not None:
        maker.prepare(request.path_params["procedure"])


def _serve(line: Connection, folder: str) -> None:
    """Make what is asked for until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        shop = open_shop(Path(folder))
        audit = StandingAudit(shop.folder, 0)
        while True:
            line.send(_beside(shop, audit, line.recv()))
    except (EOFError, OSError, ReelwrightError):
        return


def _beside(shop: Shop, audit: StandingAudit, name: str) -> Beside | None:
    try:
        made = make(shop, name)
    except ReelwrightError:
        return None  # whoever opens it is told why
    except Exception:  # others wait for theirs
        _LOG.exception("a page could not be made: %s", name)
        return None
    try:
        return Beside(made, audit.found(name))
    except ReelwrightError:
        return Beside(made, None)
