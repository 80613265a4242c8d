"""Breaks each formula and table of the numbers by 1 % and asks whether a test notices.

Run by hand or by CI: ``python tests/mutation_check.py``. Each change is made in a copy of
the program, where the tests of that formula then run until the first failure. Exits 1 if
every test still passes with a change, or the change could not be made.
"""

from __future__ import annotations

import concurrent.futures
import os
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
COPIED = (
    "author", "schema", "tests/document", "tests/conftest.py", "tests/recording/__init__.py",
    "tests/recording/warm.py", "pyproject.toml",
)  # fmt: skip
# What pytest's exit code says.
PASSED, FAILED = 0, 1


@dataclass(frozen=True, slots=True)
class Change:
    """One formula or value, off by 1 %.

    Attributes:
        what: what is changed.
        file: where it stands.
        old: text that stands there once.
        new: the text with the value 1 % off.
        tests: the module of ``tests/document`` that has to notice.
    """

    what: str
    file: str
    old: str
    new: str
    tests: str


_CONFORMITY, _CHAINS = "author/procedure/conformity.py", "author/procedure/chains.py"
_THREADS, _JOINTS = "author/procedure/threads.py", "author/procedure/joints.py"
_UNITS = "schema/units.yaml"
_THREAD_DATA, _FIT_DATA = "schema/threads.yaml", "schema/fits.yaml"

CHANGES = (
    Change("inch", _UNITS, 'name: inch, factor: "0.0254"', 'name: inch, factor: "0.025654"',
           "numbers"),
    Change("pound-force foot in N·m", _UNITS, '"1.3558179483314004"', '"1.3693761278147144"',
           "numbers"),
    Change("kilogram-force metre in N·m", _UNITS, 'metre, factor: "9.80665"',
           'metre, factor: "9.9047165"', "numbers"),
    Change("pound per square inch", _UNITS, "4.4482216152605/0.00064516",
           "4.4927038314131/0.00064516", "numbers"),
    Change("offset of °F", _UNITS, "229835/900", "229835/909", "numbers"),
    Change("pi", "author/procedure/units.py", 'Fraction("3.14159', 'Fraction("3.17300', "numbers"),
    Change("width of the guard band", _CONFORMITY, "    return uncertainty\n",
           '    return uncertainty * Decimal("1.01")\n', "conformity"),
    Change("width of the rejection zone", _CONFORMITY, "value < lower - 2 * guard",
           'value < lower - Decimal("2.02") * guard', "conformity"),
    Change("test uncertainty ratio", _CONFORMITY, "tolerance / (2 * uncertainty)",
           'tolerance / (Fraction("2.02") * uncertainty)', "conformity"),
    Change("rule of tens", _CONFORMITY, "IN_TOLERANCE = 10\n",
           'IN_TOLERANCE = Fraction("10.1")\n', "conformity"),
    Change("worst case", _CHAINS, "sum((high for", 'Fraction("1.01") * sum((high for', "chains"),
    Change("root sum square", _CHAINS, "math.isqrt(squares)", "math.isqrt(squares) * 101 // 100",
           "chains"),
    Change("metric stress area", _THREADS, "return PI / 4", 'return Fraction("1.01") * PI / 4',
           "threads"),
    Change("pitch in the metric stress area", _THREADS, '"0.9382"', '"0.9476"', "threads"),
    Change("unified stress area", _THREADS, '"0.7854"', '"0.7933"', "threads"),
    Change("pitch in the unified stress area", _THREADS, '("0.9743") / threads_per_inch',
           '("0.9840") / threads_per_inch', "threads"),
    Change("proof stress of 8.8", _THREAD_DATA, '"8.8": {"16": "580"', '"8.8": {"16": "585.8"',
           "threads"),
    Change("proof strength of grade 5", _THREAD_DATA, '"85000"', '"85850"', "threads"),
    Change("nut factor of zinc", _THREAD_DATA, '"0.20", words: [zinc', '"0.202", words: [zinc',
           "joints"),
    Change("T = K·d·F", _JOINTS, "/ _MM_IN_M", '* Fraction("1.01") / _MM_IN_M', "joints"),
    Change("proof load", _JOINTS, "return Fraction(thread.stress_area)",
           'return Fraction("1.01") * Fraction(thread.stress_area)', "joints"),
    Change("extension of a wrench", _JOINTS, "Fraction(extension) * cosine",
           'Fraction("1.01") * Fraction(extension) * cosine', "joints"),
    Change("tolerance grade IT7", _FIT_DATA, "  7: [10, 12, 15, 18, 21, 25,",
           "  7: [10, 12, 15, 18, 21, 25.25,", "fits"),
    Change("deviation of n", _FIT_DATA, "  n: [4, 8, 10, 12, 15, 17,",
           "  n: [4, 8, 10, 12, 15, 17.17,", "fits"),
    Change("Δ of tight holes", "author/procedure/fits.py", "finer is None else width",
           'finer is None else width * Decimal("1.01")', "fits"),
)  # fmt: skip


def copy_program(target: Path) -> None:
    """Copy what the tests of the numbers need."""
    for name in COPIED:
        source, goal = ROOT / name, target / name
        goal.parent.mkdir(parents=True, exist_ok=True)
        if source.is_dir():
            shutil.copytree(source, goal, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, goal)


def run_tests(folder: Path, *modules: str) -> int:
    """Return pytest's exit code for modules of the copy."""
    done = subprocess.run(
        [
            *(sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider"),
            *(f"tests/document/test_{module}.py" for module in modules),
        ],
        cwd=folder,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
        check=False,
        capture_output=True,
        text=True,
    )
    return done.returncode


def unchanged_passes() -> bool:
    """Say whether the tests pass in a copy without any change."""
    with tempfile.TemporaryDirectory() as folder:
        copy_program(Path(folder))
        return run_tests(Path(folder), *sorted({change.tests for change in CHANGES})) == PASSED


def try_change(change: Change) -> str:
    """Make one change in a copy, and say what the tests make of it."""
    with tempfile.TemporaryDirectory() as folder:
        copy_program(Path(folder))
        file = Path(folder, change.file)
        text = file.read_text(encoding="utf-8")
        if text.count(change.old) != 1:
            return f"stands {text.count(change.old)} times in {change.file}: mend this list"
        file.write_text(text.replace(change.old, change.new), encoding="utf-8")
        code = run_tests(Path(folder), change.tests)
    if code == FAILED:
        return "noticed"
    return "SURVIVED" if code == PASSED else f"pytest gave {code}: nothing was proven"


def main() -> int:
    """Try every change, print one line each, and return the exit code."""
    if not unchanged_passes():
        sys.stdout.write("the tests fail without any change\n")
        return 1
    with concurrent.futures.ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        found = list(pool.map(try_change, CHANGES))
    for change, said in zip(CHANGES, found, strict=True):
        sys.stdout.write(f"{change.what}, 1 % off: {said}\n")
    noticed = found.count("noticed")
    sys.stdout.write(f"{noticed} of {len(CHANGES)} noticed\n")
    return 0 if noticed == len(CHANGES) else 1


if __name__ == "__main__":
    sys.exit(main())
