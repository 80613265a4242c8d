"""What the film leaves out, as questions; each is answered in the field it asks for."""

from __future__ import annotations

from decimal import Decimal

from PyQt6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QPoint,
    QRect,
    Qt,
    pyqtSignal,
)
from PyQt6.QtGui import QColor, QFontMetrics, QMouseEvent, QPainter
from PyQt6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from author.bench.actions import Actions
from author.bench.answering import (
    is_answered,
    is_left,
    is_of_power,
    is_of_the_job,
    place_of,
)
from author.bench.proposing import Proposing
from author.bench.session import Session
from author.bench.taking_in import TakingIn
from author.bench.views.labels import FewLines, lines_of
from author.bench.views.proposal_list import RowsList, step_wanted, step_wanted_too
from author.bench.views.proposal_rows import ROW, QuestionRow, RowsModel
from author.bench.views.row_delegate import RowDelegate
from author.editing import Address, path_of, value_at
from author.procedure.times import clock_text
from author.proposals.proposal import Proposal, Question

_EDGE = 6
_LEFT = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
_MIDDLE = Qt.AlignmentFlag.AlignCenter


class QuestionPaper(QWidget):
    """The questions, worst first; a press of Enter or of "Answer" leads to the field.

    Args:
        session: whose document.
        deeds: what the window can do.
        proposing: what is proposed.
        taking_in: puts it into the document.
    """

    open_wanted = pyqtSignal(str)
    """A proposal has to be answered first: its id."""
    counted = pyqtSignal(int)
    """How many questions are left."""

    def __init__(
        self, session: Session, deeds: Actions, proposing: Proposing, taking_in: TakingIn
    ) -> None:
        super().__init__()
        self._session = session
        self._proposing = proposing
        self._taking_in = taking_in
        self._changing = False
        self._led: dict[tuple[str, Decimal], dict[Address, object]] = {}
        self.rows = RowsModel()
        self.rows.setParent(self)
        self._delegate = QuestionDelegate(self.tr("Answer"), self)
        self.list = RowsList(
            session, self.rows, self._delegate, self.tr("What the film leaves out")
        )
        moves = [deeds[name] for name in ("comes_off", "goes_on")]
        words = [f"{one.shortcut().toString()}: {one.text()}".replace("&", "") for one in moves]
        self._keys_to_move = "; ".join(words)  # no field stands there that could take the keys
        self._keys_to_propose = deeds["propose"].shortcut().toString()
        keys = deeds["answer_question"].shortcut().toString()
        self.button = QPushButton(f"{self.tr('Answer')}  {keys}")
        self.button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.whole = FewLines(3)
        self.whole.setAccessibleName(self.tr("The question"))
        self.button.clicked.connect(deeds["answer_question"].trigger)
        self._lay_out()
        selection = self.list.selectionModel()
        assert selection is not None  # noqa: S101 - a view with a model has one
        selection.currentChanged.connect(self._go)
        self.list.clicked.connect(self._go)
        self.list.activated.connect(lambda _: self.answer())
        self._delegate.pressed.connect(self._answer_row)
        proposing.asked.connect(self.renew)
        session.changed.connect(self._follow)
        self.renew()

    def _lay_out(self) -> None:
        foot = QHBoxLayout()
        foot.addWidget(self.button)
        foot.addSpacing(4)
        foot.addWidget(self.whole, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.list, 1)
        column.addLayout(foot)

    def renew(self) -> None:
        """Show the questions there are now."""
        self._changing = True
        left = self._left()
        self.rows.become([QuestionRow(question) for question in left])
        self._changing = False
        self.counted.emit(len(left))
        self.button.setEnabled(bool(self.rows.rows))
        self._tell()
        if self.isVisible():
            self._choose_first()

    def _left(self) -> list[Question]:
        """Return the questions whose fields nobody has filled."""
        known = {p.id: p for p in self._proposing.proposals}
        return [
            question
            for question in self._proposing.questions
            if not self._is_filled(question, known.get(question.about or ""))
        ]

    def _is_filled(self, question: Question, about: Proposal | None) -> bool:
        """Whether a question was answered in its field: led there, by hand, or on another day."""
        procedure, proposing = self._session.procedure, self._proposing
        for place, was in self._led.get((question.text, question.at), {}).items():
            if not is_left(procedure, place) and value_at(procedure, place) != was:
                return True
        if about is None:
            return False
        if not question.answer and proposing.decision(about.id).say not in {"accept", "change"}:
            return False
        step = None if is_of_the_job(question, about) else proposing.host_of(about.id)
        return is_answered(question, about, procedure, step)

    def _follow(self, *_: object) -> None:
        """Leave out what was answered in its field; what undo empties is asked again."""
        left = self._left()
        if left != [row.question for row in self.rows.rows if isinstance(row, QuestionRow)]:
            self.renew()

    def showEvent(self, event: object) -> None:  # noqa: ARG002
        """Choose the worst one where none is chosen yet: "Answer" is about it."""
        self._choose_first()

    def _choose_first(self) -> None:
        if self.rows.rows and not self.list.currentIndex().isValid():
            self.list.setCurrentIndex(self.rows.index(0))

    def _tell(self) -> None:
        """Say the whole of the question that is chosen: in its line it may be cut."""
        question = self.chosen()
        words = "" if question is None else question.with_answer
        if not self.rows.rows:
            words = self.tr("Questions come with the proposals: %1.")
            words = words.replace("%1", self._keys_to_propose)
            if self._proposing.proposals:
                words = self.tr("Nothing is asked: the film leaves out nothing that is known of.")
            if self._proposing.questions:
                words = self.tr("All that the film leaves out is answered.")
        self.whole.say(words)

    def chosen(self) -> Question | None:
        """Return the question that is chosen."""
        row = self.list.currentIndex().data(ROW)
        return row.question if isinstance(row, QuestionRow) else None

    def _go(self, index: QModelIndex, *_: object) -> None:
        """Go to the moment of a question; lines that come and go were chosen by nobody."""
        row, films = index.data(ROW), self._session.films
        self._tell()
        if self._changing or not isinstance(row, QuestionRow):
            return
        if films.path(row.question.recording) is not None:
            films.show_at(row.question.at, row.question.recording, patient=True)

    def _answer_row(self, index: QModelIndex) -> None:
        self.list.setCurrentIndex(index)
        self.answer()

    def answer(self) -> None:
        """Open the field that the chosen question asks for."""
        question = self.chosen()
        if not self.rows.rows:
            self._session.tell("advice", self.whole.words)
            return
        if question is None:
            self.list.setCurrentIndex(self.rows.index(0))
            self._session.tell("advice", self.tr("Choose a question first."))
            return
        about = self._about(question)
        if about is None:
            self._session.tell(
                "advice", self.tr("What this question is about is not proposed any more.")
            )
            return
        if not is_of_power(question) and not self._is_in(question, about):
            return
        step = None if is_of_the_job(question, about) else self._proposing.host_of(about.id)
        place = place_of(question, about, self._session.procedure, step)
        if place:
            self._note_led(question, place)
            self._session.go_to(path_of(self._session.procedure, place))
            keys = self._keys_to_move if place[-1] == "ledger" else ""
            self._session.tell("advice", f"{question.with_answer} {keys}".strip())

    def _note_led(self, question: Question, place: Address) -> None:
        """Note what stands where a question leads; a limit may be given on either side."""
        places = (place, (*place[:-1], "upper")) if place[-1] == "lower" else (place,)
        now = {one: value_at(self._session.procedure, one) for one in places}
        self._led.setdefault((question.text, question.at), now)

    def _about(self, question: Question) -> Proposal | None:
        known = {p.id: p for p in self._proposing.proposals}
        return known.get(question.about or "")

    def _is_in(self, question: Question, about: Proposal) -> bool:
        """Whether what a question is about is in the document, put in now if the person says so."""
        proposing = self._proposing
        if about.kind == "step":
            if proposing.step_of(about.id) is None and step_wanted(self, about):
                self._taking_in.accept((about.id,))
            return proposing.step_of(about.id) is not None
        names = [about.id] if proposing.is_open(about.id) else []
        step = proposing.waits_for(about.id)
        if step is not None:
            refused = proposing.decision(step.id).say == "refuse"
            if not step_wanted_too(self, about, step, refused=refused):
                return False
            names.insert(0, step.id)
        if names:
            self._taking_in.accept(names)
        if is_of_the_job(question, about):
            return True
        if proposing.is_open(about.id):  # it could not be put in: it has to be changed first
            self.open_wanted.emit(about.id)
            return False
        return proposing.host_of(about.id) is not None


