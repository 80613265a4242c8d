"""Every view of the window in two sizes and both themes, as pictures to be looked at.

``python tests/bench/screens.py FOLDER [--scale 2]``: the procedure of ``sample_media`` is
opened, every view is brought up in turn, and a picture of each is written to FOLDER, in light
and in dark. Without ``--scale`` the window is 1280 × 720; with ``--scale 2`` it has as many
points, and 2560 × 1440 pixels. What ``faults`` finds is printed beside each.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PyQt6.QtCore import QPoint
from PyQt6.QtGui import QColor, QImage
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QApplication,
    QLabel,
    QLineEdit,
    QScrollArea,
    QWidget,
)

from author.bench import theme
from author.bench.views.step_marks import film_to_step
from author.bench.window import BenchWindow

LEAST_CONTRAST = 4.5
"""Of text on its ground: WCAG 2.2, 1.4.3."""
ROOT = Path(__file__).resolve().parents[2]


def sample(folder: Path) -> Path:
    """Lay the demonstration procedure and its films into a folder."""
    shutil.copytree(ROOT / "sample_media" / "upper-wheel-bearings", folder, dirs_exist_ok=True)
    for pattern in ("*.mp4", "*.vtt"):
        for film in (ROOT / "sample_media").glob(pattern):
            (folder / film.name).symlink_to(film)
    return folder


def scenes(window: BenchWindow) -> Iterator[tuple[str, Callable[[], QWidget]]]:
    """Yield the name of each view and what brings it up and returns it."""

    def deed(*names: str) -> Callable[[], QWidget]:
        def bring() -> QWidget:
            for name in names:
                window.actions_by_name[name].trigger()
            return window

        return bring

    for name in ("remarks", "ledger", "speech", "review", "proposals"):
        yield name, deed("to_film", f"show_{name}")
    yield "questions", deed("to_film", "show_proposals", "answer_question")
    yield "proposals again", deed("to_film", "next_proposal")
    yield "still", deed("to_film", "still")
    yield "arrow", deed("to_film", "still", "arrow")
    yield "sheet", deed("to_film", "show_remarks", "write_action")
    for paper in ("front", "lists"):
        for page in range(window.step_sheet.paper(paper).tabs.count()):
            yield f"{paper} {page + 1}", _page(window, paper, page)


def _page(window: BenchWindow, paper: str, page: int) -> Callable[[], QWidget]:
    def bring() -> QWidget:
        found = window.step_sheet.paper(paper)
        found.open_paper()
        found.tabs.setCurrentIndex(page)
        return found

    return bring


def faults(window: QWidget) -> list[str]:
    """Return what is wrong to see: text that is cut, widgets outside, words too pale."""
    picture = _points(window)
    return [
        f"{_name(each)}: {fault}"
        for each in window.findChildren(QWidget)
        if each.isVisibleTo(window) and not each.visibleRegion().isEmpty()
        for fault in (*_cut(each), *_outside(each), *_pale(each, picture))
    ]


def _name(widget: QWidget) -> str:
    words = widget.accessibleName() or getattr(widget, "text", str)()
    return f"{type(widget).__name__} '{words[:50]}'"


def _cut(widget: QWidget) -> Iterator[str]:
    """A label or button whose words want more room than there is."""
    if not isinstance(widget, QLabel | QAbstractButton) or not widget.text():
        return
    wide, high = widget.width(), widget.height()
    if isinstance(widget, QLabel):
        if widget.wordWrap():
            if widget.heightForWidth(wide) > high + 1:
                yield f"{widget.heightForWidth(wide)} high, in {high}"
            return
        lines = widget.text().replace("&", "").split("\n")
        wants = max(widget.fontMetrics().horizontalAdvance(line) for line in lines)
        if wants > wide + 1 and widget.toolTip() != widget.text():
            yield f"{wants} wide, in {wide}"
    elif widget.minimumSizeHint().width() > wide + 1:
        yield f"{widget.minimumSizeHint().width()} wide, in {wide}"


def _outside(widget: QWidget) -> Iterator[str]:
    """A widget that reaches out of its parent, where that does not scroll."""
    parent = widget.parentWidget()
    if parent is None or widget.isWindow():
        return
    area = parent.parentWidget()
    scrolls = isinstance(area, QAbstractScrollArea) and parent is area.viewport()
    if not scrolls and not parent.rect().adjusted(-1, -1, 1, 1).contains(widget.geometry()):
        yield f"lies at {widget.geometry().getRect()} in {parent.rect().getRect()}"
    if isinstance(area, QScrollArea) and scrolls and widget.width() > parent.width() + 1:
        yield f"{widget.width()} wide, in {parent.width()} that scroll down only"


def _pale(widget: QWidget, picture: npt.NDArray[np.uint32]) -> Iterator[str]:
    """Words with less contrast than can be read; what is out of use may be paler."""
    texts = QLabel | QLineEdit | QAbstractButton
    if not isinstance(widget, texts) or not widget.isEnabled() or not widget.text():
        return
    seen = widget.visibleRegion().boundingRect()
    if seen.height() < 0.9 * widget.height():
        return  # the page ends in the middle of it
    seen.translate(widget.mapTo(widget.window(), QPoint()))
    x, y, wide, high = (round(each * widget.devicePixelRatioF()) for each in seen.getRect())
    colours, counts = np.unique(picture[y : y + high, x : x + wide], return_counts=True)
    if not len(colours):
        return
    ground = QColor(int(colours[counts.argmax()]))
    found = max(contrast(QColor(int(colour)), ground) for colour in colours)
    if found < LEAST_CONTRAST:
        yield f"contrast {found:.1f}"


def _points(window: QWidget) -> npt.NDArray[np.uint32]:
    """Return the colours of a window's points, height × width."""
    image = window.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    data = image.constBits()
    assert data is not None
    flat = np.frombuffer(data.asarray(image.sizeInBytes()), np.uint32)
    return flat.reshape(image.height(), image.width()).copy()


