"""Words that leave open how much, numbers left to the reader, verdicts in place of a sight."""

from __future__ import annotations

import re

from author.checks.text import Phrases, tokens
from author.checks.verbs import words

_VAGUE = Phrases(
    """
    (as|if|when|where) (required|necessary|needed|appropriate|applicable)
    (?! (by|in|on|for|under|to)\\b), (if|where|when) possible,
    properly, adequate(ly)?, sufficient(ly)?, appropriate(ly)?, suitabl[ey], reasonabl[ey], firmly,
    tightly, correctly, excessive(ly)?, proper(?= [a-z]), frequently, occasionally, periodically,
    regularly, from time to time, a (little|few|couple of|lot of|small amount)(?! at a time),
    a bit(?= (more|less|of [a-z]|[a-z]+er|too)\\b|[.;]|$), plenty of,
    (some|several|various)(?= [a-z]),
    roughly, (approximately|approx[.]?|circa|ca[.]) ?(#|one|two|three|half),
    about (half|one|two|three|four|five|ten), (about|around) # ?([µkm]?[mgNALVs]|N·m|cm|ml|in|inch*
    |°|°[CF]|deg*|%|psi|bar|turns?|times?|drops?|min*|sec*|hours?|lit*|rev*|thou*),
    etc, and so on, the usual (way|manner|amount), as usual, not too [a-z]+, good and [a-z]+,
    enough(?!…(to|that|for|so)\\b)
    """
)
# "Hand-tight" and "leak-tight" can be told; a seat or a bend may be tight by its nature.
_TIGHT = re.compile(
    r"(?<![-\w])(?<!hand\s)(?<!finger\s)(?<!water\s)(?<!leak\s)(?<!air\s)(?<!light\s)tight\b"
    r"(?!(?:\s|-)(?:fit|bend|corner|space|bore|radius|curve|spot|joint|tolerance|side|end|place"
    r"|against|over|around|round|up|turn|coil|roll|loop|knot|link)\b)",
    re.IGNORECASE,
)
# What is pulled tight is seen to be straight.
_DRAWN = Phrases("(pull|draw|stretch|wind|wrap)* … tight")

_NUMBERS = (
    "((value|reading|measurement|torque|pressure|clearance|gap|play|force|tension|preload|voltage"
    "|current|result|difference|limit|figure|tolerance|dimension|speed|interference|flow|load)s?"
    "|runout|backlash)"
)
_THE_NUMBER = f"(the|that|this|its|their|full) ([a-z]+ )?{_NUMBERS}"
_LENGTH = "(mm|µm|um|cm|in|inch|inches|thou|°|degrees?|N·m|Nm|kPa|bar|psi|N|V|mV)"
_RECKONED = Phrases(
    f"""
    (half|a third|a quarter|two thirds|three quarters|double|twice|three times|\\d+ times)
    (of )?{_THE_NUMBER}, # ?(%|per cent) of {_THE_NUMBER},
    # ?(%|per cent) (less|more|higher|lower|larger|smaller), subtract(ed|ing)?, calculated?,
    computed?, (multiply|divide) … by, work out (the )?(value|difference|mean|average|sum|ratio
    |shim|thickness|number), add # ?{_LENGTH} to, add … to {_THE_NUMBER},
    the (sum|average|mean) of, (difference|ratio) between … {_NUMBERS},
    (?<!or\\s)(plus|minus) (#|the|half), # ?{_LENGTH} (more|less|larger|smaller|longer|shorter
    |deeper|wider|thicker|thinner|higher|lower|greater) than (the|its|that)
    """
)
_BEFORE_VERDICT = words(
    """
    a all an are be both each everything feels in is it look looks must quite seem seems shall
    should sound sounds still the they to very visually
    """
)
_BEFORE_NOUN = words("all both each the")
_SAID = """
    ok, okay, o.k, good, fine, satisfactory, acceptable, accepted, pass, passes, passed, correct,
    right, proper, normal, all right, order, working order, good condition, proper condition,
    acceptable condition, fair condition, as it should, as they should, as it should be,
    as they should be, as expected, sat, no problem, no problems, no issue, no issues, yes, checked,
    done, work, works, serviceable, usable, suitable, sound
"""
_VERDICTS = frozenset(" ".join(verdict.split()) for verdict in _SAID.split(","))


def vague(text: str) -> str | None:
    """Return the first words of a text that leave open how much or in what way, or None."""
    found = _VAGUE.search(text)
    if found is not None:
        return found
    tight = _TIGHT.search(text)
    return None if tight is None or _DRAWN.search(text) is not None else tight[0]


def reckoned(text: str) -> str | None:
    """Return the first words of a text that ask the reader to work out a number, or None."""
    return _RECKONED.search(text)


def no_observation(accept: str) -> bool:
    """Whether what is accepted is only a verdict, such as "OK" or "in good condition"."""
    said = tokens(accept)
    while said:
        if " ".join(said) in _VERDICTS:
            return True
        if said[0] not in _BEFORE_VERDICT:
            return False
        # "The bearing is good": what is judged says nothing of what is seen.
        noun = said[0] in _BEFORE_NOUN and said[1:2] and said[1] not in _BEFORE_VERDICT
        said = said[2:] if noun else said[1:]
    return False
