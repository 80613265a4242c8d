"""Open a library, put procedures into it, and keep its index up to date."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from dataclasses import replace as with_
from pathlib import Path

from author.errors import InputError
from author.library.asking.listing import FileProblem, problems
from author.library.index.damage import with_mending
from author.library.index.database import Index
from author.library.index.indexing import Refreshed, mend, refresh
from author.library.records.index import RecordProblem, record_problems, refresh_records
from author.library.shelves.bases import Meeting, Together
from author.library.shelves.shelving import Shelved, shelve, tidy
from author.library.shop import Shop, new_shop, open_shop
from author.progress import SILENT, Cancel, Progress
from author.tasks.library_conflicts import ALL
from author.tasks.library_merging import bring_together, read_answers

_GLANCE = 0.2


@dataclass(frozen=True, slots=True)
class Reindexed:
    """What a look over a library did to its index.

    Attributes:
        index: where the index lies.
        apart: whether it lies in the cache folder, because the library cannot be written.
        done: what was read, removed and built anew.
        problems: procedure files that are no use, with what to do about them.
        records: files among the records that are no use, likewise.
    """

    index: str
    apart: bool
    done: Refreshed
    problems: tuple[FileProblem, ...]
    records: tuple[RecordProblem, ...] = ()


def new_library(folder: Path, name: str) -> Shop:
    """Make an empty library.

    Raises:
        InputError: if the folder is in use or cannot be written, or the name is no line.
        MachineError: if the machine fails.
    """
    return new_shop(folder, name)


def shelve_folders(
    folder: Path,
    sources: Sequence[Path],
    *,
    keep: Sequence[str] = (),
    replace: bool = False,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Iterator[Shelved]:
    """Put procedure folders into a library, one after another.

    Where others have shelved another content since a folder was taken, both are brought together.

    Args:
        folder: the library.
        sources: the procedure folders.
        keep: answers where both have changed the same, each ``PLACE=mine`` or
            ``PLACE=library``.
        replace: put another draft of the same revision aside instead.
        progress: told how many folders are done.
        cancel: looked at between folders and files.

    Yields:
        What became of each, when it is there.

    Raises:
        InputError: if one of them cannot be taken; those before it are in the library.
        MachineError: if the machine fails.
    """
    answers = read_answers(keep)
    if len(sources) > 1 and set(answers) - {ALL}:
        raise InputError(
            "--keep names a place, and several folders are shelved",
            remedy="Shelve the folder it is about by itself",
        )
    shop = open_shop(folder)
    cancel = cancel or Cancel()

    def bring(both: Meeting) -> Together:
        return bring_together(both, answers)

    for done, source in enumerate(sources):
        cancel.check()
        progress.report("shelving procedures", done, len(sources))
        one = shelve(
            shop, source, cancel, bring=bring, replace=replace, answered=sorted({*answers} - {ALL})
        )
        if ALL in answers and not one.together.decided:
            said = (
                f"--keep {ALL}={answers[ALL]} decided nothing: nowhere have both changed the same"
            )
            one = with_(one, notes=(*one.notes, said))
        yield one
    progress.report("shelving procedures", len(sources), len(sources))


def reindex(
    folder: Path,
    *,
    anew: bool = False,
    thorough: bool = True,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Reindexed:
    """Hold the index of a library against every file, and mend it.

    Args:
        folder: the library.
        anew: build the index from nothing.
        thorough: read every file; else only those whose time or size has changed.
        progress: told how many files are read.
        cancel: looked at between files.

    Raises:
        InputError, MachineError: if the library or the index cannot be read or written.
        Cancelled: on request.
    """
    shop = open_shop(folder)
    if thorough:
        with suppress(InputError):  # a library that cannot be written has nothing to mend
            tidy(shop)
    index = Index(shop)
    done = refresh(
        shop, index, anew=anew, thorough=thorough, progress=progress, cancel=cancel or Cancel()
    )

    def looked() -> tuple[tuple[FileProblem, ...], tuple[RecordProblem, ...]]:
        refresh_records(shop, index, anew=thorough, progress=progress, cancel=cancel or Cancel())
        with index.reading() as connection:
            return tuple(problems(connection)), tuple(record_problems(connection))

    try:
        found, records = with_mending(
            looked, lambda again: mend(shop, index, again, progress=progress)
        )
    finally:
        index.close()
    return Reindexed(index.shown, index.apart, done, found, records)


def watch(folder: Path, seconds: float, cancel: Cancel, tell: Callable[[Reindexed], None]) -> None:
    """Keep the index of a library up to date until asked to stop.

    Args:
        folder: the library.
        seconds: time between two looks.
        cancel: ends the watch.
        tell: told of each look that changed something.

    Raises:
        InputError, MachineError: if the library or the index cannot be read or written.
    """
    while not cancel.requested:
        seen = reindex(folder, thorough=False, cancel=cancel)
        if seen.done.read or seen.done.removed or seen.done.rebuilt:
            tell(seen)
        until = time.monotonic() + seconds
        while time.monotonic() < until and not cancel.requested:
            time.sleep(min(_GLANCE, seconds))
