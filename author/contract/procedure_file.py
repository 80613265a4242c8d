"""Reads a procedure file into the document, and tells every fault with its place."""

from __future__ import annotations

import difflib
import re
import types
import typing
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from author.contract.yaml_reader import MAX_BYTES, MAX_FAULTS, YamlTree, parse_yaml
from author.contract.yaml_reader import Path as TreePath
from author.contract.yaml_writer import write_yaml
from author.errors import FileErrors, InputError
from author.procedure.document import SCHEMA_NAME, Procedure
from author.procedure.values import STATED
from author.storage import file_error

PROCEDURE_FILE = "procedure.yaml"

_KINDS = {
    "string_type": "text",
    "int_type": "a whole number",
    "bool_type": "true or false",
    "tuple_type": "a list",
    "model_type": "a block of keys",
    "model_attributes_type": "a block of keys",
}
_SIZES = {
    "greater_than_equal": ("at least {}", "ge"),
    "less_than_equal": ("at most {}", "le"),
    "string_too_short": ("at least {} character long", "min_length"),
    "string_too_long": ("at most {} characters long", "max_length"),
}
_FORMS = {
    "language": "Write a language tag such as en or de-AT",
    "sha256": "Write the 64 hexadecimal digits of the fingerprint in lower case",
}
_STATED_KEYS = {name for name, f in Procedure.model_fields.items() if STATED in f.metadata}


@dataclass(frozen=True)
class LoadedProcedure:
    """A procedure and the file it was read from.

    Attributes:
        procedure: the document.
        tree: places and comments of the file.
        file: where it was read from.
    """

    procedure: Procedure
    tree: YamlTree
    file: Path

    def text(self) -> str:
        """Return the document as canonical YAML with its whole-line comments."""
        plain = as_plain(self.procedure)
        return write_yaml(plain, _kept_comments(plain, self.tree.comments))


def as_plain(procedure: Procedure) -> dict[str, Any]:
    """Return the document as dictionaries, lists and strings in the order of the schema.

    Values equal to their default are left out, decimals are strings with their digits.
    """
    plain = procedure.model_dump(mode="json", by_alias=True, exclude_none=True)
    _drop_defaults(plain, procedure)
    return plain


def _drop_defaults(plain: dict[str, Any], node: BaseModel) -> None:
    for name, field in type(node).model_fields.items():
        key = field.alias or name
        value = getattr(node, name)
        if key in plain and not field.is_required() and value == field.default:
            del plain[key]
        elif isinstance(value, BaseModel):
            _drop_defaults(plain[key], value)
        elif isinstance(value, tuple) and value and isinstance(value[0], BaseModel):
            for inner, entry in zip(plain[key], value, strict=True):
                _drop_defaults(inner, entry)


def _kept_comments(
    plain: dict[str, Any], comments: Mapping[TreePath, tuple[str, ...]]
) -> dict[TreePath, tuple[str, ...]]:
    """Move comments on values that are not written up to the block that held them."""
    kept: dict[TreePath, tuple[str, ...]] = {}
    for path, words in comments.items():
        place = path
        while place and not _holds(plain, place):
            place = place[:-1]
        kept[place] = (*kept.get(place, ()), *words)
    return kept


def _holds(value: Any, path: TreePath) -> bool:
    for part in path:
        if isinstance(value, dict):
            inside = part in value
        else:
            inside = isinstance(value, list) and isinstance(part, int) and part < len(value)
        if not inside:
            return False
        value = value[part]
    return True


def find_procedure_file(path: Path) -> Path:
    """Return the procedure file meant by a folder or a file.

    Raises:
        InputError: if there is none.
    """
    file = path / PROCEDURE_FILE if path.is_dir() else path
    if not file.exists():
        raise InputError(
            "there is no such procedure",
            remedy=f"Name a folder that holds {PROCEDURE_FILE}, or make one with 'reelwright new'",
            file=file,
        )
    return file


def read_procedure(path: Path) -> LoadedProcedure:
    """Read a procedure from a folder or a file.

    Raises:
        InputError: if it is missing or wrong; ``FileErrors`` tells several faults.
        MachineError: if it cannot be read.
    """
    file = find_procedure_file(path)
    try:
        with file.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except OSError as error:
        raise file_error(error, file) from error
    return parse_procedure(data, file)


def parse_procedure(data: bytes, file: Path) -> LoadedProcedure:
    """Read a procedure from the bytes of a file.

    Args:
        data: YAML text.
        file: its name, for errors and remarks.

    Raises:
        InputError: if it is wrong; ``FileErrors`` tells several faults at once.
    """
    tree = parse_yaml(data, str(file))
    if not isinstance(tree.value, dict):
        raise InputError(
            "this is not a procedure: the file holds no keys",
            remedy=f"The first line has to be 'schema: {SCHEMA_NAME}'",
            file=file,
            line=1,
        )
    _check_schema_name(tree, file)
    try:
        procedure = Procedure.model_validate(tree.value)
    except ValidationError as error:
        details = _first_causes(error.errors(include_url=False))
        faults = [_fault(detail, tree, file) for detail in details[:MAX_FAULTS]]
        raise FileErrors(sorted(faults, key=lambda f: (f.line, f.column))) from None
    return LoadedProcedure(procedure, tree, file)


