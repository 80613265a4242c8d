"""A few large controls under the film, for the hand that holds the mouse."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from PyQt6.QtCore import QEvent, QSize, Qt
from PyQt6.QtGui import QAction
from PyQt6.QtWidgets import QHBoxLayout, QSizePolicy, QToolButton, QWidget

from author.bench.actions import Actions
from author.bench.theme import colours_of
from author.bench.views.film_icons import Sign, icon

_SPEEDS = {Fraction(1, 2): "½ ×", Fraction(1): "1 ×", Fraction(2): "2 ×"}


class FilmControls(QWidget):
    """Buttons that do the deeds of the film."""

    def __init__(self, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._deeds = deeds
        self._signs: dict[QToolButton, Sign] = {}
        self._drawn: dict[QToolButton, tuple[object, ...]] = {}
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(4)
        self.back = self._button("frame_back", self.tr("Back"), "back")
        self.run = self._button("play", self.tr("Run"), "run")
        self.on = self._button("frame_on", self.tr("On"), "on")
        self.speed = self._plain(self.tr("Speed"))
        self.loop = self._button("loop", self.tr("Over and over"), "loop")
        self.mark = self._button("mark", self.tr("Mark"), "mark")
        self.speed.clicked.connect(self._next_speed)
        for button in (self.back, self.on):
            button.setAutoRepeat(True)
            button.setAutoRepeatDelay(350)
            button.setAutoRepeatInterval(60)
        for each, said in (
            (self.run, (self.tr("Run"), self.tr("Halt"))),
            (self.mark, (self.tr("Mark"), self.tr("End it"))),
            (self.speed, tuple(_SPEEDS.values())),
        ):
            _keep_width(each, said)
        self.show_speed(Fraction(1))
        self._draw()

    def show_running(self, on: bool) -> None:
        """Let the button say what it does now."""
        self.run.setText(self.tr("Halt") if on else self.tr("Run"))
        self._signs[self.run] = "halt" if on else "run"
        self._draw()

    def show_mark(self, begun: bool) -> None:
        """Let the button say whether a step begins or ends."""
        self.mark.setText(self.tr("End it") if begun else self.tr("Mark"))
        self._signs[self.mark] = "end_mark" if begun else "mark"
        self._draw()

    def show_speed(self, speed: Fraction) -> None:
        """Say how fast the film runs."""
        self.speed.setText(_SPEEDS[speed])
        self.speed.setAccessibleName(self.tr("Speed: %1").replace("%1", _SPEEDS[speed]))

    def changeEvent(self, event: QEvent | None) -> None:
        """Draw anew in other colours."""
        super().changeEvent(event)
        if event is not None and event.type() == QEvent.Type.PaletteChange:
            self._draw()

    def _button(self, deed: str, words: str, sign: Sign) -> QToolButton:
        action: QAction = self._deeds[deed]
        button = self._plain(words)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        button.setIconSize(QSize(24, 24))
        keys = action.shortcut().toString()
        tip = action.text().replace("&", "")
        button.setToolTip(f"{tip} ({keys})" if keys else tip)
        button.setAccessibleName(tip)
        if action.isCheckable():
            button.setCheckable(True)
            action.toggled.connect(button.setChecked)
            button.toggled.connect(action.setChecked)
        else:
            button.clicked.connect(lambda _=False: action.trigger())
        self._signs[button] = sign
        return button

    def _plain(self, words: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(words)
        button.setMinimumSize(56, 56)
        button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._row.addWidget(button)
        return button

    def _next_speed(self) -> None:
        """Normal, half, double, and again."""
        half, double = self._deeds["half_speed"], self._deeds["double_speed"]
        if half.isChecked():
            half.setChecked(False)
            double.setChecked(True)
        elif double.isChecked():
            double.setChecked(False)
        else:
            half.setChecked(True)

    def _draw(self) -> None:
        colours = colours_of(self.palette())
        for button, sign in self._signs.items():
            wanted = (sign, colours.ink, colours.on_chosen, self.devicePixelRatioF())
            if self._drawn.get(button) != wanted:
                self._drawn[button] = wanted
                button.setIcon(icon(*wanted))


def _keep_width(button: QToolButton, said: Sequence[str]) -> None:
    """Give a button room for all that stands on it by turns: its neighbours do not move."""
    widest = 0
    for words in said:
        button.setText(words)
        widest = max(widest, button.sizeHint().width())
    button.setText(said[0])
    button.setMinimumWidth(widest)
