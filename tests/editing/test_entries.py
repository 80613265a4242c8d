"""Values and lists of any kind are changed by one set of commands."""

from typing import Any

import pytest

from author.checks import check
from author.contract.procedure_file import read_procedure
from author.editing import (
    AddEntry,
    Command,
    MoveEntry,
    RemoveEntry,
    Rename,
    SetField,
    users_of,
    value_at,
)
from author.errors import InputError
from author.procedure.document import Procedure
from editing.opened import EVERYTHING, same, small

WHOLE = read_procedure(EVERYTHING).procedure
BOLT = {"name": "Guard bolt M6", "replace": "always", "order": "always"}


def refused(command: Command, procedure: Procedure) -> str:
    with pytest.raises(InputError) as caught:
        command.apply(procedure)
    return str(caught.value)


@pytest.mark.parametrize(
    ("command", "label"),
    [
        (SetField(("title",), "Refit it"), "Change the title"),
        (SetField(("unit", "number"), "BD-2"), "Add the number of the unit"),
        (SetField(("parts", "clip", "number"), "77"), "Add the number of part “Guard clip”"),
        (SetField(("steps", "guard-on", "action"), "Do."), "Change the action of step 2"),
        (SetField(("steps", "guard-on", "tools"), ["caliper"]), "Add the tools of step 2"),
        (SetField(("steps", "guard-on", "still"), None), "Take the still of step 2 out"),
        (SetField(("sections", "work", "title"), "X"), "Change the title of section 'Work'"),
        (
            SetField(("steps", "guard-on", "specs", "gap", "upper"), "7"),
            "Change the limits of measurement “Gap to the pulley” of step 2",
        ),
        (
            SetField(("steps", "guard-on", "specs", "gap", "above", "how"), "Bend it"),
            "Change how of measurement “Gap to the pulley” of step 2",
        ),
        (
            SetField(("general_hazards", 0, "avoid"), "Wear thick gloves"),
            "Change how to avoid it of hazard message 1",
        ),
        (AddEntry(("parts",), BOLT), "Add part “Guard bolt M6”"),
        (
            AddEntry(("steps", "guard-on", "tools"), "caliper"),
            "Add tool “Caliper 150 mm” of step 2",
        ),
        (RemoveEntry(("general_hazards", 0)), "Remove hazard message 1"),
        (RemoveEntry(("steps", "guard-on", "ledger", 0)), "Remove ledger entry 1 of step 2"),
        (Rename(("steps", "guard-on"), "guard-back"), "Rename step 2 to guard-back"),
    ],
)
def test_what_is_done_is_said_in_words(command: Command, label: str) -> None:
    outcome = command.outcome(small())
    assert outcome.label == label
    assert not same(outcome.procedure, small())


def test_an_entry_gets_an_id_from_its_words() -> None:
    outcome = AddEntry(("parts",), BOLT, before="clip").outcome(small())
    assert [part.id for part in outcome.procedure.parts] == ["guard-bolt-m6", "clip"]
    assert outcome.now == ("parts", "guard-bolt-m6")
    again = AddEntry(("parts",), BOLT).outcome(outcome.procedure)
    assert again.now == ("parts", "guard-bolt-m6-2")
    spec = {"characteristic": "Ω", "quantity": "length", "unit": "mm", "upper": "1"}
    found = AddEntry(("steps", "guard-off", "specs"), spec).outcome(small())
    assert found.now == ("steps", "guard-off", "specs", "spec")


def test_an_entry_that_cannot_be_is_not_added() -> None:
    assert "given already" in refused(AddEntry(("parts",), {"id": "clip", **BOLT}), small())
    assert "is no list" in refused(AddEntry(("title",), "x"), small())
    assert "'replace' is missing" in refused(AddEntry(("parts",), {"name": "x"}), small())
    assert "no entry" in refused(RemoveEntry(("title",)), small())
    point = {"id": "gap", "look_for": "x", "accept": "x", "otherwise": "x"}
    assert "'gap' is given already" in refused(
        AddEntry(("steps", "guard-off", "criteria"), point), small()
    )


def test_what_is_named_is_not_removed_and_its_users_are_told() -> None:
    said = refused(RemoveEntry(("parts", "clip")), small())
    assert said.startswith("'clip' is still named by step 1 and step 2.")
    assert "'caliper' is still named by step 2" in refused(SetField(("tools",), ()), small())
    assert "'card' is still named by step 2" in refused(
        SetField(("sources", "card"), {"id": "other", "kind": "demo", "title": "x"}), small()
    )
    spare = AddEntry(("parts",), BOLT).apply(small())
    assert RemoveEntry(("parts", "guard-bolt-m6")).outcome(spare).now == ("parts", "clip")


def test_a_concession_keeps_what_it_is_about() -> None:
    concession = {"rule": "limits.source", "at": "gap", "reason": "x", "role": "technician"}
    procedure = AddEntry(("concessions",), concession).apply(small())
    said = refused(RemoveEntry(("steps", "guard-on", "specs", "gap")), procedure)
    assert said.startswith("'gap' is still named by concession 1.")
    renamed = Rename(("steps", "guard-on", "specs", "gap"), "gap-to-pulley").apply(procedure)
    assert renamed.concessions[0].at == "gap-to-pulley"


def test_an_order_is_changed() -> None:
    steps = ("steps", "wheel-off")
    before = WHOLE.tools
    outcome = MoveEntry(("tools", before[0].id), before=before[2].id).outcome(WHOLE)
    assert [tool.id for tool in outcome.procedure.tools[:3]] == [
        before[1].id, before[0].id, before[2].id,
    ]  # fmt: skip
    assert all(any(tool is old for old in before) for tool in outcome.procedure.tools)
    last = MoveEntry(("tools", before[0].id)).outcome(WHOLE)
    assert last.label == f"Move tool “{before[0].name}” to the end"
    assert MoveEntry(("tools", 0), before=1).apply(WHOLE) is WHOLE
    assert steps


def named_things() -> list[Any]:
    """Every thing of the sample that something names."""
    paths = [
        *((key, i) for key in ("people", "recordings", "sources", "parts", "tools", "supplies")
          for i in range(len(getattr(WHOLE, key)))),
        *(("sections", i) for i in range(len(WHOLE.sections))),
        *(placed.path for placed in WHOLE.placed_steps()),
        *(path for _, path, _ in WHOLE.placed_points()),
    ]  # fmt: skip
    return paths


@pytest.mark.parametrize("path", named_things(), ids=str)
def test_a_new_id_is_followed_everywhere(path: Any) -> None:
    before = check(WHOLE).remarks
    renamed = SetField((*path, "id"), "quite-new").apply(WHOLE)
    assert value_at(renamed, path).id == "quite-new"
    assert len(check(renamed).remarks) == len(before), "no reference was broken"
    back = Rename(path, value_at(WHOLE, path).id).apply(renamed)
    assert same(back, WHOLE)


def test_the_users_of_a_thing_are_known() -> None:
    found = users_of(small(), "parts", "clip")
    assert [use.path for use in found] == [
        ("sections", 0, "steps", 0, "ledger", 0, "part"),
        ("sections", 0, "steps", 1, "ledger", 0, "part"),
    ]


def test_an_id_given_twice_can_be_mended() -> None:
    from author.editing import replaced

    twice = replaced(small(), ("sections", 0, "steps", 1, "id"), "guard-off")
    mended = Rename(("sections", 0, "steps", 1), "guard-on").apply(twice)
    assert same(mended, small())
    assert "given already" in refused(Rename(("steps", "guard-off"), "work"), small())
