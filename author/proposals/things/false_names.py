"""Names that stand for no thing of the job: dirt, a state, a harm, the machine that is mended."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.checks.verbs import words as _words
from author.proposals.language.noun_phrases import Phrase
from author.proposals.language.tokens import Token

_SPOILED = _words(
    "milky dirty filthy burnt burned contaminated cloudy manky gunky rancid spent waste watery"
)
_GONE = re.compile(
    r"(?:has|have|had|'s|is|was)? ?(?:all )?(?:gone|turned|dried|set|baked)\b"
    r"(?: to| up| out| like| into)? ?"
    r"(?:glue|hard|black|thick|solid|off|sticky|stiff|dry|wax|tar|milky|varnish|toffee|brown)?\b"
)
_HARMED = _words("slipped slipping dropped worn-out rounded-off chewed")
_A_BIT = _words("bit sort kind hint touch")


def is_spoiled(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a supply is the old one by what has become of it: "milky oil", "grease gone hard"."""
    if any(token.low in _SPOILED for token in tokens[phrase.first : phrase.stop - 1]):
        return True
    behind = " ".join(token.low for token in tokens[phrase.stop : phrase.stop + 5])
    return _GONE.match(behind) is not None


def is_kept_in(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether it is only told what a seal keeps back: "faces in to keep oil in"."""
    before = tokens[phrase.first - 1].low if phrase.first else ""
    behind = tokens[phrase.stop].low if phrase.stop < len(tokens) else ""
    return before in _KEEPING and behind in {"in", "out", "from", "back", "off", "inside"}


_KEEPING = _words("keep keeps keeping hold holds holding stop stops let lets letting")


def is_a_trace(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a tool's name is what is wrong with a thing: "a bit of a hook on it"."""
    before = [token.low for token in tokens[max(0, phrase.first - 2) : phrase.first]]
    of = len(before) == 2 and before[1] == "of" and before[0] in _A_BIT
    return of and phrase.article in {"a", "an"} and not tokens[phrase.first].parted


def is_harmed(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a tool is named for what it does when it goes wrong: "a slipped driver"."""
    return tokens[phrase.name_first].low in _HARMED and phrase.kind == "tool"


def is_able(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether "can" is no can: "the oil can go straight through your skin"."""
    behind = tokens[phrase.stop].low if phrase.stop < len(tokens) else ""
    return tokens[phrase.stop - 1].low == "can" and behind in _DOES


_DOES = _words(
    "go get be come leak spray burn catch run blow fly hit build drip flow spill squirt shoot "
    "cause still also really easily just only never drop fall ignite escape damage hurt stay"
)


def is_a_travel(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a tool's name is a way that is measured: "forty-one millimetres of extension"."""
    before = [token.low for token in tokens[max(0, phrase.first - 2) : phrase.first]]
    measured = len(before) == 2 and before[1] == "of" and before[0] in _MEASURED
    return measured and tokens[phrase.stop - 1].low in {"extension", "compression", "stroke"}


_MEASURED = _words(
    "mil mill mm millimetres millimeters millimetre millimeter inch inches thou centimetres cm"
)


def is_the_machine(tokens: Sequence[Token], phrase: Phrase, index: int) -> bool:
    """Whether what sounds like a tool is what the job is done to: "the vanes of the vacuum pump".

    Args:
        tokens: the words of the sentence.
        phrase: the name.
        index: of the sentence; only the first tell what the job is.
    """
    if index >= _FIRST or phrase.kind != "tool" or phrase.article not in {"the", "this", "a"}:
        return False
    before = tokens[phrase.first - 1].low if phrase.first else ""
    ahead = {token.low for token in tokens[: phrase.first]}
    return before in {"of", "on", "in"} and bool(ahead & _JOB) and bool(ahead & _RENEWING)


_FIRST = 3
_JOB = _words("today we're i'm gonna going how")
_RENEWING = _words(
    "change changing replace replacing renew renewing swap swapping rebuild rebuilding repair "
    "repairing fix fixing service servicing overhaul overhauling reseal resealing do doing"
)
