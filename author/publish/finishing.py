"""What is done to a PDF after its pages are set: the stills put in, the rest packed.

The typesetter would unpack every still to bare pixels only to learn its size, 2.8 MB for
1280 × 720. It is given a picture of one pixel in place of each, and the coded still is put
in afterwards, byte for byte. Structure and bookmarks, a tenth of a long PDF, are packed
into object streams (ISO 32000-1, 7.5.7; PDF/A-2 and later allow them).
"""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Sequence

_MOST = 1 << 24
_FRAMES = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})


def stand_in(number: int) -> bytes:
    """Return a PNG of one pixel whose colour is a number from 0 to 2**24 - 1.

    Raises:
        ValueError: if the number is no colour.
    """
    if not 0 <= number < _MOST:
        msg = f"{number} is no colour"
        raise ValueError(msg)
    head = struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0)
    pixel = zlib.compress(b"\0" + number.to_bytes(3, "big"), 9)
    chunks = ((b"IHDR", head), (b"IDAT", pixel), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in chunks
    )


def jpeg_size(jpeg: bytes) -> tuple[int, int]:
    """Return width and height of a colour JPEG (ITU-T T.81, B.2.2).

    Raises:
        ValueError: if it is no JPEG of three components of eight bits.
    """
    at = 2
    while jpeg[:2] == b"\xff\xd8" and at + 10 <= len(jpeg) and jpeg[at] == 0xFF:
        marker, length = jpeg[at + 1], int.from_bytes(jpeg[at + 2 : at + 4], "big")
        if marker in _FRAMES:
            bits, height, width, components = struct.unpack_from(">BHHB", jpeg, at + 4)
            if (bits, components) == (8, 3):
                return width, height
            break
        at += 2 + length
    msg = "a still has to be a JPEG of three components of eight bits"
    raise ValueError(msg)


def finished(pdf: bytes, jpegs: Sequence[bytes]) -> bytes:
    """Return a PDF with each stand-in replaced by a still, packed.

    Args:
        pdf: what was set.
        jpegs: colour JPEGs; each goes where the stand-in with its number is.

    Returns:
        The same bytes for the same input.
    """
    import pikepdf

    packed = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        for entry in opened.objects if jpegs else ():
            if isinstance(entry, pikepdf.Stream) and entry.get("/Subtype") == "/Image":
                jpeg = jpegs[int.from_bytes(entry.read_bytes(), "big")]
                entry.Width, entry.Height = jpeg_size(jpeg)
                entry.BitsPerComponent = 8
                entry.write(jpeg, filter=pikepdf.Name.DCTDecode)
        opened.save(
            packed,
            object_stream_mode=pikepdf.ObjectStreamMode.generate,
            deterministic_id=True,
        )
    return packed.getvalue()
