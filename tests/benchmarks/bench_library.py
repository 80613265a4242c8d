"""Times the index of a generated library: built whole, one change, finding, and its memory.

Run by hand: ``python tests/benchmarks/bench_library.py [PROCEDURES] [FOLDER] [--index ADDRESS]``,
1,000 procedures in a temporary folder if not said; a folder that holds such a library already
is used again. The index lies in a file, or in PostgreSQL by its address; what the server itself
takes of processor and memory is not counted. Never part of the tests. Each procedure is the
sample cut to 30 steps, with machines, parts, numbers and limits of its own, all invented.

Bars, for 10,000 procedures on two cores: full index in 90 s, or in 1.5 times what two
processes take for a bare ``yaml.compose`` of the same files; one changed procedure in 0.3 s;
find in 60 ms for 95 of 100 queries; all processes together in 400 MB.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
import random
import re
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import yaml
from sqlalchemy import text

from author.contract import read_procedure, write_yaml
from author.contract.procedure_file import PROCEDURE_FILE, as_plain
from author.library.asking.finding import find
from author.library.asking.query import Filters, read_query
from author.library.asking.where_used import where_used
from author.library.index.address import HERE, VARIABLE
from author.library.index.database import Index
from author.library.index.indexing import refresh
from author.library.shop import Shop, new_shop, open_shop

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "sample_media" / "upper-wheel-bearings"
STEPS = 30
QUERIES = 400

MACHINES = (
    "band saw", "bench drill", "belt grinder", "router", "lathe", "planer", "dust collector",
    "conveyor", "coolant pump", "compressor", "press brake", "shear", "hoist", "mixer",
    "dishwasher", "labeller", "carton sealer", "pallet jack", "sweeper", "kiln fan",
)  # fmt: skip
THINGS = (
    "bearing", "shaft seal", "drive belt", "guard", "spindle", "coupling", "filter", "valve",
    "gasket", "brake pad", "roller", "chain", "sprocket", "impeller", "solenoid", "switch",
    "cable", "hose", "piston", "bushing", "gear", "motor", "sensor", "relay", "nozzle",
)  # fmt: skip
VERBS = ("Replace", "Renew", "Adjust", "Clean", "Inspect", "Refit", "Align", "Regrease")
PLACES = ("upper", "lower", "front", "rear", "left", "right", "inner", "outer", "main", "return")
STEMS = (
    "al", "bren", "cor", "dun", "el", "fal", "gor", "hin", "is", "jor", "kel", "lam", "mor", "nev",
    "os", "pel", "quor", "rin", "sel", "tor", "ul", "ven", "wex", "yar", "zin",
)  # fmt: skip
UNITS = (("N·m", 1.0), ("lbf·ft", 0.7376), ("kgf·m", 0.102))
_SHARES = {"lower": 0.9, "nominal": 1.0, "upper": 1.1}
_HOLE = re.compile(r"@([a-z]+)([0-9]*)@")


def generate(shop: Shop, count: int) -> None:
    """Fill a library with invented procedures."""
    template = _template()
    for number in range(count):
        values = _values(number)
        text = _HOLE.sub(lambda hole: values(hole[1], hole[2]), template)  # noqa: B023
        folder = shop.place_of(_id(number))
        folder.mkdir()
        (folder / PROCEDURE_FILE).write_text(text, encoding="utf-8")


def _template() -> str:
    """Return the sample cut to its first steps as text with holes such as ``@lower3@``."""
    plain = as_plain(read_procedure(SAMPLE).procedure)
    left = STEPS
    for section in plain["sections"]:
        section["steps"] = section["steps"][:left]
        left -= len(section["steps"])
    plain["sections"] = [section for section in plain["sections"] if section["steps"]]
    plain |= {"id": "@id@", "title": "@title@", "state": "@state@"}
    plain["unit"]["name"] = "@machine@"
    plain["review"] = {"authors": ["@author@"], "due": "@due@"}
    before = {"id": "before", "what": "The one before is done", "procedure": {"id": "@before@"}}
    plain["prerequisites"] = [before]
    for row, part in enumerate(plain["parts"]):
        part |= {"number": f"@number{row}@", "name": f"{part['name']} of the @thing{row}@"}
    row = 0
    for section in plain["sections"]:
        for step in section["steps"]:
            row += 1
            step["action"] = f"{step['action'].rstrip('.')} by the @word{row}@ @thing{row}@."
            for torque in step.get("torques", ()):
                torque |= {key: f"@{key}{row}@" for key in ("unit", *_SHARES) if key in torque}
    return write_yaml(plain)


def _values(number: int) -> Callable[[str, str], str]:
    """Return what fills the holes of one procedure."""
    chance = random.Random(number)
    machine, thing, name = chance.choice(MACHINES), chance.choice(THINGS), _name(chance)
    part = f"{chance.choice(PLACES)} {thing}"
    kept = {
        "id": _id(number),
        "title": f"{chance.choice(VERBS)} the {part} of the {name} {machine}",
        "state": chance.choice(("draft", "in_review", "approved")),
        "machine": f"{name.capitalize()} {machine} {chance.randrange(100, 999)}",
        "author": _name(chance).upper()[:3],
        "due": f"20{27 + number % 4}-05-14",
        "before": _id(max(0, number - 1 - number % 7)),
    }

    def value(kind: str, row: str) -> str:
        if kind in kept:
            return kept[kind]
        own = random.Random(f"{number} {row}")
        unit, factor = own.choice(UNITS)
        middle = own.uniform(5, 200) * factor
        if kind in _SHARES:
            return f"{middle * _SHARES[kind]:.2f}"
        if kind == "number":
            return f"{_name(own).upper()[:2]}-{own.randrange(100, 9999)}"
        return {"unit": unit, "thing": own.choice(THINGS), "word": _name(own)}[kind]

    return value


def _id(number: int) -> str:
    machine = random.Random(number).choice(MACHINES)
    return f"p{number:05d}-{machine.replace(' ', '-')}"


def _name(chance: random.Random) -> str:
    return "".join(chance.choice(STEMS) for _ in range(3))


def queries(count: int) -> Iterator[str]:
    """Yield what people type: words, stems, slips, numbers, ranges."""
    chance = random.Random(7)
    for number in range(QUERIES):
        one = random.Random(chance.randrange(count))
        machine, thing = one.choice(MACHINES), one.choice(THINGS)
        forms = (
            thing,
            f"{thing} {machine}",
            f"replacing {thing}s {_name(one)}",
            f"{thing[:3]}{thing[4:]} {machine}" if len(thing) > 5 else f"{machine}s",
            f"{_name(one).upper()[:2]}-{one.randrange(100, 9999)}",
            f"{machine} torque {one.randrange(10, 60)} to {one.randrange(60, 150)} N·m",
            f"torque {one.randrange(10, 60)} to {one.randrange(60, 100)} lbf·ft",
            f"lock out the supply before the {thing} of the {machine}",
        )
        yield forms[number % len(forms)]


def _compose(files: list[str]) -> None:
    for file in files:
        yaml.compose(Path(file).read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)


def bare(shop: Shop) -> tuple[float, float]:
    """Return the seconds, and those of the processor, in which two processes compose all."""
    files = [str(one) for one in sorted(shop.procedures.glob(f"*/{PROCEDURE_FILE}"))]
    context = multiprocessing.get_context("spawn")
    began, used = time.perf_counter(), processor()
    crew = [context.Process(target=_compose, args=(files[part::2],)) for part in range(2)]
    for process in crew:
        process.start()
    for process in crew:
        process.join()
    return time.perf_counter() - began, processor() - used


def processor() -> float:
    """Return the seconds of processor time this process and its ended children took."""
    own = resource.getrusage(resource.RUSAGE_SELF)
    child = resource.getrusage(resource.RUSAGE_CHILDREN)
    return own.ru_utime + own.ru_stime + child.ru_utime + child.ru_stime


def memory() -> float:
    """Return the most memory this process and two of its children held, MB."""
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    child = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    return (own + 2 * child) / 1024


def measure_index(folder: Path) -> dict[str, float]:
    """Build the index from nothing in this process."""
    shop = open_shop(folder)
    shutil.rmtree(folder / ".index", ignore_errors=True)
    index = Index(shop)
    began, used = time.perf_counter(), processor()
    done = refresh(shop, index, anew=True)
    return {
        "seconds": time.perf_counter() - began,
        "processor": processor() - used,
        "read": done.read,
        "memory": memory(),
        "size": _size(index),
    }


def _size(index: Index) -> float:
    """Return what an index takes on the disk, MB."""
    if index.file.is_file():
        return index.file.stat().st_size / 1e6
    asked = text(
        "SELECT sum(pg_total_relation_size(oid)) FROM pg_class "
        "WHERE relnamespace = current_schema()::regnamespace AND relkind = 'r'"
    )
    with index.reading() as connection:
        return float(connection.scalar(asked)) / 1e6


def measure_use(folder: Path) -> dict[str, Any]:
    """Change one procedure, look again, and find, in this process."""
    shop = open_shop(folder)
    index = Index(shop)
    refresh(shop, index)
    unchanged = _median(lambda: refresh(shop, index), 9)
    file = sorted(shop.procedures.glob(f"*/{PROCEDURE_FILE}"))[7]
    text = file.read_text(encoding="utf-8")

    def change(word: str) -> None:
        file.write_text(text.replace("purpose: ", f"purpose: {word} ", 1), encoding="utf-8")
        assert refresh(shop, index).read == 1

    words = map(str, range(100))
    changed = _median(lambda: change(next(words)), 9)
    file.write_text(text, encoding="utf-8")
    refresh(shop, index)
    count = sum(1 for _ in shop.procedures.iterdir())
    found = sorted(_timed(lambda asked=asked: _find(index, asked)) for asked in queries(count))
    spent = sorted(_spent(lambda asked=asked: _find(index, asked)) for asked in queries(count))
    used = _median(lambda: _used(index, "BR-101"), 9)
    return {
        "unchanged": unchanged,
        "changed": changed,
        "find median": statistics.median(found),
        "find p95": found[int(len(found) * 0.95)],
        "find most": found[-1],
        "find processor p95": spent[int(len(spent) * 0.95)],
        "where-used": used,
        "memory": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def _find(index: Index, asked: str) -> None:
    with index.reading() as connection:
        find(connection, read_query(asked), Filters(), 20)


def _used(index: Index, what: str) -> None:
    with index.reading() as connection:
        where_used(connection, what)


def _timed(job: Callable[[], Any]) -> float:
    began = time.perf_counter()
    job()
    return time.perf_counter() - began


def _spent(job: Callable[[], Any]) -> float:
    began = time.process_time()
    job()
    return time.process_time() - began


def _median(job: Callable[[], Any], runs: int) -> tuple[float, float]:
    """Return the median seconds of several runs, and the median of the processor's in others."""
    timed = statistics.median(_timed(job) for _ in range(runs))
    return timed, statistics.median(_spent(job) for _ in range(runs))


