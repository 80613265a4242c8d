"""The first pane: shows the film at once, and asks where the procedure shall be kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PyQt6.QtCore import QSettings, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QKeyEvent, QPixmap
from PyQt6.QtWidgets import (
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from author.bench.films import FilmDesk
from author.bench.images import FramePicture
from author.bench.jobs import JobRunner
from author.contract.procedure_file import PROCEDURE_FILE
from author.editing.journal_file import journal_path
from author.errors import ReelwrightError
from author.progress import Cancel, Progress
from author.tasks.opening import Opened, open_for_editing
from author.tasks.starting import name_of, start_procedure

_MOST_RECENT = 8


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be opened: one procedure, or recordings a new one begins from.

    Attributes:
        procedure: folder or file of the procedure; None for a new one.
        recordings: films of the new one.
    """

    procedure: Path | None
    recordings: tuple[Path, ...] = ()


def wish_of(paths: Sequence[Path]) -> Wish:
    """Tell procedures from recordings: a folder or a YAML file is a procedure."""
    first = paths[0]
    if first.is_dir() or first.suffix.lower() in {".yaml", ".yml"}:
        return Wish(first, tuple(paths[1:]))
    return Wish(None, tuple(paths))


def folders_for(recording: Path) -> tuple[list[Path], Path]:
    """Return the folders beside a recording for procedures made from it.

    Returns:
        Those that hold one already, and one that is free.
    """
    base = recording.resolve().parent / f"{recording.stem}-procedure"
    taken: list[Path] = []
    free = base
    while (free / PROCEDURE_FILE).exists():
        taken.append(free)
        free = base.with_name(f"{base.name}-{len(taken) + 1}")
    return taken, free


def recent() -> list[Path]:
    """Return the folders of procedures opened last, those that are still there."""
    kept = QSettings().value("recent", [], type=list) or []
    folders = [Path(str(one)) for one in kept]
    return [one for one in folders if (one / PROCEDURE_FILE).exists()]


def note_recent(file: Path) -> None:
    """Note a procedure as opened last."""
    folder = file.resolve().parent
    folders = [folder, *(one for one in recent() if one != folder)]
    QSettings().setValue("recent", [str(one) for one in folders[:_MOST_RECENT]])


