"""What to order for one or several jobs: parts merged by number, supplies to have in hand.

Pieces of one number add up over all jobs before they are counted in packs. What is ordered
is never fewer pieces than asked for. Nothing that procedures disagree on is settled in
silence: the line says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from author.errors import InputError
from author.procedure.items import Part
from author.procedure.order_lines import (
    RULES,
    Coming,
    Entry,
    Job,
    OrderRule,
    PartLine,
    Share,
    SupplyLine,
    SupplyShare,
    what_comes,
)
from author.procedure.order_remarks import part_remarks, supply_remarks
from author.procedure.superseded import Succession, succession

__all__ = [
    "RULES",
    "Job",
    "OrderRule",
    "OrderSheet",
    "PartLine",
    "Share",
    "SupplyLine",
    "SupplyShare",
    "order_sheet",
]

Bearers = dict[str, list[tuple[Job, Part]]]
_MOST_TIMES = 10_000


@dataclass(frozen=True, slots=True)
class OrderSheet:
    """What to order for some jobs.

    Attributes:
        jobs: the jobs, each procedure and revision once, in order of id and revision.
        numbered: lines of parts that have a number: what is always ordered first, then by
            number.
        unnumbered: lines of parts without one, by name; each of one procedure.
        supplies: what is used up, by name.
    """

    jobs: tuple[Job, ...]
    numbered: tuple[PartLine, ...]
    unnumbered: tuple[PartLine, ...]
    supplies: tuple[SupplyLine, ...]

    def merged(self, other: OrderSheet) -> OrderSheet:
        """Return one sheet for the jobs of both.

        Raises:
            InputError: as ``order_sheet`` does.
        """
        return order_sheet((*self.jobs, *other.jobs))


def order_sheet(jobs: Iterable[Job]) -> OrderSheet:
    """Return what to order for some jobs, in whatever order they are given.

    A part that procedures still call by a number that another one says is superseded goes
    on the line of the newest number. What comes inside an assembly that is always ordered
    and comes complete is not ordered again.

    Args:
        jobs: the procedures, each with how many times it is done.

    Raises:
        InputError: if two different documents have the same id and revision, numbers take
            one another's place in a circle, or a job is done less than once or more than
            ten thousand times.
    """
    together = _together(jobs)
    numbers = succession(job.procedure for job in together)
    bearers: Bearers = {}
    for job in together:
        for part in job.procedure.parts:
            if part.number is not None:
                bearers.setdefault(part.number, []).append((job, part))
    groups: dict[tuple[str, ...], list[Entry]] = {}
    for entry in _entries(together):
        groups.setdefault(_key(entry, numbers), []).append(entry)
    lines = [_line(key[-1], found, numbers, bearers) for key, found in groups.items()]
    supplies = _supplies(together)
    marked = part_remarks(lines, supplies)
    numbered = [line for line in marked if line.number is not None]
    plain = [line for line in marked if line.number is None]
    return OrderSheet(
        together,
        tuple(sorted(numbered, key=lambda line: (RULES.index(line.rule), line.number or ""))),
        tuple(sorted(plain, key=lambda line: (line.name, line.shares))),
        supply_remarks(supplies, lines),
    )


def _together(jobs: Iterable[Job]) -> tuple[Job, ...]:
    """Return each procedure once, with its times added up, in order of id and revision."""
    found: dict[tuple[str, int], Job] = {}
    for job in jobs:
        key = job.procedure.id, job.procedure.revision
        before = found.get(key)
        if before is not None and before.procedure != job.procedure:
            raise InputError(
                f"two different files are both {job.name}",
                remedy="Give one of them another revision, or take one alone",
            )
        times = job.times + (before.times if before else 0)
        if not 1 <= job.times <= _MOST_TIMES or times > _MOST_TIMES:
            raise InputError(
                f"{job.name} is to be done {times} times",
                remedy=f"Give a whole number of times from 1 to {_MOST_TIMES}",
            )
        found[key] = Job(job.procedure, times, job.draft or bool(before and before.draft))
    return tuple(found[key] for key in sorted(found))


def _entries(jobs: tuple[Job, ...]) -> Iterator[Entry]:
    """Yield what each job asks for, less what comes inside something else."""
    for job in jobs:
        coming = what_comes(job.procedure)
        nothing = Coming(0, (), ())
        for part in job.procedure.parts:
            if part.order == "never":
                continue
            comes = coming.get(part.id, nothing)
            pieces = max(0, part.quantity - comes.surely) * job.times
            if pieces:
                yield Entry(job, part, part.order, pieces, comes)


def _key(entry: Entry, numbers: Succession) -> tuple[str, ...]:
    """Return what tells lines apart; the last word of it is the number, or empty."""
    if entry.part.number is not None:
        return ("", numbers.current(entry.part.number))
    procedure = entry.job.procedure
    return (procedure.id, str(procedure.revision), entry.part.id, "")


def _line(number: str, entries: list[Entry], numbers: Succession, bearers: Bearers) -> PartLine:
    own = bearers[number] if number else [(one.job, one.part) for one in entries]
    parts = [part for _, part in own]
    every = [*parts, *(entry.part for entry in entries)]
    old = {e.part.number for e in entries if e.part.number is not None} - {number}
    return PartLine(
        number=number or None,
        name=parts[0].name,
        pack_size=_pack_size(parts),
        shares=tuple(sorted(_shares(entries))),
        instead_of=tuple(numbers.chain(one, number) for one in sorted(old)),
        alternatives=_alternatives(every, number, numbers),
        brings=_brings(entries),
        notes=tuple(dict.fromkeys(part.note for part in every if part.note is not None)),
        remarks=tuple(_remarks(number, entries, own, numbers)),
    )


def _shares(entries: list[Entry]) -> Iterator[Share]:
    for entry in entries:
        yield Share(
            procedure=entry.job.procedure.id,
            revision=entry.job.procedure.revision,
            rank=RULES.index(entry.rule),
            condition=(entry.part.order_if or "") if entry.rule == "only_if" else "",
            pieces=entry.pieces,
            number=entry.part.number or "",
            part=entry.part.id,
        )


def _pack_size(parts: list[Part]) -> int:
    """Return the smallest pack anybody names, so that never too few are ordered."""
    ordered = [part for part in parts if part.order != "never"] or parts
    return min((part.pack_size for part in ordered if part.pack_size > 1), default=1)


def _alternatives(parts: list[Part], number: str, numbers: Succession) -> tuple[str, ...]:
    """Return the numbers that may be fitted instead, as they are ordered by today."""
    named = (numbers.current(other) for part in parts for other in part.alternatives or ())
    return tuple(sorted(set(named) - {number}))


def _brings(entries: list[Entry]) -> tuple[str, ...]:
    """Return what comes inside one new piece, in words."""
    found: dict[str, None] = {}
    for entry in entries:
        names = {part.id: part.name for part in reversed(entry.job.procedure.parts)}
        if entry.part.supplied == "complete":
            for content in entry.part.contains or ():
                found[f"{content.quantity} × {names.get(content.part, content.part)}"] = None
    return tuple(found)


def _remarks(
    number: str, entries: list[Entry], own: list[tuple[Job, Part]], numbers: Succession
) -> Iterator[str]:
    """Yield what whoever orders has to look at, for one line by itself."""
    called: dict[str, list[str]] = {}
    packs: dict[int, list[str]] = {}
    for job, part in own:
        called.setdefault(part.name, []).append(job.name)
        if part.order != "never":
            packs.setdefault(part.pack_size, []).append(job.name)
    if len(called) > 1:
        said = (f"“{name}” in {_listed(where)}" for name, where in called.items())
        yield f"One number, several names: {'; '.join(said)}"
    if len(packs) > 1:
        said = (f"{_pack(size)} in {_listed(packs[size])}" for size in sorted(packs))
        yield f"The pack differs: {'; '.join(said)}; the smaller pack counts here"
    several = len({entry.job.name for entry in entries}) > 1
    ends = numbers.newest(number) if number else ()
    if len(ends) > 1:
        yield f"{' and '.join(ends)} are both said to take its place: ask which"
    for entry in entries:
        if not number and entry.part.supersedes:
            olds = ", ".join(entry.part.supersedes)
            yield f"Said to take the place of {olds}, but has no number itself: ask for it"
        who = f", for {entry.job.name}" if several else ""
        if entry.comes.surely:
            count, names = entry.comes.surely * entry.job.times, _listed(entry.comes.inside)
            yield f"{count} more come inside {names}{who}"
        if entry.comes.perhaps:
            yield f"Comes inside {_listed(entry.comes.perhaps)} too, if that is ordered{who}"


def _pack(size: int) -> str:
    return f"packs of {size}" if size > 1 else "no pack named"


def _listed(names: Iterable[str]) -> str:
    return " and ".join(dict.fromkeys(names))


def _supplies(jobs: tuple[Job, ...]) -> list[SupplyLine]:
    """Return what is used up: merged by number, or by name and grade where there is none."""
    found: dict[tuple[str, str, str], SupplyLine] = {}
    for job in jobs:
        uses: dict[str, list[str]] = {}
        for placed in job.procedure.placed_steps():
            for use in placed.step.supplies or ():
                said = ", ".join(text for text in (use.amount, use.where) if text)
                uses.setdefault(use.supply, []).extend([said] if said else [])
        for supply in job.procedure.supplies:
            grade = supply.grade or ""
            key = (supply.number, "", "") if supply.number else ("", supply.name, grade)
            share = SupplyShare(
                procedure=job.procedure.id,
                revision=job.procedure.revision,
                name=supply.name,
                grade=grade,
                amounts=tuple(dict.fromkeys(uses.get(supply.id, ()))),
            )
            line = found.get(key) or SupplyLine(supply.number, supply.name, supply.grade, (), ())
            notes = dict.fromkeys((*line.notes, *([supply.note] if supply.note else [])))
            found[key] = replace(line, shares=(*line.shares, share), notes=tuple(notes))
    return sorted(found.values(), key=lambda line: (line.name, line.grade or "", line.number or ""))
