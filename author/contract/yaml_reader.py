"""Reads YAML 1.2 core text into plain values, with the line and column of each.

Built from the event stream of libyaml, so depth, size and count are bounded before
anything is built. No tags, anchors, aliases or merge keys; a duplicate key is an error;
numbers with a fraction become ``Decimal`` and keep their digits.

Source of the scalar rules: YAML 1.2.2, section 10.3.2 (core schema, tag resolution).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

import yaml

from author.errors import FileErrors, InputError

MAX_BYTES = 32 * 1024 * 1024
MAX_DEPTH = 40
MAX_NODES = 2_000_000
MAX_FAULTS = 50

Path = tuple[str | int, ...]

_NULL = re.compile(r"^(null|Null|NULL|~|)$")
_TRUE = re.compile(r"^(true|True|TRUE)$")
_FALSE = re.compile(r"^(false|False|FALSE)$")
_INTEGER = re.compile(r"^[-+]?[0-9]{1,30}$")
_DECIMAL = re.compile(r"^[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)$")
_OTHER_NUMBER = re.compile(
    r"^([-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?|[-+]?[0-9]{31,}"
    r"|0o[0-7]+|0x[0-9a-fA-F]+|[-+]?(\.inf|\.Inf|\.INF)|(\.nan|\.NaN|\.NAN))$"
)
_COMMENT = re.compile(r"^[ \t]*#(.*)$")
_END_COMMENT = re.compile(r"(^|[ \t])#")
# Not printable by YAML 1.2.2, section 5.1; and the three line separators that YAML 1.1
# and 1.2 read differently.
_REFUSED = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]")
# What the parser says, and what a person can do about it.
_SYNTAX = {
    "did not find expected '-' indicator": (
        "this line does not line up with the list above it",
        "Indent it like its neighbours",
    ),
    "did not find expected key": (
        "this line does not line up with the keys above it",
        "Indent it like its neighbours; a quote inside a text has to be doubled",
    ),
    "mapping values are not allowed": (
        "a colon stands where no key can be",
        "Put a text that has a colon in it in quotes",
    ),
    "cannot start any token": (
        "a tab or a special sign begins a value here",
        "Indent with spaces, and put such a text in quotes",
    ),
    "unexpected end of stream": (
        "a quote is opened and never closed",
        "Close it on the line where the text ends",
    ),
}
_LOADER: type[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass
class YamlTree:
    """What a YAML text holds.

    Attributes:
        value: dictionaries, lists, str, int, bool, Decimal; never None inside.
        positions: line and column, from 1, of each value by its path.
        key_positions: the same for the key of each mapping entry.
        comments: whole-line comments by the path of the node they stand before; those
            after the last node have the empty path.
        dropped_comments: lines, from 1, of comments that share their line with a value.
    """

    value: Any = None
    positions: dict[Path, tuple[int, int]] = field(default_factory=dict)
    key_positions: dict[Path, tuple[int, int]] = field(default_factory=dict)
    comments: dict[Path, tuple[str, ...]] = field(default_factory=dict)
    dropped_comments: tuple[int, ...] = ()

    def place(self, path: Path) -> tuple[int, int]:
        """Return line and column of a path, or of the nearest thing that holds it."""
        for length in range(len(path), -1, -1):
            part = path[:length]
            found = self.key_positions.get(part) or self.positions.get(part)
            if found is not None:
                return found
        return (1, 1)


@dataclass
class _Frame:
    """A collection being filled."""

    value: dict[str, Any] | list[Any]
    path: Path
    key: str | None = None
    waiting_for_key: bool = True


class _Builder:
    """Fills a tree from parser events and collects faults on the way."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.tree = YamlTree()
        self.faults: list[InputError] = []
        self.stack: list[_Frame] = []
        self.nodes = 0
        self.documents = 0
        self.scalar_ends: dict[int, int] = {}
        self.inside_scalars: set[int] = set()

    def fault(self, mark: Any, problem: str, remedy: str) -> None:
        self.faults.append(
            InputError(
                problem, remedy=remedy, file=self.file, line=mark.line + 1, column=mark.column + 1
            )
        )
        if len(self.faults) >= MAX_FAULTS:
            raise FileErrors(self.faults)

    def stop(self, mark: Any, problem: str, remedy: str) -> None:
        self.fault(mark, problem, remedy)
        raise FileErrors(self.faults)

    def take(self, event: Any) -> None:
        mark = event.start_mark
        if isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self.stop(mark, "a second document begins here", "Keep one document in a file")
            if event.tags or (event.version and tuple(event.version) != (1, 2)):
                self.stop(mark, "a YAML directive is not allowed here", "Take the line out")
        elif isinstance(event, yaml.AliasEvent):
            self.stop(mark, f"an alias (*{event.anchor}) is not allowed", "Write the value out")
        elif isinstance(event, yaml.NodeEvent):
            self._node(event, mark)
        elif isinstance(event, yaml.CollectionEndEvent):
            self.stack.pop()

    def _node(self, event: Any, mark: Any) -> None:
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self.stop(mark, f"more than {MAX_NODES} values", "Split the file")
        if event.anchor is not None:
            self.stop(mark, f"an anchor (&{event.anchor}) is not allowed", "Write the value out")
        if event.tag is not None:
            self.stop(mark, f"a tag ({event.tag}) is not allowed", "Write the plain value")
        if isinstance(event, yaml.ScalarEvent):
            self._note_lines(event)
        frame = self.stack[-1] if self.stack else None
        if frame is not None and isinstance(frame.value, dict) and frame.waiting_for_key:
            self._key(frame, event, mark)
            return
        path = () if frame is None else self._path_in(frame)
        self.tree.positions[path] = (mark.line + 1, mark.column + 1)
        if isinstance(event, yaml.ScalarEvent):
            self._place(frame, self._scalar(event, mark))
            return
        if len(self.stack) >= MAX_DEPTH:
            self.stop(mark, f"nested deeper than {MAX_DEPTH}", "A procedure needs no such depth")
        value: dict[str, Any] | list[Any] = {} if isinstance(event, yaml.MappingStartEvent) else []
        self._place(frame, value)
        self.stack.append(_Frame(value, path))

    def _note_lines(self, event: Any) -> None:
        """Remember where a scalar lies, so that a # in it is no comment."""
        first, last, column = event.start_mark.line, event.end_mark.line, event.end_mark.column
        self.scalar_ends[last] = max(column, self.scalar_ends.get(last, 0))
        self.inside_scalars.update(range(first + 1, last))

    def _path_in(self, frame: _Frame) -> Path:
        key: str | int = len(frame.value) if isinstance(frame.value, list) else str(frame.key)
        return (*frame.path, key)

    def _key(self, frame: _Frame, event: Any, mark: Any) -> None:
        if not isinstance(event, yaml.ScalarEvent):
            self.stop(mark, "a key must be a word", "Write a plain key and a colon")
        if event.value == "<<" and not event.style:
            self.stop(mark, "a merge key (<<) is not allowed", "Write the entries out")
        key = event.value
        if key in frame.value:
            first = self.tree.key_positions[(*frame.path, key)][0]
            self.fault(
                mark,
                f"the key {key[:40]!r} stands here twice (first on line {first})",
                "Keep one of the two",
            )
        frame.key = key
        frame.waiting_for_key = False
        self.tree.key_positions[(*frame.path, key)] = (mark.line + 1, mark.column + 1)

    def _place(self, frame: _Frame | None, value: Any) -> None:
        if frame is None:
            self.tree.value = value
        elif isinstance(frame.value, list):
            frame.value.append(value)
        else:
            frame.value[str(frame.key)] = value
            frame.waiting_for_key = True

    def _scalar(self, event: Any, mark: Any) -> Any:
        text: str = event.value
        if event.style:  # quoted or a block; the C parser says "" for a plain one
            return text
        if _NULL.match(text):
            self.fault(mark, "a value is empty", "Give a value or take the key out")
            return None
        if _TRUE.match(text) or _FALSE.match(text):
            return bool(_TRUE.match(text))
        if _INTEGER.match(text):
            return int(text)
        if _DECIMAL.match(text) and len(text) <= 60:
            return Decimal(text)
        if _OTHER_NUMBER.match(text):
            self.fault(mark, f"{text[:30]!r} is no plain number", "Write plain digits, as 0.05")
            return None
        return text


