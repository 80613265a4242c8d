"""Shortens names so that those that stand together can still be told apart."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from PyQt6.QtCore import QModelIndex, Qt
from PyQt6.QtGui import QFontMetrics
from PyQt6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

ALIKE = Qt.ItemDataRole.UserRole + 1
"""The names that stand together with that of a line."""
_MIDDLE, _END = Qt.TextElideMode.ElideMiddle, Qt.TextElideMode.ElideRight
_EDGES = 8
"""What a line leaves free on both sides of its words."""


def shortened(name: str, others: Sequence[str], metrics: QFontMetrics, room: int) -> str:
    """Return a name as it has room; what it begins with as another does goes first.

    Args:
        name: the name.
        others: names it must not be taken for.
        metrics: of the type it is set in.
        room: width there is for it.
    """
    if metrics.horizontalAdvance(name) <= room:
        return name
    shared = max((_alike(name, one) for one in others if one != name), default=0)
    words = name.split()
    if not 0 < shared < len(words):
        return metrics.elidedText(name, _MIDDLE, room)
    own = " ".join(words[shared:])
    left = room - metrics.horizontalAdvance(own)
    head = metrics.elidedText(" ".join(words[:shared]) + "…", _END, left)
    if left > 0 and len(head) > 1:
        return head + own
    return metrics.elidedText(f"…{own}", _END, room)


def _alike(one: str, other: str) -> int:
    """Return how many words two names begin with alike."""
    pairs = zip(one.split(), other.split(), strict=False)
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], pairs))


class ApartDelegate(QStyledItemDelegate):
    """Paints names shortened so that they differ from the others in ``ALIKE``."""

    def initStyleOption(self, option: QStyleOptionViewItem | None, index: QModelIndex) -> None:
        """Put the words in that have room."""
        super().initStyleOption(option, index)
        others = index.data(ALIKE)
        if option is not None and others:
            room = option.rect.width() - _EDGES
            option.text = shortened(option.text or "", others, option.fontMetrics, room)
