"""What is written in fields and is not in the document: told before it could be lost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol
from weakref import WeakSet

from PyQt6 import sip
from PyQt6.QtCore import QObject

Address = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Left:
    """Something written that the document does not have.

    Attributes:
        at: where it belongs: an address of the document.
        words: what is written.
    """

    at: Address
    words: str


class Source(Protocol):
    """Something in which words may be left."""

    def left(self) -> Iterator[Left]:
        """Yield what is written in it and is not in the document."""


class Unfinished:
    """All that is left in the fields of a window."""

    def __init__(self) -> None:
        self._sources: WeakSet[Source] = WeakSet()

    def watch(self, source: Source) -> None:
        """Ask a source as well, as long as it is there."""
        self._sources.add(source)

    def left(self) -> list[Left]:
        """Return all that is written and not in the document, in the order of its places."""
        found = [
            one
            for source in tuple(self._sources)
            if not (isinstance(source, QObject) and sip.isdeleted(source))
            for one in source.left()
        ]
        return sorted(found, key=lambda one: [*map(str, one.at)])
