"""What is off the machine when the chosen step has been done."""

from __future__ import annotations

from dataclasses import dataclass

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHeaderView, QLabel, QTreeWidget, QTreeWidgetItem, QVBoxLayout, QWidget

from author.bench.actions import Actions
from author.bench.session import Session
from author.procedure.document import Procedure
from author.procedure.ledger import Account, Bookkeeper


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One part that is not all on the machine, or that the step has moved.

    Attributes:
        part: id of the part.
        name: what it is.
        on, in_hand, gone: how many pieces are fitted, in hand, scrapped.
        empty: named places that are empty.
        moved: whether the chosen step has moved it.
    """

    part: str
    name: str
    on: int
    in_hand: int
    gone: int
    empty: tuple[str, ...]
    moved: bool


def ledger_at(procedure: Procedure, step: str) -> tuple[LedgerLine, ...]:
    """Return the account after a step, when the steps are done as they stand.

    Args:
        procedure: the document.
        step: id of the step; nothing of an id that is not there.
    """
    keeper = Bookkeeper(procedure)
    book = keeper.opening()
    for placed in procedure.placed_steps():
        before = dict(book.accounts)
        for index, movement in enumerate(placed.step.ledger or ()):
            keeper.post(book, movement, (*placed.path, "ledger", index))
        if placed.step.id == step:
            moved = {name for name, one in book.accounts.items() if one != before.get(name)}
            return tuple(
                _line(part.id, part.name, book.accounts[part.id], part.id in moved)
                for part in procedure.parts
                if part.id in moved or _is_off(book.accounts[part.id])
            )
    return ()


def _is_off(account: Account) -> bool:
    return bool(account.in_hand or account.gone or account.empty)


def _line(part: str, name: str, account: Account, moved: bool) -> LedgerLine:
    empty = tuple(sorted(account.empty or ()))
    return LedgerLine(part, name, account.on, account.in_hand, account.gone, empty, moved)


class LedgerView(QWidget):
    """A table of the parts that are off, one row each."""

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:  # noqa: ARG002
        super().__init__(parent)
        self._session = session
        self._says = QLabel()
        self._says.setWordWrap(True)
        self._table = QTreeWidget()
        self._table.setRootIsDecorated(False)
        self._table.setAccessibleName(self.tr("Off the machine"))
        self._table.setHeaderLabels(
            [
                self.tr("Part"),
                self.tr("In hand"),
                self.tr("Scrapped"),
                self.tr("Still on"),
                self.tr("Empty places"),
                self.tr("This step"),
            ]
        )
        header = self._table.header()
        if header is not None:
            header.setStretchLastSection(False)
            header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
            header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._says)
        column.addWidget(self._table, 1)
        session.changed.connect(self._refresh)
        session.step_chosen.connect(self._refresh)
        self._refresh()

    def showEvent(self, event: object) -> None:  # noqa: ARG002
        """Bring the table up to date when it comes to the top."""
        self._refresh()

    def _refresh(self, *_: object) -> None:
        if not self.isVisible():
            return
        placed = self._session.placed()
        lines = () if placed is None else ledger_at(self._session.procedure, placed.step.id)
        if placed is None:
            self._says.setText(self.tr("No step is chosen."))
        elif lines:
            self._says.setText(
                self.tr("When step %1 is done, the steps taken as they stand:").replace(
                    "%1", str(placed.number)
                )
            )
        else:
            self._says.setText(
                self.tr("When step %1 is done, everything is on the machine.").replace(
                    "%1", str(placed.number)
                )
            )
        self._table.clear()
        for line in lines:
            cells = [
                line.name,
                *(str(n) if n else "" for n in (line.in_hand, line.gone)),
                str(line.on),
            ]
            item = QTreeWidgetItem([*cells, ", ".join(line.empty), "●" if line.moved else ""])
            item.setToolTip(0, line.name)
            for cell in (1, 2, 3):
                item.setTextAlignment(cell, Qt.AlignmentFlag.AlignRight)
            if line.moved:
                item.setToolTip(5, self.tr("moved by this step"))
            self._table.addTopLevelItem(item)
