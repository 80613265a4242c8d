"""What the lines of an order sheet say of one another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from author.procedure.items import bare_number
from author.procedure.order_lines import PartLine, SupplyLine


def part_remarks(lines: Sequence[PartLine], supplies: Sequence[SupplyLine]) -> tuple[PartLine, ...]:
    """Return lines of parts with remarks on those that look alike.

    Args:
        lines: the lines.
        supplies: the supplies on the same sheet.
    """
    book = _Book.of(lines)
    others = {line.number for line in supplies} - {None}
    found = []
    for line in lines:
        more = [*book.alike(line.number, line.name)]
        if line.number in others:
            more.append("The same number stands among the supplies: order it once")
        found.append(replace(line, remarks=(*line.remarks, *more)))
    return tuple(found)


def supply_remarks(
    lines: Sequence[SupplyLine], parts: Sequence[PartLine]
) -> tuple[SupplyLine, ...]:
    """Return lines of supplies with remarks on what procedures disagree on.

    Args:
        lines: the lines.
        parts: the parts on the same sheet.
    """
    book = _Book.of(lines)
    others = {line.number for line in parts} - {None}
    found = []
    for line in lines:
        more = [*_differing(line), *book.alike(line.number, line.name)]
        if line.number in others:
            more.append("The same number stands among the parts: order it once")
        found.append(replace(line, remarks=(*line.remarks, *more)))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Book:
    """Numbers by what they share with others, and by the name of what they order."""

    by_signs: dict[str, list[str]]
    by_name: dict[str, list[str]]

    @classmethod
    def of(cls, lines: Sequence[PartLine | SupplyLine]) -> _Book:
        book = cls({}, {})
        for number, name in sorted((line.number, line.name) for line in lines if line.number):
            book.by_signs.setdefault(bare_number(number), []).append(number)
            book.by_name.setdefault(name.casefold(), []).append(number)
        return book

    def alike(self, number: str | None, name: str) -> Iterator[str]:
        """Yield what is to be asked about a line that is much like another."""
        if number is None:
            same = self.by_name.get(name.casefold(), ())
            if same:
                yield f"{' and '.join(same)} has the same name: ask whether it is the same"
            return
        others = [other for other in self.by_signs[bare_number(number)] if other != number]
        if others:
            yield f"Written much like {' and '.join(others)}: ask whether they are one"


def _differing(line: SupplyLine) -> Iterator[str]:
    for word, values in (
        ("names", [share.name for share in line.shares]),
        ("grades", [share.grade or "no grade" for share in line.shares]),
    ):
        if len(set(values)) > 1:
            said: dict[str, list[str]] = {}
            for value, share in zip(values, line.shares, strict=True):
                said.setdefault(value, []).append(f"{share.procedure}, revision {share.revision}")
            told = (f"“{value}” in {' and '.join(where)}" for value, where in said.items())
            yield f"One number, several {word}: {'; '.join(told)}"
