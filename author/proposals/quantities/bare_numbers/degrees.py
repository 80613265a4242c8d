"""Degrees: of angle, of temperature or of a difference, and on which scale."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import (
    Scene,
    characteristic_near,
    kinds_named,
    strong_names,
)
from author.proposals.quantities.amounts.units import DEGREE
from author.proposals.quantities.bare_numbers.heat import is_temperature

_REACH = 6
_SCALES = {"celsius": "°C", "centigrade": "°C", "fahrenheit": "°F"}
_DIFFERENCES = {"°C": "K", "°F": "Δ°F"}
# "Twelve degrees of a rise", "nine degrees of difference".
_APART = re.compile(
    r"(?:of )?(?:an? )?(?:drop|difference|rise|split|spread|across)\b"
    r"|(?:over|above) (?:the )?(?:ambient|room|outside|air temp)|between (?:them|the two|flow)\b"
)
# "The head no hotter than one eighty": of the heat, whatever was told of before.
_HOTTER = re.compile(r"\b(?:hotter|warmer|cooler|colder) than(?: (?:about|a|an))?$")
_METRIC = frozenset({"mm", "cm", "m", "µm", "N·m", "kPa", "bar", "mL", "L", "g", "kg", "kN", "N"})
_IMPERIAL = frozenset({"in", "thou", "ft", "lbf·ft", "lbf·in", "psi", "US qt", "US gal",
                       "US fl oz", "oz", "lb", "lbf"})  # fmt: skip
_POUNDS = frozenset({"lbf·ft", "lbf·in"})
# Words of British speech: there heat is told in Celsius though a gap is told in thou.
_BRITISH = frozenset({"spanner", "spanners", "circlip", "circlips", "nought", "tyre", "tyres",
                      "petrol", "whilst", "grub", "aluminium", "litre", "litres", "mould",
                      "paraffin", "metres", "colour", "bloke", "lads", "mum", "cuppa",
                      "wee", "reckon", "arvo", "ute", "millimetres", "jumper",
                      "quid", "mate", "g'day", "aye", "millimetre", "metre", "bonnet"})  # fmt: skip


def is_metric(scenes: list[Scene]) -> bool | None:
    """Return whether a recording speaks of metric units rather than of inches and pounds.

    None where it says nothing that tells.
    """
    metric = imperial = 0
    for scene in scenes:
        metric += sum(one.unit in _METRIC for one in scene.amounts)
        imperial += sum(one.unit in _IMPERIAL for one in scene.amounts)
    return None if metric == imperial else metric > imperial


def settle_degrees(scenes: list[Scene]) -> None:
    """Decide what each "degrees" means; see ``_scale`` for Celsius and Fahrenheit."""
    scales = _scales_said(scenes)
    usual = "°F" if is_metric(scenes) is False and not is_british(scenes) else "°C"
    if is_metric(scenes) is None and not is_british(scenes):
        usual = ""
    last: tuple[str, int] = ("", -100)
    for scene in scenes:
        for amount in scene.amounts:
            if amount.unit in {"°C", "°F"}:
                last = ("temperature", scene.index)
                _difference(scenes, scene, amount)
            ahead = between(scene.tokens, max(0, amount.first - 4), amount.first)
            if amount.unit is None and amount.is_plain() and _HOTTER.search(ahead):
                amount.unit = DEGREE
                amount.flags.add("carried")
            if amount.unit != DEGREE:
                continue
            before = last[0] if scene.index - last[1] <= _REACH else None
            near = scenes[max(0, scene.index - 2) : scene.index]
            if not is_temperature(scene, amount, near, before=before):
                amount.unit = "°"
                last = ("angle", scene.index)
                continue
            last = ("temperature", scene.index)
            _scale(scene, amount, scales, usual)
            _difference(scenes, scene, amount)


def _scales_said(scenes: list[Scene]) -> list[tuple[int, str]]:
    said = []
    for scene in scenes:
        units = [one.unit for one in scene.amounts if one.unit in {"°C", "°F"}]
        units += [_SCALES[word] for word in sorted(scene.words & _SCALES.keys())]
        said += [(scene.index, unit) for unit in units if unit]
    return said


def is_british(scenes: list[Scene]) -> bool:
    """Whether words of British speech are said; one alone tells nothing beside foot pounds."""
    said = frozenset[str]().union(*(scene.words & _BRITISH for scene in scenes))
    if len(said) != 1:
        return bool(said)
    units = {amount.unit for scene in scenes for amount in scene.amounts}
    return not units & _POUNDS or bool(units & _METRIC)


_IMPERIAL_GALLONS = {"US gal": "imp gal", "US gal/min": "imp gal/min", "US gal/h": "imp gal/h",
                     "US pt": "imp pt"}  # fmt: skip


def settle_gallons(scenes: list[Scene]) -> None:
    """Take gallons and pints of British speech for imperial, a "ton" of American for short."""
    if not is_british(scenes):
        if is_metric(scenes) is False:
            _shorten_tons(scenes)
        return
    for scene in scenes:
        for amount in scene.amounts:
            if amount.unit in _IMPERIAL_GALLONS and not scene.words & _AMERICAN:
                amount.unit = _IMPERIAL_GALLONS[amount.unit]
                amount.flags.add("settled")
                amount.why.append("gallons and pints are imperial in British speech")


# Nozzles of oil burners are told in US gallons an hour everywhere (common practice, no source).
_AMERICAN = frozenset({"us", "american", "nozzle", "nozzles", "nozzle's"})


def _shorten_tons(scenes: list[Scene]) -> None:
    for scene in scenes:
        for amount in scene.amounts:
            if amount.unit == "t" and "doubtful" in amount.flags:
                amount.unit = "short ton"
                amount.why.append("the recording speaks of inches and pounds")


def _scale(scene: Scene, amount: Amount, said: list[tuple[int, str]], usual: str) -> None:
    """Take the scale said nearest, else the one the other units of the recording suggest."""
    nearest = min(said, key=lambda one: abs(one[0] - scene.index), default=None)
    unit = nearest[1] if nearest else usual
    amount.flags.add("temperature")
    if not unit:
        amount.why.append("nobody says whether Celsius or Fahrenheit")
    elif nearest:
        amount.flags.add("carried" if nearest[0] == scene.index else "carried near")
        amount.why.append("Celsius or Fahrenheit is the one said nearby")
    else:
        amount.flags.add("carried far")
        amount.why.append(f"nobody says the scale: {unit} goes with the other units")
    amount.unit = unit or None


# "The air out is warmer than the air in, by eight to twelve degrees".
_BY_SO_MUCH = re.compile(r"\b(?:warm|hott|cool|cold)er\b.*\bby(?: about)?$")
# "The rise above the room should be maximum thirty degrees", not "let it drop to thirty".
_DIFFERS = re.compile(
    r"\b(?:difference|(?:the|a|an|temperature) (?:rise|drop|split|spread)|rise (?:above|over))"
    r"(?: (?!(?:between|when|while|and|then|if)\b)[a-z']+){0,9}"
    r"(?:(?<! to)(?<! at)(?<! from)| (?:works? out|worked out|comes|came|amounts) (?:to|at))$"
)

# "Inside thirty degrees of each other".
_OF_EACH = re.compile(r"(?:of|between|from) (?:each other|one another|the other|its mate)\b")


def _difference(scenes: list[Scene], scene: Scene, amount: Amount) -> None:
    """Take degrees of superheat and the like for a difference of temperature."""
    named = characteristic_near(scene, amount)
    kinds = kinds_named(named)
    if named is None and scene.index and not scenes[scene.index - 1].amounts:
        kinds = set(strong_names(scenes[scene.index - 1].tokens))
    behind = between(scene.tokens, amount.last, min(amount.last + 4, len(scene.tokens)))
    ahead = between(scene.tokens, max(0, amount.first - 12), amount.first)
    told = "temperature_difference" in kinds or _APART.match(behind) or _BY_SO_MUCH.search(ahead)
    before = max((one.last for one in scene.amounts if one.last <= amount.first), default=0)
    told = told or _DIFFERS.search(between(scene.tokens, before, amount.first))
    told = told or _OF_EACH.match(behind)
    if not told or amount.unit not in _DIFFERENCES:
        return
    amount.unit = _DIFFERENCES[amount.unit]
    amount.flags.discard("temperature")
    amount.flags.add("settled")
    amount.why.append("it is told as a difference")
