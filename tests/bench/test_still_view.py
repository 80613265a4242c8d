"""The still on the bench: its exact frame, and callouts drawn by mouse and by keys."""

from __future__ import annotations

import threading
from decimal import Decimal

import cv2
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from publish import sample
from PyQt6.QtCore import QPoint, QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QImage, QPainter
from PyQt6.QtWidgets import QApplication, QLineEdit, QMainWindow
from recording.films import number_in

from author.bench.actions import Actions
from author.bench.session import Session
from author.bench.views import callout_drawing as drawing
from author.bench.views.callout_pad import CalloutPad
from author.bench.views.callout_tools import TOOLS, items_of
from author.bench.views.still_view import StillView
from author.checks.wording import UNWRITTEN
from author.procedure.callout_places import corners
from author.procedure.steps import Callout, Mask, Still
from author.publish import palette
from author.publish.drawing import draw_callouts
from author.tasks.opening import open_for_editing

KEY, MODIFIER, LEFT = Qt.Key, Qt.KeyboardModifier, Qt.MouseButton.LeftButton
NONE, SHIFT, CTRL = MODIFIER.NoModifier, MODIFIER.ShiftModifier, MODIFIER.ControlModifier
ALT = MODIFIER.AltModifier
BRIEF = {"reelwright-still pictures", "reelwright-best still", "reelwright-check"}
"""Threads of jobs that end by themselves."""


class Desk:
    """A window with the still alone, and hands to work it with; counts presses and drags."""

    def __init__(self, session):
        self.session = session
        self.window = QMainWindow()
        self.deeds = Actions(self.window)
        self.deeds["undo"].triggered.connect(session.undo)
        self.view = StillView(session, self.deeds)
        self.pad = self.view.pad
        self.window.setCentralWidget(self.view)
        self.window.resize(700, 620)
        self.said: list[tuple[str, str]] = []
        session.said.connect(lambda *said: self.said.append(said))
        self.count = 0
        self.qtbot = None

    def begin(self, qtbot):
        self.qtbot, self.count = qtbot, 0
        self.window.show()
        self.window.activateWindow()
        self.window.setFocus()
        qtbot.waitUntil(self.session.films.is_exact, timeout=30_000)

    def put_back(self):
        while self.session.document.can_undo:
            self.session.document.undo()
        self.deeds["still"].setChecked(False)
        self.pad.begin_anew()
        self.said.clear()
        self.view.pictures.rest()
        self.qtbot.waitUntil(lambda: not BRIEF & {t.name for t in threading.enumerate()})

    def close(self):
        self.window.hide()
        self.window.deleteLater()

    @property
    def still(self):
        return self.session.placed().step.still

    @property
    def items(self):
        return items_of(self.still)

    def key(self, key, held=NONE, times=1):
        for _ in range(times):
            self.count += 1
            self.qtbot.keyClick(QApplication.focusWidget() or self.window, key, held)

    def type(self, words):
        self.qtbot.keyClicks(QApplication.focusWidget(), words)

    def at(self, x, y):
        return drawing.to_pixels((x, y), self.pad.picture_rect()).toPoint()

    def drag(self, start, end):
        self.count += 1
        drag(self.qtbot, self.pad, self.at(*start), self.at(*end))

    def show(self, frame):
        """Take a frame as the still and wait until the whole picture of it is there."""
        self.session.films.show(frame)
        self.key(KEY.Key_P)
        self.deeds["still"].setChecked(True)
        self.qtbot.waitUntil(
            lambda: self.pixels() is not None and not self.view.pictures.waiting,
            timeout=20_000,
        )

    def pixels(self):
        image = self.pad._image
        return None if image is None or image.width() != 320 else rgb(image)

    def undo(self):
        self.deeds["undo"].trigger()


def drag(qtbot, widget, start, end):
    qtbot.mousePress(widget, LEFT, NONE, start)
    qtbot.mouseMove(widget, (start + end) / 2)
    qtbot.mouseMove(widget, end)
    qtbot.mouseRelease(widget, LEFT, NONE, end)


def rgb(image):
    image = image.convertToFormat(QImage.Format.Format_RGB888)
    data = image.constBits().asarray(image.sizeInBytes())
    rows = np.asarray(data, np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3).copy()


