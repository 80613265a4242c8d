"""Sections, steps and what stands in them by id: added, removed, moved, changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from author.procedure.differences.fields import told_as
from author.procedure.differences.matching import Matches, Pair, PlacedPoint, rising
from author.procedure.differences.texts import summary
from author.procedure.differences.walk import At, Walk, merged
from author.procedure.differences.weights import Severity, isolates
from author.procedure.document import PlacedStep, Procedure
from author.procedure.references import POINT_LISTS
from author.procedure.steps import Section, Step


@dataclass
class Work:
    """Both versions of the work, and what of one is what of the other.

    Attributes:
        walk: where differences are told.
        old: steps of the old document in order.
        new: steps of the new document in order.
        matches: what belongs together.
        sections: pairs of sections.
        moved: pairs of steps that have changed their place.
        isolating: pairs of steps that take energy away.
        points: pairs of specs, critical points and criteria by their list and by the step
            they stand in, in the old document (0) or the new one (1).
    """

    walk: Walk
    old: list[PlacedStep]
    new: list[PlacedStep]
    matches: Matches
    sections: set[Pair]
    moved: set[Pair]
    isolating: list[Pair]
    points: dict[tuple[str, int, int], list[tuple[PlacedPoint, PlacedPoint]]]

    @classmethod
    def of(cls, walk: Walk, old: Procedure, new: Procedure, matches: Matches) -> Work:
        """Return the work of two documents."""
        was, now = list(old.placed_steps()), list(new.placed_steps())
        isolating = [(a, b) for a, b in matches.steps if isolates(was[a].step.action)]
        points: dict[tuple[str, int, int], list[tuple[PlacedPoint, PlacedPoint]]] = {}
        for name, pairs in matches.points.items():
            for pair in pairs:
                for side in (0, 1):
                    key = (name, side, pair[side].placed.number)
                    points.setdefault(key, []).append(pair)
        sections = set(matches.sections)
        return cls(walk, was, now, matches, sections, _moved(was, matches), isolating, points)

    def same_heading(self, old: PlacedStep, new: PlacedStep) -> bool:
        """Whether two steps stand in what is one section."""
        return (old.section_index, new.section_index) in self.sections

    def tell(self, old: Procedure, new: Procedure) -> None:
        """Tell all differences of the work, in its new order."""
        _sections(self, old.sections, new.sections)
        _headings(self)
        for a, b in merged(self.matches.steps, len(self.old), len(self.new)):
            if b is None:
                _gone(self, self.old[a or 0])
            elif a is None:
                _added(self, self.new[b])
            else:
                _both(self, a, b)


def _moved(old: Sequence[PlacedStep], matches: Matches) -> set[Pair]:
    """Return the steps that have moved, as few as explain the new order.

    A section that has moved takes its steps with it: they have not moved themselves.
    """
    target = dict(matches.sections)
    rank: dict[int, tuple[int, int]] = {}
    before = (-1, 0)
    for section in sorted({placed.section_index for placed in old}):
        before = (target[section], 0) if section in target else (before[0], before[1] + 1)
        rank[section] = before
    partner = dict(matches.steps)
    order = sorted(partner, key=lambda a: (rank[old[a].section_index], a))
    kept = rising([partner[a] for a in order])
    return {(a, partner[a]) for position, a in enumerate(order) if position not in kept}


def _sections(work: Work, old: Sequence[Section], new: Sequence[Section]) -> None:
    pairs = work.matches.sections
    kept = rising([a for a, _ in pairs])
    moved = {pair for position, pair in enumerate(pairs) if position not in kept}
    for a, b in merged(pairs, len(old), len(new)):
        at = At(
            None if a is None else ("sections", a),
            None if b is None else ("sections", b),
            f"section {(new[b] if b is not None else old[a or 0]).id}",
        )
        if a is None or b is None:
            section = new[b] if b is not None else old[a or 0]
            word = "removed" if b is None else "added"
            work.walk.tell("work", f"section.{word}", f"{word}: {section.title}", at)
            continue
        if (a, b) in moved:
            guarded = any(isolates(step.action) for step in old[a].steps)
            passed = _passed(work, a, b)
            severity: Severity = "safety" if guarded or passed else "work"
            text = (
                f"moved with its steps: was {_behind(old[a - 1].id if a else None)}, "
                f"now {_behind(new[b - 1].id if b else None)}{_other_side(passed)}"
            )
            work.walk.tell(severity, "section.moved", text, at, values=(a + 1, b + 1))
        work.walk.one_field("id", old[a], new[b], at)
        work.walk.one_field("title", old[a], new[b], at)


def _both(work: Work, a: int, b: int) -> None:
    old, new = work.old[a], work.new[b]
    at = At(old.path, new.path, _step(new))
    _place(work, a, b, at)
    for name in type(new.step).model_fields:
        if name in POINT_LISTS:
            _points(work, name, old, new, at)
        else:
            work.walk.one_field(name, old.step, new.step, at)


def _place(work: Work, a: int, b: int, at: At) -> None:
    """Tell that a step has moved."""
    old, new = work.old[a], work.new[b]
    same = work.same_heading(old, new)
    heading = "" if same else f", from section {old.section.id} to {new.section.id}"
    if (a, b) in work.moved:
        was = _behind(work.old[a - 1].step.id if a else None)
        now = _behind(work.new[b - 1].step.id if b else None)
        text = f"moved: was step {old.number}, {was}; now step {new.number}, {now}{heading}"
        passed = _passed(work, a, b, steps=True)
        severity: Severity = "safety" if passed or _guards(old.step) else "work"
        text += _other_side(passed)
        work.walk.tell(severity, "step.moved", text, at, values=(old.number, new.number))


def _headings(work: Work) -> None:
    """Tell which steps stand under another heading, though their order is the same."""
    pairs = [(work.old[a], work.new[b]) for a, b in work.matches.steps if (a, b) not in work.moved]
    other = [(old, new) for old, new in pairs if not work.same_heading(old, new)]
    rank = {new.number: place for place, (_, new) in enumerate(other)}

    def run_of(pair: tuple[PlacedStep, PlacedStep]) -> tuple[int, int, int]:
        old, new = pair
        return old.section_index, new.section_index, new.number - rank[new.number]

    for run in (list(steps) for _, steps in groupby(other, run_of)):
        (old, new), (_, last) = run[0], run[-1]
        place = _step(new) if len(run) == 1 else f"{_step(new)} to {_step(last)}"
        text = f"in section {new.section.id} now, was in {old.section.id}; same order"
        values = (old.section.id, new.section.id)
        at = At(old.path, new.path, place)
        work.walk.tell("words", "step.section", text, at, values=values)


def _passed(work: Work, a: int, b: int, *, steps: bool = False) -> list[str]:
    """Return the ids of steps that isolate, and that a section or a step has moved past.

    Args:
        work: both versions.
        a: index of the section or step in the old document.
        b: its index in the new one.
        steps: true for the index of a step.
    """
    return [
        work.new[y].step.id
        for x, y in work.isolating
        if ((x if steps else work.old[x].section_index) < a)
        != ((y if steps else work.new[y].section_index) < b)
    ]


def _other_side(passed: Sequence[str]) -> str:
    return f"; now on the other side of {', '.join(passed)}" if passed else ""


def _guards(step: Step) -> bool:
    """Whether a step takes energy away, or lets somebody see what is covered later."""
    return isolates(step.action) or step.witness is not None


def _added(work: Work, new: PlacedStep) -> None:
    at = At(None, new.path, _step(new))
    before = _behind(work.new[new.number - 2].step.id if new.number > 1 else None)
    held = _holds(work, new, 1)
    text = f"step added {before}: “{new.step.action}”{held}"
    work.walk.tell("work", "step.added", text, at, node=new.step)
    for name in POINT_LISTS:
        _points(work, name, None, new, at)


def _gone(work: Work, old: PlacedStep) -> None:
    at = At(old.path, None, f"old {_step(old)}")
    held = _holds(work, old, 0)
    grave = _guards(old.step) or bool(held)
    text = f"step removed: “{old.step.action}”{held}"
    work.walk.tell("safety" if grave else "work", "step.removed", text, at, node=old.step)


def _holds(work: Work, placed: PlacedStep, side: int) -> str:
    """Return what of weight comes or goes with a step, in words."""
    elsewhere = {
        pair[side].node.id
        for name in POINT_LISTS
        for pair in work.points.get((name, side, placed.number), ())
    }
    found = [f"{h.signal} message" for h in placed.step.hazards or ()]
    for name in POINT_LISTS:
        told = told_as(Step, name)
        found += [
            f"{told.name} {point.id}"
            for point in getattr(placed.step, name) or ()
            if point.id not in elsewhere
        ]
    found += ["witness point"] if placed.step.witness else []
    return f"; with {', '.join(found)}" if found else ""


def _points(work: Work, name: str, old: PlacedStep | None, new: PlacedStep, at: At) -> None:
    """Tell of one list of points of a step; one from another step is told as moved."""
    told = told_as(Step, name)
    now = getattr(new.step, name) or ()
    was = (getattr(old.step, name) or ()) if old is not None else ()
    here: list[Pair] = []
    come: dict[int, PlacedPoint] = {}
    for before, after in work.points.get((name, 1, new.number), ()):
        if old is not None and before.placed.number == old.number:
            here.append((before.index, after.index))
        else:
            come[after.index] = before
    here.sort(key=lambda pair: pair[1])
    gone = () if old is None else work.points.get((name, 0, old.number), ())
    # What comes with a step that is added is told with it.
    elsewhere = range(len(now)) if old is None else come
    left = {before.index for before, _ in gone}
    work.walk.paired(told, was, now, at.inside(name, name), here, (left, elsewhere))
    for index, before in sorted(come.items(), key=lambda item: item[0]):
        _from_elsewhere(work, name, before, PlacedPoint(new, index, now[index]))


def _from_elsewhere(work: Work, name: str, before: PlacedPoint, after: PlacedPoint) -> None:
    told = told_as(Step, name)
    at = At(
        (*before.placed.path, name, before.index),
        (*after.placed.path, name, after.index),
        _step(after.placed),
        f"{told.name} {after.node.id}",
    )
    text = f"moved here from old {_step(before.placed)}: {summary(after.node)}"
    values = (before.placed.step.id, after.placed.step.id)
    work.walk.tell("work", f"{told.kind}.moved", text, at, values=values)
    work.walk.node(before.node, after.node, at)


def _step(placed: PlacedStep) -> str:
    return f"step {placed.number} {placed.step.id}"


def _behind(name: str | None) -> str:
    return "at the start" if name is None else f"after {name}"
