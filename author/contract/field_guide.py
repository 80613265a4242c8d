"""Writes the field guide for authors of other tools: ``schema/README.md``.

``python -m author.contract.field_guide`` writes it from the JSON Schema, the rules and
the units; a test holds the committed file and those together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from author.checks import all_rules
from author.contract.json_schema import procedure_schema
from author.procedure.quantities import NUMBER_PATTERN
from author.procedure.times import DURATION_PATTERN, MARK_PATTERN
from author.procedure.units import all_units
from author.procedure.values import (
    FILE_NAME_PATTERN,
    FRACTION_PATTERN,
    ID_PATTERN,
    LINE_PATTERN,
    SI_NUMBER_PATTERN,
)
from author.resources import load_table, schema_folder

GUIDE_FILE = "README.md"
_KINDS = {
    ID_PATTERN: "id",
    LINE_PATTERN: "line",
    FILE_NAME_PATTERN: "file name",
    NUMBER_PATTERN: "number",
    SI_NUMBER_PATTERN: "number",
    MARK_PATTERN: "mark",
    FRACTION_PATTERN: "fraction",
    DURATION_PATTERN: "duration",
}
_INTRODUCTION = """\
# The procedure file, for other tools

A procedure is one file, `procedure.yaml`, in a folder of its own. This folder is the
contract: it holds no program, and all that is said here can be relied on.

| file | what it is |
| --- | --- |
| `procedure.v1.schema.json` | JSON Schema, draft 2020-12, of `procedure/1` |
| `rules.yaml` | what a procedure is held against beyond its form |
| `units.yaml` | units, with exact factors to SI |
| `examples/valid` | procedures every validator has to accept |
| `examples/invalid/schema` | files every validator has to reject; the first line says why |
| `examples/invalid/rules` | files of the right form that break a rule; the first line says which |

## What is promised

- The first key is `schema: procedure/1`. A file that says so keeps this form for good: a
  change that an old reader could not read gets another number and another schema beside
  this one. Nothing is taken for `procedure/1` that the schema does not list.
- The text is YAML 1.2 core schema in UTF-8: no tags, anchors, aliases, merge keys or second
  document; a key stands once; nesting ends at 40, size at 32 MB.
- Canonical files read the same in YAML 1.1: text that an old reader would take for a truth
  value, a number, a date or a time is quoted.
- Reading a canonical file and writing it changes no byte. Comments on lines of their own
  are kept by the key they stand before; comments behind a value are not, and a program
  says so before it saves. Keys equal to their default are not written.

## How values are written

| kind | form |
| --- | --- |
| id | lower-case words joined by hyphens, at most 48 characters: `axle-nut` |
| line | text of one line, at most 400 characters; no control character, line separator or \
direction override; no space at either end |
| file name | a name without a folder |
| number | decimal digits in quotes, `"9.80"`: the zero states the resolution and is kept. No \
exponent, no sign but minus, no comma. A program may accept a plain `9.80` and has to quote it |
| mark | seconds on the clock a player shows, at most six decimals, in quotes: `"12.500000"`. \
It means the frame whose start is nearest; the end of the film counts as a start |
| fraction | a place in a picture, in quotes: `"0"` left or top, `"1"` right or bottom, at most \
six decimals |
| point | two fractions: across, down |
| duration | hours and minutes, `PT2H30M`, `PT2H` or `PT45M` |

A span `from`, `to` holds the frames from the one `from` means up to, not including, the one
`to` means.

A list that a reader has to have thought of is there always: with entries, or as the word
`none`. An empty list and an empty value (`null`) are refused everywhere. Inside a step, a
list that has no entries is absent.

A second unit is never written: it is worked out from `units.yaml`, the lower limit rounded
up and the upper limit down, with the fewest decimals that keep nine tenths of the tolerance.
Published files carry `si` beside the limits: derived, rounded to twelve decimals, not signed.

The schema cannot say everything: a space at the end of a line, an id that is used twice or
names nothing, limits that are crossed. Those are in the table of rules, or refused on reading.
"""


def guide_text() -> str:
    """Return the field guide as the text that is committed."""
    parts = [
        _INTRODUCTION,
        *_blocks(),
        "## The rules\n",
        "`error`: may not be published but as a draft. `warning`: look at it. `advice`: could "
        "be better.\n",
        _table(
            ("rule", "severity", "why", "source", "remedy"),
            ((f"`{r.id}`", r.severity, r.why, r.source, r.remedy) for r in all_rules().values()),
        ),
        "## The units\n",
        "SI value = value × factor + offset. Every factor is exact but for π.\n",
        _table(("unit", "name", "quantity", "SI", "factor", "offset", "shown beside"), _units()),
    ]
    return "\n".join(parts)


def _blocks() -> Iterator[str]:
    schema = procedure_schema()
    yield "## The blocks\n"
    for name, block in [("Procedure", schema), *schema["$defs"].items()]:
        yield f"### {name}\n"
        yield f"{block['description']}\n"
        required = set(block.get("required", ()))
        rows = (
            (f"`{key}`", "yes" if key in required else "", _value(node), node["description"])
            for key, node in block["properties"].items()
        )
        yield _table(("key", "required", "value", "meaning"), rows)


def _value(node: dict[str, Any]) -> str:
    """Say in words what a part of the schema admits."""
    said = _kind(node)
    if "default" in node:
        shown = node["default"]
        said += f"; `{str(shown).lower() if isinstance(shown, bool) else shown}` if absent"
    return said


def _kind(node: dict[str, Any]) -> str:
    if "$ref" in node:
        name = node["$ref"].rsplit("/", 1)[-1]
        return f"[{name}](#{name.lower()})"
    if "anyOf" in node:
        return " or ".join(_kind(option) for option in node["anyOf"])
    if "const" in node:
        return f"`{node['const']}`"
    if "enum" in node:
        return _choices(node["enum"])
    if node["type"] == "array":
        return _list(node)
    if node["type"] == "integer":
        low, high = node.get("minimum"), node.get("maximum")
        return f"whole number from {low}" + ("" if high is None else f" to {high}")
    if node["type"] == "boolean":
        return "`true` or `false`"
    return _KINDS.get(node["pattern"], f"text of the form `{node['pattern']}`".replace("|", "\\|"))


def _choices(options: list[str]) -> str:
    if len(options) == len(all_units()):
        return "a [unit](#the-units)"
    return ", ".join(f"`{option}`" for option in options)


def _list(node: dict[str, Any]) -> str:
    if "prefixItems" in node:
        return "point"
    least = node.get("minItems", 0)
    return f"list of {_kind(node['items'])}" + (f", {least} or more" if least > 1 else "")


def _units() -> Iterator[tuple[str, ...]]:
    table = load_table("units.yaml")["units"]
    for unit in all_units().values():
        entry = table[unit.symbol]
        yield (
            unit.symbol,
            unit.name,
            unit.quantity,
            unit.si,
            entry["factor"],
            entry.get("offset", ""),
            unit.second or "",
        )


def _table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [heads, ("---",) * len(heads), *rows]
    return "".join(f"| {' | '.join(cells)} |\n" for cells in lines)


def main() -> None:
    """Write the field guide into the schema folder."""
    (schema_folder() / GUIDE_FILE).write_text(guide_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
