"""What was said last that changes no document, so that undo takes it back all the same."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Saying:
    """Something that was said.

    Attributes:
        label: what was said, as undo tells it.
        take_back: takes it back.
        again: says it again.
    """

    label: str
    take_back: Callable[[], None]
    again: Callable[[], None]


@dataclass(slots=True)
class SaidLast:
    """What was said since the document was changed last, and what of it was taken back.

    Attributes:
        said: the last one last.
        taken_back: the one taken back last, last.
    """

    said: list[Saying] = field(default_factory=list)
    taken_back: list[Saying] = field(default_factory=list)

    def note(self, saying: Saying) -> None:
        """Note that something was said."""
        self.said.append(saying)
        self.taken_back.clear()

    def forget(self) -> None:
        """Leave all behind: the document goes on."""
        self.said.clear()
        self.taken_back.clear()

    def undo(self) -> str:
        """Take back what was said last; return what that was, empty if there is nothing."""
        if not self.said:
            return ""
        saying = self.said.pop()
        self.taken_back.append(saying)
        saying.take_back()
        return saying.label

    def redo(self) -> str:
        """Say again what was taken back last; return what that was, empty if there is nothing."""
        if not self.taken_back:
            return ""
        saying = self.taken_back.pop()
        self.said.append(saying)
        saying.again()
        return saying.label