def keys_given_twice(shown: QWidget) -> list[str]:
    """Return letters that Alt would press two things with, in a window beside the bench."""
    given: dict[str, list[str]] = {}
    for one in (*shown.findChildren(QAbstractButton), *shown.findChildren(QLabel)):
        found = re.search(r"&(\w)", one.text().replace("&&", ""))
        if found and one.isVisible():
            given.setdefault(found[1].lower(), []).append(one.text())
    return [f"Alt+{key}: {texts}" for key, texts in given.items() if len(texts) > 1]


def contrast(one: QColor, other: QColor) -> float:
    """Return the contrast of two colours, 1 to 21 (WCAG 2.2, relative luminance)."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: QColor) -> float:
    parts = (colour.redF(), colour.greenF(), colour.blueF())
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def main() -> None:
    """Write the pictures."""
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    scale = sys.argv[sys.argv.index("--scale") + 1] if "--scale" in sys.argv else "1"
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.environ["QT_SCALE_FACTOR"] = scale
    from author.bench.session import Session
    from author.tasks.opening import open_for_editing

    with tempfile.TemporaryDirectory() as place:
        os.environ["REELWRIGHT_STATE"] = f"{place}/state"
        app = QApplication(["reelwright"])
        theme.put_on(app, dark=False)
        window = BenchWindow(Session(open_for_editing(sample(Path(place) / "job"))))
        window.show()
        films = window.session.films
        while any(films.analyses(each) is None for each in films.recordings):
            QTest.qWait(100)
        steps = [placed.step for placed in window.session.procedure.placed_steps()]
        step = next(step for step in steps if step.specs and step.still and step.still.callouts)
        window.session.choose_step(step.id)
        film_to_step(window.session)
        window.proposals_view.propose()
        while not window.proposals_view.proposing.proposals:
            QTest.qWait(100)
        for dark in (False, True):
            theme.put_on(app, dark=dark)
            for name, bring in scenes(window):
                shown = bring()
                QTest.qWait(700)
                file = f"{name.replace(' ', '-')}-{'dark' if dark else 'light'}-{scale}.png"
                shown.grab().save(str(folder / file))
                for fault in faults(shown):
                    sys.stdout.write(f"{file}: {fault}\n")
                if shown is not window:
                    shown.close()
        window.put_down()
        window.deleteLater()
        app.sendPostedEvents(None, 52)


if __name__ == "__main__":
    main()
