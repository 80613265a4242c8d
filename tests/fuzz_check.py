"""Feeds ``check`` with what nobody would write, for as long as is asked; run by hand.

    python tests/fuzz_check.py bytes --minutes 10   # needs: pip install atheris
    python tests/fuzz_check.py trees --minutes 10

``bytes`` lets atheris (libFuzzer) change the bytes of the examples, led by which code they
reach. ``trees`` lets hypothesis change the values of the examples and writes them as YAML,
so that most files are well formed. Either way a file is refused with an ``InputError``, or
it is judged, written, and read again as the same procedure. Anything else is a crash: its
file is kept and told. Never part of the tests: these have small versions of both.
"""

from __future__ import annotations

import argparse
import copy
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = ROOT / "schema" / "examples"
FILE = Path("fuzzed.yaml")
COUNTS: Counter[str] = Counter()


def take(data: bytes) -> None:
    """Read, judge, write and read again; raises if any of it goes wrong."""
    from author.checks import check
    from author.contract import parse_procedure
    from author.errors import FileErrors, InputError

    COUNTS["run"] += 1
    try:
        loaded = parse_procedure(data, FILE)
    except InputError as error:
        faults = error.faults if isinstance(error, FileErrors) else (error,)
        assert all(fault.remedy and "\n" not in str(fault) for fault in faults)
        return
    COUNTS["read"] += 1
    films = {film.id: None for film in loaded.procedure.recordings}
    for verdict in (check(loaded.procedure), check(loaded.procedure, films, "none", {})):
        for remark in verdict.remarks:
            assert loaded.tree.place(remark.path) >= (1, 1)
            assert remark.problem
            assert remark.remedy
    text = loaded.text()
    again = parse_procedure(text.encode(), FILE)
    assert again.procedure == loaded.procedure
    assert again.text() == text


def seeds() -> list[Path]:
    """Return the procedures among the examples, good and bad."""
    return sorted(
        file for part in ("valid", "invalid") for file in (EXAMPLES / part).rglob("*.yaml")
    )


def fuzz_bytes(minutes: float) -> None:
    """Run atheris; ends the process."""
    import atheris

    with atheris.instrument_imports(include=["author.contract", "author.checks"]):
        import author.checks
        import author.contract  # noqa: F401

    folder = Path(tempfile.mkdtemp(prefix="fuzz-"))
    corpus = folder / "corpus"
    corpus.mkdir()
    for number, file in enumerate(seeds()):
        (corpus / f"{number:03}").write_bytes(file.read_bytes())
    words = {word for file in seeds() for word in _words(file.read_text(encoding="utf-8"))}
    quoted = "".join(f'"{word}"\n' for word in sorted(words))
    (folder / "words").write_text(quoted, encoding="ascii")
    sys.stderr.write(f"crashes and corpus are kept in {folder}\n")
    arguments = [
        f"-max_total_time={round(minutes * 60)}",
        f"-artifact_prefix={folder}/",
        f"-dict={folder / 'words'}",
        "-max_len=60000",
        "-timeout=20",
        "-rss_limit_mb=2048",
        "-print_final_stats=1",
    ]
    atheris.Setup([sys.argv[0], *arguments, str(corpus)], _told)
    atheris.Fuzz()


def _told(data: bytes) -> None:
    take(data)
    if COUNTS["run"] % 1_000 == 0:
        sys.stderr.write(f"{_counts()}\n")


def _words(text: str) -> Iterator[str]:
    """Yield keys and short words of a file that libFuzzer takes into its dictionary."""
    for line in text.splitlines():
        for word in (line.strip("- ").partition(":")[0], line.rpartition(": ")[2]):
            if word.isascii() and word.replace("_", "").replace("-", "").isalnum():
                yield word


def _counts() -> str:
    return f"{COUNTS['run']} files taken, {COUNTS['read']} of them read and judged"


