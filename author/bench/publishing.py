"""Publishing from the window: what would leave the house, what forbids it, how far it is."""

from __future__ import annotations

from pathlib import Path

from PyQt6.QtCore import QObject, Qt, QUrl
from PyQt6.QtGui import QDesktopServices, QKeyEvent
from PyQt6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFileDialog,
    QGridLayout,
    QGroupBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from author.bench.actions import Actions
from author.bench.beside import Beside
from author.bench.left_over import not_taken
from author.bench.remark_words import RemarkWords, place_words
from author.bench.session import Session, Severity
from author.bench.views.labels import WrappedLabel
from author.checks import Remark, Verdict
from author.checks.verdict import forbids
from author.editing import Saved, SaveResult
from author.errors import ReelwrightError, one_line
from author.progress import Cancel, Progress
from author.tasks.checking import CheckReport
from author.tasks.publishing import OUTPUTS, Published, publish

PUBLISH = "publish"
"""Name of the job that publishes."""
_Answer = tuple[SaveResult | None, Published | CheckReport | None]


class Publishing(QObject):
    """Opens the publishing sheet when it is asked for."""

    def __init__(self, session: Session, deeds: Actions, window: QWidget) -> None:
        super().__init__(window)
        self._session = session
        self._window = window
        self._deeds = deeds
        self.sheet: PublishSheet | None = None
        deeds["publish"].triggered.connect(self.open)

    def open(self) -> None:
        """Show the sheet; it stays beside the window while it works."""
        if self.sheet is None:
            self.sheet = PublishSheet(self._session, self._window)
            self.sheet.addAction(self._deeds["close_beside"])
        self.sheet.come()
        self.sheet.ready()


