"""The buttons under the proposals: what is said to the chosen one, with its keys."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from author.bench.actions import Actions


class ProposalAnswers(QWidget):
    """Accept, change and refuse; the tips tell the keys for all of a kind.

    Args:
        deeds: what the window can do.
    """

    def __init__(self, deeds: Actions) -> None:
        super().__init__()
        self.buttons: list[QPushButton] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for name, words, all_of_kind in (
            ("accept_proposal", self.tr("Accept"), "accept_kind"),
            ("change_proposal", self.tr("Change"), ""),
            ("refuse_proposal", self.tr("Refuse"), "refuse_kind"),
        ):
            button = QPushButton(f"{words}  {deeds[name].shortcut().toString()}")
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.clicked.connect(deeds[name].trigger)
            if all_of_kind:
                deed = deeds[all_of_kind]
                whole = deed.text().replace("&", "")
                button.setToolTip(f"{whole}: {deed.shortcut().toString()}")
            row.addWidget(button)
            self.buttons.append(button)

    def show_for(self, any_proposed: bool, chosen: bool) -> None:
        """Show them where anything is proposed; they are of use where one is chosen."""
        self.setVisible(any_proposed)
        for button in self.buttons:
            button.setEnabled(chosen)
