"""Which of several fasteners a torque is told of: "the outer six to twelve", "the others"."""

from __future__ import annotations

import re

from author.checks.verbs import words
from author.proposals.language.word_forms import plural, singular
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.things.named import Thing

SIDES = words(
    "front rear back left right upper lower inner outer top bottom inside outside near far big "
    "small first second other leading trailing inlet exhaust"
)
"""Words that tell by its place which of several is meant."""

_OTHERS = re.compile(
    r"\b(?:the (?:others|rest|other (?:two|three|four|five|six|ones))|(?P<one>the other(?: one)?))"
    r"(?: (?:is|are|gets?|goes|go|take|takes|want|wants|to|at|with|about|only|just))*,? $",
    re.IGNORECASE,
)


_SIZED_OTHER = re.compile(
    r"\bthe (m ?\d{1,2})(?:s| ones)?(?: (?:is|are|gets?|goes|go|take|takes|want|wants|to|at|with))*"
    r",? $",
    re.IGNORECASE,
)


_WHICH = rf"{'|'.join(sorted(SIDES))}|long|short|longer|shorter|thick|thin|last"
_MANY = r"two|three|four|five|six|seven|eight|nine|ten|twelve"
_COUNTED = re.compile(rf"\b(?:the|these|those) (?P<which>{_WHICH}) (?:{_MANY}) $", re.IGNORECASE)
_WHICH_OF_THEM = re.compile(
    rf"\b(?:the|these|those) (?P<which>{_WHICH}) (?P<many>ones?|{_MANY})"
    r"(?: (?:is|are|gets?|goes|go|take|takes|want|wants|to|up|at|with|about|only|just))*,? $",
    re.IGNORECASE,
)


def which_of_them(text: str, each: SpokenQuantity, named: Thing | None) -> str | None:
    """Return which of several a torque is told of: "the outer six to twelve".

    Args:
        text: of the sentence.
        each: the torque.
        named: the fastener named last before it, here or in the sentences right before.
    """
    begin = named.end if named and named.sentence == each.sentence else 0
    head = singular(named.name.split()[-1]) if named else ""
    if begin and (others := _OTHERS.search(text, begin, each.begin)):
        # "The earth screw gets 1.2, the others 0.8"
        return f"other {head if others['one'] else plural(head)}"
    if begin and (sized := _SIZED_OTHER.search(text, begin, each.begin)):
        # "Tighten the M6 bolts to ten and the M8 to twenty-two"
        return f"{sized[1].upper()} {plural(head)}"
    found = _WHICH_OF_THEM.search(text, begin, each.begin)
    if found is None:
        return None
    which, many = found["which"].lower(), found["many"].lower()
    if not begin and many in {"one", "ones"}:
        return None if many == "one" or not head else f"{which} {plural(head)}"
    if not head:
        return f"{which} {many}"
    return f"{which} {head if many == 'one' else plural(head)}"


def with_which(text: str, named: Thing) -> str:
    """Return the name of a fastener with which of them it is: "the inner four bolts".

    Args:
        text: of the sentence.
        named: the fastener.
    """
    counted = _COUNTED.search(text, 0, named.begin)
    return f"{counted['which'].lower()} {named.name}" if counted else named.name
