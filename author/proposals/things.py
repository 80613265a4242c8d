"""Parts, tools and supplies that are named in what was said."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from author.checks.verbs import words as _words
from author.proposals.closed_words import ARTICLES, PARTICLES, PREPOSITIONS
from author.proposals.noun_phrases import Phrase, Token, is_verb_here, phrases_of, tokens_of
from author.proposals.spoken import Sentence
from author.proposals.spoken_numbers import Spelled, spelled_in
from author.proposals.trade_words import NounKind, ThingKind, as_phrase, trade_words
from author.proposals.word_forms import base_of, singular

if TYPE_CHECKING:
    from author.proposals.marks import Marked
    from author.proposals.quantities import SpokenQuantity

# Their object is something that comes off, goes on or is looked at.
HANDLING = _words(
    """
    remove undo unscrew unbolt unclip unhook unplug detach disconnect extract withdraw pull pop
    lift slide slip prise pry lever knock drive press fit refit install reinstall replace renew swap
    insert mount attach screw bolt drop tap push seat tighten loosen slacken clean grease lubricate
    inspect unfasten dismount free unwind uncouple undo crack take
    """
)
_SUPPLY_VERBS = {
    "grease": "grease", "regrease": "grease", "re-grease": "grease", "oil": "oil",
    "loctite": "threadlocker", "glue": "glue", "solder": "solder",
}  # fmt: skip
_BLUE = {
    "dab": "threadlocker", "drop": "threadlocker", "bit": "threadlocker", "spot": "threadlocker",
    "touch": "threadlocker", "smear": "marking blue", "film": "marking blue",
    "layer": "marking blue", "coat": "marking blue",
}  # fmt: skip
_FASTENERS = _words("thread bolt screw nut stud pin fastener plug threadlocker")
# With an article before them and "with" before that they are what the hand holds.
_HELD = _words("dowel rod bar pipe tube block plate blade strap rope wire board post light")
_COLOURS = _words("blue red green")
_OLD_FLUID = _words("drain catch spill leak empty leaking drained draining")
_WHERE = PREPOSITIONS - _words("with of from by off out for up down without near past")
_WHERE_STOPS = _words(
    """
    and but so then before until because if when while or that which just we you i it's that's
    as cause till unless once goes is are with will
    """
)
_KNOWN: dict[NounKind, ThingKind] = {"part": "part", "tool": "tool", "supply": "supply"}
_MOST_WHERE = 9
_REFUSING = _words("never no not don't dont shouldn't")
_POURING = _words("fill put pour add apply top pump spread use smear rub work wipe get")
_OF_A_PERSON = _words(
    "knuckle elbow knee heel sleeve jacket boot shoe belt tie hood pocket back nose"
)
_PIECES = _words("bit piece length scrap strip lump offcut chunk bits pieces")
_SWITCHED = _words("lock switch plug power")
_SIZES = _words("mil mill mils mm millimetre millimeter inch")
_STANDING_FLUIDS = _words("oil grease coolant fuel petrol diesel fluid gas refrigerant")
# Shares that were right in narrations of our own.
_SURE, _LIKELY, _WEAK, _GUESS = (Decimal(text) for text in ("0.9", "0.8", "0.6", "0.5"))
PASSING = Decimal("0.3")


@dataclass(frozen=True, slots=True)
class Thing:
    """A thing that is named in a sentence.

    Attributes:
        sentence: index of the sentence.
        begin: index of the first letter of the name in the text of the sentence.
        end: index after its last letter.
        kind: what it is for the job.
        name: as it was said, without article, count and words such as "old".
        number: its part number, where one was said with it.
        count: how many, where that was said.
        where: where a supply goes, as it was said.
        confidence: from 0 to 1.
        reason: why it is taken for that, one sentence.
    """

    sentence: int
    begin: int
    end: int
    kind: ThingKind
    name: str
    number: str | None
    count: int | None
    where: str | None
    confidence: Decimal
    reason: str


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
        named = _in_sentence(index, sentence.text, measured.get(index, []))
        found.extend(_spoken_of(one, kinds.get(index, set())) if marks else one for one in named)
    return tuple(found)


def _spoken_of(thing: Thing, kinds: set[str]) -> Thing:
    """Return a thing as only spoken of, where its sentence is talk or nothing is done in it."""
    alone = thing.kind == "part" and " " not in thing.name and "action" not in kinds
    if alone or kinds & {"chatter", "preview"}:
        reason = f"'{thing.name}' is only spoken of"
        return replace(thing, confidence=min(thing.confidence, PASSING), reason=reason)
    return thing


def _in_sentence(index: int, text: str, measured: Sequence[tuple[int, int]]) -> Iterator[Thing]:
    tokens = tokens_of(text)
    spelled = spelled_in(tokens)
    barred = frozenset(
        at
        for at, token in enumerate(tokens)
        if any(begin < token.end and token.begin < end for begin, end in measured)
    ) | {at for one in spelled for at in range(one.first, one.stop)}
    phrases = [_widened(tokens, phrase) for phrase in phrases_of(tokens, barred)]
    numbers = _numbered(phrases, spelled)
    found = [
        thing
        for place, phrase in enumerate(phrases)
        if (thing := _thing(index, text, tokens, phrase, phrases[:place][-1:], numbers.get(place)))
    ]
    found.extend(_by_verb(index, text, tokens))
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


def _numbered(phrases: Sequence[Phrase], spelled: Sequence[Spelled]) -> dict[int, str]:
    """Return for each name the part number that stands beside it."""
    found: dict[int, str] = {}
    for one in spelled:
        for place, phrase in enumerate(phrases):
            if phrase.kind in {"part", "weak"} and 0 <= one.first - phrase.stop <= 3:
                found[place] = one.number
            elif phrase.kind == "part" and one.stop == phrase.first:
                found.setdefault(place, one.number)
    return found


def _thing(
    index: int,
    text: str,
    tokens: Sequence[Token],
    phrase: Phrase,
    before: Sequence[Phrase],
    number: str | None,
) -> Thing | None:
    head = tokens[phrase.stop - 1]
    kind, count, name = phrase.kind, phrase.count, _name(tokens[phrase.name_first : phrase.stop])
    confidence, reason = _SURE if phrase.sure else _LIKELY, f"'{head.low}' names a {kind}"
    following = tokens[phrase.stop].low if phrase.stop < len(tokens) else ""
    kind = _by_use(tokens, phrase, kind)
    if kind == "part" and _is_no_part(tokens, phrase):
        return None
    if kind in {"plain", "feature"} or _amount(tokens, phrase, following):
        return None
    let_out = kind == "supply" and _is_let_out(tokens, phrase)
    if (
        not name
        or name in {"tool", "tools"}
        or let_out
        or (kind in {"tool", "supply"} and _refused(tokens, phrase))
    ):
        return None
    if kind == "weak":
        if not (phrase.sure or _handled(tokens, phrase)) or phrase.article in {"your", "my"}:
            return None
        kind, confidence, reason = "part", _WEAK, f"'{head.low}' is named as part of something"
    elif kind is None:
        blue = _coloured(tokens, phrase)
        if blue is not None:
            kind, name, reason = "supply", blue, f"'{head.low}' is said for {blue}"
        elif phrase.article and _handled(tokens, phrase) and _may_be_named(head.low):
            kind, reason = "part", f"'{head.low}' is the object of the work"
        else:
            return None
        confidence = _WEAK if blue else _GUESS
    # "plugs and leads" of one "pair of": the count stands with the amount word.
    if before and count is None and _pair_before(tokens, phrase):
        count = 2 if kind == "part" else None
    if kind == "part" and count is None and " " not in name and _in_passing(tokens, phrase):
        confidence, reason = PASSING, f"'{head.low}' is only spoken of"
    end = head.end - 2 if head.owned else head.end
    begin = tokens[phrase.name_first].begin
    where = _where(text, tokens, phrase.stop) if kind == "supply" else None
    return Thing(index, begin, end, _KNOWN[kind], name, number, count, where, confidence, reason)


def _in_passing(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether nothing is done with a part where it is named: "the handle was always stiff"."""
    if phrase.stop >= len(tokens) or tokens[phrase.stop].parted:
        return False
    if tokens[phrase.stop].low in PARTICLES | {"goes", "comes"}:
        return False
    at = phrase.first - 1
    if at < 0 or tokens[at + 1].parted:
        return True
    before = tokens[at].low
    return before not in PREPOSITIONS | PARTICLES and base_of(before) in {None, "be", "have"}


