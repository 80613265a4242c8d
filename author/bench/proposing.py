"""What is proposed for the open document, what the person says to it, and where it stands.

Proposing is a job. What is accepted is put into the document by ``taking_in``, what is said is
written by ``answers_kept``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from PyQt6.QtCore import QObject, pyqtSignal

from author.bench.answers_kept import AnswersKept
from author.bench.names import name_here
from author.bench.proposal_words import told
from author.bench.session import Session
from author.bench.steady import with_readings
from author.bench.words import capital
from author.errors import InputError, ReelwrightError, one_line
from author.progress import Cancel, Progress, begin_part
from author.proposals.draft.entries import NOTHING, THING_LISTS
from author.proposals.proposal import Proposal, ProposalKind, Question
from author.tasks.proposal_places import Known, ShownBy, host_of, not_there, step_in
from author.tasks.proposal_sheet import (
    Decision,
    OpenFilm,
    Sheet,
    as_decided,
    captions_alone,
    propose_for,
)
from author.tasks.proposals_now import as_all_decided

PROPOSE = "propose"
"""Name of the job that proposes."""
_ALONE = {"step", "deferred", *THING_LISTS, *NOTHING}
_OPEN = Decision()
Decisions = dict[str, Decision]
"""What is said to proposals, by their ids."""


class Proposing(QObject):
    """Holds the proposals of one session and what is said to them.

    Args:
        session: whose document.
    """

    renewed = pyqtSignal()
    """Other proposals are there."""
    decided = pyqtSignal(object)
    """Something else is said to some proposals: their ids, a frozenset."""
    asked = pyqtSignal()
    """What the film leaves out is another list."""
    failed = pyqtSignal(str)
    """Nothing could be proposed: why."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._sheet = Sheet((), {})
        self._proposed: dict[str, Proposal] = {}
        self._now: dict[str, Proposal] = {}
        self._decisions: Decisions = {}
        self._said_here: Decisions = {}
        self._placed: Mapping[str, str] = {}
        self._questions: tuple[Question, ...] = ()
        self._answers = AnswersKept(session, self)
        self._answers.questions.connect(self._take_questions)

    # --- what there is ---

    @property
    def proposals(self) -> tuple[Proposal, ...]:
        """All that is proposed, as it was changed, in the order said."""
        return tuple(self._now.values())

    @property
    def questions(self) -> tuple[Question, ...]:
        """What the film leaves out, worst first."""
        return self._questions

    def proposal(self, name: str) -> Proposal:
        """Return a proposal as it was changed."""
        return self._now[name]

    def original(self, name: str) -> Proposal:
        """Return a proposal as it was proposed."""
        return self._proposed[name]

    def as_said(self, name: str, decisions: Decisions) -> Proposal:
        """Return a proposal as it would stand after answers."""
        return as_decided(self.original(name), decisions)

    def decision(self, name: str) -> Decision:
        """Return what was said to a proposal."""
        return self._decisions.get(name, _OPEN)

    def is_open(self, name: str) -> bool:
        """Whether nothing was said to a proposal yet."""
        return self.decision(name).say == "open"

    def open_of(self, kind: ProposalKind) -> tuple[str, ...]:
        """Return the proposals of a kind that are still open."""
        return tuple(p.id for p in self._now.values() if p.kind == kind and self.is_open(p.id))

    @property
    def file(self) -> Path:
        """The sheet of answers."""
        return self._answers.file

    # --- proposing ---

    def propose(self) -> None:
        """Propose from the captions beside the open films, or those a draft was made from alone.

        What was said before is kept.
        """
        session, file = self._session, self.file
        films = self._films()
        if not films and (session.procedure.recordings or not file.exists()):
            self.failed.emit(self.tr("No film is open."))
            return
        nothing = self.tr("No film is open, and 'propose' made this procedure from no captions.")
        procedure, placed, said = session.procedure, dict(self._placed), dict(self._said_here)

        def work(progress: Progress, cancel: Cancel) -> tuple[Sheet, frozenset[str]]:
            told = films or captions_alone(file)
            if not told:
                raise InputError(nothing)
            sheet = propose_for(told, file, progress, cancel)
            begin_part("looking for readings", progress, cancel)
            sheet = with_readings(sheet, films)
            begin_part("holding it against the document", progress, cancel)
            accepted = {n for n, d in sheet.decisions.items() if d.say in {"accept", "change"}}
            proposals = as_all_decided({p.id: p for p in sheet.proposals}, sheet.decisions)
            known = Known(proposals, frozenset(accepted), sheet.shown, placed)
            return sheet, not_there(procedure, known)

        def done(answer: tuple[Sheet, frozenset[str]]) -> None:
            for name in answer[1]:
                if self._said_here.get(name) is said.get(name):  # nothing else was said meanwhile
                    self._said_here.pop(name, None)
            self._take_sheet(answer)

        session.jobs.run(PROPOSE, work, done, self._fail)

    def _films(self) -> tuple[OpenFilm, ...]:
        desk, facts = self._session.films, self._session.facts()
        return tuple(
            OpenFilm(ref.id, path, ref.duration, facts.get(ref.id), desk.analyses(ref.id))
            for ref in self._session.procedure.recordings
            if (path := desk.path(ref.id)) is not None
        )

    def _take_sheet(self, answer: tuple[Sheet, frozenset[str]]) -> None:
        sheet, lost = answer
        self._sheet = sheet
        held = {n: Decision("open", d.change) if n in lost else d
                for n, d in sheet.decisions.items()}  # fmt: skip
        self._proposed = {p.id: p for p in sheet.proposals}
        here = {n: d for n, d in self._said_here.items() if n in self._proposed}
        self._decisions = held | here
        self._now = as_all_decided(self._proposed, self._decisions)
        self._questions = sheet.questions
        self.renewed.emit()
        self.asked.emit()
        self._tell_sheet([n for n in self._now if n in lost and self.is_open(n)])

    def _tell_sheet(self, lost: Sequence[str]) -> None:
        left = sum(self.is_open(name) for name in self._now)
        words = [
            self.tr("%1 proposals, %2 of them open.")
            .replace("%1", str(len(self._now)))
            .replace("%2", str(left))
        ]
        if lost:
            again = self.tr("Accepted but not in this procedure, so open again: %1.")
            words.append(again.replace("%1", self.named(lost)))
        words += [f"{note[:1].upper()}{note[1:]}." for note in self._sheet.notes[:2]]
        self._session.tell("advice", one_line(" ".join(words)))

    def _fail(self, error: ReelwrightError) -> None:
        beside = f"{self.file.parent}/"  # what lies with the procedure is known by its name
        words = one_line(str(error).replace(beside, ""))
        words = words if getattr(error, "file", None) else capital(words)
        self.failed.emit(words)
        self._session.tell("error", words)

    # --- deciding ---

    def refusal(self, names: Sequence[str]) -> tuple[Decisions, str]:
        """Return what is said where proposals are refused, and what undo calls it."""
        new = {n: Decision("refuse", self.decision(n).change, name_here()) for n in names}
        return new, self.tr("Refuse: %1").replace("%1", self.named(names))

    def open_again(self, names: Sequence[str]) -> None:
        """Take answers back."""
        new = {name: Decision("open", self.decision(name).change) for name in names}
        self.decide(new, self.tr("Open again: %1").replace("%1", self.named(names)))

    def named(self, names: Sequence[str]) -> str:
        """Return what proposals are called in a sentence: few by their words, many counted."""
        return told([self.as_said(name, self._decisions) for name in names])

    def decide(self, decisions: Decisions, label: str) -> None:
        """Take up what is said to some proposals where the document stays as it is.

        Args:
            decisions: what is said.
            label: what undo calls it.
        """
        was = {name: self.decision(name) for name in decisions}
        self.say(decisions)
        self._session.note_said(label, lambda: self.say(was), lambda: self.say(decisions))

    def say(self, decisions: Decisions) -> None:
        """Take up what is said to some proposals, and have it kept."""
        self._decisions.update(decisions)
        self._said_here.update(decisions)
        was, self._now = self._now, as_all_decided(self._proposed, self._decisions)
        # What else was said with a number that was changed is told otherwise too.
        retold = {name for name, p in self._now.items() if p != was.get(name)}
        self.decided.emit(frozenset({*decisions, *retold}))
        self._answers.keep(self._sheet.proposals, self._said_here)

    def _take_questions(self, questions: tuple[Question, ...]) -> None:
        if questions != self._questions:
            self._questions = questions
            self.asked.emit()

    # --- where it stands ---

    def waits_for(self, name: str) -> Proposal | None:
        """Return the proposed step that has to be accepted before a claim about it."""
        proposal = self._now[name]
        if not proposal.steps or proposal.kind in _ALONE:
            return None
        step = self._now.get(proposal.steps[0])
        if step is None or host_of(self._session.procedure, proposal, self.known()) is not None:
            return None
        return step

    def step_of(self, name: str) -> str | None:
        """Return the step of the document that a proposed step is, or None."""
        return step_in(self._session.procedure, self._now[name], self.known())

    def host_of(self, name: str) -> str | None:
        """Return the step of the document that a proposal belongs to, or None."""
        proposal = self._now[name]
        find = step_in if proposal.kind == "step" else host_of
        return find(self._session.procedure, proposal, self.known())

    def known(
        self, new: Decisions | None = None, shown: Mapping[str, ShownBy] | None = None
    ) -> Known:
        """Return all that is known of the proposals besides the document.

        Args:
            new: what is going to be said to some.
            shown: what shows steps, where that is not what was proposed.
        """
        proposals, was = self._now, {}
        if new:
            proposals, was = as_all_decided(self._proposed, self._decisions | new), self._now
        accepted = frozenset(n for n, d in self._decisions.items() if d.say in {"accept", "change"})
        every = {**self._sheet.shown, **(shown or {})}
        return Known(proposals, accepted, every, self._placed, was)

    def note_places(self, placed: Mapping[str, str]) -> None:
        """Take up where steps and things stand in the document, by the id of the proposal."""
        self._placed = dict(placed)
