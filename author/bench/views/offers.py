"""What can be picked by typing a few letters, and which of it fits best what is typed."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from PyQt6.QtCore import QAbstractListModel, QModelIndex, Qt

from author.bench.fields import one_spaced

_WORD = re.compile(r"[^\W_]+")


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing that can be picked.

    Attributes:
        what: what is picked, for the one who asked.
        words: what it is called; what is typed is looked for here first.
        detail: more about it, on a line of its own; looked for as well.
        also: other words by which it is found, which are not shown.
        entry: for a thing that is to be made, the entry and its list.
        kind: what sort of thing it is, shown behind its name.
    """

    what: Any
    words: str
    detail: str = ""
    also: str = ""
    entry: tuple[str, Mapping[str, Any]] | None = None
    kind: str = ""


class Offers(QAbstractListModel):
    """The offers that have all the words typed."""

    def __init__(self, offers: Sequence[Offer], fresh: Callable[[str], Sequence[Offer]]) -> None:
        super().__init__()
        self._all = tuple(offers)
        self._fresh = fresh
        self.shown: tuple[Offer, ...] = self._all

    def narrow(self, text: str) -> None:
        """Show what has all the words of a text, what begins with it first."""
        wanted = text.casefold().split()
        said = one_spaced(text).casefold()
        found = [offer for offer in self._all if all(word in _searched(offer) for word in wanted)]
        found.sort(key=lambda offer: _rank(offer, said, wanted))
        if said and not any(offer.words.casefold() == said for offer in found):
            found.extend(self._fresh(one_spaced(text)))
        self.beginResetModel()
        self.shown = tuple(found)
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | None = None) -> int:
        """Return how many are shown."""
        return 0 if parent is not None and parent.isValid() else len(self.shown)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a row shows."""
        offer = self.shown[index.row()]
        text = f"{offer.words} · {offer.kind}" if offer.kind else offer.words
        text = f"{text}\n{offer.detail}" if offer.detail else text
        if role in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole}:
            return text
        return offer if role == Qt.ItemDataRole.UserRole else None


def _rank(offer: Offer, said: str, wanted: Sequence[str]) -> int:
    """Return how well an offer fits what is typed; the least fits best."""
    title = offer.words.casefold()
    words = set(_WORD.findall(title))
    if title == said:
        return 0
    # A whole word of the title is meant rather than the beginning of another.
    if wanted and all(word in words for word in wanted):
        return 1
    if title.startswith(said):
        return 2
    # A word's beginning tells more than letters in the middle of another.
    for rank, text in enumerate((title, _searched(offer)), start=3):
        if all(f" {word}" in f" {text}" for word in wanted):
            return rank
    return 5


def _searched(offer: Offer) -> str:
    return f"{offer.words} {offer.also} {offer.detail} {offer.kind}".casefold()
