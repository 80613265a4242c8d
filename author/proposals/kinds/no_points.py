"""Words that sound like an order of work or like which way round a part goes, and tell neither.

An order tells which of several things comes first; which way round a part goes tells its side,
end or mark. "The first turn", "in three places", "your face away", "out of the bottom" do not.
"""

from __future__ import annotations

from itertools import pairwise

from author.checks.verbs import ARTICLES, words
from author.proposals.kinds.marks import Hit
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.plain_words import NUMBER_WORDS, Plain
from author.proposals.language.trade_words import trade_words

_OWN = words("your my yer his her their our ye")
_BODY = words(
    "face head hand hands eye eyes ear ears finger fingers arm arms hair body nose foot feet"
)


def no_point(said: Plain, hit: Hit) -> bool:
    """Whether a sign of an order or of a way round tells of something else.

    Args:
        said: the words of the sentence.
        hit: the sign.
    """
    if hit.kind == "order":
        return _no_order(said, hit)
    return hit.kind == "orientation" and _no_way_round(said, hit)


def _no_order(said: Plain, hit: Hit) -> bool:
    told = said.words[hit.first : hit.stop]
    behind = said.word(hit.stop)
    if "first" in told and "then" not in told and _is_a_stretch(said, hit):
        return True
    if told[0] == "before":
        return _before_anything(said, hit)
    if told[-2:] in {("in", "two"), ("in", "three")}:
        return bool(behind) and behind not in _STAGES and not said.marks[hit.stop - 1]
    if told[-1] == "only" and told[0] in {"hand", "finger"}:
        return True  # "hand tight only" says how tight
    if told[0] in {"they", "it"} and told[-1] in {"off", "out", "apart"}:
        return said.word(hit.first - 1) not in _AS
    if told == ("at", "the", "end"):
        return bool(behind) and not said.marks[hit.stop - 1]
    return told == ("side", "to", "side")


_STAGES = words("stages passes steps goes bites rounds lots hits stage times")
_AS = words("as like how order sequence way reverse")
_LATER = words("then second next last after")
# "For the first turn", "the first time you press": a stretch of one thing, not one of several.
_STRETCHES = words(
    """
    time times turn turns thread threads hour hours minute minutes second seconds day days week
    mile miles run runs start light go go's place floor gear few bit part half light inch
    millimetre mil thou stroke kilometre kilometres
    """
)


def _is_a_stretch(said: Plain, hit: Hit) -> bool:
    """Whether "the first" names a stretch or one thing, and nothing is told to come after it."""
    at = next(n for n in range(hit.first, hit.stop) if said.words[n] == "first")
    behind = said.word(at + 1)
    numbered = behind[:1].isdigit() or behind in NUMBER_WORDS - {"one"}
    if said.marks[at] or said.word(at - 1) not in {"the", "that", "my", "your"}:
        return False
    return behind in _STRETCHES or numbered or _LATER.isdisjoint(said.words[at:])


def _before_anything(said: Plain, hit: Hit) -> bool:
    """Whether words say before what and name nothing: "before you do anything else"."""
    after = [
        word for word in said.words[hit.first + 1 : hit.first + 6]
        if word not in {"you", "we", "i", "even", "ever"}
    ]  # fmt: skip
    return after[:2] in (["do", "anything"], ["do", "any"]) or after[:1] in (["start"], ["begin"])


def _no_way_round(said: Plain, hit: Hit) -> bool:
    told = said.words[hit.first : hit.stop]
    before, behind = said.word(hit.first - 1), said.word(hit.stop)
    if _of_the_body(told, before, behind):
        return True
    if told[0] in {"out", "through"} and "the" in told:
        return told[-1] not in _ENDS or is_fastener(before)  # "four bolts out of the drive end"
    outside_in = (told[0] == "from" and behind in {"in", "out"}) or before == "the"
    outside_in = outside_in and told[0] in {"from", "outside", "inside"}
    if outside_in or (told[:2] == ("turn", "it") and behind in _BY_HAND):
        return True
    if len(told) == 2 and _is_moved(said, hit, told):
        return True
    if told[0] == "spring" and before in {"in", "this", "next", "last"}:
        return True  # of the year
    if told == ("sideways",) or told[:2] == ("looking", "at"):
        return told == ("sideways",) or trade_words().kind_of(before) is None
    return len(told) == 2 and told[0] in _WHOLE and _goes_with_the_verb(said, hit)


_BY_HAND = words("by and slowly a till until")
_MOVED = words("spring plate head heads ring step")
_WORKS = words(
    """
    drive strap clean press push tap knock pull bolt hold tie hammer wipe warm jack clamp tighten
    screw wash nip
    """
)


def _is_moved(said: Plain, hit: Hit, told: tuple[str, ...]) -> bool:
    """Whether a part is moved as a whole: "straight up", "spring in", "throat plate out"."""
    if told[-1] in {"up", "down"}:
        return told[0] in {"straight", "right"} or _is_worked(said, hit)
    return told[0] in _MOVED and told[-1] in {"in", "out"} and said.word(hit.stop) != "with"


def _is_worked(said: Plain, hit: Hit) -> bool:
    """Whether "up" or "down" goes with a verb: "strap the back end down", "clean the faces up"."""
    for place in range(hit.first - 1, max(-1, hit.first - 1 - _NEAR), -1):
        if said.marks[place]:
            return False
        if said.words[place] in _WORKS:
            return True
    return False


_NEAR = 4


_ENDS = words("side end face flange pulley motor underside drive-end")
# "Seal in", "the spring out": a whole part is moved, and none of its sides is told.
_WHOLE = words(
    """
    seal spring head heads hub hole holes groove grooves slot plate shield cup flange cone step
    ring open notch
    """
)


def _of_the_body(told: tuple[str, ...], before: str, behind: str) -> bool:
    """Whether a face is somebody's and no part's: "keep your face away from the ports"."""
    owned = any(one in _OWN and two in _BODY for one, two in pairwise(told))
    out_of = told[0] in _BODY and told[-1] == "out" and behind == "of"
    return owned or out_of or (told[0] in _BODY and before in _OWN)


def _goes_with_the_verb(said: Plain, hit: Hit) -> bool:
    """Whether "in", "out" or "back" says where a part is put and not which way it looks."""
    way, behind = said.words[hit.stop - 1], said.word(hit.stop)
    ends = not behind or bool(said.marks[hit.stop - 1])
    article = next(
        (n for n in (1, 2) if said.word(hit.first - n) in ARTICLES | {"that", "your", "old"}), 0
    )
    named = bool(article) and said.word(hit.first - article - 1) not in {"with", "has", "goes"}
    if way in {"in", "on", "back"}:
        goes_on = not ends and behind not in {"with", "line", "first"}
        return goes_on or named or way != "in"
    return way == "out" and (named or (not ends and behind in {"the", "of", "with", "through"}))
