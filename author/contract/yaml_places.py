"""Where each value of a YAML text stands, kept beside the values in little memory."""

from __future__ import annotations

from array import array
from bisect import bisect_right

Path = tuple[str | int, ...]

# Line and column in one number; a line is never longer than a file may be.
_SHIFT = 26
_MASK = (1 << _SHIFT) - 1


class Places:
    """Lines and columns, from 0, of the keys of a mapping or the entries of a list.

    Attributes:
        marks: place of each key by key, or of each entry by index.
        inside: the same for each key or entry that holds a collection that is not empty;
            None if there are none.
    """

    __slots__ = ("inside", "marks")

    def __init__(self, *, mapping: bool) -> None:
        self.marks: dict[str, int] | array[int] = {} if mapping else array("Q")
        self.inside: dict[str | int, Places] | None = None

    def put(self, part: str | int, places: Places) -> None:
        """Keep the places of what lies under a key or in an entry."""
        if self.inside is None:
            self.inside = {}
        self.inside[part] = places

    def place(self, path: Path) -> tuple[int, int] | None:
        """Return line and column, from 1, of a path or of the nearest thing that holds it."""
        found, node = None, self
        for part in path:
            mark = node.mark(part)
            if mark is None:
                break
            found = mark
            deeper = node.deeper(part)
            if deeper is None:
                break
            node = deeper
        return None if found is None else ((found >> _SHIFT) + 1, (found & _MASK) + 1)

    def add(self, part: str | int, mark: int) -> None:
        """Note where a key or the next entry stands, as ``packed`` gives it."""
        if isinstance(self.marks, dict):
            self.marks[str(part)] = mark
        else:
            self.marks.append(mark)

    def deeper(self, part: str | int) -> Places | None:
        """Return the places of what lies under a key or in an entry, if it holds anything."""
        return None if self.inside is None else self.inside.get(part)

    def mark(self, part: str | int) -> int | None:
        """Return where a key or an entry stands, or None if it is not there."""
        if isinstance(self.marks, dict):
            return self.marks.get(part) if isinstance(part, str) else None
        return self.marks[part] if isinstance(part, int) and part < len(self.marks) else None

    def first_after(self, line: int) -> Path:
        """Return the path of the first key or entry that begins below a line.

        Where several begin on one line it is the outermost; the empty path if none does.

        Args:
            line: counted from 0.
        """
        bound = ((line + 1) << _SHIFT) - 1
        keys: list[str] | range
        if isinstance(self.marks, dict):
            keys, marks = list(self.marks), list(self.marks.values())
            at = bisect_right(marks, bound)
        else:
            keys = range(len(self.marks))
            at = bisect_right(self.marks, bound)
        last = self.deeper(keys[at - 1]) if at > 0 else None
        deeper = last.first_after(line) if last is not None else ()
        if deeper:
            return (keys[at - 1], *deeper)
        return (keys[at],) if at < len(keys) else ()


def packed(line: int, column: int) -> int:
    """Return a place, counted from 0, as ``Places.marks`` keeps it."""
    return (line << _SHIFT) | column
