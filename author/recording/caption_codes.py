"""From the bytes of a caption file to its text, in whatever code they were written.

Players and editors of many years left files in UTF-8, UTF-16 and UTF-32 with and without
a byte-order mark, in Windows code pages and in the codes of East Asia. What is not Unicode
is told apart by the letters that follow each other; ``chardet`` knows how often each pair
does in which language.
"""

from __future__ import annotations

import codecs
import re

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


def decoded(data: bytes) -> str | None:
    """Return the text of a file without its byte-order mark, or None if it is no text.

    Args:
        data: the whole file.
    """
    for mark, codec in _MARKS:
        if data.startswith(mark):
            return _strictly(data, codec) or data.decode(codec, errors="replace")
    if b"\0" in data:
        # Every other byte of Western text in UTF-16 is zero; no other text has one.
        texts = (_strictly(data, codec) for codec in _WIDE)
        return next((text for text in texts if text is not None and _TIME.search(text)), None)
    text = _strictly(data, "utf-8")
    if text is not None:
        return text
    text = data.decode("utf-8", errors="replace")
    faults = text.count("\ufffd")
    if _beyond_ascii(text) - faults > _VALID_FOR_EACH_FAULT * faults:
        return text
    return _strictly(data, _code_page(data))


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
