"""What is said of a thing once its reading is told: "so it can stay", "that's worn, it's scrap"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import between
from author.proposals.quantities.amounts.context import Scene

_IT = r"(?:it|she|he|they|this|that|these|those)(?: one)?"
_SO = r"(?:so|which means|that means|meaning)(?: ?,)? "
_AT_FIRST = r"(?:(?:so|and|well|right|okay)[, ]+)*"
_STILL = r"(?: (?:still|just|also|all|perfectly|well|will|can|may|is|are|be))*"
_IS_GOOD = (
    rf"(?:{_IT}(?:'s|'re|'ll|'d| is| are| was| were)?{_STILL} (?:good|fine|ok|okay|in|do|usable"
    r"|alright|right|within|accepted|acceptable|pass(?:es)?|stays?|staying|goes? back|go again)\b"
    r"|(?:i|we|you)(?:'ll| will| can| could)? (?:still )?(?:keep|leave|reuse|use) "
    r"(?:it|them|that|this|those)\b(?! (?:out|off|apart)\b))"
)
_RENEW = r"(?:replac|chang|renew|swap|bin|scrap|condemn|chuck|toss)"
_IS_SCRAP = (
    rf"(?:{_IT}(?:'s|'re|'ll| is| are| was| were)?(?: (?:all|well|now|be|has|have|been))*"
    rf" (?:stuffed|scrap|done|gone|out|dead|worn|junk|shot|finished|trash|toast|no good"
    rf"|(?:over)?due"
    rf"|had it|past it|(?:ha[sd]|have|got|need|needs|needed) to (?:go|come out)"
    rf"|time for (?:a )?new|(?:(?:gets?|needs?|wants?|being|to be) )*{_RENEW}[a-z]*"
    rf"|(?:needs?|gets?) a new)\b"
    rf"|(?:i|we|you)(?:'ll|'m(?: going to)?|'re(?: going to)?| will| have to| need to| must|'d)?"
    rf" (?:{_RENEW}[a-z]*|(?:fit|fitting|put|putting|need|want|order)(?: in| on)? (?:a )?new)\b)"
)
# "For now", "this once": good though it is not.
_FOR_NOW = re.compile(r"\b(?:for now|this (?:once|time|season|year)|till|until|but)\b")
_GOOD_BEHIND, _SCRAP_BEHIND = re.compile(rf"\b{_SO}{_IS_GOOD}"), re.compile(rf"\b{_SO}{_IS_SCRAP}")
_GOOD_NEXT, _SCRAP_NEXT = (re.compile(_AT_FIRST + one) for one in (_IS_GOOD, _IS_SCRAP))
_FAR = 12


def verdict_of(scenes: list[Scene], scene: Scene, last: int) -> str | None:
    """Return ``good`` or ``scrap`` as is said behind a value, None where neither is.

    Args:
        scenes: all sentences.
        scene: the one of the value.
        last: index after the last word of the value.
    """
    here = between(scene.tokens, last, min(last + _FAR, len(scene.tokens)))
    if found := _told(here, _GOOD_BEHIND.search(here), _SCRAP_BEHIND.search(here)):
        return found
    if scene.index + 1 == len(scenes):
        return None
    after = scenes[scene.index + 1].tokens
    said = between(after, 0, min(_FAR, len(after)))
    return _told(said, _GOOD_NEXT.match(said), _SCRAP_NEXT.match(said))


def _told(said: str, good: re.Match[str] | None, scrap: re.Match[str] | None) -> str | None:
    if scrap:
        return "scrap"
    return "good" if good and not _FOR_NOW.search(said[good.end() :]) else None
