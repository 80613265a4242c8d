"""Reads a file of one of our forms into its model, and tells every fault with its place."""

from __future__ import annotations

import difflib
import re
import types
import typing
from collections.abc import Mapping
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from author.contract.upgrades import missing_step, upgraded_tree
from author.contract.yaml_reader import MAX_BYTES, MAX_FAULTS, YamlTree, parse_yaml
from author.errors import FileErrors, InputError
from author.memory import collector_at_rest
from author.procedure.values import STATED, FaultCount, TooManyFaults
from author.storage import file_error

Model = TypeVar("Model", bound=BaseModel)

# What a file is called where its schema says it otherwise.
_NAMES = {
    "procedure": "procedure",
    "job_record": "job record",
    "proposals": "sheet of answers",
    "review": "sheet of sign-offs",
    "accounts": "list of accounts",
    "library": "sheet of a library",
}
_MOST_FAULTS = 5_000
_FEW = 5
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
    "content": "Write the 64 hexadecimal digits of the fingerprint in lower case",
    "rule": "Write the id of a rule such as limits.order",
}


def read_bytes(file: Path) -> bytes:
    """Return the bytes of a file, at most one more than may be read.

    Raises:
        MachineError: if it cannot be read.
    """
    try:
        with file.open("rb") as stream:
            return stream.read(MAX_BYTES + 1)
    except OSError as error:
        raise file_error(error, file) from error


def read_model(data: bytes, file: Path, model: type[Model], schema: str) -> tuple[Model, YamlTree]:
    """Read the bytes of a file as a model.

    Args:
        data: YAML or JSON text.
        file: its name, for errors.
        model: what it has to be.
        schema: name and version its first key has to say, e.g. ``procedure/1``. An
            older version is upgraded on the way.

    Returns:
        The model, and the places and comments of the text.

    Raises:
        InputError: if it is wrong; ``FileErrors`` tells several faults at once.
    """
    with collector_at_rest():
        return _read(data, file, model, schema)


def _read(data: bytes, file: Path, model: type[Model], schema: str) -> tuple[Model, YamlTree]:
    tree = parse_yaml(data, str(file))
    kind = schema.partition("/")[0]
    if not isinstance(tree.value, dict):
        raise InputError(
            f"this is no {_named(kind)}: the file holds no keys",
            remedy=f"The first line has to be 'schema: {schema}'",
            file=file,
            line=1,
        )
    tree = _up_to_date(tree, schema, file)
    _check_schema_name(tree.value, schema, tree, file)
    try:
        return model.model_validate(tree.value, context=FaultCount(_MOST_FAULTS)), tree
    except ValidationError as error:
        details = error.errors(include_url=False)
    except TooManyFaults:
        details = _faults_of_few(tree.value, model)
    if not details:
        raise InputError(
            f"more than {_MOST_FAULTS} values are wrong",
            remedy=f"Hold the file against the field guide of {schema}",
            file=file,
            line=1,
        )
    causes = first_causes(details, model)
    faults = [_fault(detail, tree, file, model) for detail in causes[:MAX_FAULTS]]
    raise FileErrors(sorted(faults, key=lambda f: (f.line, f.column)))


def _faults_of_few(value: dict[str, Any], model: type[BaseModel]) -> list[ErrorDetails]:
    """Return the faults of a file with too many, as far as its shortest form shows them."""
    try:
        model.model_validate(_shortened(value), context=FaultCount(_MOST_FAULTS))
    except ValidationError as error:
        return error.errors(include_url=False)
    except TooManyFaults:
        pass
    return []


