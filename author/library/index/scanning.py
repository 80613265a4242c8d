"""Looks over the folders of a library for procedure files that are new, changed or gone."""

from __future__ import annotations

import os
import stat
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE
from author.library.shop import REVISIONS, Shop, folder_names, revision_files

_SETTLED_NS = 3_000_000_000


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen of a file when it was last read.

    Attributes:
        size: bytes.
        changed_ns: when it was last changed, by the file system, nanoseconds.
        seen_ns: when it was read, nanoseconds.
        digest: its SHA-256.
    """

    size: int
    changed_ns: int
    seen_ns: int
    digest: str

    def is_of(self, status: os.stat_result) -> bool:
        """Whether a file that looks like this was not changed.

        A file changed shortly before it was read could have changed once more within one
        tick of its clock: it has to be read again.
        """
        same = self.size == status.st_size and self.changed_ns == status.st_mtime_ns
        return same and abs(self.seen_ns - self.changed_ns) > _SETTLED_NS


@dataclass(frozen=True, slots=True)
class Look:
    """What a look over a library found.

    Attributes:
        fresh: files to read, by their places below the folder of procedures.
        gone: places at which there is no file any more.
    """

    fresh: dict[str, Path]
    gone: tuple[str, ...]


def look_over(shop: Shop, known: Mapping[str, Seen], *, thorough: bool = False) -> Look:
    """Return which procedure files have to be read.

    Older revisions that are known are looked at like the procedures themselves; new ones are
    looked for where the procedure has changed. A thorough look trusts no time or size.

    Args:
        shop: the library.
        known: what was seen of each file when it was last read, by its place.
        thorough: name every file.

    Raises:
        InputError, MachineError: if the library cannot be read.
    """
    fresh: dict[str, Path] = {}
    there: set[str] = set()
    kept = _kept(known)
    base = str(shop.procedures)
    for name in folder_names(shop):
        file = f"{base}{os.sep}{name}{os.sep}{PROCEDURE_FILE}"
        status = _status(file)
        if status is not None:
            there.add(name)
            seen = known.get(name)
            if seen is not None and not thorough and seen.is_of(status):
                for place in kept.get(name, ()):
                    _look_at(place, f"{base}/{place}/{PROCEDURE_FILE}", known, there, fresh)
                continue
            fresh[name] = Path(file)
        for number, older in revision_files(shop.procedures / name):
            place = f"{name}/{REVISIONS}/{number}"
            _look_at(place, str(older), {} if thorough else known, there, fresh)
    return Look(fresh, tuple(sorted(place for place in known if place not in there)))


def _kept(known: Mapping[str, Seen]) -> dict[str, list[str]]:
    """Return the places of the older revisions that are known, by the name of the folder."""
    kept: dict[str, list[str]] = {}
    for place in known:
        name, between, _ = place.partition(f"/{REVISIONS}/")
        if between:
            kept.setdefault(name, []).append(place)
    return kept


def _look_at(
    place: str, file: str, known: Mapping[str, Seen], there: set[str], fresh: dict[str, Path]
) -> None:
    """Note an older revision that is there, and that it has to be read if it was changed."""
    status = _status(file)
    if status is None:
        return
    there.add(place)
    seen = known.get(place)
    if seen is None or not seen.is_of(status):
        fresh[place] = Path(file)


def _status(file: Path | str) -> os.stat_result | None:
    try:
        status = os.stat(file, follow_symlinks=False)  # noqa: PTH116 - ten thousand of them
    except OSError:
        return None
    return status if stat.S_ISREG(status.st_mode) or stat.S_ISLNK(status.st_mode) else None


def now_ns() -> int:
    """Return the time of the system's clock, nanoseconds."""
    return time.time_ns()
