"""Blocks whose fields only make sense together: limits, clips, films, numbers, ways on."""

from __future__ import annotations

from decimal import Decimal

from author.procedure.differences.limits import limit_change
from author.procedure.differences.texts import seconds, shown, summary, target
from author.procedure.differences.walk import At, Special, Walk
from author.procedure.items import Part
from author.procedure.lists import RecordingRef
from author.procedure.quantities import Limits
from author.procedure.specs import Chain, ChainLink, LimitSpec, TorqueSpec
from author.procedure.steps import Branch, Clip, Still
from author.procedure.units import all_units
from author.procedure.values import Node

_LIMITS = ("unit", "lower", "nominal", "upper")
_TARGETS = ("step", "section", "procedure", "stop")
_FILM = ("file", "size", "duration", "sha256")


def _limits(walk: Walk, old: LimitSpec, new: LimitSpec, at: At) -> set[str]:
    done = set(_LIMITS)
    change = limit_change(
        old.limits(),
        new.limits(),
        torque=isinstance(old, TorqueSpec),
        reference=old.reference and new.reference,
    )
    if change is not None:
        if "quantity" in change.keys and old.quantity != new.quantity:
            done.add("quantity")
        keys = tuple(key for key in change.keys if key in done)
        walk.tell(change.severity, change.kind, change.text, at, keys=keys)
    return done


def _chain(walk: Walk, old: Chain, new: Chain, _at: At) -> set[str]:
    walk.units = (old.unit, new.unit)
    return set()


def _link(walk: Walk, old: ChainLink, new: ChainLink, at: At) -> set[str]:
    units = [all_units()[symbol] for symbol in walk.units or ("mm", "mm")]
    if old.lower == old.upper == new.lower == new.upper is None:
        return {"lower", "upper"}
    change = limit_change(
        Limits(old.lower, None, old.upper, units[0]), Limits(new.lower, None, new.upper, units[1])
    )
    if change is not None:
        keys = tuple(key for key in change.keys if key in {"lower", "upper"})
        # The same digits in another unit: the chain's own line says so, but not how grave it is.
        if keys or change.severity == "safety":
            walk.tell(change.severity, change.kind, change.text, at, keys=keys)
    return {"lower", "upper"}


def _clip(walk: Walk, old: Clip, new: Clip, at: At) -> set[str]:
    keys = tuple(key for key in ("recording", "start", "end") if _differs(old, new, key))
    if not keys:
        return set()
    starts, ends = new.start - old.start, new.end - old.end
    before, now = summary(old), summary(new)
    if "recording" in keys:
        text = f"replaced: {before} → {now}"
    elif starts == ends:
        text = f"moved by {_signed(starts)} s: {before} → {now}"
    else:
        said = [
            f"{word} {seconds(abs(by))} s {'later' if by > 0 else 'earlier'}"
            for word, by in (("starts", starts), ("ends", ends))
            if by
        ]
        text = f"{' and '.join(said)}: {before} → {now}"
    kind = "clip.replaced" if "recording" in keys else "clip.moved"
    walk.tell("words", kind, text, at, keys=keys)
    return set(keys)


def _still(walk: Walk, old: Still, new: Still, at: At) -> set[str]:
    keys = tuple(key for key in ("recording", "at") if _differs(old, new, key))
    if keys:
        moved = "recording" not in keys
        said = f"moved by {_signed(new.at - old.at)} s" if moved else "replaced"
        text = f"{said}: {summary(old)} → {summary(new)}"
        walk.tell("words", "still.moved" if moved else "still.replaced", text, at, keys=keys)
    return set(keys)


def _film(walk: Walk, old: RecordingRef, new: RecordingRef, at: At) -> set[str]:
    keys = tuple(key for key in _FILM if _differs(old, new, key))
    if keys:
        other = "sha256" in keys
        values = ", ".join(
            f"{key} {shown(getattr(old, key))} → {shown(getattr(new, key))}"
            for key in keys
            if key != "sha256"
        )
        text = f"{'another film' if other else 'film'}: {values or 'fingerprint differs'}"
        kind = "recording.replaced" if other else "recording.changed"
        walk.tell("words", kind, text, at, keys=keys)
    return set(keys)


def _number(walk: Walk, old: Part, new: Part, at: At) -> set[str]:
    if old.number is None or new.number in {None, old.number}:
        return set()
    if old.number not in (new.supersedes or ()):
        return set()
    text = f"number {old.number} superseded by {new.number}"
    rest = tuple(number for number in new.supersedes or () if number != old.number)
    same = rest == (old.supersedes or ())
    keys = ("number", "supersedes") if same else ("number",)
    walk.tell("work", "part.superseded", text, at, keys=keys)
    return set(keys)


def _way(walk: Walk, old: Branch, new: Branch, at: At) -> set[str]:
    keys = tuple(key for key in _TARGETS if getattr(old, key) != getattr(new, key))
    if not keys or (keys == ("stop",) and None not in (old.stop, new.stop)):
        return set()
    stopped = old.stop is not None and new.stop is None
    text = f"leads to {target(old)} → {target(new)}"
    walk.tell("safety" if stopped else "work", "branch.changed", text, at, keys=keys)
    return set(keys)


def _differs(old: Node, new: Node, key: str) -> bool:
    was, now = getattr(old, key), getattr(new, key)
    return bool(was != now)


def _signed(by: Decimal) -> str:
    return f"{'+' if by > 0 else '−'}{seconds(abs(by))}"


SPECIALS: dict[type[Node], Special] = {
    LimitSpec: _limits,
    Chain: _chain,
    ChainLink: _link,
    Clip: _clip,
    Still: _still,
    RecordingRef: _film,
    Part: _number,
    Branch: _way,
}
