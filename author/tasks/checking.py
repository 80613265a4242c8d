"""Check a procedure and say where in the file each remark belongs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from author.checks import Remark, Verdict, check
from author.contract import LoadedProcedure, read_procedure
from author.progress import SILENT, Cancel, Progress
from author.tasks.media import find_recordings


@dataclass(frozen=True)
class CheckReport:
    """What a check found.

    Attributes:
        loaded: the procedure and its file.
        verdict: the remarks and, where there is no error, the checked procedure.
        paths: path of each recording found, by its id.
    """

    loaded: LoadedProcedure
    verdict: Verdict
    paths: dict[str, Path]

    def place(self, remark: Remark) -> tuple[int, int]:
        """Return line and column of a remark in the file."""
        return self.loaded.tree.place(remark.path)

    def lines(self) -> list[str]:
        """Return each remark as one line of text."""
        return [
            f"{self.loaded.file}:{line}:{column}: {remark.rule.severity} {remark.rule.id}: "
            f"{remark.problem}. {remark.remedy}{'' if remark.remedy.endswith('?') else '.'}"
            for remark in self.verdict.remarks
            for line, column in [self.place(remark)]
        ]

    def as_plain(self) -> dict[str, Any]:
        """Return the report for programs."""
        procedure = self.loaded.procedure
        return {
            "file": str(self.loaded.file),
            "procedure": procedure.id,
            "revision": procedure.revision,
            "errors": self.verdict.count("error"),
            "warnings": self.verdict.count("warning"),
            "advice": self.verdict.count("advice"),
            "remarks": [
                {
                    "rule": remark.rule.id,
                    "severity": remark.rule.severity,
                    "line": line,
                    "column": column,
                    "path": "/" + "/".join(str(part) for part in remark.path),
                    "problem": remark.problem,
                    "remedy": remark.remedy,
                    "why": remark.rule.why,
                    "source": remark.rule.source,
                }
                for remark in self.verdict.remarks
                for line, column in [self.place(remark)]
            ],
        }


def check_procedure(
    path: Path,
    media: Sequence[Path] = (),
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> CheckReport:
    """Read a procedure, look at its recordings and hold it against every rule.

    Args:
        path: the procedure's folder or file.
        media: more folders to look for recordings in.
        progress: told how far it is.
        cancel: looked at on the way.

    Raises:
        InputError: if the file is no procedure or a film is no film.
        MachineError: if the machine fails.
    """
    loaded = read_procedure(path)
    paths, facts = find_recordings(loaded, media, progress, cancel)
    return CheckReport(loaded, check(loaded.procedure, facts), paths)