class PublishSheet(Beside):
    """Chooses outputs and folder, saves, publishes, and says what was made."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Publish"))
        self._session = session
        self._ticks = {name: QCheckBox(words) for name, words in self._outputs().items()}
        self._folder = QLineEdit(str(session.document.file.parent / "published"))
        self._paper = QComboBox()
        self._paper.addItem(self.tr("A4"), "a4")
        self._paper.addItem(self.tr("US Letter"), "us-letter")
        self._draft = QCheckBox(self.tr("In spite of errors, with &DRAFT on every page"))
        self._says = WrappedLabel()
        self._says.setTextInteractionFlags(Qt.TextInteractionFlag.TextBrowserInteraction)
        self._bar = QProgressBar()
        self._bar.setTextVisible(False)
        self._go = QPushButton(self.tr("&Publish"))
        self._halt = QPushButton(self.tr("&Stop"))
        self._look = QPushButton(self.tr("Open the &folder"))
        self._first = QPushButton(self.tr("&Go to the first remark"))
        self._first.hide()
        self._first.clicked.connect(self._go_to_first)
        self._forbids: list[Remark] = []
        self._told = ""
        self._lay_out()
        self._go.clicked.connect(self._begin)
        self._halt.clicked.connect(self._stop)
        self._look.clicked.connect(self._show_folder)
        session.jobs.progressed.connect(self._progress)
        session.checked.connect(self._judge_again)
        self._draft.toggled.connect(lambda _: self._judge())
        self._at_work(False)

    def ready(self) -> None:
        """Say what would forbid publishing, and give the keys to what can be pressed."""
        self._judge()
        (self._go if self._go.isEnabled() else self._draft).setFocus()

    def _judge(self) -> None:
        """Say what forbids it by the newest verdict, while nothing is made."""
        verdict = self._session.verdict
        if verdict is not None and not self._session.jobs.is_running(PUBLISH):
            self._tell_forbidden(verdict)

    def _judge_again(self, *_: object) -> None:
        """Take another verdict; what was made or went wrong stays told."""
        if self.isVisible() and self._says.text() == self._told:
            self._judge()

    def _tell_forbidden(self, verdict: Verdict) -> None:
        """Say what keeps it from being published, and offer the way to the first."""
        self._forbids = [remark for remark in verdict.remarks if forbids(remark)]
        self._first.setVisible(bool(self._forbids))
        self._go.setEnabled(self._may_begin())
        self._told = "\n".join(filter(None, (self._forbidden(), not_taken(self._session))))
        self._says.setText(self._told)

    def _may_begin(self) -> bool:
        return self._draft.isChecked() or not self._forbids

    def _forbidden(self) -> str:
        """Return how many remarks forbid it, and the first; empty if none does."""
        if not self._forbids:
            return ""
        one, draft = len(self._forbids) == 1, self._draft.isChecked()
        if draft and one:
            words = self.tr("It is made as a draft, in spite of one remark.")
        elif draft:
            words = self.tr("It is made as a draft, in spite of %1 remarks. The first:")
        elif one:
            words = self.tr("One remark forbids it; only a draft can be made.")
        else:
            words = self.tr("%1 remarks forbid it; only a draft can be made. The first:")
        count = words.replace("%1", str(len(self._forbids)))
        first, procedure = self._forbids[0], self._session.procedure
        problem = RemarkWords(procedure).problem(first)
        return f"{count} {place_words(procedure, first.path)}: {problem}"

    def _go_to_first(self) -> None:
        self.hide()
        self._session.go_to(self._forbids[0].path)

    def _outputs(self) -> dict[str, str]:
        words = {
            "yaml": self.tr("Procedure, &YAML"),
            "json": self.tr("Procedure, &JSON"),
            "pdf": self.tr("Ill&ustrated PDF"),
            "page": self.tr("&Work page"),
            "stills": self.tr("S&tills"),
            "clips": self.tr("&Clips"),
            "captions": self.tr("Capt&ions"),
            "order": self.tr("&Order sheet"),
            "record": self.tr("&Record sheet"),
            "annotations": self.tr("&Marks for other programs"),
        }
        return {name: words[name] for name in OUTPUTS}

    def _lay_out(self) -> None:
        outputs = QGroupBox(self.tr("What is made"))
        grid = QGridLayout(outputs)
        for place, tick in enumerate(self._ticks.values()):
            tick.setChecked(True)
            grid.addWidget(tick, place // 2, place % 2)
        choose = QPushButton("…")
        choose.setAccessibleName(self.tr("Choose the folder"))
        choose.clicked.connect(self._choose_folder)
        into = QLabel(self.tr("I&nto"))
        into.setBuddy(self._folder)
        folder = QHBoxLayout()
        for part in (into, self._folder, choose):
            folder.addWidget(part)
        on = QLabel(self.tr("P&aper"))
        on.setBuddy(self._paper)
        paper = QHBoxLayout()
        paper.addWidget(on)
        paper.addWidget(self._paper)
        paper.addWidget(self._draft)
        paper.addStretch(1)
        row = QHBoxLayout()
        for button in (self._go, self._halt, self._look, self._first):
            row.addWidget(button)
        row.addStretch(1)
        row.addWidget(self.close_button)
        column = QVBoxLayout(self)
        column.addWidget(outputs)
        column.addLayout(folder)
        column.addLayout(paper)
        column.addWidget(self._bar)
        column.addWidget(self._says)
        column.addLayout(row)
        self._go.setDefault(True)
        self.setMinimumWidth(560)

    def _choose_folder(self) -> None:
        folder = QFileDialog.getExistingDirectory(self, self.tr("Folder"), self._folder.text())
        if folder:
            self._folder.setText(folder)

    def _begin(self) -> None:
        document = self._session.document
        only = tuple(name for name, tick in self._ticks.items() if tick.isChecked())
        to, draft = Path(self._folder.text()).expanduser(), self._draft.isChecked()
        paper = self._paper.currentData()
        media = tuple({path.parent for path in self._places()})
        saving = document.saving() if document.dirty and not document.read_only else None

        def work(progress: Progress, cancel: Cancel) -> _Answer:
            saved = saving.run() if saving is not None else None
            if saving is not None and not isinstance(saved, Saved):
                return saved, None
            made = publish(
                document.file,
                to,
                only=only,
                draft=draft,
                paper=paper,
                media=media,
                progress=progress,
                cancel=cancel,
            )
            return saved, made

        self._at_work(True)
        self._says.setText(self.tr("Saving and checking …"))
        self._session.jobs.run(PUBLISH, work, self._done, self._fail)

    def _places(self) -> list[Path]:
        films = self._session.films
        return [path for one in films.recordings if (path := films.path(one)) is not None]

    def _stop(self) -> None:
        self._session.jobs.cancel(PUBLISH)
        self._at_work(False)
        self._says.setText(self.tr("Stopped. What was published before is as it was."))

    def _done(self, answer: _Answer) -> None:
        saved, made = answer
        self._at_work(False)
        if saved is not None:
            self._session.document.saved(saved)
            self._session.title_changed.emit()
        if made is None:
            words = self.tr(
                "The file was changed by somebody else or would lose comments: save first."
            )
            self._tell_end("error", words)
        elif isinstance(made, CheckReport):
            self._tell_forbidden(made.verdict)
            self._tell_end("error", self._told)
        else:
            left = not_taken(self._session)
            lines = [self.tr("Made in %1").replace("%1", str(made.folder)), *made.notes]
            lines += [left] if left else []
            self._tell_end("good", "\n".join(lines))
            self._look.setEnabled(True)
            self._look.setFocus()

    def _tell_end(self, severity: Severity, words: str) -> None:
        """Say how it ended, here, and where this was closed meanwhile, in the window."""
        self._says.setText(words)
        if not self.isVisible():
            if severity == "error":
                words = self.tr("Nothing was published: %1").replace("%1", words)
            self._session.tell(severity, one_line(words))

    def _fail(self, error: ReelwrightError) -> None:
        self._at_work(False)
        self._tell_end("error", str(error))

    def _progress(self, name: str, job: str, done: int, total: int | None) -> None:
        if name == PUBLISH:
            self._bar.setRange(0, total or 0)
            self._bar.setValue(done)
            self._says.setText(job)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Let Escape stop what is being made; it closes the sheet only when nothing is."""
        escape = event is not None and event.key() == Qt.Key.Key_Escape
        if escape and self._session.jobs.is_running(PUBLISH):
            self._stop()
            return
        super().keyPressEvent(event)

    def _at_work(self, on: bool) -> None:
        stop, close, escape = self.tr("&Stop"), self.tr("C&lose"), self.tr("Esc")
        self._halt.setText(f"{stop}   {escape}" if on else stop)
        self.close_button.setText(close if on else f"{close}   {escape}")
        self.close_button.setToolTip(self.tr("It goes on behind the window") if on else "")
        self._go.setEnabled(not on and self._may_begin())
        self._halt.setEnabled(on)
        self._bar.setVisible(on)
        self._look.setEnabled(not on and Path(self._folder.text()).is_dir())

    def _show_folder(self) -> None:
        QDesktopServices.openUrl(QUrl.fromLocalFile(self._folder.text()))
