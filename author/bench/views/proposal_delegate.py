"""Draws a line of the proposals, and has what is proposed changed in its place."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtCore import QEvent, QModelIndex, QObject, QRect, Qt, pyqtSignal
from PyQt6.QtGui import QColor, QFont, QFontMetrics, QKeyEvent, QPainter
from PyQt6.QtWidgets import QLineEdit, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from author.bench.fields import TEXT_KEYS, Keys
from author.bench.views.proposal_rows import (
    ROW,
    SIGNS,
    ProposalRow,
    confidence_words,
    kind_words,
)
from author.bench.views.row_delegate import RowDelegate
from author.procedure.times import clock_text

_INDENT = 16
_EDGE = 6
_LEFT = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
_RIGHT = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
_MORE = Qt.TextElideMode.ElideRight


class ProposalDelegate(RowDelegate):
    """Paints lines of two rows of words; Enter in the field of a line is the change.

    Args:
        entry_of: the text that a person begins to change, by the id of the proposal.
        problem_of: why a text cannot stand in place of a proposal; empty if it can.
        parent: owner.
    """

    written = pyqtSignal(str, str)
    """What stands in place of a proposal: its id, the text."""
    problem = pyqtSignal(str)
    """Why what is being written cannot stand; empty if it can."""

    def __init__(
        self,
        entry_of: Callable[[str], str],
        problem_of: Callable[[str, str], str],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._entry_of = entry_of
        self._problem_of = problem_of
        self._editing = ""
        self._kinds = kind_words()

    def draw_row(
        self,
        painter: QPainter,
        place: QRect,
        index: QModelIndex,
        inks: tuple[QColor, QColor],
        metrics: QFontMetrics,  # noqa: ARG002 - of the painter
    ) -> None:
        """Draw what stands in a line."""
        row = index.data(ROW)
        if isinstance(row, ProposalRow):
            self._draw_proposal(painter, place, row, *inks)

    def _draw_proposal(
        self, painter: QPainter, place: QRect, row: ProposalRow, ink: QColor, quiet: QColor
    ) -> None:
        p = row.proposal
        upper, lower = _halves(place, _INDENT if row.under else 0)
        metrics = painter.fontMetrics()
        painter.setPen(quiet)
        sure = confidence_words(p.confidence)
        painter.drawText(upper, _RIGHT, sure)
        below = f"{clock_text(p.start)}  {self._kinds[p.kind]}  “{p.said}”"
        painter.drawText(lower, _LEFT, metrics.elidedText(below, _MORE, lower.width()))
        painter.setPen(ink)
        if row.heading:
            font = QFont(painter.font())
            font.setBold(True)
            painter.setFont(font)
        room = upper.adjusted(0, 0, -metrics.horizontalAdvance(sure) - 10, 0)
        words = f"{SIGNS[row.say]} {p.text}" if row.say != "open" else p.text
        elided = painter.fontMetrics().elidedText(words, _MORE, room.width())
        painter.drawText(room, _LEFT, elided)

    # --- changing in place ---

    def createEditor(
        self,
        parent: QWidget | None,
        option: QStyleOptionViewItem,  # noqa: ARG002 - always the same
        index: QModelIndex,
    ) -> QWidget | None:
        """Make the field in which what is proposed is changed; it keeps its keys."""
        row = index.data(ROW)
        if not isinstance(row, ProposalRow):
            return None
        self._editing = row.id
        editor = QLineEdit(parent)
        editor.setAccessibleName(self.tr("What is to stand in its place"))
        Keys(None, editor, TEXT_KEYS | {Qt.Key.Key_Escape}, letters=True)
        editor.textEdited.connect(self._check)
        return editor

    def setEditorData(self, editor: QWidget | None, index: QModelIndex) -> None:  # noqa: ARG002
        """Show what is proposed as it is typed."""
        if isinstance(editor, QLineEdit) and not editor.isModified():
            editor.setText(self._entry_of(self._editing))

    def updateEditorGeometry(
        self,
        editor: QWidget | None,
        option: QStyleOptionViewItem,
        index: QModelIndex,  # noqa: ARG002
    ) -> None:
        """Lay the field over the line."""
        if editor is not None:
            editor.setGeometry(option.rect.adjusted(2, 2, -2, -2))

    def eventFilter(self, editor: QObject | None, event: QEvent | None) -> bool:
        """Take Enter as the change, and Escape or leaving as none."""
        if not isinstance(editor, QLineEdit) or event is None:
            return False
        if event.type() == QEvent.Type.FocusIn:
            editor.end(False)  # what is amended is not written anew
        if event.type() == QEvent.Type.FocusOut:
            self._end(editor)
            return False
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
                name, text = self._editing, editor.text()
                if not self._check(text):
                    self._end(editor)
                    self.written.emit(name, text)
                return True
            if event.key() == Qt.Key.Key_Escape:
                self._end(editor)
                return True
        return False

    def _check(self, text: str) -> str:
        found = self._problem_of(self._editing, text)
        self.problem.emit(found)
        return found

    def _end(self, editor: QLineEdit) -> None:
        if self._editing:
            self._editing = ""
            self.problem.emit("")
            self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.NoHint)


def _halves(place: QRect, indent: int) -> tuple[QRect, QRect]:
    inner = place.adjusted(_EDGE + indent, 3, -_EDGE, -4)
    half = inner.height() // 2
    upper = QRect(inner.left(), inner.top(), inner.width(), half)
    return upper, upper.translated(0, half)
