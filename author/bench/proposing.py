"""What is proposed for the open document, and what the person says to it.

Proposing, writing the answers and accepting many at once are jobs. Accepting is one gesture
of the document: what undo takes back is open again.
"""

from __future__ import annotations

import threading
import time
from collections import deque
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from PyQt6.QtCore import QObject, pyqtSignal

from author.bench.names import name_here
from author.bench.overlaps import Overlap, overlaps_of
from author.bench.session import Session
from author.bench.steady import Marks, in_frames, measuring, on_reading, with_readings
from author.bench.words import capital
from author.editing import Span
from author.errors import ReelwrightError, one_line
from author.procedure.document import Procedure
from author.progress import Cancel, Progress, begin_part
from author.proposals.draft.changes import Changed
from author.proposals.draft.entries import NOTHING, THING_LISTS
from author.proposals.proposal import Proposal, ProposalKind, Question
from author.tasks.proposal_entries import Taken, taken
from author.tasks.proposal_places import Known, ShownBy, host_of, not_there, step_in
from author.tasks.proposal_sheet import (
    ANSWERS_FILE,
    Decision,
    OpenFilm,
    Sheet,
    as_decided,
    keep_answers,
    propose_for,
)

PROPOSE = "propose"
"""Name of the job that proposes."""
_AT_ONCE = 4
"""How many proposals are put into the document without a job."""
_WITH_ITS_STEP = 2
"""How many are put in where one is accepted and its step with it."""
_MOMENT = 0.4
"""Seconds without another answer after which they are written."""
_ALONE = {"step", "deferred", *THING_LISTS, *NOTHING}
_OPEN = Decision()
_Decisions = dict[str, Decision]


@dataclass(frozen=True, slots=True, eq=False)
class _Gesture:
    before: Procedure
    after: Procedure
    was: _Decisions
    now: _Decisions


