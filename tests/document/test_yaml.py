"""YAML in: core schema, every fault told with its place. YAML out: any reader agrees."""

import json
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from author.contract import yaml_comments, yaml_reader, yaml_text
from author.contract.yaml_reader import parse_yaml
from author.contract.yaml_writer import write_yaml
from author.errors import FileErrors, InputError


def read(text: str | bytes) -> Any:
    data = text if isinstance(text, bytes) else text.encode()
    return parse_yaml(data, "a.yaml").value


# YAML 1.2.2, section 10.3.2 (core schema): what a plain scalar is.
TEXT = ["yes", "no", "Yes", "NO", "on", "off", "y", "n", "1:30", "12:30:45", "2001-12-14", "0b101",
        "1_000", "0o8", "0xG", "+0x1F", "tRue", "nULL", "inf", "nan", "=", "1e", ".", "-x", "1.2.3",
        "a#b", "a:b", "nil", "none", "09:00", "+", "1,250"]  # fmt: skip
NUMBERS = [("012", "12"), ("0", "0"), ("-19", "-19"), ("+5", "5"), ("0.", "0"), ("-0.0", "-0.0"),
           (".5", "0.5"), ("4.50", "4.50"), ("+12.30", "12.30"), ("007.50", "7.50")]  # fmt: skip
REFUSED_NUMBERS = ["0o17", "0x1F", ".inf", "-.Inf", "+.INF", ".nan", ".NaN", "1e3", "-2E+05",
                   "12e03", "1.5e-3", "9" * 70, "1." + "0" * 70]  # fmt: skip
NULLS = ["~", "null", "Null", "NULL", ""]


@pytest.mark.parametrize("text", TEXT)
def test_plain_text(text: str) -> None:
    assert read(f"a: {text}") == {"a": text}


@pytest.mark.parametrize(("text", "shown"), NUMBERS)
def test_plain_numbers_keep_their_digits(text: str, shown: str) -> None:
    assert format(read(f"a: {text}")["a"], "d" if "." not in text else "f") == shown


@pytest.mark.parametrize(
    ("text", "value"),
    [("true", True), ("True", True), ("TRUE", True), ("false", False), ("FALSE", False)],
)
def test_truth_values(text: str, value: bool) -> None:
    assert read(f"a: {text}")["a"] is value


@pytest.mark.parametrize("text", ["true", "12", "4.50", "~", "null", "1e3", "<<", ".inf"])
def test_quoted_is_always_text(text: str) -> None:
    assert read(f"a: \"{text}\"\nb: '{text}'") == {"a": text, "b": text}
    assert read(f"a: |-\n  {text}\n") == {"a": text}


