"""Finds the names of things in what was said: words that stand together, the last says what.

No grammar of English is attempted. Words of closed classes (articles, prepositions, helping
verbs …) and surely meant verbs part the talk; a name is what is left, if its last word is known.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from author.checks.verbs import words
from author.proposals.language.closed_words import (
    ARTICLES,
    DONE_INWARDS,
    DONE_TO,
    FRACTIONS,
    IT,
    MOST_WORDS,
    NOT_OF_NAME,
    NUMBERS,
    OBJECT_BEGINS,
    PARTICLES,
    PREPOSITIONS,
    STOP,
    SURE_BEFORE,
    UNITS,
    VERB_BEFORE,
    VERB_S_BEHIND,
)
from author.proposals.language.counts import count_at
from author.proposals.language.laid import STANDING, is_laid, is_rod, stands
from author.proposals.language.name_ends import (
    begins_anew,
    ends_before,
    ends_with_tool,
    is_no_part_of,
)
from author.proposals.language.tokens import Token
from author.proposals.language.trade_words import NounKind, as_phrase, is_bit_size, trade_words
from author.proposals.language.verbs import UNSURE_FORMS, base_of
from author.proposals.language.word_forms import singular


@dataclass(frozen=True, slots=True)
class Phrase:
    """Words that stand together as a name.

    Attributes:
        first: index of its first token, articles and counts included.
        name_first: index of the first token of the name.
        stop: index after its last token.
        kind: what its last word says, None where it is in no list.
        sure: whether a phrase of the table or a modifier bears that out.
        article: the article or pointing word before it, "" where there is none.
        count: how many, where that was said.
    """

    first: int
    name_first: int
    stop: int
    kind: NounKind | None
    sure: bool
    article: str
    count: int | None


def is_verb_here(tokens: Sequence[Token], at: int) -> bool:
    """Whether a word is meant as a verb, by the words beside it."""
    word = tokens[at].low
    base = base_of(word)
    if base is None or (tokens[at].owned and trade_words().kind_of(word) == "part"):
        return False  # "the guard's four bolts"
    if word == "felt":
        behind = tokens[at + 1 : at + 2]
        return bool(behind) and behind[0].low in OBJECT_BEGINS | _AS_IT_FELT
    before = "" if tokens[at].parted else tokens[at - 1].low
    open_end = at + 1 == len(tokens) or tokens[at + 1].parted
    after = "" if open_end else tokens[at + 1].low
    if word in STANDING:
        return stands(_beside(tokens, at)[1], before, word, after)
    if is_laid(before, word, after):
        return False
    if not _nounlike(word):
        if word != base and word.endswith("s") and before not in ARTICLES:
            return True
        named = before in ARTICLES or before in trade_words().dropped or _nounlike(before)
        return not (named and after and _nounlike(after) and before not in {"that", "all"})
    article = before in ARTICLES and not (before in {"that", "all"} and after in OBJECT_BEGINS)
    if word in UNSURE_FORMS or (article and not (before in IT and word != base)):
        return False
    return _verb_or_noun(tokens, at, base, before, after)


_AS_IT_FELT = words("like as right wrong good bad heavy loose tight rough smooth fine ok okay")


def _verb_or_noun(tokens: Sequence[Token], at: int, base: str, before: str, after: str) -> bool:
    """Whether a word that may be a noun as well is a verb, by its neighbours."""
    word = tokens[at].low
    if word == base and word in DONE_TO and (after in {"it", "them"} or after in DONE_TO[word]):
        return True
    if (
        before in SURE_BEFORE
        or before.endswith("'ll")
        or (before in IT and word != base and word.endswith("s"))
    ):
        return True
    if before == "to" and not (after and _nounlike(after)):
        return True
    if word in {"line", "lines"} and after == "up":
        return True  # "the groove lines up with the hole"
    if before in VERB_BEFORE or not before:
        return _has_object(tokens, at, after)
    if word.endswith("s") and word != base:
        done = before in {"just", "only", "that", "which"} and after in PARTICLES
        return done or (_nounlike(before) and after in VERB_S_BEHIND)
    if word.endswith("ing") and word != base:
        return after in OBJECT_BEGINS
    return before not in PREPOSITIONS and not _nounlike(before) and after in OBJECT_BEGINS


def _has_object(tokens: Sequence[Token], at: int, after: str) -> bool:
    """Whether behind a first word comes what a verb would have: "press the", "screw in the"."""
    if after in OBJECT_BEGINS:
        return True
    word = tokens[at].low
    kind = trade_words().kind_of(word)
    if after not in PARTICLES or (kind == "supply" and word not in {"wipe", "tape", "solder"}):
        return False
    # "Cover on the block" says where a thing is, "press in the seal" what is done.
    placed = after in {"on", "in", "over", "round", "through"} and word not in DONE_INWARDS
    if kind in {"part", "tool"} and placed:
        return False
    behind = tokens[at + 2].low if at + 2 < len(tokens) and not tokens[at + 2].parted else ""
    return behind in OBJECT_BEGINS


def _nounlike(word: str) -> bool:
    return word in trade_words().modifiers or trade_words().kind_of(word) is not None


def _parts_talk(tokens: Sequence[Token], at: int) -> bool:
    """Whether a word can be no part of a name."""
    word = tokens[at].low
    if word in ARTICLES or word in STOP:
        named = _first_of_name(tokens, at) or _last_of_name(tokens, at)
        # "Into a can" names one, "all the can holds" hardly ever comes.
        named = named or (word == "can" and _beside(tokens, at)[0] in {"a", "the", "your"})
        return not (named or (word == "bar" and is_rod(*_beside(tokens, at))))
    before, _, behind = _beside(tokens, at)
    if word == "presses" and behind in _INWARDS and before not in {"the", "two", "our", ""}:
        return True  # "the new seal presses in"
    if _compound(tokens, at) or _last_of_name(tokens, at):
        return False
    return is_verb_here(tokens, at)


_BACK = frozenset({"in", "into", "on", "onto", "together", "over"})
_INWARDS = frozenset({"in", "into", "on", "onto", "out", "off", "home", "straight", "back"})


def _beside(tokens: Sequence[Token], at: int) -> tuple[str, str, str]:
    """Return the word before a word, the one before that, and the one behind it."""
    before = "" if tokens[at].parted else tokens[at - 1].low
    bid = tokens[at - 2].low if before and at > 1 and not tokens[at - 1].parted else ""
    behind = tokens[at + 1 : at + 2]
    return before, bid, behind[0].low if behind and not behind[0].parted else ""


def _compound(tokens: Sequence[Token], at: int) -> bool:
    """Whether a verb stands before a head it makes a name with: "lock nut", "drain plug"."""
    if at + 1 >= len(tokens) or tokens[at + 1].parted:
        return False
    word, after = tokens[at].low, tokens[at + 1].low
    if singular(after) in trade_words().compounds.get(word, ()):
        return True
    return as_phrase([word, after]) in trade_words().phrases


def _first_of_name(tokens: Sequence[Token], at: int) -> bool:
    """Whether a closed word begins a name of the table: "back nut", "off cut", "in line"."""
    if at + 1 >= len(tokens) or tokens[at + 1].parted:
        return False
    return as_phrase([tokens[at].low, tokens[at + 1].low]) in trade_words().phrases


def _last_of_name(tokens: Sequence[Token], at: int) -> bool:
    """Whether a closed word ends a name of the table: "pry bar", "test bar"."""
    if at == 0 or tokens[at].parted:
        return False
    behind = tokens[at + 1 : at + 2]
    if tokens[at].low == "back" and behind and behind[0].low in _BACK:
        return False  # "bobbin case back in"
    return as_phrase([tokens[at - 1].low, tokens[at].low]) in trade_words().phrases


def phrases_of(tokens: Sequence[Token], barred: frozenset[int]) -> Iterator[Phrase]:
    """Yield the names in a sentence.

    Args:
        tokens: its words.
        barred: indexes of words that are a quantity and no name.
    """
    at = 0
    while at < len(tokens):
        if at in barred or not _opens(tokens, at):
            at += 1
            continue
        first = at
        article, count, at = _lead(tokens, at, barred)
        if first < at < len(tokens) and tokens[at].parted:
            continue  # "for this, two nuts": the article is of neither
        name_first = at
        while at < len(tokens) and at not in barred and _goes_on(tokens, at, name_first):
            owned = tokens[at].owned
            at += 1
            if owned and not (at < len(tokens) and _owner(tokens, at)):
                break
        if at == name_first:
            at = max(at, first + 1)
            continue
        yield from _cut(tokens, first, name_first, at, article, count)


def _opens(tokens: Sequence[Token], at: int) -> bool:
    word = tokens[at].low
    return word in ARTICLES or word in NUMBERS or word[0].isdigit() or not _parts_talk(tokens, at)


def _owner(tokens: Sequence[Token], at: int) -> bool:
    """Whether a word behind "'s" is what is owned: "plumber's grease", not "element's gone"."""
    behind = tokens[at + 1 : at + 2]
    if tokens[at].low in _STATES and (not behind or behind[0].parted or behind[0].low in STOP):
        return False  # "That O-ring's flat, that gets binned"
    return not tokens[at].parted and _nounlike(tokens[at].low) and not _parts_talk(tokens, at)


_STATES = words("flat square round level tight proud short solid light")


def _goes_on(tokens: Sequence[Token], at: int, name_first: int) -> bool:
    word = tokens[at].low
    apart = tokens[at].parted or begins_anew(tokens[at - 1].low, word, _is_size(tokens, at))
    if at > name_first and apart:
        return False
    if word in NUMBERS or word[0].isdigit():
        if at > name_first and not (_is_size(tokens, at) or _is_size(tokens, at - 1)):
            return False
        return at + 1 < len(tokens) and not tokens[at + 1].parted and at - name_first < MOST_WORDS
    return not _parts_talk(tokens, at)


def _is_size(tokens: Sequence[Token], at: int) -> bool:
    """Whether a number is followed by a unit, as in "ten mil"."""
    return at + 1 < len(tokens) and (tokens[at + 1].low in UNITS or tokens[at + 1].low in FRACTIONS)


def _lead(tokens: Sequence[Token], at: int, barred: frozenset[int]) -> tuple[str, int | None, int]:
    """Return article, count and where the name begins."""
    article, count, start = "", None, at
    while at < len(tokens) and at not in barred and (at == start or not tokens[at].parted):
        word = tokens[at].low
        after = tokens[at + 1].low if at + 1 < len(tokens) and not tokens[at + 1].parted else ""
        if word in {"both", "pair"}:
            count = 2
        if word in ARTICLES:
            article = article or word
        elif after and (found := _count(tokens, at, article)):
            if not _counts(tokens, min(at + found[1], len(tokens) - 1)):
                break
            # "Six two oh five bearings" is what they are called.
            digits = at > 0 and tokens[at - 1].low in {"oh", "o"} and not tokens[at].parted
            count, at = None if digits else found[0] or None, at + found[1] - 1
        elif word not in trade_words().dropped or (word == "second" and after == "cut"):
            break
        at += 1
    return article, count, at


def _count(tokens: Sequence[Token], at: int, article: str) -> tuple[int, int] | None:
    several = article not in {"a", "an"} or tokens[at].low == "dozen"
    return count_at([token.low for token in tokens[at : at + 2]], 0) if several else None


def _counts(tokens: Sequence[Token], at: int) -> bool:
    """Whether a number before this word counts: not "ten mil socket", "six two oh three"."""
    word = tokens[at].low
    if word in UNITS or word in NUMBERS or word in FRACTIONS or word[0].isdigit():
        return False
    if at and tokens[at - 1].low == "one":
        return True  # no tool is of size one
    for place in range(at, min(at + 5, len(tokens))):
        if place > at and tokens[place].parted:
            return True
        kind = trade_words().kind_of(tokens[place].low)
        several = kind == "part" and singular(tokens[place].low) != tokens[place].low
        behind = tokens[place + 1 : place + 2]
        last = several or not behind or behind[0].parted or not _nounlike(behind[0].low)
        if kind is not None and last:
            return kind != "tool" or singular(tokens[place].low) != tokens[place].low
    return True


def _cut(
    tokens: Sequence[Token], first: int, start: int, stop: int, article: str, count: int | None
) -> Iterator[Phrase]:
    """Yield the names in a run of words, the last known word of each being its head."""
    head = _head(tokens, start, stop)
    if head is None:
        yield Phrase(first, start, stop, None, False, article, count)
        return
    # Without a comma heard, a head that comes twice ends a name: "tab washer washer".
    # So does a word for several: "head bolts half inch", "gaskets bed".
    head = _thing_before(tokens, start, head)
    heads = [at for at in range(start, head + 1) if at == head or _ends(tokens, start, at, head)]
    for place in heads:
        begin = _left(tokens, start, place, article)
        kind, sure = _kind(tokens, begin, place)
        opened = first if begin == start else begin
        yield Phrase(opened, begin, place + 1, kind, sure, article, count)
        first, start, article, count = place + 1, place + 1, "", None


def _thing_before(tokens: Sequence[Token], start: int, head: int) -> int:
    """Return the thing a place or a plain word is said of: "spark plug" of "spark plug gap"."""
    kind, _ = _kind(tokens, start, head)
    if kind not in {"feature", "plain"}:
        return head
    for at in range(head - 1, start - 1, -1):
        found, sure = _kind(tokens, start, at)
        if found in {"part", "tool"} and (sure or kind == "plain"):
            return at
    return head


def _ends(tokens: Sequence[Token], start: int, at: int, head: int) -> bool:
    word, behind = tokens[at].low, tokens[at + 1].low
    before = tokens[at - 1].low if at > start else ""
    if word == tokens[head].low or ends_before(word, behind):
        return True
    if ends_with_tool(before, word, behind):
        return True
    several = singular(word) != word and trade_words().heads.get(word) is None
    known = trade_words().kind_of(word) in {"part", "tool"}
    whole = as_phrase([word, tokens[at + 1].low]) in trade_words().phrases
    return several and known and not whole and not tokens[at].owned


def _head(tokens: Sequence[Token], start: int, stop: int) -> int | None:
    table = trade_words()
    for at in range(stop - 1, start - 1, -1):
        word = tokens[at].low
        if table.kind_of(word) or table.kind_of(word.rsplit("-", 1)[-1]):
            return at
        if at > start and as_phrase([tokens[at - 1].low, word]) in table.phrases:
            return at
    last = tokens[stop - 1].low
    if as_phrase([last]) in table.phrases or is_bit_size(last):
        return stop - 1
    return None


def _left(tokens: Sequence[Token], start: int, head: int, article: str) -> int:
    """Return where the name of a head begins."""
    begin = head
    dropped, phrases = trade_words().dropped, trade_words().phrases
    while begin > start and head - begin < MOST_WORDS:
        word = tokens[begin - 1].low
        if word in dropped and not _nounlike(word):
            break
        behind = tokens[begin].low
        if is_no_part_of(word, behind, last=begin == head):
            # "The grooves hold solvent": the verb of those is none of the name either.
            return begin + (begin < head and base_of(behind) == behind and not _nounlike(behind))
        if word in NOT_OF_NAME and as_phrase([word, tokens[begin].low]) not in phrases:
            break
        if not article and not _nounlike(word) and not _named(tokens, begin - 1, start):
            break
        begin -= 1
    return begin


def _named(tokens: Sequence[Token], at: int, start: int) -> bool:
    """Whether an unknown word without an article before it may belong to a name."""
    word = tokens[at].low
    if word in UNITS or word in NUMBERS or word[0].isdigit() or "-" in word or len(word) == 1:
        return True
    if word.endswith("ing") and not _nounlike(word):
        return False
    return base_of(word) is None or _compound(tokens, at) or at > start


def _kind(tokens: Sequence[Token], begin: int, head: int) -> tuple[NounKind | None, bool]:
    """Return what a name says of its kind, and whether more than one word says so."""
    table = trade_words()
    low = [token.low for token in tokens[begin : head + 1]]
    for size in range(min(4, len(low)), 0, -1):
        kind = table.phrases.get(as_phrase(low[-size:]))
        if kind is not None:
            return kind, True
    if is_bit_size(low[-1]):
        return "tool", True
    found = table.kind_of(low[-1]) or table.kind_of(low[-1].rsplit("-", 1)[-1])
    return found, any(_nounlike(word) for word in low[:-1])