def _decode(data: bytes, file: str) -> str:
    if len(data) > MAX_BYTES:
        raise InputError(
            f"the file is larger than {MAX_BYTES // 1024 // 1024} MB",
            remedy="This is no procedure, or it has to be split",
            file=file,
        )
    encoding = "utf-16" if data[:2] in {b"\xff\xfe", b"\xfe\xff"} else "utf-8-sig"
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise InputError(
            "the text is not UTF-8", remedy="Save it as UTF-8", file=file, line=line
        ) from None


def _refuse_characters(text: str, file: str) -> None:
    found = _REFUSED.search(text)
    if found is None:
        return
    before = re.split("\r\n|\r|\n", text[: found.start()])
    raise InputError(
        f"a control character (U+{ord(found[0]):04X}) stands in the text",
        remedy="Take it out",
        file=file,
        line=len(before),
        column=len(before[-1]) + 1,
    )


def _events(text: str, file: str) -> Iterator[Any]:
    try:
        yield from yaml.parse(text, Loader=_LOADER)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        said = getattr(error, "problem", None) or getattr(error, "context", None) or "unreadable"
        problem, remedy = next(
            (words for part, words in _SYNTAX.items() if part in said),
            (f"this is not valid YAML: {said}", "Look for a missing colon, quote or indent here"),
        )
        raise InputError(
            problem,
            remedy=remedy,
            file=file,
            line=mark.line + 1 if mark else None,
            column=mark.column + 1 if mark else None,
        ) from None


