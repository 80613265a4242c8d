"""Times each command on an open document of 300 steps, as the window's thread waits for it.

Run by hand: ``python tests/benchmarks/bench_editing.py [STEPS]``. Never part of the tests.
Each figure is the time on the wall of one call of ``do``, ``undo`` or ``redo`` with its
journal, from a cold first call on; what the caller does not wait for is not in it. The
processor time of the calling thread stands beside it, which other work on the machine
changes least. After each call there is a pause of 10 ms, as between gestures. Then the jobs
that run elsewhere, and what of them the caller does wait for.

Bars: every command at most 5 ms in the median and never above 50 ms. The garbage collector
is on; a search through everything, which comes to whoever is there, is told apart: a window
lets it run while nobody does anything.
"""

from __future__ import annotations

import gc
import os
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from bench_documents import long_document

from author.checks import check
from author.editing import (
    AddEntry,
    AddSection,
    AddStep,
    Command,
    JoinSteps,
    MoveEntry,
    MoveMark,
    MoveSection,
    MoveSteps,
    OpenDocument,
    RemoveEntry,
    RemoveSection,
    RemoveSteps,
    Rename,
    SetField,
    SetSpan,
    Span,
    SplitSection,
    SplitStep,
    open_document,
)
from author.errors import InputError
from author.procedure.steps import Clip, Step

RUNS = 80
HAZARD = {"signal": "WARNING", "hazard": "Sharp edge", "avoid": "Wear gloves"}
TOOL = {"name": "A tool that is new"}


class Maker:
    """Makes commands on steps drawn at random; the same draw each time."""

    def __init__(self, document: OpenDocument) -> None:
        self.document = document
        self.chance = random.Random(7)

    def step(self, want: Callable[[Step], Any] = lambda _step: True) -> Step:
        """Return a step that has something."""
        steps = [p.step for p in self.document.procedure.placed_steps() if want(p.step)]
        return self.chance.choice(steps)

    def filmed(self) -> tuple[Step, Clip]:
        """Return a step with a clip."""
        step = self.step(lambda s: s.clip and s.clip.end - s.clip.start > 1)
        assert step.clip is not None
        return step, step.clip

    def section(self) -> str:
        """Return the id of a section."""
        return self.chance.choice(self.document.procedure.sections).id

    def span(self) -> Span:
        """Return the span of another step."""
        _, clip = self.filmed()
        return Span(clip.recording, clip.start, clip.end)

    def commands(self) -> Iterator[tuple[str, Callable[[], Command]]]:
        """Yield a name and a maker for each kind."""
        number = iter(range(10**6))
        yield "title", lambda: SetField(("title",), f"Title {next(number)}")
        yield (
            "action, each key press",
            lambda: SetField(("steps", self.step().id, "action"), f"Turn it {next(number)} times."),
        )
        yield "mark, each movement", self._mark
        yield "span of a step", lambda: SetSpan(self.filmed()[0].id, self.span())
        yield "add a step", lambda: AddStep("Undo it.", after=self.step().id, span=self.span())
        yield "move a step", lambda: MoveSteps((self.step().id,), after=self.step().id)
        yield "split a step", self._split
        yield "join two steps", lambda: JoinSteps(self.step().id)
        yield "remove a step", lambda: RemoveSteps((self.step().id,))
        yield "limit of a spec", self._limit
        yield "add a hazard", lambda: AddEntry(("steps", self.step().id, "hazards"), HAZARD)
        yield "add a tool", lambda: AddEntry(("tools",), TOOL)
        yield "move a tool", lambda: MoveEntry(("tools", 0), before=3)
        yield "remove a tool", lambda: RemoveEntry(("tools", len(self._tools()) - 1))
        yield "rename a tool", lambda: Rename(("tools", 0), f"tool-{next(number)}")
        yield "rename a step", lambda: Rename(("steps", self.step().id), f"s-{next(number)}")
        yield "add a section", lambda: AddSection("More", before=self.section())
        yield "split a section", lambda: SplitSection(self.step().id, "Half")
        yield "move a section", lambda: MoveSection(self.section(), before=self.section())
        yield "remove a section", lambda: RemoveSection(self.section())

    def _tools(self) -> tuple[Any, ...]:
        return self.document.procedure.tools

    def _mark(self) -> Command:
        step, clip = self.filmed()
        return MoveMark(step.id, "to", clip.end - Decimal(self.chance.randrange(1, 9)) / 1_000)

    def _split(self) -> Command:
        step, clip = self.filmed()
        return SplitStep(step.id, (clip.start + clip.end) / 2)

    def _limit(self) -> Command:
        step = self.step(lambda s: s.specs)
        assert step.specs is not None
        at = ("steps", step.id, "specs", step.specs[0].id, "note")
        return SetField(at, f"Note {self.chance.random()}")


