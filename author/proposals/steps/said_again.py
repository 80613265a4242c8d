"""Orders that leave out their verb, and take it from the one before.

"Bottom bolts next", "then the other side", "same again on the left" do what was done before to
another thing; "…, and the circlip after it" goes the way of what is named before it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence, Set
from dataclasses import replace

from author.proposals.language.closed_words import NUMBERS
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import Order, imperatives
from author.proposals.speech.spoken import Sentence

_LEAD = r"(?:(?:and|then|right|now|okay|so|well),? )*"
_NAME = r"(?:the |your |its )?((?:[a-z][\w-]*\s){0,3}[a-z][\w-]*)"
_NEXT = re.compile(rf"(?:^{_LEAD}|, (?:and |then )?){_NAME} next[.!]?$", re.IGNORECASE)
_SIDE = (
    r"(?:other|opposite|far|near|left|right|left[- ]hand|right[- ]hand|second|third|back|front"
    r"|rear|top|bottom|upper|lower)"
)
_OTHER = re.compile(
    rf"^{_LEAD}then (?:do |on |at )?the ({_SIDE}(?: (?:side|end|one|half|pair))?)"
    r"(?: (?:as well|too|the same(?: way)?|after that))?[.!]?$",
    re.IGNORECASE,
)
_SAME = re.compile(
    rf"^{_LEAD}(?:the |do the |and the )?same (?:again |thing |thing again |deal |there )?"
    rf"(?:on|at|in|for|with) the ({_SIDE}(?: [a-z][\w-]*)?|[a-z][\w-]* (?:side|end|one))[.!]?$",
    re.IGNORECASE,
)
# "Same for the other side, but without the sensor": more than the last order is done again.
_ALL_AGAIN = re.compile(
    rf"^{_LEAD}(?:the |do the |and the )?same (?:again |thing |thing again |deal |there )?"
    rf"(?P<where>(?:on|at|in|for|with) the {_SIDE}(?: [a-z][\w-]*)?),? "
    r"(?P<but>(?:but|only|just|except)[, ].*?)[.!]?$",
    re.IGNORECASE,
)
_AFTER = re.compile(
    r"(?:, (?:and |then )?|\band )(?:then )?the ((?:[a-z][\w-]* ){0,2}[a-z][\w-]*) "
    r"((?:after|behind|on top of|over|under|before) (?:it|that|them|those))[.!]?$",
    re.IGNORECASE,
)
# "Gear back on, key in first, and the circlip with the sharp edge outward"
_TURNED = re.compile(
    r"(?:, (?:and |then )?|\band )(?:then )?the ((?:[a-z][\w-]* ){0,2}?[a-z][\w-]*) (with the "
    r"(?:[a-z-]+ ){1,3}(?:out|in|up|down|(?:out|in|up|down)wards?|first|outside|inside|uppermost|"
    r"(?:facing|towards?|to) [a-z ]{2,30}))[.!]?$",
    re.IGNORECASE,
)
_PLACE = re.compile(
    rf"(?P<lead> (?:on|at|in)) (?:the )?{_SIDE}(?: (?:side|end|one|half))?(?=\.$)", re.IGNORECASE
)
_SIDE_FIRST = re.compile(rf"^{_SIDE} (?=\w)", re.IGNORECASE)
_THINGS = frozenset({"part", "tool", "weak", "feature"})
_FAR = 1
"""Sentences back to which "the other side" may point."""
_NOT_AGAIN = re.compile(r"^(?:Do not|Never|If|When|Unless|Either)\b")
_WAY = re.compile(r" (off|on|out|in|back|up|down|loose)\b")


def said_again(
    said: Sequence[Sentence], orders: Mapping[int, tuple[Order, ...]], beside: Set[int]
) -> dict[int, tuple[Order, ...]]:
    """Return the orders with those that take their verb from the one before.

    Args:
        said: what was said.
        orders: what is done, by sentence.
        beside: sentences that are only talk.
    """
    found = dict(orders)
    for index, sentence in enumerate(said):
        if index in beside:
            continue
        own = list(found.get(index, ()))
        before = own or _before(said, found, index)
        if not before or _NOT_AGAIN.match(before[-1].action):
            continue
        more = _more(sentence.text.strip(), before[-1], alone=not own)
        if more is not None and not _is_told(more, own):
            found[index] = (*own, more)
    for index in sorted(found):
        found.update(_with_those_held(said, found, index))
    return {index: ours for index, ours in sorted(found.items()) if ours}


def _with_those_held(
    said: Sequence[Sentence], orders: Mapping[int, tuple[Order, ...]], index: int
) -> dict[int, tuple[Order, ...]]:
    """Return orders as one where those told of are undone: "four bolts hold it. Take those out"."""
    ours, text = orders[index], said[index].text
    if len(ours) > 1 and (one := _as_one(ours[0], ours[1], text)) and _POINTED.search(text):
        return {index: (one, *ours[2:])}
    before = orders.get(index - 1, ())
    if not before or said[index].recording != said[index - 1].recording or not ours:
        return {}
    one = _as_one(before[-1], ours[0], said[index - 1].text)
    if one is None:
        return {}
    if not _THOSE.match(text):
        # "16 bolts hold the tub. Take the tub bolts out."
        named = _named_there(ours[0], said[index - 1].text)
        return {index - 1: before[:-1]} if named else {}
    return {index - 1: before[:-1], index: (one, *ours[1:])}


def _named_there(order: Order, text: str) -> bool:
    """Whether a text names what an order is done to: tub bolts in "16 bolts hold the tub"."""
    words = {singular(word) for word in re.findall(r"[a-z]+", text.lower())}
    of = order.object.lower().split() if order.object else []
    counted = NUMBERS & set(of)
    return len(of) > 1 and not counted and all(singular(one) in words for one in of)


def _as_one(held: Order, order: Order, text: str) -> Order | None:
    """Return one order in place of what words that only tell of fasteners ask for, and another."""
    counted = held.verb == "undo" and held.object and _HELD.search(text)
    again = _AGAIN.fullmatch(order.action) if counted and not _UNDO.search(text) else None
    if again is None or not held.object:
        return None
    pointed = again["what"].lower() in {"those", "them", "these"}
    same = order.object and held.object.split()[-1] == order.object.split()[-1]
    if not pointed and not same:
        return None
    return replace(held, action=f"{held.action.rstrip('.')}{again['way'] or ''}.")


_HELD = re.compile(
    r"\b(?:holds?|holding|held|secures?|securing|there's|there are)\b"
    rf"|^{_LEAD}(?:two|three|four|five|six|seven|eight|ten|twelve|\d+) ",
    re.IGNORECASE,
)
_UNDO = re.compile(r"\b(?:undo|unscrew|unbolt|loosen|slacken)", re.IGNORECASE)
_AGAIN = re.compile(
    r"(?:Take|Undo|Remove|Get|Pull|Unscrew|Whip|Spin) (?:the )?(?P<what>[\w -]+?)(?: out| off)?"
    r"(?P<way> (?:with|in an?|a bit|evenly|crosswise|one|in steps|bit)\b[^.]*)?\."
)
_POINTED = re.compile(r"\b(?:them|those|these|'em)\b", re.IGNORECASE)
_THOSE = re.compile(
    rf"{_LEAD}(?:(?:you|we|i|just|gonna|let's|i'll|we'll) )*\w+ (?:them|those|these|it|that|'em)\b",
    re.IGNORECASE,
)


def _before(
    said: Sequence[Sentence], orders: Mapping[int, tuple[Order, ...]], index: int
) -> list[Order]:
    """Return the orders of the sentence before."""
    for at in range(index - 1, max(-1, index - 1 - _FAR), -1):
        if said[at].recording != said[index].recording:
            break
        if at in orders:
            return list(orders[at])
    return []


def _more(text: str, last: Order, *, alone: bool) -> Order | None:
    """Return the order that a sentence tells without a verb, or None."""
    following = _NEXT.search(text)
    if following is not None and _is_thing(following[1]):
        return _on(last, following[1])
    if alone and (again := _ALL_AGAIN.match(text)):
        return _first(f"do the same {again['where']}, {again['but']}")
    if alone:
        place = _OTHER.match(text) or _SAME.match(text)
        return _there(last, place[1].lower()) if place else None
    behind = _AFTER.search(text)
    if behind is not None and last.act is not None and _is_thing(behind[1]):
        way = {"removes": f"take the {behind[1]} off"}.get(last.act, f"fit the {behind[1]}")
        return _first(f"{way} {behind[2]}")
    turned = _TURNED.search(text)
    if turned is not None and last.act in {"refits", "replaces"} and _is_thing(turned[1]):
        return _first(f"fit the {turned[1]} {turned[2]}")
    return None


def _on(last: Order, name: str) -> Order | None:
    """Return the same order for another thing."""
    head, _, behind = last.action.rstrip(".").partition(f" {last.object}")
    if last.object is None or not head.strip() or _NOTED & set(last.object.lower().split()):
        return None  # "take a photo of the belt. The blades next" photographs no blades
    way = _WAY.match(behind)
    verb = re.sub(r"\s+(?:the|a|an|both|all|its|your|this|that|\w+ of the)$", "", head)
    if len(verb.split()) > 1 + verb.count(" off"):
        verb = last.verb
    return _first(f"{verb} the {name}{way[0] if way else ''}")


_NOTED = frozenset({"photo", "photos", "picture", "pictures", "photograph", "note", "notes",
                    "video", "look", "sketch"})  # fmt: skip


def _there(last: Order, place: str) -> Order:
    """Return the same order at another place; what it does to parts is not told twice."""
    side = place.split(" ", maxsplit=1)[0]
    if last.object is not None and f" {last.object}" in last.action:
        bare = _SIDE_FIRST.sub("", last.object)
        if bare != last.object or place.endswith(" one"):
            # "Grease the front bearing": the same at the back is done to the back bearing.
            action = _PLACE.sub("", last.action).replace(f" {last.object}", f" {side} {bare}", 1)
            return replace(last, action=action, object=f"{side} {bare}", act=None)
    if re.fullmatch(r"left|right|back|front|rear|top|bottom|far|near", place):
        there = f" at the {place}" if place in {"back", "front", "rear", "top", "bottom"} else (
            f" on the {place}")  # fmt: skip
    else:
        there = f" on the {place}"
    action, changed = _PLACE.subn(there, last.action)
    if not changed:
        action = f"{last.action.rstrip('.')}{there}."
    return replace(last, action=action, act=None)


def _first(text: str) -> Order | None:
    found = imperatives(text, phase="fitting")
    return found[0] if found else None


def _is_thing(name: str) -> bool:
    last = name.lower().rsplit(maxsplit=1)[-1]
    return (trade_words().kind_of(last) or trade_words().kind_of(singular(last))) in _THINGS


def _is_told(order: Order, own: Sequence[Order]) -> bool:
    return any(
        order.object and order.object.lower() in one.action.lower() for one in own
    )  # fmt: skip
