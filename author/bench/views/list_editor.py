"""Parts, tools, supplies, sources, stacks and dimension chains: names at the left, one open."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import QAbstractListModel, QModelIndex, Qt
from PyQt6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QListView,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from author.bench.fields import Keys, shown_text
from author.bench.views.list_rows import (
    Fresh,
    chain_rows,
    fresh_chain,
    fresh_part,
    fresh_source,
    fresh_stack,
    named_entry,
    part_rows,
    source_rows,
    stack_rows,
    supply_rows,
    tool_rows,
)
from author.bench.views.paper import Page, Paper, scrolled
from author.bench.views.sheet.forms import Form, give_keys, places_in
from author.bench.views.sheet.rows import Row
from author.bench.words import translate
from author.editing import AddEntry, MoveEntry, RemoveEntry
from author.procedure.document import Procedure
from author.procedure.references import words_for

if TYPE_CHECKING:
    from author.bench.session import Session


class ListEditor(Paper):
    """The window for the lists of the document.

    Args:
        session: whose document.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        def page(title: str, key: str, rows: tuple[Row, ...], one: str, fresh: Fresh) -> Page:
            return Page(title, (key,), lambda: EntriesPage(session, key, rows, one, fresh))

        pages = (
            page(
                translate("Sheet", "&Parts"),
                "parts",
                part_rows(),
                translate("Sheet", "part"),
                fresh_part,
            ),
            page(
                translate("Sheet", "&Tools"),
                "tools",
                tool_rows(),
                translate("Sheet", "tool"),
                named_entry(translate("Sheet", "the tool")),
            ),
            page(
                translate("Sheet", "&Supplies"),
                "supplies",
                supply_rows(),
                translate("Sheet", "supply"),
                named_entry(translate("Sheet", "the supply")),
            ),
            page(
                translate("Sheet", "So&urces"),
                "sources",
                source_rows(),
                translate("Sheet", "source"),
                fresh_source,
            ),
            page(
                translate("Sheet", "Stac&ks"),
                "stacks",
                stack_rows(),
                translate("Sheet", "stack"),
                fresh_stack,
            ),
            page(
                translate("Sheet", "&Chains"),
                "chains",
                chain_rows(),
                translate("Sheet", "chain"),
                fresh_chain,
            ),
        )
        super().__init__(
            session, translate("Sheet", "Parts, tools, supplies, sources"), pages, parent
        )
        self.resize(760, 540)


class _Names(QAbstractListModel):
    """The names of a list's entries."""

    def __init__(self, session: Session, key: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._key = key
        self.entries: tuple[Any, ...] = getattr(session.procedure, key)
        session.changed.connect(self._follow)

    def rowCount(self, parent: QModelIndex | None = None) -> int:
        """Return how many there are."""
        return 0 if parent is not None and parent.isValid() else len(self.entries)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a name."""
        if role not in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole}:
            return None
        return shown_text(words_for(self.entries[index.row()])) or translate(
            "Sheet", "still to be written"
        )

    def _follow(self, _before: Procedure, after: Procedure) -> None:
        entries = getattr(after, self._key)
        if entries is self.entries:
            return
        before, self.entries = self.entries, entries
        if [one.id for one in before] != [one.id for one in entries]:
            self.beginResetModel()
            self.endResetModel()
        elif entries:
            self.dataChanged.emit(self.index(0), self.index(len(entries) - 1))


class EntriesPage(QWidget):
    """One list: its names at the left, the fields of the chosen entry at the right.

    Args:
        session: whose document.
        key: key of the list.
        rows: the fields of an entry.
        one: what an entry is called.
        fresh: makes a new entry, or None where something has to be there first.
    """

    def __init__(
        self,
        session: Session,
        key: str,
        rows: Sequence[Row],
        one: str,
        fresh: Fresh,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._key = key
        self._one = one
        self._fresh = fresh
        self._chosen = 0
        self.form = Form(session, rows)
        self.names = _Names(session, key, self)
        self.list = QListView()
        self.list.setModel(self.names)
        self.list.setAccessibleName(one)
        self.list.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        Keys(session, self.list, frozenset({Qt.Key.Key_Up, Qt.Key.Key_Down}))
        selection = self.list.selectionModel()
        assert selection is not None  # noqa: S101 - a view with a model has one
        selection.currentChanged.connect(lambda now, _: self._show(now.row()))
        self._lay_out()
        session.changed.connect(lambda _before, _after: self._show(self._chosen))
        self.choose(0)

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        for words, name, deed in (
            (translate("Sheet", "&Add"), translate("Sheet", "Add a {0}"), self.add),
            (translate("Sheet", "&Remove"), translate("Sheet", "Remove the {0}"), self.remove),
            (
                translate("Sheet", "↑"),
                translate("Sheet", "Move the {0} up"),
                lambda: self._move(-1),
            ),
            (
                translate("Sheet", "↓"),
                translate("Sheet", "Move the {0} down"),
                lambda: self._move(1),
            ),
        ):
            button = QPushButton(words)
            button.setAutoDefault(False)
            button.setAccessibleName(name.format(self._one))
            button.setToolTip(name.format(self._one))
            if len(words) == 1:
                button.setFixedWidth(34)
            button.clicked.connect(lambda _=False, deed=deed: deed())
            buttons.addWidget(button)
        left = QVBoxLayout()
        left.addWidget(self.list, 1)
        left.addLayout(buttons)
        line = QHBoxLayout(self)
        line.setContentsMargins(4, 4, 4, 4)
        line.addLayout(left, 2)
        line.addWidget(scrolled(self.form), 3)

    def choose(self, which: str | int) -> None:
        """Choose an entry by its id or its place."""
        for row, entry in enumerate(self.names.entries):
            if which in (row, entry.id):
                self.list.setCurrentIndex(self.names.index(row))
        self._show(self._chosen)

    def add(self) -> None:
        """Add an entry at the end and give its first field the keys."""
        entry = self._fresh(self._session.procedure)
        if entry is None:
            self._session.tell(
                "advice", translate("Sheet", "There has to be something to build it from first")
            )
            return
        if self._session.do(AddEntry((self._key,), entry)):
            self.choose(len(self.names.entries) - 1)
            first = next(iter(places_in(self.form)), None)
            if first is not None:
                give_keys(first[1])

    def remove(self) -> None:
        """Remove the chosen entry; refused while a step names it."""
        if self.names.entries:
            self._session.do(RemoveEntry((self._key, self._chosen)))

    def _move(self, by: int) -> None:
        to = self._chosen + by
        if not 0 <= to < len(self.names.entries):
            return
        before = to if by < 0 else to + 1
        at = (self._key, self._chosen)
        if self._session.do(MoveEntry(at, before if before < len(self.names.entries) else None)):
            self.choose(to)

    def _show(self, row: int) -> None:
        count = len(self.names.entries)
        if row >= 0:
            self._chosen = min(row, max(count - 1, 0))
        self.form.setEnabled(count > 0)
        self.form.bind((self._key, self._chosen) if count else None)
