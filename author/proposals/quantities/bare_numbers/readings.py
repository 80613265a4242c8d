"""Which bare numbers are what this unit measured: those told after limits or an instrument."""

from __future__ import annotations

import re
from decimal import Decimal
from itertools import zip_longest

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.cues import WANTED
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.bare_numbers.same_again import TOLD_AGAIN
from author.proposals.quantities.bare_numbers.topic import decades, size_of

_BACK = 4
_STAGES = re.compile(
    r"\b(?:then|pass|stage|first (?:time|lot|go|round)|next|again to|go round|finish|start with"
    r"|another)\b"
)
_ALONE = re.compile(r"(?:(?:there|it|goes|and|okay|right|so|yep|yeah|that's|now|got|,|\.) ?)*")
_CHECKED = frozenset({"check", "checked", "measure", "look", "watch", "test", "mic", "spin",
                      "crank", "rock", "try", "read", "feel", "pull", "push"})  # fmt: skip
_SHOWN = re.compile(r"\b(?:this|that|it|mine|ours)(?: one)?(?:'s| is)$")
# What somebody says of a reading he is content with, or not.
_CONTENT = re.compile(
    r",? ?(?:spot on|bang on|dead on|happy|lovely|perfect|sweet|tidy|golden|beautiful"
    r"|magic|in spec"
    r"|all good|no drama|no complaints|don't touch|leave (?:it|her|him) (?:alone|be)"
    r"|that's (?:fine|good)"
    r"|she'll (?:do|be right)|way too|too (?:much|tight|loose|high|low))\b"
)
# How near a reading lies to the value it answers, in powers of ten: an eighth, a quarter.
_WITHIN, _NEAR = 0.05, 0.1
_STATED = re.compile(r"(?:\b(?:is|are|be|was|get|gets|take|takes|want|wants|of)|'re)$")


def find_readings(scenes: list[Scene]) -> None:
    """Give the role ``measured`` to bare values that answer limits or an instrument.

    "Runout limit is two thou. Spin it round. One and a half." A value that a verb states
    ("the rears are thirty-six") or that is a stage of a tightening stays one to aim at.
    """
    for scene in scenes:
        before: Amount | None = None
        for amount, behind in zip_longest(scene.amounts, scene.amounts[1:]):
            if behind is not None and _is_its_limit(scene, amount, behind):
                before = amount
                continue
            goes_on = before is not None and (
                _goes_on(scene, before, amount) or _is_held_against(scene, before, amount)
            )
            told = goes_on or _is_of_these(scenes, scene, amount)
            if amount.role == "aim" and (told or _is_reading(scenes, scene, amount)):
                amount.role = "measured"
            before = amount


def _is_its_limit(scene: Scene, amount: Amount, behind: Amount) -> bool:
    """Whether a value new is told with its limit: "the seat, 17, nothing under 16.98".

    A reading is told with as many decimals as the limit it is held against.
    """
    words = between(scene.tokens, amount.last, behind.first)
    one_sided = behind.role == "limits" and behind.nominal is None
    return (
        one_sided
        and amount.unit == behind.unit
        and _places(amount) < _places(behind)
        and decades(size_of(amount), size_of(behind)) < _WITHIN
        and _LIMIT_NEXT.fullmatch(words) is not None
    )


_LIMIT_NEXT = re.compile(
    r",? ?(?:(?:and|but) )?(?:(?:i )?(?:wouldn't|won't|don't) (?:run|use|go|have|want) "
    r"(?:any|anything |it )?)?(?:nothing |never |not |no |scrap |bin it |reject )?"
    r"(?:under|below|over|above|less than|more than|past|at)"
)


def _is_of_these(scenes: list[Scene], scene: Scene, amount: Amount) -> bool:
    """Whether a value is told of those in hand: "the limit's 2.2. These are 2.1"."""
    if not scene.index or not _THESE.fullmatch(between(scene.tokens, 0, amount.first)):
        return False
    return any(
        one.role == "limits" and one.unit == amount.unit for one in scenes[scene.index - 1].amounts
    )


_THESE = re.compile(r"(?:and |but |so |now )?(?:these|this|mine|ours)(?: two| one)?(?: are| is|'s)")


def _goes_on(scene: Scene, before: Amount, amount: Amount) -> bool:
    """Whether a value only continues the reading before: "point four here, point six there"."""
    words = between(scene.tokens, before.last, amount.first)
    listed = words in _LISTED and any(flag.startswith("carried") for flag in amount.flags)
    if before.role != "measured" or before.unit != amount.unit:
        return False
    if not (listed or "carried" in amount.flags):
        return False
    return not WANTED.search(words) and not _STATED.search(words)


# "Mine are seventy-six and seventy-six and a half"
_LISTED = frozenset({"and", ",", ", and"})

