"""Finds the files the program ships: the schema folder, units, rules, fonts.

In a checkout the schema is read from ``schema/`` beside the package, so an edit is
seen at once; in an installed wheel from ``author/_schema``. This is the bottom of the
house: it imports nothing of ours.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

_PACKAGE = Path(__file__).resolve().parent.parent


@cache
def schema_folder() -> Path:
    """Folder that holds the JSON Schema, ``rules.yaml`` and ``units.yaml``."""
    checkout = _PACKAGE.parent / "schema"
    return checkout if (checkout / "units.yaml").is_file() else _PACKAGE / "_schema"


def font_folder() -> Path:
    """Folder that holds the shipped fonts and their licence."""
    return Path(__file__).resolve().parent / "fonts"


def reader_folder() -> Path:
    """Folder that holds the network that reads a talk ahead, and its vocabulary."""
    return Path(__file__).resolve().parent / "reader"


def load_table(name: str) -> dict[str, Any]:
    """Return one of the tables of the schema folder, which other programs may read as well.

    Args:
        name: file name in the schema folder, e.g. ``units.yaml``.

    Returns:
        The table as plain dictionaries, lists and strings.

    Raises:
        TypeError: if the file holds something else than a table.
    """
    return _read(schema_folder() / name)


def load_own_table(name: str) -> dict[str, Any]:
    """Return one of the tables that lie beside this module: words, signs and points.

    Args:
        name: file name, e.g. ``trade_words.yaml``.

    Returns:
        The table as plain dictionaries, lists and strings.

    Raises:
        TypeError: if the file holds something else than a table.
    """
    return _read(own_table(name))


def own_table(name: str) -> Path:
    """Return the file of one of the tables that lie beside this module."""
    return Path(__file__).resolve().parent / name


def _read(file: Path) -> dict[str, Any]:
    # Our own files keep to what YAML 1.1 and 1.2 read alike.
    import yaml

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    text = file.read_text(encoding="utf-8")
    table = yaml.load(text, Loader=loader)  # noqa: S506 - a safe loader, our own file
    if not isinstance(table, dict):
        msg = f"{file.name} is not a table"
        raise TypeError(msg)
    return table


@cache
def program_digest() -> str:
    """SHA-256 over the program's own files: outputs it made are good as long as it is the same.

    Returns:
        64 hexadecimal digits; the same wherever the same version is installed.
    """
    import hashlib

    digest = hashlib.sha256()
    for base in (_PACKAGE, schema_folder()):
        for path in sorted(base.rglob("*")):
            if path.is_file() and path.suffix not in {".pyc", ".pyo"}:
                name = path.relative_to(base).as_posix()
                if base == _PACKAGE and name.startswith("_schema/"):
                    continue
                content = path.read_bytes()
                digest.update(f"{name}\0{len(content)}\0".encode())
                digest.update(content)
    return digest.hexdigest()
