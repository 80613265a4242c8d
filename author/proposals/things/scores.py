"""Weighs what is named: whether it is a part, a tool or a supply of the job, by all its mentions.

A part that is named once where something is done with it is surer than one that is told of. Each
sign, the words of the name among them, has points for a part, a tool and a supply, fitted on talk
of our own by ``tests/benchmarks/fit_thing_points.py``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import replace
from decimal import Decimal
from functools import cache

from author.proposals.language.fasteners import told_by_head
from author.proposals.language.trade_words import ThingKind
from author.proposals.things.gathering import Entry, Key, entries_of, told_apart
from author.proposals.things.graded import BY_GRADE
from author.proposals.things.named import FAINT, PASSING, Thing
from author.proposals.things.not_meant import is_only_refused
from author.proposals.things.renewed import TO_RENEW
from author.proposals.things.signs import BESIDE, NEW, OF_MACHINE
from author.resources import load_own_table

_LIKELY = Decimal("0.8")
KINDS: tuple[ThingKind, ...] = ("part", "tool", "supply")
"""The kinds that points tell, in the order of the table."""
_TALK = frozenset({"chatter", "preview"})
_OPENING = 0.08
# Where the points were fitted without a folder, its list was best from 0.31 to 0.4, and that of
# its supplies from 0.22 to 0.28.
_BAR: dict[ThingKind, float] = {"part": 0.31, "tool": 0.31, "supply": 0.25}
_MOST_NAMED = 4
_ONLY_TALK = frozenset({"all in chatter", "named 1"})
# So much the log odds of the network count for each kind, from where they stand where nothing
# speaks either way; chosen on `plain`.
_AHEAD = (0.6, 0.4, 0.6)
_USUAL_AHEAD = (-0.7, -2.2, -2.0)
_LEAST_SHARE = 0.02
_PLACES, _SPANS, _FARTHEST, _OFTEN = 5, 8, 4, 9


def weighed_things(
    things: Sequence[Thing],
    kinds: Mapping[int, set[str]],
    sentences: int,
    listed: Set[tuple[int, int]] = frozenset(),
) -> tuple[Thing, ...]:
    """Return what is named with its kind and how sure it is; words that name nothing are left out.

    Args:
        things: all that may be named, in the order it was said.
        kinds: what each sentence says, by index.
        sentences: how many there are.
        listed: sentence and begin of the parts that are said to be ordered.
    """
    things = [_spoken_of(one, kinds.get(one.sentence, set())) for one in things]
    kept: list[Thing] = []
    for entry, signs in weighable(things, kinds, sentences):
        mentioned = [things[at] for at in entry.mentions]
        kind, share = _judged(signs, leaning(mentioned))
        if kind == "tool" and is_only_refused([one.signs for one in mentioned]):
            share = None
        if kind == "tool" and any(OF_MACHINE in one.signs for one in mentioned):
            kind = "part"
        if any(
            one.number or (one.sentence, one.begin) in listed or _is_new(one) for one in mentioned
        ):
            kind, share = "part", max(share or _LIKELY, _LIKELY)
        if any(BY_GRADE in one.signs for one in mentioned) and not signs >= _ONLY_TALK:
            kind, share = "supply", max(share or _LIKELY, _LIKELY)
        if share is None:
            kept += [replace(one, confidence=PASSING) for one in mentioned
                     if one.confidence > FAINT and len(mentioned) == 1]  # fmt: skip
            continue
        kept += [_as(one, kind, share) for one in mentioned]
    return tuple(sorted(kept, key=lambda one: (one.sentence, one.begin)))


def _as(one: Thing, kind: ThingKind, share: Decimal) -> Thing:
    """Return a thing of the kind it was judged to be; how sure a supply is its words tell."""
    if kind == one.kind == "supply":
        return one
    return replace(one, kind=kind, confidence=share)


def weighable(
    named: Sequence[Thing], kinds: Mapping[int, set[str]], sentences: int
) -> Iterator[tuple[Entry, frozenset[str]]]:
    """Yield each thing that may be named once, with all that speaks for it or against it."""
    keys: list[Key] = [("thing", told_apart(one)) for one in named]
    entries = entries_of(named, keys)
    heads: dict[str, list[int]] = {}
    for entry in entries:
        heads.setdefault(entry.key[-1], []).append(len(entry.key))
    for entry in entries:
        others = heads[entry.key[-1]]
        yield entry, frozenset(_signs(entry, [named[at] for at in entry.mentions], kinds,
                                      sentences, others))  # fmt: skip


def _signs(
    entry: Entry,
    said: Sequence[Thing],
    kinds: Mapping[int, set[str]],
    sentences: int,
    others: Sequence[int],
) -> Iterator[str]:
    """Yield the signs of a thing: those of any mention, and those of every one."""
    each = [one.signs | {f"in {kind}" for kind in kinds.get(one.sentence, set()) or {"nothing"}}
            for one in said]  # fmt: skip
    yield from frozenset.union(*each)
    for sign in frozenset.intersection(*each):
        if not sign.startswith(BESIDE):
            yield f"all {sign}"
    yield f"named {min(len(said), _MOST_NAMED)}"
    yield from _places(said, sentences)
    if len(said) > 1 and len({one.sentence for one in said}) == 1:
        yield "named in one"
    if all(one.sentence < sentences * _OPENING for one in said):
        yield "named in the opening"
    if all(one.confidence <= PASSING for one in said):
        yield "only spoken of"
    if all(one.confidence <= FAINT for one in said):
        yield "only faint"
    if len(others) > 1:
        yield "longer there" if max(others) > len(entry.key) else "alike there"
    if len(others) > 1 and min(others) < len(entry.key):
        yield "shorter there"
    if len({one.kind for one in said}) > 1:
        yield "two kinds"
    yield f"as {said[0].kind}"
    yield f"head {'screw' if told_by_head(entry.key) else entry.key[-1]}"
    yield from (f"word {word}" for word in entry.key[:-1])
    tools = [one.confidence for one in said if one.kind == "tool" and one.confidence > FAINT]
    if len(tools) > 1 or max(tools, default=FAINT) > PASSING:
        yield "tool by name"


def _places(said: Sequence[Thing], sentences: int) -> Iterator[str]:
    """Yield where in the talk a thing comes first, how far on it comes again, and how often."""
    first, last = said[0].sentence, said[-1].sentence
    yield f"place {first * _PLACES // sentences}"
    yield f"span {min(_FARTHEST, (last - first) * _SPANS // sentences)}"
    yield f"often {min(_OFTEN, len(said))}"


def leaning(said: Sequence[Thing]) -> tuple[float, ...]:
    """Return the points for what the network thinks of a thing, of all its mentions together."""
    known = [one.ahead for one in said if one.ahead is not None]
    if not known:
        return (0.0,) * len(KINDS)
    shares = [math.fsum(kind) / len(known) for kind in zip(*known, strict=True)]
    return tuple(
        weight * (_log_odds(share) - usual)
        for share, weight, usual in zip(shares, _AHEAD, _USUAL_AHEAD, strict=True)
    )


def _log_odds(share: float) -> float:
    kept = max(_LEAST_SHARE, min(1 - _LEAST_SHARE, share))
    return math.log(kept / (1 - kept))


def _judged(signs: frozenset[str], lean: tuple[float, ...]) -> tuple[ThingKind, Decimal | None]:
    """Return what a thing is and the share of such that are, None where it is in no list."""
    if signs >= _ONLY_TALK:
        return "part", None
    told = shares(signs, lean)
    share = max(told)
    kind = KINDS[told.index(share)]
    return kind, Decimal(f"{share:.2f}") if share >= _BAR[kind] else None


def shares(signs: frozenset[str], lean: tuple[float, ...] = (0.0, 0.0, 0.0)) -> tuple[float, ...]:
    """Return how many of the things with such signs are of each kind, in the order of `KINDS`.

    Args:
        signs: what speaks for it or against it.
        lean: what the network thinks of it, in points of each kind.
    """
    base, points = _points()
    told = [points[sign] for sign in sorted(signs & points.keys())]
    return tuple(
        _share(first + lean[at] + math.fsum(one[at] for one in told))
        for at, first in enumerate(base)
    )


def _share(weight: float) -> float:
    return 1 / (1 + math.exp(-max(-30.0, min(30.0, weight))))


@cache
def _points() -> tuple[tuple[float, ...], Mapping[str, tuple[float, ...]]]:
    """Return the points of a thing without signs, and those of each sign."""
    table = load_own_table("thing_points.yaml")
    signs = {sign: tuple(map(float, points)) for sign, points in table["signs"].items()}
    return tuple(map(float, table["base"])), signs


def _is_new(thing: Thing) -> bool:
    """Whether a part is said to be new or renewed, so is one however seldom it is named."""
    new = NEW in thing.signs or TO_RENEW in thing.signs
    return new and "list part" in thing.signs and thing.kind == "part"


def _spoken_of(thing: Thing, kinds: set[str]) -> Thing:
    """Return a thing as only spoken of, where its sentence is talk."""
    if kinds & _TALK and thing.kind != "part":
        reason = f"'{thing.name}' is only spoken of"
        return replace(thing, confidence=min(thing.confidence, PASSING), reason=reason)
    return thing
