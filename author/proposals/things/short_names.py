"""Which of the longer names told before a short one may stand for: "the bolt", of the caliper."""

from __future__ import annotations

from collections.abc import Sequence

from author.proposals.language.word_forms import singular
from author.proposals.things.named import Thing

_FAR = 20
"""Sentences after which several of something are no more what one is: "the clip" of a cable."""
_LEFT_STANDING = "verb chock"


def words_near(things: Sequence[Thing]) -> list[tuple[frozenset[str], frozenset[str]]]:
    """Return the words of what else is named in the sentence of each thing, and in the one before.

    Args:
        things: what was named, in the order it was said.
    """
    named: dict[int, list[int]] = {}
    for at, thing in enumerate(things):
        named.setdefault(thing.sentence, []).append(at)
    words = [frozenset(map(singular, thing.name.lower().split())) for thing in things]
    found = []
    for at, thing in enumerate(things):
        here = (words[one] for one in named[thing.sentence] if one != at)
        before = (words[one] for one in named.get(thing.sentence - 1, ()))
        found.append((frozenset[str]().union(*here), frozenset[str]().union(*before)))
    return found


def nearest_first(
    latest: Sequence[tuple[str, ...]],
    key: tuple[str, ...],
    near: tuple[frozenset[str], frozenset[str]],
) -> list[tuple[str, ...]]:
    """Return longer names in the order in which a short one may stand for them.

    "Swing the caliper down and put a new bolt in": the caliper bolt, and not the carrier bolt that
    was named since.

    Args:
        latest: the longer names, the latest first.
        key: the words of the short name.
        near: words of what else is named in its sentence, and in the one before.
    """
    here, before = near

    def far(one: tuple[str, ...]) -> int:
        of = set(one[:-1]) - set(key)
        return 0 if of & here else 1 if of & before else 2

    return sorted(latest, key=far)


def is_no_more(thing: Thing, told: Sequence[Thing]) -> bool:
    """Whether a short name is for none of what was told of before under a longer one.

    What is chocked stays where it is; and one clip is none of several clips that nobody has named
    for long.

    Args:
        thing: what is named by the short name.
        told: all that was named by the longer one before it, the latest last.
    """
    if all(_LEFT_STANDING in one.signs for one in told):
        return True
    one = "many" not in thing.signs and thing.count in {None, 1}
    only_many = all("many" in each.signs for each in told)
    return one and only_many and thing.sentence - told[-1].sentence > _FAR
