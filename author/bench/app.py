"""Starts the window and ends it cleanly; what goes wrong on the way is told, not swallowed."""

from __future__ import annotations

import gc
import signal
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

from PyQt6.QtCore import QEvent, QLibraryInfo, QLocale, QObject, QSettings, QTimer, QTranslator
from PyQt6.QtGui import QGuiApplication
from PyQt6.QtWidgets import QApplication, QMessageBox

from author.bench import theme
from author.bench.films import FilmDesk
from author.bench.opening import OpeningPane, wish_of
from author.bench.session import Session
from author.bench.window import BenchWindow
from author.progress import Cancel
from author.tasks.failure_log import note_failure
from author.tasks.opening import Opened

_REST = 3_000
"""Milliseconds without a key or a press after which there is time for a full search."""
_SEEN = 200
"""Milliseconds for which new colours are seen before they are changed again."""
_INPUT = {QEvent.Type.KeyPress, QEvent.Type.MouseButtonPress, QEvent.Type.Wheel}
_TRANSLATIONS = Path(__file__).parent / "translations"


def run(paths: Sequence[Path], *, dark: bool | None = None, cancel: Cancel | None = None) -> int:
    """Show the window until it is closed.

    Args:
        paths: a procedure, or recordings to begin one from; nothing opens the first pane.
        dark: dark colours; None takes what was chosen last, or the system's.
        cancel: a stop asked for while the window was loading ends it at once.

    Returns:
        The exit code.
    """
    app = application()
    if dark is not None:
        app.setProperty("dark", dark)
    bench = Bench(app)
    bench.open(paths)
    sys.excepthook = bench.tell_of_fault
    # Python's handlers of signals run only when Python runs: let it, now and then.
    signal.signal(signal.SIGINT, lambda *_: app.closeAllWindows())
    # Whoever ends a session or a program by the clock answers no question: what is not in the
    # file stays in the journal. Once the loop runs, so that it is not asked before it does.
    signal.signal(signal.SIGTERM, lambda *_: QTimer.singleShot(0, app.exit))
    beat = QTimer()
    beat.timeout.connect(lambda: None)
    beat.start(300)
    if cancel and cancel.requested:
        QTimer.singleShot(0, app.closeAllWindows)
    try:
        return app.exec()
    finally:
        beat.stop()
        bench.close()
        sys.excepthook = sys.__excepthook__


def application() -> QApplication:
    """Return the application with its name, colours, type and words."""
    existing = QApplication.instance()
    app = existing if isinstance(existing, QApplication) else QApplication(["reelwright"])
    app.setApplicationName("Reelwright")
    app.setOrganizationName("Reelwright")
    app.setDesktopFileName("reelwright")
    for folder, name in (
        (QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath), "qtbase"),
        (str(_TRANSLATIONS), "reelwright"),
    ):
        words = QTranslator(app)
        if words.load(QLocale(), name, "_", folder):
            app.installTranslator(words)
    return app


class Rest(QObject):
    """Lets Python look for garbage in full only while nobody does anything.

    A full search stops the window for a tenth of a second in a large document.
    """

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self._app = app
        self._before = gc.get_threshold()
        gc.set_threshold(self._before[0], self._before[1], 1_000_000)
        self._idle = QTimer(self)
        self._idle.setSingleShot(True)
        self._idle.setInterval(_REST)
        self._idle.timeout.connect(gc.collect)
        app.installEventFilter(self)

    def settle(self) -> None:
        """Say that what was made so far stays: later searches need not look at it again."""
        gc.collect()
        gc.freeze()

    def end(self) -> None:
        """Give the search back to Python."""
        self._idle.stop()
        self._app.removeEventFilter(self)
        gc.set_threshold(*self._before)
        gc.unfreeze()

    def eventFilter(self, _watched: QObject | None, event: QEvent | None) -> bool:
        """Begin the rest anew at every key and press."""
        if event is not None and event.type() in _INPUT:
            self._idle.start()
        return False


