"""Amounts that belong together: an aim with its limits, two one-sided limits, a tolerance."""

from __future__ import annotations

import copy
import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.cues import BAD
from author.proposals.quantities.amounts.restated import is_aside
from author.proposals.quantities.amounts.tolerances import stands_by
from author.proposals.quantities.amounts.units import kind_of

_SAME = 10
_AIMS = frozenset(
    {
        "aim",
        "ideally",
        "target",
        "preferably",
        "nominal",
        "ideal",
        "best",
        "for",
        "middle",
        "call",
        "like",
    }
)

# Words of many uses, which tell an aim only right before it.
_LOOSE_AIMS = frozenset({"for", "like", "call", "best"})

# "Ninety-five, and under eighty it's scrap": what is refused later is no limit of the aim.
_REFUSED = frozenset(
    {
        "under",
        "over",
        "below",
        "beyond",
        "past",
        "above",
        "falls",
        "anything",
        "whatever",
        "more",
        ";",
        "there's",
    }
)

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
# "forty you're nervous, forty-five you throw it out"
_THROWN_OUT = re.compile(
    r"(?:and )?(?:you|we|they|i|it|it's|they're)(?:'d|'ll)? ?(?:throw|toss|chuck|bin|scrap|condemn)"
    r"(?:s|ed)? (?:it|them|'em|that|those)\b(?: (?:out|away))?"
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
    r"|alright|allowed|possible|acceptable|passable)\b)"
)
_STRETCH_AHEAD = re.compile(
    r"\b(?:at a (?:push|pinch|stretch)|in a pinch|if (?:you|we|i) must|if pushed|could be also"
    r"|could also be|can be also|may also be|can also be)(?: ,)?(?: to)?$"
)


def join_all(scenes: list[Scene]) -> None:
    """Join what belongs together in each sentence and with the one before it."""
    for scene in scenes:
        scene.amounts = _within(scene)
        if scene.index and scene.amounts:
            back = 2 if is_aside(scenes, scene.index - 1) else 1
            part = scene.amounts[0]
            carried = any(flag.startswith("carried") for flag in part.flags)
            if back == 2 and part.role == "tolerance" and carried:
                part.unit = None  # it is of the value, not of what was said aside
            _with_previous(scenes[scene.index - back], scene)


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
            if not (gone or _SCRAPPED.match(behind) or scrapped or stretched):
                continue
            near = [*reversed(scene.amounts[:place])]
            near += scenes[scene.index - 1].amounts[::-1] if scene.index else []
            told = ((one, _middle(one)) for one in near if one.unit == amount.unit)
            aim, middle = next((pair for pair in told if pair[1] is not None), (None, None))
            if aim is None or amount.nominal is None or middle is None:
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
            if amount.nominal is not None:
                continue
            near = [*reversed(scene.amounts[:place])]
            near += scenes[scene.index - 1].amounts[::-1] if scene.index else []
            new = next((one for one in near if one.is_plain() and one.unit == amount.unit), None)
            of_new = new is not None and new in scene.amounts and _is_of_new(scene, new)
            most = _MOST_OF_NEW if of_new else _MOST_OF_WORN if ahead & _WORN else 0
            if new and new.nominal and amount.upper < new.nominal <= most * amount.upper:
                amount.lower, amount.upper = amount.upper, None
                amount.flags |= {"refused"} if of_new else set()


def _within(scene: Scene) -> list[Amount]:
    kept: list[Amount] = []
    for amount in scene.amounts:
        before = kept[-1] if kept else None
        near = before is not None and amount.first - before.last <= _SAME
        if (
            before is not None
            and near
            and (_sides(before, amount) or _limits_aim(scene, before, amount))
        ):
            before.inner, before.last = before.last, amount.last
            continue
        timed = before is not None and near and kind_of(before.unit) == "time" and len(kept) > 1
        # "two hundred degrees, twenty minutes, do not go over two fifty"
        if timed and kind_of(amount.unit) != "time" and _limits_aim(scene, kept[-2], amount):
            continue
        kept.append(amount)
    return kept


