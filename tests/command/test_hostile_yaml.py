"""Files made to do harm: each is read rightly or refused by line, in little memory and time.

Memory is the largest resident size the command ever had, as the system counts it. An idle
``check`` needs about 70 MB; a file may be 32 MB and is held as bytes and as text.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from author.errors import one_line
from author.resources import schema_folder

from .conftest import COMMAND
from .warm_command import WarmCommand

EXAMPLE = (schema_folder() / "examples" / "valid" / "everything-once.yaml").read_text("utf-8")
HEAD = "schema: procedure/1\n"
SMALL, LARGE = 150, 300  # MB
# Starts a command and tells its peak: a process started from a large one inherits its figure,
# so that the tests' own process cannot measure.
MEASURE = """
import resource, subprocess, sys
done = subprocess.run(sys.argv[1:], check=False)
peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
unit = 1024 * 1024 if sys.platform == "darwin" else 1024
print(peak // unit, file=sys.stderr)
sys.exit(done.returncode)
"""


@dataclass(frozen=True)
class Checked:
    """What ``check`` made of a file: exit code, lines of output and error, peak in MB."""

    code: int
    out: list[str]
    err: list[str]
    peak: int


LOADED: list[WarmCommand] = []


@pytest.fixture(scope="module", autouse=True)
def loaded() -> Iterator[None]:
    """A process that has loaded what a check loads, no more: its memory is that of an idle one."""
    with WarmCommand(["cli.checking", "contract", "checks"]) as command:
        LOADED.append(command)
        yield
    LOADED.clear()


def checked(file: Path) -> Checked:
    """Run ``check`` in a process of its own."""
    done = LOADED[-1].run(["check", file.name], file.parent, file.parent, most=120)
    assert "Traceback" not in done.err
    return Checked(done.code, done.out.splitlines(), done.err.splitlines(), done.peak)


def started(file: Path) -> Checked:
    """Start ``check`` anew."""
    call = [sys.executable, "-c", MEASURE, COMMAND, "check", file.name]
    done = subprocess.run(
        call, cwd=file.parent, check=False, capture_output=True, text=True, timeout=120
    )
    *err, peak = done.stderr.splitlines()
    assert "Traceback" not in done.stderr
    return Checked(done.returncode, done.stdout.splitlines(), err, int(peak))


def refused(folder: Path, data: str | bytes, peak: int = SMALL) -> list[str]:
    """Return the lines that refuse a file: few and short, each with a place and a remedy."""
    file = folder / "bad.yaml"
    file.write_bytes(data if isinstance(data, bytes) else data.encode())
    done = checked(file)
    assert done.code == 2
    assert done.out == []
    assert 1 <= len(done.err) <= 50
    for line in done.err:
        assert re.match(r"reelwright: bad\.yaml(:\d+(:\d+)?)?: \S.*\. \S.*[.?]$", line), line
        assert len(line) < 1_000
        assert one_line(line) == line
    assert done.peak <= peak
    return done.err


def deep_block(depth: int) -> str:
    return "\n".join(" " * level + "a:" for level in range(depth))


BOMB = 'a: &a ["x", "x"]\n' + "".join(
    f"{new}: &{new} [*{old}, *{old}]\n"
    for old, new in zip("abcdefghijk", "bcdefghijkl", strict=True)
)
# What is refused, and where: text, line, words. Peak: see SMALL.
SMALL_FILES = {
    "alias bomb": (BOMB, 1, "an anchor (&a) is not allowed"),
    "recursive anchor": ("&a [*a]\n", 1, "an anchor"),
    "recursive anchor below": (HEAD + "id: &x\n  b: *x\n", 2, "an anchor"),
    "deep flow": ("a: " + "[" * 100_000, 1, "nested deeper than 40"),
    "deep flow, closed": ("a: " + "[" * 100_000 + "]" * 100_000, 1, "nested deeper than 40"),
    "deep flow mappings": ("a: " + "{x: " * 100_000, 1, "nested deeper than 40"),
    "deep block": (deep_block(2_000), 41, "nested deeper than 40"),
    "deep block on one line": ("- " * 100_000 + "x\n", 1, "nested deeper than 40"),
    "deep keys": ("? " * 100_000 + "x\n", 1, "a key must be a word"),
    "key without an end": (HEAD + "k" * 1_000_000 + ": 1\n", 2, "neither a key"),
    "colons": ("a:" * 500_000, 1, "a colon stands"),
    "duplicate keys": (HEAD + "id: x\n" * 5_000, 3, "'id' stands here twice (first on line 2)"),
    "keys": (HEAD + "".join(f"k{n}: 1\n" for n in range(50_000)), 1_001, "more than 1000 keys"),
    "a tag that runs code": ("a: !!python/object/apply:os.system [id]", 1, "a tag"),
    "UTF-16 without a mark": ("a: 1".encode("utf-16-le"), 1, "UTF-16 without its byte-order"),
    "UTF-32": ("a: 1".encode("utf-32"), 1, "UTF-32"),
    "cut UTF-16": ("a: 1\nb: c".encode("utf-16")[:-1], 2, "not whole UTF-16"),
    "Latin-1": ("ok: 1\na: é".encode("latin-1"), 2, "not UTF-8"),
    "a zero": ("ok: 1\na: \x00", 2, "U+0000"),
    "an escape": ("ok: 1\r\na: \x1b[31m", 2, "U+001B"),
    "half a character": ('a: "\\ud800"', 1, "no whole character"),
}


@pytest.mark.parametrize("name", SMALL_FILES)
def test_refused_by_line(tmp_path: Path, name: str) -> None:
    data, line, words = SMALL_FILES[name]
    first = refused(tmp_path, data)[0]
    assert first.startswith(f"reelwright: bad.yaml:{line}:") or "UTF" in first
    assert words in first


def test_a_file_that_is_too_large(tmp_path: Path) -> None:
    assert "larger than 32 MB" in refused(tmp_path, "a: " + "x" * 50_000_000)[0]


MILLIONS = 30_000_000
LARGE_FILES = {
    "a list of two million": (HEAD + "sources: [" + "1," * 2_000_000 + "1]", 2, "entries in one"),
    "a block list of two million": (HEAD + "parts:\n" + "- x\n" * 2_000_000, 100_003, "entries"),
    "a million small lists": (
        "sections:\n" + "- [[a, b, c, d], [a, b, c, d], [a, b, c, d]]\n" * 99_999,
        None,
        "does not say its schema",
    ),
    "a long text": (HEAD + "id: " + "x" * MILLIONS, None, "'id' is 'xxx"),
    "a long quoted text": (HEAD + 'id: "' + "x" * MILLIONS + '"', None, "'id' is 'xxx"),
    "a text of many lines": (HEAD + 'id: "' + "x\n " * (MILLIONS // 3) + '"', None, "'id' is 'x"),
    "a block of many lines": (HEAD + "id: |\n" + " x\n" * (MILLIONS // 3), None, "'id' is 'x"),
    "a long key": (HEAD + "? " + "k" * 1_000_000 + "\n: 1", None, "unknown key 'kkk"),
    "empty lines": (HEAD + "\n" * MILLIONS, None, "'id' is missing"),
    "comments": (HEAD + "#x\n" * (MILLIONS // 3), 100_002, "more than 100000 comments"),
    "zeros": (b"\0" * MILLIONS, 1, "U+0000"),
    "no text at all": (b"\xff" * MILLIONS, 1, "not UTF-8"),
    "blocks with nothing in them": (HEAD + "parts:\n" + "- {}\n" * 99_999, None, "is missing"),
    "many blocks with nothing in them": (
        HEAD + "sections:\n" + f"- {{id: a, title: t, steps: [{'{}, ' * 40}]}}\n" * 25_000,
        None,
        "is missing",
    ),
    "lists in place of blocks": (HEAD + "tools:\n" + "- [a, b]\n" * 99_999, None, "block of keys"),
}


@pytest.mark.parametrize("name", LARGE_FILES)
def test_refused_in_little_memory(tmp_path: Path, name: str) -> None:
    data, line, words = LARGE_FILES[name]
    lines = refused(tmp_path, data, LARGE)
    assert any(words in told for told in lines), lines
    assert line is None or lines[0].startswith(f"reelwright: bad.yaml:{line}:")


def test_one_long_line_is_read(tmp_path: Path) -> None:
    """YAML is a superset of JSON: a whole procedure may stand on one line."""
    import yaml

    plain = yaml.safe_load(EXAMPLE)
    plain["sources"] += [
        {"id": f"sheet-{n}", "kind": "demo", "title": "T" * 300} for n in range(20_000)
    ]
    file = tmp_path / "procedure.yaml"
    file.write_text(json.dumps(plain, ensure_ascii=False), encoding="utf-8")
    done = checked(file)
    assert file.stat().st_size > 6_000_000
    assert done.code in {0, 1}
    assert done.err == []
    assert done.peak <= LARGE


def changed(keys: Iterable[str], value: str) -> tuple[str, list[int]]:
    """Return the example with another value for the first of each key, and their lines."""
    text, lines = EXAMPLE, []
    for key in keys:
        found = re.search(rf"^( *(?:- )?){key}: .*$", text, re.MULTILINE)
        assert found is not None, key
        text = f"{text[: found.start()]}{found[1]}{key}: {value}{text[found.end() :]}"
        lines.append(text.count("\n", 0, found.start()) + 1)
    return text, sorted(lines)


def lines_told(told: list[str]) -> list[int]:
    return sorted({int(one.split(":")[2]) for one in told})


NUMBERS = ("revision", "resolution", "quantity", "lower")
NO_NUMBERS = [".nan", ".NaN", ".inf", "-.inf", "+.Inf", "1e999", "-1e999", "1e3", "0x10", "0o17",
              "9" * 100_000, "1." + "9" * 100_000, "-" + "9" * 100_000]  # fmt: skip


@pytest.mark.parametrize("value", NO_NUMBERS, ids=lambda value: value[:6])
def test_what_is_no_number(tmp_path: Path, value: str) -> None:
    text, lines = changed(NUMBERS, value)
    told = refused(tmp_path, text)
    assert lines_told(told) == lines
    assert all("is no plain number" in one for one in told)


@pytest.mark.parametrize("value", ["NaN", "inf", "-Infinity", "1e999", "9" * 100_000])
def test_what_is_no_number_in_quotes(tmp_path: Path, value: str) -> None:
    text, lines = changed(NUMBERS, f'"{value}"')
    assert lines_told(refused(tmp_path, text)) == lines


# What moves the direction of writing, hides, or speaks to a terminal.
HIDDEN = ["\\e[31m", "\\b", "\\0", "\\r", "\\n", "\\x7f", "\\x9b", "\\N", "\\L", "\\P", "\u061c",
          "\u200b", "\u200e", "\u200f", "\u202a", "\u202b", "\u202c", "\u202d", "\u202e", "\u2060",
          "\u2066", "\u2067", "\u2068", "\u2069", "\ufeff"]  # fmt: skip


NAMES = ("id", "title", "number", "name", "role", "file", "alt", "text", "action")


@pytest.mark.parametrize("hidden", HIDDEN, ids=ascii)
def test_hidden_characters_in_names(tmp_path: Path, hidden: str) -> None:
    text, lines = changed(NAMES, f'"ab{hidden}c"')
    assert set(lines) <= set(lines_told(refused(tmp_path, text)))


@pytest.mark.parametrize("hidden", ["\\e[31m", "\u202e", "\u200f", "\\0"], ids=ascii)
def test_hidden_characters_in_keys(tmp_path: Path, hidden: str) -> None:
    (told,) = refused(tmp_path, EXAMPLE + f'"no{hidden}te": x\n')
    assert "unknown key" in told
    (told,) = refused(tmp_path, EXAMPLE + f'"a{hidden}": x\n' * 2)
    assert "twice" in told


def test_a_wrong_key_deep_inside_is_told_with_its_place(tmp_path: Path) -> None:
    text, lines = changed(["at"], '["0.5", {x: {y: {z: [1, 2, {w: 3}]}}}]')
    assert lines_told(refused(tmp_path, text)) == lines


LINES = EXAMPLE.splitlines()
SAME = {
    "line ends of Windows": EXAMPLE.replace("\n", "\r\n").encode(),
    "line ends of old Macs": EXAMPLE.replace("\n", "\r").encode(),
    "mixed line ends": "".join(
        line + ("\n", "\r\n", "\r")[n % 3] for n, line in enumerate(LINES)
    ).encode(),
    "a byte-order mark": b"\xef\xbb\xbf" + EXAMPLE.encode(),
    "UTF-16, little end first": b"\xff\xfe" + EXAMPLE.encode("utf-16-le"),
    "UTF-16, big end first": b"\xfe\xff" + EXAMPLE.encode("utf-16-be"),
    "no last line end": EXAMPLE.rstrip("\n").encode(),
}


@pytest.fixture(scope="module")
def plain_run(tmp_path_factory: pytest.TempPathFactory) -> Checked:
    file = tmp_path_factory.mktemp("plain") / "same.yaml"
    file.write_text(EXAMPLE, encoding="utf-8")
    return started(file)


@pytest.mark.parametrize("name", SAME)
def test_other_ways_to_write_the_same(tmp_path: Path, name: str, plain_run: Checked) -> None:
    file = tmp_path / "same.yaml"
    file.write_bytes(SAME[name])
    done = checked(file)
    assert (done.code, done.out, done.err) == (plain_run.code, plain_run.out, plain_run.err)
    assert plain_run.code in {0, 1}
    assert plain_run.peak <= SMALL
    assert done.peak <= SMALL


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="only Unix has endless files")
def test_a_file_that_never_ends(tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").symlink_to("/dev/zero")
    done = checked(tmp_path / "bad.yaml")
    assert done.code == 2
    assert "larger than" in done.err[0]
    assert done.peak <= SMALL