def is_mark(pixels):
    colour = QColor(palette.CALLOUT)
    return np.abs(pixels.astype(int) - (colour.red(), colour.green(), colour.blue())).max(-1) < 40


@pytest.fixture(scope="module")
def whole_desk(qapp, begun, bench_film, tmp_path_factory):
    """One desk for all tests: a film is opened once."""
    folder = tmp_path_factory.mktemp("still") / "job"
    folder.mkdir()
    (folder / "procedure.yaml").write_bytes(begun)
    (folder / bench_film.name).hardlink_to(bench_film)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("REELWRIGHT_STATE", str(folder.parent / "state"))
        session = Session(open_for_editing(folder))
        found = Desk(session)
        while session.films.analyses() is None:  # its threads have come to rest
            qapp.processEvents()
        yield found
        found.close()
        session.close()
        session.deleteLater()


@pytest.fixture
def desk(whole_desk, qtbot):
    whole_desk.begin(qtbot)
    yield whole_desk
    whole_desk.put_back()


def test_a_view_leaves_nothing_behind(session, qtbot):
    alone = Desk(session)
    alone.begin(qtbot)
    alone.show(3)
    assert number_in(alone.pixels()) == 3
    alone.session.films.show(5)
    alone.key(KEY.Key_P)  # a picture is on its way
    alone.close()


def test_the_frame_in_front_becomes_the_still_and_its_whole_picture_is_shown(desk):
    desk.show(37)
    assert desk.still.at == desk.session.films.start_of(37)
    assert number_in(desk.pixels()) == 37
    assert "this frame" in desk.said[-1][1]
    desk.session.films.show(90)
    assert desk.session.films.frame == 90  # the film goes its own way
    assert number_in(desk.pixels()) == 37


def test_a_picture_that_was_fetched_is_there_at_once(desk):
    desk.show(37)
    desk.show(60)
    assert number_in(desk.pixels()) == 60
    desk.undo()
    assert number_in(desk.pixels()) == 37
    assert not desk.view.pictures.waiting


def test_no_frame_is_shown_while_an_index_does_not_reach_the_mark(desk, monkeypatch):
    films = desk.session.films
    desk.show(140)
    whole = films.index()
    part = type(whole)(**{name: getattr(whole, name) for name in whole.__slots__} | {
        "ticks": whole.ticks[:60], "end_tick": whole.ticks[60],
    })  # fmt: skip
    monkeypatch.setattr(films, "index", lambda recording=None: part)
    monkeypatch.setattr(films, "is_exact", lambda recording=None: False)
    films.indexed.emit("bench")
    assert desk.pixels() is None
    monkeypatch.undo()
    films.indexed.emit("bench")
    assert number_in(desk.pixels()) == 140


def test_the_best_frame_is_taken_and_said_why(desk):
    films = desk.session.films
    desk.qtbot.waitUntil(lambda: films.analyses() is not None, timeout=30_000)
    films.show(40)
    desk.key(KEY.Key_B)
    desk.qtbot.waitUntil(desk.deeds["still"].isChecked, timeout=10_000)
    choice = films.analyses().best_still(40, 1.0)
    assert desk.still.at == films.start_of(choice.index)
    assert choice.reason in desk.said[-1][1]


def test_before_all_is_read_the_best_frame_is_this_one(desk, monkeypatch):
    monkeypatch.setattr(desk.session.films, "analyses", lambda recording=None: None)
    desk.session.films.show(40)
    desk.key(KEY.Key_B)
    assert desk.still.at == desk.session.films.start_of(40)
    assert "not known yet" in desk.said[-1][1]


def test_another_frame_keeps_what_is_drawn_and_undo_brings_the_first_back(desk):
    desk.show(30)
    desk.key(KEY.Key_A)
    desk.drag((0.2, 0.2), (0.6, 0.5))
    drawn, at = desk.items, desk.still.at
    desk.key(KEY.Key_Return)
    desk.show(60)
    assert desk.items == drawn
    assert desk.still.at != at
    desk.undo()
    assert (desk.items, desk.still.at) == (drawn, at)


