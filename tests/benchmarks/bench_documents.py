"""Times reading and checking of long documents against the bare parser, and the start-up.

Run by hand: ``python tests/benchmarks/bench_documents.py``. Never part of the tests. The
documents are the sample procedure over and over, with ids of their own. Each size is
measured in a process of its own, so that no run inherits another's memory. The garbage
collector is on, as in the command: it makes the bare parser dearer per step as a document
grows, so the ratio at the smaller size is the one to look at. Times are of the processor,
which other work on the machine changes least; commands are told in time on the wall as well.

Bars: load and check together at most 3 times the bare ``yaml.compose`` of the same text in
the same process; per step no dearer at 10,000 steps than at 1,000; ``--help`` at most 6
times ``python -c pass`` and at most 0.2 s; ``check`` of the sample at most 1 s.
"""

from __future__ import annotations

import gc
import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import yaml

from author.checks import check
from author.contract import parse_procedure, read_procedure, write_yaml
from author.contract.procedure_file import as_plain

ROOT = Path(__file__).resolve().parents[2]
COMMAND = Path(sys.executable).with_name("reelwright")
SAMPLE = ROOT / "sample_media" / "upper-wheel-bearings"
SIZES = (1_000, 10_000)
RUNS = 5


def long_document(steps: int) -> str:
    """Return the sample procedure, its sections repeated until there are so many steps.

    Every id inside the sections, and every mention of one, is given the number of the
    copy in front; the lists before the sections stay as they are.
    """
    plain = as_plain(read_procedure(SAMPLE).procedure)
    sections = plain["sections"]
    own = set(_ids(sections)) - {
        id_ for key in plain if key != "sections" for id_ in _ids(plain[key])
    }
    each = sum(len(section["steps"]) for section in sections)
    copies: list[dict[str, Any]] = []
    for copy in range(-(-steps // each)):
        copies += _renamed(sections, {id_: f"c{copy}-{id_}" for id_ in own})
    surplus = len(copies) // len(sections) * each - steps
    while surplus > 0:
        copies[-1]["steps"], surplus = (
            copies[-1]["steps"][:-surplus],
            surplus - len(copies[-1]["steps"]),
        )
        if not copies[-1]["steps"]:
            copies.pop()
    return write_yaml({**plain, "sections": copies})


def _ids(node: Any) -> Iterator[str]:
    if isinstance(node, dict):
        if isinstance(node.get("id"), str):
            yield node["id"]
        node = list(node.values())
    if isinstance(node, list):
        for inner in node:
            yield from _ids(inner)


def _renamed(node: Any, names: dict[str, str]) -> Any:
    if isinstance(node, dict):
        return {key: _renamed(value, names) for key, value in node.items()}
    if isinstance(node, list):
        return [_renamed(value, names) for value in node]
    return names.get(node, node) if isinstance(node, str) else node


def timed(job: Callable[[], Any], runs: int, clock: Callable[[], float]) -> float:
    """Return the median time of several runs by a clock, in seconds."""
    times = []
    for _ in range(runs):
        gc.collect()
        began = clock()
        job()
        times.append(clock() - began)
    return statistics.median(times)


def children() -> float:
    """Return the processor time of the processes started so far, in seconds."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def measure(file: Path) -> dict[str, float]:
    """Time one document in this process."""
    data = file.read_bytes()
    text = data.decode()
    runs = RUNS if len(data) < 3_000_000 else 3
    # Ours first: what the bare parser leaves behind would be put on our bill.
    load = timed(lambda: parse_procedure(data, file), runs, time.process_time)
    procedure = parse_procedure(data, file).procedure
    judge = timed(lambda: check(procedure), runs, time.process_time)
    remarks = len(check(procedure).remarks)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    bare = timed(lambda: yaml.compose(text, Loader=yaml.CSafeLoader), runs, time.process_time)
    return {
        "bytes": len(data),
        "load": load,
        "check": judge,
        "bare": bare,
        "peak": peak,
        "remarks": remarks,
    }


def show_documents(folder: Path) -> None:
    """Print a row for each size, and the growth from the first to the last."""
    sys.stdout.write(
        f"{'steps':>7}{'MB':>8}{'bare':>9}{'load':>9}{'check':>9}{'ratio':>8}"
        f"{'peak MB':>9}{'remarks':>9}\n"
    )
    per_step: dict[str, list[float]] = {"load": [], "check": [], "bare": []}
    for steps in SIZES:
        file = folder / f"{steps}.yaml"
        file.write_text(long_document(steps), encoding="utf-8")
        done = subprocess.run(
            [sys.executable, __file__, "--measure", file],
            check=True,
            capture_output=True,
            text=True,
        )
        row = json.loads(done.stdout)
        ratio = (row["load"] + row["check"]) / row["bare"]
        sys.stdout.write(
            f"{steps:>7}{row['bytes'] / 1e6:>8.2f}{row['bare']:>8.2f}s{row['load']:>8.2f}s"
            f"{row['check']:>8.2f}s{ratio:>8.2f}{row['peak']:>9.0f}{row['remarks']:>9.0f}\n"
        )
        for job, values in per_step.items():
            values.append(row[job] / steps)
    growth = {job: values[-1] / values[0] for job, values in per_step.items()}
    told = ", ".join(f"{job} {value:.2f}" for job, value in growth.items())
    sys.stdout.write(f"per step, {SIZES[-1]} against {SIZES[0]}: {told}\n")


def show_commands(folder: Path) -> None:
    """Print how long the command takes to start and to check the sample."""
    surroundings = {**os.environ, "REELWRIGHT_CACHE": str(folder / "cache")}

    def run(*call: str | Path) -> None:
        subprocess.run(call, env=surroundings, check=True, capture_output=True)

    run(COMMAND, "check", SAMPLE)  # decodes the films once
    jobs: dict[str, list[str | Path]] = {
        "python -c pass": [sys.executable, "-c", "pass"],
        "--help": [COMMAND, "--help"],
        "check of the sample": [COMMAND, "check", SAMPLE],
    }
    sys.stdout.write(f"{'command':<24}{'processor':>10}{'wall':>8}{'ratio':>8}\n")
    first = 0.0
    for name, call in jobs.items():
        used = timed(lambda call=call: run(*call), 15, children)  # type: ignore[misc]
        wall = timed(lambda call=call: run(*call), 15, time.perf_counter)  # type: ignore[misc]
        first = first or used
        sys.stdout.write(f"{name:<24}{used:>9.3f}s{wall:>7.3f}s{used / first:>8.1f}\n")


def main() -> None:
    """Print a table for documents and a line for the commands."""
    if sys.argv[1:2] == ["--measure"]:
        json.dump(measure(Path(sys.argv[2])), sys.stdout)
        return
    sys.stdout.write(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}, medians\n")
    with tempfile.TemporaryDirectory() as folder:
        show_documents(Path(folder))
        show_commands(Path(folder))


if __name__ == "__main__":
    main()
