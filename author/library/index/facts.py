"""What the index keeps of a procedure: rows for its tables, and the passages that are searched."""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from author.library.index.words import codes_in, folded, number_key, spelt
from author.procedure.document import Procedure
from author.procedure.quantities import digits, range_text
from author.procedure.review import authors_of
from author.procedure.specs import LimitSpec
from author.procedure.steps import Hazard, Step

COLUMNS = ("title", "about", "items", "steps", "rest", "codes")
"""Columns of the full text; where a word stands tells how much it weighs."""

Row = dict[str, Any]
_line = json.JSONEncoder(ensure_ascii=False).encode
_SPACES = re.compile(r"[\x00-\x1f]")


@dataclass(frozen=True, slots=True)
class Passage:
    """One place of a procedure that can be found.

    Attributes:
        column: index in ``COLUMNS``.
        place: where it stands, in words: ``title``, ``part``, ``step 7``.
        text: what stands there.
    """

    column: int
    place: str
    text: str


@dataclass(frozen=True, slots=True)
class Facts:
    """What the index keeps of one procedure.

    Attributes:
        about: its row in the table of procedures.
        rows: rows of the other tables, by the table's name.
        passages: its passages, packed.
        columns: the text of each of ``COLUMNS``.
        spelt: words a typing slip is held against.
    """

    about: Row
    rows: dict[str, list[Row]]
    passages: bytes
    columns: tuple[str, ...]
    spelt: frozenset[str]


def facts_of(procedure: Procedure) -> Facts:
    """Return what the index keeps of a procedure."""
    passages = list(_passages(procedure))
    plain = folded("\n".join(one.text for one in passages))
    codes = list(dict.fromkeys((*_keys(procedure), *codes_in(plain))))
    columns = columns_of(passages, codes)
    return Facts(
        about=_about(procedure),
        rows={
            "things": list(_things(procedure)),
            "specs": list(_specs(procedure)),
            "links": list(_links(procedure)),
            "hazards": list(_hazards(procedure)),
            "findings": list(_findings(procedure)),
        },
        passages=pack(passages, codes),
        columns=columns,
        spelt=frozenset(spelt(plain)),
    )


def pack(passages: Iterable[Passage], codes: Iterable[str]) -> bytes:
    """Return passages and the numbers in them as a few bytes.

    A line for the numbers, then one for each passage: column, place and text, and what is
    searched where that is not the text with small letters of ASCII. So most of them can be
    left unread.
    """
    lines = [_line([*codes])]
    for one in passages:
        plain = _SPACES.sub(" ", folded(one.text))
        lines.append(f"{one.column}\t{_line(one.place)}\t{_line(one.text)}")
        if plain.encode() != one.text.encode().lower():
            lines[-1] += f"\t{plain}"
    return zlib.compress("\n".join(lines).encode(), 4)


def unpack(packed: bytes) -> tuple[list[Passage], list[str]]:
    """Return what ``pack`` was given.

    Raises:
        ValueError, zlib.error: if the bytes are damaged.
    """
    codes, *lines = packed_lines(packed)
    return [passage_of(line) for line in lines], json.loads(codes)


def packed_lines(packed: bytes) -> list[bytes]:
    """Return the lines that ``pack`` has made: one of numbers, then one for each passage.

    Raises:
        zlib.error: if the bytes are damaged.
    """
    return zlib.decompress(packed).split(b"\n")


def searched_in(line: bytes) -> bytes:
    """Return what is searched of the line of a passage: its text without case and accents."""
    column_place_text = line.split(b"\t")
    return column_place_text[3] if len(column_place_text) > 3 else column_place_text[2].lower()


def passage_of(line: bytes) -> Passage:
    """Return the passage of a line.

    Raises:
        ValueError: if it is damaged.
    """
    column, place, text, *_ = line.split(b"\t")
    return Passage(int(column), json.loads(place), json.loads(text))


def columns_of(passages: Iterable[Passage], codes: Iterable[str]) -> tuple[str, ...]:
    """Return the text of each of ``COLUMNS``."""
    texts: list[list[str]] = [[] for _ in COLUMNS]
    for passage in passages:
        texts[passage.column].append(passage.text)
    texts[-1] = list(codes)
    return tuple("\n".join(column) for column in texts)


