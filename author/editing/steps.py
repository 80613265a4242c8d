"""Commands for steps: add, remove, move, and the marks that show them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType
from typing import Any, Literal

from author.checks.naming import new_id
from author.contract.procedure_file import as_plain
from author.editing.addresses import Address, Path, nearest, step_path, value_at
from author.editing.commands import NO_ACTION, NO_ALT, Command, Outcome, with_steps
from author.editing.ids import guard, ids_in, taken_with
from author.editing.replacing import put, replaced
from author.editing.words import number_of, steps_called
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.steps import Clip, Section, Step, Still

MICROSECOND = Decimal("0.000001")


@dataclass(frozen=True, slots=True)
class Span:
    """Two marks of a recording.

    Attributes:
        recording: id of the recording.
        start: mark of the first frame, seconds.
        end: mark of the frame up to which it goes, itself not in it, seconds.
    """

    recording: str
    start: Decimal
    end: Decimal

    def middle(self) -> Decimal:
        """Return a mark in the middle: its nearest frame lies in the span."""
        return ((self.start + self.end) / 2).quantize(MICROSECOND)

    def clip(self) -> dict[str, Any]:
        """Return the span as the file has a clip."""
        return {"recording": self.recording, "from": self.start, "to": self.end}


@dataclass(frozen=True, slots=True)
class AddStep(Command):
    """Add a step, from a span of a recording or without a picture.

    Attributes:
        action: what is to be done; may be written later.
        section: id of the section it comes last in.
        before: id of the step it stands before.
        after: id of the step it stands behind. Without any of the three it comes last.
        span: what shows it.
        still_at: mark of its still in the recording of the span; its middle if None.
        alt: what the still shows, in words.
        id: its id; made from the action if None.
        more: other fields, as the file has them.
    """

    action: str = NO_ACTION
    section: str | None = None
    before: str | None = None
    after: str | None = None
    span: Span | None = None
    still_at: Decimal | None = None
    alt: str | None = None
    id: str | None = None
    more: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document."""
        section, at = self._place(procedure)
        path: Path = ("sections", section, "steps", at)
        number = number_of(procedure, path)
        name = self.id or new_step_id(procedure, self.action, number)
        steps = procedure.sections[section].steps
        entry = {"id": name, "action": self.action, **self.pictures(), **self.more}
        new = put(procedure, path[:3], (*steps[:at], entry, *steps[at:]), ())
        guard(procedure, new)
        beside = steps[max(at - 1, 0)].id
        return Outcome(new, f"Add step {number}", ("steps", beside), ("steps", name))

    def _place(self, procedure: Procedure) -> tuple[int, int]:
        if self.before is not None:
            path = step_path(procedure, self.before)
            return int(path[1]), int(path[3])
        if self.after is not None:
            path = step_path(procedure, self.after)
            return int(path[1]), int(path[3]) + 1
        section = len(procedure.sections) - 1
        if self.section is not None:
            section = section_index(procedure, self.section)
        return section, len(procedure.sections[section].steps)

    def pictures(self) -> dict[str, Any]:
        """Return clip and still of the step as the file has them; nothing without a span.

        Raises:
            InputError: if the span ends before it begins.
        """
        if self.span is None:
            return {}
        check_order(self.span.start, self.span.end)
        at = self.span.middle() if self.still_at is None else self.still_at
        return {"clip": self.span.clip(), "still": fresh_still(self.span.recording, at, self.alt)}


def fresh_still(recording: str, at: Decimal, alt: str | None = None) -> dict[str, Any]:
    """Return a still as the file has it, its words still to be written."""
    return {"recording": recording, "at": at, "alt": alt or NO_ALT}


def new_step_id(procedure: Procedure, action: str, number: int) -> str:
    """Return an id for a new step, made from its action or else from its number."""
    return new_id(action, taken_with(ids_in(procedure), "steps"), f"step-{number}")


def section_index(procedure: Procedure, section: str | int) -> int:
    """Return the index of a section.

    Raises:
        InputError: if there is none.
    """
    for index, found in enumerate(procedure.sections):
        if found.id == section:
            return index
    raise InputError(
        f"there is no section '{str(section)[:60]}' here",
        remedy="It may have been taken out: choose another",
    )


