"""The list that proposals and questions stand in, and what is asked about one of them."""

from __future__ import annotations

from PyQt6.QtCore import QCoreApplication, Qt
from PyQt6.QtWidgets import QAbstractItemView, QListView, QMessageBox, QStyledItemDelegate, QWidget

from author.bench.fields import TEXT_KEYS, Keys
from author.bench.session import Session
from author.bench.views.proposal_rows import RowsModel
from author.proposals.proposal import Proposal

_KEYS = (TEXT_KEYS - {Qt.Key.Key_Left, Qt.Key.Key_Right}) | {
    Qt.Key.Key_Return,
    Qt.Key.Key_Enter,
}


class RowsList(QListView):
    """A list whose arrows up and down go from line to line; other keys are the window's.

    Args:
        session: whose document Ctrl+Z is for.
        model: the lines.
        delegate: draws them.
        name: what assistive technology calls it.
    """

    def __init__(
        self, session: Session, model: RowsModel, delegate: QStyledItemDelegate, name: str
    ) -> None:
        super().__init__()
        self.setModel(model)
        self.setItemDelegate(delegate)
        self.setAccessibleName(name)
        self.setUniformItemSizes(True)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTabKeyNavigation(False)
        Keys(session, self, _KEYS)


def step_wanted_too(parent: QWidget, proposal: Proposal, step: Proposal) -> bool:
    """Ask whether the step that a proposal belongs to is accepted with it."""
    box = QMessageBox(parent)
    words = QCoreApplication.translate(
        "ProposalList", "“%1” belongs to a step that is not in the procedure:"
    )
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(words.replace("%1", proposal.text))
    box.setInformativeText(step.text)
    too = QCoreApplication.translate("ProposalList", "&Accept the step too")
    leave = QCoreApplication.translate("ProposalList", "&Leave both open")
    both = box.addButton(too, QMessageBox.ButtonRole.AcceptRole)
    box.addButton(leave, QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(both)
    box.exec()
    return box.clickedButton() is both
