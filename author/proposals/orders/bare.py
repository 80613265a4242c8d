"""Orders said without a verb: "nut off", "ring into its groove", "gloves on"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, BORNE, NUMBERS
from author.proposals.language.loose_words import LooseClause, Said
from author.proposals.language.trade_words import as_phrase, trade_words
from author.proposals.language.verbs import WORKING, base_of, base_of_done
from author.proposals.language.word_forms import singular
from author.proposals.orders.acts import ASIDE
from author.proposals.orders.bare_states import NO_NAME, STRAIGHT, order_of_state, with_article
from author.proposals.orders.bare_verbs import HUNG, SWITCHED, head_of, verb_for
from author.proposals.orders.ends import cut as ended
from author.proposals.orders.ends import tells
from author.proposals.orders.verb_first import DANGERS, HURTS
from author.proposals.orders.words import (
    PARTICLES,
    PREPOSITIONS,
    STANDS,
    Frame,
    holds_on,
    is_sentence,
    shown_of,
)

_UNITS = _words("mil mm millimetre millimetres millimeter millimeters inch inches thou degrees psi")
_DIRT = _words(
    """
    carbon rust dirt scale muck dust swarf fluff soot corrosion sludge limescale lint crud grime
    ash moisture movement wear play slack verdigris mould pitting scoring fretting glazing wobble
    """
)


def bare_order(clause: LooseClause, phase: str | None) -> Frame | None:
    """Return the order in words without a verb: "nut off", "ring into its groove"."""
    clause = _without_next(clause)
    short = order_of_state(clause, phase)
    if short is not None:
        return short
    said = [word.low for word in clause]
    clause = clause[: max(1, len(ended(("fit", *said))) - 1)]
    low = [word.low for word in clause]
    if (
        _only_told(said, low)
        or (low[0] in _ANY and _FROM_ANY.search(" ".join(said)) is not None)
        or len(low) > 14
        or (low[0] in {"both", "each", "all"} and low[1:2] == ["with"])  # tells how they are
        or low[0] in {"it", "that's", "it's", "there's", "no", "there", "not", "what"}
    ):
        return None
    cut = next((at for at, word in enumerate(low) if (at and word in PREPOSITIONS | PARTICLES)
                or (at and word == "from") or (word == "with" and low[0] == "new")),
               len(low))  # fmt: skip
    only_how = cut > 1 and cut < len(low) and low[cut - 1] in STRAIGHT
    name, rest = _without_number(_first_named(clause[: cut - only_how])), low[cut:]
    told = next((at for at, word in enumerate(low) if word in {"until", "so", "before"}), len(low))
    if (
        is_sentence(_without_its_place(low[:told]))
        or sum(word in NUMBERS for word in low[:cut]) > 1
        or low[0] in PREPOSITIONS | PARTICLES | NO_NAME
        or low[cut - 1].endswith("'s")  # "the plug's underneath" tells where it is
        or (cut > 1 and low[cut - 1] in BORNE and low[cut : cut + 1] in (["on"], ["in"]))
        or _is_in_a_state(low)
        or _only_lies(low, cut)
        or low[cut - 1] in _HAPPENS
        or _has_a_verb([word.low for word in name])
    ):
        return None
    head = name[-1].low
    if low[0] in {"mind", "see", "note", "watch"} or low[:2] == ["flush", "with"]:
        return None
    if any(word in _UNITS for word in low[:cut]) and trade_words().kind_of(head) != "tool":
        return None
    kind = _kind_of([word.low for word in name], rest)
    if _amount_of(name) and "of" in low[:cut]:
        # "Just a bit of rust on the edge" is found there.
        kind = None if kind == "feature" or head in _DIRT else "supply"
    if kind is None and len(name) == cut and _named_by_place(low[:cut], rest):
        kind = "part"
    named = {word.low for word in name}
    if head == "head" and _SHAPES & named:
        kind = "feature"  # "drain plug is on the bottom, square head"
    unknown = kind is None and head not in HUNG | SWITCHED and head != "one"
    if unknown or (kind == "plain" and head not in SWITCHED and not _amount_of(name)):
        return None
    head = head_of([word.low for word in name])
    # "Old wheel out" comes off, wherever in the job it is said.
    phase = "removal" if "old" in named and phase == "fitting" else phase
    clause = _and_done(clause, cut, many=singular(name[-1].low) != name[-1].low)
    rest = [word.low for word in clause[cut:]]
    verb, keep = verb_for(head, kind, rest, phase, "new" in named)
    counted = any(word in NUMBERS or word.isdigit() for word in low[: len(name) - 1])
    if verb in {"set", "fit"} and counted and holds_on(head) and rest:
        # "Six bolts on the side cover": undone where things come off, done up where they go on.
        verb = {"removal": "undo", "fitting": "fit"}.get(phase or "")
    elif verb == "set" and phase == "removal" and holds_on(head) and not _LAID & set(rest):
        verb = "undo"  # "the grub screw at the back"
    elif verb == "set" and phase == "removal" and counted and rest[:1] in (["on"], ["at"]):
        verb = "remove"  # "two hoses on the cylinder"
    if verb is None:
        return None
    shown = with_article(shown_of(name), plain=verb == "put" and kind == "supply")
    new = any(word.low == "new" for word in name)
    way = shown_of(clause[cut - only_how :]) if keep else shown_of(clause[cut + 1 :])
    return Frame((verb, *shown, *way), sure=False, new=new)


_ANY = _words("a an another")
# "A knotter stack off a small baler" tells what lies there.
_FROM_ANY = re.compile(r"\b(?:off|out of|from) an? ")


def _kind_of(name: Sequence[str], rest: Sequence[str]) -> str | None:
    """Return the kind of thing a name is of, with what is told of where it goes."""
    head = name[-1]
    kind = trade_words().phrases.get(as_phrase([*name[-2:]])) or trade_words().kind_of(head)
    kind = kind or (trade_words().kind_of(singular(head)) if rest else None)
    if head in {"one", "ones"} and {"new", "old"} & set(name):
        return "part"
    if (kind == "tool" and "new" in name) or (kind == "feature" and rest[:1] == ["back"]):
        return "part"  # "new brushes in", "ball joint back up in its hole"
    return kind


def _has_a_verb(name: Sequence[str]) -> bool:
    """Whether a verb that nobody knows stands before a thing: "slack the motor off"."""
    return any(two in ARTICLES and one not in _OF_THE for one, two in pairwise(name))


def _only_lies(low: Sequence[str], cut: int) -> bool:
    """Whether words tell where a thing lies, or which way it faces: "flange to the outside"."""
    rest = list(low[cut:])
    if low[cut - 1] in DANGERS and low[0] in HURTS:
        return True  # "pinch point at the newel"
    if rest in (["inside"], ["outside"], ["underneath"], ["beneath"]):
        return True  # "the housing inside, we pass the finger"
    of = next((at for at in (1, 2) if low[at : at + 1] == ["of"]), 0)
    if of and low[of - 1] in _ENDS and rest[:1] == ["to"]:
        return True  # "bottom of the door to the sill, I want a quarter inch"
    faces = rest[:2] == ["to", "the"] and len(rest) == _FACED_TO and rest[2] in _SIDES
    return faces and low[cut - 1] in _FACED


_ENDS = _words("bottom top end edge face side tip middle corner centre center back front")
_SIDES = _words("outside inside front rear back left right top bottom")
_FACED = _words("flange lip collar shoulder step rib tab lug")
_FACED_TO = 3
# "The balls fall out", "the rods leak out of the top": nobody does it.
_HAPPENS = _words("drops swings tips fall falls fell leak leaks leaked drip drips")
_OF_THE = _words("of all both and or plus")


def _is_in_a_state(low: Sequence[str]) -> bool:
    """Whether a thing is told as it is: "the auger's held by a bearing at each end"."""
    return any(
        one.endswith("'s") and base_of_done(two) not in {None, two} for one, two in pairwise(low)
    )


def _only_told(said: Sequence[str], kept: Sequence[str]) -> bool:
    """Whether something is said or read of a thing: "plate says fifteen", "top point zero six"."""
    behind = said[len(kept)] if len(said) > len(kept) else ""
    placed = {one for one, two in pairwise([*kept, ""]) if two not in ARTICLES}
    if tells(behind) and not PARTICLES & placed:
        return True
    return any(one == "point" and two in NUMBERS for one, two in pairwise(said))


_SHAPES = _words("square round hex hexagon flat countersunk pan torx allen slotted phillips dome")


def _and_done(clause: LooseClause, cut: int, *, many: bool) -> LooseClause:
    """Return "off and lock it" for "off and locked": what is done besides, as an order."""
    besides = clause[cut : cut + 3]
    if len(besides) < 3 or besides[0].low not in PARTICLES or besides[1].low != "and":
        return clause
    done, it = besides[2], "them" if many else "it"
    verb = None if done.low in WORKING else base_of_done(done.low)
    if done.low in _COOLED:
        told = ["let", it, "cool"]
    elif verb is not None and verb not in _PLACED:
        told = [verb, it]
    else:
        return clause
    last = Said(told[-1], told[-1], done.mark)
    return [*clause[: cut + 2], *(Said(word, word) for word in told[:-1]), last, *clause[cut + 3 :]]


_COOLED = _words("cold cool")
_PLACED = _words("set lay put leave stand")


def _without_its_place(low: Sequence[str]) -> list[str]:
    """Return words without "it" and "them" where they tell a place: "seal on top of it"."""
    return [
        word
        for at, word in enumerate(low)
        if not at or not (word == "them" or (word == "it" and low[at - 1] in _AT_IT))
    ]


_LAID = ASIDE | STANDS
_AT_IT = (PREPOSITIONS - {"in", "on"}) | {"of", "onto", "into"}


_LEAST = 2


def _without_next(clause: LooseClause) -> LooseClause:
    """Return "the belt guard" of "the belt guard's next"."""
    if len(clause) < _LEAST or clause[-1].low != "next":
        return clause
    last = clause[-2]
    if last.low == "is":
        return clause[:-2]
    if last.low.endswith("'s"):
        return [*clause[:-2], Said(last.low[:-2], last.shown.removesuffix("'s"), clause[-1].mark)]
    return clause


def _named_by_place(name: Sequence[str], rest: Sequence[str]) -> bool:
    """Whether words nobody knows as a thing are one by where they are put: "disc off"."""
    head = name[-1]
    return (
        tuple(rest) in _PUT_THERE
        and len(name) - (name[0] in ARTICLES) in {1, 2}
        and len(head) > 2
        and head not in NO_NAME | _NO_THING
        and not head.endswith(("ly", "ing", "'s"))
        and base_of(head) is None
        and not set(name) & NUMBERS
    )


_PUT_THERE = {("off",), ("out",), ("on",), ("in",), ("back", "on"), ("back", "in")}
_NO_THING = _words(
    "day time hands hand heads head well right straight far way now then all here there both each "
    "more next later further early over what who that this these those them going bit lot hang "
    "carry come rest lights filming everyone anyone someone one two shut"
)


def _first_named(name: LooseClause) -> LooseClause:
    """Return a name without the count of what holds it: "belt guard 2 wing nuts off"."""
    for at in range(1, len(name) - 1):
        low = name[at].low
        if (low in NUMBERS or low.isdigit()) and trade_words().kind_of(name[at - 1].low):
            return name[:at]
    return name


def _without_number(name: LooseClause) -> LooseClause:
    """Return a name without the part number behind it: "new nut AB-0936"."""
    return name[:-1] if len(name) > 1 and _PART_NUMBER.fullmatch(name[-1].shown) else name


_PART_NUMBER = re.compile(r"[A-Z]{1,5}-?\d{2,6}[A-Z\d-]*")


def _amount_of(name: Sequence[Said]) -> bool:
    return any(word.low in trade_words().measures for word in name)