def _shortened(value: Any) -> Any:
    """Return plain values with the first entries of each list only."""
    if isinstance(value, dict):
        return {key: _shortened(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_shortened(inner) for inner in value[:_FEW]]
    return value


def _up_to_date(tree: YamlTree, schema: str, file: Path) -> YamlTree:
    """Return a file as the schema wanted has it, if it is of an older version."""
    try:
        return upgraded_tree(tree, schema)
    except (AttributeError, LookupError, TypeError, ValueError) as error:
        # What an older version asked of a file is not held against it before.
        old = tree.value["schema"]
        raise InputError(
            f"this is no {old} that can be brought up to {schema}",
            remedy=f"Hold the file against the field guide of {old}",
            file=file,
            line=1,
        ) from error


def _named(kind: str) -> str:
    """Return what a file of a kind is called: "sheet of answers"."""
    return _NAMES.get(kind, kind.replace("_", " "))


def _check_schema_name(value: dict[str, Any], schema: str, tree: YamlTree, file: Path) -> None:
    name = value.get("schema")
    if name == schema:
        return
    line, column = tree.place(("schema",))
    kind, _, version = schema.partition("/")
    number = re.fullmatch(rf"{kind}/([1-9][0-9]{{0,5}})", name) if isinstance(name, str) else None
    remedy = f"Write 'schema: {schema}' first"
    other = re.fullmatch(r"([a-z_]+)/[0-9]{1,6}", name) if isinstance(name, str) else None
    if other is not None and other[1] != kind and other[1] in _NAMES:
        # Another file of ours was named: to write another name on it would spoil it.
        remedy = f"Name the {_named(kind)} in its place; this is a {_named(other[1])}"
    if number is not None and int(number[1]) > int(version):
        remedy = "Use a newer Reelwright"
    said = f"the schema is {str(name)[:40]!r}, this program reads {schema!r}"
    gap = missing_step(name, schema)
    if gap is not None:
        said += f" and knows no way from version {gap} to {gap + 1}"
        remedy = (
            "Save the file with a Reelwright that does, "
            f"or write 'schema: {schema}' if it is of that version already"
        )
    raise InputError(
        said if name is not None else "the file does not say its schema",
        remedy=remedy,
        file=file,
        line=line,
        column=column,
    )


def first_causes(details: list[ErrorDetails], model: type[BaseModel]) -> list[ErrorDetails]:
    """Leave out what only follows from another fault.

    A list is too short where an entry of it is wrong; a key is missing where it is
    there, misspelt.
    """
    places = {detail["loc"][:length] for detail in details for length in range(len(detail["loc"]))}
    misspelt = {
        (*detail["loc"][:-1], key)
        for detail in details
        if detail["type"] == "extra_forbidden"
        for key in _close_keys(detail["loc"], model)
    }
    follows = {"too_short": places, "missing": misspelt}
    return [d for d in details if d["loc"] not in follows.get(d["type"], ())]


def _close_keys(path: tuple[str | int, ...], model: type[BaseModel]) -> list[str]:
    return difflib.get_close_matches(str(path[-1]), _known_keys(path[:-1], model), n=1)


def _fault(detail: ErrorDetails, tree: YamlTree, file: Path, model: type[BaseModel]) -> InputError:
    path = tuple(detail["loc"])
    problem, remedy = words_of_fault(detail, path, model)
    line, column = tree.place(path)
    return InputError(problem, remedy=remedy, file=file, line=line, column=column)


def words_of_fault(
    detail: ErrorDetails, path: tuple[str | int, ...], model: type[BaseModel]
) -> tuple[str, str]:
    """Return what is wrong at a place, and what to do about it.

    Args:
        detail: the fault as the validator tells it.
        path: the place.
        model: the model the whole is read as.
    """
    kind = detail["type"]
    key = next((part for part in reversed(path) if isinstance(part, str)), "the file")
    context = detail.get("ctx", {})
    if kind == "extra_forbidden":
        close, known = _close_keys(path, model), ", ".join(_known_keys(path[:-1], model))
        hint = f"Did you mean '{close[0]}'?" if close else f"Keys here are: {known}"
        return f"unknown key '{str(path[-1])[:40]}'", hint
    if kind == "missing" and key == path[-1]:
        stated = (
            "; where there is nothing to list, write 'none'" if key in _stated_keys(model) else ""
        )
        return f"the key '{key}' is missing", f"Add '{key}:' to this block{stated}"
    if kind == "literal_error":
        return f"'{key}' is {_shown(detail['input'])}", f"Write one of: {context['expected']}"
    if kind == "value_error":
        text = str(context["error"])
        whole = isinstance(detail["input"], dict | list | tuple)
        named = f"'{key}'" if whole else f"'{key}' {_shown(detail['input'])}"
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
        return "Write it without quotes" if value.isascii() else "Write it in the digits 0 to 9"
    return "Change the value"


def _shown(value: object) -> str:
    if isinstance(value, dict):
        return "a block of keys"
    if isinstance(value, list | tuple):
        return "a list"
    text = str(value)
    return f"'{text[:40]}…'" if len(text) > 40 else f"'{text}'"


def _stated_keys(model: type[BaseModel]) -> set[str]:
    return {name for name, field in model.model_fields.items() if STATED in field.metadata}


def _known_keys(path: tuple[str | int, ...], root: type[BaseModel]) -> list[str]:
    """Return the keys a block of the document may have, by walking the model's types."""
    model: type[BaseModel] | None = root
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
