"""What has changed between two sets of limits, in the words of the trade."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from author.procedure.differences.weights import Severity
from author.procedure.quantities import Limits, convert, number_text, range_text, with_unit
from author.procedure.units import Unit

_NAMES = {"lower": "lower limit", "nominal": "nominal", "upper": "upper limit"}
_UNIT_KEYS = ("unit", "quantity")


@dataclass(frozen=True, slots=True)
class LimitChange:
    """A difference between two sets of limits.

    Attributes:
        severity: its weight.
        kind: ``limits.`` and ``widened``, ``narrowed``, ``shifted``, ``nominal``,
            ``resolution``, ``unit`` or ``quantity``.
        text: what has changed.
        keys: the fields that differ.
    """

    severity: Severity
    kind: str
    text: str
    keys: tuple[str, ...]


def limit_change(
    old: Limits, new: Limits, *, torque: bool = False, reference: bool = False
) -> LimitChange | None:
    """Return what has changed, or None if every digit is the same.

    Limits that accept what was refused before are a matter of safety; so is every other
    torque. Digits alone, or the same values in another unit, change the work only.

    Args:
        old: the limits before.
        new: the limits now.
        torque: true where they are those of a torque.
        reference: true where the numbers accepted and refused nothing before and do not now.
    """
    keys = tuple(key for key in _NAMES if _digits(old, key) != _digits(new, key))
    if old.unit != new.unit:
        return _other_unit(old, new, keys, torque=torque, reference=reference)
    if not keys:
        return None
    text = ", ".join(_one(key, getattr(old, key), getattr(new, key), old.unit) for key in keys)
    if all(_same(getattr(old, key), getattr(new, key)) for key in keys):
        return LimitChange("work", "limits.resolution", f"{text}: same value, other digits", keys)
    return _judged(old, new, text, keys, torque=torque, reference=reference)


def _other_unit(
    old: Limits, new: Limits, keys: tuple[str, ...], *, torque: bool, reference: bool
) -> LimitChange:
    before, now = _whole(old), _whole(new)
    if old.unit.quantity != new.unit.quantity:
        return LimitChange(
            "safety",
            "limits.quantity",
            f"{before} → {now}: another kind of quantity",
            (*_UNIT_KEYS, *keys),
        )
    units = f"unit {old.unit.symbol} → {new.unit.symbol}"
    keys = ("unit", *keys)
    if all(_si(old, key) == _si(new, key) for key in _NAMES):
        return LimitChange("work", "limits.unit", f"{units}, same values: {before} → {now}", keys)
    converted = _converted(old, new.unit)
    if converted is not None and all(_digits(converted, k) == _digits(new, k) for k in _NAMES):
        text = f"{units}, limits converted and rounded inward: {before} → {now}"
        return LimitChange("work", "limits.unit", text, keys)
    known = "" if converted is None else f" ({_whole(converted)})"
    return _judged(
        old, new, f"{units}, {before}{known} → {now}", keys, torque=torque, reference=reference
    )


def _judged(
    old: Limits, new: Limits, text: str, keys: tuple[str, ...], *, torque: bool, reference: bool
) -> LimitChange:
    low, low_now, high, high_now = (_si(n, k) for k in ("lower", "upper") for n in (old, new))
    wider = _opened(low, low_now, -1) or _opened(high, high_now, 1)
    narrower = _opened(low_now, low, -1) or _opened(high_now, high, 1)
    severity: Severity = "safety" if (torque or wider) and not reference else "work"
    if not wider and not narrower:
        return LimitChange(severity, "limits.nominal", text, keys)
    if reference:
        return LimitChange(severity, "limits.shifted", f"{text}, for reference only", keys)
    kind = "shifted" if wider and narrower else "widened" if wider else "narrowed"
    said = {
        "shifted": "some is accepted that was refused, and the other way round",
        "widened": "more is accepted",
        "narrowed": "less is accepted",
    }[kind]
    return LimitChange(severity, f"limits.{kind}", f"{text}: {said}{_widths(old, new)}", keys)


def _widths(old: Limits, new: Limits) -> str:
    """Return both tolerances where there are two and they differ."""
    before, now = old.tolerance(), new.tolerance()
    if before is None or now is None or old.unit != new.unit or before == now:
        return ""
    return f" (tolerance {number_text(before)} → {_amount(now, new.unit)})"


def _one(key: str, old: Decimal | None, new: Decimal | None, unit: Unit) -> str:
    if old is None and new is not None:
        return f"{_NAMES[key]} none → {_amount(new, unit)}"
    if new is None and old is not None:
        return f"{_NAMES[key]} {_amount(old, unit)} → none"
    assert old is not None and new is not None  # noqa: S101
    return f"{_NAMES[key]} {number_text(old)} → {_amount(new, unit)}"


def _whole(limits: Limits) -> str:
    if limits.nominal is None or (limits.lower is None and limits.upper is None):
        return range_text(limits)
    return f"{range_text(limits)}, nominal {_amount(limits.nominal, limits.unit)}"


def _amount(value: Decimal, unit: Unit) -> str:
    return with_unit(number_text(value), unit)


def _digits(limits: Limits, key: str) -> str | None:
    value: Decimal | None = getattr(limits, key)
    return None if value is None else format(value, "f")


def _same(old: Decimal | None, new: Decimal | None) -> bool:
    return old is not None and new is not None and old == new


def _si(limits: Limits, key: str) -> Fraction | None:
    value: Decimal | None = getattr(limits, key)
    return None if value is None else limits.unit.to_si(value)


def _opened(old: Fraction | None, new: Fraction | None, side: int) -> bool:
    """Whether a limit lies further out than before; no limit lies furthest."""
    if new is None or old is None:
        return new is None and old is not None
    return (new - old) * side > 0


def _converted(limits: Limits, unit: Unit) -> Limits | None:
    try:
        return convert(limits, unit)
    except ValueError:
        return None
