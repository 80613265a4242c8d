"""Parts, tools, supplies, sources, stacks and dimension chains: names at the left, one open."""

from __future__ import annotations

from collections.abc import Callable, Sequence
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

from author.bench.fields import Keys, Option, shown_text
from author.bench.views.paper import Page, Paper, scrolled
from author.bench.views.sheet.forms import Form, give_keys, places_in
from author.bench.views.sheet.named import named_row, names_row
from author.bench.views.sheet.rows import Row, choices, say, unwritten
from author.bench.views.sheet.typed import number_row
from author.editing import AddEntry, MoveEntry, RemoveEntry
from author.procedure.document import Procedure
from author.procedure.references import words_for
from author.procedure.units import all_units

if TYPE_CHECKING:
    from author.bench.session import Session

Fresh = Callable[[Procedure], dict[str, Any] | None]


class ListEditor(Paper):
    """The window for the lists of the document.

    Args:
        session: whose document.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        def page(title: str, key: str, rows: tuple[Row, ...], one: str, fresh: Fresh) -> Page:
            return Page(title, (key,), lambda: EntriesPage(session, key, rows, one, fresh))

        pages = (
            page(say("&Parts"), "parts", _part_rows(), say("part"), _fresh_part),
            page(say("&Tools"), "tools", _tool_rows(), say("tool"), _named(say("the tool"))),
            page(
                say("&Supplies"),
                "supplies",
                _supply_rows(),
                say("supply"),
                _named(say("the supply")),
            ),
            page(say("So&urces"), "sources", _source_rows(), say("source"), _fresh_source),
            page(say("Stac&ks"), "stacks", _stack_rows(), say("stack"), _fresh_stack),
            page(say("&Chains"), "chains", _chain_rows(), say("chain"), _fresh_chain),
        )
        super().__init__(session, say("Parts, tools, supplies, sources"), pages, parent)
        self.resize(760, 540)


class _Names(QAbstractListModel):
    """The names of a list's entries."""

    def __init__(self, session: Session, key: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._key = key
        self.entries: tuple[Any, ...] = getattr(session.procedure, key)
        session.changed.connect(self._follow)

    def rowCount(self, parent: QModelIndex | None = None) -> int:  # noqa: N802 - Qt's name
        """Return how many there are."""
        return 0 if parent is not None and parent.isValid() else len(self.entries)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a name."""
        if role not in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole}:
            return None
        return shown_text(words_for(self.entries[index.row()])) or say("still to be written")

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
            (say("&Add"), say("Add a {0}"), self.add),
            (say("&Remove"), say("Remove the {0}"), self.remove),
            (say("↑"), say("Move the {0} up"), lambda: self._move(-1)),
            (say("↓"), say("Move the {0} down"), lambda: self._move(1)),
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
            self._session.tell("advice", say("There has to be something to build it from first"))
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


# --- the fields of each list ---


def _part_rows() -> tuple[Row, ...]:
    contents = (
        named_row("part", say("Part"), "parts"),
        Row("quantity", say("How many"), "count"),
    )
    return (
        Row("name", say("Name"), "long", blank=unwritten("what it is")),
        Row("number", say("Number")),
        Row("quantity", say("How many"), "count"),
        Row(
            "replace",
            say("New one"),
            "choice",
            options=choices(
                ("never", say("never")), ("if_worn", say("if worn")), ("always", say("always"))
            ),
        ),
        Row(
            "order",
            say("Order"),
            "choice",
            options=choices(
                ("never", say("never")),
                ("in_case", say("in case")),
                ("only_if", say("only if …")),
                ("always", say("always")),
            ),
        ),
        Row("order_if", say("Order if")),
        Row("pack_size", say("In a pack"), "count"),
        Row(
            "single_use",
            say("Second use"),
            "choice",
            options=choices(
                (False, say("may be fitted again")), (True, say("must not be fitted again"))
            ),
        ),
        Row("places", say("Places"), "lines", hint=say("one on each line")),
        Row(
            "contains",
            say("Contains"),
            "entries",
            rows=contents,
            entry=lambda p: {"part": p.parts[0].id},
            one=say("part in it"),
        ),
        Row(
            "supplied",
            say("Supplied"),
            "choice",
            options=choices(("bare", say("bare")), ("complete", say("with its contents"))),
            none=say("not said"),
        ),
        Row("supersedes", say("Older numbers"), "lines", hint=say("one on each line")),
        Row("alternatives", say("Or instead"), "lines", hint=say("one on each line")),
        Row("note", say("Note"), "long"),
    )


def _units(_procedure: Procedure) -> list[Option]:
    return [(symbol, symbol) for symbol in all_units()]


def _tool_rows() -> tuple[Row, ...]:
    return (
        Row("name", say("Name, with size"), "long", blank=unwritten("what it is")),
        Row("bears_on", say("May bear on"), "long"),
        Row(
            "measures", say("Its scale is in"), "choice", options=_units, none=say("no instrument")
        ),
        number_row("range_from", say("Range from")),
        number_row("range_to", say("Range to")),
        number_row("resolution", say("Smallest step")),
        number_row("uncertainty", say("Uncertainty (k = 2)")),
        Row("note", say("Note"), "long"),
    )


def _supply_rows() -> tuple[Row, ...]:
    return (
        Row("name", say("Name"), "long", blank=unwritten("what it is")),
        Row("grade", say("Grade")),
        Row("number", say("Number")),
        named_row("recommended_by", say("Asked for by"), "sources", none=say("nobody named")),
        Row("note", say("Note"), "long"),
    )


def _source_rows() -> tuple[Row, ...]:
    return (
        Row("title", say("Title"), "long", blank=unwritten("title, edition and clause")),
        Row(
            "kind",
            say("Kind"),
            "choice",
            options=choices(
                ("maker", say("maker's manual")),
                ("standard", say("published standard")),
                ("shop", say("the shop's own rule")),
                ("measured", say("reading on this unit")),
                ("film", say("the technician's word on the film")),
                ("demo", say("invented demo data")),
            ),
        ),
    )


def _stack_rows() -> tuple[Row, ...]:
    parts = names_row("inside_out", say("From the inside out"), "parts", say("part"), ordered=True)
    return (Row("name", say("Name"), "long", blank=unwritten("what the stack is")), parts)


def _chain_rows() -> tuple[Row, ...]:
    links = (
        Row("what", say("Dimension"), "long", blank=unwritten("what it is")),
        named_row("spec", say("Limited by"), "points", none=say("the numbers below")),
        number_row("lower", say("Smallest")),
        number_row("upper", say("Largest")),
        Row(
            "direction",
            say("It"),
            "choice",
            options=choices(("adds", say("adds")), ("subtracts", say("subtracts"))),
        ),
    )
    return (
        Row("name", say("Name"), "long", blank=unwritten("what the chain is")),
        Row("unit", say("Unit"), "choice", options=_units),
        Row(
            "method",
            say("Reckoned as"),
            "choice",
            options=choices(
                ("worst_case", say("worst case")), ("root_sum_square", say("root of the squares"))
            ),
        ),
        named_row("closes", say("Leaves over"), "points"),
        Row(
            "links",
            say("Links"),
            "entries",
            rows=links,
            entry=lambda _: {"what": unwritten("what it is"), "direction": "adds"},
            one=say("link"),
        ),
    )


def _named(what: str) -> Fresh:
    return lambda _procedure: {"name": unwritten(what)}


def _fresh_part(_procedure: Procedure) -> dict[str, Any]:
    return {"name": unwritten("what it is"), "replace": "never", "order": "never"}


def _fresh_source(_procedure: Procedure) -> dict[str, Any]:
    return {"kind": "shop", "title": unwritten("title, edition and clause")}


def _fresh_stack(procedure: Procedure) -> dict[str, Any] | None:
    if not procedure.parts:
        return None
    return {"name": unwritten("what the stack is"), "inside_out": [procedure.parts[0].id]}


def _fresh_chain(procedure: Procedure) -> dict[str, Any] | None:
    specs = [spec for _, _, spec in procedure.placed_specs()]
    if not specs:
        return None
    link = {"what": unwritten("what it is"), "direction": "adds"}
    return {
        "name": unwritten("what the chain is"),
        "unit": specs[0].unit,
        "method": "worst_case",
        "closes": specs[0].id,
        "links": [link, {**link, "direction": "subtracts"}],
    }
