"""Guesses which part of a job is being told: making safe, removal, inspection, fitting, closing.

Each sentence has words that speak for one part; the parts follow one another in that order
in most jobs, so going on costs little, going back more. The cheapest way through all
sentences of a recording is taken (the algorithm of Viterbi).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal, get_args

from author.proposals.speech.spoken import Sentence

Phase = Literal["make_safe", "removal", "inspection", "fitting", "closing"]
PHASES: tuple[Phase, ...] = get_args(Phase)

_ON = 2.5
_BACK = 3.5
_MOST = 3.0

_CUES: dict[Phase, re.Pattern[str]] = {
    "make_safe": re.compile(
        r"\b(?:isolat\w+|padlock\w*|lock(?:ed|ing)? (?:\w+ ){0,3}(?:out|off)|"
        r"lock and tag|tagged|unplug\w*|"
        r"switch(?:ed)? (?:it |them )?off|switch off|power off|turn (?:it |the power )?off|"
        r"mains|breaker|disconnect the battery|battery off|try to start|dead|"
        r"let (?:all )?the (?:air|pressure) (?:out|off)|(?:release|bleed|dump|drop) the pressure|"
        r"wind the tension|tell the others|key out|spark plug lead|chock\w*|axle stands?|"
        r"jack it up|cool down|shut (?:the )?(?:water|gas|valves?)(?: off)?)\b",
        re.IGNORECASE,
    ),
    "removal": re.compile(
        r"\b(?:comes? (?:off|out|away|apart|free|loose)|coming (?:off|out)|"
        r"(?:tak|pull|knock|driv|drift|press|pop|lift|slid|back|draw|wind|tap|pry|pris|pick|hook|lever|"
        r"wiggl|eas|fish|work)\w*"
        r"(?: \w+){0,5} (?:off|out|away|apart)|"
        r"remov\w+|undo\w*|undid|unscrew\w*|unbolt\w*|unclip\w*|loosen\w*|slacken\w*|"
        r"strip\w*(?: \w+){0,2} (?:down|apart)|dismantl\w+|disassembl\w+|disconnect\w*|detach\w*|"
        r"straight back|hold(?:s|ing) (?:\w+ ){1,3}(?:on|in|down|together)|"
        r"drain\w*|bend the tab back|puller|extractor|falls free|first off|old (?:one|ones)|"
        r"(?:nut|bolt|screw|cover|cap|clip|ring|wheel|belt|pin)s? off)\b",
        re.IGNORECASE,
    ),
    "inspection": re.compile(
        r"\b(?:measur\w+|inspect\w*|have a (?:good )?look|look (?:at|for|with)|check\w*|feel|gauge|"
        r"micrometer|mic|calipers?|callipers?|worn|cracks?|cracked|scor(?:ed|ing)|"
        r"(?<!will )(?<!'ll )scores?|"
        r"wear(?! (?:gloves|glasses|goggles|eye|your|a |ear|plate|ring|strip|pad|sleeve))|"
        r"pitt(?:ed|ing)|clean\w*|wash\w*|degreas\w+|wip(?:e|ed|ing)|blow (?:it|them) (?:out|off)|"
        r"no (?:scores|play|marks|steps|cracks)|spec|reads?|reading|within|limit)\b",
        re.IGNORECASE,
    ),
    "fitting": re.compile(
        r"\b(?:goes? (?:in|on|back|over)|going (?:in|on|back)|back (?:on|in|together|over)|"
        r"(?:put|pop|slid|slip|push|press|drop|tap|wind|thread|screw|drift)\w*"
        r"(?: \w+){0,5} (?:on|in|into|onto|home|down|over)|"
        r"fit(?:s|ted|ting)?|refit\w*|install\w*|reinstall\w*|reassembl\w+|assembl\w+|"
        r"new (?:one|ones|bearings?|seals?|gaskets?|rings?|washers?|filters?|belts?|pins?|nuts?)|"
        r"torque\w*|tighten\w*|nip(?:ped)? (?:it|them|up)|newton met\w+|foot pounds?|inch pounds?|"
        r"grease\w*|oil(?:ed)? (?:it|the)|smear|dab|threadlock\w*|till it (?:clicks|seats)|"
        r"until it (?:clicks|seats)|seats?|nut on|tab over)\b",
        re.IGNORECASE,
    ),
    "closing": re.compile(
        r"\b(?:test(?: it| run| drive|ed|ing)?|run(?: it|ning)? up|start it up|fire it up|"
        r"spin (?:it|the \w+)|end float|runout|plug it (?:back )?in|power back|"
        r"switch it (?:back )?on|"
        r"check for leaks|no leaks|bleed\w*|top (?:it )?up|refill\w*|adjust\w*|tension it|"
        r"covers? back|guards? back|lock (?:off|stays)|tag (?:off|stays)|"
        r"hand (?:it )?(?:back|over)|"
        r"that'?s (?:it )?(?:done|finished)|all done|job done|tidy up|sign (?:it )?off|last thing|"
        r"finally|another job|next time)\b",
        re.IGNORECASE,
    ),
}
# Words that speak twice as loud, since they say the part itself.
_TITLES: dict[Phase, re.Pattern[str]] = {
    "make_safe": re.compile(r"\bmake (?:it|that|this|everything)? ?safe\b", re.IGNORECASE),
    "removal": re.compile(r"\b(?:strip[- ]?down|take it apart|teardown)\b", re.IGNORECASE),
    "inspection": re.compile(
        r"\b(?:let'?s (?:see|have a look) what|measure everything)\b", re.IGNORECASE
    ),
    "fitting": re.compile(
        r"\b(?:now (?:it'?s|we'?re) going back|back together|reassembly|put it all back)\b",
        re.IGNORECASE,
    ),
    "closing": re.compile(
        r"\b(?:moment of truth|see if it (?:runs|works)|final check|before we (?:finish|close))\b",
        re.IGNORECASE,
    ),
}
_LETTERS = 600
"""Letters of a sentence that are looked at."""


def cues_of(text: str) -> dict[Phase, float]:
    """Return how loud the words of a sentence speak for each part of the job, 0 to 3."""
    said = text[:_LETTERS]
    found: dict[Phase, float] = {}
    for phase in PHASES:
        score = len(_CUES[phase].findall(said)) + 2.0 * len(_TITLES[phase].findall(said))
        found[phase] = min(score, _MOST)
    return found


def phases_of(
    sentences: Sequence[Sentence], beside: frozenset[int] = frozenset()
) -> tuple[Phase, ...]:
    """Return the part of the job each sentence is guessed to belong to.

    Args:
        sentences: what was said, recording after recording; each recording begins anew.
        beside: those that are no work, by index: what they tell of says nothing of the place.
    """
    told = [cues_of("" if n in beside else one.text) for n, one in enumerate(sentences)]
    guessed: list[Phase] = []
    first = 0
    for index in range(1, len(sentences) + 1):
        if index == len(sentences) or sentences[index].recording != sentences[first].recording:
            guessed += _way_through(told[first:index])
            first = index
    return tuple(guessed)


def _way_through(cues: Sequence[dict[Phase, float]]) -> list[Phase]:
    """Return the part for each sentence that costs least on the whole way."""
    costs = [0.3 * n for n in range(len(PHASES))]
    came: list[list[int]] = []
    for told in cues:
        before, costs, steps = costs, [], []
        for here, phase in enumerate(PHASES):
            moves = [before[there] + _move(there, here) for there in range(len(PHASES))]
            best = min(range(len(PHASES)), key=moves.__getitem__)
            costs.append(moves[best] - told[phase])
            steps.append(best)
        came.append(steps)
    here = min(range(len(PHASES)), key=costs.__getitem__)
    way: list[Phase] = []
    for steps in reversed(came):
        way.append(PHASES[here])
        here = steps[here]
    return way[::-1]


def _move(there: int, here: int) -> float:
    if here == there:
        return 0.0
    return _ON if here > there else _BACK
