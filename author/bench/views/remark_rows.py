"""Remarks as lines: by how much they matter, with one line for the same remark of many places.

What a line says is put into words when it comes into view: of a thousand remarks a person
sees some twenty.
"""

from __future__ import annotations

from typing import Any

from PyQt6.QtCore import QAbstractItemModel, QModelIndex, QObject, Qt
from PyQt6.QtGui import QFont

from author.bench.remark_sorting import RemarkLine, RemarkLines
from author.bench.remark_words import RemarkWords, place_words
from author.checks import Remark
from author.procedure.document import Procedure

_READ = Qt.ItemFlag.ItemIsEnabled
_CHOSEN = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable


class RemarkModel(QAbstractItemModel):
    """The lines as Qt's views want them.

    Args:
        procedure: the document the remarks are on.
    """

    def __init__(self, procedure: Procedure, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._procedure = procedure
        self._list = RemarkLines()
        self._words: RemarkWords | None = None

    @property
    def words(self) -> RemarkWords:
        """What says the remarks that are shown."""
        if self._words is None or self._words.procedure is not self._procedure:
            self._words = RemarkWords(self._procedure, self._words)
        return self._words

    def show(self, procedure: Procedure, lines: RemarkLines) -> None:
        """Show other remarks.

        Args:
            procedure: the document they are on.
            lines: their lines.
        """
        self.beginResetModel()
        self._procedure, self._list = procedure, lines
        self.endResetModel()

    def line(self, index: QModelIndex) -> RemarkLine | None:
        """Return a line."""
        return self._list.lines[index.internalId()] if index.isValid() else None

    def place_of(self, remark: Remark) -> QModelIndex:
        """Return where a remark stands; an index that is not valid if it is not shown."""
        number = self._list.numbers.get(id(remark))
        if number is None or self._list.lines[number].remark is not remark:
            number = next(
                (n for n, line in enumerate(self._list.lines) if line.remark == remark), None
            )
        return QModelIndex() if number is None else self._index(number)

    def headings(self) -> list[QModelIndex]:
        """Return where the headings stand."""
        return [self._index(number) for number in self._list.headings]

    def _index(self, number: int) -> QModelIndex:
        return self.createIndex(self._list.lines[number].row, 0, number)

    # --- what Qt asks ---

    def index(self, row: int, column: int, parent: QModelIndex = QModelIndex()) -> QModelIndex:  # noqa: B008
        """Return the place of a line."""
        numbers = self._below(parent)
        return self._index(numbers[row]) if column == 0 and row < len(numbers) else QModelIndex()

    def parent(self, index: QModelIndex) -> QModelIndex:  # type: ignore[override]
        """Return the place of the line that one stands under."""
        line = self.line(index)
        return QModelIndex() if line is None or line.above is None else self._index(line.above)

    def rowCount(self, parent: QModelIndex = QModelIndex()) -> int:  # noqa: B008
        """Return how many lines stand under one."""
        return len(self._below(parent))

    def columnCount(self, _parent: QModelIndex = QModelIndex()) -> int:  # noqa: B008
        """Return 1."""
        return 1

    def _below(self, parent: QModelIndex) -> list[int]:
        line = self.line(parent)
        return self._list.headings if line is None else line.below

    def flags(self, index: QModelIndex) -> Qt.ItemFlag:
        """Return what can be done with a line; a heading is only read."""
        line = self.line(index)
        if line is None:
            return Qt.ItemFlag.NoItemFlags
        return _READ if line.heading else _CHOSEN

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a line says, and how it looks."""
        line = self.line(index)
        if line is None:
            return None
        if line.heading:
            if role == Qt.ItemDataRole.FontRole:
                font = QFont()
                font.setBold(True)
                return font
            return line.heading if role == Qt.ItemDataRole.DisplayRole else None
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return self._text(line, whole=line.alone)
            case Qt.ItemDataRole.ToolTipRole if line.remark is not None:
                return self.words.problem(line.remark)
            case Qt.ItemDataRole.ToolTipRole | Qt.ItemDataRole.AccessibleTextRole:
                return self._text(line, whole=True)
        return None

    def _text(self, line: RemarkLine, *, whole: bool) -> str:
        remark = line.remark or line.about
        assert remark is not None  # noqa: S101 - it is no heading
        place = place_words(self._procedure, remark.path) if line.remark else self._places(line)
        return f"{place}: {self.words.problem(remark)}" if whole else place

    def _places(self, line: RemarkLine) -> str:
        below = [one for n in line.below if (one := self._list.lines[n].remark) is not None]
        if all(one.path[2:3] == ("steps",) for one in below):
            return self.tr("%n steps", "", len(below))
        return self.tr("%n places", "", len(below))