FAULTS = [
    # text, line, column, words
    *[(f"b: 1\na: {number}", 2, 4, "no plain number") for number in REFUSED_NUMBERS],
    *[(f"b: 1\na: {null}", 2, 3 if null == "" else 4, "empty") for null in NULLS],
    ("a: 1\nb: 2\na: 3", 3, 1, "twice (first on line 1)"),
    ('a: 1\n"a": 3', 2, 1, "twice"),
    ("a: &x 1\nb: *x", 1, 4, "anchor (&x)"),
    ("a: *x", 1, 4, "alias (*x)"),
    ("*x : 1", 1, 1, "alias"),
    ("a: !!str 1", 1, 4, "tag"),
    ("a: !x [1]", 1, 4, "tag"),
    ("a: ! 1", 1, 4, "tag"),
    ("a:\n  <<: {b: 1}", 2, 3, "merge key"),
    ("a: 1\n---\nb: 2", 2, 1, "second document"),
    ("a: 1\n...\n---\nb: 2", 3, 1, "second document"),
    ("%YAML 1.1\n---\na: yes", 1, 1, "directive"),
    ("%TAG !e! tag:example.com,2000:\n---\na: 1", 1, 1, "directive"),
    ("? [a]\n: 1", 1, 3, "key must be a word"),
    ("{a: 1}: 2", 1, 1, "key must be a word"),
    ("a:\n\t- 1", 2, 1, "a tab"),
    ("a: [1", 1, None, "cannot be read as YAML"),
    ("b: 1\na: 'x\n  y", 2, 4, "never closed"),
    ("a: 1\nb\nc: 2", 2, 1, "neither a key with a colon nor"),
    ("a: b: c", 1, 5, "a colon"),
    ("a: @x", 1, 4, "special sign"),
    ("a: \"\\q\"", 1, None, "cannot be read as YAML"),
    ("a: \"\\ud83d\\ude00\"", 1, None, "no whole character"),
    ("a: 1\n\t\nb: 2", 2, 1, "a tab stands"),
    ("%FOO bar\n---\na: 1", 1, None, "directive"),
    ("a: &", 1, None, "an anchor (&) or alias"),
    # libyaml reads these; YAML 1.2 does not, or reads them otherwise.
    ("a: {?x: 1}", 1, 6, "a question mark"),
    ("a: [?x]", 1, 6, "a question mark"),
    ("a: [-]", 1, 5, "a dash stands alone"),
    ("a: [b,\nc]", 2, 1, "further to the right"),
    ("a:\n  - b: [c,\n    d]", 3, 5, "further to the right"),
    ("a: [b,\n\tc]", 2, 1, "further to the right"),
    ("a: {b: [c,\n  d], e: 'f\ng'}", 3, 1, "further to the right"),
    ("ok: 1\na: 'b\n\n  c\nd'", 5, 1, "further to the right"),
    ("a: 'b'# c", 1, 7, "right behind a value"),
    ("a: [b,# c\n ]", 1, 7, "right behind a value"),
    ("a: |# c\n  x", 1, 5, "right behind a value"),
    ("ok: 1\nab: \x00", 2, 5, "U+0000"),
    ("ok: 1\r\nab: \x1b[31m", 2, 5, "U+001B"),
    ("a: \x7f", 1, 4, "U+007F"),
    ("a: b\x85c", 1, 5, "U+0085"),
    ("a: b\u2028c", 1, 5, "U+2028"),
    ("a: b # \u2029", 1, 8, "U+2029"),
    ("a: \ufffe", 1, 4, "U+FFFE"),
    ("a: " + "[" * 60, 1, None, "deeper than"),
    ("a: " + "[" * 100_000, 1, None, "deeper than"),
    ("a: " + "{x: " * 60, 1, None, "deeper than"),
    ("\n".join(f"{' ' * n}a:" for n in range(60)), 41, None, "deeper than"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line", "column", "words"), FAULTS)
def test_faults_name_line_and_column(text: str, line: int, column: int | None, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read(text)
    error = caught.value
    assert words in error.problem
    assert error.line is not None
    assert error.line >= line if column is None else error.line == line
    assert column is None or error.column == column
    assert error.file == "a.yaml"
    assert error.remedy
    assert "\n" not in str(error)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"# only a comment\n", "empty"),
        (b"\xef\xbb\xbf", "empty"),
        (b"a: 1\nb: \xff", "not UTF-8"),
        (b"a: \xed\xa0\x80", "not UTF-8"),
        (b"\xff\xfea", "not whole UTF-16"),
        ("a: 1\r\nb: \u0a0a".encode("utf-16") + b"\xd8", "not whole UTF-16"),
        (b"\xff\xfe\x00\x00a\x00\x00\x00", "is UTF-32"),
        ("a: 1".encode("utf-32-be"), "is UTF-32"),
        ("a: 1".encode("utf-16-le"), "UTF-16 without its byte-order mark"),
        ("a: 1".encode("utf-16-be"), "UTF-16 without its byte-order mark"),
        (b"\x00\x00", "U+0000"),
    ],
)
def test_bytes_that_are_no_text(data: bytes, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read(data)
    assert words in caught.value.problem
    assert caught.value.line is not None


def test_byte_order_marks_and_utf_16() -> None:
    assert read("\ufeffa: é") == {"a": "é"}
    assert read("a: é😀".encode("utf-16")) == {"a": "é😀"}
    assert read(b"\xfe\xff" + "a: 1".encode("utf-16-be")) == {"a": 1}


def test_line_ends_of_other_systems() -> None:
    tree = parse_yaml(b"a: 1\r\n# note\r\nb: 2\rc: 3\r\n", "a.yaml")
    assert tree.value == {"a": 1, "b": 2, "c": 3}
    assert tree.place(("b",)) == (3, 1)
    assert tree.place(("c",)) == (4, 1)
    assert tree.comments == {("b",): (" note",)}


def test_yaml_1_2_directive_is_allowed() -> None:
    assert read("%YAML 1.2\n---\na: yes\n...\n") == {"a": "yes"}


def test_several_faults_at_once() -> None:
    with pytest.raises(FileErrors) as caught:
        read("a: ~\nb: 1e3\nb: 2\nc: [1,\n~, ~]\n")
    assert [fault.line for fault in caught.value.faults] == [1, 2, 3, 5, 5, 5]
    assert str(caught.value).count("\n") == 5


def test_faults_are_not_told_without_end() -> None:
    with pytest.raises(FileErrors) as caught:
        read("".join(f"a{n}: ~\n" for n in range(1000)))
    assert len(caught.value.faults) == yaml_reader.MAX_FAULTS


@pytest.mark.parametrize(
    ("module", "limit", "text", "words"),
    [
        (yaml_reader, "MAX_NODES", "a: [" + "[1, 2], " * 50 + "1]", "more than 100 values"),
        (yaml_reader, "MAX_ENTRIES", "a: [" + "1, " * 200 + "1]", "more than 100 entries"),
        (yaml_reader, "MAX_KEYS", "".join(f"a{n}: 1\n" for n in range(101)), "more than 100 keys"),
        (yaml_comments, "MAX_COMMENTS", "a: 1\n" + "# b\n" * 101, "more than 100 comments"),
        (yaml_text, "MAX_BYTES", "a: " + "x" * 200, "larger than"),
    ],
)
def test_size_and_counts_are_bounded(
    module: Any, limit: str, text: str, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, limit, 100)
    with pytest.raises(InputError, match=words):
        read(text)
    monkeypatch.setattr(module, limit, 10_000)
    assert read(text)


def test_json_may_write_a_character_as_two_escapes() -> None:
    text = r'{"note": "fits \ud83d\ude00", "path": "c:\\ud83d\\ude00", "list": ["\uD834\uDD1E"]}'
    value = parse_yaml(text.encode(), "record.json").value
    assert value == json.loads(text)
    with pytest.raises(InputError, match="no whole character"):
        parse_yaml(rb'{"note": "half \ud83d"}', "record.json")


def test_places_of_values() -> None:
    tree = parse_yaml(b"a:\n  - b: 1\n    c: [x, yy]\n", "a.yaml")
    assert tree.place(("a", 0, "c", 1)) == (3, 12)
    assert tree.place(("a", 0, "c")) == (3, 5)
    assert tree.place(("a", 0, "zz", 3)) == (2, 5)
    assert tree.place(("a", 1)) == (1, 1)
    assert tree.place(("a", "b")) == (1, 1)
    assert tree.place(("nothing",)) == (1, 1)
    assert parse_yaml(b"# one\n  a", "a.yaml").place(("x",)) == (2, 3)
    assert parse_yaml("é😀: [x, y]".encode(), "a.yaml").place(("é😀", 1)) == (1, 9)


# --- comments -----------------------------------------------------------------------------

COMMENTED = """\
# first
# and more
a: 1
b:
  # before an entry
  - c: 2
    # before a key
    d: "# no comment"
  # before the second
  - e
point:
  # before a number
  - "0.1"
  - "0.2"
nested:
  - - x
    # deep
    - z
# the last word
"""


def test_comments_on_lines_of_their_own_are_kept() -> None:
    tree = parse_yaml(COMMENTED.encode(), "a.yaml")
    assert tree.dropped_comments == ()
    assert write_yaml(tree.value, tree.comments) == COMMENTED


NOT_COMMENTS = """\
a: |
  # text
  more
# one
b: "begins
  # goes on
  # ends"
c: 'it''s # x'
d: it's#x
e: |
  x
  # still text
f: "one # x
  two"
g: ['a # b', "c # d
  e"]
h: {i#j: k, "l # m": n}"""


def test_text_that_looks_like_a_comment_is_none() -> None:
    tree = parse_yaml(NOT_COMMENTS.encode(), "a.yaml")
    assert tree.comments == {("b",): (" one",)}
    assert tree.dropped_comments == ()


DROPPED = """\
a: 1 # one
b: "x # y" # two
c: # three
  - # four
    d: it's # five
  - [1, # six
     2]
e: "x
  y" # seven
f: | # eight
  # text
--- # never reached
""".replace("--- # never reached\n", "")


def test_comments_behind_a_value_are_told() -> None:
    tree = parse_yaml(DROPPED.encode(), "a.yaml")
    assert tree.comments == {}
    assert tree.dropped_comments == (1, 2, 3, 4, 5, 6, 9, 10)


# --- properties ---------------------------------------------------------------------------

# All text YAML may hold: no surrogates, which are no characters.
WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
TRICKY = st.sampled_from(
    ["yes", "No", "y", "on", "012", "1:30", "=", "<<", "none", "~", "null", "true", "- x", "a: b",
     "a:", "#x", "a #x", "x ", " x", "", "...", "---", "? x", "[x]", "{x}", "*x", "&x", "!x", "%x",
     "@x", "`x", "|", ">", "'", '"', "a\tb", "a\nb", "a\u2028b", "😀", "é", "1e3", "0x1F", "0o17",
     ".inf", "1_000", "2001-12-14", "a,b", "x\xa0", "\xa0x", "\ufeffx", "a\x85b", "x\ufffe",
     "b:\u2003c", "\\", "a\\nb",
     "0.5", "NaN", "inf", "É: x", "x" * 300, "𝟙", "²", "\x7f", "\x00", "ﬀ"]
)  # fmt: skip
SCALARS = st.one_of(WORDS, TRICKY, st.integers(-(10**30) + 1, 10**30 - 1), st.booleans())
KEYS = st.one_of(WORDS, TRICKY.filter(lambda t: len(t) < 200))


def _nested(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4)


PLAIN = st.dictionaries(KEYS, st.recursive(SCALARS, _nested, max_leaves=12), max_size=5)


@given(PLAIN)
@example({"a": [[["x", {"b": ["0.1", "0.2"]}], []], {}]})
def test_what_is_written_is_read_again(value: dict[str, Any]) -> None:
    text = write_yaml(value)
    assert read(text) == value if value else text == "\n"
    if value:
        assert write_yaml(read(text)) == text


@given(PLAIN.filter(bool))
def test_a_yaml_1_1_reader_reads_the_same(value: dict[str, Any]) -> None:
    theirs = yaml.safe_load(write_yaml(value))
    assert theirs == value
    assert json.dumps(theirs) == json.dumps(value)  # 1 is not true


def test_a_value_without_a_place_is_refused() -> None:
    for value in (1.5, None, b"x"):
        with pytest.raises(TypeError, match="no place"):
            write_yaml({"a": value})


def survives(data: bytes) -> None:
    try:
        tree = parse_yaml(data, "a.yaml")
    except InputError as error:
        assert str(error)
        return
    assert tree.place(("a", 1, "b"))


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    survives(data)


@given(st.text(st.sampled_from("ab: -\n\t#'\"[]{},|>&*!%?@`~0.1e<\r\ufeff\\xu"), max_size=80))
@settings(max_examples=500)
def test_anything_like_yaml_is_read_or_refused(text: str) -> None:
    survives(text.encode())


EXAMPLE = Path(__file__).parents[2] / "schema" / "examples" / "valid" / "coolant-pump-seal.yaml"
EDITS = st.lists(
    st.tuples(st.integers(0, 6000), st.integers(0, 30), st.binary(max_size=6)),
    min_size=1,
    max_size=4,
)


@given(EDITS)
def test_a_damaged_file_is_read_or_refused(edits: list[tuple[int, int, bytes]]) -> None:
    data = EXAMPLE.read_bytes()
    for at, length, new in edits:
        data = data[:at] + new + data[at + length :]
    survives(data)
