"""What to do about a reading below, above, or too near to a limit to be told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QFocusEvent
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from author.bench.dropdown import Dropdown
from author.bench.fields import TEXT_KEYS, one_spaced, step_options, whole_number
from author.bench.places import Address, Keys, Pauses, attempt, read, sentence
from author.bench.unfinished import Left
from author.editing import SetField
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.specs import Reaction

if TYPE_CHECKING:
    from author.bench.session import Session

CHOICE_KEYS = TEXT_KEYS | {Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter}
"""Keys that choose in a list of words."""
_NONE = ""
_Choice = TypeVar("_Choice", bound=Dropdown)


@dataclass(frozen=True, slots=True)
class _Typed:
    """What stands in the fields and is refused; ``words`` tells it to a person."""

    do: str
    how: str
    step: str | None
    at_most: str
    problem: str
    words: str


class _StepChoice(Dropdown):
    """The steps to go on at; asked for when they are wanted, not at each change of a job."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.show_step(None)

    def show_step(self, step: str | None) -> None:
        """Show one step alone, or that the work goes on here."""
        options = dict(step_options(self._session.procedure)) if step else {}
        self._fill([(step, options.get(step, step))] if step else [], step)

    def focusInEvent(self, event: QFocusEvent | None) -> None:
        """Ask for the steps."""
        self._fill(step_options(self._session.procedure), self.currentData())
        super().focusInEvent(event)

    def _fill(self, options: Sequence[tuple[str, str]], chosen: str | None) -> None:
        self.clear()
        self.addItem(self.tr("then go on here"), None)
        for step, words in options:
            self.addItem(self.tr("then to step %1").replace("%1", words), step)
        self.setCurrentIndex(max(0, self.findData(chosen)))


