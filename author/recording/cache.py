"""What was found of a film, kept on disk so that it is not decoded again.

Every entry is compressed with a checksum; one that is damaged or of another version
counts as absent. Entries and previews are bounded, each by a size of its own: those not
used for longest go first. Nothing here raises: a cache that cannot be written is a cache
that is not there.
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
import time
import zlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

from author.progress import Cancel, Progress
from author.recording.index import INDEX_VERSION, FilmIndex
from author.storage import cache_folder

MAX_BYTES = 64 * 1024 * 1024
"""Size the cache folder is held to."""

PREVIEW_BYTES = 4 * 1024**3
"""Size the previews are held to, unless ``REELWRIGHT_PREVIEW_MB`` says another."""

LEAVE_FREE = 256 * 1024 * 1024
"""Bytes of the disk that no preview is begun in and no clip is kept in."""

# A file changed this short a time ago could change again within one tick of its clock.
_SETTLED_NS = 3_000_000_000
_SAMPLES, _SAMPLE = 16, 1 << 16
_BROKEN = (OSError, ValueError, KeyError, TypeError, ArithmeticError, zlib.error)


def load_index(digest: str) -> FilmIndex | None:
    """Return the index stored for a film with this SHA-256, or None."""
    plain = _load(_index_file(digest))
    try:
        return None if plain is None else FilmIndex.from_plain(plain)
    except _BROKEN:
        return None


def store_index(digest: str, index: FilmIndex) -> None:
    """Keep the index of the film with this SHA-256."""
    _store(_index_file(digest), index.to_plain())


def load_digest(path: Path) -> str | None:
    """Return the SHA-256 remembered for a file that has not changed since, or None."""
    try:
        plain = _load(_digest_file(path))
        if plain is not None and plain["state"] == _state(path):
            return str(plain["sha256"])
    except _BROKEN:
        pass
    return None


def store_digest(path: Path, digest: str) -> None:
    """Remember the SHA-256 of a file, unless it was changed a moment ago."""
    with suppress(OSError):
        state = _state(path)
        if time.time_ns() - max(state[1], state[2]) > _SETTLED_NS:
            _store(_digest_file(path), {"state": state, "sha256": digest})


def load_quick(path: Path) -> FilmIndex | None:
    """Return the quick index of a file that has not changed since, or None."""
    try:
        plain = _load(_quick_file(path))
        return None if plain is None else FilmIndex.from_plain(plain)
    except _BROKEN:
        return None


def store_quick(path: Path, index: FilmIndex) -> None:
    """Keep the quick index of a file."""
    with suppress(OSError):
        _store(_quick_file(path), index.to_plain())


def _quick_file(path: Path) -> Path:
    """Named after a hint of the content: size, time and a few samples, read in no time."""
    size, changed = path.stat().st_size, path.stat().st_mtime_ns
    hint = sha256(f"{size} {changed} ".encode())
    with path.open("rb") as stream:
        for number in range(_SAMPLES):
            stream.seek(max(0, size - _SAMPLE) * number // (_SAMPLES - 1))
            hint.update(stream.read(_SAMPLE))
    return cache_folder() / f"quick-{INDEX_VERSION}-{hint.hexdigest()}.z"


def preview_folder(digest: str) -> Path:
    """Return where the preview of the film with this SHA-256 is kept."""
    return cache_folder() / f"preview-{digest}"


def room_for_preview(digest: str) -> Path | None:
    """Return the folder for a film's preview after making room, or None if there is none."""
    place = preview_folder(digest)
    with suppress(OSError):
        place.mkdir(parents=True, exist_ok=True)
        prune_previews(place)
        if shutil.disk_usage(place).free > LEAVE_FREE and _preview_limit() > 0:
            return place
    return None


def use_preview(digest: str) -> Path:
    """Return the folder of a film's preview, noted as used now."""
    place = preview_folder(digest)
    with suppress(OSError):
        os.utime(place / "state")
    return place


