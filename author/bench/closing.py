"""Asks before the window closes what becomes of work that is not written in the file."""

from __future__ import annotations

import contextlib
from collections.abc import Callable

from PyQt6.QtCore import QObject, Qt
from PyQt6.QtGui import QKeySequence
from PyQt6.QtWidgets import QApplication, QMessageBox, QPushButton, QWidget

from author.bench.left_over import left_over, told_left
from author.bench.publishing import PUBLISH
from author.bench.session import Session
from author.editing import Saved, path_of
from author.errors import InputError, ReelwrightError


class Closing(QObject):
    """Lets the window close once nothing can be lost by it.

    What is closed without being written stays in the journal, and is offered once when the
    procedure is opened the next time.

    Args:
        session: whose document.
        window: the window that is to close.
        save: saves, and asks what stands in the way of it.
    """

    def __init__(self, session: Session, window: QWidget, save: Callable[[], None]) -> None:
        super().__init__(window)
        self._session = session
        self._ask_about_saving = save
        self._window = window

    def may_close(self) -> bool:
        """Whether the window may close; what is not in the document or the file is asked about."""
        document = self._session.document
        if not self._may_end_publishing():
            return False
        if document.read_only:
            return True
        return self._may_leave_fields() and (not document.dirty or self._may_leave_work())

    def _may_end_publishing(self) -> bool:
        """Ask whether what is being made, maybe behind the window, is stopped."""
        jobs = self._session.jobs
        if not jobs.is_running(PUBLISH):
            return True
        box = _Question(self._window)
        box.setText(self.tr("It is still being published."))
        box.setInformativeText(self.tr("Closing stops it: what was published before stays."))
        stay = box.offer(self.tr("&Go on publishing"), QMessageBox.ButtonRole.RejectRole)
        stop = box.offer(self.tr("&Stop it and close"), QMessageBox.ButtonRole.DestructiveRole)
        box.ask(stay, escape=stay)
        return box.clickedButton() is stop or not jobs.is_running(PUBLISH)

    def _may_leave_fields(self) -> bool:
        left = left_over(self._session)
        if not left:
            return True
        box = _Question(self._window)
        box.setText(self.tr("This is written in a field, and not in the procedure yet."))
        box.setInformativeText(told_left(self._session, left))
        back = box.offer(self.tr("&Go back to it"), QMessageBox.ButtonRole.RejectRole)
        go = box.offer(self.tr("Close &without it"), QMessageBox.ButtonRole.DestructiveRole)
        box.ask(back, escape=back)
        if box.clickedButton() is go:
            return True
        with contextlib.suppress(InputError):  # the block it would belong in is not there yet
            self._session.go_to(path_of(self._session.procedure, left[0].at))
        return False

    def _may_leave_work(self) -> bool:
        box = _Question(self._window)
        box.setText(self.tr("This work is not written in the file yet."))
        box.setInformativeText(
            self.tr(
                "What is not written is kept aside, and offered once when the procedure is "
                "opened the next time."
            )
        )
        write = box.offer(self.tr("&Write it and close"), QMessageBox.ButtonRole.AcceptRole)
        leave = box.offer(self.tr("&Close, keep it aside"), QMessageBox.ButtonRole.DestructiveRole)
        stay = box.offer(self.tr("&Go back to the work"), QMessageBox.ButtonRole.RejectRole)
        box.ask(write, escape=stay)
        if box.clickedButton() is write:
            return self._save()
        return box.clickedButton() is leave

    def _save(self) -> bool:
        try:
            result = self._session.document.save()
        except ReelwrightError as error:
            self._session.tell("error", str(error))
            return False
        if not isinstance(result, Saved):
            self._ask_about_saving()
        return isinstance(result, Saved)


class _Question(QMessageBox):
    """A question whose buttons say which key presses each: Enter the one that has the keys."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setIcon(QMessageBox.Icon.Question)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self._offered: list[tuple[QPushButton, str]] = []
        self._escape: QPushButton | None = None

    def offer(self, words: str, role: QMessageBox.ButtonRole) -> QPushButton:
        """Add a button."""
        button = self.addButton(words, role)
        assert button is not None  # noqa: S101 - Qt always makes the button asked for
        self._offered.append((button, words))
        return button

    def ask(self, first: QPushButton, *, escape: QPushButton) -> None:
        """Wait for an answer.

        Args:
            first: the button that has the keys at first.
            escape: the button that Escape presses.
        """
        self._escape = escape
        for button, words in self._offered:
            button.setText(f"{words}  {self.tr('Enter')}")
            button.setMinimumWidth(button.sizeHint().width())
        self.setDefaultButton(first)
        self.setEscapeButton(escape)
        first.setFocus()
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._say_keys)
            self._say_keys()
            self.exec()
            app.focusChanged.disconnect(self._say_keys)

    def _say_keys(self, *_: object) -> None:
        holder = self.focusWidget()
        for button, words in self._offered:
            letter = QKeySequence.mnemonic(words).toString().rpartition("+")[2]
            if button is holder:
                key = self.tr("Enter")
            else:
                key = self.tr("Esc") if button is self._escape else letter
            button.setText(f"{words}  {key}")
