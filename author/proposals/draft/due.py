"""When what was left for another day is to be done, as far as it was said."""

from __future__ import annotations

import re

from author.proposals.steps.put_off import WEEKDAY

_MONTH = (
    r"(?:january|february|march|april|may|june|july|august|september|october|november|december)"
)
_SEASON = r"(?:spring|summer|autumn|winter|christmas|easter)"
_SPAN = r"(?:day|week|fortnight|month|quarter|season|year)"
_NUMBER = (
    r"(?:an?|one|two|three|four|five|six|seven|eight|nine|ten|twelve|another|"
    r"a (?:couple of|few)|[1-9][0-9]*)"
)
_OCCASION = (
    r"(?:(?!every |each |this |last )(?:[\w-]+ )?(?:service|servicing|inspection|"
    r"overhaul|shutdown|stoppage|visit|oil change|maintenance|strip[- ]down|rebuild))"
)
_WHEN = re.compile(
    rf"\b(?:tomorrow|(?:(?:on|by|before|until|till|at|next|this) )?{WEEKDAY}|"
    rf"(?:at|on|with|during|for) (?:the|its) (?:{_SEASON}|yearly|annual|[\w-]+[- ]hours?) "
    rf"{_OCCASION}|"
    rf"(?:at|on|with|by|before|until|till|during|for) (?:the|its|her|his|your|my|our) (?:next|"
    rf"other) "
    rf"{_OCCASION}|next (?:{_SPAN}|{_SEASON}|{_OCCASION}|{_MONTH})|"
    rf"(?:in|by|before|until|till|come|over|during|for) (?:the )?(?:end of )?"
    rf"(?:early |late |mid[- ])?(?:{_MONTH}|{_SEASON})|"
    rf"(?:later |some time )?this (?:year|month|{_SEASON})|"
    rf"next time\b|another (?!day\b)(?:(?:couple of|few|two|three|six) )?{_SPAN}s?\b|"
    rf"(?:in|within) {_NUMBER} (?:more )?{_SPAN}s?(?:'s|' )?(?: time)?|"
    rf"(?:at|before|by|in|within|after) (?:another |the )?[1-9][0-9,]*(?: more)? "
    rf"(?:running |working |engine )?hours)\b",
    re.IGNORECASE,
)
_AHEAD = re.compile(
    r"\b(?:i'd|we'd|would|i'll|we'll|you'll|he'll|she'll|they'll|it'll|that'll|will|going to|gonna|"
    r"good for|can wait|(?:has|have|need|needs|want|wants|ought) to|should|must|order|not today|"
    r"wants? (?:doing|changing|replacing)|"
    r"needs? \w+ing|(?:we|i) (?:make|do|change|fix|replace) (?:it|that|this|them)?|(?:report|"
    r"write|note|"
    r"log) (?:it|that|them|this)|leave|"
    r"(?:that|it|they|those)(?:'s|'re| is| are) (?:one |some |something |a job )?for|"
    r"leaving|left|order|book|booked|due|put (?:it|that|this) off|do that|"
    r"do it|do this|save (?:it|that))\b",
    re.IGNORECASE,
)
_BEHIND = re.compile(
    r"\b(?:last|ago|since|already|previously|was (?:done|changed|replaced|fitted|renewed)|"
    r"(?:i|we|he|she|they|somebody|someone) (?:did|changed|replaced|fitted|renewed))\b",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r"[.;:!?]+\s|, (?=(?:but|so|and)\b)")


def due_of(said: str) -> str | None:
    """Return when it is to be done, in the words that were said; None if that was not told.

    A time counts where its own clause puts something off to it: what was done then does not.
    """
    for clause in _CLAUSE.split(said.replace("’", "'")):
        ahead = _AHEAD.search(clause)
        if ahead is None or _BEHIND.search(clause):
            continue
        if (found := _WHEN.search(clause)) is not None:
            words = found.group().strip()
            return words[:1].upper() + words[1:]
    return None
