"""Forms: rows of fields for one block of the document, and lists of such blocks.

A form is made once and bound to one block after another, so that choosing another step
costs no new widgets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from author.bench.fields import (
    Address,
    ChoiceField,
    Keys,
    LinesField,
    LongField,
    Option,
    Place,
    TextField,
    TicksField,
    under,
    whole_number,
)
from author.bench.places import read
from author.bench.views.sheet.rows import Row, say, sign_button
from author.editing import AddEntry, MoveEntry, RemoveEntry, path_of
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.steps import Hazard

if TYPE_CHECKING:
    from author.bench.session import Session

LABEL_WIDTH = 12
"""Width of the words beside a field, in letters."""
_WARM = 3
"""Entries of a list that are made ahead of time."""


def make_field(session: Session, row: Row) -> Any:
    """Return the field for a row."""

    def offered() -> Sequence[Option]:
        return row.options(session.procedure) if row.options is not None else ()

    made: Any
    if row.make is not None:
        made = row.make(session)
    elif row.kind == "long":
        made = LongField(session, name=row.words, blank=row.blank)
    elif row.kind == "lines":
        made = LinesField(session, name=row.words, blank=row.blank)
    elif row.kind == "choice":
        made = ChoiceField(session, offered, name=row.words, none=row.none)
    elif row.kind == "ticks":
        made = TicksField(session, offered, name=row.words)
    elif row.kind == "count":
        made = TextField(session, name=row.words, read_as=whole_number)
    else:
        made = TextField(
            session, name=row.words, blank=row.blank, read_as=row.read_as, show_as=row.show_as
        )
    if row.hint and hasattr(made, "setPlaceholderText"):
        made.setPlaceholderText(row.hint)
    return made


class Form(QWidget):
    """The fields of one block, with the words beside them.

    Args:
        session: whose document.
        rows: what is in it.
    """

    def __init__(
        self, session: Session, rows: Sequence[Row], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._rows = tuple(rows)
        self._fields: list[tuple[Row, Any]] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(6)
        self._grid.setVerticalSpacing(4)
        self._grid.setColumnStretch(1, 1)
        self._extra: list[tuple[Any, tuple[QWidget, ...]]] = []
        for at, row in enumerate(self._rows):
            self._add(at, row)
        if self._extra:
            session.changed.connect(self._fit)

    def _add(self, at: int, row: Row) -> None:
        if row.kind == "entries":
            inner = EntryList(self._session, row)
            self._grid.addWidget(inner, at, 0, 1, 2)
            self._fields.append((row, inner))
            return
        made = make_field(self._session, row)
        self._fields.append((row, made))
        if not row.words:
            self._grid.addWidget(made, at, 0, 1, 2)
            return
        label = QLabel(row.words)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setProperty("quiet", True)
        label.setBuddy(made)
        label.setWordWrap(True)
        label.setFixedWidth(LABEL_WIDTH * label.fontMetrics().averageCharWidth())
        label.setContentsMargins(0, 4, 0, 0)
        box = under(made)
        self._grid.addWidget(label, at, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(box, at, 1)
        if row.when_there:
            self._extra.append((made, (label, box)))

    def bind(self, base: Address | None) -> None:
        """Show another block."""
        for row, made in self._fields:
            at = None if base is None else (*base, *row.path)
            if isinstance(made, EntryList):
                made.bind(at)
            else:
                made.place.bind(at)
        self._fit()

    def _fit(self) -> None:
        """Show the rows that are shown only while the block has something there."""
        for made, widgets in self._extra:
            there = made.place.value is not None or made.hasFocus()
            there = there or bool(getattr(made, "wanted", False))
            for widget in widgets:
                widget.setVisible(there)

    def field(self, key: str) -> Any:
        """Return the field of a row by its key."""
        return next(made for row, made in self._fields if row.key == key)


class EntryList(QWidget):
    """A list of blocks, each with its form, to be added, moved and removed.

    Args:
        session: whose document.
        row: what an entry is made of.
        with_button: whether it has a button of its own that adds an entry.
    """

    def __init__(
        self,
        session: Session,
        row: Row,
        parent: QWidget | None = None,
        *,
        with_button: bool = True,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._row = row
        self._into: Address | None = None
        self._entries: list[EntryFrame] = []
        self._seen: object = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        foot = QHBoxLayout()
        self._add_button = QToolButton()
        self._add_button.setText(say("Add {0}").format(row.one))
        Keys(None, self._add_button)
        self._add_button.clicked.connect(lambda _=False: self.add())
        foot.addWidget(self._add_button)
        foot.addStretch(1)
        self._column.addLayout(foot)
        self._add_button.setVisible(with_button and row.entry is not None)
        session.changed.connect(self._follow)

    @property
    def into(self) -> Address | None:
        """Address of the list shown."""
        return self._into

    def bind(self, into: Address | None) -> None:
        """Show another list."""
        self._into = into
        self._sync(rebind=True)

    def add(self, entry: Any = None) -> bool:
        """Add an entry, a new one if none is given, and give its first field the keys."""
        if self._into is None or (entry is None and self._row.entry is None):
            return False
        if entry is None and self._row.entry is not None:
            entry = self._row.entry(self._session.procedure)
        if not self._session.do(AddEntry(self._into, entry)):
            return False
        self._sync()
        shown = [frame for frame in self._entries if not is_put_away(frame)]
        if shown:
            shown[-1].take_keys()
        return True

    def count(self) -> int:
        """How many entries are shown."""
        return sum(not is_put_away(frame) for frame in self._entries)

    def form(self, index: int) -> Form:
        """Return the form of an entry."""
        return self._entries[index].form

    def warm(self) -> bool:
        """Make one more frame ahead of time; whether it was needed."""
        if len(self._entries) >= _WARM:
            return False
        frame = EntryFrame(self._session, self._row, len(self._entries))
        frame.hide()
        self._entries.append(frame)
        self._column.insertWidget(len(self._entries) - 1, frame)
        return True

    def _follow(self, _before: Procedure, _after: Procedure) -> None:
        self._sync()

    def _sync(self, *, rebind: bool = False) -> None:
        entries = () if self._into is None else read(self._session.procedure, self._into) or ()
        if entries is self._seen and not rebind:
            return
        self._seen = entries
        into = self._into
        for index in range(len(self._entries), len(entries)):
            frame = EntryFrame(self._session, self._row, index)
            self._entries.append(frame)
            self._column.insertWidget(index, frame)
            if into is not None:
                frame.bind((*into, index))
        for index, frame in enumerate(self._entries):
            there = index < len(entries)
            if there and into is not None:
                frame.bind((*into, index))
                frame.tell_count(len(entries))
            elif not frame.isHidden() or rebind:
                frame.bind(None)
            frame.setVisible(there)


class EntryFrame(QFrame):
    """One entry of a list with its form, and what moves and removes it."""

    def __init__(
        self, session: Session, row: Row, index: int, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._at: Address | None = None
        self.form = Form(session, row.rows)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self._label = QLabel(f"{row.one[:1].upper()}{row.one[1:]} {index + 1}")
        self._label.setProperty("quiet", True)
        head = QHBoxLayout()
        head.setSpacing(2)
        head.addWidget(self._label)
        head.addStretch(1)
        name = f"{row.one} {index + 1}"
        self._up = self._button("↑", say("Move {0} up").format(name), self._move_up)
        self._down = self._button("↓", say("Move {0} down").format(name), self._move_down)
        self._out = self._button("×", say("Remove {0}").format(name), self._remove)
        for button in (self._up, self._down, self._out):
            head.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 3, 6, 6)
        column.setSpacing(3)
        column.addWidget(self.form)
        column.insertLayout(0, head)
        # The keys come to the fields first, then to what moves and removes.
        for button in (self._up, self._down, self._out):
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def bind(self, at: Address | None) -> None:
        """Show another entry."""
        self._at = at
        self.form.bind(at)

    def tell_count(self, count: int) -> None:
        """Take back what cannot be done with so many entries."""
        index = int(self._at[-1]) if self._at else 0
        self._up.setVisible(count > 1)
        self._down.setVisible(count > 1)
        self._up.setEnabled(index > 0)
        self._down.setEnabled(index + 1 < count)

    def take_keys(self) -> None:
        """Give the keys to the first field."""
        first = next(iter(places_in(self.form)), None)
        if first is not None:
            give_keys(first[1])

    def _button(self, sign: str, words: str, deed: Callable[[], None]) -> QToolButton:
        button = sign_button(self._session, sign, words)
        button.clicked.connect(lambda _=False: deed())
        return button

    def _move_up(self) -> None:
        if self._at is not None and int(self._at[-1]) > 0:
            self._session.do(MoveEntry(self._at, int(self._at[-1]) - 1))

    def _move_down(self) -> None:
        if self._at is None:
            return
        entries = read(self._session.procedure, self._at[:-1]) or ()
        behind = int(self._at[-1]) + 2
        self._session.do(MoveEntry(self._at, behind if behind < len(entries) else None))

    def _remove(self) -> None:
        if self._at is not None:
            self._session.do(RemoveEntry(self._at))


def places_in(widget: QWidget) -> Iterator[tuple[Place, QWidget]]:
    """Yield the places of a widget's fields that are seen, with the fields, in order."""
    made = getattr(widget, "place", None)
    if isinstance(made, Place):
        yield made, widget
        return
    for child in widget.children():
        if isinstance(child, QWidget) and not is_put_away(child):
            yield from places_in(child)


