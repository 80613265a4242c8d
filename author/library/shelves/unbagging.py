"""Reads an archive of a library to its end, and trusts nothing in it.

Every name is looked at before a byte is written, and every byte is held against the list of
files on its way.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from author.errors import InputError
from author.library.shelves.bagging import (
    BAG_INFO,
    BAGIT,
    BAGIT_TEXT,
    BLOCK,
    LONGEST_NAME,
    MANIFEST,
    PAYLOAD,
    TAG_MANIFEST,
    encoded,
    same_name,
    why_unsafe,
)
from author.library.shop import ACCOUNTS, IGNORED, SHOP_FILE
from author.progress import SILENT, Cancel, Progress
from author.storage import before_step, file_error

_TAGS = (BAG_INFO, BAGIT, MANIFEST, TAG_MANIFEST)
_NEEDED = (BAGIT, MANIFEST)
_LINE = re.compile(r"([0-9a-f]{64}) [ *](.+)")
_OXUM = re.compile(r"^Payload-Oxum: ([0-9]{1,20})\.([0-9]{1,10})$", re.MULTILINE)
_LONGEST_TAG = 1_000_000
_LONGEST_LINE = 3 * LONGEST_NAME + 80
# What the reader of the standard library raises on archives that are none any more.
_DAMAGED = (
    zipfile.BadZipFile, zlib.error, EOFError, struct.error, NotImplementedError, ValueError,
    OverflowError,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Checked:
    """An archive that was read to its end and is whole.

    Attributes:
        files: how many files of a library are in it.
        size: bytes of them.
        sha256: of its list of files.
        accounts: whether accounts are in it.
    """

    files: int
    size: int
    sha256: str
    accounts: bool


def check_archive(
    file: Path, *, progress: Progress = SILENT, cancel: Cancel | None = None
) -> Checked:
    """Read an archive to its end and hold every byte against its list. Writes nothing.

    Args:
        file: the archive.
        progress: told how many megabytes are read.
        cancel: looked at between blocks.

    Raises:
        InputError: if it is damaged, cut off, no library's archive, or not to be trusted.
        MachineError: if it cannot be read.
        Cancelled: on request.
    """
    with opened_bag(file) as bag:
        return read_all(bag, None, progress, cancel or Cancel())


@dataclass(frozen=True, slots=True)
class Bag:
    """An archive whose names were all looked at.

    Attributes:
        file: the archive.
        archive: it, open.
        tags: the files that tell of the bag, by their names.
        payload: the library's files, by their paths in it.
    """

    file: Path
    archive: zipfile.ZipFile
    tags: dict[str, zipfile.ZipInfo]
    payload: dict[str, zipfile.ZipInfo]

    @property
    def size(self) -> int:
        """Bytes of the library's files, as the archive says."""
        return sum(info.file_size for info in self.payload.values())


@contextlib.contextmanager
def opened_bag(file: Path) -> Iterator[Bag]:
    """Open an archive and look at every name in it.

    Args:
        file: the archive.

    Raises:
        InputError: if it is none, or not to be trusted.
        MachineError: if it cannot be read.
    """
    with contextlib.ExitStack() as held:
        with _damage_told(file):
            stream = held.enter_context(file.open("rb"))
            archive = held.enter_context(zipfile.ZipFile(stream))
            bag = _looked_over(file, archive)
        yield bag


@contextlib.contextmanager
def _damage_told(file: Path) -> Iterator[None]:
    """Tell what goes wrong with an archive as our errors."""
    try:
        yield
    except OSError as error:
        if error.errno != errno.EINVAL:  # else it points to a place before its own begin
            raise file_error(error, file) from error
        raise _damaged(file, "it points outside itself") from error
    except _DAMAGED as error:
        raise _damaged(file, str(error)) from error


def _damaged(file: Path, said: str) -> InputError:
    return InputError(
        f"this archive is damaged or cut off: {said}",
        remedy="Take another copy of it; nothing was written",
        file=file,
    )


