"""Forms of few words that tell what is done: "off comes the guard", "head bolts to forty"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from author.checks.verbs import words
from author.proposals.language.plain_words import NUMBER_WORDS

COMING: Mapping[str, frozenset[str]] = {
    **dict.fromkeys(("off", "out"), words("comes come")),
    **dict.fromkeys(("in", "on"), words("goes go")),
}
"""What stands behind a way that is told before its verb: things come off and go on."""

THERE = words("the your my our this these that those its both all new")
"""What begins the name of the thing behind it: "out comes the pin", no "out come big flakes"."""

FIGURES = NUMBER_WORDS - {"couple", "pair", "dozen"}

_WITHIN = FIGURES | words("and a half point oh")
_ABOUT = words("about around")
_BEHIND = words(
    """
    newton newtons newton-metres newton-meters nm foot foot-pounds inch-pounds ft pounds and then
    crosswise diagonally in when with each again working dry or first evenly using while before
    """
)

_TORQUES = words("newton newtons newton-metres newton-meters nm foot-pounds inch-pounds foot ft")


def torque_told(behind: Sequence[str]) -> int:
    """Return how many words behind a fastener tell to what it is tightened, 0 where none do.

    What is counted or measured otherwise is no torque: "bolts to two plates", "to ninety
    degrees".
    """
    if not behind or behind[0] not in {"to", "at"}:
        return 0
    begin = at = 2 if len(behind) > 1 and behind[1] in _ABOUT else 1
    while at < len(behind) and (_WITHIN.issuperset(behind[at].split("-")) or _digit(behind[at])):
        at += 1
    if at == begin or not (behind[begin].split("-")[0] in FIGURES or _digit(behind[begin])):
        return 0
    if at == begin + 1 and behind[begin] in {"one", "1"}:
        return 0
    while at > begin and behind[at - 1] in {"and", "a"}:
        at -= 1
    if behind[0] == "at" and not _TORQUES & set(behind[at : at + 1]):
        return 0  # "grub screw at five newton metres"; not "bolts at four corners"
    return at if at == len(behind) or behind[at] in _BEHIND else 0


def _digit(word: str) -> bool:
    return word[:1].isdigit()
