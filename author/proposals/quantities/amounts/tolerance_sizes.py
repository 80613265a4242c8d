"""Whether a tolerance can stand by a value by its size."""

from __future__ import annotations

from decimal import Decimal

from author.proposals.quantities.amounts.amount import FINE_PARTS, Amount, agree_on_mil
from author.proposals.quantities.amounts.sized_parts import OF_FINE, take_coarse
from author.proposals.quantities.amounts.units import is_of, kind_of

_LAST_DIGITS = 10
"""From so many on a bare tolerance is none of the last digits of its value."""


def stands_by(aim: Amount, part: Amount) -> bool:
    """Put a tolerance to the value it belongs to; return whether it fits there."""
    if aim.nominal is None or part.plus is None or part.minus is None:
        return False
    plus, minus = part.plus, part.minus
    agree_on_mil(aim, part)
    if part.unit == "in" and (aim.unit or "").startswith("inH"):
        part.unit = aim.unit  # inches of a column
    if aim.unit is None and part.unit in OF_FINE:
        take_coarse(aim, part)
    if part.unit == "%" and aim.unit != "%":
        plus, minus = (abs(aim.nominal) * share / 100 for share in (plus, minus))
        plus, minus = (Decimal(format(share.normalize(), "f")) for share in (plus, minus))
    elif part.unit and aim.unit and not is_of(aim.unit, part.unit):
        held = Amount(0, 0, nominal=plus, lower=minus, unit=part.unit)
        if not held.moved_to(aim.unit) or held.nominal is None or held.lower is None:
            return False
        plus, minus = held.nominal, held.lower
    wide = max(plus, minus) >= abs(aim.nominal) > 0
    if (wide or kind_of(aim.unit) == "length") and _is_of_last_digits(aim, part):
        # "Point nine five, plus or minus three": nobody tells hundredths to allow millimetres.
        places = int(aim.nominal.as_tuple().exponent)
        plus, minus = plus.scaleb(places), minus.scaleb(places)
        aim.why.append("the tolerance is taken for so many of its last digits")
        aim.flags.add("doubted")
    elif wide and aim.unit is not None:
        return False
    # "Marked twenty, plus or minus ten per cent": the twenty is no share itself.
    aim.unit = aim.unit or (part.unit if part.unit != "%" else None)
    aim.lower, aim.upper, aim.form = aim.nominal - minus, aim.nominal + plus, "both"
    aim.size, aim.step = aim.nominal, _step_of(part, max(plus, minus))
    aim.plus = aim.minus = None
    aim.flags |= part.flags - {"about"}
    aim.bottom = max(aim.bottom, part.bottom)
    return True


def _is_of_last_digits(aim: Amount, part: Amount) -> bool:
    """Whether a tolerance may tell so many of the last digits of a value told to hundredths."""
    bare = part.unit is None and part.form == "whole" and aim.form == "decimal"
    fine = aim.nominal is not None and int(aim.nominal.as_tuple().exponent) < -1
    most = max(part.plus or Decimal(0), part.minus or Decimal(0))
    return bare and fine and most < _LAST_DIGITS


def _step_of(part: Amount, most: Decimal) -> Decimal | None:
    """Return what one of the units a tolerance is told in is in that of its value."""
    told = max(part.plus or Decimal(0), part.minus or Decimal(0))
    if not told or part.unit == "%" or (part.unit is None and part.bottom == 1 and told >= 1):
        return None
    return most / told / (part.bottom if part.bottom in FINE_PARTS else 1)
