"""The outline of the job: sections and steps, to be chosen, moved, marked, split and joined."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt6.QtCore import QItemSelectionModel, QModelIndex, Qt
from PyQt6.QtGui import QDropEvent, QKeyEvent
from PyQt6.QtWidgets import QAbstractItemView, QApplication, QListView, QVBoxLayout, QWidget

from author.bench.actions import Actions
from author.bench.stills import is_whole_film, span_of, take_best
from author.bench.views.step_marks import StepMarks, film_to_step
from author.bench.views.steps_delegate import StepsDelegate
from author.bench.views.steps_model import ROW, OutlineRow, StepsModel
from author.checks.wording import UNWRITTEN
from author.editing import (
    JoinSteps,
    MoveSteps,
    RemoveSteps,
    SplitSection,
    SplitStep,
    one_down,
    one_up,
    path_of,
)
from author.errors import InputError
from author.procedure.document import Procedure

if TYPE_CHECKING:
    from author.bench.session import Session


class Outline(QListView):
    """The list itself: Enter opens what is chosen."""

    def __init__(self, entered: Callable[[], None], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._entered = entered
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)
        self.setDropIndicatorShown(True)
        self.setEditTriggers(QAbstractItemView.EditTrigger.DoubleClicked)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        self.setUniformItemSizes(True)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Take Enter."""
        typing = self.state() == QAbstractItemView.State.EditingState
        if (
            event is not None
            and not typing
            and event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}
        ):
            self._entered()
            return
        super().keyPressEvent(event)

    def scrollTo(
        self,
        index: QModelIndex,
        hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible,
    ) -> None:
        """Let a line be seen, but for while a button is pressed: the hand means what it is on."""
        if QApplication.mouseButtons() == Qt.MouseButton.NoButton:
            super().scrollTo(index, hint)

    def dropEvent(self, event: QDropEvent | None) -> None:
        """Move what is dropped to between two lines.

        The list's own way moves single rows, and gives up where one of several stays.
        """
        model = self.model()
        if event is None or model is None:
            return
        where = event.position().toPoint()
        index = self.indexAt(where)
        row = index.row() if index.isValid() else model.rowCount()
        if index.isValid() and where.y() > self.visualRect(index).center().y():
            row += 1
        model.dropMimeData(event.mimeData(), Qt.DropAction.MoveAction, row, 0, QModelIndex())
        self.setState(QAbstractItemView.State.NoState)
        event.setDropAction(Qt.DropAction.IgnoreAction)
        event.accept()