def test_a_labelled_arrow_wholly_by_keys(desk):
    desk.qtbot.waitUntil(lambda: desk.session.films.analyses() is not None, timeout=30_000)
    desk.session.films.show(40)
    desk.count = 0
    desk.key(KEY.Key_B)
    desk.qtbot.waitUntil(desk.deeds["still"].isChecked, timeout=10_000)
    desk.key(KEY.Key_A)
    desk.key(KEY.Key_Left, CTRL, 2)
    desk.key(KEY.Key_Up, CTRL, 2)
    desk.key(KEY.Key_Return)
    desk.key(KEY.Key_Right, CTRL, 3)
    desk.key(KEY.Key_Down, NONE, 4)
    desk.key(KEY.Key_Right, SHIFT, 2)
    desk.key(KEY.Key_Return)
    desk.type("Axle nut")
    desk.key(KEY.Key_Return)
    arrow = desk.items[0]
    assert (arrow.shape, arrow.text) == ("arrow", "Axle nut")
    assert arrow.tail == (Decimal("0.3"), Decimal("0.3"))
    assert arrow.at == (Decimal("0.602"), Decimal("0.34"))
    assert desk.pad.hasFocus()
    assert desk.count == 18  # B, A, Enter three times, thirteen for two places


def test_figures_take_the_cross_far_at_once(desk):
    desk.show(40)
    desk.count = 0
    desk.key(KEY.Key_A)
    desk.key(KEY.Key_1)
    desk.key(KEY.Key_Return)
    desk.key(KEY.Key_6)
    desk.key(KEY.Key_5)
    desk.key(KEY.Key_Return)
    desk.type("Nut")
    desk.key(KEY.Key_Return)
    arrow = desk.items[0]
    sixth = Decimal("0.1667")
    assert arrow.tail == (sixth, sixth)
    assert arrow.at == (1 - sixth, Decimal("0.5000"))
    assert desk.count == 7
    desk.key(KEY.Key_A)
    desk.key(KEY.Key_3)
    desk.key(KEY.Key_7)
    assert desk.pad.cross == (Decimal("0.7222"), Decimal("0.2778"))
    desk.key(KEY.Key_Escape)


def test_a_labelled_arrow_by_mouse(desk):
    desk.show(40)
    desk.count = 0
    desk.view.buttons["arrow"].click()
    desk.drag((0.2, 0.25), (0.7, 0.6))
    desk.type("Axle nut")
    rect = desk.pad.picture_rect()
    arrow = desk.items[0]
    for found, meant in zip((*arrow.tail, *arrow.at), (0.2, 0.25, 0.7, 0.6), strict=True):
        assert abs(float(found) - meant) <= 1 / min(rect.width(), rect.height())
    assert arrow.text == "Axle nut"


def test_the_head_of_an_arrow_lies_where_it_is_said(desk):
    desk.show(40)
    desk.key(KEY.Key_A)
    desk.drag((0.2, 0.25), (0.7, 0.6))
    desk.key(KEY.Key_Return)
    desk.pad.choose(-1)
    seen = is_mark(rgb(desk.pad.grab().toImage()))
    rect = desk.pad.picture_rect()
    tip, tail = (drawing.to_pixels(p, rect) for p in (desk.items[0].at, desk.items[0].tail))
    back = (tail - tip) / drawing.distance(tail, tip)
    inside, beyond = tip + back * 4, tip - back * 3
    assert seen[round(inside.y()), round(inside.x())]
    assert not seen[round(beyond.y()), round(beyond.x())]


def test_each_gesture_is_one_entry(desk):
    desk.show(40)
    before = len(desk.session.document.history)
    desk.key(KEY.Key_X)
    desk.drag((0.2, 0.2), (0.4, 0.5))  # 1
    desk.type("plate")  # 2
    desk.key(KEY.Key_Return)
    desk.key(KEY.Key_Right, NONE, 5)  # 3
    desk.key(KEY.Key_Up, ALT, 3)  # 4
    desk.drag((0.25, 0.2), (0.5, 0.7))  # 5
    history = desk.session.document.history
    assert len(history) - before == 5, [entry.label for entry in history]
    for _ in range(5):
        desk.undo()
    assert desk.items == ()


