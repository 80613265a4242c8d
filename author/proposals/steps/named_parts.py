"""A part as a sentence names it: its head, whether it is one, the size of its thread."""

from __future__ import annotations

import re
from dataclasses import dataclass

from author.proposals.language.word_forms import singular
from author.proposals.things.finding import Thing

_SIZE = re.compile(r"\bM\d+(?:\.\d)?\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class NamedPart:
    """A part where a sentence names it.

    Attributes:
        thing: what is named.
        part: id of the proposal of the part.
    """

    thing: Thing
    part: str

    @property
    def head(self) -> str:
        """The last word of its name, for one piece."""
        return singular(re.findall(r"\w+", self.thing.name.lower())[-1])

    @property
    def is_one(self) -> bool:
        """Whether one piece is named."""
        return self.thing.name.lower().endswith(self.head)

    @property
    def size(self) -> str | None:
        """The size of its thread, where one was said: M6."""
        found = _SIZE.search(self.thing.name)
        return found[0].lower() if found else None
