"""The window: film on the left, the tape with its steps in the middle, the job sheet on the right.

Time runs down the tape as it does down the list of steps beside it. Under the film lies a
tray with one of its papers: remarks, what is off the machine, what is said, the review,
what is proposed.
"""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QCloseEvent
from PyQt6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QMainWindow,
    QSizePolicy,
    QSplitter,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from author.bench.actions import Actions
from author.bench.adding import Adding
from author.bench.beside import Beside
from author.bench.closing import Closing
from author.bench.help import Help
from author.bench.keeping import Keeper
from author.bench.publishing import Publishing
from author.bench.session import Session
from author.bench.stills import StillRenewing
from author.bench.views.film_view import FilmView
from author.bench.views.ledger_view import LedgerView
from author.bench.views.proposals_view import ProposalsView
from author.bench.views.remarks_view import RemarksView
from author.bench.views.review_view import ReviewView
from author.bench.views.speech_view import SpeechView
from author.bench.views.status_line import StatusLine
from author.bench.views.step_sheet import StepSheet
from author.bench.views.steps_view import StepsView
from author.bench.views.still_view import StillView
from author.bench.views.tape_view import TapeView

_WIDE = 1280
_TAPE = 300
_LEAST_PAPER = 120
_FILM_SHARE, _TRAY_SHARE = 5, 4
"""The film is as wide as its column, so that more height would be black."""


