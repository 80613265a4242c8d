"""What is told to be off or back as a state, and not as an order: "carrier's out", "lid's on"."""

from __future__ import annotations

import re
from functools import lru_cache

from author.checks.verbs import words
from author.proposals.language.closed_words import COUNTS
from author.proposals.orders.bare_verbs import SWITCHED

_DENIED = re.compile(
    r"\b(?:not?|never|don't|do not|isn't|aren't|before|if|unless|when|with|while)\b[^.]*$",
    re.IGNORECASE,
)
_NO_FACT = re.compile(
    r"\b(?:not?|never|don't|do not|isn't|aren't|won't|before|if|unless|until|till|when|whenever"
    r"|once|after|while|make sure|check(?: that)?|whether|see)\b[^.]*$",
    re.IGNORECASE,
)
_IS_OFF = re.compile(
    r"(?:'s|'re| is| are|'s come| has come| have come)(?: now| both| all| right| straight)? "
    r"(?P<way>off|out)"
    r"(?=\W*$|\W*[,.;:!?]| (?!of\b|by\b|from\b|to\b|at\b|on\b|in\b|for\b|a\b|an\b|about\b|there\b"
    r"|square\b|line\b|true\b|centre\b|center\b|far\b|\d"
    # "Pull the cord so the door is off the trolley", "the wheel's off the ground"
    r"|(?:the|its|their) (?:ground|floor|deck|bench|stops?|seats?|trolley|rail|track|hook|flange"
    r"|cam|road|stand|boil)\b)[a-z])",
    re.IGNORECASE,
)
# "The lamp's out", "the valve is off": neither has left the machine.
_DARK = words("light lamp bulb flame fire pilot led burner")


def is_off(text: str, begin: int, end: int) -> bool:
    """Whether a part is told to be off: "there we go, carrier's out".

    Args:
        text: the sentence.
        begin: where its name begins.
        end: where it ends.
    """
    found = _IS_OFF.match(text, end)
    if found is None or _NO_FACT.search(text[:begin]):
        return False
    head = text[begin:end].lower().split()[-1]
    return head not in _DARK and not (found["way"].lower() == "off" and head in SWITCHED)


def is_back(text: str, name: str) -> bool:
    """Whether a part is told to be back: "that's the lid on", "panel back on, four screws".

    Args:
        text: the sentence.
        name: of the part.
    """
    back = _back(name)
    return any(not _DENIED.search(text[: found.start()]) for found in back.finditer(text))


_COUNT = rf"(?:{'|'.join(sorted(COUNTS))}|[1-9][0-9]?)"


@lru_cache(maxsize=512)
def _back(name: str) -> re.Pattern[str]:
    last = re.escape(name.rsplit(maxsplit=1)[-1])
    return re.compile(
        rf"\b(?:back (?:on|in|up)|(?<!held )(?<!hold )(?<!holds )on),? (?:and |with )?"
        rf"(?:all |both )?(?:the |its |{_COUNT} ){{1,2}}{last}(?:e?s)?(?=\W*$|[,.;!?]| and\b)"
        rf"|(?<!old )\b(?:{re.escape(name)}|{last})(?:e?s)?(?:'s|'re| is| are| goes| go| can go| "
        r"has to go| have to go)? (?:again )?(?:all |both )?(?:back(?: on| in)?|on|in|home)"
        r"(?=\W*$|[,.;!?]| and\b| again\b| with\b| first\b| then\b)",
        re.IGNORECASE,
    )
