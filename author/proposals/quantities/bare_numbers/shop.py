"""How a machine shop shortens its numbers: bare digits of inches, tenths, whole parts left out."""

from __future__ import annotations

from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.bare_numbers.topic import Talk, near_units
from author.proposals.quantities.numbers.parts import decimal_of, half_after

_REACH = 16


def whole_part(talk: Talk, scene: Scene, amount: Amount) -> None:
    """Read "a hundred point oh two, in the middle point oh three" as 100.02 and 100.03.

    Args:
        talk: what the recording speaks of so far.
        scene: the sentence it is told in.
        amount: the number.
    """
    here = scene.amounts[: amount.place]
    earlier = talk.scenes[scene.index - 1].amounts if scene.index and not here else []
    before = next(reversed(here or earlier), None)
    if before is None or amount.form != "decimal" or before.form != "decimal":
        return
    one, other = before.nominal, amount.nominal
    if not (one and other and one >= 10 and 0 < other < 1 and before.unit == amount.unit):
        return
    places = one.as_tuple().exponent
    if places == other.as_tuple().exponent and places != -1 and amount.role != "limits":
        amount.nominal = int(one) + other
        amount.flags.add("doubtful")
        amount.why.append("the whole part is taken from the value before")


def as_digits(talk: Talk, scene: Scene, amount: Amount) -> bool:
    """Read "one four nine eight" as 1.498 where inches of that size were just told.

    Args:
        talk: what the recording speaks of so far.
        scene: the sentence it is told in.
        amount: the number.
    """
    digits = str(int(amount.nominal or 0))
    if amount.nominal is None or not 4 <= len(digits) <= 5:
        return False
    value, last = amount.nominal.scaleb(1 - len(digits)), amount.last
    if half := half_after(scene.tokens, amount.last):
        value, last = value + decimal_of(half[0])[0].scaleb(1 - len(digits)), half[1]
    for one, far in near_units(talk, scene.index, frozenset({"length"})):
        if one.unit == "in" and one.value and far <= _REACH and one.apart(float(value)) < 0.05:
            before = scene.amounts[amount.place - 1] if amount.place else None
            if before and before.nominal == value and before.last == amount.first:
                amount.form = "spelled"  # the same said again
                return False
            amount.nominal, amount.form, amount.last = value, "decimal", last
            why = "the digits are taken for inches, as those before"
            amount.unit = "in"
            amount.flags.add("carried near")
            amount.why.append(why)
            return True
    return False


_LIKE_IT = 0.06


def as_read_out(talk: Talk, scene: Scene, amount: Amount) -> bool:
    """Read "eight nine seven" as 897 where a value near it was just told with its unit.

    Args:
        talk: what the recording speaks of so far.
        scene: the sentence it is told in.
        amount: the number.
    """
    size = float(amount.nominal or 0)
    for one, far in near_units(talk, scene.index, frozenset(talk.units)):
        if one.value and far <= _REACH and one.apart(size) < _LIKE_IT and len(f"{size:.0f}") > 2:
            amount.unit, amount.form = one.unit, "whole"
            amount.flags.add("carried near" if far else "carried")
            amount.why.append("its digits were read out, and the unit is that of a value near it")
            return True
    return False


def settle_tenths(scenes: list[Scene], scene: Scene, amount: Amount) -> None:
    """Read tenths and hundredths whose unit was not said.

    In millimetres a tenth is 0.1 mm. A machinist who counts in thousandths of an inch calls
    0.0001 in a tenth (common practice, no source).

    Args:
        scenes: sentences of the recording.
        scene: the sentence it is told in.
        amount: the value.
    """
    carried = amount.flags & {"carried", "carried near", "carried far"}
    value = amount.nominal or amount.upper or amount.lower
    small = value is not None and value < Decimal("0.1")
    if carried and amount.unit == "thou" and amount.form == "decimal" and small:
        amount.unit = "in"
        return
    if amount.bottom != 10 or not carried or amount.unit not in {"thou", "in"}:
        return
    # "About a tenth" alone may be of an inch; who counts several tenths has said thou.
    many = value is not None and value > Decimal("0.1")
    told = scenes[0 if many else max(0, scene.index - 4) : scene.index + 1]
    if any(one.unit == "thou" for other in told for one in other.amounts):
        amount.unit = "thou"
        amount.why.append("a tenth is taken for a tenth of a thousandth of an inch")
    else:
        amount.flags.add("doubtful")
