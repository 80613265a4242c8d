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

_WORDS_BEFORE = words(
    "air end side ride free cold hot inlet outlet supply pilot gas oil lift relief tail face rim "
    "radial axial total brew idle running closing opening holding working line water fuel boost "
    "crankcase discharge suction ultimate static installed overall internal external inside "
    "outside lateral"
)
_NO_PREFIX = frozenset({"torque", "temperature"})
# What is told of these without a word for it is how thick they are, or how long.
_THICK, _LONG = frozenset({"shim", "washer", "gasket", "packer"}), frozenset({"spring", "chain"})
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
        names.append(name or _in_full(each, part, parts, said))
        earlier.append((each, part))
    return names


def _in_full(
    each: SpokenQuantity,
    part: str | None,
    parts: Mapping[int, Sequence[Thing]],
    said: Sequence[Sentence],
) -> str:
    text = said[each.sentence].text
    if each.characteristic:
        return f"{each.characteristic} of the {part}" if part else _with_words(each, parts, said)
    if each.datum and re.search(rf"\bfrom (?:\w+ )?{each.datum}\b", text, re.IGNORECASE):
        return "distance"  # "slide it on till it's five mil from the backplate"
    if part is None:
        return ""
    kind = in_words(each.quantity)
    if each.quantity in {"length", None}:
        near = said[max(0, each.sentence - 1) : each.sentence + 1]
        kind = _size_of(part, " ".join(one.text for one in near))
    return f"{kind} of the {part}"


def _size_of(part: str, text: str) -> str:
    """Return which size of a part is told where no word names it."""
    head = singular(part.rsplit(maxsplit=1)[-1].lower())
    if head in _LONG:
        return "free length" if _FREE.search(text) else "length"
    return "thickness" if head in _THICK else "size"


def with_word_before(what: str, text: str, begin: int) -> str:
    """Return a characteristic with the word that says which: "air gap", "boom height".

    Args:
        what: the characteristic.
        text: the sentence that names it.
        begin: where.
    """
    ahead = re.search(r"([a-z-]+) $", text[:begin].lower()) if begin > 0 else None
    if ahead is None:
        return what
    kind = trade_words().kind_of(ahead[1])
    single = singular(ahead[1]) == ahead[1] and ahead[1] not in _UNITS
    own = ahead[1] in _WORDS_BEFORE or (kind in {"part", "weak", "feature"} and single)
    return f"{ahead[1]} {what}" if own and ahead[1] not in what.split() else what


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
