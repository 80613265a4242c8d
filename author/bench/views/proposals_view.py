"""What is proposed from what was said, to be accepted, changed or refused; and what is not said."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PyQt6.QtCore import QModelIndex, Qt, QTimer
from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QTabWidget, QVBoxLayout, QWidget

from author.bench.actions import Actions
from author.bench.proposing import PROPOSE, Proposing
from author.bench.session import Session
from author.bench.views.coarse_note import CoarseNote
from author.bench.views.labels import WrappedLabel
from author.bench.views.proposal_answers import ProposalAnswers
from author.bench.views.proposal_delegate import ProposalDelegate
from author.bench.views.proposal_filter import ProposalFilter
from author.bench.views.proposal_list import (
    RowsList,
    nothing_chosen,
    problem_of,
    put_in,
    step_wanted_too,
    with_their_steps,
)
from author.bench.views.proposal_rows import ROW, ProposalRow, Row, RowsModel, arranged, row_words
from author.bench.views.question_paper import QuestionPaper
from author.proposals.draft.changes import Changed
from author.proposals.proposal import KINDS, Proposal
from author.tasks.proposal_sheet import change_of, entry_of

_QUESTIONS = 1
"""Where the tab with the questions stands."""
_LINES = 4
"""Lines kept free for what a proposal rests on, so that the list stands still."""


class ProposalsView(QWidget):
    """A list of proposals with a filter; beside it, on a tab, the questions."""

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._deeds = deeds
        self._begun = False
        self._changing = False
        self._failed = ""
        self.proposing = Proposing(session, self)
        self.model = RowsModel()
        self.model.setParent(self)
        self._delegate = ProposalDelegate(self._entry_of, self._problem_of, self)
        self.list = RowsList(session, self.model, self._delegate, self.tr("Proposals"))
        self.questions = QuestionPaper(session, deeds, self.proposing)
        self.filter = ProposalFilter()
        self.coarse = CoarseNote(session, deeds, self.proposing)
        self._says = WrappedLabel()
        self._says.setAccessibleName(self.tr("What the proposal rests on"))
        self._says.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._says.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        self._says.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._says.setIndent(4)
        self._says.setMinimumHeight(_LINES * self._says.fontMetrics().lineSpacing())
        self._propose = QPushButton(self.tr("Propose from what is said"))
        self._stop = QPushButton(self.tr("Stop"))
        self._answers = ProposalAnswers(deeds)
        self._tabs = QTabWidget()
        self._lay_out()
        self._connect()
        self._renew()
        self._count_questions()

    # --- the parts ---

    def _lay_out(self) -> None:
        answers = QHBoxLayout()
        answers.addWidget(self._answers)
        answers.addWidget(self.filter, 1)
        self._propose.setToolTip(self._deeds["propose"].shortcut().toString())
        for button in (self._propose, self._stop):
            answers.addWidget(button)
        proposed = QWidget()
        column = QVBoxLayout(proposed)
        column.setContentsMargins(0, 2, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.coarse)
        column.addWidget(self.list, 1)
        column.addWidget(self._says)
        column.addLayout(answers)
        self._tabs.setDocumentMode(True)
        self._tabs.setAccessibleName(self.tr("Proposals and questions"))
        self._tabs.addTab(proposed, "")
        self._tabs.addTab(self.questions, "")
        self._tabs.setCornerWidget(self.filter.states)
        self._tabs.currentChanged.connect(lambda tab: self.filter.states.setVisible(not tab))
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._tabs)

    def _connect(self) -> None:
        deeds, proposing = self._deeds, self.proposing
        pairs: tuple[tuple[str, Callable[[], object]], ...] = (
            ("propose", self.propose),
            ("accept_proposal", lambda: self._if_on_top(self.accept)),
            ("change_proposal", lambda: self._if_on_top(self.change)),
            ("refuse_proposal", lambda: self._if_on_top(self.refuse)),
            ("accept_kind", lambda: self._if_on_top(self.accept_kind)),
            ("refuse_kind", lambda: self._if_on_top(self.refuse_kind)),
            ("next_proposal", lambda: self._if_on_top(lambda: self.step(1))),
            ("previous_proposal", lambda: self._if_on_top(lambda: self.step(-1))),
            ("next_kind", lambda: self._if_on_top(lambda: self.turn_kind(1))),
            ("previous_kind", lambda: self._if_on_top(lambda: self.turn_kind(-1))),
            ("answer_question", lambda: self._if_on_top(self.questions.answer, _QUESTIONS)),
            ("show_proposals", lambda: QTimer.singleShot(0, self._take_keys)),
        )
        for name, deed in pairs:
            deeds[name].triggered.connect(lambda _=False, deed=deed: deed())
        self._propose.clicked.connect(deeds["propose"].trigger)
        self._stop.clicked.connect(lambda: self._session.jobs.cancel(PROPOSE))
        self._session.jobs.started.connect(self._working)
        self._session.jobs.ended.connect(self._working)
        proposing.renewed.connect(self._renew)
        proposing.decided.connect(self._follow)
        proposing.asked.connect(self._count_questions)
        self.questions.open_wanted.connect(self._change_first)
        proposing.failed.connect(self._fail)
        self.filter.changed.connect(self._look_elsewhere)
        self._delegate.written.connect(self._take_change)
        self._delegate.problem.connect(self._tell_problem)
        selection = self.list.selectionModel()
        assert selection is not None  # noqa: S101 - a view with a model has one
        selection.currentChanged.connect(self._go)
        self.list.clicked.connect(self._go)
        self.list.activated.connect(self._go)

    def showEvent(self, event: object) -> None:  # noqa: ARG002
        """Take up the answers of an earlier day when the paper is first seen."""
        if not self._begun and self.proposing.file.exists():
            self._begun = True
            self.proposing.propose()

    def _take_keys(self) -> None:
        (self.questions.list if self._tabs.currentIndex() else self.list).setFocus()

    def _if_on_top(self, deed: Callable[[], object], tab: int = 0) -> None:
        """Do something with what lies on a tab if it is seen; else let it be seen first."""
        if self.isVisible() and self._tabs.currentIndex() == tab:
            deed()
            return
        self._tabs.setCurrentIndex(tab)
        self._deeds["to_film"].trigger()
        self._deeds["show_proposals"].trigger()

    # --- what can be done ---

    def propose(self) -> None:
        """Propose from what is said on the open films."""
        self._begun = True
        if not self.isVisible():
            self._if_on_top(lambda: None)
        self.proposing.propose()

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
            self._choose(after)

    def turn_kind(self, by: int) -> None:
        """Show what is open of the next kind that has some, from its first on."""
        self.filter.turn(by)
        self.list.setFocus()
        first = next((row.id for row in self.model.rows if self._is_wanted(row)), None)
        if first is not None:
            self._choose(first)

    def accept(self) -> None:
        """Put the chosen proposal into the procedure, with its step where that is not there."""
        p = self.chosen()
        if p is not None and (names := self._with_step(p)):
            self._accept(names)

    def _accept(self, names: Sequence[str], changes: Mapping[str, Changed] | None = None) -> None:
        """Put proposals in; of steps that show what others show already, ask how."""
        self.proposing.find_overlaps(
            names, lambda found: put_in(self, self.proposing, names, changes, found)
        )

    def _change_first(self, name: str) -> None:
        """Let a proposal be written anew that cannot be put in as it is."""
        self._tabs.setCurrentIndex(0)
        self.filter.show_all()
        self.list.setFocus()
        self._choose(name)
        self.change()

    def change(self) -> None:
        """Let the chosen proposal be written anew in its place."""
        p = self.chosen()
        if p is None:
            return
        if self.proposing.decision(p.id).say in {"accept", "change"}:
            self._session.tell(
                "advice", self.tr("It stands in the procedure by now: change it there.")
            )
            return
        self.list.edit(self.list.currentIndex())
        self._session.tell("advice", self.tr("Enter accepts what is written, Esc leaves it."))

    def refuse(self) -> None:
        """Refuse the chosen proposal, or open it again if it was refused."""
        p = self.chosen()
        if p is None:
            return
        say = self.proposing.decision(p.id).say
        if say == "refuse":
            self.proposing.open_again((p.id,))
        elif say == "open":
            self.proposing.refuse((p.id,))
            words = self.tr("Refused: %1. It is found under “Refused”.")
            self._session.tell("good", words.replace("%1", p.text.rstrip(".")))
        else:
            self._session.tell(
                "advice", self.tr("It stands in the procedure by now: undo it, or take it out.")
            )

    def accept_kind(self) -> None:
        """Accept all open proposals of the kind of the chosen one that are shown."""
        if names := with_their_steps(self, self.proposing, self._all_shown()):
            self._accept(names)

    def refuse_kind(self) -> None:
        """Refuse all open proposals of the kind of the chosen one that are shown."""
        if names := self._all_shown():
            self.proposing.refuse(names)
            words = self.tr("%1 refused. They are found under “Refused”.")
            self._session.tell("good", words.replace("%1", str(len(names))))

    def _all_shown(self) -> tuple[str, ...]:
        p = self.chosen()
        names = () if p is None else self.proposing.open_of(p.kind)
        return tuple(n for n in names if self.filter.lets(self.proposing.proposal(n), "open"))

    def _with_step(self, p: Proposal) -> tuple[str, ...]:
        """Return what is accepted with a proposal: its step too, if the person says so."""
        step = self.proposing.waits_for(p.id)
        if step is None:
            return (p.id,)
        return (step.id, p.id) if step_wanted_too(self, p, step) else ()

    def _next_open(self, by: int) -> str | None:
        rows, at = self.model.rows, self.list.currentIndex().row()
        at = -1 if at < 0 and by > 0 else at
        order = [(at + by * n) % len(rows) for n in range(1, len(rows) + 1)] if rows else []
        return next((rows[n].id for n in order if n != at and self._is_wanted(rows[n])), None)

    def _is_wanted(self, row: Row) -> bool:
        """Whether a line is open and of the kind gone through: no step over one that is."""
        if not isinstance(row, ProposalRow) or not self.proposing.is_open(row.id):
            return False
        return self.filter.lets(row.proposal, "open")

    def _choose(self, name: str) -> None:
        index = self.model.index(self.model.row_of(name))
        if index.isValid():
            again = index == self.list.currentIndex()
            self.list.setCurrentIndex(index)
            if again:  # it came to be the chosen one when others went
                self.list.scrollTo(index)
                self._go(index)

    # --- changing in place ---

    def _entry_of(self, name: str) -> str:
        return entry_of(self.proposing.proposal(name))

    def _problem_of(self, name: str, text: str) -> str:
        return problem_of(self.proposing.proposal(name), text)

    def _take_change(self, name: str, text: str) -> None:
        self.list.setFocus()
        p = self.proposing.proposal(name)
        change: Changed | None = change_of(p, text)
        names = self._with_step(p)
        if names:
            changes = {} if change is None else {name: change}
            self._accept(names, changes)

    def _tell_problem(self, words: str) -> None:
        self._says.setProperty("severity", "error" if words else None)
        style = self._says.style()
        if style is not None:
            style.polish(self._says)
        if words:
            self._says.setText(words[:1].upper() + words[1:])
        else:
            self._tell()

    # --- showing ---

    def _working(self, name: str) -> None:
        if name == PROPOSE:
            self._failed = ""
            busy = self._session.jobs.is_running(PROPOSE)
            self._stop.setVisible(busy)
            self._propose.setVisible(not busy and not self.model.rows)
            self._tell()

    def _fail(self, words: str) -> None:
        self._failed = words[:1].upper() + words[1:]
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
        opened = [name for name in names if self.proposing.is_open(name)]
        if opened:
            rows = [row for row in self.model.rows if row.id in opened]
            rows.sort(key=self._is_wanted, reverse=True)
            self._choose(rows[0].id if rows else opened[0])
        elif was is not None and was.id in names:
            if self.proposing.decision(was.id).say != "refuse":
                self._session.choose_step(self.proposing.host_of(was.id) or self._session.step)
            there = {row.id for row in self.model.rows if self._is_wanted(row)}
            after = next((name for name in before[at:] + before[:at] if name in there), None)
            if after is not None:
                self._choose(after)

    def _count(self) -> None:
        """Say how many are open, in all and of each kind."""
        present = {p.kind for p in self.proposing.proposals}
        counts = {kind: len(self.proposing.open_of(kind)) for kind in KINDS if kind in present}
        self.filter.count(counts)
        self._tabs.setTabText(0, f"{self.tr('Proposed')} ({sum(counts.values())})")

    def _look_elsewhere(self, *_: object) -> None:
        """Show other proposals of those there are, and choose one."""
        self._filter()
        if self.model.rows and not self.list.currentIndex().isValid():
            self._choose(self._next_open(1) or self.model.rows[0].id)

    def _filter(self) -> None:
        """Show the proposals of the kind and the answers that are chosen."""
        proposing = self.proposing
        rows = arranged(
            proposing.proposals,
            proposing.decision,
            lambda p: self.filter.lets(p, proposing.decision(p.id).say),
        )
        self._changing = True
        self.model.become(rows)
        self._changing = False
        self._tell()

    def _count_questions(self) -> None:
        count = len(self.proposing.questions)
        self._tabs.setTabText(_QUESTIONS, f"{self.tr('Not said on the film')} ({count})")

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
        self._answers.show_for(bool(self.proposing.proposals), there)
        if isinstance(row, ProposalRow):
            self._says.setText("\n".join(row_words(row)))
        else:
            busy = self._session.jobs.is_running(PROPOSE)
            self._says.setText(self._failed or nothing_chosen(self.proposing, self._deeds, busy))
