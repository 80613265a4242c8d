"""Writes the field guide for authors of other tools: ``schema/README.md``.

``python -m author.contract.field_guide`` writes it from the JSON Schema, the rules and
the units; a test holds the committed file and those together.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from typing import Any

from pydantic import BaseModel

from author.checks import all_rules
from author.contract import guide_words as words
from author.contract.json_schema import FORMS, schema_of
from author.contract.procedure_file import as_plain, read_procedure
from author.contract.reading import read_model
from author.contract.yaml_writer import write_yaml
from author.procedure.quantities import AMOUNT_PATTERN, NUMBER_PATTERN
from author.procedure.times import DURATION_PATTERN, MARK_PATTERN
from author.procedure.units import all_units
from author.procedure.values import (
    DATE_PATTERN,
    FILE_NAME_PATTERN,
    FINGERPRINT_PATTERN,
    FRACTION_PATTERN,
    ID_PATTERN,
    LINE_PATTERN,
    MOMENT_PATTERN,
    RULE_PATTERN,
    SHARE_PATTERN,
    SI_NUMBER_PATTERN,
)
from author.resources import load_table, schema_folder

GUIDE_FILE = "README.md"
_KINDS = {
    ID_PATTERN: "id",
    LINE_PATTERN: "line",
    FILE_NAME_PATTERN: "file name",
    NUMBER_PATTERN: "number",
    AMOUNT_PATTERN: "amount",
    SI_NUMBER_PATTERN: "number",
    MARK_PATTERN: "mark",
    FRACTION_PATTERN: "fraction",
    SHARE_PATTERN: "share",
    DURATION_PATTERN: "duration",
    DATE_PATTERN: "date",
    MOMENT_PATTERN: "moment",
    FINGERPRINT_PATTERN: "fingerprint",
    RULE_PATTERN: "[rule](#the-rules)",
}
_EXAMPLES = {
    "procedure/1": "examples/valid",
    "job_record/1": "examples/job_record/valid",
    "review/1": "examples/review/valid",
    "library/1": "examples/library/valid",
}
_EXAMPLE_LETTERS = 70
_SHOWN_LINES = 40
_SHOWN_WHOLE = "vice-jaws.yaml"
_SHOWN_POINT = "seats-clean"


def guide_text() -> str:
    """Return the field guide as the text that is committed."""
    chapters = [
        words.KINDS,
        words.PROMISES,
        words.VALUES,
        _whole(),
        _meaning(),
        *_blocks(),
        "## The rules\n\n`error`: may not be published but as a draft. `warning`: look at it. "
        "`advice`: could be better.\n\n"
        + _table(
            ("rule", "severity", "why", "source", "remedy"),
            ((f"`{r.id}`", r.severity, r.why, r.source, r.remedy) for r in all_rules().values()),
        ),
        "## The units\n\nSI value = value × factor + offset. Every factor is exact but for π.\n\n"
        + _table(("unit", "name", "quantity", "SI", "factor", "offset", "shown beside"), _units()),
    ]
    return "\n".join([words.FILES, _contents("\n".join(chapters)), *chapters])


def _contents(text: str) -> str:
    """Return a list of the headings of a text with links, blocks of a form on one line."""
    lines = ["## Contents\n"]
    below: list[str] = []
    for line in [*text.splitlines(), "## "]:
        level, _, heading = line.partition(" ")
        if level == "###":
            below.append(_link(heading))
        elif level == "##":
            if below:
                lines.append(f"  {', '.join(below)}")
            below = []
            lines += [f"- {_link(heading)}"] if heading else []
    return "\n".join(lines) + "\n"


def _link(heading: str) -> str:
    """Return a link to a heading of the same page."""
    kept = (c for c in heading.lower() if c.isalnum() or c in " -_")
    return f"[{heading.replace('`', '')}](#{''.join(kept).replace(' ', '-')})"


def _whole() -> str:
    file = schema_folder() / "examples" / "valid" / _SHOWN_WHOLE
    text = file.read_text(encoding="utf-8")
    return f"{words.WHOLE.format(file=_SHOWN_WHOLE)}\n```yaml\n{text}```\n"


def _meaning() -> str:
    """Return what blocks mean together, with one fingerprint worked out in the open."""
    procedure = read_procedure(schema_folder() / "examples" / "valid" / _SHOWN_WHOLE).procedure
    point = next(p for _, _, p in procedure.placed_points() if p.id == _SHOWN_POINT)
    source = next(s for s in procedure.sources if s.id == point.source)
    text = json.dumps(
        [as_plain(point), as_plain(source), None],
        sort_keys=True,
        ensure_ascii=False,
        separators=(",", ":"),
    )
    return words.MEANING.format(
        point=point.id, text=text, content=hashlib.sha256(text.encode()).hexdigest()
    )


def _blocks() -> Iterator[str]:
    told: set[str] = set()
    for form, model in FORMS.items():
        schema, seen = schema_of(form), _Seen(form)
        yield (
            f"## The blocks of `{form}`\n\n"
            f"Every example is taken from a file in `{_EXAMPLES[form]}`. `…` stands for what was "
            "left out here.\n"
        )
        for name, block in _in_reading_order(model.__name__, schema).items():
            if name not in told:
                told.add(name)
                yield _block(name, block, seen)


def _in_reading_order(root: str, schema: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Return the blocks of a schema as a reader of a file meets them."""
    found = {root: schema}
    waiting = [schema]
    while waiting:
        inner = []
        for name in _names_in(waiting.pop(0)["properties"]):
            if name not in found:
                found[name] = schema["$defs"][name]
                inner.append(found[name])
        waiting = [*inner, *waiting]
    return found


