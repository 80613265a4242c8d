"""Cuts loose talk into clauses and takes away what only leads up to the words that matter."""

from __future__ import annotations

import re
from dataclasses import dataclass

from author.checks.verbs import CLEAR_VERBS
from author.checks.verbs import words as _words
from author.proposals.closed_words import NUMBERS
from author.proposals.plain_words import plain
from author.proposals.trade_words import trade_words
from author.proposals.word_forms import base_of

_CLEANED = re.compile(r"[^\w\s,;:.!?–—…'’°%/×+&()-]")
_MOST_LETTERS = 2000
_SORRY = {("no", "sorry"), ("or", "rather"), ("scratch", "that"), ("sorry",), ("correction",)}
_SUBJECTS = _words("i we you i'm we're you're i've we've you've i'll we'll you'll let's")
_JOINERS = _words("and then but so")
_CONTRACTED = {"gonna", "wanna", "gotta", "hafta", "hasta", "needa", "needsta", "tryna"}
_CONDITIONS = _words("if when once before after unless while until whenever")
_ATTACHED = _words("a an the to of with by in on at for your my our its their from into than as")


@dataclass(frozen=True, slots=True)
class Said:
    """A word of a clause.

    Attributes:
        low: as the rules read it.
        shown: as it is written.
        mark: the signs behind it.
    """

    low: str
    shown: str
    mark: str = ""


Clause = list[Said]


def read(text: str) -> Clause:
    """Return the words of a text without fillers, repeats and what was taken back."""
    clean = " ".join(_CLEANED.sub(" ", text[:_MOST_LETTERS]).split())
    seen = plain(clean)
    words = [
        Said(low, _shown(low, clean[begin:end]), mark)
        for low, begin, end, mark in zip(
            seen.words, seen.begins, seen.ends, seen.marks, strict=True
        )
    ]
    return _restarted(_corrected(_apart(words)))


def _apart(words: Clause) -> Clause:
    """Return the words without "go ahead and", and "here is" as two words again."""
    left: Clause = []
    for at, word in enumerate(words):
        if (
            word.low == "and"
            and at > 1
            and words[at - 1].low in {"ahead", "on"}
            and (words[at - 2].low == "go")
        ):
            del left[-2:]
        elif word.low == "like" and _number(words, at + 1):
            continue
        elif " " in word.shown and word.low.endswith("'s"):
            first, second = word.shown.split(" ", 1)
            left += [Said(first, first), Said(second, second, word.mark)]
        else:
            left.append(word)
    return left


def _number(words: Clause, at: int) -> bool:
    low = words[at].low if at < len(words) else ""
    return low in NUMBERS or low[:1].isdigit()


def _shown(low: str, said: str) -> str:
    """Return a word in small letters, but names in capitals and what holds digits."""
    letters = said.replace("-", "")
    if low in {"until", "them", "i", "i'm", "i've", "i'll", "i'd"} and " " not in said:
        return low
    if " " in said:
        return said.lower()
    if any(sign.isdigit() for sign in said) or (letters.isupper() and len(letters) < 6):
        return said if said != "A" else "a"
    if said[:1].isupper() and said[1:2] == "-":
        return said[0] + said[1:].lower()
    return said.lower()


def _corrected(words: Clause) -> Clause:
    """Return the words without what "no, sorry" takes back: "the left, no sorry, the right"."""
    if not any(word.low in {"sorry", "rather", "scratch", "correction"} for word in words):
        return words
    left: Clause = []
    at = 0
    while at < len(words):
        pair = tuple(word.low for word in words[at : at + 2])
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


def _restarted(words: Clause) -> Clause:
    """Return the words without a beginning that is taken up again behind a sign."""
    left = list(words)
    for at in range(len(left) - 1, 0, -1):
        if not left[at - 1].mark:
            continue
        broken = left[at - 1].low in _ATTACHED
        for size in (4, 3, 2, 1):
            start = at - size
            again = [word.low for word in left[at : at + size]]
            if size > 1 or broken or base_of(left[at - 1].low):
                for begin in range(max(0, start - broken), start + 1):
                    if again and [w.low for w in left[begin : begin + size]] == again:
                        if begin + size > at or at - begin > size + 1:
                            continue
                        del left[begin:at]
                        return _restarted(left) if len(left) < 400 else left
    return left


