"""Numbers said in an action: they agree with the specs of the step, and stand in one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from functools import cache

from author.checks.remarks import Remark, Subject, remark
from author.procedure.specs import LimitSpec
from author.procedure.units import Unit, all_spellings, all_units

_NUMBER = r"\d+(?:\.\d+)?"
# These say what is to be reached; a length may also be the name of a thing: a 6 mm key.
_GOAL = re.compile(r"\b(to|at|until|reaches|torque of|pressure of|force of)\s+(about\s+)?$", re.I)


_GOALS = {"torque", "pressure", "temperature", "force", "length", "angle"}


@cache
def _said() -> re.Pattern[str]:
    spellings = sorted((s for s in all_spellings() if s[0].isalpha() or s[0] in "°%"), key=len)
    units = "|".join(re.escape(spelling) for spelling in reversed(spellings))
    joint = r"\s*(?:to|and|-|–|…|\.\.\.?|±|\+/-)\s*"
    return re.compile(
        rf"(?<![\w.])(?P<one>{_NUMBER})(?:(?P<joint>{joint})(?P<two>{_NUMBER}))?"
        rf"\s?(?P<unit>{units})(?![\w²³])"
    )


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on numbers in the actions of steps."""
    for placed in subject.procedure.placed_steps():
        specs = placed.step.all_specs()
        for text, values, unit in _numbers(placed.step.action):
            own = [s for s in specs if s.quantity == unit.quantity and not s.reference]
            if own and not any(_agrees(values, unit, spec) for spec in own):
                yield remark(
                    "limits.text_disagrees",
                    f"the action says {text}, outside the limits of '{own[0].id}'",
                    (*placed.path, "action"),
                )
            elif not own:
                yield remark(
                    "limits.only_in_text",
                    f"{text} stands in the action and in no spec of the step",
                    (*placed.path, "action"),
                )


def _numbers(action: str) -> Iterator[tuple[str, tuple[Fraction, ...], Unit]]:
    """Yield the numbers to be reached: text, values in SI units, unit."""
    for match in _said().finditer(action):
        unit = all_units()[all_spellings()[match["unit"]]]
        goal = _GOAL.search(action[: match.start()])
        if not goal or unit.quantity not in _GOALS:
            continue
        one = Decimal(match["one"])
        values: tuple[Decimal, ...] = (one,)
        if match["two"]:
            two = Decimal(match["two"])
            apart = "±" in match["joint"] or "+/-" in match["joint"]
            values = (one - two, one + two) if apart else (one, two)
        yield match[0], tuple(unit.to_si(value) for value in values), unit


def _agrees(values: tuple[Fraction, ...], unit: Unit, spec: LimitSpec) -> bool:
    own = all_units()[spec.unit]
    if own.quantity != unit.quantity:
        return True  # a unit that does not fit has its own remark
    lower, upper = (None if v is None else own.to_si(v) for v in (spec.lower, spec.upper))
    return all((lower is None or v >= lower) and (upper is None or v <= upper) for v in values)
