"""Commands for sections: add, split, remove, move. A title is set like any other value."""

from __future__ import annotations

from dataclasses import dataclass

from author.checks.naming import new_id
from author.editing.addresses import Address, nearest, step_path
from author.editing.commands import NO_ACTION, Command, Outcome, with_steps
from author.editing.ids import guard, ids_in, taken_with
from author.editing.replacing import validated
from author.editing.steps import new_step_id, section_index
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.steps import Section, Step


def _new_section(procedure: Procedure, title: str, steps: tuple[Step, ...]) -> Section:
    """Return a section with an id made from its title."""
    said = validated(Section, "title", title, ("sections", "title"))
    name = new_id(title, taken_with(ids_in(procedure), "sections"), "section")
    return Section(id=name, title=said, steps=steps)


@dataclass(frozen=True, slots=True)
class AddSection(Command):
    """Add a section with one step in it, since none is without.

    Attributes:
        title: its heading.
        before: id of the section to stand before; None puts it last.
        action: the action of its step; may be written later.
    """

    title: str
    before: str | None = None
    action: str = NO_ACTION

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document."""
        sections = procedure.sections
        at = len(sections) if self.before is None else section_index(procedure, self.before)
        number = sum(len(section.steps) for section in sections[:at]) + 1
        action = validated(Step, "action", self.action, ("steps", "action"))
        step = Step(id=new_step_id(procedure, self.action, number), action=action)
        new_one = _new_section(procedure, self.title, (step,))
        if new_one.id == step.id:
            step = step.model_copy(update={"id": f"{step.id[:40]}-{number}"})
            new_one = new_one.model_copy(update={"steps": (step,)})
        new = procedure.model_copy(update={"sections": (*sections[:at], new_one, *sections[at:])})
        guard(procedure, new)
        was: Address = ("sections", sections[max(at - 1, 0)].id)
        return Outcome(new, f"Add section '{new_one.title}'", was, ("sections", new_one.id))


@dataclass(frozen=True, slots=True)
class SplitSection(Command):
    """Begin a new section at a step.

    Attributes:
        step: id of the first step of the new section.
        title: its heading.
    """

    step: str
    title: str

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document.

        Raises:
            InputError: if a section begins at the step already.
        """
        path = step_path(procedure, self.step)
        index, at = int(path[1]), int(path[3])
        section = procedure.sections[index]
        if at == 0:
            raise InputError(
                "a section begins at this step already", remedy="Choose a step further down"
            )
        new_one = _new_section(procedure, self.title, section.steps[at:])
        new = with_steps(procedure, {index: section.steps[:at]})
        sections = (*new.sections[: index + 1], new_one, *new.sections[index + 1 :])
        new = new.model_copy(update={"sections": sections})
        guard(procedure, new)
        label = f"Begin section '{new_one.title}'"
        return Outcome(new, label, ("steps", self.step), ("sections", new_one.id))


@dataclass(frozen=True, slots=True)
class RemoveSection(Command):
    """Remove a section; its steps go to the section before it, or go as well.

    Attributes:
        section: its id.
        with_steps: whether its steps are removed too. Otherwise they come last in the
            section before, or first in the one behind where it is the first.
    """

    section: str
    with_steps: bool = False

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document.

        Raises:
            InputError: if it is the only section, or something refers to what would go.
        """
        index = section_index(procedure, self.section)
        sections = procedure.sections
        if len(sections) == 1:
            raise InputError("this is the only section", remedy="Add another one first")
        gone = sections[index]
        left = {index: ()} if self.with_steps else self._joined(procedure, index)
        new = with_steps(procedure, left)
        guard(procedure, new)
        if self.with_steps:
            label, now = f"Remove section '{gone.title}' with its steps", self._beside(new, index)
        else:
            label, now = f"Remove section '{gone.title}'", ("steps", gone.steps[0].id)
        was: Address = ("sections", self.section)
        return Outcome(new, label, was, nearest(now, new, new))

    def _joined(self, procedure: Procedure, index: int) -> dict[int, tuple[Step, ...]]:
        gone = procedure.sections[index].steps
        if index == 0:
            return {0: (), 1: (*gone, *procedure.sections[1].steps)}
        return {index - 1: (*procedure.sections[index - 1].steps, *gone), index: ()}

    def _beside(self, new: Procedure, index: int) -> Address:
        return ("sections", new.sections[min(index, len(new.sections) - 1)].id)


@dataclass(frozen=True, slots=True)
class MoveSection(Command):
    """Move a section with its steps.

    Attributes:
        section: its id.
        before: id of the section to stand before; None puts it last.
    """

    section: str
    before: str | None = None

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document."""
        index = section_index(procedure, self.section)
        sections = procedure.sections
        to = len(sections) if self.before is None else section_index(procedure, self.before)
        moved = sections[index]
        left = [*sections[:index], *sections[index + 1 :]]
        left.insert(to - (to > index), moved)
        new = procedure
        if any(a is not b for a, b in zip(left, sections, strict=True)):
            new = procedure.model_copy(update={"sections": tuple(left)})
        where = "to the end" if self.before is None else f"before '{sections[to].title}'"
        here: Address = ("sections", self.section)
        return Outcome(new, f"Move section '{moved.title}' {where}", here, here)
