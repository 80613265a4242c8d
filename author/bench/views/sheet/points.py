"""What must be right without a number: criteria, critical points and the witness point."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from author.bench.fields import step_options
from author.bench.views.sheet.group import BlockGroup, ListGroup
from author.bench.views.sheet.named import named_row
from author.bench.views.sheet.rows import Row, choices, say, unwritten
from author.procedure.document import Procedure

if TYPE_CHECKING:
    from author.bench.session import Session


def _criterion_row() -> Row:
    rows = (
        Row("look_for", say("Look for"), "long", blank=unwritten("what to look for")),
        Row("accept", say("Accepted if"), "long", blank=unwritten("what is accepted")),
        Row("otherwise", say("Otherwise"), "long", blank=unwritten("what happens if not")),
        Row(
            "if_not",
            say("If not met"),
            "choice",
            options=choices(("stop", say("the job stops; nobody can allow it"))),
            none=say("as said above"),
        ),
        named_row("source", say("Source"), "sources", none=say("none")),
    )
    return Row(
        "criteria",
        say("Criteria"),
        "entries",
        rows=rows,
        one=say("criterion"),
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
            say("What must be right"),
            "long",
            blank=unwritten("what must be right"),
            hint=say("relative to the machine"),
        ),
        Row(
            "kind",
            say("Kind"),
            "choice",
            options=choices(
                ("orientation", say("which way round")),
                ("order", say("in which order")),
                ("supply", say("the supply and its grade")),
                ("criterion", say("something else that is seen")),
            ),
        ),
        named_row("source", say("Source"), "sources", none=say("none")),
    )
    return Row(
        "critical_points",
        say("Critical points"),
        "entries",
        rows=rows,
        one=say("critical point"),
        entry=lambda _: {"kind": "orientation", "what": unwritten("what must be right")},
    )


class CriteriaGroup(ListGroup):
    """What is looked at, felt or heard."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, say("Criteria"), "criteria", _criterion_row())


class CriticalPointsGroup(ListGroup):
    """What must be right without a number."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, say("Critical points"), "critical_points", _critical_row())


class WitnessGroup(BlockGroup):
    """A check that somebody else must see."""

    def __init__(self, session: Session) -> None:
        rows = (
            Row("what", say("What is seen"), "long", blank=unwritten("what is seen")),
            named_row("role", say("Who sees it"), "people"),
            Row(
                "before",
                say("Before step"),
                "choice",
                options=step_options,
                none=say("none named"),
            ),
        )
        super().__init__(session, say("Witness point"), "witness", rows)

    def fresh(self) -> dict[str, Any]:
        """Return the block as it begins."""
        return {"what": unwritten("what is seen"), "role": _second(self.session.procedure)}


def _second(procedure: Procedure) -> str:
    """Return the role that is most likely to see it: not the one who does the work."""
    people = procedure.people
    return people[min(1, len(people) - 1)].id if people else "witness"
