"""Parts, tools and supplies that are named in what was said."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, NUMBERS, STOP
from author.proposals.language.counts import count_at
from author.proposals.language.noun_phrases import Phrase, phrases_of
from author.proposals.language.tokens import Token, tokens_of
from author.proposals.language.trade_words import NounKind, ThingKind, as_phrase, trade_words
from author.proposals.reader.ahead import Ahead
from author.proposals.speech.spoken import Sentence
from author.proposals.things.coloured import coloured, glued_by_colour
from author.proposals.things.counted import with_counts
from author.proposals.things.done_with import done_with, what_gets_it, where_it_goes
from author.proposals.things.false_names import (
    is_a_trace,
    is_a_travel,
    is_able,
    is_harmed,
    is_kept_in,
    is_spoiled,
    is_the_machine,
)
from author.proposals.things.fastened import by_what_they_hold
from author.proposals.things.glued import parted
from author.proposals.things.graded import graded
from author.proposals.things.hand_tools import in_full, sized_key
from author.proposals.things.instruments import by_what_they_read
from author.proposals.things.makeshift import makeshift_in, told_by_use
from author.proposals.things.named import FAINT, PASSING, Thing
from author.proposals.things.not_meant import (
    does_harm,
    is_a_state,
    is_a_time,
    is_an_act,
    is_found_there,
    is_inside,
    is_keen,
    is_likened,
    is_made_of,
    is_of_what_is_taken_back,
    is_said_of_what_is_done,
    refused,
)
from author.proposals.things.ordering import orderings
from author.proposals.things.part_numbers import numbered, with_numbers_told_apart
from author.proposals.things.renewed import with_those_to_renew
from author.proposals.things.scores import weighed_things
from author.proposals.things.signs import LEFT_OUT, signs_of
from author.proposals.things.sized_names import FRACTIONS, with_its_number
from author.proposals.things.spelled_numbers import spelled_in
from author.proposals.things.taken_back import with_taken_back
from author.proposals.things.uses import (
    amount,
    by_use,
    handled,
    in_a_row_of_words,
    in_passing,
    is_let_out,
    is_no_part,
    is_no_tool,
    may_be_named,
    moved,
    named_by_use,
    pair_before,
)
from author.proposals.things.which_of_them import with_those_told_by_place

if TYPE_CHECKING:
    from author.proposals.kinds.marks import Marked
    from author.proposals.quantities.reading import SpokenQuantity

__all__ = ["PASSING", "Thing", "things_in"]

_KNOWN: dict[NounKind, ThingKind] = {"part": "part", "tool": "tool", "supply": "supply"}
# Shares that were right in narrations of our own.
_SURE, _LIKELY, _WEAK, _GUESS = (Decimal(text) for text in ("0.9", "0.8", "0.6", "0.5"))


def things_in(
    sentences: Sequence[Sentence],
    quantities: Sequence[SpokenQuantity] = (),
    marks: Sequence[Marked] = (),
    ahead: Sequence[Ahead] = (),
) -> tuple[Thing, ...]:
    """Return the parts, tools and supplies named in each sentence, in the order they are said.

    Args:
        sentences: what was said.
        quantities: what was measured; its words are no names.
        marks: what kind of thing each clause says; what is named in mere talk, or as a part in
            one word where nothing is done, is only spoken of.
        ahead: what the network thinks of each sentence, where that is known.
    """
    kinds: dict[int, set[str]] = {}
    for mark in marks:
        kinds.setdefault(mark.sentence, set()).add(mark.kind)
    measured: dict[int, list[tuple[int, int]]] = {}
    for one in quantities:
        if one.role not in {"size", "thread"}:
            measured.setdefault(one.sentence, []).extend(_numbers_alone(one))
    found: list[Thing] = []
    for index, sentence in enumerate(sentences):
        found.extend(_in_sentence(index, sentence.text, measured.get(index, [])))
    texts = [one.text for one in sentences]
    found = with_taken_back(texts, by_what_they_read(found, quantities, texts))
    found = with_numbers_told_apart(sentences, with_counts(texts, found))
    found = with_those_to_renew(texts, with_those_told_by_place(texts, found))
    if not marks:
        return tuple(one for one in found if one.confidence > FAINT)
    told = orderings(texts, found)
    listed = {(found[at].sentence, found[at].begin) for at, one in told.items() if one != "never"}
    found = by_what_they_hold(found, sentences)
    if ahead:
        found = [replace(one, ahead=_thought(one, sentences, ahead)) for one in found]
    return weighed_things(found, kinds, len(sentences), listed)


# "Eighty degrees with the heat gun, no more than a hundred" is one number and names a tool.
_NAMED_WITHIN = re.compile(
    r" (?:with|using) (?:the|your|my|a|an) [a-z' -]+?"
    r"(?=,|;|$| (?:and|or|to|but|no|not|never|minus|plus|then|is|max|minimum|maximum)\b)",
    re.IGNORECASE,
)


def _numbers_alone(one: SpokenQuantity) -> Iterator[tuple[int, int]]:
    """Yield the stretches of a quantity's words that name nothing."""
    begin = one.begin
    for named in _NAMED_WITHIN.finditer(one.text):
        if named.end() < len(one.text):
            yield begin, one.begin + named.start()
            begin = one.begin + named.end()
    yield begin, one.end