def clauses(words: Clause) -> list[Clause]:
    """Return the clauses of a sentence: parted by signs and by where a new order begins."""
    found: list[Clause] = [[]]
    for at, word in enumerate(words):
        if at and found[-1] and (words[at - 1].mark or _begins(words, at)):
            found.append([])
        found[-1].append(word)
    return [clause for clause in found if clause]


def _begins(words: Clause, at: int) -> bool:
    """Whether a new clause begins at a word that no sign stands before."""
    low = words[at].low
    after = words[at + 1].low if at + 1 < len(words) else ""
    before = words[at - 1].low
    if low == "then" and before != "and":
        return True
    if at > 2 and before not in _NO_CLAUSE_BEHIND:
        if low in {"it's", "that's", "there's", "they're", "i'm", "we're", "i'll", "we'll"}:
            return True
        if low in {"i", "we", "you"} and before in _PARTED_BY and base_of(after) == after:
            return True
    if low in {"so", "but", "because"} and after not in {"that", "much", "far", "called"}:
        # "So it sits flush", "so you can see": what the order is for, and part of it.
        purpose = at + 2 < len(words) and words[at + 2].low in {"can", "can't", "don't"}
        return low != "so" or (after in _SUBJECTS | {"that's", "just", "don't"} and not purpose)
    if low == "and":
        return after in _SUBJECTS | {"then", "just", "it", "it's", "that's", "there"} or (
            _is_order(words, at + 1)
        )
    opened = _opened(words, at)
    told = low in _SUBJECTS and before not in _NO_CLAUSE_BEHIND and base_of(after) is not None
    return (opened and told and at > 3) or (
        opened
        and at > 3
        and "'" not in words[at - 1].low
        and words[at - 1].low not in _NO_ORDER_BEHIND
        and (low in CLEAR_VERBS or after in {"it", "them"} or trade_words().kind_of(low) is None)
        and _is_order(words, at)
    )


_NO_CLAUSE_BEHIND = _words(
    """
    and but or so if when once before after until while where what which who that because than as
    like unless how why whenever then
    """
)
_PARTED_BY = _words("out off in on down up loose away back apart")
_NO_ORDER_BEHIND = (
    _ATTACHED
    | _SUBJECTS
    | _words(
        """
    been being have has had as soon
    and or not to don't never can can't will would should must it's is are be was were they he she
    it gonna wanna gotta needa hafta won't doesn't just that's who which that these this those all
    both either each every no
    """
    )
)


def _opened(words: Clause, at: int) -> bool:
    """Whether the clause that runs up to a word began with a condition."""
    start = at
    while start > 0 and not words[start - 1].mark and at - start < 30:
        start -= 1
        if words[start].low == "and" and start + 1 < at and words[start + 1].low not in _CONDITIONS:
            start += 1
            break
    while start < at and words[start].low in {"and", "so", "but", "now", "then", "okay"}:
        start += 1
    if words[start].low == "because":
        return words[start + 1].low not in _CONDITIONS
    return words[start].low in _CONDITIONS


def _is_order(words: Clause, at: int) -> bool:
    """Whether a verb in its base form stands here with what a verb has behind it."""
    low = words[at].low if at < len(words) else ""
    if base_of(low) != low or at == 0:
        return False
    after = words[at + 1].low if at + 1 < len(words) else ""
    # "lock and tag the isolator": one order for one object.
    if words[at - 1].low == "and" and at >= 2 and not words[at - 2].mark:
        before = words[at - 2].low
        if base_of(before) == before and (at == 2 or words[at - 3].low in _VERB_BEHIND):
            return False
    return after in _OBJECTS


_VERB_BEHIND = _SUBJECTS | _CONTRACTED | _words("to and then just can will should must now is")
_OBJECTS = _words(
    """
    the a an this that these those it them your my our its both all each every two three four
    five six eight one off out on in down up back away some any
    """
)
