"""The review: number by number and point by point, accepted or queried with a note.

Beside each stand its still, its clip and its source; a sign-off is of the saved file, so
work that is not saved is saved first. Who wrote the procedure cannot sign it.
"""

from __future__ import annotations

from PyQt6.QtCore import QElapsedTimer, QSettings, QSignalBlocker, Qt
from PyQt6.QtWidgets import (
    QFrame,
    QGridLayout,
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
from author.bench.names import given_name, keep_name
from author.bench.session import Session
from author.bench.views.labels import WrappedLabel
from author.bench.views.telling_apart import ALIKE, ApartDelegate
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
_SHARES = (9, 10)
"""Of the width, for the list and for what is signed."""
_READING = 700
"""Milliseconds in which nobody can have read the next one."""
_SIGNS = {"accepted": "✓", "queried": "?", "stale": "!", "not signed": "–"}


class ReviewView(QWidget):
    """A list of all that is signed; beside it what the chosen one rests on."""

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._deeds = deeds
        self._signed_at = QElapsedTimer()
        self._lacking = False
        self._table: SpecTable | None = None
        self._rows: list[Row] = []
        self._shown: tuple[object, object] | None = None
        self._list = QTreeWidget()
        self._list.setRootIsDecorated(False)
        self._list.setUniformRowHeights(True)
        self._list.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self._list.setItemDelegateForColumn(1, ApartDelegate(self._list))
        self._list.setHeaderLabels([self.tr("Step"), self.tr("What"), _SIGNS["accepted"]])
        heads = self._list.headerItem()
        if heads is not None:
            heads.setTextAlignment(2, Qt.AlignmentFlag.AlignHCenter)
            heads.setToolTip(2, self.tr("Signed"))
            heads.setData(2, Qt.ItemDataRole.AccessibleTextRole, self.tr("Signed"))
        self._list.setAccessibleName(self.tr("Numbers and points to sign"))
        header = self._list.header()
        if header is not None:
            header.setStretchLastSection(False)
            header.setMinimumSectionSize(0)
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
        self._doubt = WrappedLabel()
        self._doubt.setAccessibleName(self.tr("To know before it is accepted"))
        self._doubt.setProperty("severity", "warning")
        self._doubt.hide()
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
        session.step_chosen.connect(self._follow_step)
        for field in (self._by, self._role):
            field.editingFinished.connect(self._look_again)

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

    def showEvent(self, event: object) -> None:  # noqa: ARG002
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
        if not self._is_looked_at(query=query):
            return
        row, session = self.chosen(), self._session
        by, role = self._by.text().strip(), self._role.text().strip()
        note = self._note.text().strip()
        missing = next((f for f, text in ((self._by, by), (self._role, role)) if not text), None)
        if query and not note:
            missing = missing or self._note
        if row is None or missing is not None:
            if missing is not None:
                missing.setFocus()
                self._lacking = True
                session.tell(
                    "error", self.tr("Write a name, a role, and for a query what is wrong.")
                )
            return
        if row.signed.state == "accepted" and not query:
            words = self.tr("It is accepted already: query it to take that back.")
            session.tell("advice", words)
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
            asked, answer = (note, None) if query else (None, note or None)
            sign_off(file, [point], by=by, role=role, query=asked, answer=answer)
            return saved, read_review(file.parent)

        words = self.tr("Queried: %1") if query else self.tr("Accepted: %1")
        name = _words(row)
        said = words.replace("%1", name)
        session.jobs.run("sign", work, lambda answer: self._signed(answer, said, name), self._fail)

    def _is_looked_at(self, *, query: bool) -> bool:
        """Whether what would be signed is in front, and has been for a moment; else it comes."""
        words = ""
        row = self.chosen() if self.isVisible() else None
        if not self.isVisible():
            self._deeds["show_review"].trigger()
            words = self.tr("This is what would be signed: look at it, and press again.")
        elif row is not None and row.placed.step.id != self._session.step:
            self._show_row()
            words = self.tr("The chosen step has nothing to sign. Next is this: look, press again.")
        elif not query and self._signed_at.isValid() and self._signed_at.elapsed() < _READING:
            words = self.tr("This is the next one: look at it before it is signed.")
        if words:
            self._session.tell("warning", words)
        return not words

    def _look_again(self) -> None:
        """Take back that something is lacking once it is written."""
        if self._lacking and self._by.text().strip() and self._role.text().strip():
            self._lacking = False
            self._session.tell("advice", self.tr("Now accept it, or query it."))

    def _follow_step(self, step: str) -> None:
        """Choose what the chosen step has to sign, what is open first."""
        chosen = self.chosen()
        if not self.isVisible() or (chosen is not None and chosen.placed.step.id == step):
            return
        own = [n for n, row in enumerate(self._rows) if row.placed.step.id == step]
        still_open = [n for n in own if self._rows[n].signed.state != "accepted"]
        if own:
            with QSignalBlocker(self._list):
                self._list.setCurrentItem(self._list.topLevelItem((still_open or own)[0]))
            self._tell_row()

    def _lay_out(self, deeds: Actions) -> None:
        self._by.setText(given_name())
        self._role.setText(str(QSettings().value("role", "")))
        accept, query = QPushButton(self.tr("Accept")), QPushButton(self.tr("Query"))
        accept.clicked.connect(deeds["accept"].trigger)
        query.clicked.connect(deeds["query"].trigger)
        for button, name in ((accept, "accept"), (query, "query")):
            button.setToolTip(deeds[name].shortcut().toString())
        name = self.tr("State of the procedure")
        state = ChoiceField(self._session, self._states, ("state",), name)
        paper = QWidget()
        right = QVBoxLayout(paper)
        right.setContentsMargins(4, 0, 0, 0)
        right.setSpacing(2)
        rests_on = QScrollArea()
        rests_on.setWidgetResizable(True)
        rests_on.setFrameShape(QFrame.Shape.NoFrame)
        rests_on.setWidget(self._says)
        right.addWidget(rests_on, 1)
        right.addWidget(self._doubt)
        across = QSplitter(Qt.Orientation.Horizontal)
        across.addWidget(self._list)
        across.addWidget(paper)
        for part, share in enumerate(_SHARES):
            across.setStretchFactor(part, share)
        across.setSizes([share * 100 for share in _SHARES])
        # What is written takes two lines across the whole paper: the rest is for reading.
        form = QGridLayout()
        form.setContentsMargins(4, 0, 4, 2)
        form.setHorizontalSpacing(6)
        form.setVerticalSpacing(2)
        for place, (words, field) in enumerate(
            ((self.tr("Name"), self._by), (self.tr("Role"), self._role), (self.tr("State"), state))
        ):
            form.addWidget(_label(words, field), 0, 2 * place)
            form.addWidget(field, 0, 2 * place + 1)
            form.setColumnStretch(2 * place + 1, 1)
        form.addWidget(_label(self.tr("Query or answer"), self._note), 1, 0)
        form.addWidget(self._note, 1, 1, 1, 3)
        form.addWidget(accept, 1, 4)
        form.addWidget(query, 1, 5)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(4)
        whole.addWidget(across, 1)
        whole.addLayout(form)

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
        name = _words(row)
        state = row.signed.state
        item = QTreeWidgetItem([str(row.placed.number), name, _SIGNS[state]])
        # The sign leaves the room to what it is of; its words are the tip, and are read out.
        words = self._state_words(state)
        item.setToolTip(2, words)
        item.setData(2, Qt.ItemDataRole.AccessibleTextRole, words)
        item.setTextAlignment(2, Qt.AlignmentFlag.AlignHCenter)
        item.setToolTip(1, name)
        own = [_words(one) for one in self._rows if one.placed.step.id == row.placed.step.id]
        item.setData(1, ALIKE, own)
        return item

    def _state_words(self, state: str) -> str:
        words = {
            "accepted": self.tr("accepted"),
            "queried": self.tr("queried"),
            "stale": self.tr("changed since it was signed"),
            "not signed": self.tr("not signed"),
        }
        return words[state]

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
            self._doubt.hide()
            return
        doubts = self._doubts(row)
        self._doubt.setText(" ".join(doubts))
        self._doubt.setVisible(bool(doubts))
        title, rests_on = Layout(self._table).said(row)
        source = self.tr("none named") if row.source is None else row.source.title
        lines = [title, *(f"{label}: {text}" for label, text in rests_on if label != "source")]
        signed = f"{self.tr('signed')}: {self._state_words(row.signed.state)}"
        self._says.setText("\n".join([*lines, f"{self.tr('source')}: {source}", signed]))

    def _doubts(self, row: Row) -> list[str]:
        """Return what whoever accepts it should know, each one sentence."""
        found = []
        if row.signed.verdict == "queried":
            asked = self.tr("%1 queried it: “%2”. Accept it with an answer.")
            found.append(
                asked.replace("%1", row.signed.by or "").replace("%2", row.signed.note or "")
            )
        if isinstance(row, NumberRow) and not row.spec.reference:
            if row.instrument is None:
                found.append(self.tr("No instrument is named for it."))
            elif row.adequacy.verdict == "not judged":
                found.append(self.tr("Whether its instrument is good enough is not judged."))
            elif row.adequacy.verdict == "not adequate":
                found.append(self.tr("Its instrument is not good enough."))
        plan = self._session.procedure.review
        if plan is None or not plan.authors:
            found.append(self.tr("Who wrote this is not said: its author could sign it."))
        return found

    def _signed(self, answer: _Answer, said: str, name: str) -> None:
        saved, sheet = answer
        if saved is not None:
            self._session.document.saved(saved)
            self._session.title_changed.emit()
        keep_name(self._by.text().strip())
        QSettings().setValue("role", self._role.text().strip())
        self._note.clear()
        self._session.take_sign_offs(sheet, name)
        self.refresh()
        if all(row.signed.state == "accepted" for row in self._rows):
            said = f"{said} · {self.tr('All are signed.')}"
        else:
            self.step(1)
        self._signed_at.start()
        self._session.tell("good", said)

    def _fail(self, error: ReelwrightError) -> None:
        self._session.tell("error", str(error))


def _label(words: str, field: QWidget) -> QLabel:
    label = QLabel(words)
    label.setBuddy(field)
    return label


def _words(row: Row) -> str:
    return row.spec.characteristic if isinstance(row, NumberRow) else _point_words(row)


def _point_words(row: PointRow) -> str:
    point = row.point
    return point.what if isinstance(point, CriticalPoint) else point.look_for
