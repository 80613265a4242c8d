"""What ties a field to one place of the document, and keeps its keys apart from the deeds."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any
from weakref import ref

from PyQt6.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt6.QtGui import QKeyEvent, QKeySequence
from PyQt6.QtWidgets import QWidget

from author.bench.unfinished import Left
from author.editing import Command, SetField
from author.editing.addresses import fields_of
from author.errors import ReelwrightError
from author.procedure.document import Procedure
from author.procedure.values import Node

if TYPE_CHECKING:
    from author.bench.session import Session

Address = tuple[str | int, ...]
_NOT_READ = object()
_PAUSE = 2.0
"""Seconds without a key after which what is written next is an entry of its own."""

_UNDO = QKeySequence.StandardKey.Undo
_REDO = QKeySequence.StandardKey.Redo
TEXT_KEYS = frozenset(
    {
        Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown,
        Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_End,
        Qt.Key.Key_Delete, Qt.Key.Key_Backspace,
    }
)  # fmt: skip
"""Keys that move or delete in a text and are no deeds while one is written."""
_PRESS_KEYS = frozenset({Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter})


def sentence(error: ReelwrightError) -> str:
    """Return an error as it is told beside a field."""
    asked = error.remedy.endswith("?") if error.remedy else False
    remedy = f" {error.remedy}{'' if asked else '.'}" if error.remedy else ""
    return f"{error.problem[:1].upper()}{error.problem[1:]}.{remedy}"


def attempt(session: Session, command: Command, merge: str | None = None) -> str:
    """Do a command on the document.

    Returns:
        The sentence that says why it was refused; empty if it was done.
    """
    try:
        session.document.do(command, merge=merge)
    except ReelwrightError as error:
        return sentence(error)
    return ""


class _Steps:
    """Steps of the newest snapshot by id, so that a hundred fields do not each search them."""

    def __init__(self) -> None:
        self._of: Callable[[], Any] = lambda: None
        self._by_id: dict[str, Any] = {}

    def get(self, procedure: Procedure, step: object) -> Any:
        if self._of() is not procedure:
            steps = [step for section in procedure.sections for step in section.steps]
            self._by_id = {step.id: step for step in reversed(steps)}
            self._of = ref(procedure)
        return self._by_id.get(str(step))


_STEPS = _Steps()


def read(procedure: Procedure, at: Address) -> Any:
    """Return what stands at an address; None where nothing does, or there is no such place."""
    node: Any = procedure
    if len(at) > 1 and at[0] == "steps":
        node, at = _STEPS.get(procedure, at[1]), at[2:]
    for part in at:
        if isinstance(node, tuple):
            found = (e for i, e in enumerate(node) if part in (i, getattr(e, "id", e)))
            node = next(found, None)
        elif isinstance(node, Node):
            node = getattr(node, fields_of(type(node)).get(str(part), ""), None)
        if node is None:
            return None
    return node


class Pauses:
    """Lets what is written after a pause be an entry of its own.

    Args:
        session: whose document.
    """

    def __init__(self, session: Session) -> None:
        self._session = session
        self._last = now()

    def begin(self) -> None:
        """Say that something was written just now."""
        self._last = now()

    def write(self) -> None:
        """Say that something is going to be written."""
        before, self._last = self._last, now()
        if self._last - before > _PAUSE:
            self._session.document.end_merge()


def now() -> float:
    """Return seconds of a clock that only goes on."""
    return time.monotonic()


class Place(QObject):
    """Ties a field to one place of the document.

    What the document refused is kept, and shown again when the field stands for the same
    place the next time, if nothing else was written there meanwhile.
    """

    problem_changed = pyqtSignal(str)
    """Why the document refuses what the field holds; empty when it does not."""

    def __init__(
        self, session: Session, field: QWidget, at: Address | None, show: Callable[[Any], None]
    ) -> None:
        super().__init__(field)
        self._session = session
        self._field = field
        self._show = show
        self._at = at
        self._value: Any = _NOT_READ
        self._writing = False
        self._pauses = Pauses(session)
        self._owner: object = None
        self._refused: dict[Address, tuple[object, Any, str, str]] = {}
        self.problem = ""
        session.changed.connect(self._follow)

    @property
    def session(self) -> Session:
        """The session the document belongs to."""
        return self._session

    @property
    def at(self) -> Address | None:
        """Address of the value; None where the field stands for nothing."""
        return self._at

    @property
    def value(self) -> Any:
        """What stands there now."""
        return None if self._at is None else read(self._session.procedure, self._at)

    def bind(self, at: Address | None) -> None:
        """Stand for another place from now on, and show what is there."""
        if self._writing:
            return
        self._keep_refused()
        moved = at != self._at
        if moved and self._at is not None:
            self.end_visit()
        self._at = at
        self._value = self.value
        self._owner = self._owner_of(at)
        if not self._recall(moved=moved):
            self.refuse("")
            self._show(self._value)

    def _owner_of(self, at: Address | None) -> object:
        """Return the id of the entry a place lies in: its number in a list may be another's."""
        node = read(self._session.procedure, at[:-1]) if at else None
        return getattr(node, "id", None)

    def _keep_refused(self) -> None:
        text = getattr(self._field, "text", None)
        if self._at is not None and self.problem and callable(text):
            self._refused[self._at] = (self._owner, self._value, str(text()), self.problem)

    def left(self) -> Iterator[Left]:
        """Yield what the document refused, here and at places the field stood for before."""
        text = getattr(self._field, "text", None)
        if self._at is not None and self.problem and callable(text):
            yield Left(self._at, str(text()))
        for at, (owner, value, words, _) in self._refused.items():
            same = owner == self._owner_of(at) and value == read(self._session.procedure, at)
            if at != self._at and same:
                yield Left(at, words)

    def _recall(self, *, moved: bool) -> bool:
        """Show again what was refused at this place; whether there was something."""
        kept = None if self._at is None else self._refused.pop(self._at, None)
        again = getattr(self._field, "show_text", None)
        if kept is None or again is None or kept[:2] != (self._owner, self._value):
            return False
        if moved:
            self._show(self._value)
        again(kept[2])
        self.refuse(kept[3])
        return True

    def write(self, value: Any) -> bool:
        """Write a value; all that is written in one visit is one entry.

        Returns:
            Whether the document took it.
        """
        if self._at is None:
            return False
        if value == self.value:
            self.refuse("")
            return True
        self._writing = True
        self._pauses.write()
        try:
            merge = "/".join(map(str, self._at))
            self.refuse(attempt(self._session, SetField(self._at, value), merge))
        finally:
            self._writing = False
        self._value = self.value
        return not self.problem

    def go_on(self) -> None:
        """Take what is written next as one with what brought the value here just now."""
        self._pauses.begin()

    def refuse(self, words: str) -> None:
        """Show that what the field holds is not in the document, or that it is."""
        if words == self.problem:
            return
        self.problem = words
        if words:
            self._session.unfinished.watch(self)
        self._field.setProperty("wrong", bool(words))
        self._field.setToolTip(words)
        self._field.setAccessibleDescription(words)
        style = self._field.style()
        if style is not None:
            style.unpolish(self._field)
            style.polish(self._field)
        self.problem_changed.emit(words)

    def end_visit(self) -> None:
        """Let what is written next be an entry of its own."""
        self._session.document.end_merge()

    def _follow(self, _before: Procedure, _after: Procedure) -> None:
        if self._writing:
            return
        value = self.value
        if value is not self._value and value != self._value:
            self._value = value
            self.refuse("")
            self._show(value)


