"""Words of an order as they are said to the reader: "my nut" is "the nut", "heat her up" "it"."""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS, PARTICLES, PREPOSITIONS
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of
from author.proposals.orders.bare_verbs import WORN, head_of

_PERSON = {
    "i": "you", "we": "you", "i'm": "you're", "we're": "you're", "i've": "you've",
    "we've": "you've", "i'll": "you'll", "we'll": "you'll", "me": "you", "us": "you",
    "she": "it", "she's": "it's", "she'll": "it'll", "ye": "you", "ye'll": "you'll",
    "i'd": "you'd", "we'd": "you'd", "am": "are",
}  # fmt: skip
# What belongs to the reader and not to the machine.
_OWN = _words(
    """
    hand hands finger fingers fingertip fingertips thumb thumbs thumbnail fingernail nail weight eye
    eyes face foot feet palm palms mate ear ears sleeve sleeves hair knee knees back arm arms elbow
    elbows head body left right other own index whole lock padlock tag pocket pockets lap apron
    bib trousers overalls jacket
    """
)
_LED = _words("top back front inside")
_FOR_YOU = _words("take get grab cut make find put run fetch pick")
_MAKES_NO_NOUN = (
    PARTICLES | PREPOSITIONS | _words("as until while before and slowly nice gently so")
)


def addressed(shown: Sequence[str]) -> list[str]:
    """Return words as they are said to the reader: "before we touch my nut" and "these four"."""
    found: list[str] = []
    for at, word in enumerate(shown):
        after = shown[at + 1] if at + 1 < len(shown) else ""
        if word in {"this", "that", "these", "those"} and before_noun(after):
            if after in {"first", "last"} and at + 2 == len(shown):
                found.append("it" if word in {"this", "that"} else "them")
            else:
                related = word == "that" and _is_related(shown, at)
                found.append(word if related else "the")
        elif word in {"my", "our", "your"}:
            led = after in _LED and " ".join(shown[at + 2 : at + 3]) in _OWN
            found.append("your" if after in _OWN or led else "the")
        elif word in {"her", "his"} and after == "back" and found and found[-1] in PREPOSITIONS:
            found.append("its")
        elif word in {"her", "him"} and (not after or after in _MAKES_NO_NOUN):
            found.append("it")
        elif word == "some" and after and after not in {"of", "more", "kind", "sort"} and at:
            if found[-1] in {"it", "them"}:
                found.append(word)
        elif word == "little" and after == "bit":
            continue
        elif word == "them" and _noun(after):
            found.append("the")
        elif word == "you" and at == 1 and after in {"a", "an", "some"} and shown[0] in _FOR_YOU:
            continue
        else:
            found.append(_PERSON.get(word, word))
    return found


def fitted(words: list[str]) -> list[str]:
    """Return "put the cover back on" as a fitter says it: "refit the cover"."""
    if words[0] not in {"put", "stick", "chuck", "pop"}:
        return words
    way = next((at for at in range(2, len(words)) if words[at] in {"back", "on", "in"}), len(words))
    head = words[way - 1]
    if trade_words().kind_of(head) != "part" or head in _WORKED or way >= len(words):
        return words
    if head_of(words[1:way]) in WORN:
        return words
    back = words[way] == "back"
    behind = words[way + 1 + back :]
    if (back and words[way + 1 : way + 2] not in (["on"], ["in"])) or behind[:1] not in (
        [], ["with"], ["again"], ["first"], ["last"]
    ):  # fmt: skip
        return words
    kept = behind[1:] if back and behind[:1] == ["again"] else behind
    return ["refit" if back else "fit", *words[1:way], *kept]


# They are put on and off where they are, or worn.
_WORKED = _words(
    "handbrake choke switch light tap plug valve power water gas lid brake engine motor pump lock "
    "heater"
)


def _is_related(shown: Sequence[str], at: int) -> bool:
    """Whether "that" begins what is told of the thing before: "the holes that blow"."""
    before, after = shown[at - 1] if at > 1 else "", shown[at + 1]
    known = trade_words().kind_of(before) is not None and before not in PARTICLES
    return known and base_of(after) == after and not _noun(after)


def _noun(word: str) -> bool:
    return trade_words().kind_of(word) in {"part", "tool", "supply"} and word not in PARTICLES


def before_noun(word: str) -> bool:
    """Whether a word may be, or stand before, the noun that "this" or "those" points at."""
    if not word or word in {
        "one",
        "ones",
        "way",
        "down",
        "up",
        "off",
        "out",
        "in",
        "on",
        "side",
        "back",
    }:
        return False
    if word in {"much", "many", "far", "order"}:
        return False
    table = trade_words()
    known = word in table.modifiers or table.kind_of(word) or word in table.dropped
    if known or word in NUMBERS or word[:1].isdigit():
        return True
    return base_of(word) is None and word.isalpha() and word not in _SMALL and word[-1] != "s"


_SMALL = _words(
    """
    twice once again there here anywhere is are was it you we they i to with by from and or if
    when until through the a before after instead now then
    """
)
