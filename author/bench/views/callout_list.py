"""The list of a still's callouts and masks beside its picture."""

from __future__ import annotations

from PyQt6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QRectF,
    QSize,
    Qt,
    pyqtSignal,
)
from PyQt6.QtGui import QColor, QIcon, QKeyEvent, QPainter, QPixmap
from PyQt6.QtWidgets import QListView, QWidget

from author.bench.views import callout_drawing as drawing
from author.bench.views.callout_tools import in_per_cent, items_of
from author.bench.words import translate
from author.procedure.steps import Callout, Mask, Still

_SIGN = 28
"""Side of the picture before a row, in pixels."""
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_OURS = frozenset(
    {
        Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Home, Qt.Key.Key_End,
        Qt.Key.Key_PageUp, Qt.Key.Key_PageDown, Qt.Key.Key_Delete, *_ENTER,
    }
)  # fmt: skip
_CTRL = Qt.KeyboardModifier.ControlModifier
_PAD = Qt.KeyboardModifier.KeypadModifier


def shape_name(shape: str) -> str:
    """Return what a person calls a shape."""
    words = {
        "arrow": translate("Callouts", "Arrow"),
        "ring": translate("Callouts", "Ring"),
        "box": translate("Callouts", "Box"),
        "label": translate("Callouts", "Label"),
        "leader": translate("Callouts", "Number"),
        "mask": translate("Callouts", "Hidden area"),
    }
    return words[shape]


def name_of(item: Callout | Mask, number: int) -> str:
    """Return an item in words, as assistive technology reads it.

    Args:
        item: the callout or mask.
        number: of a leader.
    """
    across, down = in_per_cent(item.at)
    if isinstance(item, Mask):
        shape = shape_name("mask")
    else:
        shape = shape_name(item.shape)
        if item.shape == "leader":
            shape = f"{shape} {number}"
    where = translate("Callouts", "at {across} % across, {down} % down")
    words = item.text if isinstance(item, Callout) else None
    said = (
        translate("Callouts", "words: {words}").format(words=words)
        if words
        else ""
        if isinstance(item, Mask)
        else translate("Callouts", "no words")
    )
    parts = [f"{shape} {where.format(across=across, down=down)}", said]
    return ", ".join(part for part in parts if part)


class CalloutModel(QAbstractListModel):
    """Callouts, then masks, of one still."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items: tuple[Callout | Mask, ...] = ()

    def set_still(self, still: Still | None) -> None:
        """Show another still; rows whose items are the same stay as they are."""
        before, after = self._items, items_of(still)
        if len(before) != len(after):
            self.beginResetModel()
            self._items = after
            self.endResetModel()
            return
        self._items = after
        # A leader's number hangs on those before it: from the first change on all may differ.
        rows = [row for row, item in enumerate(after) if item is not before[row]]
        if rows:
            self.dataChanged.emit(self.index(rows[0]), self.index(len(after) - 1))

    def rowCount(self, parent: QModelIndex | None = None) -> int:
        """Return how many there are."""
        return 0 if parent is not None and parent.isValid() else len(self._items)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the words of a row, its name, or its sign."""
        if not 0 <= index.row() < len(self._items):
            return None
        item = self._items[index.row()]
        match role:
            case Qt.ItemDataRole.DisplayRole:
                said = item.text if isinstance(item, Callout) else None
                return said or shape_name(item.shape if isinstance(item, Callout) else "mask")
            case Qt.ItemDataRole.AccessibleTextRole | Qt.ItemDataRole.ToolTipRole:
                return name_of(item, self._number(index.row()))
            case Qt.ItemDataRole.DecorationRole:
                return _sign(item, self._number(index.row()))
            case Qt.ItemDataRole.SizeHintRole:
                return QSize(0, _SIGN + 4)
        return None

    def _number(self, row: int) -> int:
        """Return how many leaders there are up to a row."""
        return sum(isinstance(i, Callout) and i.shape == "leader" for i in self._items[: row + 1])


class CalloutList(QListView):
    """Shows the items in order; keys choose, reorder, write and remove."""

    removed = pyqtSignal(int)
    wanted_words = pyqtSignal(int)
    moved = pyqtSignal(int, int)
    """An item is to go up or down: its row, and -1 or 1."""
    picked = pyqtSignal(int)
    """A row was chosen here."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.items = CalloutModel(self)
        self.setModel(self.items)
        self.setUniformItemSizes(True)
        self.setIconSize(QSize(_SIGN, _SIGN))
        self.setMinimumHeight(2 * _SIGN)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.doubleClicked.connect(lambda index: self.wanted_words.emit(index.row()))
        chosen = self.selectionModel()
        if chosen is not None:
            chosen.currentChanged.connect(self._picked)
        self._setting = False

    def few(self) -> int:
        """Return the height of three rows."""
        return 3 * (_SIGN + 4) + 2 * self.frameWidth() + 6

    def show_chosen(self, row: int) -> None:
        """Show which row is chosen without telling it."""
        self._setting = True
        if row < 0:
            self.clearSelection()
        self.setCurrentIndex(self.items.index(row))
        self._setting = False

    def _picked(self, now: QModelIndex, _before: QModelIndex) -> None:
        if not self._setting and now.isValid():
            self.picked.emit(now.row())

    def event(self, event: QEvent | None) -> bool:
        """Keep keys that mean something here from the menu."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and _is_ours(event)
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Reorder, write, remove, or choose."""
        row = self.currentIndex().row()
        if event is None or row < 0 or not _is_ours(event):
            super().keyPressEvent(event)
        elif event.modifiers() & _CTRL:
            self.moved.emit(row, -1 if event.key() == Qt.Key.Key_Up else 1)
        elif event.key() in _ENTER:
            self.wanted_words.emit(row)
        elif event.key() == Qt.Key.Key_Delete:
            self.removed.emit(row)
        else:
            super().keyPressEvent(event)


def _is_ours(event: QKeyEvent) -> bool:
    held = event.modifiers() & ~_PAD
    if held == _CTRL:
        return event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down)
    return held == Qt.KeyboardModifier.NoModifier and event.key() in _OURS


def _sign(item: Callout | Mask, number: int) -> QIcon:
    """Return a small drawing of an item's shape, looking as on the picture."""
    sign = QPixmap(2 * _SIGN, 2 * _SIGN)
    sign.setDevicePixelRatio(2)
    sign.fill(Qt.GlobalColor.transparent)
    area = QRectF(0, 0, _SIGN, _SIGN)
    near, far, middle, most = "0.2", "0.85", "0.5", "0.6"
    shown: Callout | Mask
    if isinstance(item, Mask):
        shown = Mask.model_validate({"at": (middle, middle), "size": (most, most)})
    else:
        place = (far, near) if item.shape == "arrow" else (middle, middle)
        form: dict[str, object] = {"shape": item.shape, "at": place}
        if item.shape in ("arrow", "leader"):
            form["tail"] = (near, far) if item.shape == "arrow" else (middle, middle)
        elif item.shape in ("ring", "box"):
            form["size"] = (most, most)
        else:
            form["text"] = "a"
        shown = Callout.model_validate(form)
    laid = drawing.lay_out([shown], area, _SIGN * 0.4)[0].numbered(number)
    painter = QPainter(sign)
    drawing.draw(painter, [laid])
    if isinstance(item, Mask) and laid.rect is not None:  # black on dark paper needs an edge
        painter.setPen(QColor("#FFFFFF"))
        painter.drawRect(laid.rect.toAlignedRect())
    painter.end()
    icon = QIcon(sign)
    icon.addPixmap(sign, QIcon.Mode.Selected)
    return icon
