"""Values a speaker takes back: "forty, no, sorry, forty-five"."""

from __future__ import annotations

import re

from author.proposals.language.taken_back import BEGS_PARDON, HALTS, OWNS_UP, UNSAYS
from author.proposals.quantities.amounts.amount import Amount, alike, between, likely, same_size
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.first_tries import put_better
from author.proposals.quantities.amounts.units import VAGUE, kind_of
from author.proposals.quantities.numbers.parts import BELOW_HUNDRED, NUMBER_NAMES
from author.proposals.quantities.numbers.tokens import Token

_IS_WRONG = r"that's (?:wrong|not right|a lie)"
_MARK = (
    rf"(?:no,? (?:wait|sorry|hang on|hold on|no)|no|wait,? no|{UNSAYS}|{OWNS_UP}|{BEGS_PARDON}"
    rf"|{_IS_WRONG}|{HALTS}|i mean|i meant|i meant to say|make that|make it|nah|naw|nope|whoa"
    r"|actually|or rather|rather|wrong|(?:or )?let's say|(?:or )?let me say|no ma'am|no sir"
    r"|no,? hark at me|did i say|wait)"
)
_GLUE = (
    r"(?:it's|it is|its|that's|that is|it should be|that should be|should be"
    r"|should have said|i should have said|i meant"
    r"|they're|they are|make it|make that|call it|it wants to be|we want|you want|do|to|at"
    r"|about|a|the|that|not|between|from|of|more like)"
)
_DOUBT = r"(?:(?:is it|was it|i think|i believe|i reckon|i want to say)[,. –—-]+)?"
# Words may be parted into these in many ways: match only what ``between`` has kept short.
_FIX = re.compile(rf"[,. –—-]*{_DOUBT}{_MARK}(?:[,. –—-]+{_MARK})*(?:[,. –—-]+{_GLUE})*[,. –—-]*")
_OPENS = r"(?:(?:oh|ah|uh|er|erm|um|and|so|but|well|now)[, ]+)*"
_STARTS = re.compile(rf"{_OPENS}{_MARK}(?:[,. –—-]+{_MARK})*(?:[,. –—-]+{_GLUE})*[,. –—-]*")
_IT_IS = r"(?:it's|it is|this one(?:'s| is| gets| wants| takes)?|these(?: are| get| want| take)?)"
_STARTS_FAR = re.compile(
    rf"{_OPENS}(?:no,? wait|no,? sorry|wait,? no|sorry|scratch that)\b.* (?:it's|is|one's"
    r"|should be|wants|takes|gets)"
    rf"|{_OPENS}(?:no|sorry|wait|hang on|hold on|whoops|oops)\b.* wrong (?:line|one|page|column"
    r"|row|sheet|table|figure|number|box) ?,"
    # "Hang on, I've told you wrong, the front guard's six"
    rf"|{_OPENS}(?:{_MARK}[, ]+)*{OWNS_UP}[, ]+(?:the |this |that )?(?:[a-z-]+ ){{0,4}}"
    r"(?:[a-z-]+'s|is|are|gets?|takes?|wants?)"
    # "Er, no, that's the tilt cylinder, it's two eighty"
    rf"|{_OPENS}(?:no|nah|nope|wait)[, ]+(?:{_MARK}[, ]+)*(?:that's|that is|that was|those are"
    r"|they're|it's) (?:the|for|on|off|what)(?! (?:limit|max|min|spec|least|most))(?: [a-z-]+){1,5}"
    rf" ?, {_IT_IS}(?: (?:at|to|about))?"
)
_FAR = re.compile(
    rf"[,. ]*(?:no,? (?:hang on|hold on|wait|sorry)|scratch that|sorry)\b.* (?:are|is"
    rf"|it's|one's|be|gets?|takes?)"
    rf"|[,. ]*(?:no|wait|sorry)\b.* {_MARK}[,. ]*"
)
# "fifty, then fifty again, no wait, that's the old model, this one's eighty"
_THIS_ONE = re.compile(
    rf"[,. –—-]*(?:again )?[,. –—-]*{_MARK}(?:[, ]+{_MARK})*[,. –—-]*(?:that's|that is|those are"
    r"|that was|they're)(?: [a-z]+){1,4} ,? ?(?:this one(?:'s| is| gets| wants| takes)?|these"
    r"(?: ones)?(?: are| get| want| take)?)(?: (?:at|to))?"
)
# "four hundred, ah no, that was the old type, with four hundred and twenty": the mark
# stands right behind the value, then comes why, then the value that is meant.
SAID_WRONG = (
    r"(?:(?:no|nah|naw|nope|nae)[, ]+(?:wait|sorry|hang on|hang about|hold on|hold up|no|not that"
    r"|nah|actually|i'm (?:a liar|lying|wrong)|god forgive me|bull\w*|rubbish"
    rf"|{UNSAYS})"
    rf"|wait,? no|wait(?= ?,? (?:that|it|no|i|this|let)\b)|{BEGS_PARDON}|{UNSAYS}|{HALTS}|{OWNS_UP}"
    rf"|{_IS_WRONG}|it's not|that isn't right|it isn't|nah|naw|nope|no(?= ?,)"
    r"|no(?= (?:ma'am|sir|hark|mate|love|lads?|folks|my|me|wrong|look|hear|silly|stupid|daft"
    r"|read|reading|idiot|dear|god|lord|christ|hell|damn|bugger|sod|blast|trust|typical|tell"
    r"|wrong)\b)"
    r"|no(?= (?:that|that's|it|its|it's|i|the|this|these|those|what|let|make|you|we|they|not"
    r"|actually|rather)\b))"
)
"""Words right behind a value that take it back, as part of a pattern."""
INTERJECTION = r"(?:(?:ah|oh|ai|ay|ach|och|uh|er|ooh|aw|oi|well|but|and|actually)[, ]+)?"
"""What may be sighed before a value is taken back, as part of a pattern."""
_WHY_THEN = re.compile(rf"[,. –—-]*(?:is (?:it|that)[, ]+)?{INTERJECTION}{SAID_WRONG}\b[^.;?]*")
# What may stand before a "no" that is set apart by commas, and that "no".
_SIGHS = (
    r"(?:(?:ah|oh|ai|ay|ach|och|uh|um|er|erm|ooh|aw|oi|well|but|and|or|then|shoot|damn|bugger"
    r"|blast|…)[, ]+)*"
)
_NO = rf"(?:{SAID_WRONG}|(?:no|nope|nah|naw|nay|nae|nee|nej|nein|wait)(?= ?,))"
_LATE = re.compile(
    r"(?! ?(?:and|or|to|then|but)\b)[a-z' ]{1,40}"
    r"(?:(?<= )(?:nope|nah|naw|nay|nee)\b|"
    rf"[,–—][ ,]*{_SIGHS}(?:(?:no|nope|nah|naw|nay|nae|nee|wait|hang on|sorry) ,|scratch that"
    r"|no sorry|no(?= (?:that's|that is|those are|it's for)\b)))"
    r"[^.;?]*"  # "a turn past where it bites, no, I'm ahead of myself, two"
)
# "Eleven mil from the seat when the impeller's on, sorry, twelve"
_AT_LAST = re.compile(
    r"(?! ?(?:and|or|to|then|but)\b)[a-z' ]{1,80}[, ]+(?:no,? )?(?:sorry|scratch that|correction)"
    r"[, ]*(?:it's|that's|make that)?[, ]*"
)
# "Under one volt, no, excuse me, I say it wrong, under five volts": however far apart they are.
_OWNED_UP = re.compile(r"\b(?:wrong|a lie|a liar|mistake|misread|excuse me)\b")
# Before the same value said again: "750 on there, oh no, 750's the big one".
_NO_THEN = re.compile(
    rf"(?:[a-z' ]{{1,40}}(?=[, ]))?[,. –—-]*{_SIGHS}(?:{_NO}|no)(?:[, ]+(?:{_NO}|no|wait|bull\w*"
    rf"|mate|a|the))*[, –—-]*"
)
_IS_OTHER = re.compile(
    r"(?:' ?s|is|was|are|were|goes|would be|will be|'d be)\b|(?:too|for|on) (?:much|the)\b|the\b"
)
_POINTS_OUT = frozenset({"this", "that", "the", "these", "those", "another", "other", "which",
                         "each", "every", "any", "my", "your", "our", "old", "new"})  # fmt: skip
