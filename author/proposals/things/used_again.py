"""Which parts are told to go back in as they are: "I'm using the old pins", "reuse the clips"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.proposals.things.named import FAINT, Thing

_LED = r"(?:(?:the|my|your|those|these|both|two|three|four|six|eight) ){0,2}"
# "I said I'm using the old pins", "refit the original screws", "reusing the clips".
_AGAIN = re.compile(
    rf"\b(?:re-?us(?:e|ing) {_LED}(?:(?:old|same|original|existing) )?"
    rf"|(?:us(?:e|ing)|keep(?:ing)?|refit(?:ting)?|put(?:ting)?|fit(?:ting)?) (?:back )?(?:the|my|"
    rf"your) {_LED}(?:old|same|original|existing) )(?:[\w-]+ )?$",
    re.IGNORECASE,
)
_NOT = re.compile(
    r"\b(?:not|never|n't|don't|do not|without|avoid|can't|cannot|if|unless|than|when|until)\b"
    r"[^.;!?]*$",
    re.IGNORECASE,
)


def used_again(texts: Sequence[str], things: Sequence[Thing]) -> frozenset[int]:
    """Return the parts that are told to be used again, by their index.

    Args:
        texts: the sentences.
        things: parts, tools and supplies, in the order said; those that are parts are looked at.
    """
    found: set[int] = set()
    for at, thing in enumerate(things):
        if thing.kind != "part" or thing.confidence <= FAINT:
            continue
        text = texts[thing.sentence]
        led = _AGAIN.search(text[: thing.begin])
        if led is not None and not _NOT.search(text[: led.start()]):
            found.add(at)
    return frozenset(found)
