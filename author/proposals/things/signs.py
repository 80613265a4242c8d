"""How the name of a thing stands among the words: what is done with it, where, in what talk."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import (
    ARTICLES,
    FRACTIONS,
    NUMBERS,
    PARTICLES,
    PREPOSITIONS,
    UNITS,
)
from author.proposals.language.noun_phrases import Phrase, is_verb_here
from author.proposals.language.tokens import Token
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of
from author.proposals.language.word_forms import singular
from author.proposals.things.not_meant import (
    is_forbidden_means,
    is_left_out,
    is_likened,
    refused,
    warned_off,
)
from author.proposals.things.uses import (
    handled,
    in_a_row_of_words,
    in_passing,
    is_no_part,
    is_of_machine,
    may_be_named,
    moved,
    named_by_use,
)

NEW = "new"
"""Sign of what is said to be new: "a new O-ring"."""
BESIDE = "beside"
"""How signs begin that are words next to a name, or the end of its last word."""
LEFT_OUT = "left out"
"""Sign of a thing that is surely not to be used where it is named: "without silicone"."""
OF_MACHINE = "of the machine"
"""Sign of what is called by its place, so is no tool: "bottom knife"."""
_LED = _words(
    "some fresh clean old same other first last whole wee little big good proper dry wet damp own"
)
_RENEWED = _words("new replacement")
_BY = _words("with using wi by")
_TAKING = _words("use grab get fetch need want have take pick bring buy borrow find hold")
_TOLD = _words("is are was were isn't aren't it's has have had won't should must will can")
_MOVES = _words("goes comes go come drops falls pops slides lifts sits")
_WORDS_BEFORE = {
    "and": "and", "or": "and", "like": "like", "as": "like", "no": "no", "nae": "no", "not": "no",
}  # fmt: skip
_USES: dict[str, Callable[[Sequence[Token], Phrase], bool]] = {
    "handled": handled, "moved": moved, "refused": refused, "passing": in_passing,
    "no part": is_no_part, "warned off": warned_off, "likened": is_likened,
    "forbidden means": is_forbidden_means, LEFT_OUT: is_left_out,
    OF_MACHINE: is_of_machine,
}  # fmt: skip
_POSSESSIVE = _words("my ma your yer his her our their its")
_POINTING = _words("this that these those")
_PREPOSITIONS = _words("of in on with from into to off under behind through between for against by")
_PUTTING = _words("put set lay stick hang clamp sit stand place drop")
_LOOKING = _words("check inspect look measure see feel watch clean wipe test listen")
_MADE = ("er", "or")
# What a hand takes from the bench or the shelf, though machines have it too.
_SHELF = _words(
    """
    rod bar pipe tube block blocks plate blade strap rope wire board post lever wedge stick card
    sheet strip washer bolt nut screw sleeve ring bush spacer cap cup pin plug cord magnet lamp
    needle spring handle hook bracket hose line weight wood dowel glass nozzle sensor key peg
    bung stud table frame stand support lens clip lead test gauge tester heater cooker stove
    string cotton mat board ruler pole crook spike nail toothpick straw sponge
    """
)
_CONTAINERS = _words(
    """
    bucket tray pan bowl cup box jar tin can bag saucer bottle tub basin barrel bin jug dish carton
    lid pot tank drum bath bench vice press oven freezer fridge drawer envelope egg-box jam-jar
    """
)
_SAFE = _words("lock key padlock tag plug fuse isolator switch breaker")
_MEETING = _words(
    """
    line lines lined level flush square fill filled full comes come fitted meet meets match matches
    align aligns aligned engage engages start starts begin together wrong problem deal done happy
    careful gentle
    """
)
_ENDING = _words("and then until till so because to or but before while for if it's at")
_BEING = _words("it's that's here's there's is was they're these're are this")
_NUMBERED = NUMBERS | UNITS | FRACTIONS


def signs_of(tokens: Sequence[Token], phrase: Phrase) -> frozenset[str]:
    """Return how a name stands among the words of its sentence.

    Args:
        tokens: the words of the sentence.
        phrase: the name.
    """
    signs = [*_own(tokens, phrase), *_before(tokens, phrase), *_behind(tokens, phrase)]
    return frozenset((*signs, *_shape(tokens, phrase), *_words_beside(tokens, phrase)))


def _words_beside(tokens: Sequence[Token], phrase: Phrase) -> Iterator[str]:
    """Yield the words that stand next to a name."""
    at, stop = phrase.first - 1, phrase.stop
    if at >= 0 and not tokens[phrase.first].parted:
        yield f"{BESIDE} before {tokens[at].low}"
    if stop < len(tokens) and not tokens[stop].parted:
        yield f"{BESIDE} behind {tokens[stop].low}"
    yield f"{BESIDE} end {tokens[stop - 1].low[-3:]}"


def _shape(tokens: Sequence[Token], phrase: Phrase) -> Iterator[str]:
    """Yield what kind of name it is together with how it stands."""
    kind, table = phrase.kind or "none", trade_words()
    if not phrase.first or tokens[phrase.first].parted:
        yield f"{kind} opens"
    if phrase.stop >= len(tokens) or tokens[phrase.stop].parted:
        yield f"{kind} ends"
    head = tokens[phrase.stop - 1].low
    many = "many" if singular(head) != head else "one"
    yield f"{kind} {many} {phrase.article or 'bare'}"
    for token in tokens[phrase.name_first : phrase.stop - 1]:
        yield f"{table.kind_of(token.low)} in name"


def _own(tokens: Sequence[Token], phrase: Phrase) -> Iterator[str]:
    """Yield what the name itself says."""
    head = tokens[phrase.stop - 1].low
    yield f"list {phrase.kind or 'none'}"
    words = phrase.stop - phrase.name_first
    if phrase.sure:
        yield f"sure {phrase.kind or 'none'}"
    if words > 1:
        yield f"words {min(words, 4)}"
    if words > 1 and not phrase.sure:
        yield "unsure words"
    if singular(head) != head:
        yield "many"
    if phrase.count is not None:
        yield "counted"
    if phrase.kind is None:
        known = may_be_named(head)
        yield "named" if known else "verb-like"
        if head.endswith(_MADE):
            yield "made by ending"
    if named_by_use(tokens, phrase):
        yield "by use"
    first = tokens[phrase.name_first].low
    if words > 1 and base_of(first) is not None and first not in trade_words().modifiers:
        yield "verb in name"
    if tokens[phrase.stop - 1].owned:
        yield "owned"
    led = {token.low for token in tokens[phrase.first : phrase.stop]}
    if led & _RENEWED:
        yield NEW
    yield from (f"led {word}" for word in sorted(led & _LED))
    if any(
        one.low[0].isdigit() or one.low in NUMBERS
        for one in tokens[phrase.name_first : phrase.stop]
    ):
        yield "sized name"
    yield from _of_head(tokens, phrase, singular(head))


def _of_head(tokens: Sequence[Token], phrase: Phrase, head: str) -> Iterator[str]:
    """Yield what sort of word the last one is."""
    if head in _SHELF:
        yield "shelf"
        yield f"shelf {_prep(tokens, phrase)}"
    if head in _CONTAINERS:
        yield "container"
        yield f"container {_prep(tokens, phrase)}"
    if head in _SAFE and phrase.stop - phrase.name_first == 1:
        yield "safe"
    if head in {"head", "hex", "thread"}:
        name = tokens[phrase.name_first : phrase.stop - 1]
        if any(one.low in _NUMBERED or one.low[0].isdigit() for one in name):
            yield "size"


def _prep(tokens: Sequence[Token], phrase: Phrase) -> str:
    """Return the preposition before a name, or where the name stands without one."""
    at = phrase.first - 1
    if at < 0 or tokens[phrase.first].parted:
        return "first"
    word = tokens[at].low
    if word in _BY:
        return "with"
    if word in {"in", "into", "on", "onto", "of", "from"}:
        return word.removesuffix("to")
    return "elsewhere"


def _with(tokens: Sequence[Token], phrase: Phrase) -> str:
    """Return how "with" stands before a name: what is done with it, or what it comes with."""
    at = phrase.first - 1
    if at == 0 or tokens[at].parted:
        return "with first"
    if any(token.low in _MEETING for token in tokens[max(0, at - 4) : at]):
        return "with meets"
    stop = phrase.stop
    ends = stop >= len(tokens) or tokens[stop].parted or tokens[stop].low in _ENDING
    done = any(base_of(token.low) for token in tokens[max(0, at - 5) : at])
    return f"with {'last' if ends else 'more'}{' done' if done else ''}"


def _before(tokens: Sequence[Token], phrase: Phrase) -> Iterator[str]:
    """Yield what stands before a name, and what is done with it."""
    yield _article(phrase.article)
    at = phrase.first - 1
    if at < 0 or tokens[phrase.first].parted:
        yield "opens"
        yield from _laid(tokens, phrase)
    else:
        yield from _word_before(tokens, phrase, at)
    yield from (sign for sign, holds in _USES.items() if holds(tokens, phrase))
    if phrase.name_first and in_a_row_of_words(tokens, phrase):
        yield "row"


def _article(article: str) -> str:
    if article in _POSSESSIVE:
        return "art his"
    if article in _POINTING:
        return "art this"
    if article in {"a", "an", "another"}:
        return "art a"
    return "art the" if article else "art none"


def _laid(tokens: Sequence[Token], phrase: Phrase) -> Iterator[str]:
    """Yield where a name stands for what is laid somewhere: "new gasket on the rim"."""
    stop = phrase.stop
    if phrase.article or stop >= len(tokens) or tokens[stop].parted:
        return
    if tokens[stop].low in PREPOSITIONS:
        yield f"laid {tokens[stop].low in {'on', 'in', 'off', 'out'}}"


def _word_before(tokens: Sequence[Token], phrase: Phrase, at: int) -> Iterator[str]:
    """Yield what the word before a name says of it."""
    word = tokens[at].low
    if word in _PREPOSITIONS:
        yield f"prep {word}"
    elif word in PREPOSITIONS | PARTICLES:
        yield "prep"
    elif word in _WORDS_BEFORE:
        yield _WORDS_BEFORE[word]
    elif base_of(word) is not None:
        yield from _object(tokens, at)
    else:
        yield "after word"
    if word == "of" and at and not tokens[at].parted:
        if tokens[at - 1].low in trade_words().measures:
            yield "amount of"
        else:
            yield f"of {trade_words().kind_of(tokens[at - 1].low)}"
    if word in _BY:
        yield "by hand"
        yield _with(tokens, phrase)
        yield f"{_with(tokens, phrase)} {phrase.kind or 'none'}"
    if word in _BEING:
        yield f"is {phrase.article}"


def _object(tokens: Sequence[Token], at: int) -> Iterator[str]:
    """Yield what a verb before a name says."""
    base = base_of(tokens[at].low)
    yield "object" if is_verb_here(tokens, at) else "behind verb"
    yield f"verb {base}"
    if base in _TAKING:
        yield "taken"
    elif base in _PUTTING:
        yield "put"
    elif base in _LOOKING:
        yield "looked at"


def _behind(tokens: Sequence[Token], phrase: Phrase) -> Iterator[str]:
    """Yield what stands behind a name."""
    stop = phrase.stop
    if stop >= len(tokens) or tokens[stop].parted:
        yield "ends"
        return
    word = tokens[stop].low
    if word in PREPOSITIONS and stop + 1 < len(tokens) and tokens[stop + 1].low in ARTICLES:
        yield f"goes {word}"
    if tokens[stop - 1].owned or word in _TOLD:
        yield "told of"
    elif word in {"off", "out", "apart", "away"}:
        yield "off"
    elif word in {"in", "on", "back", "up", "down"}:
        yield "on"
    elif word == "of":
        yield "of it"
    elif word in _MOVES:
        yield "moves"
    elif word in {"and", "or"}:
        yield "and more"
    elif word in PREPOSITIONS:
        yield "at"
    elif word in ARTICLES:
        yield "then"
    else:
        yield "word behind"
