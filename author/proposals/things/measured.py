"""Of which part a number is told: the torque of the cover bolts, the length of the rod."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from author.proposals.language.fasteners import is_fastener
from author.proposals.language.word_forms import singular
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence
from author.proposals.things.named import PASSING, Thing
from author.proposals.things.states import named_behind, thing_of_state
from author.proposals.things.which_tightened import SIDES, which_of_them, with_which

# Besides fasteners, what has a thread of its own and is tightened by torque.
_SCREWED = frozenset({"cap", "fitting"})
# Screwed by their own nut, where nothing else is named: "hoses on, forty five".
_WITH_THREADS = frozenset(
    {"hose", "pipe", "union", "coupling", "gland", "injector", "sensor", "plug", "tube", "nozzle",
     "elbow", "adaptor", "adapter", "valve", "nipple", "switch", "sender", "filter", "line"}
)  # fmt: skip
# What shows a number is not what it is told of: "watch the needle. Six thou".
_SHOWING = frozenset({"needle", "pointer", "dial", "display", "screen", "readout", "hand"})
_OF_NO_PART = frozenset({"time", "turns", "mass", "volume", "temperature", None})
_BACK, _AGAIN = 2, 3
"""Sentences before that of a number in which its part may have been named, or told of again."""
_ALIKE = 10
"""So many times larger a value may be that is of the same part as one before it."""
# How long something is that is told by an adjective is of what its sentence is about.
_OF_ITS_SUBJECT = frozenset({"length", "thickness", "width", "height"})


def parts_by_sentence(things: Sequence[Thing]) -> dict[int, list[Thing]]:
    """Return the parts named in each sentence, in the order they are said."""
    found: dict[int, list[Thing]] = {}
    for thing in things:
        shows = singular(thing.name.split()[-1].lower()) in _SHOWING
        if thing.kind == "part" and thing.confidence > PASSING and not shows:
            found.setdefault(thing.sentence, []).append(thing)
    return found


def of_which_part(
    each: SpokenQuantity,
    parts: Mapping[int, Sequence[Thing]],
    said: Sequence[Sentence],
    earlier: Sequence[tuple[SpokenQuantity, str | None]] = (),
) -> str | None:
    """Return the name of the part that a number is told of, or None where words do not tell.

    A torque is of the fastener named last before it, else of the one behind it; any other number
    without a characteristic of its own is of the part named before it in its sentence, else of
    what is told again or was measured just before.

    Args:
        each: the number.
        parts: parts by the index of their sentence.
        said: what was said.
        earlier: the numbers before it with their parts.
    """
    told = parts.get(each.sentence, ())
    if _is_of_subject(each) and (subject := _subject(each, told, said)):
        return subject
    if each.role not in {"thread", "size"} and (whole := thing_of_state(each, parts, said)):
        return whole
    if each.quantity == "temperature" and not told:
        return _hot_again(each, said, earlier)
    if each.role in {"thread", "size"} or each.quantity in _OF_NO_PART:
        return None
    if each.quantity == "torque":
        return _tightened(each, parts, said, earlier)
    if each.characteristic:
        return None
    text = said[each.sentence].text
    if behind := named_behind(text, each, told) or _on_other_side(text, each, told):
        return behind
    own = _beside_it(text, each, told)
    return own.name if own else _told_before(each, parts, said, earlier)


def _told_before(
    each: SpokenQuantity,
    parts: Mapping[int, Sequence[Thing]],
    said: Sequence[Sentence],
    earlier: Sequence[tuple[SpokenQuantity, str | None]],
) -> str | None:
    """Return the part that was measured, or taken up, in a sentence before."""
    if again := next((one for one in reversed(earlier) if _is_again(each, one[0], said)), None):
        return _both_sides(each, earlier) or other_of(again[1], said[each.sentence].text)
    for index in range(each.sentence - 1, max(-1, each.sentence - 1 - _BACK), -1):
        if said[index].recording != said[each.sentence].recording:
            break
        if any(one.sentence == index and one.quantity == each.quantity for one, _ in earlier):
            break  # "The disc is 24. Lock it with the circlip. The clock says 0.05"
        if thing := taken_up(said[index].text, parts.get(index, ())):
            return thing.name
    return None


def _both_sides(
    each: SpokenQuantity, earlier: Sequence[tuple[SpokenQuantity, str | None]]
) -> str | None:
    """Return what two sides told just before are of.

    "1.5 on the leading shoe, 2 on the trailing. Minimum is two" is of the shoe.
    """
    (one, first), (other, last) = earlier[-2:] if earlier[1:] else ((each, None), (each, None))
    sides = [name.split() for name in (first, last) if name]
    told = one.sentence == other.sentence != each.sentence and each.role == "limits"
    if not told or len(sides) < 2 or not all(one[0].lower() in SIDES for one in sides):
        return None
    return " ".join(sides[0][1:]) if sides[0][1:] == sides[1][1:] and first != last else None


def other_of(part: str | None, text: str) -> str | None:
    """Return the other of two parts, where a sentence says which: "the rear one is 54.96".

    Args:
        part: the one told before.
        text: the sentence, or its clause.
    """
    which = _WHICH_ONE.match(text)
    if part is None or which is None:
        return part
    first, _, rest = part.partition(" ")
    return f"{which[1].lower()} {rest if rest and first in SIDES else part}"


_LEFT_ON = re.compile(r"(?: (?:left|still|of lining|of meat))* (?:on|in|at) the ", re.IGNORECASE)
_THE_OTHER = re.compile(rf"(?:{'|'.join(sorted(SIDES))})(?=\W*$|[,.;]| and\b)", re.IGNORECASE)
_WHICH_ONE = re.compile(
    rf"(?:and |now |then )*(?:the )?({'|'.join(sorted(SIDES))}) (?:one\b|(?=is\b|was\b|'s))",
    re.IGNORECASE,
)


def _on_other_side(text: str, each: SpokenQuantity, told: Sequence[Thing]) -> str | None:
    """Return what stands behind its number: "one on the leading shoe and two on the trailing"."""
    on = _LEFT_ON.match(text, each.end)
    if on is None:
        return None
    if own := next((one for one in told if one.begin == on.end()), None):
        return own.name if own.name.split()[0].lower() in SIDES else None
    which = _THE_OTHER.match(text, on.end())
    before = [one.name.split() for one in told if one.end <= each.begin]
    if which is None or not before or before[-1][0].lower() not in SIDES or not before[-1][1:]:
        return None
    return " ".join([which[0].lower(), *before[-1][1:]])


_THEY_ARE = re.compile(r"\b(?:they're|they are|they have|they've)(?: [\w-]+){0,2} $", re.IGNORECASE)


def _beside_it(text: str, each: SpokenQuantity, told: Sequence[Thing]) -> Thing | None:
    """Return the part that its own sentence tells a number of."""
    if thing := next((one for one in told if text[each.end : one.begin] in {" ", "-"}), None):
        return thing  # "one of the 0.2 shims"
    before = [one for one in told if one.end <= each.begin]
    # "The shaft where the seal runs": of the shaft, and of the bolts "six bolts on the case".
    before = [one for one in before if not _WHERE.search(text, 0, one.begin)] or before
    several = [one for one in before if "many" in one.signs]
    if several and _THEY_ARE.search(text, before[-1].end, each.begin):
        return several[-1]  # "two nuts that hold the pump, they're 38 millimetres"
    on = len(before) > 1 and _ON.fullmatch(text, before[-2].end, before[-1].begin)
    return before[-2 if on else -1] if before else None


def _tightened(
    each: SpokenQuantity,
    parts: Mapping[int, Sequence[Thing]],
    said: Sequence[Sentence],
    earlier: Sequence[tuple[SpokenQuantity, str | None]],
) -> str | None:
    """Return the fastener that a torque is told of."""
    told, text = parts.get(each.sentence, ()), said[each.sentence].text
    here = [one for one in told if _is_fastener(one)]
    before = [one for one in here if one.end <= each.begin]
    before = [one for one in before if not _WHERE.search(text, 0, one.begin)] or before
    behind = [one for one in here if one.begin >= each.end]
    last = _told_last(parts, said, each)
    which = which_of_them(text, each, before[-1] if before else last)
    own = which or _of_its_own(text, each, told) or _both(text, each, before)
    if own or before:
        return own or with_which(text, before[-1])
    if beside := _beside(each, told, said):
        return beside
    if behind:
        return behind[0].name
    put = _put_back(text, each, told)
    done = {one.sentence for one, _ in earlier if one.quantity == "torque"}
    if last is not None:
        # "Three on the screws. Pump back in, nine": those screws have their torque.
        return put if put and last.sentence in done else last.name
    return put


def _told_last(
    parts: Mapping[int, Sequence[Thing]], said: Sequence[Sentence], each: SpokenQuantity
) -> Thing | None:
    """Return the fastener told of last in the sentences right before."""
    for index in range(each.sentence - 1, max(-1, each.sentence - 1 - _BACK), -1):
        if said[index].recording != said[each.sentence].recording:
            break
        if there := [one for one in parts.get(index, ()) if _is_fastener(one)]:
            return there[-1]
    return None


def _hot_again(
    each: SpokenQuantity,
    said: Sequence[Sentence],
    earlier: Sequence[tuple[SpokenQuantity, str | None]],
) -> str | None:
    """Return the part whose heat was told right before: "sixty at most. I've got forty-one"."""
    for one, part in reversed(earlier):
        if one.quantity == "temperature":
            near = each.sentence - one.sentence <= 1
            same = said[one.sentence].recording == said[each.sentence].recording
            return part if near and same else None
    return None


def _is_again(each: SpokenQuantity, other: SpokenQuantity, said: Sequence[Sentence]) -> bool:
    """Whether a number just before tells of the same: "it's 31.98", "the minimum is 31.95"."""
    near = each.sentence - other.sentence <= _AGAIN
    same = said[each.sentence].recording == said[other.sentence].recording
    if not near or not same or other.characteristic or other.quantity != each.quantity:
        return False
    one, two = (abs(x.nominal or x.upper or x.lower or Decimal(0)) for x in (each, other))
    return each.unit != other.unit or not one or not two or max(one, two) <= _ALIKE * min(one, two)


def taken_up(text: str, parts: Sequence[Thing]) -> Thing | None:
    """Return the part a sentence measures, or is about: "measure the rod", "the gland is oval".

    Args:
        text: the sentence.
        parts: those it names.
    """
    if measures := _MEASURES.search(text):
        behind = [one for one in parts if one.begin >= measures.end()]
        return next(iter(behind or parts), None)
    if shown := next((one for one in parts if _is_shown(text, one)), None):
        return shown
    first = next(iter(parts), None)
    if first is None or not FIRST.fullmatch(text, 0, first.begin):
        return None
    return first if _IS.match(text, first.end) else None


def _is_shown(text: str, one: Thing) -> bool:
    """Whether a sentence ends with a thing it shows: "and under it, careful, a shim"."""
    return bool(_SHOWN.search(text[: one.begin])) and not text[one.end :].strip(" .,!")


_SHOWN = re.compile(
    r"(?:(?:^|, )(?:a|an|here's (?:a|the|your)|there's (?:a|the|your))"
    r"|\b(?:it's|that's|this is) (?:a|the|your)) (?:new |old |little |small )?$", re.IGNORECASE,
)  # fmt: skip
_MEASURES = re.compile(
    r"\b(?:measur(?:e|es|ed|ing)|mi(?:c|ke)|check(?:s|ed|ing)?|calipers?|weigh|size"
    r"|(?<!dial )(?<!bore )(?<!depth )(?<!feeler )(?<!height )(?<!the )(?<!my )(?<!a )gauges?)\b",
    re.IGNORECASE,
)
_IS = re.compile(
    r"\W*(?:$|\d|(?:(?:is|are|was|were|has|have|looks?|next|now|too|first)\b|'s\b))", re.IGNORECASE
)
_ON = re.compile(r" (?:on|in|of|at|from|for|under|behind) (?:the |its |your )?", re.IGNORECASE)


def _is_of_subject(each: SpokenQuantity) -> bool:
    """Whether a value may be of what its sentence is about, whatever else is named in it."""
    by_adjective = each.named is None or each.characteristic not in _OF_ITS_SUBJECT
    return each.quantity in _OF_SUBJECT or not by_adjective or each.characteristic in _AT_WHICH


_WHERE = re.compile(r"\bwhere (?:the|your|that|both|its) $", re.IGNORECASE)


_OF_SUBJECT = frozenset({"torque", "temperature"})
_AT_WHICH = frozenset({"opening pressure", "closing pressure"})
FIRST = re.compile(
    r"(?:(?:(?:one|two|three|some) of (?:the|these|those)(?: two| three| four)?|and|so|now|then|"
    r"next|the|that|this|your|its|both|all|each) ?)*",
    re.IGNORECASE,
)
_TAKES = re.compile(
    r" (?:only |just |always )?(?:wants?|takes?|gets?|needs?|shouldn't|should|must|mustn't|stays?|"
    r"is|are|goes? (?:up )?to)\b[^,.;]*",
    re.IGNORECASE,
)


# "After twenty minutes the bearing housings should be no more than sixty"
_AFTER = re.compile(
    r"(?:and |then |now )?after (?:[\w'-]+ ){1,5}?(?:minutes?|hours?|seconds?|miles?|running),? ",
    re.IGNORECASE,
)


def _subject(each: SpokenQuantity, parts: Sequence[Thing], said: Sequence[Sentence]) -> str | None:
    """Return what a sentence is about that tells its value: "the bleed nipple only wants six"."""
    text = said[each.sentence].text
    for part in parts:
        after = _AFTER.match(text)
        start = after.end() if after else 0
        first = part.end <= each.begin and FIRST.fullmatch(text, start, part.begin)
        # "Sprocket bolts are a hundred and ten and the cover bolts are only twenty"
        nearer = any(part.end <= one.begin and one.end <= each.begin for one in parts)
        if first and not nearer and _TAKES.fullmatch(text, part.end, each.begin):
            return part.name
    return None


def _put_back(text: str, each: SpokenQuantity, parts: Sequence[Thing]) -> str | None:
    """Return what is put in with its screws, which nobody names: "pump back in, nine"."""
    first = next(iter(parts), None)
    told = first and FIRST.fullmatch(text, 0, first.begin)
    put = told and first and _PUT_BACK.fullmatch(text, first.end, each.begin)
    return first.name if put and first else None


_PUT_BACK = re.compile(
    r" (?:(?:is|goes|comes|then|now) )?(?:back )?(?:on|in|up|down)\b(?: (?:the|its|in|on) \w+)?"
    r"[ ,:]*(?:(?:and|to|at|about|that's|it's|it|gets|get|nip(?:ped)? up|tight|tighten|done up)"
    r" ?)*",
    re.IGNORECASE,
)
_BOTH = re.compile(r"\bboth(?: of (?:them|these|those))?,? (?:to |at |are |get )?$", re.IGNORECASE)


def _both(text: str, each: SpokenQuantity, before: Sequence[Thing]) -> str | None:
    """Return two fasteners that one torque is told of: "drain screw in, both of them seven"."""
    names = list(dict.fromkeys(one.name for one in before))[-2:]
    alone = len(names) > 1 and all(singular(name.split()[-1]) == name.split()[-1] for name in names)
    return " and the ".join(names) if alone and _BOTH.search(text, 0, each.begin) else None


def _of_its_own(text: str, each: SpokenQuantity, parts: Sequence[Thing]) -> str | None:
    """Return the thing that stands alone before its torque: "nuts to 23, pipe to 15"."""
    for part in parts:
        if _ALONE.search(text, 0, part.begin) and _TO.fullmatch(text, part.end, each.begin):
            return part.name
    return None


_ALONE = re.compile(r"(?:^|[,;] )(?:(?:and|then|so|the|your) )*$", re.IGNORECASE)
_TO = re.compile(r" (?:to|at|get|gets|up to) ", re.IGNORECASE)


def _beside(each: SpokenQuantity, parts: Sequence[Thing], said: Sequence[Sentence]) -> str | None:
    """Return what has a thread of its own and is named right before a torque: "hoses on, 45"."""
    text = said[each.sentence].text
    for part in reversed(parts):
        if part.end <= each.begin:
            joined = singular(part.name.split()[-1].lower()) in _WITH_THREADS
            near = _RIGHT_BEFORE.fullmatch(text, part.end, each.begin)
            at_once = text[part.end : each.begin] in {" ", ", "}  # "axle sixty-five"
            return part.name if at_once or (joined and near) else None
    return None


_RIGHT_BEFORE = re.compile(
    r"(?:[\s,;:–—-]|\b(?:on|in|back|and|then|that|that's|which|it|they|gets?|goes|go|to|at|is|are|"
    r"now|up|tight|with|about|a|each|both)\b)*",
    re.IGNORECASE,
)


def _is_fastener(thing: Thing) -> bool:
    return is_fastener(thing.name) or singular(thing.name.split()[-1].lower()) in _SCREWED
