"""Groups of one field: reason, people, where it goes on, why it is not filmed, note."""

from __future__ import annotations

from typing import TYPE_CHECKING

from author.bench.fields import options_of, step_options
from author.bench.views.sheet.group import LineGroup
from author.bench.views.sheet.rows import Row
from author.bench.words import translate
from author.procedure.steps import Step

if TYPE_CHECKING:
    from author.bench.session import Session


class PlainGroup(LineGroup):
    """A group with one field and nothing to count."""

    def summary(self, step: Step) -> str:  # noqa: ARG002 - a field speaks for itself
        """Say nothing beside the heading."""
        return ""


def reason(session: Session) -> PlainGroup:
    """Return the group that says why a step is done."""
    return PlainGroup(
        session,
        translate("Sheet", "Reason"),
        Row("reason", "", "long", hint=translate("Sheet", "why it is done")),
    )


def people(session: Session) -> PlainGroup:
    """Return the group that says who does a step."""
    row = Row("people", "", "ticks", options=lambda p: options_of(p, "people"))
    return PlainGroup(session, translate("Sheet", "People"), row)


def goes_to(session: Session) -> PlainGroup:
    """Return the group that says where the work goes on."""
    row = Row(
        "goes_to", "", "choice", options=step_options, none=translate("Sheet", "at the next step")
    )
    return PlainGroup(session, translate("Sheet", "Goes on at"), row)


def not_filmed(session: Session) -> PlainGroup:
    """Return the group that says why there is no picture."""
    row = Row("not_filmed", "", "long", hint=translate("Sheet", "why there is no picture of it"))
    return PlainGroup(session, translate("Sheet", "Not filmed"), row)


def note(session: Session) -> PlainGroup:
    """Return the group for anything else."""
    return PlainGroup(session, translate("Sheet", "Note"), Row("note", "", "long"))
