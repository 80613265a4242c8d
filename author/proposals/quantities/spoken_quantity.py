"""A quantity as it was said, with what is known of it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class SpokenQuantity:
    """One quantity as it was said.

    Attributes:
        sentence: index of the sentence it stands in.
        begin: index of its first letter in the text of that sentence.
        end: index after its last letter.
        text: those words.
        role: ``limits`` (``lower`` or ``upper`` or both), ``aim``, ``about`` (an
            approximate value), ``measured`` (what this unit happened to measure),
            ``thread``, ``size`` (as 17 × 40 × 12), or ``tolerance`` (plus or minus
            something, without the value it belongs to).
        lower: least value that is accepted, or the part below of a tolerance.
        nominal: the value itself; None where it was not said, or was said in a way that
            leaves more than one reading.
        upper: greatest value that is accepted, or the part above of a tolerance.
        unit: symbol of ``schema/units.yaml``; None where none was said or could be carried.
        quantity: kind of quantity, a key of ``schema/units.yaml``, or None.
        numbers: all numbers of a thread or a size, in order.
        designation: of a thread, as ``M8 × 1.25``.
        characteristic: what it is a value of, as ``depth``.
        named: index of the sentence that names it, of the first letter of its name there and
            after the last; the same twice where no word alone names it. Where there is none of
            its own, what was measured before, if that goes on with another part.
        datum: what it is measured from, as ``hub face``.
        positions: where it holds, as ``at three places``.
        carried_unit: whether the unit was taken from another number or sentence.
        corrected: whether it took the place of a value that was taken back.
        confidence: 0 to 1.
        reason: one plain sentence.
    """

    sentence: int
    begin: int
    end: int
    text: str
    role: str
    lower: Decimal | None
    nominal: Decimal | None
    upper: Decimal | None
    unit: str | None
    quantity: str | None
    numbers: tuple[Decimal, ...]
    designation: str | None
    characteristic: str | None
    named: tuple[int, int, int] | None
    datum: str | None
    positions: str | None
    carried_unit: bool
    corrected: bool
    confidence: Decimal
    reason: str
