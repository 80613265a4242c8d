"""Reads YAML 1.2 core text into plain values, with the line and column of each.

Built from the event stream of libyaml, so depth, size and count are bounded before
anything is built. No tags, anchors, aliases or merge keys; a duplicate key is an error;
numbers with a fraction become ``Decimal`` and keep their digits. Where libyaml is laxer
than YAML 1.2 in a way that could be read in two ways, the text is refused.

Source of the scalar rules: YAML 1.2.2, section 10.3.2 (core schema, tag resolution).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from typing import Any, NoReturn

import yaml

from author.contract.yaml_comments import find_comments
from author.contract.yaml_places import Path, Places, packed
from author.contract.yaml_text import MAX_BYTES, decoded
from author.errors import FileErrors, InputError

__all__ = ["MAX_BYTES", "MAX_FAULTS", "Path", "YamlTree", "parse_yaml"]

MAX_DEPTH = 40
MAX_NODES = 2_000_000
MAX_KEYS = 1_000
MAX_ENTRIES = 100_000
MAX_FAULTS = 50

_NULL = re.compile(r"^(null|Null|NULL|~|)$")
_TRUE = re.compile(r"^(true|True|TRUE)$")
_FALSE = re.compile(r"^(false|False|FALSE)$")
_INTEGER = re.compile(r"^[-+]?[0-9]{1,30}$")
_DECIMAL = re.compile(r"^[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)$")
_OTHER_NUMBER = re.compile(
    r"^([-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?|[-+]?[0-9]{31,}"
    r"|0o[0-7]+|0x[0-9a-fA-F]+|[-+]?(\.inf|\.Inf|\.INF)|(\.nan|\.NaN|\.NAN))$"
)
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
    "could not find expected ':'": (
        "this is neither a key with a colon nor part of the text above it",
        "Write a colon and a space behind the key, or indent the text that goes on",
    ),
    "cannot start any token": (
        "a tab or a special sign begins a value here",
        "Indent with spaces, and put such a text in quotes",
    ),
    "found a tab character": (
        "a tab stands where only spaces can",
        "Put spaces in its place",
    ),
    "unexpected end of stream": (
        "a quote is opened here and never closed",
        "Close it on the line where the text ends",
    ),
    "Unicode character escape": (
        "an escape here stands for no whole character",
        "Write the character itself",
    ),
    "nesting depth": (
        f"nested deeper than {MAX_DEPTH}",
        "A procedure needs no such depth",
    ),
    "alphabetic or numeric character": (
        "an anchor (&) or alias (*) is not allowed",
        "Write the value out, or put a text that begins so in quotes",
    ),
    "directive": ("a YAML directive is not allowed here", "Take the line out"),
    "incompatible YAML document": ("a YAML directive is not allowed here", "Take the line out"),
}
_LOADER: type[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_QUOTES = {"'", '"'}


@dataclass
class YamlTree:
    """What a YAML text holds.

    Attributes:
        value: dictionaries, lists, str, int, bool, Decimal; never None inside.
        places: where each key and each entry of a list stands.
        start: line and column, from 1, of the whole.
        comments: whole-line comments by the path of the node they stand before; those
            after the last node have the empty path.
        dropped_comments: lines, from 1, of comments that share their line with a value.
    """

    value: Any = None
    places: Places | None = None
    start: tuple[int, int] = (1, 1)
    comments: dict[Path, tuple[str, ...]] = field(default_factory=dict)
    dropped_comments: tuple[int, ...] = ()

    def place(self, path: Path) -> tuple[int, int]:
        """Return line and column of a path, or of the nearest thing that holds it."""
        found = None if self.places is None else self.places.place(path)
        return found or self.start


class _Frame:
    """A collection being filled."""

    __slots__ = ("at", "flow", "indent", "key", "name", "places", "value")

    def __init__(self, event: Any, outer: _Frame | None) -> None:
        mapping = type(event) is yaml.MappingStartEvent
        self.value: dict[str, Any] | list[Any] = {} if mapping else []
        self.places = Places(mapping=mapping)
        self.key: str | None = None  # of a mapping, while its value is awaited
        self.name: str | int = ""  # what the outer collection knows it by
        if outer is not None:
            self.name = len(outer.value) if outer.key is None else outer.key
        self.flow = bool(event.flow_style)
        self.at = event.start_mark
        # Column of the block collection that holds the line; -1 if none does.
        self.indent: int = event.start_mark.column
        if self.flow:
            self.indent = -1 if outer is None else outer.indent


class _Builder:
    """Fills a tree from parser events and collects faults on the way."""

    def __init__(self, text: str, file: str) -> None:
        self.text = text
        self.file = file
        self.tree = YamlTree()
        self.faults: list[InputError] = []
        self.stack: list[_Frame] = []
        self.frame: _Frame | None = None
        self.nodes = 0
        self.documents = 0
        self.spans: list[tuple[int, int]] = []
        self.takers = {
            yaml.ScalarEvent: self._scalar,
            yaml.MappingStartEvent: self._open,
            yaml.SequenceStartEvent: self._open,
            yaml.MappingEndEvent: self._close,
            yaml.SequenceEndEvent: self._close,
            yaml.AliasEvent: self._node,
            yaml.DocumentStartEvent: self._document,
        }

    def fault(self, line: int, column: int, problem: str, remedy: str) -> None:
        """Note a fault at a place counted from 0; raises if there are enough."""
        self.faults.append(
            InputError(problem, remedy=remedy, file=self.file, line=line + 1, column=column + 1)
        )
        if len(self.faults) >= MAX_FAULTS:
            self.tell()

    def stop(self, mark: Any, problem: str, remedy: str) -> NoReturn:
        self.fault(mark.line, mark.column, problem, remedy)
        self.tell()

    def tell(self) -> NoReturn:
        """Raise the faults; one of a collection in brackets is noted when it is closed."""
        raise FileErrors(sorted(self.faults, key=lambda fault: (fault.line, fault.column)))

    def take(self, event: Any) -> None:
        taker = self.takers.get(type(event))
        if taker is not None:
            taker(event)

    def _document(self, event: Any) -> None:
        self.documents += 1
        if self.documents > 1:
            self.stop(
                event.start_mark, "a second document begins here", "Keep one document in a file"
            )
        if event.tags or (event.version and tuple(event.version) != (1, 2)):
            self.stop(event.start_mark, *_SYNTAX["directive"])

    def _node(self, event: Any) -> None:
        """Count a node and refuse what no file of ours has."""
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self.stop(event.start_mark, f"more than {MAX_NODES} values", "Split the file")
        if event.anchor is not None:
            sign = "an alias (*" if type(event) is yaml.AliasEvent else "an anchor (&"
            said = f"{sign}{event.anchor[:40]}) is not allowed"
            self.stop(event.start_mark, said, "Write the value out")
        if type(event) is not yaml.AliasEvent and event.tag is not None:
            said = f"a tag ({event.tag[:60]}) is not allowed"
            self.stop(event.start_mark, said, "Write the plain value")

    def _open(self, event: Any) -> None:
        self._node(event)
        outer, mark = self.frame, event.start_mark
        if outer is not None and outer.key is None and isinstance(outer.value, dict):
            self.stop(mark, "a key must be a word", "Write a plain key and a colon")
        if len(self.stack) >= MAX_DEPTH:
            self.stop(mark, f"nested deeper than {MAX_DEPTH}", "A procedure needs no such depth")
        frame = _Frame(event, outer)
        if outer is None:
            self.tree.places = frame.places
        self._place(frame.value, mark)
        self.stack.append(frame)
        self.frame = frame

    def _close(self, event: Any) -> None:
        frame = self.stack.pop()
        outer = self.frame = self.stack[-1] if self.stack else None
        if outer is not None and frame.value:
            outer.places.put(frame.name, frame.places)
        if frame.flow and (outer is None or not outer.flow):
            self._check_indent(frame.at, event.end_mark, frame.indent)

    def _scalar(self, event: Any) -> None:
        self._node(event)
        mark, style, text = event.start_mark, event.style, event.value
        frame = self.frame
        if style in _QUOTES and frame is not None and not frame.flow:
            self._check_indent(mark, event.end_mark, frame.indent)
        if "#" in text:
            block = style and style not in _QUOTES
            # Behind the sign that begins a text block a comment may stand.
            begin = self.text.find("\n", mark.index) if block else mark.index
            self.spans.append((begin, event.end_mark.index))
        if frame is not None and frame.key is None and isinstance(frame.value, dict):
            self._key(frame, text, mark, plain=not style)
        else:  # the C parser says "" for the style of a plain scalar
            self._place(text if style else self._plain(text, mark), mark)

    def _key(self, frame: _Frame, key: str, mark: Any, *, plain: bool) -> None:
        if plain and key == "<<":
            self.stop(mark, "a merge key (<<) is not allowed", "Write the entries out")
        if frame.flow and self.text[mark.index - 1] == "?":
            # libyaml takes the sign away, YAML 1.2 has it in the text.
            self.stop(mark, "a question mark stands before this text", "Put the text in quotes")
        marks = frame.places.marks
        if len(marks) >= MAX_KEYS:
            self.stop(mark, f"more than {MAX_KEYS} keys in one block", "Take some out")
        if key in frame.value:
            line, _ = frame.places.place((key,)) or (1, 1)
            said = f"the key {key[:40]!r} stands here twice (first on line {line})"
            self.fault(mark.line, mark.column, said, "Keep one of the two")
        frame.key = key
        marks[key] = packed(mark.line, mark.column)  # type: ignore[call-overload]

    def _place(self, value: Any, mark: Any) -> None:
        frame = self.frame
        if frame is None:
            self.tree.value = value
            self.tree.start = (mark.line + 1, mark.column + 1)
        elif frame.key is None:
            frame.value.append(value)  # type: ignore[union-attr]
            frame.places.marks.append(packed(mark.line, mark.column))  # type: ignore[union-attr]
            if len(frame.value) > MAX_ENTRIES:
                self.stop(mark, f"more than {MAX_ENTRIES} entries in one list", "Split the file")
        else:
            frame.value[frame.key] = value  # type: ignore[call-overload]
            frame.key = None

    def _plain(self, text: str, mark: Any) -> Any:
        if _NULL.match(text):
            self.fault(
                mark.line,
                mark.column,
                "a value is empty",
                "Give a value, write none for a list, or take the key out",
            )
            return None
        if _TRUE.match(text) or _FALSE.match(text):
            return bool(_TRUE.match(text))
        if _INTEGER.match(text):
            return int(text)
        if _DECIMAL.match(text) and len(text) <= 60:
            return Decimal(text)
        if _OTHER_NUMBER.match(text):
            said = f"{text[:30]!r} is no plain number"
            self.fault(mark.line, mark.column, said, "Write plain digits, as 0.05")
            return None
        if text == "-":
            self.fault(mark.line, mark.column, "a dash stands alone", "Put it in quotes")
        return text

    def _check_indent(self, start: Any, end: Any, indent: int) -> None:
        """Refuse lines of a quoted text or a collection in brackets that stand too far left.

        libyaml takes them; YAML 1.2.2, section 8.1, wants them deeper than the block that
        holds them, and other readers refuse them. A line that begins with the closing
        bracket can be misread by none.
        """
        if indent < 0 or start.line == end.line:
            return
        found = _too_far_left(indent).search(self.text, start.index, end.index)
        if found is not None:
            line = self.text.count("\n", start.index, found.end()) + start.line
            said = "this line has to stand further to the right, by spaces"
            column = found.end() - found.start() - 1
            self.fault(line, column, said, "Indent it deeper than its key")


@cache
def _too_far_left(indent: int) -> re.Pattern[str]:
    """Match a line end and the spaces of a line that has no more of them than ``indent``.

    Lines that are blank, a comment, or begin with a closing bracket may stand anywhere.
    """
    return re.compile(rf"\n {{0,{indent}}}(?=[^ \n])(?!\t*[\n#\]}}])")


def _events(text: str, file: str) -> Iterator[Any]:
    try:
        yield from yaml.parse(text, Loader=_LOADER)
    except yaml.YAMLError as error:
        said = getattr(error, "problem", None) or getattr(error, "context", None) or "unreadable"
        problem, remedy = next(
            (words for part, words in _SYNTAX.items() if part in said),
            (f"this cannot be read as YAML: {said}", "Look for a missing colon, quote or indent"),
        )
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        if "unexpected end of stream" in said or "expected ':'" in said:
            mark = getattr(error, "context_mark", None) or mark  # where it begins
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
    text = decoded(data, file)
    builder = _Builder(text, file)
    for event in _events(text, file):
        builder.take(event)
    if builder.faults:
        builder.tell()
    if builder.documents == 0:
        raise InputError(
            "the file is empty",
            remedy="Save it again, or take it from a back-up; 'reelwright new' begins a procedure",
            file=file,
            line=1,
        )
    tree = builder.tree
    if "#" in text:
        places = tree.places or Places(mapping=True)
        tree.comments, tree.dropped_comments = find_comments(text, builder.spans, places, file)
    return tree
