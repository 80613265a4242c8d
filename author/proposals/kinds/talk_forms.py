"""Ways of speaking that belong to no repair: who pays, who comes in, who is taken leave of.

"This one's sponsored by", "gidday Trev, put it by the gate", "okay, doei", "I had to cut here".
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from author.proposals.language.plain_words import Plain
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import is_work

_BYE = (
    r"(?:goodbye|bye|cheerio|ta-ra|hooroo|toodle-pip|toodleoo|so long|stay warm|stay dry"
    r"|make it good|tsch\w+|doei|adios|ciao|hasta luego|servus|au revoir|auf wiedersehen"
    r"|goodnight|until next time|see you (?:next|soon|later|tomorrow|then))"
)
_KIN = (
    r"(?:mother|mum|mom|father|dad|wife|missus|husband|brother|sister|uncle|aunt|auntie|nephew"
    r"|niece|cousin|gran|nan|granny|grandma|grandad|granddad|grandfather|grandmother|neighbour"
    r"|neighbor|brother-in-law|mother-in-law|father-in-law)"
)
_PATTERNS: dict[str, str] = {
    "paid": r"\b(?:sponsor(?:s|ed)? by|brought to you by"
    r"|(?:this|film|video|episode|programme|program|bit|part) (?:is |was )?(?:\S+ )?supported by"
    r"|plug the sponsor|(?:who|that|what) keeps? (?:the|my|our) lights on\b"
    r"|(?:quick|little|short|wee) (?:word|plug|mention|shout) (?:for|from|about) "
    r"(?:the (?:folks|people|lads|guys|boys|ladies|good)|my|our|a mate|today)"
    r"|(?:thanks|cheers) to (?:\S+ ){1,5}for the|(?:discount|promo|voucher) code|code [a-z]+ $"
    r"|links? (?:is |are )?(?:somewhere|below $|in the (?:description|comments|bio))"
    r"|(?:them|they) \S+ sent you"
    r"|coffee money|pay me\b)",
    "leave": rf"^(?:(?:okay|right|so|alright|well|and|anyway) )*{_BYE} |{_BYE} $",
    "filming": r"\b(?:i'm|we're) (?:still |busy )?(?:filming|recording|live) "
    r"|\bi (?:hadda|had to) (?:cut|stop filming|pause) (?:here|there)\b",
    "sight": r"^(?:\S+ )?look at the (?:state|size|muck|dirt|filth|lint) ",
    "kin": rf"^(?:\S+ )?my (?:\S+ )?{_KIN} (?!says|taught|told)",
}
_FOUND = {name: re.compile(pattern) for name, pattern in _PATTERNS.items()}
_HAIL = re.compile(
    r"^(?:(?:oh|well|yes|right|okay) )?(?:hello|hullo|hi|hiya|hey|howdy|g'day|gidday|morning"
    r"|sorry|cheers|thanks|thank you|ope|ope sorry|oi) $"
)
_NAMED = frozenset({"part", "tool", "supply"})
_SELF = frozenset({"i", "i'm", "i've", "i'd", "i'll"})
_SURE = frozenset({"paid", "leave", "filming"})


def talk_forms(said: Plain, text: str) -> Iterator[str]:
    """Yield the ways of speaking of a sentence that belong to no repair.

    Args:
        said: its words.
        text: the sentence as it was said.
    """
    known = trade_words()
    things = [at for at, word in enumerate(said.words) if known.kind_of(word) in _NAMED]
    for name, pattern in _FOUND.items():
        found = pattern.search(said.text)
        # Where no signs are written, an order may have run into the sponsor behind it.
        first = said.places[things[0]] if things else len(said.text)
        if found and (found.start() <= first if name in _SURE else not things):
            yield name
    if not things and _hails(said, text):
        yield "hails"


def _hails(said: Plain, text: str) -> bool:
    """Whether somebody is greeted, or asked to excuse, by name: "hello, Bartek", "sorry Deb"."""
    known = trade_words()
    for at, word in enumerate(said.words[:5]):
        if at and text[said.begins[at]].isupper() and word.isalpha() and word not in _SELF:
            stands_off = bool(said.marks[at]) or at + 1 == len(said.words)
            lead = said.text[: said.places[at]]
            if stands_off and not known.kind_of(word) and not is_work(word):
                return _HAIL.match(lead) is not None
    return False
