"""What every command is: a frozen wish that makes a new document out of one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from author.checks.wording import UNWRITTEN
from author.editing.addresses import Address
from author.procedure.document import Procedure

NO_ACTION = f"{UNWRITTEN} one action, as an order"
"""The action of a step that is still to be written."""
NO_ALT = f"{UNWRITTEN} what the picture shows"
"""The words of a still that are still to be written."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a command makes of a document.

    Attributes:
        procedure: the new document; the same object if nothing has changed.
        label: what was done, in words.
        was: address, in the old document, of the thing it is about.
        now: address, in the new document, of the thing it is about.
    """

    procedure: Procedure
    label: str
    was: Address
    now: Address


class Command:
    """A change of a document, said by ids. Subclasses are frozen dataclasses."""

    __slots__ = ()

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document.

        Raises:
            InputError: if it cannot be done; the document is as it was.
        """
        raise NotImplementedError

    def apply(self, procedure: Procedure) -> Procedure:
        """Return the new document.

        Raises:
            InputError: if it cannot be done.
        """
        return self.outcome(procedure).procedure

    def label(self, procedure: Procedure) -> str:
        """Return what the command does to a document, in words."""
        return self.outcome(procedure).label


def written(text: str) -> bool:
    """Whether somebody has written a text that a new step only has a mark for."""
    return not text.startswith(UNWRITTEN)


def with_steps(procedure: Procedure, steps: dict[int, tuple[Any, ...]]) -> Procedure:
    """Return a document whose sections have other steps; one without any is left out.

    Args:
        procedure: the document.
        steps: by the index of a section, all steps it has now.
    """
    sections = tuple(
        section.model_copy(update={"steps": steps[index]}) if index in steps else section
        for index, section in enumerate(procedure.sections)
        if steps.get(index) != ()
    )
    return procedure.model_copy(update={"sections": sections})