def _thought(
    one: Thing, sentences: Sequence[Sentence], ahead: Sequence[Ahead]
) -> tuple[float, float, float] | None:
    """Return what the network thinks of the words of a name: the most it thinks of any."""
    words, shares = sentences[one.sentence].words, ahead[one.sentence].things
    own = [
        share
        for word, share in zip(words, shares, strict=False)
        if word.at < one.end and word.at + len(word.text) > one.begin
    ]
    if not own:
        return None
    part, tool, supply = (max(kind) for kind in zip(*own, strict=True))
    return part, tool, supply


def _in_sentence(index: int, text: str, measured: Sequence[tuple[int, int]]) -> Iterator[Thing]:
    tokens = tokens_of(text)
    spelled = spelled_in(tokens)
    barred = frozenset(
        at
        for at, token in enumerate(tokens)
        if measured and any(begin < token.end and token.begin < end for begin, end in measured)
    ) | {at for one in spelled for at in range(one.first, one.stop)}
    phrases = [
        with_its_number(tokens, one)
        for phrase in phrases_of(tokens, barred)
        for one in parted(tokens, _widened(tokens, phrase))
    ]
    made = list(makeshift_in(tokens, barred))
    taken = {at for one, _ in made for at in range(one.name_first, one.stop)}
    phrases = [one for one in phrases if taken.isdisjoint(range(one.name_first, one.stop))]
    numbers = numbered(text, tokens, phrases, spelled)
    found = [
        thing
        for place, phrase in enumerate(phrases)
        if (thing := _thing(index, text, tokens, phrase, phrases[:place][-1:], numbers.get(place)))
    ]
    for phrase, name in made:
        if thing := _thing(index, text, tokens, phrase, (), None):
            signs = thing.signs | {"makeshift"}
            found.append(replace(thing, kind="tool", name=name, signs=signs))
    found.extend(done_with(index, text, tokens))
    found = [*_beside(found, by_grade := list(graded(index, text, tokens))), *by_grade]
    wrong = {
        as_phrase([token.low for token in tokens[phrase.name_first : phrase.stop]])
        for phrase in phrases
        if phrase.kind == "supply" and refused(tokens, phrase)
    }
    # "Not petroleum jelly, petroleum jelly swells it up".
    if wrong:
        found = [one for one in found if as_phrase(one.name.lower().split()) not in wrong]
    # "Don't grease them, grease never gets in": that grease neither.
    left = {one.name.lower() for one in found if one.kind == "supply" and LEFT_OUT in one.signs}
    found = [replace(one, signs=one.signs | {LEFT_OUT}) if one.name.lower() in left else one
             for one in found]  # fmt: skip
    yield from sorted(found, key=lambda thing: thing.begin)


def _beside(found: Sequence[Thing], others: Sequence[Thing]) -> Iterator[Thing]:
    """Yield the things that share no word with others, nor mean them: "grease it with EP2"."""
    heads = {other.name.split()[-1] for other in others}
    for one in found:
        meant = "by verb" in one.signs and one.name in heads
        if not meant and not any(o.begin < one.end and one.begin < o.end for o in others):
            yield one