def _by_use(tokens: Sequence[Token], phrase: Phrase, kind: NounKind | None) -> NounKind | None:
    """Return the kind of a thing that is part or tool by what is done with it."""
    head = singular(tokens[phrase.stop - 1].low)
    by_hand = phrase.first > 0 and tokens[phrase.first - 1].low in {"with", "using", "use"}
    if head in _HELD and phrase.article in {"a", "an"} and by_hand:
        return "tool"
    name = {token.low for token in tokens[phrase.name_first : phrase.stop]}
    following = tokens[phrase.stop].low if phrase.stop < len(tokens) else ""
    worn = head == "spec" and (phrase.article in {"my", "your"} or following == "on")
    if worn or (head == "lock" and len(name) == 1 and phrase.article in {"my", "your", "his"}):
        return "tool"
    if head == "key" and name & _SIZES:
        return "tool"
    if head in {"lock", "dial"} and len(name) == 1 and following == "on":
        return "tool"
    if head in {"caliper", "calliper"} and by_hand:
        return "tool"
    if head in {"clamp", "brush"} and not phrase.sure:
        plural = head != tokens[phrase.stop - 1].low
        return "tool" if by_hand or not plural else "part"
    return kind


def _refused(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a tool or a supply is named as the wrong one: "never a hammer", "not oil"."""
    before = [token.low for token in tokens[max(0, phrase.first - 2) : phrase.name_first]]
    return not _REFUSING.isdisjoint(before) and not tokens[phrase.first].parted


def _is_no_part(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a part's name is a person's own thing, a piece of stuff, or what is done."""
    if phrase.stop - phrase.name_first > 1:
        return False
    head = singular(tokens[phrase.stop - 1].low)
    if phrase.article in {"my", "his", "her"} or (
        head in _OF_A_PERSON and phrase.article in {"your", "their", "our"}
    ):
        return True
    before = [token.low for token in tokens[max(0, phrase.first - 2) : phrase.first]]
    if len(before) == 2 and before[1] == "of" and before[0] in _PIECES:
        return True
    following = tokens[phrase.stop].low if phrase.stop < len(tokens) else ""
    return head in _SWITCHED and not phrase.article and following in {"off", "out", "on"}


def _amount(tokens: Sequence[Token], phrase: Phrase, following: str) -> bool:
    """Whether a word only says how much of what follows: "a wipe of cleaner"."""
    word = tokens[phrase.stop - 1].low
    return following == "of" and word in trade_words().measures


def _pair_before(tokens: Sequence[Token], phrase: Phrase) -> bool:
    at = phrase.first
    return at >= 2 and tokens[at - 1].low == "of" and tokens[at - 2].low in {"pair", "couple"}


def _coloured(tokens: Sequence[Token], phrase: Phrase) -> str | None:
    """Return what is meant by "a dab of blue"."""
    at = phrase.name_first
    if tokens[at].low not in _COLOURS or phrase.stop - at > 1 or at < 2:
        return None
    amount = tokens[at - 2].low if tokens[at - 1].low == "of" else ""
    meant = _BLUE.get(amount)
    if meant is None:
        return None
    fastened = any(singular(token.low) in _FASTENERS for token in tokens)
    if meant == "marking blue" or not fastened:
        return "marking blue" if tokens[at].low == "blue" else None
    return f"{tokens[at].low} {meant}"


def _may_be_named(word: str) -> bool:
    return len(word) > 2 and word.isascii() and word.isalpha() and base_of(word) is None


def _is_let_out(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a fluid is the old one that runs out."""
    start = max(0, phrase.first - 2)
    around = {token.low for token in tokens[start : phrase.name_first]}
    if tokens[phrase.stop - 1].low in _STANDING_FLUIDS and phrase.stop - phrase.name_first == 1:
        before = tokens[phrase.first - 1].low if phrase.first else ""
        if before == "full" or (before == "of" and tokens[phrase.first - 2].low == "full"):
            return True
        if phrase.article in {"the", "your", "its"} and base_of(before) not in _POURING:
            return True
    return bool(around & (_OLD_FLUID | {"old"}))


def _handled(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a name stands where the object of a removal or a fitting stands."""
    at = phrase.first - 1
    if at >= 0 and tokens[at].low in PARTICLES:
        at -= 1
    if at >= 0 and not tokens[at + 1].parted:
        base = base_of(tokens[at].low)
        if base in HANDLING and (base != "take" or _particle_near(tokens, phrase.stop)):
            return True
    stop = phrase.stop
    if stop + 1 < len(tokens) and tokens[stop].low in {"comes", "goes", "pops", "drops", "lifts"}:
        return tokens[stop + 1].low in PARTICLES
    return False


def _particle_near(tokens: Sequence[Token], at: int) -> bool:
    return at < len(tokens) and tokens[at].low in PARTICLES and not tokens[at].parted


def _name(tokens: Sequence[Token]) -> str:
    """Return the words of a name in small letters, but O-ring, PTFE and M10."""
    dropped = trade_words().dropped
    words = [_cased(token) for token in tokens if token.low not in ARTICLES]
    while len(words) > 1 and words[0].lower() in dropped:
        words = words[1:]
    return " ".join(words)


def _cased(token: Token) -> str:
    text = token.text[:-2] if token.owned and token is not None else token.text
    bare = text.replace("-", "")
    if any(letter.isdigit() for letter in bare) or (bare.isupper() and len(bare) <= 5):
        return text
    if len(bare) > 1 and bare[0].isupper() and text[1:2] == "-":
        return text[0] + text[1:].lower()
    return text.lower() + ("'s" if token.owned and token.text.lower().endswith("'s")
                           and text.lower().endswith("er") else "")  # fmt: skip


def _where(text: str, tokens: Sequence[Token], at: int) -> str | None:
    """Return where a supply goes, in the words that follow it."""
    if at >= len(tokens) or tokens[at].low not in _WHERE or tokens[at].parted:
        return None
    stop = at + 1
    while stop < len(tokens) and stop - at < _MOST_WHERE and not tokens[stop].parted:
        if tokens[stop].low in _WHERE_STOPS or is_verb_here(tokens, stop):
            break
        stop += 1
    while stop > at + 1 and tokens[stop - 1].low in PREPOSITIONS | ARTICLES:
        stop -= 1
    return text[tokens[at].begin : tokens[stop - 1].end] if stop > at + 1 else None


def _by_verb(index: int, text: str, tokens: Sequence[Token]) -> Iterator[Thing]:
    """Yield the supply that a verb names: "grease the lip"."""
    for at, token in enumerate(tokens[:-1]):
        base = base_of(token.low)
        name = _SUPPLY_VERBS.get(base or "")
        if name is None or tokens[at + 1].parted or not is_verb_here(tokens, at):
            continue
        stop = at + 1
        while stop < len(tokens) and stop - at <= 5 and not tokens[stop].parted:
            if tokens[stop].low in _WHERE_STOPS | PREPOSITIONS | PARTICLES:
                break
            stop += 1
        where = text[tokens[at + 1].begin : tokens[stop - 1].end] if stop > at + 1 else None
        yield Thing(index, token.begin, token.end, "supply", name, None, None, where, _WEAK,
                    f"'{token.low}' is done with {name}")  # fmt: skip
