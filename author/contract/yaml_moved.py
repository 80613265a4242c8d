"""Keeps the places of values that are moved about after a YAML text was read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from author.contract.yaml_places import Path, Places
from author.contract.yaml_reader import YamlTree


class TrackedCopy:
    """A copy of a tree's values that may be changed, and where its blocks came from.

    Blocks and lists are known again wherever they are moved to; what is written anew
    stands where the first thing in it stood, or else where the block that holds it did.

    Attributes:
        value: the copy.
    """

    def __init__(self, tree: YamlTree) -> None:
        self._tree = tree
        # By id; the block itself is kept, so that no other ever has its id.
        self._known: dict[int, tuple[Any, Places | None, int | None]] = {}
        self._now: dict[int, Path] = {}
        self.value: Any = self._copied(tree.value, tree.places, None)
        self._commented = [(path, list(self._along(path))) for path in tree.comments]

    def _copied(self, value: Any, places: Places | None, mark: int | None) -> Any:
        if not isinstance(value, dict | list):
            return value
        copy: Any = type(value)()
        for part, inner in _parts(value):
            deeper = None if places is None else places.deeper(part)
            entry = self._copied(inner, deeper, None if places is None else places.mark(part))
            if isinstance(copy, dict):
                copy[part] = entry
            else:
                copy.append(entry)
        self._known[id(copy)] = (copy, places, mark)
        return copy

    def _along(self, path: Path) -> Iterator[tuple[Any, Path]]:
        """Yield the blocks a path leads through, with what is left of the path."""
        node = self.value
        for index, part in enumerate(path):
            yield node, path[index:]
            node = node[part]
        if isinstance(node, dict | list):
            yield node, ()

    def moved(self, value: dict[str, Any]) -> YamlTree:
        """Return a tree of the values that were made of the copy, each in its old place."""
        # The outermost block is the same one, whoever wrote it anew.
        self._known[id(value)] = (value, self._tree.places, None)
        places, _ = self._placed(value, 0, ())
        comments: dict[Path, tuple[str, ...]] = {}
        for old, nodes in self._commented:
            path = self._new_path(nodes, value)
            comments[path] = (*comments.get(path, ()), *self._tree.comments[old])
        return YamlTree(value, places, self._tree.start, comments, self._tree.dropped_comments)

    def _placed(self, node: Any, outer: int, path: Path) -> tuple[Places, int | None]:
        """Return the places of what is in a block, and the first that is known of them."""
        self._now[id(node)] = path
        found, first = Places(mapping=isinstance(node, dict)), None
        _, old, here = self._known.get(id(node), (None, None, None))
        outer = outer if here is None else here
        for part, inner in _parts(node):
            mark = None if old is None else old.mark(part)
            if isinstance(inner, dict | list):
                _, _, own = self._known.get(id(inner), (None, None, None))
                mark = mark if own is None else own
                deeper, low = self._placed(inner, outer if mark is None else mark, (*path, part))
                mark = low if mark is None else mark
                if inner:
                    found.put(part, deeper)
            first = mark if first is None else first
            found.add(part, outer if mark is None else mark)
        return found, first

    def _new_path(self, nodes: list[tuple[Any, Path]], value: dict[str, Any]) -> Path:
        """Return where the innermost block of a path is now, with the rest that still holds."""
        for old, rest in reversed(nodes):
            node = value if old is self.value else old
            path = self._now.get(id(node))
            if path is not None:
                there = len(rest) == 1 and isinstance(node, dict) and rest[0] in node
                return (*path, *rest) if there else path
        return ()


def _parts(node: dict[str, Any] | list[Any]) -> Iterator[tuple[str | int, Any]]:
    yield from node.items() if isinstance(node, dict) else enumerate(node)
