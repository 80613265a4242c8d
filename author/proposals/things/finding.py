"""Parts, tools and supplies that are named in what was said."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import (
    ARTICLES,
    NUMBERS,
    OBJECT_BEGINS,
    PARTICLES,
    PREPOSITIONS,
    STOP,
)
from author.proposals.language.noun_phrases import (
    Phrase,
    Token,
    is_verb_here,
    phrases_of,
    tokens_of,
)
from author.proposals.language.trade_words import NounKind, ThingKind, as_phrase, trade_words
from author.proposals.language.verbs import base_of
from author.proposals.language.word_forms import singular
from author.proposals.speech.spoken import Sentence
from author.proposals.things.counted import with_counts
from author.proposals.things.fastened import by_what_they_hold
from author.proposals.things.glued import parted
from author.proposals.things.instruments import by_what_they_read
from author.proposals.things.named import FAINT, PASSING, Thing
from author.proposals.things.ordering import orderings
from author.proposals.things.part_numbers import numbered, with_numbers_told_apart
from author.proposals.things.scores import weighed_things
from author.proposals.things.signs import signs_of
from author.proposals.things.spelled_numbers import spelled_in
from author.proposals.things.uses import (
    amount,
    by_use,
    coloured,
    handled,
    in_a_row_of_words,
    in_passing,
    is_inside,
    is_let_out,
    is_likened,
    is_no_part,
    is_no_tool,
    may_be_named,
    moved,
    named_by_use,
    pair_before,
    refused,
)
from author.proposals.things.which_of_them import with_those_told_by_place

if TYPE_CHECKING:
    from author.proposals.kinds.marks import Marked
    from author.proposals.quantities.reading import SpokenQuantity

__all__ = ["PASSING", "Thing", "things_in"]

_SUPPLY_VERBS = {
    "grease": "grease", "regrease": "grease", "re-grease": "grease", "oil": "oil",
    "loctite": "threadlocker", "glue": "glue", "solder": "solder",
}  # fmt: skip
_WHERE = PREPOSITIONS - _words("with of from by off out for up down without near past")
_WHERE_STOPS = _words(
    """
    and but so then before until because if when while or that which just we you i it's that's
    as cause till unless once goes is are with will
    """
)
_BETWEEN = _words("between over under around at to above below up down")
_BEHIND_WHERE = _words("first last again lightly well now too sparingly liberally")
_KNOWN: dict[NounKind, ThingKind] = {"part": "part", "tool": "tool", "supply": "supply"}
_MOST_WHERE = 9
_STANDS = _words("is are was were been be it's that's they're")
_SHORT = {
    "feeler": "feeler gauge", "feelers": "feeler gauge", "mic": "micrometer", "mics": "micrometer",
    "mike": "micrometer", "mikes": "micrometer", "plier": "pliers",
    "hex": "hex key", "allen": "allen key", "allens": "allen key", "tacho": "tachometer",
    "clock": "dial gauge", "adjustable": "adjustable spanner", "stubby": "stubby screwdriver",
    "long-nose": "long-nose pliers", "needle-nose": "needle-nose pliers",
    "snub-nose": "snub-nose pliers",
}  # fmt: skip
_TOOL_VERBS = {
    "mic": "micrometer", "mike": "micrometer",
    "hoover": "vacuum cleaner", "vacuum": "vacuum cleaner", "chock": "wheel chock",
    "scribe": "scriber", "punch": "punch", "ohm": "multimeter",
}  # fmt: skip
_ACROSS = _words("across over around round at")
# Shares that were right in narrations of our own.
_SURE, _LIKELY, _WEAK, _GUESS = (Decimal(text) for text in ("0.9", "0.8", "0.6", "0.5"))


def things_in(
    sentences: Sequence[Sentence],
    quantities: Sequence[SpokenQuantity] = (),
    marks: Sequence[Marked] = (),
) -> tuple[Thing, ...]:
    """Return the parts, tools and supplies named in each sentence, in the order they are said.

    Args:
        sentences: what was said.
        quantities: what was measured; its words are no names.
        marks: what kind of thing each clause says; what is named in mere talk, or as a part in
            one word where nothing is done, is only spoken of.
    """
    kinds: dict[int, set[str]] = {}
    for mark in marks:
        kinds.setdefault(mark.sentence, set()).add(mark.kind)
    measured: dict[int, list[tuple[int, int]]] = {}
    for one in quantities:
        if one.role not in {"size", "thread"}:
            measured.setdefault(one.sentence, []).append((one.begin, one.end))
    found: list[Thing] = []
    for index, sentence in enumerate(sentences):
        found.extend(_in_sentence(index, sentence.text, measured.get(index, [])))
    texts = [one.text for one in sentences]
    found = by_what_they_read(found, quantities)
    found = with_numbers_told_apart(sentences, with_counts(texts, found))
    found = with_those_told_by_place(texts, found)
    if not marks:
        return tuple(one for one in found if one.confidence > FAINT)
    told = orderings(texts, found)
    listed = {(found[at].sentence, found[at].begin) for at, one in told.items() if one != "never"}
    return weighed_things(by_what_they_hold(found, sentences), kinds, len(sentences), listed)


def _in_sentence(index: int, text: str, measured: Sequence[tuple[int, int]]) -> Iterator[Thing]:
    tokens = tokens_of(text)
    spelled = spelled_in(tokens)
    barred = frozenset(
        at
        for at, token in enumerate(tokens)
        if any(begin < token.end and token.begin < end for begin, end in measured)
    ) | {at for one in spelled for at in range(one.first, one.stop)}
    phrases = [
        _with_its_number(tokens, one)
        for phrase in phrases_of(tokens, barred)
        for one in parted(tokens, _widened(tokens, phrase))
    ]
    numbers = numbered(text, tokens, phrases, spelled)
    found = [
        thing
        for place, phrase in enumerate(phrases)
        if (thing := _thing(index, text, tokens, phrase, phrases[:place][-1:], numbers.get(place)))
    ]
    found.extend(_by_verb(index, text, tokens))
    wrong = {
        as_phrase([token.low for token in tokens[phrase.name_first : phrase.stop]])
        for phrase in phrases
        if phrase.kind == "supply" and refused(tokens, phrase)
    }
    # "Not petroleum jelly, petroleum jelly swells it up".
    found = [one for one in found if as_phrase(one.name.lower().split()) not in wrong]
    yield from sorted(found, key=lambda thing: thing.begin)


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
    head = tokens[phrase.stop - 1]
    kind, count = phrase.kind, phrase.count
    name = _name(tokens[phrase.name_first : phrase.stop])
    confidence, reason = _SURE if phrase.sure else _LIKELY, f"'{head.low}' names a {kind}"
    following = tokens[phrase.stop].low if phrase.stop < len(tokens) else ""
    kind = by_use(tokens, phrase, kind)
    if kind == "plain" or amount(tokens, phrase, following):
        return None
    name = _in_full(name, kind)
    if name == "plug" and _to_the_wall(tokens, phrase.stop):
        name = "mains plug"
    if count is not None and _is_size(tokens, phrase):
        count = None
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
    where = _where(text, tokens, phrase.stop) if kind == "supply" else None
    signs = signs_of(tokens, phrase) if kind != "supply" else frozenset()
    return Thing(
        index, begin, end, _KNOWN[kind], name, number, count, where, confidence, reason, signs
    )


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
    return before in {"by", "x", "m", "iso", "point", "grade", "sae"} or bool(_MILS & inside)


def _with_its_number(tokens: Sequence[Token], phrase: Phrase) -> Phrase:
    """Return a name with the number that is part of it: one "seven pin plug" has seven pins."""
    at, head = phrase.name_first, tokens[phrase.stop - 1].low
    if phrase.kind == "tool" and at and tokens[at].low in NUMBERS and not tokens[at].parted:
        # "Twenty seven spanner" is no seven spanner.
        tens = tokens[at - 1].low.endswith("ty") and tokens[at - 1].low in NUMBERS
        return replace(phrase, name_first=at - 1, first=at - 1) if tens else phrase
    several = phrase.count is not None and phrase.count > 1 and at > phrase.first
    if several and singular(head) == head and tokens[at].low in _COUNTED_OF:
        return replace(phrase, name_first=at - 1, count=None)
    return phrase


_COUNTED_OF = _words(
    "pin way core pole leg jaw start speed stage point hole lobe blade wire prong piece gang port"
)
_NO_NAMES = frozenset({"tool", "tools", "part number", "part numbers"})
_MILS = _words("mil mill mils mills mm millimetre millimeter inch")
_WALL = _words("wall socket mains outlet")


def _in_full(name: str, kind: NounKind | None) -> str:
    """Return a tool's name with its last word as it is written: a depth mic is a micrometer."""
    if kind != "tool":
        return name
    if name == "driver":
        return "screwdriver"
    words = name.split(" ")
    full = _SHORT.get(words[-1].lower())
    if words[-1].lower() in {"key", "keys"} and _is_hex_size(words[:-1]):
        full = f"hex {words[-1].lower()}"
    return name if full is None else " ".join([*words[:-1], full])


