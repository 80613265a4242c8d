"""Requirements with numbers: each on a line, and the one that is open in its editor."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from author.bench.actions import Actions
from author.bench.fields import Address, Keys, read
from author.bench.views.sheet.group import Group
from author.bench.views.sheet.rows import sign_button
from author.bench.words import translate
from author.editing import RemoveEntry
from author.procedure.document import Procedure
from author.procedure.spec_entry import text_of_spec
from author.procedure.specs import LimitSpec, TorqueSpec
from author.procedure.steps import Step

if TYPE_CHECKING:
    from author.bench.session import Session
    from author.bench.views.spec_editor import SpecEditor


def _open_question(spec: LimitSpec) -> str:
    """Return the key of the first thing a requirement as a whole can be asked for."""
    if spec.instrument is None and spec.spread_of is None and not spec.reference:
        return "instrument"
    if spec.source is None:
        return "source"
    if isinstance(spec, TorqueSpec):
        return "characteristic"
    sides = {
        "below": spec.lower is not None,
        "above": spec.upper is not None,
        "undecided": spec.decision_rule == "guard_band",
    }
    missing = (side for side, can_be in sides.items() if can_be and getattr(spec, side) is None)
    return next(missing, "characteristic")


class NumbersGroup(Group):
    """Limit specs or torque specs of a step.

    Args:
        session: whose document.
        deeds: what the window can do.
        key: ``specs`` or ``torques``.
    """

    def __init__(self, session: Session, deeds: Actions, key: str) -> None:
        title = (
            translate("Sheet", "Torques")
            if key == "torques"
            else translate("Sheet", "Measurements")
        )
        super().__init__(session, title, (key,))
        self._deeds = deeds
        self._key = key
        self._specs: tuple[LimitSpec, ...] = ()
        self._lines: list[tuple[QWidget, QPushButton, QToolButton]] = []
        self._editor: SpecEditor | None = None
        session.changed.connect(self._follow)

    def make_body(self) -> QWidget:
        """Make the lines and a button for another."""
        box = QWidget()
        self._list = QVBoxLayout(box)
        self._list.setContentsMargins(0, 0, 0, 0)
        self._list.setSpacing(2)
        return box

    def bind_body(self, step: str) -> None:  # noqa: ARG002 - it is self.step, or nothing
        """Let the lines be those of a step; none is open."""
        self.open(None)
        self._sync()

    def add(self) -> None:
        """Begin another one."""
        if self.step:
            self.ask_for()
            editor = self.editor
            editor.show()
            editor.begin(self.step)

    def go_to(self, rest: Address) -> bool:
        """Open the requirement of a place, and give the keys to its field."""
        if not rest or rest[0] != self._key:
            return False
        self.ask_for()
        index = rest[1] if len(rest) > 1 else 0
        if len(rest) == 1 and self.editor.has_draft(self.step):
            self.add()
            return True
        if not isinstance(index, int) or index >= len(self._specs):
            self.add()
            return True
        self.open(self._specs[index].id)
        wanted = str(rest[2]) if len(rest) > 2 else _open_question(self._specs[index])
        if not self.editor.focus_field(wanted):
            self.editor.focus_field("characteristic")
        return True

    @property
    def editor(self) -> SpecEditor:
        """The editor under the lines; made when it is first wanted."""
        if self._editor is None:
            made = self._made_editor()
            made.added.connect(lambda at: self._mark_open(str(at[3])))
            self._list.addWidget(made)
            self._editor = made
        return self._editor

    def _made_editor(self) -> SpecEditor:
        # Its module is read when it is first wanted: the window is up sooner.
        if self._key == "torques":
            from author.bench.views.torque_editor import TorqueEditor

            return TorqueEditor(self.session, self._deeds)
        from author.bench.views.spec_editor import SpecEditor

        return SpecEditor(self.session, self._deeds)

    def has_content(self, step: Step) -> bool:
        """Whether a step has some, or one that was begun."""
        begun = self._editor is not None and self._editor.has_draft(step.id)
        return begun or super().has_content(step)

    def open(self, spec: str | None) -> None:
        """Open a requirement in the editor, or none: then one that was begun shows again."""
        if spec is None:
            if self._editor is not None:
                self._editor.edit(None)
                begun = bool(self.step) and self._editor.has_draft(self.step)
                if begun:
                    self._editor.begin(self.step, keys=False)
                self._editor.setVisible(begun)
        else:
            self.editor.edit(self.address(self._key, spec))
            self.editor.show()
        self._mark_open(spec)

    def _mark_open(self, spec: str | None) -> None:
        for each, (_, button, _) in zip(self._specs, self._lines, strict=False):
            button.setChecked(each.id == spec)

    def _follow(self, _before: Procedure, _after: Procedure) -> None:
        if self._body is not None and not self.isHidden():
            self._sync()

    def _sync(self) -> None:
        specs: Any = read(self.session.procedure, self.address(self._key)) if self.step else None
        if specs is self._specs:
            return
        self._specs = specs or ()
        while len(self._lines) < len(self._specs):
            self._lines.append(self._line(len(self._lines)))
        opened = self._editor.at if self._editor is not None else None
        for index, (box, button, out) in enumerate(self._lines):
            box.setVisible(index < len(self._specs))
            if index < len(self._specs):
                self._tell(self._specs[index], button, out)
                button.setChecked(opened is not None and opened[-1] == self._specs[index].id)
        if opened is not None and all(spec.id != opened[-1] for spec in self._specs):
            self.open(None)

    @staticmethod
    def _tell(spec: LimitSpec, button: QPushButton, out: QToolButton) -> None:
        words = f"{spec.characteristic}: {text_of_spec(spec)}"
        button.setText(words if len(words) < 64 else f"{words[:62]}…")
        button.setToolTip(words)
        button.setAccessibleName(words)
        out.setToolTip(translate("Sheet", "Remove {0}").format(spec.characteristic))
        out.setAccessibleName(out.toolTip())

    def _line(self, index: int) -> tuple[QWidget, QPushButton, QToolButton]:
        box, button = QWidget(), QPushButton()
        out = sign_button(self.session, "×", "")
        line = QHBoxLayout(box)
        line.setContentsMargins(0, 0, 0, 0)
        button.setCheckable(True)
        button.setAutoDefault(False)
        button.setStyleSheet("text-align: left;")
        button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        button.clicked.connect(lambda on: self._press(index, on=on))
        out.clicked.connect(lambda _=False: self._remove(index))
        Keys(self.session, button)
        line.addWidget(button, 1)
        line.addWidget(out)
        self._list.insertWidget(index, box)
        return box, button, out

    def _press(self, index: int, *, on: bool) -> None:
        self.open(self._specs[index].id if on else None)

    def _remove(self, index: int) -> None:
        self.session.do(RemoveEntry(self.address(self._key, self._specs[index].id)))

    def summary(self, step: Step) -> str:
        """Return how many there are."""
        count = len(getattr(step, self._key) or ())
        return str(count) if count else ""
