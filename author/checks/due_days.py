"""Days by which findings are due: days of the calendar, and written so that they come due."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from author.checks.remarks import Remark, Subject, remark

_MONTHS = {
    "jan": 1, "feb": 2, "mar": 3, "apr": 4, "may": 5, "jun": 6,
    "jul": 7, "aug": 8, "sep": 9, "oct": 10, "nov": 11, "dec": 12,
}  # fmt: skip
_LONGEST = 2000  # a year with a 29th of February, for days without a year
_NAME = (
    r"(?P<name>jan(?:uary)?|feb(?:ruary)?|march|mar|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    r"sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.?"
)
_YEAR = r"(?P<year>(?:19|20|21)[0-9]{2})"
_ALONE = r"(?<![\w./-])", r"(?![\w/-]|\.[0-9])"
_YEAR_FIRST = re.compile(
    rf"{_ALONE[0]}(?P<year>[0-9]{{4}})[-./](?P<month>[0-9]{{1,2}})[-./](?P<day>[0-9]{{1,2}})"
    rf"{_ALONE[1]}"
)
_YEAR_LAST = re.compile(
    rf"{_ALONE[0]}(?P<day>[0-9]{{1,2}})(?P<sign>[-./]) ?(?P<month>[0-9]{{1,2}})(?P=sign) ?"
    rf"{_YEAR}{_ALONE[1]}"
)
_NAMED = (
    re.compile(
        rf"{_ALONE[0]}(?P<day>[0-9]{{1,2}})\.?(?:st|nd|rd|th)?(?: of)?[ -]{_NAME}"
        rf"(?:,?[ -]{_YEAR})?(?!\w)",
        re.IGNORECASE,
    ),
    # "May 40 hours be run" is no day.
    re.compile(
        rf"(?<!\w){_NAME} (?:the )?(?P<day>[0-9]{{1,2}})(?:st|nd|rd|th)?"
        rf"(?:,? {_YEAR}(?!\w)|(?=$|[,;)]|\.$))",
        re.IGNORECASE,
    ),
)


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on what a finding is due by; names of months are looked for in English."""
    language = subject.procedure.language
    english = language == "en" or language.startswith("en-")
    for index, finding in enumerate(subject.procedure.findings):
        said = _fault(finding.due, english=english) if finding.due is not None else None
        if said is not None:
            yield remark("links.due_day", f"'{finding.id}': {said}", ("findings", index, "due"))


def _fault(due: str, *, english: bool) -> str | None:
    """Return what is wrong with a day in words, or None; the words may well hold no day."""
    for form in (_YEAR_FIRST, _YEAR_LAST, *(_NAMED if english else ())):
        for found in form.finditer(due):
            if found.groupdict().get("name") in {"may", "march"}:
                continue  # "20 may be worn"
            days = list(_days(found))
            if not days:
                return f"'{found[0]}' is no day of the calendar"
            whole = found[0] == due.strip(" .") and found["year"] is not None
            if whole and (form is not _YEAR_FIRST or days[0].isoformat() != due):
                return f"'{due}' is taken as words and never comes due"
    return None


def _days(found: re.Match[str]) -> Iterator[date]:
    """Yield the days that may be meant; of two numbers either may be the month."""
    year = int(found["year"] or _LONGEST)
    first = int(found["day"])
    if "name" in found.groupdict():
        orders = [(_MONTHS[found["name"][:3].lower()], first)]
    else:
        second = int(found["month"])
        orders = [(second, first)]
        if found.re is _YEAR_LAST:
            orders.append((first, second))
    for month, day in orders:
        try:
            yield date(year, month, day)
        except ValueError:
            continue
