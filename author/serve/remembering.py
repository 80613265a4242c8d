"""What was made once is remembered, as much as there is room for."""

from __future__ import annotations

import sys
import threading
from collections import OrderedDict
from dataclasses import fields, is_dataclass
from typing import Any


class Remembered:
    """What was made, by what it is known by; the longest unused is forgotten first.

    Used by many threads at once. What was made of something that can change has to be known by
    what tells its states apart.
    """

    def __init__(self, most: int) -> None:
        """Make room.

        Args:
            most: sum of the sizes of all that is remembered.
        """
        self._most = most
        self._held = 0
        self._lock = threading.Lock()
        self._known: OrderedDict[object, tuple[Any, int]] = OrderedDict()

    @property
    def is_filling(self) -> bool:
        """Whether there is room for little more without anything being forgotten."""
        return self._held > self._most * 3 // 4

    def get(self, key: object) -> Any:
        """Return what is remembered under a key, None if nothing is."""
        with self._lock:
            found = self._known.get(key)
            if found is None:
                return None
            self._known.move_to_end(key)
            return found[0]

    def put(self, key: object, value: Any, size: int = 1) -> None:
        """Remember something.

        Args:
            key: what it is known by.
            value: what is remembered.
            size: the room it takes; what would take more than an eighth of all is not kept.
        """
        with self._lock:
            before = self._known.pop(key, None)
            self._held -= 0 if before is None else before[1]
            if size > max(self._most // 8, 1):
                return
            self._known[key] = value, size
            self._held += size
            while self._held > self._most:
                _, (_, gone) = self._known.popitem(last=False)
                self._held -= gone


def bytes_of(value: object) -> int:
    """Return about how many bytes a value takes, with all it is made of."""
    size = sys.getsizeof(value)
    if isinstance(value, (str, bytes, int, float)) or value is None:
        return size
    if isinstance(value, dict):
        return size + sum(bytes_of(key) + bytes_of(one) for key, one in value.items())
    if isinstance(value, (tuple, list, set, frozenset)):
        return size + sum(map(bytes_of, value))
    if is_dataclass(value):
        return size + sum(bytes_of(getattr(value, one.name)) for one in fields(value))
    return size
