"""What the keys of the film do: run, walk, go somewhere, over and over, to the other recording."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING

from PyQt6.QtCore import QCoreApplication, QObject, pyqtSignal

from author.bench.actions import Actions
from author.bench.clock import SharedClock
from author.bench.playing import DOUBLE, HALF, NORMAL, Player
from author.bench.views import film_moves

if TYPE_CHECKING:
    from author.bench.session import Session


class FilmDeeds(QObject):
    """Does the deeds of the menu Film on the recording in front."""

    speed_changed = pyqtSignal(object)
    """How fast the film runs: a ``Fraction``."""

    def __init__(
        self,
        session: Session,
        deeds: Actions,
        player: Player,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._films = session.films
        self._deeds = deeds
        self._player = player
        self.clock = SharedClock(session.films, session.jobs, self)
        self._held = film_moves.HeldKey(self)
        application = QCoreApplication.instance()
        if application is not None:
            application.installEventFilter(self._held)
        player.told.connect(session.tell)
        session.step_chosen.connect(self._loop_again)
        session.changed.connect(self._loop_again)
        session.mark_changed.connect(self._loop_again)
        self._films.indexed.connect(self._loop_again)
        self._connect_deeds()

    def stop(self) -> None:
        """Listen to keys no longer. May be called twice."""
        application = QCoreApplication.instance()
        if application is not None:
            application.removeEventFilter(self._held)

    def _connect_deeds(self) -> None:
        films = self._films
        ways: dict[str, Callable[[], int | None]] = {
            "frame_back": lambda: films.frame - 1,
            "frame_on": lambda: films.frame + 1,
            "second_back": lambda: film_moves.seconds_away(films, -1),
            "second_on": lambda: film_moves.seconds_away(films, 1),
            "shot_back": lambda: film_moves.change_away(films, -1),
            "shot_on": lambda: film_moves.change_away(films, 1),
            "pause_back": lambda: film_moves.pause_away(films, -1),
            "pause_on": lambda: film_moves.pause_away(films, 1),
            "film_start": lambda: 0,
            "film_end": lambda: films.count() - 1,
        }
        for name, way in ways.items():
            self._deeds[name].triggered.connect(partial(self._go, name, way))
        self._deeds["play"].triggered.connect(self._player.toggle)
        self._deeds["half_speed"].toggled.connect(partial(self._take_speed, "half_speed"))
        self._deeds["double_speed"].toggled.connect(partial(self._take_speed, "double_speed"))
        self._deeds["loop"].toggled.connect(lambda _: self._take_loop())
        self._deeds["other_recording"].triggered.connect(self._other_recording)

    def _go(self, name: str, way: Callable[[], int | None], _checked: bool = False) -> None:
        """Go somewhere; a key that is held waits until there is something to see."""
        films = self._films
        if not films.count() or (self._held.repeats and films.waiting):
            return
        if name.startswith("frame"):
            self._player.halt()
        goal = way()
        if goal is None:
            self._session.tell(
                "advice", self.tr("That is known when the recording has been read through.")
            )
        elif goal != films.frame or films.picture is None:
            films.show(goal)

    def _take_speed(self, name: str, on: bool) -> None:
        other = self._deeds["double_speed" if name == "half_speed" else "half_speed"]
        if on and other.isChecked():
            # The way from one to the other leads through the speed as filmed.
            other.setChecked(False)
            self._deeds[name].setChecked(False)
        half, double = self._deeds["half_speed"], self._deeds["double_speed"]
        speed = HALF if half.isChecked() else DOUBLE if double.isChecked() else NORMAL
        self._player.set_speed(speed)
        self.speed_changed.emit(speed)

    def _take_loop(self) -> None:
        """Begin or end to run a span over and over: from the mark to here, or the step's."""
        span = self._span() if self._deeds["loop"].isChecked() else None
        if span is None and self._deeds["loop"].isChecked():
            self._session.tell("advice", self.tr("The chosen step has no span in this recording."))
            self._deeds["loop"].setChecked(False)
            return
        self._player.set_loop(span)

    def _span(self) -> tuple[Decimal, Decimal] | None:
        mark = self._session.mark
        if mark is not None and mark < self._films.moment:
            return mark, self._films.moment
        placed = self._session.placed()
        clip = placed.step.clip if placed is not None else None
        if clip is None or clip.recording != self._films.front:
            return None
        return clip.start, clip.end

    def _loop_again(self, *_: object) -> None:
        """The step or its span is another one: follow it."""
        if not self._deeds["loop"].isChecked() or self._session.mark is not None:
            return
        span = self._span()
        if span != self._player.loop:
            self._player.set_loop(span)

    def _other_recording(self) -> None:
        films = self._films
        if len(films.recordings) < 2:
            self._session.tell("advice", self.tr("There is only one recording."))
            return
        here = films.front
        at = films.recordings.index(here)
        goal = films.recordings[(at + 1) % len(films.recordings)]
        moment = self.clock.same_moment(films.moment, here, goal)
        self._player.halt()
        films.bring_to_front(goal)
        end = films.start_of(films.count())
        if moment is None:
            self._say_why_not(here if self.clock.unsure(here) else goal)
        elif films.count() and not 0 <= moment <= end:
            self._session.tell(
                "advice",
                self.tr(
                    "That recording did not run at this moment: it is shown where it was left."
                ),
            )
        else:
            films.show_at(moment)

    def _say_why_not(self, recording: str) -> None:
        error = self.clock.unsure(recording)
        if error is None:
            words = self.tr(
                "The clocks are compared when both recordings are read: each film keeps its place."
            )
        else:
            words = self.tr(
                "How the clocks of these recordings stand could not be told for sure (%1): "
                "each film keeps its place."
            )
            words = words.replace("%1", error.problem)
        self._session.tell("advice", words)
