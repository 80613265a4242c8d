"""What a technician types for a requirement, read into limits, and the way back.

One line says it all: ``9.80..10.20 mm``, ``22 ±2 lbf·ft``, ``22 +1/-2 N·m``,
``max 0.10 mm``, ``min 5 mm``, ``10.00 (9.80..10.20) mm``, ``40 N7``, ``ref 3 mm``. Numbers
keep the digits they are written with; what is worked out of them keeps as many as it needs.
Nothing is guessed at: an entry that could mean two things is refused with both.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal, localcontext
from itertools import pairwise

from author.errors import InputError
from author.procedure.fits import read_fit, read_zone
from author.procedure.quantities import (
    NUMBER_PATTERN,
    Limits,
    number_text,
    range_text,
    second_unit,
    with_unit,
)
from author.procedure.spec_words import Word, plain_text, units_in, words_of
from author.procedure.specs import LimitSpec
from author.procedure.units import Unit, find_unit

_NUMBER = re.compile(NUMBER_PATTERN)
_ZONE = re.compile(
    r"[Øø⌀]?\s*\d{1,3}(?:\.\d{1,6})?(?:\s*mm)?\s*"
    r"(?P<zone>(?:[A-Z]{1,2}|[a-z]{1,2})\d{1,2})(?:\s*mm)?",
    re.ASCII,
)
# 1e5 may be a power of ten.
_POWER = re.compile(r"[0-9.]+[eE][0-9]{1,2}.*")
_FIT = re.compile(
    r"[Øø⌀]?\s*\d{1,3}(?:\.\d{1,6})?(?:\s*mm)?\s*[A-Z]{1,2}1?\d\s*[/-]\s*[a-z]{1,2}1?\d",
    re.ASCII,
)
_ZONE_IN_OTHER_UNIT = re.compile(r"(.*[A-Za-z]{1,2}1?\d)\s*(?:in|inch|inches|\"|thou|cm)", re.ASCII)
_FORMS = "Write 9.80..10.20 mm, 22 ±2 N·m, max 0.10 mm, min 5 mm, 40 N7 or ref 3 mm"

# One letter for each kind of word, so that the form of an entry is a short text.
_LETTERS = {
    "number": "n", "plus": "p", "tight": "m", "range": "r", "about_both": "t", "slash": "/",
    "open": "(", "close": ")", "max": "x", "min": "i", "most": "l", "least": "g",
    "nominal": "N", "unit": "u", "reference": "f",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Entry:
    """What an entry means.

    Attributes:
        limits: lower, nominal and upper value with their unit; any may be absent.
        reference: true where the number is for information and decides nothing.
        explanation: where numbers come from that were not typed, or how a word was taken;
            empty if there is nothing to say.
    """

    limits: Limits
    reference: bool = False
    explanation: str = ""

    @property
    def quantity(self) -> str:
        """Kind of quantity, a key of ``schema/units.yaml``."""
        return self.limits.unit.quantity


def read_entry(typed: str, unit: Unit | None = None, quantity: str | None = None) -> Entry:
    """Return what an entry means.

    A strict bound (``< 0.1 mm``) is read as ``max 0.1 mm``, and the explanation says so: a
    reading of exactly that is accepted. Parts of a nominal value in per cent are taken of
    the value as written. A nominal value outside its own limits, as zones of ISO 286 have
    it, is left out.

    Args:
        typed: the entry as it was typed.
        unit: taken where none is typed, such as the one that stood there before.
        quantity: the kind of quantity that is asked for, if only one will do.

    Raises:
        InputError: if it cannot be read; problem and remedy are a sentence each. The text
            typed is the caller's to keep.

    Source: limits of a zone from ISO 286-1 and -2 (``author.procedure.fits``); a size in
    brackets is for reference (ASME Y14.5, from memory).
    """
    text = plain_text(typed)
    if not text:
        raise InputError("there is no number yet", remedy=_FORMS)
    entry = _read_zone(text)
    if entry is None:
        entry = _read_words(
            words_of(text, quantity or (unit.quantity if unit is not None else None)), unit
        )
    if quantity is not None and entry.quantity != quantity:
        wanted, found = quantity.replace("_", " "), entry.quantity.replace("_", " ")
        raise InputError(
            f"{entry.limits.unit.symbol} is a unit of {found}, not of {wanted}",
            remedy=f"Give the {wanted} in a unit of its own",
        )
    return entry


def _read_zone(text: str) -> Entry | None:
    """Read a size with its zone of ISO 286, or return None."""
    if _FIT.fullmatch(text):
        try:
            fit = read_fit(text)
        except ValueError as error:
            raise InputError(str(error), remedy="Or write the limits themselves") from None
        size = format(fit.hole.size, "f")
        hole, shaft = f"{size} {fit.hole.name}", f"{size} {fit.shaft.name}"
        raise InputError(
            "that is a fit of two parts, and one number is of one part",
            remedy=f"Write {hole} for the hole or {shaft} for the shaft",
        )
    other = _ZONE_IN_OTHER_UNIT.fullmatch(text)
    if other and _ZONE.fullmatch(other[1]):
        raise InputError("the zones of ISO 286 are in mm", remedy=f"Write {other[1]} with mm")
    found = _ZONE.fullmatch(text)
    if found is None or find_unit(found["zone"]) is not None:
        return None
    if _POWER.fullmatch(text):
        raise InputError(
            f"'{text}' could be a power of ten or a zone of ISO 286",
            remedy="Write the number in full, or a space before the zone",
        )
    named = re.sub(r"\s*mm$", "", text)
    try:
        zone = read_zone(named)
    except ValueError as error:
        raise InputError(str(error), remedy="Or write the limits themselves") from None
    limits = zone.limits()
    size = format(zone.size, "f")
    return Entry(_without_outer_nominal(limits), False, f"Limits of {size} {zone.name}, ISO 286-2")


def _read_words(words: tuple[Word, ...], default: Unit | None) -> Entry:
    form = "".join(_LETTERS[word.kind] for word in words)
    reference = "f" in form
    if re.fullmatch(r"\(nu?\)u?", form):
        reference, words = True, tuple(w for w in words if w.kind not in {"open", "close"})
    percent = _percent_of(words)
    if percent is not None:
        words = tuple(w for w in words if w is not percent)
    unit = _one_unit(words, default)
    left = tuple(w for w in words if w.kind not in {"unit", "reference"})
    numbers, said = _numbers(left, unit, reference, percent is not None)
    low, nominal, high = (None if number is None else _plain(number) for number in numbers)
    limits = Limits(low, nominal, high, unit)
    kept = _checked(limits)
    if kept.nominal is None and limits.nominal is not None:
        said = f"{number_text(limits.nominal)} itself lies outside these limits"
    return Entry(kept, reference, said)


def _percent_of(words: tuple[Word, ...]) -> Word | None:
    """Return the sign of a tolerance in per cent, where the value has another unit."""
    for before, number, sign in zip(words, words[1:], words[2:], strict=False):
        is_share = sign.unit is not None and sign.unit.symbol == "%"
        others = [one for one in units_in(words) if one.symbol != "%"]
        if before.kind == "about_both" and number.kind == "number" and is_share and others:
            return sign
    return None


def _one_unit(words: tuple[Word, ...], default: Unit | None) -> Unit:
    units = list(units_in(words))
    if len(units) > 1:
        raise InputError(
            f"there are two units, {units[0].symbol} and {units[1].symbol}",
            remedy="Give every number in one unit: the other is worked out",
        )
    unit = units[0] if units else default
    if unit is None:
        raise InputError("there is no unit yet", remedy="Add one such as mm, in, N·m or °C")
    return unit


Numbers = tuple[Decimal | None, Decimal | None, Decimal | None]

_PLUS_MINUS = re.compile(r"(?P<nominal>n)\(?(?P<first>[pmn])/?(?P<second>[pmn])\)?")


def _numbers(
    words: tuple[Word, ...], unit: Unit, reference: bool, percent: bool
) -> tuple[Numbers, str]:
    """Return lower, nominal and upper value, and what is to be said of them."""
    form = "".join(_LETTERS[word.kind] for word in words)
    values = [word.value for word in words if word.kind in {"number", "plus", "tight"}]
    bounds = _bounds(form, values)
    if bounds is not None:
        return bounds, _strict(words, unit)
    if form in {"ntn", "n(tn)", "tn"}:
        nominal = Decimal(0) if form == "tn" else values[0]
        part = abs(values[-1])
        said = ""
        if percent:
            with localcontext(prec=60):
                part = _shortest(nominal * part / 100, nominal)
            share = f"{number_text(abs(values[-1]))} %"
            said = f"±{share} of {number_text(nominal)} is ±{number_text(abs(part))}"
        return (nominal - abs(part), nominal, nominal + abs(part)), said
    signed = [word for word in words if word.kind != "slash"]
    if len(values) == 3 and _PLUS_MINUS.fullmatch(form) and _is_signed(form, signed):
        parts = sorted(values[1:])
        return (values[0] + parts[0], values[0], values[0] + parts[1]), ""
    if form == "n" and reference:
        return (None, values[0], None), ""
    raise _not_a_form(form, values, unit)


def _bounds(form: str, values: list[Decimal]) -> Numbers | None:
    """Return the numbers of a form whose limits are written out, or None."""
    one = values[0] if values else None
    last = values[-1] if values else None
    simple: dict[str, Numbers] = {
        "nrn": (one, None, last), "xn": (None, None, one), "nx": (None, None, one),
        "ln": (None, None, one), "in": (one, None, None), "ni": (one, None, None),
        "gn": (one, None, None), "Nn": (None, one, None), "inxn": (one, None, last),
        "xnin": (last, None, one), "nixn": (one, None, last), "ninx": (one, None, last),
        "gnln": (one, None, last), "n(xn)": (None, one, last), "n(nx)": (None, one, last),
        "n(in)": (last, one, None), "n(ni)": (last, one, None),
    }  # fmt: skip
    if form in simple:
        return simple[form]
    is_range = re.fullmatch(r"n\([npm]rn\)", form)
    return (values[1], values[0], values[2]) if is_range else None


def _is_signed(form: str, words: list[Word]) -> bool:
    """Whether two parts say their sign: a bare number may only be 0, behind a stroke."""
    bare = [word for word in words[1:] if word.kind == "number"]
    return not bare or ("/" in form and len(bare) == 1 and not bare[0].value)


def _strict(words: tuple[Word, ...], unit: Unit) -> str:
    for word, number in pairwise(words):
        if word.text in {"<", ">"}:
            limit = with_unit(number_text(number.value), unit)
            side = "max" if word.text == "<" else "min"
            return f"Read as {side}: a reading of exactly {limit} is accepted"
    return ""


def _not_a_form(form: str, values: list[Decimal], unit: Unit) -> InputError:
    """Return what is wrong with numbers that are in no form known here."""
    if form == "n":
        one = format(values[0], "f")
        u = unit.symbol
        return InputError(
            f"{with_unit(one, unit)} is one number without limits",
            remedy=f"Write {one} ±… {u}, max {one} {u}, min {one} {u} or ref {one} {u}",
        )
    if form in {"nm", "n(m)"}:
        low, high = values[0], abs(values[1])
        meant = [f"{low:f}..{high:f}"] * (low < high) + [f"{low:f}..-{high:f}"] * (low < -high)
        return InputError(
            f"'{low:f} -{high:f}' could be a range or a tolerance",
            remedy=f"Write {', '.join(meant) or 'both limits'} or {low:f} +0/-{high:f}",
        )
    if form in {"np", "n(p)"}:
        value, plus = format(values[0], "f"), format(values[1], "f")
        return InputError(
            f"'{value} +{plus}' has no lower limit",
            remedy=f"Write {value} +{plus}/-0 or {value} ±{plus}",
        )
    if not values:
        return InputError("there is no number yet", remedy=_FORMS)
    if "n/n" in form:
        return InputError(
            "that fraction is not one of halves to 128ths", remedy="Write it as a decimal number"
        )
    if re.search("[pm]/n", form):
        return InputError(
            "the part behind the stroke has no sign", remedy="Write both parts signed: 22 +1/-2"
        )
    if re.search("n[npm]", form):
        return InputError(
            "two numbers stand side by side",
            remedy="Write a large number without a space, and two limits with .. between them",
        )
    return InputError("the numbers do not make limits", remedy=_FORMS)


def _checked(limits: Limits) -> Limits:
    low, middle, high = limits.lower, limits.nominal, limits.upper
    unit = limits.unit.symbol
    if low is not None and high is not None and low >= high:
        if low == high:
            raise InputError(
                f"the limits are both {number_text(low)}: that leaves no tolerance",
                remedy="Give a lower and a higher one",
            )
        raise InputError(
            f"{number_text(low)} is more than {number_text(high)}",
            remedy=f"Write the lower limit first: {high:f}..{low:f} {unit}",
        )
    return limits if middle is None else _without_outer_nominal(limits)


def _without_outer_nominal(limits: Limits) -> Limits:
    values = limits.values()
    return limits if list(values) == sorted(values) else replace(limits, nominal=None)


def _plain(value: Decimal) -> Decimal:
    """Return a value that a document can hold."""
    text = format(value, "f")
    if not _NUMBER.fullmatch(text):
        raise InputError(
            f"{text[:30]} has more digits than a document holds",
            remedy="Give at most twelve digits before and after the point",
        )
    return Decimal(text)


def _shortest(part: Decimal, nominal: Decimal) -> Decimal:
    """Return a part without noughts at its end, but for those the nominal value has."""
    exponent = nominal.as_tuple().exponent
    least = exponent if isinstance(exponent, int) else 0
    part = part.normalize()
    own = part.as_tuple().exponent
    return part if isinstance(own, int) and own < least else part.quantize(Decimal(1).scaleb(least))


def entry_text(limits: Limits, *, reference: bool = False) -> str:
    """Return how limits are typed, so that ``read_entry`` gives the same numbers again.

    Args:
        limits: the numbers, in order; at least one.
        reference: whether they are for information only.

    Returns:
        The shortest form that keeps every digit; empty where there is no number.
    """
    low, middle, high = (None if v is None else number_text(v) for v in _three(limits))
    about = "ref " if reference else ""
    bounds = ""
    if low is not None and high is not None:
        bounds = f"{low}..{high}"
    elif high is not None:
        bounds = f"max {high}"
    elif low is not None:
        bounds = f"min {low}"
    if middle is None:
        return f"{about}{with_unit(bounds, limits.unit)}" if bounds else ""
    if not bounds:
        return f"{about or 'nominal '}{with_unit(middle, limits.unit)}"
    part = _even_part(limits)
    said = f"{middle} ±{part}" if part else f"{middle} ({bounds})"
    return f"{about}{with_unit(said, limits.unit)}"


def text_of_spec(spec: LimitSpec) -> str:
    """Return how the numbers of a spec are typed."""
    return entry_text(spec.limits(), reference=spec.reference)


def reading_text(limits: Limits) -> str:
    """Return what is accepted in both units: ``9.80 to 10.20 mm = 0.3859 to 0.4015 in``."""
    try:
        second = second_unit(limits)
    except ValueError:
        second = None
    return " = ".join(_said(one) for one in (limits, second) if one is not None)


def _said(limits: Limits) -> str:
    """Return what is accepted, the value aimed at before it: ``22 (20 to 24) N·m``."""
    low, middle, high = (None if v is None else number_text(v) for v in _three(limits))
    if middle is None or (low is None and high is None):
        return range_text(limits)
    bounds = f"{low} to {high}" if low and high else f"max {high}" if high else f"min {low}"
    return with_unit(f"{middle} ({bounds})", limits.unit)


def _three(limits: Limits) -> Numbers:
    return limits.lower, limits.nominal, limits.upper


def _even_part(limits: Limits) -> str:
    """Return the part that lies on both sides of the nominal value, if that says it all."""
    low, middle, high = _three(limits)
    if low is None or middle is None or high is None:
        return ""
    with localcontext(prec=60):
        part = high - middle
        digits = [value.as_tuple() for value in (middle - part, middle + part)]
    same = part > 0 and digits == [low.as_tuple(), high.as_tuple()]
    return number_text(part) if same and _NUMBER.fullmatch(format(part, "f")) else ""
