"""Times setting a long procedure as a PDF, and how much memory that takes.

Run by hand: ``python tests/benchmarks/bench_publishing.py``. Never part of the tests. Steps
are those of the tests' sample over and over, each with a still of 1280 × 720 of its own, so
that hazards, limits, torque patterns, ladders and decisions are in the same mix. Each row is
measured in a process of its own. The typesetter runs in a process of its own too; its memory
is told apart, as the most that any process begun here took. Time on the wall is told beside
time of the processors: other work on the machine changes the first.

Bars: 60 steps at most 3 s on the wall, and at most 1.1 times the bytes of the stills; 300
steps in memory that grows no faster than the steps, at most 5 MB for each.
"""

from __future__ import annotations

import copy
import json
import os
import resource
import statistics
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

ROWS = (("plain", 60), ("full", 60), ("full", 300))
RUNS = 3


def full_steps(count: int) -> list[dict[str, Any]]:
    """Return one section: the steps of the sample over and over, each with a still."""
    from publish import sample

    given = [step for section in sample.SECTIONS for step in section["steps"]]
    steps = []
    for number in range(1, count + 1):
        step = copy.deepcopy(given[(number - 1) % len(given)])
        step["id"] = f"turn-{number}"
        step.setdefault("still", {"recording": "saw", "at": "1.000000", "alt": "The work"})
        for way in ways_on(step):
            way["step"] = f"turn-{max(1, number - 2)}"
        if "spec" in step.get("decision", {}):
            step["decision"]["spec"] = f"{step['decision']['spec']}-{number}"
        for entry in (*step.get("specs", ()), *step.get("torques", ()), *points(step)):
            entry["id"] = f"{entry['id']}-{number}"
            if "spread_of" in entry:
                entry["spread_of"] = f"{entry['spread_of']}-{number}"
        steps.append(step)
    return [{"id": "all", "title": "All", "steps": steps}]


def ways_on(step: dict[str, Any]) -> list[dict[str, Any]]:
    """Return what of a step names another step: ways on, and reactions to a reading."""
    reactions = [
        spec[when]
        for spec in step.get("specs", ())
        for when in ("below", "above", "undecided")
        if when in spec
    ]
    found = [*step.get("decision", {}).get("ways", ()), *reactions]
    return [way for way in found if "step" in way]


def points(step: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the critical points and criteria of a step."""
    return [*step.get("critical_points", ()), *step.get("criteria", ())]


def processors() -> float:
    """Return the processor time of this process and of those it started, in seconds."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(u.ru_utime + u.ru_stime for u in used)


def measure(kind: str, count: int) -> dict[str, float]:
    """Set one document in this process."""
    from publish import sample
    from publish.pdf_reading import page_texts

    from author.publish.pdf import make_pdf

    stills = {f"turn-{n}": sample.picture(sample.LANDSCAPE, n) for n in range(1, count + 1)}
    sections = sample.many_steps(count) if kind == "plain" else full_steps(count)
    judged = sample.draft(sections=sections, findings="none")
    walls, cpus, pdf = [], [], b""
    for _ in range(RUNS if count < 100 else 1):
        began, used = time.perf_counter(), processors()
        pdf = make_pdf(judged, stills, yaml=sample.YAML, clips={})
        walls.append(time.perf_counter() - began)
        cpus.append(processors() - used)
    peaks = [resource.getrusage(who).ru_maxrss / 1024 for who in (0, -1)]
    return {
        "wall": statistics.median(walls),
        "cpu": statistics.median(cpus),
        "megabytes": len(pdf) / 1e6,
        "ratio": len(pdf) / sum(len(still.jpeg) for still in stills.values()),
        "own": peaks[0],
        "typesetter": peaks[1],
        "pages": len(page_texts(pdf)),
    }


def main() -> None:
    """Print a row for each document."""
    if sys.argv[1:2] == ["--measure"]:
        json.dump(measure(sys.argv[2], int(sys.argv[3])), sys.stdout)
        return
    load = os.getloadavg()[0]
    sys.stdout.write(f"{os.cpu_count()} cores, load {load:.1f}, Python {sys.version.split()[0]}\n")
    sys.stdout.write(
        f"{'steps':<12}{'pages':>6}{'wall':>8}{'cpu':>8}{'MB':>8}{'/ stills':>10}"
        f"{'own MB':>8}{'typesetter MB':>15}{'per step':>10}\n"
    )
    for kind, count in ROWS:
        call = [sys.executable, __file__, "--measure", kind, str(count)]
        done = subprocess.run(call, check=True, capture_output=True, text=True)
        row = json.loads(done.stdout)
        sys.stdout.write(
            f"{count:>4} {kind:<7}{row['pages']:>6}{row['wall']:>7.2f}s{row['cpu']:>7.2f}s"
            f"{row['megabytes']:>8.2f}{row['ratio']:>10.3f}{row['own']:>8.0f}"
            f"{row['typesetter']:>15.0f}{row['typesetter'] / count:>10.1f}\n"
        )


if __name__ == "__main__":
    main()
