"""Picks a thing from the lists by typing its name; a name that is not there makes it at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from PyQt6.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt6.QtGui import QFocusEvent, QKeyEvent
from PyQt6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QFrame,
    QLabel,
    QLineEdit,
    QListView,
    QVBoxLayout,
    QWidget,
)

from author.bench.fields import TEXT_KEYS, Keys
from author.bench.source_words import source_kind, source_kinds
from author.bench.views.offers import Offer, Offers
from author.bench.words import translate
from author.editing import AddEntry, SetField
from author.procedure.document import Procedure
from author.procedure.lists import Source
from author.procedure.references import words_for

if TYPE_CHECKING:
    from author.bench.session import Session

_PICK_KEYS = TEXT_KEYS | {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape}
_MOVES = {
    Qt.Key.Key_Up: QAbstractItemView.CursorAction.MoveUp,
    Qt.Key.Key_Down: QAbstractItemView.CursorAction.MoveDown,
    Qt.Key.Key_PageUp: QAbstractItemView.CursorAction.MovePageUp,
    Qt.Key.Key_PageDown: QAbstractItemView.CursorAction.MovePageDown,
}
_HEIGHT = 340
_MADE: WeakKeyDictionary[Session, set[str]] = WeakKeyDictionary()
"""Parts that were made by typing a name: nobody said yet when a new one is needed."""


class _Rows(QListView):
    """The offers; the keys stay with the line above."""

    def go(self, by: QAbstractItemView.CursorAction) -> None:
        """Choose another row. No key is sent on: it would be a deed of the window again."""
        to = self.moveCursor(by, Qt.KeyboardModifier.NoModifier)
        if to.isValid():
            self.setCurrentIndex(to)


class _Filter(QLineEdit):
    """What is looked for; the list under it follows its arrow keys."""

    left = pyqtSignal()
    entered = pyqtSignal()

    def __init__(self, rows: _Rows) -> None:
        super().__init__()
        self._rows = rows
        Keys(None, self, _PICK_KEYS, letters=True)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Hand keys that move to the list."""
        if event is None:
            return
        move = _MOVES.get(Qt.Key(event.key()))
        if move is not None:
            self._rows.go(move)
        elif event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.entered.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        """Give up when the keys go elsewhere in the window."""
        super().focusOutEvent(event)
        kept = {Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason}
        if event is not None and event.reason() not in kept:
            self.left.emit()


class Picker(QFrame):
    """A slip of paper laid over a window: a line to type in, and what fits what is typed.

    Args:
        over: what it is laid over.
        title: what is asked.
        offers: what can be picked.
        fresh: makes offers of new things out of what is typed.
    """

    taken = pyqtSignal(object)
    """The ``Offer`` that was taken."""

    def __init__(
        self,
        over: QWidget,
        title: str,
        offers: Sequence[Offer],
        fresh: Callable[[str], Sequence[Offer]] = lambda _: (),
    ) -> None:
        super().__init__(over.window())
        self._before = QApplication.focusWidget()
        self._ended = False
        self.setFrameShape(QFrame.Shape.Box)
        self.setAutoFillBackground(True)
        self.setAccessibleName(title)
        self.offers = Offers(offers, fresh)
        self.offers.setParent(self)
        self.rows = _Rows()
        self.rows.setModel(self.offers)
        self.rows.setWordWrap(True)
        self.rows.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.rows.setAccessibleName(title)
        self.rows.setAlternatingRowColors(True)
        self.rows.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.rows.clicked.connect(lambda _: self._take())
        self.filter = _Filter(self.rows)
        self.filter.setAccessibleName(title)
        self.filter.setPlaceholderText(
            translate("Picker", "Type a few letters; Enter takes, Escape leaves")
        )
        self.filter.textChanged.connect(self._narrow)
        self.filter.entered.connect(self._take)
        self.filter.left.connect(self.leave)
        heading = QLabel(title)
        heading.setProperty("heading", True)
        heading.setWordWrap(True)
        heading.setBuddy(self.filter)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 6, 8, 8)
        column.setSpacing(4)
        for part in (heading, self.filter, self.rows):
            column.addWidget(part)
        self._lay_over(over)
        self._narrow("")
        bench = self.window()
        if bench is not None:
            bench.installEventFilter(self)
        self.show()
        self.raise_()
        self.filter.setFocus(Qt.FocusReason.OtherFocusReason)

    def eventFilter(self, of: QObject | None, event: QEvent | None) -> bool:
        """Take keys that come to the window while this lies over it: they are meant here."""
        if self._ended or not isinstance(event, QKeyEvent) or not _is_for_a_list(event):
            return super().eventFilter(of, event)
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        if event.type() == QEvent.Type.KeyPress and not self.filter.hasFocus():
            self.filter.setFocus(Qt.FocusReason.OtherFocusReason)
            self.filter.keyPressEvent(event)
            return True
        return super().eventFilter(of, event)

    def leave(self) -> None:
        """Go without taking anything; the keys go back to where they were."""
        if not self._end():
            return
        if self._before is not None and self.filter.hasFocus():
            self._before.setFocus(Qt.FocusReason.OtherFocusReason)
        self.hide()
        self.deleteLater()

    def _take(self) -> None:
        offer = self.rows.currentIndex().data(Qt.ItemDataRole.UserRole)
        if not isinstance(offer, Offer) or not self._end():
            return
        if self._before is not None:
            self._before.setFocus(Qt.FocusReason.OtherFocusReason)
        self.hide()
        self.taken.emit(offer)
        self.deleteLater()

    def _end(self) -> bool:
        """Whether it had not ended yet; it has now."""
        first, self._ended = not self._ended, True
        bench = self.window()
        if first and bench is not None:
            bench.removeEventFilter(self)
        return first

    def _narrow(self, text: str) -> None:
        self.offers.narrow(text)
        self.rows.setCurrentIndex(self.offers.index(0))

    def _lay_over(self, over: QWidget) -> None:
        window = over.window()
        if window is None:
            return
        at = over.mapTo(window, over.rect().topLeft())
        width = max(300, min(over.width(), 620))
        height = min(_HEIGHT + self.fontMetrics().height() * 3, window.height() - 8)
        left = max(4, min(at.x(), window.width() - width - 4))
        self.setGeometry(left, max(4, min(at.y(), window.height() - height - 4)), width, height)


