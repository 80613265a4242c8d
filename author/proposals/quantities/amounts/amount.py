"""One quantity of a sentence while it is being read."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from author.procedure.units import all_units
from author.proposals.quantities.amounts.units import MIL, VAGUE, kind_of
from author.proposals.quantities.numbers.parts import decimal_of
from author.proposals.quantities.numbers.tokens import Token

FINE_PARTS = frozenset({10, 100, 1000})
"""What tenths, hundredths and thousandths divide by."""


@dataclass(slots=True, eq=False)
class Amount:
    """What is known so far of one quantity of a sentence.

    Attributes:
        first: index of its first token.
        last: index after its last token.
        lower, nominal, upper: values; one that was said alone stands in ``nominal``.
        unit: symbol, one of ``VAGUE``, or None.
        form: of its number; ``range`` and ``both`` (plus or minus) for those put together.
        bottom: what its fraction divides by, else 1.
        single: whether its unit stands in the singular.
        flags: ``about``, ``paired``, ``rounded``, ``comma``, ``article``, ``doubtful``,
            ``tolerance``, ``carried``, ``corrected``, ``implied`` (a range said with "or"),
            ``rate`` (told of something its unit does not say, so that it is none of it),
            ``bare`` (a reading only since an instrument is at hand), ``sized`` (a bare number
            told as the size a part is made to), ``row`` (one of three values and more in a row),
            ``read`` (one of a row that was read off), ``beside`` (a reading since what it is held
            against is told beside it), ``acts`` (something must act there), ``turned`` (the words
            before it are meant the other way round of its kind: "not faster than three seconds").
        numbers: of a thread or a size, in order.
        designation: of a thread or a size.
        plus, minus: a tolerance that has no value to stand by yet.
        size: the value its tolerance is told from, where it has one.
        step: what one of the units its tolerance was told in is in its own.
        part_unit: unit said with the first part of one that is not whole yet.
        role: once it is known.
        inner: index after the last token of its first part, where two were joined; else 0.
        place: its index among the amounts of its sentence, while units are carried.
        denied: the value it is told not to be, as in "22, not 20".
        why: what is to be said of it, one clause each.
    """

    first: int
    last: int
    nominal: Decimal | None = None
    lower: Decimal | None = None
    upper: Decimal | None = None
    unit: str | None = None
    form: str = "whole"
    bottom: int = 1
    single: bool = False
    flags: set[str] = field(default_factory=set)
    numbers: tuple[Decimal, ...] = ()
    designation: str | None = None
    plus: Decimal | None = None
    minus: Decimal | None = None
    size: Decimal | None = None
    step: Decimal | None = None
    part_unit: str | None = None
    role: str = ""
    inner: int = 0
    place: int = 0
    denied: Decimal | None = None
    why: list[str] = field(default_factory=list)

    def is_plain(self) -> bool:
        """Whether it is one value and no more."""
        return self.form not in {"range", "both", "thread", "size"} and self.nominal is not None

    def moved_to(self, unit: str) -> bool:
        """Take another unit of the same kind, exactly; return whether that was possible."""
        if self.unit == unit or self.unit is None:
            self.unit = unit
            return True
        if kind_of(self.unit) is None or kind_of(self.unit) != kind_of(unit):
            return False
        old, new = all_units()[self.unit], all_units()[unit]
        values = [self.lower, self.nominal, self.upper]
        exact = [None if v is None else decimal_of(new.from_si(old.to_si(v))) for v in values]
        if any(one and one[1] for one in exact):
            return False
        self.lower, self.nominal, self.upper = (one and one[0] for one in exact)
        self.unit = unit
        return True


def agree_on_mil(one: Amount, other: Amount) -> None:
    """Take "mil" for the length its neighbour is told in: "two millimetres, plus half a mil"."""
    for first, second in ((one, other), (other, one)):
        if first.unit == MIL and second.unit in {"mm", "in", "thou", "mL", "µm"}:
            first.unit = {"in": "thou", "µm": "mm"}.get(second.unit, second.unit)


def between(tokens: list[Token], first: int, last: int) -> str:
    """Return the words between two indexes, small, at most 16 of them.

    Args:
        tokens: words of the sentence.
        first: index of the first of them.
        last: index after the last.
    """
    if not 0 <= first <= last or last - first > 16:
        return "" if first >= last else "…"
    return " ".join([token.low for token in tokens[first:last]])


def likely(before: Amount, amount: Amount) -> bool:
    """Whether one value can be meant where another was said: alike in kind and size."""
    return alike(before, amount) and same_size(before, amount)


def same_size(before: Amount, amount: Amount) -> bool:
    """Whether one value can stand where the other was meant: no more than thrice as large."""
    one, other = (x.nominal or x.upper or x.lower for x in (before, amount))
    return bool(one and other) and max(one or 0, other or 0) <= 3 * min(one or 0, other or 0)


def alike(before: Amount, amount: Amount) -> bool:
    """Whether two values are of one kind as far as their units tell."""
    if amount.form in {"thread", "size"} or before.unit is None or amount.unit is None:
        return amount.form not in {"thread", "size"}
    if before.unit == amount.unit:
        return True
    if before.unit in VAGUE or amount.unit in VAGUE:
        return {before.unit, amount.unit} & {"mm", "°C", "°F", "°", "thou"} != set()
    return kind_of(before.unit) == kind_of(amount.unit)