_WEAK = frozenset({"hang about", "hold up", "nah", "naw", "nope", "whoa", "wait", "no", "actually",
                   "make it", "hang on", "hold on", "wrong", "rather"})  # fmt: skip
_EMPHASIS = re.compile(r",? ?(?:and |so )?not(?: the)?")
_UNIT_AFTER = re.compile(
    rf"[,. ]*{_MARK}(?:[, ]+{_MARK})*(?:[, ]+(?:that's|it's|make that|i meant))?[, ]*$"
)

# "five mils, millilitres I mean"
_I_MEAN = re.compile(
    r",? ?(?:i (?:mean|meant|should say)|sorry|that is|rather|is what i mean|not)\b"
)


def correct_within(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts of a sentence without those that were taken back in it.

    What takes the place of another begins where the other began, so that the words before
    that still tell its role.
    """
    kept: list[Amount] = []
    given_up_at = 0
    for amount in put_better(tokens, amounts):
        if _is_pronoun(tokens, amount):
            continue
        before = kept[-1] if kept else None
        if before is not None and is_lettered(tokens, before) and len(kept) > 1:
            before = kept[-2] if _likely_again(tokens, kept[-2], kept[-1], amount) else before
            if before is not kept[-1]:
                kept.pop()
        words = between(tokens, before.last, amount.first) if before else ""
        if before is not None and _was_of_another(tokens, before, amount, words):
            kept.pop()
            if amount.unit is None:
                amount.unit = before.unit
                amount.flags.add("carried")
            kept.append(amount)
            continue
        if before is not None and is_given_up(tokens, before, amount, words):
            given_up_at = amount.last
            continue
        close = given_up_at and amount.first - given_up_at <= _MOST_WHY
        of_this = before is not None and bool(_THIS_ONE.fullmatch(words))
        if before is not None and (close or of_this) and likely(before, amount):
            given_up_at = 0
            _take_back(kept, amount, again=of_this)
            kept.append(_with_other_unit(tokens, amount))
            continue
        given_up_at = 0
        if before is not None and _is_other_size(before, amount, words):
            kept.pop()
            amount.flags.add("corrected")
        if before is None or before.form in {"thread", "size"}:
            kept.append(_with_other_unit(tokens, amount))
            continue
        ahead = tokens[before.first - 1].low if before.first else ""
        denied = ahead == "not" and re.fullmatch(r",? ?(?:but |it's |that's )?", words)
        if _EMPHASIS.fullmatch(words) and amount.is_plain() and alike(before, amount):
            before.unit, before.last = before.unit or amount.unit, amount.last
            before.denied = amount.nominal
            continue
        given_up = _was_a_name(tokens, before, words)
        if alike(before, amount) and (given_up or denied or takes_back_in(words, amount, before)):
            kept.pop()
            _replace(before, amount)
            amount.first = before.first - (1 if denied else 0)
        kept.append(_with_other_unit(tokens, amount))
    return kept


_SAYS_OF_IT = ("is", "was", "that's", "takes", "gets", "wants", "'s")
_ANEW = re.compile(r",? ?(?:and |so |but )?(?:it's|this one's|these are|this is|they're|ours is)")


def _was_a_name(tokens: list[Token], before: Amount, words: str) -> bool:
    """Whether what took the place of a value is only the name of what that was of.

    "Twelve, no, hold on, that's the big pump, the 28 is nine"; "that's the 1600, it's nine".
    """
    if "corrected" not in before.flags or before.form != "whole":
        return False
    bare = tokens[before.last - 1].kind == "digits" or tokens[before.last - 1].low in NUMBER_NAMES
    if not bare:
        return False
    named = any(token.low == "the" for token in tokens[before.last - 3 : before.last - 1])
    said = words.split(" ", maxsplit=1)[0] in _SAYS_OF_IT and (before.unit is None or named)
    return said or (named and _ANEW.fullmatch(words) is not None)


_MOST_WHY = 14


def _take_back(kept: list[Amount], amount: Amount, *, again: bool) -> None:
    """Let an amount take the place of the last, and of the same value said before that."""
    last = kept.pop()
    _replace(last, amount)
    while again and kept and kept[-1].is_plain() and kept[-1].nominal == last.nominal:
        last = kept.pop()
        _replace(last, amount)
    amount.first = last.first


def _is_other_size(before: Amount, amount: Amount, words: str) -> bool:
    """Whether a thread or a size takes the place of one before: "three-eighths, no, M8"."""
    if amount.form not in {"thread", "size"} or before.form not in {"thread", "size", "fraction"}:
        return False
    found = _FIX.match(words)
    return found is not None and words[found.end() :] in {"", "it is", "it's", "that's", "an", "a"}


def is_lettered(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number is part of a name: "the H three"."""
    before = tokens[amount.first - 1].low if amount.first else ""
    bare = amount.unit is None and amount.form in {"whole", "spelled"}
    lettered = len(before) == 1 and before.isalpha() and before not in {"a", "i"}
    return bare and (lettered or before in {"grade", "type", "mark", "model", "class", "size"})


def _likely_again(tokens: list[Token], old: Amount, name: Amount, amount: Amount) -> bool:
    """Whether a name stands in the reason why a value is taken back: "no, that's the H three"."""
    why = between(tokens, old.last, name.first)
    return bool(_WHY_THEN.fullmatch(why)) and likely(old, amount)


def is_given_up(tokens: list[Token], before: Amount, amount: Amount, words: str) -> bool:
    """Whether a value is said again only to say of what else it is: "no, 750's the big one".

    Args:
        tokens: of the sentence.
        before: the value as it was said first, in this sentence or one before.
        amount: the value said again.
        words: what stands between, or before it in its own sentence.
    """
    if not (before.is_plain() and amount.is_plain()) or before.nominal != amount.nominal:
        return False
    if not alike(before, amount) or not _NO_THEN.fullmatch(words):
        return False
    last = tokens[amount.last - 1]
    clipped = last.text.lower().endswith("s") and not last.low.endswith("s")  # "forty's"
    behind = between(tokens, amount.last, min(amount.last + 3, len(tokens)))
    return clipped or _IS_OTHER.match(behind) is not None


def _was_of_another(tokens: list[Token], before: Amount, amount: Amount, words: str) -> bool:
    """Whether only what a value is of was wrong: "six, no wait, six was the eye end"."""
    same = before.is_plain() and amount.is_plain() and before.nominal == amount.nominal
    behind = tokens[amount.last].low if amount.last < len(tokens) else ""
    return same and behind == "was" and _FIX.fullmatch(words) is not None


def explains_away(tokens: list[Token]) -> bool:
    """Whether a sentence without a value takes back the one before: "No, that's the old one"."""
    words = between(tokens, 0, min(12, len(tokens)))
    return _EXPLAINED.match(words) is not None


def breaks_off(tokens: list[Token], after: int) -> bool:
    """Whether a sentence ends, behind its last value, by taking it back: "8, no, it moved"."""
    words = between(tokens, after, len(tokens)).strip(" ,.")
    return words.partition(" ")[0] not in _JOINING and _BROKEN_OFF.fullmatch(words) is not None


def comes_out(tokens: list[Token], amount: Amount) -> bool:
    """Whether a sentence begins with the value that is meant after all: "Yeah, no, 150"."""
    return _COMES_OUT.fullmatch(between(tokens, 0, amount.first).strip(" ,.")) is not None


_JOINING = frozenset({"and", "or", "then", "to"})
_BROKEN_OFF = re.compile(rf"{INTERJECTION}{SAID_WRONG}\b.{{0,60}}")
_COMES_OUT = re.compile(
    r"(?:(?:yeah|yep|yes|no|nah|again|right|okay|ok|so|there|here we go|that's better|oh|sorry"
    r"|it's|it is|that's|they're|should be|it says|sheet says|book says|make it|make that"
    r"|once more|try again|one more time)[,. ]*)*"
)
_EXPLAINED = re.compile(
    rf"{INTERJECTION}{SAID_WRONG}[, ]+.{{0,20}}\b(?:that's|that is|that was|it's|those are|i'm"
    r" (?:thinking|reading|looking)|i was (?:thinking|reading|looking)|wrong)\b"
)


def _is_pronoun(tokens: list[Token], amount: Amount) -> bool:
    """Whether "one" only stands for a thing: "the older one"."""
    whole = amount.unit is None and amount.form == "whole" and amount.last == amount.first + 1
    if not whole or tokens[amount.first].low != "one":
        return False
    near = tokens[max(0, amount.first - 3) : amount.first]
    after = tokens[amount.last] if amount.last < len(tokens) else None
    if after is not None and (after.kind == "digits" or after.low in BELOW_HUNDRED):
        return False
    return (
        any(token.low in _POINTS_OUT for token in near)
        and near[-1].kind == "word"
        and (near[-1].low not in _NO_NOUN)
    )


_NO_NOUN = frozenset({"is", "at", "to", "about", "of", "than", "reads", "says", "by", "or", "and",
                      "between", "from", "point", "just", "only", "was", "got",
                      "like"})  # fmt: skip


def takes_back(tokens: list[Token], amount: Amount) -> bool:
    """Whether a sentence begins by taking back what the one before said.

    Args:
        tokens: of the sentence.
        amount: its first amount.
    """
    words = between(tokens, 0, amount.first)
    low = {token.low for token in tokens}
    if amount.first == 0 and low & {"wrong", "misread", "mistake"}:
        return True
    if words and _STARTS_FAR.fullmatch(words):
        return True
    found = _STARTS.fullmatch(words) if words and words != "…" else None
    return found is not None and _is_meant(words.strip(" ,.-"), amount, tokens)


def replaces(before: Amount, amount: Amount) -> bool:
    """Let an amount take the place of one said in an earlier sentence, if it can."""
    if not alike(before, amount) or before.form in {"thread", "size"}:
        return False
    _replace(before, amount)
    return True


def _is_meant(mark: str, amount: Amount, tokens: list[Token]) -> bool:
    if mark == "wait":
        comma = amount.first and tokens[amount.first - 1].low == ","
        return bool(comma) and kind_of(amount.unit) != "time"
    return not (mark == "no" and amount.form in {"range"} and amount.unit is None)


def takes_back_in(words: str, amount: Amount, before: Amount) -> bool:
    """Whether words between two values of a sentence take the first one back.

    Args:
        words: what stands between them.
        amount: the second value.
        before: the first.
    """
    if _FAR.fullmatch(words):
        return True
    later = amount.unit in {None, before.unit} and _AT_LAST.fullmatch(words)
    if later or _WHY_THEN.fullmatch(words) or _LATE.fullmatch(words):
        owned = before.unit is not None and before.unit == amount.unit and _OWNED_UP.search(words)
        if owned or same_size(before, amount):
            return True
    found = _FIX.fullmatch(words)
    if not found:
        return False
    mark = words.strip(" ,.-")
    if mark == "wait":
        return kind_of(amount.unit) == kind_of(before.unit) and words != "wait"
    return (
        mark not in _WEAK
        or (words.strip() != "" and kind_of(amount.unit) is not None)
        or (amount.unit is None)
    )


def _replace(before: Amount, amount: Amount) -> None:
    amount.flags.add("corrected")
    other = amount.bottom in {10, 100} and before.unit in {"thou", "µm"}
    if amount.unit is None and before.unit is not None and not other:
        amount.unit = before.unit
        amount.flags.add("carried")
        amount.why.append("the unit is the one of the value it takes the place of")
    single = amount.is_plain() and before.form == "range" and before.upper is not None
    low, high = before.lower, amount.nominal
    if single and low is not None and high is not None and high > low:
        amount.lower, amount.upper = low, high
        amount.nominal, amount.form = None, "range"


def _with_other_unit(tokens: list[Token], amount: Amount) -> Amount:
    """Follow "twenty-two foot pounds, sorry, inch pounds"."""
    if amount.unit is None:
        return amount
    for at in range(amount.last + 1, min(amount.last + 7, len(tokens))):
        unit = plain_unit_at(tokens, at)
        if unit is None:
            continue
        words = between(tokens, amount.last, at)
        behind = between(tokens, unit.last, min(unit.last + 3, len(tokens)))
        meant = words == "," and _I_MEAN.match(behind) and unit.symbol not in VAGUE
        if meant and unit.symbol != amount.unit:
            amount.unit, amount.last = unit.symbol, unit.last
            amount.flags.add("corrected")
            break
        same = kind_of(unit.symbol) == kind_of(amount.unit)
        if same and _UNIT_AFTER.fullmatch(words) and unit.symbol != amount.unit:
            amount.unit, amount.last = unit.symbol, unit.last
            amount.flags.add("corrected")
        break
    return amount