def parse_yaml(data: bytes, file: str) -> YamlTree:
    """Return the values of a YAML text with their places.

    Args:
        data: the file's bytes, UTF-8 or UTF-16 with a byte-order mark.
        file: its name, for errors.

    Raises:
        InputError: if it is not such text; ``FileErrors`` tells several faults at once.
    """
    text = _decode(data, file)
    _refuse_characters(text, file)
    builder = _Builder(file)
    try:
        for event in _events(text, file):
            builder.take(event)
    except RecursionError:
        raise InputError(
            "nested too deep", remedy="A procedure needs no such depth", file=file
        ) from None
    if builder.faults:
        raise FileErrors(builder.faults)
    if builder.documents == 0:
        raise InputError(
            "the file is empty", remedy="Make one with 'reelwright new'", file=file, line=1
        )
    _gather_comments(text, builder)
    return builder.tree


def _gather_comments(text: str, builder: _Builder) -> None:
    if "#" not in text:
        return
    tree = builder.tree
    starts = _first_nodes(tree)
    waiting: list[str] = []
    comments: dict[Path, tuple[str, ...]] = {}
    dropped: list[int] = []
    for number, source in enumerate(text.splitlines(), start=1):
        if number - 1 in builder.inside_scalars:
            continue
        end = builder.scalar_ends.get(number - 1, 0)
        match = _COMMENT.match(source) if end == 0 else None
        if match:
            waiting.append(match[1])
            continue
        if number in starts and waiting:
            comments[starts[number]] = tuple(waiting)
            waiting = []
        if _END_COMMENT.search(source[end:]):
            dropped.append(number)
    if waiting:
        comments[()] = tuple(waiting)
    tree.comments = comments
    tree.dropped_comments = tuple(dropped)


def _first_nodes(tree: YamlTree) -> dict[int, Path]:
    """Return the outermost node that begins on each line that any begins on."""
    starts: dict[int, Path] = {}
    # A value under a key begins with its key, an entry of a list where it stands.
    for path, (line, _) in {**tree.positions, **tree.key_positions}.items():
        known = starts.get(line)
        if path and (known is None or len(path) < len(known)):
            starts[line] = path
    return starts