class StepsView(QWidget):
    """Shows the outline and does what is done to whole steps.

    Args:
        session: whose document.
        deeds: what the window can do.
    """

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._deeds = deeds
        self._following = False
        self._film_stands = False
        self.model = StepsModel(session)
        self.model.setParent(self)
        self.list = Outline(self._enter)
        self.list.setModel(self.model)
        self.list.setItemDelegate(StepsDelegate(self.list))
        self.list.setAccessibleName(self.tr("Steps of the job"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.list)
        self.setFocusProxy(self.list)
        self.marks = StepMarks(session, deeds, self)
        self._connect()
        self._choose(session.step)

    def _connect(self) -> None:
        deeds = self._deeds
        pairs: tuple[tuple[str, Callable[[], object]], ...] = (
            ("step_before", lambda: self._go(-1)),
            ("step_after", lambda: self._go(1)),
            ("step_up", self.move_up),
            ("step_down", self.move_down),
            ("split", self.split),
            ("join", self.join),
            ("section", self.begin_section),
            ("remove_step", self.remove),
        )
        for name, deed in pairs:
            deeds[name].triggered.connect(lambda _=False, deed=deed: deed())
        selection = self.list.selectionModel()
        assert selection is not None  # noqa: S101 - a view with a model has one
        self._selection = selection
        selection.currentChanged.connect(self._current_changed)
        self.list.clicked.connect(self._clicked)
        self._session.step_chosen.connect(self._choose)
        self._session.films.indexed.connect(self._begin)
        self._session.changed.connect(self._follow)
        self._session.place_wanted.connect(self._show_place)

    # --- choosing ---

    def chosen_steps(self) -> tuple[str, ...]:
        """Return the steps that are chosen in the list, in their order; else the one shown."""
        rows = sorted(index.row() for index in self._selection.selectedRows())
        steps = tuple(self.model.rows[at].id for at in rows if not self.model.rows[at].is_section)
        if self._session.step in steps:
            return steps
        return (self._session.step,) if self._session.step else ()

    def _current(self) -> OutlineRow | None:
        row = self.list.currentIndex().data(ROW)
        return row if isinstance(row, OutlineRow) else None

    def _current_changed(self, now: QModelIndex, _before: QModelIndex) -> None:
        row = now.data(ROW)
        if self._following or self.model.changing:
            return
        if isinstance(row, OutlineRow) and not row.is_section:
            self._session.choose_step(row.id)
            film_to_step(self._session)

    def _begin(self, recording: str) -> None:
        """Let the film stand at the chosen step from the beginning, as soon as it reaches there."""
        placed, films = self._session.placed(), self._session.films
        span = span_of(placed)
        if self._film_stands or placed is None or span is None or span.recording != recording:
            return
        reached = films.start_of(films.count(recording), recording)
        if reached < span.end and not films.is_exact(recording):
            return
        self._film_stands = True
        # Whoever has moved the film already, or begins with a whole one, sees what is there.
        if films.frame == 0 and not is_whole_film(films, span):
            film_to_step(self._session)

    def _clicked(self, index: QModelIndex) -> None:
        """Let the film go to the step clicked, and the light stay on the one that is shown."""
        row = index.data(ROW)
        if not isinstance(row, OutlineRow) or row.is_section:
            return
        if row.id == self._session.step:
            film_to_step(self._session)
        shown = self.model.index(self.model.row_of(self._session.step))
        if shown.isValid() and not self._selection.isSelected(shown):
            flag = QItemSelectionModel.SelectionFlag
            self._selection.select(shown, flag.Select | flag.Rows)

    def _choose(self, step: str) -> None:
        """Let the list show the step that was chosen."""
        at = self.model.row_of(step)
        if at < 0:
            return
        index = self.model.index(at)
        if self.list.currentIndex().row() != at or not self._selection.isSelected(index):
            flag = QItemSelectionModel.SelectionFlag
            self._following = True
            self._selection.setCurrentIndex(index, flag.ClearAndSelect | flag.Rows)
            self._following = False
        # Its neighbours are seen as well.
        for row in (at + 1, at - 1, at):
            if 0 <= row < self.model.rowCount():
                self.list.scrollTo(self.model.index(row))

    def _follow(self, before: Procedure, after: Procedure) -> None:
        if before.sections is after.sections:
            return
        row = self._current()
        if row is None or row.id != self._session.step or not self._selection.hasSelection():
            self._choose(self._session.step)

    def _go(self, by: int) -> None:
        order = [placed.step.id for placed in self._session.procedure.placed_steps()]
        step = self._session.step
        at = order.index(step) + by if step in order else 0
        if 0 <= at < len(order):
            self._session.choose_step(order[at])
            film_to_step(self._session)

    def _enter(self) -> None:
        row = self._current()
        if row is not None and row.is_section:
            self.list.edit(self.list.currentIndex())
        else:
            self._deeds["write_action"].trigger()

    def _show_place(self, path: tuple[str | int, ...]) -> None:
        """Show a section; what lies in a step is for its sheet."""
        if len(path) not in {2, 3} or path[0] != "sections":
            return
        try:
            found = path_of(self._session.procedure, path)
        except InputError:
            return
        section = self._session.procedure.sections[int(found[1])].id
        self.rename_section(section)

    # --- moving ---

    def move_up(self) -> None:
        """Move the chosen steps one place up, also into the section above."""
        self._move(one_up, self.tr("They are the first already"))

    def move_down(self) -> None:
        """Move the chosen steps one place down, also into the section below."""
        self._move(one_down, self.tr("They are the last already"))

    def _move(
        self, find: Callable[[Procedure, tuple[str, ...]], MoveSteps | None], no: str
    ) -> None:
        steps = self.chosen_steps()
        if not steps:
            return
        command = find(self._session.procedure, steps)
        if command is None:
            self._session.tell("advice", no)
        elif self._session.do(command):
            self._select(steps)

    def _select(self, steps: tuple[str, ...]) -> None:
        """Choose steps again whose rows were moved."""
        flag = QItemSelectionModel.SelectionFlag
        self._choose(self._session.step)
        for step in steps:
            at = self.model.row_of(step)
            if at >= 0:
                self._selection.select(self.model.index(at), flag.Select | flag.Rows)

    # --- making one of two, and two of one ---

    def split(self) -> None:
        """Divide the chosen step at the frame that is shown; the second half is written next."""
        placed = self._session.placed()
        if placed is None:
            return
        session = self._session
        with session.document.gesture(self.tr("Split step %1").replace("%1", str(placed.number))):
            if not session.do(SplitStep(placed.step.id, session.films.moment)):
                return
            order = [one.step.id for one in session.procedure.placed_steps()]
            behind = order[order.index(placed.step.id) + 1]
            for step in (placed.step.id, behind):
                take_best(session, step)
        session.choose_step(behind)
        self._deeds["write_action"].trigger()

    def join(self) -> None:
        """Join the chosen step with the next one."""
        if self._session.step:
            self._session.do(JoinSteps(self._session.step))

    def begin_section(self) -> None:
        """Begin a section with the chosen step, and write its title."""
        placed = self._session.placed()
        if placed is None:
            return
        if placed.step_index == 0:
            self.rename_section(placed.section.id)
            return
        title = f"{UNWRITTEN} title of the section"
        if self._session.do(SplitSection(placed.step.id, title)):
            now = self._session.placed()
            if now is not None:
                self.rename_section(now.section.id)

    def rename_section(self, section: str) -> None:
        """Write the title of a section in its line."""
        at = self.model.row_of(section, section=True)
        if at >= 0:
            index = self.model.index(at)
            self.list.setFocus(Qt.FocusReason.OtherFocusReason)
            self.list.scrollTo(index)
            self.list.edit(index)

    def remove(self) -> None:
        """Remove the chosen steps."""
        steps = self.chosen_steps()
        first = self._session.placed(steps[0]) if steps else None
        if first is not None and self._session.do(RemoveSteps(steps)):
            one = self.tr("Step %1 is removed; undo brings it back.")
            words = (
                one
                if len(steps) == 1
                else self.tr("%n steps are removed; undo brings them back.", "", len(steps))
            )
            self._session.tell("advice", words.replace("%1", str(first.number)))
