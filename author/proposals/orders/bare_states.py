"""Orders of a thing and its state or place: "isolator locked off", "foot on the pedal"."""

from __future__ import annotations

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, NUMBERS
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.loose_words import LooseClause
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of, base_of_done
from author.proposals.language.word_forms import singular
from author.proposals.orders.bare_verbs import SHUT, SWITCHED, WORN
from author.proposals.orders.words import (
    BODY,
    CLOCK,
    PARTICLES,
    PREPOSITIONS,
    STANDS,
    Frame,
    is_sentence,
    shown_of,
)

STRAIGHT = _words("right straight")


NO_NAME = _words("with from for and or nobody everybody somebody whoever nothing everything")


def order_of_state(clause: LooseClause, phase: str | None) -> Frame | None:
    """Return the order in words that tell how or where a thing is to be, or None.

    Args:
        clause: without lead and condition.
        phase: section of the procedure it is said in.
    """
    return (
        _in_its_state(clause, phase)
        or measured_with(clause)
        or _placed_by(clause, phase)
        or _with_its_way(clause, phase)
        or _shut_off_there(clause)
        or _done_to(clause, phase)
    )


def measured_with(clause: LooseClause) -> Frame | None:
    """Return the order of "micrometer on the outer seat", "mike on it"."""
    at = next((n for n, word in enumerate(clause) if n and word.low in _MEASURED_ON), 0)
    name, target = clause[:at], clause[at + 1 :]
    if not name or name[-1].low not in _INSTRUMENTS or not target or len(name) > _SHORT:
        return None
    if ARTICLES & {word.low for word in name[1:]}:
        return None  # "hang the caliper on a wire"
    low = {word.low for word in target}
    plain = len(target) <= _SHORT and not low & (PREPOSITIONS | PARTICLES)
    pointed = len(target) == 1 and low <= {"it", "them"}
    if not plain or not (pointed or target[0].low in ARTICLES) or target[-1].low in STANDS:
        return None
    by = with_article(shown_of(name), plain=False)
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
    if not placed[1:] or placed[0] not in _HELD_THERE:
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


def _with_its_way(clause: LooseClause, phase: str | None) -> Frame | None:
    """Return the order of "membrane with the rib upwards", said where things go together."""
    low = [word.low for word in clause]
    at = low.index("with") if "with" in low[1:] else 0
    faces = low[-1] in _FACING or bool(_FACING_TO & set(low[at + 2 : -1]))
    faces = faces or "new" in low[at + 1 : at + 3]  # "the case with a new O-ring"
    if not at or not faces or phase != "fitting" or at > _SHORT or is_sentence(low):
        return None
    head = low[at - 1]
    if (
        trade_words().kind_of(head) not in {"part", "weak"}
        or base_of(low[0]) is not None
        or low[0] in NO_NAME
    ):
        return None
    new = low[0] == "new"
    name = with_article(shown_of(clause[:at]), plain=False)
    return Frame(("fit", *name, *shown_of(clause[at:])), sure=False, new=new)


_FACING = _words("up upwards down downwards out outwards in inwards forward forwards backwards")


_FACING_TO = _words("facing towards toward")


def _done_to(clause: LooseClause, phase: str | None) -> Frame | None:
    """Return the order of "wires clipped up away from the pump", said of what is just done."""
    low = [word.low for word in clause]
    at = next((n for n, word in enumerate(low[:-1]) if n and base_of_done(word) in _HANDLED), 0)
    base = base_of_done(low[at])
    if not at or at > _SHORT or base in {None, low[at]} or phase == "inspection":
        return None
    placed = low[at + 1] in PARTICLES | PREPOSITIONS | STRAIGHT
    if not placed or is_sentence(low) or trade_words().kind_of(low[at - 1]) not in {"part", "weak"}:
        return None
    name = with_article(shown_of(clause[:at]), plain=False)
    return Frame((str(base), *name, *shown_of(clause[at + 1 :])), sure=False, new="new" in low[:at])


_HANDLED = _words(
    "push press clip tie tuck wind screw slide tap feed set line wipe grease oil wrap"
)


def _shut_off_there(clause: LooseClause) -> Frame | None:
    """Return the order of "water tap under the sink off": what is shut, and where it is."""
    low = [word.low for word in clause]
    at = next((n for n, word in enumerate(low) if n and word in PREPOSITIONS), 0)
    if not at or low[-1] != "off" or low[at - 1] not in SWITCHED or at > _SHORT:
        return None
    if is_sentence(low) or (base_of(low[0]) == low[0] and low[0] not in SWITCHED):
        return None
    name = with_article(shown_of(clause[:at]), plain=False)
    return Frame(("turn", *name, *shown_of(clause[at:])), sure=False)


def _in_its_state(clause: LooseClause, phase: str | None) -> Frame | None:
    """Return the order of "stop valve shut" and "isolator locked off"."""
    low = [word.low for word in clause]
    if len(low) > 1 and low[-1] == "loose" and phase != "inspection" and not is_sentence(low):
        end = next((at for at, word in enumerate(low) if at and word in PREPOSITIONS), len(low) - 1)
        if is_fastener(low[end - 1]):
            return Frame(("loosen", *with_article(shown_of(clause[:-1]), plain=False)), sure=False)
    if "tight" in low[2:-1] and low[low.index("tight") + 1] in {"plus", "and", "then"}:
        clause = clause[: low.index("tight") + 1]  # "nut hand tight plus a quarter turn"
        low = low[: len(clause)]
    by_hand = len(low) > 2 and low[-2:] in (["hand", "tight"], ["finger", "tight"])
    tight = low[-1] == "tight" and (by_hand or phase == "fitting")
    named = low[: -2 if by_hand else -1]
    if tight and named and is_fastener(named[-1]) and len(named) <= _SHORT and low[0] != "all":
        name = with_article(shown_of(clause[: len(named)]), plain=False)
        told = ("run", *name, "up", *low[-2:]) if by_hand else ("tighten", *name)
        return Frame(told, sure=False, new=low[0] == "new")
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
    name = with_article(shown_of(clause[: len(named)]), plain=False)
    return Frame((verb, *name, *shown_of(clause[at + 1 :])), sure=False)


_STATES = {
    "locked": "lock", "tagged": "tag", "isolated": "isolate", "shut": "shut", "closed": "close",
    "open": "open",
}  # fmt: skip
_SHORT = 3


def with_article(name: tuple[str, ...], *, plain: bool) -> tuple[str, ...]:
    """Return a name as it stands in an order, with its article.

    Args:
        name: words of the thing.
        plain: whether it is a supply, of which an amount is told.
    """
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
