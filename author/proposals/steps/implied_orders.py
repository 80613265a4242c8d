"""Orders that nobody says and that are meant: a number is told, so something was measured.

They make a step only where the film or a long pause shows that one begins, and with low
confidence: the technician says what is really done.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from author.proposals.kinds.marks import Marked
from author.proposals.language.fasteners import is_fastener
from author.proposals.orders.wording import Order
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence
from author.proposals.things.finding import Thing

_LIKELY = Decimal("0.45")
_MEASURED = frozenset({"limits", "aim", "about", "measured"})
_NOTHING = re.compile(r"(?:there(?:'s| is| are) )?no\b", re.IGNORECASE)
_STATE = re.compile(
    r"\b(?:is|are|runs?|turns?|moves?|spins?|slides?|sits?|looks?|feels?|should|must)\b",
    re.IGNORECASE,
)
_FAULT = re.compile(
    r"\b(?:is|are|'s|'re|was|were)\s+(?:\w+ ){0,2}(?:worn|cracked|broken|bent|scored|damaged|split|"
    r"seized|rusted|burnt|torn|gone|dead|shot|knackered|pitted|corroded|leaking|chipped|perished)\b",
    re.IGNORECASE,
)


def implied_orders(
    said: Sequence[Sentence],
    quantities: Sequence[SpokenQuantity],
    marks: Sequence[Marked],
    things: Sequence[Thing],
) -> dict[int, Order]:
    """Return what is meant to be done, by the index of the sentence that tells its outcome.

    Args:
        said: what was said.
        quantities: the numbers in it.
        marks: kinds of its clauses.
        things: parts, tools and supplies in it.
    """
    found: dict[int, Order] = {}
    named: dict[int, list[Thing]] = {}
    for thing in things:
        named.setdefault(thing.sentence, []).append(thing)
    for each in quantities:
        if each.role in _MEASURED and each.sentence not in found:
            near = [*named.get(each.sentence, ()), *named.get(each.sentence - 1, ())]
            order = _of_number(each, near)
            if order is not None:
                found[each.sentence] = order
    for mark in marks:
        if mark.kind == "inspection" and mark.sentence not in found:
            near = [*named.get(mark.sentence, ()), *named.get(mark.sentence - 1, ())]
            order = _of_look(mark.text, near)
            if order is not None:
                found[mark.sentence] = order
    return {index: order for index, order in found.items() if index < len(said)}


def _of_number(each: SpokenQuantity, near: Sequence[Thing]) -> Order | None:
    if each.quantity == "torque":
        part = next((t.name for t in near if is_fastener(t.name)), None)
        return _order(f"Tighten the {part}", "tighten", part) if part else None
    if each.quantity in {"time", "mass", "volume", None}:
        return None
    if not each.characteristic and not each.datum:
        return None
    what = each.characteristic.lower() if each.characteristic else "distance"
    datum = f" from the {each.datum}" if each.datum else ""
    positions = f" {each.positions}" if each.positions else ""
    return _order(f"Measure the {what}{datum}{positions}", "measure", what)


def _of_look(text: str, near: Sequence[Thing]) -> Order | None:
    words = " ".join(text.split()).strip(" .,;:-!?")
    if not 2 <= len(words.split()) <= 14 or _FAULT.search(words):
        return None  # what is wrong with it was found, and is nothing to check for
    low = words[:1].lower() + words[1:]
    if _NOTHING.match(low):
        return _order(f"Check that there are {low[low.index('no') :]}", "check", None)
    if _STATE.search(low):
        return _order(f"Check that {low}", "check", None)
    part = next((t.name for t in near if t.kind == "part"), None)
    return _order(f"Check the {part}", "check", part) if part else None


def _order(action: str, verb: str, what: str | None) -> Order:
    return Order(f"{action}.", verb, what, None, _LIKELY)
