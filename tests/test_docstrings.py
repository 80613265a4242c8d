"""What public functions say of themselves: what goes wrong, and what is given to them.

ruff looks at an *Args* that is there, and is silent where there is none.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import program_trees

ERRORS = {"InputError", "MachineError", "FileErrors", "NotHereError", "ValueError"}
Function = ast.FunctionDef | ast.AsyncFunctionDef


def _public(node: ast.AST) -> Iterator[Function]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.ClassDef) and not child.name.startswith("_"):
            yield from _public(child)
        elif isinstance(child, Function) and not child.name.startswith("_"):
            yield child


def _functions(*folders: str) -> Iterator[tuple[str, Function]]:
    wanted = [Path(folder) for folder in folders]
    for path, tree in program_trees.trees().items():
        if any(path.is_relative_to(folder) for folder in wanted):
            yield from ((f"{path}:{one.name}", one) for one in _public(tree))


def _named(function: Function) -> list[str]:
    given = function.args
    named = [*given.posonlyargs, *given.args, *given.kwonlyargs]
    named += [one for one in (given.vararg, given.kwarg) if one]
    return [one.arg for one in named if one.arg not in {"self", "cls"}]


def _raises(function: Function) -> bool:
    return any(
        isinstance(node, ast.Raise)
        and isinstance(node.exc, ast.Call)
        and ast.unparse(node.exc.func) in ERRORS
        for node in ast.walk(function)
    )


# Commands and the window tell errors to people and hand none on.
LIBRARIES = (
    "checks", "contract", "editing", "library", "procedure", "proposals", "publish", "recording",
    "resources", "serve", "tasks",
)  # fmt: skip


def test_what_goes_wrong_is_said() -> None:
    silent = [
        place
        for place, one in _functions(*LIBRARIES)
        if _raises(one) and "Raises:" not in (ast.get_docstring(one) or "")
    ]
    assert silent == []


def test_what_is_given_to_the_reading_of_quantities_is_said() -> None:
    """Those of three arguments and more, since their order is easily mistaken."""
    silent = [
        place
        for place, one in _functions("proposals/quantities")
        if len(_named(one)) > 2 and "Args:" not in (ast.get_docstring(one) or "")
    ]
    assert silent == []


def test_what_is_said_of_arguments_is_of_those_there_are() -> None:
    wrong = []
    for place, one in _functions(*LIBRARIES, "bench", "cli"):
        told = re.search(r"Args:\n((?: {4}.*\n?|\n)+)", ast.get_docstring(one) or "")
        names = re.findall(r"^ {4}\**(\w+):", told[1], re.MULTILINE) if told else []
        wrong += [f"{place} {name}" for name in names if name not in _named(one)]
    assert wrong == []
