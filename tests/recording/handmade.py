"""Films that no encoder here writes: H.264 field pairs, huge pictures of few bytes, edit lists.

The coding is that of ITU-T H.264: every macroblock is either I_PCM (its samples as they
are, 7.3.5.1), intra predicted from nothing, or skipped (7.3.4).
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

from . import films

IDR, PLAIN, SPS, PPS = 5, 1, 7, 8
P_SLICE, I_SLICE = 0, 2
I_PCM, I_16X16_DC = 25, 3  # mb_type in an I slice, tables 7-11; 5 more in a P slice


class Bits:
    """Writes the descriptors of clause 7.2 and 9.1."""

    def __init__(self) -> None:
        self._text: list[str] = []
        self._length = 0

    def u(self, value: int, width: int = 1) -> Bits:
        return self._add(f"{value:0{width}b}")

    def ue(self, value: int) -> Bits:
        code = f"{value + 1:b}"
        return self._add("0" * (len(code) - 1) + code)

    def aligned(self, data: bytes) -> Bits:
        self._add("0" * (-self._length % 8))
        return self._add("".join(f"{byte:08b}" for byte in data))

    def repeat(self, pattern: str, times: int) -> Bits:
        return self._add(pattern * times)

    def nal(self, kind: int, importance: int = 3) -> bytes:
        """Return the NAL unit with its start code, stop bit and emulation prevention."""
        text = "".join(self._text) + "1"
        text += "0" * (-len(text) % 8)
        body = int(text, 2).to_bytes(len(text) // 8, "big")
        out = bytearray((0, 0, 0, 1, importance << 5 | kind))
        zeros = 0
        for byte in body:
            if zeros >= 2 and byte <= 3:
                out.append(3)
                zeros = 0
            out.append(byte)
            zeros = zeros + 1 if byte == 0 else 0
        return bytes(out)

    def _add(self, text: str) -> Bits:
        self._text.append(text)
        self._length += len(text)
        return self


def _parameters(width: int, height: int, fields: bool, level: int) -> bytes:
    rows = height // 32 if fields else height // 16
    sps = Bits().u(77, 8).u(0, 8).u(level, 8).ue(0).ue(4).ue(0).ue(4).ue(1).u(0)
    sps.ue(width // 16 - 1).ue(rows - 1).u(not fields)
    if fields:
        sps.u(0)  # no macroblock-adaptive switching: whole pictures are fields
    sps.u(1).u(0).u(0)
    pps = Bits().ue(0).ue(0).u(0).u(0).ue(0).ue(0).ue(0).u(0).u(0, 2).ue(0).ue(0).ue(0)
    return sps.nal(SPS) + pps.u(1).u(0).u(0).nal(PPS)


def _header(kind: int, number: int, *, key: bool, order: int, field: int | None) -> Bits:
    """Begin a slice that is a whole picture."""
    bits = Bits().ue(0).ue(kind).ue(0).u(number % 256, 8)
    if field is not None:
        bits.u(1).u(field)
    if key:
        bits.ue(0)
    bits.u(order % 256, 8)
    if kind == P_SLICE:
        bits.u(0).u(0)
    bits.u(0)
    if key:
        bits.u(0)
    return bits.ue(0).ue(1)  # as fine as it gets, no deblocking


def _field(number: int, since_key: int, parity: int, size: tuple[int, int]) -> bytes:
    """Code one field: all of it in the first frame of a group, else only its upper half."""
    width, height = size
    picture = av.VideoFrame.from_ndarray(films.draw(number, width, height), format="rgb24")
    planes = picture.reformat(format="yuv420p").to_ndarray()
    luma = planes[:height][parity::2]
    chroma = [
        planes[height + at : height + at + height // 4].reshape(height // 2, width // 2)[parity::2]
        for at in (0, height // 4)
    ]
    whole = since_key == 0
    key = whole and parity == 0
    slice_kind = I_SLICE if whole else P_SLICE
    order = 2 * since_key + parity
    bits = _header(slice_kind, since_key, key=key, order=order, field=parity)
    across, down = width // 16, height // 32
    for at in range(across * down if whole else across * (down // 2)):
        row, column = divmod(at, across)
        if not whole:
            bits.ue(0)  # none skipped before this one
        bits.ue(I_PCM if whole else I_PCM + 5)
        block = [luma[row * 16 : row * 16 + 16, column * 16 : column * 16 + 16]]
        block += [each[row * 8 : row * 8 + 8, column * 8 : column * 8 + 8] for each in chroma]
        bits.aligned(b"".join(np.ascontiguousarray(each).tobytes() for each in block))
    if not whole:
        bits.ue(across * (down - down // 2))
    return bits.nal(IDR if key else PLAIN)


def field_pairs(path: Path, count: int, *, group: int = 12) -> Path:
    """Write H.264 whose every picture is a field, two packets to a frame (PAFF), 25 frames/s.

    Only the first frame of each group is whole; the lower half of the others is that
    of the frame before.
    """
    size = (96, 64)
    head = _parameters(*size, fields=True, level=30)
    coded = []
    for number in range(count):
        since = number % group
        for parity in (0, 1):
            start = head if since == 0 and parity == 0 else b""
            unit = start + _field(number, since, parity, size)
            coded.append((unit, 2 * number + parity, since == 0 and parity == 0))
    return _mux(path, coded, Fraction(1, 50), size)


def huge(path: Path, count: int, size: tuple[int, int] = (7680, 4320)) -> Path:
    """Write ``count`` grey pictures of this size, each but the first a dozen bytes."""
    width, height = size
    blocks = (width // 16) * (height // 16)
    head = _parameters(width, height, fields=False, level=62)
    first = _header(I_SLICE, 0, key=True, order=0, field=None)
    one = Bits().ue(I_16X16_DC).ue(0).ue(0)
    first.repeat("".join(one._text), blocks)

    def coded() -> Iterator[tuple[bytes, int, bool]]:
        yield head + first.nal(IDR), 0, True
        for number in range(1, count):
            bits = _header(P_SLICE, number, key=False, order=2 * number, field=None)
            yield bits.ue(blocks).nal(PLAIN), number, False

    return _mux(path, coded(), Fraction(1, 30), size)


def _mux(path: Path, coded, base: Fraction, size: tuple[int, int]) -> Path:
    with av.open(str(path), "w") as film:
        stream = film.add_mux_stream("h264", rate=1 / base, width=size[0], height=size[1])
        stream.time_base = base
        for data, tick, key in coded:
            packet = av.Packet(data)
            packet.stream, packet.time_base = stream, base
            packet.pts = packet.dts = tick
            packet.duration = 1
            packet.is_keyframe = key
            film.mux(packet)
    return path


def box(kind: bytes, *parts: bytes) -> bytes:
    """Return a box of the ISO base media file format (ISO/IEC 14496-12, 4.2)."""
    body = b"".join(parts)
    return struct.pack(">I", 8 + len(body)) + kind + body


def boxes(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Yield kind and content of each box."""
    at = 0
    while at + 8 <= len(data):
        size, kind = struct.unpack_from(">I4s", data, at)
        yield kind, data[at + 8 : at + size]
        at += size