def prune_previews(spare: Path) -> None:
    """Throw away the previews not used for longest until the rest is small enough."""
    found = []
    for each in cache_folder().glob("preview-*"):
        with suppress(OSError):
            size = sum(file.stat().st_size for file in each.iterdir())
            used = each / "state"
            when = (used if used.exists() else each).stat().st_mtime_ns
            found.append((when, size, each))
    total = sum(size for _, size, _ in found)
    for _, size, each in sorted(found):
        if total <= _preview_limit():
            break
        if each != spare:
            remove_preview(each)
            total -= size


def remove_preview(folder: Path) -> None:
    """Delete a preview; what cannot be deleted stays."""
    for name in ("state", "state.part", "records", "sound", "track"):
        with suppress(OSError):
            (folder / name).unlink(missing_ok=True)
    with suppress(OSError):
        folder.rmdir()


def _preview_limit() -> int:
    return megabytes("REELWRIGHT_PREVIEW_MB", PREVIEW_BYTES)


def megabytes(name: str, otherwise: int) -> int:
    """Return the bytes that a variable of the environment names in MB, or another number."""
    named = os.environ.get(name, "")
    return int(named) * 1024 * 1024 if named.isdecimal() else otherwise


@contextmanager
def alone(digest: str, progress: Progress, cancel: Cancel | None) -> Iterator[None]:
    """Be the only one who surveys the film with this SHA-256; wait while another does.

    Raises:
        Cancelled: the user asked to stop while waiting.
    """
    from filelock import FileLock, Timeout

    lock = FileLock(cache_folder() / f"lock-{digest[:16]}", timeout=0)
    while True:
        try:
            lock.acquire()
            break
        except Timeout:
            progress.report("waiting for another reading of the same film", 0, None)
        except OSError:
            break  # no lock can be had here: better read twice than not at all
        if cancel is not None:
            cancel.check()
        time.sleep(0.1)
    try:
        yield
    finally:
        lock.release()


def _state(path: Path) -> list[int]:
    status = path.stat()
    return [status.st_size, status.st_mtime_ns, status.st_ctime_ns, status.st_ino]


def _index_file(digest: str) -> Path:
    return cache_folder() / f"index-{INDEX_VERSION}-{digest}.z"


def _digest_file(path: Path) -> Path:
    name = sha256(os.fsencode(path.absolute())).hexdigest()
    return cache_folder() / f"digest-{name}.z"


def _load(file: Path) -> dict[str, Any] | None:
    try:
        packed = file.read_bytes()
        plain = json.loads(zlib.decompress(packed))
    except _BROKEN:
        return None
    with suppress(OSError):
        os.utime(file)  # used now, so kept longer
    return plain if isinstance(plain, dict) else None


def _store(file: Path, plain: dict[str, Any]) -> None:
    packed = zlib.compress(json.dumps(plain).encode(), 6)
    temporary = file.with_name(f".{file.name}.{secrets.token_hex(4)}")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        temporary.write_bytes(packed)
        temporary.replace(file)
    except OSError:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)
        return
    _prune(file.parent)


def _prune(directory: Path) -> None:
    """Throw away the oldest entries until the folder is small enough."""
    names = ("index", "digest", "quick")
    patterns = [f"{name}-*.z" for name in names] + [f".{name}-*.z.*" for name in names]
    throw_away(directory, patterns, MAX_BYTES)


def throw_away(directory: Path, patterns: Iterable[str], most: int) -> None:
    """Throw away the files not used for longest until the rest is small enough.

    Args:
        directory: where they lie.
        patterns: of their names.
        most: bytes that may be left.
    """
    entries = []
    for pattern in patterns:
        for each in directory.glob(pattern):
            with suppress(OSError):
                status = each.stat()
                entries.append((status.st_mtime_ns, status.st_size, each))
    total = sum(size for _, size, _ in entries)
    for _, size, each in sorted(entries):
        if total <= most:
            break
        with suppress(OSError):
            each.unlink()
            total -= size
