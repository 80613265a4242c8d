"""Values a speaker takes back: "forty, no, sorry, forty-five"."""

from __future__ import annotations

import re

from author.proposals.number_tokens import Token
from author.proposals.quantity_amount import Amount, between
from author.proposals.quantity_units import VAGUE, kind_of, plain_unit_at

_MARK = (
    r"(?:no,? (?:wait|sorry|hang on|hold on|no)|no|sorry|wait,? no|scratch that"
    r"|strike that|correction"
    r"|i mean|i meant|i meant to say|make that|make it|i tell a lie|tell a lie|i lied"
    r"|my mistake|my bad|hang on"
    r"|hold on|actually|or rather|rather|excuse me|pardon me|beg your pardon"
    r"|i beg your pardon|let me correct that"
    r"|let me rephrase that|that's wrong|that's not right|that's a lie|wrong|oops|whoops"
    r"|i said that wrong|sorry about that|did i say|wait)"
)
_GLUE = (
    r"(?:it's|it is|its|that's|that is|it should be|that should be|should be"
    r"|should have said|i should have said|i meant"
    r"|they're|they are|make it|make that|call it|it wants to be|we want|you want|do|to|at"
    r"|about|a|the|that|not|between|from|of|more like)"
)
_FIX = re.compile(rf"[,. –—-]*{_MARK}(?:[,. –—-]+{_MARK})*(?:[,. –—-]+{_GLUE})*[,. –—-]*")
_STARTS = re.compile(
    rf"(?:(?:oh|uh|and|so|but|well"
    rf"|now)[, ]+)*{_MARK}(?:[,. –—-]+{_MARK})*(?:[,. –—-]+{_GLUE})*[,. –—-]*"
)
_STARTS_FAR = re.compile(
    r"(?:oh )?(?:no,? wait|no,? sorry|wait,? no|sorry|scratch that)\b.* (?:it's|is|one's"
    r"|should be|wants|takes|gets)"
)
_FAR = re.compile(
    rf"[,. ]*(?:no,? (?:hang on|hold on|wait|sorry)|scratch that|sorry)\b.* (?:are|is"
    rf"|it's|one's|be|gets?|takes?)"
    rf"|[,. ]*(?:no|wait|sorry)\b.* {_MARK}[,. ]*"
)
# "four hundred, ah no, that was the old type, with four hundred and twenty": the mark
# stands right behind the value, then comes why, then the value that is meant.
_WHY_THEN = re.compile(
    r"[,. –—-]*(?:(?:ah|oh|but|well|and),? )?(?:wait,? no|no,? (?:wait|sorry|hang on|hold on)|sorry"
    r"|scratch that|hang on|what am i saying|tell a lie|no(?= ?,)"
    r"|no(?= (?:that|it|its|i|the|this|these|those|what|let|make|you|we|they|not|actually"
    r"|rather)\b))"
    r"\b[^.;?]*"
)
_WEAK = frozenset({"wait", "no", "actually", "make it", "hang on", "hold on", "wrong", "rather"})
_EMPHASIS = re.compile(r",? ?(?:and |so )?not(?: the)?")
_UNIT_AFTER = re.compile(
    rf"[,. ]*{_MARK}(?:[, ]+{_MARK})*(?:[, ]+(?:that's|it's|make that|i meant))?[, ]*$"
)


def correct_within(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts of a sentence without those that were taken back in it.

    What takes the place of another begins where the other began, so that the words before
    that still tell its role.
    """
    kept: list[Amount] = []
    for amount in amounts:
        before = kept[-1] if kept else None
        words = between(tokens, before.last, amount.first) if before else ""
        if before is not None and before.form == amount.form == "thread":
            found = _FIX.match(words)
            if found and words[found.end() :] in {"", "it is", "it's", "that's", "an", "a"}:
                kept.pop()
                amount.flags.add("corrected")
        if before is None or before.form in {"thread", "size"}:
            kept.append(_with_other_unit(tokens, amount))
            continue
        ahead = tokens[before.first - 1].low if before.first else ""
        denied = ahead == "not" and re.fullmatch(r",? ?(?:but |it's |that's )?", words)
        if _EMPHASIS.fullmatch(words) and amount.is_plain() and _alike(before, amount):
            before.unit, before.last = before.unit or amount.unit, amount.last
            continue
        given_up = (
            "corrected" in before.flags and before.unit is None
            and words.startswith(("is ", "was ", "that's "))
        )  # fmt: skip
        if _alike(before, amount) and (given_up or denied or _takes_back(words, amount, before)):
            kept.pop()
            _replace(before, amount)
            amount.first = before.first - (1 if denied else 0)
        kept.append(_with_other_unit(tokens, amount))
    return kept


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
    if not _alike(before, amount) or before.form in {"thread", "size"}:
        return False
    _replace(before, amount)
    return True


def _is_meant(mark: str, amount: Amount, tokens: list[Token]) -> bool:
    if mark == "wait":
        comma = amount.first and tokens[amount.first - 1].low == ","
        return bool(comma) and kind_of(amount.unit) != "time"
    return not (mark == "no" and amount.form in {"range"} and amount.unit is None)


def _takes_back(words: str, amount: Amount, before: Amount) -> bool:
    if _FAR.fullmatch(words):
        return True
    if _WHY_THEN.fullmatch(words) and _same_size(before, amount):
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


def _same_size(before: Amount, amount: Amount) -> bool:
    """Whether one value can stand where the other was meant: no more than thrice as large."""
    one, other = (x.nominal or x.upper or x.lower for x in (before, amount))
    return bool(one and other) and max(one or 0, other or 0) <= 3 * min(one or 0, other or 0)


def _alike(before: Amount, amount: Amount) -> bool:
    if amount.form in {"thread", "size"} or before.unit is None or amount.unit is None:
        return amount.form not in {"thread", "size"}
    if before.unit == amount.unit:
        return True
    if before.unit in VAGUE or amount.unit in VAGUE:
        return {before.unit, amount.unit} & {"mm", "°C", "°F", "°", "thou"} != set()
    return kind_of(before.unit) == kind_of(amount.unit)


def _replace(before: Amount, amount: Amount) -> None:
    amount.flags.add("corrected")
    if amount.unit is None and before.unit is not None:
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
        same = kind_of(unit.symbol) == kind_of(amount.unit)
        if same and _UNIT_AFTER.fullmatch(words) and unit.symbol != amount.unit:
            amount.unit, amount.last = unit.symbol, unit.last
            amount.flags.add("corrected")
        break
    return amount
