"""The words of a sentence as the grammar of numbers reads them."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

# A run of digits longer than this is no number anybody says.
_MOST_DIGITS = 12
_FILLERS = frozenset({"uh", "um", "er", "erm", "uhm", "umm", "uhh", "hm", "hmm", "ah", "eh"})

# "five to fifteen's all right": the number, and a verb that says nothing of it.
_NUMBER_ENDS = frozenset(
    [
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty",
        "thirty",
        "forty",
        "fifty",
        "sixty",
        "seventy",
        "eighty",
        "ninety",
        "hundred",
        "thousand",
        "half",
    ]
)

# "readin'", "anythin'": the g is dropped in speech and often in captions.
_CLIPPED = frozenset(
    f"{word}in" for word in ("show", "read", "gett", "see", "sitt", "look", "anyth", "noth",
    "someth", "measur", "hold", "pull", "mak", "runn", "com", "go", "draw", "hitt", "call",
    "sett", "stay", "turn", "shoot", "leav")
)  # fmt: skip
_TOKEN = re.compile(
    r"""
      (?P<digits>\d{1,3}(?:,\d{3})+(?:\.\d+)?(?![\d,]) | \d+(?:,\d+)+ | \d+(?:\.\d+)? | \.\d+)
    | (?P<vulgar>[¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])
    | (?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*[²³]? | [%°℃℉])
    | (?P<sign>\+/-|\.\.\.?|[^\w\s]|_)
    """,
    re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class Token:
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
        if kind == "digits" and (len(said) > _MOST_DIGITS or not said.isascii()):
            kind = "sign"
        low = said.lower().replace("’", "'") if kind == "word" else said
        if low.endswith("'s") and low[:-2].endswith(
            ("n", "y", "e", "o", "t", "r", "x", "d", "l", "u", "h")
        ):
            low = low[:-2] if low[:-2] in _NUMBER_ENDS else low
        glued, last = begin == last, end
        if low in _CLIPPED:
            low += "g"
        elif (
            low in {"'", "’"}
            and glued
            and tokens
            and tokens[-1].low == tokens[-1].text.lower() + "g"
        ):
            continue
        if low in _FILLERS:
            if tokens and tokens[-1].low == ",":
                tokens.pop()
            filler = True
            continue
        if filler and low == ",":
            continue
        filler = False
        if glued and len(tokens) > 1 and tokens[-1].low == "-" and tokens[-1].glued:
            before = tokens[-2]
            if "word" in {before.kind, kind} and "sign" not in {before.kind, kind}:
                tokens.pop()
                tokens.append(Token(said, low, kind, begin, end, glued=True, hyphen=True))
                continue
        tokens.append(Token(said, low, kind, begin, end, glued))
    return tokens


def moved(token: Token, low: str) -> Token:
    """Return the same token read as another word."""
    return replace(token, low=low)
