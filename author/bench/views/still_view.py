"""The still of the chosen step: which frame it is, what is drawn on it, and what it shows."""

from __future__ import annotations

from functools import partial

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QHideEvent, QImage, QResizeEvent, QShowEvent
from PyQt6.QtWidgets import (
    QBoxLayout,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from author.bench.actions import Actions
from author.bench.fields import LongField, TextField
from author.bench.images import FramePicture
from author.bench.session import Session
from author.bench.views.callout_list import CalloutList, shape_name
from author.bench.views.callout_pad import CalloutPad
from author.bench.views.callout_tools import TOOLS, Tool, address_in_still, reordered
from author.bench.views.still_hints import waiting, without, words_for
from author.bench.views.still_pictures import StillPictures
from author.bench.views.still_taking import StillTaking
from author.editing import NO_ALT, AddEntry, MoveEntry, RemoveEntry, SetField
from author.errors import ReelwrightError
from author.procedure.document import Procedure
from author.procedure.steps import Callout, Mask, Still
from author.procedure.times import clock_text

_BESIDE = 47
"""Width, in heights of a line, from which the list may stand beside the picture."""
_AROUND = 15
"""Height of all that stands above and under a picture, in heights of a line."""
_NO_LIMIT = 16_777_215
"""Qt's word for no limit of a size."""
Place = tuple[str | int, ...]


class StillView(QWidget):
    """Shows the still of the chosen step and lets callouts and masks be drawn on it."""

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._deeds = deeds
        self.pictures = StillPictures(session, self)
        self.taking = StillTaking(session, self)
        self._step = ""
        self._still: Still | None = None
        self._lost = ""
        self._is_laid: tuple[bool, bool, bool] | None = None
        self.setAccessibleName(self.tr("Still of the step"))
        self._make()
        self._lay_out()
        self._connect()
        self._read(force=True)

    # --- what it is made of ---

    def _make(self) -> None:
        self._words = TextField(self._session, None, self.tr("Words of the callout"))
        self._words.setPlaceholderText(self.tr("Words, then Enter"))
        self.pad = CalloutPad(self._words)
        self.pad.setAccessibleName(self.tr("Picture with its callouts"))
        self.list = CalloutList()
        self.list.setAccessibleName(self.tr("Callouts and hidden areas"))
        self.alt = LongField(
            self._session, None, self.tr("What the picture shows, in words"), blank=NO_ALT
        )
        self.alt.setPlaceholderText(self.tr("For a reader who cannot see the picture"))
        self.hint = QLabel()
        self.hint.setProperty("quiet", True)
        self.hint.setWordWrap(True)
        self.hint.setMinimumHeight(2 * self.hint.fontMetrics().lineSpacing())
        self.hint.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self.which = QLabel()
        self.which.setAccessibleName(self.tr("Moment of the still"))
        self.which.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.buttons: dict[str, QToolButton] = {
            "take_still": self._button("take_still", self.tr("This frame")),
            "best_still": self._button("best_still", self.tr("Best frame near it")),
            **{tool: self._button(tool, shape_name(tool), tool=True) for tool in TOOLS[:-1]},
            "mask": self._button("mask", self.tr("Hide"), tool=True),
        }
        self.up = self._small(self.tr("Earlier"), self.tr("Move it up the list (Ctrl+Up)"))
        self.down = self._small(self.tr("Later"), self.tr("Move it down the list (Ctrl+Down)"))
        self.write = self._small(self.tr("Words"), self.tr("Write its words (Enter)"))
        self.remove = self._small(self.tr("Remove"), self.tr("Remove it (Delete)"))

    def _button(self, deed: str, words: str, *, tool: bool = False) -> QToolButton:
        button = QToolButton(self)
        button.setText(words)
        button.setCheckable(tool)
        action = self._deeds[deed]
        keys = action.shortcut().toString()
        plain = action.text().replace("&", "")
        button.setToolTip(f"{plain} ({keys})")
        button.setAccessibleName(plain)
        button.clicked.connect(action.trigger)
        return button

    def _small(self, words: str, tip: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(words)
        button.setToolTip(tip)
        button.setAccessibleName(tip)
        return button

    def _lay_out(self) -> None:
        self._rows = QBoxLayout(QBoxLayout.Direction.TopToBottom)
        self._rows.setSpacing(4)
        frames, tools = QHBoxLayout(), QHBoxLayout()
        self._acts = QGridLayout()
        for name, row in ((n, tools if n in TOOLS else frames) for n in self.buttons):
            row.addWidget(self.buttons[name])
        frames.addWidget(self.which, 1)
        tools.addStretch(1)
        for button in (self.up, self.down, self.write, self.remove):
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        for row in (frames, tools):
            row.setSpacing(2)
        self._acts.setSpacing(2)
        self._rows.addLayout(frames)
        self._rows.addLayout(tools)
        self._side = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._side.setSpacing(2)
        self._side.addWidget(self.list, 1)
        self._side.addLayout(self._acts)
        self._middle = QBoxLayout(QBoxLayout.Direction.TopToBottom)
        self._middle.addWidget(self.pad, 1)
        self._middle.addLayout(self._side)
        about = QLabel(self.tr("What it sho&ws"))
        about.setBuddy(self.alt)
        alt = QHBoxLayout()
        alt.addWidget(about)
        alt.addWidget(self.alt, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 6, 6, 6)
        column.setSpacing(4)
        column.addLayout(self._rows)
        column.addLayout(self._middle, 1)
        column.addWidget(self.hint)
        column.addLayout(alt)

    def _connect(self) -> None:
        session, deeds = self._session, self._deeds
        deeds["take_still"].triggered.connect(self.taking.this_frame)
        deeds["best_still"].triggered.connect(self.taking.best_frame)
        self.taking.wanted.connect(self._show)
        deeds["still"].toggled.connect(self._take_keys)
        deeds["alt"].triggered.connect(self.write_alt)
        for tool in TOOLS:
            deeds[tool].triggered.connect(partial(self.take_tool, tool))
        session.changed.connect(self._follow)
        session.step_chosen.connect(lambda _: self._read())
        session.place_wanted.connect(self._go_to)
        session.films.indexed.connect(self._look_again)
        session.films.shown.connect(self._borrow)
        self.pictures.came.connect(lambda *_: self._show_picture())
        self.pictures.failed.connect(self._lose)
        self.pad.drawn.connect(self._add)
        self.pad.altered.connect(self._alter)
        self.pad.removed.connect(self._remove)
        self.pad.words.writing.connect(self._bind_words)
        self.pad.chosen.connect(self.list.show_chosen)
        self.pad.chosen.connect(self._enable)
        self.pad.state_changed.connect(self._tell_state)
        self.list.picked.connect(self.pad.choose)
        self.list.removed.connect(self._remove)
        self.list.wanted_words.connect(self.pad.write)
        self.list.moved.connect(self._reorder)
        self.up.clicked.connect(lambda: self._reorder(self.pad.chosen_item, -1))
        self.down.clicked.connect(lambda: self._reorder(self.pad.chosen_item, 1))
        self.write.clicked.connect(lambda: self.pad.write(self.pad.chosen_item))
        self.remove.clicked.connect(lambda: self._remove(self.pad.chosen_item))

    # --- callouts ---

    def take_tool(self, tool: Tool) -> None:
        """Begin to draw on the still."""
        if self._still is None:
            words = self.tr("Take a still first: P for this frame, B for the best one near it")
            self._session.tell("warning", words)
            self._tell_state()
            return
        self._show()
        self.pad.take_tool(tool)

    def write_alt(self) -> None:
        """Let it be written what the picture shows."""
        self._show()
        self.alt.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _add(self, item: Callout | Mask) -> None:
        if self._still is None:
            return
        is_mask = isinstance(item, Mask)
        into = self._at("masks" if is_mask else "callouts")
        if self._session.do(AddEntry(into, item)):
            count = len(self._still.callouts or ())
            self.pad.choose(count + len(self._still.masks or ()) - 1 if is_mask else count - 1)
            self.pad.write(self.pad.chosen_item)

    def _alter(self, item: int, after: Callout | Mask, gesture: str) -> None:
        if self._still is not None:
            at = self._at(*address_in_still(self._still, item))
            self._session.do(SetField(at, after), merge=f"{'/'.join(map(str, at))} {gesture}")

    def _remove(self, item: int) -> None:
        if self._still is None or not 0 <= item < len(self.pad.items):
            return
        if self._session.do(RemoveEntry(self._at(*address_in_still(self._still, item)))):
            self.pad.choose(min(item, len(self.pad.items) - 1))

    def _reorder(self, item: int, by: int) -> None:
        if self._still is None or not 0 <= item < len(self.pad.items):
            return
        key, index = address_in_still(self._still, item)
        count = len(getattr(self._still, key) or ())
        to = reordered(count, index, by)
        if to is None:
            return
        before = to if by < 0 else to + 1
        done = self._session.do(MoveEntry(self._at(key, index), before if before < count else None))
        if done:
            self.pad.choose(item + by)

    def _bind_words(self, item: int) -> None:
        if item >= 0 and self._still is not None:
            self._words.place.bind(self._at(*address_in_still(self._still, item), "text"))
        else:
            self._words.place.bind(None)

    def _at(self, *rest: str | int) -> Place:
        return ("steps", self._step, "still", *rest)

    # --- what it shows ---

    def _follow(self, _before: Procedure, _after: Procedure) -> None:
        self._read()

    def _read(self, *, force: bool = False) -> None:
        """Take the chosen step's still out of the newest snapshot."""
        placed = self._session.placed()
        still = placed.step.still if placed else None
        if not force and still is self._still and self._step == self._session.step:
            return
        if self._step != self._session.step:
            self._step = self._session.step
            self.pad.begin_anew()
        had, self._still = self._still, still
        self._lost = ""
        self.pad.set_still(still)
        self.list.items.set_still(still)
        self.list.show_chosen(self.pad.chosen_item)
        if force or (had is None) != (still is None) or self.alt.place.at != self._at("alt"):
            self.alt.place.bind(self._at("alt") if still is not None else None)
            self.alt.setEnabled(still is not None)
        self._enable()
        self._show_picture()
        self._arrange()
        self._tell_state()

    def _frame(self) -> int | None:
        """Return the frame of the still; None while no index says which it is."""
        films, still = self._session.films, self._still
        index = films.index(still.recording) if still else None
        if still is None or index is None:
            return None
        frame = index.index_at(still.at)
        if frame < len(index.ticks):
            return frame
        # A part of an index may end before the mark; of a whole one it means the last frame.
        return len(index.ticks) - 1 if films.is_exact(still.recording) else None

    def _show_picture(self) -> None:
        still, frame = self._still, self._frame()
        self._tell_which()
        if still is None:
            self.pad.set_picture(None, without(self._step))
            return
        if not self.isVisible() or frame is None or self._lost:
            self.pad.set_picture(None, self._lost or waiting(self._session, still))
            return
        image = self.pictures.of(still.recording, frame)
        self.pad.set_picture(
            image or self._seen(still.recording, frame), waiting(self._session, still)
        )
        self._arrange()

    def _seen(self, recording: str, frame: int) -> QImage | None:
        """Return the picture the film shows, if it is of this very frame."""
        films = self._session.films
        seen, start = films.picture, films.start_of(frame, recording)
        here = seen is not None and (seen.recording, seen.start) == (recording, start)
        return seen.image if seen is not None and here else None

    def _borrow(self, picture: FramePicture) -> None:
        """Show what the film shows if it is this very frame and nothing better is there."""
        still = self._still
        if still is not None and self.pictures.waiting and picture.recording == still.recording:
            self._show_picture()

    def _look_again(self, recording: str) -> None:
        """Find the frame in a better index."""
        if self._still is not None and self._still.recording == recording:
            self._lost = ""
            self._show_picture()

    def _lose(self, recording: str, frame: int, error: ReelwrightError) -> None:
        if self._still is not None and (recording, frame) == (self._still.recording, self._frame()):
            self._lost = self.tr("The picture cannot be shown: {why}").format(why=error)
            self._show_picture()

    def _tell_which(self) -> None:
        still = self._still
        self.which.setText("" if still is None else clock_text(still.at, 3))
        self.which.setToolTip("" if still is None else still.recording)

    def _tell_state(self) -> None:
        """Say what the keys do now, where a person looks and to assistive technology."""
        for tool in TOOLS:
            self.buttons[tool].setChecked(self.pad.tool == tool)
        words = words_for(self.pad, self._still)
        self.hint.setText(words)
        self.pad.setAccessibleDescription(words)

    def _enable(self) -> None:
        item, count = self.pad.chosen_item, len(self.pad.items)
        for button in (self.up, self.down, self.remove):
            button.setEnabled(0 <= item < count)
        self.write.setEnabled(0 <= item < count and isinstance(self.pad.items[item], Callout))

    # --- coming and going ---

    def _show(self) -> None:
        self._deeds["still"].setChecked(True)

    def _take_keys(self, on: bool) -> None:
        if on:
            self.pad.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _go_to(self, path: Place) -> None:
        """Show a place of the document that lies in the still."""
        if len(path) < 5 or path[4] != "still" or self._still is None:
            return
        self._show()
        if path[5:6] == ("alt",):
            self.alt.setFocus(Qt.FocusReason.OtherFocusReason)
        elif len(path) > 6 and path[5] in ("callouts", "masks"):
            before = len(self._still.callouts or ()) if path[5] == "masks" else 0
            self.pad.choose(before + int(path[6]))

    def showEvent(self, event: QShowEvent | None) -> None:
        """Fetch the picture now that it is looked at."""
        super().showEvent(event)
        self._show_picture()

    def hideEvent(self, event: QHideEvent | None) -> None:
        """Leave off drawing, and let go what only fetches pictures."""
        super().hideEvent(event)
        self.pad.lay_down()
        self.pictures.rest()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Put the list beside the picture where there is room."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        """Give the picture the room that its shape can use; an empty list takes none."""
        there = bool(self.pad.items)
        for part in (self.list, self.up, self.down, self.write, self.remove):
            part.setVisible(there)
        line = self.fontMetrics().height()
        tall = self.pad.is_tall
        left = self.height() - self.width() * 9 // 16 - _AROUND * line  # with the list below
        wide = tall or (self.width() >= _BESIDE * line and left < 0)
        self.list.setMaximumHeight(_NO_LIMIT if wide else self.list.few() + max(0, left))
        roomy = wide and self.width() >= _BESIDE * line
        if (wide, roomy, there) == self._is_laid:
            return
        self._is_laid = (wide, roomy, there)
        across, down = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._rows.setDirection(across if roomy else down)
        self._middle.setDirection(across if wide else down)
        columns = 4 if roomy else 2
        for at, button in enumerate((self.up, self.down, self.write, self.remove)):
            self._acts.addWidget(button, at // columns, at % columns)
        self._side.setDirection(down if wide else across)
        self._middle.setStretch(0, 3)
        self._middle.setStretch(1, 1 if wide else 0)
