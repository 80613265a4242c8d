"""Makes the JSON Schema of a procedure from the model.

``python -m author.contract.json_schema`` writes it to ``schema/``; a test holds the
committed file and the model together.
"""

from __future__ import annotations

import inspect
import json
import re
from typing import Any

from pydantic import BaseModel

from author.procedure import document, lists, specs, steps
from author.procedure.document import SCHEMA_NAME, Procedure
from author.resources import schema_folder

SCHEMA_FILE = "procedure.v1.schema.json"
_ATTRIBUTE = re.compile(r"^    (\w+): (.*?)(?=^    \w+: |\Z)", re.MULTILINE | re.DOTALL)


def procedure_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of ``procedure/1``."""
    schema = Procedure.model_json_schema(by_alias=True, mode="validation")
    models = {
        name: model
        for module in (document, lists, specs, steps)
        for name, model in vars(module).items()
        if isinstance(model, type) and issubclass(model, BaseModel)
    }
    for name, entry in [*schema["$defs"].items(), ("Procedure", schema)]:
        _describe(entry, models[name])
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:reelwright:procedure:1",
        "title": f"Reelwright {SCHEMA_NAME}",
        **_tidy({key: value for key, value in schema.items() if key != "title"}),
    }


def schema_text() -> str:
    """Return the schema as the text that is committed."""
    return json.dumps(procedure_schema(), indent=2, ensure_ascii=False) + "\n"


def _describe(entry: dict[str, Any], model: type[BaseModel]) -> None:
    """Turn the class docstring into a description of the block and of each key."""
    text = inspect.getdoc(model) or ""
    head, _, attributes = text.partition("\n\nAttributes:\n")
    entry["description"] = _plain_words(head)
    words = {name: _plain_words(body) for name, body in _ATTRIBUTE.findall(attributes)}
    for base in model.__mro__[1:]:
        inherited = inspect.getdoc(base) or ""
        for name, body in _ATTRIBUTE.findall(inherited.partition("\n\nAttributes:\n")[2]):
            words.setdefault(name, _plain_words(body))
    for name, field in model.model_fields.items():
        key = field.alias or name
        if name in words:
            entry["properties"][key]["description"] = words[name]


def _plain_words(text: str) -> str:
    return " ".join(text.split()).replace("``", "`")


def _tidy(node: Any, *, named: bool = False) -> Any:
    """Drop titles, nulls and null defaults: in a file a key is there or it is not.

    Args:
        node: a schema or a part of one.
        named: true for an object whose keys are names, not schema words.
    """
    if isinstance(node, list):
        return [_tidy(entry) for entry in node]
    if not isinstance(node, dict):
        return node
    if named:
        return {key: _tidy(value) for key, value in node.items()}
    options = [o for o in node.get("anyOf", []) if o != {"type": "null"}]
    if "anyOf" in node and len(options) == 1:
        rest = {key: value for key, value in node.items() if key != "anyOf"}
        return _tidy({**options[0], **rest})
    tidy = {}
    for key, value in node.items():
        if key == "title" or (key == "default" and value is None):
            continue
        tidy[key] = _tidy(value, named=key in {"properties", "$defs"})
    return tidy


def main() -> None:
    """Write the schema into the schema folder."""
    (schema_folder() / SCHEMA_FILE).write_text(schema_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
