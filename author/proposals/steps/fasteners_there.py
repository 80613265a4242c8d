"""Fasteners only told to be there while a thing comes off: "there are two screws at the back".

Who says so undoes them; in a procedure that needs its verb.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from author.checks.verbs import words
from author.proposals.language.fasteners import fastener_words, is_fastener
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import Order
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.sections import Phase

_SURE = Decimal("0.7")
# A stud stays where it is, and a plug may be that of a wire.
_HEADS = "|".join(sorted(fastener_words() - words("stud studs plug plugs")))
_MANY = r"(?:an?|one|two|three|four|five|six|seven|eight|nine|ten|twelve|\d{1,2})"
_WHERE = (
    r"(?:at|on|in|along|behind|under|underneath|beneath|inside|around|round|through|below|above|"
    r"either side|each side|one side|from|by)"
)
_PLACE = rf" {_WHERE}(?: (?!and\b|so\b|but\b|that\b|which\b)[^\s,.;:]+){{1,4}}"
_THERE = re.compile(
    r"(?:^|[.;:,] |\b(?:and|so|but|then|now|right) )"
    r"(?:there(?:'s| is| are)|you(?:'ve| have) got|it's got|it has)(?: also| just| only| another)? "
    rf"(?P<what>{_MANY} (?:[\w-]+ ){{0,2}}?(?P<head>{_HEADS})\b"
    rf"(?:{_PLACE})?)"
    rf"(?P<more>,? and (?:{_MANY})(?: more)?{_PLACE})?"
    r"(?=[,.;:]|$| so\b| but\b| and (?:it|they|you|then|the)\b)",
    re.IGNORECASE,
)
_WRONG = re.compile(
    r"\b(?:if|unless|missing|left over|should be|loose|broken|snapped|rusted|wrong|stripped|spare|"
    r"don't|do not|never|not|leave|new|goes|go back|for the)\b",
    re.IGNORECASE,
)
_UNDOING = words(
    "undo unscrew unbolt remove take loosen slacken get whip spin back crack pull push press "
    "release unclip knock drive tap pop lift drop slide draw turn"
)
_THEM = re.compile(r"\b(?:them|those|these|both|all|'em)\b", re.IGNORECASE)
_OFF = re.compile(r"\b(?:off|out|away|apart|up|forward|forwards|towards|down)\b", re.IGNORECASE)
_SOON = 2
"""Sentences behind within which they may be undone, or what they hold comes off."""


def with_fasteners_undone(
    said: Sequence[Sentence], orders: Mapping[int, tuple[Order, ...]], phases: Sequence[Phase]
) -> dict[int, tuple[Order, ...]]:
    """Return the orders with those to undo what is only told to be there, before what it holds.

    Only where something comes off in the same sentence or right behind, and nobody tells to undo
    them.

    Args:
        said: what was said.
        orders: what is done, by sentence.
        phases: the part of the job each sentence belongs to.
    """
    found = dict(orders)
    for index, sentence in enumerate(said):
        told = _THERE.search(sentence.text)
        if told is None or phases[index] != "removal" or _WRONG.search(sentence.text):
            continue
        head = singular(told["head"].lower())
        near = [one for at in range(index, index + 1 + _SOON) if _same_film(said, index, at)
                for one in orders.get(at, ())]  # fmt: skip
        if any(_undoes(one, head) for one in near) or not any(map(_comes_off, near)):
            continue
        what = re.sub(r"^an? ", "", told["what"].lower())
        more = re.sub(r"^,? and ", " and the ", (told["more"] or "").lower())
        order = Order(f"Undo the {what}{more}.", "undo", _name(what), "removes", _SURE)
        ours = found.get(index, ())
        first = next((at for at, one in enumerate(ours) if _comes_off(one)), len(ours))
        found[index] = (*ours[:first], order, *ours[first:])
    return dict(sorted(found.items()))


def _name(what: str) -> str:
    """Return the name of fasteners without how many there are and where."""
    named = re.split(rf" {_WHERE}\b", what, maxsplit=1)[0].split()
    return " ".join(word for at, word in enumerate(named) if at or not re.fullmatch(_MANY, word))


def _same_film(said: Sequence[Sentence], index: int, at: int) -> bool:
    return at < len(said) and said[at].recording == said[index].recording


def _undoes(order: Order, head: str) -> bool:
    """Whether an order undoes fasteners of a kind, or "them"."""
    if order.verb not in _UNDOING:
        return False
    thing = singular((order.object or "").rsplit(" ", maxsplit=1)[-1].lower())
    named = re.search(rf"\b{re.escape(head)}s?\b", order.action, re.IGNORECASE) is not None
    return named or thing == head or (not order.object and _THEM.search(order.action) is not None)


def _comes_off(order: Order) -> bool:
    """Whether an order takes something off that fasteners may hold."""
    if is_fastener(order.object or ""):
        return False
    moves = order.verb in {"lift", "pull", "slide", "take", "tilt", "swing", "tip", "draw", "ease"}
    return order.act == "removes" or (moves and _OFF.search(order.action) is not None)
