"""What the work page decides by: limits, reactions and ways on, as plain data for its script.

The page holds no rule of its own. Where a reading is accepted and where it is rejected is
worked out here by ``author.procedure.conformity``, and the script only compares.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Literal, TypedDict

from author.checks.instruments import fits, uncertainty_in
from author.checks.reading_steps import step_of
from author.procedure.conformity import judge
from author.procedure.document import PlacedStep, Procedure
from author.procedure.items import Part, Supply, Tool
from author.procedure.lists import CloseOut, Finding, Prerequisite
from author.procedure.quantities import digits
from author.procedure.specs import LimitSpec, TorqueSpec
from author.procedure.steps import Step
from author.procedure.units import all_units
from author.publish.lookup import Lookup
from author.publish.page.ways_on import (
    OnwardFacts,
    ReactionFacts,
    label_of,
    onward_facts,
    reaction_facts,
)


class EndFacts(TypedDict):
    """Two limits as decimal texts in the unit of the spec; None where there is none."""

    lower: str | None
    upper: str | None


class ReactionsFacts(TypedDict):
    """What to do about a reading below, above, or too near to a limit to tell."""

    below: ReactionFacts | None
    above: ReactionFacts | None
    undecided: ReactionFacts | None


class SpecFacts(TypedDict):
    """One number to read.

    Attributes:
        id: id of the spec.
        step: id of its step.
        characteristic: what is measured.
        unit: unit of all numbers here.
        boxes: names of the places to read it at; one empty name for a single reading.
        judged: false for a number that is for reference.
        rule: name of the decision rule.
        accept: smallest and largest reading accepted; None where nothing can be decided.
        reject: readings below the first or above the second are rejected; None as above.
        why_not: why nothing can be decided, in a draft.
        spread_of: id of the spec over whose readings this one is worked out.
        spread_scale: two whole numbers as texts: times and by, from the unit of those
            readings to this one.
        instrument: id of the tool it is read with.
        step_of_scale: smallest step that tool shows, in ``unit``; None where it is not known,
            or the number is not written down as the tool shows it.
        scale_range: ends of the range of that tool, in ``unit``; None as for ``step_of_scale``.
        reactions: what to do about a reading that is not accepted.
        passes: rounds of tightening.
    """

    id: str
    step: str
    characteristic: str
    unit: str
    boxes: list[str]
    judged: bool
    rule: Literal["simple_acceptance", "guard_band"]
    accept: EndFacts | None
    reject: EndFacts | None
    why_not: str | None
    spread_of: str | None
    spread_scale: list[str] | None
    instrument: str | None
    step_of_scale: str | None
    scale_range: EndFacts | None
    reactions: ReactionsFacts
    passes: int


class DecisionFacts(TypedDict):
    """A choice of ways; ``spec`` is the id of the one whose reading decides, if a number does."""

    spec: str | None


class FittedFacts(TypedDict):
    """A part a step fits new or takes out, and how many."""

    part: str
    quantity: int


class StepFacts(TypedDict):
    """What has to be done at a step before the work goes on.

    Attributes:
        id: id of the step.
        number: its number through the whole procedure, from 1.
        label: name of its place on the page, ``step-7``.
        hazards: how many hazard messages it has.
        goes_to: label of the step the work goes on at, where it is not the next.
        witness: id of the role that has to see it.
        points: ids of critical points, then of criteria.
        stops: those of them without which the job must not go on.
        parts: parts fitted new.
        removes: parts taken out.
        specs: numbers to read.
        ways: every way on, by its name.
        decision: the spec whose reading decides, if any, where there are several ways.
    """

    id: str
    number: int
    label: str
    hazards: int
    goes_to: str | None
    witness: str | None
    points: list[str]
    stops: list[str]
    parts: list[FittedFacts]
    removes: list[FittedFacts]
    specs: list[SpecFacts]
    ways: dict[str, OnwardFacts]
    decision: DecisionFacts | None


class RoleFacts(TypedDict):
    """A role of the job, in words."""

    id: str
    role: str


class ToolFacts(TypedDict):
    """A tool, and the unit of its scale if it measures."""

    name: str
    unit: str | None


class PartFacts(TypedDict):
    """A part, and the numbers of what may go in for it; none where none is called for."""

    name: str
    numbers: list[str]


class ReferenceFacts(TypedDict):
    """A procedure at a revision."""

    id: str
    revision: int


class JobFacts(TypedDict):
    """Everything the script of a work page knows of its procedure.

    Attributes:
        procedure: which procedure, at which revision.
        content: SHA-256 of the procedure file.
        data: ``shop``, or ``demo`` for invented data.
        mark: ``DRAFT`` or the like, if the page must not be used as it stands.
        unit: name of the machine.
        roles: who takes part; never empty.
        tools: tools by id.
        parts: parts by id.
        ticks: keys of what is ticked outside the steps, such as ``tool:feeler-gauge``.
        steps: the steps, in order.
    """

    procedure: ReferenceFacts
    content: str
    data: Literal["shop", "demo"]
    mark: str | None
    unit: str
    roles: list[RoleFacts]
    tools: dict[str, ToolFacts]
    parts: dict[str, PartFacts]
    ticks: list[str]
    steps: list[StepFacts]


# A record names the role of everybody; a procedure that states no people has this one.
_ANYBODY: RoleFacts = {"id": "worker", "role": "Worker"}


def job_facts(procedure: Procedure, lookup: Lookup, content: str, mark: str | None) -> JobFacts:
    """Return what the script of the work page decides and records by.

    Args:
        procedure: the procedure.
        lookup: names behind its ids.
        content: SHA-256 of the published procedure file.
        mark: ``DRAFT`` or the like, or None.

    Returns:
        Plain data for JSON; decimals are texts with the digits of the document.
    """
    roles: list[RoleFacts] = [{"id": p.id, "role": p.role} for p in procedure.people]
    return {
        "procedure": {"id": procedure.id, "revision": procedure.revision},
        "content": content,
        "data": procedure.data,
        "mark": mark,
        "unit": procedure.unit.name,
        "roles": roles or [_ANYBODY],
        "tools": {t.id: {"name": t.name, "unit": t.measures} for t in lookup.tools.values()},
        "parts": {
            p.id: {"name": p.name, "numbers": list(p.numbers)} for p in lookup.parts.values()
        },
        "ticks": _ticks(procedure),
        "steps": [_step(placed, procedure, lookup) for placed in procedure.placed_steps()],
    }


def _ticks(procedure: Procedure) -> list[str]:
    lists: tuple[
        tuple[str, Iterable[Prerequisite | Part | Tool | Supply | CloseOut | Finding]], ...
    ]
    lists = (
        ("before", procedure.prerequisites),
        ("part", procedure.parts),
        ("tool", procedure.tools),
        ("supply", procedure.supplies),
        ("after", procedure.close_outs),
        ("hold", (finding for finding in procedure.findings if finding.holds)),
    )
    general = [f"general-{index}" for index in range(len(procedure.general_hazards))]
    return general + [f"{word}:{entry.id}" for word, entries in lists for entry in entries]


def _step(placed: PlacedStep, procedure: Procedure, lookup: Lookup) -> StepFacts:
    step = placed.step
    decision = step.decision
    return {
        "id": step.id,
        "number": placed.number,
        "label": f"step-{placed.number}",
        "hazards": len(step.hazards or ()),
        "goes_to": label_of(step.goes_to, lookup),
        "witness": None if step.witness is None else step.witness.role,
        "points": [
            *(point.id for point in step.critical_points or ()),
            *(criterion.id for criterion in step.criteria or ()),
        ],
        "stops": [c.id for c in step.criteria or () if c.if_not == "stop"],
        "parts": _handled(step, ("replaces",)),
        "removes": _handled(step, ("removes", "destroys")),
        "specs": [_spec(step.id, spec, lookup) for spec in step.all_specs()],
        "ways": onward_facts(placed, procedure, lookup),
        "decision": None
        if decision is None
        else {"spec": decision.spec if decision.spec in lookup.specs else None},
    }


def _handled(step: Step, acts: tuple[str, ...]) -> list[FittedFacts]:
    counts: dict[str, int] = {}
    for move in step.ledger or ():
        if move.act in acts:
            counts[move.part] = counts.get(move.part, 0) + move.quantity
    return [{"part": part, "quantity": count} for part, count in counts.items()]


# --- numbers ---


def _spec(step: str, spec: LimitSpec, lookup: Lookup) -> SpecFacts:
    base, scale = _spread(spec, lookup)
    instrument = spec.instrument or (None if base is None else base.instrument)
    judged = not spec.reference and (spec.lower is not None or spec.upper is not None)
    band = _band(instrument, spec, lookup)
    accept, reject, why_not = _zones(spec, band) if judged else (None, None, None)
    return {
        "id": spec.id,
        "step": step,
        "characteristic": spec.characteristic,
        "unit": spec.unit,
        "boxes": [""] if base is not None else box_names(spec),
        "judged": judged,
        "rule": spec.decision_rule,
        "accept": accept,
        "reject": reject,
        "why_not": why_not,
        "spread_of": None if base is None else base.id,
        "spread_scale": scale,
        "instrument": instrument if instrument in lookup.tools else None,
        "step_of_scale": digits(_step_of_scale(spec, lookup)),
        "scale_range": _scale_range(spec, lookup),
        "reactions": {
            "below": reaction_facts(spec.below, lookup),
            "above": reaction_facts(spec.above, lookup),
            "undecided": reaction_facts(spec.undecided, lookup),
        },
        "passes": len(spec.passes or ()) if isinstance(spec, TorqueSpec) else 0,
    }


def box_names(spec: LimitSpec) -> list[str]:
    """Return the names of the places a number is read at, each once; one empty name for one.

    A torque with a pattern is read at each fastener, in tightening order.
    """
    names: Iterable[str] = spec.positions or ()
    if not names and isinstance(spec, TorqueSpec) and len(spec.fasteners or ()) > 1:
        names = spec.order or (f.name for f in spec.fasteners or ())
    return [*dict.fromkeys(names)] or [""]


def _spread(spec: LimitSpec, lookup: Lookup) -> tuple[LimitSpec | None, list[str] | None]:
    """Return the spec over whose readings one is worked out, and the scale between the units.

    A draft may name one that has not several readings of its kind: then it is none.
    """
    _, base = lookup.specs.get(spec.spread_of or "", (None, None))
    if base is None or base.spread_of is not None or len(box_names(base)) < 2:
        return None, None
    unit, other = all_units()[spec.unit], all_units()[base.unit]
    if not fits(other, unit):
        return None, None
    ratio = other.factor / unit.factor
    return base, [str(ratio.numerator), str(ratio.denominator)]


def _band(instrument: str | None, spec: LimitSpec, lookup: Lookup) -> Decimal | None:
    """Return the expanded uncertainty of the instrument in the unit of the spec, if known."""
    tool = lookup.tools.get(instrument or "")
    return None if tool is None else uncertainty_in(tool, all_units()[spec.unit])


def _step_of_scale(spec: LimitSpec, lookup: Lookup) -> Decimal | None:
    tool = lookup.tools.get(spec.instrument or "")
    return None if tool is None else step_of(tool, spec)


def _scale_range(spec: LimitSpec, lookup: Lookup) -> EndFacts | None:
    """Return the range of an instrument, where a reading is what it shows and in its unit."""
    tool = lookup.tools.get(spec.instrument or "")
    if tool is None or tool.measures != spec.unit or step_of(tool, spec) is None:
        return None
    if tool.range_from is None and tool.range_to is None:
        return None
    return {"lower": digits(tool.range_from), "upper": digits(tool.range_to)}


def _zones(
    spec: LimitSpec, band: Decimal | None
) -> tuple[EndFacts | None, EndFacts | None, str | None]:
    """Return what is accepted and what rejected, or why that cannot be said."""
    limits = spec.limits()
    try:
        found = judge(limits.values()[0], limits, band, spec.decision_rule)
    except ValueError as error:
        return None, None, str(error)
    # The rejection zone lies twice the guard band outside, as ``judge`` has it.
    guard = band if spec.decision_rule == "guard_band" and band is not None else Decimal(0)
    accept: EndFacts = {"lower": digits(found.lower), "upper": digits(found.upper)}
    reject: EndFacts = {
        "lower": None if found.lower is None else digits(found.lower - 2 * guard),
        "upper": None if found.upper is None else digits(found.upper + 2 * guard),
    }
    return accept, reject, None
