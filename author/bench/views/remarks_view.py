"""What the rules remark: grouped by how much it matters, one press to the place."""

from __future__ import annotations

from PyQt6.QtCore import QModelIndex, Qt
from PyQt6.QtWidgets import QTreeView, QVBoxLayout, QWidget

from author.bench.actions import Actions
from author.bench.remark_order import Gone, gone_to, next_remark
from author.bench.remark_sorting import NOTHING_SAID
from author.bench.session import Session
from author.bench.views.labels import WrappedLabel
from author.bench.views.remark_rows import RemarkModel
from author.bench.views.step_marks import film_to_step
from author.checks import Remark

# What a remark on a whole entry asks for.
_FIELDS = {
    "instruments.none": "instrument",
    "ledger.order_if": "order_if",
    "limits.no_source": "source",
    "review.no_source": "source",
}


class RemarksView(QWidget):
    """A list of remarks; under it why, where it comes from and what to do."""

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._lines = NOTHING_SAID.list
        self._last: Gone | None = None
        # What is to be shown and is not yet: a list that nobody sees is not filled.
        self._waiting = False
        self._rows = RemarkModel(session.procedure, self)
        self._list = QTreeView()
        self._list.setModel(self._rows)
        self._list.setHeaderHidden(True)
        self._list.setRootIsDecorated(False)
        self._list.setUniformRowHeights(True)
        self._list.setIndentation(12)
        self._list.setExpandsOnDoubleClick(False)
        self._list.setAccessibleName(self.tr("Remarks"))
        self._remedy = WrappedLabel()
        self._remedy.setAccessibleName(self.tr("What to do"))
        self._remedy.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._list, 1)
        column.addWidget(self._remedy)
        chosen = self._list.selectionModel()
        assert chosen is not None  # noqa: S101 - it has a model
        chosen.currentChanged.connect(lambda index, _: self._tell(index))
        self._list.activated.connect(self._go)
        self._list.clicked.connect(self._click)
        deeds["next_remark"].triggered.connect(lambda: self.step(1))
        deeds["previous_remark"].triggered.connect(lambda: self.step(-1))
        session.checked.connect(self._take)
        self._take_none()

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """The remarks shown, as they stand in the list."""
        return self._lines.remarks

    def chosen(self) -> Remark | None:
        """Return the remark that is chosen."""
        self._fill()
        line = self._rows.line(self._list.currentIndex())
        return None if line is None else line.remark

    def step(self, by: int) -> None:
        """Choose the next remark, or the one before, and go to its place."""
        self._fill()
        if not self.remarks:
            self._session.tell("good", self.tr("There is nothing to remark."))
            return
        chosen = self.chosen()
        if chosen is not None and (self._last is None or chosen != self._last.remark):
            # One was chosen in the list by hand meanwhile.
            self._last = gone_to(self._session.procedure, chosen)
        at = next_remark(self._session.procedure, self.remarks, self._last, by)
        index = self._rows.place_of(self.remarks[at])
        self._list.setCurrentIndex(index)
        self._go(index)

    def _take_none(self) -> None:
        self._remedy.setText(self.tr("The rules are being asked …"))

    def _take(self) -> None:
        lines = self._session.sorted.list
        if lines is not self._lines or not lines.lines:
            self._lines, self._waiting = lines, True
            if self.isVisible():
                self._fill()

    def showEvent(self, event: object) -> None:  # noqa: ARG002
        """Fill the list when it comes to the top."""
        self._fill()

    def _fill(self) -> None:
        if not self._waiting:
            return
        before = self._rows.line(self._list.currentIndex())
        self._waiting = False
        self._rows.show(self._session.procedure, self._lines)
        for heading in self._rows.headings():
            self._list.expand(heading)
        if before is not None and before.remark is not None:
            self._list.setCurrentIndex(self._rows.place_of(before.remark))
        self._tell(self._list.currentIndex())
        if not self.remarks:
            self._remedy.setText(self.tr("The rules have nothing to remark."))

    def _tell(self, index: QModelIndex) -> None:
        line = self._rows.line(index)
        remark = None if line is None else line.remark or line.about
        if remark is None:
            self._remedy.setText(self.tr("Press Enter on a remark to go to its place."))
        else:
            self._remedy.setText(
                f"{_sentence(self._rows.words.remedy(remark))}\n"
                f"{_sentence(remark.rule.why)} ({remark.rule.source})"
            )

    def _click(self, index: QModelIndex) -> None:
        """Go to the place of a line; one that stands for several opens and closes."""
        line = self._rows.line(index)
        if line is not None and line.about is not None and self._list.isExpanded(index):
            self._list.collapse(index)
        else:
            self._go(index)

    def _go(self, index: QModelIndex) -> None:
        line = self._rows.line(index)
        if line is None:
            return
        if line.about is not None:
            self._list.expand(index)
            self._tell(index)
        remark = line.remark
        if remark is not None:
            # Stepping goes on from here, whatever was mended since.
            self._last = gone_to(self._session.procedure, remark)
            self._tell(index)
            words = self._rows.words
            said = f"{_sentence(words.problem(remark))} {_sentence(words.remedy(remark))}"
            key = _FIELDS.get(remark.rule.id)
            self._session.go_to(remark.path if key is None else (*remark.path, key))
            if remark.path[:1] == ("sections",):
                film_to_step(self._session)
            # The place may lie where this list is covered.
            self._session.tell(remark.rule.severity, said)


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else f"{text}."
