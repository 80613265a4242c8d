"""Says what a proposal rests on in a place that stays as high as it is."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtWidgets import QWidget

from author.bench.views.labels import FewLines, lines_of

_LINES = 4
_INDENT = 4


class RestsOn(FewLines):
    """Paragraphs in so few lines that the list over them stands still; the tip has the whole.

    Where they want more lines than there are, the longest give way.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(_LINES, parent)
        self.setContentsMargins(_INDENT, 0, 0, 0)

    def say_all(self, paragraphs: Sequence[str]) -> None:
        """Show paragraphs."""
        self.say("\n".join(paragraphs))

    def _cut(self) -> None:
        room = self.contentsRect().width()
        paragraphs = [part for part in self.words.split("\n") if part]
        wanted = [len(lines_of(part, self.font(), room, _LINES)) for part in paragraphs]
        given = shared_out(wanted, _LINES)
        lines = [
            line
            for part, count in zip(paragraphs, given, strict=True)
            for line in (lines_of(part, self.font(), room, count) if count else ())
        ]
        self.setText("\n".join(lines))


def shared_out(wanted: Sequence[int], most: int) -> list[int]:
    """Return how many lines each paragraph gets: the longest give way, of equals the first.

    Where not even one line is left for each, those behind the first and before the last ones
    go: the first says what is proposed, the last what was answered.

    Args:
        wanted: how many lines each wants.
        most: how many there are.
    """
    given = list(wanted)
    while sum(given) > most and max(given) > 1:
        given[given.index(max(given))] -= 1
    for at in range(1, len(given)):
        if sum(given) > most:
            given[at] = 0
    return given
