"""In both sizes and both themes no view cuts words, lets things reach out, or writes too pale."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PyQt6.QtGui import QColor
from PyQt6.QtWidgets import QApplication, QLabel, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from author.bench import theme
from author.bench.window import BenchWindow
from bench.jobs import sample_job
from bench.screens import contrast, faults, keys_given_twice, scenes


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_every_view_shows_all_its_words(
    qapp: QApplication,
    open_window: Callable[[Path], BenchWindow],
    tmp_path: Path,
    qtbot: QtBot,
    dark: bool,
) -> None:
    window = open_window(sample_job(tmp_path))
    theme.put_on(qapp, dark=dark)
    steps = [placed.step for placed in window.session.procedure.placed_steps()]
    window.session.choose_step(next(step.id for step in steps if step.specs and step.still))
    found: dict[str, list[str]] = {}
    for size in ((1280, 720), (2560, 1440)) if not dark else ((1280, 720),):
        window.resize(*size)
        for name, bring in scenes(window):
            shown = bring()
            qtbot.wait(30)
            if wrong := faults(shown):
                found[f"{name} {size}"] = wrong
            if shown is not window:
                if twice := keys_given_twice(shown):
                    found[f"keys of {name} {size}"] = twice
                shown.close()
    theme.put_on(qapp, dark=False)
    assert found == {}


def test_faults_are_found(qtbot: QtBot) -> None:
    page = QWidget()
    page.resize(300, 80)
    page.setStyleSheet("QLabel { background: #ffffff; color: #000000; }")
    column = QVBoxLayout(page)
    cut, pale, outside = QLabel("Many words in little room"), QLabel("Pale"), QLabel("Out", page)
    cut.setFixedWidth(40)
    pale.setStyleSheet("color: #bbbbbb")
    column.addWidget(cut)
    column.addWidget(pale)
    outside.setGeometry(280, 60, 60, 30)
    page.show()
    qtbot.wait(20)
    found = " ".join(faults(page))
    page.hide()
    page.deleteLater()
    assert "'Many words in little room': " in found
    assert "'Pale': contrast" in found
    assert "'Out': lies at" in found


def test_contrast_is_that_of_the_standard() -> None:
    # WCAG 2.2, relative luminance: black on white is 21 to 1; #767676 on white is 4.54 to 1.
    white = QColor("#ffffff")
    assert round(contrast(QColor("#000000"), white), 2) == 21
    assert round(contrast(QColor("#767676"), white), 2) == 4.54
