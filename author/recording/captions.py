"""Captions from a file that lies beside a recording: WebVTT or SubRip.

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
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from author.errors import InputError
from author.procedure.cues import Cue, plain_text
from author.recording.caption_codes import decoded
from author.storage import file_error

MAX_BYTES = 16 * 1024 * 1024
MAX_LINES = 1_000_000
MAX_CUES = 100_000
MAX_LETTERS = 10_000
"""Letters of one caption, markup included; a spoken hour has about 50 000."""

_SUFFIXES = (".vtt", ".srt", ".VTT", ".SRT")
_MS = Decimal("0.001")
_GAP = "[ \t]{0,4}"
_STAMP = (
    rf"(-?)(?:([0-9]{{1,4}}){_GAP}:{_GAP})?([0-9]{{1,3}}){_GAP}:{_GAP}([0-9]{{1,2}})"
    rf"(?:{_GAP}[.,:;]{_GAP}([0-9]{{1,9}}))?"
)
_SPAN = re.compile(rf"{_STAMP}{_GAP}-{{2,3}} ?>{_GAP}{_STAMP}(?![0-9])")
# Meant as a time span, and damaged: a digit first, a colon, no space before the arrow's.
_DAMAGED_SPAN = re.compile(r"-?[0-9][0-9A-Za-z]{0,3}:[^ \t<>]{1,24}[ \t]*-->")
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
_COUNTER = re.compile(r"[ \t]*[0-9]+[ \t]*")


@dataclass(frozen=True, slots=True)
class _Span:
    """A time span and the index of its line, from 0."""

    line: int
    start: Decimal
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


def read_captions(path: Path) -> tuple[Cue, ...]:
    """Read a WebVTT or SubRip file.

    Captions that could never be seen are left out: without words, or that end when or
    before they begin. Those that overlap are kept.

    Args:
        path: the file; what it is is told by its content.

    Returns:
        The captions by their start, in seconds with three decimals on the recording's
        clock, plain: tags removed, character references decoded once.

    Raises:
        InputError: it is no such file, too large, or a time span in it is damaged.
        MachineError: it cannot be read.
    """
    try:
        with path.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except OSError as error:
        raise file_error(error, path) from error
    return parse_captions(data, path)


def parse_captions(data: bytes, file: Path) -> tuple[Cue, ...]:
    """Read the bytes of a WebVTT or SubRip file; see ``read_captions``.

    Args:
        data: the whole file.
        file: its name, for errors.
    """
    if len(data) > MAX_BYTES:
        raise InputError(
            f"the file is larger than {MAX_BYTES // 1024 // 1024} MB, so it holds no captions",
            remedy="Give captions as WebVTT or SubRip, or take the file away",
            file=file,
            line=1,
        )
    text = decoded(data)
    if text is None:
        raise InputError(
            "this is no text in any code that is known",
            remedy="Save the captions as UTF-8, or take the file away",
            file=file,
            line=1,
        )
    lines = _lines(text, file)
    headed = text.lstrip().startswith("WEBVTT")
    webvtt = headed or file.suffix.lower() == ".vtt"
    spans = list(_spans(lines, file))
    if not spans and not headed and text.strip():
        raise InputError(
            "no time span such as 00:01:02.500 --> 00:01:04.000 stands in it",
            remedy="Save the captions as WebVTT or SubRip, or take the file away",
            file=file,
            line=1,
        )
    cues = []
    stops = (*(span.line for span in spans[1:]), len(lines))
    for span, stop in zip(spans, stops, strict=False):
        words = _words(lines, span.line + 1, stop, file, webvtt=webvtt)
        start = max(span.start, Decimal("0.000"))
        if words and start < span.end:
            cues.append(Cue(start, span.end, words))
    return tuple(sorted(cues, key=lambda cue: cue.start))


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


def _spans(lines: Sequence[str], file: Path) -> Iterator[_Span]:
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
            raise InputError(
                f"the time span {words[:60]!r} cannot be read",
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


def _words(lines: Sequence[str], first: int, stop: int, file: Path, *, webvtt: bool) -> str:
    """Return the plain words of a caption.

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
    if not webvtt:
        marked = _OVERRIDE.sub("", marked)
    marked = _TAG.sub("", _BREAK.sub("\n", marked))
    return plain_text(html.unescape(marked))
