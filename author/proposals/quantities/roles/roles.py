"""What a quantity is for: limits, an aim, a rough value, or what happened to be measured."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.cues import (
    ASKING,
    BAD,
    BARE,
    BETTER,
    CAP,
    CAP_AFTER,
    CAP_LATER,
    FLOOR,
    FLOOR_AFTER,
    HERE,
    MAX_OF,
    MEASURED,
    MIN_OF,
    NEARLY,
    ON_GAUGE,
    OPINION,
    READ_OFF,
    ROUGH,
    ROUGH_AFTER,
    SO_GOOD,
    SPEAKS,
    TIGHT,
    UNTIL,
    UP_TO,
    WANTED,
    WEAKLY_MEASURED,
)
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.vocabulary import FASTENERS
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.roles.awaited import awaited
from author.proposals.quantities.roles.by_kind import weighed
from author.proposals.quantities.roles.capped import (
    capped_behind,
    is_shut_out,
    suffices,
    without_asides,
)
from author.proposals.quantities.roles.compared import compared
from author.proposals.quantities.roles.plain_readings import plainly_read
from author.proposals.quantities.roles.turned_words import acts_there, as_meant
from author.proposals.quantities.roles.wear import moves
from author.proposals.quantities.roles.what_comes import TOO_MUCH, by_what_comes
from author.proposals.quantities.roles.wishes import (
    AT_UP_TO,
    DENIED,
    DENIES,
    DONE_UP,
    FLOOR_LATER,
    FROM_THERE,
    HIGHEST,
    IS_WANTED,
    LOWEST,
    MORE_UP_TO,
    MOVED_OVER,
    NEXT_UP,
    NORTH,
    NOT_NEAR,
    RAISING,
    REFUSED_BETTER,
    SEEN_PAST,
    SO_LONG_AS,
    WISHED,
    in_plain_words,
)


def give_role(
    tokens: list[Token], amount: Amount, begin: int, end: int, *, gauge: bool, setting: bool
) -> None:
    """Set the role of an amount, and turn a one-sided one into its limit.

    Args:
        tokens: of the sentence.
        amount: one of its amounts.
        begin: index after the amount before, or of the first token of the clause.
        end: index of the amount behind, or after the last token.
        gauge: whether a measuring instrument is named here or shortly before.
        setting: whether something is set or tightened here.
    """
    if amount.form in {"thread", "size"}:
        amount.role = amount.form
        return
    begin = _after_side(tokens, amount, begin)
    before = _back(tokens, amount, begin, 9)
    before = as_meant(tokens, amount, before)
    clause = _back(tokens, amount, begin, 12)
    behind = between(tokens, amount.last, min(end, amount.last + 9))
    rest = between(tokens, amount.last, min(len(tokens), amount.last + 14))
    if amount.form == "both":
        amount.role = "limits" if amount.lower is not None else "tolerance"
        return
    if amount.form == "range":
        amount.role = "limits"
        amount.lower = None if "or two" in amount.flags and CAP.search(before) else amount.lower
        return
    behind, later = _own_words(tokens, amount, end, behind)
    told = amount.flags & {"upper", "lower"}
    capped = CAP_LATER.search(later)
    if not told and (capped or FLOOR_LATER.search(later)):
        told = {"upper" if capped else "lower"}
    side = (
        told.pop()
        if told
        else _side(
            before,
            "" if gauge and _FOUND_TOO_MUCH.match(behind) else behind,
            rest,
            clause,
            fine=amount.unit in {"thou", "µm", "µmHg"},
            parted=begin > 0,
            spread=0 < begin < amount.first and tokens[begin].low != ",",
        )
    )
    side = side or _granted(tokens, amount, clause, behind, rest)
    side = weighed(tokens, amount, side, before, setting=setting)
    if acts_there(tokens, amount, before):
        side = ""
        amount.flags.add("acts")
    if side:
        amount.role = "limits"
        if side == "upper":
            amount.upper, amount.nominal = amount.nominal, None
        else:
            amount.lower, amount.nominal = amount.nominal, None
        amount.flags.discard("about")
        return
    this = begin > 0 and _THIS_IS.fullmatch(clause) is not None
    this = this and not (ASKING.search(clause) or UNTIL.search(clause))
    if this or plainly_read(tokens, amount, clause):
        amount.role = "measured"
        return
    amount.role = _aim_or_reading(clause, behind, rest, gauge=gauge, setting=setting)
    if amount.role == "aim" and _goes_in(amount, clause, rest):
        amount.role = "measured"
    if amount.role == "bare":
        # "I measured point four. Bearing cap bolts, M8, 25 Nm": no bolt was measured
        done_up = kind_of(amount.unit) == "torque" and any(
            token.low in FASTENERS for token in tokens[: amount.first]
        )
        amount.role = "aim" if done_up else "measured"
        amount.flags |= set() if done_up else {"bare"}
    counted = tokens[amount.first].low in {"count", "counting"}
    turned = amount.unit == "turn" and not MEASURED.search(clause)
    turned = turned or (kind_of(amount.unit) == "torque" and bool(_NOW.match(behind)))
    if amount.role == "measured" and (turned or counted):
        amount.role = "aim"
    if amount.role == "aim" and ("about" in amount.flags or is_rough(before, behind)):
        amount.role = "about"


def _granted(tokens: list[Token], amount: Amount, clause: str, behind: str, rest: str) -> str:
    """Return the limit the words behind a value grant: "is all you get", "must not go in"."""
    fine = amount.unit == "thou" or amount.bottom in {10, 100}
    fine = fine or (amount.unit in {None, "mm"} and 0 < (amount.nominal or 0) < 1)
    if is_shut_out(rest, fine=fine):
        return "upper"
    leaf = rest.startswith(("feeler", "leaf", "blade"))
    if leaf and ASKING.search(clause) and BAD.search(rest):
        return "upper"
    return suffices(behind, amount.unit, rest, moves=moves(tokens))


# "Over point five fit a new bush": no length over which something is measured.
_AT_ONCE = re.compile(
    rf",? ?(?:(?:[a-z']+ ){{0,2}}?{BAD.pattern}"
    r"|(?:i|you|we)(?:'d| would) (?!say|call|guess|think|reckon|put)[a-z]+)"
)
_SIDE_WORDS = re.compile(
    r"(?:(?:is |as )?(?:the |a |an |at )*(?:bare |absolute |very )?(?:min(?:imum)?|max(?:imum)?"
    r"|least"
    r"|most|tops)\b)(?! (?:is|of|'s)\b)"
)


def _after_side(tokens: list[Token], amount: Amount, begin: int) -> int:
    """Return where the words of an amount begin, behind a "minimum" of the one before it.

    "Twenty newtons minimum, thirty maximum": the first word is of the twenty. Where no signs
    are written it is, if thirty has a word of its own behind it.
    """
    if not begin:
        return begin
    words = between(tokens, begin, amount.first)
    found = _SIDE_WORDS.match(words)
    if found is None:
        return begin
    rest = words[found.end() :].strip()
    behind = between(tokens, amount.last, min(amount.last + 3, len(tokens)))
    if rest.startswith((",", "and")) or (not rest and _SIDE_WORDS.match(behind)):
        return begin + len(found.group().split())
    return begin


def is_rough(before: str, behind: str) -> bool:
    """Whether the words around a value call it approximate."""
    return bool(ROUGH.search(before) or ROUGH_AFTER.match(behind))


def _back(tokens: list[Token], amount: Amount, begin: int, most: int) -> str:
    """Return the words before an amount, back to the end of a clause."""
    first = max(begin, amount.first - most)
    words = [token.low for token in tokens[first : amount.first]]
    for at in range(len(words) - 1, -1, -1):
        if words[at] in {".", ";", "!", "?"}:
            words = words[at + 1 :]
            break
    told = " ".join(words).replace("nothing , ", "nought , ")  # "near nothing, under one ohm"
    return without_asides(told)


def _side(
    before: str, behind: str, rest: str, clause: str, *, fine: bool, parted: bool, spread: bool
) -> str:
    """Return which limit a value is: ``upper``, ``lower``, or empty."""
    if (side := awaited(clause, rest)) is not None:
        return side
    if BETTER.match(behind):
        return _said_behind(behind, rest, clause, fine=fine)
    side = capped_behind(clause, behind) or by_what_comes(behind, rest, clause)
    if side is None and (found := WISHED.search(clause)):
        denied = DENIED.search(clause[: found.start()])
        side = None if denied else "upper" if found["under"] else "lower"
    # "four thou over six inches", "slide the shaft over about a foot", and what somebody saw
    seen = behind.startswith(("tops", ", tops")) and READ_OFF.search(clause)
    floor = FLOOR_AFTER.match(behind)
    capped = floor or CAP_AFTER.match(behind)
    spread = spread and before in {"over", "across"} and not capped and not _AT_ONCE.match(rest)
    if side is not None or seen or spread or _is_near(before) or MOVED_OVER.search(clause):
        return side or ""
    if bounded := _bounded(before, rest, clause):
        return bounded
    if UP_TO.search(before):
        held = AT_UP_TO.search(before) or MORE_UP_TO.search(before)
        if DONE_UP.search(before) or NEXT_UP.search(before) or FROM_THERE.match(behind):
            return ""  # "anvil bolts back up to forty"
        return "" if RAISING & set(before.split()) and not held else "upper"
    return compared(before, behind, rest, clause, parted=parted) or _said_behind(
        behind, rest, clause, fine=fine
    )


def _is_near(before: str) -> bool:
    """Whether a value is told by one close to it; "not a hair over three" is a limit."""
    found = NEARLY.search(before)
    return found is not None and not re.search(
        r"\b(?:no|not|never)$", before[: found.start()].strip()
    )


def _bounded(before: str, rest: str, clause: str) -> str:
    """Return the limit that the words right before a value tell: "no more than", "at least"."""
    if NORTH.search(before) and DENIES.search(clause):
        return "upper"
    near_is_bad = NOT_NEAR.search(before) or SO_LONG_AS.search(before)
    if near_is_bad or LOWEST.search(before):
        return "lower"
    if CAP.search(before) or MAX_OF.search(before) or HIGHEST.search(before):
        return "upper"
    feared = ASKING.search(clause) and BAD.search(in_plain_words(rest))
    if (FLOOR.search(before) and not (feared and NORTH.search(before))) or MIN_OF.search(before):
        return "lower"
    return ""


def _own_words(tokens: list[Token], amount: Amount, end: int, behind: str) -> tuple[str, str]:
    """Return the words behind a value without those that tell a limit of the next one."""
    later = between(tokens, amount.last, min(end, amount.last + 14))
    if end == len(tokens):
        return behind, f"{later} ."
    left = _OF_THE_NEXT.sub("", behind)
    if not _SIDE_BEHIND.search(between(tokens, end, min(end + 5, len(tokens)))):
        left = _NEXT_SIDE.sub("", left)
    return left, later if left or not behind else ""


# "two hundred millimetres, max two hundred and one": the limit is the one that follows.
_OF_THE_NEXT = re.compile(
    r"(?:, (?:max|min|maximum|minimum)(?: of| is)?"
    r"|, (?:and |but )?(?:the|my|our) (?:\w+ )?(?:max|maximum|limit|ceiling)(?: is| of| at|'s)?"
    r"|,? ?(?:and|but) (?:not|no|never|nothing|nowhere)"
    r" (?:a \w+ )?(?:less|more|under|over|below|above|higher|lower)(?: than)?"
    r"|(?:(?:each|either|both|per) (?:way|side|end)s? )?,? ?"
    r"\b(?:not|never|nowhere|nothing|no)(?: to)?(?: go| get| going)?"
    r" (?:an? (?:\w+ ){1,2})?(?:(?:less|more) than|under|over|below|above|past|beyond)"
    r"|,? ?(?:and |but |so )?(?:you|we|i|it|they|he|she|that)(?:'d|'ll| should| must)?"
    r" (?:want|wants|need|needs|have|get|gets|be|give|see|make|makes|leave|use)(?: it)?"
    r" at (?:the )?(?:very )?(?:least|most))$"
)
# "Eighty degrees maximum hundred", where no signs are written, and nothing tells of the hundred
_NEXT_SIDE = re.compile(r"^(?:absolute )?(?:max(?:imum)?|min(?:imum)?)$")
_SIDE_BEHIND = re.compile(
    r"\b(?:max(?:imum)?|min(?:imum)?|tops|most|least|limit|outside|minutes?|seconds?|hours?"
    r"|times)\b"
)
# "Two would be too much" tells of no reading.
_FOUND_TOO_MUCH = re.compile(rf"(?!(?:would|'d) be ){TOO_MUCH.pattern}")


def _said_behind(behind: str, rest: str, clause: str, *, fine: bool) -> str:
    """Read "max", "or less", "or better" behind the value."""
    sides = ("upper", "lower")
    if BETTER.match(behind):
        refused = REFUSED_BETTER.match(rest)
        return sides[0] if fine or refused or TIGHT.search(clause) else sides[1]
    cap, floor = CAP_AFTER.match(behind), FLOOR_AFTER.match(behind)
    if not (cap or floor):
        return ""
    # "three thou or more, and it's scrap": what is told is where it fails.
    open_end = re.search(r"^ ?,?(?:or|and up)\b", behind[:7])
    rejected = ASKING.search(clause) and BAD.search(rest) and open_end
    return sides[bool(floor) is not bool(rejected)]


def _aim_or_reading(clause: str, behind: str, rest: str, *, gauge: bool, setting: bool) -> str:
    """Tell what this unit measured from what is wanted, by the nearest word that says so."""
    measured = max((found.end() for found in MEASURED.finditer(clause)), default=-1)
    wanted = max((found.end() for found in WANTED.finditer(clause)), default=-1)
    until = max((found.end() for found in UNTIL.finditer(clause)), default=-1)
    if IS_WANTED.match(behind) or behind.lstrip(", ").startswith("nominal"):
        return "aim"
    seen = SEEN_PAST.search(clause) and not ASKING.search(clause)
    if seen or (wanted < 0 > until and ON_GAUGE.match(f" {behind}")):
        return "measured"
    if 0 <= until < measured and "got" not in clause:
        return "aim"
    if wanted < 0 and (gauge or "was" in clause) and WEAKLY_MEASURED.search(clause):
        return "measured"
    if measured > wanted:
        return "aim" if _told_by_others(clause, clause[:measured]) else "measured"
    if wanted >= 0:
        return "aim"
    if (not setting and _is_here(clause, behind)) or SO_GOOD.match(rest):
        return "measured"
    is_bare = gauge and BARE.fullmatch(clause) and not setting and not WANTED.search(behind)
    return "bare" if is_bare else "aim"


# "1.4 millimetres of lining left", "that's point three now"
_HAS = re.compile(r"\b(?:has|have|there's|there is|there are|'s got|they've|it's|is|'ve)"
                  r"(?: (?:about|only|just|still|a|an))*$")  # fmt: skip
_LEFT = re.compile(r"(?:of (?:[a-z]+ ){1,2})?left\b(?! (?:over|side|hand|to|of|for|and right)\b)")
_IT_IS = re.compile(r"(?:^|[ ,])(?:that's|it's|this is|we're|that is|it is)"
                    r"(?: (?:at|about|down to|up to))?$")  # fmt: skip
_NOW = re.compile(r"now ?(?:[.;!?]|,|$)")


# "0.6 goes in, 0.65 does not"
_GOES_IN = re.compile(
    r"(?:feeler |leaf |blade )?(?:(?:just |still )?(?:goes|slides|slips|fits) in\b"
    r"|(?:does not|doesn't|won't|will not)(?: go)?(?: in)? ?(?:[.,;!?]|$))"
)
_THICKEST_LEAF = 3


def _goes_in(amount: Amount, clause: str, behind: str) -> bool:
    """Whether somebody tells of a leaf of a feeler gauge that it goes in, or does not."""
    if not 0 < (amount.nominal or 0) < _THICKEST_LEAF or kind_of(amount.unit) not in {
        None,
        "length",
    }:
        return False
    fine = amount.form == "decimal" or amount.unit in {"thou", "mm", "µm"}
    return fine and not ASKING.search(clause) and bool(_GOES_IN.match(behind))


def _is_here(clause: str, behind: str) -> bool:
    """Whether a value is told of the part in hand, as it is or as it is now."""
    if HERE.match(behind):
        return True
    if ASKING.search(clause):
        return False
    left = _HAS.search(clause) and _LEFT.match(behind)
    return bool(left or (_IT_IS.search(clause) and _NOW.match(behind)))


# "It should be twelve millimetres, this is 12.9": right behind another value.
_THIS_IS = re.compile(r"(?:[ ,]*(?:but |and )?|(?:[a-z']+ ){1,4}(?:, )?)(?:this|these)(?: is| are)")


def _told_by_others(clause: str, told: str) -> bool:
    """Whether "says" or "get" is of the book or of you, not of the part in hand."""
    if SPEAKS.search(told) and OPINION.search(clause):
        return True
    if re.search(r"\bgets?$", told) and not re.search(r"\b(?:i|we|you) get$", told):
        return True
    return re.search(r"(?:you've|you'll have|if you have|they've) (?:got|have)$", told) is not None
