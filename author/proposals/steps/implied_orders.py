"""Orders that nobody says and that are meant: a number is told, so something was measured.

They make a step only where the film or a long pause shows that one begins, and with low
confidence: the technician says what is really done.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence, Set
from dataclasses import replace

from author.proposals.kinds.marks import Kind, Marked, by_sentence
from author.proposals.orders.wording import Order
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.implied_checks import order_of_check
from author.proposals.steps.implied_numbers import Around, order_of_number
from author.proposals.steps.sections import Phase
from author.proposals.things.finding import Thing

_OF_HARM = frozenset({"temperature", "voltage", "pressure"})


# "It'll be above a hundred", "it washes at sixty": how bad it is.
_WILL_BE = re.compile(
    r"(?:\b(?:it|they|that|you|she)(?:'ll| will| can| could| may| might) "
    r"(?:still |well )?(?:be|get|have|reach)"
    r"|\b(?:it|that|this)(?:'s|'ll)? (?:gets?|runs?|washes|comes out|goes|reaches))\b[^.;]*$",
    re.IGNORECASE,
)


def _only_told(each: SpokenQuantity, text: str, kinds: Set[Kind]) -> bool:
    """Whether nobody measures a number: how hot it burns, how worn it is that is left as it is.

    "Keep your hand off the pipe, it'll be above a hundred degrees", "the pin has half a millimetre
    of play, I don't do it today".
    """
    if kinds and kinds <= {"hazard", "reason"}:
        return each.quantity in _OF_HARM and _WILL_BE.search(text[: each.begin]) is not None
    return bool(kinds) and kinds <= {"deferred", "reason"} and each.role != "limits"


def implied_orders(
    said: Sequence[Sentence],
    quantities: Sequence[SpokenQuantity],
    marks: Sequence[Marked],
    things: Sequence[Thing],
    phases: Sequence[Phase],
) -> dict[int, Order]:
    """Return what is meant to be done, by the index of the sentence that tells its outcome.

    Args:
        said: what was said.
        quantities: the numbers in it.
        marks: kinds of its clauses.
        things: parts, tools and supplies in it.
        phases: the part of the job each sentence belongs to.
    """
    found: dict[int, Order] = {}
    named: dict[int, list[Thing]] = {}
    for thing in sorted(things, key=lambda one: (one.sentence, one.begin)):
        named.setdefault(thing.sentence, []).append(thing)
    read = {each.sentence for each in quantities if each.role == "measured"}
    numbers: dict[int, list[SpokenQuantity]] = {}
    kinds = {index: {one.kind for one in ours} for index, ours in by_sentence(marks).items()}
    for each in quantities:
        index = each.sentence
        numbers.setdefault(index, []).append(each)
        more = index in found and found[index].verb == "tighten" and each.quantity == "torque"
        told = _only_told(each, said[index].text, kinds.get(index, set()))
        if not told and (more or index not in found):
            around = Around(
                said[index].text,
                named.get(index, ()),
                named.get(index - 1, ()),
                index in read,
                phases[index] in {"fitting", "closing"},
                phases[index] == "make_safe",
            )
            order = order_of_number(each, around)
            if order is not None:
                found[index] = _both(found[index], order) if more else order
    for mark in marks:
        if mark.kind == "inspection" and mark.sentence not in found:
            here = named.get(mark.sentence, ())
            inside = [one for one in here if mark.begin <= one.begin < mark.end]
            numbered = any(mark.begin <= n.begin < mark.end for n in numbers.get(mark.sentence, ()))
            if numbered:  # "seven kilos, and we're doing the bearings" weighs no bearing
                here = [one for one in here if one.begin < mark.begin]
            near = [*inside, *here, *named.get(mark.sentence - 1, ())]
            order = order_of_check(mark.text, near, numbered=numbered)
            if order is not None:
                found[mark.sentence] = order
    return {index: order for index, order in found.items() if index < len(said)}


def besides_tightened(
    topics: Mapping[int, Order], implied: Mapping[int, Order]
) -> dict[int, Order]:
    """Return what is meant by names told first, without fitting what a torque tightens.

    Args:
        topics: what is meant to be done with what is named, by sentence.
        implied: what is meant by numbers, by sentence.
    """

    def tightens(index: int, order: Order) -> bool:
        other = implied.get(index)
        same = other is not None and order.object and f" {order.object}" in other.action
        return bool(same) and other is not None and other.verb == "tighten"

    return {index: one for index, one in topics.items() if not tightens(index, one)}


def _both(first: Order, other: Order) -> Order:
    """Return one order where two are tightened: "level plug fifteen, drain plug thirty"."""
    if other.verb != "tighten" or not other.object or f" {other.object}" in first.action:
        return first
    return replace(first, action=f"{first.action.rstrip('.')} and the {other.object}.")


def without_told(
    implied: Mapping[int, Order], orders: Mapping[int, Sequence[Order]]
) -> dict[int, Order]:
    """Return what is meant without what is said: a check, or a tightening in another verb.

    "Torque both nuts to forty" tightens no nuts besides. "You want to feel it bottom out" says what
    is felt: no "check the shaft" beside that. "Mine's sixteen ninety-nine" behind "the seat on the
    shaft, seventeen" checks no seat again.

    Args:
        implied: what is meant to be done, by sentence.
        orders: what is said to be done, by sentence.
    """

    def is_said(index: int, order: Order) -> bool:
        here = list(orders.get(index, ()))
        if order.verb == "tighten":
            return any(one.verb in _TURNED_TIGHT and _is_of(one, order.object) for one in here)
        before = [o for o in orders.get(index - 1, ()) if _is_of(o, order.object)]
        return any(one.verb in _FELT for one in [*here, *before])

    return {
        index: order
        for index, order in implied.items()
        if order.verb not in {"check", "tighten"} or not is_said(index, order)
    }


_TURNED_TIGHT = frozenset({"tighten", "torque", "retorque", "re-torque", "nip", "snug", "run"})


def _is_of(order: Order, thing: str | None) -> bool:
    return bool(thing and order.object and order.object.startswith(thing))


_FELT = frozenset({"feel", "hear", "listen", "look", "watch", "check", "see"})
