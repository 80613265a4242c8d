"""What a job record says against what its procedure makes of it.

A record stands as it was written. Where the limits lead to another verdict, where a rule,
an instrument or a witness is another one than the procedure asks for, it is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal, localcontext
from fractions import Fraction
from math import lcm

from author.checks.instruments import uncertainty_in
from author.checks.job_records import Known, positions_of
from author.checks.reading_steps import fineness, step_of
from author.procedure.conformity import Conformity, judge
from author.procedure.items import Tool, bare_number
from author.procedure.job_record import JobRecord, Reading
from author.procedure.lists import Machine
from author.procedure.quantities import Limits, number_text, with_unit
from author.procedure.serials import is_called, is_within, ranges_said
from author.procedure.specs import LimitSpec
from author.procedure.units import Unit, all_units

VERDICTS = {
    "accept": "accepted",
    "reject": "rejected",
    "cannot_tell": "cannot tell",
    "not_judged": "not judged",
}
RULES = {"simple_acceptance": "simple acceptance", "guard_band": "guard band"}
_DIGITS = 400
_ROUNDED_UP = 1
"""Hours that may be written more than went by: begun late on the page, or rounded."""


@dataclass(frozen=True, slots=True)
class JudgedReading:
    """A reading and what the program makes of it.

    Attributes:
        reading: the reading.
        verdict: one of the verdicts of a record, None where the program cannot judge.
        side: ``below`` or ``above`` where it is not accepted.
        why: why the program cannot judge.
    """

    reading: Reading
    verdict: str | None
    side: str | None = None
    why: str | None = None

    @property
    def differs(self) -> bool:
        """Whether the record says something else."""
        return self.verdict != self.reading.verdict


def judge_reading(reading: Reading, record: JobRecord, known: Known) -> JudgedReading:
    """Return what the program makes of a reading, by the limits and rule of the procedure.

    The reading is compared exactly, in whatever unit it was read. A guard band is that of
    the instrument it was read with, or else of the one the procedure names.

    Args:
        reading: a reading of a spec that the procedure has, in a unit that fits.
        record: the record it stands in.
        known: what the procedure has.
    """
    _, spec = known.specs[reading.spec]
    if spec.reference:
        return JudgedReading(reading, "not_judged")
    unit = all_units()[spec.unit]
    tool = tool_of(reading, record, known)
    band = None if tool is None else uncertainty_in(tool, unit)
    value = unit.from_si(all_units()[reading.unit].to_si(reading.value))
    if unit.quantity == "temperature_difference":
        # A difference read on a scale of temperatures has no offset.
        value = Fraction(reading.value) * all_units()[reading.unit].factor / unit.factor
    if spec.decision_rule == "guard_band" and band is None:
        said = f"how uncertain its instrument is in {unit.symbol} is not known"
        return JudgedReading(reading, None, why=said)
    try:
        found = _judged(value, spec, band, unit)
    except ValueError as error:
        return JudgedReading(reading, None, why=str(error).partition(":")[0])
    return JudgedReading(reading, found.outcome, found.side)


def _judged(value: Fraction, spec: LimitSpec, band: Decimal | None, unit: Unit) -> Conformity:
    """Judge an exact value: everything is counted in a step that divides all of it."""
    limits = spec.limits()
    numbers = [value, *(Fraction(v) for v in (*limits.values(), band) if v is not None)]
    steps = lcm(*(number.denominator for number in numbers))

    def counted(number: Fraction | Decimal | None) -> Decimal | None:
        return None if number is None else Decimal(int(Fraction(number) * steps))

    with localcontext() as context:
        context.prec = _DIGITS
        return judge(
            Decimal(int(value * steps)),
            Limits(counted(limits.lower), None, counted(limits.upper), unit),
            counted(band),
            spec.decision_rule,
        )


def tool_of(reading: Reading, record: JobRecord, known: Known) -> Tool | None:
    """Return the tool a reading was taken with, or else the one the procedure asks for."""
    if reading.instrument is not None:
        return known.tools.get(record.instruments[reading.instrument].tool)
    return known.tools.get(asked_tool(known.specs[reading.spec][1], known) or "")


def asked_tool(spec: LimitSpec, known: Known) -> str | None:
    """Return the id of the tool a spec is read with; a spread has that of its readings."""
    _, base = known.specs.get(spec.spread_of or "", (None, None))
    return spec.instrument or (base.instrument if base is not None else None)


def told_of(
    record: JobRecord, judged: Sequence[JudgedReading], known: Known, content: str | None
) -> tuple[str, ...]:
    """Return what has to be told beside a record, a sentence each, without full stop.

    Args:
        record: a record without faults.
        judged: its readings as the program judges them, in the order of the record.
        known: what the procedure has.
        content: SHA-256 of the procedure file at hand, None if it is not known.
    """
    found = [*_of_the_whole(record, known, content)]
    for index, one in enumerate(judged):
        place = place_of(one.reading, known)
        found += [f"{place}: {said}" for said in _of_reading(one, record, known)]
        spread = _spread(one.reading, [j.reading for j in judged[:index]], known)
        found += [f"{place}: {spread}"] if spread else []
    if record.outcome == "done":
        found += _left_open(judged, known)
    found += _not_met(record, known)
    found += _other_parts(record, known)
    found += _parts_not_told(record, known) if record.outcome != "open" else ()
    found += _witnesses(record, known)
    return tuple(dict.fromkeys(found))


def place_of(reading: Reading, known: Known) -> str:
    """Return where a reading belongs, in words."""
    placed, spec = known.specs[reading.spec]
    at = f", {reading.position}" if reading.position else ""
    return f"Step {placed.number}, {spec.characteristic}{at}"


def _of_the_whole(record: JobRecord, known: Known, content: str | None) -> Iterator[str]:
    if content is not None and content != record.content:
        yield (
            "The procedure file has been changed since: the record was made with the file "
            f"whose fingerprint begins {record.content[:16]}, this one begins {content[:16]}"
        )
    if record.data != known.procedure.data:
        words = {"demo": "invented demo data", "shop": "real work"}
        yield (
            f"The record is said to be of {words[record.data]}, "
            f"the procedure of {words[known.procedure.data]}"
        )
    yield from _of_the_unit(record, known.procedure.unit)
    yield from _of_times(record)
    if record.outcome == "done" and record.ended is None:
        yield "The job is said to be done, but not when it ended"
    for used in record.instruments:
        if used.calibrated is not None and used.calibrated > record.began[:10]:
            yield f"{used.number} is said to have been calibrated after the work began"
        elif used.calibrated is not None and _five_years_on(used.calibrated) < record.began[:10]:
            yield (
                f"{used.number} was last calibrated on {used.calibrated}, more than five years "
                "before the work began"
            )


def _of_the_unit(record: JobRecord, machine: Machine) -> Iterator[str]:
    """Yield that the unit worked on is none the procedure is for, as far as its name tells."""
    if not is_called(record.unit, machine):
        yield f"The record is of '{record.unit}', and the procedure is for '{machine.name}'"
    if machine.serials is None:
        return
    ranges = ranges_said(machine.serials)
    if record.serial is None:
        yield f"The record names no serial number, and the procedure is for {ranges}"
    elif is_within(record.serial, machine.serials) is False:
        yield f"The procedure is for serial numbers {ranges}, and this unit is {record.serial}"


def _of_times(record: JobRecord) -> Iterator[str]:
    """Yield what cannot be of when the work began and ended: a clock, a day or an hour is wrong."""
    began = datetime.fromisoformat(record.began)
    read = sorted(datetime.fromisoformat(one.at) for one in record.readings if one.at)
    every = len(record.readings)
    if early := [at for at in read if at < began]:
        said = f"{len(early)} of {every} readings are said to be from before the work began"
        yield f"{said}, the first of {early[0]:%Y-%m-%d %H:%M}"
    if record.ended is None:
        return
    ended = datetime.fromisoformat(record.ended)
    if ended < began:
        yield "The work is said to have ended before it began"
        return
    if late := [at for at in read if at > ended]:
        said = f"{len(late)} of {every} readings are said to be from after the work ended"
        yield f"{said}, the last of {late[-1]:%Y-%m-%d %H:%M}"
    passed = Decimal((ended - began) // timedelta(minutes=6)) / 10
    for one in record.workers:
        if one.hours is not None and one.hours > passed + _ROUNDED_UP:
            yield (
                f"{one.name} is said to have worked {number_text(one.hours)} h, and from begin to "
                f"end {number_text(passed)} h went by"
            )


def _five_years_on(day: str) -> str:
    """Return the day five years later, as it is written; it need not be in the calendar."""
    return f"{int(day[:4]) + 5:04}{day[4:]}"


def _of_reading(one: JudgedReading, record: JobRecord, known: Known) -> Iterator[str]:
    reading, (_, spec) = one.reading, known.specs[one.reading.spec]
    value = with_unit(number_text(reading.value), all_units()[reading.unit])
    recorded = VERDICTS[reading.verdict]
    if one.verdict is None:
        yield f"{value} is recorded as {recorded}; it cannot be judged here: {one.why}"
    elif one.differs:
        near = {"below": "too near the lower limit", "above": "too near the upper limit"}
        side = ""
        if one.side is not None:
            side = f"{one.side} the limits" if one.verdict == "reject" else near[one.side]
        said = f"{VERDICTS[one.verdict]}{', ' if side else ''}{side}"
        yield f"{value} is recorded as {recorded}; by the procedure: {said}"
    if reading.rule not in {None, spec.decision_rule}:
        asked, taken = RULES[spec.decision_rule], RULES[reading.rule or ""]
        yield f"decided by {taken}, the procedure asks for {asked}"
    asked_for = asked_tool(spec, known)
    tool = tool_of(reading, record, known)
    if reading.instrument is not None and tool is not None and asked_for not in {None, tool.id}:
        wanted = known.tools[asked_for].name if asked_for in known.tools else asked_for
        yield f"read with “{tool.name}”, the procedure asks for “{wanted}”"
    step = None if tool is None or reading.unit != spec.unit else step_of(tool, spec)
    if tool is not None and step is not None and fineness(reading.value, step) == "finer":
        steps = with_unit(number_text(step), all_units()[spec.unit])
        yield f"“{tool.name}” reads in steps of {steps}: {value} cannot be read from it"
    if {reading.verdict, one.verdict} & {"reject", "cannot_tell"} and reading.reaction is None:
        yield f"nothing is recorded of what was done about {value}"


def _spread(reading: Reading, before: Sequence[Reading], known: Known) -> str | None:
    """Return what is wrong with a spread, from the readings it says or the last before it."""
    base = known.specs.get(known.specs[reading.spec][1].spread_of or "")
    if base is None:
        return None
    last = {
        one.position: one for one in before if one.spec == base[1].id and one.phase == reading.phase
    }
    if reading.computed_from is not None:
        last = {before[n].position: before[n] for n in reading.computed_from}
    if set(last) != set(positions_of(base[1])) or len(last) < 2:
        return None
    if len({one.unit for one in (*last.values(), reading)}) > 1:
        return None
    values = [one.value for one in last.values()]
    spread = max(values) - min(values)
    if spread == reading.value:
        return None
    unit = all_units()[reading.unit]
    said = with_unit(number_text(spread), unit)
    return f"largest less smallest of the readings is {said}"


def _left_open(judged: Sequence[JudgedReading], known: Known) -> Iterator[str]:
    """Yield the numbers whose last word is not that they are met, though the job is done."""
    last: dict[tuple[str, str | None], JudgedReading] = {}
    for one in judged:
        key = one.reading.spec, one.reading.position
        if key not in last or last[key].reading.superseded or not one.reading.superseded:
            last[key] = one
    for one in last.values():
        verdicts = {one.verdict, one.reading.verdict}
        if verdicts & {"reject", "cannot_tell"} or one.verdict is None:
            place = place_of(one.reading, known)
            yield f"{place}: the last reading is not accepted, yet the job is said to be done"
        elif one.reading.superseded:
            place = place_of(one.reading, known)
            yield f"{place}: not read again, though the work went back over it"


def _not_met(record: JobRecord, known: Known) -> Iterator[str]:
    """Yield the points whose last word is that they are not as they have to be."""
    steps = {point.id: placed for placed, _, point in known.procedure.placed_points()}
    last = {one.point: one for one in record.observations if not one.superseded}
    for one in last.values():
        placed = steps.get(one.point)
        if placed is not None and not one.met:
            seen = f": {one.seen}" if one.seen else ""
            yield f"Step {placed.number}: not as it has to be{seen}"


def _parts_not_told(record: JobRecord, known: Known) -> Iterator[str]:
    """Yield the parts nobody says of whether they were still in when their step was repeated."""
    for used in record.parts_used:
        if used.repeated == "open" and not used.superseded:
            number = f" {used.number}" if used.number else ""
            yield (
                f"{known.parts[used.part].name}{number}: fitted before the work went back; nobody "
                "says whether it is still in"
            )


def _other_parts(record: JobRecord, known: Known) -> Iterator[str]:
    """Yield the parts that went in under a number the procedure does not call for.

    Who allowed it has allowed it as long as the part is in, also where the work went back.
    """
    for used in record.parts_used:
        part = known.parts[used.part]
        if used.superseded or part.is_called_for(used.number):
            continue
        key = f"part/{part.id}/{bare_number(used.number or '')}"
        allowed = [
            one.approved_by
            for one in record.deviations
            if one.step == used.step and key in (one.covers or ())
        ]
        by = f"allowed by {allowed[-1]}" if allowed and allowed[-1] else "nobody is named for it"
        yield (
            f"{part.name}: {used.number} went in, the procedure calls for "
            f"{' or '.join(part.numbers)}; {by}"
        )


def _witnesses(record: JobRecord, known: Known) -> Iterator[str]:
    roles = {worker.name.casefold(): worker.role for worker in record.workers}
    for seen in record.witnessed:
        placed = known.steps[seen.step]
        point = placed.step.witness
        if point is None:
            yield f"Step {placed.number} has no witness point, yet {seen.by} is named for one"
            continue
        role = roles.get(seen.by.casefold(), point.role)
        if role != point.role:
            asked = known.roles.get(point.role, point.role)
            yield (
                f"Step {placed.number}: {seen.by}, recorded as {known.roles.get(role, role)}, "
                f"saw what is to be seen by: {asked}"
            )
        elif len(record.workers) == 1 and seen.by.casefold() in roles:
            yield f"Step {placed.number}: {seen.by} did the work alone and is the witness as well"
    if record.outcome == "done":
        named = {seen.step for seen in record.witnessed}
        for placed in known.procedure.placed_steps():
            if placed.step.witness is not None and placed.step.id not in named:
                yield f"Step {placed.number}: nobody is recorded as having seen its witness point"