def is_put_away(widget: QWidget) -> bool:
    """Whether a widget was hidden, which one that was only not shown yet is not."""
    said = widget.testAttribute(Qt.WidgetAttribute.WA_WState_ExplicitShowHide)
    return said and widget.isHidden()


def give_keys(field: QWidget) -> None:
    """Let a field take the keys, all of its text chosen where it is one line."""
    field.setFocus(Qt.FocusReason.OtherFocusReason)
    if isinstance(field, TextField):
        field.selectAll()


def nearest_field(session: Session, root: QWidget, at: Address) -> QWidget | None:
    """Return the field below a widget that stands for a place, or for the most of its address.

    Args:
        session: whose document.
        root: where to look.
        at: path or address of the place; it need not be there.
    """
    wanted = _with_gap(session.procedure, _path(session.procedure, at))
    best: QWidget | None = None
    most = -1
    for place, found in places_in(root):
        if place.at is None:
            continue
        shared = _shared(_path(session.procedure, place.at), wanted)
        if shared > most:
            best, most = found, shared
    return best


def _with_gap(procedure: Procedure, path: Address) -> Address:
    """Return the path of what is missing in a hazard message, where it is the message's own."""
    found = read(procedure, path)
    if isinstance(found, Hazard) and found.consequence is None and found.signal != "NOTICE":
        return (*path, "consequence")
    return path


def _path(procedure: Procedure, at: Address) -> Address:
    """Return the path of an address, as far as there is one."""
    for length in range(len(at), 0, -1):
        try:
            return (*path_of(procedure, at[:length]), *at[length:])
        except InputError:
            continue
    return at


def _shared(one: Address, other: Address) -> int:
    count = 0
    for a, b in zip(one, other, strict=False):
        if a != b:
            break
        count += 1
    return count
