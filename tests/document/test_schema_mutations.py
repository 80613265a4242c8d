"""Each constraint of each schema is taken out once, and a file then gets past that must not.

A constraint that can be taken out unnoticed guards nothing. For each, a valid example is
broken at a place where the constraint holds; the whole schema has to reject the file and
the schema without the constraint has to accept it, so that nothing else was broken.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from re import _parser  # type: ignore[attr-defined]  # knows how wide a pattern is
from typing import Any

import jsonschema_rs
import pytest
from pydantic import ValidationError

from author.contract.json_schema import FORMS, schema_file
from author.resources import schema_folder
from document.examples import plain, valid

# Words of a schema that restrict nothing themselves. A key's own schema is loosened part by
# part; without it the key would be an unknown one.
NOTES = {"$schema", "$id", "$defs", "title", "description", "default", "properties"}
# Words that ``parts`` and ``broken`` know; another one has to be taught to them.
WORDS = {"type", "enum", "const", "pattern", "minLength", "maxLength", "minimum", "maximum"}
WORDS |= {"minItems", "maxItems", "items", "prefixItems", "additionalProperties", "required"}
WORDS |= {"anyOf", "$ref"}
# Nothing (null) comes last: the model takes it for an absent key, and no file can hold it.
JUNK: list[Any] = [True, 5, -5, 1.5, 10**9, "", " ", "zz", "Zz 9", "\n", "x" * 5_000, [], {}]
JUNK += [[{}], {"zz": 1}, [None], None]

Pointer = tuple[str | int, ...]


@dataclass(frozen=True)
class Constraint:
    """One restriction: where its word stands in the schema, and one entry of ``required``."""

    at: Pointer
    word: str
    entry: str = ""

    def __str__(self) -> str:
        return "/".join(map(str, (*self.at, self.word, self.entry))).removesuffix("/")


def at(node: Any, pointer: Pointer) -> Any:
    for part in pointer:
        node = node[part]
    return node


def with_(node: Any, pointer: Pointer, value: Any) -> Any:
    """Return a copy of plain values with another value at one place."""
    if not pointer:
        return value
    inner = with_(node[pointer[0]], pointer[1:], value)
    if isinstance(node, dict):
        return {**node, pointer[0]: inner}
    return [*node[: pointer[0]], inner, *node[pointer[0] + 1 :]]  # type: ignore[operator,misc]


def parts(node: dict[str, Any]) -> Iterator[tuple[Pointer, dict[str, Any]]]:
    """Yield the schemas inside a schema, with the way to them."""
    for word in ("$defs", "properties"):
        for name, inner in node.get(word, {}).items():
            yield (word, name), inner
    for word in ("anyOf", "prefixItems"):
        for index, inner in enumerate(node.get(word, ())):
            yield (word, index), inner
    if isinstance(node.get("items"), dict):
        yield ("items",), node["items"]


def constraints(node: dict[str, Any], pointer: Pointer = ()) -> Iterator[Constraint]:
    assert node.keys() <= NOTES | WORDS, pointer
    for word in node.keys() - NOTES - {"required"}:
        yield Constraint(pointer, word)
    for entry in node.get("required", ()):
        yield Constraint(pointer, "required", entry)
    for way, inner in parts(node):
        yield from constraints(inner, (*pointer, *way))


def loosened(schema: dict[str, Any], one: Constraint) -> dict[str, Any]:
    node = dict(at(schema, one.at))
    if one.entry:
        node["required"] = [entry for entry in node["required"] if entry != one.entry]
    else:
        del node[one.word]
    loose: dict[str, Any] = with_(schema, one.at, node)
    return loose


def spots(
    schema: dict[str, Any], value: Any, pointer: Pointer = (), path: Pointer = ()
) -> Iterator[tuple[Pointer, Pointer]]:
    """Yield each part of the schema that judges a part of a value, and both their places."""
    node = at(schema, pointer)
    yield pointer, path
    if "$ref" in node:
        target = tuple(node["$ref"].removeprefix("#/").split("/"))
        yield from spots(schema, value, target, path)
    for way, _ in parts(node):
        inner = (*pointer, *way)
        if way[0] == "anyOf":
            yield from spots(schema, value, inner, path)
        elif way[0] == "items" and isinstance(value, list):
            for index, entry in enumerate(value):
                yield from spots(schema, entry, inner, (*path, index))
        elif way[0] in {"properties", "prefixItems"} and _has(value, way[1]):
            yield from spots(schema, value[way[1]], inner, (*path, way[1]))


def _has(value: Any, part: str | int) -> bool:
    if isinstance(part, int):
        return isinstance(value, list) and part < len(value)
    return isinstance(value, dict) and part in value


def broken(one: Constraint, node: dict[str, Any], value: Any) -> Iterator[Any]:
    """Yield values that may break just this constraint, to stand where ``value`` stands."""
    bound = node.get(one.word)
    if one.word == "required" and isinstance(value, dict):
        yield {key: inner for key, inner in value.items() if key != one.entry}
    elif one.word == "additionalProperties" and isinstance(value, dict):
        yield {**value, "zz": "x"}
    elif one.word in {"minItems", "maxItems"} and isinstance(value, list):
        yield value[: bound - 1] if one.word == "minItems" else value * (bound + 1)
        yield [*value, *value[-1:]]
    elif one.word in {"minimum", "maximum"}:
        yield bound + (1 if one.word == "maximum" else -1)
    elif one.word == "maxLength":
        yield from _long(bound + 1, str(value))
    elif one.word == "pattern":
        yield from (f"{value} ", f"{value}\n", f" {value}", f"{value}x", "x", str(value).upper())
        yield from ("1:5", "1e3", "A", "a b", "é/", "..", "2026-13-01", "9" * 20)
    elif one.word in {"items", "prefixItems"} and isinstance(value, list):
        yield from ([junk, *value[1:]] for junk in JUNK)
    yield from JUNK


def _long(length: int, value: str) -> Iterator[str]:
    """Texts of a length that fit the patterns in use as far as can be."""
    for sign in ("x", "a", "1", "0"):
        yield sign * length
        yield value + sign * (length - len(value))
    yield "a." + "a" * (length - 2)
    for whole in range(1, length - 1):
        yield "1" * whole + "." + "1" * (length - whole - 1)
        yield "-" + "1" * whole + "." + "1" * (length - whole - 2)


def implied(one: Constraint, node: dict[str, Any]) -> bool:
    """Whether the words beside a word say the same: no file can tell it from its absence."""
    if one.word == "type":
        return "enum" in node or "const" in node
    if one.word == "minLength":
        return node["minLength"] == 1 and not re.search(node.get("pattern", ""), "")
    if one.word == "maxLength" and "pattern" in node:
        longest: int = _parser.parse(node["pattern"]).getwidth()[1]
        return longest <= node["maxLength"]
    return False


class Witnesses:
    """Finds a file for each constraint of one schema."""

    def __init__(self, form: str) -> None:
        self.form = form
        text = (schema_folder() / schema_file(form)).read_text(encoding="utf-8")
        self.schema: dict[str, Any] = json.loads(text)
        self.whole = jsonschema_rs.Draft202012Validator(self.schema)
        self.documents = [plain(file) for file in valid(form)]
        self.places: dict[Pointer, list[tuple[int, Pointer]]] = {}
        for number, document in enumerate(self.documents):
            for pointer, path in spots(self.schema, document):
                self.places.setdefault(pointer, []).append((number, path))

    def find(self, one: Constraint) -> list[Any]:
        """Return a file that only this constraint rejects, in a list; or an empty one."""
        node = at(self.schema, one.at)
        loose = jsonschema_rs.Draft202012Validator(loosened(self.schema, one))
        places = self.places.get(one.at, [])
        # The shape of a value differs from place to place: a list here, the word none there.
        for number, path in [*places[:3], *places[3::7][:12]]:
            document = self.documents[number]
            for value in broken(one, node, at(document, path)):
                file = with_(document, path, value)
                if loose.is_valid(file) and not self.whole.is_valid(file):
                    return [file]
        return []


@pytest.fixture(scope="module", params=FORMS)
def witnesses(request: pytest.FixtureRequest) -> Witnesses:
    return Witnesses(request.param)


def test_every_key_is_shown_by_an_example(witnesses: Witnesses) -> None:
    unseen = {
        "/".join(map(str, one.at))
        for one in constraints(witnesses.schema)
        if one.at not in witnesses.places
    }
    assert unseen == set()


def test_every_constraint_guards_something(witnesses: Witnesses) -> None:
    """Our own reader has to refuse such a file as well."""
    unguarded, taken = [], []
    for one in constraints(witnesses.schema):
        node = at(witnesses.schema, one.at)
        found = witnesses.find(one)
        assert not (found and implied(one, node)), f"{one} is not implied: {found}"
        if not found and not implied(one, node):
            unguarded.append(str(one))
        if found and reads(witnesses.form, found[0]):
            taken.append(str(one))
    assert sorted(unguarded) == []
    assert sorted(taken) == []


def reads(form: str, value: Any) -> bool:
    try:
        FORMS[form].model_validate(value)
    except ValidationError:
        return False
    return True
