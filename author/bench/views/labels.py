"""Labels that hold whatever is said and never push the window wider."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QSize, Qt
from PyQt6.QtGui import QFont, QFontMetricsF, QResizeEvent, QTextLayout, QTextOption
from PyQt6.QtWidgets import QLabel, QSizePolicy, QWidget

_LONG = 24
"""Letters from which a word may be broken anywhere: a path, most often."""
_NARROW = 60
_BREAK = "\u200b"
_CUT = "…"


def lines_of(text: str, font: QFont, width: float, most: int) -> list[str]:
    """Break a text into lines, in the middle of a word only where one has no room.

    Args:
        text: the text; its own line ends are spaces.
        font: it is set in.
        width: of a line, points.
        most: lines there may be; the last one is cut if there is more.
    """
    text = " ".join(text.split())
    layout = QTextLayout(text, font)
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    layout.beginLayout()
    starts: list[int] = []
    while len(starts) <= most and (line := layout.createLine()).isValid():
        line.setLineWidth(max(width, 1.0))
        starts.append(line.textStart())
    layout.endLayout()
    units = text.encode("utf-16-le", "surrogatepass")  # what Qt counts in

    def piece(first: int, end: int | None) -> str:
        return units[2 * first : None if end is None else 2 * end].decode("utf-16-le", "replace")

    if len(starts) <= most:
        return [
            piece(at, end).rstrip() for at, end in zip(starts, [*starts[1:], None], strict=True)
        ]
    whole = [piece(starts[n], starts[n + 1]).rstrip() for n in range(most - 1)]
    rest = piece(starts[most - 1], None)
    cut = QFontMetricsF(font).elidedText(rest, Qt.TextElideMode.ElideRight, width)
    return [*whole, cut]


class FewLines(QLabel):
    """Words in so many lines, whatever is said: as high with none as with many.

    What has no room is cut; the whole is its tip.

    Args:
        lines: how many.
    """

    def __init__(self, lines: int = 1, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = ""
        self._lines = lines
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    @property
    def words(self) -> str:
        """All that is said."""
        return self._words

    def say(self, words: str) -> None:
        """Show words."""
        if words != self._words:
            self._words = words
            self.setToolTip(words)
            self.setAccessibleDescription(words)
            self._cut()

    def sizeHint(self) -> QSize:
        """Return the height of the lines."""
        return QSize(_NARROW, self._lines * self.fontMetrics().lineSpacing() + 4)

    minimumSizeHint = sizeHint

    def _cut(self) -> None:
        room = self.contentsRect().width()
        lines = lines_of(self._words, self.font(), room, self._lines)
        if lines and lines[-1].endswith(_CUT) and not self._words.endswith(_CUT):
            # What is wrong says more than the whole of a path.
            lines = lines_of(_short(self._words), self.font(), room, self._lines)
        self.setText("\n".join(lines))

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Cut anew."""
        super().resizeEvent(event)
        self._cut()

    def changeEvent(self, event: QEvent | None) -> None:
        """Cut anew in another type."""
        super().changeEvent(event)
        if event is not None and event.type() == QEvent.Type.FontChange:
            self._cut()


class WrappedLabel(QLabel):
    """Words of any length in as many lines as they need; a long path is broken as well."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = ""
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)

    def setText(self, text: str | None) -> None:
        """Show words."""
        self._words = text or ""
        super().setText(breakable(self._words))

    def clear(self) -> None:
        """Show nothing."""
        self.setText("")

    def text(self) -> str:
        """Return what is shown, as it was given."""
        return self._words

    def minimumSizeHint(self) -> QSize:
        """Return a size that no word makes wider."""
        hint = super().minimumSizeHint()
        return QSize(min(hint.width(), 3 * _NARROW), hint.height())


def _short(text: str) -> str:
    """Return a text whose longest words have lost their middle."""
    words = (word if len(word) < 2 * _LONG else f"{word[:12]}{_CUT}{word[-_LONG:]}"
             for word in text.split())  # fmt: skip
    return " ".join(words)


def breakable(text: str) -> str:
    """Return a text whose longest words may be broken where it is shown."""
    return "\n".join(" ".join(map(_with_breaks, line.split(" "))) for line in text.split("\n"))


def _with_breaks(word: str) -> str:
    if len(word) < _LONG:
        return word
    parts = (word[at : at + _LONG // 2] for at in range(0, len(word), _LONG // 2))
    return _BREAK.join(parts)
