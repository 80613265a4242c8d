"""Units that were not said again: carried over from the number or the sentence nearby."""

from __future__ import annotations

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.bare_numbers.choice import BARE, NOTHING, Choice, chosen
from author.proposals.quantities.bare_numbers.fine_scale import scale_told, take_parts
from author.proposals.quantities.bare_numbers.shop import (
    as_digits,
    as_read_out,
    settle_tenths,
    whole_part,
)
from author.proposals.quantities.bare_numbers.sized import beside_size
from author.proposals.quantities.bare_numbers.topic import Talk, said_of, size_of, talk_of
from author.proposals.quantities.bare_numbers.turns import why_turns

_NEAR = 8


def carry_units(scenes: list[Scene], *, metric: bool | None) -> None:
    """Give each amount without a unit the one it means; drop those that mean none.

    Args:
        scenes: sentences of one recording, their amounts with their roles.
        metric: whether the recording speaks of metric units; None where nothing tells.
    """
    talk = talk_of(scenes)
    talk.metric = metric
    talk.scales = [scale_told(scene) for scene in scenes]
    for scene in scenes:
        for place, amount in enumerate(scene.amounts):
            amount.place = place
        kept: list[Amount] = []
        for amount in scene.amounts:
            if kept and amount.first < kept[-1].last:
                continue  # taken up by the one before
            needs = amount.unit is None and amount.form not in {"thread", "size"}
            if needs and "temperature" not in amount.flags:
                if not _carry(talk, scene, amount):
                    continue
                kind = kind_of(amount.unit)
                if kind and amount.unit:
                    talk.note(scene.index, said_of(scene, amount, amount.unit, kind, carried=True))
            if amount.form == "size" and amount.unit is None and metric:
                _take(amount, "mm", "carried far", "the recording speaks of millimetres")
                talk.note(scene.index, said_of(scene, amount, "mm", "length", carried=True))
            kept.append(amount)
            settle_tenths(scenes, scene, amount)
        scene.amounts = kept


def _carry(talk: Talk, scene: Scene, amount: Amount) -> bool:
    """Carry a unit over, if there is one; return whether the amount is worth keeping."""
    if beside_size(talk.scenes, scene, amount):
        return True
    if amount.form == "spelled" and as_read_out(talk, scene, amount):
        return True
    if amount.form in {"spelled", "whole", "mixed"} and as_digits(talk, scene, amount):
        return True
    if amount.form == "spelled" or (amount.form == "mixed" and (size_of(amount) or 0) > 999):
        return False
    if why := why_turns(scene, amount, told="turns" in talk.units):
        _take(amount, "turn", "settled", why)
        return True
    choice = chosen(talk, scene, amount)
    if choice.unit in {NOTHING, BARE}:
        return choice.unit == BARE
    if choice.bottom > 1:
        take_parts(amount, choice.bottom)
    _take(amount, choice.unit, *_from_where(talk, choice))
    whole_part(talk, scene, amount)
    return True


def _from_where(talk: Talk, choice: Choice) -> tuple[str, str]:
    """Return the flag of a carried unit, and in words where it comes from."""
    carried = "the unit is carried over from"
    if choice.far is None:
        talk.assumed.add(choice.unit)
        return "carried far", f"nobody says the unit: {choice.unit} goes with what is measured"
    if choice.unit in talk.assumed:
        return "carried far", f"{carried} another number, where nobody says it either"
    if not choice.far:
        return "carried", f"{carried} the same sentence"
    if choice.far <= _NEAR:
        return "carried near", f"{carried} a sentence nearby"
    return "carried far", f"{carried} another part of the recording"


def _take(amount: Amount, unit: str, flag: str, why: str) -> None:
    amount.unit = unit
    amount.flags.add(flag)
    amount.why.append(why)
