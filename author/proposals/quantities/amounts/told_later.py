"""Values corrected long after they were told: "what I said about the nuts, it's 22, not 20".

The value that was told first is put right where it stands, so that it is found with its step;
what is said later is no quantity of its own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from author.checks.verbs import words
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import VAGUE, kind_of

_SAID = (
    r"\b(?:(?:what|where|when|earlier|before) )?(?:i|we)(?:'d|'ve| had| have)?"
    r" (?:said|told you|gave you|called (?:it|that|them|out)|put|wrote)\b(?! to\b)"
)
_I_SAID = re.compile(_SAID)
# What stands right before the value that is meant; "the front is 3, not 5" only tells it apart.
_IT_IS = (
    r"it's|it is|its|that's|that is|they're|they are|those are|should be|should've been"
    r"|should have been|wants to be|needs to be|ought to be|make (?:it|that|them)|i meant|i mean"
    r"|call it"
)
_REALLY = r"(?: (?:actually|really|in fact|meant to be|supposed to be|more like))*,?$"
_MEANT = re.compile(rf"(?:^|[, ])(?:{_IT_IS}){_REALLY}")
_STATED = re.compile(rf"(?:^|[, ])(?:{_IT_IS}|is|are|'s|was meant to be|were){_REALLY}")
_NEXT_ONE = re.compile(r",? ?(?:for|on|with) (?:the|those|these|your)\b")
_SMALL = words(
    """
    a about an and are at be been before but earlier for from had have i in is it it's its make
    meant no not of ok okay on put really right said should so sorry that that's the them then
    there these they they're this those to told we well what when where with you your
    """
)


@dataclass(frozen=True, slots=True)
class _Mended:
    """A value as it was told, and the one that is meant."""

    old: Decimal
    new: Amount
    spoken: tuple[Amount, ...]


def correct_later(scenes: list[Scene]) -> None:
    """Put values right that a later sentence corrects, and drop what it says them with."""
    for scene in scenes:
        near = scenes[max(0, scene.index - 2) : scene.index + 1]
        mended = _mended(scene, read_off=any(one.gauge for one in near))
        if mended is None:
            continue
        found = _told_before(scenes, scene, mended)
        if found is None:
            continue
        _put_right(found, mended.new)
        scene.amounts = [one for one in scene.amounts if one not in mended.spoken]


def _mended(scene: Scene, *, read_off: bool) -> _Mended | None:
    """Return what a sentence corrects of what was told long before it.

    Args:
        scene: the sentence.
        read_off: whether an instrument is at hand, so that "it's 22, not 20" tells a reading.
    """
    tokens = scene.tokens
    for at, amount in enumerate(scene.amounts):
        if not amount.is_plain() or amount.role == "measured":
            continue
        ahead = between(tokens, max(0, amount.first - 6), amount.first)
        anew = _said(scene, amount) or (not read_off and _MEANT.search(ahead))
        if amount.denied is not None and anew:
            return _Mended(amount.denied, amount, (amount,))
        further = scene.amounts[at + 1] if at + 1 < len(scene.amounts) else None
        if further is None or not further.is_plain() or not _said(scene, amount):
            continue
        between_them = between(tokens, amount.last, further.first)
        behind = between(tokens, further.last, min(further.last + 4, len(tokens)))
        joined = re.search(r"\band\b", between_them) or _NEXT_ONE.match(behind)
        if _STATED.search(between_them) and not joined and amount.nominal is not None:
            return _Mended(amount.nominal, further, (amount, further))
    return None


def _said(scene: Scene, amount: Amount) -> bool:
    """Whether "I said" stands before an amount in its sentence."""
    return bool(_I_SAID.search(between(scene.tokens, max(0, amount.first - 12), amount.first)))


def _told_before(scenes: list[Scene], scene: Scene, mended: _Mended) -> Amount | None:
    """Return the earlier amount that is meant: of those alike the one told with most same words."""
    said = scene.words - _SMALL
    best: tuple[int, int] | None = None
    found: Amount | None = None
    for earlier in scenes[: scene.index]:
        shared = len(said & earlier.words)
        for amount in earlier.amounts:
            if not _is_meant(amount, mended):
                continue
            score = (shared, earlier.index)
            if best is None or score >= best:
                best, found = score, amount
    return found


def _is_meant(amount: Amount, mended: _Mended) -> bool:
    values = (amount.nominal, amount.lower, amount.upper)
    if mended.old not in values or amount.form in {"thread", "size"} or amount.role == "measured":
        return False
    unit = mended.new.unit or mended.spoken[0].unit
    if unit is None or unit == amount.unit:
        return amount.unit is not None or unit is None
    if unit in VAGUE or amount.unit in VAGUE:
        return False
    return kind_of(unit) == kind_of(amount.unit)


def _put_right(old: Amount, new: Amount) -> None:
    """Give an amount the value that is meant, its tolerance moved with it."""
    value = new.nominal
    if value is None:
        return
    if old.nominal is not None:
        step = value - old.nominal
        old.lower = None if old.lower is None else old.lower + step
        old.upper = None if old.upper is None else old.upper + step
        old.nominal = value
    elif old.lower is not None and new.denied in {None, old.lower} and old.upper != new.denied:
        old.lower = value
    else:
        old.upper = value
    if new.unit is not None:
        old.unit = new.unit
    old.flags.add("corrected")
    old.why.append(f"it is told later that it is {value:f}")