def with_edits(path: Path, edits: Sequence[tuple[Fraction, Fraction | None]]) -> Path:
    """Give the picture track of an MP4 whose list of frames stands last another edit list.

    Args:
        path: the film, changed in place.
        edits: length of each edit, and where in the media it begins, both in seconds;
            None for an empty edit (14496-12, 8.6.6).
    """
    data = path.read_bytes()
    at = data.rindex(b"moov") - 4
    assert at + struct.unpack_from(">I", data, at)[0] == len(data)
    parts = list(boxes(data[at + 8 :]))
    head = bytearray(dict(parts)[b"mvhd"])
    clock, length = struct.unpack_from(">II", head, 12)
    total = round(sum(each for each, _ in edits) * clock)
    struct.pack_into(">I", head, 16, max(length, total))
    out = []
    for kind, content in parts:
        if kind == b"mvhd":
            out.append(box(kind, bytes(head)))
        elif kind == b"trak" and b"vide" in content[:600]:
            out.append(box(kind, _edited(content, edits, clock)))
        else:
            out.append(box(kind, content))
    path.write_bytes(data[:at] + box(b"moov", *out))
    return path


def _edited(track: bytes, edits: Sequence[tuple[Fraction, Fraction | None]], clock: int) -> bytes:
    """Return the content of a track box with this edit list."""
    parts = [each for each in boxes(track) if each[0] != b"edts"]
    media = dict(boxes(dict(parts)[b"mdia"]))
    rate = struct.unpack_from(">I", media[b"mdhd"], 12)[0]
    entries = b"".join(
        struct.pack(">IiHH", round(length * clock), -1 if at is None else round(at * rate), 1, 0)
        for length, at in edits
    )
    head = bytearray(dict(parts)[b"tkhd"])
    struct.pack_into(">I", head, 20, round(sum(each for each, _ in edits) * clock))
    elst = box(b"elst", struct.pack(">II", 0, len(edits)), entries)
    made = [(b"tkhd", bytes(head)), (b"edts", elst), *parts[1:]]
    assert parts[0][0] == b"tkhd"
    return b"".join(box(*each) for each in made)


def edits_in(elst: bytes) -> list[tuple[int, int]]:
    """Return length and media time of each entry of an edit list box (14496-12, 8.6.6)."""
    version, count = elst[0], struct.unpack_from(">I", elst, 4)[0]
    form = ">Qqhh" if version else ">IiHH"
    return [
        struct.unpack_from(form, elst, 8 + number * struct.calcsize(form))[:2]
        for number in range(count)
    ]
