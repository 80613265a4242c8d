"""Numbers that have taken the place of older ones, over all procedures at hand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from author.errors import InputError
from author.procedure.document import Procedure


@dataclass(frozen=True, slots=True)
class Succession:
    """Which numbers took the place of which.

    Attributes:
        newer: the numbers said to have taken the place of a number, sorted, by that number.
    """

    newer: Mapping[str, tuple[str, ...]]

    def newest(self, number: str) -> tuple[str, ...]:
        """Return the numbers at the end of the chain from a number, sorted.

        Returns:
            The number itself where nothing has taken its place; several where procedures
            name different numbers that none of them leads on from.
        """
        seen, waiting, ends = {number}, [number], set()
        while waiting:
            one = waiting.pop()
            onward = self.newer.get(one, ())
            if not onward:
                ends.add(one)
            for following in onward:
                if following not in seen:
                    seen.add(following)
                    waiting.append(following)
        return tuple(sorted(ends))

    def current(self, number: str) -> str:
        """Return the number to order by: the newest, or the number itself if that is disputed."""
        ends = self.newest(number)
        return ends[0] if len(ends) == 1 else number

    def chain(self, old: str, new: str) -> tuple[str, ...]:
        """Return the shortest chain of numbers from an old one to a newer one, both included.

        Of chains as short the first in the order of the numbers is taken.

        Raises:
            ValueError: if the new number did not take the place of the old one.
        """
        came_from: dict[str, str] = {}
        round_, seen = [old], {old}
        while round_ and new not in seen:
            onward = []
            for number in round_:
                for following in self.newer.get(number, ()):
                    if following not in seen:
                        seen.add(following)
                        came_from[following] = number
                        onward.append(following)
            round_ = onward
        if new not in seen:
            msg = f"{new!r} did not take the place of {old!r}"
            raise ValueError(msg)
        found = [new]
        while found[-1] != old:
            found.append(came_from[found[-1]])
        return tuple(reversed(found))


def succession(procedures: Iterable[Procedure]) -> Succession:
    """Return which numbers took the place of which, as the parts of procedures say.

    A part that has no number of its own replaces none.

    Raises:
        InputError: if numbers take one another's place in a circle.
    """
    newer: dict[str, set[str]] = {}
    said_by: dict[tuple[str, str], str] = {}
    for procedure in procedures:
        for part in procedure.parts:
            for old in (part.supersedes or ()) if part.number is not None else ():
                assert part.number is not None  # noqa: S101
                newer.setdefault(old, set()).add(part.number)
                place = f"{procedure.id}, revision {procedure.revision}"
                said_by[old, part.number] = min(place, said_by.get((old, part.number), place))
    found = Succession({old: tuple(sorted(news)) for old, news in sorted(newer.items())})
    circle = _circle(found)
    if circle is not None:
        places = "; ".join(dict.fromkeys(said_by[link] for link in pairwise(circle)))
        raise InputError(
            f"these numbers take one another's place in a circle: {' → '.join(circle)}",
            remedy=f"Mend 'supersedes' in {places}",
        )
    return found


def _circle(numbers: Succession) -> tuple[str, ...] | None:
    """Return numbers that lead back to the first of them, or None if there are none."""
    done: set[str] = set()
    for start in numbers.newer:
        trail, on_trail = [start], {start}
        rests = [iter(numbers.newer[start])] if start not in done else []
        while rests:
            following = next(rests[-1], None)
            if following is None:
                rests.pop()
                last = trail.pop()
                on_trail.discard(last)
                done.add(last)
            elif following in on_trail:
                return (*trail[trail.index(following) :], following)
            elif following not in done:
                trail.append(following)
                on_trail.add(following)
                rests.append(iter(numbers.newer.get(following, ())))
    return None
