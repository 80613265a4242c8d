"""Lays the reviewer's table out for a terminal: a block for each number, in the order of work."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from author.procedure.document import PlacedStep
from author.procedure.quantities import Limits, number_text, range_text
from author.procedure.specs import LimitSpec, Reaction, TorqueSpec
from author.procedure.steps import CriticalPoint
from author.publish.number_texts import nominal_text, scale_text, second_text, value_text
from author.tasks.spec_judgements import Adequacy, Joint, Zone
from author.tasks.spec_table import NumberRow, PointRow, SpecTable

MOST_WIDE = 100
_HEARD = frozenset({"film", "measured"})
_BOXES = {"accepted": "[x]", "queried": "[?]", "stale": "[!]", "not signed": "[ ]"}
_LABEL = 12
_DEEP = 6
_KINDS = {
    "orientation": "orientation",
    "order": "order",
    "supply": "supply and grade",
    "criterion": "condition",
}
_WORDS = {"adequate": "yes", "not adequate": "NO", "not judged": "not judged"}
Rows = Iterator[tuple[str, str]]


class Layout:
    """Turns rows of a table into lines of a width.

    Attributes:
        table: the table.
        width: signs in a line at most.
    """

    def __init__(self, table: SpecTable, width: int = MOST_WIDE) -> None:
        self.table = table
        self.width = width
        self._steps = {p.step.id: p.number for p in table.procedure.placed_steps()}

    def lines(self, *, points_only: bool = False) -> list[str]:
        """Return the whole table: an overview, numbers, points, sources, what is signed."""
        lines = self._head()
        rows: list[NumberRow | PointRow] = [*self.table.points]
        if not points_only:
            lines += self._overview()
            lines += self._part("Numbers", self.table.numbers)
            rows += self.table.numbers
        lines += self._part("Critical points and criteria", self.table.points)
        lines += self._sources(rows)
        return [*lines, "", *self._foot()]

    def _head(self) -> list[str]:
        procedure = self.table.procedure
        state = procedure.state.replace("_", " ")
        lines = self._wrapped(procedure.title, "")
        lines += self._wrapped(f"{procedure.id}, revision {procedure.revision}, {state}", "")
        if procedure.data == "demo":
            lines += self._wrapped("Demo data: the numbers are invented.", "")
        if self.table.remark:
            lines += self._wrapped(f"Note: {self.table.remark}.", "")
        boxes = ", ".join(f"{box} {state}" for state, box in _BOXES.items())
        rule = "Every reading inside its limits is accepted, unless a rule says otherwise."
        return [*lines, *self._wrapped(rule, ""), *self._wrapped(boxes, "")]

    def _overview(self) -> list[str]:
        """Return a line for each number: what is accepted, how well it is measured, the load."""
        lines = _titled("Overview")
        if not self.table.numbers:
            return [*lines, "none"]
        cells = [("step", "accept", "instrument", "load", "number")]
        for row in self.table.numbers:
            ratio = row.adequacy.ratio_text()
            word = _WORDS[row.adequacy.verdict]
            load = None if row.joint is None else row.joint.percent_text() or "not known"
            cells.append(
                (
                    str(row.placed.number),
                    range_text(row.spec.limits()) + (" (reference)" if row.spec.reference else ""),
                    f"{word}, {ratio}" if ratio else word,
                    load or "",
                    row.spec.id,
                )
            )
        widths = [max(len(line[column]) for line in cells) for column in range(4)]
        boxes = ["   ", *(_BOXES[row.signed.state] for row in self.table.numbers)]
        for box, line in zip(boxes, cells, strict=True):
            step = f"{line[0]:>{widths[0]}}"
            rest = [f"{text:<{width}}" for text, width in zip(line[1:4], widths[1:], strict=True)]
            lines += self._wrapped("  ".join([box, step, *rest, line[4]]), "", hanging=_DEEP)
        return lines

    def _sources(self, rows: Sequence[NumberRow | PointRow]) -> list[str]:
        named = {row.source.id for row in rows if row.source is not None}
        lines = _titled("Sources")
        for source in self.table.procedure.sources:
            if source.id in named:
                text = f"{source.id} ({source.kind}): {source.title}"
                lines += self._wrapped(text, "", hanging=2)
        return lines if named else [*lines, "none"]

    def _foot(self) -> list[str]:
        points = self.table.points
        critical = sum(isinstance(row.point, CriticalPoint) for row in points)
        counts = [f"{count} {state}" for state, count in self.table.counts().items() if count]
        criteria = len(points) - critical
        text = (
            f"{_count(len(self.table.numbers), 'number')}, {_count(critical, 'critical point')}, "
            f"{criteria} {'criterion' if criteria == 1 else 'criteria'}: "
            f"{', '.join(counts) or 'nothing to sign'}."
        )
        return self._wrapped(text, "")

    def _part(self, title: str, rows: Sequence[NumberRow | PointRow]) -> list[str]:
        lines = _titled(title)
        if not rows:
            return [*lines, "none"]
        section, step = -1, -1
        for row in rows:
            if row.placed.section_index != section:
                section = row.placed.section_index
                heading = f"{section + 1}. {row.placed.section.title}"
                lines += ["", *self._wrapped(heading, ""), "-" * min(len(heading), self.width)]
            if row.placed.number != step:
                step = row.placed.number
                lines += ["", *self._step(row.placed)]
            lines += self._block(row)
        return lines

    def _step(self, placed: PlacedStep) -> list[str]:
        text = f"Step {placed.number}, {placed.step.id}: {placed.step.action}"
        return self._wrapped(text, "", hanging=2)

    def said(self, row: NumberRow | PointRow) -> tuple[str, Rows]:
        """Return a row in words: its title, and what it rests on, each with a label."""
        if isinstance(row, NumberRow):
            where = f", {_lower(row.spec.where)}" if row.spec.where else ""
            return f"{row.spec.id}: {row.spec.characteristic}{where}", self._number(row)
        return self._title(row), self._point(row)

    def _block(self, row: NumberRow | PointRow) -> list[str]:
        title, rows = self.said(row)
        lines = self._wrapped(f"{_BOXES[row.signed.state]} {title}", "  ", hanging=_DEEP)
        for label, text in rows:
            first = f"{'':<{_DEEP}}{label:<{_LABEL}}"
            lines += self._wrapped(text, first, hanging=_DEEP + _LABEL)
        return lines

    def _wrapped(self, text: str, first: str, hanging: int = 0) -> list[str]:
        return textwrap.wrap(
            text,
            self.width,
            initial_indent=first,
            subsequent_indent=" " * hanging,
            break_on_hyphens=False,
        )

    def _title(self, row: PointRow) -> str:
        if isinstance(row.point, CriticalPoint):
            return f"{row.point.id}, {_KINDS[row.point.kind]}: {row.point.what}"
        return f"{row.point.id}, criterion: look for {_lower(row.point.look_for)}"

    def _point(self, row: PointRow) -> Rows:
        if not isinstance(row.point, CriticalPoint):
            yield "accept", row.point.accept
            yield "otherwise", f"{'STOP. ' if row.point.if_not else ''}{row.point.otherwise}"
        yield from _signed(row)

    def _number(self, row: NumberRow) -> Rows:
        spec = row.spec
        yield "reference" if spec.reference else "accept", _both_units(row)
        if spec.positions:
            yield "readings", f"{len(spec.positions)}: {'; '.join(spec.positions)}"
        if spec.spread_of:
            yield "spread of", f"the readings of {spec.spread_of}"
        if spec.datum:
            yield "datum", spec.datum
        yield from self._measured(row)
        if isinstance(spec, TorqueSpec):
            yield from _torque(spec, row.joint)
        yield from self._reactions(spec)
        for text in row.conceded:
            yield "conceded", text
        if spec.note:
            yield "note", spec.note
        yield from _signed(row)

    def _measured(self, row: NumberRow) -> Rows:
        tool = row.instrument
        if tool is not None:
            scale = scale_text(tool.measures, tool.range_from, tool.range_to)
            step, uncertainty = (
                value_text(tool.measures, value) for value in (tool.resolution, tool.uncertainty)
            )
            parts = [scale, f"steps of {step}" if step else None]
            parts.append(f"uncertain by ±{uncertainty}" if uncertainty else None)
            said = ", ".join(part for part in parts if part)
            yield "instrument", f"{tool.name} ({tool.id}){': ' if said else ''}{said}"
        yield "adequate", _adequate(row.adequacy)
        if row.zone is not None:
            yield "rule", _rule(row.zone)

    def _reactions(self, spec: LimitSpec) -> Rows:
        for side in ("below", "above", "undecided"):
            reaction: Reaction | None = getattr(spec, side)
            if reaction is not None:
                yield side, self._reaction(reaction)

    def _reaction(self, reaction: Reaction) -> str:
        step = ""
        if reaction.step is not None:
            number = self._steps.get(reaction.step)
            step = f" from step {f'{number}, ' if number else ''}{reaction.step}"
        times = {None: "", 1: ", once at most"}.get(
            reaction.at_most, f", {reaction.at_most} times at most"
        )
        return f"{reaction.do}{step}{times}: {reaction.how}"


def _titled(title: str) -> list[str]:
    return ["", title, "=" * len(title)]


def _signed(row: NumberRow | PointRow) -> Rows:
    yield "source", _source(row)
    if row.signed.state != "not signed":
        yield "signed", row.signed.text()


def _both_units(row: NumberRow) -> str:
    """Return what is accepted and aimed at, each in both units."""
    limits, second = row.spec.limits(), row.second
    beside = f" ({range_text(second)})" if second is not None and second.values() else ""
    text = f"{range_text(limits)}{beside}"
    nominal = nominal_text(limits)
    if nominal is not None:
        text += f", {nominal}"
    if second is None:
        text += f"; {row.second_why}"
    return text


def _range(limits: Limits) -> str:
    nominal = nominal_text(limits)
    return range_text(limits) if nominal is None else f"{range_text(limits)}, {nominal}"


def _adequate(judged: Adequacy) -> str:
    share, ratio = judged.share_text(), judged.ratio_text()
    found = [f"steps are {share} of the tolerance" if share else None]
    found.append(f"uncertainty ratio {ratio}" if ratio else None)
    known = ", ".join(part for part in found if part)
    said = "; ".join([*([known] if known else []), *judged.reasons])
    return f"{_WORDS[judged.verdict]}: {said}" if said else _WORDS[judged.verdict]


def _rule(zone: Zone) -> str:
    if zone.limits is None:
        return f"guard band, but nobody can judge by it: {zone.why}"
    second = second_text(zone.limits)
    return (
        f"guard band: accept readings of {range_text(zone.limits)}{f' {second}' if second else ''}"
    )


def _torque(spec: TorqueSpec, joint: Joint | None) -> Rows:
    strength = f", class {spec.property_class}" if spec.property_class else ""
    yield "thread", f"{spec.thread}{strength}; threads {_lower(spec.threads)}"
    if joint is None:
        return
    if joint.load is None:
        yield "load", f"not known: {joint.why}"
    elif joint.at is not None:
        at = range_text(Limits(None, joint.at, None, spec.limits().unit))
        factor = f"K {number_text(joint.load.nut_factor)}"
        given = "given" if joint.load.given else f"assumed for threads “{spec.threads}”"
        load = f"{joint.percent_text()} of the proof load at {at}"
        yield "load", f"{load}, with {factor}, {given}; {joint.basis}"
    if spec.extension is not None:
        adds = value_text(spec.extension.unit, spec.extension.adds)
        set_to = joint.setting_why if joint.setting is None else f"set to {_range(joint.setting)}"
        yield "wrench", f"{set_to}, with the adapter of {adds}"
    if spec.order:
        yield "order", ", ".join(spec.order)
    if spec.passes:
        yield "passes", ", ".join(f"{one.percent} %" for one in spec.passes)


def _source(row: NumberRow | PointRow) -> str:
    named = row.spec.source if isinstance(row, NumberRow) else row.point.source
    if row.source is None:
        return "none is named" if named is None else f"'{named}' is not on the list of sources"
    said = f"{row.source.id} ({row.source.kind})"
    # What was said in a film is found by its moment, which the title tells.
    return f"{said}: {row.source.title}" if row.source.kind in _HEARD else said


def _lower(text: str) -> str:
    """Return a text that goes on behind a word, unless it begins with a name or a number."""
    return text[:1].lower() + text[1:] if text[1:2].islower() else text


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
