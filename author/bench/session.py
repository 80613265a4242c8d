"""What the window works on: the open document, the chosen step, the films, the remarks.

Views read from here and ask it to do commands; they never keep a second copy. Everything
runs on the window's thread and waits for nothing: checks, saving and reading are jobs.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import Literal

from PyQt6.QtCore import QObject, QTimer, pyqtSignal

from author.bench.films import FilmDesk
from author.bench.jobs import JobRunner
from author.bench.remark_sorting import NOTHING_SAID, SortedRemarks, sort_remarks
from author.bench.said_last import SaidLast, Saying
from author.bench.unfinished import Unfinished
from author.checks import Verdict, check
from author.editing import Address, Change, Command, SetField, exists, path_of
from author.errors import ReelwrightError, one_line
from author.procedure.document import PlacedStep, Procedure
from author.procedure.facts import RecordingFacts
from author.procedure.review import ReviewSheet
from author.recording import facts_of
from author.tasks.opening import Opened

TreePath = tuple[str | int, ...]
Severity = Literal["good", "advice", "warning", "error"]
_CHECK_AFTER = 200
"""Milliseconds without a change before the rules are asked again."""


class Session(QObject):
    """One document on the bench, with its films."""

    changed = pyqtSignal(object, object)
    """The document changed: the snapshots before and after."""
    step_chosen = pyqtSignal(str)
    """Another step is chosen; empty when there is none."""
    place_wanted = pyqtSignal(object)
    """A place of the document is to be shown and its field to take the keys: a path."""
    place_shown = pyqtSignal(object)
    """A place of the chosen step is to be seen, the keys stay where they are: an address."""
    mark_changed = pyqtSignal(object)
    """The begun mark, seconds, or None."""
    checked = pyqtSignal(object)
    """A ``Verdict`` over the newest snapshot."""
    title_changed = pyqtSignal()
    said = pyqtSignal(str, str)
    """Something to tell: severity and words."""

    def __init__(
        self,
        opened: Opened,
        films: FilmDesk | None = None,
        parent: QObject | None = None,
    ) -> None:
        """Begin to work on a document and open its films.

        Args:
            opened: the document and where its films lie.
            films: films that are open already, by the ids of the document.
            parent: owner.
        """
        super().__init__(parent)
        self.document = opened.document
        self.sign_offs = opened.sign_offs
        self.jobs = JobRunner(self)
        self.unfinished = Unfinished()
        self.films = films or FilmDesk()
        self.films.setParent(self)
        self.verdict: Verdict | None = None
        self.sorted = NOTHING_SAID
        self._facts: dict[str, RecordingFacts | None] = {}
        self._untold: Procedure | None = None
        self._turning = False
        self._placed: tuple[Procedure, dict[str, PlacedStep]] | None = None
        self._step = next((placed.step.id for placed in self.procedure.placed_steps()), "")
        self._mark: Decimal | None = None
        self._signed = ""
        self._said_last = SaidLast()
        self._check_soon = QTimer(self)
        self._check_soon.setSingleShot(True)
        self._check_soon.setInterval(_CHECK_AFTER)
        self._check_soon.timeout.connect(self.check)
        self._durations = QTimer(self)
        self._durations.setSingleShot(True)
        self._durations.setInterval(_CHECK_AFTER)
        self._durations.timeout.connect(self._put_durations)
        self._stop_hearing = self.document.on_change(self._take_change)
        self.films.surveyed.connect(self._read_facts)
        for recording, path in opened.places.items():
            self.films.open(recording, path)
        for recording in self.films.recordings:
            if self.films.analyses(recording) is not None:  # read before this heard of it
                self._read_facts(recording)
        for ref in self.procedure.recordings:
            if ref.id not in opened.places:
                self._facts[ref.id] = None
        self._check_soon.start()

    @property
    def procedure(self) -> Procedure:
        """The newest snapshot of the document."""
        return self.document.procedure

    # --- the chosen step, and the mark begun ---

    @property
    def step(self) -> str:
        """Id of the chosen step; empty when there is none."""
        return self._step

    def placed(self, step: str | None = None) -> PlacedStep | None:
        """Return a step (the chosen one) with its number and place."""
        if self._placed is None or self._placed[0] is not self.procedure:
            order = [*self.procedure.placed_steps()]
            # Of two with one id the first counts.
            self._placed = self.procedure, {one.step.id: one for one in reversed(order)}
        return self._placed[1].get(self._step if step is None else step)

    def choose_step(self, step: str) -> None:
        """Choose a step."""
        self._tell_change()
        if step != self._step:
            self._step = step
            self.step_chosen.emit(step)

    def go_to(self, path: TreePath) -> None:
        """Choose the step a place lies in, and have its field shown and given the keys."""
        self._choose_at(path)
        self.place_wanted.emit(path)

    def look_at(self, place: Address) -> None:
        """Choose the step a place lies in, and have it seen; the keys stay where they are."""
        if place[:1] == ("steps",) and len(place) > 1:
            self.choose_step(str(place[1]))
            self.place_shown.emit(place)

    @property
    def mark(self) -> Decimal | None:
        """Where a step was begun that has no end yet, seconds."""
        return self._mark

    def set_mark(self, at: Decimal | None) -> None:
        """Begin a step at a moment, or take the beginning back."""
        self._mark = at
        self.mark_changed.emit(at)

    # --- changing the document ---

    def do(self, command: Command, merge: str | None = None) -> bool:
        """Do a command; what it refuses is told.

        Args:
            command: what to do.
            merge: commands that follow one another with the same word are one entry.

        Returns:
            Whether it was done.
        """
        try:
            self.document.do(command, merge=merge)
        except ReelwrightError as error:
            self.tell("error", one_line(str(error)))
            return False
        return True

    @contextlib.contextmanager
    def unasked(self) -> Iterator[None]:
        """Have the window change the document itself: a sign-off stays what was done last."""
        signed = self._signed
        try:
            yield
        finally:
            self._signed = signed

    def note_said(
        self, label: str, take_back: Callable[[], None], again: Callable[[], None]
    ) -> None:
        """Have undo take back something that was said and changes no document.

        Args:
            label: what was said.
            take_back: takes it back.
            again: says it again.
        """
        self._signed = ""
        self._said_last.note(Saying(label, take_back, again))
        self.title_changed.emit()

    @property
    def undo_label(self) -> str:
        """What undo takes back; empty if nothing."""
        said, document = self._said_last.said, self.document
        if said:
            return said[-1].label
        return document.undo_label if document.can_undo else ""

    @property
    def can_undo(self) -> bool:
        """Whether undo has something to take back, or to say: a sign-off is none."""
        return bool(self._signed or self.undo_label)

    @property
    def redo_label(self) -> str:
        """What is done again; empty if nothing."""
        said, document = self._said_last.taken_back, self.document
        if said:
            return said[-1].label
        return document.redo_label if document.can_redo else ""

    def undo(self) -> None:
        """Undo the last gesture; a sign-off is none, and whoever means it is told so."""
        signed, self._signed = self._signed, ""
        if signed:
            words = self.tr(
                "A sign-off is not undone: query “%1” to take it back. Undo again takes back the"
                " work before it."
            )
            self.tell("warning", words.replace("%1", signed))
            self.title_changed.emit()
        elif label := self._said_last.undo():
            self._tell_turned(self.tr("Undone: %1"), label)
        elif self.document.can_undo:
            self._turn(self.document.undo, self.tr("Undone: %1"))

    def redo(self) -> None:
        """Do again what was undone last."""
        if label := self._said_last.redo():
            self._tell_turned(self.tr("Done again: %1"), label)
        elif self.document.can_redo:
            self._turn(self.document.redo, self.tr("Done again: %1"))

    def tell(self, severity: Severity, words: str) -> None:
        """Say something on the status line."""
        self.said.emit(severity, words)

    # --- the rules ---

    def facts(self) -> Mapping[str, RecordingFacts | None]:
        """What is known of the recordings that were read through, by id."""
        return self._facts

    def check(self) -> None:
        """Hold the newest snapshot against the rules, beside the window's thread."""
        procedure, facts = self.procedure, dict(self._facts)
        sign_offs: ReviewSheet | Literal["none"] = self.sign_offs or "none"
        known = {ref.id for ref in procedure.recordings} <= set(facts)
        last = self.sorted

        def work(_progress: object, _cancel: object) -> tuple[Verdict, SortedRemarks]:
            verdict = check(procedure, facts if known else None, sign_offs)
            return verdict, sort_remarks(verdict, last)

        self.jobs.run("check", work, self._take_verdict)

    def take_sign_offs(self, sheet: ReviewSheet | None, signed: str = "") -> None:
        """Take what reviewers have said by now.

        Args:
            sheet: their sign-offs.
            signed: what was signed just now in this window, in words.
        """
        if signed or sheet != self.sign_offs:
            self._signed = signed
        self.sign_offs = sheet
        self._check_soon.start()
        self.title_changed.emit()  # there is something else to undo

    # --- the end ---

    def title(self) -> str:
        """Return the words for the title of the window."""
        star = "*" if self.document.dirty else ""
        return f"{star}{self.procedure.title} – Reelwright"

    def close(self, *, discard: bool = False) -> None:
        """End every job, film and the journal. May be called twice.

        Args:
            discard: whether work that is not in the file is thrown away; else it is offered
                when the procedure is opened the next time.
        """
        self._check_soon.stop()
        self._durations.stop()
        self._stop_hearing()
        self.jobs.close()
        self.films.close()
        self.document.close(discard=discard)

    def _read_facts(self, recording: str) -> None:
        path = self.films.path(recording)
        if path is not None:
            self.jobs.run(
                f"facts of {recording}",
                lambda progress, cancel: facts_of(path, progress, cancel),
                lambda facts: self._take_facts(recording, facts),
                lambda error: self.tell("error", str(error)),
            )

    def _take_facts(self, recording: str, facts: RecordingFacts) -> None:
        """Take what the reading found."""
        self._facts[recording] = facts
        self._check_soon.start()
        self._put_durations()

    def _put_durations(self) -> None:
        """Put the durations right that containers have said otherwise.

        While work of an earlier run is offered nothing is changed.
        """
        if self.document.recovery is not None:
            self._durations.start()
            return
        for ref in () if self.document.read_only else self.procedure.recordings:
            facts = self._facts.get(ref.id)
            same = facts is not None and facts.sha256 == ref.sha256
            if facts is not None and same and facts.duration != ref.duration:
                with self.unasked():
                    self.do(SetField(("recordings", ref.id, "duration"), facts.duration))

    def _take_verdict(self, answer: tuple[Verdict, SortedRemarks]) -> None:
        verdict, self.sorted = answer
        self.verdict = verdict
        self.checked.emit(verdict)

    def _take_change(self, before: Procedure, _after: Procedure, _entry: object) -> None:
        self._signed = ""
        self._said_last.forget()
        if self._untold is None:
            self._untold = before
        if not self.document.in_gesture and not self._turning:
            self._tell_change()

    def _tell_change(self) -> None:
        """Tell what has changed since it was told last: of a gesture, once for all of it."""
        before, self._untold = self._untold, None
        if before is None:
            return
        after = self.procedure
        if self.placed() is None:
            self.choose_step(_near(before, after, self._step))
        self._check_soon.start()
        self.changed.emit(before, after)
        self.title_changed.emit()

    def _turn(self, turn: Callable[[], Change], words: str) -> None:
        """Undo or redo, and choose the step it is about; the keys stay where they are.

        The step is chosen before the change is told: what was shown need not be shown once more.
        """
        self._turning = True
        try:
            change = turn()
        finally:
            self._turning = False
        self.document.end_merge()
        untold, self._untold = self._untold, None
        if exists(self.procedure, change.place):
            self._choose_at(path_of(self.procedure, change.place))
        self._untold = untold
        self._tell_change()
        if change.entry is not None:
            self._tell_turned(words, change.entry.label)

    def _tell_turned(self, words: str, label: str) -> None:
        self.title_changed.emit()
        self.tell("advice", words.replace("%1", label))

    def _choose_at(self, path: TreePath) -> None:
        if len(path) >= 4 and path[0] == "sections" and path[2] == "steps":
            section = self.procedure.sections[int(path[1])]
            self.choose_step(section.steps[int(path[3])].id)


def _near(before: Procedure, after: Procedure, gone: str) -> str:
    """Return the step that stands where a step stood that is gone, or the last."""
    order = [placed.step.id for placed in before.placed_steps()]
    left = [placed.step.id for placed in after.placed_steps()]
    at = order.index(gone) if gone in order else 0
    if len(order) == len(left) and left[at] not in order:
        return left[at]  # it was renamed
    behind = next((one for one in order[at:] if one in set(left)), None)
    return behind or (left[-1] if left else "")
