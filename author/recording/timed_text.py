"""Plain text in paragraphs, each headed by the moment it begins at.

``[1:02] Lift the cover off.``, also ``(1:02)``, ``1:02``, ``[0:01:02.5]`` and
``[1:02 - 1:09]``, the words after it or on the lines below. Nobody has laid this down; it
is how people write down what they hear.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

from author.errors import InputError
from author.procedure.cues import Cue, plain_text
from author.recording.said import Speech

MAX_PARAGRAPHS = 100_000
MAX_LETTERS = 100_000
"""Letters of one paragraph; a spoken hour has about 50 000."""

_CLOCK = r"(?:([0-9]{1,3}):)?([0-9]{1,3}):([0-9]{2})(?:[.,]([0-9]{1,6}))?"
_TIMES = rf"{_CLOCK}(?:[ \t]{{0,2}}(?:-{{1,2}}>?|–|—|to)[ \t]{{0,2}}{_CLOCK})?"
_BRACKETED = re.compile(rf"[ \t]*(?:\[[ \t]?{_TIMES}[ \t]?\]|\([ \t]?{_TIMES}[ \t]?\))")
_BARE = re.compile(rf"[ \t]*{_TIMES}(?=[ \t]|$|[-–—:] )")
_JOINT = re.compile(r"^[ \t]*(?:[-–—:|][ \t]+)?")
_MS = Decimal("0.001")
# Slower than anybody speaks for long: a paragraph that ends before the next begins.
_SECONDS_A_WORD = Decimal("0.5")
_REMEDY = "Head each paragraph with its time as [1:02] or [1:02:30], one after the other"


@dataclass(slots=True)
class _Paragraph:
    line: int
    start: Decimal
    end: Decimal | None
    lines: list[str] = field(default_factory=list)
    letters: int = 0


def is_timed_text(lines: Sequence[str]) -> bool:
    """Tell whether any line is headed by a time."""
    return any(_BRACKETED.match(line) or _BARE.match(line) for line in lines)


def read_timed_text(lines: Sequence[str], file: Path, *, best_effort: bool) -> Speech:
    """Read paragraphs headed by their times.

    A paragraph ends where its heading says, else where the next begins, and no later than
    its number of words needs. What stands before the first time belongs to none.

    Args:
        lines: the whole file.
        file: its name, for errors.
        best_effort: leave out a paragraph whose time makes no sense, and put those that
            stand out of order in order, each with a note; else both are errors.

    Raises:
        InputError: a time makes no sense, or there is too much.
    """
    notes: list[str] = []
    paragraphs = _paragraphs(lines, file, notes if best_effort else None)
    cues = []
    for number, each in enumerate(paragraphs):
        text = plain_text("\n".join(each.lines))
        if not text:
            continue
        end = each.start + max(1, len(text.split())) * _SECONDS_A_WORD
        if each.end is not None and each.end > each.start:
            end = each.end
        elif number + 1 < len(paragraphs):
            end = min(end, paragraphs[number + 1].start)
        cues.append((Cue(each.start, end.quantize(_MS), text), ()))
    return Speech.put_in_order(cues, notes)


def _paragraphs(lines: Sequence[str], file: Path, notes: list[str] | None) -> list[_Paragraph]:
    """Return the paragraphs by their start, no two at one moment; notes None means strictly."""
    bracketed = any(_BRACKETED.match(line) for line in lines)
    heading = _BRACKETED if bracketed else _BARE
    found: list[_Paragraph] = []
    current: _Paragraph | None = None
    unsorted = False
    for number, line in enumerate(lines, 1):
        head = heading.match(line)
        if head is not None and not bracketed and _before_last(head, found):
            head = None  # "3:15 is the ratio" at the start of a line
        if head is not None:
            current = _begun(head, number, file, notes)
            if current is not None:
                if len(found) >= MAX_PARAGRAPHS:
                    raise InputError(
                        f"the file has more than {MAX_PARAGRAPHS} paragraphs",
                        remedy="Give captions for one recording only",
                        file=file,
                        line=number,
                    )
                unsorted |= _out_of_order(current, found, file, notes)
                found.append(current)
        if current is not None:
            words = line if head is None else _JOINT.sub("", line[head.end() :], count=1)
            current.lines.append(words)
            current.letters += len(words)
            if current.letters > MAX_LETTERS:
                raise InputError(
                    f"a paragraph has more than {MAX_LETTERS} letters",
                    remedy="Look for a time that is missing below this line",
                    file=file,
                    line=current.line,
                )
    if unsorted and notes is not None:
        notes.append("the paragraphs do not stand in the order of their times; they were put so")
    return _merged(sorted(found, key=lambda each: each.start))


def _begun(
    head: re.Match[str], line: int, file: Path, notes: list[str] | None
) -> _Paragraph | None:
    groups = head.groups()
    if len(groups) > 8 and groups[1] is None:
        groups = groups[8:]
    start = _time(*groups[:4])
    if start is not None:
        end = None if groups[5] is None else _time(*groups[4:8])
        return _Paragraph(line, start, end)
    problem = f"the time {head.group().strip()!r} has more than 59 seconds or minutes"
    if notes is None:
        raise InputError(problem, remedy=_REMEDY, file=file, line=line)
    notes.append(f"line {line}: {problem}; its paragraph is left out")
    return None


def _time(hours: str | None, minutes: str, seconds: str, part: str | None) -> Decimal | None:
    if int(seconds) > 59 or (hours is not None and int(minutes) > 59):
        return None
    whole = int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds)
    return Decimal(f"{whole}.{part or 0}").quantize(_MS)


def _before_last(head: re.Match[str], found: Sequence[_Paragraph]) -> bool:
    time = _time(*head.groups()[:4])
    return bool(found) and (time is None or time < found[-1].start)


def _out_of_order(
    new: _Paragraph, found: Sequence[_Paragraph], file: Path, notes: list[str] | None
) -> bool:
    if not found or new.start >= found[-1].start:
        return False
    if notes is None:
        raise InputError(
            "this paragraph begins before the one above it",
            remedy=_REMEDY,
            file=file,
            line=new.line,
        )
    return True


def _merged(paragraphs: Sequence[_Paragraph]) -> list[_Paragraph]:
    """Return paragraphs of which no two begin at one moment."""
    found: list[_Paragraph] = []
    for each in paragraphs:
        if found and found[-1].start == each.start:
            found[-1].lines += each.lines
            found[-1].end = each.end or found[-1].end
        else:
            found.append(each)
    return found
