"""What the menu Help shows: every deed with its keys, and the versions at work."""

from __future__ import annotations

from pathlib import Path

from PyQt6.QtCore import QEvent, QObject, QSize, Qt
from PyQt6.QtGui import QKeyEvent, QKeySequence
from PyQt6.QtWidgets import (
    QApplication,
    QDialog,
    QFileDialog,
    QLabel,
    QLineEdit,
    QMessageBox,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from author.bench.actions import DEEDS, MENUS, Actions, words_of
from author.bench.session import Session
from author.bench.trade_words import trade_words
from author.tasks.about import about, save_report

_FRAME = 40
"""What a window's frame takes of its height."""
_MOVES = {Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown}


class Help(QObject):
    """Shows the sheet of keys."""

    def __init__(self, session: Session, deeds: Actions, window: QWidget) -> None:
        super().__init__(window)
        self._session = session
        self._deeds = deeds
        self._window = window
        deeds["keys"].triggered.connect(lambda: KeysSheet(self._deeds, self._window).exec())
        deeds["about"].triggered.connect(self._about)

    def _about(self) -> None:
        """Show versions and places; asking for them starts ffmpeg, so a job does it."""
        self._session.jobs.run("about", lambda _progress, _cancel: about(), self._show_about)

    def _show_about(self, text: str) -> None:
        box = QMessageBox(self._window)
        box.setText(self.tr("Versions at work, and where everything lies"))
        box.setInformativeText(text)
        box.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        report = box.addButton(self.tr("&Save a report …"), QMessageBox.ButtonRole.ActionRole)
        box.addButton(QMessageBox.StandardButton.Close)
        box.exec()
        if box.clickedButton() is not report:
            return
        file, _ = QFileDialog.getSaveFileName(self._window, self.tr("Report"), "report.txt")
        if file:
            self._session.jobs.run(
                "report",
                lambda _progress, _cancel: save_report(Path(file)),
                lambda _: self._session.tell("good", file),
                lambda error: self._session.tell("error", str(error)),
            )


class KeysSheet(QDialog):
    """All deeds by menu, each with its keys; typing finds one, Enter does it."""

    def __init__(self, deeds: Actions, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(self.tr("All keys"))
        self._deeds = deeds
        self._find = QLineEdit()
        self._find.setPlaceholderText(self.tr("Find what you want to do"))
        self._find.setAccessibleName(self.tr("Find what you want to do"))
        self._list = QTreeWidget()
        self._list.setHeaderLabels([self.tr("What"), self.tr("Keys")])
        self._list.setRootIsDecorated(False)
        self._list.setAccessibleName(self.tr("All keys"))
        column = QVBoxLayout(self)
        self._nothing = QLabel(self.tr("Nothing found: try another word for it."))
        self._nothing.setWordWrap(True)
        self._nothing.hide()
        column.addWidget(self._find)
        column.addWidget(self._nothing)
        column.addWidget(self._list)
        self._fill()
        self._find.installEventFilter(self)
        self._find.textChanged.connect(self._filter)
        self._find.returnPressed.connect(lambda: self._do(self._chosen()))
        self._list.itemActivated.connect(self._do)
        bench = parent.window()
        room = QSize() if bench is None else bench.size()
        self.resize(620, max(560, room.height() - _FRAME))

    def _fill(self) -> None:
        for title in MENUS:
            group = QTreeWidgetItem([words_of(title).replace("&", "")])
            group.setFlags(Qt.ItemFlag.ItemIsEnabled)
            font = group.font(0)
            font.setBold(True)
            group.setFont(0, font)
            self._list.addTopLevelItem(group)
            for deed in DEEDS:
                if deed.menu == title:
                    keys = ", ".join(
                        QKeySequence(one).toString(QKeySequence.SequenceFormat.NativeText)
                        for one in deed.keys
                    )
                    item = QTreeWidgetItem([words_of(deed.text).replace("&", ""), keys])
                    item.setData(0, Qt.ItemDataRole.UserRole, deed.name)
                    group.addChild(item)
        self._list.expandAll()
        self._list.setCurrentItem(self._items()[0])
        self._list.resizeColumnToContents(0)

    def _items(self) -> list[QTreeWidgetItem]:
        groups = [self._list.topLevelItem(n) for n in range(self._list.topLevelItemCount())]
        return [one for g in groups if g for n in range(g.childCount()) if (one := g.child(n))]

    def _filter(self, text: str) -> None:
        wanted, also = text.casefold().split(), trade_words()
        for item in self._items():
            other = also.get(item.data(0, Qt.ItemDataRole.UserRole), "")
            said = f"{item.text(0)} {item.text(1)} {other}".casefold()
            item.setHidden(not all(word in said for word in wanted))
        self._nothing.setVisible(all(item.isHidden() for item in self._items()))
        first = next((one for one in self._items() if not one.isHidden()), None)
        self._list.setCurrentItem(first)
        if first is not None:
            self._list.scrollToItem(first)
        for row in range(self._list.topLevelItemCount()):
            group = self._list.topLevelItem(row)
            if group is not None:
                inside = [one for n in range(group.childCount()) if (one := group.child(n))]
                group.setHidden(all(one.isHidden() for one in inside))

    def _chosen(self) -> QTreeWidgetItem | None:
        """Return the line that the keys led to; at first the uppermost that is shown."""
        item = self._list.currentItem()
        return None if item is None or item.isHidden() else item

    def eventFilter(self, of: QObject | None, event: QEvent | None) -> bool:
        """Hand keys that move to the list, while a word is being looked for."""
        if (
            of is self._find
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() in _MOVES
        ):
            QApplication.sendEvent(self._list, event)
            self._leave_heading(back=event.key() in {Qt.Key.Key_Up, Qt.Key.Key_PageUp})
            return True
        return super().eventFilter(of, event)

    def _leave_heading(self, *, back: bool) -> None:
        """Go on from the heading of a menu, which does nothing, to a deed."""
        item = self._list.currentItem()
        if item is None or item.parent() is not None:
            return
        near = self._list.itemAbove(item) if back else self._list.itemBelow(item)
        self._list.setCurrentItem(near or self._list.itemBelow(item))

    def _do(self, item: QTreeWidgetItem | None, _column: int = 0) -> None:
        name = None if item is None else item.data(0, Qt.ItemDataRole.UserRole)
        if name is not None:
            self.accept()
            self._deeds[name].trigger()