# "The most is 0.07 and that's 0.04"; "and it's 0.1 for the rear" is another limit.
_AND_IT_IS = re.compile(
    r"[, ]*(?:(?:and|but|so|well|now)[, ]+)*(?:(?:that|it|this|mine|ours|he|she|this one|that one)"
    r"(?:'s| is| was| were)|(?:these|those|they)(?:'re| are| were)|we're|we are)"
    r"(?: (?:at|only|just|about|still|now|around|a|like|actually))*"
)
# "One to three mil, and the left is two and the right is four"; "31.5 and the others are 29"
_SIDE = (
    r"(?:left|right|front|rear|back|top|bottom|inner|outer|near side|far side|upper|lower|other"
    r"|others|other one|other two|first|second|last)"
)
_AND_THIS_SIDE = re.compile(
    rf"[, ]*(?:and|but)[, ]+the {_SIDE}(?: one| side| hand one| hand side| end)?(?:'s| is| are)"
    r"(?: (?:at|only|just|about|still|now))*"
)
_ANY_SIDE = re.compile(rf"\b{_SIDE}\b")


def _told_of_side(scene: Scene, amount: Amount) -> bool:
    """Whether limits are told of one side only: "the front gets ten to twelve"."""
    first, last = max(0, amount.first - 8), min(amount.last + 4, len(scene.tokens))
    behind = between(scene.tokens, amount.last, last).partition(",")[0].partition(" and ")[0]
    return bool(_ANY_SIDE.search(f"{between(scene.tokens, first, amount.first)} {behind}"))


_OF_ANOTHER = re.compile(
    r"(?:for|on|if|when|with|after|in|of|at|from|once|to|over|per|more|off|each)\b"
)


def _is_held_against(scene: Scene, before: Amount, amount: Amount) -> bool:
    """Whether a value is held against the limit before it: "the most is 0.07 and that's 0.04"."""
    alike = amount.unit == before.unit and amount.is_plain()
    if not alike or "carried" not in amount.flags:
        return False
    behind = between(scene.tokens, amount.last, min(amount.last + 3, len(scene.tokens)))
    words = between(scene.tokens, before.last, amount.first)
    if _AND_THIS_SIDE.fullmatch(words):
        return before.role == "measured" or (
            before.role == "limits" and not _told_of_side(scene, before)
        )
    if before.role != "limits":
        return False
    return _AND_IT_IS.fullmatch(words) is not None and not _OF_ANOTHER.match(behind)


def _is_reading(scenes: list[Scene], scene: Scene, amount: Amount) -> bool:
    before = between(scene.tokens, max(0, amount.first - 6), amount.first)
    signed = (amount.nominal or 0) < 0 or before.endswith("plus")
    if signed and kind_of(amount.unit) == "length" and not WANTED.search(before):
        return True  # the needle went so far to one side
    if TOLD_AGAIN.search(before):
        return False  # "then the second bearing. Same again, four and a half"
    shown = _SHOWN.search(before) is not None
    bare = bool(amount.flags & {"carried near", "carried far"}) or amount.unit is None
    if not (bare or shown) or not amount.is_plain():
        return False
    words = " ".join(token.low for token in scene.tokens)
    stated = _STATED.search(before) is not None and not shown
    if stated or WANTED.search(before) or _STAGES.search(words):
        return False
    if kind_of(amount.unit) in {"turns", "torque"}:
        return False
    behind = between(scene.tokens, amount.last, min(amount.last + 5, len(scene.tokens)))
    if bare and amount.unit is not None and _CONTENT.match(behind):
        return True
    return (bare and _is_checked(scenes, scene, before)) or _answers(scenes, scene, amount)


def _is_checked(scenes: list[Scene], scene: Scene, before: str) -> bool:
    """Whether an instrument is at hand, or something is looked at here or just before."""
    if scene.gauge or any(one.gauge for one in scenes[max(0, scene.index - 2) : scene.index]):
        return True
    earlier = scenes[scene.index - 1] if scene.index else None
    looked = earlier is not None and not earlier.amounts and bool(earlier.words & _CHECKED)
    return looked or bool(_CHECKED & set(_TEST_OF.sub("", before).split()))


# "We make a test cycle at a hundred and thirty-four degrees": that is how it is tested.
_TEST_OF = re.compile(r"\btest (?:cycle|run|drive|firing|load|pressure|voltage|program(?:me)?)\b")


def _answers(scenes: list[Scene], scene: Scene, amount: Amount) -> bool:
    """Whether limits or readings in the same unit stand before it, or a rounder value near it."""
    for back in range(1, min(_BACK, scene.index) + 1):
        for one in reversed(scenes[scene.index - back].amounts):
            if one.unit != amount.unit or kind_of(one.unit) is None:
                continue
            if one.role in {"limits", "measured"}:
                return True
            apart = decades(size_of(one), size_of(amount))
            if _places(amount) > _places(one) and apart < _WITHIN:
                return True
            ends = amount.last == len(scene.tokens) or scene.tokens[amount.last].kind == "sign"
            alone = _ALONE.fullmatch(between(scene.tokens, 0, amount.first))
            near = apart < _NEAR and one.nominal != amount.nominal
            return near and ends and alone is not None
    return False


def _places(amount: Amount) -> int:
    """Return with how many decimals a value was told."""
    value = next(
        (one for one in (amount.nominal, amount.lower, amount.upper) if one is not None), Decimal(0)
    )
    return max(0, -int(value.as_tuple().exponent))