def test_keys_move_what_is_chosen_and_only_then(desk):
    heard = []
    desk.deeds["frame_on"].triggered.connect(lambda: heard.append("on"))
    desk.show(40)
    desk.key(KEY.Key_Right)
    assert heard == ["on"]
    desk.key(KEY.Key_Return)
    desk.key(KEY.Key_X, SHIFT)
    desk.key(KEY.Key_Right)
    desk.key(KEY.Key_Return)
    desk.type("nut")
    desk.key(KEY.Key_Return)
    desk.key(KEY.Key_Right)
    desk.key(KEY.Key_Left, SHIFT)
    assert heard == ["on"]
    assert desk.items[0].at == (Decimal("0.519"), Decimal("0.5"))


def test_escape_leaves_off_drawing_but_not_the_still(desk):
    left = []
    desk.deeds["to_film"].triggered.connect(lambda: left.append(True))
    desk.show(40)
    desk.key(KEY.Key_A)
    desk.key(KEY.Key_Return)
    desk.key(KEY.Key_Escape)
    assert (desk.pad.tool, left, desk.items) == (None, [], ())
    desk.key(KEY.Key_Escape)
    assert left == [True]


@pytest.mark.parametrize("tool", TOOLS)
def test_every_tool_by_two_presses_of_enter(desk, tool):
    desk.show(40)
    desk.deeds[tool].trigger()
    desk.key(KEY.Key_Return)
    if desk.pad.tool:
        desk.key(KEY.Key_Return)
    (item,) = desk.items
    assert isinstance(item, Mask) if tool == "mask" else item.shape == tool
    Still.model_validate(desk.still.model_dump(mode="json"))
    field = QApplication.focusWidget()
    assert isinstance(field, QLineEdit) == (tool != "mask")


def test_a_mask_hides_what_is_under_it(desk):
    desk.show(40)
    desk.key(KEY.Key_H, SHIFT)
    desk.drag((0.0, 0.6), (0.3, 1.0))
    desk.pad.choose(-1)
    seen, rect = rgb(desk.pad.grab().toImage()), desk.pad.picture_rect()
    low, high = (drawing.to_pixels(p, rect).toPoint() for p in corners(desk.items[0]))
    assert (seen[low.y() : high.y(), low.x() : high.x()] == 0).all()
    beside = desk.at(0.4, 0.8)
    assert seen[beside.y(), beside.x()].max() > 150


def test_leaders_are_numbered_and_reordered_in_the_list(desk):
    desk.show(40)
    for words, x in (("rim", 0.3), ("hub", 0.6)):
        desk.key(KEY.Key_N, SHIFT)
        desk.drag((x, 0.2), (x, 0.6))
        desk.type(words)
        desk.key(KEY.Key_Return)
    model = desk.view.list.items
    names = [model.index(row).data(Qt.ItemDataRole.AccessibleTextRole) for row in (0, 1)]
    assert names[0].startswith("Number 1 at 30")
    assert names[1].startswith("Number 2 at 60")
    assert names[1].endswith("words: hub")
    desk.view.list.setFocus()
    desk.view.list.show_chosen(1)
    desk.key(KEY.Key_Up, CTRL)
    assert [item.text for item in desk.items] == ["hub", "rim"]
    assert model.index(0).data(Qt.ItemDataRole.AccessibleTextRole).startswith("Number 1 at 60")
    assert desk.pad.chosen_item == 0
    desk.key(KEY.Key_Down)
    assert desk.pad.chosen_item == 1
    desk.key(KEY.Key_Delete)
    assert [item.text for item in desk.items] == ["hub"]
    desk.key(KEY.Key_Return)
    desk.type("axle")
    assert desk.items[0].text == "axle"


def test_tab_goes_through_the_items_and_out(desk):
    desk.show(40)
    for x in (0.2, 0.5):
        desk.key(KEY.Key_X)
        desk.drag((x, 0.2), (x + 0.2, 0.5))
        desk.key(KEY.Key_Return)
    desk.pad.choose(-1)
    chosen = []
    for _ in range(2):
        desk.key(KEY.Key_Tab)
        chosen.append(desk.pad.chosen_item)
    assert chosen == [0, 1]
    desk.key(KEY.Key_Tab)
    assert not desk.pad.hasFocus()


