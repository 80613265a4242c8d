"""Values that are readings since what they are held against is told right beside them.

"Backlash is point six of a millimetre, and the limit's point four" is measured, with its limit;
so is "motor current four point one amps, book says five". What is set to a value, or has it when
it is new, is none: "set it to two, the limit's three".
"""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.cues import ASKING, MEASURED, OVER, UNDER, UNTIL, WANTED
from author.proposals.quantities.amounts.joins import in_unit
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.worn import is_of_new
from author.proposals.quantities.roles.verdict_words import verdict_of

_NEAR, _AHEAD, _OPENS = 12, 9, 6
_MOST_APART = Decimal(12)
"""Times the limit from which a value is of something else."""
_SET = frozenset({"torque", "turns", "time", "angle"})
"""Kinds of quantities that are given, and seldom read off."""
_AS_BUILT = frozenset({"pressure", "temperature", "voltage", "rotational_speed", "speed", "volume",
                       "frequency", "mass", "power"})  # fmt: skip
"""Kinds that a thing is told to have, with a limit beside: only past it they were read off."""
_THE_BOOK = r"(?:the |my |our )?(?:book|manual|spec|sheet|drawing|maker|makers|factory|handbook)"
# "and the limit's", ", up to", ", book says", ", and we allow"
_HELD = re.compile(
    r"(?:^|\b)(?:(?:wear |service |scrap |upper |lower |top |max(?:imum)? )?limit(?:'s| is| of|:)?"
    r"|not to exceed|(?:we|i|they|you) allow|(?:is|you're|that's) allowed"
    # "The seat is 17.01, it shouldn't be any less than 17"
    r"|(?:it|they|that) (?:should|must|can|may)(?:n't| not|not| never) (?:be|go|get|drop|come) "
    rf"(?:any |much )?(?:{OVER}|{UNDER})"
    r"|(?:the )?(?:most|least)(?: that's| that is| it's| you're| you can have| allowed| permitted)*"
    r"(?:'s| is)|(?:you|we|they|i) (?:change|replace|swap|renew|scrap|bin) (?:it|them|'em) at"
    rf"|{_THE_BOOK}(?:'s| says| is| wants| calls for| gives| has| allows?)"
    r"(?: (?:it|them) (?:at|to be))?)(?: (?:about|a|an|no more than|at least|max(?:imum)?))*$"
)
# "ten's what the book says", "0.4 is the limit", "twenty is the most I'd put up with"
_HELD_BEHIND = re.compile(
    rf" ?,? ?(?:(?:is|'s) (?:what (?:{_THE_BOOK}|we|i|they|you) (?:says|wants|gives|allows?)"
    r"|(?:the |your )?(?:wear "
    r"|service |lower |upper )?limit\b|(?:the )?(?:most|least|max(?:imum)?|min(?:imum)?)\b"
    r"|(?:all )?(?:(?:that )?(?:we|i|they|you) allow|allowed|permitted)\b)"
    rf"|(?:says|in) {_THE_BOOK}\b|max(?:imum)?\b(?! of))"
)
_NEW_CLAUSE = re.compile(r"(?:,|;|\b(?:and|but|they|the|book)\b)")
# "Anything", "a tenth per metre" of a limit, or an order: no reading stands behind them.
_NO_FACT = re.compile(
    r"\b(?:don't|do not|never|to|at (?:most|least)|keep|give|tighten|take|use|fit|go|run|shim"
    r"|if|when|once|rated|working|operating|stands? by|ideally|each|every|per)\b"
)


