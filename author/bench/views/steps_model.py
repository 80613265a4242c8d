"""The outline as rows: every section with its steps under it.

A change of the document changes the rows it is about and no others: steps that are the
identical object are not looked at.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import QAbstractListModel, QMimeData, QModelIndex, Qt

from author.bench.fields import shown_text
from author.bench.remark_words import RemarkWords
from author.bench.views.stretches import unlike
from author.checks.remarks import Remark
from author.editing import Command, MoveSection, MoveSteps, SetField
from author.procedure.document import Procedure
from author.procedure.steps import Step

if TYPE_CHECKING:
    from author.bench.session import Session

_KIND = "application/x-reelwright-outline"
ROW = Qt.ItemDataRole.UserRole


@dataclass(slots=True, eq=False)
class OutlineRow:
    """A line of the outline; one that shows something else is another line.

    Attributes:
        id: id of the section or step.
        number: number of the step; 0 for a section.
        text: its title or action; empty while it is still to be written.
        section: id of the section it is or lies in.
        step: the step, or None for a section.
        holds: whether a finding seen at the step holds the unit.
        remarks: what the rules said of it last.
    """

    id: str
    number: int
    text: str
    section: str
    step: Step | None = None
    holds: bool = False
    remarks: tuple[Remark, ...] = ()

    @property
    def is_section(self) -> bool:
        """Whether the line is a heading."""
        return self.step is None

    def length(self) -> Decimal | None:
        """Return how long the clip of the step is, seconds, or None."""
        clip = self.step.clip if self.step is not None else None
        return None if clip is None else clip.end - clip.start

    def shows(
        self, step: Step, number: int, section: str, holds: bool, remarks: tuple[Remark, ...]
    ) -> bool:
        """Whether the line shows a step as it is."""
        return (
            self.step is step
            and (self.number, self.section, self.holds) == (number, section, holds)
            and self.remarks == remarks
        )


def rows_of(
    procedure: Procedure, said: Mapping[str, tuple[Remark, ...]], before: Sequence[OutlineRow] = ()
) -> list[OutlineRow]:
    """Return the lines of the outline.

    Args:
        procedure: the document.
        said: remarks by the id of the step.
        before: the lines there were; those that show the same are taken over.
    """
    held = {finding.step for finding in procedure.findings if finding.holds}
    old = {(row.id, row.is_section): row for row in before}
    found: list[OutlineRow] = []
    number = 0
    for section in procedure.sections:
        title = shown_text(section.title)
        heading = old.get((section.id, True))
        if heading is None or heading.text != title:
            heading = OutlineRow(section.id, 0, title, section.id)
        found.append(heading)
        for step in section.steps:
            number += 1
            holds, remarks = step.id in held, said.get(step.id, ())
            row = old.get((step.id, False))
            if row is None or not row.shows(step, number, section.id, holds, remarks):
                text = shown_text(step.action)
                row = OutlineRow(step.id, number, text, section.id, step, holds, remarks)
            found.append(row)
    return found


class StepsModel(QAbstractListModel):
    """The outline of the document.

    Args:
        session: whose document.

    Attributes:
        changing: whether lines come and go at the moment: whatever a view makes the current
            one meanwhile was chosen by nobody.
    """

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._words: RemarkWords | None = None
        self._rows = rows_of(session.procedure, session.sorted.by_step)
        self.changing = False
        session.changed.connect(self._follow)
        session.checked.connect(self._take_verdict)

    # --- rows ---

    @property
    def rows(self) -> Sequence[OutlineRow]:
        """The lines, from the top."""
        return self._rows

    def row_of(self, name: str, *, section: bool = False) -> int:
        """Return the row of a step or a section; -1 if there is none."""
        return next(
            (
                at
                for at, row in enumerate(self._rows)
                if row.id == name and row.is_section == section
            ),
            -1,
        )

    def rowCount(self, parent: QModelIndex | None = None) -> int:
        """Return how many lines there are."""
        return 0 if parent is not None and parent.isValid() else len(self._rows)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a line shows or says."""
        row = self._rows[index.row()]
        if role == ROW:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return row.text
        if role == Qt.ItemDataRole.EditRole:
            return row.text
        if role == Qt.ItemDataRole.ToolTipRole:
            return "\n".join(self.words(row))
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return ". ".join(self.words(row))
        return None

    def words(self, row: OutlineRow) -> list[str]:
        """Return all that a line says by its signs, in words."""
        if row.step is None:
            return [self.tr("Section: %1").replace("%1", row.text or self.tr("without a title"))]
        said = [f"{row.number}  {row.text or self.tr('The action is still to be written')}"]
        length = row.length()
        if length is not None:
            said.append(self.tr("Shown by %1 s of film").replace("%1", f"{length:.1f}"))
        else:
            said.append(row.step.not_filmed or self.tr("No film shows it"))
        if row.step.hazards:
            signals = ", ".join(dict.fromkeys(one.signal for one in row.step.hazards))
            said.append(self.tr("Hazard message: %1").replace("%1", signals))
        if row.step.critical_points:
            said.append(self.tr("Critical point"))
        if row.step.witness is not None:
            said.append(self.tr("Witness point: somebody else must see it"))
        if row.holds or any(one.if_not == "stop" for one in row.step.criteria or ()):
            said.append(self.tr("The job or the unit is held here"))
        if row.remarks:
            now = self._session.procedure
            if self._words is None or self._words.procedure is not now:
                self._words = RemarkWords(now, self._words)
            words = self._words.problem
            said.extend(f"{one.rule.severity}: {words(one)}" for one in row.remarks[:8])
        if len(row.remarks) > 8:
            said.append(self.tr("… and %1 more").replace("%1", str(len(row.remarks) - 8)))
        return said

    def flags(self, index: QModelIndex) -> Qt.ItemFlag:
        """Say what can be done with a line; between lines others can be dropped."""
        if not index.isValid():
            return Qt.ItemFlag.ItemIsDropEnabled
        flags = (
            Qt.ItemFlag.ItemIsEnabled
            | Qt.ItemFlag.ItemIsSelectable
            | Qt.ItemFlag.ItemIsDragEnabled
            | Qt.ItemFlag.ItemNeverHasChildren
        )
        if self._rows[index.row()].is_section:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def setData(self, index: QModelIndex, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Write the title of a section."""
        row = self._rows[index.row()]
        title = " ".join(str(value).split())
        if role != Qt.ItemDataRole.EditRole or not row.is_section or not title:
            return False
        if title == row.text:
            return True
        return self._session.do(SetField(("sections", row.id, "title"), title))

    # --- following the document ---

    def _follow(self, before: Procedure, after: Procedure) -> None:
        if before.sections is not after.sections or before.findings is not after.findings:
            self._become(after)

    def _take_verdict(self) -> None:
        self._become(self._session.procedure)

    def _become(self, procedure: Procedure) -> None:
        """Show other lines: those that are new or gone in one stretch, then those that changed."""
        rows = rows_of(procedure, self._session.sorted.by_step, self._rows)
        old = [(row.id, row.is_section) for row in self._rows]
        new = [(row.id, row.is_section) for row in rows]
        if old != new:
            self.changing = True
            self._put(rows, *unlike(old, new))
            self.changing = False
        changed = [at for at, row in enumerate(rows) if row is not self._rows[at]]
        self._rows = rows
        if changed:
            # One stretch, painted once: the view looks only at what is seen of it.
            self.dataChanged.emit(self.index(changed[0]), self.index(changed[-1]))

    def _put(self, rows: list[OutlineRow], top: int, gone: int, come: int) -> None:
        """Put other lines in the place of those that differ between a top and a bottom alike."""
        if gone > top:
            self.beginRemoveRows(QModelIndex(), top, gone - 1)
            del self._rows[top:gone]
            self.endRemoveRows()
        if come > top:
            self.beginInsertRows(QModelIndex(), top, come - 1)
            self._rows[top:top] = rows[top:come]
            self.endInsertRows()

    # --- dragging ---

    def supportedDropActions(self) -> Qt.DropAction:
        """Lines can be moved."""
        return Qt.DropAction.MoveAction

    def mimeTypes(self) -> list[str]:
        """Lines alone can be dropped."""
        return [_KIND]

    def mimeData(self, indexes: Iterable[QModelIndex]) -> QMimeData:
        """Return the lines that are dragged: steps, or else one section."""
        rows = [self._rows[at] for at in sorted(index.row() for index in indexes)]
        steps = [row.id for row in rows if not row.is_section]
        sections = [row.id for row in rows if row.is_section]
        data = QMimeData()
        carried = {"steps": steps} if steps else {"section": sections[0]} if sections else {}
        data.setData(_KIND, json.dumps(carried).encode())
        return data

    def dropMimeData(
        self,
        data: QMimeData | None,
        action: Qt.DropAction,
        row: int,
        column: int,  # noqa: ARG002 - there is one
        parent: QModelIndex,
    ) -> bool:
        """Move what was dragged to before a line."""
        if data is None or action != Qt.DropAction.MoveAction or not data.hasFormat(_KIND):
            return False
        at = row if row >= 0 else parent.row() if parent.isValid() else len(self._rows)
        command = self.move_to(json.loads(data.data(_KIND).data()), at)
        if command is not None:
            self._session.do(command)
        # The rows follow the document: the view has nothing to take away itself.
        return False

    def move_to(self, carried: dict[str, Any], at: int) -> Command | None:
        """Return the move of dragged lines to before a row, or None if they would stay.

        Args:
            carried: ids of ``steps``, or the id of a ``section``.
            at: the row; behind the last it is the end.
        """
        if "section" in carried:
            behind = (row.id for row in self._rows[at:] if row.is_section)
            before = next(behind, None)
            return None if before == carried["section"] else MoveSection(carried["section"], before)
        steps = tuple(carried.get("steps", ()))
        if not steps:
            return None
        # What is dropped between its own lines goes before the first that stays.
        while at < len(self._rows) and self._rows[at].id in steps:
            at += 1
        if at < len(self._rows) and not self._rows[at].is_section:
            return MoveSteps(steps, before=self._rows[at].id)
        above = self._rows[max(at - 1, 0)]
        return MoveSteps(steps, section=above.section)