def _is_hex_size(words: Sequence[str]) -> bool:
    """Whether a key's size is that of a hex key: "five mil"; a 30 mm key is a spanner."""
    if len(words) < 2 or words[-1].lower() not in _MILS:
        return False
    number = words[-2].lower()
    if number.isdecimal():
        return len(number) <= len(str(_LARGEST_HEX)) and int(number) <= _LARGEST_HEX
    return number not in _OF_SPANNERS


_LARGEST_HEX = 14
_OF_SPANNERS = _words("fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty")


def _wrong(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a supply is the old one that runs out, the wrong one, or only told to be inside."""
    return is_let_out(tokens, phrase) or refused(tokens, phrase) or is_inside(tokens, phrase)


def _name(tokens: Sequence[Token]) -> str:
    """Return the words of a name in small letters, but O-ring, PTFE and M10."""
    dropped = trade_words().dropped
    kept = [token for token in tokens if token.low not in ARTICLES]
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


def _where(text: str, tokens: Sequence[Token], at: int) -> str | None:
    """Return where a supply goes, in the words that follow it."""
    if at >= len(tokens) or tokens[at].low not in _WHERE or tokens[at].parted:
        return None
    behind = tokens[at + 1].low if at + 1 < len(tokens) else ""
    if behind[:1].isdigit() and tokens[at].low in _BETWEEN:
        return None  # "CO2 between 9 and 10 percent" is measured there
    stop = at + 1
    while stop < len(tokens) and stop - at < _MOST_WHERE and not tokens[stop].parted:
        if tokens[stop].low in _WHERE_STOPS or is_verb_here(tokens, stop):
            break
        stop += 1
    while stop > at + 1 and tokens[stop - 1].low in PREPOSITIONS | ARTICLES | _BEHIND_WHERE:
        stop -= 1
    return text[tokens[at].begin : tokens[stop - 1].end] if stop > at + 1 else None


def _is_done(tokens: Sequence[Token], at: int) -> bool:
    """Whether a verb that names its tool is told to be done: "ohm it", not "ten ohm the first"."""
    before = "" if tokens[at].parted else tokens[at - 1].low
    counted = before in NUMBERS or before[:1].isdigit()
    behind = tokens[at + 1]
    return not counted and not behind.parted and behind.low in OBJECT_BEGINS | _ACROSS


def _by_verb(index: int, text: str, tokens: Sequence[Token]) -> Iterator[Thing]:
    """Yield the supply that a verb names: "grease the lip"."""
    for at, token in enumerate(tokens[:-1]):
        base = base_of(token.low)
        tool = _TOOL_VERBS.get(token.low)
        if tool and _is_done(tokens, at):
            yield Thing(index, token.begin, token.end, "tool", tool, None, None, None, _LIKELY,
                        f"'{token.low}' is done with a {tool}",
                        frozenset({"by verb"}))  # fmt: skip
        name = _SUPPLY_VERBS.get(base or "")
        if name is None or tokens[at + 1].parted or not is_verb_here(tokens, at):
            continue
        if token.low.endswith("ed") and at and tokens[at - 1].low in _STANDS:
            continue
        stop = at + 1
        while stop < len(tokens) and stop - at <= 5 and not tokens[stop].parted:
            if tokens[stop].low in _WHERE_STOPS | PREPOSITIONS | PARTICLES:
                break
            stop += 1
        while stop > at + 1 and tokens[stop - 1].low in _BEHIND_WHERE:
            stop -= 1
        where = text[tokens[at + 1].begin : tokens[stop - 1].end] if stop > at + 1 else None
        yield Thing(index, token.begin, token.end, "supply", name, None, None, where, _WEAK,
                    f"'{token.low}' is done with {name}")  # fmt: skip