Times = tuple[float, float]
"""Milliseconds on the wall, and of the calling thread's processor time."""


def timed(job: Callable[[], Any]) -> Times | None:
    """Return how long a job takes, or None where it was refused."""
    began, used = time.perf_counter(), time.thread_time()
    try:
        job()
    except InputError:
        return None
    return (time.perf_counter() - began) * 1_000, (time.thread_time() - used) * 1_000


def row(name: str, times: list[Times | None]) -> Times:
    """Print a line and return the largest."""
    sys.stdout.write(f"{name:<28}")
    most = []
    for clock in (0, 1):
        known = sorted(both[clock] for both in times if both is not None)
        p95 = known[min(len(known) - 1, int(len(known) * 0.95))]
        sys.stdout.write(f"{statistics.median(known):>8.2f}{p95:>8.2f}{known[-1]:>8.2f}  ")
        most.append(known[-1])
    sys.stdout.write(f"{len(known):>6}{len(times) - len(known):>9}\n")
    return most[0], most[1]


class Collector:
    """Notes how long the garbage collector searches through everything."""

    def __init__(self) -> None:
        self.pauses: list[float] = []
        self._began = 0.0

    def __call__(self, phase: str, info: dict[str, int]) -> None:
        """Take what the collector says."""
        if phase == "start":
            self._began = time.thread_time()
        elif info["generation"] == 2:
            self.pauses.append((time.thread_time() - self._began) * 1_000)


def repeated(make: Callable[[], Command], document: OpenDocument) -> list[Times | None]:
    """Time a command again and again; making it is not timed."""
    times = []
    for _ in range(RUNS):
        command = make()
        times.append(timed(lambda command=command: document.do(command)))  # type: ignore[misc]
        time.sleep(0.01)
    return times


def stepped(job: Callable[[], Any]) -> list[Times | None]:
    """Time undo or redo again and again."""
    times = []
    for _ in range(RUNS):
        times.append(timed(job))
        time.sleep(0.002)
    return times


def show_jobs(document: OpenDocument) -> None:
    """Print what runs in a worker, and what the caller waits for."""
    job = document.saving(drop_comments=True)
    times = {
        "rules (worker)": timed(lambda: check(document.procedure)),
        "saving: the caller": timed(lambda: document.saving(drop_comments=True)),
        "saving: the worker": timed(job.run),
    }
    result = document.saving(drop_comments=True).run()
    times["saved: the caller"] = timed(lambda: document.saved(result))
    times["look, nothing changed"] = timed(document.check_file)
    text = document.file.read_text().replace("revision: 1", "revision: 2", 1)
    document.file.write_text(text)
    document.do(SetField(("note",), "Mine"))
    look = document.looking()
    times["look, file changed (worker)"] = timed(look.run)
    found = look.run()
    times["taken in: the caller"] = timed(lambda: document.take_in(found))  # type: ignore[arg-type]
    for name, both in times.items():
        assert both is not None
        sys.stdout.write(f"{name:<28}{both[0]:>8.2f} on the wall{both[1]:>8.2f} of the thread\n")


def main() -> None:
    """Print a table."""
    steps = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    with tempfile.TemporaryDirectory() as place:
        os.environ["REELWRIGHT_STATE"] = str(Path(place) / "state")
        file = Path(place) / "procedure.yaml"
        file.write_text(long_document(steps), encoding="utf-8")
        began = time.perf_counter()
        document = open_document(file, bound=10_000)
        opened = time.perf_counter() - began
        sys.stdout.write(f"{os.cpu_count()} cores, {steps} steps, opened in {opened:.2f} s\n")
        head = f"{'median':>8}{'p95':>8}{'max':>8}  "
        sys.stdout.write(f"{'ms: wall, then thread':<28}{head}{head}{'runs':>6}{'refused':>9}\n")
        collector = Collector()
        gc.callbacks.append(collector)
        most = [row(name, repeated(make, document)) for name, make in Maker(document).commands()]
        most += [row("undo", stepped(document.undo)), row("redo", stepped(document.redo))]
        wall, used = max(both[0] for both in most), max(both[1] for both in most)
        gc.callbacks.remove(collector)
        sys.stdout.write(f"largest of all: {wall:.1f} on the wall, {used:.1f} of the thread\n")
        pauses = ", ".join(f"{pause:.0f}" for pause in collector.pauses)
        sys.stdout.write(f"searches of the collector, ms of the thread: {pauses or 'none'}\n")
        assert document._journal is not None
        document._journal.flush()
        size = document._journal.path.stat().st_size
        sys.stdout.write(f"journal: {size / 1024:.0f} kB, {len(document.history)} gestures\n")
        show_jobs(document)
        document.close(discard=True)


if __name__ == "__main__":
    main()
