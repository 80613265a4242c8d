"""Brings the index up to what lies in the library, one transaction after another.

A procedure is in the index whole or not at all: a run that is killed leaves an index that
the next look completes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field

from sqlalchemy import Connection, delete, func, select, update

from author.errors import InputError
from author.library.index.database import Index, IndexDamagedError, new_generation
from author.library.index.facts import Facts, columns_of, spelt_in, unpack
from author.library.index.fulltext import engine_of
from author.library.index.reading import Problem, Read, read_all
from author.library.index.scanning import Look, Seen, look_over
from author.library.index.standing import stand_beside_one_another
from author.library.index.tables import (
    DETAILS,
    GENERATION,
    files,
    notes,
    passages,
    procedures,
    words,
)
from author.library.shop import REVISIONS, Shop
from author.memory import collector_at_rest
from author.progress import SILENT, Cancel, Progress
from author.storage import before_step

_BATCH = 100
_MUCH = 500
_AT_ONCE = 400
_WAIT_FOR_FIRST = 600.0
"""Seconds to wait for a run that builds an index where there is none to go on with."""


@dataclass(slots=True)
class Refreshed:
    """What bringing the index up to date did.

    Attributes:
        read: procedure files that were new or changed and are in the index now.
        removed: files that are gone.
        rebuilt: why the index was built from nothing; empty if it was not.
        behind: files that could not be taken up, because another run was writing.
    """

    read: int = 0
    removed: int = 0
    rebuilt: str = ""
    behind: int = 0


def refresh(
    shop: Shop,
    index: Index,
    *,
    thorough: bool = False,
    anew: bool = False,
    wait: float = 60.0,
    workers: int | None = None,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Refreshed:
    """Take up what has changed in the library; build an index that is missing or damaged.

    Args:
        shop: the library.
        index: its index.
        thorough: read every file, whatever its time and size say, and look whether the
            index is whole.
        anew: build it from nothing.
        wait: seconds to wait for another run that writes. One that writes for longer is
            left alone where there is an index to go on with; else it is waited for.
        workers: how many processes read; as many as there are cores if not said.
        progress: told how many files are read.
        cancel: looked at between files; what was read by then is kept.

    Raises:
        InputError, MachineError: if the library or the index cannot be read or written.
        Cancelled: on request.
    """
    done = Refreshed()
    work = _Work(shop, index, workers, progress, cancel or Cancel(), done)
    if not anew and not thorough:
        try:
            with index.reading() as connection:
                look = look_over(shop, _known(connection))
        except IndexDamagedError:
            look = None
        if look is not None and not look.fresh and not look.gone:
            return done
        with ExitStack() as held:
            try:
                held.enter_context(index.lock(max(wait, 0 if look else _WAIT_FOR_FIRST)))
            except InputError:
                if look is None:
                    raise
                done.behind = len(look.fresh) + len(look.gone)
                return done
            work.run(anew=False, thorough=False, look=look)
        return done
    with index.lock(wait):
        work.run(anew=anew, thorough=thorough)
    return done


def mend(
    shop: Shop,
    index: Index,
    anew: bool,
    *,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Refreshed:
    """Build an index anew that was found to be no use, unless another run has done so meanwhile.

    Args:
        shop: the library.
        index: its index.
        anew: build it anew even if it looks sound and another run has just done so.
        progress: told how many files are read.
        cancel: looked at between files.

    Raises:
        InputError, MachineError: if the library or the index cannot be read or written.
        Cancelled: on request.
    """
    done = refresh(shop, index, anew=anew, progress=progress, cancel=cancel)
    if not done.rebuilt and not index.is_whole():
        return refresh(shop, index, anew=True, progress=progress, cancel=cancel)
    return done


@dataclass(slots=True)
class _Work:
    """One run that writes; the lock is held."""

    shop: Shop
    index: Index
    workers: int | None
    progress: Progress
    cancel: Cancel
    done: Refreshed
    counts: Counter[str] = field(default_factory=Counter)
    moved: set[str] = field(default_factory=set)

    def run(self, *, anew: bool, thorough: bool, look: Look | None = None) -> None:
        """Write what a look has found, or look first; an index that is no use is built anew."""
        if anew:
            self._build("as asked for")
        elif not self.index.is_there():
            self._build("there was none")
        elif thorough and not self.index.is_whole():
            self._build("it was damaged or of another version")
        try:
            self._take_up(thorough=thorough, look=None if self.done.rebuilt else look)
        except IndexDamagedError:
            self._build("it was damaged or of another version")
            self._take_up(thorough=True)

    def _build(self, why: str) -> None:
        self.index.make()
        self.done.rebuilt, self.done.read, self.done.removed = why, 0, 0
        self.counts.clear()
        self.moved.clear()

    def _take_up(self, *, thorough: bool, look: Look | None = None) -> None:
        with self.index.reading() as connection:
            if look is None:
                known = _known(connection)
                look = look_over(self.shop, known, thorough=thorough)
                digests = {place: one.digest for place, one in known.items()}
            else:  # by now another run may have taken some up
                digests = _digests(connection, list(look.fresh))
        with self.index.writing() as connection:
            self._remove(connection, look)
            orders = [(place, file, digests.get(place, "")) for place, file in look.fresh.items()]
            tell = self.progress.report if len(orders) > _BATCH else SILENT.report
            tell("reading procedures", 0, len(orders))
            batch: list[Read] = []
            for count, read in enumerate(read_all(orders, self.cancel, self.workers)):
                if len(batch) >= _BATCH:
                    self._commit(connection, another=self._write(connection, batch))
                    batch = []
                    tell("reading procedures", count, len(orders))
                batch.append(read)
            # With the last of them, so that an index that has them all is in order too.
            another = self._write(connection, batch)
            tell("reading procedures", len(orders), len(orders))
            engine_of(connection).settle(connection, much=self.done.read >= _MUCH)
            self._commit(connection, another=another)

    def _remove(self, connection: Connection, look: Look) -> None:
        for start in range(0, len(look.gone), _AT_ONCE):
            some = look.gone[start : start + _AT_ONCE]
            ids = connection.scalars(select(files.c.id).where(files.c.place.in_(some))).all()
            self._clear(connection, ids)
            connection.execute(delete(files).where(files.c.id.in_(ids)))
            self._commit(connection, another=True)
            self.done.removed += len(ids)

    def _write(self, connection: Connection, batch: Sequence[Read]) -> bool:
        """Put what was read into the tables; return whether they say something else now."""
        with collector_at_rest():
            return self._written(connection, batch)

    def _written(self, connection: Connection, batch: Sequence[Read]) -> bool:
        if not batch:
            return False
        ids = _ids(connection, [one.place for one in batch])
        free = (connection.scalar(select(func.max(files.c.id))) or 0) + 1
        changed = [one for one in batch if one.facts is not None or one.place not in ids]
        self._clear(connection, [ids[one.place] for one in changed if one.place in ids])
        new = []
        for one in batch:
            row = _file_row(one)
            if one.place in ids:
                if one.facts is None:  # the same content at another time
                    row = {key: row[key] for key in ("size", "changed_ns", "seen_ns")}
                connection.execute(update(files).where(files.c.id == ids[one.place]).values(row))
            else:
                ids[one.place] = free
                new.append({"id": free, **row})
                free += 1
        engine_of(connection).put(connection, files, new)
        self._fill(connection, [(ids[one.place], one) for one in changed])
        self.done.read += len(changed)
        return bool(changed)

    def _fill(self, connection: Connection, reads: Iterable[tuple[int, Read]]) -> None:
        whole = [(id_, one.place, one.facts) for id_, one in reads if isinstance(one.facts, Facts)]
        if not whole:
            return
        rows = []
        for id_, place, facts in whole:
            current = f"/{REVISIONS}/" not in place
            # As it stands where it is the only one; the others are looked at afterwards.
            stands = {"current": current, "in_force": current, "written": facts.about["state"]}
            rows.append({**facts.about, "id": id_, **stands})
            self.moved.add(facts.about["procedure"])
            self.counts.update(facts.spelt)
        engine = engine_of(connection)
        engine.put(connection, procedures, rows)
        packed = [{"id": id_, "packed": facts.passages} for id_, _, facts in whole]
        engine.put(connection, passages, packed)
        for name, table in DETAILS.items():
            lines = [{"file": id_, **row} for id_, _, facts in whole for row in facts.rows[name]]
            engine.put(connection, table, lines)
        names = {row["folded"] for _, _, facts in whole for row in facts.rows["things"]}
        engine.name_things(connection, names)
        engine.add(connection, [(id_, place, facts.columns) for id_, place, facts in whole])

    def _clear(self, connection: Connection, ids: Sequence[int]) -> None:
        """Take everything but the files themselves out of the tables."""
        if not ids:
            return
        gone = []
        rows = connection.execute(
            select(files.c.place, passages)
            .join(files, files.c.id == passages.c.id)
            .where(files.c.id.in_(ids))
        )
        for place, id_, packed in rows:
            held, codes = unpack(packed)
            gone.append((id_, place, columns_of(held, codes)))
            self.counts.subtract(spelt_in(held))
        engine_of(connection).remove(connection, gone)
        own = procedures.c
        self.moved.update(connection.scalars(select(own.procedure).where(own.id.in_(ids))))
        for table in DETAILS.values():
            connection.execute(delete(table).where(table.c.file.in_(ids)))
        connection.execute(delete(passages).where(passages.c.id.in_(ids)))
        connection.execute(delete(procedures).where(procedures.c.id.in_(ids)))

    def _commit(self, connection: Connection, *, another: bool) -> None:
        """Say how revisions stand, count the words anew, name the state, end the transaction.

        Args:
            connection: to the index.
            another: whether it says something else now than before.
        """
        stand_beside_one_another(connection, self.shop, self.moved)
        counted = {word: more for word, more in self.counts.items() if more}
        engine_of(connection).count_words(connection, counted)
        if any(more < 0 for more in counted.values()):
            connection.execute(delete(words).where(words.c.procedures <= 0))
        if another:
            named = {"value": new_generation()}
            connection.execute(update(notes).where(notes.c.name == GENERATION).values(named))
        before_step("index", self.index.file)
        connection.commit()
        self.counts.clear()
        self.moved.clear()
        before_step("indexed", self.index.file)


def _known(connection: Connection) -> dict[str, Seen]:
    rows = connection.execute(
        select(files.c.place, files.c.size, files.c.changed_ns, files.c.seen_ns, files.c.digest)
    )
    return {place: Seen(*rest) for place, *rest in rows}


def _digests(connection: Connection, places: Sequence[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for start in range(0, len(places), _AT_ONCE):
        some = places[start : start + _AT_ONCE]
        rows = connection.execute(
            select(files.c.place, files.c.digest).where(files.c.place.in_(some))
        )
        found.update((row.place, row.digest) for row in rows)
    return found


def _ids(connection: Connection, places: Sequence[str]) -> dict[str, int]:
    rows = connection.execute(select(files.c.place, files.c.id).where(files.c.place.in_(places)))
    return {row.place: row.id for row in rows}


def _file_row(one: Read) -> dict[str, object]:
    problem = one.facts if isinstance(one.facts, Problem) else None
    return {
        "place": one.place,
        "size": one.size,
        "changed_ns": one.changed_ns,
        "seen_ns": one.seen_ns,
        "digest": one.digest,
        "problem": problem.problem if problem else None,
        "remedy": problem.remedy if problem else None,
        "line": problem.line if problem else None,
    }
