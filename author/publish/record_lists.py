"""The lists of a record sheet as plain page data: people, instruments, parts, what was found."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from author.checks.job_records import Known
from author.procedure.document import Procedure
from author.procedure.job_record import JobRecord, name_with_proof
from author.publish import list_content
from author.publish.lookup import Data, Lookup


def moment_text(moment: str | None) -> str | None:
    """Return a moment as local time with its offset (ISO 8601), as exact as the record has it.

    It is the time of the place where it was written. A record that has UTC does not say where
    that was: its moments are told in the time of this machine, ``2026-03-31T13:05Z`` as
    ``2026-03-31T14:05+01:00``.
    """
    if moment is None or not moment.endswith("Z"):
        return moment
    exact = "seconds" if moment.count(":") == 2 else "minutes"
    try:
        return datetime.fromisoformat(moment).astimezone().isoformat(timespec=exact)
    except (ValueError, OverflowError, OSError):  # no such day, or this clock cannot tell
        return moment


def workers(procedure: Procedure, record: JobRecord | None) -> list[Data]:
    """Return who took part, or the roles the procedure asks for; a row more while it goes on."""
    roles = {person.id: person.role for person in reversed(procedure.people)}
    if record is None:
        return [
            {"name": None, "role": person.role, "hours": None}
            for person in procedure.people
            for _ in range(person.count)
        ]
    named = [
        {
            "name": one.name if one.also is None else f"{one.name} (before: {one.also})",
            "role": roles[one.role],
            "hours": None if one.hours is None else f"{one.hours:f} h",
        }
        for one in record.workers
    ]
    return named + [{"name": None, "role": "", "hours": None}] * (record.outcome == "open")


def instruments(known: Known, record: JobRecord | None, asked: Sequence[str]) -> list[Data]:
    """Return the instruments used; on a blank sheet and while it goes on, those still to come."""
    used = [
        {
            "tool": known.tools[one.tool].name,
            "number": one.number,
            "calibrated": one.calibrated or "not given",
        }
        for one in (record.instruments if record else ())
    ]
    if record is not None and record.outcome != "open":
        return used
    there = {one.tool for one in record.instruments} if record else set()
    names = [known.tools[t].name if t in known.tools else t for t in asked if t not in there]
    return used + [{"tool": name, "number": None, "calibrated": None} for name in names]


def holds(procedure: Procedure, record: JobRecord | None, lookup: Lookup) -> list[Data]:
    """Return what keeps the unit from use: known from the procedure, and found in the job."""
    known = [list_content.finding_data(one, lookup) for one in procedure.findings if one.holds]
    found = [] if record is None else [one for one in record.findings if one.holds]
    return [
        *(
            {
                "what": one["what"],
                "released_by": one["released_by"],
                "follow_on": one["follow_on"],
                "due": one["due"],
                "found": False,
            }
            for one in known
        ),
        *(
            {"what": one.what, "released_by": None, "follow_on": None, "due": None, "found": True}
            for one in found
        ),
    ]


def parts(procedure: Procedure, record: JobRecord | None, lookup: Lookup) -> list[Data]:
    """Return the parts that went in; on a blank sheet and while it goes on, those that may."""
    used = [
        {
            "name": f"{lookup.part(one.part)}{' (superseded)' * one.superseded}",
            "listed": lookup.parts[one.part].number,
            "fitted": "no number on it" if one.no_number else one.number,
            "quantity": str(one.quantity),
            "step": _step(one.step, lookup),
        }
        for one in (record.parts_used if record else ())
    ]
    if record is not None and record.outcome != "open":
        return used
    there = {one.part for one in record.parts_used} if record else set()
    return used + [
        {"name": part.name, "listed": part.number, "fitted": None, "quantity": None, "step": None}
        for part in procedure.parts
        if part.replace != "never" and part.id not in there
    ]


def deviations(record: JobRecord | None, lookup: Lookup) -> list[Data]:
    """Return what was done otherwise than written."""
    return [
        {
            "step": _step(one.step, lookup),
            "what": one.what,
            "reason": one.reason,
            "approved_by": one.approved_by and name_with_proof(one.approved_by, one.proof),
            "superseded": one.superseded,
        }
        for one in (record.deviations if record else ())
    ]


def findings(record: JobRecord | None, lookup: Lookup) -> list[Data]:
    """Return the defects that were seen."""
    return [
        {
            "step": _step(one.step, lookup),
            "what": one.what,
            "holds": one.holds,
            "tagged_by": one.tagged_by,
        }
        for one in (record.findings if record else ())
    ]


def questions(record: JobRecord | None, lookup: Lookup) -> list[Data]:
    """Return the questions to the author."""
    return [
        {"step": _step(one.step, lookup), "text": one.text}
        for one in (record.questions if record else ())
    ]


def signatures(procedure: Procedure, record: JobRecord | None, lookup: Lookup) -> list[Data]:
    """Return who has to sign: those who did the work, who checked it, who releases a hold."""
    done = [{"as": "Done by", "name": one.name} for one in (record.workers if record else ())]
    blank = [{"as": "Done by", "name": None}] if record is None else []
    released = [one for one in procedure.findings if one.holds]
    held = [one for one in record.findings if one.holds] if record else []
    roles = dict.fromkeys(lookup.role(one.released_by) or "" for one in released)
    if held and not roles:
        roles = {"": None}
    return [
        *blank,
        *done,
        {"as": "Checked by", "name": None},
        *(
            {"as": f"Hold released by: {role}" if role else "Hold released by", "name": None}
            for role in roles
        ),
    ]


def _step(key: str | None, lookup: Lookup) -> str | None:
    return None if key is None else f"{lookup.steps[key].number}"
