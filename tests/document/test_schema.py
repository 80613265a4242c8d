"""The contract in schema/: JSON Schema, field guide, examples."""

import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from author.checks import all_rules, check
from author.contract import read_procedure
from author.contract.field_guide import GUIDE_FILE, guide_text
from author.contract.json_schema import SCHEMA_FILE, procedure_schema, schema_text
from author.errors import InputError
from author.procedure.units import all_units
from author.resources import schema_folder

FOLDER = schema_folder()
VALID = sorted((FOLDER / "examples" / "valid").glob("*.yaml"))
BAD_FORM = sorted((FOLDER / "examples" / "invalid" / "schema").glob("*.yaml"))
BAD_RULES = sorted((FOLDER / "examples" / "invalid" / "rules").glob("*.yaml"))
# These ask about a film, so no file can show them by itself.
NEED_A_FILM = {"pictures.no_recording", "pictures.changed_recording", "pictures.damaged"}


@pytest.fixture(scope="module")
def validator() -> Any:
    return jsonschema.Draft202012Validator(procedure_schema())


def plain(file: Path) -> Any:
    """Read as another program would: with PyYAML's own loader."""
    return yaml.safe_load(file.read_text(encoding="utf-8"))


def first_line(file: Path) -> str:
    return file.read_text(encoding="utf-8").splitlines()[0].removeprefix("# ")


def test_schema_file_is_in_step_with_the_model() -> None:
    committed = (FOLDER / SCHEMA_FILE).read_text(encoding="utf-8")
    assert committed == schema_text(), "mend it with: python -m author.contract.json_schema"


def test_field_guide_is_in_step() -> None:
    committed = (FOLDER / GUIDE_FILE).read_text(encoding="utf-8")
    assert committed == guide_text(), "mend it with: python -m author.contract.field_guide"


def test_field_guide_tells_every_key_rule_and_unit() -> None:
    guide = guide_text()
    for rule in all_rules():
        assert f"| `{rule}` |" in guide
    for symbol in all_units():
        assert f"\n| {symbol} |" in guide
    for block in procedure_schema()["$defs"]:
        assert f"### {block}\n" in guide
    rows = [line for line in guide.splitlines() if line.startswith("| ")]
    assert all(cell.strip() for row in rows for cell in row.split(" | ")[:1])


def test_schema_is_valid_2020_12() -> None:
    schema = procedure_schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


def nodes(part: Any) -> Any:
    yield part
    for inner in part.values() if isinstance(part, dict) else part:
        if isinstance(inner, dict | list):
            yield from nodes(inner)


def test_patterns_hold_in_every_dialect() -> None:
    patterns = {
        node["pattern"]
        for node in nodes(procedure_schema())
        if isinstance(node, dict) and isinstance(node.get("pattern"), str)
    }
    assert len(patterns) > 5
    for pattern in patterns:
        assert pattern.startswith("^")
        assert pattern.endswith("$")
        # ECMA-262 with the u flag knows no escapes of characters that need none.
        for escape in re.findall(r"\\(u[0-9a-f]{4}|.)", pattern):
            assert escape[0] in "u.\\/", pattern


def test_every_block_is_closed_and_every_key_described() -> None:
    schema = procedure_schema()
    for name, block in [("Procedure", schema), *schema["$defs"].items()]:
        assert block["additionalProperties"] is False, name
        assert block["description"], name
        for key, node in block["properties"].items():
            assert node.get("description"), f"{name}.{key}"


@pytest.mark.parametrize("file", [*VALID, *BAD_RULES], ids=lambda f: f.stem)
def test_validator_accepts(file: Path, validator: Any) -> None:
    assert [error.message for error in validator.iter_errors(plain(file))] == []


@pytest.mark.parametrize("file", BAD_FORM, ids=lambda f: f.stem)
def test_validator_and_reader_reject(file: Path, validator: Any) -> None:
    assert len(first_line(file)) > 10
    assert list(validator.iter_errors(plain(file))) != []
    with pytest.raises(InputError) as caught:
        read_procedure(file)
    assert caught.value.line is not None
    assert caught.value.remedy


@pytest.mark.parametrize("file", VALID, ids=lambda f: f.stem)
def test_valid_examples_break_no_rule(file: Path) -> None:
    verdict = check(read_procedure(file).procedure, {})
    assert {remark.rule.id for remark in verdict.remarks} <= {"ledger.nothing_listed"}
    assert verdict.checked is not None


@pytest.mark.parametrize("file", BAD_RULES, ids=lambda f: f.stem)
def test_rule_examples_break_just_what_they_say(file: Path) -> None:
    verdict = check(read_procedure(file).procedure)
    raised = {remark.rule.id for remark in verdict.remarks}
    told = first_line(file)
    assert told.startswith("expects: ")
    expected = set(told.removeprefix("expects: ").split(", "))
    assert expected <= raised
    assert raised - expected <= {"ledger.nothing_listed"}


def test_every_rule_a_file_can_show_has_an_example() -> None:
    shown = {rule for file in BAD_RULES for rule in first_line(file)[9:].split(", ")}
    assert shown == set(all_rules()) - NEED_A_FILM


def test_there_are_enough_examples() -> None:
    assert len(VALID) >= 2
    assert len(BAD_FORM) >= 12


def _mutations(schema: Any) -> Any:
    """Each constraint of the schema once: which block, key and keyword."""
    for name, block in [("", schema), *schema["$defs"].items()]:
        for key, node in block["properties"].items():
            yield name, key, node


def test_a_value_of_another_type_is_rejected_for_every_key() -> None:
    """A number with a fraction has no place in any key."""
    schema = procedure_schema()
    for name, key, node in _mutations(schema):
        part = {**node, "$defs": schema["$defs"]}
        checker = jsonschema.Draft202012Validator(part)
        for wrong in (1.5, None, {"zz": 1}, [None], []):
            assert not checker.is_valid(wrong), f"{name}.{key} accepts {wrong!r}"
