"""What is to be ordered, told in a list, by number or by "order one of those"; what is not."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from author.proposals.language.closed_words import NUMBERS
from author.proposals.language.word_forms import singular
from author.proposals.things.heads import head_of
from author.proposals.things.named import FAINT, Thing, is_many
from author.proposals.things.pointed_at import parts_in, told_of
from author.proposals.things.renewed import is_later, verdicts

Ordered = Literal["always", "in_case", "never"]

_COUNT = r"(?:an?|one|two|three|four|five|six|seven|eight|ten|\d+|some|new|another)"
_WHO = r"(?:you|we|i)(?:'ll| will| have to| need to| gotta| should)?"
# "Parts you want: two fork seals", "parts is one gasket"; not "the parts are clean".
_TO_ORDER = re.compile(
    r"\bparts?(?: list)? (?:that )?(?:you|we|i)(?:'ll)? (?:want|need)\b"
    rf"|\bparts?(?: list)? ?(?:is|are|:|-) ?(?=(?:the|{_COUNT}) )"
    rf"|(?<!two )(?<!three )(?<!four )\bparts(?: list)?, ?(?=(?:the|{_COUNT}) )"
    r"|\bshopping list\b"
    r"|\bwhat (?:you|we)(?:'ll)? (?:want|need|have) to (?:order|buy|bring|get)\b"
    r"|\b(?:you|we)(?:'ll)? (?:want|need|have) to (?:order|buy|bring)\b",
    re.IGNORECASE,
)
# "You'll want one seal kit", not "you want the lip facing out".
_NEEDED = re.compile(
    rf"(?<!what )(?<!that )(?<!all )(?<!do )(?<!when )(?<!which )"
    rf"\b(?:you|we)(?:'ll| will|'re gonna| do)?(?: also)? (?:need|want)\s+"
    rf"(?={_COUNT}\b)",
    re.IGNORECASE,
)
_BID = re.compile(
    r"(?:^|[,.;:!?]\s*|\b(?:and|so|but|then|just|please|also|to|or|must|should|better)\s+"
    rf"|\b{_WHO}\s+)order(?:ed)?\s+(?=[\w'])",
    re.IGNORECASE,
)
_DECLINED = re.compile(
    r"\b(?:don't|do not|dont|no need to|needn't|never|not)\b"
    r"(?: (?!you\b|we\b|i\b|they\b)\w+){0,3}? order\b(?! (?:of|is)\b)",
    re.IGNORECASE,
)
_IN_A_KIT = re.compile(
    r"\b(?:comes?|is|are|included)(?: all| both)? (?:with|in) (?:the|your|that) (?:\w+ )?"
    r"(?:kit|set)\b",
    re.IGNORECASE,
)
# "Always a new one", "new one every time", "never goes back": whatever it looks like.
_ALWAYS_NEW = re.compile(
    r"\balways (?:(?:a|use|fit|take|put|get|goes?|gets?|comes?|have|needs?|wants?|in|it's|they're"
    r"|is|are|renew|replace)\b[\w ']{0,12})?(?:(?:brand )?new|fresh|renew(?:ed)?|replaced?)\b"
    r"|\b(?:new|fresh)(?: ones?| \w+)? (?:every|each) (?:single )?time\b"
    r"|\b(?:renewed|replaced?|renew) (?:\w+ )?(?:every|each) (?:single )?time\b"
    r"|\b(?:never|don't|do not|not|can't|cannot) (?:ever )?(?:be )?(?:reused?|re-used?"
    r"|use (?:it|them|the old ones?|that|those) (?:again|twice))\b"
    r"|\b(?:it|they|that one|the old ones?) never goe?s? back\b",
    re.IGNORECASE,
)
_REUSED = re.compile(r"\b(?:re-?used?)$", re.IGNORECASE)
_OF_ITS_OWN = re.compile(
    r" (?:the|that|this|those|these|any|your|its) (?!(?:old |same )?(?:ones?|lot)\b)\w",
    re.IGNORECASE,
)
_NAMED_NEXT = re.compile(r"\s+(?:(?:the|a|an|old|those|that|these|this)\s+){0,2}", re.IGNORECASE)
_THAT = re.compile(
    r"\s*(?:(?:one|two|three|four|some|a couple|\d+|any)(?: \w+)? (?:of )?)?"
    r"(?:it|that|them|those|these|this|one|ones|(?:an? )?new ones?)\b(?! \w+ing\b)",
    re.IGNORECASE,
)
# "Anything over five you need a regulator", "on the older ones you need an adapter".
_CASE = re.compile(
    r"\b(?:if|unless|any|anything|anyone|in case|otherwise|should (?:it|that|they)|when|whenever"
    r"|(?:over|under|above|below|past|beyond|more than|less than) (?:about |half )?"
    rf"(?:\d|point|nought|half|an? |{'|'.join(sorted(NUMBERS))}\b)"
    r"|(?:on|with|for) (?:the |some |an? |most )?(?:older|newer|later|earlier|bigger|larger|smaller"
    r"|other|some)\b)",
    re.IGNORECASE,
)
# Behind the name of what is needed: nothing, more names, or what does not tell a use of it.
_ENDS = re.compile(
    r"\s*(?:$|[,.;:!?]|\b(?:and|plus|part number|number|as well|too|with (?:its|an?|the|their|new)"
    r"|for (?:this|it|that|these|each|every|the)|here|ready|in stock|to hand|if|in case|per|before"
    r"|on the bench|from)\b)",
    re.IGNORECASE,
)
# "You need a hand with the cover", "a mate on the other end".
_ELSEWHERE = re.compile(
    r"\b(?:to|in|on|at|for|from|into|onto|by|that|which|until|so|you|we|i|it|they|"
    r"each|every|of (?:them|those|these))\b"
    r"|\bwith\b(?! (?:its|an?|the|their|new)\b)",
    re.IGNORECASE,
)
# "It'll do till Easter, but order one": this job needs none.
_HOLDS_ON = re.compile(
    r"\b(?:it|they|that|this|those)(?:'ll| will| should) (?:just |probably |easily )?"
    r"(?:do|last|hold|survive|live|manage|get by|be (?:fine|ok|okay|all right|alright))\b",
    re.IGNORECASE,
)
# "Still usable, but order one", "order one for the winter".
_STILL_GOOD = re.compile(
    r"\bstill (?:be )?(?:usable|good|fine|ok|okay|all right|alright|serviceable|works?|within"
    r"|does)\b",
    re.IGNORECASE,
)
_FOR_LATER = re.compile(
    r"[ ,]*(?:in |ready )?for (?:the )?(?:next\b|winter|spring|summer|autumn|(?:next )?service"
    r"|shutdown|overhaul|another day|later)",
    re.IGNORECASE,
)
_WORKS_ON = re.compile(
    r"\bcan (?:just |still )?(?:work|run|stay|go on|be used|carry on)\b.{0,12}\b(?:as (?:it|they)"
    r"|like (?:that|this)|for now|until|till)\b",
    re.IGNORECASE,
)
_NO_PART_OF_IT = re.compile(r"\b(?:kit|set)\b", re.IGNORECASE)
_BEFORE_THAT = re.compile(r"\bbefore\s*$", re.IGNORECASE)
_OLD = re.compile(r"\b(?:old|worn|broken) (?:[\w-]+ )?$", re.IGNORECASE)
_STOP = re.compile(r"[.;!?](?!\d)")
_OF_ONE = frozenset({"tooth", "teeth", "lip", "lips", "threads", "lining", "edge"})
_FAR = 2
"""Sentences back to which "order one of those" may point."""


def declines_order(text: str) -> bool:
    """Whether words say that something need not be ordered: "so don't order that separately"."""
    return "order" in text.lower() and _DECLINED.search(text) is not None


def orderings(texts: Sequence[str], things: Sequence[Thing]) -> dict[int, Ordered]:
    """Return which of the things are to be ordered, by their index.

    Args:
        texts: the sentences.
        things: parts, tools and supplies, in the order said; those that are parts are looked at.
    """
    by_sentence: dict[int, list[int]] = {}
    for at, thing in enumerate(things):
        if thing.kind == "part":
            by_sentence.setdefault(thing.sentence, []).append(at)
    found: dict[int, Ordered] = {}
    for index in range(len(texts)):
        for at in _always_new(index, texts, by_sentence, things):
            found[at] = "always"
        found |= dict(_in_sentence(index, texts, by_sentence, things))
    for one in verdicts(texts, things):
        found.setdefault(one.thing, "always")
    return found


def always_new(texts: Sequence[str], things: Sequence[Thing]) -> frozenset[int]:
    """Return the parts of which a new one is told to be fitted every time, by their index.

    Args:
        texts: the sentences.
        things: parts, tools and supplies, in the order said; those that are parts are looked at.
    """
    parts = parts_in(things)
    return frozenset(at for n in range(len(texts)) for at in _always_new(n, texts, parts, things))


def _in_sentence(
    index: int,
    texts: Sequence[str],
    named: Mapping[int, Sequence[int]],
    things: Sequence[Thing],
) -> Iterator[tuple[int, Ordered]]:
    text = texts[index]
    here = named.get(index, ())
    ordered = "order" in text.lower()
    if not here and not ordered:
        return
    declined = _DECLINED.search(text) if ordered else None
    if declined is not None:
        behind = list(_list_behind(text, declined.end(), here, things))
        for at in behind or _last(texts, index, declined.start(), named, things, single=True):
            yield at, "never"
        return
    for kit in _IN_A_KIT.finditer(text):
        for at in _last(texts, index, kit.start(), {index: here}, things, single=True):
            yield at, "never"
    bid = _BID.search(text) if ordered else None
    that = _THAT.match(text, bid.end()) if bid is not None else None
    if bid is not None and that is not None:
        first = text[bid.end() :].lower().startswith("one") and _BEFORE_THAT.search(
            text[: bid.start()]
        )
        for at in _last(texts, index, bid.start(), named, things, single=False):
            if first and _OLD.search(text[: things[at].begin]) is None:
                return  # "measure the shell before you order one": no new shell
            yield at, _sort(text, bid.start(), that.end())
        return
    if _TO_ORDER.search(text):
        for at in here:
            yield at, _sort(text, things[at].begin, things[at].end)
        return
    bids = _BID.finditer(text) if ordered else ()
    for needed in (*bids, *_NEEDED.finditer(text)):
        for at in _list_behind(text, needed.end(), here, things):
            yield at, _sort(text, things[at].begin, things[at].end)


def _always_new(
    index: int,
    texts: Sequence[str],
    named: Mapping[int, Sequence[int]],
    things: Sequence[Thing],
) -> Sequence[int]:
    """Return what is renewed every time: named behind the words, before them, or just before."""
    text = texts[index]
    new = _ALWAYS_NEW.search(text)
    if new is None or _sort(text, new.start(), new.end()) != "always":
        return ()
    here = [at for at in named.get(index, ()) if things[at].confidence > FAINT]
    behind = [at for at in here if _NAMED_NEXT.fullmatch(text, new.end(), things[at].begin)]
    before = [at for at in here if things[at].begin < new.start()]
    if behind or (_REUSED.search(new[0]) and _OF_ITS_OWN.match(text, new.end())):
        # "Drain the tank, and don't reuse that oil": not the tank.
        return _one_by_one(behind[:1], here, things)
    if before:
        spans = [(things[at].begin, things[at].end) for at in before]
        return (before[head_of(text, spans, len(before) - 1)],)
    at = told_of(index, new.start(), texts, things, parts_in(things))
    return () if at is None else (at,)


def _one_by_one(told: Sequence[int], here: Sequence[int], things: Sequence[Thing]) -> Sequence[int]:
    """Return what is named right behind for what is told of: "the gaskets, head and plate gasket".

    Args:
        told: the thing that is told of, if there is one.
        here: the things of the sentence.
        things: parts, tools and supplies, in the order said.
    """
    if not told or " " in things[told[0]].name or not is_many(things[told[0]]):
        return told
    head = singular(things[told[0]].name.lower())
    behind = [at for at in here if at > told[0] and things[at].name.lower().endswith(f" {head}")]
    return behind if len(behind) > 1 else told


def _list_behind(
    text: str, begin: int, here: Sequence[int], things: Sequence[Thing]
) -> Iterator[int]:
    """Yield the things of a list that begins at a place of a sentence."""
    reached = begin
    for at in here:
        if things[at].begin < begin:
            continue
        told = text[reached : things[at].begin]
        away = _ELSEWHERE.search(told) or (reached == begin and " with " in told)
        if _ENDS.match(text, things[at].end) is None or _CASE.search(told) or away:
            return
        yield at
        reached = things[at].end


def _sort(text: str, begin: int, end: int) -> Ordered:
    """Return whether something is ordered in any case or only in one that the words name."""
    clause = max((stop.end() for stop in _STOP.finditer(text, 0, begin)), default=0)
    behind = re.match(r"\W*(?:just )?(?:in case|if)\b", text[end:], re.IGNORECASE)
    told = text[clause:begin]
    later = _HOLDS_ON.search(told) or _STILL_GOOD.search(told) or _WORKS_ON.search(text, end)
    # "Next shutdown, order one"
    later = later or _FOR_LATER.match(text, end)
    in_case = behind or _CASE.search(told) or later or is_later(told)
    return "in_case" if in_case else "always"


def _last(
    texts: Sequence[str],
    index: int,
    before: int,
    named: Mapping[int, Sequence[int]],
    things: Sequence[Thing],
    *,
    single: bool,
) -> Sequence[int]:
    """Return what was named last: in the sentence up to a place, or in the sentences before."""
    here = [at for at in named.get(index, ()) if things[at].end <= before]
    for at in range(index, max(-1, index - 1 - _FAR), -1):
        some = here if at == index else named.get(at, ())
        fit = [one for one in some if not single or not _NO_PART_OF_IT.search(things[one].name)]
        # "The belt's got cracks in it, order one": not the cracks.
        fit = [one for one in fit if things[one].confidence > FAINT] or fit
        # "Sprocket. Teeth hooked a bit. Next shutdown, order one": a sprocket.
        fit = [one for one in fit if things[one].name.lower() not in _OF_ONE]
        if fit:
            # "The spring on the idler arm is stretched, order one of those": the spring
            spans = [(things[one].begin, things[one].end) for one in fit]
            return (fit[head_of(texts[at], spans, len(fit) - 1)],)
    return ()
