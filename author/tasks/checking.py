"""Check a procedure and say where in the file each remark belongs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from author.checks import Conceded, Remark, Verdict, check
from author.contract import LoadedProcedure, read_procedure
from author.contract.review_file import read_review
from author.procedure.review import ReviewSheet
from author.progress import SILENT, Cancel, Progress
from author.tasks.media import find_recordings
from author.tasks.shelf import look_over


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
            *(
                f"{self._where(remark)}: {remark.rule.severity} {remark.rule.id}: "
                f"{remark.problem}. {remark.remedy}{'' if remark.remedy.endswith('?') else '.'}"
                for remark in self.verdict.remarks
            ),
            *(
                f"{self._where(stands.remark)}: conceded {stands.remark.rule.id}: "
                f"{stands.remark.problem}. {stands.concession.reason} "
                f"({self._role(stands)})."
                for stands in self.verdict.conceded
            ),
        ]

    def _where(self, remark: Remark) -> str:
        line, column = self.place(remark)
        return f"{self.loaded.file}:{line}:{column}"

    def _role(self, stands: Conceded) -> str:
        people = self.loaded.procedure.people
        role = stands.concession.role
        return next((person.role for person in people if person.id == role), role)

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
            "remarks": [self._plain(remark) for remark in self.verdict.remarks],
            "concessions": [
                {
                    **self._plain(stands.remark),
                    "reason": stands.concession.reason,
                    "role": stands.concession.role,
                }
                for stands in self.verdict.conceded
            ],
        }

    def _plain(self, remark: Remark) -> dict[str, Any]:
        line, column = self.place(remark)
        return {
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


def check_procedure(
    path: Path,
    media: Sequence[Path] = (),
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
    shelf: Path | None = None,
) -> CheckReport:
    """Read a procedure, look at its recordings and hold it against every rule.

    Sign-offs are read from the procedure's folder, if there are any.

    Args:
        path: the procedure's folder or file.
        media: more folders to look for recordings in.
        shelf: a folder of procedure folders, in which the other procedures that this
            one names are looked for; without it nothing is asked about them.
        progress: told how far it is.
        cancel: looked at on the way.

    Raises:
        InputError: if the file is no procedure or a film is no film.
        MachineError: if the machine fails.
    """
    loaded = read_procedure(path)
    sign_offs: ReviewSheet | Literal["none"] = read_review(loaded.file.parent) or "none"
    others = None if shelf is None else look_over(shelf, loaded.procedure, cancel)
    paths, facts = find_recordings(loaded, media, progress, cancel)
    return CheckReport(loaded, check(loaded.procedure, facts, sign_offs, others), paths)