class Tray(QWidget):
    """A stack of papers, one on top; its tabs are buttons that say what lies there."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._papers = QStackedWidget()
        # No paper pushes the film aside, whatever is written on it.
        ignored = QSizePolicy.Policy.Ignored
        self._papers.setSizePolicy(ignored, ignored)
        self._papers.setMinimumHeight(_LEAST_PAPER)
        self._tabs = QHBoxLayout()
        self._tabs.setSpacing(2)
        self._tabs.addStretch(1)
        self._group = QButtonGroup(self)
        self._group.idClicked.connect(self._papers.setCurrentIndex)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(self._tabs)
        column.addWidget(self._papers, 1)

    def add(self, paper: QWidget, words: str) -> None:
        """Lay a paper into the tray under some words."""
        at = self._papers.addWidget(paper)
        tab = QToolButton()
        tab.setText(words)
        tab.setCheckable(True)
        tab.setChecked(at == 0)
        self._group.addButton(tab, at)
        self._tabs.insertWidget(at, tab)

    def bring(self, paper: QWidget) -> None:
        """Lay a paper on top."""
        at = self._papers.indexOf(paper)
        self._papers.setCurrentIndex(at)
        button = self._group.button(at)
        if button is not None:
            button.setChecked(True)

    def top(self) -> QWidget | None:
        """Return the paper on top."""
        return self._papers.currentWidget()


class BenchWindow(QMainWindow):
    """The one window of the program."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.actions_by_name = Actions(self)
        bar = self.menuBar()
        assert bar is not None  # noqa: S101 - a main window always has one
        self.actions_by_name.fill(bar)
        self.film_view = FilmView(session, self.actions_by_name)
        self.still_view = StillView(session, self.actions_by_name)
        self.tape_view = TapeView(session, self.actions_by_name)
        self.steps_view = StepsView(session, self.actions_by_name)
        self.step_sheet = StepSheet(session, self.actions_by_name)
        self.remarks_view = RemarksView(session, self.actions_by_name)
        self.ledger_view = LedgerView(session, self.actions_by_name)
        self.speech_view = SpeechView(session, self.actions_by_name)
        self.review_view = ReviewView(session, self.actions_by_name)
        self.proposals_view = ProposalsView(session, self.actions_by_name)
        self.tray = Tray()
        self.keeper = Keeper(session, self.actions_by_name, self)
        self.closing = Closing(session, self, self.keeper.save)
        self.publishing = Publishing(session, self.actions_by_name, self)
        self.adding = Adding(session, self.actions_by_name, self)
        self.help = Help(session, self.actions_by_name, self)
        self.stills = StillRenewing(session, self)
        self._lay_out()
        self.setStatusBar(StatusLine(session, self))
        self._connect()
        self.resize(_WIDE, 720)

    def _lay_out(self) -> None:
        self.pictures = QStackedWidget()
        self.pictures.addWidget(self.film_view)
        self.pictures.addWidget(self.still_view)
        for paper, words in (
            (self.remarks_view, self.tr("Remarks")),
            (self.ledger_view, self.tr("Off the machine")),
            (self.speech_view, self.tr("Said")),
            (self.review_view, self.tr("Review")),
            (self.proposals_view, self.tr("Proposals")),
        ):
            self.tray.add(paper, words)
        self._left = left = QSplitter(Qt.Orientation.Vertical)
        left.addWidget(self.pictures)
        left.addWidget(self.tray)
        # One division for all papers: what lies under a hand must not move when one is turned.
        left.setStretchFactor(0, _FILM_SHARE)
        left.setStretchFactor(1, _TRAY_SHARE)
        self._shares = [_FILM_SHARE * 80, _TRAY_SHARE * 80]
        left.setSizes(self._shares)
        left.setChildrenCollapsible(False)
        right = QSplitter(Qt.Orientation.Vertical)
        right.addWidget(self.steps_view)
        right.addWidget(self.step_sheet)
        right.setStretchFactor(0, 2)
        right.setStretchFactor(1, 3)
        right.setSizes([230, 420])
        across = QSplitter(Qt.Orientation.Horizontal)
        for place, (part, share) in enumerate(((left, 5), (self.tape_view, 2), (right, 5))):
            across.addWidget(part)
            across.setStretchFactor(place, share)
            across.setCollapsible(place, False)
        across.setSizes([(_WIDE - _TAPE) // 2, _TAPE, (_WIDE - _TAPE) // 2])
        self.setCentralWidget(across)

    def _connect(self) -> None:
        deeds = self.actions_by_name
        for name, paper in (
            ("show_remarks", self.remarks_view),
            ("show_ledger", self.ledger_view),
            ("show_speech", self.speech_view),
            ("show_review", self.review_view),
            ("show_proposals", self.proposals_view),
        ):
            deeds[name].triggered.connect(lambda _=False, paper=paper: self.tray.bring(paper))
        deeds["close_beside"].triggered.connect(self.close_beside)
        deeds["still"].toggled.connect(self.show_still)
        deeds["more_room"].toggled.connect(self.give_room)
        deeds["close"].triggered.connect(self.close)
        deeds["undo"].triggered.connect(self.session.undo)
        deeds["redo"].triggered.connect(self.session.redo)
        deeds["to_film"].triggered.connect(self.to_film)
        self.session.title_changed.connect(self._retitle)
        self._retitle()

    def show_still(self, on: bool) -> None:
        """Show the step's still in place of the film and the tray, or both again."""
        self.tray.setVisible(not on)
        self.pictures.setCurrentWidget(self.still_view if on else self.film_view)
        self.deed_checked("still", on)

    def give_room(self, on: bool) -> None:
        """Make the film as low as it may be for the papers under it, or as high as it was."""
        if on:
            self._shares = self._left.sizes()
        self._left.setSizes([1, self._left.height()] if on else self._shares)

    def deed_checked(self, name: str, on: bool) -> None:
        """Set whether a deed is on without doing it again."""
        action = self.actions_by_name[name]
        if action.isChecked() != on:
            action.blockSignals(True)
            action.setChecked(on)
            action.blockSignals(False)

    def close_beside(self) -> None:
        """Close the windows that stand beside the bench."""
        beside = [one for one in self.findChildren(Beside) if one.isVisible()]
        for one in beside:
            one.close()
        if not beside:
            self.session.tell("advice", self.tr("No window stands beside the bench."))

    def to_film(self) -> None:
        """Leave whatever is being written, and give the keys to the film."""
        self.deed_checked("still", False)
        self.show_still(False)
        self.film_view.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _retitle(self) -> None:
        self.setWindowTitle(self.session.title())

    def closeEvent(self, event: QCloseEvent | None) -> None:
        """Close what runs behind; work is in the file or the journal."""
        assert event is not None  # noqa: S101 - Qt never calls it without one
        if not self.closing.may_close():
            event.ignore()
            return
        self.put_down()
        event.accept()

    def put_down(self) -> None:
        """End all that runs for this window, and its session. May be called twice."""
        self.hide()
        self.film_view.stop()
        self.keeper.close()
        self.session.close()
