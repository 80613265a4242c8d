"""Fasteners that are only counted before what they hold comes off: they are undone.

"Four wing nuts. Lift the cover off": the film shows what is done with the nuts, and nobody says it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from author.proposals.kinds.marks import Marked
from author.proposals.language.closed_words import COUNTS
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import Order
from author.proposals.orders.words import holds_on
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.sections import Phase

_LIKELY = Decimal("0.75")
_NUMBER = "|".join(COUNTS)
_LEAD = (
    r"(?:^|[,;.] |\b(?:and|so|by|just|only|has|got)\b ?)"
    r"(?:(?:and|so|now|then|right|okay|well|first|just|only|it's|there's|there are|there is|"
    r"that's|you've got|we've got|it's got|it has|held (?:on |down )?(?:by|with)|the|these|those)"
    r",? )*"
)
_COUNTED = re.compile(
    rf"{_LEAD}(?P<count>{_NUMBER}) (?P<name>(?:[\w-]+ ){{0,3}}[\w-]+)"
    r"(?P<place> (?:on|round|around|in|along|at) (?:the|its|this|that|each) [\w-]+(?: [\w-]+)?)??"
    r"(?=[.,;:!?]|$| (?:and|then|so)\b)",
    re.IGNORECASE,
)
_SIZE = re.compile(r"\bm\d+\b")
_FAR = 2
"""Sentences within which what they hold comes off."""
_APART = frozenset({"make_safe", "removal"})
_LOOSENING = frozenset({"undo", "loosen", "slacken", "unscrew", "crack", "unbolt", "spin", "leave"})
_STAY = re.compile(r"\b(?:leave|leaving|stays?|don't|do not|not|never)\b", re.IGNORECASE)
_POINTING = re.compile(r"\b(?:them|those|these|they|'em|all|both)\b", re.IGNORECASE)


def with_undone(
    said: Sequence[Sentence],
    marks: Sequence[Marked],
    orders: Mapping[int, tuple[Order, ...]],
    phases: Sequence[Phase],
) -> dict[int, tuple[Order, ...]]:
    """Return the orders with those to undo what is only counted before something comes off.

    Args:
        said: what was said.
        marks: kinds of its clauses.
        orders: what is done, by sentence.
        phases: part of the job, by sentence.
    """
    found = dict(orders)
    for index in sorted({mark.sentence for mark in marks if mark.kind == "count"}):
        counted = _COUNTED.search(said[index].text)
        order = _undoing(counted) if counted and phases[index] in _APART else None
        if order is None or _is_told(order, index, orders):
            continue
        at = None if _stay(said, index) else _comes_off(said, index, found)
        if at is not None:
            mine = found.get(index, ())
            found[index] = (*mine[:at], order, *mine[at:])
    return found


def _undoing(counted: re.Match[str]) -> Order | None:
    """Return the order to undo what is counted, or None if it holds nothing."""
    name = counted["name"]
    words = name.lower().split()
    if not is_fastener(name) or not (holds_on(words[-1]) or words[-1].startswith("head")):
        return None
    many = COUNTS[counted["count"].lower()] > 1
    if many == (singular(words[-1]) == words[-1]):
        return None
    count = f"{counted['count'].lower()} " if many else ""
    place = (counted["place"] or "").strip().lower()
    action = (
        f"Undo the {count}{_SIZE.sub(lambda size: size[0].upper(), name.lower())} {place}".strip()
    )
    return Order(f"{action}.", "undo", name, "removes", _LIKELY)


def _is_told(order: Order, index: int, orders: Mapping[int, tuple[Order, ...]]) -> bool:
    """Whether somebody says near by what is done with them."""
    head = (order.object or "").lower().split()[-1]
    near = [one for at in range(index - _FAR, index + _FAR + 1) for one in orders.get(at, ())]
    return any(
        head in re.findall(r"[\w-]+", one.action.lower())
        or (one.verb in _LOOSENING and _POINTING.search(one.action))
        for one in near
    )


def _stay(said: Sequence[Sentence], index: int) -> bool:
    """Whether words may say that what is counted stays where it is."""
    return any(_STAY.search(one.text) for one in said[index : index + 2])


def _comes_off(
    said: Sequence[Sentence], index: int, orders: Mapping[int, tuple[Order, ...]]
) -> int | None:
    """Return before which order of its sentence they are undone, None where nothing comes off."""
    for at in range(index, min(len(said), index + _FAR + 1)):
        if said[at].recording != said[index].recording:
            return None
        ours = orders.get(at, ())
        if not ours:
            continue
        place = next((n for n, one in enumerate(ours) if one.act == "removes"), None)
        if place is None or (at > index and place > 0) or _holds_nothing(ours[place]):
            return None
        return place if at == index else 0
    return None


def _holds_nothing(order: Order) -> bool:
    """Whether what comes off is no part that is held, or only in a case."""
    case = order.action.startswith(("If ", "When ", "Unless "))
    return case or order.object is None or is_fastener(order.object)