def test_words_are_dragged_by_themselves_and_the_line_takes_all_with_it(desk):
    desk.show(40)
    desk.key(KEY.Key_A)
    desk.drag((0.2, 0.2), (0.7, 0.6))
    desk.type("Axle nut")
    desk.key(KEY.Key_Return)
    desk.pad.choose(-1)
    head, tail = desk.items[0].at, desk.items[0].tail
    desk.drag((0.2, 0.2), (0.2, 0.8))
    assert desk.items[0].at == head
    assert desk.items[0].tail[1] - tail[1] > Decimal("0.5")
    desk.undo()
    desk.drag((0.5, 0.44), (0.6, 0.44))
    for was, now in ((head, desk.items[0].at), (tail, desk.items[0].tail)):
        assert abs(now[0] - was[0] - Decimal("0.1")) < Decimal("0.01")
        assert now[1] == was[1]


def test_click_chooses_and_double_click_writes(desk):
    desk.show(40)
    desk.key(KEY.Key_X)
    desk.drag((0.3, 0.3), (0.6, 0.7))
    desk.key(KEY.Key_Return)
    desk.pad.choose(-1)
    before = desk.items
    rim = desk.at(0.3, 0.5) + QPoint(10, 0)  # beside the line, in reach of a finger
    desk.qtbot.mouseClick(desk.pad, LEFT, NONE, rim)
    assert desk.pad.chosen_item == 0
    desk.qtbot.mouseDClick(desk.pad, LEFT, NONE, rim)
    desk.type("cover")
    assert desk.items[0].text == "cover"
    assert desk.items[0].at == before[0].at  # a click moves nothing
    desk.qtbot.mouseClick(desk.pad, LEFT, NONE, desk.at(0.9, 0.9))
    assert desk.pad.chosen_item == -1


def test_undo_while_words_are_written_takes_them_back(desk):
    desk.show(40)
    desk.key(KEY.Key_X, SHIFT)
    desk.key(KEY.Key_Return)
    desk.type("nut")
    field = QApplication.focusWidget()
    desk.key(KEY.Key_Z, CTRL)
    assert desk.items[0].text is None
    assert field.text() == ""
    desk.key(KEY.Key_Z, CTRL)
    assert desk.items == ()
    assert not field.isVisible()


def test_what_the_picture_shows_is_written(desk):
    desk.show(40)
    desk.key(KEY.Key_W, SHIFT)
    desk.type("The axle nut")
    assert desk.still.alt == "The axle nut"
    desk.key(KEY.Key_A, CTRL)
    desk.key(KEY.Key_Delete)
    assert desk.still.alt.startswith(UNWRITTEN)


def test_without_a_still_a_tool_says_what_to_do(desk):
    desk.session.do(_without_still(desk))
    desk.key(KEY.Key_A)
    assert desk.pad.tool is None
    assert "Take a still first" in desk.said[-1][1]
    assert not desk.view.alt.isEnabled()


def _without_still(desk):
    from author.editing import SetField

    return SetField(("steps", desk.session.step, "still"), None)


def test_a_remark_on_a_callout_leads_to_it(desk):
    desk.show(40)
    for x in (0.2, 0.5):
        desk.key(KEY.Key_X)
        desk.drag((x, 0.2), (x + 0.2, 0.5))
        desk.key(KEY.Key_Return)
    desk.deeds["still"].setChecked(False)
    desk.session.go_to((*desk.session.placed().path, "still", "callouts", 1))
    assert desk.deeds["still"].isChecked()
    assert desk.pad.chosen_item == 1