def refused(file: Path, said: str) -> InputError:
    """Return the error that an archive is not to be trusted."""
    return InputError(
        f"this archive cannot be trusted: {said}",
        remedy="Take one that 'reelwright library back-up' wrote",
        file=file,
    )


def _looked_over(file: Path, archive: zipfile.ZipFile) -> Bag:
    bag = Bag(file, archive, {}, {})
    base: str | None = None
    seen: dict[str, str] = {}
    folders: dict[str, str] = {}
    for info in archive.infolist():
        name = info.orig_filename
        wrong = _why_not(info)
        if wrong is not None:
            raise refused(file, f"'{name[:120]}' {wrong}")
        top, _, inner = name.rstrip("/").partition("/")
        base = base or top
        if top != base:
            raise refused(file, f"it has two folders, '{base[:60]}' and '{top[:60]}'")
        if info.is_dir():
            continue
        key = same_name(inner)
        if key in seen:
            raise refused(file, f"'{seen[key][:120]}' and '{inner[:120]}' have the same place")
        seen[key] = inner
        parts = inner.split("/")
        for depth in range(1, len(parts)):
            above = "/".join(parts[:depth])
            spelt = folders.setdefault(same_name(above), above)
            if spelt != above:
                raise refused(file, f"'{spelt[:120]}' and '{above[:120]}' differ only in case")
        _sort_in(bag, inner, info)
    both = next((name for key, name in seen.items() if key in folders), None)
    if both is not None:
        raise refused(file, f"'{both[:120]}' is a file and a folder")
    missing = [name for name in _NEEDED if name not in bag.tags]
    if missing:
        raise refused(file, f"{missing[0]} is missing: this is no bag (RFC 8493)")
    if SHOP_FILE not in bag.payload:
        raise refused(file, f"{SHOP_FILE} is missing: there is no library in it")
    return bag


def _why_not(info: zipfile.ZipInfo) -> str | None:
    """Return why an entry may not be taken, None if it may."""
    name = info.orig_filename
    wrong = why_unsafe(name.removesuffix("/") if info.is_dir() else name)
    if wrong is not None:
        return wrong
    kind = stat.S_IFMT(info.external_attr >> 16)
    if kind not in {0, stat.S_IFREG, stat.S_IFDIR} or (kind == stat.S_IFDIR) > info.is_dir():
        return "is a link, or neither a file nor a folder"
    if info.flag_bits & 0x1:
        return "is locked with a password"
    if info.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
        return "is packed in a way that is not read here"
    return None


def _sort_in(bag: Bag, inner: str, info: zipfile.ZipInfo) -> None:
    top, _, rest = inner.partition("/")
    hidden = rest.split("/")[0]
    if top == PAYLOAD and rest:
        if hidden.startswith(".") and hidden not in {ACCOUNTS, IGNORED}:
            raise refused(bag.file, f"'{inner[:120]}' is nothing that a back-up holds")
        bag.payload[rest] = info
    elif inner in _TAGS:
        bag.tags[inner] = info
    else:
        raise refused(bag.file, f"'{inner[:120]}' is nothing that a back-up holds")


