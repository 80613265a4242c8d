"""The words of a sentence as the rules read them: small letters, no fillers, no false starts."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from author.checks.verbs import ARTICLES, CLEAR_VERBS, LOOKING_VERBS, words
from author.procedure.number_words import AS_SAID, WHOLE
from author.proposals.language.subject_lists import list_commas
from author.proposals.language.word_forms import with_g

# The comma of "3,000" parts nothing.
_TOKEN = re.compile(
    r"(?:(?<![^\W_])\.(?=\d))?[^\W_]+(?:(?:['./-]|(?<=\d),(?=\d))[^\W_]+)*"
    r"(?:(?<=[^\W_]{3}in)'(?!\w))?|[,;:.!?–—…]"
)
_MARKS = frozenset(",;:.!?–—…")
_APOSTROPHES = str.maketrans("’ʼ‘`´‐‑", "'''''--")
_FILLERS = words(
    """
    uh um er erm ah hmm mm mmm eh uhm umm basically actually literally obviously essentially
    just simply kinda sorta really honestly frankly
    """
)
_FILLER_PAIRS = frozenset(
    [("you", "know"), ("i", "mean"), ("kind", "of"), ("sort", "of"), ("of", "course")]
)
SCOTS = {
    "dinnae": "don't", "dinna": "don't", "cannae": "can't", "willnae": "won't", "disnae": "doesn't",
    "didnae": "didn't", "isnae": "isn't", "wasnae": "wasn't", "wouldnae": "wouldn't", "shouldnae":
    "shouldn't", "couldnae": "couldn't", "ye": "you", "ye'll": "you'll", "ye're": "you're",
    "ye've": "you've",
}  # fmt: skip
"""Words as Scots say them, and as they are read."""
# Recognisers and people leave the sign out.
_SPELT = {
    "dont": "don't", "doesnt": "doesn't", "didnt": "didn't", "cant": "can't", "cannot": "can't",
    "wont": "won't", "isnt": "isn't", "arent": "aren't", "wasnt": "wasn't", "shouldnt":
    "shouldn't", "wouldnt": "wouldn't", "couldnt": "couldn't", "mustnt": "mustn't", "havent":
    "haven't", "hasnt": "hasn't", "im": "i'm", "ive": "i've", "youre": "you're", "youve":
    "you've", "youll": "you'll", "theyre": "they're", "thats": "that's", "theres": "there's",
    "heres": "here's", "lets": "let's", "whats": "what's", "itll": "it'll", "thatll": "that'll",
    "weve": "we've", "cos": "because", "cuz": "because", "coz": "because", "'cause": "because",
    "em": "them", "ya": "you", "till": "until", "til": "until", "gon": "gonna", "aint": "ain't",
    "oughta": "should", "ok": "okay", "alrighty": "alright", "yeah": "yes", "yep": "yes",
    "arse": "ass", "lefty": "lefty", "i'ma": "i'm", "imma": "i'm", "it'd": "it'd",
    "better": "better", "youd": "you'd", "shoulda": "should've",
    "we'm": "we're", "you'm": "you're", "they'm": "they're",
    "wi": "with", "yer": "your", "ma": "my", "yous": "you", "'er": "her",
} | SCOTS | AS_SAID  # fmt: skip
# Two words that are read as one.
_JOINED = {
    ("going", "to"): "gonna", ("want", "to"): "wanna", ("got", "to"): "gotta",
    ("have", "to"): "hafta", ("has", "to"): "hasta", ("need", "to"): "needa",
    ("needs", "to"): "needsta", ("do", "not"): "don't", ("does", "not"): "doesn't",
    ("did", "not"): "didn't", ("can", "not"): "can't", ("will", "not"): "won't",
    ("is", "not"): "isn't", ("are", "not"): "aren't", ("should", "not"): "shouldn't",
    ("must", "not"): "mustn't", ("have", "not"): "haven't", ("has", "not"): "hasn't",
    ("we", "are"): "we're", ("you", "are"): "you're", ("i", "am"): "i'm",
    ("they", "are"): "they're", ("it", "is"): "it's", ("that", "is"): "that's",
    ("there", "is"): "there's", ("here", "is"): "here's", ("i", "will"): "i'll",
    ("we", "will"): "we'll", ("you", "will"): "you'll", ("it", "will"): "it'll",
    ("they", "will"): "they'll", ("i", "have"): "i've", ("we", "have"): "we've",
    ("you", "have"): "you've", ("i", "would"): "i'd", ("you", "would"): "you'd",
    ("we", "would"): "we'd", ("let", "us"): "let's", ("what", "is"): "what's",
    ("all", "right"): "alright", ("wanted", "to"): "wanna", ("we", "was"): "we were",
    ("trying", "to"): "tryna", ("try", "and"): "try to", ("used", "to"): "usedto",
    ("'s", "gotta"): "gotta", ("anti", "clockwise"): "anticlockwise",
}  # fmt: skip
_TO = frozenset(["to"])
_WILL = frozenset(["i'll", "you'll", "we'll", "they'll", "it'll", "that'll", "there'll"])
_BEHIND_CAUSE = words(
    """
    it it's you i the they that there we if there's that'll it'll you'll they're this he
    """
)
_SLIPS = frozenset(",…–—")
_LONGEST_REPEAT = 4
NUMBER_WORDS = frozenset({*WHOLE, *words("hundred dozen couple pair zero nought")})


@dataclass(frozen=True, slots=True)
class Plain:
    """The words of a sentence as the rules read them.

    Attributes:
        words: in small letters, contracted ("going to" is ``gonna``), without fillers.
        begins: for each word the index of its first letter in the sentence.
        ends: for each word the index after its last letter.
        marks: for each word the signs that stand behind it, "" where none does.
        text: the words, each with one space behind it.
        places: for each word where it begins in ``text``.
        question: whether the sentence is asked.
    """

    words: tuple[str, ...]
    begins: tuple[int, ...]
    ends: tuple[int, ...]
    marks: tuple[str, ...]
    text: str
    places: tuple[int, ...]
    question: bool

    def at(self, first: int, word: str) -> bool:
        """Whether a word stands at a place."""
        return 0 <= first < len(self.words) and self.words[first] == word

    def word(self, place: int) -> str:
        """Return the word at a place, "" where there is none."""
        return self.words[place] if 0 <= place < len(self.words) else ""


def lowered(text: str) -> str:
    """Return a text in small letters, letter for letter as long as it was."""
    small = text.lower()
    if len(small) != len(text):
        small = "".join(c.lower() if len(c.lower()) == 1 else c for c in text)
    return small.translate(_APOSTROPHES)


_Read = tuple[str, int, int, str]


def _read(text: str) -> list[_Read]:
    read: list[_Read] = []
    for match in _TOKEN.finditer(lowered(text)):
        said = match[0]
        if "'" in said:
            said = with_g(said)
            if said.endswith("'ll") and said not in _WILL:
                # "The muffler'll burn you."
                read.append((said[:-3], match.start(), match.end() - 3, ""))
                read.append(("will", match.end() - 3, match.end(), ""))
                continue
        if said in _MARKS:
            if read:
                word, begin, end, mark = read[-1]
                read[-1] = (word, begin, end, mark + said)
            continue
        read.append((_SPELT.get(said, said), match.start(), match.end(), ""))
    return read


def _behind(read: list[_Read], mark: str) -> None:
    """Keep a sign that stood behind words that are left out."""
    if mark and read:
        word, begin, end, before = read[-1]
        read[-1] = (word, begin, end, before + mark)


def _contracted(read: list[_Read]) -> list[_Read]:
    """Return the words without fillers, pairs read as one word."""
    left: list[_Read] = []
    at = 0
    while at < len(read):
        word, begin, end, mark = read[at]
        after = read[at + 1] if at + 1 < len(read) else None
        pair = (word, after[0]) if after is not None and not mark else None
        if word == "cause" and after is not None and after[0] in _BEHIND_CAUSE:
            read[at] = ("because", begin, end, mark)
        aside = word == "like" and (mark == "," or bool(left and left[-1][3] == ","))
        measured = (
            word == "mm"
            and bool(left)
            and (left[-1][0][:1].isdigit() or left[-1][0] in NUMBER_WORDS)
        )
        if (word in _FILLERS and not measured) or (aside and bool(left)):
            _behind(left, mark)
            at += 1
        elif pair in _FILLER_PAIRS and after is not None and _aside(read, at):
            _behind(left, after[3])
            at += 2
        elif pair in _JOINED and after is not None and not _belongs_to_next(read, at):
            left.append((_JOINED[pair], begin, after[2], after[3]))
            at += 2
        else:
            left.append(read[at])
            at += 1
    return left


def _aside(read: list[_Read], at: int) -> bool:
    """Whether "you know", "I mean" is said for its own sake: "do you know" is not."""
    before = read[at - 1][0] if at else ""
    after = read[at + 2][0] if at + 2 < len(read) else ""
    if read[at][0] in {"kind", "sort"}:
        return before not in {"this", "that", "what", "a", "some", "any", "the", "same", "other"}
    return before not in {
        "if",
        "do",
        "let",
        "did",
        "that",
        "as",
        "don't",
        "what",
    } and after not in ({"how", "what", "if", "that", "where", "when", "it's", "which", "about"})


def _belongs_to_next(read: list[_Read], at: int) -> bool:
    """Whether the second word of a pair goes with the third: "I have to"."""
    if at + 2 >= len(read) or read[at + 1][3]:
        return False
    pair = (read[at + 1][0], read[at + 2][0])
    return pair in _JOINED and (read[at + 2][0] in _TO)


def _without_repeats(read: list[_Read]) -> list[_Read]:
    """Return the words without false starts: "we're gonna, we're gonna take"."""
    if len({one[0] for one in read}) == len(read):
        return read
    left: list[_Read] = []
    for at, one in enumerate(read):
        left.append(one)
        if at and read[at - 1][3] and at + 1 < len(read) and read[at + 1][0] in _TELLS:
            continue  # "check it for grit, grit is what kills them"
        for size in range(_LONGEST_REPEAT, 0, -1):
            if len(left) < 2 * size or left[-1 - size][0] != one[0]:
                continue
            later, earlier = left[-size:], left[-2 * size : -size]
            if [w[0] for w in later] == [w[0] for w in earlier] and _stumbled(earlier):
                del left[-2 * size : -size]
                break
    return left


_TELLS = words("is are was were has have can will")


def _stumbled(said: list[_Read]) -> bool:
    """Whether a word said twice is a slip; "no, no" and "three, three" are not."""
    return not any(w[0] in NUMBER_WORDS or w[0] in {"no", "very", "that's"} for w in said) and (
        set(said[-1][3]) <= _SLIPS
    )


def _with_states(read: list[_Read]) -> list[_Read]:
    """Return the words without the comma of "isolator, off, padlock on"."""
    left = list(read)
    for at in range(1, len(left)):
        word, begin, end, mark = left[at - 1]
        alone = left[at][0] in _STATES and (bool(left[at][3]) or at + 1 == len(left))
        if alone and mark == "," and word not in _NAMES_NOTHING:
            left[at - 1] = (word, begin, end, "")
    return left


def _with_lists(read: list[_Read], text: str) -> list[_Read]:
    """Return the words with the commas of a list as parts of its words: they part no clauses."""
    left = list(read)
    for at in list_commas([one[0] for one in read], [one[3] for one in read]):
        word, begin, end, _ = left[at]
        if text[end : end + 1] == ",":
            left[at] = (word, begin, end + 1, "")
    return left


def _without_adverbs(read: list[_Read]) -> list[_Read]:
    """Return the words of "check first the seat" without what parts a verb from its object."""
    left: list[_Read] = []
    for at, one in enumerate(read):
        behind = read[at + 1][0] if at + 1 < len(read) else ""
        inside = one[0] in _BETWEEN and not one[3] and behind in ARTICLES
        if not (inside and left and left[-1][0] in _VERBS and not left[-1][3]):
            left.append(one)
    return left


_VERBS = CLEAR_VERBS | LOOKING_VERBS
_BETWEEN = words("first now also then always")
_STATES = words("off shut closed locked")
_NAMES_NOTHING = words("right okay now so then well and or on off in out up down no yes it them")


@lru_cache(maxsize=1024)  # each stage asks for the same words again, of a whole film
def plain(text: str) -> Plain:
    """Return the words of a sentence as the rules read them."""
    read = _without_adverbs(_with_states(_without_repeats(_contracted(_read(text)))))
    read = _with_lists(read, text)
    places: list[int] = []
    at = 0
    for one in read:
        places.append(at)
        at += len(one[0]) + 1
    return Plain(
        words=tuple(one[0] for one in read),
        begins=tuple(one[1] for one in read),
        ends=tuple(one[2] for one in read),
        marks=tuple(one[3] for one in read),
        text="".join(one[0] + " " for one in read),
        places=tuple(places),
        question=text.rstrip().endswith("?"),
    )
