"""Steps are added, removed, moved, divided and joined; nothing is lost on the way."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from document.samples import Plain, base, filmed, load, step

from author.checks.wording import UNWRITTEN
from author.editing import (
    NO_ACTION,
    AddSection,
    AddStep,
    Command,
    JoinSteps,
    MoveMark,
    MoveSection,
    MoveSteps,
    RemoveSection,
    RemoveSteps,
    SetField,
    SetSpan,
    Span,
    SplitSection,
    SplitStep,
    one_down,
    one_up,
)
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.steps import Step
from editing.opened import same, small, unfilmed


def steps(procedure: Procedure) -> list[str]:
    return [placed.step.id for placed in procedure.placed_steps()]


def five() -> Procedure:
    """Two sections: a, b, c and d, e."""

    def section(name: str, ids: str) -> Plain:
        entries = [{"id": id_, "action": f"Do {id_}.", "not_filmed": "Dark"} for id_ in ids]
        return {"id": name, "title": name.title(), "steps": entries}

    plain = base()
    plain["sections"] = [section("first", "abc"), section("second", "de")]
    return load(plain).procedure


def done(procedure: Procedure, *commands: Command) -> Procedure:
    for command in commands:
        procedure = command.apply(procedure)
    return procedure


def the(procedure: Procedure, name: str) -> Step:
    return next(p.step for p in procedure.placed_steps() if p.step.id == name)


def refused(command: Command, procedure: Procedure) -> str:
    with pytest.raises(InputError) as caught:
        command.apply(procedure)
    return str(caught.value)


def test_a_step_is_made_from_a_span_with_its_still_inside() -> None:
    span = Span("film", Decimal("3"), Decimal("4.5"))
    command = AddStep("Pull the guard off the drill.", after="guard-off", span=span)
    outcome = command.outcome(small())
    made = the(outcome.procedure, "pull-guard-off-drill")
    assert steps(outcome.procedure) == ["guard-off", made.id, "guard-on"]
    assert made.clip is not None and made.still is not None
    assert (made.clip.start, made.clip.end, made.still.at) == (3, Decimal("4.5"), Decimal("3.75"))
    assert made.still.alt.startswith(UNWRITTEN)
    assert outcome.label == "Add step 2"
    assert outcome.now == ("steps", made.id)


@pytest.mark.parametrize(
    ("action", "name"),
    [
        ("Take the nut off.", "take-nut-off"),
        ("Take the nut off with the puller and the drift", "take-nut-off-puller"),
        ("Löse die Mutter", "lose-die-mutter"),
        ("6 Schrauben lösen", "step-3-6-schrauben-losen"),
        ("Снимите гайку", "step-3"),
        (NO_ACTION, "step-3"),
        ("Unclip the clip; guard-off", "unclip-clip-guard-off"),
        ("Guard off!", "guard-off-2"),
        ("a", "a"),
    ],
)
def test_a_step_gets_an_id_that_a_person_can_say(action: str, name: str) -> None:
    assert steps(AddStep(action).apply(small()))[-1] == name


def test_a_step_that_cannot_be_is_not_added() -> None:
    assert "not after its begin" in refused(
        AddStep(span=Span("film", Decimal(2), Decimal(2))), small()
    )
    assert "given already" in refused(AddStep(id="guard-on"), small())
    assert "no section 'x'" in refused(AddStep(section="x"), small())


@pytest.mark.parametrize(
    ("move", "order", "label"),
    [
        (MoveSteps(("a",), after="c"), "b c a d e", "Move step 1 behind step 3"),
        (MoveSteps(("a",), before="e"), "b c d a e", "Move step 1 before step 5"),
        (MoveSteps(("e", "a"), after="b"), "b a e c d", "Move steps 1 and 5 behind step 2"),
        (
            MoveSteps(("b",), section="second"),
            "a c d e b",
            "Move step 2 to the end of",
        ),
        (
            MoveSteps(("d", "e"), before="a", drop_empty=True),
            "d e a b c",
            "Move steps 4 and 5 before step 1",
        ),
    ],
)
def test_steps_move_in_their_order(move: MoveSteps, order: str, label: str) -> None:
    outcome = move.outcome(five())
    assert steps(outcome.procedure) == order.split()
    assert outcome.label.startswith(label)
    assert {id(p.step) for p in outcome.procedure.placed_steps()} <= {
        id(p.step) for p in five_shared(outcome.procedure, move)
    }


def five_shared(after: Procedure, move: MoveSteps) -> list[Any]:
    """The steps of a move done on one document: they have to be the same objects."""
    before = five()
    again = move.apply(before)
    assert same(again, after)
    assert {id(p.step) for p in again.placed_steps()} == {id(p.step) for p in before.placed_steps()}
    return list(after.placed_steps())


def test_moves_that_cannot_be() -> None:
    assert "section 'Second' would be left without" in refused(
        MoveSteps(("d", "e"), section="first"), five()
    )
    assert "itself" in refused(MoveSteps(("a", "b"), after="b"), five())
    assert "no place" in refused(MoveSteps(("a",)), five())
    whole = five()
    assert MoveSteps(("a",), before="b").apply(whole) is whole


def test_steps_walk_up_and_down_by_one_place() -> None:
    procedure = five()
    seen = []
    while (move := one_up(procedure, ["d"])) is not None:
        procedure = MoveSteps(move.steps, move.before, move.after, move.section, True).apply(
            procedure
        )
        seen.append(" ".join(steps(procedure)))
    assert seen == ["a b c d e", "a b d c e", "a d b c e", "d a b c e"]
    down = []
    while (move := one_down(procedure, ["d"])) is not None:
        procedure = move.apply(procedure)
        down.append(" ".join(steps(procedure)))
    assert down == ["a d b c e", "a b d c e", "a b c d e", "a b c d e", "a b c e d"]


def test_a_step_that_is_named_is_not_removed() -> None:
    named = SetField(("steps", "d", "goes_to"), "a").apply(five())
    assert refused(RemoveSteps(("a",)), named).startswith("'a' is still named by step 4.")
    assert steps(RemoveSteps(("a", "d")).apply(named)) == ["b", "c", "e"]
    assert "no step at all" in refused(RemoveSteps(tuple("abcde")), five())
    without = RemoveSteps(("d", "e")).apply(five())
    assert [section.id for section in without.sections] == ["first"]


def filmed_step() -> Procedure:
    """The guard-off step with all that a step may have on it, filmed from 1 s to 2 s."""
    plain = base()
    filmed(plain)
    step(plain, 0).update(
        hazards=[{"signal": "CAUTION", "hazard": "Edges", "avoid": "Gloves"}],
        goes_to="guard-on",
    )
    step(plain, 0)["still"]["callouts"] = [{"shape": "label", "at": ["0.5", "0.5"], "text": "Here"}]
    step(plain, 0)["clip"]["masks"] = [{"at": ["0.1", "0.1"], "size": ["0.1", "0.1"]}]
    return load(plain).procedure


def test_a_split_divides_the_clip_and_keeps_what_belongs_to_the_step() -> None:
    before = filmed_step()
    outcome = SplitStep("guard-off", Decimal("1.2")).outcome(before)
    first, second = (p.step for p in list(outcome.procedure.placed_steps())[:2])
    old = the(before, "guard-off")
    assert first.clip and second.clip and first.still and second.still
    assert (first.clip.start, first.clip.end) == (1, Decimal("1.2"))
    assert (second.clip.start, second.clip.end) == (Decimal("1.2"), 2)
    assert second.still is old.still, "the still goes to the half it lies in"
    assert first.still.at == Decimal("1.1")
    assert first.still.masks == second.clip.masks == first.clip.masks, "what is hidden stays hidden"
    assert first.hazards is old.hazards and first.ledger is old.ledger
    assert (first.goes_to, second.goes_to) == (None, "guard-on"), "the second half is reached"
    assert second.action == NO_ACTION and not second.hazards
    assert outcome.now == ("steps", second.id)


@pytest.mark.parametrize("moment", ["1", "2", "0.5", "30"])
def test_a_split_outside_the_clip_is_refused(moment: str) -> None:
    assert "inside the clip of step 1" in refused(SplitStep("guard-off", Decimal(moment)), small())
    assert "no clip" in refused(SplitStep("guard-off", Decimal(moment)), unfilmed())


def test_what_was_split_is_joined_to_the_same_again() -> None:
    before = filmed_step()
    both = done(before, SplitStep("guard-off", Decimal("1.7")), JoinSteps("guard-off"))
    assert same(both, before)


def test_a_step_that_an_empty_one_joins_is_not_copied() -> None:
    before = small()
    empty = AddStep(after="guard-off", id="empty")
    assert the(done(before, empty, JoinSteps("guard-off")), "guard-off") is the(before, "guard-off")


def test_a_join_keeps_both_actions_and_all_lists() -> None:
    before = SetField(("steps", "guard-on", "hazards"), [
        {"signal": "CAUTION", "hazard": "Edges", "avoid": "Gloves"}
    ]).apply(small())  # fmt: skip
    before = SetField(("steps", "guard-off", "reason"), "It is in the way").apply(before)
    before = SetField(("steps", "guard-on", "clip", "to"), "5").apply(before)
    back = SetField(("steps", "guard-on", "specs", "gap", "below", "step"), "guard-on")
    joint = the(done(before, back, JoinSteps("guard-off")), "guard-off")
    assert joint.action == "Unclip the guard. Clip the guard on and measure the gap."
    assert [movement.act for movement in joint.ledger or ()] == ["removes", "refits"]
    assert [hazard.hazard for hazard in joint.hazards or ()] == ["Edges"]
    assert joint.clip is not None and (joint.clip.start, joint.clip.end) == (1, 5)
    assert joint.reason == "It is in the way"
    assert joint.specs and joint.specs[0].below and joint.specs[0].below.step == "guard-off"


WITNESS = {"what": "Seated", "role": "technician"}
WAYS = [{"when": "no", "stop": "Ask"}, {"when": "yes", "step": "guard-on"}]
DECISION = {"question": "Fits?", "ways": WAYS}
DRAWN = {"callouts": [{"shape": "label", "at": ["0.1", "0.1"], "text": "Here"}]}


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        ({"witness": WITNESS}, {"witness": WITNESS}, "both have a witness point"),
        ({"decision": DECISION}, {"decision": DECISION}, "both have a decision"),
        ({"decision": DECISION}, {}, "before the next step is done"),
        ({"goes_to": "guard-off"}, {}, "before the next step is done"),
        ({"clip": {"grade": "do_not_copy"}}, {}, "graded differently"),
        ({"clip": {"recording": "other"}}, {}, "two recordings"),
        ({"action": "x" * 399}, {}, "too long together"),
        ({"still": DRAWN}, {"still": DRAWN}, "both drawn on"),
    ],
)  # fmt: skip
def test_steps_that_cannot_be_one_are_not_joined(first: Plain, second: Plain, said: str) -> None:
    plain = base()
    filmed(plain)
    for index, more in enumerate((first, second)):
        for key, value in more.items():
            nested = key in {"clip", "still"}
            step(plain, index)[key] = {**step(plain, index)[key], **value} if nested else value
    assert said in refused(JoinSteps("guard-off"), load(plain).procedure)


def test_the_last_step_of_a_section_has_no_next() -> None:
    assert "last of its section" in refused(JoinSteps("c"), five())


@pytest.mark.parametrize(
    ("change", "kept"),
    [
        (lambda s: s.update(action=f"{UNWRITTEN} x"), "Unclip the guard."),
        (lambda s: s.update(action="Unclip the guard."), "Unclip the guard."),
        (lambda s: s.update(action="Lift"), "Unclip the guard. Lift"),
    ],
)
def test_a_join_leaves_out_what_nobody_has_written(
    change: Callable[[Plain], Any], kept: str
) -> None:
    plain = base()
    change(step(plain, 1))
    assert the(JoinSteps("guard-off").apply(load(plain).procedure), "guard-off").action == kept


def test_marks_move_and_a_still_follows_its_clip() -> None:
    procedure = done(small(), MoveMark("guard-off", "to", Decimal("3")))
    assert MoveMark("guard-off", "at", Decimal("2")).label(procedure) == "Move the still of step 1"
    assert "not after its begin" in refused(MoveMark("guard-off", "from", Decimal(3)), procedure)
    assert "step 1 has no clip" in refused(MoveMark("guard-off", "to", Decimal(1)), unfilmed())
    moved = the(
        SetSpan("guard-off", Span("film", Decimal(8), Decimal(9))).apply(procedure), "guard-off"
    )
    assert moved.still and moved.still.at == Decimal("8.5") and moved.still.alt == "The guard"
    drawn = the(
        SetSpan("guard-off", Span("film", Decimal(8), Decimal(9))).apply(filmed_step()), "guard-off"
    )
    assert drawn.still and drawn.still.at == Decimal("1.5"), "what was drawn fits one frame alone"
    assert drawn.clip and drawn.clip.masks


def test_a_span_on_a_step_without_picture_gives_it_one() -> None:
    procedure = load({**base(), "recordings": small_recordings()}).procedure
    found = the(
        SetSpan("guard-off", Span("film", Decimal(0), Decimal(1))).apply(procedure), "guard-off"
    )
    assert found.clip and found.still and found.not_filmed is None


def small_recordings() -> Any:
    plain = base()
    filmed(plain)
    return plain["recordings"]


def sections(procedure: Procedure) -> list[str]:
    return [f"{s.id}: {' '.join(step.id for step in s.steps)}" for s in procedure.sections]


@pytest.mark.parametrize(
    ("command", "left"),
    [
        (AddSection("Closing"), ["first: a b c", "second: d e", "closing: step-6"]),
        (AddSection("D", before="second"), ["first: a b c", "d-2: step-4", "second: d e"]),
        (SplitSection("b", "Half"), ["first: a", "half: b c", "second: d e"]),
        (RemoveSection("second"), ["first: a b c d e"]),
        (RemoveSection("first"), ["second: a b c d e"]),
        (RemoveSection("first", with_steps=True), ["second: d e"]),
        (MoveSection("second", before="first"), ["second: d e", "first: a b c"]),
        (MoveSection("first"), ["second: d e", "first: a b c"]),
    ],
)
def test_sections(command: Command, left: list[str]) -> None:
    assert sections(command.apply(five())) == left
    assert command.label(five())


def test_sections_that_cannot_be() -> None:
    assert "begins at this step already" in refused(SplitSection("d", "Again"), five())
    assert "only section" in refused(RemoveSection("work"), small())
    ways = [{"when": "no", "section": "second"}, {"when": "yes", "step": "b"}]
    decision = {"question": "Fits?", "ways": ways}
    named = SetField(("steps", "a", "decision"), decision).apply(five())
    assert "'second' is still named by step 1" in refused(RemoveSection("second"), named)
