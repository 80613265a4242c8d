"""Values at which something is refused: "new it's ten, and two is scrap", "bin them at two"."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.cues import BAD, MEASURED
from author.proposals.quantities.amounts.joins import in_unit
from author.proposals.quantities.amounts.worn import is_of_new
from author.proposals.quantities.roles.ends import ends_at, falls_to
from author.proposals.quantities.roles.verdict_words import verdict_of
from author.proposals.quantities.roles.wear import is_left, moves, wears, wears_here

_SCRAPPED = re.compile(
    r"(?:would|'d|will|'ll) (?:have|get|make) (?:me|you|us) (?:worried|nervous|worry|fret)\b"
    r"|(?:is|'s|and it's|it's|means|are|and they're|and that's|and you're)(?: a| the| your"
    r"| my)? ?(?:scrap"
    r"|junk|trash|garbage|toast|due|dead|gone|finished|shot|coming out|had it|worn out|no good"
    r"|condemned|rubbish|done|finish"
    r"|(?:change|changing|discard|replacement|scrap|wear|cut off|cut-off|bin)"
    r" (?:point|size|limit|mark|line)|when (?:you|we|they) (?:change|bin|scrap|swap|replace|go)"
    r"|(?:what|where) (?:you|we|they|i)(?:'d| would)? (?:change|bin|scrap|swap|replace|go|draw"
    r"|chuck|toss)"
    r"|(?:what|where) (?:you|we|they|i) (?:scrap|bin|toss|chuck) (?:it|them) at"
    r"|the death (?:stamp|mark)"
    r"|the (?:scrap|toss-? ?it|bin|chuck-? ?it|throw-? ?away|reject) (?:number|figure|one)"
    r"|the (?:bin|skip|tip|bottom(?: line)?|border|throw-? ?away)(?! of\b| end\b))\b"
    r"|and (?:you|we|they|i)(?:'d| would)? (?:change|bin|scrap|swap|replace|chuck|toss)"
    r" (?:it|them|'em|that|those)\b"
)
# "eleven amps going up, fifteen and it's binding"
_AND_THEN = re.compile(r",? ?and (?:it's|they're|you're|that's|it'll|you'll|they'll) ")
# "new is ten point four, scrap is nine point two"
_SCRAP_IS = re.compile(
    r"\b(?:scrap|throw-? ?away|bottom line|junk|discard|reject|condemned|scrapped"
    r"|worn(?: out)?|(?:wear|bin|change|discard"
    r"|replacement|scrap|cut ?off|reject) (?:size|point|limit|mark|line|thickness|length|diameter"
    r"|figure))(?:'s| is| are| ?[,:])?(?: at)?$"
)
# "forty you're nervous, forty-five you throw it out"
_THROWN_OUT = re.compile(
    r"(?:and )?(?:you|we|they|i|it|it's|they're)(?:'d|'ll)? ?(?:throw|toss|chuck|bin|scrap|condemn)"
    r"(?:s|ed)? (?:(?:it|them|'em|that|those)\b(?: (?:out|away))?|(?:out|away)\b)"
)
# "new is ten, and they're changed at seven": on which side tells only the ten.
_CHANGED_AT = re.compile(
    r"\b(?:replaces?|changes?|swaps?|renews?|replaced|changed|renewed|swapped)"
    r"(?: (?:it|them|'em|em|those))? (?:at|by|from)$"
    # "and I'd rebush at a tenth", "I'd have had them out at twenty"
    r"|\b(?:i|you|we|they)(?:'d|'ll| would)? (?:have |always |usually |already )*"
    r"(?:chuck|bin|toss|scrap|rebush|reline|rebore|regrind|sleeve|skim|(?:have|had|pull|take)"
    r"(?= (?:it|them|'em|em|those) out))(?: (?:it|them|'em|em|those))?(?: out| away)?"
    r"(?: (?:already|again))? (?:at|by)(?: (?:about|a|an))*$"
    r"|\b(?:i|we) (?:change|replace|swap|renew)(?: (?:it|them|'em))? already at$"
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
    r"|live with|stand|tolerate|accept|get away with|let (?:it )?pass|let go)\b"
    r"(?! (?:that|it|this|them)\b)"  # "it's holding 98, I can live with that": it was read off
    r"|(?:is|'s) what (?:i|we|you)(?:'d|'ll| would) (?:still |just )?(?:pass|accept|let (?:go|pass)"
    r"|live with|put up with)\b"
    r"|(?:is|'s|would be|'d be) (?:also|still)(?: also| still)? (?:good|fine|ok|okay|all right"
    r"|alright|allowed|possible|acceptable|passable)\b"
    r"|(?:is|'s) (?:the |your )?(?:end|finish)\b(?! of\b(?! (?:it|them|that|the road)\b)))"
)
# "forty thou under flush, fifty's fine", "twenty-two, eighteen will do"
_FINE_TOO = re.compile(
    r"(?:is|'s|would be|'d be) (?:fine|ok|okay|all right|alright|allowed|acceptable|passable)\b"
    r"|(?:will|'ll|would|'d) (?:just |also |still )?do\b(?! (?:it|the|a|this|that)\b)"
)
_MOST_MORE, _STANDS_BY = Decimal("1.5"), 6
_STRETCH_AHEAD = re.compile(
    r"\b(?:(?:i'd|you'd|you can|we'd|you could|i'll|we) let(?: (?:it|them|that|him|her))?"
    r" (?:go|get|run|wear|drop)(?: down| up)?|at a (?:push|pinch|stretch)|in a pinch"
    r"|(?:i|you|we|they)(?:'d|'ll| can| could| would)? (?:take|run|let|go|use|wear)"
    r"(?: (?:it|them|him|her|those))? (?:as far as|out(?= to))"
    r"|(?:you're|we're|they're|it's) allowed(?= to)"
    r"|if (?:you|we|i) must|if pushed|could be also"
    r"|could also be|can be also|may also be|can also be)(?: ,)?(?: to)?$"
)
# "It's down to seven and it's scrap at eight": of the eight.
_OF_NEXT = re.compile(
    r"\b(?:scrap|done|finished|dead|junk|worn out|gone|out|scrapped) (?:at|by|under|over|below)\b"
)
# "They come new at sixteen and you change them at eight"
_NEW_AT = re.compile(r"\bnew at(?: (?:about|a|an))*$")
# "Nine newton metres. Don't do eleven, I stripped one."
_FORBIDDEN = re.compile(
    r"\b(?:don't|do not|never)(?: ever| you| go and)* (?:do|use|go(?: to)?|give it|put|pull(?: it)?"
    r"(?: to)?|take (?:it|them) to|run (?:it|them) to|torque (?:it|them) to)(?: about)?$"
)
# What a new part can have been: no more than so many times what is left of it.
_MOST_OF_END = 8


def find_refusals(scenes: list[Scene]) -> None:
    """Turn values at which something is refused, stopped or renewed into limits.

    Which side is refused tells the value that was told before; without one it is the upper,
    unless what is told of gets thinner as it wears.
    """
    for scene in scenes:
        for place, amount in enumerate(scene.amounts):
            if amount.role not in {"aim", "about", "measured"} or not amount.is_plain():
                continue
            begin = scene.amounts[place - 1].last if place else 0
            behind = between(scene.tokens, amount.last, min(amount.last + 6, len(scene.tokens)))
            before = between(scene.tokens, max(0, amount.first - 7), amount.first)
            rest = between(scene.tokens, amount.last, min(amount.last + 7, len(scene.tokens)))
            stretched = _STRETCH.match(rest) or _STRETCH_AHEAD.search(before)
            changed = _CHANGED_AT.search(before)
            ends = ends_at(scene.tokens, amount, begin) or (changed and wears(scene.tokens))
            ends = ends and not stretched
            gone = (
                _SCRAPPED.match(behind)
                or _SCRAP_IS.search(before)
                or changed
                or _NOT_SO.match(rest)
            )
            gone = gone or _FORBIDDEN.search(before)
            bad = BAD.search(rest) if _AND_THEN.match(rest) else None
            bad = None if MEASURED.search(before) else bad
            gone = gone or _THROWN_OUT.match(rest) or bad
            gone = None if _OF_NEXT.search(rest) else gone
            if _NEW_AT.search(before):
                continue
            too = None if gone or ends or stretched else _FINE_TOO.match(rest)
            stretched = stretched or too
            if not (ends or gone or stretched):
                continue
            near = [*_of_new(scene, amount), *reversed(scene.amounts[:place])]
            before_it = scenes[scene.index - 1] if scene.index else None
            if before_it is not None:
                sure = (one for one in before_it.amounts[::-1] if is_of_new(before_it, one))
                near += sure if ends else [*sure, *before_it.amounts[::-1]]
            told = ((one, _middle(one)) for one in near if one.unit == amount.unit)
            aim, middle = next((pair for pair in told if pair[1] is not None), (None, None))
            value = amount.nominal
            if value is None or (not ends and (aim is None or middle is None)):
                continue
            if amount.role == "about" and not ends:
                continue
            if too and (aim is None or not _is_beside(scene, aim, amount)):
                continue
            if ends and (middle is None or not _comparable(value, middle)):
                lower = _wears_down(scenes, scene, amount)
            else:
                lower = middle is not None and value < middle
            amount.role, amount.nominal = "limits", None
            amount.lower, amount.upper = (value, None) if lower else (None, value)
            if stretched and aim is not None and aim.role in {"aim", "about"}:
                amount.why.append("how far it may go at the most is told")
                continue
            amount.flags.discard("about")
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


def _of_new(scene: Scene, amount: Amount) -> list[Amount]:
    """Return what a new part has, in the unit of a value beside it: that it is compared with."""
    new = [one for one in scene.amounts if one is not amount and is_of_new(scene, one)]
    moved = [in_unit(one, amount.unit) for one in new if one.is_plain()]
    return [one for one in moved if one is not None and one.nominal != amount.nominal]


def _comparable(value: Decimal, other: Decimal) -> bool:
    """Whether a value told before can be of the same thing."""
    return value < other <= _MOST_OF_END * value or other <= value


def _wears_down(scenes: list[Scene], scene: Scene, amount: Amount) -> bool:
    """Whether an end is the least that is left of what gets thinner or falls."""
    if falls_to(scene.tokens, amount) or wears(scene.tokens):
        return True
    before = scenes[scene.index - 1].tokens if scene.index else []
    return wears_here(scene.tokens, before)


def _middle(amount: Amount) -> Decimal | None:
    """Return the value that is told, or the middle of a range."""
    if amount.is_plain():
        return amount.nominal
    if amount.form != "range" or amount.lower is None or amount.upper is None:
        return None
    return (amount.lower + amount.upper) / 2


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
            if amount.nominal is not None or moves(scene.tokens):
                continue
            near = [*reversed(scene.amounts[:place])]
            near += scenes[scene.index - 1].amounts[::-1] if scene.index else []
            new = next((one for one in near if one.is_plain() and one.unit == amount.unit), None)
            of_new = new is not None and new in scene.amounts and is_of_new(scene, new)
            most = _MOST_OF_NEW if of_new else _MOST_OF_WORN if ahead & _WORN else 0
            if new and new.nominal and amount.upper < new.nominal <= most * amount.upper:
                amount.lower, amount.upper = amount.upper, None
                amount.flags |= {"refused"} if of_new else set()


# "I have 24.98, and the limit is 24.9, so she's good": good above it is the least there may be.
_BARE_LIMIT = re.compile(r"(?<!upper )(?<!lower )\blimit(?:'s| is| of| at|:)?(?: (?:about|a|an))*$")
_IS_LIMIT = re.compile(r"(?:'s|is) (?:the|your|our|my) limit\b")
_MOST_APART = Decimal("1.5")


def turn_by_verdict(scenes: list[Scene]) -> None:
    """Turn a bare limit into the least value where what is said of a reading tells so.

    A reading above it that is good, or one below it that is scrap; and what is left of a pad or
    a tread only gets less. Of play and runout more is never better: "the limit's 0.4, so it can
    stay this once".
    """
    for scene in scenes:
        for amount in scene.amounts:
            ahead = between(scene.tokens, max(0, amount.first - 4), amount.first)
            high = amount.upper
            if amount.role != "limits" or high is None or amount.lower or amount.nominal:
                continue
            told = between(scene.tokens, amount.last, min(amount.last + 4, len(scene.tokens)))
            if not (_BARE_LIMIT.search(ahead) or _IS_LIMIT.match(told)):
                continue
            beside, read = _read_against(scenes, scene, amount)
            if not read or high in read or moves(scene.tokens):
                continue
            verdict = verdict_of(scenes, scene, amount.last)
            if is_left(beside.tokens) or _DOWN_TO.search(_words_of(beside)):
                # "The inner pad is down to two and the outer has four. The limit is three."
                lower = not (verdict == "good" and max(read) < high)
                why = "what is left of it gets less"
            else:
                near = max(*read, high) <= _MOST_APART * min(*read, high) and len(read) == 1
                lower = near and verdict == ("good" if read[0] > high else "scrap")
                why = "what is said of the reading tells which side of it is good"
            if lower:
                amount.lower, amount.upper = high, None
                amount.why.append(why)


# "It's down to two", "only four left on it".
_DOWN_TO = re.compile(r"\b(?:down to|worn to|left on)\b")


def _words_of(scene: Scene) -> str:
    return between(scene.tokens, 0, len(scene.tokens))


def _read_against(scenes: list[Scene], scene: Scene, limit: Amount) -> tuple[Scene, list[Decimal]]:
    """Return the readings that a limit is told for, in its sentence or the one before."""
    for one in (scene, *scenes[max(0, scene.index - 1) : scene.index]):
        read = [each for each in one.amounts if each.role == "measured" and each.unit == limit.unit]
        if found := [each.nominal for each in read if each.nominal]:
            return one, found
    return scene, []
