"""Two people change one document: what touches different things comes together."""

from collections.abc import Sequence
from typing import Any

import pytest
from document.samples import base, load
from hypothesis import given, settings
from hypothesis import strategies as st

from author.contract.procedure_file import read_procedure
from author.editing import (
    AddEntry,
    AddStep,
    Command,
    Merge,
    MoveEntry,
    MoveSection,
    MoveSteps,
    RemoveEntry,
    RemoveSection,
    RemoveSteps,
    Rename,
    SetField,
    SplitSection,
    merge,
)
from author.errors import InputError
from author.procedure.document import Procedure
from editing.opened import EVERYTHING, same
from editing.wishes import command

WHOLE = read_procedure(EVERYTHING).procedure


def job() -> Procedure:
    """Two sections of three steps, with three tools."""

    def section(name: str, ids: str) -> dict[str, Any]:
        entries = [{"id": i, "action": f"Do {i}.", "not_filmed": "Dark"} for i in ids]
        return {"id": name, "title": name.title(), "steps": entries}

    plain = base()
    plain["sections"] = [section("first", "abc"), section("second", "def")]
    plain["sources"] = plain["parts"] = "none"
    plain["tools"] = [{"id": f"t{n}", "name": f"Tool {n}"} for n in range(3)]
    hazard = plain["general_hazards"][0]
    plain["general_hazards"] = [{**hazard, "hazard": f"Hazard {n}"} for n in range(2)]
    return load(plain).procedure


JOB = job()


def together(mine: Sequence[Command], theirs: Sequence[Command], **more: Any) -> Merge:
    return merge(JOB, done(mine), done(theirs), **more)


def done(commands: Sequence[Command]) -> Procedure:
    procedure = JOB
    for one in commands:
        procedure = one.apply(procedure)
    return procedure


def order(procedure: Procedure | None) -> str:
    assert procedure is not None
    return " | ".join("".join(step.id for step in s.steps) for s in procedure.sections)


def a_step(name: str, after: str) -> AddStep:
    return AddStep("Do it.", id=name, after=after)


@pytest.mark.parametrize(
    ("mine", "theirs", "found"),
    [
        ([MoveSteps(("a",), after="c")], [SetField(("steps", "a", "note"), "x")], "bca | def"),
        ([MoveSteps(("a",), after="f")], [MoveSteps(("b",), after="c")], "cb | defa"),
        ([a_step("x", "a")], [a_step("y", "c")], "axbcy | def"),
        ([a_step("x", "a")], [RemoveSteps(("a",))], "xbc | def"),
        ([RemoveSteps(("b",))], [RemoveSteps(("b", "e"))], "ac | df"),
        ([SplitSection("b", "Half")], [SetField(("steps", "c", "note"), "x")], "a | bc | def"),
        ([RemoveSection("second")], [MoveSteps(("a",), after="b")], "bacdef"),
        ([MoveSection("second", "first")], [MoveSteps(("f",), before="d")], "fde | abc"),
        ([MoveSteps(("a",), after="d")], [MoveSteps(("a",), after="d")], "bc | daef"),
    ],
)
def test_steps_come_together(mine: list[Command], theirs: list[Command], found: str) -> None:
    assert order(together(mine, theirs).procedure) == found
    assert order(together(theirs, mine).procedure) == found


def test_what_one_says_and_where_the_other_puts_it() -> None:
    found = together(
        [SetField(("steps", "a", "note"), "Mine"), AddEntry(("tools",), {"id": "x", "name": "X"})],
        [SetField(("steps", "a", "reason"), "Theirs"), Rename(("tools", "t1"), "t9")],
    ).procedure
    assert found is not None
    step = found.sections[0].steps[0]
    assert (step.note, step.reason) == ("Mine", "Theirs")
    assert [tool.id for tool in found.tools] == ["t0", "t9", "t2", "x"]
    assert found.sections[1] is JOB.sections[1], "what nobody has changed is the same object"


HAZARD = {"signal": "CAUTION", "hazard": "Heat", "avoid": "Wait"}


