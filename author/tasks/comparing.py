"""Compare two versions of a procedure."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from author.contract import LoadedProcedure, read_procedure
from author.errors import FileErrors, InputError
from author.procedure.differences import SEVERITIES, Difference, compare


@dataclass(frozen=True)
class Comparison:
    """Two versions and what has changed between them.

    Attributes:
        old: the earlier version and its file.
        new: the later version and its file.
        differences: the gravest first, then in the order of the new document.
    """

    old: LoadedProcedure
    new: LoadedProcedure
    differences: tuple[Difference, ...]

    def counts(self) -> dict[str, int]:
        """Return how many differences there are of each severity."""
        found = Counter(one.severity for one in self.differences)
        return {severity: found[severity] for severity in SEVERITIES}

    def lines(self) -> list[str]:
        """Return each difference as one line of text: severity, place, what."""
        width = max(map(len, SEVERITIES))
        return [f"{one.severity:<{width}}  {one.place}: {one.text}" for one in self.differences]

    def summary(self) -> str:
        """Return a line that names both versions and counts the differences."""
        before, now = self.old.procedure, self.new.procedure
        name = "" if now.id == before.id else f"{now.id}, "
        counts = ", ".join(f"{count} {word}" for word, count in self.counts().items() if count)
        said = counts or "no difference"
        same = counts and (before.id, before.revision) == (now.id, now.revision)
        count_up = " The revision was not counted up." if same else ""
        told = f"{name}revision {now.revision}: {said}.{count_up}"
        return f"{before.id}, revision {before.revision} → {told}"

    def as_plain(self) -> dict[str, Any]:
        """Return the comparison for programs."""
        return {
            "old": _document(self.old),
            "new": _document(self.new),
            "counts": self.counts(),
            "differences": [
                {
                    "severity": one.severity,
                    "kind": one.kind,
                    "place": one.place,
                    "old_path": _pointer(one.old_path),
                    "new_path": _pointer(one.new_path),
                    "old": one.old,
                    "new": one.new,
                    "text": one.text,
                }
                for one in self.differences
            ],
        }


def compare_procedures(old: Path, new: Path) -> Comparison:
    """Compare two procedures, a folder or a file each; no film is looked at.

    Raises:
        InputError: if one of them is missing or wrong; ``FileErrors`` tells all faults of
            both.
        MachineError: if one of them cannot be read.
    """
    loaded: list[LoadedProcedure] = []
    faults: list[InputError] = []
    for path in (old, new):
        try:
            loaded.append(read_procedure(path))
        except FileErrors as error:
            faults += error.faults
        except InputError as error:
            faults.append(error)
    if len(faults) == 1:
        raise faults[0]
    if faults:
        raise FileErrors(faults)
    before, now = loaded
    return Comparison(before, now, compare(before.procedure, now.procedure))


def _document(loaded: LoadedProcedure) -> dict[str, Any]:
    procedure = loaded.procedure
    return {"file": str(loaded.file), "procedure": procedure.id, "revision": procedure.revision}


def _pointer(path: tuple[str | int, ...] | None) -> str | None:
    return None if path is None else "".join(f"/{part}" for part in path)