def check_order(start: Decimal, end: Decimal) -> None:
    """Refuse a clip that shows nothing.

    Raises:
        InputError: if it ends where it begins, or before.
    """
    if not Decimal(start) < Decimal(end):
        raise InputError(
            f"the clip would end at {end} s, which is not after its begin at {start} s",
            remedy="Put the end behind the begin",
        )


@dataclass(frozen=True, slots=True)
class RemoveSteps(Command):
    """Remove steps; a section that is left without any goes with them.

    Attributes:
        steps: their ids.
    """

    steps: tuple[str, ...]

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document.

        Raises:
            InputError: if no step is named, none would be left, or something refers to one.
        """
        paths = [step_path(procedure, step) for step in dict.fromkeys(self.steps)]
        if not paths:
            raise InputError("no step is named", remedy="Choose the steps to remove")
        left = _without(procedure, paths)
        new = with_steps(procedure, left)
        if not new.sections:
            raise InputError("this would leave no step at all", remedy="Add another step first")
        guard(procedure, new)
        label = f"Remove {steps_called(procedure, paths)}"
        was: Address = ("steps", self.steps[0])
        return Outcome(new, label, was, nearest(was, procedure, new))


def _without(procedure: Procedure, paths: Sequence[Path]) -> dict[int, tuple[Step, ...]]:
    """Return the steps that are left in each section that loses one."""
    gone = {(path[1], path[3]) for path in paths}
    return {
        index: tuple(
            step for at, step in enumerate(procedure.sections[index].steps)
            if (index, at) not in gone
        )
        for index in sorted({int(path[1]) for path in paths})
    }  # fmt: skip


@dataclass(frozen=True, slots=True)
class MoveSteps(Command):
    """Move steps, in the order they stand in, to another place.

    Attributes:
        steps: their ids.
        before: id of the step they go before.
        after: id of the step they go behind.
        section: id of the section they come last in, if neither is given.
        drop_empty: whether a section that is left without a step goes; otherwise the
            move is refused.
    """

    steps: tuple[str, ...]
    before: str | None = None
    after: str | None = None
    section: str | None = None
    drop_empty: bool = False

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document.

        Raises:
            InputError: if the place is one of the steps themselves.
        """
        paths = sorted(
            (step_path(procedure, step) for step in dict.fromkeys(self.steps)),
            key=lambda path: (int(path[1]), int(path[3])),
        )
        anchor = self.before if self.before is not None else self.after
        if not paths or anchor in self.steps:
            raise InputError(
                "a step cannot be moved before or behind itself", remedy="Choose another place"
            )
        moved = tuple(value_at(procedure, path) for path in paths)
        left = _without(procedure, paths)
        target, words = self._target(procedure)
        steps = left.get(target, procedure.sections[target].steps)
        at = next((i for i, step in enumerate(steps) if step.id == anchor), len(steps))
        at += self.before is None and anchor is not None
        left[target] = (*steps[:at], *moved, *steps[at:])
        label = f"Move {steps_called(procedure, paths)} {words}"
        self._check_empty(procedure, left)
        new = with_steps(procedure, left)
        if _same_order(procedure, new):
            new = procedure
        guard(procedure, new)
        here: Address = ("steps", self.steps[0])
        return Outcome(new, label, here, here)

    def _target(self, procedure: Procedure) -> tuple[int, str]:
        if self.before is not None:
            path = step_path(procedure, self.before)
            return int(path[1]), f"before step {number_of(procedure, path)}"
        if self.after is not None:
            path = step_path(procedure, self.after)
            return int(path[1]), f"behind step {number_of(procedure, path)}"
        if self.section is None:
            raise InputError("no place is named", remedy="Name a step or a section")
        target = section_index(procedure, self.section)
        return target, f"to the end of section '{procedure.sections[target].title}'"

    def _check_empty(self, procedure: Procedure, left: Mapping[int, tuple[Step, ...]]) -> None:
        empty = [procedure.sections[index].title for index, steps in left.items() if not steps]
        if empty and not self.drop_empty:
            raise InputError(
                f"section '{empty[0]}' would be left without a step",
                remedy="Leave a step in it, or remove the section",
            )


