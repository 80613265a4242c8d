"""Values and limits the network would tell otherwise, by the use of the words around them."""

from __future__ import annotations

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.worn import is_of_new
from author.proposals.reader.network import SIDES

_PARTED = frozenset({"range", "both", "thread", "size"})
_ENDS = {"nominal": "n", "lower": "l", "upper": "u"}
# A value told as half of a pair is no other end.
_LIKE = {end: [SIDES.index(side) for side in ("n", "l", "u", "lu", "ln", "nu") if end in side]
         for end in "nlu"}  # fmt: skip
# Of those turned about on narrations nobody reads two in three were right; chosen on `plain`.
_MUCH_LIKELIER, _LEAST_SHARE, _SURE = 10.0, 0.02, 0.5


def think_over(scene: Scene) -> None:
    """Take a value for a limit, or a limit for a value or the other one, where it is far likelier.

    Args:
        scene: a sentence whose amounts have their roles.
    """
    if scene.thought is None:
        return
    for amount in scene.amounts:
        told = [end for end in _ENDS if getattr(amount, end) is not None]
        known = amount.role == "tolerance" or bool({"acts", "turned"} & amount.flags)
        if "refused" in amount.flags:
            # "Two hundred new, and it's worn out at two hundred and one"
            known = known or any(is_of_new(scene, o) for o in scene.amounts if o is not amount)
        if amount.form in _PARTED or len(told) != 1 or known:
            continue
        shares = scene.thought.sides_of(amount)
        if shares and (end := _likelier(shares, told[0])):
            _turn(amount, told[0], end)


def _likelier(shares: list[float], own: str) -> str | None:
    """Return which end is far likelier than the one that was told."""
    by_end = {end: shares[SIDES.index(letter)] for end, letter in _ENDS.items()}
    end = max(by_end, key=lambda one: by_end[one])
    among = sum(shares[at] for at in _LIKE[_ENDS[own]])
    far = by_end[end] > _MUCH_LIKELIER * max(_LEAST_SHARE, among)
    return end if end != own and by_end[end] >= _SURE and far else None


def _turn(amount: Amount, own: str, end: str) -> None:
    value = getattr(amount, own)
    setattr(amount, own, None)
    setattr(amount, end, value)
    amount.role = "aim" if end == "nominal" else "limits"
    amount.flags -= {"about"}
    what = {"nominal": "a value", "lower": "a lower limit", "upper": "an upper limit"}[end]
    amount.why.append(f"it is taken for {what} by how it is told")