def _widened(tokens: Sequence[Token], phrase: Phrase) -> Phrase:
    """Take in "of wood" where the table knows the whole: "block of wood"."""
    stop = phrase.stop
    if stop + 1 < len(tokens) and tokens[stop].low == "of" and not tokens[stop].parted:
        name = as_phrase([token.low for token in tokens[stop - 1 : stop + 2]])
        if trade_words().phrases.get(name) in {"part", "tool", "supply"}:
            return Phrase(phrase.first, stop - 1, stop + 2, trade_words().phrases[name], True,
                          phrase.article, phrase.count)  # fmt: skip
    return phrase


def _thing(
    index: int,
    text: str,
    tokens: Sequence[Token],
    phrase: Phrase,
    before: Sequence[Phrase],
    number: str | None,
) -> Thing | None:
    head, count = tokens[phrase.stop - 1], phrase.count
    kind, name = _kind_and_name(tokens, phrase)
    confidence, reason = _SURE if phrase.sure else _LIKELY, f"'{head.low}' names a {phrase.kind}"
    following = tokens[phrase.stop].low if phrase.stop < len(tokens) else ""
    if kind == "plain" or amount(tokens, phrase, following):
        return None
    if any(way(tokens, phrase) for way in _NAMES_NOTHING) or is_the_machine(tokens, phrase, index):
        return None
    name, count = _sized(kind, name, None if _is_size(tokens, phrase) else count)
    if not name or name in _NO_NAMES or (kind == "supply" and _wrong(tokens, phrase)):
        return None
    if kind == "feature":
        kind, confidence, reason = "part", FAINT, f"'{head.low}' is named as part of something"
    elif kind == "weak":
        worked = handled(tokens, phrase) or moved(tokens, phrase) or named_by_use(tokens, phrase)
        sure = (phrase.sure or worked) and phrase.article not in {"your", "my"}
        reason = f"'{head.low}' is named as part of something"
        kind, confidence = "part", _WEAK if sure else FAINT
    elif kind is None:
        blue = coloured(tokens, phrase)
        if blue is not None:
            kind, name, reason = "supply", blue, f"'{head.low}' is said for {blue}"
        elif may_be_named(head.low) or _is_noun_here(tokens, phrase):
            kind, reason = "part", f"'{head.low}' is the object of the work"
        else:
            return None
        worked = phrase.article != "" and handled(tokens, phrase)
        confidence = _WEAK if blue else _GUESS if worked else FAINT
    elif (kind == "part" and is_no_part(tokens, phrase)) or (
        kind == "tool" and (refused(tokens, phrase) or is_no_tool(tokens, phrase))
    ):
        confidence = FAINT
    if is_likened(tokens, phrase):
        confidence = FAINT
    # "plugs and leads" of one "pair of": the count stands with the amount word.
    if before and count is None and pair_before(tokens, phrase):
        count = 2 if kind == "part" else None
    alone = kind == "part" and count is None and " " not in name
    if alone and (in_passing(tokens, phrase) or in_a_row_of_words(tokens, phrase)):
        confidence, reason = min(PASSING, confidence), f"'{head.low}' is only spoken of"
    end = head.begin + len(_bare(head))
    begin = tokens[phrase.name_first].begin
    where = None
    if kind == "supply":
        where = where_it_goes(text, tokens, phrase.stop) or what_gets_it(text, tokens, phrase)
    signs = signs_of(tokens, phrase)
    return Thing(
        index, begin, end, _KNOWN[kind], name, number, count, where, confidence, reason, signs
    )


def _kind_and_name(tokens: Sequence[Token], phrase: Phrase) -> tuple[NounKind | None, str]:
    """Return what a name says of its kind by its words and use, and the name in full."""
    if used := told_by_use(tokens, phrase):
        return "tool", used
    kind = by_use(tokens, phrase, phrase.kind)
    name = _name(tokens[phrase.name_first : phrase.stop])
    name = name.removeprefix("wear ") if kind == "tool" else name  # "wear eye protection"
    if key := sized_key(tokens, phrase):
        return "tool", key
    if kind == "supply" and (glue := glued_by_colour(tokens, phrase)):
        return kind, glue
    if name == "plug" and _to_the_wall(tokens, phrase.stop):
        name = "mains plug"
    return kind, in_full(name) if kind == "tool" else name


