"""What a measured value is called in full: the runout of the tube, the vane height."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from author.checks.verbs import words
from author.procedure.units import spoken_spellings
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.quantities.text import in_words
from author.proposals.speech.spoken import Sentence
from author.proposals.things.finding import Thing
from author.proposals.things.measured import of_which_part, parts_by_sentence
from author.proposals.things.owners import owner_of, subject_before

_WORDS_BEFORE = words(
    "air end side ride free cold hot inlet outlet supply pilot gas oil lift relief tail face rim "
    "radial axial total brew idle running closing opening holding working line water fuel boost "
    "crankcase discharge suction ultimate static installed overall internal external inside "
    "outside lateral"
)
_LENGTHS = words("set fitted compressed working new")
# "Half speed first, then flat out at 6000" is of another speed.
_SHARES = frozenset({"half", "third", "quarter"})
_NO_PREFIX = frozenset({"torque", "temperature"})
# What is told of these without a word for it is how thick they are, or how long.
_THICK = frozenset({"shim", "washer", "gasket", "packer", "pad", "lining"})
_LONG = frozenset({"spring", "chain"})
# These are told by their diameter: "the journal's 25.01", "the rod, I get 2.498".
_ROUND = words("journal shaft spindle axle bore crankpin halfshaft kingpin camshaft crankshaft")
_ROUND_TO_A_HUNDREDTH = _ROUND | words("rod pin piston plunger liner sleeve stem barrel tube ram")
_EXACT = 2
"""Places of a number behind the point from which it was measured over a round thing."""
_SIZED = re.compile(r"^(?:[\w./-]+ )?(?:mil|mm|millimet(?:er|re)s?|thou|inch|cm) (?=\w)", re.I)
_IS_FREE = re.compile(r",? free\b", re.IGNORECASE)
_SOON = 5
_FREE = re.compile(r"\b(?:free|unloaded|without (?:any )?load)\b", re.IGNORECASE)
# "Four thou clearance" is no clearance of a thou.
_UNITS = frozenset(spoken_spellings()) | {"thou", "mil", "bar"}
_OWNS = re.compile(r"(?:'s|s') (?:\w+ )?$")
_PLACE = re.compile(
    r" (?P<of>of|on|in|at|along) (?:the |its |your |this |that |each |both )?", re.IGNORECASE
)
_BETWEEN = re.compile(r" ?\bbetween (?:the |its |your |this |that )?", re.IGNORECASE)
_AND = re.compile(r" and (?:the |its |your |this |that )?", re.IGNORECASE)


def names_in_full(
    numbers: Sequence[SpokenQuantity], things: Sequence[Thing], said: Sequence[Sentence]
) -> list[str]:
    """Return what each number is of, empty where nothing tells: "runout of the tube".

    Args:
        numbers: in the order they were said.
        things: what is named.
        said: what was said.
    """
    parts = parts_by_sentence(things)
    names: list[str] = []
    earlier: list[tuple[SpokenQuantity, str | None]] = []
    for each in numbers:
        same = (
            name
            for name, (one, _) in zip(reversed(names), reversed(earlier), strict=True)
            if each.characteristic and one.named == each.named
        )
        part = of_which_part(each, parts, said, earlier)
        name = next(same, None) if part is None else None
        if name and (of := _of_another(each, parts, said)):
            name = f"{each.characteristic} of the {of}"
        name = name or _in_full(each, part, parts, said)
        whole = name.replace("size of", "diameter of", 1)
        if names and names[-1] == whole:
            name = whole  # "44.95, and not less than 44.9"
        names.append(_as_before(each, name, earlier, names, parts))
        earlier.append((each, part))
    return names


def _as_before(
    each: SpokenQuantity,
    name: str,
    earlier: Sequence[tuple[SpokenQuantity, str | None]],
    names: Sequence[str],
    parts: Mapping[int, Sequence[Thing]],
) -> str:
    """Return a name with the part of the same told just before: "set length, ninety"."""
    if not each.characteristic or not name or _HAS_OWNER.search(name):
        return name
    for (one, _), called in zip(reversed(earlier), reversed(names), strict=True):
        if each.sentence - one.sentence > _SOON:
            break
        if one.characteristic == each.characteristic:
            owner = _OF_THE.search(called)
            alone = owner and not any(
                parts.get(at) for at in range(one.sentence + 1, each.sentence)
            )
            begin = one.end if one.sentence == each.sentence else 0
            here = parts.get(each.sentence, ())
            alone = alone and not any(begin <= x.begin and x.end <= each.begin for x in here)
            return f"{name}{owner[0]}" if owner and alone else name
    return name


def _of_another(
    each: SpokenQuantity, parts: Mapping[int, Sequence[Thing]], said: Sequence[Sentence]
) -> str | None:
    """Return the part a sentence tells what was measured before of: "front guard you leave at"."""
    if each.named is None or each.named[0] == each.sentence or each.characteristic == "difference":
        return None
    text, told = said[each.sentence].text, parts.get(each.sentence, ())
    one = subject_before(text, each, told)
    return one.name if one and not is_fastener(one.name) else None


_UNDER = re.compile(
    r" (?:under|below|above|over|clear of|away from|in front of|behind) ", re.IGNORECASE
)


def _in_full(
    each: SpokenQuantity,
    part: str | None,
    parts: Mapping[int, Sequence[Thing]],
    said: Sequence[Sentence],
) -> str:
    text = said[each.sentence].text
    if each.characteristic:
        return f"{each.characteristic} of the {part}" if part else _of_owner(each, parts, said)
    if each.datum and re.search(rf"\bfrom (?:\w+ )?{each.datum}\b", text, re.IGNORECASE):
        return "distance"  # "slide it on till it's five mil from the backplate"
    if each.datum and (_UNDER.match(text, each.end) or _UNDER.search(each.text)):
        # "Leave three under the intake", "1.5 below the edge, plus or minus 0.2"
        return "distance"
    if part is None:
        head = _JOURNAL.search(text[: each.begin]) if each.quantity == "length" else None
        return f"diameter of the {head[1].lower()}" if head else ""
    kind = in_words(each.quantity)
    if each.quantity in {"length", None}:
        if _is_moved(each, part, parts, text):
            return ""
        near = said[max(0, each.sentence - 1) : each.sentence + 1]
        kind = _size_of(part, " ".join(one.text for one in near), each)
    return f"{kind} of the {_SIZED.sub('', part)}"


# "Carry the pump two metres", "set the arm to the stop, then go back four": no size of them.
_MOVED = re.compile(
    r"\b(?:carry|move|go|goes|come|comes|lift|raise|lower|slide|push|pull|press|turn|wind|drop|draw|"
    r"back it|leave|until|till|away|forward)\b", re.IGNORECASE,
)  # fmt: skip


def _is_moved(
    each: SpokenQuantity, part: str, parts: Mapping[int, Sequence[Thing]], text: str
) -> bool:
    """Whether a length is how far a part is moved: "slide the carriage back forty millimetres"."""
    told = [one for one in parts.get(each.sentence, ()) if one.end <= each.begin]
    if not told or told[-1].name != part or each.role in {"measured", "limits"}:
        return False
    begin = max(text.rfind(sign, 0, told[-1].begin) for sign in ",;:.")
    return _MOVED.search(text[begin + 1 : each.begin]) is not None


# "Journal's reading 25.01", where the journal is in no list of parts
_JOURNAL = re.compile(
    r"(?:^|[,;] )(?:the |this |that |your |shaft )?(journal|shaft|spindle|crankpin)"
    r"(?:'s| is| was|,|:)",
    re.IGNORECASE,
)


def _size_of(part: str, text: str, each: SpokenQuantity) -> str:
    """Return which size of a part is told where no word names it."""
    head = singular(part.rsplit(maxsplit=1)[-1].lower())
    if head in _LONG:
        return "free length" if _FREE.search(text) else "length"
    if head in _THICK:
        return "thickness"
    said = [one for one in (each.nominal, each.lower, each.upper) if one is not None]
    exact = any(-int(one.as_tuple().exponent) >= _EXACT for one in said)
    return "diameter" if head in (_ROUND_TO_A_HUNDREDTH if exact else _ROUND) else "size"


def with_word_before(what: str, text: str, begin: int) -> str:
    """Return a characteristic with the word that says which: "air gap", "boom height".

    Args:
        what: the characteristic.
        text: the sentence that names it.
        begin: where.
    """
    ahead = re.search(r"([a-z-]+) $", text[:begin].lower()) if begin > 0 else None
    if ahead is None or ahead[1] in _SHARES:
        return what
    kind = trade_words().kind_of(ahead[1])
    single = singular(ahead[1]) == ahead[1] and ahead[1] not in _UNITS
    length = what == "length" and ahead[1] in _LENGTHS
    own = ahead[1] in _WORDS_BEFORE or length or (kind in {"part", "weak", "feature"} and single)
    return f"{ahead[1]} {what}" if own and ahead[1] not in what.split() else what


def _of_owner(
    each: SpokenQuantity, parts: Mapping[int, Sequence[Thing]], said: Sequence[Sentence]
) -> str:
    """Return a characteristic with the words around it, or with the part it is told of."""
    name = _with_words(each, parts, said)
    if _HAS_OWNER.search(name) or not (owner := owner_of(each, parts, said)):
        return name
    if name != "difference":
        return f"{name} of the {owner}"
    return f"difference between the {_several(owner)}"


def _several(name: str) -> str:
    """Return a name for several of its things: knives, pads."""
    if singular(name.rsplit(maxsplit=1)[-1]) != name.rsplit(maxsplit=1)[-1]:
        return name
    if name.endswith(("fe", "lf")):
        return f"{name.removesuffix('fe').removesuffix('f')}ves"
    return f"{name}{'es' if name.endswith(('s', 'x', 'ch', 'sh')) else 's'}"


_OF_THE = re.compile(r" of the .+$")
_HAS_OWNER = re.compile(r" (?:of|on|in|at|along|between|from) the ")


def _with_words(
    each: SpokenQuantity, parts: Mapping[int, Sequence[Thing]], said: Sequence[Sentence]
) -> str:
    """Return a characteristic with the words around it that say which, as far as there are any."""
    if each.characteristic is None or each.named is None:
        return each.characteristic or ""
    at, begin, end = each.named
    text, name = said[at].text, each.characteristic
    told = parts.get(at, ())
    if pair := _between(text, end, told):
        return f"{name} {pair}"
    if begin == end or each.characteristic in _NO_PREFIX:
        return name
    same = text[begin:end].lower() == name
    whole = with_word_before(name, text, begin) if same else name
    if name == "length" and _IS_FREE.match(text, end):
        whole = "free length"  # "Pressure spring. Length, free, one hundred and ten"
    if owned := _OWNS.search(text, 0, begin):
        owner = next((one for one in told if one.end == owned.start()), None)
        return f"{whole} of the {owner.name}" if owner else whole
    place = _PLACE.match(text, end)
    there = place and next((one for one in told if one.begin == place.end()), None)
    if place and there and not is_fastener(there.name):
        return f"{whole} {place['of'].lower()} the {there.name}"
    return whole


def _between(text: str, end: int, parts: Sequence[Thing]) -> str | None:
    """Return between which two things a gap is: "between the impeller and the casing"."""
    found = _BETWEEN.match(text, end)
    first = found and next((one for one in parts if one.begin == found.end()), None)
    joined = _AND.match(text, first.end) if first else None
    other = joined and next((one for one in parts if one.begin == joined.end()), None)
    return f"between the {first.name} and the {other.name}" if first and other else None
