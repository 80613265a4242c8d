"""What is done only when it is asked for twice: the first time it is told why."""

from __future__ import annotations


class Twice:
    """Remembers what was asked for last."""

    def __init__(self) -> None:
        self._asked: tuple[object, ...] | None = None

    def sure(self, *what: object) -> bool:
        """Whether the same was asked for just before; another thing begins anew.

        Args:
            what: what is to be done, and to what.
        """
        again, self._asked = self._asked == what, what
        if again:
            self._asked = None
        return again
