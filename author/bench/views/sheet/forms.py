"""Forms: rows of fields for one block of the document, and lists of such blocks.

A form is made once and bound to one block after another, so that choosing another step
costs no new widgets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import Qt, pyqtSignal
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
    Keys,
    LongField,
    Place,
    TextField,
    under,
)
from author.bench.places import read
from author.bench.views.sheet.begun import Begun
from author.bench.views.sheet.making import make_field
from author.bench.views.sheet.rows import Row, sign_button
from author.bench.views.sheet.tab_order import let_follow
from author.bench.words import translate
from author.editing import AddEntry, MoveEntry, RemoveEntry
from author.procedure.document import Procedure

if TYPE_CHECKING:
    from author.bench.session import Session

LABEL_WIDTH = 12
"""Width of the words beside a field, in letters."""
_WARM = 3
"""Entries of a list that are made ahead of time."""


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
        for row, made in self._fields:
            if row.leads_to:
                made.lead_to(self.field(row.leads_to))
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

    def begin(self, *, on: bool) -> None:
        """Let only what is written in sentences be begun, or let all be chosen again."""
        for _, made in self._fields:
            if not isinstance(made, LongField):
                made.setEnabled(not on)

    def sentences(self) -> Iterator[tuple[str, LongField]]:
        """Yield the fields for sentences with their keys."""
        for row, made in self._fields:
            if isinstance(made, LongField):
                yield row.key, made

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

    given_up = pyqtSignal()
    """An entry was begun, and nothing was written in it."""

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
        self._begun: Begun | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        foot = QHBoxLayout()
        self._add_button = QToolButton()
        self._add_button.setText(translate("Sheet", "Add {0}").format(row.one))
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
        if entry is None and self._row.waits:
            self._begin(self._into)
            return True
        if entry is None and self._row.entry is not None:
            entry = self._row.entry(self._session.procedure)
        if not self._session.do(AddEntry(self._into, entry)):
            return False
        self._sync()
        shown = [frame for frame in self._entries if not is_put_away(frame)]
        if shown:
            shown[-1].take_keys()
        return True

    def _begin(self, into: Address) -> None:
        """Show one more entry; it is in the document once something is written in it."""
        if self._begun is None:
            index = len(read(self._session.procedure, into) or ())
            while len(self._entries) <= index:
                self._make_frame()
            frame = self._entries[index]
            frame.bind(None)
            frame.tell_count(1)
            frame.show()
            self._begun = Begun(self._session, self._row, (*into, index), frame, frame.form)
            self._begun.ended.connect(self._end_begun)
        self._begun.take_keys()

    def _end_begun(self, *, tell: bool = True) -> None:
        begun, self._begun = self._begun, None
        if begun is None:
            return
        begun.let_go()
        if not begun.written:
            begun.frame.hide()
            if tell:
                self.given_up.emit()

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
        self._make_frame().hide()
        return True

    def _make_frame(self) -> EntryFrame:
        """Make one more frame; Tab comes to it before it comes to what adds another."""
        frame = EntryFrame(self._session, self._row, len(self._entries))
        self._entries.append(frame)
        self._column.insertWidget(len(self._entries) - 1, frame)
        last = let_follow(self._add_button, frame)
        self.setTabOrder(last, self._add_button)
        return frame

    def _follow(self, _before: Procedure, _after: Procedure) -> None:
        self._sync()

    def _sync(self, *, rebind: bool = False) -> None:
        entries = () if self._into is None else read(self._session.procedure, self._into) or ()
        if entries is self._seen and not rebind:
            return
        self._seen = entries
        into = self._into
        self._end_begun(tell=False)
        for index in range(len(self._entries), len(entries)):
            frame = self._make_frame()
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
        self.setProperty("whole", True)
        self._label = QLabel(f"{row.one[:1].upper()}{row.one[1:]} {index + 1}")
        self._label.setProperty("quiet", True)
        head = QHBoxLayout()
        head.setSpacing(2)
        head.addWidget(self._label)
        head.addStretch(1)
        name = f"{row.one} {index + 1}"
        self._up = self._button("↑", translate("Sheet", "Move {0} up").format(name), self._move_up)
        self._down = self._button(
            "↓", translate("Sheet", "Move {0} down").format(name), self._move_down
        )
        self._out = self._button("×", translate("Sheet", "Remove {0}").format(name), self._remove)
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
