"""Clips that were cut before, kept so that another folder is published without cutting anew.

A clip is kept under what it was made from. One that is damaged counts as absent, and those not
used for longest go first. Nothing here raises: what cannot be kept is cut again.
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
from contextlib import suppress
from dataclasses import astuple
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO

from author.recording import cache
from author.recording.loudness import Loudness
from author.storage import cache_folder

CLIP_BYTES = 1024**3
"""Size the kept clips are held to, unless ``REELWRIGHT_CLIPS_MB`` says another."""

_HEAD = 512
_CHUNK = 1 << 20


def fetch(key: str, place: Path) -> bool:
    """Put a clip that was made from the same into a place; say whether there was one.

    Args:
        key: what it is made from.
        place: the file to write; none is there yet, and none is left if there was no clip.
    """
    kept = _file(key)
    try:
        with kept.open("rb") as source:
            head = json.loads(source.read(_HEAD))
            with place.open("xb") as target:
                whole = _copy(source, target) == head["sha256"]
        if whole:
            os.utime(kept)  # used now, so kept longer
            return True
        kept.unlink()
    except (OSError, ValueError, KeyError, TypeError):
        pass
    with suppress(OSError):
        place.unlink(missing_ok=True)
    return False


def loudness(key: str) -> Loudness | None:
    """Return how loud the clip kept under a key was found, None without sound or clip."""
    try:
        with _file(key).open("rb") as source:
            found = json.loads(source.read(_HEAD))["loudness"]
        return None if found is None else Loudness(*(float(value) for value in found))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def store(key: str, clip: Path, loud: Loudness | None) -> None:
    """Keep a clip.

    Args:
        key: what it was made from.
        clip: the file.
        loud: how loud it was found.
    """
    kept = _file(key)
    temporary = kept.with_name(f".{kept.name}.{secrets.token_hex(4)}")
    try:
        size = clip.stat().st_size
        kept.parent.mkdir(parents=True, exist_ok=True)
        free = shutil.disk_usage(kept.parent).free
        if size > _limit() or free - size < cache.LEAVE_FREE:
            return
        with clip.open("rb") as source, temporary.open("xb") as target:
            target.write(b" " * _HEAD)
            digest = _copy(source, target)
            head = {"sha256": digest, "loudness": None if loud is None else astuple(loud)}
            target.seek(0)
            target.write(json.dumps(head).encode().ljust(_HEAD))
        temporary.replace(kept)
    except OSError:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)
        return
    _prune(kept.parent)


def _file(key: str) -> Path:
    return cache_folder() / f"clip-{key}.kept"


def _copy(source: BinaryIO, target: BinaryIO) -> str:
    digest = sha256()
    while chunk := source.read(_CHUNK):
        digest.update(chunk)
        target.write(chunk)
    return digest.hexdigest()


def _prune(directory: Path) -> None:
    """Throw away the clips not used for longest until the rest is small enough."""
    cache.throw_away(directory, ("clip-*.kept", ".clip-*.kept.*"), _limit())


def _limit() -> int:
    return cache.megabytes("REELWRIGHT_CLIPS_MB", CLIP_BYTES)
