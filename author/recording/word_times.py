"""Words with their times as JSON, in the plain shapes that speech recognition is kept in.

A list of words, ``[{"word": "lift", "start": 0.4, "end": 0.62}, …]``, an object that holds
such a list under ``words``, or segments with ``start``, ``end``, ``text`` and, if known,
``words``, as a list or under ``segments``. Times are seconds on the recording's clock.
Nobody has laid this down: common practice, no source.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal, DecimalException
from pathlib import Path
from typing import Any, NoReturn

from author.errors import InputError
from author.procedure.cues import Cue, plain_text
from author.recording.said import LATEST, SaidWord, Speech

MAX_OBJECTS = 1_000_000
MAX_VALUES = 2_000_000
MAX_LETTERS = 100_000
"""Letters of one segment, and of one word."""

_LISTS = ("segments", "words", "results", "result", "cues", "captions")
_TEXT = ("word", "text", "token", "punctuated_word")
_START = ("start", "start_time", "startTime", "begin", "from")
_END = ("end", "end_time", "endTime", "stop", "to")
_LENGTH = ("duration", "dur")
_MS = Decimal("0.001")
_SHAPE = 'Write it as [{"word": "lift", "start": 0.40, "end": 0.62}, …], times in seconds'
_PAUSE = Decimal("0.7")  # seconds of silence at which a caption of words ends
_CAPTION = 80  # letters at which it ends
_SAID = Decimal("0.3")  # seconds a word takes whose end nobody tells
_TOLD = 20  # kinds of fault that are told
_NUMBER = re.compile(r"[0-9]{1,12}(?:\.[0-9]{1,12})?")
_STRING_OR_BRACE = re.compile(r'"(?:[^"\\]|\\.)*"|[{}]')


class _Entry(dict[str, Any]):
    """An object of the file, and the how-manieth to be closed it is."""

    number = 0


@dataclass(slots=True)
class _Reading:
    """What is known while a file is read."""

    text: str
    file: Path
    notes: list[str] | None  # None: any fault is an error
    closed: int = 0
    left_out: dict[str, int] = field(default_factory=dict)

    def entry(self, pairs: list[tuple[str, Any]]) -> _Entry:
        made = _Entry(pairs)
        made.number = self.closed
        self.closed += 1
        return made

    def line_of(self, entry: object) -> int:
        """Return the line an object begins on, from 1."""
        if not isinstance(entry, _Entry):
            return 1
        opened: list[int] = []
        closed = 0
        for found in _STRING_OR_BRACE.finditer(self.text):
            if found.group() == "{":
                opened.append(found.start())
            elif found.group() == "}" and opened:
                at = opened.pop()
                if closed == entry.number:
                    return self.text.count("\n", 0, at) + 1
                closed += 1
        return 1

    def fail(self, problem: str, entry: object = None) -> NoReturn:
        raise InputError(problem, remedy=_SHAPE, file=self.file, line=self.line_of(entry))

    def leave_out(self, problem: str, entry: object) -> None:
        """Leave one entry out with a note, or refuse the file."""
        if self.notes is None:
            self.fail(problem, entry)
        self.left_out[problem] = self.left_out.get(problem, 0) + 1

    def told(self) -> list[str]:
        """Return the notes; what was left out is told once for each kind of fault."""
        if self.notes is None:
            return []
        told = [f"left out ({count} times): {why}" for why, count in self.left_out.items()]
        return [*self.notes, *told[:_TOLD]]


def read_word_times(text: str, file: Path, *, best_effort: bool) -> Speech:
    """Read words with their times.

    Words without a segment are put together to captions at pauses and ends of sentences.

    Args:
        text: the whole file.
        file: its name, for errors.
        best_effort: leave out a word or segment that makes no sense, and put those that
            stand out of order in order, each with a note; else both are errors.

    Raises:
        InputError: it is no such file, or something in it makes no sense.
    """
    reading = _Reading(text, file, [] if best_effort else None)
    entries = _entries(_parsed(reading), reading)
    if any(_is_segment(entry) for entry in entries):
        found = [(entry, _segment(entry, reading)) for entry in entries]
        said = [each for _, each in found if each is not None]
        _in_order([(e, each[0].start) for e, each in found if each is not None], reading)
    else:
        words = [(entry, _word(entry, reading)) for entry in entries]
        _in_order([(e, word.start) for e, word in words if word is not None], reading)
        said = _captions(_sorted([word for _, word in words if word is not None]))
    if not said:
        reading.fail("no word with a time stands in it")
    return Speech.put_in_order(said, reading.told())


def _is_segment(entry: Any) -> bool:
    if not isinstance(entry, _Entry):
        return False
    text = entry.get("text")
    return isinstance(entry.get("words"), list) or (isinstance(text, str) and " " in text.strip())


def _in_order(starts: list[tuple[Any, Decimal | None]], reading: _Reading) -> None:
    """Refuse, or note, what begins before the one above it."""
    last = Decimal(0)
    for entry, start in starts:
        if start is None:
            continue
        if start < last:
            if reading.notes is None:
                reading.fail("this begins before the one above it", entry)
            reading.notes.append(
                "the words do not stand in the order of their times; they were put so"
            )
            return
        last = start


def _parsed(reading: _Reading) -> Any:
    if reading.text.count("{") + reading.text.count("[") > MAX_OBJECTS:
        reading.fail(f"the file has more than {MAX_OBJECTS} objects and lists")
    if reading.text.count(",") > MAX_VALUES:
        reading.fail(f"the file has more than {MAX_VALUES} values")

    def constant(name: str) -> NoReturn:
        raise ValueError(f"{name} is no time")

    try:
        return json.loads(
            reading.text,
            object_pairs_hook=reading.entry,
            parse_float=Decimal,
            parse_int=Decimal,
            parse_constant=constant,
        )
    except json.JSONDecodeError as error:
        raise InputError(
            f"this is no JSON: {error.msg}",
            remedy=_SHAPE,
            file=reading.file,
            line=error.lineno,
            column=error.colno,
        ) from None
    except RecursionError:
        reading.fail("its lists and objects lie too deep in one another")
    except (ValueError, DecimalException) as error:
        reading.fail(f"a number in it cannot be read ({str(error)[:60]})")


def _entries(found: Any, reading: _Reading) -> list[Any]:
    """Return the list of words or segments, whatever holds it."""
    for _ in range(3):
        if isinstance(found, list):
            if len(found) == 1 and isinstance(found[0], list):
                found = found[0]
                continue
            if any(isinstance(each, list) for each in found[:1]):
                break
            return found
        if not isinstance(found, dict):
            break
        held = next((found[key] for key in _LISTS if found.get(key)), None)
        if held is None and any(key in found for key in _LISTS):
            held = []
        found = held
    reading.fail("no list of words or segments stands in it")


def _segment(entry: Any, reading: _Reading) -> tuple[Cue, tuple[SaidWord, ...]] | None:
    """Return a segment with its words, or None if it is to be left out."""
    if not isinstance(entry, _Entry):
        reading.leave_out("something here is neither a word nor a segment", entry)
        return None
    listed = entry.get("words")
    inner = [_inner(each, entry, reading) for each in listed] if isinstance(listed, list) else []
    words = [word for word in inner if word is not None]
    if words:
        span = _span(entry, reading)
    else:
        whole = _word(entry, reading)
        words, span = ([], None) if whole is None else ([whole], (whole.start, whole.end))
    if span is None:
        return None
    parts = tuple(part for word in words for part in _parted(word))
    times = [t for part in parts for t in (part.start, part.end) if t is not None]
    times += [time for time in span if time is not None]
    if not times:
        reading.leave_out("a segment has no time", entry)
        return None
    if sum(len(part.text) for part in parts) > MAX_LETTERS:
        reading.fail(f"a segment has more than {MAX_LETTERS} letters", entry)
    end = max(times)
    if end == min(times):
        end += _SAID * len(parts)
    return Cue(min(times), end, " ".join(part.text for part in parts)), parts


def _inner(found: Any, segment: _Entry, reading: _Reading) -> SaidWord | None:
    if isinstance(found, str):
        plain = " ".join(plain_text(found).split())
        return SaidWord(plain) if plain else None
    return _word(found, reading, segment)


def _parted(word: SaidWord) -> tuple[SaidWord, ...]:
    """Return a word that holds white space as its words: the first begins, the last ends."""
    parts = word.text.split()
    if len(parts) == 1:
        return (word,)
    middle = [SaidWord(part) for part in parts[1:-1]]
    return (SaidWord(parts[0], word.start), *middle, SaidWord(parts[-1], None, word.end))


def _word(entry: Any, reading: _Reading, around: object = None) -> SaidWord | None:
    """Return a word, which may hold white space, or None if it is to be left out."""
    if not isinstance(entry, _Entry):
        reading.leave_out("something here is neither a word nor a segment", around)
        return None
    text = next((entry[key] for key in _TEXT if key in entry), None)
    if not isinstance(text, str):
        reading.leave_out("a word has no text", entry)
        return None
    if len(text) > MAX_LETTERS:
        reading.fail(f"a word or segment has more than {MAX_LETTERS} letters", entry)
    plain = " ".join(plain_text(text).split())
    span = _span(entry, reading)
    return SaidWord(plain, *span) if plain and span is not None else None


def _span(entry: _Entry, reading: _Reading) -> tuple[Decimal | None, Decimal | None] | None:
    """Return start and end as far as they are known, or None if they make no sense."""
    try:
        start, end = _time(entry, _START), _time(entry, _END)
        length = _time(entry, _LENGTH) if end is None else None
    except ValueError as error:
        reading.leave_out(str(error), entry)
        return None
    if start is None:
        return None, None
    if end is None and length is not None:
        end = start + length
    if end is not None and end < start:
        reading.leave_out("a word or segment ends before it begins", entry)
        return None
    return start, end


def _time(entry: _Entry, keys: Sequence[str]) -> Decimal | None:
    """Return a time in seconds with three decimals.

    Raises:
        ValueError: it is none, negative or too large.
    """
    value = next((entry[key] for key in keys if entry.get(key) is not None), None)
    if value is None:
        return None
    if isinstance(value, str) and _NUMBER.fullmatch(value.strip()):
        value = Decimal(value.strip())
    if not isinstance(value, Decimal):
        raise ValueError(f"a time is no number of seconds: {str(value)[:30]!r}")
    if not 0 <= value <= LATEST:
        raise ValueError(f"a time is negative or too large: {str(value)[:30]}")
    return value.quantize(_MS)


def _sorted(words: Sequence[SaidWord]) -> list[SaidWord]:
    """Return words by their starts; one without a time stays behind the one before it."""
    keyed, last = [], Decimal(0)
    for word in words:
        last = last if word.start is None else word.start
        keyed.append((last, word))
    return [word for _, word in sorted(keyed, key=lambda each: each[0])]


def speech_of_words(words: Sequence[SaidWord]) -> Speech:
    """Return words, of which one at least has a time, as captions with their words."""
    return Speech.put_in_order(_captions(_sorted(words)))


def _captions(words: Sequence[SaidWord]) -> list[tuple[Cue, tuple[SaidWord, ...]]]:
    """Return single words as captions, parted at pauses, ends of sentences and by length."""
    groups: list[list[SaidWord]] = []
    letters, until = 0, None
    for word in (part for each in words for part in _parted(each)):
        pause = word.start is not None and until is not None and word.start - until >= _PAUSE
        if not groups or pause or letters > _CAPTION or groups[-1][-1].text[-1] in ".?!":
            groups.append([])
            letters = 0
        groups[-1].append(word)
        letters += len(word.text) + 1
        until = next((t for t in (word.end, word.start, until) if t is not None), None)
    if until is None:
        return []
    made = []
    last = Decimal("0.000")
    for group in groups:
        times = [time for word in group for time in (word.start, word.end) if time is not None]
        start = min(times, default=last)
        last = max([*times, start + _MS])
        made.append((Cue(start, last, " ".join(word.text for word in group)), tuple(group)))
    return made


def words_text(speech: Speech) -> str:
    """Return captions with the times of their words as a text that is read back the same.

    Args:
        speech: captions; words without a time of their own are kept in the caption alone.
    """
    segments = []
    for number, cue in enumerate(speech.cues):
        words = speech.words[number] if speech.words else ()
        timed = [
            {"word": word.text, "start": float(word.start), "end": float(word.end)}
            for word in words
            if word.start is not None and word.end is not None
        ]
        segment = {"start": float(cue.start), "end": float(cue.end), "text": cue.text}
        segments.append(segment | ({"words": timed} if timed else {}))
    return json.dumps({"segments": segments}, ensure_ascii=False, indent=1) + "\n"