def take_held_beside(scenes: list[Scene]) -> None:
    """Give values the role ``measured`` that a limit or the book beside them is told against.

    Args:
        scenes: sentences whose amounts have their roles, before any are put together.
    """
    for scene in scenes:
        for place, amount in enumerate(scene.amounts):
            if amount.role not in {"aim", "about"} or not amount.is_plain():
                continue
            near = [*scene.amounts[max(0, place - 1) : place], *scene.amounts[place + 1 :][:2]]
            told = any(_is_measure(scene, amount, other) for other in near)
            told = told or any(_is_one_of_many(scene, amount, other) for other in near)
            told = told or _is_judged_next(scenes, scene, amount)
            told = told or _is_found_here(scenes, scene, amount)
            if told:
                amount.role = "measured"
                amount.flags.add("beside")
                amount.why.append("what it is held against is told beside it")


# "It's 31.5 and the others are 29": pieces of one kind, each measured.
_THIS_IS = re.compile(
    r"(?:^|[ ,])(?:it|this one|that one|this|one|one of them|the (?:bad|long|short|worn|odd) one)"
    r"(?:'s| is| was)(?: (?:at|only|about))*$"
)
_OTHERS_ARE = re.compile(
    r"[, ]*(?:and|but)[, ]+the (?:others?|other (?:one|two|three|ones)|rest)(?: all)?"
    r"(?:'s|'re| is| are)(?: (?:at|only|about|all))*"
)

# "45.31 one way and 45.12 the other"
_ONE_WAY = re.compile(r"(?:one|this) (?:way|side|end) ?,? (?:and|but)(?: (?:about|it's|only))*")


def _is_one_of_many(scene: Scene, value: Amount, other: Amount) -> bool:
    """Whether two values are told of pieces that should be alike."""
    one, two = (value, other) if other.first > value.last else (other, value)
    if kind_of(value.unit) in _SET or one.unit != two.unit or not two.is_plain():
        return False
    ahead = between(scene.tokens, max(0, one.first - _AHEAD), one.first)
    apart = between(scene.tokens, one.last, two.first)
    behind = between(scene.tokens, two.last, min(two.last + 2, len(scene.tokens)))
    if _ONE_WAY.fullmatch(apart) and behind == "the other" and not WANTED.search(ahead):
        return True
    return bool(
        _THIS_IS.search(ahead) and _OTHERS_ARE.fullmatch(apart) and not WANTED.search(ahead)
    )


def _is_judged_next(scenes: list[Scene], scene: Scene, value: Amount) -> bool:
    """Whether the limit is told in the sentence that follows, and what that makes of the value."""
    after = scenes[scene.index + 1] if scene.index + 1 < len(scenes) else None
    if after is None or len(after.amounts) != 1 or len(scene.amounts) != 1:
        return False
    if after.amounts[0].role != "limits":
        return False
    limit = after.amounts[0]
    moved = in_unit(limit, value.unit)
    named = limit.first <= _OPENS and _is_named(after, limit) and limit.nominal is None
    if moved is None or not named or kind_of(value.unit) in _SET:
        return False
    told = _is_fact(scene, value) and _comparable(value, moved)
    # "Slack, twenty-two mil. Limit fifteen.": nobody aims beyond what is allowed
    past = moved.upper is not None and moved.upper < (value.nominal or 0) <= 2 * moved.upper
    return told and (past or verdict_of(scenes, after, limit.last) is not None)


# "That's four millimetres there, anything over three is fine"
_ANYTHING = re.compile(rf"\banything (?:{OVER}|{UNDER})(?: (?:about|a|an|the))*$")
_IT_IS = re.compile(
    r"(?:^|[ ,])(?P<it>(?:that|it|this|there|here|she|he|they)(?:'s|'re| is| are|s)"
    r"|[a-z]+(?:'s| is| are))(?: (?:at|about|only|just|still))*$"
)
_THERE = re.compile(r",? ?(?:of [a-z]+ )?(?:there|here|across (?:it|them)|now)\b")
_THIS = re.compile(r"(?:that|it|this|there|here|she|he|they)\b")