def _first_causes(details: list[ErrorDetails]) -> list[ErrorDetails]:
    """Leave out what only follows from another fault.

    A list is too short where an entry of it is wrong; a key is missing where it is
    there, misspelt.
    """
    places = {detail["loc"][:length] for detail in details for length in range(len(detail["loc"]))}
    misspelt = {
        (*detail["loc"][:-1], key)
        for detail in details
        if detail["type"] == "extra_forbidden"
        for key in _close_keys(detail["loc"])
    }
    follows = {"too_short": places, "missing": misspelt}
    return [d for d in details if d["loc"] not in follows.get(d["type"], ())]


def _close_keys(path: tuple[str | int, ...]) -> list[str]:
    return difflib.get_close_matches(str(path[-1]), _known_keys(path[:-1]), n=1)


def _check_schema_name(tree: YamlTree, file: Path) -> None:
    name = tree.value.get("schema")
    if name == SCHEMA_NAME:
        return
    line, column = tree.place(("schema",))
    newer = isinstance(name, str) and re.fullmatch(r"procedure/([2-9]|[1-9][0-9]+)", name)
    raise InputError(
        f"the schema is {str(name)[:40]!r}, this program reads {SCHEMA_NAME!r}"
        if name is not None
        else "the file does not say its schema",
        remedy="Use a newer Reelwright" if newer else f"Write 'schema: {SCHEMA_NAME}' first",
        file=file,
        line=line,
        column=column,
    )


def _fault(detail: ErrorDetails, tree: YamlTree, file: Path) -> InputError:
    path = tuple(detail["loc"])
    problem, remedy = _words(detail, path)
    line, column = tree.place(path)
    return InputError(problem, remedy=remedy, file=file, line=line, column=column)


def _words(detail: ErrorDetails, path: tuple[str | int, ...]) -> tuple[str, str]:
    kind = detail["type"]
    key = next((part for part in reversed(path) if isinstance(part, str)), "the file")
    context = detail.get("ctx", {})
    if kind == "extra_forbidden":
        close, known = _close_keys(path), ", ".join(_known_keys(path[:-1]))
        hint = f"Did you mean '{close[0]}'?" if close else f"Keys here are: {known}"
        return f"unknown key '{str(path[-1])[:40]}'", hint
    if kind == "missing" and key == path[-1]:
        stated = "; where there is nothing to list, write 'none'" if key in _STATED_KEYS else ""
        return f"the key '{key}' is missing", f"Add '{key}:' to this block{stated}"
    if kind == "literal_error":
        return f"'{key}' is {_shown(detail['input'])}", f"Write one of: {context['expected']}"
    if kind == "value_error":
        text = str(context["error"])
        named = f"'{key}' {_shown(detail['input'])}"
        problem = f"{named} {text}" if text.startswith(("is ", "has ", "begins ")) else text
        return f"{problem}", f"Mend '{key}' here"
    if kind in _KINDS or kind in _SIZES:
        return _type_words(kind, key, detail)
    if kind == "string_pattern_mismatch":
        form = _FORMS.get(key, f"Mend '{key}' here")
        return f"'{key}' is {_shown(detail['input'])}, which has not the right form", form
    if kind in {"missing", "too_short", "too_long"}:
        empty = kind == "too_short" and not detail["input"]
        said = "is an empty list" if empty else "has the wrong number of entries"
        return f"'{key}' {said}", _entries(kind, context)
    return f"'{key}': {detail['msg'][0].lower()}{detail['msg'][1:]}", f"Mend '{key}' here"


def _entries(kind: str, context: Mapping[str, Any]) -> str:
    """What to do about a list of the wrong length; a place in a picture has two numbers."""
    if kind == "too_short" and context["min_length"] == 1:
        return "Add an entry, or take the key out where it may be absent"
    if kind == "too_short":
        return f"Give at least {context['min_length']}"
    return "Give two numbers, such as ['0.25', '0.5']"


def _type_words(kind: str, key: str, detail: ErrorDetails) -> tuple[str, str]:
    if kind in _KINDS:
        return (
            f"'{key}' is {_shown(detail['input'])}, but has to be {_KINDS[kind]}",
            _remedy_for_type(kind, detail["input"]),
        )
    said, limit = _SIZES[kind]
    bound = said.format(detail["ctx"][limit])
    shown = _shown(detail["input"])
    return f"'{key}' is {shown}, but has to be {bound}", "Change the value"


def _remedy_for_type(kind: str, value: object) -> str:
    if kind == "string_type" and not isinstance(value, dict | list | tuple):
        return "Put it in quotes"
    if kind == "int_type" and isinstance(value, str) and value.isdecimal():
        return "Write it without quotes"
    return "Change the value"


def _shown(value: object) -> str:
    if isinstance(value, dict):
        return "a block of keys"
    if isinstance(value, list | tuple):
        return "a list"
    text = str(value)
    return f"'{text[:40]}…'" if len(text) > 40 else f"'{text}'"


def _known_keys(path: tuple[str | int, ...]) -> list[str]:
    """Return the keys a block of the document may have, by walking the model's types."""
    model: type[BaseModel] | None = Procedure
    for part in path:
        if isinstance(part, int) or model is None:
            continue
        field = next(
            (f for n, f in model.model_fields.items() if part in {n, f.alias}),
            None,
        )
        model = None if field is None else _model_in(field.annotation)
    if model is None:
        return []
    return [field.alias or name for name, field in model.model_fields.items()]


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if isinstance(annotation, types.GenericAlias) or typing.get_origin(annotation) is not None:
        for inner in typing.get_args(annotation):
            found = _model_in(inner)
            if found is not None:
                return found
    return None
