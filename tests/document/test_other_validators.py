"""A second validator that is not ours, written in another language, agrees with the examples.

A third, on Node, is asked by ``tests/other_validators.sh``.
"""

from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest

from author.contract.json_schema import FORMS, schema_of
from author.procedure.document import SCHEMA_NAME
from document.examples import ALL_INVALID, ALL_VALID, EXAMPLES, named, plain

BREAK_RULES = [
    (SCHEMA_NAME, file) for file in sorted((EXAMPLES / "invalid" / "rules").glob("*.yaml"))
]


@pytest.fixture(scope="module")
def validators() -> dict[str, Any]:
    return {form: jsonschema_rs.Draft202012Validator(schema_of(form)) for form in FORMS}


@pytest.mark.parametrize("form", FORMS)
def test_the_schema_itself_is_valid(form: str) -> None:
    jsonschema_rs.meta.validate(schema_of(form))


@pytest.mark.parametrize(
    ("form", "file"), [*ALL_VALID, *BREAK_RULES], ids=named([*ALL_VALID, *BREAK_RULES])
)
def test_accepts(form: str, file: Path, validators: dict[str, Any]) -> None:
    assert [error.message for error in validators[form].iter_errors(plain(file))] == []


@pytest.mark.parametrize(("form", "file"), ALL_INVALID, ids=named(ALL_INVALID))
def test_rejects(form: str, file: Path, validators: dict[str, Any]) -> None:
    assert not validators[form].is_valid(plain(file))
