"""Names what is told by its place alone: "two bearings, the top one first" names a top bearing."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from author.proposals.language.word_forms import singular
from author.proposals.things.named import FAINT, Thing

_OTHER_END = {
    "top": "bottom", "upper": "lower", "inner": "outer", "inside": "outside", "left": "right",
    "front": "back rear",
}  # fmt: skip
_AXES = [frozenset({one, *others.split()}) for one, others in _OTHER_END.items()]
_AXES[0] = _AXES[1] = _AXES[0] | _AXES[1]
_AXES[2] = _AXES[3] = _AXES[2] | _AXES[3]
_PLACES = frozenset().union(*_AXES)
_ONE = re.compile(
    rf"\b({'|'.join(sorted(_PLACES))})(?:-hand| hand)? ['’]?(ones?|uns?)\b", re.IGNORECASE
)
# "Push on the outer and you've dented the balls": after an inner ring that is the outer one.
_ALONE = re.compile(
    r"\b(?:the|its) (inner|outer|upper|lower)(?=\s*(?:[,.;:!?]|$)|(?:['’]s)? (?:and|or|you|is|has|"
    r"goes|comes|only|first|last|then)\b)",
    re.IGNORECASE,
)
_FAR = 1
"""Sentences back to which "the top one" may point."""
_SHARE = Decimal("0.6")


def with_those_told_by_place(texts: Sequence[str], things: Sequence[Thing]) -> list[Thing]:
    """Return the things, and those that only their place tells from one just named.

    Args:
        texts: the sentences.
        things: what may be named in them, in the order said.
    """
    things = list(_by_side(texts, list(_on_the_right(texts, things))))
    told = [one for index, text in enumerate(texts) for one in _told(index, text, things)]
    if not told:
        return list(things)
    spans = {(one.sentence, at) for one in told for at in range(one.begin, one.end)}
    kept = [one for one in things if (one.sentence, one.begin) not in spans]
    return sorted([*kept, *told], key=lambda one: (one.sentence, one.begin))


_RIGHT = re.compile(r"\b(?:the|its|your|this|left and|,|and) (?P<right>right )$", re.IGNORECASE)


def _on_the_right(texts: Sequence[str], things: Sequence[Thing]) -> Iterator[Thing]:
    """Yield the things, told to be on the right where others of their kind are on the left.

    "The right pad" of a left one is no pad that fits, as "the right oil" is.
    """
    left = {
        singular(words[-1])
        for one in things
        if one.kind == "part" and (words := one.name.lower().split())[0] in {"left", "left-hand"}
    }
    for one in things:
        found = _RIGHT.search(texts[one.sentence], 0, one.begin) if left else None
        head = singular(one.name.split()[-1].lower())
        if found is None or one.kind != "part" or head not in left:
            yield one
            continue
        yield replace(one, begin=found.start("right"), name=f"right-hand {one.name}")


# "Both bearings on the output side are rough … the input bearings feel fine"
_SIDE = re.compile(
    r" (?:on|at) (?:the|its) (?P<place>(?!other|far|near|same|this|that|wrong|right\b)[a-z][\w-]+) "
    r"(?P<side>side|end)\b",
    re.IGNORECASE,
)


def _by_side(texts: Sequence[str], things: Sequence[Thing]) -> Iterator[Thing]:
    """Yield the things, told by their side where others of their kind are named by theirs."""
    for one in things:
        side = _SIDE.match(texts[one.sentence], one.end) if one.kind == "part" else None
        words = one.name.split()
        alike = [t.name.lower().split() for t in things if _is_one_more(t, words)] if side else []
        if side is None or len(words) > 1 or not alike:
            yield one
            continue
        ended = any({"side", "end"} & set(name) for name in alike)
        place = (
            f"{side['place'].lower()} {side['side'].lower()}" if ended else side["place"].lower()
        )
        yield replace(one, name=f"{place} {one.name}")


def _is_one_more(other: Thing, words: Sequence[str]) -> bool:
    """Whether another thing is of the same kind and has a word more."""
    said = other.name.lower().split()
    alike = singular(said[-1]) == singular(words[-1].lower())
    return other.kind == "part" and other.confidence > FAINT and alike and len(said) > len(words)


def _told(index: int, text: str, things: Sequence[Thing]) -> Iterator[Thing]:
    for found in _ONE.finditer(text):
        several = found[2].lower().endswith("s")
        base = _beside(index, found, things) or _of_several(index, found, things)
        if base is not None:
            yield _at_place(base, index, found, many=several)
    for found in _ALONE.finditer(text):
        base = _beside(index, found, things)
        if base is not None:
            yield _at_place(base, index, found, many=False)


def _near(index: int, found: re.Match[str], things: Sequence[Thing]) -> Iterator[Thing]:
    """Yield the parts named before, the last first."""
    for one in reversed(things):
        here = one.sentence == index and one.end <= found.start()
        if one.kind == "part" and (here or index - _FAR <= one.sentence < index):
            yield one


def _beside(index: int, found: re.Match[str], things: Sequence[Thing]) -> Thing | None:
    """Return the part that sits at the other end: "left plate" of "the right one"."""
    place = found[1].lower()
    ends = next(axis for axis in _AXES if place in axis) - {place}
    for one in _near(index, found, things):
        words = one.name.lower().split()
        if len(words) > 1 and words[0] in ends:
            return one
    return None


def _of_several(index: int, found: re.Match[str], things: Sequence[Thing]) -> Thing | None:
    """Return the part of which several were named last: "two bearings"."""
    if found[1].lower() == "right":
        return None  # the one that fits
    for one in _near(index, found, things):
        last = one.name.split()[-1].lower()
        if one.confidence > FAINT and singular(last) != last:
            return one
    return None


def _at_place(base: Thing, index: int, found: re.Match[str], *, many: bool) -> Thing:
    place = found[1].lower()
    *before, last = base.name.split()
    before = [word for word in before if word.lower() not in _PLACES]
    name = " ".join([place, *before, last if many else singular(last)])
    return replace(
        base, sentence=index, begin=found.start(1), end=found.end(), name=name, number=None,
        count=None, confidence=_SHARE, reason=f"'{found[0]}' names the {name}",
        signs=frozenset({"which of them", "art the"}),
    )  # fmt: skip
