"""What must be right without a number: criteria, critical points and the witness point."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from author.bench.fields import step_options
from author.bench.views.sheet.group import BlockGroup, ListGroup
from author.bench.views.sheet.named import named_row
from author.bench.views.sheet.rows import Row, choices, unwritten
from author.bench.words import translate
from author.procedure.document import Procedure

if TYPE_CHECKING:
    from author.bench.session import Session


def _criterion_row() -> Row:
    rows = (
        Row(
            "look_for",
            translate("Sheet", "Look for"),
            "long",
            blank=unwritten("what to look for"),
            leads_to="accept",
        ),
        Row(
            "accept",
            translate("Sheet", "Accepted if"),
            "long",
            blank=unwritten("what is accepted"),
            leads_to="otherwise",
        ),
        Row(
            "otherwise",
            translate("Sheet", "Otherwise"),
            "long",
            blank=unwritten("what happens if not"),
        ),
        Row(
            "if_not",
            translate("Sheet", "If not met"),
            "choice",
            options=choices(("stop", translate("Sheet", "the job stops; nobody can allow it"))),
            none=translate("Sheet", "as said above"),
        ),
        named_row(
            "source", translate("Sheet", "Source"), "sources", none=translate("Sheet", "none")
        ),
    )
    return Row(
        "criteria",
        translate("Sheet", "Criteria"),
        "entries",
        rows=rows,
        one=translate("Sheet", "criterion"),
        waits=True,
        entry=lambda _: {
            "look_for": unwritten("what to look for"),
            "accept": unwritten("what is accepted"),
            "otherwise": unwritten("what happens if not"),
        },
    )


def _critical_row() -> Row:
    rows = (
        Row(
            "what",
            translate("Sheet", "What must be right"),
            "long",
            blank=unwritten("what must be right"),
            hint=translate("Sheet", "relative to the machine"),
        ),
        Row(
            "kind",
            translate("Sheet", "Kind"),
            "choice",
            options=choices(
                ("orientation", translate("Sheet", "which way round")),
                ("order", translate("Sheet", "in which order")),
                ("supply", translate("Sheet", "the supply and its grade")),
                ("criterion", translate("Sheet", "something else that is seen")),
            ),
        ),
        named_row(
            "source", translate("Sheet", "Source"), "sources", none=translate("Sheet", "none")
        ),
    )
    return Row(
        "critical_points",
        translate("Sheet", "Critical points"),
        "entries",
        rows=rows,
        one=translate("Sheet", "critical point"),
        waits=True,
        entry=lambda _: {"kind": "orientation", "what": unwritten("what must be right")},
    )


class CriteriaGroup(ListGroup):
    """What is looked at, felt or heard."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, translate("Sheet", "Criteria"), "criteria", _criterion_row())


class CriticalPointsGroup(ListGroup):
    """What must be right without a number."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session, translate("Sheet", "Critical points"), "critical_points", _critical_row()
        )


class WitnessGroup(BlockGroup):
    """A check that somebody else must see."""

    def __init__(self, session: Session) -> None:
        rows = (
            Row(
                "what", translate("Sheet", "What is seen"), "long", blank=unwritten("what is seen")
            ),
            named_row("role", translate("Sheet", "Who sees it"), "people"),
            Row(
                "before",
                translate("Sheet", "Before step"),
                "choice",
                options=step_options,
                none=translate("Sheet", "none named"),
            ),
        )
        super().__init__(session, translate("Sheet", "Witness point"), "witness", rows)

    def fresh(self) -> dict[str, Any]:
        """Return the block as it begins."""
        return {"what": unwritten("what is seen"), "role": _second(self.session.procedure)}


def _second(procedure: Procedure) -> str:
    """Return the role that is most likely to see it: not the one who does the work."""
    people = procedure.people
    return people[min(1, len(people) - 1)].id if people else "witness"
