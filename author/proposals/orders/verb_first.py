"""Whether a clause begins with a verb, and not with the name of a thing: "tap it", "tap off"."""

from __future__ import annotations

from author.checks.verbs import CLEAR_VERBS, LOOKING_VERBS
from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, NUMBERS
from author.proposals.language.loose_words import LooseClause
from author.proposals.language.trade_words import as_phrase, trade_words
from author.proposals.language.verbs import CLEAR, UNSURE_FORMS, base_of, is_ing
from author.proposals.language.word_forms import singular
from author.proposals.orders.bare_verbs import SWITCHED, WORN
from author.proposals.orders.words import (
    PARTICLES,
    PREPOSITIONS,
)


def begins_with_verb(rest: LooseClause, negative: str) -> bool:
    """Whether a clause begins with a verb, and not with the name of a thing.

    Args:
        rest: the clause, without what leads up to its verb.
        negative: "don't" or "never" before it, or nothing.
    """
    low, after = rest[0].low, rest[1].low if len(rest) > 1 else ""
    base = base_of(low)
    if (
        after == "facing"
        or base is None
        or (base != low and (low in UNSURE_FORMS or low[-1] == "s"))
    ):
        return False
    if (after == "of" and trade_words().kind_of(low) is not None) or _names_first(rest):
        return False
    if (low in _FLOWS and after in _STATES) or (low in SWITCHED and base != low):
        return False  # "flow and return open", "heating on"
    if low == "disconnect" and after in {"off", "on"}:
        return False
    told = low in LOOKING_VERBS and after in {"it's", "they're", "there's", "that's"}
    if told or _works_alone(rest):
        return True  # "check it's dead"
    noun = low in trade_words().modifiers or trade_words().kind_of(low) is not None
    if low not in CLEAR_VERBS and noun and not negative and not _has_object(rest, after):
        return False
    if base != low and not is_ing(low) and after not in ARTICLES:
        return False
    bare_name = after not in OBJECTS | PARTICLES | PREPOSITIONS | _NO_NAME_BEHIND
    return not (bare_name and (is_ing(low) or low in _ALSO_LOOKS))


def _works_alone(rest: LooseClause) -> bool:
    """Whether a verb has nothing it is done to: "push until it clicks", "lift at the lugs"."""
    low, behind = rest[0].low, [word.low for word in rest[1:3]]
    kind = trade_words().kind_of(low)
    if not behind or kind in {"part", "tool", "supply"}:
        return False
    after = behind[0]
    if (low in _NOTED and after in _WHICH) or (low in _TRIED and behind == ["again"]):
        return True  # "mark which shim goes where", "test again"
    if low in _LOOKED and after in PREPOSITIONS and behind[1:] in (["with"], ["for"], ["and"]):
        return True  # "look underneath with a torch"
    if low == "mark" and "with" in {word.low for word in rest[2:6]}:
        return True  # "mark front edge with a dab of paint"
    if low not in CLEAR:
        return False
    if after == "until" or (after.endswith("ly") and len(rest) > 2):
        return True
    if kind == "weak":
        return False  # "tap at the sink"
    further = behind[1] if len(behind) > 1 else ""
    return after in {"against", "at"} or (after in _PUSHED and further in _ON_WHAT)


_NOTED = _words("mark note check record write count photograph")


_LOOKED = _words("look feel peer")


_TRIED = _words("test measure check try")


_WHICH = _words("which where how")


_PUSHED = _words("up down in out back")


_ON_WHAT = _words("and on at against until evenly")


