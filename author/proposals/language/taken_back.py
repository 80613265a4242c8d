"""What was begun and taken back: "the left, no, sorry, the right one" without its first try."""

from __future__ import annotations

from typing import TYPE_CHECKING

from author.checks.verbs import words as _words
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of

if TYPE_CHECKING:
    from author.proposals.language.loose_talk import LooseClause


_SORRY = {("no", "sorry"), ("or", "rather"), ("scratch", "that"), ("sorry",), ("correction",)}


ATTACHED = _words("a an the to of with by in on at for your my our its their from into than as")


def corrected(words: LooseClause) -> LooseClause:
    """Return the words without what "no, sorry" takes back: "the left, no sorry, the right"."""
    if not any(word.low in {"sorry", "rather", "scratch", "correction"} for word in words):
        return words
    left: LooseClause = []
    at = 0
    while at < len(words):
        pair = tuple(word.low for word in words[at : at + 2])
        if pair == ("scratch", "that") and at + 2 < len(words) and not words[at + 1].mark:
            pair = ("scratch", "it") if _named_there(words, at + 2) else pair
        size = 2 if pair in _SORRY else 1 if pair[:1] in _SORRY and left else 0
        after = words[at + size].low if at + size < len(words) else ""
        back = [
            place for place in range(max(0, len(left) - 8), len(left)) if left[place].low == after
        ]
        if size and back:
            del left[back[-1] :]
            at += size
        elif size:
            at += size
        else:
            left.append(words[at])
            at += 1
    return left


def _named_there(words: LooseClause, at: int) -> bool:
    """Whether a thing is named: "you scratch that groove" takes nothing back."""
    return trade_words().kind_of(words[at].low) is not None


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