@pytest.mark.parametrize(
    ("mine", "theirs", "named"),
    [
        ([SetField(("title",), "A")], [SetField(("title",), "B")], "title"),
        (
            [SetField(("steps", "a", "action"), "A.")],
            [SetField(("steps", "a", "action"), "B.")],
            "action of step 1",
        ),
        ([RemoveSteps(("a",))], [SetField(("steps", "a", "note"), "x")], "step 1"),
        ([RemoveSteps(("a",))], [MoveSteps(("a",), after="e")], "step 1"),
        ([MoveSteps(("a",), after="c")], [MoveSteps(("a",), after="e")], None),
        ([MoveSteps(("a",), section="second"), MoveSteps(("b",), section="second")],
         [SplitSection("b", "Half")], "step 6"),
        ([MoveSteps(("a",), after="c")], [MoveSteps(("b",), after="c")], "steps of section"),
        ([a_step("x", "a")], [AddStep("Other", id="x")], "step 2"),
        ([RemoveEntry(("tools", "t1"))],
         [SetField(("steps", "a", "tools"), ["t1"])], "'t1' is still named"),
        ([MoveEntry(("tools", "t0"))], [MoveEntry(("tools", "t1"))], "tools"),
        ([AddEntry(("general_hazards",), HAZARD)],
         [SetField(("general_hazards", 0, "avoid"), "Other")], "general hazards"),
        ([RemoveSection("second", with_steps=True)], [a_step("x", "d")], "section of step 'x'"),
        ([RemoveSection("first")], [RemoveSection("second")], "section of step 'a'"),
    ],
)  # fmt: skip
def test_what_both_have_changed_is_named(
    mine: list[Command], theirs: list[Command], named: str | None
) -> None:
    found = together(mine, theirs)
    if named is None:
        assert found.procedure is not None
        return
    assert found.procedure is None
    assert any(named in conflict.what for conflict in found.conflicts), found.conflicts
    for side in ("mine", "theirs"):
        assert together(mine, theirs, prefer=side).procedure is not None


def test_hazards_without_ids_are_told_apart_by_their_place() -> None:
    found = together(
        [SetField(("general_hazards", 0, "avoid"), "Mine")],
        [SetField(("general_hazards", 1, "avoid"), "Theirs")],
    ).procedure
    assert found is not None
    assert [hazard.avoid for hazard in found.general_hazards] == ["Mine", "Theirs"]


def test_sections_left_without_a_step_are_no_merge() -> None:
    found = together([RemoveSteps(("a", "b"))], [MoveSteps(("c",), after="d")])
    assert found.procedure is None
    assert "without a step" in str(found.conflicts[0])


def test_a_section_that_both_have_made_has_the_steps_as_both_have_them() -> None:
    split = SplitSection("b", "Later.")
    found = together([SetField(("sections", 0, "steps", 1, "reason"), "Why")], [split]).procedure
    assert found is not None
    again = merge(JOB, found, done([split])).procedure
    assert again is not None and same(again, found)
    named = SetField(("sections", 1, "title"), "Much later.")
    other = merge(JOB, done([split]), done([split, named]))
    assert other.procedure is None and "Later." in str(other.conflicts[0])


def test_ids_given_twice_cannot_be_merged() -> None:
    twice = JOB.sections[0].steps[1].model_copy(update={"id": "a"})
    section = JOB.sections[0].model_copy(update={"steps": (JOB.sections[0].steps[0], twice)})
    theirs = JOB.model_copy(update={"sections": (section, JOB.sections[1])})
    found = merge(JOB, done([SetField(("title",), "A")]), theirs)
    assert found.procedure is None and "given twice" in str(found.conflicts[0])


def changed(data: st.DataObject, count: int) -> Procedure:
    procedure = WHOLE
    for _ in range(count):
        try:
            procedure = command(data, procedure).apply(procedure)
        except InputError:
            continue
    return procedure


@settings(max_examples=25)
@given(st.data(), st.integers(1, 4))
def test_one_side_alone_is_taken_as_it_is(data: st.DataObject, count: int) -> None:
    other = changed(data, count)
    for found in (
        merge(WHOLE, other, WHOLE),
        merge(WHOLE, WHOLE, other),
        merge(WHOLE, other, other),
    ):
        assert found.procedure is not None, found.conflicts
        assert same(found.procedure, other)


@settings(max_examples=25)
@given(st.data(), st.integers(1, 3))
def test_any_two_come_together_alike_or_are_refused(data: st.DataObject, count: int) -> None:
    mine, theirs = changed(data, count), changed(data, count)
    found = merge(WHOLE, mine, theirs)
    other = merge(WHOLE, theirs, mine)
    assert (found.procedure is None) == (other.procedure is None)
    for side in ("mine", "theirs"):
        preferred = merge(WHOLE, mine, theirs, prefer=side).procedure
        if preferred is not None:
            assert Procedure.model_validate(preferred.model_dump(by_alias=True)) == preferred
    if found.procedure is not None:
        assert merge(WHOLE, found.procedure, theirs).procedure is not None