class Proposing(QObject):
    """Holds the proposals of one session and does what is decided.

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
        self._now: dict[str, Proposal] = {}
        self._decisions: _Decisions = {}
        self._said_here: _Decisions = {}
        self._placed: Mapping[str, str] = {}
        self._questions: tuple[Question, ...] = ()
        self._gestures: deque[_Gesture] = deque(maxlen=1_000)
        self._write = threading.Lock()
        self._turn = 0
        session.changed.connect(self._follow)

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
        return self._session.document.file.parent / ANSWERS_FILE

    # --- proposing ---

    def propose(self) -> None:
        """Propose from the captions beside the open films; what was said before is kept."""
        session, file = self._session, self.file
        films = self._films()
        if not films:
            self.failed.emit(self.tr("No film is open."))
            return
        procedure, placed = session.procedure, dict(self._placed)

        def work(progress: Progress, cancel: Cancel) -> tuple[Sheet, frozenset[str]]:
            sheet = propose_for(films, file, progress, cancel)
            begin_part("looking for readings", progress, cancel)
            sheet = with_readings(sheet, films)
            begin_part("holding it against the document", progress, cancel)
            accepted = {n for n, d in sheet.decisions.items() if d.say in {"accept", "change"}}
            proposals = {p.id: as_decided(p, sheet.decisions) for p in sheet.proposals}
            known = Known(proposals, frozenset(accepted), sheet.shown, placed)
            return sheet, not_there(procedure, known)

        session.jobs.run(PROPOSE, work, self._take_sheet, self._fail)

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
        names = {p.id for p in sheet.proposals}
        self._decisions = held | {n: d for n, d in self._said_here.items() if n in names}
        self._now = {p.id: as_decided(p, self._decisions) for p in sheet.proposals}
        self._questions = sheet.questions
        self.renewed.emit()
        self.asked.emit()
        self._tell_sheet(len(lost))

    def _tell_sheet(self, lost: int) -> None:
        left = sum(self.is_open(name) for name in self._now)
        words = [
            self.tr("%1 proposals, %2 of them open.")
            .replace("%1", str(len(self._now)))
            .replace("%2", str(left))
        ]
        if lost:
            again = self.tr("%1 were accepted and are not in this procedure: they are open again.")
            words.append(again.replace("%1", str(lost)))
        words += [f"{note[:1].upper()}{note[1:]}." for note in self._sheet.notes[:2]]
        self._session.tell("advice", one_line(" ".join(words)))

    def _fail(self, error: ReelwrightError) -> None:
        self.failed.emit(one_line(str(error)))
        self._session.tell("error", one_line(str(error)))

    # --- deciding ---

    def waits_for(self, name: str) -> Proposal | None:
        """Return the proposed step that has to be accepted before a claim about it."""
        proposal = self._now[name]
        if not proposal.steps or proposal.kind in _ALONE:
            return None
        step = self._now.get(proposal.steps[0])
        if step is None or host_of(self._session.procedure, proposal, self._known()) is not None:
            return None
        return step

    def accept(
        self,
        names: Sequence[str],
        changes: Mapping[str, Changed] | None = None,
        spans: Mapping[str, Marks] | None = None,
    ) -> None:
        """Put proposals into the document, as one gesture.

        Args:
            names: their ids.
            changes: what stands in their place, by their ids.
            spans: what shows steps, where that is not all that was proposed, by their ids.
        """
        session = self._session
        if session.document.read_only:
            session.tell("error", self.tr("This procedure is open elsewhere: it is only read."))
            return
        new: _Decisions = {}
        for name in names:
            change = (changes or {}).get(name) or self.decision(name).change
            new[name] = Decision("change" if change else "accept", change, name_here())
        known = self._known(new, spans or {})
        wanted = [known.proposals[name] for name in names]
        procedure = session.procedure
        if len(wanted) <= _AT_ONCE:
            self._put_in(taken(procedure, wanted, known), new)
            return

        def done(result: Taken) -> None:
            if session.procedure is procedure:
                self._put_in(result, new)
            else:
                self.accept(names, changes, spans)

        session.jobs.run(
            "accept proposals",
            lambda _, cancel: taken(procedure, wanted, known, cancel),
            done,
            self._fail,
        )

    def refuse(self, names: Sequence[str]) -> None:
        """Say no to proposals that are open."""
        self._say({n: Decision("refuse", self.decision(n).change, name_here()) for n in names})

    def open_again(self, names: Sequence[str]) -> None:
        """Take answers back."""
        self._say({name: Decision("open", self.decision(name).change) for name in names})

    def step_of(self, name: str) -> str | None:
        """Return the step of the document that a proposed step is, or None."""
        return step_in(self._session.procedure, self._now[name], self._known())

    def host_of(self, name: str) -> str | None:
        """Return the step of the document that a proposal belongs to, or None."""
        proposal = self._now[name]
        find = step_in if proposal.kind == "step" else host_of
        return find(self._session.procedure, proposal, self._known())

    def find_overlaps(
        self, names: Sequence[str], then: Callable[[dict[str, Overlap]], None]
    ) -> None:
        """Find which proposed steps show what others show already; of many, as a job.

        Args:
            names: ids of proposals.
            then: told what was found, by the ids of the steps.
        """
        procedure, known = self._session.procedure, self._known()
        steps = [self._now[name] for name in names if self._now[name].kind == "step"]
        spans = {
            p.id: Span(p.recording, by.start, by.end)
            for p in steps
            for by in (self._sheet.shown.get(p.id) or ShownBy(p.start, p.end),)
        }
        if len(spans) <= _AT_ONCE:
            then(overlaps_of(procedure, known, spans))
            return
        self._session.jobs.run(
            "overlaps",
            lambda _, cancel: overlaps_of(procedure, known, spans, cancel),
            then,
            self._fail,
        )

    def _known(
        self, new: _Decisions | None = None, spans: Mapping[str, Marks] | None = None
    ) -> Known:
        proposals = self._now
        if new:
            originals = {p.id: p for p in self._sheet.proposals if p.id in new}
            proposals = proposals | {n: as_decided(originals[n], new) for n in originals}
        accepted = frozenset(n for n, d in self._decisions.items() if d.say in {"accept", "change"})
        return Known(proposals, accepted, self._shown(new or {}, spans or {}), self._placed)

    def _shown(self, new: Iterable[str], spans: Mapping[str, Marks]) -> dict[str, ShownBy]:
        """Return what shows the steps; without a survey, the frames known so far."""
        shown, desk = dict(self._sheet.shown), self._session.films
        steps = [p for name in new if (p := self._now[name]).kind == "step"]
        wanted = [p for p in steps if p.id in spans or p.id not in shown]
        measures = measuring(self._now.values()) if wanted else ()
        for p in wanted:
            if desk.index(p.recording) is not None:
                frames = in_frames(desk, p.recording, spans.get(p.id) or (p.start, p.end))
                reads = p.id in measures
                shown[p.id] = on_reading(desk, p.recording, frames) if reads else frames
        return shown

    def _put_in(self, result: Taken, new: _Decisions) -> None:
        session = self._session
        before = session.procedure
        if result.command is not None and not session.do(result.command):
            return
        was = {name: self.decision(name) for name in result.done}
        now = {name: new[name] for name in result.done}
        self._placed = dict(result.placed)
        if result.command is not None:
            self._gestures.append(_Gesture(before, session.procedure, was, now))
        if now:
            self._say(now)
        if result.command is not None and len(result.done) <= _WITH_ITS_STEP:
            session.look_at(result.command.now)
        elif len(result.done) == 1 and (step := self.host_of(result.done[0])) is not None:
            session.choose_step(step)  # it stood there already
        self._tell_taken(result)

    def _tell_taken(self, result: Taken) -> None:
        words = []
        if len(result.done) == 1:
            words.append(self.tr("Accepted: %1").replace("%1", self._now[result.done[0]].text))
            number = self._number_of(result)
            place = self.tr("(step %1)") if result.command else self.tr("It is step %1 already.")
            words += [place.replace("%1", str(number))] if number else []
        elif result.done:
            words.append(self.tr("Accepted: %1 proposals.").replace("%1", str(len(result.done))))
        if result.waiting:
            left = self.tr("%1 belong to steps that are not accepted yet.")
            words.append(left.replace("%1", str(len(result.waiting))))
        problem = next(iter(result.problems.values()), None)
        if problem is not None:
            if len(result.problems) > 1:
                left = self.tr("%1 have to be changed first, as:")
                words.append(left.replace("%1", str(len(result.problems))))
            words.append(capital(str(problem)))
        bad = bool(problem) and not result.done
        self._session.tell("error" if bad else "good", one_line(" ".join(words)))

    def _number_of(self, result: Taken) -> int | None:
        """Return the number of the step that a proposal was put into, or None."""
        name = result.done[0]
        place = result.command.now if result.command is not None else ()
        step = place[1] if place[:1] == ("steps",) and len(place) > 1 else None
        if result.command is None and self._now[name].kind == "step":
            step = self.step_of(name)
        placed = None if step is None else self._session.placed(str(step))
        return None if placed is None else placed.number

    def _say(self, decisions: _Decisions) -> None:
        originals = {p.id: p for p in self._sheet.proposals if p.id in decisions}
        self._decisions.update(decisions)
        self._said_here.update(decisions)
        for name, original in originals.items():
            self._now[name] = as_decided(original, decisions)
        self.decided.emit(frozenset(decisions))
        self._keep()

    def _keep(self) -> None:
        """Have the answers written when no more come for a moment, or at the end.

        A write that a newer one has overtaken is left out.
        """
        file, proposals, said = self.file, self._sheet.proposals, dict(self._said_here)
        self._turn += 1
        turn = self._turn

        def work(_progress: Progress, cancel: Cancel) -> tuple[Question, ...] | None:
            until = time.monotonic() + _MOMENT
            while time.monotonic() < until and not cancel.requested:
                time.sleep(0.02)
            with self._write:
                return keep_answers(file, proposals, said) if turn == self._turn else None

        self._session.jobs.run("answers", work, self._take_questions, self._not_kept)

    def _take_questions(self, questions: tuple[Question, ...] | None) -> None:
        if questions is not None and questions != self._questions:
            self._questions = questions
            self.asked.emit()

    def _not_kept(self, error: ReelwrightError) -> None:
        words = self.tr("The answers are not kept: %1").replace("%1", str(error))
        self._session.tell("error", one_line(words))

    def _follow(self, before: Procedure, after: Procedure) -> None:
        """Open again what undo has taken back, and accept again what was done again."""
        for gesture in reversed(self._gestures):
            if before is gesture.after and after is gesture.before:
                self._say(gesture.was)
                return
            if before is gesture.before and after is gesture.after:
                self._say(gesture.now)
                return
