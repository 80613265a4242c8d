"""Puts what is accepted into the open document, and takes out what is refused.

Each is one gesture of the document, and of many proposals a job; what undo takes back is as it
was.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from PyQt6.QtCore import QObject

from author.bench.names import name_here
from author.bench.overlaps import Overlap, overlaps_of
from author.bench.proposal_words import FEW, told
from author.bench.proposing import Decisions, Proposing
from author.bench.session import Session, Severity
from author.bench.steady import Marks, in_frames, measuring, on_reading
from author.bench.taken_words import refused_words, taken_words
from author.editing import Span
from author.errors import ReelwrightError, one_line
from author.procedure.document import Procedure
from author.proposals.draft.changes import Changed
from author.tasks.proposal_entries import Taken, taken
from author.tasks.proposal_places import ShownBy
from author.tasks.proposal_sheet import Decision
from author.tasks.taking_out import TakenOut, taken_out

_AT_ONCE = 4
"""How many proposals are put into the document without a job."""
_LABEL = 120
"""Letters of what an entry of the history is called."""


@dataclass(frozen=True, slots=True, eq=False)
class _Gesture:
    before: Procedure
    after: Procedure
    was: Decisions
    now: Decisions


class TakingIn(QObject):
    """Does in the document what is said to proposals.

    Args:
        session: whose document.
        proposing: what is proposed for it.
    """

    def __init__(
        self, session: Session, proposing: Proposing, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._proposing = proposing
        self._gestures: deque[_Gesture] = deque(maxlen=1_000)
        session.changed.connect(self._follow)

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
        new: Decisions = {}
        for name in names:
            change = (changes or {}).get(name) or self._proposing.decision(name).change
            new[name] = Decision("change" if change else "accept", change, name_here())
        known = self._proposing.known(new, self._shown(new, spans or {}))
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
        """Say no to proposals; what stands of them as it was proposed is taken out.

        Args:
            names: their ids.
        """
        session, proposing = self._session, self._proposing
        procedure, known = session.procedure, proposing.known()
        wanted = [known.proposals[name] for name in names]
        if session.document.read_only:
            self._put_out(TakenOut(None, {}, {}), names)
            return
        if len(wanted) <= _AT_ONCE:
            self._put_out(taken_out(procedure, wanted, known), names)
            return

        def done(result: TakenOut) -> None:
            if session.procedure is procedure:
                self._put_out(result, names)
            else:
                self.refuse(names)

        session.jobs.run(
            "refuse proposals",
            lambda _, cancel: taken_out(procedure, wanted, known, cancel),
            done,
            self._fail,
        )

    def find_overlaps(
        self, names: Sequence[str], then: Callable[[dict[str, Overlap]], None]
    ) -> None:
        """Find which proposed steps show what others show already; of many, as a job.

        Args:
            names: ids of proposals.
            then: told what was found, by the ids of the steps.
        """
        procedure, known = self._session.procedure, self._proposing.known()
        steps = [known.proposals[name] for name in names if known.proposals[name].kind == "step"]
        spans = {
            p.id: Span(p.recording, by.start, by.end)
            for p in steps
            for by in (known.shown.get(p.id) or ShownBy(p.start, p.end),)
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

    def _shown(self, new: Iterable[str], spans: Mapping[str, Marks]) -> dict[str, ShownBy]:
        """Return what shows steps otherwise; without a survey, the frames known so far."""
        known, desk = self._proposing.known(), self._session.films
        shown: dict[str, ShownBy] = {}
        steps = [p for name in new if (p := known.proposals[name]).kind == "step"]
        wanted = [p for p in steps if p.id in spans or p.id not in known.shown]
        measures = measuring(known.proposals.values()) if wanted else ()
        for p in wanted:
            if desk.index(p.recording) is not None:
                frames = in_frames(desk, p.recording, spans.get(p.id) or (p.start, p.end))
                reads = p.id in measures
                shown[p.id] = on_reading(desk, p.recording, frames) if reads else frames
        return shown

    def _put_in(self, result: Taken, new: Decisions) -> None:
        session, proposing = self._session, self._proposing
        before = session.procedure
        was = {name: proposing.decision(name) for name in result.done}
        now = {name: new[name] for name in result.done}
        done = [proposing.as_said(name, now) for name in result.done]
        label = self.tr("Accept: %1").replace("%1", told(done))
        if result.command is not None:
            if not session.do(replace(result.command, words=label[:_LABEL])):
                return
            self._gestures.append(_Gesture(before, session.procedure, was, now))
        proposing.note_places(result.placed)
        if now and result.command is not None:
            proposing.say(now)
        elif now:  # it is in the document already, or nothing becomes of it
            proposing.decide(now, label)
        if result.command is not None and len(result.done) <= FEW:
            session.look_at(result.command.now)
        elif len(result.done) == 1 and (step := proposing.host_of(result.done[0])) is not None:
            session.choose_step(step)  # it stood there already
        self._tell(result)

    def _put_out(self, result: TakenOut, names: Sequence[str]) -> None:
        session, proposing = self._session, self._proposing
        # What was accepted and is not found as it was made has been written anew by a person.
        left = [n for n in names if not proposing.is_open(n) and n not in result.gone]
        refused = [n for n in names if n not in left]
        new, label = proposing.refusal(refused)
        if result.command is not None:
            before, was = session.procedure, {name: proposing.decision(name) for name in new}
            if not session.do(replace(result.command, words=label[:_LABEL])):
                return
            self._gestures.append(_Gesture(before, session.procedure, was, new))
            proposing.say(new)
        elif new:
            proposing.decide(new, label)
        answered, kept = ([proposing.proposal(n) for n in some] for some in (refused, left))
        words = refused_words(result, answered, kept, self._number_of)
        session.tell("warning" if left or result.stays else "good", one_line(words))

    def _tell(self, result: Taken) -> None:
        """Say what was taken up, and where it stands now."""
        proposing = self._proposing
        done = [proposing.proposal(name) for name in result.done]
        first = {p.id: proposing.original(p.id).text for p in done}
        was = {p.id: first[p.id] for p in done if first[p.id] != p.text}
        words = taken_words(result, done, was, self._number_of)
        severity: Severity = "warning" if result.otherwise else "good"
        if result.problems and not result.done:
            severity = "error"
        self._session.tell(severity, one_line(words))

    def _number_of(self, step: str) -> int | None:
        placed = self._session.placed(step)
        return None if placed is None else placed.number

    def _follow(self, before: Procedure, after: Procedure) -> None:
        """Open again what undo has taken back, and accept again what was done again."""
        for gesture in reversed(self._gestures):
            if before is gesture.after and after is gesture.before:
                self._proposing.say(gesture.was)
                return
            if before is gesture.before and after is gesture.after:
                self._proposing.say(gesture.now)
                return

    def _fail(self, error: ReelwrightError) -> None:
        self._session.tell("error", one_line(str(error)))
