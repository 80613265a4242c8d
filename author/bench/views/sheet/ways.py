"""Ways to do a step, mildest first, and ways on from it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from author.bench.fields import ChoiceField, Option, step_options
from author.bench.views.sheet.group import BlockGroup, ListGroup
from author.bench.views.sheet.named import names_row
from author.bench.views.sheet.rows import Row, unwritten
from author.bench.words import translate
from author.editing import SetField
from author.procedure.document import Procedure
from author.procedure.steps import Branch

if TYPE_CHECKING:
    from author.bench.session import Session

_TARGETS = ("step", "section", "procedure", "stop")


def _rung(_procedure: Procedure) -> dict[str, Any]:
    return {"how": unwritten("what is done")}


class LadderGroup(ListGroup):
    """A method ladder: ways to do one thing, mildest first."""

    def __init__(self, session: Session) -> None:
        rows = (
            Row(
                "how",
                translate("Sheet", "How"),
                "long",
                blank=unwritten("what is done"),
                leads_to="give_up_when",
            ),
            names_row("tools", translate("Sheet", "Tools"), "tools", translate("Sheet", "tool")),
            Row("give_up_when", translate("Sheet", "Give up when"), "long", leads_to="may_damage"),
            Row("may_damage", translate("Sheet", "May damage"), "long", leads_to="allowed_because"),
            Row(
                "allowed_because",
                translate("Sheet", "Allowed because"),
                "long",
                leads_to="no_return",
            ),
            Row(
                "no_return",
                translate("Sheet", "In hand before"),
                "long",
                hint=translate("Sheet", "where there is no way back"),
            ),
        )
        row = Row(
            "ladder",
            translate("Sheet", "Ways"),
            "entries",
            rows=rows,
            entry=_rung,
            one=translate("Sheet", "way"),
        )
        super().__init__(session, translate("Sheet", "Ways to do it, mildest first"), "ladder", row)

    def add(self, entry: Any = None) -> None:
        """Add a way; where there is none, the two a ladder has at least."""
        step = self.session_step()
        if step is None or step.ladder is not None:
            super().add(entry)
            return
        both = [{"how": step.action}, _rung(self.session.procedure)]
        if self.session.do(SetField(self.address("ladder"), both)):
            self.ask_for()
            self.go_to(("ladder", 1, "how"))


class TargetChoice(ChoiceField):
    """Where a way on leads: a step, a section, another procedure, or a stop."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, self._targets, name=translate("Sheet", "Leads to"))

    def _targets(self) -> list[Option]:
        procedure = self.place.session.procedure
        steps = [(("step", key), words) for key, words in step_options(procedure)]
        sections = [
            (("section", one.id), translate("Sheet", "Section: {0}").format(one.title))
            for one in procedure.sections
        ]
        other = ("procedure", ""), translate("Sheet", "Another procedure")
        return [(("stop", ""), translate("Sheet", "The job stops")), *steps, *sections, other]

    def choice_of(self, value: Any) -> Any:
        """Return the kind of target and what it names."""
        return _target(value) if isinstance(value, Branch) else None

    def _take(self, row: int) -> None:
        kind, name = self.itemData(row) or ("", "")
        old = self.place.value
        if not kind or not isinstance(old, Branch):
            return
        entry: dict[str, Any] = {"when": old.when, "at_most": old.at_most}
        if kind == "stop":
            entry["stop"] = old.stop or unwritten("why, and what to do with the machine")
        elif kind == "procedure":
            entry["procedure"] = old.procedure or {"id": "procedure-to-be-named"}
        else:
            entry[kind] = name
        self.place.write({key: value for key, value in entry.items() if value is not None})
        self.place.end_visit()
        self._show(self.place.value)


class NumberChoice(ChoiceField):
    """The number that decides: those of the step itself first, then the nearest before it."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session,
            self._numbers,
            name=translate("Sheet", "Decided by"),
            none=translate("Sheet", "no number"),
        )

    def _numbers(self) -> list[Option]:
        at = self.place.at
        procedure = self.place.session.procedure
        steps = procedure.placed_steps() if at else ()
        own = next((one.number for one in steps if at and one.step.id == at[1]), 0)
        listed = [(placed.number, spec) for placed, _, spec in procedure.placed_specs()]
        # Where the job comes back, what is measured later may decide; it is offered last.
        listed.sort(key=lambda one: (one[0] > own, abs(own - one[0])))
        said = translate("Sheet", "{0} · step {1}")
        return [
            (
                spec.id,
                spec.characteristic if number == own else said.format(spec.characteristic, number),
            )
            for number, spec in listed
        ]


def _target(way: Branch) -> tuple[str, str] | None:
    for kind in _TARGETS:
        named = getattr(way, kind)
        if named is not None:
            return kind, named if kind in {"step", "section"} else ""
    return None


class DecisionGroup(BlockGroup):
    """A condition with two or more ways on."""

    def __init__(self, session: Session) -> None:
        ways = (
            Row("when", translate("Sheet", "When"), "long", blank=unwritten("the condition")),
            Row("", translate("Sheet", "Leads to"), "own", make=TargetChoice),
            Row("stop", translate("Sheet", "Why, and then"), "long", when_there=True),
            Row("procedure.id", translate("Sheet", "Its id"), when_there=True),
            Row(
                "at_most",
                translate("Sheet", "At most"),
                "count",
                hint=translate("Sheet", "times, for a way back"),
            ),
        )
        rows = (
            Row(
                "question",
                translate("Sheet", "Question"),
                "long",
                blank=unwritten("what is decided"),
            ),
            Row("spec", translate("Sheet", "Decided by"), "own", make=NumberChoice),
            Row(
                "ways",
                translate("Sheet", "Ways on"),
                "entries",
                rows=ways,
                entry=_way,
                one=translate("Sheet", "way on"),
            ),
        )
        super().__init__(session, translate("Sheet", "Decision"), "decision", rows)

    def fresh(self) -> dict[str, Any]:
        """Return the decision as it begins: go on, or stop."""
        steps = [placed.step.id for placed in self.session.procedure.placed_steps()]
        at = steps.index(self.session.step) if self.session.step in steps else -1
        onward = steps[at + 1] if at + 1 < len(steps) else None
        go_on = {"step": onward} if onward else {"stop": unwritten("why the job ends here")}
        return {
            "question": unwritten("what is decided"),
            "ways": [{"when": unwritten("the condition"), **go_on}, _way(self.session.procedure)],
        }


def _way(_procedure: Procedure) -> dict[str, Any]:
    return {
        "when": unwritten("the condition"),
        "stop": unwritten("why, and what to do with the machine"),
    }
