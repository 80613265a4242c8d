"""Qt starts without a screen and draws with the shipped font, so the window can be built."""

from PyQt6.QtGui import QFont, QFontDatabase
from PyQt6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from author.resources import font_folder


def test_qt_draws_with_the_shipped_font(qtbot: QtBot) -> None:
    number = QFontDatabase.addApplicationFont(str(font_folder() / "DejaVuSans.ttf"))
    family = QFontDatabase.applicationFontFamilies(number)[0]
    label = QLabel("40 N·m, ≤ 0.15 mm")
    qtbot.addWidget(label)
    label.setFont(QFont(family, 14))
    label.show()
    picture = label.grab().toImage()
    dark = sum(
        picture.pixelColor(x, y).lightness() < 128
        for x in range(picture.width())
        for y in range(picture.height())
    )
    assert family == "DejaVu Sans"
    assert dark > 100