def _sized(kind: NounKind | None, name: str, count: int | None) -> tuple[str, int | None]:
    """Return a name without the count before its size: "two 13 mil nuts" are two of 13 mil."""
    words = name.split()
    counted = count_at(words, 0) if kind == "part" and _MILS.intersection(words) else None
    if counted is None or counted[1] >= len(words) - 1:
        return name, count
    first, at = counted
    size = count_at(words, at)
    if size is None or size[1] >= len(words) or words[size[1]] not in _MILS:
        return name, count
    return " ".join(words[at:]), first


def _is_noun_here(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a word that is a verb elsewhere is a name by its article: "pull the bundle"."""
    behind = tokens[phrase.stop : phrase.stop + 1]
    head = tokens[phrase.stop - 1].low
    one = phrase.stop - phrase.name_first == 1 and phrase.article in _NAMING
    ends = not behind or behind[0].parted or behind[0].low in STOP
    return one and ends and len(head) > 2 and head.isalpha() and not head.endswith(("ing", "ed"))


_NAMING = _words("the this your its")


def _to_the_wall(tokens: Sequence[Token], at: int) -> bool:
    """Whether it is told of a plug that it sits in the wall: "the plug out of the socket"."""
    behind = [token.low for token in tokens[at : at + 4]]
    ways = behind[:1] in (["out"], ["from"], ["in"], ["into"], ["back"], ["at"])
    return ways and bool(_WALL & set(behind))


def _is_size(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a number tells a size: "M eight screws", "62 by 8 seal", "ISO 46"."""
    before = tokens[phrase.first - 1].low if phrase.first else ""
    inside = {token.low for token in tokens[phrase.first : phrase.stop]}
    if before == "by":  # "held on by two nuts" tells no size
        of = tokens[phrase.first - 2].low if phrase.first > 1 else ""
        return of in NUMBERS or of.isdigit()
    return before in {"x", "m", "iso", "vg", "point", "grade", "sae"} or bool(_MILS & inside)


_NAMES_NOTHING = (
    is_said_of_what_is_done, is_of_what_is_taken_back, is_a_time, is_a_state, is_keen,
    is_made_of, is_a_trace, is_harmed, is_a_travel, is_able,
)  # fmt: skip
_NO_NAMES = frozenset({"tool", "tools", "part number", "part numbers"})
_MILS = _words("mil mill mils mills mm millimetre millimeter inch")
_WALL = _words("wall socket mains outlet")


def _wrong(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a supply is the old one that runs out, the wrong one, or only told to be inside."""
    ways = (is_let_out, refused, is_inside, is_found_there, is_an_act, does_harm, is_spoiled,
            is_kept_in)  # fmt: skip
    return any(way(tokens, phrase) for way in ways)


def _name(tokens: Sequence[Token]) -> str:
    """Return the words of a name in small letters, but O-ring, PTFE and M10."""
    dropped = trade_words().dropped
    kept = [token for at, token in enumerate(tokens) if token.low not in ARTICLES
            or (at and tokens[at + 1 : at + 2] and tokens[at + 1].low in FRACTIONS)]  # fmt: skip
    words = [_cased(token, last=token is kept[-1]) for token in kept]
    if len(kept) > 1 and kept[0].end == kept[1].begin:
        words[:2] = ["".join(words[:2])]  # "10W-40" is heard as two words
    while len(words) > 1 and words[0].lower() in dropped:
        words = words[1:]
    return " ".join(words)


def _bare(token: Token) -> str:
    """Return a word without "'s", "'ll" or another short verb behind it."""
    text = token.text.replace("’", "'")
    return text.rsplit("'", 1)[0] if token.owned else text


def _cased(token: Token, *, last: bool) -> str:
    text = _bare(token)
    bare = text.replace("-", "")
    if any(letter.isdigit() for letter in bare) or (bare.isupper() and len(bare) <= 5):
        return text
    if len(bare) > 1 and bare[0].isupper() and text[1:2] == "-":
        return text[0] + text[1:].lower()
    owner = token.owned and not last and text.lower().endswith("er")
    return text.lower() + ("'s" if owner else "")
