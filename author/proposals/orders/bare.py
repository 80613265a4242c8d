"""Orders said without a verb: "nut off", "ring into its groove", "gloves on"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, BORNE, NUMBERS
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.loose_talk import LooseClause, Said
from author.proposals.language.trade_words import as_phrase, trade_words
from author.proposals.language.verbs import WORKING, base_of, base_of_done
from author.proposals.language.word_forms import singular
from author.proposals.orders.acts import ASIDE
from author.proposals.orders.bare_verbs import HUNG, SHUT, SWITCHED, WORN, head_of, verb_for
from author.proposals.orders.ends import cut as ended
from author.proposals.orders.ends import tells
from author.proposals.orders.words import (
    BODY,
    CLOCK,
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
_NO_NAME = _words("with from for and or nobody everybody somebody whoever nothing everything")


def bare_order(clause: LooseClause, phase: str | None) -> Frame | None:
    """Return the order in words without a verb: "nut off", "ring into its groove"."""
    clause = _without_next(clause)
    short = _in_its_state(clause, phase) or measured_with(clause) or _placed_by(clause, phase)
    if short is not None:
        return short
    said = [word.low for word in clause]
    clause = clause[: max(1, len(ended(("fit", *said))) - 1)]
    low = [word.low for word in clause]
    if (
        _only_told(said, low)
        or len(low) > 14
        or low[0] in {"it", "that's", "it's", "there's", "no", "there", "not", "what"}
    ):
        return None
    cut = next((at for at, word in enumerate(low) if (at and word in PREPOSITIONS | PARTICLES)
                or (at and word == "from") or (word == "with" and low[0] == "new")),
               len(low))  # fmt: skip
    name, rest = _without_number(_first_named(clause[:cut])), low[cut:]
    told = next((at for at, word in enumerate(low) if word in {"until", "so", "before"}), len(low))
    if (
        is_sentence(_without_its_place(low[:told]))
        or sum(word in NUMBERS for word in low[:cut]) > 1
        or low[0] in PREPOSITIONS | PARTICLES | _NO_NAME
        or low[cut - 1].endswith("'s")  # "the plug's underneath" tells where it is
        or (cut > 1 and low[cut - 1] in BORNE and low[cut : cut + 1] in (["on"], ["in"]))
        or _is_in_a_state(low)
        or _has_a_verb([word.low for word in name])
    ):
        return None
    head = name[-1].low
    if low[0] in {"mind", "see", "note", "watch"} or low[:2] == ["flush", "with"]:
        return None
    if any(word in _UNITS for word in low[:cut]) and trade_words().kind_of(head) != "tool":
        return None
    kind = trade_words().phrases.get(as_phrase([word.low for word in name[-2:]]))
    kind = kind or trade_words().kind_of(head)
    kind = kind or (trade_words().kind_of(singular(head)) if rest else None)
    if head in {"one", "ones"} and {"new", "old"} & {word.low for word in name}:
        kind = "part"
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
    shown = _with_article(shown_of(name), plain=verb == "put" and kind == "supply")
    new = any(word.low == "new" for word in name)
    return Frame((verb, *shown, *shown_of(clause[cut:])[0 if keep else 1 :]), sure=False, new=new)


def _has_a_verb(name: Sequence[str]) -> bool:
    """Whether a verb that nobody knows stands before a thing: "slack the motor off"."""
    return any(two in ARTICLES and one not in _OF_THE for one, two in pairwise(name))


_OF_THE = _words("of all both and or plus")


def _is_in_a_state(low: Sequence[str]) -> bool:
    """Whether a thing is told as it is: "the auger's held by a bearing at each end"."""
    return any(
        one.endswith("'s") and base_of_done(two) not in {None, two} for one, two in pairwise(low)
    )


def measured_with(clause: LooseClause) -> Frame | None:
    """Return the order of "micrometer on the outer seat", "mike on it"."""
    at = next((n for n, word in enumerate(clause) if n and word.low in _MEASURED_ON), 0)
    name, target = clause[:at], clause[at + 1 :]
    if not name or name[-1].low not in _INSTRUMENTS or not target or len(name) > _SHORT:
        return None
    low = {word.low for word in target}
    plain = len(target) <= _SHORT and not low & (PREPOSITIONS | PARTICLES)
    pointed = len(target) == 1 and low <= {"it", "them"}
    if not plain or not (pointed or target[0].low in ARTICLES) or target[-1].low in STANDS:
        return None
    by = _with_article(shown_of(name), plain=False)
    return Frame(("measure", *shown_of(target), "with", *by), sure=False)


_INSTRUMENTS = _words("micrometer mike mic caliper calipers calliper callipers vernier verniers")
_MEASURED_ON = _words("on across over")


def _placed_by(clause: LooseClause, phase: str | None) -> Frame | None:
    """Return the order of "foot on the pedal", "clock on the hub", and of "brake on"."""
    low = [word.low for word in clause]
    if low == ["brake", "on"] and phase != "fitting":
        return Frame(("apply", "the", "brake"), sure=False)
    one = low[:1] == ["one"]
    led, placed = low[one : one + 1], low[one + 1 : one + 3]
    if not led or led[0] not in BODY | CLOCK:
        return None
    if len(placed) < _LEAST or placed[0] not in _HELD_THERE:
        return None
    behind = low[one + 3 : one + 4]
    pointed = placed[1] in {"it", "them"} and (not behind or behind[0] in _WHILE)
    if not pointed and (placed[1] not in ARTICLES or is_sentence(low[one + 2 :])):
        return None
    if led[0] in CLOCK:
        return Frame(("set", "the", *shown_of(clause)), sure=False)
    whose = ("one",) if one else ("your",)
    return Frame(("put", *whose, *shown_of(clause[one:])), sure=False)


_WHILE = _words("before until while when as and")
_HELD_THERE = _words("on in through under over behind across against")


def _only_told(said: Sequence[str], kept: Sequence[str]) -> bool:
    """Whether something is said or read of a thing: "plate says fifteen", "top point zero six"."""
    behind = said[len(kept)] if len(said) > len(kept) else ""
    if tells(behind) and not PARTICLES & set(kept):
        return True
    return any(one == "point" and two in NUMBERS for one, two in pairwise(said))


def _in_its_state(clause: LooseClause, phase: str | None) -> Frame | None:
    """Return the order of "stop valve shut" and "isolator locked off"."""
    low = [word.low for word in clause]
    if len(low) > 1 and low[-1] == "loose" and phase != "inspection" and not is_sentence(low):
        end = next((at for at, word in enumerate(low) if at and word in PREPOSITIONS), len(low) - 1)
        if is_fastener(low[end - 1]):
            return Frame(("loosen", *_with_article(shown_of(clause[:-1]), plain=False)), sure=False)
    at = next((n for n, word in enumerate(low) if n and word in _STATES), 0)
    named, behind = low[:at], low[at + 1 :]
    turned = behind[:1] and (behind[0] in NUMBERS | {"a", "over"} or behind == ["off"])
    if not named or (behind and not turned) or phase == "inspection" or len(named) > _SHORT:
        return None
    verb = _STATES[low[at]]
    table = trade_words()
    known = all(table.kind_of(w) or w in table.modifiers or w in SWITCHED for w in named)
    if not known or named[-1] not in SHUT or named[0] in NUMBERS:
        return None
    name = _with_article(shown_of(clause[: len(named)]), plain=False)
    return Frame((verb, *name, *shown_of(clause[at + 1 :])), sure=False)


_STATES = {
    "locked": "lock", "tagged": "tag", "isolated": "isolate", "shut": "shut", "closed": "close",
    "open": "open",
}  # fmt: skip
_SHORT = 3
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


_LEAST = 2


def _named_by_place(name: Sequence[str], rest: Sequence[str]) -> bool:
    """Whether words nobody knows as a thing are one by where they are put: "disc off"."""
    head = name[-1]
    return (
        tuple(rest) in _PUT_THERE
        and len(name) - (name[0] in ARTICLES) in {1, 2}
        and len(head) > 2
        and head not in _NO_NAME | _NO_THING
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


def _with_article(name: tuple[str, ...], *, plain: bool) -> tuple[str, ...]:
    if not name or name[0] in ARTICLES:
        return name
    if plain:
        said = [word for word in name if word in trade_words().measures]
        amount = bool(said) and singular(said[0]) == said[0] and name[0] not in NUMBERS | {"plenty"}
        return ("a", *name) if amount else name
    if name[0] == "new":
        several = singular(name[-1]) != name[-1] or (name[-1] in WORN and name[-1][-1] == "s")
        return name if several else ("a", *name)
    return ("the", *name)