def read_all(bag: Bag, to: Path | None, progress: Progress, cancel: Cancel) -> Checked:
    """Read every file, hold it against the list, and write it where that is wanted.

    Args:
        bag: the archive.
        to: a new folder to write into; None to write nothing.
        progress: told how many megabytes are read.
        cancel: looked at between blocks.

    Raises:
        InputError: if anything is missing, on no list, changed or damaged.
        MachineError: if it cannot be read or written.
        Cancelled: on request.
    """
    listed, digest = _listed(bag)
    for name in sorted(bag.payload.keys() ^ listed.keys()):
        said = "is missing" if name in listed else "is on no list"
        raise refused(bag.file, f"'{name[:120]}' {said}")
    done, total = 0, max(1, bag.size // 1_000_000)
    job = "checking, MB" if to is None else "restoring, MB"
    for name, info in sorted(bag.payload.items()):
        cancel.check()
        found = hashlib.sha256()
        with _place(to, name) as place:
            for block in _blocks(bag, info):
                cancel.check()
                found.update(block)
                if place is not None:
                    before_step("write", Path(name))
                    place.write(block)
                done += len(block)
                progress.report(job, done // 1_000_000, total)
        if found.hexdigest() != listed[name]:
            raise InputError(
                f"'{name[:120]}' in this archive is not what its list says: it was changed",
                remedy="Take another copy of it; nothing was written",
                file=bag.file,
            )
    progress.report(job, total, total)
    accounts = any(name.split("/")[0] == ACCOUNTS for name in bag.payload)
    return Checked(len(bag.payload), bag.size, digest, accounts)


def _blocks(bag: Bag, info: zipfile.ZipInfo) -> Iterator[bytes]:
    """Yield what an entry holds; ``zipfile`` gives no more than it says."""
    left = info.file_size
    with contextlib.ExitStack() as held:
        with _damage_told(bag.file):
            source = held.enter_context(bag.archive.open(info))
        while True:
            with _damage_told(bag.file):
                block = source.read(BLOCK)
            if not block and left:
                raise _damaged(bag.file, f"'{info.filename[:120]}' is shorter than it says")
            if not block:
                return
            left -= len(block)
            yield block


@contextlib.contextmanager
def _place(to: Path | None, name: str) -> Iterator[IO[bytes] | None]:
    """Open the file to write; None where nothing is written."""
    if to is None:
        yield None
        return
    path = to.joinpath(*name.split("/"))
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("xb") as stream:
        yield stream


def _listed(bag: Bag) -> tuple[dict[str, str], str]:
    """Return what the list of files says, and its own SHA-256."""
    tags = {name: _tag(bag, name) for name in bag.tags}
    if tags[BAGIT].replace(b"\r\n", b"\n") != BAGIT_TEXT:
        raise refused(bag.file, f"{BAGIT} is not that of BagIt 1.0 in UTF-8")
    if TAG_MANIFEST in tags:
        for name, digest in _lines(bag, tags[TAG_MANIFEST]):
            if name not in tags or hashlib.sha256(tags[name]).hexdigest() != digest:
                raise refused(bag.file, f"'{name[:120]}' is not what {TAG_MANIFEST} says")
    oxum = _OXUM.search(tags.get(BAG_INFO, b"").decode(errors="replace"))
    if oxum is not None and (int(oxum[1]), int(oxum[2])) != (bag.size, len(bag.payload)):
        raise refused(bag.file, f"it holds {bag.size}.{len(bag.payload)}, and says {oxum[0]}")
    listed: dict[str, str] = {}
    names = {encoded(name): name for name in bag.payload}
    for text, digest in _lines(bag, tags[MANIFEST]):
        top, _, rest = text.partition("/")
        name = names.get(rest, rest)
        if top != PAYLOAD or name in listed:
            raise refused(bag.file, f"its list names '{text[:120]}' in a wrong way")
        listed[name] = digest
    return listed, hashlib.sha256(tags[MANIFEST]).hexdigest()


def _tag(bag: Bag, name: str) -> bytes:
    """Return a file that tells of the bag; how long it may be follows from what it tells."""
    info = bag.tags[name]
    longest = _LONGEST_TAG + (_LONGEST_LINE * len(bag.payload) if name == MANIFEST else 0)
    if info.file_size > longest:
        raise refused(bag.file, f"'{name}' is too long")
    return b"".join(_blocks(bag, info))


def _lines(bag: Bag, data: bytes) -> Iterator[tuple[str, str]]:
    for line in data.decode(errors="replace").replace("\r\n", "\n").removesuffix("\n").split("\n"):
        found = _LINE.fullmatch(line)
        if found is None:
            raise refused(bag.file, f"'{line[:120]}' is no line of a list of files")
        yield found[2], found[1]
