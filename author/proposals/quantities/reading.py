"""Quantities a technician says: the numbers, what they limit, and of what they are values."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.context import (
    Scene,
    kinds_named,
    scene_of,
)
from author.proposals.quantities.amounts.conversions import without_conversions
from author.proposals.quantities.amounts.corrections import correct_within
from author.proposals.quantities.amounts.doubts import settle_doubts
from author.proposals.quantities.amounts.joins import join_all
from author.proposals.quantities.amounts.naming import Named, names_of
from author.proposals.quantities.amounts.of_others import take_others
from author.proposals.quantities.amounts.over_sentences import correct_across
from author.proposals.quantities.amounts.pairs import stage_by_stage, without_sequence
from author.proposals.quantities.amounts.phrases import amounts_in
from author.proposals.quantities.amounts.places import datum_of, positions_of
from author.proposals.quantities.amounts.restated import part_labels, settle_mercury, take_spreads
from author.proposals.quantities.amounts.rows import part_readings, take_rows
from author.proposals.quantities.amounts.thought import Thought
from author.proposals.quantities.amounts.told_later import correct_later
from author.proposals.quantities.amounts.units import POUND, kind_of
from author.proposals.quantities.amounts.vocabulary import FLUID
from author.proposals.quantities.bare_numbers.carry import carry_units
from author.proposals.quantities.bare_numbers.degrees import (
    is_british,
    is_metric,
    settle_degrees,
    settle_gallons,
)
from author.proposals.quantities.bare_numbers.fine import settle_thousandths
from author.proposals.quantities.bare_numbers.half_said import (
    settle_arcs,
    settle_kilohms,
    settle_kilometres,
    settle_kilos,
    settle_pull,
)
from author.proposals.quantities.bare_numbers.last_digits import put_first_digits
from author.proposals.quantities.bare_numbers.points import put_points
from author.proposals.quantities.bare_numbers.readings import find_readings
from author.proposals.quantities.bare_numbers.settle import (
    settle_column,
    settle_newtons,
    settle_pounds,
    settle_unit,
)
from author.proposals.quantities.no_quantity.counts import is_counted_again
from author.proposals.quantities.no_quantity.named_before import is_of_a_sort
from author.proposals.quantities.no_quantity.names import left_alone
from author.proposals.quantities.numbers.tokens import Read, Token, tokens_of
from author.proposals.quantities.roles.background import take_background
from author.proposals.quantities.roles.deviations import take_deviations
from author.proposals.quantities.roles.held_beside import take_held_beside
from author.proposals.quantities.roles.parallel import goes_on, hand_back, hold_on, too_far
from author.proposals.quantities.roles.plain_readings import take_checked_now, without_new_parts
from author.proposals.quantities.roles.refusals import (
    find_refusals,
    turn_by_verdict,
    turn_worn,
)
from author.proposals.quantities.roles.roles import give_role
from author.proposals.quantities.roles.thought_over import think_over
from author.proposals.quantities.roles.tighter import turn_tighter
from author.proposals.quantities.same_as_before import with_those_before
from author.proposals.quantities.spoken_quantity import SpokenQuantity
from author.proposals.reader.ahead import Ahead
from author.proposals.speech.spoken import Sentence

__all__ = ["SpokenQuantity", "quantities_in"]

_SURELY = 3.0
"""Log odds from which what the network takes for a quantity is one, whatever it looks like."""


def quantities_in(
    sentences: Sequence[Sentence], ahead: Sequence[Ahead] = ()
) -> tuple[SpokenQuantity, ...]:
    """Return every quantity that is said, in the order of the sentences.

    Numbers that name or count something are left out, and so is a value that was taken
    back. Units and the values of a tolerance are looked for in the sentences around, but
    never on another recording.

    Args:
        sentences: what was said, in order.
        ahead: what the network thinks of each of them, or nothing.
    """
    found: list[SpokenQuantity] = []
    first = 0
    while first < len(sentences):
        last = first
        while last < len(sentences) and sentences[last].recording == sentences[first].recording:
            last += 1
        found.extend(_of_recording(sentences, first, last, ahead))
        first = last
    return tuple(with_those_before(found, sentences))


def _of_recording(
    sentences: Sequence[Sentence], first: int, last: int, ahead: Sequence[Ahead]
) -> list[SpokenQuantity]:
    scenes: list[Scene] = []
    said = [part_readings(part_labels(tokens_of(one.text))) for one in sentences[first:last]]
    for index, tokens in enumerate(said):
        scenes.append(_read(index, tokens, scenes, said[index + 1 : index + 1 + _LATER]))
    if ahead:  # only now: until here it is read meanwhile
        for at, scene in enumerate(scenes, start=first):
            scene.thought = Thought(sentences[at], scene.tokens, ahead[at])
    imperial = _is_imperial(scenes)
    told = {amount.unit for scene in scenes for amount in scene.amounts if amount.unit}
    for scene in scenes:
        settle_kilometres(scene)
        _part_names(scene)
        _settle_units(scenes, scene, imperial=imperial, told=told)
        settle_mercury(scenes, scene)
    settle_thousandths(scenes)
    settle_degrees(scenes)
    settle_gallons(scenes)
    for scene in scenes:
        _give_roles(scenes, scene)
    correct_across(scenes)
    correct_later(scenes)
    turn_tighter(scenes)
    carry_units(scenes, metric=is_metric(scenes))
    for scene in scenes:
        # "Forty litres a fortnight" are no litres, though of litres is spoken.
        scene.amounts = [one for one in scene.amounts if "rate" not in one.flags]
    find_refusals(scenes)
    turn_worn(scenes)
    find_readings(scenes)
    take_checked_now(scenes)
    take_background(scenes)
    for scene in scenes:
        think_over(scene)
    take_held_beside(scenes)
    without_new_parts(scenes)
    turn_by_verdict(scenes)
    without_conversions(scenes)
    join_all(scenes)
    take_deviations(scenes)
    names = names_of(scenes)
    return [
        _told(sentences[first + scene.index], first, scenes, scene, amount, names.get(amount))
        for scene in scenes
        for amount in scene.amounts
    ]


_LATER = 2
"""Sentences behind one whose numbers tell how its own are to be read."""


def _read(
    index: int, tokens: list[Token], earlier: list[Scene], later: Sequence[list[Token]]
) -> Scene:
    """Return a sentence with its amounts, points and digits that were left out put in."""
    amounts = amounts_in(tokens)
    pointed, places = put_points(tokens, earlier, amounts, later)
    pointed, begun = put_first_digits(pointed, earlier)
    places |= begun
    if pointed is not tokens:
        tokens = Read(pointed)
        amounts = amounts_in(tokens)
        for amount in amounts:
            inside = {token.begin for token in tokens[amount.first : amount.last]}
            if inside & places:
                amount.flags.add("pointed")
    amounts = without_sequence(tokens, amounts)
    given = take_others(tokens, settle_doubts(tokens, amounts))
    told = stage_by_stage(tokens, correct_within(tokens, given))
    return scene_of(index, tokens, take_rows(tokens, take_spreads(told)))


def _settle_units(scenes: list[Scene], scene: Scene, *, imperial: bool, told: set[str]) -> None:
    """Decide the units of a sentence whose words have two meanings."""
    near = scenes[max(0, scene.index - 2) : scene.index + 1]
    poured = any(one.words & FLUID for one in near)
    for amount in [*scene.amounts, *scene.sizes]:
        pounds = amount.unit == POUND
        settle_unit(scene, amount, imperial=imperial, poured=poured)
        settle_column(near, scene, amount)
        settle_kilohms(near, scene, amount)
        settle_pull(scene, amount)
        settle_arcs(scene, amount)
        if pounds and amount.unit in {"lb", "lbf·ft"}:
            before = [one.unit for other in near for one in other.amounts if one is not amount]
            settle_pounds(scene, amount, before, told)
        if amount.unit == "N":
            settle_newtons(scenes, scene, amount, told)
    if "pressure" in scene.words:
        settle_kilos(scene)


def _part_names(scene: Scene) -> None:
    """Put the numbers that name or count something apart."""
    kept: list[Amount] = []
    before: Amount | None = None
    for amount in scene.amounts:
        if "row" not in amount.flags and _is_none(scene, before, amount):
            scene.sizes.append(amount)
            before = amount
        else:
            kept.append(amount)
            before = None
    scene.amounts = kept


def _is_none(scene: Scene, before: Amount | None, amount: Amount) -> bool:
    """Whether an amount names or counts something; no AW thirty two is a value."""
    again = before is not None and is_counted_again(scene.tokens, before, amount)
    odds = scene.thought.odds_of(amount) if scene.thought else None
    if not (again or left_alone(scene.tokens, amount)):
        return False
    kept = odds is not None and odds >= _SURELY and not is_of_a_sort(scene.tokens, amount)
    if kept:
        amount.why.append("it looks like a name or a count, and is taken for a value as it is told")
    return not kept


def _is_imperial(scenes: list[Scene]) -> bool:
    """Whether a "mil" is a thousandth of an inch: who calls that a thou means millimetres."""
    units = {amount.unit for scene in scenes for amount in scene.amounts}
    metric = {"mm", "cm", "µm", "N·m", "°C", "kPa"} & units
    imperial = {"in", "ft", "lbf·ft", "lbf·in", "psi"} & units
    return bool(imperial) and not metric and "thou" not in units and not is_british(scenes)


def _give_roles(scenes: list[Scene], scene: Scene) -> None:
    before = scenes[scene.index - 1] if scene.index else None
    gauge = scene.gauge or (before is not None and _gauged(scenes, scene.index))
    begin = 0
    for number, amount in enumerate(scene.amounts):
        later = scene.amounts[number + 1 :]
        end = later[0].first if later else len(scene.tokens)
        give_role(scene.tokens, amount, begin, end, gauge=gauge, setting=scene.setting)
        previous = scene.amounts[number - 1] if number else None
        if previous:
            hold_on(scene.tokens, previous, amount)
            hand_back(scene.tokens, previous, amount)
            too_far(scene.tokens, previous, amount)
        if "read" in amount.flags or (previous and goes_on(scene.tokens, previous, amount)):
            amount.role = "measured"
        begin = amount.last


def _gauged(scenes: list[Scene], index: int) -> bool:
    """Whether a sentence shortly before names a measuring instrument and sets nothing."""
    for back in (1, 2):
        if index - back >= 0 and scenes[index - back].gauge:
            return not scenes[index - back].setting or not scenes[index - back].amounts or back > 1
    return False


_ROLES = {
    "limits": "Heard as limits", "aim": "Heard as a value to aim at",
    "about": "Heard as a rough value", "measured": "Heard as what this one measures",
    "thread": "Heard as a thread", "size": "Heard as dimensions",
    "tolerance": "Heard as a tolerance whose value was not found",
}  # fmt: skip
_DOUBTS = {
    "carried": "0.85", "carried near": "0.75", "carried far": "0.5", "rounded": "0.6",
    "comma": "0.2", "paired": "0.85", "about": "0.85", "article": "0.75", "doubtful": "0.55",
    "corrected": "0.85", "doubted": "0.55", "implied": "0.8", "settled": "0.8", "pointed": "0.8",
}  # fmt: skip
_WHY = {
    "comma": "the comma can be a decimal point or a mark of thousands",
    "corrected": "it takes the place of a value that was taken back",
    "rounded": "the fraction has no end as a decimal and was rounded",
    "paired": "the number was said in two halves",
    "pointed": "the point or first digits were not said and are taken from the values before",
    "doubtful": "the word for the unit may have been misheard or mean another",
}


def _told(
    sentence: Sentence,
    offset: int,
    scenes: list[Scene],
    scene: Scene,
    amount: Amount,
    named: Named | None,
) -> SpokenQuantity:
    begin = scene.tokens[amount.first].begin
    end = scene.tokens[amount.last - 1].end
    sized = amount.form in {"thread", "size"}
    lower, upper = amount.lower, amount.upper
    if amount.role == "tolerance":
        lower, upper = amount.minus, amount.plus
    kind = "temperature" if "temperature" in amount.flags else kind_of(amount.unit)
    if kind is None and len(kinds := kinds_named(named.name if named else None)) == 1:
        kind = next(iter(kinds))
    return SpokenQuantity(
        sentence=offset + scene.index,
        begin=begin,
        end=end,
        text=sentence.text[begin:end],
        role=amount.role,
        lower=lower,
        nominal=None if amount.role == "tolerance" else amount.nominal,
        upper=upper,
        unit=amount.unit,
        quantity=kind,
        numbers=amount.numbers,
        designation=amount.designation if amount.form == "thread" else None,
        characteristic=(named.name or None) if named else None,
        named=_letters_of(scenes, offset, named) if named else None,
        datum=None if sized else datum_of(scenes, scene, amount),
        positions=None if sized else positions_of(scene, amount),
        carried_unit=any(flag.startswith("carried") for flag in amount.flags),
        corrected="corrected" in amount.flags,
        confidence=_confidence(amount),
        reason=_reason(amount),
    )


def _letters_of(scenes: list[Scene], offset: int, named: Named) -> tuple[int, int, int]:
    tokens = scenes[named.scene].tokens
    begin = tokens[named.first].begin
    end = tokens[named.last - 1].end if named.last > named.first else begin
    return offset + named.scene, begin, end


def _confidence(amount: Amount) -> Decimal:
    doubts = [Decimal(_DOUBTS[flag]) for flag in amount.flags if flag in _DOUBTS]
    if amount.unit is None and amount.form != "thread":
        doubts.append(Decimal("0.35"))
    if amount.role in {"measured", "tolerance"}:
        doubts.append(Decimal("0.8"))
    sure = min(doubts, default=Decimal("0.95"))
    return max(Decimal("0.1"), sure - Decimal("0.03") * max(0, len(doubts) - 1))


def _reason(amount: Amount) -> str:
    parts = [_ROLES[amount.role]]
    parts.extend(why for flag, why in _WHY.items() if flag in amount.flags)
    parts.extend(dict.fromkeys(amount.why))
    sized = amount.form in {"thread", "size"}
    if amount.unit is None and not sized and "temperature" not in amount.flags:
        parts.append("no unit was said")
    return "; ".join(parts) + "."
