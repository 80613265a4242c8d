"""Writes a whole library into one archive: a bag (RFC 8493, BagIt 1.0) in one ZIP.

The payload is the library as it lies on the disk, below ``data/``; ``manifest-sha256.txt``
lists every file. Nothing is packed tighter (films are already), names are sorted and times
fixed, so that one library always gives the same bytes.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import secrets
import unicodedata
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from author.errors import InputError
from author.library.shop import ACCOUNTS, IGNORED, Shop
from author.library.signing.history import library_history
from author.progress import SILENT, Cancel, Progress
from author.storage import before_step, file_error, flush_folder

BAGIT = "bagit.txt"
BAG_INFO = "bag-info.txt"
MANIFEST = "manifest-sha256.txt"
TAG_MANIFEST = "tagmanifest-sha256.txt"
PAYLOAD = "data"
BAGIT_TEXT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
BLOCK = 1 << 20
LONGEST_NAME = 4_000
_TIME = (1980, 1, 1, 0, 0, 0)  # the first that a ZIP can hold
_MODE = 0o100644 << 16


@dataclass(frozen=True, slots=True)
class BackedUp:
    """An archive that was written.

    Attributes:
        file: the archive.
        files: how many files of the library are in it.
        size: bytes of them.
        sha256: of its list of files: the same library, the same digits.
        accounts: whether the accounts are in it.
    """

    file: Path
    files: int
    size: int
    sha256: str
    accounts: bool


@dataclass(frozen=True, slots=True)
class _Entry:
    """A file to be put in, as it was when the library was looked over."""

    name: str
    path: Path
    size: int
    changed_ns: int


def back_up(
    shop: Shop,
    file: Path,
    *,
    accounts: bool = False,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> BackedUp:
    """Write a library into an archive, all or nothing. The caller holds the library's lock.

    Args:
        shop: the library.
        file: the archive; one that is there is replaced.
        accounts: whether the accounts of the server are put in too.
        progress: told how many megabytes are in.
        cancel: looked at between blocks; nothing is left behind.

    Raises:
        InputError: if something in the library cannot be put in, was changed meanwhile, or the
            archive cannot be written.
        MachineError: if the disk is full, or the machine fails.
        Cancelled: on request.
    """
    entries = list(_entries(shop.folder, accounts=accounts))
    part = file.with_name(f".{file.name}.{secrets.token_hex(4)}.part")
    try:
        for left in file.parent.glob(".*.part"):
            if re.fullmatch(rf"\.{re.escape(file.name)}\.[0-9a-f]{{8}}\.part", left.name):
                left.unlink(missing_ok=True)  # of a killed run: the lock says none is alive
        with _opened(part, accounts=accounts) as stream:
            before_step("write", part)
            with zipfile.ZipFile(stream, "w") as archive:
                writer = _Writer(archive, file.stem, progress, cancel or Cancel())
                digest = writer.write(entries, _info(shop, entries))
            stream.flush()
            os.fsync(stream.fileno())
        if list(_entries(shop.folder, accounts=accounts)) != entries:
            raise _changed(shop.folder)
        before_step("rename", file)
        part.replace(file)
        flush_folder(file.parent)
    except OSError as error:
        about = error.filename if error.filename not in (None, str(part)) else file
        raise file_error(error, about) from error
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
    return BackedUp(file, len(entries), _total(entries), digest, accounts)


def _changed(path: Path) -> InputError:
    return InputError(
        "this was changed while it was backed up",
        remedy="Close it where it is being written, and back up again",
        file=path,
    )


def _opened(part: Path, *, accounts: bool) -> IO[bytes]:
    """Open a new file; one with accounts in it nobody else may read."""
    flags = os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    return os.fdopen(os.open(part, flags, 0o600 if accounts else 0o666), "wb")


def _total(entries: list[_Entry]) -> int:
    return sum(entry.size for entry in entries)


def _info(shop: Shop, entries: list[_Entry]) -> bytes:
    """Return what is said of the bag as a whole."""
    history = library_history(shop.folder).entries
    lines = [f"External-Description: Shop library {shop.sheet.name}"]
    if history:
        lines.append(f"External-Identifier: {history[0].sha256}")
    lines.append(f"Payload-Oxum: {_total(entries)}.{len(entries)}")
    return "".join(f"{line}\n" for line in lines).encode()


def _entries(folder: Path, *, accounts: bool) -> Iterator[_Entry]:
    """Yield every file of a library in the order of their names.

    Hidden files are made anew, or of this machine alone; but for what git is to leave out, and
    the accounts where they are wanted.
    """
    seen: dict[str, str] = {}
    found = []
    for root, folders, names in os.walk(folder, onerror=_raised):
        base = Path(root)
        top = base == folder
        inside = base.relative_to(folder).parts[:1] == (ACCOUNTS,)
        for name in (*names, *(f for f in folders if (base / f).is_symlink())):
            wanted = not name.startswith(".") or inside or (top and name == IGNORED)
            if wanted and not name.endswith((".lock", ".part")):
                found.append(_entry(base / name, folder, seen))
        folders[:] = [
            f for f in folders if not f.startswith(".") or (accounts and top and f == ACCOUNTS)
        ]
    yield from sorted(found, key=lambda entry: entry.name)


def _raised(error: OSError) -> None:
    raise error


def _entry(path: Path, folder: Path, seen: dict[str, str]) -> _Entry:
    name = path.relative_to(folder).as_posix()
    if path.is_symlink() or not path.is_file():
        raise InputError(
            "this is a link, or neither a file nor a folder, and cannot be backed up",
            remedy="Put the file itself there, or take it out",
            file=path,
        )
    wrong = why_unsafe(name)
    if wrong is not None:
        raise InputError(f"this name {wrong}", remedy="Give it a plain name", file=path)
    other = seen.setdefault(same_name(name), name)
    if other != name:
        raise InputError(
            f"'{other}' and '{name}' differ only in case, and not every disk can tell them apart",
            remedy="Rename one of them",
            file=path,
        )
    status = path.stat()
    return _Entry(name, path, status.st_size, status.st_mtime_ns)


def same_name(name: str) -> str:
    """Return what two names share that some disk takes for one."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def why_unsafe(name: str) -> str | None:
    """Return why a path below a folder may not be written, None if it may."""
    try:
        name.encode()
    except UnicodeEncodeError:
        return "is no text"
    if any(ord(char) < 0x20 or ord(char) == 0x7F for char in name):
        return "has a control character in it"
    parts = name.split("/")
    if "\\" in name or any(part in {"", ".", ".."} for part in parts):
        return "leads somewhere else"
    if os.name == "nt" and any(set(part) & set('<>:"|?*') or part[-1] in ". " for part in parts):
        return "cannot be written on this system"
    return "is too long" if len(name.encode()) > LONGEST_NAME else None


