"""Draws a line of the proposals, and has what is proposed changed in its place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PyQt6.QtCore import QEvent, QModelIndex, QObject, QRect, Qt, pyqtSignal
from PyQt6.QtGui import QColor, QFocusEvent, QFont, QFontMetrics, QKeyEvent, QPainter
from PyQt6.QtWidgets import QLineEdit, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from author.bench.fields import TEXT_KEYS, Keys
from author.bench.proposal_words import kind_words
from author.bench.views.labels import lines_of
from author.bench.views.proposal_rows import (
    ROW,
    SIGNS,
    ProposalRow,
    confidence_words,
)
from author.bench.views.row_delegate import RowDelegate
from author.procedure.times import clock_text

_INDENT = 16
_EDGE = 6
_GAP = 10
_LEFT = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
_RIGHT = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
_STAYS = {Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason,
          Qt.FocusReason.MenuBarFocusReason}  # fmt: skip
"""Ways in which a field loses the keys for a while only: to a menu, or to another window."""
_MORE = Qt.TextElideMode.ElideRight


@dataclass(frozen=True, slots=True)
class RowLines:
    """The words of a line, cut to its width.

    Attributes:
        text: what is proposed, above.
        head: its moment and kind, at the left below.
        below: the words it rests on, or the rest of what is proposed.
        sure: how sure it is, at the right below.
        goes_on: whether what is proposed goes on below.
    """

    text: str
    head: str
    below: str
    sure: str
    goes_on: bool


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
    lost = pyqtSignal()
    """What was written was left with the field, without a word."""

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
        self._editor: QLineEdit | None = None
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
        upper, lower = _halves(place, _INDENT if row.under else 0)
        words = self.lines(row, painter.font(), upper.width())
        painter.setPen(quiet)
        painter.drawText(lower, _RIGHT, words.sure)
        painter.drawText(lower, _LEFT, words.head)
        behind = lower.adjusted(painter.fontMetrics().horizontalAdvance(words.head), 0, 0, 0)
        painter.setPen(ink if words.goes_on else quiet)
        painter.drawText(behind, _LEFT, words.below)
        painter.setPen(ink)
        painter.setFont(_font_of(row, painter.font()))
        painter.drawText(upper, _LEFT, words.text)

    def lines(self, row: ProposalRow, font: QFont, width: int) -> RowLines:
        """Return what stands in the two rows of words of a line.

        What is proposed has the whole width, and goes on below where that is too little; the
        name of a number gives way to its value.

        Args:
            row: the line.
            font: of the list.
            width: of the line, points.
        """
        p = row.proposal
        text = " ".join(f"{SIGNS[row.say]} {p.text}".split())
        upper = lines_of(text, _font_of(row, font), width, 2)[0]
        rest = text[len(upper) :].strip()
        name, colon, value = text.rpartition(": ")
        if rest and p.kind == "measurement" and colon:
            metrics = QFontMetrics(font)
            room = width - metrics.horizontalAdvance(colon + value)
            upper, rest = metrics.elidedText(name, _MORE, room) + colon + value, ""
        metrics = QFontMetrics(font)
        head, sure = (
            f"{clock_text(p.start)}  {self._kinds[p.kind]}  ",
            confidence_words(p.confidence),
        )
        room = width - metrics.horizontalAdvance(head) - metrics.horizontalAdvance(sure) - _GAP
        below = metrics.elidedText(f"… {rest}" if rest else f"“{p.said}”", _MORE, room)
        return RowLines(upper, head, below, sure, bool(rest))

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
        self._editor = editor
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
        if isinstance(event, QFocusEvent) and event.lostFocus() and event.reason() not in _STAYS:
            written = editor is self._editor and editor.isModified()
            self.leave()
            if written:
                self.lost.emit()
            return False
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
                self.take()
                return True
            if event.key() == Qt.Key.Key_Escape:
                self.leave()
                return True
        return False

    def destroyEditor(self, editor: QWidget | None, index: QModelIndex) -> None:
        """Say what is lost where the list itself closes the field: it goes to another line."""
        if isinstance(editor, QLineEdit) and editor is self._editor:
            self._editor, self._editing = None, ""
            self.problem.emit("")
            if editor.isModified():
                self.lost.emit()
        super().destroyEditor(editor, index)

    @property
    def is_editing(self) -> bool:
        """Whether a field is open."""
        return self._editor is not None

    def take(self) -> None:
        """Take what stands in the field as the change, if it can stand there."""
        if self._editor is None:
            return
        name, text = self._editing, self._editor.text()
        if not self._check(text):
            self.leave()
            self.written.emit(name, text)

    def leave(self) -> None:
        """Close the field, and take nothing."""
        if self._editor is not None:
            editor, self._editor, self._editing = self._editor, None, ""
            self.problem.emit("")
            self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.NoHint)

    def _check(self, text: str) -> str:
        found = self._problem_of(self._editing, text)
        self.problem.emit(found)
        return found


def _halves(place: QRect, indent: int) -> tuple[QRect, QRect]:
    inner = place.adjusted(_EDGE + indent, 3, -_EDGE, -4)
    half = inner.height() // 2
    upper = QRect(inner.left(), inner.top(), inner.width(), half)
    return upper, upper.translated(0, half)


def _font_of(row: ProposalRow, font: QFont) -> QFont:
    """Return the font of what is proposed: steps stand out."""
    if row.heading:
        font = QFont(font)
        font.setBold(True)
    return font
