"""No name of a module is left over: ruff looks into functions, and not over modules."""

from __future__ import annotations

import ast
from collections.abc import Iterator

import program_trees

_PAGES = {"ROUTES", "NAV", "COMMANDS"}
"""Names by which one module collects what many of them have."""
ALLOWED = {
    "author.cli.main": "pyproject names it",
    "author.serve.application.rules": "tests ask it who may use which page",
    "author.contract.upgrades.upgraded": "the tests' measure of upgraded_tree",
}


def _modules() -> dict[str, ast.Module]:
    found = {}
    for path, tree in program_trees.trees().items():
        parts = ("author", *path.with_suffix("").parts)
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = tree
    return found


def _made(tree: ast.Module) -> Iterator[str]:
    """Yield what a module names; what a decorator takes is used by it."""
    for node in tree.body:
        match node:
            case ast.FunctionDef() | ast.AsyncFunctionDef() | ast.ClassDef():
                taken = [
                    one for one in node.decorator_list if ast.unparse(one).endswith("command")
                    or ".command(" in ast.unparse(one) or ".group(" in ast.unparse(one)
                ]  # fmt: skip
                if not taken:
                    yield node.name
            case ast.Assign():
                yield from (one.id for one in node.targets if isinstance(one, ast.Name))
            case ast.AnnAssign(target=ast.Name(id=name)):
                yield name


def _used(module: str, tree: ast.Module, modules: set[str]) -> Iterator[str]:
    """Yield what a module uses, by its full name; ``package.module.*`` where it hands one on."""
    known: dict[str, str] = {}
    nodes = list(ast.walk(tree))
    for node in nodes:
        if isinstance(node, ast.ImportFrom) and node.module:
            for one in node.names:
                full = f"{node.module}.{one.name}"
                yield full
                if full in modules:
                    known[one.asname or one.name] = full
        elif isinstance(node, ast.Import):
            known |= {one.asname or one.name: one.name for one in node.names}
    inner = set()
    for node in nodes:  # an attribute comes before what it is of
        if isinstance(node, ast.Attribute):
            base = _dotted(node.value)
            if base in known:
                yield f"{known[base]}.{node.attr}"
                inner.add(id(node.value))
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
            yield f"{module}.{node.id}"
            if node.id in known and id(node) not in inner:
                yield f"{known[node.id]}.*"


def _dotted(node: ast.expr) -> str:
    if isinstance(node, ast.Attribute):
        base = _dotted(node.value)
        return base and f"{base}.{node.attr}"
    return node.id if isinstance(node, ast.Name) else ""


def _left_over(trees: dict[str, ast.Module]) -> set[str]:
    modules = set(trees)
    used = {name for module, tree in trees.items() for name in _used(module, tree, modules)}
    return {
        f"{module}.{name}"
        for module, tree in trees.items()
        if f"{module}.*" not in used
        for name in _made(tree)
        if not name.startswith("__") and name not in _PAGES and f"{module}.{name}" not in used
    }


def test_every_name_of_a_module_is_used_by_the_program() -> None:
    """What tests alone use belongs to the tests; what is allowed has its reason above."""
    assert _left_over(_modules()) == set(ALLOWED)


def test_the_look_sees_what_is_left_over() -> None:
    """By a constant, a function, one that only an import of its own name hides, and a method."""
    trees = {
        "a": ast.parse("_ONE = 1\nTWO = 2\ndef three(): return four()\ndef four(): return TWO\n"),
        "b": ast.parse("import a\nfrom a import three\nprint(a.FIVE)\nclass Six: ...\n"),
    }
    assert _left_over(trees) == {"a._ONE", "b.Six"}
