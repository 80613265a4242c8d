"""The words of a sentence as the grammar of numbers reads them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from author.procedure.number_words import AS_SAID, ONES, TEENS, TENS, WHOLE
from author.proposals.language.plain_words import SCOTS

if TYPE_CHECKING:  # numbers are read from tokens
    from author.proposals.quantities.numbers.words import Number

# A run of digits longer than this is no number anybody says.
_MOST_DIGITS = 12
_FILLERS = frozenset({"uh", "um", "er", "erm", "uhm", "umm", "uhh", "hm", "hmm", "ah", "eh"})


# "five to fifteen's all right", "a millimetre's your lot": the number or its unit, and a verb.
def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


_NUMBER_ENDS = {*WHOLE, *AS_SAID, "hundred", "thousand", "half"} - {
    "one",
    "wan",
    "wun",
    "yin",
    "ane",
}
_UNIT_ENDS = _words(
    "millimetre millimeter mil mill thou inch bar litre liter degree degrees turn pound pounds"
    " ounce psi newton metre meter volt volts amp amps ohm ohms gram grams minute minutes"
    " hour hours second seconds tenth tenths hundredth hundredths thousandth thousandths"
    " percent celsius centigrade fahrenheit kelvin hertz rpm micron microns megohm megohms"
    " millivolts milliamps milliseconds decibel decibels millilitres watts kilowatts kilos inches"
    " metres rockwell"
)

_BEFORE_ONE = {*TENS, "point", "oh", "nought"}

# "readin'", "anythin'": the g is dropped in speech and often in captions.
_CLIPPED = frozenset(
    f"{word}in" for word in ("show", "read", "gett", "see", "sitt", "look", "anyth", "noth",
    "someth", "measur", "hold", "pull", "mak", "runn", "com", "go", "draw", "hitt", "call",
    "sett", "stay", "turn", "shoot", "leav")
)  # fmt: skip
# Recognisers leave out the apostrophe: "thats", "dont".
_APOSTROPHE_LEFT_OUT = {
    word.replace("'", ""): word
    for word in _words(
        "that's there's here's what's where's don't doesn't didn't won't can't shouldn't mustn't"
        " wouldn't couldn't isn't wasn't aren't weren't hasn't haven't they're you're you've we've"
        " they've i'm i've she's he's that'll it'll you'll they'll there'll"
    )
}
# "1.1.1.1…" without a blank is nothing anybody says: read number by number it has no end.
_TOKEN = re.compile(
    r"""
      (?P<heap>(?<!\S)(?=\S{200})(?=[^\s\d]*\d)\S+)
    | (?P<digits>\d{1,3}(?:,\d{3})+(?:\.\d+)?(?![\d,])
        | \d{1,3}(?:[ ]000)+(?![\d.,]) | \d+(?:,\d+)+ | \d+(?:\.\d+)? | \.\d+)
    | (?P<vulgar>[¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])
    | (?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*[²³]? | [%°℃℉])
    | (?P<sign>\+/-|\.\.\.?|[^\w\s]|_)
    """,
    re.VERBOSE,
)


# Scots, and "more'n": here also the words that tell a limit.
_AS_WRITTEN = SCOTS | AS_SAID | {
    "hauf": "half", "quarther": "quarter", "quar'er": "quarter",
    "ower": "over", "mair": "more", "nae": "no", "doon": "down", "tae": "to", "mustnae": "mustn't",
    "more'n": "more than", "less'n": "less than", "better'n": "better than",
}  # fmt: skip
_DIALECT = {"o": "of", "an": "and", "wi": "with", "i": "in"}
_ENDS = _NUMBER_ENDS | _UNIT_ENDS
_OF_IS, _OF_WILL = 2, 3
_TENS_EACH = {f"{word[:-1]}ies": word for word in TENS}
_SIZES_EACH = {"threes": "three", "fours": "four", "fives": "five", "sixes": "six",
               "eights": "eight", "tens": "ten", "twelves": "twelve", "fourteens": "fourteen",
               "sixteens": "sixteen", "twenties": "twenty"}  # fmt: skip
_BEFORE_A_PITCH = {"quarter", "half", "eighths", "sixteenths", "by", "-", "x"}
PAUSE = "…"
"""Text of the comma that stands for a sound between two numbers: "fifteen, hmm, eighteen"."""


def _parts(before: str, after: str) -> bool:
    """Whether a sound parts two numbers: of "twenty, uh, five" and of digits it does not."""
    longer = after in TEENS or after in TENS
    if before in TEENS:
        return longer or after in ONES
    return longer and (before in ONES or before in TENS)


_HUNDREDS = frozenset({"hundred", "thousand"})
# "Three hundred, er, three hundred and fifty" begins anew.
_HUNDRED = re.compile(r" (?:hundred|thousand)\b", re.IGNORECASE)


class Token(NamedTuple):
    """One word, number or sign.

    Attributes:
        text: as it stands.
        low: in small letters, its apostrophe straight.
        kind: ``word``, ``digits``, ``vulgar`` (a fraction of one letter) or ``sign``.
        begin: index of its first letter in the sentence.
        end: index after its last letter.
        glued: whether it touches the token before.
        hyphen: whether a hyphen joins it to the token before.
    """

    text: str
    low: str
    kind: str
    begin: int
    end: int
    glued: bool
    hyphen: bool = False


def _as_read(low: str, before: str) -> str:
    """Return a word as the grammar of numbers reads it: "quarter-twenties", "eight by thirties"."""
    if before in _BEFORE_A_PITCH:
        low = _TENS_EACH.get(low, low)
    elif before == "m":
        low = _SIZES_EACH.get(low, low)  # "four M tens"
    return _AS_WRITTEN.get(low) or _APOSTROPHE_LEFT_OUT.get(low, low)


def _letters_of_verb(low: str, before: list[Token]) -> int:
    """Return how many letters of a verb stand behind a number or a unit: "'s", "'ll"."""
    if low.endswith("'ll") and low[:-_OF_WILL] in _ENDS:
        return _OF_WILL  # "three to five'll do"
    # "point one's spot on", but not "the new one's"
    one = low in {"one's", "wan's"} and bool(before) and before[-1].low in _BEFORE_ONE
    return _OF_IS if one or (low.endswith("'s") and low[:-_OF_IS] in _ENDS) else 0


def tokens_of(text: str) -> list[Token]:
    """Return the words, numbers and signs of a text in order.

    A hyphen between words is left out, so that ``twenty-two`` and ``twenty two`` read
    alike; one between digits stays. Digits stand apart from the letters that touch them:
    ``10mm`` is two tokens. Sounds that mean nothing are left out with their commas.
    """
    tokens: list[Token] = []
    last, filler = -1, False
    for found in _TOKEN.finditer(text):
        kind, said = found.lastgroup or "sign", found.group()
        begin, end = found.span()
        too_long = kind == "digits" and (len(said) > _MOST_DIGITS or not said.isascii())
        if too_long or kind == "heap":
            kind = "sign"
        low = said.lower().replace("’", "'") if kind == "word" else said
        low = _as_read(low, tokens[-1].low if tokens else "")
        cut = _letters_of_verb(low, tokens) if "'" in low else 0
        if cut:
            low, said, end = low[:-cut], said[:-cut], end - cut
            low = AS_SAID.get(low, low)
        glued, last = begin == last, found.end()
        if low in _CLIPPED:
            low += "g"
        elif low in {"'", "’"} and glued and tokens and tokens[-1].low in _DIALECT:
            tokens[-1] = moved(tokens[-1], _DIALECT[tokens[-1].low])  # "a quarter o' a turn"
            continue
        elif (
            low in {"'", "’"}
            and glued
            and tokens
            and tokens[-1].low == tokens[-1].text.lower() + "g"
        ):
            continue
        ampere_hours = said == "Ah" and bool(tokens) and tokens[-1].kind == "digits"
        if low in _FILLERS and not ampere_hours:
            if tokens and tokens[-1].low == ",":
                tokens.pop()
            filler = True
            continue
        if filler and low == ",":
            continue
        anew = low in ONES and _HUNDRED.match(text, found.end()) is not None
        ahead = tokens[-1].low if filler and tokens else ""
        if ahead and (_parts(ahead, low) or (anew and ahead in _HUNDREDS)):
            at = tokens[-1].end
            tokens.append(Token(PAUSE, ",", "sign", at, at, glued=True))
        filler = False
        joined = False
        if glued and len(tokens) > 1 and tokens[-1].low == "-" and tokens[-1].glued:
            before = tokens[-2]
            joined = "word" in {before.kind, kind} and "sign" not in {before.kind, kind}
        if joined:
            tokens.pop()
        tokens.append(Token(said, low, kind, begin, end, glued, hyphen=joined))
        if cut:
            verb = "is" if cut < _OF_WILL else "will"
            tokens.append(Token(text[end : end + cut], verb, "word", end, end + cut, glued=True))
    return Read(tokens)


class Read(list[Token]):
    """The words of a sentence, which change no more, with the numbers that were read in them.

    Attributes:
        numbers: what was read, by the index of the first word.
    """

    __slots__ = ("numbers",)

    def __init__(self, tokens: list[Token]) -> None:
        """Take the words; none of the numbers is read yet."""
        super().__init__(tokens)
        self.numbers: dict[int, Number | None] = {}


def moved(token: Token, low: str) -> Token:
    """Return the same token read as another word."""
    return token._replace(low=low)
