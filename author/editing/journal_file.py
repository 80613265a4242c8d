"""The form of a journal: what was done to a document since it was saved, record by record.

A journal is lines of text. Each is one record: its length in bytes and the CRC-32 of its
bytes, eight hexadecimal digits each, then the record as JSON, then a line end. The first
record says what the journal is about and holds the file's bytes as they were opened or
saved, compressed. A record that is torn or damaged ends the journal: what stands behind it
cannot be relied on. Nothing in a journal is trusted.
"""

from __future__ import annotations

import base64
import json
import os
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import platformdirs

from author.contract.yaml_reader import MAX_BYTES
from author.errors import InputError

FORMAT = "reelwright-journal/1"
MOST_BYTES = 512 * 1024 * 1024
"""A journal that is longer is read up to here."""

_HEAD = 18  # length, space, checksum, space
_MOST_DIGITS = 8


def state_folder() -> Path:
    """Return where journals are kept: ``REELWRIGHT_STATE`` if set, else the user's own."""
    named = os.environ.get("REELWRIGHT_STATE")
    return Path(named) if named else Path(platformdirs.user_state_dir("reelwright", False))


def journal_path(file: Path) -> Path:
    """Return where the journal of a procedure file is kept; the name says the folder's."""
    mark = sha256(os.fsencode(file)).hexdigest()[:16]
    name = "".join(char if char.isalnum() or char in "-_" else "-" for char in file.parent.name)
    return state_folder() / "journals" / f"{name[:60]}-{mark}.journal"


def framed(record: Mapping[str, Any]) -> bytes:
    """Return a record as a line of a journal."""
    body = json.dumps(record, ensure_ascii=True, separators=(",", ":")).encode()
    return b"%08x %08x %s\n" % (len(body), zlib.crc32(body), body)


def header(file: Path, data: bytes, digest: str, bound: int, when: str) -> dict[str, Any]:
    """Return the first record of a journal.

    Args:
        file: the procedure file.
        data: its bytes as they were opened or saved.
        digest: their SHA-256.
        bound: how many entries the history keeps.
        when: when the journal was begun.
    """
    return {
        "format": FORMAT,
        "file": str(file),
        "sha256": digest,
        "bound": bound,
        "when": when,
        "base": base64.b64encode(zlib.compress(data, 6)).decode(),
    }


@dataclass(frozen=True, slots=True)
class JournalText:
    """What is in a journal.

    Attributes:
        header: the first record.
        records: the others.
        frames: the lines of all, as they stand.
        damaged: whether something behind the last good record was left out.
    """

    header: dict[str, Any]
    records: tuple[dict[str, Any], ...]
    frames: tuple[bytes, ...]
    damaged: bool

    def base(self) -> bytes:
        """Return the bytes of the file the journal begins with.

        Raises:
            InputError: if they are not there whole.
        """
        try:
            packed = base64.b64decode(self.header["base"])
            unpacker = zlib.decompressobj()
            data = unpacker.decompress(packed, MAX_BYTES + 1)
        except (KeyError, TypeError, ValueError, zlib.error, AttributeError):
            raise _no_journal() from None
        if sha256(data).hexdigest() != self.header.get("sha256"):
            raise _no_journal()
        return data


def _no_journal() -> InputError:
    return InputError(
        "the notes of unsaved work are damaged and cannot be read",
        remedy="They are kept aside; go on with the file as it is",
    )


def read_journal(data: bytes) -> JournalText:
    """Read the bytes of a journal.

    Raises:
        InputError: if they are none.
    """
    records: list[dict[str, Any]] = []
    frames: list[bytes] = []
    at = 0
    while at < len(data):
        frame = _frame(data, at)
        record = None if frame is None else _record(frame)
        if frame is None or record is None:
            break
        records.append(record)
        frames.append(frame)
        at += len(frame)
    if not records or records[0].get("format") != FORMAT:
        raise _no_journal()
    return JournalText(records[0], tuple(records[1:]), tuple(frames), at < len(data))


def _frame(data: bytes, at: int) -> bytes | None:
    head = data[at : at + _HEAD]
    try:
        length = int(head[:_MOST_DIGITS], 16)
    except ValueError:
        return None
    end = at + _HEAD + length
    body = data[at + _HEAD : end]
    whole = head == b"%08x %08x " % (length, zlib.crc32(body))
    if len(body) != length or data[end : end + 1] != b"\n" or not whole:
        return None
    return data[at : end + 1]


def _record(frame: bytes) -> dict[str, Any] | None:
    try:
        record = json.loads(frame[_HEAD:])
    except (ValueError, RecursionError):
        return None
    return record if isinstance(record, dict) else None