def spelt_in(passages: Iterable[Passage]) -> frozenset[str]:
    """Return the words of all passages that a typing slip is held against."""
    return frozenset(spelt(folded("\n".join(one.text for one in passages))))


def _about(one: Procedure) -> Row:
    authors = tuple(dict.fromkeys(authors_of(one)))
    return {
        "procedure": one.id,
        "revision": one.revision,
        "title": one.title,
        "state": one.state,
        "language": one.language,
        "data": one.data,
        "unit": one.unit.name,
        "unit_number": one.unit.number,
        "unit_folded": folded(f"{one.unit.name} {one.unit.number or ''}"),
        "unit_key": number_key(one.unit.number or ""),
        "labour_time": one.labour_time,
        "steps": sum(len(section.steps) for section in one.sections),
        "authors": "\n".join(authors),
        "authors_folded": folded("\n".join(authors)),
        "changed": max((change.date for change in one.changes), default=None),
        "due": one.review.due if one.review else None,
        "holds": any(finding.holds for finding in one.findings),
    }


def _keys(one: Procedure) -> Iterator[str]:
    """Yield the numbers things are ordered or known by, without dashes and spaces."""
    numbers = [one.unit.number, *(supply.number for supply in one.supplies)]
    for part in one.parts:
        numbers += (part.number, *(part.supersedes or ()), *(part.alternatives or ()))
    yield from (number_key(number) for number in numbers if number)


def _passages(one: Procedure) -> Iterator[Passage]:
    yield Passage(0, "title", f"{one.title} ({one.id})")
    unit = one.unit
    yield Passage(1, "unit", _said(unit.name, unit.number, unit.applies_to, unit.not_for))
    yield Passage(1, "purpose", one.purpose)
    for part in one.parts:
        numbers = (part.number, *(part.supersedes or ()), *(part.alternatives or ()))
        yield Passage(2, "part", _said(part.name, *numbers, *(part.places or ()), part.note))
    for tool in one.tools:
        yield Passage(2, "tool", _said(tool.name, tool.bears_on, tool.note))
    for supply in one.supplies:
        yield Passage(2, "supply", _said(supply.name, supply.grade, supply.number, supply.note))
    for section in one.sections:
        yield Passage(1, "heading", section.title)
    for placed in one.placed_steps():
        yield Passage(3, f"step {placed.number}", _step_text(placed.step))
    yield from _rest(one)


def _rest(one: Procedure) -> Iterator[Passage]:
    entries: list[tuple[str, str | None]] = [
        *(("hazard", _hazard_text(hazard)) for hazard in one.general_hazards),
        *(("limit of use", text) for text in one.limits_of_use),
        *(("person", _said(person.role, person.skill)) for person in one.people),
        *(("before", before.what) for before in one.prerequisites),
        *(("after", after.what) for after in one.close_outs),
        *(
            ("finding", _said(found.what, found.follow_on, found.due and f"due: {found.due}"))
            for found in one.findings
        ),
        *(("source", source.title) for source in one.sources),
        *(("chain", chain.name) for chain in one.chains),
        *(("change", change.what) for change in one.changes),
        ("notice", one.notice),
        ("note", one.note),
    ]
    for place, text in entries:
        if text:
            yield Passage(4, place, text)


def _said(*texts: str | None) -> str:
    return "; ".join(text for text in texts if text)


def _hazard_text(hazard: Hazard) -> str:
    return f"{hazard.signal}: {_said(hazard.hazard, hazard.consequence, hazard.avoid)}"


def _step_text(step: Step) -> str:
    texts: list[str | None] = [step.action, step.reason]
    texts += [_hazard_text(hazard) for hazard in step.hazards or ()]
    texts += [_spec_text(spec) for spec in step.all_specs()]
    texts += [point.what for point in step.critical_points or ()]
    texts += [_said(seen.look_for, seen.accept, seen.otherwise) for seen in step.criteria or ()]
    texts += [way.how for way in step.ladder or ()]
    texts += [_said(use.amount, use.where) for use in step.supplies or ()]
    if step.witness:
        texts.append(step.witness.what)
    if step.decision:
        texts.append(step.decision.question)
        texts += [_said(way.when, way.stop) for way in step.decision.ways]
    texts.append(step.note)
    return _said(*texts)


def _spec_text(spec: LimitSpec) -> str:
    return f"{_said(spec.characteristic, spec.where)} {range_text(spec.limits())}"


