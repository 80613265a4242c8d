"""Guesses which part of a job is being told: making safe, removal, inspection, fitting, closing.

Each sentence has words that speak for one part, and the parts follow one another; the likeliest
way through all sentences is taken.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal, get_args

from author.proposals.speech.spoken import Sentence
from author.resources import load_own_table

Phase = Literal["make_safe", "removal", "inspection", "fitting", "closing"]
PHASES: tuple[Phase, ...] = get_args(Phase)

_MOST = 3.0

# Small letters; the end of a word is passed over at once.
_CUES: dict[Phase, re.Pattern[str]] = {
    "make_safe": re.compile(
        r"\b(?=\w)(?:isolat\w+|padlock\w*|lock(?:ed|ing)? (?:\w+ ){0,3}(?:out|off)|"
        r"lock and tag|tagged|unplug\w*|key in (?:my|your|the) pocket|"
        r"(?:put|hang|clip) (?:a|the|my|your|our) (?:own )?(?:pad)?(?:lock|tag)"
        r"(?!s? ?(?:nut|ring|washer|plate|tab|pin|bolt|screw|wire))|"
        r"switch(?:ed)? (?:it |them |the (?:machine|engine|motor|power|pump|mains) )?off|power off|"
        r"turn (?:it |the (?:power|machine|engine|motor|mains|water|gas|air|supply) )?off|"
        r"pull (?:the )?plug(?! (?:wire|cap|lead|boot|out and look))|"
        r"plug(?:'s)?(?: is)?(?: right| well)? (?:out of|from) the (?:wall|socket|outlet)|"
        r"(?:take|pull)\w* (?:the |your )?(?:\w+ )?batter(?:y|ies)(?: pack)? out|"
        r"batter(?:y|ies)(?:'s)? (?:is |are )?(?:out|off)|"
        r"mains|breaker|disconnect the battery|battery off|try to start|dead|"
        r"let (?:all )?the (?:air|pressure) (?:out|off)|(?:release|bleed|dump|drop) the pressure|"
        r"wind the tension|tell the others|key out|spark plug lead|chock\w*|axle stands?|"
        r"jack it up|cool down|shut (?:the )?(?:water|gas|valves?)(?: off)?)\b",
    ),
    "removal": re.compile(
        r"\b(?=\w)(?:comes? (?:off|out|away|apart|free|loose)|coming (?:off|out)|"
        r"(?:tak|pull|knock|driv|drift|press|pop|lift|slid|back|draw|wind|tap|pry|pris|pick|hook|lever|"
        r"wiggl|eas|fish|work)\w*"
        r"(?: \w+){0,5} (?:off|out|away|apart)|"
        r"remov\w+|undo\w*|undid|unscrew\w*|unbolt\w*|unclip\w*|loosen\w*|slacken\w*|"
        r"strip\w*(?: \w+){0,2} (?:down|apart)|dismantl\w+|disassembl\w+|disconnect\w*|detach\w*|"
        r"straight back|hold(?:s|ing) (?:\w+ ){1,3}(?:on|in|down|together)|"
        r"drain\w*|bend the tab back|puller|extractor|falls free|first off|old (?:one|ones)|"
        r"(?:nut|bolt|screw|cover|cap|clip|ring|wheel|belt|pin)s? off)\b",
    ),
    "inspection": re.compile(
        r"\b(?=\w)(?:measur\w+|inspect\w*|have a (?:good )?look|look (?:at|for|with)|check\w*|feel|"
        r"gauge|micrometer|mic|calipers?|callipers?|worn|cracks?|cracked|scor(?:ed|ing)|"
        r"(?<!will )(?<!'ll )scores?|"
        r"wear(?! (?:gloves|glasses|goggles|eye|your|a |ear|plate|ring|strip|pad|sleeve))|"
        r"pitt(?:ed|ing)|clean\w*|wash\w*|degreas\w+|wip(?:e|ed|ing)|blow (?:it|them) (?:out|off)|"
        r"no (?:scores|play|marks|steps|cracks)|spec|reads?|reading|within|limit)\b",
    ),
    "fitting": re.compile(
        r"\b(?=\w)(?:goes? (?:in|on|back|over)|going (?:in|on|back)|back (?:on|in|together|over)|"
        r"(?:put|pop|slid|slip|push|press|drop|tap|wind|thread|screw|drift)\w*"
        r"(?: \w+){0,5} (?:on|in|into|onto|home|down|over)|"
        r"fit(?:s|ted|ting)?|refit\w*|install\w*|reinstall\w*|reassembl\w+|assembl\w+|"
        r"new (?:one|ones|bearings?|seals?|gaskets?|rings?|washers?|filters?|belts?|pins?|nuts?)|"
        r"torque\w*|tighten\w*|nip(?:ped)? (?:it|them|up)|newton met\w+|foot pounds?|inch pounds?|"
        r"grease\w*|oil(?:ed)? (?:it|the)|smear|dab|threadlock\w*|till it (?:clicks|seats)|"
        r"until it (?:clicks|seats)|seats?|nut on|tab over)\b",
    ),
    "closing": re.compile(
        r"\b(?=\w)(?:test(?: it| run| drive|ed|ing)?|run(?: it|ning)? up|start it up|fire it up|"
        r"spin (?:it|the \w+)|end float|runout|plug it (?:back )?in|power back|"
        r"switch it (?:back )?on|"
        r"check for leaks|no leaks|bleed\w*|top (?:it )?up|refill\w*|adjust\w*|tension it|"
        r"covers? back|guards? back|lock (?:off|stays)|tag (?:off|stays)|"
        r"hand (?:it )?(?:back|over)|"
        r"that'?s (?:it )?(?:done|finished)|all done|job done|tidy up|sign (?:it )?off|last thing|"
        r"finally|another job|next time)\b",
    ),
}
# Words that speak twice as loud, since they say the part itself.
_TITLES: dict[Phase, re.Pattern[str]] = {
    "make_safe": re.compile(r"\bmake (?:it|that|this|everything)? ?safe\b"),
    "removal": re.compile(r"\b(?=\w)(?:strip[- ]?down|take it apart|teardown)\b"),
    "inspection": re.compile(r"\b(?=\w)(?:let'?s (?:see|have a look) what|measure everything)\b"),
    "fitting": re.compile(
        r"\b(?=\w)(?:now (?:it'?s|we'?re) going back|back together|reassembly|put it all back)\b",
    ),
    "closing": re.compile(
        r"\b(?=\w)(?:moment of truth|see if it (?:runs|works)|final check|"
        r"before we (?:finish|close))\b",
    ),
}
_LETTERS = 600
"""Letters of a sentence that are looked at."""


def cues_of(text: str) -> dict[Phase, float]:
    """Return how loud the words of a sentence speak for each part of the job, 0 to 3."""
    said = text[:_LETTERS].lower()
    return {phase: _loud(said, phase) for phase in PHASES}


@lru_cache(maxsize=64)  # while a step is open, its orders are asked about again and again
def makes_safe(text: str) -> bool:
    """Whether the words of an order speak of making a machine safe."""
    return _loud(text[:_LETTERS].lower(), "make_safe") > 0


def _loud(said: str, phase: Phase) -> float:
    score = len(_CUES[phase].findall(said)) + 2.0 * len(_TITLES[phase].findall(said))
    return min(score, _MOST)


def phases_of(
    sentences: Sequence[Sentence], beside: frozenset[int] = frozenset()
) -> tuple[Phase, ...]:
    """Return the part of the job each sentence is guessed to belong to.

    Each part is weighed by the words of the sentence, by how far the talk has come, and by the
    part told before (the likeliest way through a hidden Markov chain, found as by A. Viterbi,
    IEEE Trans. Inf. Theory 13 (1967) 260-269). The points are fitted on talk of our own.

    Args:
        sentences: what was said, recording after recording; the job goes on from one to the next.
        beside: those that are no work, by index: what they tell of says nothing of the place.
    """
    if not sentences:
        return ()
    table = _points()
    weighed = []
    for n, one in enumerate(sentences):
        usual = table.usual[min(len(table.usual) - 1, n * len(table.usual) // len(sentences))]
        told = _shares(table, one.text) if n not in beside else _ALIKE
        weighed.append([t + u for t, u in zip(told, usual, strict=True)])
    return _way_through(weighed, table.moves)


def signs_of(text: str) -> frozenset[str]:
    """Return what tells the part of the job in a sentence: its words, and cues of each part."""
    words = frozenset(_WORD.findall(text[:_LETTERS].lower().replace("\u2019", "'")))
    cues = (
        f"cue {phase} {n}" for phase, loud in cues_of(text).items() for n in range(1, int(loud) + 1)
    )
    return words | frozenset(cues)


_WORD = re.compile(r"[a-z']+")
_ALIKE = (0.0,) * len(PHASES)


@dataclass(frozen=True, slots=True)
class _Points:
    """Points of the parts of a job, in the order of ``PHASES``, as natural logarithms.

    Attributes:
        base: for each part, whatever is said.
        signs: for each part, where a sign is met.
        usual: for each stretch of the talk, the share of each part.
        moves: from each part to each.
    """

    base: Sequence[float]
    signs: Mapping[str, Sequence[float]]
    usual: Sequence[Sequence[float]]
    moves: Sequence[Sequence[float]]


@cache
def _points() -> _Points:
    """Return the fitted points, read once."""
    return _Points(**load_own_table("section_points.yaml"))


def _shares(table: _Points, text: str) -> list[float]:
    """Return the logarithm of how likely each part is by the words alone."""
    # Added up exactly: signs are a set, and its order must not tell.
    found = [table.signs[sign] for sign in signs_of(text) if sign in table.signs]
    points = [
        math.fsum([base, *(sign[part] for sign in found)]) for part, base in enumerate(table.base)
    ]
    most = max(points)
    whole = most + math.log(math.fsum(math.exp(one - most) for one in points))
    return [one - whole for one in points]


def _way_through(
    weighed: Sequence[Sequence[float]], moves: Sequence[Sequence[float]]
) -> tuple[Phase, ...]:
    """Return the part for each sentence on the way that gathers most points."""
    parts = range(len(PHASES))
    points = list(weighed[0])
    came: list[list[int]] = []
    for told in weighed[1:]:
        best = [max(parts, key=lambda there: points[there] + moves[there][here]) for here in parts]
        points = [points[best[here]] + moves[best[here]][here] + told[here] for here in parts]
        came.append(best)
    here = max(parts, key=points.__getitem__)
    way = [here]
    for best in reversed(came):
        here = best[here]
        way.append(here)
    return tuple(PHASES[one] for one in reversed(way))
