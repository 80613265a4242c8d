"""Units that are on hold by their records, for the pages of the procedures they are worked by."""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, select

from author.errors import ReelwrightError
from author.library.records.lists import units_of
from author.library.records.tables import job_records
from author.tasks.library_records import look

_TRUSTED = 2.0
"""Seconds for which the records are not looked at again, unless one came in here."""


@dataclass(frozen=True, slots=True)
class OnHold:
    """A unit that must not be used: a finding holds it, or its last job was stopped.

    Attributes:
        slug: name of its folder.
        title: its name and serial number.
        serial: its serial number; None if it has none.
        unit: its name alone, for comparing.
        procedures: ids of those it was worked on by.
    """

    slug: str
    title: str
    serial: str | None
    unit: str
    procedures: frozenset[str]


class UnitsOnHold:
    """The units on hold, looked up from the records and remembered for a moment.

    Whoever asks does not wait for a look that only time has made due: another run may hold the
    index for seconds. It is made beside, and what was known is told until then.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._one = threading.Lock()
        self._found: tuple[OnHold, ...] | None = ()
        self._until: float | None = None
        self._looks = False

    def of(self, procedure: str, unit: str) -> tuple[OnHold, ...] | None:
        """Return the units on hold that a procedure was worked on, or is for.

        Args:
            procedure: its id.
            unit: name of the unit it applies to.

        Returns:
            The units by name; None if it cannot be told.
        """
        until = self._until  # another thread may forget it between two looks
        if until is None:
            self._look()
        elif time.monotonic() >= until and not self._looks:
            self._looks = True
            threading.Thread(target=self._look, daemon=True).start()
        found = self._found
        if found is None:
            return None
        name = unit.casefold()
        return tuple(one for one in found if procedure in one.procedures or one.unit == name)

    def forget(self) -> None:
        """Have the records looked at before the next answer: one came in, or was released."""
        with self._one:  # what is being looked up at the moment may be older
            self._until = None

    def _look(self) -> None:
        with self._one:
            try:
                self._found = look(self._folder, _on_hold).value
            except ReelwrightError:  # the pages of the records say what is wrong
                self._found = None
            except BaseException:
                self._found = None  # what cannot be told is not told as clear
                raise
            finally:
                self._until = time.monotonic() + _TRUSTED
                self._looks = False


def _on_hold(rows: Connection) -> tuple[OnHold, ...]:
    own = job_records.c
    by: dict[str, set[str]] = {}
    for row in rows.execute(select(own.slug, own.procedure).where(own.latest).distinct()):
        by.setdefault(row.slug, set()).add(row.procedure)
    found = []
    for one in units_of(rows):
        if one.on_hold:
            title = one.title + ("" if one.holds else " (its last job was stopped)")
            names = one.name.casefold(), frozenset(by[one.slug])
            found.append(OnHold(one.slug, title, one.serial, *names))
    return tuple(found)
