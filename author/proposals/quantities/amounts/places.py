"""From where a value is measured, and at which places it holds."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.named_by_deeds import around, tells_how_far
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.vocabulary import ENDS_DATUM, NO_DATUM
from author.proposals.quantities.numbers.parts import NUMBER_NAMES

_DATUM = re.compile(
    r"(?:(?:,? )?\b(?:in|out|down|up|back|away|clear|measured|proud|as|deep|high)\b)*"
    r",? ?(?:from|below|under|underneath|above|past|beyond|proud of|off|beneath|inside"
    r"|before|after|short of|of from)"
    r" (?:the |its |your |that |this |a |top of the "
    r"|edge of the )?(?P<datum>[a-z']+(?: [a-z']+){0,2})"
)


_DATUM_BEFORE = re.compile(
    r"\b(?:from|below|under|above|past) (?:the |its |that "
    r"|this )(?P<datum>[a-z']+(?: [a-z']+){0,2})"
)


# "Measure from the gasket face", "depth from the hub face": a hole that a screw is found under is
# no datum.
_MEASURED_FROM = re.compile(
    r"\b(?:measur(?:e|ed|es|ing)|depth|height|distance|protrusion|projection|gap)\b"
    r"(?: [a-z']+){0,5} from\b"
)

_POSITIONS = re.compile(
    r"\b(?:(?:at|in|on) (?:(?:all )?(?:two|three|four|five|six|eight|2|3|4|5|6|8)|each"
    r"|every|both|all)(?: of the)?"
    r"(?: \w+)? ?(?:places|points|spots|positions|planes|directions|corners?|sides?|ends?"
    r"|cylinders?|holes?|stations)"
    r"|(?:all the way|all) (?:round|around)|at both ends|both sides|each side"
    r"|every cylinder|each corner"
    r"|every (?:\w+ ){1,2}degrees)\b"
)


# "Fourteen psi in the front and ten in the back", "eight thou on the inlet, ten on the exhaust"
_SIDE = re.compile(
    r"(?:left )?(?:in|on|at|for|up) the (?:(front|rear|back|left|right|top|bottom|upper|lower|inlet"
    r"|intake|exhaust|inner|outer|inside|outside|near ?side|off ?side|leading|trailing|drive"
    r"|driver's|passenger|far|big|small)(?: (?:side|end|one|ones|hand side)s?)?)"
    r"(?=$| (?:and|but|then|so|is|are)\b| ?[,.;:])"
)


def datum_of(scenes: list[Scene], scene: Scene, amount: Amount) -> str | None:
    """Return what an amount is measured from, as ``hub face``.

    Args:
        scenes: sentences of the recording.
        scene: the sentence it is told in.
        amount: the value.
    """
    kind = kind_of(amount.unit)
    if kind not in {"length", "angle", "turns", None}:
        return None
    tokens = scene.tokens
    named = None
    for last in dict.fromkeys((amount.inner or amount.last, amount.last)):
        found = _DATUM.match(between(tokens, last, min(len(tokens), last + 9)))
        named = named or (found and _datum_name(found["datum"]))
    if named or kind != "length":
        return named
    if any(_tells_where(scene, one) and one.last <= amount.first for one in scene.amounts):
        return None  # "the runout ten millimetres in from the edge, 0.05": it is from no edge
    before = " ".join(token.low for token in tokens[max(0, amount.first - 10) : amount.first])
    sources = [before]
    if scene.index:
        previous = scenes[scene.index - 1]
        if not previous.amounts and _MEASURED_FROM.search(
            between(previous.tokens, max(0, len(previous.tokens) - 12), len(previous.tokens))
        ):
            sources.append(" ".join(token.low for token in previous.tokens[-12:]))
    for source in sources:
        matches = list(_DATUM_BEFORE.finditer(source))
        named = _datum_name(matches[-1]["datum"]) if matches else None
        if named:
            return named
    return None


def _tells_where(scene: Scene, amount: Amount) -> bool:
    return tells_how_far(*around(scene, amount))


def _datum_name(words: str) -> str | None:
    kept: list[str] = []
    for word in words.split():
        if word in ENDS_DATUM:
            break
        kept.append(word)
    if not kept or kept[0] in NO_DATUM or kept[0] in NUMBER_NAMES:
        return None
    return " ".join(kept)


def positions_of(scene: Scene, amount: Amount) -> str | None:
    """Return where it holds, as ``at three places`` or ``in the front``, or None.

    A side alone counts where another value of its sentence is told of another side.
    """
    tokens = scene.tokens
    first, last = max(0, amount.first - 8), min(len(tokens), amount.last + 10)
    if found := _POSITIONS.search(" ".join(token.low for token in tokens[first:last])):
        return found.group()
    own = _side_behind(scene, amount)
    others = (_side_behind(scene, one) for one in scene.amounts if one is not amount)
    apart = own and any(one and one[1] != own[1] for one in others)
    return own.group().removeprefix("left ") if own and apart else None


def _side_behind(scene: Scene, amount: Amount) -> re.Match[str] | None:
    tokens = scene.tokens
    return _SIDE.match(between(tokens, amount.last, min(len(tokens), amount.last + 7)))