class OpeningPane(QWidget):
    """Opens what is wished; of new recordings the first is shown while they are read."""

    opened = pyqtSignal(object, object)
    """An ``Opened``, and the ``FilmDesk`` with the films that are open already, or None."""

    def __init__(self, wish: Wish | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Reelwright")
        self.jobs = JobRunner(self)
        self.films: FilmDesk | None = None
        self._wish: Wish | None = None
        self._picture = QLabel()
        self._picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._picture.setMinimumSize(QSize(320, 180))
        self._picture.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._picture.setAccessibleName(self.tr("First frame of the recording"))
        self._says = QLabel(
            self.tr("Open a procedure to go on with it, or film of a job to begin one.")
        )
        self._says.setWordWrap(True)
        self._says.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByKeyboard)
        self._list = QListWidget()
        self._folder = QLineEdit()
        self._begin = QPushButton(self.tr("&Begin the procedure"))
        self._lay_out()
        self.resize(880, 620)
        if wish is not None:
            self.take(wish)

    @property
    def says(self) -> str:
        """What it says now."""
        return self._says.text()

    @property
    def offered(self) -> list[str]:
        """The procedures it offers to go on with, in words."""
        items = (self._list.item(row) for row in range(self._list.count()))
        return [item.text() for item in items if item is not None]

    def take(self, wish: Wish) -> None:
        """Begin to open something."""
        self._close_films()
        self._wish = wish
        if wish.procedure is not None:
            self._open_procedure(wish.procedure)
            return
        self.films = FilmDesk(self)
        self.films.shown.connect(self._show)
        self.films.failed.connect(lambda _id, error: self._fail(error))
        names: list[str] = []
        for path in wish.recordings:
            names.append(name_of(path.stem, names))
            self.films.open(names[-1], path)
        taken, free = folders_for(wish.recordings[0])
        self._folder.setText(str(free))
        self._form.show()
        self._begin.setEnabled(True)
        names_of_films = ", ".join(path.name for path in wish.recordings)
        if taken:
            self._offer(taken[::-1])
            self._says.setText(
                self.tr(
                    "There is a procedure from %1 already. Go on with it, or begin another."
                ).replace("%1", names_of_films)
            )
            self._list.setFocus()
        else:
            self._list.hide()
            self._begin.setFocus()
            self._says.setText(
                self.tr(
                    "A new procedure from %1. The film itself is not changed or moved."
                ).replace("%1", names_of_films)
            )

    def close_all(self) -> None:
        """End what runs behind. May be called twice."""
        self.jobs.close()
        self._close_films()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Let Enter begin the procedure wherever the keys are."""
        if event is not None and event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            focused = self.focusWidget()
            if isinstance(focused, QPushButton):
                focused.click()
            elif focused is not self._list:  # the list has told of it already
                self._start()
        else:
            super().keyPressEvent(event)

    def _offer(self, folders: Sequence[Path]) -> None:
        """List procedures to go on with; one with work that is not in its file says so."""
        self._list.clear()
        for folder in folders:
            unsaved = journal_path((folder / PROCEDURE_FILE).resolve()).exists()
            words = self.tr("%1 (with work that is not saved)") if unsaved else "%1"
            item = QListWidgetItem(words.replace("%1", str(folder)))
            item.setData(Qt.ItemDataRole.UserRole, str(folder))
            self._list.addItem(item)
        self._list.setCurrentRow(0)
        self._list.setVisible(bool(folders))

    def _go_on(self, item: QListWidgetItem | None) -> None:
        if item is not None:
            self.take(Wish(Path(item.data(Qt.ItemDataRole.UserRole))))

    def _lay_out(self) -> None:
        self._form = QWidget()
        form = QFormLayout(self._form)
        form.setContentsMargins(0, 0, 0, 0)
        label = QLabel(self.tr("&Folder of the procedure"))
        label.setBuddy(self._folder)
        form.addRow(label, self._folder)
        self._begin.setDefault(True)
        self._begin.clicked.connect(self._start)
        form.addRow("", self._begin)
        self._form.hide()
        self._list.setAccessibleName(self.tr("Procedures to go on with"))
        self._list.setMaximumHeight(130)
        self._list.itemActivated.connect(self._go_on)
        self._offer(recent())
        procedure = QPushButton(self.tr("Open a &procedure …"))
        procedure.clicked.connect(self._choose_procedure)
        films = QPushButton(self.tr("Open &recordings …"))
        films.clicked.connect(self._choose_films)
        row = QHBoxLayout()
        row.addWidget(procedure)
        row.addWidget(films)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.addWidget(self._picture, 1)
        column.addWidget(self._says)
        column.addWidget(self._list)
        column.addWidget(self._form)
        column.addLayout(row)

    def _choose_procedure(self) -> None:
        file, _ = QFileDialog.getOpenFileName(
            self, self.tr("Procedure"), "", self.tr("Procedures (*.yaml)")
        )
        if file:
            self.take(Wish(Path(file)))

    def _choose_films(self) -> None:
        files, _ = QFileDialog.getOpenFileNames(self, self.tr("Recordings"))
        if files:
            self.take(Wish(None, tuple(Path(file) for file in files)))

    def _open_procedure(self, path: Path) -> None:
        self._form.hide()
        self._list.hide()
        self._says.setText(self.tr("Opening %1 …").replace("%1", str(path)))
        self.jobs.run(
            "open",
            lambda _progress, _cancel: open_for_editing(path),
            self._hand_over,
            self._fail,
        )

    def _start(self) -> None:
        wish = self._wish
        if wish is None or not self._begin.isEnabled():
            return
        folder = Path(self._folder.text().strip()).expanduser()
        self._begin.setEnabled(False)
        self._says.setText(self.tr("Reading the fingerprint of the recordings …"))

        def work(progress: Progress, cancel: Cancel) -> Opened:
            started = start_procedure(folder, wish.recordings, progress, cancel, read_through=False)
            return open_for_editing(started.file)

        self.jobs.run("open", work, self._hand_over, self._fail)

    def _hand_over(self, opened: Opened) -> None:
        films, self.films = self.films, None
        note_recent(opened.document.file)
        if films is not None:
            films.shown.disconnect(self._show)
        self.opened.emit(opened, films)

    def _show(self, picture: FramePicture) -> None:
        size = self._picture.size() * self.devicePixelRatioF()
        image = picture.image.scaled(
            size, Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
        )
        image.setDevicePixelRatio(self.devicePixelRatioF())
        self._picture.setPixmap(QPixmap.fromImage(image))

    def _fail(self, error: ReelwrightError) -> None:
        self._begin.setEnabled(not self._unread())
        self._says.setText(str(error))

    def _unread(self) -> bool:
        """Whether one of the recordings cannot be read at all."""
        films = self.films
        return films is not None and any(
            films.broken(one) is not None and films.index(one) is None for one in films.recordings
        )

    def _close_films(self) -> None:
        if self.films is not None:
            self.films.close()
            self.films = None
