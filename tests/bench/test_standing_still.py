"""Nothing moves under a hand: not by papers, messages, long words, or windows beside the bench."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PyQt6.QtCore import QPoint, QRect, QSize, Qt
from PyQt6.QtGui import QFont
from PyQt6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from author.bench.beside import Beside, place_beside
from author.bench.views.labels import breakable, lines_of
from author.bench.views.tape_painting import Columns
from author.bench.window import BenchWindow
from author.errors import InputError
from bench.hands import Hands
from bench.jobs import sample_job

LONG = InputError(
    "the recording cannot be read",
    remedy="Lay it elsewhere and open it again",
    file="/media/shop/" + "recordings-of-the-year-" * 12 + "/" + "x" * 300 + ".mp4",
)


@pytest.fixture
def saw(open_window: Callable[[Path], BenchWindow], tmp_path: Path, qtbot: QtBot) -> BenchWindow:
    window = open_window(sample_job(tmp_path))
    qtbot.waitExposed(window)
    window.activateWindow()
    return window


def settle() -> None:
    for _ in range(3):
        QApplication.sendPostedEvents()
        QApplication.processEvents()


def places(window: BenchWindow) -> dict[str, QRect]:
    """Where the film's buttons lie in the window."""
    settle()
    controls = window.film_view.controls
    buttons = (controls.back, controls.run, controls.on, controls.speed, controls.loop,
               controls.mark)  # fmt: skip
    return {one.accessibleName(): QRect(one.mapTo(window, QPoint()), one.size()) for one in buttons}


def test_the_films_buttons_stay_where_they_are(saw: BenchWindow, qtbot: QtBot) -> None:
    deeds, films = saw.actions_by_name, saw.session.films
    qtbot.waitUntil(lambda: saw.session.verdict is not None, timeout=10_000)
    before = places(saw)
    for name in ("review", "proposals", "ledger", "speech", "remarks"):
        deeds[f"show_{name}"].trigger()
        assert places(saw) == before, name
    deeds["next_remark"].trigger()
    for severity, words in (("error", str(LONG)), ("good", "Done."), ("advice", "One.\nTwo.\n3.")):
        saw.session.tell(severity, words)
        assert places(saw) == before, words[:20]
    films.failed.emit(films.front, LONG)
    saw.proposals_view.proposing.failed.emit(str(LONG))
    deeds["show_proposals"].trigger()
    assert places(saw) == before
    deeds["still"].trigger()
    deeds["still"].trigger()
    assert places(saw) == before
    saw.film_view.controls.show_mark(True)
    saw.film_view.controls.show_running(True)
    assert list(places(saw).values()) == list(before.values())


def test_a_message_is_told_whole_and_no_error_of_a_film_widens_the_window(
    saw: BenchWindow,
) -> None:
    wide = saw.minimumSizeHint().width()
    saw.session.films.failed.emit(saw.session.films.front, LONG)
    saw.speech_view._fail(LONG)
    saw.actions_by_name["show_speech"].trigger()
    settle()
    assert (saw.width(), saw.minimumSizeHint().width()) == (1280, wide)
    line = saw.statusBar()
    assert line.words() == str(LONG)
    # What is wrong is seen, however long the path before it.
    assert "the recording cannot be read. Lay it elsewhere" in line._said.text()
    assert saw.speech_view._says.text() == str(LONG)
    # Broken into lines, it lies inside its place and nothing of it is cut.
    assert saw.speech_view._says.width() <= saw.tray.width()


LETTERS = st.characters(categories=["L", "N", "P", "Zs"])


@given(st.text(LETTERS, max_size=300), st.integers(20, 600), st.integers(1, 4))
def test_a_text_is_broken_into_no_more_lines_than_there_are(
    qapp: QApplication, text: str, width: int, most: int
) -> None:
    lines = lines_of(text, QFont(qapp.font()), width, most)
    assert len(lines) <= most
    whole = "".join(text.split())
    said = "".join("".join(lines).split())
    assert said == whole or said.endswith("…")


