"""From the bytes of a caption file to its text, in whatever code they were written.

Players and editors of many years left files in UTF-8, UTF-16 and UTF-32 with and without
a byte-order mark, in Windows code pages and in the codes of East Asia. What is not Unicode
is told apart by the letters that follow each other; ``chardet`` knows how often each pair
does in which language. What was guessed, and where letters are lost, is told in notes.
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Sequence
from dataclasses import dataclass

_MARKS = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
# A time, or the name of one in JSON: no text of captions is without.
_TIME = re.compile(r'-->|[0-9]:[0-9]{2}|"start')
_WIDE = ("utf-32-le", "utf-32-be", "utf-16-le", "utf-16-be")
# Supersets stand for the codes inside them: GB 18030 for GB 2312, CP949 for EUC-KR.
_LATIN_OR_ASIAN = (
    *(f"cp{number}" for number in (1250, 1252, 1254, 1257, 1258)),
    *("mac-roman", "gb18030", "big5hkscs", "cp932", "euc_jis_2004", "cp949"),
)
_OTHER_ALPHABETS = ("cp874", "cp1251", "cp1253", "cp1255", "cp1256", "koi8-r", "koi8-u")
_SAMPLE_BYTES = 65_536
_HIGH = re.compile(b"[\x80-\xff]+")
# Signs of print and measure in Windows-1252: … ' ' " " • – — € £ © ® ° ± ² ³ µ · º ¼ ½ ¾ Ø × ÷
# and the space that does not break. No letters, so nothing tells a language by them.
_SIGNS = frozenset(b"\x80\x85\x91\x92\x93\x94\x95\x96\x97\xa0\xa3\xa9\xae") | frozenset(
    b"\xb0\xb1\xb2\xb3\xb5\xb7\xba\xbc\xbd\xbe\xd7\xd8\xf7"
)
# Valid UTF-8 by chance is rare; a damaged UTF-8 file is mostly valid.
_VALID_FOR_EACH_FAULT = 4
_MOST_ZEROS = 10  # one byte in so many: a text some of which was lost; other files have more
_LOST = "\ufffd"
_NAMES = {
    "mac-roman": "Mac Roman", "gb18030": "GB 18030", "big5hkscs": "Big5", "cp932": "Shift JIS",
    "euc-jis-2004": "EUC-JP", "cp949": "EUC-KR",
}  # fmt: skip
_LINES_TOLD = 5
_LETTERS_TOLD = 40


@dataclass(frozen=True, slots=True)
class Decoded:
    """The text of a caption file.

    Attributes:
        text: what stands in it, without its byte-order mark; what cannot be read is U+FFFD.
        guessed: the code it was taken to be in, if the file does not show that surely.
    """

    text: str
    guessed: str | None = None

    def notes(self, lines: Sequence[str]) -> list[str]:
        """Return what has to be looked at, one sentence each.

        Args:
            lines: the text parted into lines.
        """
        told = []
        if self.guessed is not None:
            told.append(_guess_told(self.guessed, lines))
        lost = [number for number, line in enumerate(lines, 1) if _LOST in line]
        if lost:
            more = f" and {len(lost) - _LINES_TOLD} more" if len(lost) > _LINES_TOLD else ""
            where = ", ".join(map(str, lost[:_LINES_TOLD]))
            told.append(
                f"line{'s' if len(lost) > 1 else ''} {where}{more}: bytes are damaged there, and "
                f"'{_LOST}' stands for what is lost; write it again and save the file as UTF-8"
            )
        return told


def decoded(data: bytes) -> Decoded | None:
    """Return the text of a file, or None if it is no text.

    Args:
        data: the whole file.
    """
    for mark, codec in _MARKS:
        if data.startswith(mark):
            return Decoded(_strictly(data, codec) or data.decode(codec, errors="replace"))
    if b"\0" in data:
        # Every other byte of Western text in UTF-16 is zero; no other text has one.
        for codec in _WIDE:
            text = _strictly(data, codec)
            if text is not None and _TIME.search(text):
                return Decoded(text, codec)
        if data.count(b"\0") * _MOST_ZEROS > len(data) or not _TIME.search(data.decode("latin-1")):
            return None
    text = _strictly(data, "utf-8")
    if text is None:
        text = _damaged_utf_8(data)
    if text is not None:
        return Decoded(text.replace("\0", _LOST))
    code = _code_page(data)
    text = _strictly(data, code)
    return None if text is None else Decoded(text.replace("\0", _LOST), code)


def _damaged_utf_8(data: bytes) -> str | None:
    """Return the text of UTF-8 in which some bytes are damaged, or None if it is none.

    In a code page a letter beyond ASCII stands alone or among its like; that all that stand
    together make valid UTF-8 is a chance there, and in UTF-8 the rule.
    """
    text = data.decode("utf-8", errors="replace")
    faults = text.count(_LOST)
    if _beyond_ascii(text) - faults > _VALID_FOR_EACH_FAULT * faults:
        return text
    runs = _HIGH.findall(data)
    valid = sum(_strictly(run, "utf-8") is not None for run in runs)
    return text if 2 * valid >= len(runs) else None


def _guess_told(code: str, lines: Sequence[str]) -> str:
    number, line = next(
        ((number, line) for number, line in enumerate(lines, 1) if not line.isascii()),
        (1, lines[0]),
    )
    at = next((n for n, letter in enumerate(line) if not letter.isascii()), 0)
    begin = line.rfind(" ", 0, max(0, at - _LETTERS_TOLD // 2)) + 1
    shown = line[begin : begin + 2 * _LETTERS_TOLD].strip()
    return (
        f"line {number}: the file is not UTF-8 and was taken for {_called(code)}, which is a "
        f"guess; so it reads {shown!r}; where a letter is wrong, put it right and save the file "
        "as UTF-8"
    )


def _called(code: str) -> str:
    """Return what people call a codec."""
    plain = code.lower().replace("_", "-")
    number = plain.removeprefix("cp")
    return _NAMES.get(plain) or (f"Windows-{number}" if number.isdigit() else plain.upper())


def _strictly(data: bytes, codec: str | None) -> str | None:
    if codec is None:
        return None
    try:
        return data.decode(codec)
    except UnicodeDecodeError:
        return None


def _beyond_ascii(text: str) -> int:
    return len(text) - len(text.encode("ascii", errors="ignore"))


def _code_page(data: bytes) -> str | None:
    """Return the codec of a text that is not Unicode, or None if none fits."""
    lines = [line for line in re.split(rb"[\r\n]+", data) if not line.isascii()]
    sample = b"\n".join(lines)[:_SAMPLE_BYTES]
    runs = _HIGH.findall(sample)
    if all(len(run) == 1 and run[0] in _SIGNS for run in runs):
        return "cp1252"
    # Words of another alphabet are longer than two letters.
    others = _OTHER_ALPHABETS if any(len(run) > 2 for run in runs) else ()
    import chardet  # a tenth of a second, and most files are Unicode

    found = chardet.detect(
        sample,
        prefer_superset=True,
        compat_names=False,
        include_encodings=(*_LATIN_OR_ASIAN, *others),
    )
    return found["encoding"]
