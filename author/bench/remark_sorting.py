"""The remarks of a verdict, sorted as the window shows them before the window hears of them.

Three hundred steps can have well over a thousand remarks: whatever can be got ready beside
the window's thread is, and what is as it was before is the same object as before.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from PyQt6.QtCore import QCoreApplication

from author.bench.remark_order import weight
from author.checks import Remark, Verdict
from author.procedure.document import Procedure

_MANY = 3
"""Remarks of the same words from which one line stands for all."""


@dataclass(slots=True, eq=False)
class RemarkLine:
    """A line of the list of remarks.

    Attributes:
        row: which one it is of those beside it.
        above: number of the line it stands under; None for a heading.
        heading: its words, for a heading.
        remark: what it leads to, if to one place.
        about: a remark whose remedy is told, on a line that stands for several of them.
        below: numbers of the lines under it.
        alone: whether it says what is wrong too, and not only where.
    """

    row: int
    above: int | None = None
    heading: str = ""
    remark: Remark | None = None
    about: Remark | None = None
    below: list[int] = field(default_factory=list)
    alone: bool = True


@dataclass(slots=True, eq=False)
class RemarkLines:
    """The lines of the list: by how much they matter, one line for many of the same words.

    Attributes:
        remarks: every remark, by weight, each weight in the order of the document.
        lines: the lines; a number of one is its index here.
        headings: numbers of the headings.
        numbers: number of the line of a remark, by the identity of the remark.
    """

    remarks: tuple[Remark, ...] = ()
    lines: list[RemarkLine] = field(default_factory=list)
    headings: list[int] = field(default_factory=list)
    numbers: dict[int, int] = field(default_factory=dict)

    def add_group(self, heading: str, remarks: Sequence[Remark]) -> None:
        """Add a heading and what stands under it."""
        group = self._add(RemarkLine(len(self.headings), heading=f"{heading}: {len(remarks)}"))
        self.headings.append(group)
        same: dict[tuple[str, str], list[Remark]] = {}
        for remark in remarks:
            same.setdefault((remark.rule.id, remark.problem), []).append(remark)
        for alike in same.values():
            many = len(alike) >= _MANY
            home = self._add(RemarkLine(0, group, about=alike[0])) if many else group
            for remark in alike:
                number = self._add(RemarkLine(0, home, remark=remark, alone=not many))
                self.numbers[id(remark)] = number

    def _add(self, line: RemarkLine) -> int:
        number = len(self.lines)
        self.lines.append(line)
        if line.above is not None:
            beside = self.lines[line.above].below
            line.row = len(beside)
            beside.append(number)
        return number


@dataclass(frozen=True, slots=True, eq=False)
class SortedRemarks:
    """What the views of the window take from a verdict.

    Attributes:
        list: the lines of the list of remarks; the same object while no remark has changed.
        by_step: the remarks about each step, by its id.
    """

    list: RemarkLines
    by_step: Mapping[str, tuple[Remark, ...]]


NOTHING_SAID = SortedRemarks(RemarkLines(), {})


def sort_remarks(verdict: Verdict, last: SortedRemarks) -> SortedRemarks:
    """Sort the remarks of a verdict.

    Args:
        verdict: what the rules have said.
        last: how it was before; what is equal to it is taken from there.
    """
    known = {remark: remark for remark in last.list.remarks}
    remarks = [known.get(remark, remark) for remark in verdict.remarks]
    headings = _headings()
    groups = [[r for r in remarks if weight(r) == heavy] for heavy in range(len(headings))]
    found = tuple(remark for group in groups for remark in group)
    lines = last.list
    if found != lines.remarks or not lines.lines:
        lines = RemarkLines(found)
        for heading, group in zip(headings, groups, strict=True):
            if group:
                lines.add_group(heading, group)
    by_step = _by_step(verdict.draft.procedure, remarks)
    for step, said in by_step.items():
        if said == (before := last.by_step.get(step)):
            by_step[step] = before
    return SortedRemarks(lines, by_step)


def _headings() -> tuple[str, str, str]:
    """Return what stands over the remarks of each weight."""
    translate = QCoreApplication.translate
    return (
        translate("RemarkSorting", "Keeps it from being published"),
        translate("RemarkSorting", "Worth mending"),
        translate("RemarkSorting", "Advice"),
    )


def _by_step(procedure: Procedure, remarks: Sequence[Remark]) -> dict[str, tuple[Remark, ...]]:
    found: dict[str, list[Remark]] = {}
    for remark in remarks:
        path = remark.path
        if len(path) >= 4 and path[0] == "sections" and path[2] == "steps":
            step = procedure.sections[int(path[1])].steps[int(path[3])]
            found.setdefault(step.id, []).append(remark)
    return {step: tuple(said) for step, said in found.items()}
