"""The film: the frame that is looked at with its time, what is said, and a row of controls."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt, QTimer
from PyQt6.QtGui import QColor, QFocusEvent, QPainter, QPaintEvent, QPen
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from author.bench.actions import Actions
from author.bench.beside import FILM
from author.bench.images import FramePicture
from author.bench.playing import Player
from author.bench.sound import Loudspeaker
from author.bench.theme import colours_of, follow_type
from author.bench.views import film_moves
from author.bench.views.film_controls import FilmControls
from author.bench.views.film_deeds import FilmDeeds
from author.bench.views.film_goto import GoToTime
from author.bench.views.film_picture import FilmPicture
from author.bench.views.labels import FewLines
from author.bench.views.step_marks import not_found
from author.errors import ReelwrightError
from author.procedure.times import clock_text
from author.recording.captions import captions_beside

if TYPE_CHECKING:
    from author.bench.session import Session

_SHARPEN_AFTER = 160  # milliseconds at rest


class FilmView(QWidget):
    """Shows the recording in front, and moves in it."""

    def __init__(
        self,
        session: Session,
        deeds: Actions,
        parent: QWidget | None = None,
        *,
        speaker: Loudspeaker | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._films = session.films
        self._deeds = deeds
        self.player = Player(self._films, self, speaker)
        self.walking = FilmDeeds(session, deeds, self.player, self)
        self.picture = FilmPicture(self)
        self.time = QLabel()
        self.place = QLabel()
        self.said = FewLines(parent=self)
        self.reading = QLabel()
        self.goto = GoToTime(session, self)
        self.controls = FilmControls(deeds, self)
        self._sharpen = QTimer(self)
        self._sharpen.setSingleShot(True)
        self._sharpen.setInterval(_SHARPEN_AFTER)
        self._sharpen.timeout.connect(self._want_full)
        self._name()
        self._lay_out()
        self._connect_films()
        deeds["go_to_time"].triggered.connect(self.goto.ask)
        self.goto.gone.connect(lambda: self.setFocus(Qt.FocusReason.ShortcutFocusReason))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._begin()

    def stop(self) -> None:
        """End what runs for the film. May be called twice."""
        self.walking.stop()
        self._sharpen.stop()
        self.player.stop()

    # --- how it looks ---

    def _name(self) -> None:
        self.setObjectName(FILM)
        self.setAccessibleName(self.tr("Film"))
        self.picture.setAccessibleName(self.tr("Frame of the film"))
        self.time.setAccessibleName(self.tr("Time of the frame shown"))
        self.place.setAccessibleName(self.tr("Seconds, frame and recording"))
        self.said.setAccessibleName(self.tr("What is said at this time"))
        self.reading.setAccessibleName(self.tr("How far the recording was read"))

    def _lay_out(self) -> None:
        follow_type(self.time, 1.5, bold=True)
        for label in (self.place, self.reading):
            label.setProperty("quiet", True)
        self.place.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        row = QHBoxLayout()
        row.setSpacing(10)
        row.addWidget(self.time)
        row.addWidget(self.place, 1)
        row.addWidget(self.reading)
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 4, 4, 4)
        column.setSpacing(4)
        column.addWidget(self.picture, 1)
        column.addWidget(self.goto)
        column.addLayout(row)
        column.addWidget(self.said)
        column.addWidget(self.controls)

    def paintEvent(self, event: QPaintEvent | None) -> None:
        """Draw a frame around the film when it has the keys."""
        super().paintEvent(event)
        if self.hasFocus():
            painter = QPainter(self)
            painter.setPen(QPen(QColor(colours_of(self.palette()).chosen), 2))
            painter.drawRect(self.picture.geometry().adjusted(-2, -2, 2, 2))

    def focusInEvent(self, event: QFocusEvent | None) -> None:
        """Show that the film has the keys."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        """Show that it has them no longer."""
        super().focusOutEvent(event)
        self.update()

    # --- what comes from the films ---

    def _connect_films(self) -> None:
        films = self._films
        films.opened.connect(self._take_opened)
        films.front_changed.connect(lambda _: self._begin())
        films.shown.connect(self._take_picture)
        films.failed.connect(self._take_failure)
        films.moved.connect(lambda *_: self._sharpen.stop())
        films.reading.connect(self._take_reading)
        films.surveyed.connect(self._take_surveyed)
        films.indexed.connect(lambda _: self._take_index())
        films.captioned.connect(lambda _: self._say())
        self.player.running_changed.connect(self._take_running)
        self.walking.speed_changed.connect(self.controls.show_speed)
        self._session.mark_changed.connect(lambda at: self.controls.show_mark(at is not None))
        for recording in films.recordings:
            self._take_opened(recording)

    def _begin(self) -> None:
        """Show what there is of the recording in front."""
        self.time.clear()
        self.place.clear()
        self.said.say("")
        self.reading.clear()
        picture = self._films.picture
        if picture is not None and self._films.front:
            self._take_picture(picture)
            return
        path = self._films.path(self._films.front)
        error = self._films.broken()
        if error is not None:
            self.picture.show_words(_in_words(error))
        elif path is not None:
            self.picture.show_words(self.tr("Opening %1 …").replace("%1", path.name))
        else:
            self.picture.show_words(self._no_film())

    def _no_film(self) -> str:
        missing = [ref.file for ref in self._session.procedure.recordings]
        if missing:
            return not_found(missing)
        return self.tr("No recording is open.")

    def _take_picture(self, picture: FramePicture) -> None:
        self.picture.show_picture(picture)
        self._tell_time(picture)
        if picture.quality != "preview" and not self.player.running:
            self._sharpen.start()

    def _tell_time(self, picture: FramePicture) -> None:
        """Say the time of the frame shown, never that of one still to come."""
        path = self._films.path(picture.recording)
        last = self._films.count(picture.recording) - 1
        self.time.setText(clock_text(picture.start, 3))
        words = self.tr("%1 s · frame %2, last %3 · %4")
        for sign, value in (
            ("%1", f"{picture.start:.6f}"),
            ("%2", str(picture.frame)),
            ("%3", str(last)),
            ("%4", path.name if path else ""),
        ):
            words = words.replace(sign, value)
        self.place.setText(words)
        self.place.setToolTip(words)
        self._say()

    def _say(self) -> None:
        picture = self.picture.picture
        if picture is not None:
            self.said.say(film_moves.said_at(self._films.captions(), picture.start))

    def _take_failure(self, recording: str, error: ReelwrightError) -> None:
        if recording != self._films.front:
            return
        broken = self._films.broken() is not None
        if broken and self._films.picture is not None:
            return  # what was shown stays; the status line says the rest
        self.player.halt()
        self.picture.show_words(_in_words(error))
        self.time.clear()
        self.place.clear()
        self.said.say("")
        self.reading.clear()

    def _take_reading(self, recording: str, job: str, done: int, total: int | None) -> None:
        if recording == self._films.front:
            part = f" {100 * done // total} %" if total else ""
            self.reading.setText(self.tr("reading") + part)
            self.reading.setToolTip(f"{job}: {done} / {total}" if total else f"{job}: {done}")

    def _take_surveyed(self, recording: str) -> None:
        if recording == self._films.front:
            self.reading.clear()
            self.reading.setToolTip("")

    def _take_index(self) -> None:
        if self.picture.picture is not None:
            self._tell_time(self.picture.picture)

    def _take_running(self, on: bool) -> None:
        self.controls.show_running(on)
        if not on:
            self._sharpen.start()

    def _want_full(self) -> None:
        if self.player.running:
            return
        if self.picture.wants_full():
            self._films.sharpen()
        else:
            self.picture.refine()

    # --- captions ---

    def _take_opened(self, recording: str) -> None:
        path = self._films.path(recording)
        if path is not None:
            self._session.jobs.run(
                f"captions-{recording}",
                lambda _progress, _cancel: captions_beside(path),
                partial(self._films.set_captions, recording),
                lambda error: self._session.tell("warning", str(error)),
            )


def _in_words(error: ReelwrightError) -> str:
    name = Path(error.file).name if error.file else ""
    return "\n\n".join(part for part in (f"{name} {error.problem}".strip(), error.remedy) if part)