def _in_unit(other: Amount, unit: str | None) -> Amount | None:
    """Return an amount in another unit of its kind, or None where it has no exact value."""
    if other.unit == unit:
        return other
    if other.unit is None and "temperature" in other.flags:
        return None
    moved = copy.copy(other)
    return moved if unit is not None and moved.moved_to(unit) else None


def _one_sided(amount: Amount) -> bool:
    return amount.role == "limits" and (amount.lower is None) != (amount.upper is None)


def _sides(one: Amount, other: Amount) -> bool:
    """Join "at least ten" with "no more than twelve"."""
    if not (_one_sided(one) and _one_sided(other)):
        return False
    moved = _in_unit(other, one.unit)
    if moved is None:
        return False
    other = moved
    if (one.lower is None) == (other.lower is None) or other.nominal is not None:
        return False
    if one.nominal is not None and one.form != "both":
        return False
    low, high = (one.lower, other.upper) if one.lower is not None else (other.lower, one.upper)
    if low is None or high is None or low >= high:
        return False
    _told(one, other)
    one.flags.discard("carried")
    one.lower, one.upper = low, high
    if one.nominal is not None and not low <= one.nominal <= high:
        one.nominal = None
    return True


_WISHED = frozenset({"like", "want", "wants", "aim", "ideally", "prefer", "shoot", "set", "should",
                     "target", "nominal", "ideal", "go", "needs", "need"})  # fmt: skip


def _limits_aim(scene: Scene, one: Amount, other: Amount) -> bool:
    """Join a value with the limits that follow it, or limits with the aim that follows."""
    aim, limits = (one, other) if one.role in {"aim", "about"} else (other, one)
    held = _holds(aim, limits)
    if held is None or "refused" in limits.flags:
        return False
    words = {token.low for token in scene.tokens[one.last : other.first]}
    ahead = {token.low for token in scene.tokens[max(0, aim.first - 6) : aim.first]}
    loose = words & {"anything", "anywhere"} and not (ahead & _WISHED or "but" in words)
    if aim is one and loose and _one_sided(limits):
        return False  # "thirty-seven amps, and anything from thirty-six up is healthy"
    if words & _NAMED and _is_of_new(scene, aim):
        return False
    behind = between(scene.tokens, other.last, min(other.last + 5, len(scene.tokens)))
    if aim is one and words & _ANOTHER_VALUE:
        return False
    chosen = _CHOSEN.search(between(scene.tokens, one.last, other.first))
    close = {token.low for token in scene.tokens[max(one.last, other.first - 3) : other.first]}
    aimed = close & _AIMS or words & _AIMS - _LOOSE_AIMS
    if aim is other and not aimed and not chosen and not _IDEAL.match(behind):
        return False
    if aim is one and words & {"then", "spec", "book", "manual"}:
        return False
    if aim is one and _one_sided(limits) and _is_new_thought(scene, one, other, words):
        return False
    _told(one, other)
    again = words & {"that's", "thats"} and aim.nominal in {held.lower, held.upper}
    nominal = None if again else aim.nominal
    one.lower, one.nominal, one.upper = held.lower, nominal, held.upper
    one.unit = aim.unit
    one.role, one.form = "limits", "both"
    return True


# "eight to twelve hundredths, nought point one's spot on"
_IDEAL = re.compile(
    r"(?:is|'s|would be|'d be|being),? (?:the sweet spot|dead on|just the ticket|the target"
    r"|the aim|my"
    r" favou?rite|spot on|bang on|ideal|perfect|best|lovely|the one|just right"
    r"|about right|where (?:you|we|i) (?:want|like)|what (?:you|we|i|they) (?:want|like|aim))"
)
# "six to eight newton metres, I go seven"
_CHOSEN = re.compile(r"\b(?:i|we)(?:'d|'ll)? (?:always |usually |normally )?(?:go|use|do|run|set"
                     r"|take|pick|say)"
                     r"(?: (?:it|them|'em|for|with|to|at|about))*$")  # fmt: skip
