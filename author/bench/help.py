"""What the menu Help shows: every deed with its keys, and the versions at work."""

from __future__ import annotations

from pathlib import Path

from PyQt6.QtCore import QObject, Qt
from PyQt6.QtGui import QKeySequence
from PyQt6.QtWidgets import (
    QDialog,
    QFileDialog,
    QLineEdit,
    QMessageBox,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from author.bench.actions import DEEDS, MENUS, Actions, words_of
from author.bench.session import Session
from author.tasks.about import about, save_report


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
        column.addWidget(self._find)
        column.addWidget(self._list)
        self._fill()
        self._find.textChanged.connect(self._filter)
        self._find.returnPressed.connect(lambda: self._do(self._first()))
        self._list.itemActivated.connect(self._do)
        self.resize(620, 560)

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
        self._list.resizeColumnToContents(0)

    def _items(self) -> list[QTreeWidgetItem]:
        groups = [self._list.topLevelItem(n) for n in range(self._list.topLevelItemCount())]
        return [one for g in groups if g for n in range(g.childCount()) if (one := g.child(n))]

    def _filter(self, text: str) -> None:
        for item in self._items():
            item.setHidden(text.casefold() not in f"{item.text(0)} {item.text(1)}".casefold())
        for row in range(self._list.topLevelItemCount()):
            group = self._list.topLevelItem(row)
            if group is not None:
                inside = [one for n in range(group.childCount()) if (one := group.child(n))]
                group.setHidden(all(one.isHidden() for one in inside))

    def _first(self) -> QTreeWidgetItem | None:
        return next((item for item in self._items() if not item.isHidden()), None)

    def _do(self, item: QTreeWidgetItem | None, _column: int = 0) -> None:
        name = None if item is None else item.data(0, Qt.ItemDataRole.UserRole)
        if name is not None:
            self.accept()
            self._deeds[name].trigger()
