"""What gets thinner as it wears: there a limit of wear is the least that is left."""

from __future__ import annotations

import re

from author.proposals.quantities.numbers.tokens import Token

_WEAR_LIMIT = re.compile(r"\b(?:wear|service|scrap|discard|change) (?:limit|size|mark)\b")
_LEFT = frozenset({"left", "remaining", "lining", "linings", "pad", "pads", "tread", "brushes",
                   "brush", "carbon", "shoes", "thickness", "disc", "disk", "rotor", "thick",
                   "material", "meat"})  # fmt: skip
_THEM = frozenset({"it", "them", "em", "'em", "they", "they're", "those", "it's"})
# "Free length": springs get shorter.
_SHRINKS = re.compile(r"\bfree length\b")
_MOVES = frozenset({"runout", "play", "clearance", "gap", "float", "backlash", "groove", "bore",
                    "hole", "wobble", "taper", "deep", "depth", "wiggle", "slop", "lift", "endplay",
                    "shake", "rock"})  # fmt: skip


def wears_down(tokens: list[Token], before: str) -> bool:
    """Whether a wear limit is of what gets thinner, so that nothing less is left."""
    return bool(_WEAR_LIMIT.search(before)) and wears(tokens)


def wears(tokens: list[Token]) -> bool:
    """Whether a sentence is of what gets thinner."""
    words = {token.low for token in tokens}
    shrinks = _SHRINKS.search(" ".join(token.low for token in tokens))
    return bool(words & _LEFT or shrinks) and not words & _MOVES


def is_left(tokens: list[Token]) -> bool:
    """Whether a sentence is of what is only worn away, as a pad; a disc has a runout as well."""
    return wears(tokens) and any(token.low in _LEFT - _DISCS for token in tokens)


_DISCS = frozenset({"disc", "disk", "rotor", "material", "thick"})


def moves(tokens: list[Token]) -> bool:
    """Whether a sentence is of what gets larger as it wears: play, runout, a groove."""
    return any(token.low in _MOVES for token in tokens)


def wears_here(tokens: list[Token], before: list[Token]) -> bool:
    """Whether a sentence that names nothing itself follows one of what gets thinner.

    Args:
        tokens: words of the sentence.
        before: those of the sentence before it.
    """
    words = {token.low for token in tokens}
    return bool(words & _THEM) and not words & _MOVES and wears(before)
