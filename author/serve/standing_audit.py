"""Whether procedures are as signed, looked at again only where a file seems to have changed."""

from __future__ import annotations

import logging
import os
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from author.errors import ReelwrightError
from author.library.shop import REVISIONS, SHOP_FILE, Shop, open_shop
from author.library.signing.audit import ProcedureAudit, audit_procedure, with_revisions
from author.library.signing.history import HISTORY, Problem
from author.library.signing.people import Keyring, read_keyring, sheet_problems
from author.serve.kept_standing import Kept, kept_problems, without_the_damaged
from author.serve.remembering import Remembered

_LOG = logging.getLogger("reelwright.serve")
_MOST = 4_000
_LOCKS = 16
_GLANCE = 50
"""So many procedures of a list are looked at again; the others are told by their file."""
_TRUSTED = 2.0
"""Seconds in which no file is looked for again for a list."""
_TRUSTED_LONG = 10.0
"""The same where there is no time left for looking."""
_LOOKING = 0.012
"""Seconds a list may take for looking at files."""
_LEAVE_TIME = 0.5
Known = tuple[tuple[str, int, int, int], ...]
Found = tuple[object, "Held"]
"""What was found of a procedure, behind by what its files and the keys were known then."""


@dataclass(frozen=True, slots=True)
class Held:
    """A procedure held against its signatures.

    Attributes:
        audit: what was found.
        keys: what is wrong with the keys of the library.
        at: when all files were read.
        keyed: whether the library has keys, so that what is approved is to be signed.
        kept: what is wrong with single revisions that are kept, by their numbers.
    """

    audit: ProcedureAudit
    keys: tuple[Problem, ...]
    at: datetime
    keyed: bool
    kept: Kept

    def problems(self, revision: int) -> list[Problem]:
        """Return why a revision is not as signed; none where it is."""
        return [*dict.fromkeys((*self.audit.problems, *self.keys, *self.kept.get(revision, ())))]

    def kind(self, revision: int) -> str:
        """Return how a revision stands: ``wrong``, ``signed`` or ``unsigned``."""
        if self.problems(revision):
            return "wrong"
        signed = any(one.entry.act.revision == revision for one in self.audit.acts)
        return "signed" if signed else "unsigned"


@dataclass(frozen=True, slots=True)
class _Keys:
    """The keys of a library, read once for each state of their files.

    Attributes:
        known: by what that state is known.
        shop: the library as its sheet has it.
        keyring: whose signatures count.
        problems: what is wrong with the keys.
    """

    known: Known
    shop: Shop
    keyring: Keyring
    problems: tuple[Problem, ...]


_REST = 4
"""For so many times as long as it read a procedure, the thread beside the answers rests."""