def _names_in(node: Any) -> Iterator[str]:
    """Yield the names of the blocks a part of a schema refers to."""
    if isinstance(node, dict):
        if "$ref" in node:
            yield node["$ref"].rsplit("/", 1)[-1]
        for inner in node.values():
            yield from _names_in(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from _names_in(inner)


def _block(name: str, block: dict[str, Any], seen: _Seen) -> str:
    required = set(block.get("required", ()))
    rows = (
        (
            f"`{key}`",
            "yes" if key in required else "",
            _value(node),
            node["description"],
            _code(seen.values.get((name, key))),
        )
        for key, node in block["properties"].items()
    )
    table = _table(("key", "required", "value", "meaning", "example"), rows)
    shown = write_yaml(seen.fullest[name]) if name in seen.fullest else ""
    shown = f"\n```yaml\n{shown}```\n" if 0 < shown.count("\n") <= _SHOWN_LINES else ""
    return f"### {name}\n\n{block['description']}\n\n{table}{shown}"


class _Seen:
    """What the valid examples of a form show.

    Attributes:
        values: for each block and key its plain value, the first in the examples.
        fullest: for each block the plain one with the most keys, the first of those.
    """

    def __init__(self, form: str) -> None:
        self.values: dict[tuple[str, str], Any] = {}
        self.fullest: dict[str, dict[str, Any]] = {}
        for file in sorted((schema_folder() / _EXAMPLES[form]).glob("*.yaml")):
            document, tree = read_model(file.read_bytes(), file, FORMS[form], form)
            self._gather(document, tree.value)

    def _gather(self, node: BaseModel, plain: dict[str, Any]) -> None:
        name = type(node).__name__
        if len(plain) > len(self.fullest.get(name, ())):
            self.fullest[name] = plain
        for attribute, field in type(node).model_fields.items():
            key, value = field.alias or attribute, getattr(node, attribute)
            if key not in plain:
                continue
            known = self.values.get((name, key))
            if known is None or known == "none":
                self.values[name, key] = plain[key]
            if isinstance(value, BaseModel):
                self._gather(value, plain[key])
            elif isinstance(value, tuple):
                for entry, inner in zip(value, plain[key], strict=False):
                    if isinstance(entry, BaseModel):
                        self._gather(entry, inner)


def _code(value: Any) -> str:
    """Show a value as YAML on one line; ``…`` stands for what is left out of long ones."""
    if value is None:
        return ""
    text = _flow(value) if isinstance(value, dict | list) else _scalar(value)
    return f"`{text}`".replace("|", "\\|")


def _flow(value: Any) -> str:
    if isinstance(value, dict):
        return f"{{{_some(f'{key}: {_flow(inner)}' for key, inner in value.items())}}}"
    if isinstance(value, list):
        return f"[{_some(map(_flow, value))}]"
    text = _scalar(value)
    # What stands between brackets needs quotes where it has a comma or a bracket in it.
    bare = not text.startswith('"') and any(sign in text for sign in ",[]{}")
    return json.dumps(text, ensure_ascii=False) if bare else text


def _scalar(value: Any) -> str:
    return write_yaml({"a": value}).removeprefix("a: ").rstrip("\n")


def _some(entries: Iterable[str]) -> str:
    """Join as many entries as there is room for, one at the least."""
    shown, left = "", list(entries)
    while left and (not shown or len(shown) + len(left[0]) <= _EXAMPLE_LETTERS):
        shown += (", " if shown else "") + left.pop(0)
    return f"{shown}, …" if left else shown


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
    if node.get("type") == "array":
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
        return "extent" if _kind(node["prefixItems"][0]) == "share" else "point"
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
