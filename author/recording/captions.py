"""Captions from a file that lies beside a recording, and speech from any file that has times.

WebVTT and SubRip are read here; plain timed text and words as JSON, which are told by
their content, in ``timed_text`` and ``word_times``.

Files from the field are seldom as their format wants them, so this reads what players
show: a time span at the beginning of a line, and the words under it. Times count from the
start of the presentation, as a player shows it; that is where the recording's clock begins
(``author.recording``), so nothing is added.

WebVTT: W3C, sections 4.2 (cue text) and 6 (parsing). SubRip has no standard; what is read
is common practice, no source.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path

from author.errors import InputError
from author.procedure.cues import Cue, plain_text
from author.recording.caption_codes import decoded
from author.recording.said import SaidWord, Speech
from author.recording.timed_text import is_timed_text, read_timed_text
from author.recording.word_times import read_word_times
from author.storage import file_error

MAX_BYTES = 16 * 1024 * 1024
MAX_LINES = 1_000_000
MAX_CUES = 100_000
MAX_LETTERS = 10_000
"""Letters of one caption, markup included; a spoken hour has about 50 000."""
MAX_SAID = 4_000_000
"""Letters of all captions together."""

_SUFFIXES = (".vtt", ".srt", ".VTT", ".SRT")
_KINDS = "Give captions as WebVTT, SubRip, paragraphs headed [1:02] or JSON, or take the file away"
_MS = Decimal("0.001")
_GAP = "[ \t]{0,4}"
_STAMP = (
    rf"(-?)(?:([0-9]{{1,4}}){_GAP}:{_GAP})?([0-9]{{1,3}}){_GAP}:{_GAP}([0-9]{{1,2}})"
    rf"(?:{_GAP}[.,:;]{_GAP}([0-9]{{1,9}}))?"
)
_SPAN = re.compile(rf"{_STAMP}{_GAP}-{{2,3}} ?>{_GAP}{_STAMP}(?![0-9])")
# Meant as a time span, and damaged: a digit first, a colon, no space before the arrow's.
_DAMAGED_SPAN = re.compile(r"-?[0-9][0-9A-Za-z]{0,23}:[^ \t<>]{1,24}[ \t]*-->")
# Elements of WebVTT, those of HTML that are met in SubRip, and times inside a caption.
# Any other "<" is a sign the speaker's words need, as in "< 0.05 mm".
_TAG = re.compile(
    r"</?(?:c|i|b|u|s|v|lang|ruby|rt|font|span|em|strong|strike|p|div|sub|sup)(?:[ \t./][^<>]*)?>"
    r"|<[0-9]{1,4}:[0-9:.]{2,20}>|</>",
    re.IGNORECASE,
)
_BREAK = re.compile(r"<br ?/?>", re.IGNORECASE)
# Positions and styles as subtitle editors leave them in SubRip.
_OVERRIDE = re.compile(r"\{\\[^{}]*\}")
_INNER_TIME = re.compile(r"<((?:[0-9]{1,4}:)?[0-9]{1,3}:[0-9]{2}\.[0-9]{1,9})>")
_HERE = "\ue000"  # stands where a time inside a caption stood; no letter, no white space
_COUNTER = re.compile(r"[ \t]*[0-9]+[ \t]*")


@dataclass(frozen=True, slots=True)
class _Span:
    """A time span and the index of its line, from 0; without times if it is damaged."""

    line: int
    start: Decimal | None
    end: Decimal


def find_captions(film: Path) -> Path | None:
    """Return the caption file beside a recording: same name, WebVTT before SubRip.

    Args:
        film: the recording, ``saw.mp4`` for captions in ``saw.vtt`` or ``saw.srt``.

    Raises:
        InputError: the folder cannot be looked into.
        MachineError: the machine fails.
    """
    for suffix in _SUFFIXES:
        path = film.with_suffix(suffix)
        try:
            if path.is_file():
                return path
        except OSError as error:
            raise file_error(error, path) from error
    return None


def captions_beside(film: Path) -> tuple[Cue, ...]:
    """Return the captions in the file that lies beside a film, none if none does.

    Raises:
        InputError, MachineError: as ``read_captions``.
    """
    file = find_captions(film)
    return () if file is None else read_captions(file)


def read_captions(path: Path) -> tuple[Cue, ...]:
    """Read the captions in a file; see ``read_speech``.

    Args:
        path: the file; what it is is told by its content.

    Returns:
        The captions by their start, in seconds with three decimals on the recording's
        clock, plain: tags removed, character references decoded once.

    Raises:
        InputError: it is no such file, too large, or a time span in it is damaged.
        MachineError: it cannot be read.
    """
    return read_speech(path).cues


def read_speech(path: Path, *, best_effort: bool = False) -> Speech:
    """Read WebVTT, SubRip, plain timed text or words with times as JSON.

    Captions that could never be seen are left out: without words, or that end when or
    before they begin. Those that overlap are kept.

    Args:
        path: the file; what it is is told by its content.
        best_effort: leave out what is damaged, with a note, instead of refusing the file.

    Returns:
        The captions, the words in them where the file tells the time of any, and the notes.

    Raises:
        InputError: it is no such file, too large, or damaged.
        MachineError: it cannot be read.
    """
    try:
        with path.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except OSError as error:
        raise file_error(error, path) from error
    speech = parse_speech(data, path, best_effort=best_effort)
    if sum(len(cue.text) for cue in speech.cues) > MAX_SAID:
        raise InputError(
            f"its captions have more than {MAX_SAID} letters",
            remedy="Give captions for one recording only",
            file=path,
            line=1,
        )
    if best_effort and not speech.cues:
        raise InputError("no words with a time stand in it", remedy=_KINDS, file=path, line=1)
    return speech


def parse_speech(data: bytes, file: Path, *, best_effort: bool = False) -> Speech:
    """Read the bytes of a caption file; see ``read_speech``.

    Args:
        data: the whole file.
        file: its name, for errors.
        best_effort: as ``read_speech``.

    Raises:
        InputError: it is no such file, too large, or a time span in it is damaged.
    """
    if len(data) > MAX_BYTES:
        raise InputError(
            f"the file is larger than {MAX_BYTES // 1024 // 1024} MB, so it holds no captions",
            remedy=_KINDS,
            file=file,
            line=1,
        )
    found = decoded(data)
    if found is None:
        raise InputError(
            "this is no text in any code that is known",
            remedy="Save the captions as UTF-8, or take the file away",
            file=file,
            line=1,
        )
    text = found.text
    lines = _lines(text, file)
    speech = _speech(text, lines, file, best_effort=best_effort)
    return replace(speech, notes=(*found.notes(lines), *speech.notes))


def _speech(text: str, lines: Sequence[str], file: Path, *, best_effort: bool) -> Speech:
    """Read a text as what it is by its content."""
    notes: list[str] | None = [] if best_effort else None
    headed = text.lstrip().startswith("WEBVTT")
    json = text.lstrip().startswith(("{", "[")) and not is_timed_text(lines[:100])
    if json and not headed:
        return read_word_times(text, file, best_effort=best_effort)
    spans = list(_spans(lines, file, notes))
    if not spans and not headed and text.strip():
        if is_timed_text(lines):
            return read_timed_text(lines, file, best_effort=best_effort)
        raise InputError(
            "no time span such as 00:01:02.500 --> 00:01:04.000 stands in it, and no [1:02]",
            remedy=_KINDS,
            file=file,
            line=1,
        )
    webvtt = headed or file.suffix.lower() == ".vtt"
    return _shown(lines, spans, file, webvtt=webvtt, notes=notes)


def _shown(
    lines: Sequence[str],
    spans: Sequence[_Span],
    file: Path,
    *,
    webvtt: bool,
    notes: list[str] | None,
) -> Speech:
    said = []
    stops = (*(span.line for span in spans[1:]), len(lines))
    for span, stop in zip(spans, stops, strict=False):
        if span.start is None:
            continue
        marked = _marked(lines, span.line + 1, stop, file, webvtt=webvtt)
        words = _plain(marked)
        start = max(span.start, Decimal("0.000"))
        if words and start < span.end:
            cue = Cue(start, span.end, words)
            said.append((cue, _timed(cue, marked)))
        elif words and notes is not None:
            notes.append(f"line {span.line + 1}: a caption ends before it begins and is left out")
    starts = [cue.start for cue, _ in said]
    if notes is not None and starts != sorted(starts):
        notes.append("the captions do not stand in the order of their times; they were put so")
    return Speech.put_in_order(said, notes or ())


def _lines(text: str, file: Path) -> list[str]:
    if "\r" in text:
        if text.count("\r\r\n") == text.count("\n"):
            text = text.replace("\r\r\n", "\n")  # written twice as text for Windows
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    if text.count("\n") > MAX_LINES:
        raise InputError(
            f"the file has more than {MAX_LINES} lines",
            remedy="Give captions as WebVTT or SubRip, or take the file away",
            file=file,
            line=MAX_LINES,
        )
    return text.split("\n")


def _spans(lines: Sequence[str], file: Path, notes: list[str] | None) -> Iterator[_Span]:
    """Yield the time spans; the damaged are noted, or refused where there are no notes."""
    count = 0
    for index, line in enumerate(lines):
        if ">" not in line:
            continue
        words = line.strip(" \t")
        found = _SPAN.match(words)
        if found is not None:
            count += 1
            if count > MAX_CUES:
                raise InputError(
                    f"the file has more than {MAX_CUES} captions",
                    remedy="Give captions for one recording only",
                    file=file,
                    line=index + 1,
                )
            yield _Span(index, _time(*found.groups()[:5]), _time(*found.groups()[5:]))
        elif _DAMAGED_SPAN.match(words):
            problem = f"the time span {words[:60]!r} cannot be read"
            if notes is not None:
                notes.append(f"line {index + 1}: {problem}; its caption is left out")
                yield _Span(index, None, Decimal(0))
                continue
            raise InputError(
                problem,
                remedy="Write it as 00:01:02.500 --> 00:01:04.000, or take the caption out",
                file=file,
                line=index + 1,
            )


def _time(
    sign: str | None, hours: str | None, minutes: str, seconds: str, part: str | None
) -> Decimal:
    """Return seconds with three decimals; digits after the point are a decimal fraction."""
    whole = int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds)
    value = Decimal(f"{whole}.{part or 0}").quantize(_MS)
    return -value if sign else value


def _marked(lines: Sequence[str], first: int, stop: int, file: Path, *, webvtt: bool) -> str:
    """Return the words of a caption as the file has them.

    Args:
        lines: the whole file.
        first: index of the line under the time span.
        stop: index of the line of the next time span.
        file: for errors.
        webvtt: whether an empty line ends the caption; in SubRip the next time span does.
    """
    if webvtt and "" in lines[first:stop]:
        stop = lines.index("", first, stop)
    elif stop < len(lines) and stop > first and _COUNTER.fullmatch(lines[stop - 1]):
        stop -= 1  # the number of the caption that follows
    if sum(len(line) for line in lines[first:stop]) > MAX_LETTERS:
        raise InputError(
            f"a caption has more than {MAX_LETTERS} letters",
            remedy="Look for a time span that is missing below this line",
            file=file,
            line=first,
        )
    marked = "\n".join(lines[first:stop])
    return marked if webvtt else _OVERRIDE.sub("", marked)


def _plain(marked: str) -> str:
    if "<" in marked:
        marked = _TAG.sub("", _BREAK.sub("\n", marked))
    return plain_text(html.unescape(marked))


def _timed(cue: Cue, marked: str) -> tuple[SaidWord, ...]:
    """Return the words of a caption with the times that stand inside it (WebVTT, 4.2.2).

    Returns:
        The words, or nothing where no time stands inside.
    """
    times = [_time(None, *_parts(stamp)) for stamp in _INNER_TIME.findall(marked)]
    if not times:
        return ()
    plain = cue.text.split()
    starts: list[Decimal | None] = [None] * len(plain)
    if _HERE not in marked:
        words = _plain(_INNER_TIME.sub(_HERE, marked)).split()
        number, waiting = 0, None
        coming = iter(times)
        for word in words:
            bare = word.strip(_HERE)
            before = len(word) - len(word.lstrip(_HERE))
            for _ in range(before):
                waiting = next(coming, None)
            if not bare:
                continue
            if number < len(plain) and plain[number] == bare.replace(_HERE, ""):
                starts[number] = waiting
            number, waiting = number + 1, None
            for _ in range(word.count(_HERE) - before):
                waiting = next(coming, None)
    last = cue.start
    for number, start in enumerate(starts):
        if start is None or not last <= start <= cue.end:
            starts[number] = None
        else:
            last = start
    return tuple(SaidWord(word, start) for word, start in zip(plain, starts, strict=True))


def _parts(stamp: str) -> tuple[str | None, str, str, str]:
    whole, _, part = stamp.partition(".")
    *hours, minutes, seconds = whole.split(":")
    return (hours[0] if hours else None, minutes, seconds, part)
