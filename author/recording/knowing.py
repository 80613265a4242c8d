"""What is known of a film: its fingerprint and its index, found out only once.

The quick index is there in the time it takes to read the file; the exact one, which all
that is written rests on, when every frame was decoded.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path
from threading import Lock

from author.errors import InputError, MachineError
from author.progress import SILENT, Cancel, Progress
from author.recording import cache
from author.recording.index import FilmIndex
from author.recording.opening import check_file
from author.recording.process import Decoder
from author.storage import cache_folder

_CHUNK = _MB = 1 << 20
_KEPT = 8


def sha256_of(path: Path, progress: Progress = SILENT, cancel: Cancel | None = None) -> str:
    """Read a whole file and return its SHA-256 in lower-case hexadecimal.

    Raises:
        InputError: missing, a folder, or empty.
        MachineError: it cannot be read.
        Cancelled: the user asked to stop.
    """
    check_file(path)
    digest = hashlib.sha256()
    done = 0
    try:
        total = path.stat().st_size
        with path.open("rb") as stream:
            while chunk := stream.read(_CHUNK):
                if cancel is not None:
                    cancel.check()
                digest.update(chunk)
                done += len(chunk)
                progress.report(
                    f"fingerprint of {path.name}, MB", -(-done // _MB), -(-total // _MB)
                )
    except OSError as error:
        raise MachineError(f"cannot be read ({error.strerror})", file=path) from None
    cache.store_digest(path, digest.hexdigest())
    return digest.hexdigest()


def known(
    path: Path, progress: Progress = SILENT, cancel: Cancel | None = None
) -> tuple[str, FilmIndex]:
    """Return a film's SHA-256 and index, reading only what is not known already.

    Raises:
        InputError, MachineError, Cancelled: as ``describe``.
    """
    check_file(path)
    digest = cache.load_digest(path) or sha256_of(path, progress, cancel)
    index = _MEMORY.get(digest)
    if index is None:
        index = cache.load_index(digest)
    if index is None:
        with cache.alone(digest, progress, cancel):
            index = cache.load_index(digest) or surveyed(path, digest, progress, cancel)
    _MEMORY.put(digest, index)
    return digest, index


def surveyed(
    path: Path, digest: str, progress: Progress = SILENT, cancel: Cancel | None = None
) -> FilmIndex:
    """Survey a film, keep its index and its preview, and return the index.

    Raises:
        InputError, MachineError, Cancelled: as ``describe``.
    """
    place = cache.room_for_preview(digest)
    index = _survey(path, place, progress, cancel)
    if cache.load_digest(path) != digest and sha256_of(path, cancel=cancel) != digest:
        if place is not None:
            cache.remove_preview(place)
        raise InputError(
            "changed while it was being read", remedy="Wait until it is complete", file=path
        )
    cache.store_index(digest, index)
    if place is not None:
        cache.prune_previews(place)
    return index


class _Memory:
    """The indices used last in this process."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._kept: OrderedDict[tuple[str, str], FilmIndex] = OrderedDict()

    def get(self, digest: str) -> FilmIndex | None:
        with self._lock:
            return self._kept.get((str(cache_folder()), digest))

    def put(self, digest: str, index: FilmIndex) -> None:
        with self._lock:
            key = (str(cache_folder()), digest)
            self._kept[key] = index
            self._kept.move_to_end(key)
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)


_MEMORY = _Memory()


def _survey(path: Path, place: Path | None, progress: Progress, cancel: Cancel | None) -> FilmIndex:
    with Decoder(path, cancel) as decoder:
        for answer in decoder.ask("survey", str(path), None if place is None else str(place)):
            if answer[0] == "progress":
                progress.report(f"reading {path.name}, seconds", answer[1], answer[2])
            else:
                return FilmIndex.from_plain(answer[1])
    raise MachineError("the decoder gave no answer", file=path)


def quick_index(
    path: Path,
    part: Callable[[FilmIndex], None] = lambda _: None,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> FilmIndex | None:
    """Return an index of a film as fast as it can be had: the exact one if that is known.

    Args:
        path: the film.
        part: takes the index as far as it is known, now and then.
        progress: hears of seconds of film.
        cancel: looked at many times a second.

    Returns:
        The index; None if only a survey tells this film's times.

    Raises:
        InputError: it is no film that can be shown.
        MachineError: it cannot be read, or the decoder crashed.
        Cancelled: the user asked to stop.
    """
    check_file(path)
    digest = cache.load_digest(path)
    index = None if digest is None else cache.load_index(digest)
    index = index or cache.load_quick(path)
    if index is not None:
        return index
    with Decoder(path, cancel) as decoder:
        for answer in decoder.ask("packets", str(path)):
            match answer:
                case ("progress", done, total):
                    progress.report(f"looking through {path.name}, seconds", done, total)
                case ("part", plain):
                    part(FilmIndex.from_plain(plain))
                case ("index", plain):
                    index = None if plain is None else FilmIndex.from_plain(plain)
                    break
    if index is not None:
        cache.store_quick(path, index)
    return index
