"""Commands that make two steps of one, and one of two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from author.editing.addresses import Address, step_path, value_at
from author.editing.commands import NO_ACTION, Command, Outcome, with_steps, written
from author.editing.ids import guard, users_of
from author.editing.replacing import validated, with_field, with_values
from author.editing.steps import Span, check_order, fresh_still, new_step_id, shows
from author.editing.words import joined, number_of
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.steps import Clip, Step, Still
from author.procedure.values import Node

_LISTS = (
    "people", "hazards", "tools", "supplies", "ledger", "specs", "torques", "critical_points",
    "criteria",
)  # fmt: skip
_ONLY_ONE = {"witness": "witness point", "ladder": "method ladder", "decision": "decision"}


@dataclass(frozen=True, slots=True)
class SplitStep(Command):
    """Divide a step where its clip is at a moment.

    What belongs to the step stays with its first half; where the work goes on from it (a
    decision, ``goes_to``) goes with the second, or else that could not be reached. The still
    goes to the half it lies in, the other is given a fresh one from its middle. The second
    half has an action that is still to be written.

    Attributes:
        step: id of the step.
        at: mark of the first frame of the second half, seconds.
    """

    step: str
    at: Decimal

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document.

        Raises:
            InputError: if the step has no clip, or the moment does not lie within it.
        """
        path = step_path(procedure, self.step)
        number = number_of(procedure, path)
        step: Step = value_at(procedure, path)
        if step.clip is None:
            raise InputError(f"step {number} has no clip to divide", remedy="Mark its span first")
        at: Decimal = validated(Clip, "end", self.at, (*path, "clip", "to"))
        if not step.clip.start < at < step.clip.end:
            raise InputError(
                f"{at} s does not lie inside the clip of step {number}",
                remedy=f"Choose a moment between {step.clip.start} s and {step.clip.end} s",
            )
        name = new_step_id(procedure, NO_ACTION, number + 1)
        first, second = _halves(step, step.clip, at, name)
        section = int(path[1])
        steps = procedure.sections[section].steps
        index = int(path[3])
        new = with_steps(procedure, {section: (*steps[:index], first, second, *steps[index + 1 :])})
        guard(procedure, new)
        label = f"Split step {number}"
        return Outcome(new, label, ("steps", self.step), ("steps", name))


def _halves(step: Step, clip: Clip, at: Decimal, name: str) -> tuple[Step, Step]:
    clips = clip.model_copy(update={"end": at}), clip.model_copy(update={"start": at})
    stills: list[Any] = [step.still, None]
    if step.still is not None and shows(clips[1], step.still):
        stills.reverse()
    fresh = [_fresh(c) if still is None else still for c, still in zip(clips, stills, strict=True)]
    first = step.model_copy(
        update={"clip": clips[0], "still": fresh[0], "decision": None, "goes_to": None}
    )
    second = Step(
        id=name,
        action=NO_ACTION,
        people=step.people,
        clip=clips[1],
        still=fresh[1],
        decision=step.decision,
        goes_to=step.goes_to,
    )
    return first, second


def _fresh(clip: Clip) -> Still:
    middle = Span(clip.recording, clip.start, clip.end).middle()
    still = Still.model_validate(fresh_still(clip.recording, middle))
    # What is hidden in the clip must not come to light in its still.
    return still.model_copy(update={"masks": clip.masks}) if clip.masks else still


