"""Sentences that tell the whole of a job, or what is wrong, rather than what is done now."""

from __future__ import annotations

import re
from collections.abc import Iterator, Set

from author.checks.verbs import words
from author.proposals.language.plain_words import NUMBER_WORDS, Plain
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import CLEAR, TALK, base_of_done, is_work

_FUTURE = words("we'll i'll gonna tonight today you'll shall")
_AT_LAST = ("at the end ", "by the end ", "on the end ")
_TURNS = words("then finally tonight today later")
_OBJECTS = words("it them the that both all new a everything some our your two three four this")
_LEADS = words("so okay right now and well then alright today tonight first what do")
_SAYING = words("we i we'll i'll gonna let's we're i'm you'll our")
_NOT_OF_PLAN = words("the a an new this that of these those your my its for")
# A plan goes on beyond what comes off.
_BEYOND = words(
    """
    fit refit replace renew swap change reseal rebuild rebush reshim refill reassemble overhaul
    service set adjust align reline regrease repack test check measure make see tighten
    """
)
_PLANNED = words("have do see make get check look measure test change let find")
# "So the plan today is pump out, new seal and back in": told of the whole job.
_NAMES_PLAN = re.compile(
    r"(?:(?:so|right|okay|and|now|alright|well|anyway) )*(?:here's |that's )?"
    r"(?:the|our|my|today's|this) (?:whole |big |general |rough )?"
    r"(?:plan|job|agenda|order|idea|mission|menu|list|brief|programme|task)"
    r"(?: (?:the|this|for|of|on|today|tonight|here|morning|afternoon|day|is|will|be|'s|then))*"
    r" (?:is|will|to)\b|(?:(?:so|right|okay|and|now) )*(?:the plan|job)'s "
)
_PLAN_LATER = re.compile(
    r"\b(?:that's|that'll be|there's) (?:the|our|your|today's|my) (?:job|plan|task)\b"
)
# What the customer says of it, or what it does wrong, before anything is done.
_COMPLAINS = re.compile(
    r"(?:(?:so|right|okay|and|now|well|anyway) )*"
    r"(?:(?:the |my |our |this )?(?:customer|owner|client|lady|farmer|driver|operator|lad|fella"
    r"|chap|gentleman|guy|bloke|woman|man|user|neighbour|neighbor)(?:'s)?"
    r" (?:says?|said|tells|told|complains?|complained|reports?|reported|reckons|brought|phoned"
    r"|called|noticed|hears?|wants)\b|"
    r"(?:it|she|he|this|this one|they)(?:'s| is| was|'re) (?:been |been a bit |always )?"
    r"(?:dropping|leaking|losing|dripping|weeping|smoking|slipping|knocking|rattling|grinding"
    r"|squealing|jumping|overheating|tripping|stalling|burning|pulling|sticking|making|not|eating"
    r"|throwing|spitting|whining|humming|vibrating|shaking)\b)"
)
_ENOUGH, _MANY, _MOST = 3, 4, 5
_EARLY = frozenset(
    {
        "future", "says we", "order sure", "plan", "plan of 2", "plan of 3", "plan named",
        "plan to the end",
    }
)  # fmt: skip
_BEFORE_WORK = frozenset(
    {
        "things", "thing", "no thing", "num", "future", "past", "plan", "order", "order sure",
        "says we", "says nobody", "name",
    }
)  # fmt: skip
_MOST_THINGS = 4
_NAMED = frozenset({"part", "tool", "supply"})


def plan_signs(said: Plain) -> Iterator[str]:
    """Yield the names of the signs that a sentence tells a plan, or what is wrong.

    Args:
        said: its words.
    """
    future = any(
        word in _FUTURE or (word in {"we", "i"} and said.word(at + 1) in _FUTURE | {"will"})
        for at, word in enumerate(said.words)
    )
    if _NAMES_PLAN.match(said.text) or (future and _PLAN_LATER.search(said.text)):
        yield "plan named"
    if _COMPLAINS.match(said.text):
        yield "complaint"
    if future:
        yield "future"
        turns = not _TURNS.isdisjoint(said.words) or any(one in said.text for one in _AT_LAST)
        listed = 0 if "first" in said.words[:_MOST] and not turns else _lists_work(said)
        if listed + turns > 1:
            yield f"plan of {min(listed + turns, _MOST)}"
    if _lists_plan(said, future=future):
        yield "plan to the end"


def opening_signs(signs: Set[str], said: Plain) -> Iterator[str]:
    """Yield what tells at the beginning of a film, before anything is done.

    A plan is told there in bare things, "so belts, a drop of oil and then the line-up".

    Args:
        signs: those of the sentence, with where it stands in its film.
        said: its words.
    """
    if "not begun" in signs:
        yield from (f"not begun & {sign}" for sign in signs & _BEFORE_WORK)
    if "early" in signs:
        yield from (f"early & {sign}" for sign in signs & _EARLY)
        if said.word(0) == "so":
            yield "early & so"
        known = trade_words()
        things = sum(known.kind_of(word) in _NAMED for word in said.words)
        for many in range(2, min(things, _MOST_THINGS) + 1):
            yield f"early & {many} things"
            if "order sure" not in signs:
                yield f"early & {many} things & no order"


def _lists_work(said: Plain) -> int:
    """Return how many verbs of work a sentence strings together."""
    return sum(
        (is_work(word) or (base_of_done(word) is not None and "have" in said.words[:at]))
        and word not in TALK
        and said.word(at - 1) not in {"the", "a", "new", "this", "that", "to"}
        and (said.word(at + 1) in _OBJECTS or word in CLEAR)
        for at, word in enumerate(said.words)
    )


def _lists_plan(said: Plain, *, future: bool) -> bool:
    """Whether "we" do many things in one sentence, from what comes off to what goes on.

    "We open him, we look at the seat, we measure the coil and we make him tight again" is told
    of the whole job; no number is told with it.
    """
    at = 0
    while said.word(at) in _LEADS:
        at += 1
    if said.word(at) not in _SAYING or any(w[0].isdigit() for w in said.words):
        return False
    verbs = [
        word
        for place, word in enumerate(said.words)
        if (is_work(word) or word in _PLANNED)
        and said.word(place - 1) not in _NOT_OF_PLAN
        and (_starts(said, place) or said.word(place + 1) in _OBJECTS)
    ]
    beyond = sum(verb in _BEYOND for verb in verbs)
    numbers = NUMBER_WORDS - {"one", "couple", "pair"}
    return (
        len(verbs) >= (_ENOUGH if future else _MANY)
        and beyond > 0
        and numbers.isdisjoint(said.words)
    )


def _starts(said: Plain, place: int) -> bool:
    """Whether a verb stands where a further thing to do begins."""
    before = said.word(place - 1)
    return before in _SAYING | {"and", "then", "to"} or (place > 0 and bool(said.marks[place - 1]))
