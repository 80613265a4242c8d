"""One entry for each thing, however it is named."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import islice

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS
from author.proposals.language.trade_words import ThingKind, as_phrase, trade_words
from author.proposals.language.word_forms import singular
from author.proposals.things.named import PASSING, Thing
from author.proposals.things.renewed import TO_RENEW
from author.proposals.things.short_names import is_no_more, nearest_first, words_near
from author.proposals.things.signs import LEFT_OUT, NEW

Key = tuple[str, tuple[str, ...]]

_UNITS = _words("mil mm mill mils millimetre millimeter inch half quarter eighth eighths")
# "The upper bearing" and "the top bearing" are one.
_SAME_PLACE = {"upper": "top", "lower": "bottom", "rear": "back"}
# A job has a few dozen names with one last word; more are garbage, and would take long.
_MOST_KNOWN = 60
# Shares that were right in narrations of our own.
_OFTEN = {2: Decimal("0.82"), 3: Decimal("0.93"), 4: Decimal("0.97")}
_ONE_WORD: dict[ThingKind, Decimal] = {
    "part": Decimal("0.5"),
    "tool": Decimal("0.8"),
    "supply": Decimal("0.65"),
}
_MORE_WORDS: dict[ThingKind, Decimal] = {
    "part": Decimal("0.7"),
    "tool": Decimal("0.9"),
    "supply": Decimal("0.9"),
}


@dataclass(frozen=True, slots=True)
class Item:
    """A thing of the job with all the places it is named at.

    Attributes:
        kind: what it is for the job.
        name: its fullest name, for one piece.
        number: its part number, where one was said.
        count: the most that were said to be there.
        mentions: indexes into the things it was gathered from.
        confidence: from 0 to 1.
        reason: why it is in the list, one sentence.
    """

    kind: ThingKind
    name: str
    number: str | None
    count: int | None
    mentions: tuple[int, ...]
    confidence: Decimal
    reason: str


@dataclass(slots=True)
class Entry:
    """What is named, and indexes of the things that name it."""

    kind: str
    key: tuple[str, ...]
    mentions: list[int] = field(default_factory=list)


def gathered(things: Sequence[Thing]) -> tuple[Item, ...]:
    """Return one item for each thing, in the order they are first named.

    A shorter name is taken for the longer one that ends in it: for the only one there is, or
    the one named last. "Washer" beside "tab washer" in one sentence is another thing. What was
    spoken of once and in passing is in no list.

    Args:
        things: what was named, in the order it was said.
    """
    return tuple(
        _item(entry, things)
        for entry in entries_of(things, [(one.kind, told_apart(one)) for one in things])
        if any(things[index].confidence > PASSING for index in entry.mentions)
        or len(entry.mentions) > 1
    )


def told_apart(thing: Thing) -> tuple[str, ...]:
    """Return the words by which a thing is told from others; tools go by their size too.

    A ten millimetre spanner is no strap wrench, and a key of the shaft no hexagon key.
    """
    key = key_of(thing.name)
    if thing.kind != "tool":
        return key
    size = _SIZE.search(thing.name)
    head = "hand key" if key[-1] == "key" else key[-1]
    return (*((f"size {size[0].lower()}",) if size else ()), *key[:-1], head)


# The size at the head of a tool's name: "10 mil spanner", "half inch socket", "fourteen spanner".
_SIZE = re.compile(
    rf"^(?:\d[\d/.-]*|(?:{'|'.join(sorted(NUMBERS))}|half|quarter|eighths?|sixteenths?)\b[\w -]*?)"
    r"(?= (?:mil|mills?|mm|millimet\w+|inch|in|spanner|wrench|socket|key|allen|hex)\b)",
    re.IGNORECASE,
)


def entries_of(things: Sequence[Thing], keys: Sequence[Key]) -> list[Entry]:
    """Return what is named, each once with the places it is named at.

    Args:
        things: what was named, in the order it was said.
        keys: the kind and the words by which each is told from others.
    """
    keys = _joined(keys)
    own = _of_their_own(things, keys)
    longer: dict[tuple[str, str], list[tuple[str, ...]]] = {}
    for kind, key in dict.fromkeys(keys):
        longer.setdefault((kind, key[-1]), []).append(key)
    several = {keys[at] for at, thing in enumerate(things) if _is_several(thing)}
    renewed = {keys[at] for at, thing in enumerate(things) if TO_RENEW in thing.signs}
    one_of = {keys[at] for at, thing in enumerate(things) if not _is_several(thing)}
    fresh = _fresh(things, keys)
    left_out = _left_out(things, keys)
    near = words_near(things)
    apart: set[Key] = set()
    entries: dict[Key, Entry] = {}
    last: dict[tuple[str, str], dict[tuple[str, ...], None]] = {}
    for index, (kind, said) in enumerate(keys):
        named = last.setdefault((kind, said[-1]), {})
        latest = list(islice(reversed(named), _MOST_KNOWN))
        mine = (kind, said) in own
        known = longer[kind, said[-1]]
        if left_out and (kind, said) not in left_out:
            # "Never a wire brush. Brush it on the thread": another brush.
            known, latest = ([one for one in some if (kind, one) not in left_out]
                             for some in (known, latest))  # fmt: skip
        if kind == "part" and _is_several(things[index]):
            # "Four screws on the head" are no centre screw.
            known, latest = ([one for one in some if (kind, one) in several]
                             for some in (known, latest))  # fmt: skip
        elif kind == "part" and _is_this_one(things[index], (kind, said) in entries):
            # "One screw" is none of the two screws of another thing.
            known, latest = ([one for one in some if (kind, one) in one_of]
                             for some in (known, latest))  # fmt: skip
        any_of = len(said) == 1 and said[0] in _OF_MANY and NEW not in things[index].signs
        behind = any_of and any(fresh.get((kind, one), -1) > index for one in known)
        if behind or (any_of and (kind, said) in apart):
            # "The washer off", and "a new copper washer" behind it: another one.
            apart.add((kind, said))
            known, latest = ([one for one in some if (kind, one) not in fresh]
                             for some in (known, latest))  # fmt: skip
        if renewed and {NEW, TO_RENEW} & things[index].signs:
            # "That front bearing gets replaced. The rear one is fine. Heat the new bearing."
            latest = [one for one in latest if (kind, one) in renewed] or latest
        if kind == "part" and not mine:
            latest = nearest_first(latest, said, near[index])
            gone = {
                one for one in latest
                if len(one) > len(said) and is_no_more(
                    things[index], [things[at] for at in entries[kind, one].mentions])
            }  # fmt: skip
            known, latest = ([one for one in some if one not in gone] for some in (known, latest))
        key = said if mine else _meant(said, known, latest)
        named.pop(key, None)
        named[key] = None  # the latest stands last
        entries.setdefault((kind, key), Entry(kind, key)).mentions.append(index)
    return list(entries.values())


_OF_MANY = _words("washer clip shim spacer screw bolt nut")


def _fresh(things: Sequence[Thing], keys: Sequence[Key]) -> dict[Key, int]:
    """Return what is only named as a new one that goes in, with where it is named first."""
    found: dict[Key, int] = {}
    for at, key in enumerate(keys):
        found.setdefault(key, at)
    told = [key for key, thing in zip(keys, things, strict=True)
            if not {NEW, "art a"} <= thing.signs]  # fmt: skip
    return {key: at for key, at in found.items() if key not in set(told)}


def _left_out(things: Sequence[Thing], keys: Sequence[Key]) -> set[Key]:
    """Return what is only named as what is not to be used."""
    told = {key for key, thing in zip(keys, things, strict=True) if LEFT_OUT not in thing.signs}
    return set(keys) - told


def _is_this_one(thing: Thing, known: bool) -> bool:
    """Whether one fastener is named by its head alone: "one screw, in the middle".

    Args:
        thing: what is named.
        known: whether one was told of before.
    """
    counted = thing.count == 1 or (known and thing.count is None)
    return counted and thing.name.lower() in {"screw", "bolt", "nut"}


def _is_several(thing: Thing) -> bool:
    """Whether more than one is named: "four screws", "the head screws"."""
    head = thing.name.split()[-1].lower()
    return (thing.count or 0) > 1 or (thing.count is None and singular(head) != head)


def _joined(keys: Sequence[Key]) -> list[Key]:
    """Return the keys with "bill hook" as "billhook" where that is said as well."""
    last = {key[-1] for _, key in keys}
    joined: list[Key] = []
    for kind, key in keys:
        whole = "".join(key[-2:]) if len(key) > 1 else ""
        joined.append((kind, (*key[:-2], whole)) if whole in last else (kind, key))
    return joined


_GRADED = frozenset({"iso", "vg", "sae"})


def key_of(name: str) -> tuple[str, ...]:
    """Return the words by which a name is told from others."""
    table = trade_words()
    phrase = as_phrase(name.split())
    parts = phrase.split()
    for size in range(min(4, len(parts)), 1, -1):
        known = table.same.get(" ".join(parts[-size:]))
        if known is not None:
            parts = [*parts[:-size], *as_phrase(known.split()).split()]
            break
    else:
        if len(parts) == 1:
            parts = as_phrase(table.same.get(phrase, phrase).split()).split()
    words = [table.spellings.get(word, word) for word in parts]
    kept = [
        _SAME_PLACE.get(word, word)
        for at, word in enumerate(words[:-1])
        if (at and words[at - 1] in _GRADED)  # ISO 46 oil is no ISO 68 oil
        or (word == "right" and words[at + 1] == "hand")  # "the right oil" only fits
        or (
            word not in table.dropped
            and word not in _UNITS
            and word not in NUMBERS
            and not word[0].isdigit()
        )
    ]
    head = singular(words[-1])
    return (*kept, table.spellings.get(head, head))


def _of_their_own(things: Sequence[Thing], keys: Sequence[Key]) -> set[Key]:
    """Return the short names that stand beside a longer one of the same head, so are others."""
    near: dict[int, list[int]] = {}
    for index, thing in enumerate(things):
        near.setdefault(thing.sentence, []).append(index)
    own: set[Key] = set()
    for indexes in near.values():
        if len(indexes) > 12:
            continue
        for one in indexes:
            kind, key = keys[one]
            for other in indexes:
                close = abs(one - other) == 1 and keys[other][0] == kind
                # "Take the side racks out, each rack has one screw"
                close = close and not (other < one and "part one each" in things[one].signs)
                if close and len(keys[other][1]) > len(key) == 1 and keys[other][1][-1] == key[-1]:
                    own.add((kind, key))
    return own


def _meant(
    key: tuple[str, ...], known: Sequence[tuple[str, ...]], latest: Sequence[tuple[str, ...]]
) -> tuple[str, ...]:
    """Return the longer name that a name is short for, or the name itself."""
    for candidates in (latest, known[:_MOST_KNOWN]):
        for other in candidates:
            if len(other) > len(key) and _is_subset(key, other):
                return other if len(other) == _longest(other, known) else _meant(other, known, ())
    return key


def _longest(key: tuple[str, ...], known: Iterable[tuple[str, ...]]) -> int:
    """Return the length of the one longer name a name is surely short for, else its own."""
    over = [
        other
        for other in list(known)[:_MOST_KNOWN]
        if len(other) > len(key) and _is_subset(key, other)
    ]
    return len(over[0]) if len(over) == 1 else len(key)


def _is_subset(key: tuple[str, ...], other: tuple[str, ...]) -> bool:
    if key == ("oil",) and "penetrating" in other:
        return False  # "put oil near it" is no oil that frees rust
    return key[-1] == other[-1] and set(key[:-1]) <= set(other[:-1])


def names_by_sentence(items: Sequence[Item], things: Sequence[Thing]) -> dict[int, frozenset[str]]:
    """Return the names of the things each sentence names, by index of the sentence.

    Args:
        items: what was gathered.
        things: what it was gathered from.
    """
    named: dict[int, set[str]] = {}
    for item in items:
        for mention in item.mentions:
            named.setdefault(things[mention].sentence, set()).add(item.name)
    return {index: frozenset(names) for index, names in named.items()}


def _item(entry: Entry, things: Sequence[Thing]) -> Item:
    said = [things[index] for index in entry.mentions]
    lengths = [len(key_of(thing.name)) for thing in said]
    fullest = max(lengths)
    names = Counter(
        _single(thing.name)
        for thing, length in zip(said, lengths, strict=True)
        if length == fullest
    )
    counts = [thing.count for thing in said if thing.count is not None]
    numbers = [thing.number for thing in said if thing.number is not None]
    more = len(said) - 1
    return Item(
        kind=said[0].kind,
        name=names.most_common(1)[0][0],
        number=numbers[0] if numbers else None,
        count=max(counts) if counts else None,
        mentions=tuple(entry.mentions),
        confidence=_confidence(said, fullest),
        reason=said[0].reason + (f"; named {more + 1} times" if more else ""),
    )


def _confidence(said: Sequence[Thing], words: int) -> Decimal:
    """Return how sure a thing is: by its kind, how often and by how many words it was named."""
    if len(said) > 1 and said[0].kind == "part":
        return _OFTEN[min(len(said), 4)]
    known = _MORE_WORDS[said[0].kind] if words > 1 else _ONE_WORD[said[0].kind]
    return min(known, said[0].confidence) if len(said) == 1 else known


def _single(name: str) -> str:
    words = name.split()
    return " ".join([*words[:-1], singular(words[-1].lower()) if words[-1].islower()
                     else words[-1].removesuffix("s")])  # fmt: skip
