"""Presses keys as a person does: into whatever has them, and counts."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication, QMessageBox, QWidget

_NONE = Qt.KeyboardModifier.NoModifier
_NAMED = {"Enter": Qt.Key.Key_Return, "Esc": Qt.Key.Key_Escape, "Tab": Qt.Key.Key_Tab,
          "Space": Qt.Key.Key_Space, "Up": Qt.Key.Key_Up, "Down": Qt.Key.Key_Down,
          "Left": Qt.Key.Key_Left, "Right": Qt.Key.Key_Right, "F2": Qt.Key.Key_F2,
          "F5": Qt.Key.Key_F5, "F6": Qt.Key.Key_F6, "F7": Qt.Key.Key_F7, "Del": Qt.Key.Key_Delete,
          "F8": Qt.Key.Key_F8, "End": Qt.Key.Key_End,
          "Home": Qt.Key.Key_Home, "PgDown": Qt.Key.Key_PageDown,
          "PgUp": Qt.Key.Key_PageUp}  # fmt: skip
_HELD = {"Ctrl": Qt.KeyboardModifier.ControlModifier, "Shift": Qt.KeyboardModifier.ShiftModifier,
         "Alt": Qt.KeyboardModifier.AltModifier}  # fmt: skip


class Hands:
    """Presses keys in one window.

    Args:
        window: where they go while nothing in it has the keys.
    """

    def __init__(self, window: QWidget) -> None:
        self._window = window
        self.pressed = 0

    def press(self, *keys: str) -> None:
        """Press keys: ``M``, ``Ctrl+Up``, ``Enter`` …"""
        for key in keys:
            *held, name = key.split("+") if len(key) > 1 else [key]
            modifiers = _NONE
            for one in held:
                modifiers |= _HELD[one]
            target = QApplication.focusWidget() or self._window
            if name in _NAMED:
                QTest.keyClick(target, _NAMED[name], modifiers)
            else:
                QTest.keyClick(target, name.lower() if not held else name, modifiers)
            QApplication.processEvents()
            self.pressed += 1

    def type(self, text: str) -> None:
        """Type a text."""
        for letter in text:
            QTest.keyClick(QApplication.focusWidget() or self._window, letter)
            self.pressed += 1
        QApplication.processEvents()


def answer_by(monkeypatch, words: str) -> list[str]:
    """Answer every question by the button whose words begin so; return the questions asked."""
    asked: list[str] = []

    def answer(box: QMessageBox) -> int:
        asked.append(box.text())
        button = next(b for b in box.buttons() if b.text().replace("&", "").startswith(words))
        button.click()
        return 0

    monkeypatch.setattr(QMessageBox, "exec", answer)
    return asked
