"""Makes what the pages of procedures show before anybody asks, in a process of its own.

It is a process that gives way to all others, so that whoever reads meanwhile notices nothing.
What it makes is known by the state of the files it was made of, like what is made on demand.
"""

from __future__ import annotations

import logging
import multiprocessing
import os
import signal
import threading
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import NamedTuple

from author.errors import ReelwrightError
from author.library.shop import Shop, folder_names, open_shop
from author.serve.procedure_view import Made, has_room, make, take
from author.serve.standing_audit import Found, StandingAudit

_LOG = logging.getLogger("reelwright.serve")
_FIRST_WAIT = 2.0
"""Seconds a server answers before anything is made ahead."""
_LAST_PLACE = 19
"""How far the process gives way to others."""
_LEAVE_TIME = 0.5


class Ahead(NamedTuple):
    """What was made of one procedure.

    Attributes:
        made: what its page shows.
        found: how it stands by its signatures; None if that cannot be told.
    """

    made: Made
    found: Found | None


class MakingAhead:
    """Makes what there is room for, once after the start of a server."""

    def __init__(self, shop: Shop, audit: StandingAudit) -> None:
        self._shop = shop
        self._audit = audit
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin to make pages."""
        self._thread = threading.Thread(target=self._run, name="ahead", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End it; what is being made is left."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join(_LEAVE_TIME)

    def _run(self) -> None:
        if self._stop.wait(_FIRST_WAIT):
            return
        if hasattr(signal, "pthread_sigmask"):
            # The process begins as this thread is: Ctrl+C is none of its business even then.
            signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process: BaseProcess = context.Process(
            target=_serve, args=(theirs, str(self._shop.folder)), daemon=True
        )
        try:
            process.start()
            theirs.close()
            self._make(ours)
        except (OSError, EOFError, ReelwrightError) as error:
            _LOG.warning("pages are made when they are asked for, none ahead: %s", error)
        finally:
            ours.close()
            if process.pid is not None:
                process.terminate()
                process.join()

    def _make(self, line: Connection) -> None:
        for name in folder_names(self._shop):
            if not has_room():
                return
            line.send(name)
            while not line.poll(_LEAVE_TIME / 2):
                if self._stop.is_set():
                    return
            ahead: Ahead | None = line.recv()
            if ahead is not None:
                take(ahead.made)
                if ahead.found is not None:
                    self._audit.take(name, ahead.found)
            if self._stop.is_set():
                return


def _serve(line: Connection, folder: str) -> None:
    """Make what is asked for until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(_LAST_PLACE)
    try:
        shop = open_shop(Path(folder))
        audit = StandingAudit(shop.folder, 0)
        while True:
            line.send(_ahead(shop, audit, line.recv()))
    except (EOFError, OSError, ReelwrightError):
        return


def _ahead(shop: Shop, audit: StandingAudit, name: str) -> Ahead | None:
    try:
        made = make(shop, name)
    except ReelwrightError:
        return None  # whoever opens it is told why
    try:
        return Ahead(made, audit.found(name))
    except ReelwrightError:
        return Ahead(made, None)