def encoded(name: str) -> str:
    """Return a path as a manifest has it (RFC 8493, 2.1.3)."""
    return name.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


class _Writer:
    """Puts files into the archive one after another."""

    def __init__(
        self, archive: zipfile.ZipFile, base: str, progress: Progress, cancel: Cancel
    ) -> None:
        self.archive = archive
        # The bag is one folder of the archive's own name (RFC 8493, 4).
        self.base = base if base and why_unsafe(base) is None else "library"
        self.progress, self.cancel = progress, cancel
        self.done = self.total = 0

    def write(self, entries: list[_Entry], info: bytes) -> str:
        """Write the whole bag and return the SHA-256 of its list of files."""
        self.total = _total(entries)
        tags = {BAG_INFO: self._tag(BAG_INFO, info), BAGIT: self._tag(BAGIT, BAGIT_TEXT)}
        lines = []
        for entry in entries:
            digest = self._file(entry)
            lines.append(f"{digest}  {PAYLOAD}/{encoded(entry.name)}\n")
        tags[MANIFEST] = self._tag(MANIFEST, "".join(lines).encode())
        listed = "".join(f"{digest}  {name}\n" for name, digest in sorted(tags.items()))
        self._tag(TAG_MANIFEST, listed.encode())
        self._tell()
        return tags[MANIFEST]

    def _tag(self, name: str, data: bytes) -> str:
        self.archive.writestr(self._info(name, len(data)), data)
        return hashlib.sha256(data).hexdigest()

    def _info(self, name: str, size: int) -> zipfile.ZipInfo:
        info = zipfile.ZipInfo(f"{self.base}/{name}", _TIME)
        info.create_system = 3  # names and rights as on POSIX, wherever it is written
        info.external_attr = _MODE
        info.file_size = size
        return info

    def _file(self, entry: _Entry) -> str:
        digest, size = hashlib.sha256(), 0
        info = self._info(f"{PAYLOAD}/{entry.name}", entry.size)
        with entry.path.open("rb") as source, self.archive.open(info, "w") as place:
            while block := source.read(BLOCK):
                self.cancel.check()
                size += len(block)
                if size > entry.size:
                    break
                digest.update(block)
                before_step("write", entry.path)
                place.write(block)
                self.done += len(block)
                self._tell()
            status = os.fstat(source.fileno())
        if (size, status.st_size, status.st_mtime_ns) != (
            entry.size,
            entry.size,
            entry.changed_ns,
        ):
            raise _changed(entry.path)
        return digest.hexdigest()

    def _tell(self) -> None:
        self.progress.report(
            "backing up, MB", self.done // 1_000_000, max(1, self.total // 1_000_000)
        )