def _is_for_a_list(event: QKeyEvent) -> bool:
    held = event.modifiers() & ~(
        Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
    )
    if held != Qt.KeyboardModifier.NoModifier:
        return False
    return event.key() in _PICK_KEYS or (bool(event.text()) and event.text().isprintable())


def offers_of(
    procedure: Procedure, key: str, detail: Callable[[Any], str] = lambda _: ""
) -> list[Offer]:
    """Return the entries of a list as offers; what is picked is the list and the id."""
    return [
        Offer(
            (key, entry.id),
            words_for(entry),
            detail(entry),
            kind=source_kind(entry) if isinstance(entry, Source) else "",
        )
        for entry in getattr(procedure, key)
    ]


def fresh_offers(*keys: str) -> Callable[[str], Sequence[Offer]]:
    """Return what makes offers of new entries of some lists out of a name."""

    def made(text: str) -> list[Offer]:
        return [offer for key in keys for offer in _fresh(key, text)]

    return made


def _fresh(key: str, text: str) -> list[Offer]:
    if key == "sources":
        words = translate("Picker", "New source “{0}”: {1}")
        return [
            Offer((key, None), words.format(text, said), entry=(key, {"kind": kind, "title": text}))
            for kind, said in source_kinds()
        ]
    entries: dict[str, tuple[str, dict[str, Any]]] = {
        "parts": (
            translate("Picker", "New part “{0}”"),
            {"name": text, "replace": "never", "order": "never"},
        ),
        "tools": (translate("Picker", "New tool “{0}”"), {"name": text}),
        "supplies": (translate("Picker", "New supply “{0}”"), {"name": text}),
        "people": (translate("Picker", "New role “{0}”"), {"role": text}),
    }
    words, entry = entries[key]
    return [Offer((key, None), words.format(text), entry=(key, entry))]


def picked(session: Session, offer: Offer) -> tuple[str, str] | None:
    """Return the list and the id of what was picked, made first where it is new.

    Returns:
        None if the document refused it; the session has told why.
    """
    if offer.entry is None:
        return str(offer.what[0]), str(offer.what[1])
    key, entry = offer.entry
    if not session.do(AddEntry((key,), dict(entry))):
        return None
    made = str(getattr(session.procedure, key)[-1].id)
    if key == "parts":
        _MADE.setdefault(session, set()).add(made)
    return key, made


def see_to_order(session: Session, part: str) -> None:
    """Have a part ordered of which a new one goes on, unless somebody said it is not.

    Done inside the gesture by which the new one goes on. What a picker said of the part when
    it made it is changed; what a person said is not, and is told.

    Args:
        session: whose document.
        part: id of the part.
    """
    found = next((one for one in session.procedure.parts if one.id == part), None)
    if found is None or found.order != "never" or found.replace == "always":
        return
    if part in _MADE.get(session, ()) and found.replace == "never":
        for key in ("replace", "order"):
            session.do(SetField(("parts", part, key), "always"))
        return
    session.tell(
        "warning",
        translate("Picker", "A new one goes on, and “{0}” is never ordered").format(found.name),
    )