def _things(one: Procedure) -> Iterator[Row]:
    steps = _steps_by_thing(one)
    for part in one.parts:
        base = _thing("part", part.id, part.name, part.quantity, steps)
        yield {**base, "number": part.number, "key": number_key(part.number or ""), "role": "own"}
        for role, numbers in (("older", part.supersedes), ("instead", part.alternatives)):
            for number in numbers or ():
                yield {**base, "number": number, "key": number_key(number), "role": role}
    for tool in one.tools:
        base = _thing("tool", tool.id, tool.name, 1, steps)
        yield {**base, "number": None, "key": "", "role": "own"}
    for supply in one.supplies:
        base = _thing("supply", supply.id, supply.name, 1, steps)
        key = number_key(supply.number or "")
        yield {**base, "number": supply.number, "key": key, "role": "own"}


def _thing(kind: str, item: str, name: str, quantity: int, steps: dict[Any, str]) -> Row:
    return {
        "kind": kind,
        "item": item,
        "name": name,
        "folded": folded(name),
        "quantity": quantity,
        "steps": steps.get((kind, item), ""),
    }


def _steps_by_thing(one: Procedure) -> dict[tuple[str, str], str]:
    found: dict[tuple[str, str], dict[int, None]] = {}
    for placed in one.placed_steps():
        step = placed.step
        used: list[tuple[str, str]] = [("tool", tool) for tool in step.tools or ()]
        used += [("supply", use.supply) for use in step.supplies or ()]
        used += [("part", move.part) for move in step.ledger or ()]
        measured = (spec.instrument for spec in step.all_specs())
        used += [("tool", tool) for tool in measured if tool]
        for way in step.ladder or ():
            used += [("tool", tool) for tool in way.tools or ()]
        for thing in used:
            found.setdefault(thing, {})[placed.number] = None
    return {thing: " ".join(map(str, numbers)) for thing, numbers in found.items()}


def _specs(one: Procedure) -> Iterator[Row]:
    for placed, _, spec in one.placed_specs():
        limits = spec.limits()
        exact = [limits.unit.to_si(value) for value in limits.values()]
        if not exact:
            continue
        yield {
            "step": placed.number,
            "item": spec.id,
            "characteristic": spec.characteristic,
            "quantity": limits.unit.quantity,
            "unit": limits.unit.symbol,
            "lower": digits(limits.lower),
            "nominal": digits(limits.nominal),
            "upper": digits(limits.upper),
            "lowest": float(min(exact)),
            "highest": float(max(exact)),
        }


def _links(one: Procedure) -> Iterator[Row]:
    def link(kind: str, reference: Any, what: str, step: int | None = None) -> Row:
        return {
            "kind": kind,
            "target": reference.id,
            "revision": reference.revision,
            "what": what,
            "step": step,
        }

    for before in one.prerequisites:
        if before.procedure:
            yield link("before", before.procedure, before.what)
    for after in one.close_outs:
        if after.procedure:
            yield link("after", after.procedure, after.what)
    for finding in one.findings:
        if finding.procedure:
            yield link("finding", finding.procedure, finding.what)
    for placed in one.placed_steps():
        for way in placed.step.decision.ways if placed.step.decision else ():
            if way.procedure:
                yield link("branch", way.procedure, way.when, placed.number)


def _hazards(one: Procedure) -> Iterator[Row]:
    entries: list[tuple[int | None, Hazard]] = [(None, hazard) for hazard in one.general_hazards]
    for placed in one.placed_steps():
        entries += [(placed.number, hazard) for hazard in placed.step.hazards or ()]
    for step, hazard in entries:
        text = _hazard_text(hazard)
        yield {"step": step, "signal": hazard.signal, "text": text, "folded": folded(text)}


def _findings(one: Procedure) -> Iterator[Row]:
    roles = {person.id: person.role for person in one.people}
    numbers = {placed.step.id: placed.number for placed in one.placed_steps()}
    for finding in one.findings:
        yield {
            "item": finding.id,
            "what": finding.what,
            "state": finding.state,
            "holds": finding.holds,
            "released_by": roles.get(finding.released_by or "", finding.released_by),
            "step": numbers.get(finding.step or ""),
            "follow_on": finding.follow_on,
            "due": finding.due,
        }