def _same_order(one: Procedure, other: Procedure) -> bool:
    return [s.id for s in one.sections] == [s.id for s in other.sections] and all(
        len(a.steps) == len(b.steps) and all(x is y for x, y in zip(a.steps, b.steps, strict=True))
        for a, b in zip(one.sections, other.sections, strict=True)
    )


def one_up(procedure: Procedure, steps: Sequence[str]) -> MoveSteps | None:
    """Return the move of steps by one place up, or into the section above; None at the top."""
    paths = sorted(map(lambda s: step_path(procedure, s), steps), key=_order)  # noqa: C417
    first = paths[0]
    if int(first[3]) > 0:
        above = procedure.sections[int(first[1])].steps[int(first[3]) - 1]
        return MoveSteps(tuple(steps), before=above.id)
    if int(first[1]) > 0:
        return MoveSteps(tuple(steps), section=procedure.sections[int(first[1]) - 1].id)
    return None


def one_down(procedure: Procedure, steps: Sequence[str]) -> MoveSteps | None:
    """Return the move of steps by one place down, or into the section below; None at the end."""
    last = max((step_path(procedure, step) for step in steps), key=_order)
    section: Section = procedure.sections[int(last[1])]
    if int(last[3]) + 1 < len(section.steps):
        return MoveSteps(tuple(steps), after=section.steps[int(last[3]) + 1].id)
    if int(last[1]) + 1 < len(procedure.sections):
        below = procedure.sections[int(last[1]) + 1]
        return MoveSteps(tuple(steps), before=below.steps[0].id)
    return None


def _order(path: Path) -> tuple[int, int]:
    return int(path[1]), int(path[3])


@dataclass(frozen=True, slots=True)
class SetSpan(Command):
    """Show a step by another span.

    Grade and masks of the clip stay. A still that lies outside the new span is moved to its
    middle if nothing was drawn on it.

    Attributes:
        step: id of the step.
        span: the marks.
    """

    step: str
    span: Span

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document."""
        path = step_path(procedure, self.step)
        step: Step = value_at(procedure, path)
        check_order(self.span.start, self.span.end)
        kept = as_plain(step.clip) if step.clip else {}
        new = replaced(procedure, (*path, "clip"), {**kept, **self.span.clip()})
        clip: Clip = value_at(new, (*path, "clip"))
        if step.still is None:
            still = fresh_still(self.span.recording, self.span.middle())
            new = replaced(new, (*path, "still"), still)
        elif not shows(clip, step.still) and not step.still.callouts and not step.still.masks:
            moved = {"recording": self.span.recording, "at": self.span.middle()}
            new = replaced(new, (*path, "still"), {**as_plain(step.still), **moved})
        if step.not_filmed is not None:
            new = replaced(new, (*path, "not_filmed"), None)
        here: Address = ("steps", self.step)
        return Outcome(new, f"Mark the span of step {number_of(procedure, path)}", here, here)


def shows(clip: Clip, still: Still) -> bool:
    """Whether a still lies in a clip, by their marks."""
    return still.recording == clip.recording and clip.start <= still.at < clip.end


@dataclass(frozen=True, slots=True)
class MoveMark(Command):
    """Move one mark of a step.

    Attributes:
        step: id of the step.
        mark: ``from`` or ``to`` of its clip, or ``at`` of its still.
        to: seconds.
    """

    step: str
    mark: Literal["from", "to", "at"]
    to: Decimal

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document.

        Raises:
            InputError: if the step has no such mark, or it cannot stand there.
        """
        path = step_path(procedure, self.step)
        block = "still" if self.mark == "at" else "clip"
        number = number_of(procedure, path)
        if getattr(value_at(procedure, path), block) is None:
            raise InputError(f"step {number} has no {block}", remedy="Mark a span first")
        new = replaced(procedure, (*path, block, self.mark), self.to)
        step: Step = value_at(new, path)
        if step.clip is not None and block == "clip":
            check_order(step.clip.start, step.clip.end)
        words = {"from": "begin of the clip", "to": "end of the clip", "at": "still"}[self.mark]
        here: Address = ("steps", self.step, block)
        return Outcome(new, f"Move the {words} of step {number}", here, here)
