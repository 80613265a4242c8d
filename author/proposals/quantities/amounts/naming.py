"""What each value of a recording is of: the depth of a groove, a gap, what was measured before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from author.checks.verbs import words
from author.procedure.units import all_quantities, all_units
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.context import (
    OWN_NAME,
    Scene,
    nearest,
    own_name,
)
from author.proposals.quantities.amounts.named_by_deeds import (
    around,
    is_where,
    named_by_deed,
    named_by_tool,
    only_if,
    spread_of,
    tells_how_far,
)
from author.proposals.quantities.amounts.named_by_words import (
    is_deep,
    is_thing,
    is_turned,
    measures_anew,
    named_between,
    named_by_words,
)
from author.proposals.quantities.amounts.units import kind_of

_CALLED = {
    **{kind: "hardness" for kind in all_quantities() if kind.startswith("hardness_")},
    "stiffness": "spring rate", "kinematic_viscosity": "viscosity", "dynamic_viscosity":
    "viscosity", "sound_level_a": "sound level", "acidity": "pH", "brix": "Brix", "density":
    "density", "mass_concentration": "concentration", "inductance": "inductance", "charge":
    "charge", "energy": "energy", "conductivity": "conductivity", "illuminance": "illuminance",
    "unbalance": "unbalance", "acceleration": "acceleration", "volume_flow": "flow",
    "mass_flow": "flow",
}  # fmt: skip
_BACK, _BACK_OF_NONE, _BACK_IN_ALL = 3, 2, 4
_ALIKE = 10
"""So many times larger a value may be that is of the same as one before it."""
_LENGTHS = frozenset({"length", None})


@dataclass(frozen=True, slots=True)
class Named:
    """What a value is of.

    Attributes:
        name: as ``depth``; empty where measuring goes on with another part, in no word.
        scene: index of the sentence in which it is named.
        first: index of the first token that names it there.
        last: index after the last of them; equal to ``first`` where no word alone names it.
    """

    name: str
    scene: int
    first: int
    last: int


def names_of(scenes: Sequence[Scene]) -> dict[Amount, Named]:
    """Return what the amounts of a recording are values of, by the words that name it.

    Args:
        scenes: its sentences.
    """
    found: dict[Amount, Named] = {}
    for scene in scenes:
        for amount in scene.amounts:
            if amount.form in {"thread", "size"}:
                continue
            if named := _named(scenes, scene, amount, found):
                found[amount] = named
    return found


def _named(
    scenes: Sequence[Scene], scene: Scene, amount: Amount, found: Mapping[Amount, Named]
) -> Named | None:
    kind = "temperature" if "temperature" in amount.flags else kind_of(amount.unit)
    if (name := _by_words(scenes, scene, amount, kind)) is not None:
        return _alone(scene, amount, name)
    if here := nearest(scene, amount, _kinds_of(amount, kind)):
        return _at(scene, here)
    if kind is not None and (name := kind if kind in OWN_NAME else _CALLED.get(kind)):
        return _alone(scene, amount, name)
    if kind in {"turns", "count"}:
        return None
    of_length = _of_length(scene, amount) if kind in _LENGTHS else None
    if of_length or is_thing(scene, amount):
        return of_length
    ahead = _alike(amount, _ahead(scene, amount))
    if ahead or kind == "ratio":
        return found.get(ahead[-1]) if ahead else None
    return (
        _by_tool(scenes, scene, amount, kind, here=True)
        or _from_before(scenes, scene, amount, found)
        or _set_since(scenes, scene, amount, found)
        or _by_tool(scenes, scene, amount, kind, here=False)
    )


def _by_words(
    scenes: Sequence[Scene], scene: Scene, amount: Amount, kind: str | None
) -> str | None:
    """Return what a value is of by the words right around it."""
    if kind in _LENGTHS and amount.unit and tells_how_far(*around(scene, amount)):
        return "distance"
    if name := named_by_words(scene, amount, kind) or spread_of(scene, amount, kind):
        return name
    deed = named_by_deed(scene, amount) if kind in _LENGTHS and amount.unit else None
    if deed and deed.startswith("distance") and scene.index:
        before = scenes[scene.index - 1]
        # "Needle height. From the plate to the point you want ten": that is its name.
        deed = (
            None if _is_headed(before) and nearest(before, None, _kinds_of(amount, kind)) else deed
        )
    return deed or _share(scene, amount, kind)


def _by_tool(
    scenes: Sequence[Scene], scene: Scene, amount: Amount, kind: str | None, *, here: bool
) -> Named | None:
    """Return what is measured with what is named in this sentence, or just before."""
    if kind != "length":
        return None
    turned = not here and is_turned(scenes, scene)
    name = "runout" if turned else named_by_tool(scenes, scene, here=here)
    return _alone(scene, amount, name) if name else None


def _share(scene: Scene, amount: Amount, kind: str | None) -> str | None:
    """Return what a share is of that is named right before it: "CO at 14"."""
    own = own_name(scene, amount) if kind == "ratio" else None
    return own[0] if own is not None and "ratio" in own[1].split() else None


def _kinds_of(amount: Amount, kind: str | None) -> frozenset[str]:
    """Return the kinds of quantity a name beside an amount may have, empty for any."""
    if kind == "ratio" and amount.unit and "/" in amount.unit:
        return frozenset({"ratio", "length"})  # "straightness, half a millimetre per metre"
    return frozenset({kind} if kind else ())


def _at(scene: Scene, named: tuple[str, int]) -> Named:
    name, first = named
    last = first + len(name.split())
    said = " ".join(token.low for token in scene.tokens[first:last])
    return Named(name, scene.index, first, last if said == name else first + 1)


def _alone(scene: Scene, amount: Amount, name: str) -> Named:
    return Named(name, scene.index, amount.first, amount.first)


def _of_length(scene: Scene, amount: Amount) -> Named | None:
    if is_deep(scene, amount):
        return _alone(scene, amount, "depth")
    at = named_between(scene, amount)
    return None if at is None else Named("gap", scene.index, at, at)


def _ahead(scene: Scene, amount: Amount) -> list[Amount]:
    return [one for one in scene.amounts if one.last <= amount.first]


def _measured(scene: Scene) -> list[Amount]:
    """Return the amounts of a sentence without those that only tell which thing, or where."""
    return [one for one in scene.amounts if not (is_thing(scene, one) or is_where(scene, one))]


def _alike(amount: Amount, others: Iterable[Amount]) -> list[Amount]:
    """Return those of some amounts that may be of the same as one, by kind and size."""
    kind = kind_of(amount.unit)
    some = (one for one in others if kind in {kind_of(one.unit), None})
    return [one for one in some if _are_alike(one, amount)]


def _are_alike(one: Amount, other: Amount) -> bool:
    """Whether two amounts are as large as values of one thing are."""
    first, second = _size_of(one), _size_of(other)
    return not first or not second or max(first, second) <= _ALIKE * min(first, second)


def _size_of(amount: Amount) -> float:
    value = amount.nominal or amount.upper or amount.lower or Decimal(0)
    unit = all_units().get(amount.unit) if amount.unit else None
    return abs(float(unit.to_si(value) if unit else value))


def _from_before(
    scenes: Sequence[Scene], scene: Scene, amount: Amount, found: Mapping[Amount, Named]
) -> Named | None:
    """Return what was measured or named just before, where nothing else is taken up since."""
    kind = kind_of(amount.unit)
    subject, kinds = subject_of(scene), _kinds_of(amount, kind)
    for back in range(1, _BACK + 1):
        at = scene.index - back
        if at < 0 or (kind is None and back > _BACK_OF_NONE) or measures_anew(scenes[at + 1]):
            return None
        other = scenes[at]
        if told := _alike(amount, _measured(other)):
            named = found.get(told[-1])
            if named is None or not named.name:
                return None  # "The chain, 233 millimetres. Replace from 236"
        else:
            last = nearest(other, None, kinds)
            named = _at(other, last) if last and not _only_told(other, last[1]) else None
        if named:
            anew = subject is not None and subject not in _singulars(scenes[named.scene])
            if scene.index - named.scene > _BACK_IN_ALL:
                return None
            return replace(named, name="") if anew else named
        if kind == "length" and named_by_tool(scenes, other, here=True):
            return None  # "the bore … lay a straight edge across the head … the limit is 0.05"
        if _is_headed(other):
            subject = subject or subject_of(other)
    return None


def _only_told(scene: Scene, at: int) -> bool:
    """Whether a name is no subject: of where it is measured, or of what only may be there."""
    where = any(is_where(scene, one) for one in scene.amounts)
    return where or only_if(scene, at)


def _set_since(
    scenes: Sequence[Scene], scene: Scene, amount: Amount, found: Mapping[Amount, Named]
) -> Named | None:
    """Return what was measured before it was set, of "that's point three now"."""
    behind = scene.tokens[amount.last].low if amount.last < len(scene.tokens) else ""
    if behind != "now" or len(scene.tokens) > _SHORT:
        return None
    for at in range(scene.index - 1, max(-1, scene.index - _SET_WITHIN), -1):
        told = [one for one in _alike(amount, _measured(scenes[at])) if one.unit == amount.unit]
        if told:
            return found.get(told[-1])
    return None


def _singulars(scene: Scene) -> frozenset[str]:
    return frozenset(singular(word.removesuffix("'s")) for word in scene.words)


def _is_headed(scene: Scene) -> bool:
    """Whether a sentence only names what comes next: "The plunger.", "Rear journal next."."""
    return not scene.amounts and len(scene.tokens) <= _FEW


def subject_of(scene: Scene) -> str | None:
    """Return the part a sentence is about, by its head: "the gland bushing is oval", or None.

    Args:
        scene: the sentence.
    """
    table, head, place = trade_words(), None, None
    starts = {amount.first for amount in scene.amounts}
    for at, token in enumerate(scene.tokens[:_LEAD]):
        low = token.low
        if at in starts or token.kind == "sign" or low in _TELLS:
            return head
        kind = table.kind_of(low.removesuffix("'s"))
        if kind in {"part", "weak"}:
            head = singular(low.removesuffix("'s"))
            if low.endswith("'s"):
                return head
        elif kind == "feature":
            place = singular(low)
        elif low in _AT_ITS:
            return head or place  # "the seat on the shaft"
        elif low not in _LEADS | table.modifiers:
            return None
    return head


_AT_ITS = frozenset({"on", "in", "of", "at"})


_FEW, _LEAD, _SHORT, _SET_WITHIN = 6, 9, 14, 30
_LEADS = words(
    "the this that your its my our both each all a an and now then so next new old one of these "
    "those front rear left right upper lower inner outer other two three four okay"
)
_TELLS = words(
    "is are was were should must may can has have had gets needs wants takes i we you next here "
    "measures comes stands sits leaves mustn't shouldn't"
)
