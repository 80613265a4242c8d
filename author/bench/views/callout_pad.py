"""The still on which callouts and masks are drawn, by mouse or wholly by keys."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from PyQt6.QtCore import QEvent, QPointF, QRectF, Qt, pyqtSignal
from PyQt6.QtGui import QKeyEvent, QMouseEvent, QPainter, QResizeEvent
from PyQt6.QtWidgets import QLineEdit, QWidget

from author.bench.views import callout_drawing as drawing
from author.bench.views.callout_keys import ENTER, PAD, REMOVE, STEPS, Ninths, figure_of
from author.bench.views.callout_marks import draw_cross, draw_grips
from author.bench.views.callout_tools import (
    COARSE,
    FINE,
    MIDDLE,
    ONE_PLACE,
    Grip,
    Tool,
    dragged,
    drawn,
    grips,
    items_of,
    nudged,
)
from author.bench.views.picture_pane import PicturePane
from author.bench.views.words_in_place import WordsInPlace
from author.procedure.callout_places import Place, filled, place
from author.procedure.steps import Callout, Mask, Still

_MIDDLE: Place = (Decimal("0.5000"), Decimal("0.5000"))
_CLICK = 5  # pixels a pointer may wander in a click


@dataclass(slots=True)
class _Drag:
    grip: Grip | None
    start: Place
    pressed: QPointF
    item: Callout | Mask | None = None
    has_moved: bool = False


class CalloutPad(PicturePane):
    """Shows a still with its callouts and masks, and turns gestures into wishes.

    It changes nothing itself: whoever owns it hears what is wished and gives it the new still.
    """

    drawn = pyqtSignal(object)
    """A new ``Callout`` or ``Mask``."""
    altered = pyqtSignal(int, object, str)
    """An item has another form or place: its index, what it is now, a word of the gesture."""
    removed = pyqtSignal(int)
    chosen = pyqtSignal(int)
    """Another item is chosen; -1 for none."""
    state_changed = pyqtSignal()
    """Another tool, another item, or the cross moved: what is said about it is out of date."""

    def __init__(self, field: QLineEdit, parent: QWidget | None = None) -> None:
        """Make an empty pad.

        Args:
            field: in which the words of a callout are written where they stand.
            parent: owner.
        """
        super().__init__(parent)
        self.setMouseTracking(True)
        self.words = WordsInPlace(field, self)
        self._still: Still | None = None
        self._tool: Tool | None = None
        self._chosen = -1
        self._cross = _MIDDLE
        self._ninths = Ninths()
        self._start: Place | None = None
        self._drag: _Drag | None = None
        self._preview: Callout | Mask | None = None
        self._gesture = 0
        self._gesture_kind = ""

    # --- what it shows ---

    def set_still(self, still: Still | None) -> None:
        """Show the callouts and masks of a still; what was being dragged is left as it was."""
        if still is self._still:
            return
        self._still = still
        self._drag = self._preview = None
        if self._chosen >= len(self.items):
            self.choose(-1)
        if self.words.item >= len(self.items):
            self.words.end()
        self.update()

    @property
    def items(self) -> tuple[Callout | Mask, ...]:
        """Callouts, then masks, that are shown."""
        return items_of(self._still)

    @property
    def chosen_item(self) -> int:
        """Index of the chosen item; -1 for none."""
        return self._chosen

    @property
    def tool(self) -> Tool | None:
        """What is being drawn."""
        return self._tool

    @property
    def cross(self) -> Place | None:
        """Where the cross stands while something is drawn."""
        return self._cross if self._tool else None

    @property
    def started(self) -> bool:
        """Whether the first of two places is set."""
        return self._start is not None

    def laid(self) -> list[drawing.Laid]:
        """Return where everything is drawn, what is being drawn last."""
        rect = self.picture_rect()
        shown = list(self.items)
        if self._preview is not None:
            if self._drag is not None and self._drag.item is not None and self._chosen >= 0:
                shown[self._chosen] = self._preview
            else:  # among its own kind, so that a leader has the number it will have
                count = len(self._still.callouts or ()) if self._still else 0
                shown.insert(
                    len(shown) if isinstance(self._preview, Mask) else count, self._preview
                )
        return drawing.lay_out(shown, rect, self.unit())

    # --- wishes from outside ---

    def take_tool(self, tool: Tool) -> None:
        """Begin to draw: the keys move a cross now, and so does the pointer."""
        self.words.end()
        self._tool, self._start, self._preview, self._drag = tool, None, None, None
        self._ninths = Ninths()
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.update()
        self.state_changed.emit()

    def lay_down(self) -> None:
        """Draw nothing any more."""
        self._tool, self._start, self._preview, self._drag = None, None, None, None
        self.unsetCursor()
        self.update()
        self.state_changed.emit()

    def begin_anew(self) -> None:
        """Be as for a still that was not worked on yet."""
        self.words.end()
        self.choose(-1)
        self._cross = _MIDDLE
        self.lay_down()

    def choose(self, item: int) -> None:
        """Choose an item; -1 for none."""
        if item == self._chosen or item >= len(self.items):
            return
        self._chosen = item
        self._new_gesture("")
        self.update()
        self.chosen.emit(item)
        self.state_changed.emit()

    def write(self, item: int) -> None:
        """Let the words of a callout be written where they stand; a mask has none."""
        if not 0 <= item < len(self.items) or isinstance(self.items[item], Mask):
            return
        self.choose(item)
        self._new_gesture("words")
        self.words.begin(item, self._laid_to_write(item))

    # --- keys ---

    def event(self, event: QEvent | None) -> bool:
        """Keep keys that mean something here from the menu."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and self._is_ours(event)
        ):
            event.accept()
            return True
        return super().event(event)

    def _is_ours(self, event: QKeyEvent) -> bool:
        key = event.key()
        if self._tool is not None:
            figure = figure_of(key) is not None and not event.modifiers() & ~PAD
            return figure or key in (*STEPS, *ENTER, Qt.Key.Key_Escape)
        if self._drag is not None and key == Qt.Key.Key_Escape:
            return True
        plain = key not in ENTER or not event.modifiers() & ~PAD
        return self._chosen >= 0 and plain and key in (*STEPS, *ENTER, *REMOVE)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Move the cross or the chosen item, set a place, write words, remove, or leave off."""
        if event is None:
            return
        if not self._is_ours(event):
            super().keyPressEvent(event)
        elif self._tool is not None and (figure := figure_of(event.key())) is not None:
            self._put_cross(self._ninths.enter(figure))
        elif event.key() in STEPS:
            self._step(Qt.Key(event.key()), event.modifiers())
        elif event.key() == Qt.Key.Key_Escape:
            self.lay_down()
        elif self._tool is not None:
            self._set_place()
        elif event.key() in REMOVE:
            self.removed.emit(self._chosen)
        else:
            self.write(self._chosen)

    def focusNextPrevChild(self, next: bool) -> bool:  # noqa: A002
        """Go from item to item before the keys leave the picture."""
        to = self._chosen + (1 if next else -1)
        if self._tool is not None or not 0 <= to < len(self.items):
            return super().focusNextPrevChild(next)
        self.choose(to)
        return True

    def _step(self, key: Qt.Key, with_keys: Qt.KeyboardModifier) -> None:
        modifier = Qt.KeyboardModifier
        far = MIDDLE
        if with_keys & modifier.ControlModifier:
            far = COARSE
        elif with_keys & modifier.ShiftModifier:
            far = FINE
        by = (STEPS[key][0] * far, STEPS[key][1] * far)
        if self._tool is not None:
            self._put_cross(place(self._cross[0] + by[0], self._cross[1] + by[1]))
            return
        form = bool(with_keys & modifier.AltModifier)
        item = self._filled(self._chosen)
        after = nudged(item, by, form=form)
        if after != item:
            kind = "form" if form else "move"
            self.altered.emit(self._chosen, after, self._gesture_of(kind))

    def _put_cross(self, at: Place) -> None:
        self._cross = at
        self._show_between(self._start, at)
        self.state_changed.emit()

    def _set_place(self) -> None:
        if self._tool in ONE_PLACE or self._start is not None:
            self._finish(self._start or self._cross, self._cross)
        else:
            self._start = self._cross
            self._ninths = Ninths()
            self._show_between(self._start, self._cross)
            self.state_changed.emit()

    def _show_between(self, start: Place | None, end: Place) -> None:
        tool = self._tool
        shows = tool is not None and start is not None and start != end
        self._preview = drawn(tool, start, end, self.ratio()) if shows else None  # type: ignore[arg-type]
        self.update()

    def _finish(self, start: Place, end: Place) -> None:
        tool = self._tool
        self.lay_down()
        if tool is not None:
            self.drawn.emit(drawn(tool, start, end, self.ratio()))

    # --- the pointer ---

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Begin to draw, or take hold of something."""
        if event is None or event.button() != Qt.MouseButton.LeftButton:
            return
        self.words.end()
        pressed = event.position()
        here = self.place_of(pressed)
        if self._tool is not None:
            self._cross = here
            self._drag = _Drag(None, here, pressed)
            return
        if self._grip_at(pressed) is None:
            self.choose(self._item_at(pressed))
        if self._chosen >= 0:
            self._new_gesture("drag")
            grip = self._grip_at(pressed) or "whole"
            self._drag = _Drag(grip, here, pressed, self._filled(self._chosen))

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Show what is being drawn or dragged."""
        if event is None:
            return
        if self._drag is None:
            self._show_what_can_be_done(event.position())
            return
        drag, here = self._drag, self.place_of(event.position())
        drag.has_moved |= drawing.distance(drag.pressed, event.position()) > _CLICK
        if not drag.has_moved:
            return
        if drag.item is None or drag.grip is None:
            self._cross = here
            self._show_between(self._start or drag.start, here)
        else:
            self._preview = dragged(drag.item, drag.grip, drag.start, here)
            self.update()

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:
        """End what was begun, as one gesture."""
        drag, self._drag = self._drag, None
        if event is None or drag is None:
            return
        after, self._preview = self._preview, None
        if drag.item is None:
            end = self.place_of(event.position()) if drag.has_moved else drag.start
            self._finish(self._start or drag.start, end)
        elif after is not None and after != drag.item:
            self.altered.emit(self._chosen, after, self._gesture_of("drag"))
        self.update()

    def mouseDoubleClickEvent(self, event: QMouseEvent | None) -> None:
        """Write the words of what was hit."""
        if event is not None and self._tool is None:
            self.write(self._item_at(event.position()))

    def _show_what_can_be_done(self, at: QPointF) -> None:
        if self._tool is not None:
            return
        if self._grip_at(at) is not None:
            self.setCursor(Qt.CursorShape.CrossCursor)
        elif self._item_at(at) >= 0:
            self.setCursor(Qt.CursorShape.SizeAllCursor)
        else:
            self.unsetCursor()

    def _grip_at(self, at: QPointF) -> Grip | None:
        if self._chosen < 0:
            return None
        item, rect, reach = self._filled(self._chosen), self.picture_rect(), self.reach()
        found = [
            (drawing.distance(drawing.to_pixels(where, rect), at), grip)
            for grip, where in grips(item).items()
        ]
        near = [each for each in found if each[0] <= reach]
        if near:
            return min(near)[1]
        end = self.laid()[self._chosen].end
        return "tail" if end is not None and end.contains(at) else None

    def _item_at(self, at: QPointF) -> int:
        return drawing.hit(self.laid()[: len(self.items)], at, self.reach())

    # --- drawing ---

    def paint_over(self, painter: QPainter, rect: QRectF) -> None:
        """Draw the callouts, what is chosen and the cross."""
        laid = self.laid()
        painter.setClipRect(rect)
        drawing.draw(painter, laid)
        painter.setClipping(False)
        if self._tool is not None:
            self._ninths.draw(painter, rect)
            draw_cross(painter, rect, drawing.to_pixels(self._cross, rect))
        elif self._chosen >= 0 and self.words.item < 0:
            shown = self._preview or self._filled(self._chosen)
            held = {grip: drawing.to_pixels(at, rect) for grip, at in grips(shown).items()}
            draw_grips(painter, laid[self._chosen], held, self.reach())

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Keep the words where their callout is."""
        super().resizeEvent(event)
        if self.words.item >= 0:
            self.words.put(self._laid_to_write(self.words.item))

    # --- small things ---

    def _filled(self, item: int) -> Callout | Mask:
        found = self.items[item]
        return filled(found, self.ratio()) if isinstance(found, Callout) else found

    def _laid_to_write(self, item: int) -> drawing.Laid:
        """Return where an item is drawn when it has words."""
        found = self.items[item]
        if isinstance(found, Callout) and found.text is None:
            found = found.model_copy(update={"text": drawing.UNSAID})
        return drawing.lay_out([found], self.picture_rect(), self.unit())[0]

    def _new_gesture(self, kind: str) -> None:
        self._gesture += 1
        self._gesture_kind = kind

    def _gesture_of(self, kind: str) -> str:
        """Return the word of the gesture that goes on, or of a new one if it is of another kind."""
        if kind != self._gesture_kind:
            self._new_gesture(kind)
        return f"{kind} {self._gesture}"
