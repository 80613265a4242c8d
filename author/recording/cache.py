"""What was found of a film, kept on disk so that it is not decoded again.

Every entry is compressed with a checksum; one that is damaged or of another version
counts as absent. The folder is bounded: the entries not used for longest go first.
Nothing here raises: a cache that cannot be written is a cache that is not there.
"""

from __future__ import annotations

import json
import os
import secrets
import time
import zlib
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

import platformdirs

from author.recording.index import INDEX_VERSION, FilmIndex

MAX_BYTES = 64 * 1024 * 1024
"""Size the cache folder is held to."""

# A file changed this short a time ago could change again within one tick of its clock.
_SETTLED_NS = 3_000_000_000
_BROKEN = (OSError, ValueError, KeyError, TypeError, ArithmeticError, zlib.error)


def folder() -> Path:
    """Return the cache folder: ``REELWRIGHT_CACHE`` if set, else the user's cache folder."""
    named = os.environ.get("REELWRIGHT_CACHE")
    return Path(named) if named else Path(platformdirs.user_cache_dir("reelwright", False))


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


def _state(path: Path) -> list[int]:
    status = path.stat()
    return [status.st_size, status.st_mtime_ns, status.st_ctime_ns, status.st_ino]


def _index_file(digest: str) -> Path:
    return folder() / f"index-{INDEX_VERSION}-{digest}.z"


def _digest_file(path: Path) -> Path:
    name = sha256(os.fsencode(path.absolute())).hexdigest()
    return folder() / f"digest-{name}.z"


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
    entries = []
    for pattern in ("index-*.z", "digest-*.z", ".index-*.z.*", ".digest-*.z.*"):
        for each in directory.glob(pattern):
            with suppress(OSError):
                status = each.stat()
                entries.append((status.st_mtime_ns, status.st_size, each))
    total = sum(size for _, size, _ in entries)
    for _, size, each in sorted(entries):
        if total <= MAX_BYTES:
            break
        with suppress(OSError):
            each.unlink()
            total -= size