def _names_first(rest: LooseClause) -> bool:
    """Whether a word that may be a verb begins a name: "clock on the hub", "grub screw out"."""
    low = [word.low for word in rest[:4]]
    behind = [*low[1:], "", ""]
    if low[0] in _PLACED_FIRST and behind[0] in PREPOSITIONS | {"out", "off"}:
        return True
    if low[0] in HURTS and behind[0] in DANGERS:
        return True  # "pinch point at the newel"
    if behind[1] == "its" and behind[0] in {"in", "on"}:
        return trade_words().kind_of(low[0]) == "part"  # "clip in its groove"
    if low[0] == "round" and not _ROUNDED & set(low[1:]):
        return True  # "round the block"
    if WORN & set(low[1:3]) and not ARTICLES & set(low):
        return "on" in low[2:] and low[0] not in _PUTS_ON  # "cut gloves on"
    compound = singular(behind[0]) in trade_words().compounds.get(low[0], ())
    compound = compound or as_phrase(low[:2]) in trade_words().phrases
    if compound and low[0] not in CLEAR_VERBS:
        return True
    state = behind[1] in {"open", "shut", "closed", "on", "off"}
    return state and low[0] in trade_words().modifiers and behind[0] in SWITCHED


HURTS = _words("pinch nip crush trip shear trap slip crimp draw")
"""Words that name a danger before these: "pinch point"."""
DANGERS = _words("point points hazard hazards")


_ROUNDED = _words("off over down edge edges corner corners end ends shoulder")


_PUTS_ON = _words("put pull pop get have keep stick")


_PLACED_FIRST = _words("clock dial hand finger thumb torch direct")


_FLOWS = _words("return flow feed drain vent bleed supply fill drive")


_STATES = _words("open shut closed hot cold warm dead live dry")


_WAYS_TO_LOOK = _words("for at with down under inside behind round around to")


# "Close coils at the bottom", "free length": how a thing is, where no article follows.
_ALSO_LOOKS = _words("close free short level square clear steady direct return dry rough smooth")


_NO_NAME_BEHIND = {"", "for", "if", "and", "or", "with"}


OBJECTS = ARTICLES | _words(
    "new old another it them one two three four five six eight ten twelve twenty everything"
)


_POURED = _words("squirt drip dribble")
# "Guard off the drive chain": nobody guards off.
_NEVER_DONE = _words("guard cover ring pipe hose lead shield case wheel belt head handle gear fan")


def _has_object(rest: LooseClause, after: str) -> bool:
    if rest[0].low == "press" and after in {"on", "in", "down", "against"}:
        return True
    if rest[0].low in _POURED and (after in NUMBERS or after[:1].isdigit()):
        return True  # "squirt 5 mil of oil in"
    if after in OBJECTS or not after:
        return after != "" and not (after == "one" and rest[0].low in trade_words().modifiers)
    if (
        after in PARTICLES
        and trade_words().kind_of(rest[0].low) is None
        and (len(rest) == 2 or rest[2].low in {"while", "until", "and", "as", "with", "on"})
    ):
        return True
    if after in {"and", "or"} and len(rest) > 2 and base_of(rest[2].low) == rest[2].low:
        return True
    if after in PARTICLES and len(rest) > 2 and rest[2].low in OBJECTS:
        kind = trade_words().kind_of(rest[0].low)
        # "Cover on the block" tells where it goes, "line up the holes" what to do.
        turned = rest[0].low not in _NEVER_DONE and after in {"off", "out", "up", "down"}
        turned = turned or rest[0].low in {"screw", "plug", "clip"}
        return (
            kind != "supply"
            and (rest[0].low != "back" or after == "off")
            and (kind not in {"part", "tool"} or turned)
        )
    if after in _WAYS_TO_LOOK and (rest[0].low in LOOKING_VERBS or rest[0].low == "try"):
        return True
    name = as_phrase([rest[0].low, after])
    known = name in trade_words().phrases or singular(after) in trade_words().compounds.get(
        rest[0].low, ()
    )
    known = known or rest[0].low in trade_words().modifiers
    nouns = trade_words().kind_of(after) in {"part", "tool", "supply"}
    return nouns and not known and trade_words().kind_of(rest[0].low) in {None, "feature", "plain"}