@dataclass(frozen=True, slots=True)
class JoinSteps(Command):
    """Join a step with the next of its section.

    Lists are put together, both actions are kept, and the clip spans both. Where both have
    something of which a step can have only one, it is refused.

    Attributes:
        step: id of the first of the two, which is the id that stays.
    """

    step: str

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document.

        Raises:
            InputError: if the step is the last of its section, or both cannot be one.
        """
        path = step_path(procedure, self.step)
        number, index, section = number_of(procedure, path), int(path[3]), int(path[1])
        steps = procedure.sections[section].steps
        if index + 1 >= len(steps):
            raise InputError(
                f"step {number} is the last of its section", remedy="Move the next step there first"
            )
        first, second = steps[index], steps[index + 1]
        _check_ways(first, second, number)
        joint = _joined(first, second, number)
        new = with_steps(procedure, {section: (*steps[:index], joint, *steps[index + 2 :])})
        uses = users_of(new, "steps", second.id)
        new = with_values(new, [use.path for use in uses], first.id)
        guard(procedure, new)
        here: Address = ("steps", self.step)
        return Outcome(new, f"Join steps {number} and {number + 1}", here, here)


def _check_ways(first: Step, second: Step, number: int) -> None:
    both = joined([number, number + 1])
    for field, word in _ONLY_ONE.items():
        if getattr(first, field) is not None and getattr(second, field) is not None:
            raise InputError(f"steps {both} both have a {word}", remedy="Take one of the two out")
    if first.decision is not None or first.goes_to not in {None, second.id}:
        raise InputError(
            f"step {number} says where the work goes on before the next step is done",
            remedy="Take that out of it first",
        )


def _joined(first: Step, second: Step, number: int) -> Step:
    clip = _joined_clip(first.clip, second.clip, number)
    still = _joined_still(first.still, second.still, number)
    reasons, notes = [first.reason, second.reason], [first.note, second.note]
    not_filmed = [first.not_filmed, second.not_filmed]
    if clip or still:
        notes += [f"Not filmed: {why}" for why in not_filmed if why]
        not_filmed = []
    actions = [step.action for step in (first, second) if written(step.action)]
    update: dict[str, Any] = {
        "action": _text("action", actions or [first.action], number),
        "reason": _text("reason", reasons, number),
        "note": _text("note", notes, number),
        "not_filmed": _text("not_filmed", not_filmed, number),
        "clip": clip,
        "still": still,
        "goes_to": second.goes_to,
    }
    for field in _ONLY_ONE:
        update[field] = _either(getattr(first, field), getattr(second, field))
    for field in _LISTS:
        mine, its = getattr(first, field) or (), getattr(second, field) or ()
        # A person or a hazard named at both is meant once; two like ledger entries are two.
        once = field in {"people", "hazards", "tools"}
        update[field] = (*mine, *(e for e in its if not (once and e in mine))) or None
    joint = first
    for field, value in update.items():
        # What the second adds nothing to stays the object it was: nothing was changed.
        if not _is_kept(getattr(first, field), value):
            joint = with_field(joint, field, value)
    return joint


def _is_kept(old: object, new: object) -> bool:
    if isinstance(old, tuple) and isinstance(new, tuple):
        return len(old) == len(new) and all(a is b for a, b in zip(old, new, strict=True))
    return old is new or (isinstance(old, str) and old == new)


def _either(one: Node | tuple[Node, ...] | None, other: Any) -> Any:
    return other if one is None else one


def _text(field: str, texts: Sequence[str | None], number: int) -> str | None:
    said = list(dict.fromkeys(text for text in texts if text))
    if not said:
        return None
    ended = [text if text[-1] in ".!?:;" else f"{text}." for text in said[:-1]]
    whole = " ".join([*ended, said[-1]])
    try:
        return str(validated(Step, field, whole, ("steps", field)))
    except InputError:
        raise InputError(
            f"'{field}' of steps {number} and {number + 1} would be too long together",
            remedy="Shorten one of the two first",
        ) from None


def _joined_clip(one: Clip | None, other: Clip | None, number: int) -> Clip | None:
    if one is None or other is None:
        return other if one is None else one
    both = joined([number, number + 1])
    if one.recording != other.recording:
        raise InputError(
            f"the clips of steps {both} are of two recordings", remedy="Take one of them out"
        )
    if (one.grade, one.grade_reason) != (other.grade, other.grade_reason):
        raise InputError(
            f"the clips of steps {both} are graded differently", remedy="Grade them alike first"
        )
    start, end = min(one.start, other.start), max(one.end, other.end)
    check_order(start, end)
    hidden = (one.masks or ()) + tuple(m for m in other.masks or () if m not in (one.masks or ()))
    return one.model_copy(update={"start": start, "end": end, "masks": hidden or None})


def _joined_still(one: Still | None, other: Still | None, number: int) -> Still | None:
    """Return the still that somebody has worked on; the first where neither has been."""
    worked = [s for s in (one, other) if s is not None and s.callouts]
    if len(worked) > 1:
        raise InputError(
            f"the stills of steps {number} and {number + 1} are both drawn on",
            remedy="Take one of them out",
        )
    told = [s for s in (one, other) if s is not None and written(s.alt)]
    return next(iter((*worked, *told, one, other)))
