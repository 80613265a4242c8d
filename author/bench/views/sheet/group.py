"""A group of the job sheet: a heading that folds, and what belongs under it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from author.bench.fields import Address, Keys
from author.bench.views.sheet.finding import nearest_field
from author.bench.views.sheet.forms import EntryList, Form, give_keys, places_in
from author.bench.views.sheet.rows import Row, flat
from author.bench.views.sheet.tab_order import let_follow
from author.bench.words import translate
from author.editing import SetField
from author.procedure.steps import Step

if TYPE_CHECKING:
    from author.bench.session import Session


class Group(QFrame):
    """What belongs together on the sheet of a step; its body is made when it is first seen.

    Args:
        session: whose document.
        title: heading of the group.
        keys: keys of a step it shows, in the order of the sheet.
    """

    def __init__(
        self, session: Session, title: str, keys: tuple[str, ...], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.session = session
        self.title = title
        self.keys = keys
        self.step = ""
        self._body: QWidget | None = None
        self._folded = False
        self._asked_for = False
        self.setAccessibleName(title)
        self._head = QToolButton()
        self._head.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        flat(self._head)
        self._head.setProperty("heading", True)
        self._head.setText(title)
        self._head.clicked.connect(lambda _=False: self.fold(not self._folded))
        Keys(session, self._head)
        self._quiet = QLabel()
        self._quiet.setProperty("quiet", True)
        self._quiet.setTextFormat(Qt.TextFormat.PlainText)
        head = QHBoxLayout()
        head.setContentsMargins(0, 0, 0, 0)
        head.addWidget(self._head)
        head.addWidget(self._quiet, 1)
        button = self.head_button()
        self._head_last = button or self._head
        if button is not None:
            head.addWidget(button)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 2, 0, 4)
        self._column.setSpacing(2)
        self._column.addLayout(head)
        self._draw_arrow()

    # --- what a group says of itself ---

    def head_button(self) -> QToolButton | None:
        """Make the button at the end of the heading: it adds another entry."""
        return self.small_button(
            translate("Sheet", "Add"),
            translate("Sheet", "Add to: {0}").format(self.title),
            self.add,
        )

    def small_button(self, text: str, words: str, deed: Callable[[], object]) -> QToolButton:
        """Make a flat button."""
        button = flat(QToolButton())
        button.setText(text)
        button.setAccessibleName(words)
        button.setToolTip(words)
        button.clicked.connect(lambda _=False: deed())
        Keys(self.session, button)
        return button

    def make_body(self) -> QWidget:
        """Make what is under the heading."""
        raise NotImplementedError

    def bind_body(self, step: str) -> None:
        """Let the body show a step."""
        raise NotImplementedError

    def add(self) -> None:
        """Add a first or another entry, and give its field the keys."""
        raise NotImplementedError

    def has_content(self, step: Step) -> bool:
        """Whether a step has something for this group."""
        return any(getattr(step, key) is not None for key in self.keys)

    def summary(self, step: Step) -> str:
        """Return a word on what is in it, shown beside the heading."""
        entries = [getattr(step, key) for key in self.keys]
        count = sum(len(each) for each in entries if isinstance(each, tuple))
        return f"{count}" if count else ""

    # --- showing ---

    def show_step(self, step: Step | None) -> None:
        """Show another step, or the same one after a change."""
        name = step.id if step is not None else ""
        if name != self.step:
            self._asked_for = False
        moved, self.step = name != self.step, name
        there = step is not None and (self._asked_for or self.has_content(step))
        if there and self._body is None:
            self._make()
            moved = True
        # A group that is not seen is bound when it is: its fields stand for nothing meanwhile.
        if moved and self._body is not None:
            self.bind_body(name if there else "")
        elif there and self.isHidden() and self._body is not None:
            self.bind_body(name)
        self._quiet.setText(self.summary(step) if step is not None and there else "")
        self.setVisible(there)

    def ask_for(self) -> None:
        """Show the group although there is nothing in it yet."""
        self._asked_for = True
        self.fold(False)
        self.show_step(self.session_step())

    def session_step(self) -> Step | None:
        """Return the chosen step."""
        placed = self.session.placed()
        return placed.step if placed is not None else None

    def back_to(self, step: str) -> Step | None:
        """Choose the step again that something was asked for; what is taken belongs there.

        Returns:
            The step; None if it is gone.
        """
        if self.session.placed(step) is None:
            self.session.tell(
                "warning", translate("Sheet", "The step this was for is not there any more.")
            )
            return None
        self.session.choose_step(step)
        return self.session_step()

    def fold(self, folded: bool) -> None:
        """Fold the group to its heading, or open it."""
        self._folded = folded
        if self._body is not None:
            self._body.setVisible(not folded)
        self._draw_arrow()

    def warm(self) -> bool:
        """Make the body ahead of time; whether there was one to make."""
        if self._body is not None:
            return False
        self._make()
        return True

    @property
    def body(self) -> QWidget:
        """What is under the heading."""
        if self._body is None:
            self._make()
            self.bind_body(self.step)
        assert self._body is not None  # noqa: S101 - made above
        return self._body

    def _make(self) -> None:
        self._body = self.make_body()
        self._body.setContentsMargins(14, 0, 0, 0)
        self._column.addWidget(self._body)
        let_follow(self._head_last, self._body)
        self._body.setVisible(not self._folded)

    def _draw_arrow(self) -> None:
        arrow = Qt.ArrowType.RightArrow if self._folded else Qt.ArrowType.DownArrow
        self._head.setArrowType(arrow)
        state = translate("Sheet", "folded") if self._folded else translate("Sheet", "open")
        self._head.setAccessibleName(f"{self.title}, {state}")

    # --- places ---

    def address(self, *rest: str | int) -> Address:
        """Return the address of a place in the step shown."""
        return ("steps", self.step, *rest)

    def go_to(self, rest: Address) -> bool:
        """Give the keys to the field of a place.

        Args:
            rest: the end of its path, from the key of the step on.

        Returns:
            Whether the group has it.
        """
        if not rest or rest[0] not in self.keys:
            return False
        self.ask_for()
        field = nearest_field(self.session, self.body, self.address(*rest))
        if field is not None:
            give_keys(field)
        return True


class ListGroup(Group):
    """A group whose body is a list of blocks.

    Args:
        session: whose document.
        title: its heading.
        key: key of the list in a step.
        row: what an entry is made of.
    """

    def __init__(self, session: Session, title: str, key: str, row: Row) -> None:
        super().__init__(session, title, (key,))
        self.row = row
        self.entries: EntryList | None = None

    def make_body(self) -> QWidget:
        """Make the list."""
        self.entries = EntryList(self.session, self.row, with_button=False)
        self.entries.given_up.connect(self._give_up)
        return self.entries

    def _give_up(self) -> None:
        self._asked_for = False
        self.show_step(self.session_step())

    def warm(self) -> bool:
        """Make the body ahead of time, then some entries."""
        return super().warm() or (self.entries is not None and self.entries.warm())

    def bind_body(self, step: str) -> None:
        """Let the list be that of a step."""
        if self.entries is not None:
            self.entries.bind(("steps", step, self.keys[0]) if step else None)

    def add(self, entry: Any = None) -> None:
        """Add an entry."""
        if self.step:
            self.ask_for()
            assert self.entries is not None  # noqa: S101 - made when it was asked for
            self.entries.add(entry)


class BlockGroup(Group):
    """A group whose body is the form of one block that may be absent.

    Args:
        session: whose document.
        title: its heading.
        key: key of the block in a step.
        rows: what is in it.
    """

    def __init__(self, session: Session, title: str, key: str, rows: tuple[Row, ...]) -> None:
        super().__init__(session, title, (key,))
        self._rows = rows
        self._form: Form | None = None

    def fresh(self) -> Any:
        """Return the block as it begins."""
        raise NotImplementedError

    def head_button(self) -> QToolButton | None:
        """Make the button that takes the block out."""
        words = translate("Sheet", "Take out: {0}").format(self.title)
        return self.small_button(translate("Sheet", "Take out"), words, self.take_out)

    def make_body(self) -> QWidget:
        """Make the form."""
        self._form = Form(self.session, self._rows)
        return self._form

    def bind_body(self, step: str) -> None:
        """Let the form be that of a step."""
        if self._form is not None:
            self._form.bind(("steps", step, self.keys[0]) if step else None)

    def add(self) -> None:
        """Make the block where there is none, and give its first field the keys."""
        step = self.session_step()
        if step is None:
            return
        if not self.has_content(step) and not self.session.do(
            SetField(("steps", step.id, self.keys[0]), self.fresh())
        ):
            return
        self.ask_for()
        first = next(iter(places_in(self.body)), None)
        if first is not None:
            give_keys(first[1])

    def take_out(self) -> None:
        """Take the block out of the step."""
        self._asked_for = False
        self.session.do(SetField(self.address(self.keys[0]), None))

    def ask_for(self) -> None:
        """Show the group; its block is made if there is none."""
        step = self.session_step()
        if step is not None and self.has_content(step):
            super().ask_for()


class LineGroup(Group):
    """A group with one field.

    Args:
        session: whose document.
        title: its heading.
        row: the field; its key is that of the step.
    """

    def __init__(self, session: Session, title: str, row: Row) -> None:
        super().__init__(session, title, (row.key,))
        self._row = row
        self._form: Form | None = None

    def head_button(self) -> QToolButton | None:
        """A field that is emptied is out of the step: nothing to add or take out."""
        return None

    def make_body(self) -> QWidget:
        """Make the field."""
        self._form = Form(self.session, (self._row,))
        self._form.field(self._row.key).setAccessibleName(self.title)
        return self._form

    def bind_body(self, step: str) -> None:
        """Let the field be that of a step."""
        if self._form is not None:
            self._form.bind(("steps", step) if step else None)

    def add(self) -> None:
        """Show the field and give it the keys."""
        if self.step:
            self.ask_for()
            found = next(iter(places_in(self.body)), None)
            if found is not None:
                give_keys(found[1])
