"""Which proposals are shown: of one kind or all, open, accepted or refused."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from PyQt6.QtCore import QSignalBlocker, pyqtSignal
from PyQt6.QtWidgets import QHBoxLayout, QWidget

from author.bench.dropdown import Dropdown
from author.bench.proposal_words import kind_words
from author.proposals.draft.answers import Say
from author.proposals.proposal import Proposal, ProposalKind

_SURE = Decimal("0.75")
"""From here on a proposal is called likely."""
_OPEN = frozenset[Say]({"open"})
_SHOWN: Mapping[str, frozenset[Say]] = {
    "open": _OPEN,
    "sure": _OPEN,
    "unsure": _OPEN,
    "kept": frozenset({"open", "accept", "change"}),
    "refuse": frozenset({"refuse"}),
}


class ProposalFilter(QWidget):
    """The choice of the kind; that of the answers, ``states``, is laid out by the view."""

    changed = pyqtSignal()
    """Another choice was made."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kinds, self.states = Dropdown(), Dropdown()
        self.kinds.setAccessibleName(self.tr("Which kind of proposals"))
        self.states.setAccessibleName(self.tr("Open, accepted or refused proposals"))
        for words, state in (
            (self.tr("Still open"), "open"),
            (self.tr("Open, likely"), "sure"),
            (self.tr("Open, uncertain"), "unsure"),
            (self.tr("Open and accepted"), "kept"),
            (self.tr("Refused"), "refuse"),
        ):
            self.states.addItem(words, state)
        self.count({})
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.kinds, 1)
        for choice in (self.kinds, self.states):
            choice.currentIndexChanged.connect(self.changed)

    def show_all(self) -> None:
        """Show all that is open, of every kind."""
        self.kinds.setCurrentIndex(0)
        self.states.setCurrentIndex(self.states.findData("open"))

    def turn(self, by: int) -> None:
        """Show what is open of the next kind that has some, or of the one before.

        After the last one come all kinds.
        """
        entries = [n for n in range(self.kinds.count()) if not n or self._left[n - 1]]
        at = self.kinds.currentIndex()
        if by > 0:
            wanted = next((n for n in entries if n > at), 0)
        else:
            wanted = next((n for n in reversed(entries) if n < at), 0) if at else entries[-1]
        if _SHOWN[self.states.currentData()] != _OPEN:
            self.states.setCurrentIndex(self.states.findData("open"))
        self.kinds.setCurrentIndex(wanted)

    def lets(self, proposal: Proposal, say: Say) -> bool:
        """Whether a proposal with an answer is shown."""
        wanted, state = self.kinds.currentData(), self.states.currentData()
        if state in {"sure", "unsure"} and (proposal.confidence >= _SURE) != (state == "sure"):
            return False
        return (not wanted or wanted == proposal.kind) and say in _SHOWN[state]

    def count(self, left: Mapping[ProposalKind, int]) -> None:
        """Say how many of each kind are open.

        Args:
            left: the kinds there are, each with how many of it are open.
        """
        words, chosen = kind_words(), self.kinds.currentData()
        self._left = list(left.values())
        entries = [(f"{self.tr('All kinds')} ({sum(left.values())})", "")]
        entries += [(f"{words[kind]} ({number})", kind) for kind, number in left.items()]
        now = [self.kinds.itemText(n) for n in range(self.kinds.count())]
        if now == [text for text, _ in entries]:
            return
        with QSignalBlocker(self.kinds):
            self.kinds.clear()
            for text, kind in entries:
                self.kinds.addItem(text, kind)
            self.kinds.setCurrentIndex(max(self.kinds.findData(chosen), 0))
