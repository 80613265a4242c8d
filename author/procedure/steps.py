"""Sections and steps: one action a person takes, with what belongs to it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from author.procedure.lists import ProcedureRef
from author.procedure.specs import LimitSpec, TorqueSpec
from author.procedure.values import SEVERAL, SOME, Count, Extent, Id, Line, Mark, Node, Point


class Hazard(Node):
    """A hazard message, its parts in the order of ANSI Z535.6 and OASIS DITA.

    Attributes:
        signal: DANGER, WARNING and CAUTION for people, NOTICE for damage to things.
        hazard: what can do harm.
        consequence: what it does.
        avoid: how to avoid it.
    """

    signal: Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
    hazard: Line
    consequence: Line | None = None
    avoid: Line


class Mask(Node):
    """A part of the picture hidden for privacy.

    Attributes:
        at: its middle.
        size: its width and height, as shares of the picture's.
    """

    at: Point
    size: Extent


class Callout(Node):
    """A mark drawn on a still.

    Attributes:
        shape: arrow, ring, box, label, or numbered leader.
        at: what it points at; the middle of a ring, box or label.
        tail: where an arrow begins or a leader's number stands.
        size: width and height of a ring or box, as shares of the picture's.
        text: words shown with it; for a leader, the text its number stands for.
    """

    shape: Literal["arrow", "ring", "box", "label", "leader"]
    at: Point
    tail: Point | None = None
    size: Extent | None = None
    text: Line | None = None


class Clip(Node):
    """The span of a recording that shows a step.

    Attributes:
        recording: id of the recording.
        start: mark of the first frame shown; ``from`` in the file.
        end: mark of the frame up to which it is shown, itself not shown; ``to`` in the file.
        grade: whether the work shown is as recommended, tolerated here, or not to be
            copied.
        grade_reason: why, for any grade but the first.
        masks: areas hidden.
    """

    recording: Id
    start: Annotated[Mark, Field(alias="from")]
    end: Annotated[Mark, Field(alias="to")]
    grade: Literal["as_recommended", "tolerated_here", "do_not_copy"] = "as_recommended"
    grade_reason: Line | None = None
    masks: Annotated[tuple[Mask, ...], *SOME] | None = None


class Still(Node):
    """The one frame that shows a step.

    Attributes:
        recording: id of the recording.
        at: mark of the frame.
        alt: what the picture shows, in words, for a reader who cannot see it.
        callouts: marks drawn on it.
        masks: areas hidden.
    """

    recording: Id
    at: Mark
    alt: Line
    callouts: Annotated[tuple[Callout, ...], *SOME] | None = None
    masks: Annotated[tuple[Mask, ...], *SOME] | None = None


class SupplyUse(Node):
    """A supply as one step uses it.

    Attributes:
        supply: id of the supply.
        amount: how much.
        where: on which surface or in which cavity.
    """

    supply: Id
    amount: Line | None = None
    where: Line | None = None


class Movement(Node):
    """One entry of the ledger: what a step does with parts.

    Attributes:
        act: ``removes`` takes it off in hand; ``refits`` puts the same one back;
            ``replaces`` puts a new one where the old one was; ``discards`` scraps one
            that is in hand; ``destroys`` takes it off so that it is scrap.
        part: id of the part.
        quantity: how many.
        places: at which of the part's places, where it has named ones.
        orientation: which way round, relative to the machine and not to the camera.
    """

    act: Literal["removes", "refits", "replaces", "discards", "destroys"]
    part: Id
    quantity: Count = 1
    places: Annotated[tuple[Line, ...], *SOME] | None = None
    orientation: Line | None = None


class CriticalPoint(Node):
    """What is not a number but must be right.

    Attributes:
        id: short name, unique among specs, critical points and criteria.
        kind: orientation, order, supply and its grade, or criterion.
        what: one sentence, relative to the machine, not to the camera.
        source: id of its source.
    """

    id: Id
    kind: Literal["orientation", "order", "supply", "criterion"]
    what: Line
    source: Id | None = None


class WitnessPoint(Node):
    """A check that must be seen before later work covers it.

    Attributes:
        what: what is seen.
        role: id of the role that sees it.
        before: id of the step that covers it.
    """

    what: Line
    role: Id
    before: Id | None = None


class Way(Node):
    """One rung of a method ladder.

    Attributes:
        how: what is done.
        tools: ids of the tools it takes.
        give_up_when: the sign to go on to the next way.
        may_damage: what it may damage.
        allowed_because: why that is allowed.
        no_return: what must be in hand before this way is taken, if it cannot be undone.
    """

    how: Line
    tools: Annotated[tuple[Id, ...], *SOME] | None = None
    give_up_when: Line | None = None
    may_damage: Line | None = None
    allowed_because: Line | None = None
    no_return: Line | None = None


class Criterion(Node):
    """Something looked at, felt or heard.

    Attributes:
        id: short name, unique among specs, critical points and criteria.
        look_for: what to look for.
        accept: what is accepted.
        otherwise: what happens if not.
        if_not: ``stop`` where the job must not go on while it is not met, as for a try-out of
            the lockout: nobody can allow that otherwise.
        source: id of its source.
    """

    id: Id
    look_for: Line
    accept: Line
    otherwise: Line
    if_not: Literal["stop"] | None = None
    source: Id | None = None


class Branch(Node):
    """One way on from a decision: a step, a section, another procedure, or a stop.

    Attributes:
        when: the condition.
        step: id of the step to go to.
        section: id of the section to go to.
        procedure: procedure to go to.
        stop: why the job stops here and what to do with the machine.
        at_most: how often this way may be taken, for a way that leads back.
    """

    when: Line
    step: Id | None = None
    section: Id | None = None
    procedure: ProcedureRef | None = None
    stop: Line | None = None
    at_most: Count | None = None


class Decision(Node):
    """A condition with two or more ways on.

    Attributes:
        question: what is decided.
        spec: id of the spec whose reading decides, if a number does.
        ways: the ways on, at least two.
    """

    question: Line
    spec: Id | None = None
    ways: Annotated[tuple[Branch, ...], *SEVERAL]


class Step(Node):
    """One action a person takes.

    Attributes:
        id: short name, unique in the procedure.
        action: one imperative sentence.
        reason: why it is done, if that helps.
        people: ids of the roles that do it, where it is not the first listed alone.
        hazards: hazard messages, shown before the action.
        clip: the span that shows it.
        still: the frame that shows it.
        not_filmed: why there is no picture of it.
        tools: ids of the tools used.
        supplies: supplies used.
        ledger: what comes off and goes on, in the order it is done.
        specs: limit specs.
        torques: torque specs.
        critical_points: what must be right without a number.
        criteria: what is looked at, and what is accepted.
        witness: a check somebody else must see.
        ladder: ways to do it, mildest first.
        decision: ways on from here.
        goes_to: id of the step the work goes on at, where it is not the next; for steps
            that put something right and lead back.
        note: anything else worth saying.
    """

    id: Id
    action: Line
    reason: Line | None = None
    people: Annotated[tuple[Id, ...], *SOME] | None = None
    hazards: Annotated[tuple[Hazard, ...], *SOME] | None = None
    clip: Clip | None = None
    still: Still | None = None
    not_filmed: Line | None = None
    tools: Annotated[tuple[Id, ...], *SOME] | None = None
    supplies: Annotated[tuple[SupplyUse, ...], *SOME] | None = None
    ledger: Annotated[tuple[Movement, ...], *SOME] | None = None
    specs: Annotated[tuple[LimitSpec, ...], *SOME] | None = None
    torques: Annotated[tuple[TorqueSpec, ...], *SOME] | None = None
    critical_points: Annotated[tuple[CriticalPoint, ...], *SOME] | None = None
    criteria: Annotated[tuple[Criterion, ...], *SOME] | None = None
    witness: WitnessPoint | None = None
    ladder: Annotated[tuple[Way, ...], *SEVERAL] | None = None
    decision: Decision | None = None
    goes_to: Id | None = None
    note: Line | None = None

    def all_specs(self) -> tuple[LimitSpec, ...]:
        """Return limit specs, then torque specs."""
        return (*(self.specs or ()), *(self.torques or ()))


class Section(Node):
    """A heading with steps under it.

    Attributes:
        id: short name, unique in the procedure.
        title: the heading.
        steps: the steps, in order.
    """

    id: Id
    title: Line
    steps: Annotated[tuple[Step, ...], *SOME]
