"""Makes the JSON Schema of every kind of file from its model.

``python -m author.contract.json_schema`` writes them to ``schema/``; a test holds the
committed files and the models together.
"""

from __future__ import annotations

import inspect
import json
import re
from typing import Any

from pydantic import BaseModel

from author.procedure import document, items, job_record, lists, review, shop_sheet, specs, steps
from author.procedure.document import SCHEMA_NAME, Procedure
from author.procedure.job_record import RECORD_SCHEMA, JobRecord
from author.procedure.review import REVIEW_SCHEMA, ReviewSheet
from author.procedure.shop_sheet import SHOP_SCHEMA, ShopSheet
from author.resources import schema_folder

FORMS: dict[str, type[BaseModel]] = {
    SCHEMA_NAME: Procedure,
    RECORD_SCHEMA: JobRecord,
    REVIEW_SCHEMA: ReviewSheet,
    SHOP_SCHEMA: ShopSheet,
}
"""The model behind each schema the program writes."""
_ATTRIBUTE = re.compile(r"^    (\w+): (.*?)(?=^    \w+: |\Z)", re.MULTILINE | re.DOTALL)


def schema_file(name: str) -> str:
    """Return the file name of a schema, e.g. ``procedure.v1.schema.json``."""
    return f"{name.replace('/', '.v')}.schema.json"


def schema_of(name: str) -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a kind of file.

    Args:
        name: a key of ``FORMS``, e.g. ``procedure/1``.
    """
    model = FORMS[name]
    schema = model.model_json_schema(by_alias=True, mode="validation")
    models = {
        name: model
        for module in (document, items, job_record, lists, review, shop_sheet, specs, steps)
        for name, model in vars(module).items()
        if isinstance(model, type) and issubclass(model, BaseModel)
    }
    for block, entry in [*schema["$defs"].items(), (model.__name__, schema)]:
        _describe(entry, models[block])
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:reelwright:{name.replace('/', ':')}",
        "title": f"Reelwright {name}",
        **_tidy({key: value for key, value in schema.items() if key != "title"}),
    }


def schema_text(name: str) -> str:
    """Return a schema as the text that is committed."""
    return json.dumps(schema_of(name), indent=2, ensure_ascii=False) + "\n"


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
    """Write the schemas into the schema folder."""
    for name in FORMS:
        (schema_folder() / schema_file(name)).write_text(schema_text(name), encoding="utf-8")


if __name__ == "__main__":
    main()
