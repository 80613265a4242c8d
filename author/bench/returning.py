"""Where the keys were before a field took them, so that they can go back."""

from __future__ import annotations

from weakref import ref

from PyQt6 import sip
from PyQt6.QtCore import QObject, Qt
from PyQt6.QtWidgets import QApplication, QWidget

_BY_TAB = {Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason}
_NO_VISIT = {Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason}


class _Last(QObject):
    """Remembers which widget has the keys: one for the whole application."""

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self.had: ref[QWidget] | None = None
        app.focusChanged.connect(self._note)

    def _note(self, _old: QWidget | None, now: QWidget | None) -> None:
        if now is not None:
            self.had = ref(now)


def _last() -> _Last | None:
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        return None
    return app.findChild(_Last) or _Last(app)


class Back:
    """Gives the keys back to where they were when a field took them.

    Args:
        field: the field.
    """

    def __init__(self, field: QWidget) -> None:
        self._field = field
        self._to: ref[QWidget] | None = None
        _last()

    def take(self, reason: Qt.FocusReason) -> None:
        """Note where the keys come from; the field before on a page is no place to go back to."""
        last = _last()
        if reason in _BY_TAB or last is None:
            self._to = None
        elif reason not in _NO_VISIT and (last.had is None or last.had() is not self._field):
            # At this moment the application still names the one before.
            self._to = last.had

    def take_over(self, other: Back) -> None:
        """Give the keys back to where another field would have given them."""
        self._to = other._to

    def go(self) -> bool:
        """Give them back; whether there was where to."""
        widget = self._to() if self._to is not None else None
        if widget is None or sip.isdeleted(widget) or not widget.isVisible():
            return False
        widget.setFocus(Qt.FocusReason.OtherFocusReason)
        return True
