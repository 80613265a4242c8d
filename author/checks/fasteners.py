"""Threaded joints: tightened with a torque, in an order, in passes that rise."""

from __future__ import annotations

import re
from collections.abc import Iterator

from author.checks.remarks import Path, Remark, Subject, remark
from author.procedure.document import Procedure
from author.procedure.specs import TorqueSpec
from author.procedure.steps import Step

# A screw is tightened; a screw cover, or a washer of a nut, is not.
_THREADED = re.compile(
    r"\b(screws?|bolts?|nuts?|studs?)\b"
    r"(?![ -](washers?|rings?|covers?|caps?|plates?|sleeves?|locks?|guards?|pins?|housings?)\b)",
    re.IGNORECASE,
)
_WHAT_FOR = re.compile(r"\b(for|of|under|behind|below)\b.*", re.IGNORECASE)
_BY_HAND = re.compile(r"\b(hand[- ]tight|finger[- ]tight|loose(ly)?)\b", re.IGNORECASE)


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on fasteners."""
    names = {part.id: part.name for part in subject.procedure.parts}
    tightened = _tightened(subject.procedure, names)
    for placed in subject.procedure.placed_steps():
        yield from _untightened(placed.step, placed.path, names, tightened)
        for index, spec in enumerate(placed.step.torques or ()):
            path = (*placed.path, "torques", index)
            yield from _order(spec, path)
            yield from _passes(spec, path)
            yield from _count(spec, placed.step, names, path)


def _tightened(procedure: Procedure, names: dict[str, str]) -> set[str]:
    """Return the parts that a step with a torque moves or names in words."""
    found: set[str] = set()
    for placed in procedure.placed_steps():
        torques = placed.step.torques or ()
        if not torques:
            continue
        found.update(movement.part for movement in placed.step.ledger or ())
        said = [placed.step.action, *(f"{t.characteristic} {t.where or ''}" for t in torques)]
        text = " ".join(said).casefold()
        found.update(part for part, name in names.items() if name.casefold() in text)
    return found


def _untightened(
    step: Step, path: Path, names: dict[str, str], tightened: set[str]
) -> Iterator[Remark]:
    text = f"{step.action} {step.note or ''}"
    for index, movement in enumerate(step.ledger or ()):
        name = names.get(movement.part, "")
        goes_on = movement.act in {"refits", "replaces"}
        threaded = _THREADED.search(_WHAT_FOR.sub("", name))
        if not goes_on or not threaded or movement.part in tightened:
            continue
        if step.torques or _BY_HAND.search(text):
            continue
        yield remark(
            "fasteners.no_torque",
            f"'{movement.part}' goes on here without a torque",
            (*path, "ledger", index),
        )


def _order(spec: TorqueSpec, path: Path) -> Iterator[Remark]:
    names = [fastener.name for fastener in spec.fasteners or ()]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        yield remark(
            "fasteners.order",
            f"'{spec.id}' has two fasteners named {twice[0]}",
            (*path, "fasteners"),
            "Give each fastener a name of its own",
        )
        return
    if spec.order is None:
        if len(names) > 1:
            yield remark("fasteners.order", f"'{spec.id}' has no tightening order", path)
        return
    if sorted(spec.order) != sorted(names):
        missing = sorted(set(names) - set(spec.order))
        twice = sorted({name for name in spec.order if spec.order.count(name) > 1})
        said = " and ".join(
            [f"misses {', '.join(missing)}"] * bool(missing)
            + [f"has {', '.join(twice)} twice"] * bool(twice)
        )
        said = said or "does not match the fasteners"
        yield remark("fasteners.order", f"the order of '{spec.id}' {said}", (*path, "order"))


def _passes(spec: TorqueSpec, path: Path) -> Iterator[Remark]:
    if spec.passes is None:
        return
    percents = [one.percent for one in spec.passes]
    if percents[-1] != 100 or percents != sorted(set(percents)):
        said = ", ".join(str(p) for p in percents)
        yield remark("fasteners.passes", f"the passes of '{spec.id}' are {said}", (*path, "passes"))


def _count(spec: TorqueSpec, step: Step, names: dict[str, str], path: Path) -> Iterator[Remark]:
    """Compare the pattern with what goes on, where one kind of fastener does in this step."""
    threaded = [
        movement
        for movement in step.ledger or ()
        if movement.act in {"refits", "replaces"}
        and _THREADED.search(_WHAT_FOR.sub("", names.get(movement.part, "")))
    ]
    drawn = len(spec.fasteners or ()) or 1
    if len({m.part for m in threaded}) != 1 or len(step.torques or ()) != 1:
        return
    count = sum(movement.quantity for movement in threaded)
    if count != drawn:
        yield remark(
            "fasteners.count",
            f"{count} of '{threaded[0].part}' go on, but '{spec.id}' tightens {drawn}",
            (*path, "fasteners") if spec.fasteners else path,
        )
