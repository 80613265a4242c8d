"""What was begun and taken back: "the left, no, sorry, the right one" without its first try."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of

if TYPE_CHECKING:
    from author.proposals.language.loose_words import LooseClause


OWNS_UP = (
    r"(?:(?:i )?tell a lie|i lie|i lied|i'm (?:lying|a liar|wrong)|my mistake|my bad"
    r"|i'm telling you (?:wrong|a lie|lies)|that's (?:the )?wrong(?: one| number)?(?= ,|,|$)"
    r"|(?:i'?ve|i) (?:said|told|got|read|given|gave)"
    r" (?:you |that |it |this |them )*wrong(?: there)?|what am i (?:saying|on about|talking about)"
    r"|listen to me|hark at me|god forgive me|correction|let me (?:correct|rephrase) that)"
)
"""How somebody owns up to have said it wrong, as part of a pattern."""
# "If you forget that, there's nothing there" takes nothing back.
UNSAYS = (
    r"(?:(?:scratch|strike) that|(?<!you )(?<!not )(?<!n't )(?<!to )(?<!and )(?<!or )(?<!never )"
    r"(?:scrap|forget|ignore) that)"
)
"""What takes back the words before it in so many words, as part of a pattern."""
BEGS_PARDON = r"(?:sorry(?: about that)?|excuse me|pardon me|(?:i )?beg your pardon|oops|whoops)"
"""What is said over a slip of the tongue, as part of a pattern."""
HALTS = r"(?:hang on|hold on|hang about|hold up)"
"""What stops short, as part of a pattern; alone it takes nothing back."""

_SORRY = re.compile(
    rf"(?:no (?:sorry|{UNSAYS}|(?:wait |{HALTS} )?{OWNS_UP})|or rather|scratch that|sorry"
    rf"|{OWNS_UP})(?= |$)"
)
# "Thirty, no hang on, twenty": only between two numbers.
_BETWEEN_NUMBERS = re.compile(
    rf"(?:{BEGS_PARDON} )?(?:no(?: (?:{BEGS_PARDON}|{HALTS}|wait|actually|i mean|not that))*"
    rf"|(?:{HALTS}|{BEGS_PARDON}|i mean|actually)(?: (?:no|{BEGS_PARDON}))?"
    rf"|wait(?: (?:no|{BEGS_PARDON}))?|or rather|{UNSAYS})"
    r"(?: (?:it's|make (?:that|it)|that's|that should be|i mean))?(?= |$)"
)
_MOST = 5
_BEGINS = _words("no or scratch sorry i i'm i've tell my what listen hark god correction let")
_LEAD_BACK = _words("no or scratch strike scrap forget ignore sorry excuse pardon beg i hang hold")
_LEAD_BACK |= _words("wait actually oops whoops")
"""Words these begin with: most are sought no further."""


_SPOKEN = (NUMBERS | _words("point nought zero oh hundred thousand half quarter")) - {"a", "an"}
ATTACHED = _words("a an the to of with by in on at for your my our its their from into than as")


def corrected(words: LooseClause) -> LooseClause:
    """Return the words without what "no, sorry" takes back: "the left, no sorry, the right"."""
    left: LooseClause = []
    at = 0
    while at < len(words):
        if words[at].low in _LEAD_BACK and (behind := _number_again(left, words, at)):
            at = behind
            continue
        begins = words[at].low in _BEGINS
        found = begins and _SORRY.match(" ".join(word.low for word in words[at : at + _MOST]))
        size = len(found[0].split()) if found else 0
        if size == 2 and words[at].low == "scratch" and _named_there(words, at + size):
            size = 0
        size = size if size > 1 or left else 0
        if not size:
            left.append(words[at])
            at += 1
            continue
        after = words[at + size].low if at + size < len(words) else ""
        back = [
            place for place in range(max(0, len(left) - 8), len(left)) if left[place].low == after
        ]
        if back:
            del left[back[-1] :]
        at += size
    return left


_UNIT_WORDS, _FAR = 3, 8
"""Words of a unit behind a number, "pounds per inch"; and back to which it is sought."""
_NO_MORE = _words("more other others of further are is")


def _number_again(left: LooseClause, words: LooseClause, at: int) -> int:
    """Take back a number in whose place another is said; return the place behind it, else 0.

    Args:
        left: the words before, in which the number is put right.
        words: of the sentence.
        at: where what takes back may begin: "sixty five | no sorry fifty five millimetres".
    """
    found = _BETWEEN_NUMBERS.match(" ".join(word.low for word in words[at : at + _MOST + 2]))
    begin = end = at + len(found[0].split()) if found else at
    while end < len(words) and _is_number(words[end].low) and _joined(words, end, begin):
        end += 1
    if found is None or end == begin or (end < len(words) and words[end].low in _NO_MORE):
        return 0
    unit = words[end].low if end < len(words) and not words[end - 1].mark else ""
    first, last = _number_before(left, unit)
    pause = bool(words[begin - 1].mark)
    if first == last or not _takes_back(found[0], pause=pause, apart=last < len(left)):
        return 0
    new, units, again = words[begin:end], left[last:], words[end:]
    same = 0
    while same < min(len(units), len(again)) and units[same].low == again[same].low:
        same += 1
    if units and not same:
        units[-1] = replace(units[-1], mark=new[-1].mark)
        new[-1] = replace(new[-1], mark="")
    left[first:] = [*new, *again[:same], *units[same:]]
    return end + same


def _joined(words: LooseClause, at: int, begin: int) -> bool:
    return at == begin or not words[at - 1].mark


def _number_before(left: LooseClause, unit: str) -> tuple[int, int]:
    """Return where the number stands that is put right: the last one, or that of the same unit."""
    near = range(len(left) - 1, max(0, len(left) - _FAR), -1)
    same = [at for at in near if left[at].low == unit and _is_number(left[at - 1].low)]
    last = same[0] if unit and same else len(left)
    while not same and last and len(left) - last < _UNIT_WORDS:
        if _is_number(left[last - 1].low):
            break
        last -= 1
    first = last
    while first and _is_number(left[first - 1].low) and (first == last or not left[first - 1].mark):
        first -= 1
    return (last, last) if any(one.mark for one in left[first : len(left) - 1]) else (first, last)


def _takes_back(back: str, *, pause: bool, apart: bool) -> bool:
    """Whether words take a number back: "no two are alike", "hold on two bolts" do not.

    Args:
        back: the words.
        pause: whether there is one behind them.
        apart: whether a unit stands before them.
    """
    if back in {"no", "actually"}:
        return pause or not apart
    return back not in _HALTED or (pause and not apart)


_HALTED = frozenset({"wait", "hang on", "hold on", "hang about", "hold up"})


def _is_number(low: str) -> bool:
    """Whether a word is a number or a part of one."""
    return low in _SPOKEN or low[:1].isdigit()


def _named_there(words: LooseClause, at: int) -> bool:
    """Whether a thing is named: "you scratch that groove" takes nothing back."""
    on = at < len(words) and not words[at - 1].mark
    return on and trade_words().kind_of(words[at].low) is not None


def restarted(words: LooseClause) -> LooseClause:
    """Return the words without a beginning that is taken up again behind a sign."""
    left = list(words)
    for at in range(len(left) - 1, 0, -1):
        if not left[at - 1].mark:
            continue
        broken = left[at - 1].low in ATTACHED
        for size in (4, 3, 2, 1):
            start = at - size
            again = [word.low for word in left[at : at + size]]
            if size > 1 or broken or base_of(left[at - 1].low):
                for begin in range(max(0, start - broken), start + 1):
                    if again and [w.low for w in left[begin : begin + size]] == again:
                        if begin + size > at or at - begin > size + 1:
                            continue
                        del left[begin:at]
                        return restarted(left) if len(left) < 400 else left
    return left
