"""Work that is told behind another and done before it: "warm them and they just drop on"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.checks.verbs import words
from author.proposals.language.verbs import base_of
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import Order

_GOES = (
    r"\b(?:and|then|so|,) (?:then )?(?:it|they|she|that)(?:'ll|'s|'re| will| should| can)?"
    r"(?: (?:then|just|all|both|easily|going to|gonna))* "
    r"(?:drops?|slides?|slips?|goes|go|pops?|push(?:es)?|falls?|comes?|pulls?|floats?)"
    r"(?: (?:right|straight|easily|easy|nicely|just|back))* "
    r"(?:on|in|over|off|out|home|apart|into)\b"
)
# "Warm 'em to about eighty, and they just drop on"
_EASED = re.compile(_GOES, re.IGNORECASE)
_EASING = words("warm heat preheat freeze chill cool soak oil grease wet boil lubricate")
# "Punch a dot so that you know which way it goes back"
_TO_KNOW = re.compile(
    r"\bso (?:that )?(?:you|we|i)(?:'ll| will| can| don't)? (?:know|remember|tell|see|find|get|put|"
    r"mix|lose|forget|have)\b[^.;]*\b(?:which|where|how|back|same|up|order|round|place)\b",
    re.IGNORECASE,
)
_MARKS = re.compile(
    r"^(?:mark|scribe|photograph|label|tag|number|take a (?:picture|photo)|note|"
    r"(?:punch|make|put|draw|paint|dab|scratch|centre-punch) (?:an? |two |some )?(?:\w+ )?"
    r"(?:dots?|marks?|lines?|dabs?|pops?|stripes?|arrows?|scratch|paint)\b)",
    re.IGNORECASE,
)
_FIRST = re.compile(r" first\.$")
_BEFORE = re.compile(r"\bbefore (?:you|it|they|anything) ?(.*)\.$")
_PREPARES = _EASING | words(
    "clean degrease wipe deburr chamfer coat smear dip moisten flush rinse prime"
)
# "Take the cover off. Mark the wires first": they are behind it.
_COVERS = words("cover guard lid panel hood door cowl shroud")


def told_to_be_first(action: str, text: str) -> str:
    """Return an order with "first" if its sentence tells that it makes what was told go easier.

    Args:
        action: one imperative sentence.
        text: the sentence it is told in: "punch a dot so that you know which way it goes".
    """
    verb = action.split(" ", 1)[0].lower().rstrip(".")
    eased = verb in _EASING and _EASED.search(text)
    marked = _MARKS.match(action) and _TO_KNOW.search(text)
    told = (eased or marked) and " " in action and not _FIRST.search(action)
    return f"{action.rstrip('.')} first." if told else action


def before_what(order: Order, before: Sequence[Order]) -> int | None:
    """Return the place of the order that another has to be done before, or None.

    Args:
        order: "mark it first", "do the screw before you spin the impeller", "soak the seals first".
        before: what was told before it, in the order of the work.
    """
    clause = _BEFORE.search(order.action)
    if clause is not None:
        verbs = {base_of(word) for word in clause[1].split()}
        apart = bool({"take", "pull", "strip"} & verbs)
        places = [n for n, o in enumerate(before) if o.verb in verbs or (apart and o.act)]
        return places[0] if places else None
    if not _FIRST.search(order.action):
        return None
    if _MARKS.match(order.action):
        off = [
            n for n, one in enumerate(before) if one.act == "removes" and _of(one) not in _COVERS
        ]
        same = [n for n in off if _of(before[n]) == _of(order)]
        return next(iter([*same, *off]), None)
    if order.verb not in _PREPARES or _of(order) is None:
        return None
    moved = [n for n, one in enumerate(before) if one.act and _of(one) == _of(order)]
    return moved[-1] if moved else None


def _of(order: Order) -> str | None:
    """Return the last word of what an order is done to, in the singular."""
    return singular(order.object.split()[-1].lower()) if order.object else None
