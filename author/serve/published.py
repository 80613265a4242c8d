"""What is published of a procedure, and opening a file of it so that no path leads elsewhere."""

from __future__ import annotations

import hashlib
import os
import re
import stat
from dataclasses import dataclass
from io import BufferedReader
from pathlib import Path
from typing import Any

from author.errors import InputError
from author.library.shop import REVISIONS, Shop
from author.procedure.values import ID_PATTERN
from author.serve.remembering import Remembered
from author.serve.rendering import NotHereError
from author.storage import MANIFEST, file_error, read_manifest

PAGE_FILE = "page/index.html"
_ID = re.compile(ID_PATTERN)
_LONGEST_ID = 100
_LONGEST_NAME = 500
_GONE = "Look at what the procedure's page lists"


@dataclass(frozen=True, slots=True)
class Publication:
    """A folder of published files.

    Attributes:
        procedure: id of the procedure.
        within: the folders between the procedure's and it: of a revision kept, where that lies.
        folder: name of the folder beside ``procedure.yaml``.
        files: SHA-256 of each file by its name below the folder.
        revision: the revision that was published.
        state: the state it had then.
        draft: whether it was published in spite of errors.
    """

    procedure: str
    within: tuple[str, ...]
    folder: str
    files: dict[str, str]
    revision: object
    state: object
    draft: bool

    def has(self, name: str) -> bool:
        """Whether a file was published and may be shown."""
        return name in self.files and is_plain(name)


def is_id(text: str) -> bool:
    """Whether a text can be the id of a procedure."""
    return len(text) <= _LONGEST_ID and bool(_ID.fullmatch(text))


def is_plain(name: str) -> bool:
    """Whether a name leads to a file below a folder on every system, and to no hidden one."""
    return (
        len(name) <= _LONGEST_NAME
        and not set(name) & set('\\:\0\n"')
        and all(part and not part.startswith(".") for part in name.split("/"))
    )


def publication_of(shop: Shop, procedure: str, revision: int) -> Publication | None:
    """Return what is published of a revision; what has a work page, if there is more.

    It goes with the revision when a later one takes the folder, and stands beside that one
    where somebody published it there.

    Args:
        shop: the library.
        procedure: id of the procedure, which has to be one.
        revision: the revision.

    Returns:
        What is published of another revision, beside the present one, if nothing is of this.
    """
    found = []
    for within in ((), (REVISIONS, str(revision))):
        folder = shop.place_of(procedure).joinpath(*within)
        for name in _folders(folder):
            manifest = _manifest(folder / name) if is_plain(name) else None
            if manifest is not None and manifest.get("procedure") == procedure:
                found.append(_publication(procedure, within, name, manifest))
    return max(
        found,
        key=lambda one: (one.revision == revision, PAGE_FILE in one.files, _number(one.revision)),
        default=None,
    )


def _folders(folder: Path) -> list[str]:
    try:
        with os.scandir(folder) as entries:
            return sorted(one.name for one in entries if one.is_dir(follow_symlinks=False))
    except OSError:
        return []


def _number(revision: object) -> int:
    return revision if isinstance(revision, int) else 0


def _publication(
    procedure: str, within: tuple[str, ...], name: str, manifest: dict[str, Any]
) -> Publication:
    return Publication(
        procedure,
        within,
        name,
        manifest["files"],
        manifest.get("revision"),
        manifest.get("state"),
        manifest.get("draft") is True,
    )


_MANIFESTS = Remembered(2_000)
_DIGESTS = Remembered(20_000)


def known_by(status: os.stat_result) -> tuple[object, ...]:
    """Return by what the content of a file is known, as long as nobody writes to it."""
    return (
        status.st_dev, status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns,
    )  # fmt: skip


def _manifest(folder: Path) -> dict[str, Any] | None:
    try:
        status = (folder / MANIFEST).lstat()
    except OSError:
        return None
    if not stat.S_ISREG(status.st_mode):
        return None
    key = (str(folder), *known_by(status))
    known = _MANIFESTS.get(key)
    if known is None:
        known = read_manifest(folder)
        _MANIFESTS.put(key, known)
    return known if isinstance(known, dict) else None


def open_published(shop: Shop, published: Publication, name: str) -> BufferedReader:
    """Open a published file for reading.

    Args:
        shop: the library.
        published: what is published of the procedure.
        name: name of the file below the folder.

    Returns:
        The open file; its content is what the manifest lists.

    Raises:
        NotHereError: if nothing of that name was published, or it is no plain file.
        InputError: if the file is not what was published any more.
        MachineError: if the machine fails.
    """
    if not published.has(name):
        raise NotHereError("nothing of that name is published", remedy=_GONE)
    parts = (published.procedure, *published.within, published.folder, *name.split("/"))
    stream = open_inside(shop.procedures, parts)
    try:
        if _digest(stream) != published.files[name]:
            raise InputError(
                f"'{name[-80:]}' is not what was published: it was changed since",
                remedy="Bring back the file as it was published, and do not work by it till then",
            )
    except BaseException:
        stream.close()
        raise
    return stream


def _digest(stream: BufferedReader) -> str:
    key = known_by(os.fstat(stream.fileno()))
    known = _DIGESTS.get(key)
    if known is None:
        known = hashlib.file_digest(stream, "sha256").hexdigest()
        _DIGESTS.put(key, known)
    stream.seek(0)
    return str(known)


def open_inside(root: Path, parts: tuple[str, ...]) -> BufferedReader:
    """Open a file below a folder without following any link.

    Raises:
        NotHereError: if there is no such plain file.
        MachineError: if the machine fails.
    """
    try:
        return _by_handles(root, parts) if os.name == "posix" else _by_names(root, parts)
    except (FileNotFoundError, NotADirectoryError, IsADirectoryError, PermissionError):
        raise NotHereError("the file is not there", remedy=_GONE) from None
    except OSError as error:
        told = file_error(error, root.joinpath(*parts))
        if isinstance(told, InputError):
            raise NotHereError("the file is not there", remedy=_GONE) from error
        raise told from error


def _by_handles(root: Path, parts: tuple[str, ...]) -> BufferedReader:
    """Go down folder by folder, each held open, so that none can be exchanged for a link."""
    plain = os.O_RDONLY | os.O_CLOEXEC
    handle = os.open(root, plain | os.O_DIRECTORY)
    try:
        for part in parts[:-1]:
            inner = os.open(part, plain | os.O_DIRECTORY | os.O_NOFOLLOW, dir_fd=handle)
            os.close(handle)
            handle = inner
        found = os.open(parts[-1], plain | os.O_NOFOLLOW | os.O_NONBLOCK, dir_fd=handle)
    finally:
        os.close(handle)
    if not stat.S_ISREG(os.fstat(found).st_mode):
        os.close(found)
        raise FileNotFoundError(parts[-1])
    return os.fdopen(found, "rb")


def _by_names(root: Path, parts: tuple[str, ...]) -> BufferedReader:
    path = root
    for part in parts:
        path = path / part
        if path.is_symlink():
            raise FileNotFoundError(path)
    if not path.is_file():
        raise FileNotFoundError(path)
    return path.open("rb")
