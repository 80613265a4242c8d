"""From the bytes of a file to the text a YAML parser is given."""

from __future__ import annotations

import re

from author.errors import InputError

MAX_BYTES = 32 * 1024 * 1024

# Not printable by YAML 1.2.2, section 5.1; and the three line separators that YAML 1.1
# and 1.2 read differently.
_REFUSED = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]")
_UTF_32 = {b"\xff\xfe\x00\x00", b"\x00\x00\xfe\xff"}
_UTF_16 = {b"\xff\xfe", b"\xfe\xff"}


# JSON writes a character beyond U+FFFF as two escapes (RFC 8259, section 7), YAML as one.
_PAIR = re.compile(
    r"(?<!\\)(?P<before>(?:\\\\)*)\\u(?P<high>[dD][89abAB][0-9a-fA-F]{2})"
    r"\\u(?P<low>[dD][c-fC-F][0-9a-fA-F]{2})"
)


def _as_one(pair: re.Match[str]) -> str:
    high, low = int(pair["high"], 16), int(pair["low"], 16)
    return f"{pair['before']}\\U{0x10000 + ((high - 0xD800) << 10) + low - 0xDC00:08X}"


def decoded(data: bytes, file: str) -> str:
    r"""Return the text of a file, its lines ended by ``\n`` alone, the last one as well.

    A line end inside a value means the same however it is written (YAML 1.2.2, section
    5.4), and a text block keeps its last line end only where there is one.

    Args:
        data: the file's bytes, UTF-8 or UTF-16 with a byte-order mark.
        file: its name, for errors.

    Raises:
        InputError: if it is larger than ``MAX_BYTES``, not such text, or holds a
            character that has no place in a text.
    """
    if len(data) > MAX_BYTES:
        raise InputError(
            f"the file is larger than {MAX_BYTES // 1024 // 1024} MB",
            remedy="This is no procedure, or it has to be split",
            file=file,
        )
    text = _text(data, file)
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    if text.lstrip().startswith(("{", "[")) and "\\u" in text:
        text = _PAIR.sub(_as_one, text)
    found = _REFUSED.search(text)
    if found is not None:
        line, column = place_at(text, found.start())
        raise InputError(
            f"a control character (U+{ord(found[0]):04X}) stands in the text",
            remedy="Take it out",
            file=file,
            line=line,
            column=column,
        )
    return text if text.endswith("\n") else text + "\n"


def place_at(text: str, offset: int) -> tuple[int, int]:
    """Return line and column, from 1, of a character of a decoded text."""
    return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)


def _text(data: bytes, file: str) -> str:
    other = _other_kind(data)
    if other is not None:
        raise InputError(
            f"this is {other}, no text in YAML",
            remedy="Name the file that belongs here, such as the procedure.yaml of a folder",
            file=file,
        )
    encoding, name = _encoding(data)
    if encoding is None:
        raise InputError(
            f"the text is {name}", remedy="Save it as UTF-8", file=file, line=1, column=1
        )
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        before = data[: error.start].decode(encoding, errors="ignore")
        raise InputError(
            f"the text is not {name}",
            remedy="Save it as UTF-8",
            file=file,
            line=place_at(before.replace("\r\n", "\n").replace("\r", "\n"), len(before))[0],
        ) from None


def _other_kind(data: bytes) -> str | None:
    """Return what a file is that tells by its first bytes that it is no text."""
    if data[4:8] in {b"ftyp", b"moov", b"mdat"}:
        return "a film (MP4 or QuickTime)"
    if data[:4] == b"RIFF" and data[8:12] in {b"AVI ", b"WAVE"}:
        return "a film (AVI)" if data[8:11] == b"AVI" else "a sound (WAV)"
    known = {
        b"\x1a\x45\xdf\xa3": "a film (Matroska or WebM)",
        b"%PDF-": "a PDF",
        b"\x89PNG": "a picture (PNG)",
        b"\xff\xd8\xff": "a picture (JPEG)",
        b"PK\x03\x04": "a ZIP archive",
    }
    return next((name for begin, name in known.items() if data.startswith(begin)), None)


def _encoding(data: bytes) -> tuple[str | None, str]:
    """Return a codec and its name; no codec where a mark is missing or it is not read.

    The first character of a file is one of ASCII or a mark, so that a zero byte beside
    it tells a wider code (YAML 1.2.2, section 5.2).
    """
    if data[:4] in _UTF_32 or (data[:3] == b"\x00\x00\x00" and any(data[3:4])):
        return None, "UTF-32"
    if data[:2] in _UTF_16:
        return "utf-16", "whole UTF-16"
    if len(data) > 1 and (data[0] == 0) != (data[1] == 0):
        return None, "UTF-16 without its byte-order mark"
    return "utf-8-sig", "UTF-8"