_NAMED = frozenset({"minimum", "min", "maximum", "max", "limit", "wear", "scrap"})


# "One fifty-five, alarm's one eighty", "three fifty's enough, four hundred's the ceiling"
_ANOTHER_VALUE = frozenset({"alarm", "alarm's", "trip", "trip's", "shutdown", "enough", "plenty"})


def _is_of_new(scene: Scene, aim: Amount) -> bool:
    """Whether a value is told of the part when it is new, which is nothing to aim at."""
    near = scene.tokens[max(0, aim.first - 4) : aim.last + 3]
    return any(token.low in {"new", "fresh"} for token in near)


def _is_new_thought(scene: Scene, one: Amount, other: Amount, words: set[str]) -> bool:
    """Whether a one-sided limit is said of something else than the value before it."""
    wanted = words & {"want", "wants", "spec"} and not words & {
        "don't",
        "never",
        "not",
        "no",
        "nominal",
    }
    if wanted or words & {"but", "so", "should", "must", "need", "needs", "has"}:
        return True
    if words & _REFUSED and not words & {"never", "not", "no", "don't", "nothing"}:
        return True
    said = [token.low for token in scene.tokens[one.last : other.first] if token.kind == "word"]
    return "and" in said and said.index("and") > 0 and not words & {"nominal", "never"}


def _holds(aim: Amount, limits: Amount) -> Amount | None:
    """Return limits in the unit of an aim, if they are its own: the aim lies inside them."""
    if aim.role not in {"aim", "about"} or limits.role != "limits" or limits.nominal is not None:
        return None
    if aim.form in {"range", "both"} or aim.nominal is None:
        return None
    held = _in_unit(limits, aim.unit)
    if held is None or (aim.unit is None and aim.form == "whole"):
        return None
    low = held.lower is None or held.lower <= aim.nominal
    return held if low and (held.upper is None or aim.nominal <= held.upper) else None


def _told(one: Amount, other: Amount) -> None:
    carried = {"carried", "carried near", "carried far", "corrected", "doubtful", "rounded"}
    one.flags |= other.flags & carried
    one.flags -= {"about", "article"}
    one.why.extend(why for why in other.why if why not in one.why)


# Where no signs are written a sentence can end before its limit: "eighty degrees and they
# reckon", "never over a hundred and ten".
_NEVER = re.compile(
    r"(?:and |but )?(?:never|no|not|don't go|do not go) (?:ever )?(?:any )?"
    r"(?:over|above|past|more than|under|below|less than)$"
)
_CUT_OFF = frozenset({"and", "but", "or", "they", "reckon", "say", "says", "definitely"})


def _with_previous(before: Scene, scene: Scene) -> None:
    if not before.amounts:
        return
    aim, first = before.amounts[-1], scene.amounts[0]
    if first.role == "tolerance" and first.first <= 6 and aim.role in {"aim", "about"}:
        if stands_by(aim, first):
            aim.role = "limits"
            aim.flags.add("carried")
            aim.why.append("the tolerance is said in the sentence that follows")
            scene.amounts.pop(0)
        return
    cut = before.tokens[-1].low in _CUT_OFF
    if cut and _NEVER.match(between(scene.tokens, 0, first.first)) and _one_sided(first):
        held = _holds(aim, first)
        if held is not None and first.nominal is None:
            first.lower, first.nominal, first.upper = held.lower, aim.nominal, held.upper
            first.unit = aim.unit
            first.why.append("the value aimed at is said in the sentence before")
            before.amounts.pop()
        return
    two_sided = first.lower is not None and first.upper is not None
    held = _holds(aim, first) if two_sided and first.first <= 4 else None
    if len(before.amounts) == 1 and held is not None:
        first.lower, first.nominal, first.upper = held.lower, aim.nominal, held.upper
        first.unit = aim.unit
        first.why.append("the value aimed at is said in the sentence before")
        before.amounts.pop()
