"""The program's own modules as syntax trees, for tests that look at how it is written."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import author
from author.memory import collector_at_rest

PROGRAM = Path(author.__file__).parent


@cache
def trees() -> dict[Path, ast.Module]:
    """Return the tree of each module by its path beside the folder ``author``.

    They are parsed once for all who ask, and not to be changed.
    """
    with collector_at_rest():
        return {
            path.relative_to(PROGRAM): ast.parse(path.read_text(encoding="utf-8"))
            for path in sorted(PROGRAM.rglob("*.py"))
        }
