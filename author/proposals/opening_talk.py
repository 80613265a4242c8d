"""What is said before the work begins: greetings, what the machine is, and the plan of the job."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence

from author.checks.verbs import words
from author.proposals.marks import Found, Hit
from author.proposals.plain_words import NUMBER_WORDS, Plain
from author.proposals.spoken_verbs import CLEAR, TALK, base_of_done, is_work
from author.proposals.trade_words import trade_words

_OPENING_SHARE = 10
_OPENING = 8
_GREETED = 3
_NEAR = 4
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
_NEEDED = words("need needa needed needs want wanna")
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
_MANY, _ENOUGH = 4, 3
# These tell something of the job even in the first sentence of a film.
_TOLD = frozenset({"hazard", "damage", "prerequisite", "off_camera", "follow_on", "action"})


def announced(read: Sequence[tuple[Plain, list[Found]]], together: list[list[Found]]) -> None:
    """Mark what comes before the work begins: announcements, and what the machine is.

    Args:
        read: the words of each sentence and what it is, taken for itself.
        together: what each sentence is, changed where the opening shows it.
    """
    reach = max(6, len(read) // _OPENING_SHARE)
    film = len(read) > reach
    ahead = -1
    for index in range(min(reach, len(read))):
        said, founds = read[index]
        kinds = {found.hit.kind for found in founds}
        if "preview" in kinds or ("chatter" in kinds and index < _GREETED):
            ahead = index
        elif film and (_tells_plan(said) or _COMPLAINS.match(said.text)):
            plan = _tells_plan(said)
            reason = "lists what will be done: '{}'" if plan else "tells what is wrong: '{}'"
            hit = Hit("preview" if plan else "chatter", 0, len(said.words), 70, reason)
            together[index] = [Found(hit, 0, len(said.words))]
            ahead = index
        elif _plans(said, near=0 <= ahead >= index - _NEAR) or (film and _lists_plan(said)):
            hit = Hit("preview", 0, len(said.words), 66, "lists what will be done: '{}'")
            together[index] = [Found(hit, 0, len(said.words))]
            ahead = index
        elif "action" in kinds:
            return
        elif (
            film and said.words and ((not kinds and index < _OPENING) or _opens(index, said, kinds))
        ):
            hit = Hit("chatter", 0, len(said.words), 55, "is said before the work begins: '{}'")
            together[index] = [Found(hit, 0, len(said.words))]
            ahead = max(ahead, 0) if index == 0 else ahead


def _tells_plan(said: Plain) -> bool:
    """Whether a sentence calls by its name what will be done: "that's the job"."""
    later = _PLAN_LATER.search(said.text) is not None and _future(said)
    return later or _NAMES_PLAN.match(said.text) is not None


def _is_opening(index: int, said: Plain, kinds: Collection[str]) -> bool:
    """Whether a sentence before the first order only opens the film; what is needed does not."""
    if kinds:
        return _opens(index, said, kinds)
    known = trade_words()
    named = any(known.kind_of(word) in {"part", "tool", "supply"} for word in said.words)
    return index < _OPENING and not (named and not _NEEDED.isdisjoint(said.words[:5]))


def _opens(index: int, said: Plain, kinds: Collection[str]) -> bool:
    """Whether a film's first sentence is a greeting, though no word of one is known."""
    numbered = any(word[0].isdigit() for word in said.words)
    return index == 0 and _TOLD.isdisjoint(kinds) and not numbered


def _plans(said: Plain, *, near: bool) -> bool:
    """Whether a sentence says in the future what will be done, one thing after the other."""
    listed = _lists_work(said)
    turns = not _TURNS.isdisjoint(said.words) or any(phrase in said.text for phrase in _AT_LAST)
    if "first" in said.words[:5] and not turns:
        listed = 0
    return _future(said) and (listed + turns > 3 or (listed + turns > 1 and near))


def _future(said: Plain) -> bool:
    return any(
        word in _FUTURE or (word in {"we", "i"} and said.word(at + 1) in _FUTURE | {"will"})
        for at, word in enumerate(said.words)
    )


def _lists_work(said: Plain) -> int:
    """Return how many verbs of work a sentence strings together."""
    return sum(
        (is_work(word) or (base_of_done(word) is not None and "have" in said.words[:at]))
        and word not in TALK
        and said.word(at - 1) not in {"the", "a", "new", "this", "that", "to"}
        and (said.word(at + 1) in _OBJECTS or word in CLEAR)
        for at, word in enumerate(said.words)
    )


def _lists_plan(said: Plain) -> bool:
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
    wanted = _ENOUGH if _future(said) else _MANY
    numbers = NUMBER_WORDS - {"one", "couple", "pair"}
    return len(verbs) >= wanted and beyond > 0 and numbers.isdisjoint(said.words)


def _starts(said: Plain, place: int) -> bool:
    """Whether a verb stands where a further thing to do begins."""
    before = said.word(place - 1)
    return before in _SAYING | {"and", "then", "to"} or (place > 0 and bool(said.marks[place - 1]))
