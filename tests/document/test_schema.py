"""The contract in schema/: JSON Schema, field guide, examples."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from pydantic import BaseModel, TypeAdapter, ValidationError

from author.checks import all_rules, check
from author.contract import read_procedure
from author.contract.field_guide import GUIDE_FILE, guide_text
from author.contract.json_schema import FORMS, schema_file, schema_of, schema_text
from author.contract.reading import read_bytes, read_model
from author.contract.review_file import REVIEW_FILE, read_review
from author.errors import InputError
from author.library.shop import SHOP_FILE, open_shop
from author.procedure import document, items, job_record, lists, review, shop_sheet, specs, steps
from author.procedure.document import SCHEMA_NAME
from author.procedure.job_record import RECORD_SCHEMA
from author.procedure.shop_sheet import SHOP_SCHEMA
from author.procedure.units import all_units
from author.resources import schema_folder
from document.examples import (
    ALL_INVALID,
    ALL_VALID,
    facts_of,
    first_line,
    invalid,
    named,
    plain,
    read_job_record,
    sign_offs_of,
    valid,
)

FOLDER = schema_folder()
BAD_RULES = sorted((FOLDER / "examples" / "invalid" / "rules").glob("*.yaml"))
# These ask about what lies beside a procedure, so that no file can show them by itself.
NEED_A_FILM = {"pictures.no_recording", "pictures.changed_recording", "pictures.damaged"}
NEED_A_SHELF = {"links.missing", "links.handover"}
NEED_SIGN_OFFS = {
    "review.not_signed", "review.stale", "review.queried", "review.own_work",
    "review.other_revision", "review.no_point",
}  # fmt: skip
# Words of a choice that an example cannot have: all examples are invented, none is old.
NOT_SHOWN = {("Procedure", "data", "shop"), ("JobRecord", "data", "shop")} | {
    ("Procedure", "state", state) for state in ("superseded", "withdrawn")
}
MODULES = (document, items, job_record, lists, review, shop_sheet, specs, steps)
MODELS: dict[str, type[BaseModel]] = {
    name: model
    for module in MODULES
    for name, model in vars(module).items()
    if isinstance(model, type) and issubclass(model, BaseModel)
}


@pytest.fixture(scope="module")
def validators() -> dict[str, Any]:
    return {form: jsonschema.Draft202012Validator(schema_of(form)) for form in FORMS}


def blocks(form: str) -> dict[str, Any]:
    schema = schema_of(form)
    return {FORMS[form].__name__: schema, **schema["$defs"]}


ALL_BLOCKS = [(form, name, block) for form in FORMS for name, block in blocks(form).items()]


@pytest.mark.parametrize("form", FORMS)
def test_schema_file_is_in_step_with_the_model(form: str) -> None:
    committed = (FOLDER / schema_file(form)).read_text(encoding="utf-8")
    assert committed == schema_text(form), "mend it with: python -m author.contract.json_schema"


def test_field_guide_is_in_step() -> None:
    committed = (FOLDER / GUIDE_FILE).read_text(encoding="utf-8")
    assert committed == guide_text(), "mend it with: python -m author.contract.field_guide"


def test_field_guide_tells_every_key_rule_and_unit() -> None:
    guide = guide_text()
    for rule in all_rules():
        assert f"| `{rule}` |" in guide
    for symbol in all_units():
        assert f"\n| {symbol} |" in guide
    for _, block, _ in ALL_BLOCKS:
        assert f"### {block}\n" in guide
    rows = [line for line in guide.splitlines() if line.startswith("| ")]
    bare = [row for row in rows if row.startswith("| `") and row.endswith("|  |")]
    assert bare == [], "no valid example shows these"
    assert all(cell.strip() for row in rows for cell in row.split(" | ")[:1])


def test_field_guide_links_lead_to_headings() -> None:
    guide = guide_text()
    headings = re.findall(r"^##+ (.*)$", re.sub(r"```.*?```", "", guide, flags=re.DOTALL), re.M)
    anchors = [re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-") for heading in headings]
    assert len(set(anchors)) == len(anchors)
    assert set(re.findall(r"\]\(#(.*?)\)", guide)) <= set(anchors)


@pytest.mark.parametrize("form", FORMS)
def test_schema_is_valid_2020_12(form: str) -> None:
    schema = schema_of(form)
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
        for form in FORMS
        for node in nodes(schema_of(form))
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
    for _, name, block in ALL_BLOCKS:
        assert block["additionalProperties"] is False, name
        assert block["description"], name
        for key, node in block["properties"].items():
            assert node.get("description"), f"{name}.{key}"


@pytest.mark.parametrize(("form", "file"), ALL_VALID, ids=named(ALL_VALID))
def test_validator_and_reader_accept(
    form: str, file: Path, validators: dict[str, Any], tmp_path: Path
) -> None:
    assert [error.message for error in validators[form].iter_errors(plain(file))] == []
    assert read(form, file, tmp_path) is not None
    assert len(first_line(file)) > 10


@pytest.mark.parametrize("file", BAD_RULES, ids=lambda f: f.stem)
def test_validator_accepts_what_breaks_a_rule(file: Path, validators: dict[str, Any]) -> None:
    assert [e.message for e in validators[SCHEMA_NAME].iter_errors(plain(file))] == []


@pytest.mark.parametrize(("form", "file"), ALL_INVALID, ids=named(ALL_INVALID))
def test_validator_and_reader_reject(
    form: str, file: Path, validators: dict[str, Any], tmp_path: Path
) -> None:
    assert len(first_line(file)) > 10
    assert list(validators[form].iter_errors(plain(file))) != []
    with pytest.raises(InputError) as caught:
        read(form, file, tmp_path)
    assert caught.value.line is not None
    assert caught.value.remedy


def read(form: str, file: Path, folder: Path) -> BaseModel | None:
    """Read a file with the reader of its form; sign-offs and sheets lie in folders of their own."""
    if form == SCHEMA_NAME:
        return read_procedure(file).procedure
    if form == RECORD_SCHEMA:
        return read_job_record(file)
    if form == SHOP_SCHEMA:
        (folder / SHOP_FILE).write_bytes(file.read_bytes())
        return open_shop(folder).sheet
    (folder / REVIEW_FILE).write_bytes(file.read_bytes())
    return read_review(folder)


@pytest.mark.parametrize("file", valid(), ids=lambda f: f.stem)
def test_valid_examples_break_no_rule(file: Path) -> None:
    procedure = read_procedure(file).procedure
    sign_offs = sign_offs_of(procedure) if procedure.state == "approved" else "unknown"
    verdict = check(procedure, facts_of(procedure), sign_offs)
    assert [f"{r.rule.id}: {r.problem} at {r.path}" for r in verdict.remarks] == []
    assert len(verdict.conceded) == len(procedure.concessions)
    assert verdict.checked is not None


def test_an_open_query_is_told() -> None:
    file = next(file for file in valid() if file.stem == "gib-adjustment")
    procedure = read_procedure(file).procedure
    verdict = check(procedure, facts_of(procedure), sign_offs_of(procedure))
    assert [remark.rule.id for remark in verdict.remarks] == ["review.queried"]


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
    assert shown == set(all_rules()) - NEED_A_FILM - NEED_A_SHELF - NEED_SIGN_OFFS


def test_there_are_enough_examples() -> None:
    assert len(valid()) >= 7
    assert len(invalid()) >= 40
    for form in FORMS:
        assert len(valid(form)) >= 2
        assert len(invalid(form)) >= 4


# --- what the valid examples show ---


def shown(node: BaseModel, value: Any) -> Iterator[tuple[type[BaseModel], dict[str, Any]]]:
    """Yield every block of a document with its plain keys."""
    yield type(node), value
    for name, field in type(node).model_fields.items():
        inner, there = getattr(node, name), value.get(field.alias or name)
        if isinstance(inner, BaseModel):
            yield from shown(inner, there)
        elif isinstance(inner, tuple):
            for entry, part in zip(inner, there if isinstance(there, list) else (), strict=False):
                if isinstance(entry, BaseModel):
                    yield from shown(entry, part)


def shown_in(form: str, files: list[Path]) -> Iterator[tuple[type[BaseModel], dict[str, Any]]]:
    for file in files:
        document, tree = read_model(read_bytes(file), file, FORMS[form], form)
        yield from shown(document, tree.value)


@pytest.mark.parametrize("form", FORMS)
def test_valid_examples_show_every_key(form: str) -> None:
    keys = {(model.__name__, key) for model, block in shown_in(form, valid(form)) for key in block}
    wanted = {(name, key) for name, block in blocks(form).items() for key in block["properties"]}
    assert keys == wanted


def test_one_example_shows_every_key_of_a_procedure() -> None:
    file = FOLDER / "examples" / "valid" / "everything-once.yaml"
    keys = {(m.__name__, key) for m, block in shown_in(SCHEMA_NAME, [file]) for key in block}
    known = blocks(SCHEMA_NAME).items()
    assert keys == {(name, key) for name, block in known for key in block["properties"]}


@pytest.mark.parametrize("form", FORMS)
def test_valid_examples_show_every_choice(form: str) -> None:
    told = {
        (model.__name__, key, value)
        for model, block in shown_in(form, valid(form))
        for key, value in block.items()
        if isinstance(value, str)
    }
    wanted = {
        (name, key, choice)
        for name, block in blocks(form).items()
        for key, node in block["properties"].items()
        if "unit" not in key and key not in {"quantity", "measures"}
        for choice in node.get("enum", ())
        if choice != node.get("default")
    }
    assert wanted - told == {entry for entry in NOT_SHOWN if entry in wanted}


# --- every constraint, broken once ---

LONG = "a" * 500
WRONG: dict[str, Any] = {
    "enum": lambda node: "none of these",
    "const": lambda node: "another",
    "pattern": lambda node: "\u202e \t",
    "maxLength": lambda node: "1" * 60 if node["maxLength"] < 60 else LONG,
    "minLength": lambda node: "",
    "minimum": lambda node: node["minimum"] - 1,
    "maximum": lambda node: node["maximum"] + 1,
    "minItems": lambda node: [],
    "maxItems": lambda node: ["0.5"] * (node["maxItems"] + 1),
    "type": lambda node: 1.5,
}


def breaches() -> Iterator[tuple[str, str, str, dict[str, Any]]]:
    """Each constraint of the schemas once: block, key, keyword and the broken block."""
    for form in FORMS:
        fullest: dict[str, dict[str, dict[str, Any]]] = {}
        for model, block in shown_in(form, valid(form)):
            for key in block:
                fullest.setdefault(model.__name__, {}).setdefault(key, block)
        for name, described in blocks(form).items():
            for key, node in described["properties"].items():
                good = fullest[name][key]
                yield name, key, "additionalProperties", {**good, "zz": "x"}
                if key in described.get("required", ()):
                    yield name, key, "required", {k: v for k, v in good.items() if k != key}
                for option in node.get("anyOf", [node]):
                    for keyword in WRONG.keys() & option.keys():
                        yield name, key, keyword, {**good, key: WRONG[keyword](option)}


def test_every_constraint_is_held_by_the_schema_and_by_the_reader() -> None:
    checkers = {
        name: jsonschema.Draft202012Validator({**block, "$defs": schema_of(form)["$defs"]})
        for form, name, block in ALL_BLOCKS
    }
    count = 0
    for name, key, keyword, broken in breaches():
        count += 1
        assert not checkers[name].is_valid(broken), f"{name}.{key}: {keyword}"
        with pytest.raises(ValidationError):
            TypeAdapter(MODELS[name]).validate_python(broken)
    assert count > 500


def test_a_value_of_another_type_is_rejected_for_every_key() -> None:
    """A number with a fraction has no place in any key."""
    for form in FORMS:
        shared = {"$defs": schema_of(form)["$defs"]}
        for name, block in blocks(form).items():
            for key, node in block["properties"].items():
                checker = jsonschema.Draft202012Validator(node | shared)
                for wrong in (1.5, None, {"zz": 1}, [None], []):
                    assert not checker.is_valid(wrong), f"{name}.{key} accepts {wrong!r}"