class ReactionEditor(QWidget):
    """Edits one reaction; it is in the document as soon as it says what to do and how.

    Args:
        session: whose document.
        name: what assistive technology calls it, such as ``Below the limits``.
    """

    def __init__(self, session: Session, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._pauses = Pauses(session)
        self._at: Address | None = None
        self._shown: Reaction | None = None
        self._kept: dict[Address, tuple[Reaction | None, _Typed]] = {}
        session.unfinished.watch(self)
        self.do = self._made(Dropdown(), self.tr("%1: what to do").replace("%1", name))
        for value, words in (
            (_NONE, self.tr("not said")),
            ("repeat", self.tr("repeat the step")),
            ("recover", self.tr("put it right")),
            ("stop", self.tr("stop the job")),
        ):
            self.do.addItem(words, value)
        self.how = self._line(
            self.tr("%1: how, in one sentence").replace("%1", name), self.tr("How, in one sentence")
        )
        self.step = self._made(
            _StepChoice(session), self.tr("%1: step to go on at").replace("%1", name)
        )
        self.at_most = self._line(
            self.tr("%1: how often at most").replace("%1", name), self.tr("times")
        )
        self.problem = QLabel()
        self.problem.setProperty("severity", "error")
        self.problem.setWordWrap(True)
        self.problem.setTextFormat(Qt.TextFormat.PlainText)
        self._lay_out()
        self.do.activated.connect(self._chosen)
        self.step.activated.connect(self._write)
        self.how.textEdited.connect(self._write)
        self.at_most.textEdited.connect(self._write)
        self.at_most.setToolTip(self.tr("How often at most, before the job stops"))
        for line in (self.how, self.at_most):
            line.returnPressed.connect(self.focusNextChild)
            line.editingFinished.connect(self._end_visit)
        session.changed.connect(self._follow)
        self._tell("")

    def bind(self, at: Address | None) -> None:
        """Stand for the reaction at an address from now on, and show it."""
        if self._at is not None and self.problem.text():
            self._kept[self._at] = self._stored(), self._typed_now()
        self._at = at
        self._show()
        kept = None if at is None else self._kept.pop(at, None)
        if kept is not None and kept[0] == self._shown:
            self._show_typed(kept[1])

    def left(self) -> Iterator[Left]:
        """Yield what is chosen or typed here, or was elsewhere, and the document refused."""
        if self._at is not None and self.problem.text():
            yield Left(self._at, self._typed_now().words)
        for at, (was, typed) in self._kept.items():
            if read(self._session.procedure, at) == was:
                yield Left(at, typed.words)

    def _typed_now(self) -> _Typed:
        said = ", ".join(filter(None, (self.do.currentText(), self.how.text().strip())))
        return _Typed(
            self.do.currentData(), self.how.text(), self.step.currentData(),
            self.at_most.text(), self.problem.text(), said,
        )  # fmt: skip

    def _show_typed(self, typed: _Typed) -> None:
        self.do.setCurrentIndex(self.do.findData(typed.do))
        self.how.setText(typed.how)
        self.step.show_step(typed.step)
        self.at_most.setText(typed.at_most)
        self._fit_rows()
        self._tell(typed.problem)

    def _made(self, box: _Choice, name: str) -> _Choice:
        box.setAccessibleName(name)
        box.setSizeAdjustPolicy(Dropdown.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(3)
        Keys(self._session, box, CHOICE_KEYS, letters=True)
        return box

    def _line(self, name: str, hint: str) -> QLineEdit:
        line = QLineEdit()
        line.setAccessibleName(name)
        line.setPlaceholderText(hint)
        Keys(self._session, line, TEXT_KEYS, letters=True)
        return line

    def _lay_out(self) -> None:
        first = QHBoxLayout()
        for part, share in ((self.do, 1), (self.step, 1), (self.at_most, 0)):
            first.addWidget(part, share)
        self.at_most.setFixedWidth(self.fontMetrics().horizontalAdvance("times  ") + 24)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(first)
        column.addWidget(self.how)
        column.addWidget(self.problem)
        self.setFocusProxy(self.do)
        self.setTabOrder(self.do, self.how)
        self.setTabOrder(self.how, self.step)
        self.setTabOrder(self.step, self.at_most)

    def _chosen(self, _row: int) -> None:
        self._fit_rows()
        self._write()
        self._end_visit()
        if self.do.currentData() != _NONE and not self.how.text():
            self.how.setFocus(Qt.FocusReason.TabFocusReason)

    def _value(self) -> dict[str, Any] | None:
        """Return what is chosen and typed, as the file has it.

        Raises:
            InputError: if something is missing or wrong.
        """
        do = self.do.currentData()
        if do == _NONE:
            return None
        how = one_spaced(self.how.text())
        if not how:
            raise InputError(
                "it is not said how", remedy="Write in one sentence what is to be done"
            )
        found: dict[str, Any] = {"do": do, "how": how}
        if do != "stop":
            if self.step.currentData():
                found["step"] = self.step.currentData()
            if self.at_most.text().strip():
                found["at_most"] = whole_number(self.at_most.text().strip())
        return found

    def _write(self, *_: object) -> None:
        if self._at is None:
            return
        try:
            value = self._value()
        except InputError as error:
            self._tell(sentence(error))
            return
        merge = "/".join(map(str, self._at))
        self._pauses.write()
        self._shown = None
        said = attempt(self._session, SetField(self._at, value), merge)
        self._tell(said)
        self._shown = self._stored()

    def _end_visit(self) -> None:
        self._session.document.end_merge()

    def _stored(self) -> Reaction | None:
        found = None if self._at is None else read(self._session.procedure, self._at)
        return found if isinstance(found, Reaction) else None

    def _follow(self, _before: Procedure, _after: Procedure) -> None:
        stored = self._stored()
        if stored is not self._shown and stored != self._typed():
            self._show()

    def _typed(self) -> Reaction | None:
        try:
            value = self._value()
            return None if value is None else Reaction.model_validate(value)
        except ValueError:
            return None
        except InputError:
            return self._shown

    def _show(self) -> None:
        self._shown = reaction = self._stored()
        self.do.setCurrentIndex(self.do.findData(_NONE if reaction is None else reaction.do))
        self.how.setText("" if reaction is None else reaction.how)
        self.how.setCursorPosition(0)
        often = None if reaction is None else reaction.at_most
        self.at_most.setText("" if often is None else str(often))
        self.step.show_step(None if reaction is None else reaction.step)
        self._tell("")
        self._fit_rows()

    def _fit_rows(self) -> None:
        do = self.do.currentData()
        self.how.setVisible(do != _NONE)
        for part in (self.step, self.at_most):
            part.setVisible(do in {"repeat", "recover"})

    def _tell(self, words: str) -> None:
        self.problem.setText(words)
        self.problem.setVisible(bool(words))
        self.how.setAccessibleDescription(words)
        self.how.setProperty("wrong", bool(words))
        style = self.how.style()
        if style is not None:
            style.unpolish(self.how)
            style.polish(self.how)