class Keys(QObject):
    """Keeps keys for a widget that would be deeds of the window, and gives undo away.

    Args:
        session: whose document Ctrl+Z is for.
        kept: keys the widget wants for itself.
        widget: the widget.
        letters: whether it wants keys that write something as well.
    """

    def __init__(
        self,
        session: Session | None,
        widget: QWidget,
        kept: frozenset[Qt.Key] = _PRESS_KEYS,
        *,
        letters: bool = False,
    ) -> None:
        super().__init__(widget)
        self._session = session
        self._kept = kept
        self._letters = letters
        widget.installEventFilter(self)

    def eventFilter(self, _of: QObject | None, event: QEvent | None) -> bool:
        """Look at a key before the widget and the window's deeds do."""
        if not isinstance(event, QKeyEvent) or event.type() == QEvent.Type.KeyRelease:
            return False
        undo, redo = event.matches(_UNDO), event.matches(_REDO) or _is_ctrl_y(event)
        if self._session is not None and (undo or redo):
            if event.type() == QEvent.Type.ShortcutOverride:
                event.ignore()  # the window's deed takes it, where there is one
            elif undo:
                self._session.undo()
            else:
                self._session.redo()
            return True
        if event.type() == QEvent.Type.ShortcutOverride and self._keeps(event):
            event.accept()
            return True
        return False

    def _keeps(self, event: QKeyEvent) -> bool:
        moving = event.modifiers() & (
            Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.MetaModifier
        )
        up_down = event.key() in {Qt.Key.Key_Up, Qt.Key.Key_Down}
        ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if event.key() in self._kept:
            return not moving and not (up_down and ctrl)
        return (
            self._letters
            and not moving
            and not ctrl
            and event.text().isprintable()
            and bool(event.text())
        )


def _is_ctrl_y(event: QKeyEvent) -> bool:
    return event.key() == Qt.Key.Key_Y and event.modifiers() == Qt.KeyboardModifier.ControlModifier
