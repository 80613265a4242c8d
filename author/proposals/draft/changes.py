"""What a person writes in place of what was proposed, taken apart; written wholly or refused.

A number is shown as one line, "runout of the rim: at most 0.12 mm", while the draft keeps its
name, its limits and its unit apart. A new line is read back into these, and where that cannot be
done surely it is refused: it would be shown as taken with the old number behind it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal

from author.errors import InputError
from author.procedure.spec_entry import read_entry
from author.procedure.specs import UnitSymbol
from author.procedure.threads import read_thread
from author.procedure.units import all_units, find_unit
from author.procedure.values import Line, Node, Number
from author.proposals.proposal import Proposal, Values
from author.proposals.quantities.text import in_words, limits_text

_MEASURED = re.compile(r"measured(?: here)?:?\s+", re.IGNORECASE)
_NUMBER = r"-?\d+(?:\.\d+)?"
_AIM = re.compile(rf"aim\s+({_NUMBER})\s*(.*)", re.IGNORECASE)
_NO_UNIT = re.compile(r"\s*\(no unit said\)")
_ALONE = re.compile(rf"{_NUMBER}\s*(\D*)")
_FROM = re.compile(r"(.+?) from the (.+)", re.IGNORECASE)
_FORM = (
    "Write it as 'NAME: VALUES UNIT', such as 'runout of the rim: at most 0.12 mm', or write "
    "the keys 'characteristic' and 'values' in place of 'text'"
)
_REFERENCE = {"about", "measured"}
# Names that are of one quantity whatever follows: "torque of the cover bolts".
_QUANTITIES = {"torque", "pressure", "temperature", "voltage"}
# What carries an order: the articles and "it" may be others in a text that was written anew.
_WORD = re.compile(r"(?!(?:the|it|them|this|that|and|then|your|its)\b)[a-z0-9']+")


class SaidValues(Node):
    """Numbers of a proposal, or what is put in their place.

    Attributes:
        lower: smallest value accepted.
        nominal: value aimed at, or the one number there is.
        upper: largest value accepted.
        unit: their unit.
    """

    lower: Number | None = None
    nominal: Number | None = None
    upper: Number | None = None
    unit: UnitSymbol | None = None

    def numbers(self) -> tuple[Decimal | None, ...]:
        """Return lower, nominal, upper."""
        return self.lower, self.nominal, self.upper


class Changed(Node):
    """What stands in place of what was proposed.

    Attributes:
        text: the new text; of a number its name, limits and unit in one line.
        characteristic: the new name of a number.
        values: the new numbers, all of them; without a unit, in the one there was.
        note: of a step, what else is done in it, in place of what was told; ``none`` for nothing.
    """

    text: Line | None = None
    characteristic: Line | None = None
    values: SaidValues | None = None
    note: Line | None = None


@dataclass(frozen=True, slots=True)
class Told:
    """What one line says of a number.

    Attributes:
        name: of what it is a value; empty where the line names nothing.
        values: its numbers, or None where the line has none.
        role: ``about`` or ``measured`` for a number that decides nothing, else empty.
        where: where it holds, or empty.
        designation: of a thread, or empty.
    """

    name: str = ""
    values: Values | None = None
    role: str = ""
    where: str = ""
    designation: str = ""


def hold_whole(kind: str, unit: str | None, change: Changed | None) -> None:
    """See that a change can be written wholly.

    Args:
        kind: what the proposal is about.
        unit: unit of the number that was proposed, if any.
        change: what is to stand in its place.

    Raises:
        InputError: if nothing or less than the whole of it could be written.
    """
    if change is None or change == Changed():
        raise InputError(
            "the answer is 'change' and nothing stands in its place",
            remedy="Write what it is changed to under 'change', or answer 'accept'",
        )
    if change.note is not None and kind != "step":
        raise InputError(
            f"'note' is of a step, and this is of the kind '{kind}'",
            remedy="Take 'note' out; what else is done stands with the step, and is changed there",
        )
    if kind == "measurement":
        _told(change, unit)
    elif (
        change.values is not None
        or change.characteristic is not None
        or (change.text is None and change.note is None)
    ):
        raise InputError(
            f"of a proposal of the kind '{kind}' only the text can be changed",
            remedy="Write the key 'text' alone under 'change', or of a step 'note' too",
        )


def changed(proposal: Proposal, change: Changed, by: str | None = None) -> Proposal:
    """Return a proposal as a person has changed it.

    Args:
        proposal: as it was proposed.
        change: what stands in its place.
        by: who says so, if that is known.

    Raises:
        InputError: if less than the whole of it could be written, as ``hold_whole`` tells.
    """
    unit = proposal.values.unit if proposal.values else None
    hold_whole(proposal.kind, unit, change)
    if proposal.kind != "measurement":
        made = replace(proposal, text=change.text or proposal.text)
        if proposal.kind != "step" and made.text != proposal.text:
            # Nobody said these words on the film: who wrote them answers for them.
            made = replace(made, details=(*made.details, ("changed_by", by or "the technician")))
        if change.note is not None:
            return _with_note(made, "" if change.note == "none" else change.note)
        return made if proposal.kind != "step" else _without_what_it_says(made)
    told = _told(change, unit)
    if not _named(proposal, told):
        _hold_quantity(proposal, told)
    details = dict(proposal.details) | _named(proposal, told)
    details["positions"] = told.where or ("" if told.name else details.get("positions", ""))
    values = proposal.values
    if told.designation:
        values = Values()
        details |= {"role": "thread", "designation": told.designation}
    elif told.values is not None:
        values = told.values
        details |= {"role": _role(proposal, told, by_text=change.values is None)}
        details |= {"designation": "", "unit_from_elsewhere": ""}
        details["quantity"] = all_units()[str(values.unit)].quantity
        if values != proposal.values:
            details["changed_by"] = by or "the technician"
    kept = tuple((name, value) for name, value in details.items() if value)
    made = replace(proposal, values=values, details=kept)
    return replace(made, text=number_text(made))


def _hold_quantity(proposal: Proposal, told: Told) -> None:
    """See that a number that keeps its name keeps its quantity: a torque is told in no bar.

    Raises:
        InputError: if its new unit is of another, though the old one was said.
    """
    was = find_unit(proposal.values.unit) if proposal.values and proposal.values.unit else None
    unit = find_unit(told.values.unit) if told.values and told.values.unit else None
    said = not proposal.detail("unit_from_elsewhere")
    if was is not None and unit is not None and said and was.quantity != unit.quantity:
        kind = in_words(was.quantity)
        raise InputError(
            f"{unit.symbol} is no unit of {kind}, which was said in {was.symbol}",
            remedy=f"Write it in a unit of {kind}, or with a new name too, if it is something else",
        )


def _with_note(step: Proposal, note: str) -> Proposal:
    """Put words in the place of all that is told besides of a step."""
    told = {"first", "between", "also", "as_said", "note", "noted"}
    kept = tuple((name, value) for name, value in step.details if name not in told)
    more = (("noted", "yes"), *((("note", note),) if note else ()))
    return replace(step, details=(*kept, *more))


def _without_what_it_says(step: Proposal) -> Proposal:
    """Leave out of what is told besides of a step the orders that its new text says itself."""
    own = set(_WORD.findall(step.text.lower()))
    details = dict(step.details)
    for name in ("first", "between", "also"):
        orders = re.split(r"(?<=[.!?]) ", details.get(name, ""))
        kept = [one for one in orders if not own.issuperset(_WORD.findall(one.lower()))]
        details[name] = " ".join(kept)
    return replace(step, details=tuple((name, value) for name, value in details.items() if value))


def number_text(proposal: Proposal) -> str:
    """Return a proposed number in one line, name, datum and place with it."""
    datum = proposal.detail("datum")
    name = " ".join(
        part
        for part in (proposal.detail("characteristic"), f"from the {datum}" if datum else None)
        if part
    )
    return f"{name}: {_numbers_text(proposal)}" if name else _numbers_text(proposal)


def with_name(proposal: Proposal, name: str, numbers: str) -> str:
    """Return new numbers in one line with what the proposal says of the old ones.

    Args:
        proposal: the number as it was proposed.
        name: its name, where the proposal has none.
        numbers: the new numbers with their unit.
    """
    datum, where = proposal.detail("datum"), proposal.detail("positions")
    whole = f"{name} from the {datum}" if datum else name
    return f"{whole}: {numbers}, {where}" if where else f"{whole}: {numbers}"


def _numbers_text(proposal: Proposal) -> str:
    values, where = proposal.values, proposal.detail("positions")
    if values is None or not values.numbers():
        numbers = proposal.detail("designation") or proposal.text.rpartition(": ")[2]
        return numbers if where is None or numbers.endswith(where) else f"{numbers}, {where}"
    words = {"about": "about ", "measured": "measured here: "}
    numbers = limits_text(values.lower, values.nominal, values.upper)
    said = f"{words.get(proposal.detail('role') or '', '')}{numbers} {values.unit or ''}".strip()
    return f"{said}, {where}" if where else said


def _named(proposal: Proposal, told: Told) -> dict[str, str]:
    """Return name and datum; those the proposal has stay where they are written again."""
    before = proposal.text.partition(": ")[0] if ": " in proposal.text else ""
    if not told.name or told.name.casefold() == before.casefold():
        return {}
    found = _FROM.fullmatch(told.name)
    name, datum = (found[1], found[2]) if found else (told.name, "")
    return {"characteristic": name, "datum": datum}


def _role(proposal: Proposal, told: Told, *, by_text: bool) -> str:
    """Return what a new number is: limits, for information, or what is aimed at."""
    values = told.values
    if values is not None and (values.lower is not None or values.upper is not None):
        return "limits"
    was = proposal.detail("role") or ""
    if was in _REFERENCE and (told.role or not by_text):
        return was
    return told.role or "aim"


def _told(change: Changed, unit: str | None) -> Told:
    """Return all that a change of a number says."""
    told = Told() if change.text is None else _of_line(change.text, unit, change.values is None)
    if change.characteristic is not None:
        if told.name:
            raise InputError(
                "'text' and 'characteristic' both name it",
                remedy="Write 'characteristic' and 'values' without 'text'",
            )
        told = replace(told, name=change.characteristic)
    if change.values is None:
        return _named_as_it_is(told)
    new = change.values
    values = Values(new.lower, new.nominal, new.upper, new.unit or unit)
    if not values.numbers():
        raise InputError("'values' has no number", remedy="Write lower, nominal or upper there")
    if values.unit is None:
        raise InputError("'values' has no unit", remedy="Write its unit there, such as unit: mm")
    if values.lower is not None and values.upper is not None and values.lower > values.upper:
        raise InputError(
            f"the limits are crossed: {values.lower:f} lies above {values.upper:f}",
            remedy="Write the smaller as lower and the larger as upper",
        )
    if told.designation or (told.values is not None and told.values != values):
        raise InputError(
            f"'text' says {(change.text or '')!r}, 'values' says "
            f"{limits_text(values.lower, values.nominal, values.upper)} {values.unit}",
            remedy="Write the same in both, or leave the numbers out of 'text'",
        )
    return _named_as_it_is(replace(told, values=values))


def _named_as_it_is(told: Told) -> Told:
    """Return what a change says, unless its name is of another quantity than its unit.

    Raises:
        InputError: "torque of the screw: 4 mm", or a torque below nought.
    """
    name = (told.name.split() or [""])[0].lower()
    unit = find_unit(told.values.unit) if told.values and told.values.unit else None
    if unit is not None and name in _QUANTITIES and not unit.quantity.startswith(name):
        raise InputError(
            f"'{told.name}' is a {name}, and {unit.symbol} is no unit of it",
            remedy=f"Write a unit of {name}, or another name",
        )
    numbers = told.values.numbers() if told.values else ()
    low = min((n for n in numbers if n is not None), default=None)
    if unit is not None and unit.quantity == "torque" and low is not None and low < 0:
        raise InputError(f"{low:f} {unit.symbol} is less than no torque", remedy="Write it above 0")
    return told


def _of_line(text: str, unit: str | None, numbers: bool) -> Told:
    """Return what a line says of a number.

    Args:
        text: the line.
        unit: taken where the line has none.
        numbers: whether it has to have numbers; else it may be a name alone.
    """
    colons = [found.start() for found in re.finditer(r":\s", text)]
    problem: InputError | None = None
    for name, rest in [
        *((text[:at].strip(), text[at + 1 :].strip()) for at in colons),
        *([("", text)] if not colons or _MEASURED.match(text) else []),
    ]:
        try:
            return replace(_of_numbers(rest, unit), name=name)
        except InputError as error:
            problem = error
    if not numbers and not (colons and re.search(r"\d", text[colons[-1] :])):
        return Told(name=text.strip())
    told = f": {problem.problem}" if problem else ""
    raise InputError(f"name, values and unit cannot be told apart in {text!r}{told}", remedy=_FORM)


def _of_numbers(text: str, unit: str | None) -> Told:
    """Return what the line says behind the name, such as ``4 to 5, aim 4.5 mm, at both ends``."""
    designation = _thread_in(text)
    if designation:
        return Told(designation=designation)
    measured = _MEASURED.match(text)
    rest = _NO_UNIT.sub("", text[measured.end() :] if measured else text)
    numbers, _, behind = rest.partition(", ")
    aim = None
    if found := _AIM.match(behind):
        said, _, behind = found[2].partition(", ")
        aim, numbers = Decimal(found[1]), f"{numbers} {said}".strip()
    if _is_alone(numbers, unit):
        numbers = f"ref {numbers}" if measured else f"nominal {numbers}"
    entry = read_entry(numbers, all_units()[unit] if unit else None)
    limits = entry.limits
    if aim is not None and limits.nominal is not None:
        raise InputError("it aims at two numbers", remedy=_FORM)
    role = "measured" if measured else "about" if entry.reference else ""
    values = Values(limits.lower, aim or limits.nominal, limits.upper, limits.unit.symbol)
    return Told(values=values, role=role, where=behind.strip())


def _is_alone(numbers: str, unit: str | None) -> bool:
    """Whether this is one number without limits; "2 min" is a least length among lengths."""
    found = _ALONE.fullmatch(numbers)
    if found is None or not found[1]:
        return found is not None
    if found[1].strip() == "min":
        return unit is None or all_units()[unit].quantity == "time"
    return find_unit(found[1]) is not None


def _thread_in(text: str) -> str:
    """Return the designation of a thread if that is all a text says, or nothing."""
    try:
        read_thread(text)
    except ValueError:
        return ""
    return text.strip()
