"""What is proposed, as a list that is gone through: chosen, shown with what it rests on."""

from __future__ import annotations

from PyQt6.QtCore import QModelIndex, Qt, pyqtSignal
from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from author.bench.actions import Actions
from author.bench.proposing import PROPOSE, Proposing
from author.bench.session import Session
from author.bench.views.coarse_note import CoarseNote
from author.bench.views.proposal_answers import ProposalAnswers
from author.bench.views.proposal_delegate import ProposalDelegate
from author.bench.views.proposal_filter import ProposalFilter
from author.bench.views.proposal_list import RowsList, nothing_chosen, problem_of
from author.bench.views.proposal_rows import ROW, ProposalRow, Row, RowsModel, arranged, row_words
from author.bench.views.rests_on import RestsOn
from author.bench.words import capital
from author.proposals.proposal import KINDS, Proposal
from author.tasks.proposal_sheet import entry_of


class ProposalPaper(QWidget):
    """A list of proposals with a filter; after an answer the next open one is chosen.

    Args:
        session: whose document.
        deeds: what the window can do.
        proposing: what is proposed.
    """

    counted = pyqtSignal(int)
    """How many proposals are open."""
    written = pyqtSignal(str, str)
    """What a person wrote in place of a proposal: its id, the text."""

    def __init__(self, session: Session, deeds: Actions, proposing: Proposing) -> None:
        super().__init__()
        self._session = session
        self._deeds = deeds
        self._proposing = proposing
        self._changing = False
        self._failed = ""
        self.model = RowsModel()
        self.model.setParent(self)
        self._delegate = ProposalDelegate(self._entry_of, self._problem_of, self)
        self.list = RowsList(session, self.model, self._delegate, self.tr("Proposals"))
        self.filter = ProposalFilter()
        self.coarse = CoarseNote(session, deeds, proposing)
        self._says = RestsOn()
        self._says.setAccessibleName(self.tr("What the proposal rests on"))
        self._says.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._says.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._propose = QPushButton(self.tr("Propose from what is said"))
        self._stop = QPushButton(self.tr("Stop"))
        self._answers = ProposalAnswers(deeds)
        self._lay_out()
        self._connect()
        self._renew()

    # --- the parts ---

    def _lay_out(self) -> None:
        answers = QHBoxLayout()
        answers.addWidget(self._answers)
        answers.addWidget(self.filter, 1)
        self._propose.setToolTip(self._deeds["propose"].shortcut().toString())
        for button in (self._propose, self._stop):
            answers.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.coarse)
        column.addWidget(self.list, 1)
        column.addWidget(self._says)
        column.addLayout(answers)

    def _connect(self) -> None:
        proposing, jobs = self._proposing, self._session.jobs
        self._propose.clicked.connect(self._deeds["propose"].trigger)
        self._stop.clicked.connect(lambda: jobs.cancel(PROPOSE))
        jobs.started.connect(self._working)
        jobs.ended.connect(self._working)
        proposing.renewed.connect(self._renew)
        proposing.decided.connect(self._follow)
        proposing.failed.connect(self._fail)
        self.filter.changed.connect(self._look_elsewhere)
        self._delegate.written.connect(self._take_written)
        self._delegate.problem.connect(self._tell_problem)
        self._delegate.lost.connect(self._tell_lost)
        selection = self.list.selectionModel()
        assert selection is not None  # noqa: S101 - a view with a model has one
        selection.currentChanged.connect(self._go)
        self.list.clicked.connect(self._go)
        self.list.activated.connect(self._go)

    # --- going through them ---

    def chosen(self) -> Proposal | None:
        """Return the proposal that is chosen."""
        row = self.list.currentIndex().data(ROW)
        return row.proposal if isinstance(row, ProposalRow) else None

    def step(self, by: int) -> None:
        """Choose the next proposal that is open, or the one before."""
        after = self._next_open(by)
        if after is None:
            self._session.tell("good", self.tr("No proposal is open."))
        else:
            self.choose(after)

    def turn_kind(self, by: int) -> None:
        """Show what is open of the next kind that has some, from its first on."""
        self.filter.turn(by)
        self.list.setFocus()
        first = next((row.id for row in self.model.rows if self._is_wanted(row)), None)
        if first is not None:
            self.choose(first)

    def all_of_kind(self) -> tuple[str, ...]:
        """Return the open proposals of the kind of the chosen one that are shown."""
        p = self.chosen()
        names = () if p is None else self._proposing.open_of(p.kind)
        return tuple(n for n in names if self.filter.lets(self._proposing.proposal(n), "open"))

    def _next_open(self, by: int) -> str | None:
        rows, at = self.model.rows, self.list.currentIndex().row()
        at = -1 if at < 0 and by > 0 else at
        order = [(at + by * n) % len(rows) for n in range(1, len(rows) + 1)] if rows else []
        return next((rows[n].id for n in order if n != at and self._is_wanted(rows[n])), None)

    def _is_wanted(self, row: Row) -> bool:
        """Whether a line is open and of the kind gone through: no step over one that is."""
        if not isinstance(row, ProposalRow) or not self._proposing.is_open(row.id):
            return False
        return self.filter.lets(row.proposal, "open")

    def choose(self, name: str) -> None:
        """Choose a proposal, if it is shown, and go to its moment."""
        index = self.model.index(self.model.row_of(name))
        if index.isValid():
            again = index == self.list.currentIndex()
            self.list.setCurrentIndex(index)
            if again:  # it came to be the chosen one when others went
                self.list.scrollTo(index)
                self._go(index)

    # --- changing in place ---

    def change(self) -> None:
        """Have the chosen proposal written anew in its place."""
        self.list.scrollTo(self.list.currentIndex())
        self.list.edit(self.list.currentIndex())

    @property
    def is_changing(self) -> bool:
        """Whether a proposal is being written anew."""
        return self._delegate.is_editing

    def take_written(self) -> None:
        """Take what is being written, as Enter does."""
        self._delegate.take()

    def leave_written(self) -> None:
        """Leave the proposal as it was, as Esc does."""
        self._delegate.leave()

    def _entry_of(self, name: str) -> str:
        return entry_of(self._proposing.proposal(name))

    def _problem_of(self, name: str, text: str) -> str:
        return problem_of(self._proposing.proposal(name), text)

    def _take_written(self, name: str, text: str) -> None:
        self.list.setFocus()
        self.written.emit(name, text)

    def _tell_lost(self) -> None:
        words = self.tr("What was written is not taken: the proposal is as it was.")
        self._session.tell("warning", words)

    def _tell_problem(self, words: str) -> None:
        self._says.setProperty("severity", "error" if words else None)
        style = self._says.style()
        if style is not None:
            style.polish(self._says)
        if words:
            self._says.say(capital(words))
        else:
            self._tell()

    # --- showing ---

    def _working(self, name: str) -> None:
        if name == PROPOSE:
            self._failed = ""
            busy = self._session.jobs.is_running(PROPOSE)
            if self._propose.hasFocus() or self._stop.hasFocus():
                self.list.setFocus()  # a button that goes would give the keys to what is beside it
            self._stop.setVisible(busy)
            self._propose.setVisible(not busy and not self.model.rows)
            self._tell()

    def _fail(self, words: str) -> None:
        self._failed = words
        self._tell()

    def _renew(self) -> None:
        """Show other proposals."""
        self._count()
        self._filter()
        if self.model.rows and not self.list.currentIndex().isValid():
            self.step(1)
        self._working(PROPOSE)

    def _follow(self, names: frozenset[str]) -> None:
        """Show what is said to some proposals by now, and go on to the next that is open.

        The list goes on, the job sheet stays with the step that what was accepted is in.
        """
        was, at = self.chosen(), self.list.currentIndex().row()
        before = [row.id for row in self.model.rows]
        self._count()
        self._filter()
        opened = [name for name in names if self._proposing.is_open(name)]
        if opened:
            shown = (row for row in self.model.rows if isinstance(row, ProposalRow))
            rows = [row for row in shown if row.id in opened]
            # A step came along with what was chosen, unless only steps are open again.
            rows.sort(key=lambda row: (not self._is_wanted(row), row.proposal.kind == "step"))
            self.choose(rows[0].id if rows else opened[0])
        elif was is not None and was.id in names:
            if self._proposing.decision(was.id).say != "refuse":
                self._session.choose_step(self._proposing.host_of(was.id) or self._session.step)
            there = {row.id for row in self.model.rows if self._is_wanted(row)}
            after = next((name for name in before[at:] + before[:at] if name in there), None)
            if after is not None:
                self.choose(after)

    def _count(self) -> None:
        """Say how many are open, in all and of each kind."""
        present = {p.kind for p in self._proposing.proposals}
        counts = {kind: len(self._proposing.open_of(kind)) for kind in KINDS if kind in present}
        self.filter.count(counts)
        self.counted.emit(sum(counts.values()))

    def _look_elsewhere(self, *_: object) -> None:
        """Show other proposals of those there are, and choose one."""
        self._filter()
        if self.model.rows and not self.list.currentIndex().isValid():
            self.choose(self._next_open(1) or self.model.rows[0].id)

    def _filter(self) -> None:
        """Show the proposals of the kind and the answers that are chosen."""
        proposing = self._proposing
        rows = arranged(
            proposing.proposals,
            proposing.decision,
            lambda p: self.filter.lets(p, proposing.decision(p.id).say),
        )
        self._changing = True
        self.model.become(rows)
        self._changing = False
        self._tell()

    def _go(self, index: QModelIndex, *_: object) -> None:
        """Go to the moment of the line that is chosen."""
        if self._changing:  # lines that come and go were chosen by nobody
            return
        row = index.data(ROW)
        self._tell()
        films = self._session.films
        if isinstance(row, ProposalRow) and films.path(row.proposal.recording) is not None:
            films.show_at(row.proposal.start, row.proposal.recording, patient=True)

    def _tell(self) -> None:
        """Say all that the chosen proposal rests on."""
        row = self.list.currentIndex().data(ROW)
        there = isinstance(row, ProposalRow)
        self._answers.show_for(bool(self._proposing.proposals), there)
        if isinstance(row, ProposalRow):
            self._says.say_all(row_words(row))
        else:
            busy = self._session.jobs.is_running(PROPOSE)
            self._says.say(self._failed or nothing_chosen(self._proposing, self._deeds, busy))