class Bench(QObject):
    """The program's windows: first the opening pane, then the bench."""

    def __init__(self, app: QApplication) -> None:
        super().__init__()
        self._app = app
        self.settings = QSettings()
        self.pane: OpeningPane | None = None
        self.window: BenchWindow | None = None
        self._rest = Rest(app)
        self._dressing = QTimer(self)
        self._dressing.setSingleShot(True)
        self._dressing.timeout.connect(self._show_dress)
        self._drawn = False
        self._dress()

    def open(self, paths: Sequence[Path]) -> None:
        """Open what is named, in a pane of its own until it is there."""
        pane = OpeningPane(wish_of(paths) if paths else None)
        pane.opened.connect(self._put_on_bench)
        self.pane = pane
        pane.show()
        pane.activateWindow()

    def close(self) -> None:
        """End everything that runs behind the windows."""
        self._rest.end()
        self._dressing.stop()
        if self.pane is not None:
            self.pane.close_all()
            self._away(self.pane)
            self.pane = None
        if self.window is not None:
            self.settings.setValue("geometry", self.window.saveGeometry())
            self._put_away(self.window)
            self.window = None

    def tell_of_fault(
        self, kind: type[BaseException], fault: BaseException, trace: TracebackType | None
    ) -> None:
        """Show a fault of the program with how to report it; the work is in the journal."""
        text = "".join(traceback.format_exception(kind, fault, trace))
        sys.stderr.write(text)
        note_failure(fault, ["bench"])
        box = QMessageBox(self.window)
        box.setIcon(QMessageBox.Icon.Critical)
        box.setText(self.tr("The program made a mistake. Your work is kept in its journal."))
        box.setInformativeText(
            self.tr(
                "Close the window and open the procedure again. 'reelwright about --to FILE' "
                "saves what support needs."
            )
        )
        box.setDetailedText(text)
        box.exec()

    def _put_on_bench(self, opened: Opened, films: FilmDesk | None) -> None:
        session = Session(opened, films)
        window = BenchWindow(session)
        window.actions_by_name["open"].triggered.connect(self._open_another)
        window.actions_by_name["dark"].setChecked(self._dark)
        window.actions_by_name["dark"].toggled.connect(self._set_dark)
        window.actions_by_name["larger"].triggered.connect(lambda: self._set_scale(1.1))
        window.actions_by_name["smaller"].triggered.connect(lambda: self._set_scale(1 / 1.1))
        geometry = self.settings.value("geometry")
        if geometry is not None:
            window.restoreGeometry(geometry)
        self.window = window
        window.show()
        window.activateWindow()
        self._rest.settle()
        if self.pane is not None:
            self.pane.close_all()
            self.pane.close()
            self.pane.deleteLater()
            self.pane = None

    def _put_away(self, window: BenchWindow) -> None:
        """End a window and its session. Both are gone before the application is."""
        session = window.session
        window.put_down()
        self._away(window)
        self._away(session)

    def _away(self, thing: QObject) -> None:
        thing.deleteLater()
        self._app.sendPostedEvents(thing, QEvent.Type.DeferredDelete.value)

    def _open_another(self) -> None:
        """Put this work away and ask what is to be opened."""
        window = self.window
        if window is None or not window.close():
            return
        self.window = None
        self._put_away(window)
        self.open(())

    def _dress(self) -> None:
        chosen = self._app.property("dark")
        if chosen is None:
            chosen = self.settings.value("dark", _system_is_dark(), type=bool)
        self._dark = bool(chosen)
        self._scale = float(self.settings.value("scale", 1.0, type=float))
        theme.put_on(self._app, dark=self._dark, scale=self._scale)

    def _set_dark(self, on: bool) -> None:
        if self._dressing.isActive():
            # Pressed again while nothing was seen of the first press: it would undo that.
            self._tick_dark()
            return
        self._dark = on
        self.settings.setValue("dark", on)
        theme.put_on(self._app, dark=on, scale=self._scale)
        self._drawn = False
        self._dressing.start(0)

    def _show_dress(self) -> None:
        """Wait a little once the new colours are drawn: keys pressed before come until then."""
        if not self._drawn:
            self._drawn = True
            self._dressing.start(_SEEN)

    def _tick_dark(self) -> None:
        if self.window is not None:
            deed = self.window.actions_by_name["dark"]
            deed.blockSignals(True)
            deed.setChecked(self._dark)
            deed.blockSignals(False)

    def _set_scale(self, factor: float) -> None:
        self._scale = min(max(self._scale * factor, 0.7), 2.5)
        self.settings.setValue("scale", self._scale)
        theme.put_on(self._app, dark=self._dark, scale=self._scale)
        QTimer.singleShot(0, self._fit)

    def _fit(self) -> None:
        """Bring the window back to the screen, which large type may have made it wider than."""
        window = self.window
        if window is not None and (screen := window.screen()) is not None:
            window.resize(window.size().boundedTo(screen.availableSize()))


def _system_is_dark() -> bool:
    hints = QGuiApplication.styleHints()
    return hints is not None and hints.colorScheme().name == "Dark"
