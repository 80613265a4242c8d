"""Fields that show one value of the document and write it while a person types.

A field is bound to an address. What it holds is in the document at every moment: there is
nothing to confirm. All that is written in one visit of a field is one entry to undo, and
Ctrl+Z in a field is the document's undo. What the document refuses stays in the field, with
a red edge and a sentence that says why.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import QRect, QSize, QStringListModel, Qt, QTimer, pyqtSignal
from PyQt6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent, QTextCursor
from PyQt6.QtWidgets import (
    QCompleter,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from author.bench.choices import ChoiceField, Option, TicksField, options_of, step_options
from author.bench.dropdown import MOST_SHOWN
from author.bench.places import TEXT_KEYS, Address, Keys, Place, attempt, read, sentence
from author.bench.returning import Back
from author.checks.wording import UNWRITTEN
from author.errors import InputError

if TYPE_CHECKING:
    from author.bench.session import Session

__all__ = [
    "TEXT_KEYS", "Address", "ChoiceField", "Keys", "LinesField", "LongField", "Option", "Place",
    "ProblemLabel", "TextField", "TicksField", "attempt", "one_spaced", "options_of", "read",
    "sentence", "shown_text", "step_options", "under", "whole_number",
]  # fmt: skip


def whole_number(text: str) -> int:
    """Read a count.

    Raises:
        InputError: if it is none.
    """
    if not text.isascii() or not text.isdecimal():
        raise InputError(f"'{text[:20]}' is no whole number", remedy="Write digits, such as 4")
    return int(text)


def one_spaced(text: str) -> str:
    """Return a text without spaces at its ends, and line ends as spaces."""
    return " ".join(text.split())


def shown_text(value: Any) -> str:
    """Return a value as a field shows it; what is still to be written shows nothing."""
    if value is None:
        return ""
    text = ", ".join(map(str, value)) if isinstance(value, tuple) else f"{value}"
    return "" if text.startswith(UNWRITTEN) else text


class TextField(QLineEdit):
    """One line of text, or a number as it is written.

    Args:
        session: whose document.
        at: address of the value; may be given later by ``place.bind``.
        name: what assistive technology calls it.
        blank: what is written when it is empty: None takes the value out.
        read_as: makes the value out of the text, or raises ``InputError``.
        show_as: makes the text out of the value.
        completions: texts that may be meant, asked for at each visit.
    """

    done = pyqtSignal()
    """Enter was pressed."""

    def __init__(
        self,
        session: Session,
        at: Address | None = None,
        name: str = "",
        *,
        blank: Any = None,
        read_as: Callable[[str], Any] = str,
        show_as: Callable[[Any], str] | None = None,
        completions: Callable[[], Sequence[str]] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._blank = blank
        self._read_as = read_as
        self._show_as = show_as or shown_text
        self._completions = completions
        self.setAccessibleName(name)
        self.place = Place(session, self, None, self._show)
        Keys(session, self, TEXT_KEYS, letters=True)
        self.textEdited.connect(self._write)
        self.returnPressed.connect(self._enter)
        if completions is not None:
            self._complete()
        if at is not None:
            self.place.bind(at)

    def _complete(self) -> None:
        completer = QCompleter([], self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setMaxVisibleItems(MOST_SHOWN)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.activated[str].connect(self._write)
        self.setCompleter(completer)

    def _enter(self) -> None:
        """Put the texts that may be meant away: the next Enter is for another field."""
        completer = self.completer()
        popup = None if completer is None else completer.popup()
        if popup is not None:
            popup.hide()
        self.done.emit()

    def _write(self, text: str) -> None:
        said = one_spaced(text)
        try:
            value = self._read_as(said) if said else self._blank
        except InputError as error:
            self.place.refuse(sentence(error))
            return
        self.place.write(value)

    def show_text(self, text: str) -> None:
        """Show a text that the document does not have."""
        if text != self.text():
            self.setText(text)

    def _show(self, value: Any) -> None:
        text = self._show_as(value)
        if text != one_spaced(self.text()):
            at = self.cursorPosition()
            self.setText(text)
            self.setCursorPosition(min(at, len(text)) if self.hasFocus() else 0)

    def focusInEvent(self, event: QFocusEvent | None) -> None:
        """Ask for the texts that may be meant."""
        completer = self.completer()
        if self._completions is not None and completer is not None:
            completer.setModel(QStringListModel(list(self._completions()), completer))
        super().focusInEvent(event)
        if self.text().startswith(UNWRITTEN):
            self.selectAll()
            QTimer.singleShot(0, self.selectAll)  # a press sets the place of the next letter

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        """End the visit."""
        if event is None or event.reason() != Qt.FocusReason.PopupFocusReason:
            self.place.end_visit()
        super().focusOutEvent(event)


class LongField(QPlainTextEdit):
    """A sentence or two that are one paragraph; as high as its text. Enter is done.

    Args:
        session: whose document.
        at: address of the value; may be given later by ``place.bind``.
        name: what assistive technology calls it.
        blank: what is written when it is empty: None takes the value out.
    """

    done = pyqtSignal()
    """Enter was pressed."""
    left = pyqtSignal()
    """The keys go elsewhere; what was written is still one entry with what comes now."""

    def __init__(
        self,
        session: Session,
        at: Address | None = None,
        name: str = "",
        *,
        blank: Any = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._blank = blank
        self._showing = False
        self.setAccessibleName(name)
        self.setTabChangesFocus(True)
        self.setUndoRedoEnabled(False)
        self._back = Back(self)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.place = Place(session, self, None, self._show)
        Keys(session, self, TEXT_KEYS, letters=True)
        self.textChanged.connect(self._changed)
        if at is not None:
            self.place.bind(at)

    def sizeHint(self) -> QSize:
        """Be as high as the lines of the text."""
        document = self.document()
        lines = int(document.size().height()) if document is not None else 1
        if not self.toPlainText():
            lines = max(lines, self._hint_lines())
        margin = 2 * (self.frameWidth() + 4) + 4
        return QSize(200, max(1, lines) * self.fontMetrics().lineSpacing() + margin)

    minimumSizeHint = sizeHint

    def _hint_lines(self) -> int:
        """Return how many lines the words take that stand in the empty field."""
        document, view = self.document(), self.viewport()
        if document is None or view is None or not self.placeholderText():
            return 1
        room = QRect(0, 0, view.width() - 2 * int(document.documentMargin()), 10_000)
        wrapped = Qt.TextFlag.TextWordWrap.value
        high = self.fontMetrics().boundingRect(room, wrapped, self.placeholderText()).height()
        return max(1, round(high / self.fontMetrics().lineSpacing())) if room.width() > 0 else 1

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Lines break elsewhere."""
        super().resizeEvent(event)
        self.updateGeometry()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Take Enter as the end of the writing."""
        if event is not None and event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            if self.receivers(self.done) == 0:
                self._back.go()
            self.done.emit()
            return
        super().keyPressEvent(event)

    def lead_to(self, following: LongField) -> None:
        """Let Enter go on to another field, and give the keys back behind that one."""

        def go_on() -> None:
            following.setFocus(Qt.FocusReason.TabFocusReason)
            following._back.take_over(self._back)

        self.done.connect(go_on)

    def focusInEvent(self, event: QFocusEvent | None) -> None:
        """Note where the keys were."""
        if event is not None:
            self._back.take(event.reason())
        super().focusInEvent(event)
        if UNWRITTEN in self.toPlainText():
            self._take_unwritten()
            QTimer.singleShot(0, self._take_unwritten)  # a press sets the place of the next letter

    def _take_unwritten(self) -> None:
        """Choose what is still to be written, so that typing puts words in its place."""
        text = self.toPlainText()
        first = text.find(UNWRITTEN)
        if first < 0:
            return
        last = text.find("\n", first)
        cursor = self.textCursor()
        cursor.setPosition(first)
        cursor.setPosition(last if last >= 0 else len(text), QTextCursor.MoveMode.KeepAnchor)
        self.setTextCursor(cursor)

    def text(self) -> str:
        """Return what stands in it."""
        return self.toPlainText()

    def value_of(self, text: str) -> Any:
        """Return the value that a text is."""
        return one_spaced(text) or self._blank

    def text_of(self, value: Any) -> str:
        """Return the text a value is shown by."""
        return shown_text(value)

    def _changed(self) -> None:
        self.updateGeometry()
        if not self._showing:
            self.place.write(self.value_of(self.toPlainText()))

    def show_text(self, text: str) -> None:
        """Show a text that the document does not have."""
        if text != self.toPlainText():
            self._showing = True
            self.setPlainText(text)
            self._showing = False

    def _show(self, value: Any) -> None:
        text = self.text_of(value)
        if text == self.toPlainText() or (
            self.hasFocus() and self.value_of(self.toPlainText()) == value
        ):
            return
        at = self.textCursor().position()
        self._showing = True
        self.setPlainText(text)
        self._showing = False
        if self.hasFocus():
            cursor = self.textCursor()
            cursor.setPosition(min(at, len(text)))
            self.setTextCursor(cursor)
        else:
            self.moveCursor(QTextCursor.MoveOperation.Start)

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        """End the visit."""
        if event is None or event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()
            self.place.end_visit()
        super().focusOutEvent(event)


class LinesField(LongField):
    """A list of sentences or names, one on each line."""

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Let Enter begin a new line."""
        QPlainTextEdit.keyPressEvent(self, event)

    def value_of(self, text: str) -> Any:
        """Return the lines that have words."""
        found = [one_spaced(line) for line in text.splitlines()]
        return tuple(line for line in found if line) or self._blank

    def text_of(self, value: Any) -> str:
        """Return the entries, one on each line."""
        return "\n".join(value or ())


class ProblemLabel(QLabel):
    """The sentence under a field that the document refuses; not seen while there is none."""

    def __init__(self, place: Place, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("severity", "error")
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.hide()
        place.problem_changed.connect(self._tell)

    def _tell(self, words: str) -> None:
        self.setText(words)
        self.setVisible(bool(words))


def under(field: TextField | LongField | ChoiceField | TicksField) -> QWidget:
    """Return a field with the sentence under it that says why it is refused."""
    box = QWidget()
    column = QVBoxLayout(box)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(1)
    column.addWidget(field)
    column.addWidget(ProblemLabel(field.place))
    box.setFocusProxy(field)
    return box
