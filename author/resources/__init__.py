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


def load_table(name: str) -> dict[str, Any]:
    """Return one of the program's own YAML tables.

    Args:
        name: file name in the schema folder, e.g. ``units.yaml``.

    Returns:
        The table as plain dictionaries, lists and strings. Our own files keep to what
        YAML 1.1 and 1.2 read alike.
    """
    import yaml

    text = (schema_folder() / name).read_text(encoding="utf-8")
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    table = yaml.load(text, Loader=loader)  # noqa: S506 - a safe loader, our own file
    if not isinstance(table, dict):
        msg = f"{name} is not a table"
        raise TypeError(msg)
    return table