class QuestionDelegate(RowDelegate):
    """Paints a question in two rows of words with a place to press beside it.

    Args:
        answer: the word on that place.
        parent: owner.
    """

    pressed = pyqtSignal(QModelIndex)
    """The place beside a question was pressed."""

    def __init__(self, answer: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._answer = answer

    def press_place(self, line: QRect, metrics: QFontMetrics) -> QRect:
        """Return where the word is pressed in a line."""
        wide, high = metrics.horizontalAdvance(self._answer) + 16, metrics.height() + 6
        top = line.top() + (line.height() - high) // 2
        return QRect(line.right() - _EDGE - wide, top, wide, high)

    def draw_row(
        self,
        painter: QPainter,
        place: QRect,
        index: QModelIndex,
        inks: tuple[QColor, QColor],
        metrics: QFontMetrics,
    ) -> None:
        """Draw what stands in a line."""
        row = index.data(ROW)
        if not isinstance(row, QuestionRow):
            return
        ink, quiet = inks
        button = self.press_place(place, metrics)
        painter.setPen(quiet)
        painter.drawRoundedRect(button, 2, 2)
        painter.setPen(ink)
        painter.drawText(button, _MIDDLE, self._answer)
        inner = place.adjusted(_EDGE, 3, button.left() - place.right() - 8, -4)
        self._draw_words(painter, inner, row, ink, quiet)

    @staticmethod
    def _draw_words(
        painter: QPainter, inner: QRect, row: QuestionRow, ink: QColor, quiet: QColor
    ) -> None:
        metrics = painter.fontMetrics()
        wide = metrics.horizontalAdvance("00:00.0 ") + 8
        half = inner.height() // 2
        upper = QRect(inner.left(), inner.top(), inner.width(), half)
        painter.setPen(quiet)
        painter.drawText(upper, _LEFT, clock_text(row.question.at))
        painter.setPen(ink)
        words = upper.adjusted(wide, 0, 0, 0)
        for line in lines_of(row.question.with_answer, painter.font(), words.width(), 2):
            painter.drawText(words, _LEFT, line)
            words.translate(QPoint(0, half))

    def editorEvent(
        self,
        event: QEvent | None,
        model: QAbstractItemModel | None,
        option: QStyleOptionViewItem,
        index: QModelIndex,
    ) -> bool:
        """Take a press on the place beside a question."""
        if (
            isinstance(event, QMouseEvent)
            and event.type() == QEvent.Type.MouseButtonRelease
            and event.button() == Qt.MouseButton.LeftButton
            and self.press_place(option.rect, option.fontMetrics).contains(event.pos())
        ):
            self.pressed.emit(index)
            return True
        return super().editorEvent(event, model, option, index)
