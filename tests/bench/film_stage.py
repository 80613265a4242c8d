"""A window with nothing but the film and its tape, and a loudspeaker that only counts."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
from PyQt6.QtGui import QImage
from PyQt6.QtWidgets import QMainWindow, QSplitter
from recording import films

from author.bench.actions import Actions
from author.bench.images import FramePicture
from author.bench.session import Session
from author.bench.views.film_view import FilmView
from author.bench.views.tape_view import TapeView
from author.procedure.times import clock_text


def number_in(image: QImage) -> int:
    """Return the number a picture carries."""
    image = image.convertToFormat(QImage.Format.Format_RGB888)
    data = np.frombuffer(image.constBits().asarray(image.sizeInBytes()), np.uint8)
    rows = data.reshape(image.height(), image.bytesPerLine())[:, : image.width() * 3]
    return films.number_in(rows.reshape(image.height(), image.width(), 3))


class Speaker:
    """A sound device whose clock the test sets."""

    def __init__(self, *, there: bool = True) -> None:
        self.there = there
        self.now = 0.0
        self.sounding = False
        self.lost = False
        self.waiting = 0
        self.heard = bytearray()
        self.begun = 0

    def available(self) -> bool:
        return self.there

    def begin(self) -> bool:
        self.sounding, self.now = True, 0.0
        self.begun += 1
        return True

    def give(self, data: bytes) -> None:
        self.heard += data

    def feed(self) -> None:
        pass

    def seconds(self) -> float:
        return self.now

    def end(self) -> None:
        self.sounding = False
        self.heard.clear()


class Stage(QMainWindow):
    """Film and tape beside one another; every picture painted is looked at."""

    def __init__(self, session: Session, speaker: Speaker | None = None) -> None:
        super().__init__()
        self.session = session
        self.desk = session.films
        self.deeds = Actions(self)
        self.speaker = speaker or Speaker(there=False)
        self.film = FilmView(session, self.deeds, speaker=self.speaker)
        self.tape = TapeView(session, self.deeds)
        across = QSplitter()
        across.addWidget(self.film)
        across.addWidget(self.tape)
        across.setSizes([600, 300])
        self.setCentralWidget(across)
        self.said: list[tuple[str, str]] = []
        session.said.connect(lambda severity, words: self.said.append((severity, words)))
        self.painted: list[FramePicture] = []
        self.film.picture.painted.connect(self._look)
        self.resize(900, 600)

    def _look(self, picture: FramePicture) -> None:
        assert number_in(picture.image) == picture.frame
        assert self.film.time.text() == clock_text(picture.start, 3)
        assert f"{picture.start:.6f} s · frame {picture.frame}, " in self.film.place.text()
        self.painted.append(picture)

    def there(self, frame: int) -> bool:
        """Whether a frame stands on the screen and nothing else is on its way."""
        shown = self.film.picture.picture
        return shown is not None and shown.frame == frame and not self.desk.waiting

    @property
    def recording(self) -> str:
        return self.desk.front

    def at(self, seconds: str) -> int:
        return self.desk.frame_at(Decimal(seconds))
