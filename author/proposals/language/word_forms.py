"""Nouns as they are for one thing, and words as they are written in full."""

from __future__ import annotations

from functools import cache

from author.checks.verbs import words as _words

# Things that are named in the plural even where there is one.
_ALWAYS_PLURAL = _words(
    """
    pliers glasses goggles snips scissors shears cutters croppers strippers crimpers tweezers
    calipers callipers tongs forceps overalls grips parallels scales gloves earmuffs defenders
    earplugs feelers nippers thinners jump-leads wipes clippers lowers uppers
    """
)
_NOT_PLURAL = _words(
    "lens brass glass gas chassis bus abs axis class press mass canvas series flux"
)
_ODD_PLURALS = {
    "knives": "knife", "blades": "blade", "halves": "half", "shelves": "shelf", "feet": "foot",
    "teeth": "tooth", "axes": "axis", "leaves": "leaf", "dies": "die", "vanes": "vane",
    "valves": "valve", "sleeves": "sleeve", "bushes": "bush", "torches": "torch",
    "ties": "tie",
}  # fmt: skip


@cache
def singular(noun: str) -> str:
    """Return a noun as it is for one thing; pliers stay pliers."""
    if noun in _ODD_PLURALS:
        return _ODD_PLURALS[noun]
    if noun in _ALWAYS_PLURAL or noun in _NOT_PLURAL or len(noun) < 4 or noun[-1] != "s":
        return noun
    if noun.endswith(("ss", "us", "is")):
        return noun
    if noun.endswith("ies"):
        return noun[:-3] + "y"
    if noun.endswith(("ches", "shes", "sses", "xes", "zes")):
        return noun[:-2]
    return noun[:-1]


def plural(name: str) -> str:
    """Return the name of one thing as it is for several: two "lip seals", three "knives"."""
    word = name.rsplit(maxsplit=1)[-1]
    if singular(word) != word or word in _ALWAYS_PLURAL:
        return name
    odd = next((many for many, one in _ODD_PLURALS.items() if one == word), None)
    if odd is not None:
        return f"{name.removesuffix(word)}{odd}"
    if word.endswith("y") and word[-2:-1] not in set("aeiou"):
        return f"{name[:-1]}ies"
    return f"{name}es" if word.endswith(("s", "sh", "ch", "x")) else f"{name}s"


def with_g(word: str) -> str:
    """Return "bearing" for "bearin'", and other words as they are."""
    return f"{word[:-1]}g" if word.endswith(("in'", "in’")) else word
