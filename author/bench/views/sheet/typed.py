"""Numbers and times as a person types them, and as a field shows them."""

from __future__ import annotations

import re
from typing import Any

from author.bench.views.sheet.rows import Row
from author.bench.words import translate
from author.errors import InputError
from author.procedure.spec_words import words_of
from author.procedure.times import read_duration

_HOURS = re.compile(r"(?P<hours>[0-9]{1,4})\s*(?:h|hrs?|hours?)\.?", re.IGNORECASE)
_MINUTES = re.compile(r"(?P<minutes>[0-9]{1,4})\s*(?:m|min|mins|minutes?)\.?", re.IGNORECASE)
_BOTH = re.compile(
    rf"{_HOURS.pattern}\s*(?P<minutes>[0-9]{{1,2}})\s*(?:m|min|mins|minutes?)?\.?"
    r"|(?P<hours_of_clock>[0-9]{1,4}):(?P<minutes_of_clock>[0-9]{2})",
    re.IGNORECASE,
)
_NUMBERS = {"number", "plus", "tight"}
_STATED = re.compile(r"PT[0-9HM]+", re.IGNORECASE)


def number_row(key: str, words: str) -> Row:
    """Return the row of a number."""
    return Row(key, words, read_as=number_typed)


def time_row(key: str, words: str, hint: str) -> Row:
    """Return the row of a time that work takes."""
    return Row(key, words, read_as=time_typed, show_as=time_text, hint=hint)


def number_typed(text: str) -> str:
    """Read a number by the rule that requirements are read by: ``0,001`` is ``0.001``.

    Raises:
        InputError: if it is no number, or its comma could mean two numbers.
    """
    words = words_of(text)
    if len(words) != 1 or words[0].kind not in _NUMBERS:
        raise InputError(f"'{text[:24]}' is not a plain number", remedy="Write it like 9.80")
    return f"{words[0].value:f}"


def time_typed(text: str) -> str:
    """Read a time of hours and minutes: ``45 min``, ``1:30``, ``2 h 30``, ``PT2H30M``.

    Returns:
        The duration as the file has it (RFC 3339, appendix A).

    Raises:
        InputError: if it is none.
    """
    said = " ".join(text.split())
    if _STATED.fullmatch(said):
        try:
            read_duration(said.upper())
        except ValueError as error:
            raise InputError(str(error), remedy="Write it like 45 min or 2 h 30") from None
        return said.upper()
    hours, minutes = _hours_and_minutes(said)
    if hours == minutes == 0:
        raise InputError("that is no time at all", remedy="Write it like 45 min or 2 h 30")
    return "PT" + (f"{hours}H" if hours else "") + (f"{minutes}M" if minutes else "")


def _hours_and_minutes(text: str) -> tuple[int, int]:
    if found := _MINUTES.fullmatch(text):
        hours, minutes = divmod(int(found["minutes"]), 60)
        return hours, minutes
    if found := _HOURS.fullmatch(text):
        return int(found["hours"]), 0
    found = _BOTH.fullmatch(text)
    if found is None:
        problem = f"'{text[:24]}' is not read as a time"
        if text.isascii() and text.isdecimal():
            problem = f"it is not said whether {text[:24]} are hours or minutes"
        raise InputError(problem, remedy="Write it like 45 min, 1:30 or 2 h 30")
    hours = int(found["hours"] or found["hours_of_clock"])
    minutes = int(found["minutes"] or found["minutes_of_clock"])
    if minutes > 59:
        raise InputError(
            f"an hour has no {minutes} minutes", remedy="Write it like 45 min, 1:30 or 2 h 30"
        )
    return hours, minutes


def time_text(value: Any) -> str:
    """Return a duration of the file as a person says it: ``2 h 30 min``."""
    if value is None:
        return ""
    try:
        hours, minutes = divmod(read_duration(str(value)), 60)
    except ValueError:
        return str(value)
    if not hours:
        return translate("Sheet", "{0} min").format(minutes)
    return (
        translate("Sheet", "{0} h {1} min").format(hours, minutes)
        if minutes
        else translate("Sheet", "{0} h").format(hours)
    )