class StandingAudit:
    """Holds procedures against their signatures and remembers what it found.

    Every file is read again when the name, size, time or place on the disk of any of them has
    changed, and in any case after a while.

    Attributes:
        before_reading: told of each procedure of a list that is about to be read; it may
            ``take`` what another process finds of it.
    """

    def __init__(self, folder: Path, longest: float) -> None:
        self._folder = folder
        self._longest = longest
        self._found = Remembered(_MOST)
        self._keys = Remembered(1)
        self._locks = [threading.Lock() for _ in range(_LOCKS)]
        self._looked: dict[str, float] = {}
        self._asked: set[str] = set()
        self._more = threading.Condition()
        self._stopping = False
        self._thread: threading.Thread | None = None
        self.before_reading: Callable[[str], None] = lambda _: None

    def start(self) -> None:
        """Begin to hold procedures that were shown in a list against their signatures."""
        self._thread = threading.Thread(target=self._work, name="audit", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End it; one that is being read is left."""
        with self._more:
            self._stopping = True
            self._more.notify()
        if self._thread is not None:
            self._thread.join(_LEAVE_TIME)

    def kinds(self, procedures: Iterable[str]) -> dict[str, Held]:
        """Return how the procedures of a list stand, as far as that is known without reading.

        The others are read soon, beside the answers, and are known the next time.

        Args:
            procedures: their ids.
        """
        known = {}
        end = time.monotonic() + _LOOKING
        for procedure in [*dict.fromkeys(procedures)][:_GLANCE]:
            in_time = time.monotonic() < end
            held = self._remembered(procedure, _TRUSTED if in_time else _TRUSTED_LONG, in_time)
            if held is not None:
                known[procedure] = held
            if held is None or not in_time:
                with self._more:
                    self._asked.add(procedure)
                    self._more.notify()
        return known

    def _remembered(self, procedure: str, trusted: float, look: bool) -> Held | None:
        """Return what was found of a procedure, if no file of it seems changed since."""
        before: Found | None = self._found.get(procedure)
        if before is None:
            return None
        now = time.monotonic()
        if now - self._looked.get(procedure, now - trusted) < trusted:
            return before[1]
        if not look:
            return None
        try:
            keys = self._keyring()
        except ReelwrightError:
            return None
        age = (datetime.now().astimezone() - before[1].at).total_seconds()
        known = keys.known, tuple(_known(keys.shop.place_of(procedure)))
        if before[0] != known or not 0 <= age < self._longest:
            return None
        self._looked[procedure] = now
        return before[1]

    def _work(self) -> None:
        while True:
            with self._more:
                while not self._asked and not self._stopping:
                    self._more.wait()
                if self._stopping:
                    return
                procedure = self._asked.pop()
            began = time.monotonic()
            try:
                self.before_reading(procedure)
                self.of(procedure)
            except ReelwrightError:
                pass  # the procedure's own page tells it
            except Exception:  # others are still to be looked at
                _LOG.exception("the signatures could not be looked at: %s", procedure)
            # A server that has just started has answers to give meanwhile.
            with self._more:
                if not self._stopping:
                    self._more.wait_for(lambda: self._stopping, _REST * (time.monotonic() - began))

    def of(self, procedure: str) -> Held:
        """Return how a procedure stands, by its id.

        Raises:
            InputError: if a file of it cannot be read.
            MachineError: if the machine fails.
        """
        with self._locks[hash(procedure) % _LOCKS]:
            keys = self._keyring()
            folder = keys.shop.place_of(procedure)
            known = (keys.known, tuple(_known(folder)))
            before: Found | None = self._found.get(procedure)
            now = datetime.now().astimezone()
            looked = time.monotonic()
            if before is not None and before[0] == known:
                age = (now - before[1].at).total_seconds()
                if 0 <= age < self._longest:
                    self._looked[procedure] = looked
                    return before[1]
            # Without keys nobody can sign what is approved: there the file's word is all there is.
            keyed = bool(keys.keyring.history.entries)
            audit = audit_procedure(keys.shop, folder, keys.keyring, claims=keyed)
            if (folder / REVISIONS).is_dir():
                audit = without_the_damaged(audit, folder)
                audit = with_revisions(audit, folder, keys.keyring, None)
            kept = kept_problems(audit, folder, keyed=keyed)
            held = Held(audit, keys.problems, now, keyed, kept)
            self._found.put(procedure, (known, held))
            self._looked[procedure] = looked
            return held

    def found(self, procedure: str) -> Found:
        """Return what is found of a procedure, for ``take`` in another process.

        Raises:
            InputError, MachineError: as ``of`` does.
        """
        self.of(procedure)
        found: Found = self._found.get(procedure)
        return found

    def take(self, procedure: str, found: Found) -> None:
        """Take up what was found in another process, unless something newer is known."""
        with self._locks[hash(procedure) % _LOCKS]:
            before: Found | None = self._found.get(procedure)
            if before is None or before[1].at < found[1].at:
                self._found.put(procedure, found)

    def _keyring(self) -> _Keys:
        known = tuple(_known(self._folder / HISTORY, self._folder / SHOP_FILE))
        found: _Keys | None = self._keys.get("keys")
        if found is None or found.known != known:
            keyring = read_keyring(self._folder)
            shop = open_shop(self._folder)
            problems = (*keyring.problems, *sheet_problems(shop.sheet, keyring))
            found = _Keys(known, shop, keyring, problems)
            self._keys.put("keys", found)
        return found


def _known(folder: Path, *more: Path) -> Iterator[tuple[str, int, int, int]]:
    """Yield by what the files below a folder, and some others, are known."""
    for file in more:
        yield from _of(str(file))
    for root, folders, names in os.walk(folder):
        folders.sort()
        for name in sorted(names):
            yield from _of(os.path.join(root, name))  # noqa: PTH118 - hundreds of them


def _of(file: str) -> Iterator[tuple[str, int, int, int]]:
    try:
        status = os.lstat(file)
    except OSError:
        return
    yield file, status.st_size, status.st_mtime_ns, status.st_ino
