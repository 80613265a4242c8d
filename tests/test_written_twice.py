"""No function stands word for word in two modules: whoever mends one forgets the other."""

from __future__ import annotations

import ast
from collections import defaultdict

import program_trees

_SHORT = 18
"""Parts of the tree below which a body is too short to be worth an import."""


def _bodies(tree: ast.Module) -> list[tuple[str, str]]:
    """Return name and body of each function of a module, its docstring left out."""
    found = []
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            if sum(1 for part in body for _ in ast.walk(part)) >= _SHORT:
                found.append((node.name, "".join(map(ast.dump, body))))
    return found


def _twice(trees: dict[str, ast.Module]) -> list[list[str]]:
    places: dict[str, list[str]] = defaultdict(list)
    for module, tree in trees.items():
        for name, body in _bodies(tree):
            places[body].append(f"{module}:{name}")
    return [found for found in places.values() if len(found) > 1]


def test_no_function_stands_in_two_modules() -> None:
    trees = {
        path.as_posix(): tree
        for path, tree in program_trees.trees().items()
        if "proposals" not in path.parts  # its rules are gone through apart
    }
    assert len(trees) > 300
    assert _twice(trees) == []


def test_the_look_sees_what_is_written_twice() -> None:
    body = 'return [x.strip().lower() for x in a if x and x != "-"]'
    trees = {
        "one": ast.parse(f'def one(a):\n    """Say so."""\n    {body}\n'),
        "two": ast.parse(f"def two(a):\n    {body}\n"),
        "three": ast.parse(f"def two(a):\n    {body.replace('lower', 'upper')}\n"),
        "four": ast.parse("def short(a): return a"),
        "five": ast.parse("def short(a): return a"),
    }
    assert _twice(trees) == [["one:one", "two:two"]]