def test_a_long_word_may_be_broken_and_a_short_one_may_not() -> None:
    assert (
        breakable("Undo the axle nut.\nThen the washer.") == "Undo the axle nut.\nThen the washer."
    )
    path = "/media/" + "a" * 60
    assert breakable(path) != path
    assert breakable(path).replace("\u200b", "") == path


SCREENS = st.tuples(st.integers(1280, 3840), st.integers(720, 2160))


@given(SCREENS, st.integers(0, 1000), st.integers(300, 760), st.integers(300, 640))
def test_a_window_stands_beside_where_the_film_stays_in_sight(
    screen: tuple[int, int], left: int, wide: int, high: int
) -> None:
    room = QRect(0, 0, *screen)
    bench = QRect(min(left, room.width() - 1280), 0, 1280, 720)
    film = QRect(bench.left() + 4, 30, 480, 380)
    size = QSize(wide, high)
    at = QRect(place_beside(size, bench, film, room), size)
    assert room.contains(at)
    assert not at.intersects(film)
    if room.width() - bench.right() > wide or bench.left() >= wide:
        assert not at.intersects(bench)


def beside(window: BenchWindow, which: str) -> Beside:
    if which == "publish":
        window.actions_by_name["publish"].trigger()
        assert window.publishing.sheet is not None
        return window.publishing.sheet
    window.actions_by_name[which].trigger()
    return window.step_sheet.paper(which)


@pytest.mark.parametrize("which", ["front", "lists", "publish"])
def test_a_window_beside_the_bench_is_closed_by_button_key_and_menu(
    saw: BenchWindow, qtbot: QtBot, which: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The screen that is not there is smaller than the window.
    monkeypatch.setattr(Beside, "room", lambda _: QRect(0, 0, 1440, 900))
    paper = beside(saw, which)
    qtbot.waitUntil(paper.isActiveWindow)
    film = QRect(saw.film_view.mapToGlobal(QPoint()), saw.film_view.size())
    assert not paper.frameGeometry().intersects(film)
    qtbot.mouseClick(paper.close_button, Qt.MouseButton.LeftButton)
    assert not paper.isVisible()
    for key in ("Esc", "Ctrl+W"):
        beside(saw, which)
        qtbot.waitUntil(paper.isActiveWindow)
        Hands(paper).press(key)
        assert not paper.isVisible(), key
    beside(saw, which)
    saw.actions_by_name["close_beside"].trigger()
    assert not paper.isVisible()
    assert "Esc" in paper.close_button.text()


def test_enter_in_a_window_beside_does_not_press_its_button(saw: BenchWindow, qtbot: QtBot) -> None:
    paper = beside(saw, "lists")
    qtbot.waitUntil(paper.isActiveWindow)
    Hands(paper).press("Enter")
    assert paper.isVisible()
    assert not any(one.isDefault() for one in paper.findChildren(QPushButton))
    paper.close()


def test_a_window_over_the_bench_goes_when_a_remark_lies_under_it(
    saw: BenchWindow, qtbot: QtBot
) -> None:
    paper = beside(saw, "front")
    qtbot.waitUntil(paper.isActiveWindow)
    paper.move(saw.pos() + QPoint(600, 40))
    placed = list(saw.session.procedure.placed_steps())[2]
    saw.session.go_to((*placed.path, "action"))
    assert not paper.isVisible()
    qtbot.waitUntil(saw.step_sheet.action.field.hasFocus)


def test_what_is_said_has_more_of_a_wider_tape(saw: BenchWindow) -> None:
    rooms = []
    for size in ((1280, 720), (1920, 1080), (2560, 1440)):
        saw.resize(*size)
        settle()
        columns = Columns(saw.tape_view.viewport().width())
        rooms.append(columns.brackets - columns.words)
    assert rooms[0] >= 75
    assert rooms == sorted(rooms)
    assert rooms[-1] > 2 * rooms[0]