def _apart(name: str, folder: Path, index: str) -> dict[str, Any]:
    done = subprocess.run(
        [sys.executable, __file__, "0", str(folder), "--part", name, "--index", index],
        check=True,
        capture_output=True,
        text=True,
    )
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def _both(seconds: float, of_processor: float) -> str:
    return f"{seconds * 1e3:8.1f} ms, {of_processor * 1e3:.1f} ms of processor"


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser()
    parser.add_argument("procedures", nargs="?", type=int, default=1_000)
    parser.add_argument("folder", nargs="?", type=Path)
    parser.add_argument("--index", default=HERE, help="the address of a PostgreSQL database")
    parser.add_argument("--part", choices=("build", "use"), help=argparse.SUPPRESS)
    asked = parser.parse_args()
    os.environ[VARIABLE] = asked.index
    if asked.part is not None:
        measure = measure_index if asked.part == "build" else measure_use
        json.dump(measure(asked.folder), sys.stdout)
        return
    with tempfile.TemporaryDirectory() as made:
        folder = asked.folder or Path(made) / "shop"
        if not (folder / "library.yaml").exists():
            generate(new_shop(folder, "Demo shop, invented"), asked.procedures)
        shop = open_shop(folder)
        compose, compose_processor = bare(shop)
        built = _apart("build", folder, asked.index)
        used = _apart("use", folder, asked.index)
    sys.stdout.write(
        f"{os.cpu_count()} cores, Python {sys.version.split()[0]}, {built['read']:.0f} procedures, "
        f"index in {'a file' if asked.index == HERE else 'PostgreSQL'}\n"
        f"bare compose, two processes  {compose:8.2f} s, {compose_processor:.1f} s of processor\n"
        f"full index                   {built['seconds']:8.2f} s, {built['processor']:.1f} s of "
        f"processor ({built['seconds'] / compose:.2f} and "
        f"{built['processor'] / compose_processor:.2f} times the bare one)\n"
        f"index on disk                {built['size']:8.0f} MB\n"
        f"memory of all processes      {built['memory']:8.0f} MB\n"
        f"look over, nothing changed   {_both(*used['unchanged'])}\n"
        f"one changed procedure        {_both(*used['changed'])}\n"
        f"find, median                 {used['find median'] * 1e3:8.1f} ms\n"
        f"find, 95 of 100              {used['find p95'] * 1e3:8.1f} ms\n"
        f"  of the processor alone      {used['find processor p95'] * 1e3:8.1f} ms\n"
        f"find, slowest                {used['find most'] * 1e3:8.1f} ms\n"
        f"where-used                   {_both(*used['where-used'])}\n"
        f"memory while finding         {used['memory']:8.0f} MB\n"
    )


if __name__ == "__main__":
    main()
