"""Fields that choose: one of some values, or some of a few."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QFocusEvent
from PyQt6.QtWidgets import QCheckBox, QVBoxLayout, QWidget

from author.bench.dropdown import Dropdown
from author.bench.places import TEXT_KEYS, Address, Keys, Place
from author.bench.source_words import source_called
from author.procedure.document import Procedure
from author.procedure.references import words_for

if TYPE_CHECKING:
    from author.bench.session import Session

Option = tuple[Any, str]
"""A value that can be chosen, and its words."""
_CHOICE_KEYS = TEXT_KEYS | {Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter}


def options_of(procedure: Procedure, key: str) -> list[Option]:
    """Return the entries of a list as choices: id and what a person calls it."""
    if key == "sources":
        return [(source.id, source_called(source)) for source in procedure.sources]
    return [(entry.id, words_for(entry)) for entry in getattr(procedure, key)]


def step_options(procedure: Procedure) -> list[Option]:
    """Return the steps as choices: id, number and action."""
    return [(one.step.id, f"{one.number}  {one.step.action}") for one in procedure.placed_steps()]


class ChoiceField(Dropdown):
    """One of some values, shown by their words.

    Args:
        session: whose document.
        options: the values with their words, asked for when they are shown.
        at: address of the value; may be given later by ``place.bind``.
        name: what assistive technology calls it.
        none: words for the absence of a value; None where there has to be one.
    """

    def __init__(
        self,
        session: Session,
        options: Callable[[], Sequence[Option]],
        at: Address | None = None,
        name: str = "",
        *,
        none: str | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._options = options
        self._none = none
        self.setAccessibleName(name)
        self.setSizeAdjustPolicy(Dropdown.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)
        self.place = Place(session, self, None, self._show)
        Keys(session, self, _CHOICE_KEYS, letters=True)
        self.activated.connect(self._take)
        if at is not None:
            self.place.bind(at)

    def showPopup(self) -> None:
        """Ask for the values anew, then show them."""
        self._offer()
        super().showPopup()

    def focusInEvent(self, event: QFocusEvent | None) -> None:
        """Ask for the values anew: keys choose among them without the list being shown."""
        self._offer()
        super().focusInEvent(event)

    def _take(self, row: int) -> None:
        value = self.itemData(row)
        self.place.write(value)
        self.place.end_visit()

    def _show(self, value: Any) -> None:
        """Show a value; all there are to choose from are asked for when somebody chooses."""
        value = self.choice_of(value)
        if self.hasFocus():
            self._offer()
        elif value is None:
            self._put([(None, self._none or "")], None)
        else:
            words = next((words for each, words in self._options() if each == value), str(value))
            self._put([(value, words)], value)

    def choice_of(self, value: Any) -> Any:
        """Return the choice that what stands in the document is."""
        return value

    def _offer(self) -> None:
        """Fill the list with all there is to choose from."""
        value = self.choice_of(self.place.value)
        found = list(self._options())
        if self._none is not None:
            found.insert(0, (None, self._none))
        if value not in [each for each, _ in found]:
            # What names nothing that is there is shown as it stands, until it is mended.
            found.append((value, "" if value is None else str(value)))
        self._put(found, value)

    def _put(self, found: list[Option], value: Any) -> None:
        if found != [(self.itemData(i), self.itemText(i)) for i in range(self.count())]:
            self.clear()
            for each, words in found:
                self.addItem(words, each)
        self.setCurrentIndex([each for each, _ in found].index(value))


class TicksField(QWidget):
    """Some of a few values, each with a box to tick; written in the order they are listed.

    Args:
        session: whose document.
        options: the values with their words.
        at: address of the list; may be given later by ``place.bind``.
        name: what assistive technology calls it.
    """

    def __init__(
        self,
        session: Session,
        options: Callable[[], Sequence[Option]],
        at: Address | None = None,
        name: str = "",
        *,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._options = options
        self.boxes: list[tuple[Any, QCheckBox]] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        self.setAccessibleName(name)
        self.place = Place(session, self, None, self._show)
        session.changed.connect(self._look)
        if at is not None:
            self.place.bind(at)

    def _look(self) -> None:
        if [(value, box.text()) for value, box in self.boxes] != list(self._options()):
            self._show(self.place.value)

    def _show(self, value: Any) -> None:
        found = list(self._options())
        if found != [(each, box.text()) for each, box in self.boxes]:
            for _, box in self.boxes:
                box.deleteLater()
            self.boxes = [(each, self._box(words)) for each, words in found]
        for each, box in self.boxes:
            box.setChecked(each in (value or ()))

    def _box(self, words: str) -> QCheckBox:
        box = QCheckBox(words)
        Keys(self.place.session, box)
        box.clicked.connect(self._write)
        self._column.addWidget(box)
        self.setFocusProxy(self.boxes[0][1] if self.boxes else box)
        return box

    def _write(self) -> None:
        self.place.write(tuple(each for each, box in self.boxes if box.isChecked()) or None)
        self.place.end_visit()
