"""The ways in which people say what is to be done, each turned into verb, object and rest."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, NUMBERS, PREPOSITIONS
from author.proposals.language.loose_words import LooseClause
from author.proposals.language.verbs import UNSURE_FORMS, base_of, base_of_past, is_ing
from author.proposals.orders.bare import bare_order
from author.proposals.orders.bare_states import measured_with
from author.proposals.orders.things import ADVERBS, by_thing, holding, inverted, moved, torqued
from author.proposals.orders.verb_first import OBJECTS, begins_with_verb
from author.proposals.orders.words import (
    OFF,
    Frame,
    shown_of,
    text_of,
)

_DO = r"(?:do|doing|did|done)"
_ME = r"(?:i|we|you|they|i'm|we're|you're|i've|we've|you've|i'll|we'll|you'll|i'd|we'd|you'd)"
_LEAD = rf"""(?:
    (?:and|so|now|then|okay|alright|well|but
    |like(?=\ (?:i|we|you|just)\ )
    |right(?!\ (?:up|down|in|on|to|into|through|round|back|off|out|at|over|hand
       |side|way))
    |there(?=\ (?!goes|comes|is|are|was|went|came)\w+\ (?:it|them|the|that|this)\ )
    |also|next|next\ up|first\ up|firstly|first\ off
    |last(?:\ of\ all)?(?=\ (?:the|a|an|your|its|both)\ )
    |first\ thing|first\ of\ all|last\ of\ all|first|secondly|thirdly|finally
    |lastly|after\ that|anyway|yes|oh
    |only\ (?:now|then)|(?:from|at)\ (?:that|this)\ point|from\ there|from\ here|here|again
    |obviously|at\ this\ point|once\ more|of\ course
    |to\ (?:begin|start)\ with
    |cool(?!\ (?:the|it|them|your|down|off|both|each|all)\ )|good|great|perfect
    |there\ we\ go|here\ we\ go|you\ know|as\ always
    |like\ i\ said|from\ now\ on
    |(?:(?:the|my|your)\ )?(?:next|first|last|other|only|second|final)\ (?:thing|step|job|bit|one)
       (?:\ {_ME})?(?:\ (?:gonna|wanna|needa|gotta|hafta))?(?:\ to)?(?:\ {_DO})?(?:\ here|\ now)?
       (?:\ is)(?:\ to)?
    |what\ {_ME}(?:\ (?:gonna|wanna|needa|gotta|hafta|will|can))?\ {_DO}
       (?:\ here|\ now|\ then|\ next)?(?:\ is|\ was)?
    |do\ is(?:\ to)?
    |all\ {_ME}(?:\ (?:gonna|wanna|needa|gotta|hafta))?\ {_DO}(?:\ here|\ now)?\ is
    |the\ (?:best\ |easiest\ |right\ |only\ )?(?:trick|idea|key|way|secret|plan|thing)
       (?:\ here|\ to\ do\ (?:it|this|that)|\ with\ (?:this|these|it))?\ is(?:\ to)?
    |it's\ (?:a|the)?\ ?(?:case|matter|question)\ of|it's\ time\ to|time\ to|it's\ best\ to
    |it's\ (?:a\ )?(?:good\ idea|worth|important)(?:\ to)?
    |(?:be\ sure|remember|don't\ forget)(?:\ that|\ to)
    |make\ sure(?:\ to|\ that)?(?=\ (?:i|we|you)\ )
    )\ )+"""
_AUX = rf"""(?:
    (?:{_ME}|let's|let\ me|lemme|let\ us|let's\ go\ ahead\ and)\ )
    (?:(?:gonna|wanna|needa|gotta|hafta|needsta|hasta|can|could|should|must|will|would|might|may
    |do|did|are|am|was|were|be|been|being|like\ to|love\ to|prefer\ to|tend\ to|try\ to|tryna
    |start\ by|start\ off\ by|begin\ by|start|go\ ahead\ and|go\ on\ and|go\ and
    |(?:go|come|get)\ (?:on\ )?in\ (?:there\ )?and
    |come\ and|reach\ in\ and|get\ in\ there\ and|just|now|then|also|always|usually|normally
    |generally|probably|already|first|next|basically|both|able\ to|ready\ to|supposed\ to|better
    |best|wanted\ to|then\ just|to|ended\ up|end\ up|simply|even|all|here|still|today|is)\ )*"""
_BARE_AUX = re.compile(
    r"(?:(?:gonna|wanna|needa|gotta|go ahead and|go on and|go and|just|please|start by"
    r"|(?:go|come|get|reach) (?:on )?in (?:there )?and"
    r"|try and"
    r"|time to|be sure to|then|to) )+"
)
_NOT = {"don't", "never", "not", "can't", "mustn't", "shouldn't", "won't", "avoid"}


@cache
def _compiled(pattern: str) -> re.Pattern[str]:
    """Return a long pattern when it is first needed: that takes longer than an import should."""
    return re.compile(pattern, re.VERBOSE)


def without_lead(clause: LooseClause) -> LooseClause:
    """Return a clause without the words that only lead up to it."""
    match = _compiled(_LEAD).match(text_of(clause))
    rest = clause[match[0].count(" ") :] if match else clause
    low = [word.low for word in rest[:2]]
    return rest[1:] if low[:1] == ["only"] and low[1:] and base_of(low[1]) == low[1] else rest


def frame_of(clause: LooseClause, phase: str | None) -> Frame | None:
    """Return the order a clause gives, or None.

    Args:
        clause: without lead and condition.
        phase: section of the procedure it is said in.
    """
    clause = without_lead(clause)
    if not clause:
        return None
    if [word.low for word in clause[:3]] == ["get", "help", "to"]:
        return Frame(tuple(shown_of(clause)))
    noted = next((n for n in (4, 2) if text_of(clause[:n]).strip() in _NOTES), 0)
    if noted and clause[noted:] and (noted > 2 or clause[noted].low in _WHICH):
        return Frame(("note", *shown_of(clause[noted:])))
    if [word.low for word in clause[:2]] in _PLUGGED and (
        len(clause) == 2 or clause[2].low == "and"
    ):
        return Frame(("plug", "it", "in"))
    held = holding(clause) if phase == "removal" else None
    told = held or inverted(clause) or torqued(clause) or measured_with(clause)
    told = told or _by_person(clause) or _by_verb(clause)
    return told or by_thing(clause) or bare_order(clause, phase)


def with_only(frame: Frame, clause: LooseClause) -> Frame:
    """Return an order with the "only" that led up to it: "press only on the outer ring".

    Args:
        frame: what is to be done.
        clause: as it was said, with all that leads up to its verb.
    """
    found = _ONLY.match(" ".join(word.low for word in clause))
    words = frame.words
    if not found or len(words) < 2 or base_of(found["verb"]) != words[0] or "only" in words:
        return frame
    this = words[0] in _ONLY_THIS and words[1] not in {"it", "them"}
    if words[1] in PREPOSITIONS or this:
        return replace(frame, words=(words[0], "only", *words[1:]))
    if words[1] in {"it", "them"} and words[2:] and words[2] in PREPOSITIONS:
        return replace(frame, words=(*words[:2], "only", *words[2:]))
    return frame


_ONLY = re.compile(
    r"(?:(?:and|but|now|so|then|you|we|i|just|always|ever|please|can|should|must) )*"
    r"only(?: ever)? (?P<verb>[a-z]+)\b"
)
_ONLY_THIS = _words("use fit")


def person_in(clause: LooseClause) -> int:
    """Return how many words "we're gonna", "I just" take up at the beginning of a clause."""
    match = _compiled(_AUX).match(text_of(clause))
    return match[0].count(" ") if match else 0


def _by_person(clause: LooseClause) -> Frame | None:
    """Return the order in "we're gonna take …", "I've taken …", "you never want to …"."""
    rest, negative, led = clause, "", False
    for _ in range(4):
        match = _compiled(_AUX).match(text_of(rest))
        if match:
            led, rest = True, rest[match[0].count(" ") :]
        while led and rest and rest[0].low in _NOT:
            negative, rest = rest[0].low, rest[1:]
        more = _BARE_AUX.match(text_of(rest))
        if led and more:
            rest = rest[more[0].count(" ") :]
        if led and rest and rest[0].low in {"want", "going", "need"} and len(rest) > 1:
            rest = rest[1:]
            led = True
        rest = without_lead(rest) if led else rest
    if not led or not rest or [word.low for word in clause[:2]] == ["they", "go"]:
        return None  # "they go at the back" is told of parts
    while len(rest) > 1 and (rest[0].low.endswith("ly") or rest[0].low in ADVERBS):
        rest = rest[1:]
    left = rest[0].low == "leave" and rest[1:] and rest[1].low in _LEFT_THERE
    if clause[0].low == "you'll" and (rest[0].low in _MISHAPS or left):
        return None  # "you'll throw the meter across the yard", "you'll leave skin on it"
    return _ordered(rest, negative)


_WHICH = _words("which where how what what's where's")
_NOTES = {"make a note of", "write down", "note down"}
_PLUGGED = (["plug", "in"],)
_MISHAPS = _words("throw lose")
_LEFT_THERE = _words("skin blood flesh fingers finger half")


def _ordered(rest: LooseClause, negative: str = "") -> Frame | None:
    base = base_of(rest[0].low)
    if base is None or base in {"be", "know", "see", "think", "say", "hear", "come", "want"}:
        return None
    counted = len(rest) > 1 and (rest[1].low in NUMBERS or rest[1].low[:1].isdigit())
    if base in {"get", "read", "make", "have"} and (
        counted or (len(rest) > 2 and rest[2].low[:1].isdigit())
    ):
        return None
    if _long_ago(rest, base):
        return None
    words = (_mended(base, rest), *_told(rest, base))
    if base in {"have", "get"}:
        found = _caused(rest, base)
        if found is None:
            return None
        words = found
    if len(rest) > 2 and rest[1].low in {"and", "or"} and base_of(rest[2].low):
        words = (words[0], rest[1].shown, str(base_of(rest[2].low)), *words[3:])
    if base == "give" and (turned := _given_a_turn(words)) is not None:
        words = turned
    if base in {"go", "do", "look"} and len(rest) < 2:
        return None
    if words[-1] in {"the", "a", "an", "to", "of", "with", "your"} or (len(words) > 1 and (
        words[1] in {"i", "we", "he", "she", "they"})):  # fmt: skip
        return None
    before = ("never",) if negative == "never" else ("do", "not") if negative else ()
    if words[:2] in {("make", "it"), ("give", "or"), ("call", "it")} or base in _HARM:
        return None
    return Frame((*before, *words))


def _given_a_turn(words: tuple[str, ...]) -> tuple[str, ...] | None:
    """Return "turn the bolt a quarter turn" for "give the bolt a quarter turn"."""
    at = next((n for n, word in enumerate(words) if word in {"turn", "turns"}), 0)
    begin = next((n for n in range(2, at) if words[n] in NUMBERS | {"a", "half", "another"}), 0)
    return ("turn", *words[1:]) if begin and at - begin <= _MOST_OF_A_TURN else None


_MOST_OF_A_TURN = 4


def _told(rest: LooseClause, base: str) -> tuple[str, ...]:
    """Return the words behind a verb; told in the past, so is a second verb: "and turned it"."""
    alike = rest[0].low == base and base_of_past(base) == base
    if is_ing(rest[0].low) or (rest[0].low == base and not alike):
        return shown_of(rest[1:])
    shown = []
    for at, word in enumerate(rest[1:], 1):
        if word.low == "yesterday":
            continue
        verb = base_of(word.low) if rest[at - 1].low == "and" else None
        object_ = rest[at + 1].low if at + 1 < len(rest) else ""
        sure = word.low not in UNSURE_FORMS or (alike and object_ in {"it", "them"})
        # "I cut a new one and soaked it", not "put the cleaned and dried gear back"
        past = verb and sure and word.low[-1] in "dtn" and (not alike or object_ in _OBJECTS)
        shown.append(str(verb) if past else word.shown)
    return tuple(shown)


def _long_ago(rest: LooseClause, base: str) -> bool:
    """Whether something was done another time: "we hung it on a pipe last year"."""
    text = text_of(rest)
    return rest[0].low != base and any(one in text for one in _ANOTHER_TIME)


_OBJECTS = frozenset(
    {"it", "them", "that", "those", "the", "a", "an", "both", "all", "off", "out", "up", "down"}
)
_ANOTHER_TIME = (" last week ", " last year ", " last time ", " ago ")


def _mended(base: str, rest: LooseClause) -> str:
    """Return the verb as it is written in a shop."""
    return "get" if base == "grab" and len(rest) < 2 else base


def _caused(rest: LooseClause, base: str) -> tuple[str, ...] | None:
    """Return the order in "get that clamp loosened off", "have this valve out"."""
    shown, low = shown_of(rest), [word.low for word in rest]
    if low[0] == "got" or len(low) < 2 or low[1] in NUMBERS or low[-1] in {"wrong", "right"}:
        return None
    for at in range(2, min(len(low), 8)):
        verb = base_of(low[at])
        if (
            verb
            and verb != low[at]
            and low[at] not in UNSURE_FORMS
            and not is_ing(low[at])
            and low[at][-1] in "dnt"
        ):
            return (verb, *shown[1:at], *shown[at + 1 :])
        if low[at] in OFF:
            return ("take" if base == "have" else "get", *shown[1:])
        placed = low[at] in {"on", "in", "into", "onto", "back", "between"} and base == "get"
        if placed and not _HELPERS & set(low[1:3]):
            return ("put", *shown[1:])
    if base == "get" and len(low) > 2 and low[1] in ARTICLES | {"it", "them", "in", "down", "hold"}:
        return ("get", *shown[1:])
    return None


_HELPERS = _words("somebody someone help mate helper colleague lad buddy")


def _by_verb(clause: LooseClause) -> Frame | None:
    """Return the order in a clause that begins with a verb: "undo …", "pressing …"."""
    rest, negative = clause, ""
    match = _BARE_AUX.match(text_of(rest))
    rest = rest[match[0].count(" ") :] if match else rest
    adverbs: tuple[str, ...] = ()
    if len(rest) > 1 and rest[0].low in {"carefully", "gently", "slowly", "lightly"}:
        adverbs, rest = (rest[0].shown,), rest[1:]
    if rest and rest[0].low in _NOT - {"avoid", "not"} and len(rest) > 1:
        negative, rest = rest[0].low, rest[1:]
    if not rest:
        return None
    low = rest[0].low
    if low == "blue" and len(rest) > 1 and rest[1].low in OBJECTS:
        return Frame(shown_of(rest))  # "blue the taper up"
    if low in _ALONE and (len(rest) == 1 or rest[1].low in _STOPPED_BEHIND):
        return Frame(("do", "not", low) if negative else shown_of(rest))
    after = rest[1].low if len(rest) > 1 else ""
    if (
        low in _SWITCHING
        and after in {"off", "on", "down"}
        and (len(rest) == 2 or rest[2].low in _SWITCHED_THERE)
    ):
        return Frame(shown_of(rest))
    if low == "do" and after in ARTICLES:
        # "Only then do the lock and the tag come off."
        for at in range(3, len(rest)):
            if rest[at].low in {"come", "go"}:
                return moved(rest, shown_of(rest[1:at]), rest[at].low, at + 1, False)
    if low == "back" and (put := _put_back(rest)) is not None:
        return put
    if not begins_with_verb(rest, negative):
        return None
    found = _ordered(rest, negative)
    return Frame((*adverbs, *found.words)) if found and adverbs else found


def _put_back(rest: LooseClause) -> Frame | None:
    """Return the order in "now back the vanes in their slots": they are put back."""
    low = [word.low for word in rest]
    at = next((n for n, word in enumerate(low) if word in {"in", "on", "into", "onto"}), 0)
    if at < _NAMED or low[1] not in ARTICLES or (OFF | {"up", "down"}) & set(low):
        return None
    return Frame(("put", *shown_of(rest[1:at]), "back", *shown_of(rest[at:])))


_NAMED = 3


# What comes of doing it wrong: "you'll wreck it".
_HARM = _words(
    "gouge wreck ruin ding mushroom shear hate regret wish burst squash wear notice know ding"
)
_SWITCHED_THERE = _words("at by with again first now")
_SWITCHING = _words("switch turn shut")
_STOPPED_BEHIND = _words("as when if until for at there short")
_ALONE = _words("stop wait repeat")