def _is_found_here(scenes: list[Scene], scene: Scene, value: Amount) -> bool:
    """Whether a value is told of what is in hand, and next what anything past another means."""
    at, limit = _next_value(scenes, scene, value)
    if limit is None or limit.role != "limits" or kind_of(value.unit) in _SET:
        return False
    moved = in_unit(limit, value.unit)
    begin = value.last if at is scene else 0
    told = between(at.tokens, max(begin, limit.first - _AHEAD), limit.first)
    clause = between(scene.tokens, max(0, value.first - _AHEAD), value.first)
    found = _IT_IS.search(clause)
    if moved is None or not (found and _ANYTHING.search(told)):
        return False
    behind = between(scene.tokens, value.last, min(value.last + 4, len(scene.tokens)))
    fine = value.nominal is not None and value.nominal != int(value.nominal)
    here = _THERE.match(behind) is not None
    here = here or (kind_of(value.unit) not in _AS_BUILT and bool(_THIS.match(found["it"])))
    return (fine or here) and _is_fact(scene, value) and _comparable(value, moved)


def _next_value(scenes: list[Scene], scene: Scene, value: Amount) -> tuple[Scene, Amount | None]:
    """Return what is told behind a value, or where the next sentence opens, with its sentence."""
    later = next((one for one in scene.amounts if one.first > value.last), None)
    if later is not None or scene.index + 1 >= len(scenes):
        return scene, later
    after = scenes[scene.index + 1]
    opens = (one for one in after.amounts[:1] if one.first <= _OPENS)
    return after, next(opens, None)


def _is_measure(scene: Scene, value: Amount, other: Amount) -> bool:
    """Whether a value is told as a fact, and another beside it is what it is held against."""
    moved = in_unit(other, value.unit)
    if moved is None or not _is_fact(scene, value) or not _is_yardstick(scene, value, other):
        return False
    if not _comparable(value, moved):
        return False
    kind = kind_of(value.unit)
    if kind in _SET:
        return False
    return kind not in _AS_BUILT or _is_past(value, moved) or moved.role == "aim"


def _is_fact(scene: Scene, value: Amount) -> bool:
    """Whether a value is told of a thing as it is: "the end float is", "motor current"."""
    at = next((n for n, one in enumerate(scene.amounts) if one is value), 0)
    begin = scene.amounts[at - 1].last if at else 0
    clause = between(scene.tokens, max(begin, value.first - _AHEAD), value.first)
    if WANTED.search(clause) or UNTIL.search(clause) or ASKING.search(clause):
        return False
    return not _NO_FACT.search(clause) and not is_of_new(scene, value)


def _is_yardstick(scene: Scene, value: Amount, other: Amount) -> bool:
    """Whether another value is named as a limit or as the book's, in a clause of its own."""
    one, two = (value, other) if other.first > value.last else (other, value)
    if two.first - one.last > _NEAR or _is_named(scene, value):
        return False
    apart = between(scene.tokens, one.last, two.first)
    return _is_named(scene, other) and bool(_NEW_CLAUSE.search(apart) or MEASURED.search(apart))


def _is_named(scene: Scene, amount: Amount) -> bool:
    """Whether the words around a value name it as a limit or as the book's."""
    begin = max((one.last for one in scene.amounts if one.first < amount.first), default=0)
    ahead = between(scene.tokens, max(begin, amount.first - _AHEAD), amount.first)
    behind = between(scene.tokens, amount.last, min(amount.last + 7, len(scene.tokens)))
    return bool(_HELD.search(ahead) or _HELD_BEHIND.match(behind))


def _comparable(value: Amount, other: Amount) -> bool:
    ends = [one for one in (other.lower, other.nominal, other.upper) if one]
    if not ends or not value.nominal:
        return False
    return all(1 / _MOST_APART <= one / value.nominal <= _MOST_APART for one in ends)


def _is_past(value: Amount, limit: Amount) -> bool:
    told = value.nominal or Decimal(0)
    under = limit.lower is not None and told < limit.lower
    return under or (limit.upper is not None and told > limit.upper)
