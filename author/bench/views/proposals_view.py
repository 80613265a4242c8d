"""What is proposed from what was said, and what the film leaves out: a tab each."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtCore import QTimer
from PyQt6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from author.bench.actions import Actions
from author.bench.proposing import Proposing
from author.bench.session import Session
from author.bench.taking_in import TakingIn
from author.bench.views.proposal_deciding import Deciding
from author.bench.views.proposal_paper import ProposalPaper
from author.bench.views.question_paper import QuestionPaper

_QUESTIONS = 1
"""Where the tab with the questions stands."""


class ProposalsView(QWidget):
    """The proposals on one tab, the questions on another, and the deeds about both."""

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._deeds = deeds
        self._begun = False
        self.proposing = Proposing(session, self)
        self.taking_in = TakingIn(session, self.proposing, self)
        self.paper = ProposalPaper(session, deeds, self.proposing)
        self.deciding = Deciding(session, self.proposing, self.taking_in, self.paper)
        self.questions = QuestionPaper(session, deeds, self.proposing, self.taking_in)
        self._tabs = QTabWidget()
        self._lay_out()
        self._connect()
        self._count(0)
        self._count_questions(0)

    # --- the parts ---

    def _lay_out(self) -> None:
        states = self.paper.filter.states
        self._tabs.setDocumentMode(True)
        self._tabs.setAccessibleName(self.tr("Proposals and questions"))
        self._tabs.addTab(self.paper, "")
        self._tabs.addTab(self.questions, "")
        self._tabs.setCornerWidget(states)
        self._tabs.currentChanged.connect(lambda tab: states.setVisible(not tab))
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._tabs)

    def _connect(self) -> None:
        paper, deciding = self.paper, self.deciding
        pairs: tuple[tuple[str, Callable[[], object]], ...] = (
            ("propose", self.propose),
            ("accept_proposal", lambda: self._if_on_top(deciding.accept)),
            ("change_proposal", lambda: self._if_on_top(deciding.change)),
            ("refuse_proposal", lambda: self._if_on_top(deciding.refuse)),
            ("accept_kind", lambda: self._if_on_top(deciding.accept_kind)),
            ("refuse_kind", lambda: self._if_on_top(deciding.refuse_kind)),
            ("next_proposal", lambda: self._if_on_top(lambda: paper.step(1))),
            ("previous_proposal", lambda: self._if_on_top(lambda: paper.step(-1))),
            ("next_kind", lambda: self._if_on_top(lambda: paper.turn_kind(1))),
            ("previous_kind", lambda: self._if_on_top(lambda: paper.turn_kind(-1))),
            ("answer_question", lambda: self._if_on_top(self.questions.answer, _QUESTIONS)),
            ("show_proposals", lambda: QTimer.singleShot(0, self._take_keys)),
        )
        for name, deed in pairs:
            self._deeds[name].triggered.connect(lambda _=False, deed=deed: deed())
        paper.counted.connect(self._count)
        self.questions.counted.connect(self._count_questions)
        self.questions.open_wanted.connect(self._change_first)

    def showEvent(self, event: object) -> None:  # noqa: ARG002
        """Take up the answers of an earlier day when the paper is first seen."""
        if not self._begun and self.proposing.file.exists():
            self._begun = True
            self.proposing.propose()

    def _take_keys(self) -> None:
        (self.questions.list if self._tabs.currentIndex() else self.paper.list).setFocus()

    def _if_on_top(self, deed: Callable[[], object], tab: int = 0) -> None:
        """Do something with what lies on a tab if it is seen; else let it be seen first."""
        if self.isVisible() and self._tabs.currentIndex() == tab:
            deed()
            return
        self._tabs.setCurrentIndex(tab)
        self._deeds["to_film"].trigger()
        self._deeds["show_proposals"].trigger()

    def propose(self) -> None:
        """Propose from what is said on the open films."""
        self._begun = True
        if not self.isVisible():
            self._if_on_top(lambda: None)
        self.proposing.propose()

    def _change_first(self, name: str) -> None:
        """Let a proposal be written anew that cannot be put in as it is."""
        self._tabs.setCurrentIndex(0)
        self.paper.filter.show_all()
        self.paper.list.setFocus()
        self.paper.choose(name)
        self.deciding.change()

    def _count(self, left: int) -> None:
        self._tabs.setTabText(0, f"{self.tr('Proposed')} ({left})")

    def _count_questions(self, count: int) -> None:
        self._tabs.setTabText(_QUESTIONS, f"{self.tr('Not said on the film')} ({count})")
