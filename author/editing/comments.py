"""Comments of a file, kept with what they stand before while that is edited."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from author.editing.addresses import Path, fields_of
from author.editing.patches import pairing
from author.procedure.document import Procedure
from author.procedure.steps import Step
from author.procedure.values import Node

Comments = Mapping[Path, tuple[str, ...]]


def moved_comments(old: Procedure, new: Procedure, comments: Comments) -> Comments:
    """Return whole-line comments by the paths they have in a new document.

    Args:
        old: the document they stood in.
        new: the document made of it.
        comments: by path, keys as in the file. What stood before something that is gone
            goes to the block that held it.
    """
    if old is new or not comments:
        return comments
    moved: dict[Path, tuple[str, ...]] = {}
    mover = _Mover(old, new)
    for path, words in comments.items():
        place = mover.moved(path)
        moved[place] = (*moved.get(place, ()), *words)
    return moved


class _Mover:
    """Finds where things of one document are in another; each list is looked at once."""

    def __init__(self, old: Procedure, new: Procedure) -> None:
        self._old, self._new = old, new
        self._pairs: dict[tuple[int, int], dict[int, int]] = {}
        self._steps: tuple[dict[int, Path], dict[str, Path]] | None = None

    def moved(self, path: Path) -> Path:
        """Return where what stood at a path is now; the block that held it if it is gone."""
        was: Any = self._old
        now: Any = self._new
        found: Path = ()
        for depth, part in enumerate(path):
            if was is now:
                return (*found, *path[depth:])
            if isinstance(was, Node) and isinstance(now, Node):
                field = fields_of(type(was)).get(str(part))
                if field is None or field not in type(now).model_fields:
                    break
                was, now, found = getattr(was, field), getattr(now, field), (*found, part)
            elif isinstance(was, tuple) and isinstance(now, tuple) and isinstance(part, int):
                place = self._entry(was, now, part, found)
                if place is None:
                    break
                was, (found, now) = was[part], place
            else:
                break
        return found

    def _entry(
        self, was: tuple[Any, ...], now: tuple[Any, ...], index: int, above: Path
    ) -> tuple[Path, Any] | None:
        """Return path and value of an entry of a list as it is now; None if it is gone."""
        if not index < len(was):
            return None
        if index < len(now) and now[index] is was[index]:
            return (*above, index), now[index]
        if isinstance(was[index], Step):
            path = self._step(was[index])
            if path is not None:
                return path, self._new.sections[int(path[1])].steps[int(path[3])]
        key = id(was), id(now)
        if key not in self._pairs:
            pairs = enumerate(pairing(was, now))
            self._pairs[key] = {before: at for at, before in pairs if before is not None}
        at = self._pairs[key].get(index)
        return None if at is None else ((*above, at), now[at])

    def _step(self, step: Step) -> Path | None:
        if self._steps is None:
            placed = list(self._new.placed_steps())
            by_id = {place.step.id: place.path for place in reversed(placed)}
            self._steps = {id(place.step): place.path for place in placed}, by_id
        return self._steps[0].get(id(step)) or self._steps[1].get(step.id)
