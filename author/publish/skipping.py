"""Steps that the decision before them passes by, and who sends a reader to them."""

from __future__ import annotations

from author.procedure.document import PlacedStep
from author.procedure.steps import Branch
from author.publish.lookup import Data, Lookup, step_reference


def skip_data(placed: PlacedStep, lookup: Lookup) -> Data | None:
    """Return what is said over a step that may be skipped; none where it never is.

    A reader who turns the page goes on with what stands first there. So a step that a way of
    the decision right before it passes by says who does it, and where the others go on.

    Args:
        placed: the step and its number.
        lookup: names behind ids.
    """
    before = next((p for p in lookup.steps.values() if p.number == placed.number - 1), None)
    if before is None or before.step.decision is None:
        return None
    past: dict[str, Data] = {}
    for way in before.step.decision.ways:
        number = _begins(way, lookup)
        if number is not None and number > placed.number:
            past.setdefault(way.when, _target(way, lookup))
    if not past:
        return None
    senders = [p for p in lookup.steps.values() if p.number != placed.number and _sends(p, placed)]
    return {
        "after": step_reference(before),
        "senders": [step_reference(p) for p in senders],
        "past": [{"when": when, "reference": target} for when, target in past.items()],
    }


def _begins(way: Branch, lookup: Lookup) -> int | None:
    """Return the number of the step that a way leads to."""
    if way.step is not None:
        return lookup.steps[way.step].number if way.step in lookup.steps else None
    steps = (p for p in lookup.steps.values() if p.section.id == way.section)
    return next((p.number for p in steps), None)


def _target(way: Branch, lookup: Lookup) -> Data:
    return lookup.section(way.section or "") if way.step is None else lookup.step(way.step) or {}


def _sends(sender: PlacedStep, placed: PlacedStep) -> bool:
    """Return whether a step sends the reader to another by name."""
    step = sender.step
    targets = {step.goes_to}
    for way in step.decision.ways if step.decision else ():
        targets.add(way.step)
        if way.section == placed.section.id and placed.step_index == 0:
            return True
    for spec in step.all_specs():
        targets |= {r.step for r in (spec.below, spec.above, spec.undecided) if r is not None}
    return placed.step.id in targets
