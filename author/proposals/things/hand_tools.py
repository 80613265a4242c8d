"""The full names of tools of the hand: a depth mic, "the five mil key", "key of thirteen"."""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import words as _words
from author.proposals.language.counts import count_at
from author.proposals.language.noun_phrases import Phrase
from author.proposals.language.tokens import Token

_SHORT = {
    "feeler": "feeler gauge", "feelers": "feeler gauge", "mic": "micrometer", "mics": "micrometer",
    "mike": "micrometer", "mikes": "micrometer", "plier": "pliers",
    "hex": "hex key", "allen": "allen key", "allens": "allen key", "tacho": "tachometer",
    "clock": "dial gauge", "adjustable": "adjustable spanner", "stubby": "stubby screwdriver",
    "long-nose": "long-nose pliers", "needle-nose": "needle-nose pliers",
    "snub-nose": "snub-nose pliers",
}  # fmt: skip
_MILS = _words("mil mill mils mills mm millimetre millimeter inch")
_LARGEST_HEX = 14
_OF_SPANNERS = _words("fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty")
# Keys of these sizes are six-sided whoever says so; smaller than the largest, others are both.
_SIX_SIDED = frozenset({2, 3, 4, 5, 6, 8})
_SMALLEST_SPANNER = 13
_LARGEST = 75
_OF = _words("of number size eh")
_IS = _words("is was it's that's")
_OF_ITS_OWN = _words("wide long thick high deep by x broad")


def in_full(name: str) -> str:
    """Return a tool's name with its last word as it is written: a depth mic is a micrometer.

    Args:
        name: of a tool.
    """
    if name == "driver":
        return "screwdriver"
    words = name.split(" ")
    full = _SHORT.get(words[-1].lower())
    if words[-1].lower() in {"key", "keys"} and _is_hex_size(words[:-1]):
        full = f"hex {words[-1].lower()}"
    return name if full is None else " ".join([*words[:-1], full])


def _is_hex_size(words: Sequence[str]) -> bool:
    """Whether a key's size is that of a hex key: "five mil"; a 30 mm key is a spanner."""
    if len(words) < 2 or words[-1].lower() not in _MILS:
        return False
    number = words[-2].lower()
    if number.isdecimal():
        return len(number) <= len(str(_LARGEST_HEX)) and int(number) <= _LARGEST_HEX
    return number not in _OF_SPANNERS


def sized_key(tokens: Sequence[Token], phrase: Phrase) -> str | None:
    """Return what is meant by a key told by its size alone: "key of thirteen", "key fifty-five".

    Keys of shafts have a width, and are new or are put in: "new key, ten by eight".

    Args:
        tokens: the words of the sentence.
        phrase: the name.
    """
    if tokens[phrase.stop - 1].low in _SIZED_BEHIND and phrase.stop - phrase.name_first == 1:
        return _of_size(tokens, phrase.stop - 1)
    if tokens[phrase.stop - 1].low != "key" or phrase.stop - phrase.name_first > 2:
        return None
    led = {token.low for token in tokens[phrase.first : phrase.name_first]}
    if "new" in led or led & _words("my your his her"):
        return None
    words = [token.low for token in tokens]
    if phrase.stop - phrase.name_first > 1:
        found = count_at(words, phrase.name_first)
        size = found[0] if found is not None and found[1] == phrase.stop - 1 else None
        return None if size is None else _key(size, words[phrase.name_first])
    return _told_behind(tokens, words, phrase.stop)


def _of_size(tokens: Sequence[Token], at: int) -> str | None:
    """Return the name of a key with its size behind it: "Torx twenty", "Allen of six"."""
    words = [token.low for token in tokens]
    behind = at + 2 if words[at + 1 : at + 2] in (["of"], ["size"], ["number"]) else at + 1
    found = count_at(words, behind) if behind < len(words) else None
    if found is None or tokens[at + 1].parted or found[0] > _LARGEST:
        return None
    after = words[found[1]] if found[1] < len(words) and not tokens[found[1]].parted else ""
    if after and after not in _ENDS_SIZE:
        return None  # "with a torx six screws hold it"
    said = " ".join(words[behind : found[1]])
    return f"torx {said}" if words[at] == "torx" else f"{said} allen key"


_SIZED_BEHIND = _words("torx allen")
_ENDS_SIZE = _words("and on for in to with then so mil mm")


def _told_behind(tokens: Sequence[Token], words: Sequence[str], at: int) -> str | None:
    """Return the key whose size stands behind it: "of ten", "is seven mm", "fifty-five"."""
    is_told = at < len(words) and words[at] in _IS
    named = is_told
    while at < len(words) and words[at] in _OF | _IS:
        named, at = True, at + 1
    if at >= len(words) or (tokens[at].parted and not named):
        return None
    found = count_at(words, at)
    if found is None or found[0] > _LARGEST:
        return None
    size, stop = found
    behind = words[stop] if stop < len(words) and not tokens[stop].parted else ""
    unit = behind in _MILS
    after = words[stop + 1] if unit and stop + 1 < len(words) else behind
    if after in _OF_ITS_OWN or (is_told and not unit) or (behind and not unit and not named):
        return None
    return _key(size, words[at] if stop == at + 1 else " ".join(words[at:stop]))


def _key(size: int, said: str) -> str:
    if size in _SIX_SIDED:
        return f"{said} hex key"
    return f"{said} spanner" if size >= _SMALLEST_SPANNER and size != _LARGEST_HEX else "key"
