"""Units told by half a word: "two point two k", "toe is ten minutes", "two kg pressure"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.vocabulary import WEIGHED
from author.proposals.quantities.numbers.parts import low_at

RESISTING = frozenset(
    {"resistor", "resistors", "resistance", "ohm", "ohms", "thermistor", "thermistors"}
)
"""What is told in ohms."""


def settle_kilohms(near: list[Scene], scene: Scene, amount: Amount) -> None:
    """Take "two point two k" for kilohms where a resistor or a winding is spoken of.

    Args:
        near: the sentence and those just before it.
        scene: the sentence.
        amount: one of its amounts.
    """
    last = min(amount.last + 1, len(scene.tokens))
    if amount.unit is not None or amount.form in {"thread", "size"}:
        return
    if not any(token.low == "k" for token in scene.tokens[amount.first + 1 : last]):
        return
    driven = "clock" in scene.words  # "twenty-seven k on the clock"
    if not driven and any(one.words & (RESISTING | _WOUND) for one in near):
        amount.unit = "kΩ"
        amount.flags.add("settled")
        amount.why.append("'k' is taken for kilohms from the words around")


def settle_kilometres(scene: Scene) -> None:
    """Take "after a hundred k's" and "oil change at a thousand K" for kilometres."""
    if scene.words & RESISTING:
        return
    for amount in scene.amounts:
        if amount.unit is not None or amount.form in {"thread", "size"}:
            continue
        behind = low_at(scene.tokens, amount.last)
        ahead = between(scene.tokens, max(0, amount.first - _LED_BY), amount.first)
        driven = bool(scene.words & _DRIVEN) and _DRIVEN_FOR.search(ahead)
        if behind in {"k's", "k’s"} or (behind == "k" and driven):
            hourly = low_at(scene.tokens, amount.last + 2) == "hour"  # "at five k's an hour"
            amount.unit, amount.last = "km/h" if hourly else "km", amount.last + 1
            amount.flags.add("settled")
            amount.why.append("'k' is taken for kilometres from the words around")


_LED_BY = 3
_DRIVEN_FOR = re.compile(r"\b(?:for|after|every|at|in|within|another|about|first|next)(?: a)?$")
_DRIVEN = frozenset({"drive", "driven", "driving", "ride", "ridden", "riding", "easy", "bed",
                     "beds", "bedded", "road", "change", "changes", "retorque", "again", "service",
                     "check", "recheck", "nuts"})  # fmt: skip
_WOUND = frozenset({"coil", "coils", "winding", "windings", "potentiometer", "thermistors",
                    "solenoid", "multimeter", "ohmmeter"})  # fmt: skip
_TURNED_ARCS = frozenset({"toe", "camber", "caster", "castor", "steer"})


def settle_arcs(scene: Scene, amount: Amount) -> None:
    """Take minutes told of how wheels stand for minutes of arc: "toe is thirty minutes"."""
    ahead = scene.tokens[max(0, amount.first - _TOLD_BEFORE) : amount.first]
    stands = any(token.low.removesuffix("'s") in _TURNED_ARCS for token in ahead)
    if amount.unit == "min" and stands and not any(token.low in _LASTING for token in ahead):
        amount.unit = "arcmin"
        amount.flags.add("settled")
        amount.why.append("minutes of how a wheel stands are of arc")


_TOLD_BEFORE = 7
_LASTING = frozenset({"for", "in", "wait", "takes", "took", "after", "another", "every"})
_GASES = frozenset({"oxygen", "acetylene", "nitrogen", "air", "gas", "tyre", "tyres", "tire",
                    "compressor", "gauge", "steam", "water", "line"})  # fmt: skip


def settle_kilos(scene: Scene) -> None:
    """Take "two kg pressure", and other kilos told beside it of the same, for a pressure."""
    kilos = [one for one in scene.amounts if one.unit == "kg"]
    pressed = any(
        between(scene.tokens, one.last, one.last + 2).startswith(("pressure", "of pressure"))
        for one in kilos
        if one.last + 1 < len(scene.tokens)
    )
    if not pressed or not scene.words & _GASES or scene.words & WEIGHED:
        return
    for one in kilos:
        one.unit = "kgf/cm²"
        one.flags.add("settled")
        one.why.append("kilos of pressure are told of each square centimetre")


_PULLED = {"kg": "kgf", "g": "gf"}
_IS_PULLED = re.compile(r"(?:of )?(?:a )?(?:pull|push|drag|tension|force)\b")


def settle_pull(scene: Scene, amount: Amount) -> None:
    """Take kilos and grams of a pull or a push for a force: "a two kilo pull"."""
    if amount.unit not in _PULLED or scene.words & WEIGHED - {"back"}:
        return
    behind = between(scene.tokens, amount.last, min(amount.last + 4, len(scene.tokens)))
    if _IS_PULLED.match(behind):
        amount.unit = _PULLED[amount.unit]
        amount.flags.add("settled")
        amount.why.append("what is pulled or pushed with is a force")
