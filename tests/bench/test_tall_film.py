"""A film that is higher than wide has the room its pictures can use."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PyQt6.QtGui import QColor, QImage, QPainter
from PyQt6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from recording.films import make, steady

from author.bench.theme import LIGHT
from author.bench.views.tape_bands import StepSpan, TapeContent
from author.bench.views.tape_painting import Columns, TapePainter
from author.bench.views.tape_scale import TapeScale
from author.bench.window import BenchWindow
from author.editing import AddEntry
from author.tasks.starting import start_procedure

RED = QColor("#C00000")


@pytest.fixture(scope="module")
def tall_film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("tall")
    return make(folder / "tall.mp4", steady(50, 1200), size=(144, 256), options={"g": "25"})


@pytest.fixture
def upright(
    open_window: Callable[[Path], BenchWindow], tall_film: Path, tmp_path: Path, qtbot: QtBot
) -> BenchWindow:
    """The window at 1280 by 720 with the still of a tall film."""
    folder = tmp_path / "job"
    (folder.parent / "job").mkdir()
    (folder / tall_film.name).hardlink_to(tall_film)
    start_procedure(folder, [folder / tall_film.name])
    window = open_window(folder)
    window.resize(1280, 720)
    window.actions_by_name["still"].trigger()
    qtbot.waitUntil(lambda: window.still_view.pad.is_tall, timeout=20_000)
    return window


def painted(columns: Columns, image: QImage) -> list[int]:
    """How many points of each row of the pictures' column are of the picture."""
    scale = TapeScale(10, 20)
    content = TapeContent()
    content.hang([(float(n) / 2, image) for n in range(20)])
    ground = QImage(columns.width, scale.height, QImage.Format.Format_RGB32)
    painter = QPainter(ground)
    tape = TapePainter(scale, columns, LIGHT, QApplication.font())
    tape.ground(painter, content, 0, scale.height)
    painter.end()
    left = columns.pictures
    return [
        sum(ground.pixelColor(x, y) == RED for x in range(left, left + columns.picture_width + 4))
        for y in range(ground.height())
    ]


@pytest.mark.parametrize("width", [220, 300, 500])
def test_a_tall_picture_fills_the_column_of_pictures(qapp: QApplication, width: int) -> None:
    image = QImage(36, 64, QImage.Format.Format_RGB32)
    image.fill(RED)
    columns = Columns(width, tall=True)
    assert max(painted(columns, image)) >= max(40, columns.picture_width - 2)
    wide = QImage(64, 36, QImage.Format.Format_RGB32)
    wide.fill(RED)
    assert max(painted(Columns(width), wide)) >= columns.picture_width - 2


def test_a_tape_knows_a_tall_film_by_its_pictures() -> None:
    content = TapeContent()
    assert not content.hang([(0.0, QImage(64, 36, QImage.Format.Format_RGB32))])
    assert content.hang([(1.0, QImage(36, 64, QImage.Format.Format_RGB32))]) and content.tall
    assert not content.hang([(2.0, QImage(36, 64, QImage.Format.Format_RGB32))])


def test_a_tall_still_has_the_room_that_an_empty_list_would_take(
    upright: BenchWindow, qtbot: QtBot
) -> None:
    view = upright.still_view
    assert not view.list.isVisible() and not view.remove.isVisible()
    qtbot.waitUntil(lambda: view.pad.picture_rect().width() > 230)
    step, wide = upright.session.step, view.width()
    callout = {"shape": "label", "at": ["0.5", "0.5"], "text": "Nut"}
    upright.session.do(AddEntry(("steps", step, "still", "callouts"), callout))
    qtbot.waitUntil(view.list.isVisible)
    assert view.remove.isVisible()
    assert view.width() == wide  # nothing else moves
    # Beside it, not under it: a tall picture leaves room there.
    assert view.list.x() > view.pad.x()
    qtbot.waitUntil(lambda: view.pad.picture_rect().width() > 210)


def test_the_line_of_the_moment_leaves_the_number_of_the_chosen_step_to_be_read(
    upright: BenchWindow, qtbot: QtBot
) -> None:
    tape = upright.tape_view
    spans = tape._content.spans
    assert len(spans) == 1 and isinstance(spans[0], StepSpan)
    middle = (spans[0].start + spans[0].end) / 2
    upright.session.films.show_at(middle)
    seen = []
    for frame in (upright.session.films.frame, 0):
        upright.session.films.show(frame)
        qtbot.wait(20)
        picture = tape.viewport().grab().toImage()
        y = round(tape.scale.y(middle)) - tape.verticalScrollBar().value()
        x = tape._columns.line(0)
        box = picture.copy(x + 5, y - 7, 12, 14)
        seen.append([box.pixel(a, b) for a in range(12) for b in range(14)])
    assert seen[0] == seen[1]
