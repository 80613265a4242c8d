"""Canonical JSON of a procedure: the scheme's bytes, the schema's shape, the same document."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from author.checks.limits import si_values
from author.contract import parse_procedure, read_procedure
from author.contract.canonical_json import canonical
from author.contract.procedure_file import as_plain
from author.errors import InputError
from author.procedure.document import Procedure
from author.publish.canonical_json import canonical_json
from author.publish.published_yaml import with_si_values
from publish import sample

ROOT = Path(__file__).resolve().parents[2]
PROCEDURES = [
    ROOT / "sample_media/upper-wheel-bearings/procedure.yaml",
    *sorted((ROOT / "schema/examples/valid").glob("*.yaml")),
]
SCHEMA = json.loads((ROOT / "schema/procedure.v1.schema.json").read_text(encoding="utf-8"))
FILE = Path("procedure.json")


@pytest.mark.parametrize("file", PROCEDURES, ids=lambda file: file.stem)
def test_every_procedure_we_have(file: Path) -> None:
    procedure = read_procedure(file).procedure
    data = canonical_json(procedure)
    plain = json.loads(data)
    jsonschema.Draft202012Validator(SCHEMA).validate(plain)
    assert data == rfc8785.dumps(plain)  # oracle: the scheme, by another hand
    back = parse_procedure(data, FILE).procedure
    assert back == with_si_values(procedure)
    assert canonical_json(back) == data
    assert _without_si(plain) == _without_si(as_plain(procedure))


def _without_si(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_si(inner) for key, inner in value.items() if key != "si"}
    return [_without_si(inner) for inner in value] if isinstance(value, list) else value


def test_si_values_stand_beside_every_spec() -> None:
    plain = json.loads(canonical_json(sample.checked().procedure))
    procedure = sample.checked().procedure
    specs = [spec for _, _, spec in procedure.placed_specs()]
    told = [
        spec
        for section in plain["sections"]
        for step in section["steps"]
        for spec in (*step.get("specs", ()), *step.get("torques", ()))
    ]
    assert specs
    assert [spec["si"] for spec in told] == [as_plain(si_values(spec)) for spec in specs]
    bore = next(spec for spec in told if spec["unit"] == "mm" and "lower" in spec)
    assert Decimal(bore["si"]["lower"]) == Decimal(bore["lower"]) / 1000  # SI Brochure: milli


def test_keys_escapes_and_numbers_by_the_scheme() -> None:
    # RFC 8785, section 3.2.3: keys by UTF-16 code units; from its own example.
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    expected = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
    assert list(json.loads(canonical(dict.fromkeys(keys, True)))) == expected
    # Section 3.2.2.2: two-letter escapes where there are some, else \u00xx in small letters.
    assert canonical('\x08\t\n\x0c\r"\\/\x0f\x7fé\u2028') == (
        '"\\b\\t\\n\\f\\r\\"\\\\/\\u000f\x7fé\u2028"'.encode()
    )
    assert canonical({"b": [1, -2, 0], "a": False}) == b'{"a":false,"b":[1,-2,0]}'


def no_character(sign: str) -> bool:
    """Whether a code point is a noncharacter (Unicode, section 23.7, from memory)."""
    return ord(sign) & 0xFFFE == 0xFFFE or 0xFDD0 <= ord(sign) <= 0xFDEF


safe_text = st.text(st.characters(codec="utf-8"))
values = st.recursive(
    st.one_of(st.booleans(), st.integers(-(2**53) + 1, 2**53 - 1), safe_text),
    lambda inner: st.one_of(st.lists(inner), st.dictionaries(safe_text, inner)),
    max_leaves=12,
)


@settings(deadline=None)
@given(values)
def test_any_value_is_written_as_by_another_hand(value: Any) -> None:
    try:
        data = canonical(value)
    except InputError:
        # RFC 7493, section 2.1: no noncharacters. The other library lets them pass.
        assert any(map(no_character, _texts(value)))
        return
    assert data == rfc8785.dumps(value)
    assert json.loads(data) == value


def _texts(value: Any) -> str:
    if isinstance(value, dict):
        return "".join(key + _texts(inner) for key, inner in value.items())
    return "".join(map(_texts, value)) if isinstance(value, list) else str(value)


@pytest.mark.parametrize("value", [1.5, None, 2**53, -(2**53), Decimal(1), {"a": {1}}])
def test_what_has_no_place_is_refused(value: Any) -> None:
    with pytest.raises(TypeError):
        canonical(value)


@pytest.mark.parametrize("sign", ["\ufffe", "\uffff", "\ufdd0", "\ufdef", "\U0010ffff"])
def test_what_is_no_character_is_refused(sign: str) -> None:
    procedure = Procedure.model_validate(sample.document(title=f"Wheel{sign}"))
    with pytest.raises(InputError, match=f"U\\+{ord(sign):04X}"):
        canonical_json(procedure)


# Every character a line may have; those that are no characters are refused, see above.
lines = (
    st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cf", "Zl", "Zp"]), min_size=1)
    .map(str.strip)
    .filter(lambda line: line and not any(map(no_character, line)))
)


@settings(deadline=None)
@given(lines, lines)
def test_any_words_come_back_the_same(title: str, note: str) -> None:
    procedure = Procedure.model_validate(sample.document(title=title, note=note))
    data = canonical_json(procedure)
    assert parse_procedure(data, FILE).procedure == with_si_values(procedure)
    assert data == rfc8785.dumps(json.loads(data))