def _places(node: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the path of every value inside a tree."""
    entries = node.items() if isinstance(node, dict) else enumerate(node)
    for key, inner in entries:
        yield (*path, key)
        if isinstance(inner, dict | list):
            yield from _places(inner, (*path, key))


def _at(node: Any, path: tuple[Any, ...]) -> Any:
    for part in path:
        node = node[part]
    return node


class Trees:
    """The examples as plain trees, and ways to change them by what ``draw`` gives."""

    ODD = ("", "none", "x", " ", "0", "-0", "1e3", "9" * 40, "0." + "0" * 20, "null", "~", "yes",
           "012", "1:30", "a\nb", "\u202e", "\U0001f600", "a" * 500, "µ", "N·m", "mm", "°C", "%",
           0, -1, 1, 10_000, 10_001, 10**30, True, False, [], {}, [[]], [{}])  # fmt: skip

    def __init__(self) -> None:
        import yaml

        trees = {file: yaml.safe_load(file.read_text(encoding="utf-8")) for file in seeds()}
        # What has the right form to begin with is more often read after a change or two.
        self.trees = [tree for file, tree in trees.items() if file.parent.name != "schema"]
        self.by_key: dict[Any, list[Any]] = {}
        for tree in trees.values():
            for path in _places(tree):
                self.by_key.setdefault(path[-1], []).append(_at(tree, path))

    def changed(self, draw: Any) -> Any:
        """Return one tree with up to four changes."""
        from hypothesis import strategies as st

        tree = copy.deepcopy(draw(st.sampled_from(self.trees)))
        for _ in range(draw(st.integers(0, 4))):
            paths = list(_places(tree))
            if not paths:
                break
            path = paths[draw(st.integers(0, len(paths) - 1))]
            self._change(_at(tree, path[:-1]), path[-1], draw)
        return tree

    def _change(self, holder: Any, key: Any, draw: Any) -> None:
        from hypothesis import strategies as st

        match draw(st.integers(0, 6)):
            case 0:
                holder[key] = copy.deepcopy(draw(st.sampled_from(self.ODD)))
            case 1 | 2:  # what stands under this key elsewhere often fits here
                holder[key] = copy.deepcopy(draw(st.sampled_from(self.by_key[key])))
            case 3:
                del holder[key]
            case 4 if isinstance(holder, list):
                holder.insert(key, copy.deepcopy(holder[key]))
            case 4:
                other = draw(st.sampled_from(list(holder)))
                holder[key], holder[other] = holder[other], holder[key]
            case 5 if isinstance(holder, list):
                holder[:] = draw(st.permutations(holder))
            case 5:  # a key that stands elsewhere, or stands here already
                holder[draw(st.sampled_from(list(self.by_key)))] = copy.deepcopy(holder[key])
            case _:
                holder[key] = draw(st.text(max_size=30) | st.decimals().map(str) | st.integers())


def fuzz_trees(minutes: float) -> None:
    """Run hypothesis in rounds until the time is over."""
    from hypothesis import HealthCheck, given, settings
    from hypothesis import strategies as st

    from author.contract import write_yaml

    trees = Trees()
    ends = time.monotonic() + minutes * 60

    @settings(
        max_examples=500, deadline=None, database=None, suppress_health_check=list(HealthCheck)
    )
    @given(st.data())
    def one_round(data: Any) -> None:
        tree = trees.changed(data.draw)
        if not isinstance(tree, dict) or not all(_texts(tree)):
            return
        text = write_yaml(tree)
        try:
            take(text.encode("utf-8", errors="replace"))
        except Exception:
            Path("crash.yaml").write_text(text, encoding="utf-8", errors="replace")
            raise

    while time.monotonic() < ends:
        one_round()
        sys.stderr.write(f"{_counts()}\n")


def _texts(tree: dict[Any, Any]) -> Iterator[bool]:
    """Say of each key in a tree whether YAML as we write it can hold it."""
    for path in _places(tree):
        yield all(isinstance(part, str) or isinstance(_at(tree, path[:n]), list)
                  for n, part in enumerate(path))  # fmt: skip


def main() -> None:
    """Run one of the two for some minutes."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("what", choices=["bytes", "trees"])
    parser.add_argument("--minutes", type=float, default=10)
    chosen = parser.parse_args()
    (fuzz_bytes if chosen.what == "bytes" else fuzz_trees)(chosen.minutes)


if __name__ == "__main__":
    main()
