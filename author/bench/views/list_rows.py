"""What the entries of the document's lists are made of, and how a new one begins."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from author.bench.fields import Option
from author.bench.source_words import source_kinds
from author.bench.views.sheet.named import named_row, names_row
from author.bench.views.sheet.rows import Row, choices, unwritten
from author.bench.views.sheet.typed import number_row
from author.bench.words import translate
from author.procedure.document import Procedure
from author.procedure.units import all_units

Fresh = Callable[[Procedure], dict[str, Any] | None]
"""Makes a new entry, or None where something has to be there first."""


def part_rows() -> tuple[Row, ...]:
    """Return the fields of a part."""
    contents = (
        named_row("part", translate("Sheet", "Part"), "parts"),
        Row("quantity", translate("Sheet", "How many"), "count"),
    )
    return (
        Row("name", translate("Sheet", "Name"), "long", blank=unwritten("what it is")),
        Row("number", translate("Sheet", "Number")),
        Row("quantity", translate("Sheet", "How many"), "count"),
        Row(
            "replace",
            translate("Sheet", "New one"),
            "choice",
            options=choices(
                ("never", translate("Sheet", "never")),
                ("if_worn", translate("Sheet", "if worn")),
                ("always", translate("Sheet", "always")),
            ),
        ),
        Row(
            "order",
            translate("Sheet", "Order"),
            "choice",
            options=choices(
                ("never", translate("Sheet", "never")),
                ("in_case", translate("Sheet", "in case")),
                ("only_if", translate("Sheet", "only if …")),
                ("always", translate("Sheet", "always")),
            ),
        ),
        Row("order_if", translate("Sheet", "Order if")),
        Row("pack_size", translate("Sheet", "In a pack"), "count"),
        Row(
            "single_use",
            translate("Sheet", "Second use"),
            "choice",
            options=choices(
                (False, translate("Sheet", "may be fitted again")),
                (True, translate("Sheet", "must not be fitted again")),
            ),
        ),
        Row(
            "places",
            translate("Sheet", "Places"),
            "lines",
            hint=translate("Sheet", "one on each line"),
        ),
        Row(
            "contains",
            translate("Sheet", "Contains"),
            "entries",
            rows=contents,
            entry=lambda p: {"part": p.parts[0].id},
            one=translate("Sheet", "part in it"),
        ),
        Row(
            "supplied",
            translate("Sheet", "Supplied"),
            "choice",
            options=choices(
                ("bare", translate("Sheet", "bare")),
                ("complete", translate("Sheet", "with its contents")),
            ),
            none=translate("Sheet", "not said"),
        ),
        Row(
            "supersedes",
            translate("Sheet", "Older numbers"),
            "lines",
            hint=translate("Sheet", "one on each line"),
        ),
        Row(
            "alternatives",
            translate("Sheet", "Or instead"),
            "lines",
            hint=translate("Sheet", "one on each line"),
        ),
        Row("note", translate("Sheet", "Note"), "long"),
    )


def _units(_procedure: Procedure) -> list[Option]:
    return [(symbol, symbol) for symbol in all_units()]


def tool_rows() -> tuple[Row, ...]:
    """Return the fields of a tool or instrument."""
    return (
        Row("name", translate("Sheet", "Name, with size"), "long", blank=unwritten("what it is")),
        Row("bears_on", translate("Sheet", "May bear on"), "long"),
        Row(
            "measures",
            translate("Sheet", "Its scale is in"),
            "choice",
            options=_units,
            none=translate("Sheet", "no instrument"),
        ),
        number_row("range_from", translate("Sheet", "Range from")),
        number_row("range_to", translate("Sheet", "Range to")),
        number_row("resolution", translate("Sheet", "Smallest step")),
        number_row("uncertainty", translate("Sheet", "Uncertainty (k = 2)")),
        Row("note", translate("Sheet", "Note"), "long"),
    )


def supply_rows() -> tuple[Row, ...]:
    """Return the fields of a supply."""
    return (
        Row("name", translate("Sheet", "Name"), "long", blank=unwritten("what it is")),
        Row("grade", translate("Sheet", "Grade")),
        Row("number", translate("Sheet", "Number")),
        named_row(
            "recommended_by",
            translate("Sheet", "Asked for by"),
            "sources",
            none=translate("Sheet", "nobody named"),
        ),
        Row("note", translate("Sheet", "Note"), "long"),
    )


def source_rows() -> tuple[Row, ...]:
    """Return the fields of a source."""
    return (
        Row(
            "title",
            translate("Sheet", "Title"),
            "long",
            blank=unwritten("title, edition and clause"),
        ),
        Row(
            "kind",
            translate("Sheet", "Kind"),
            "choice",
            options=choices(*source_kinds()),
        ),
    )


def stack_rows() -> tuple[Row, ...]:
    """Return the fields of a stack."""
    parts = names_row(
        "inside_out",
        translate("Sheet", "From the inside out"),
        "parts",
        translate("Sheet", "part"),
        ordered=True,
    )
    return (
        Row("name", translate("Sheet", "Name"), "long", blank=unwritten("what the stack is")),
        parts,
    )


def chain_rows() -> tuple[Row, ...]:
    """Return the fields of a dimension chain."""
    links = (
        Row("what", translate("Sheet", "Dimension"), "long", blank=unwritten("what it is")),
        named_row(
            "spec",
            translate("Sheet", "Limited by"),
            "points",
            none=translate("Sheet", "the numbers below"),
        ),
        number_row("lower", translate("Sheet", "Smallest")),
        number_row("upper", translate("Sheet", "Largest")),
        Row(
            "direction",
            translate("Sheet", "It"),
            "choice",
            options=choices(
                ("adds", translate("Sheet", "adds")), ("subtracts", translate("Sheet", "subtracts"))
            ),
        ),
    )
    return (
        Row("name", translate("Sheet", "Name"), "long", blank=unwritten("what the chain is")),
        Row("unit", translate("Sheet", "Unit"), "choice", options=_units),
        Row(
            "method",
            translate("Sheet", "Reckoned as"),
            "choice",
            options=choices(
                ("worst_case", translate("Sheet", "worst case")),
                ("root_sum_square", translate("Sheet", "root of the squares")),
            ),
        ),
        named_row("closes", translate("Sheet", "Leaves over"), "points"),
        Row(
            "links",
            translate("Sheet", "Links"),
            "entries",
            rows=links,
            entry=lambda _: {"what": unwritten("what it is"), "direction": "adds"},
            one=translate("Sheet", "link"),
        ),
    )


def named_entry(what: str) -> Fresh:
    """Return what makes a new entry that has a name only."""
    return lambda _procedure: {"name": unwritten(what)}


def fresh_part(_procedure: Procedure) -> dict[str, Any]:
    """Return a new part."""
    return {"name": unwritten("what it is"), "replace": "never", "order": "never"}


def fresh_source(_procedure: Procedure) -> dict[str, Any]:
    """Return a new source."""
    return {"kind": source_kinds()[0][0], "title": unwritten("title, edition and clause")}


def fresh_stack(procedure: Procedure) -> dict[str, Any] | None:
    """Return a new stack, or None where there is nothing to build it from."""
    if not procedure.parts:
        return None
    return {"name": unwritten("what the stack is"), "inside_out": [procedure.parts[0].id]}


def fresh_chain(procedure: Procedure) -> dict[str, Any] | None:
    """Return a new chain, or None where there is nothing to build it from."""
    specs = [spec for _, _, spec in procedure.placed_specs()]
    if not specs:
        return None
    link = {"what": unwritten("what it is"), "direction": "adds"}
    return {
        "name": unwritten("what the chain is"),
        "unit": specs[0].unit,
        "method": "worst_case",
        "closes": specs[0].id,
        "links": [link, {**link, "direction": "subtracts"}],
    }
