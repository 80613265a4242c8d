"""Turns of phrase that tell a wish, and what comes of a value that is past its limit."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.cues import SOFT

# "I want tails over ten on every one", "you're after more than fifty".
WISHED = re.compile(
    r"\b(?:wants?|wanna|need|needs|like|likes|prefer|looking for|looking at|after|aiming for"
    r"|aim for"
    r"|expect|hoping for|hope for|shoot for|(?:should|must|ought to|has to|have to|got to|gotta)"
    r" (?:have|get|see|be|give|show|read|hold|make|find|stay|come|pull|leave))"
    r"(?! (?:to|you to) (?:go|be going|stop|run))"
    r"(?: (?!(?:if|when|once|unless|until|but|not|no|never|nothing|don't|than|anything|anywhere)\b)"
    r"[a-z']+){0,4}? "
    rf"(?:(?P<over>more than|over|above|north of|better than|upwards of|greater than|bigger than"
    rf"|longer than|higher than)|(?P<under>less than|under|below|fewer than|smaller than"
    rf"|lower than|shorter than|south of)){SOFT}"
)
DENIED = re.compile(
    r"\b(?:don't|doesn't|didn't|won't|wouldn't|do not|not|never|nobody|no)(?: \w+)?,? ?$"
)
MOVED_OVER = re.compile(
    r"\b(?:slide|slid|move|shift|pull|push|tap|nudge|bring|scoot|swing|lay|fold|lap|knock|slip"
    r"|walk|ease)\b(?: [a-z']+){0,3} over(?: (?:about|around|roughly|maybe|a|an|say))*$"
)
# Words of trouble in a denial are none: "no problem", "don't worry", "won't hurt".
_NO_TROUBLE = re.compile(
    r"\b(?:(?:no|not (?:a|the|any|much of a)|never (?:a|any)|without(?: any)?|nothing"
    r"|isn't a|ain't no) (?:problems?|worry|worries|trouble|drama|dramas|bother|harm|fault|issue"
    r"|issues|leaks?|big deal|wrong|to worry about|fear|wear)"
    r"|(?:don't|do not|needn't|no need to|never) (?:you )?(?:worry|bother|fret|panic|touch|change"
    r"|replace|chase)(?: about)?(?: it)?"
    r"|won't (?:hurt|matter|notice|bother|leak|fail|wear|come to any harm|do any harm"
    r"|be a problem))"
)


def in_plain_words(words: str) -> str:
    """Return words with each denial of trouble as one word of content."""
    return _NO_TROUBLE.sub("fine", words)


# What follows a value that is accepted.
GOOD_COMES = re.compile(
    r"\b(?:long|years?|lasts?|live|lives|job's (?:a good|done)|nice|lovely|grand|great|sound"
    r"|serviceable|within|in spec|in limits|does (?:it|me|us|fine|nicely)|suits|will do|'ll do"
    r"|legal|well|go again|stays?|quiet|smooth|for ?ever|home and dry|sorted|reusable|as new|runs?"
    r"|works?|relax|reckon it's in)\b"
)
FLOOR_LATER = re.compile(
    r"\b(?:(?:don't|do not|never|you mustn't|no|nothing|not) (?:go |get |take it |be |any )?"
    r"(?:under|below|lower than|less than|beneath) (?:it|that)\b"
    r"|that's (?:the |your )?(?:very |bare )?"
    r"(?:least|min(?:imum)?)\b)"
)
# "twenty-seven point six volts is the figure"
IS_WANTED = re.compile(
    r",? ?(?:is|'s|that's) (?:the|your|our|my) (?:figure|number|spec|setting|target|value|aim"
    r"|one you want|one we want|size you want)\b"
)
# "it has to be gone in twenty seconds"
DUE = re.compile(
    r"\b(?:must|should|has to|have to|got to|needs? to|ought to)(?: [a-z]+){1,4} (?:in|by)$"
)
