"""What a person calls a place of the document: for labels of commands and for refusals."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Annotated, Any, get_args, get_origin

from author.checks.wording import UNWRITTEN
from author.editing.addresses import Path, fields_of
from author.procedure.differences.fields import told_as
from author.procedure.document import Procedure
from author.procedure.references import named_by, words_for
from author.procedure.values import Node

_CALLED = {"limit spec": "measurement", "torque spec": "torque"}
"""What a person who works on the document calls an entry, where a reader says it otherwise."""
_LONGEST = 40
"""Letters of an entry's own words that a label shows."""


def number_of(procedure: Procedure, path: Path) -> int:
    """Return the number of the step a path leads into, from 1 through the whole procedure."""
    before = sum(len(section.steps) for section in procedure.sections[: int(path[1])])
    return before + int(path[3]) + 1


def in_step(path: Path) -> bool:
    """Whether a path leads to a step or into one."""
    return len(path) >= 4 and path[0] == "sections" and path[2] == "steps"


def name_of(procedure: Procedure, path: Path) -> str:
    """Return what is at a path in words, e.g. ``limit spec bore of step 4``.

    Args:
        procedure: the document.
        path: of a block or a list; a value's is called by its field.
    """
    if not path:
        return "the procedure"
    if in_step(path):
        step = f"step {number_of(procedure, path)}"
        inner = _inner(procedure, procedure.sections[int(path[1])].steps[int(path[3])], path[4:])
        return f"{inner} of {step}" if inner else step
    if path[0] == "sections" and len(path) > 1:
        section = f"section '{procedure.sections[int(path[1])].title}'"
        inner = _inner(procedure, procedure.sections[int(path[1])], path[2:])
        return f"{inner} of {section}" if inner else section
    return _inner(procedure, procedure, path)


def _inner(procedure: Procedure, node: Any, path: Path) -> str:
    """Return the words for the end of a path, and for the entry it stands in."""
    entry = said = name = ""
    into: str | None = None
    told = told_as(Procedure, "sections")
    for part in path:
        if isinstance(node, Node):
            holder, name = type(node), fields_of(type(node))[str(part)]
            into = named_by(holder, name)
            told, node = told_as(holder, name), getattr(node, name)
            many = is_list(holder, name) and not told.whole
            said = name.replace("_", " ") if many else f"{told.name}"
        else:
            index = int(part)
            node = node[index] if isinstance(node, tuple) and index < len(node) else None
            one = _CALLED.get(told.name, told.name) if not told.whole else name.replace("_", " ")
            listed = getattr(procedure, into, ()) if into and isinstance(node, str) else ()
            meant = next((each for each in listed if each.id == node), node)
            entry = said = _entry(one, meant, index)
    return said if not entry or said == entry else f"{said} of {entry}"


def _entry(one: str, node: Any, index: int) -> str:
    """Return what an entry of a list is called: by its own words, if they are written."""
    if isinstance(node, str):
        return f"{one} {node}"
    words = words_for(node) if getattr(node, "id", None) else ""
    if words and not words.startswith(UNWRITTEN):
        short = words if len(words) <= _LONGEST else f"{words[:_LONGEST].rstrip()} …"
        return f"{one} “{short}”"
    return one if getattr(node, "id", None) else f"{one} {index + 1}"


@cache
def is_list(model: type[Node], field: str) -> bool:
    """Whether a field holds a list of any length."""
    kind = model.model_fields[field].annotation
    return any(_is_list(one) for one in (kind, *get_args(kind)))


def _is_list(kind: Any) -> bool:
    if get_origin(kind) is Annotated:
        kind = get_args(kind)[0]
    return get_origin(kind) is tuple and get_args(kind)[1:] == (Ellipsis,)


def joined(names: Sequence[Any]) -> str:
    """Return names as a person lists them: ``1, 2 and 3``."""
    texts = [str(name) for name in names]
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} and {texts[-1]}"


def steps_called(procedure: Procedure, paths: Sequence[Path]) -> str:
    """Return ``step 4`` or ``steps 4, 5 and 6``."""
    numbers = sorted(number_of(procedure, path) for path in paths)
    return f"step{'s' * (len(numbers) > 1)} {joined(numbers)}"