def test_in_the_whole_window_by_keys_and_back_to_the_film(window, qtbot):
    def key(which, held=NONE):
        qtbot.keyClick(QApplication.focusWidget() or window, which, held)

    session, pad = window.session, window.still_view.pad
    window.activateWindow()
    qtbot.waitUntil(session.films.is_exact, timeout=30_000)
    session.films.show(20)
    window.film_view.setFocus()
    key(KEY.Key_P)
    key(KEY.Key_S)
    assert pad.isVisible()
    assert pad.hasFocus()
    for which in (KEY.Key_A, KEY.Key_Return, KEY.Key_Right, KEY.Key_Down, KEY.Key_Return):
        key(which)
    qtbot.keyClicks(QApplication.focusWidget(), "nut map")
    key(KEY.Key_Return)
    (arrow,) = session.placed().step.still.callouts
    assert (arrow.text, arrow.at) == ("nut map", (Decimal("0.51"), Decimal("0.51")))
    assert session.films.frame == 20
    key(KEY.Key_Escape)
    assert not pad.isVisible()
    key(KEY.Key_Right)
    assert session.films.frame == 21


# --- the pad by itself ---

SHARE = st.floats(-0.2, 1.2)
DRAGS = st.lists(
    st.tuples(st.sampled_from([None, *TOOLS]), st.tuples(SHARE, SHARE), st.tuples(SHARE, SHARE)),
    max_size=8,
)


@pytest.fixture
def pad(qtbot):
    """A pad whose owner does all that is wished."""
    found = CalloutPad(QLineEdit())
    found.resize(420, 300)
    image = QImage(640, 360, QImage.Format.Format_RGB888)
    image.fill(QColor("#607080"))
    found.set_picture(image)

    def put(items):
        callouts = tuple(item for item in items if isinstance(item, Callout))
        masks = tuple(item for item in items if isinstance(item, Mask))
        found.set_still(
            Still(recording="a", at=Decimal(1), alt="b", callouts=callouts or None,
                  masks=masks or None)
        )  # fmt: skip

    found.put = put
    found.drawn.connect(lambda item: put((*found.items, item)))
    found.altered.connect(
        lambda at, item, _: put((*found.items[:at], item, *found.items[at + 1 :]))
    )
    qtbot.addWidget(found)
    found.show()
    yield found
    found.hide()


@given(DRAGS)
@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_whatever_is_dragged_stays_inside_and_can_be_written(pad, qtbot, drags):
    pad.set_still(None)
    for tool, start, end in drags:
        if tool is not None:
            pad.take_tool(tool)
        here, there = (drawing.to_pixels(p, pad.picture_rect()).toPoint() for p in (start, end))
        drag(qtbot, pad, here, there)
    for item in pad.items:
        points = [item.at, *(corners(item) or ()), getattr(item, "tail", None) or item.at]
        assert all(0 <= value <= 1 for point in points for value in point)
        type(item).model_validate(item.model_dump(mode="json"))


@pytest.mark.parametrize("bright", [False, True])
def test_the_window_draws_what_is_published(qapp, bright):
    still = sample.picture(sample.LANDSCAPE, 1, bright)
    callouts = [
        Callout.model_validate(each)
        for each in (
            {"shape": "arrow", "at": ["0.5", "0.5"], "tail": ["0.2", "0.3"], "text": "Axle nut"},
            {"shape": "ring", "at": ["0.75", "0.3"], "size": ["0.2", "0.3"], "text": "rim"},
            {"shape": "box", "at": ["0.2", "0.85"], "size": ["0.2", "0.2"], "text": "chute"},
            {"shape": "label", "at": ["0.98", "0.7"], "text": "words that take more than a line"},
            {"shape": "leader", "at": ["0.6", "0.9"], "tail": ["0.5", "0.75"], "text": "hub"},
            {"shape": "arrow", "at": ["0.4", "0.1"]},
        )
    ]  # fmt: skip
    png = np.frombuffer(draw_callouts(still, callouts), np.uint8)
    published = cv2.cvtColor(cv2.imdecode(png, cv2.IMREAD_COLOR), cv2.COLOR_BGR2RGB)
    image = QImage.fromData(still.jpeg).convertToFormat(QImage.Format.Format_RGB32)
    rect = QRectF(QPointF(), QRectF(image.rect()).size())
    painter = QPainter(image)
    drawing.draw(painter, drawing.lay_out(callouts, rect, drawing.unit_of(rect)))
    painter.end()
    ours, theirs = is_mark(rgb(image)), is_mark(published)
    shared = (ours & theirs).sum() / (ours | theirs).sum()
    assert shared > 0.85, shared
