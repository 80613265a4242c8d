"""The procedure file: from a folder or bytes to the document and back to canonical text."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from author.contract.reading import read_bytes, read_model
from author.contract.yaml_reader import Path as TreePath
from author.contract.yaml_reader import YamlTree
from author.contract.yaml_writer import write_yaml
from author.errors import InputError
from author.procedure.document import SCHEMA_NAME, Procedure

PROCEDURE_FILE = "procedure.yaml"


@dataclass(frozen=True)
class LoadedProcedure:
    """A procedure and the file it was read from.

    Attributes:
        procedure: the document.
        tree: places and comments of the file.
        file: where it was read from.
    """

    procedure: Procedure
    tree: YamlTree
    file: Path

    def text(self) -> str:
        """Return the document as canonical YAML with its whole-line comments."""
        plain = as_plain(self.procedure)
        return write_yaml(plain, _kept_comments(plain, self.tree.comments))


def as_plain(procedure: BaseModel) -> dict[str, Any]:
    """Return a document as dictionaries, lists and strings in the order of the schema.

    Values equal to their default are left out, decimals are strings with their digits.
    """
    plain = procedure.model_dump(mode="json", by_alias=True, exclude_none=True)
    _drop_defaults(plain, procedure)
    return plain


def _drop_defaults(plain: dict[str, Any], node: BaseModel) -> None:
    for name, field in type(node).model_fields.items():
        key = field.alias or name
        value = getattr(node, name)
        if key in plain and not field.is_required() and value == field.default:
            del plain[key]
        elif isinstance(value, BaseModel):
            _drop_defaults(plain[key], value)
        elif isinstance(value, tuple) and value and isinstance(value[0], BaseModel):
            for inner, entry in zip(plain[key], value, strict=True):
                _drop_defaults(inner, entry)


def _kept_comments(
    plain: dict[str, Any], comments: Mapping[TreePath, tuple[str, ...]]
) -> dict[TreePath, tuple[str, ...]]:
    """Move comments on values that are not written up to the block that held them."""
    kept: dict[TreePath, tuple[str, ...]] = {}
    for path, words in comments.items():
        place = path
        while place and not _holds(plain, place):
            place = place[:-1]
        kept[place] = (*kept.get(place, ()), *words)
    return kept


def _holds(value: Any, path: TreePath) -> bool:
    for part in path:
        if isinstance(value, dict):
            inside = part in value
        else:
            inside = isinstance(value, list) and isinstance(part, int) and part < len(value)
        if not inside:
            return False
        value = value[part]
    return True


def find_procedure_file(path: Path) -> Path:
    """Return the procedure file meant by a folder or a file.

    Raises:
        InputError: if there is none.
    """
    file = path / PROCEDURE_FILE if path.is_dir() else path
    if not file.exists():
        raise InputError(
            "there is no such procedure",
            remedy=f"Name a folder that holds {PROCEDURE_FILE}, or make one with 'reelwright new'",
            file=file,
        )
    return file


def read_procedure(path: Path) -> LoadedProcedure:
    """Read a procedure from a folder or a file.

    Raises:
        InputError: if it is missing or wrong; ``FileErrors`` tells several faults.
        MachineError: if it cannot be read.
    """
    file = find_procedure_file(path)
    return parse_procedure(read_bytes(file), file)


def parse_procedure(data: bytes, file: Path) -> LoadedProcedure:
    """Read a procedure from the bytes of a file.

    Args:
        data: YAML text.
        file: its name, for errors and remarks.

    Raises:
        InputError: if it is wrong; ``FileErrors`` tells several faults at once.
    """
    procedure, tree = read_model(data, file, Procedure, SCHEMA_NAME)
    return LoadedProcedure(procedure, tree, file)
