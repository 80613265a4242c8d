"""The job sheet of the chosen step: all that belongs to it, on one page.

The action stands open at the top. Under it are the groups that have something in them; the
others are reached by their key or by "Add …". Choosing another step binds the same fields
anew: no widget is made twice.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt, QTimer
from PyQt6.QtGui import QAction
from PyQt6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from author.bench.actions import Actions
from author.bench.fields import Keys, shown_text
from author.bench.views.hazard_picker import common_hazards
from author.bench.views.paper import Paper
from author.bench.views.sheet import plain
from author.bench.views.sheet.action import ActionGroup
from author.bench.views.sheet.group import Group
from author.bench.views.sheet.hazards import HazardsGroup
from author.bench.views.sheet.movements import MovementsGroup
from author.bench.views.sheet.naming import name_after_action
from author.bench.views.sheet.numbers import NumbersGroup
from author.bench.views.sheet.points import CriteriaGroup, CriticalPointsGroup, WitnessGroup
from author.bench.views.sheet.uses import UsesGroup
from author.bench.views.sheet.ways import DecisionGroup, LadderGroup
from author.bench.words import translate
from author.editing import Address, path_of
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.steps import Step

if TYPE_CHECKING:
    from author.bench.session import Session

_WARM_EVERY = 40
"""Milliseconds between the makings of groups that are not seen yet."""


class StepSheet(QWidget):
    """Shows and changes the chosen step.

    Args:
        session: whose document.
        deeds: what the window can do.
    """

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._deeds = deeds
        self._papers: dict[str, Paper] = {}
        self.setAccessibleName(self.tr("Job sheet of the step"))
        self.action = ActionGroup(session)
        self.hazards = HazardsGroup(session)
        self.movements = MovementsGroup(session)
        self.uses = UsesGroup(session)
        self.specs = NumbersGroup(session, deeds, "specs")
        self.torques = NumbersGroup(session, deeds, "torques")
        self.criteria = CriteriaGroup(session)
        self.critical_points = CriticalPointsGroup(session)
        self.witness = WitnessGroup(session)
        self.ladder = LadderGroup(session)
        self.decision = DecisionGroup(session)
        self.groups: tuple[Group, ...] = (
            self.hazards,
            plain.reason(session),
            plain.people(session),
            self.movements,
            self.uses,
            self.specs,
            self.torques,
            self.critical_points,
            self.criteria,
            self.witness,
            self.ladder,
            self.decision,
            plain.goes_to(session),
            plain.not_filmed(session),
            plain.note(session),
        )
        self._lay_out()
        self._connect()
        self._show()
        self._warming = QTimer(self)
        self._warming.setInterval(_WARM_EVERY)
        self._warming.timeout.connect(self._warm)
        self._warming.start()

    def _lay_out(self) -> None:
        self._heading = QLabel()
        self._heading.setTextFormat(Qt.TextFormat.PlainText)
        self._heading.setProperty("heading", True)
        self._add = QPushButton(translate("Sheet", "A&dd to the step …"))
        self._add.setToolTip(translate("Sheet", "Alt+D; most of it has a key of its own"))
        menu = QMenu(self._add)
        menu.aboutToShow.connect(self.fill_menu)
        self.menu = menu
        self._add.setMenu(menu)
        Keys(self._session, self._add)
        page = QWidget()
        self._page = QVBoxLayout(page)
        self._page.setContentsMargins(8, 4, 8, 8)
        self._page.setSpacing(4)
        self._page.addWidget(self.action)
        for group in self.groups:
            group.hide()
            self._page.addWidget(group)
        self._page.addStretch(1)
        self._scroll = QScrollArea()
        self._scroll.setWidget(page)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        head = QHBoxLayout()
        head.setContentsMargins(8, 4, 8, 0)
        head.addWidget(self._heading, 1)
        head.addWidget(self._add)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(head)
        column.addWidget(self._scroll, 1)
        # The keys go down the page first, then to the button above it.
        QWidget.setTabOrder(self._scroll, self._add)

    def _connect(self) -> None:
        deeds, session = self._deeds, self._session
        pairs: tuple[tuple[str, Callable[[], object]], ...] = (
            ("write_action", self.write_action),
            ("hazard", lambda: self.hazards.pick(self)),
            ("comes_off", lambda: self.movements.pick(self, "off")),
            ("goes_on", lambda: self.movements.pick(self, "on")),
            ("uses", lambda: self.uses.pick(self)),
            ("measurement", self.specs.add),
            ("torque", self.torques.add),
            ("criterion", self.criteria.add),
            ("critical_point", self.critical_points.add),
            ("decision", self.decision.add),
            ("front", lambda: self.paper("front").open_paper()),
            ("lists", lambda: self.paper("lists").open_paper()),
        )
        for name, deed in pairs:
            deeds[name].triggered.connect(lambda _=False, deed=deed: deed())
        self.action.done.connect(self._deeds["to_film"].trigger)
        self.action.field.left.connect(lambda: name_after_action(session))
        session.step_chosen.connect(self._show)
        session.changed.connect(self._follow)
        session.place_wanted.connect(self.show_place)
        session.place_shown.connect(self._see_place)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._keep_in_sight)

    # --- deeds ---

    def write_action(self) -> None:
        """Give the keys to the action."""
        self._scroll.ensureWidgetVisible(self.action)
        self.action.take_keys()

    def paper(self, which: str) -> Paper:
        """Return the window for the front matter or the lists; made when it is first wanted."""
        if which not in self._papers:
            made = self._papers[which] = self._made_paper(which)
            made.addActions([self._deeds[name] for name in _IN_PAPERS])
        return self._papers[which]

    def _made_paper(self, which: str) -> Paper:
        # Their modules are read when they are first wanted: the window is up sooner.
        if which == "front":
            from author.bench.views.front_matter import FrontMatter

            return FrontMatter(self._session, self.window())
        from author.bench.views.list_editor import ListEditor

        return ListEditor(self._session, self.window())

    def show_place(self, path: tuple[str | int, ...]) -> None:
        """Open the group a place lies in, and give the keys to its field.

        Args:
            path: a path or an address of the document; one in the front matter or in a
                list opens the window for it, one in another step is for others.
        """
        try:
            found = path_of(self._session.procedure, path)
        except InputError:
            return
        placed = self._session.placed()
        if found[:1] != ("sections",):
            self._show_paper(found)
        if placed is None or found[:4] != placed.path:
            return
        for paper in self._papers.values():
            paper.make_room()
        bench = self.window()
        if bench is not None and not bench.isActiveWindow():
            bench.activateWindow()  # asked for from a window beside it
        rest = found[4:]
        if not rest or rest[0] in {"action", "id"}:
            self.write_action()
            return
        for group in self.groups:
            if group.go_to(rest):
                # What was opened for it has its place only when it was laid out.
                QTimer.singleShot(0, self._see_keys)
                return

    def _see_place(self, place: Address) -> None:
        """Scroll to the group that a place of the chosen step lies in."""
        group = next((each for each in self.groups if place[2:3] and place[2] in each.keys), None)
        if group is not None and group.isVisible():
            # What came with a change has its place only when it was laid out.
            QTimer.singleShot(0, lambda: self._scroll.ensureWidgetVisible(group, 8, 4))

    def _see_keys(self) -> None:
        """Scroll to what has the keys, with all that is to be seen with it if there is room."""
        page, now = self._scroll.widget(), QApplication.focusWidget()
        if now is None or page is None or not page.isAncestorOf(now):
            return
        port = self._scroll.viewport()
        each = now.parentWidget()
        while each is not None and each is not page:
            if each.property("whole") and port is not None and each.height() <= port.height():
                self._scroll.ensureWidgetVisible(each, 8, 4)
            each = each.parentWidget()
        self._scroll.ensureWidgetVisible(now, 8, 24)

    def _show_paper(self, path: tuple[str | int, ...]) -> None:
        for which in ("front", "lists"):
            if self.paper(which).show_place(path):
                return

    # --- showing ---

    def _follow(self, before: Procedure, after: Procedure) -> None:
        if before is not after and not self._stands(before, after):
            self._show()

    def _stands(self, before: Procedure, after: Procedure) -> bool:
        """Whether a change of other steps alone leaves the sheet as it is.

        Where a step is marked the sheet of the next one is shown at once: showing the old one
        once more before it would be half of the work.
        """
        placed = self._session.placed()
        now = None if placed is None else (placed.step, placed.number, placed.section.title)
        same = now is not None and self._showed is not None and now[0] is self._showed[0]
        return (
            same
            and now == self._showed
            and all(
                getattr(before, key) is getattr(after, key)
                for key in type(after).model_fields
                if key != "sections"
            )
        )

    def _show(self, _step: str = "") -> None:
        placed = self._session.placed()
        step = None if placed is None else placed.step
        self._showed = None
        if placed is not None:
            self._showed = placed.step, placed.number, placed.section.title
        if placed is None:
            self._heading.setText(self.tr("No step is chosen"))
        else:
            self._heading.setText(
                self.tr("Step %1 · %2")
                .replace("%1", str(placed.number))
                .replace("%2", _shown_title(placed.section.title))
            )
        moved = step is not None and step.id != self.action_step
        self._add.setEnabled(step is not None)
        self.action.show_step(step)
        for group in self.groups:
            group.show_step(step)
        if moved:
            bar = self._scroll.verticalScrollBar()
            if bar is not None:
                bar.setValue(0)
        self.action_step = "" if step is None else step.id

    def _warm(self) -> None:
        """Make one group or window that nobody has seen yet, so that nobody has to wait for it."""
        if any(group.warm() for group in self.groups):
            return
        cold = next((each for each in ("front", "lists") if each not in self._papers), None)
        if cold is not None:
            self.paper(cold)
            return
        common_hazards()
        self._warming.stop()

    _showed: tuple[Step, int, str] | None = None
    action_step = ""
    """Id of the step that is shown."""

    def fill_menu(self) -> None:
        """Name all that can be added, with the keys for it."""
        self.menu.clear()
        for group in self.groups:
            if isinstance(group, MovementsGroup):
                self._entry(
                    translate("Sheet", "What comes off"),
                    lambda: self.movements.pick(self, "off"),
                    "comes_off",
                )
                self._entry(
                    translate("Sheet", "What goes on"),
                    lambda: self.movements.pick(self, "on"),
                    "goes_on",
                )
                continue
            deed = _KEYS_OF.get(group.keys[0], "")
            if isinstance(group, HazardsGroup):
                self._entry(group.title, lambda: self.hazards.pick(self), deed)
            elif isinstance(group, UsesGroup):
                self._entry(group.title, lambda: self.uses.pick(self), deed)
            else:
                self._entry(group.title, group.add, deed)

    def _entry(self, words: str, deed: Callable[[], object], name: str) -> None:
        """Add a line to the menu, its key beside it; the key itself is the window's."""
        keys = self._deeds[name].shortcut().toString() if name else ""
        entry = QAction(f"{words}\t{keys}" if keys else words, self.menu)
        entry.triggered.connect(lambda _=False: deed())
        self.menu.addAction(entry)

    def _keep_in_sight(self, _old: QWidget | None, now: QWidget | None) -> None:
        page = self._scroll.widget()
        if now is not None and page is not None and page.isAncestorOf(now):
            self._scroll.ensureWidgetVisible(now, 8, 24)
            # What has just come up beside it has its place only when it was laid out.
            QTimer.singleShot(0, self._see_keys)


_IN_PAPERS = ("next_remark", "previous_remark", "save", "undo", "redo", "close_beside")
"""Deeds whose keys do the same in the windows beside the bench."""
_KEYS_OF = {
    "hazards": "hazard",
    "tools": "uses",
    "specs": "measurement",
    "torques": "torque",
    "criteria": "criterion",
    "critical_points": "critical_point",
    "decision": "decision",
}


def _shown_title(title: str) -> str:
    return shown_text(title) or translate("Sheet", "section without a title")
