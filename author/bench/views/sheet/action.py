"""The action of a step, with what the rules say of its words while they are written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt, pyqtSignal
from PyQt6.QtWidgets import QLabel, QVBoxLayout, QWidget

from author.bench.field_words import in_window_words
from author.bench.fields import LongField, ProblemLabel
from author.bench.theme import follow_type
from author.bench.views.sheet.forms import give_keys
from author.bench.words import translate
from author.checks import Verdict, wording
from author.checks.remarks import Remark, Subject
from author.editing import NO_ACTION
from author.procedure.document import Procedure
from author.procedure.steps import Step

if TYPE_CHECKING:
    from author.bench.session import Session

_NO_LISTS = dict.fromkeys(
    (
        "limits_of_use", "people", "recordings", "sources", "prerequisites", "parts", "tools",
        "supplies", "stacks", "general_hazards", "chains", "close_outs", "findings", "concessions",
        "changes",
    ),
    (),
)  # fmt: skip


def said_of_action(procedure: Procedure, step: Step) -> list[Remark]:
    """Return the remarks of the rules on wording about the action of one step, at once."""
    section = procedure.sections[0].model_copy(update={"steps": (step,)})
    alone = procedure.model_copy(update={**_NO_LISTS, "sections": (section,)})
    found = wording.check(Subject(alone, {}, recordings_known=False))
    return [remark for remark in found if remark.path[4:] == ("action",)]


class ActionHelp(QLabel):
    """What the rules say of an action, one line each, with what to do about it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setAccessibleName(translate("Sheet", "Help with the wording"))
        self.hide()

    def tell(self, remarks: list[Remark]) -> None:
        """Show remarks, or nothing."""
        lines = [_line(remark) for remark in remarks]
        text = "\n".join(dict.fromkeys(lines))
        if text == self.text() and bool(text) != self.isHidden():
            return
        worst = next(
            (s for s in ("error", "warning") if any(r.rule.severity == s for r in remarks)),
            "advice",
        )
        self.setText(text)
        self.setVisible(bool(text))
        if self.property("severity") != worst:
            self.setProperty("severity", worst)
            style = self.style()
            if style is not None:
                style.unpolish(self)
                style.polish(self)


def _line(remark: Remark) -> str:
    problem = in_window_words(remark.problem, fields_first=False)
    remedy = in_window_words(remark.remedy).rstrip(".")
    return f"{problem[:1].upper()}{problem[1:]}. {remedy}."


class ActionGroup(QWidget):
    """The field for the action, always open, and the help under it.

    Args:
        session: whose document.
    """

    done = pyqtSignal()
    """The action is written."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._step: Step | None = None
        self.field = LongField(session, name=translate("Sheet", "Action"), blank=NO_ACTION)
        self.field.setPlaceholderText(
            translate("Sheet", "One action as an order, such as: Undo the axle nut.")
        )
        self.field.done.connect(self.done)
        follow_type(self.field, 1.15)
        self.help = ActionHelp()
        label = QLabel(translate("Sheet", "Act&ion"))
        label.setProperty("heading", True)
        label.setBuddy(self.field)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        for part in (label, self.field, ProblemLabel(self.field.place), self.help):
            column.addWidget(part)
        session.checked.connect(self._take_verdict)

    def show_step(self, step: Step | None) -> None:
        """Show another step, or the same one after a change."""
        before, self._step = self._step, step
        at = None if step is None else ("steps", step.id, "action")
        if at != self.field.place.at:
            self.field.place.bind(at)
            before = None
        self.field.setEnabled(step is not None)
        if step is None:
            self.help.tell([])
        elif before is None or before.action != step.action or before.hazards != step.hazards:
            self._help(step)

    def take_keys(self) -> None:
        """Let the field take the keys, behind what is written."""
        give_keys(self.field)
        cursor = self.field.textCursor()
        cursor.movePosition(cursor.MoveOperation.End)
        self.field.setTextCursor(cursor)

    def _help(self, step: Step) -> None:
        self.help.tell([*said_of_action(self._session.procedure, step), *self._other(step)])

    def _other(self, step: Step) -> list[Remark]:
        """Return what other rules said last of this action, if it is still the same."""
        verdict = self._session.verdict
        if verdict is None:
            return []
        seen = verdict.draft.procedure
        return [
            remark
            for remark in self._session.sorted.by_step.get(step.id, ())
            if remark.path[4:] == ("action",)
            and not remark.rule.id.startswith("wording.")
            and seen.sections[int(remark.path[1])].steps[int(remark.path[3])] is step
        ]

    def _take_verdict(self, _verdict: Verdict) -> None:
        if self._step is not None:
            self._help(self._step)
