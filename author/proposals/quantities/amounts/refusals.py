"""Values that are refused, or only just allowed: "and two is scrap", "thirteen at a push"."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.cues import BAD
from author.proposals.quantities.amounts.units import kind_of

_SCRAPPED = re.compile(
    r"(?:is|'s|and it's|it's|means|are|and they're|and that's|and you're)(?: a| the| your"
    r"| my)? ?(?:scrap"
    r"|junk|garbage|toast|due|dead|gone|finished|shot|coming out|had it|worn out|no good|condemned"
    r"|rubbish|done|finish|(?:change|changing|discard|replacement|scrap|wear|cut off|cut-off|bin)"
    r" (?:point|size|limit|mark|line)|when (?:you|we|they) (?:change|bin|scrap|swap|replace|go)"
    r"|(?:what|where) (?:you|we|they|i)(?:'d| would)? (?:change|bin|scrap|swap|replace|go|draw"
    r"|chuck|toss)"
    r"|the (?:scrap|toss-it|toss it|bin|chuck-it|throw-away|reject) (?:number|figure|one))\b"
    r"|and (?:you|we|they|i)(?:'d| would)? (?:change|bin|scrap|swap|replace|chuck|toss)"
    r" (?:it|them|'em|that|those)\b"
)
_SCRAPPED_AT = re.compile(
    r"\b(?:(?:scraps?|bins?|replaces?|changes?|chucks?|toss(?:es)?|swaps?|renews?|condemns?"
    r"|rejects?)(?: it| them| 'em| those)?"
    r"|(?:go|goes|thrown|chucked) (?:out|in the (?:bin|skip))|(?:done|finished|scrap|scrapped"
    r"|replaced|changed|worn out|junk|dead|condemned)) (?:at|by)$"
)
# "eleven amps going up, fifteen and it's binding"
_AND_THEN = re.compile(r",? ?and (?:it's|they're|you're|that's|it'll|you'll|they'll) ")
# "new is ten point four, scrap is nine point two"
_SCRAP_IS = re.compile(
    r"\b(?:scrap|junk|discard|reject|condemned|scrapped|worn(?: out)?|(?:wear|bin|change|discard"
    r"|replacement|scrap|cut ?off|reject) (?:size|point|limit|mark|line|thickness|length|diameter"
    r"|figure))(?:'s| is| are| ?[,:])?(?: at)?$"
)
_GONE = re.compile(
    r",? ?(?:it|they|the|your|you|that|these|those|this)(?:'s|'re| \w+){1,3} (?:gone|done"
    r"|scrap|finished"
    r"|toast|junk|shot|dead|rubbish|garbage|knackered|due)\b"
)


# "new is eight, and at three you change"
_YOU_BIN = re.compile(
    r",? ?(?:you|we|they|i)(?:'d|'ll)? (?:change|bin|scrap|swap|replace|chuck|toss|renew)\b"
)
# "sixty-one degrees, at eighty-five you stop", "a hundred and eighty you shut it off"
_STOPS_AT = re.compile(r"(?:^|[,.;] ?)(?:and |but |so )?(?:(?:at|by|if it (?:hits|gets to|reaches))"
                       r"(?: about)?)?$")  # fmt: skip
_YOU_STOP = re.compile(
    r",? ?(?:you|we|i)(?:'d|'ll)? (?:just )?(?:stop\b|quit\b|(?:switch|shut|turn|knock)"
    r" (?:(?:it|her|him|that|everything) )?(?:off|down)\b|pull the plug|drop everything)"
)
_GROWS = frozenset({"temperature", "current", "ratio"})
# "forty you're nervous, forty-five you throw it out"
_THROWN_OUT = re.compile(
    r"(?:and )?(?:you|we|they|i|it|it's|they're)(?:'d|'ll)? ?(?:throw|toss|chuck|bin|scrap|condemn)"
    r"(?:s|ed)? (?:(?:it|them|'em|that|those)\b(?: (?:out|away))?|(?:out|away)\b)"
)
# "two thou is okay, three thou isn't", "four's pushing it"
_NOT_SO = re.compile(
    r"(?:isn't|is not|ain't|(?:is|'s) pushing it|(?:is|'s) where i draw the line"
    r"|i (?:can't|won't)) ?"
    r"(?:[,.;!?]|$)"
)
# "twelve, thirteen at a push", "thirty, thirty-five if you must", "six, five I'll put up with":
# how far from the aim it may be.
_STRETCH = re.compile(
    r",? ?(?:at (?:a|the) (?:push|pinch|stretch|absolute (?:latest|outside|worst)|worst|latest"
    r"|outside)\b|in a pinch\b|if (?:you|we|i) (?:must|have to|really must|really have to)\b"
    r"|if (?:needs must|need be|pushed|you're pushed|i'm pushed|it comes to it)\b"
    r"|(?:i'll|i'd|i can|i could|we'll|we'd|you can) (?:just |still |also )?(?:put up with"
    r"|live with|stand|tolerate|accept|get away with)\b"
    r"|(?:is|'s|would be|'d be) (?:also|still)(?: also| still)? (?:good|fine|ok|okay|all right"
    r"|alright|allowed|possible|acceptable|passable)\b"
    r"|(?:is|'s) (?:the |your )?(?:end|finish)\b(?! of\b))"
)
# "forty thou under flush, fifty's fine", "twenty-two, eighteen will do"
_FINE_TOO = re.compile(
    r"(?:is|'s|would be|'d be) (?:fine|ok|okay|all right|alright|allowed|acceptable|passable)\b"
    r"|(?:will|'ll|would|'d) (?:just |also |still )?do\b(?! (?:it|the|a|this|that)\b)"
)
_MOST_MORE = Decimal("1.5")
_STRETCH_AHEAD = re.compile(
    r"\b(?:at a (?:push|pinch|stretch)|in a pinch|if (?:you|we|i) must|if pushed|could be also"
    r"|could also be|can be also|may also be|can also be)(?: ,)?(?: to)?$"
)


def find_refusals(scenes: list[Scene]) -> None:
    """Turn "new it's ten, and two is scrap" and "bin them at two" into limits.

    Which side is refused tells the value that was told before.
    """
    for scene in scenes:
        for place, amount in enumerate(scene.amounts):
            if amount.role not in {"aim", "measured"} or not amount.is_plain():
                continue
            behind = between(scene.tokens, amount.last, min(amount.last + 4, len(scene.tokens)))
            before = between(scene.tokens, max(0, amount.first - 5), amount.first)
            rest = between(scene.tokens, amount.last, min(amount.last + 7, len(scene.tokens)))
            gone = before.endswith(" at") and _GONE.match(rest)
            scrapped = _SCRAPPED_AT.search(before) or _SCRAP_IS.search(before)
            gone = gone or (_AND_THEN.match(rest) and BAD.search(rest))
            gone = gone or (re.search(r"\bat(?: about)?$", before) and _YOU_BIN.match(behind))
            gone = gone or _NOT_SO.match(rest) or _THROWN_OUT.match(rest)
            stretched = _STRETCH.match(rest) or _STRETCH_AHEAD.search(before)
            too = None if gone or stretched else _FINE_TOO.match(rest)
            stretched = stretched or too
            grows = kind_of(amount.unit) in _GROWS
            stops = grows and _STOPS_AT.search(before) and _YOU_STOP.match(rest)
            if not (gone or _SCRAPPED.match(behind) or scrapped or stretched or stops):
                continue
            near = [*reversed(scene.amounts[:place])]
            near += scenes[scene.index - 1].amounts[::-1] if scene.index else []
            if stops:
                amount.role, amount.upper, amount.nominal = "limits", amount.nominal, None
                amount.flags.add("refused")
                amount.why.append("at what it is to be stopped is told")
                continue
            told = ((one, _middle(one)) for one in near if one.unit == amount.unit)
            aim, middle = next((pair for pair in told if pair[1] is not None), (None, None))
            if aim is None or amount.nominal is None or middle is None:
                continue
            if too and not _is_beside(scene, aim, amount):
                continue
            amount.role, value = "limits", amount.nominal
            amount.lower = value if value < middle else None
            amount.upper = value if value >= middle else None
            amount.nominal = None
            if stretched and aim.role in {"aim", "about"}:
                amount.why.append("how far it may go at the most is told")
                continue
            amount.flags.add("refused")
            amount.why.append("what is refused is told")


def _is_beside(scene: Scene, aim: Amount, amount: Amount) -> bool:
    """Whether a value follows at once on one to aim at, and is nearly as large."""
    if aim not in scene.amounts or aim.role not in {"aim", "about"} or not aim.nominal:
        return False
    words = between(scene.tokens, aim.last, amount.first)
    large, small = max(aim.nominal, amount.nominal or 0), min(aim.nominal, amount.nominal or 0)
    near = large <= _MOST_MORE * small and words.endswith(",") and aim.nominal != amount.nominal
    return near and amount.first - aim.last <= _STANDS_BY and " and " not in words


def _middle(amount: Amount) -> Decimal | None:
    """Return the value that is told, or the middle of a range."""
    if amount.is_plain():
        return amount.nominal
    if amount.form != "range" or amount.lower is None or amount.upper is None:
        return None
    return (amount.lower + amount.upper) / 2


_STANDS_BY = 6
_WORN = frozenset({"wear", "worn", "worse", "wears"})
# How much larger the part can have been: "a new pad is eight, and two's your lot".
_MOST_OF_WORN, _MOST_OF_NEW = 2, 6


def turn_worn(scenes: list[Scene]) -> None:
    """Turn "sixty new, no wear past fifty-nine point nine" into a least value.

    What wears gets smaller where the value told before, close by, is larger than the limit.
    """
    for scene in scenes:
        for place, amount in enumerate(scene.amounts):
            if amount.role != "limits" or amount.lower is not None or amount.upper is None:
                continue
            ahead = {token.low for token in scene.tokens[max(0, amount.first - 5) : amount.first]}
            if amount.nominal is not None:
                continue
            near = [*reversed(scene.amounts[:place])]
            near += scenes[scene.index - 1].amounts[::-1] if scene.index else []
            new = next((one for one in near if one.is_plain() and one.unit == amount.unit), None)
            of_new = new is not None and new in scene.amounts and is_of_new(scene, new)
            most = _MOST_OF_NEW if of_new else _MOST_OF_WORN if ahead & _WORN else 0
            if new and new.nominal and amount.upper < new.nominal <= most * amount.upper:
                amount.lower, amount.upper = amount.upper, None
                amount.flags |= {"refused"} if of_new else set()


_TREATED = frozenset({"temperature", "torque", "pressure", "time"})


def is_of_new(scene: Scene, aim: Amount) -> bool:
    """Whether a value is told of the part when it is new, which is nothing to aim at.

    Args:
        scene: the sentence.
        aim: one of its amounts.
    """
    if kind_of(aim.unit) in _TREATED:
        return False  # "new bearing on the heater, ninety degrees, maximum a hundred"
    near = scene.tokens[max(0, aim.first - 4) : aim.last + 3]
    return any(token.low in {"new", "fresh"} for token in near)
