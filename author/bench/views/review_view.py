"""The review: number by number and point by point, accepted or queried with a note.

Beside each stand its still, its clip and its source; a sign-off is of the saved file, so
work that is not saved is saved first. Who wrote the procedure cannot sign it.
"""

from __future__ import annotations

from PyQt6.QtCore import QSettings, QSignalBlocker, Qt
from PyQt6.QtWidgets import (
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QSplitter,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from author.bench.actions import Actions
from author.bench.choices import ChoiceField, Option
from author.bench.session import Session
from author.contract.review_file import read_review
from author.editing import Saved, SaveResult
from author.errors import InputError, ReelwrightError
from author.procedure.review import ReviewSheet
from author.procedure.steps import CriticalPoint
from author.tasks.signing_off import sign_off
from author.tasks.spec_layout import Layout
from author.tasks.spec_table import NumberRow, PointRow, SpecTable, table_of

Row = NumberRow | PointRow
_Answer = tuple[SaveResult | None, ReviewSheet | None]
_SIGNS = {"accepted": "✓", "queried": "?", "stale": "!", "not signed": "–"}


class ReviewView(QWidget):
    """A list of all that is signed; beside it what the chosen one rests on."""

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._table: SpecTable | None = None
        self._rows: list[Row] = []
        self._shown: tuple[object, object] | None = None
        self._list = QTreeWidget()
        self._list.setRootIsDecorated(False)
        self._list.setUniformRowHeights(True)
        self._list.setHeaderLabels([self.tr("Step"), self.tr("Number or point"), self.tr("Signed")])
        self._list.setAccessibleName(self.tr("Numbers and points to sign"))
        header = self._list.header()
        if header is not None:
            header.setStretchLastSection(False)
            header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
            header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        self._says = QLabel()
        self._says.setWordWrap(True)
        self._says.setTextFormat(Qt.TextFormat.PlainText)
        self._says.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._says.setAccessibleName(self.tr("What it rests on"))
        self._says.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self._by = QLineEdit()
        self._role = QLineEdit()
        self._note = QLineEdit()
        self._lay_out(deeds)
        self._list.currentItemChanged.connect(lambda *_: self._show_row())
        deeds["accept"].triggered.connect(lambda: self.sign(query=False))
        deeds["query"].triggered.connect(lambda: self.sign(query=True))
        deeds["next_point"].triggered.connect(lambda: self.step(1))
        deeds["previous_point"].triggered.connect(lambda: self.step(-1))
        session.checked.connect(self.refresh)

    def refresh(self, *_: object) -> None:
        """Bring the list up to date, if it is on top and something has changed."""
        now = (self._session.procedure, self._session.sign_offs)
        if not self.isVisible() or (
            self._shown is not None and all(a is b for a, b in zip(now, self._shown, strict=True))
        ):
            return
        self._shown = now
        self._table = table_of(self._session.document.loaded(), self._session.sign_offs)
        rows: list[Row] = [*self._table.numbers, *self._table.points]
        rows.sort(key=lambda row: row.placed.number)
        self._rows = rows
        at = self._list.indexOfTopLevelItem(self._list.currentItem() or QTreeWidgetItem())
        with QSignalBlocker(self._list):
            self._list.clear()
            for row in rows:
                self._list.addTopLevelItem(self._item(row))
            if rows:
                self._list.setCurrentItem(self._list.topLevelItem(min(max(at, 0), len(rows) - 1)))
        self._tell_row()

    def showEvent(self, event: object) -> None:  # noqa: N802, ARG002 - Qt's name
        """Bring the list up to date when it comes to the top."""
        self.refresh()

    def chosen(self) -> Row | None:
        """Return the number or point that is chosen."""
        item = self._list.currentItem()
        at = -1 if item is None else self._list.indexOfTopLevelItem(item)
        return self._rows[at] if at >= 0 else None

    def step(self, by: int) -> None:
        """Choose the next number or point that is open, or the one before; all are looked at."""
        self.refresh()
        count = len(self._rows)
        if not count:
            return
        item = self._list.currentItem()
        at = self._list.indexOfTopLevelItem(item) if item is not None else -1
        order = [(at + by * n) % count for n in range(1, count + 1)]
        still_open = [n for n in order if self._rows[n].signed.state != "accepted"]
        self._list.setCurrentItem(self._list.topLevelItem((still_open or order)[0]))
        self._show_row()

    def sign(self, *, query: bool) -> None:
        """Accept or query what is chosen, in the name that stands in the field."""
        row, session = self.chosen(), self._session
        by, role = self._by.text().strip(), self._role.text().strip()
        note = self._note.text().strip()
        missing = next((f for f, text in ((self._by, by), (self._role, role)) if not text), None)
        if query and not note:
            missing = missing or self._note
        if row is None or missing is not None:
            if missing is not None:
                missing.setFocus()
                session.tell(
                    "error", self.tr("Write a name, a role, and for a query what is wrong.")
                )
            return
        document = session.document
        saving = document.saving() if document.dirty else None
        point = row.spec.id if isinstance(row, NumberRow) else row.point.id
        file = document.file

        def work(
            _progress: object, _cancel: object
        ) -> tuple[SaveResult | None, ReviewSheet | None]:
            saved = saving.run() if saving is not None else None
            if saving is not None and not isinstance(saved, Saved):
                raise InputError("the file was changed by somebody else", remedy="Save first")
            sign_off(file, [point], by=by, role=role, query=note if query else None)
            return saved, read_review(file.parent)

        session.jobs.run("sign", work, self._signed, self._fail)

    def _lay_out(self, deeds: Actions) -> None:
        settings = QSettings()
        self._by.setText(str(settings.value("reviewer", "")))
        self._role.setText(str(settings.value("role", "")))
        accept, query = QPushButton(self.tr("Accept")), QPushButton(self.tr("Query"))
        accept.clicked.connect(deeds["accept"].trigger)
        query.clicked.connect(deeds["query"].trigger)
        for button, name in ((accept, "accept"), (query, "query")):
            button.setToolTip(deeds[name].shortcut().toString())
        form = QFormLayout()
        for words, field in (
            (self.tr("Name"), self._by),
            (self.tr("Role"), self._role),
            (self.tr("What is wrong"), self._note),
        ):
            form.addRow(words, field)
        name = self.tr("State of the procedure")
        form.addRow(self.tr("State"), ChoiceField(self._session, self._states, ("state",), name))
        buttons = QHBoxLayout()
        buttons.addWidget(accept)
        buttons.addWidget(query)
        buttons.addStretch(1)
        paper = QWidget()
        right = QVBoxLayout(paper)
        right.setContentsMargins(4, 0, 0, 0)
        rests_on = QScrollArea()
        rests_on.setWidgetResizable(True)
        rests_on.setFrameShape(QFrame.Shape.NoFrame)
        rests_on.setWidget(self._says)
        right.addWidget(rests_on, 1)
        right.addLayout(form)
        right.addLayout(buttons)
        across = QSplitter(Qt.Orientation.Horizontal)
        across.addWidget(self._list)
        across.addWidget(paper)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(across)

    def _states(self) -> list[Option]:
        words = {
            "draft": self.tr("draft"),
            "in_review": self.tr("in review"),
            "approved": self.tr("approved"),
            "superseded": self.tr("superseded"),
            "withdrawn": self.tr("withdrawn"),
        }
        return list(words.items())

    def _item(self, row: Row) -> QTreeWidgetItem:
        name = row.spec.characteristic if isinstance(row, NumberRow) else _point_words(row)
        state = row.signed.state
        item = QTreeWidgetItem([str(row.placed.number), name, f"{_SIGNS[state]} {state}"])
        item.setToolTip(1, name)
        return item

    def _show_row(self) -> None:
        """Show the chosen one with its step's picture at its moment."""
        self._tell_row()
        row = self.chosen()
        if row is None:
            return
        self._session.choose_step(row.placed.step.id)
        still, clip = row.placed.step.still, row.placed.step.clip
        if still is not None:
            self._session.films.show_at(still.at, still.recording)
        elif clip is not None:
            self._session.films.show_at(clip.start, clip.recording)

    def _tell_row(self) -> None:
        row = self.chosen()
        if row is None or self._table is None:
            self._says.setText(self.tr("There is nothing to sign."))
            return
        title, rests_on = Layout(self._table).said(row)
        source = self.tr("none named") if row.source is None else row.source.title
        lines = [title, *(f"{label}: {text}" for label, text in rests_on if label != "source")]
        self._says.setText("\n".join([*lines, f"{self.tr('source')}: {source}"]))

    def _signed(self, answer: _Answer) -> None:
        saved, sheet = answer
        if saved is not None:
            self._session.document.saved(saved)
            self._session.title_changed.emit()
        settings = QSettings()
        settings.setValue("reviewer", self._by.text().strip())
        settings.setValue("role", self._role.text().strip())
        self._note.clear()
        self._session.take_sign_offs(sheet)
        self.refresh()
        self.step(1)

    def _fail(self, error: ReelwrightError) -> None:
        self._session.tell("error", str(error))


def _point_words(row: PointRow) -> str:
    point = row.point
    return point.what if isinstance(point, CriticalPoint) else point.look_for
