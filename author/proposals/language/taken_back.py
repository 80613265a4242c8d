"""What was begun and taken back: "the left, no, sorry, the right one" without its first try."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from author.checks.verbs import words as _words
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of

if TYPE_CHECKING:
    from author.proposals.language.loose_talk import LooseClause


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
_MOST = 5
_BEGINS = _words("no or scratch sorry i i'm i've tell my what listen hark god correction let")
"""Words these begin with: most are sought no further."""


ATTACHED = _words("a an the to of with by in on at for your my our its their from into than as")


def corrected(words: LooseClause) -> LooseClause:
    """Return the words without what "no, sorry" takes back: "the left, no sorry, the right"."""
    left: LooseClause = []
    at = 0
    while at < len(words):
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
