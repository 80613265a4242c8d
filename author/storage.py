"""Writing to disk so that nothing is ever half-written.

Every file is written beside its place under another name, flushed, and renamed over. A
folder of outputs is built whole beside its place and the two are exchanged in one step
of the file system. Killed at any moment, a run leaves the old output or the new one.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import secrets
import shutil
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from author.errors import InputError, MachineError, ReelwrightError
from author.folder_exchange import exchange, hold_lock

MANIFEST = "publication.json"
MANIFEST_FORMAT = "reelwright-publication/1"
_SCRATCH = ".scratch"

_REMEDIES = {
    errno.EACCES: "Look at its permissions, or name another place",
    errno.EPERM: "Look at its permissions, or name another place",
    errno.EROFS: "The disk is read-only: name another place",
    errno.ENOTDIR: "A part of the path is a file, not a folder: name another place",
    errno.EISDIR: "This is a folder: name a file in it",
    errno.ENOENT: "The folder it lies in does not exist: make it, or name another place",
    errno.ENAMETOOLONG: "The name is too long: choose a shorter one",
}
_MACHINE = {
    errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO, errno.EMFILE, errno.ENFILE, errno.ENOMEM,
}  # fmt: skip


def file_error(error: OSError, file: Path | str) -> ReelwrightError:
    """Return the error a user is shown for a failure of the file system.

    Args:
        error: what the operating system said.
        file: the file or folder it was about.
    """
    if error.errno in {errno.ENOSPC, errno.EDQUOT}:
        return MachineError(
            "the disk is full",
            remedy="Make room and run it again; what was there before is untouched",
            file=file,
        )
    problem = f"this cannot be read or written: {error.strerror or error}"
    if error.errno in _MACHINE:
        return MachineError(problem, remedy="Look at the disk and run it again", file=file)
    return InputError(
        problem, remedy=_REMEDIES.get(error.errno or 0, "Name another place"), file=file
    )


def before_step(what: str, path: Path) -> None:
    """Mark a moment at which a run may be killed; tests put a fault here.

    Args:
        what: the step about to be taken, e.g. ``write`` or ``rename``.
        path: the file or folder it is about.
    """


def write_file(path: Path, data: bytes) -> None:
    """Write a file whole and flush it to the disk. Not atomic: for folders being built."""
    before_step("write", path)
    with path.open("wb") as stream:
        stream.write(data[: len(data) // 2])
        before_step("write", path)
        stream.write(data[len(data) // 2 :])
        stream.flush()
        os.fsync(stream.fileno())


def replace_file(path: Path, data: bytes, *, follow: bool = True) -> None:
    """Put a file in its place in one step: a reader sees the old one or the new one.

    Who may read and write the old one may do so with the new one.

    Args:
        path: the file.
        data: what will stand in it.
        follow: where a link stands there, write the file it leads to and leave the link. False
            puts the file in the link's place: for names that another user could have laid there.

    Raises:
        InputError, MachineError: if it cannot be written; the old file is untouched.
    """
    _hold_ordinary(path)
    target = without_links(path) if follow and path.is_symlink() else path
    part = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        write_file(part, data)
        _let_the_same(target, part)
        before_step("rename", path)
        part.replace(target)
        flush_folder(target.parent)
    except OSError as error:
        raise file_error(error, path) from error
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)


def _let_the_same(old: Path, new: Path) -> None:
    """Give a file the group and permissions of the one it takes the place of, if there is one."""
    if old.is_symlink():
        return
    with contextlib.suppress(OSError):  # not there, or a share that knows no permissions
        before = old.stat()
        if hasattr(os, "chown") and new.stat().st_gid != before.st_gid:
            with contextlib.suppress(OSError):  # a group the writer is not of
                os.chown(new, -1, before.st_gid)
        new.chmod(stat.S_IMODE(before.st_mode) & 0o777)


def _hold_ordinary(path: Path) -> None:
    """Refuse what is no file: a device would be gone once a file is renamed over it."""
    if not path.name:
        raise file_error(OSError(errno.EISDIR, os.strerror(errno.EISDIR)), path)
    problem = ""
    if path.is_symlink() and not os.path.exists(path):  # noqa: PTH110 - also where links circle
        problem = "this is a link that leads nowhere"
    elif os.path.exists(path) and not (path.is_file() or path.is_dir()):  # noqa: PTH110
        problem = "this is a device or a pipe, not a file"
    if problem:
        raise InputError(problem, remedy="Name a file", file=path)


def flush_folder(folder: Path) -> None:
    """Make sure of the names in a folder on the disk; Windows has no way and no need."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def cache_folder() -> Path:
    """Return where what can be made again is kept: ``REELWRIGHT_CACHE``, else the user's folder."""
    import platformdirs

    named = os.environ.get("REELWRIGHT_CACHE")
    return Path(named) if named else Path(platformdirs.user_cache_dir("reelwright", False))


def without_links(path: Path) -> Path:
    """Return a path with its links followed.

    Raises:
        InputError: if they lead in a circle.
    """
    try:
        return path.resolve()
    except (OSError, RuntimeError) as error:  # the second is what Python before 3.13 says of it
        raise InputError(
            "this is a link that leads back to itself", remedy="Name another place", file=path
        ) from error


def file_sha256(path: Path) -> str:
    """Return the SHA-256 of a file in hexadecimal."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


class Generation:
    """A folder of outputs while it is built, beside the one it will take the place of.

    Attributes:
        target: where the outputs will be.
        folder: where they are built.
        old: the manifest of what is in the target now, None if there is none.
    """

    def __init__(self, target: Path, folder: Path) -> None:
        self.target = target
        self.folder = folder
        self.old = read_manifest(target)

    def path(self, name: str) -> Path:
        """Return where to build an output, its folder made.

        Args:
            name: path below the target with forward slashes.
        """
        path = self.folder.joinpath(*name.split("/"))
        path.parent.mkdir(parents=True, exist_ok=True)
        return path

    def write(self, name: str, data: bytes) -> None:
        """Write one output."""
        write_file(self.path(name), data)

    def scratch(self, name: str) -> Path:
        """Return where to build a file that is no output itself; ``commit`` leaves it out."""
        return self.path(f"{_SCRATCH}/{name}")

    def reuse(self, earlier: str, place: Path) -> bool:
        """Put an output of the target into this generation.

        Args:
            earlier: its name in the target.
            place: where to, as ``path`` or ``scratch`` gave it.

        Returns:
            False, with nothing done, if it is not there any more as the manifest lists it.
        """
        listed = self.old["files"].get(earlier) if self.old else None
        source = self.target.joinpath(*earlier.split("/"))
        if listed is None or source.is_symlink() or not source.is_file():
            return False
        if file_sha256(source) != listed:
            return False
        _carry(source, place)
        return True

    def share(self, source: Path, name: str) -> None:
        """Make an output of a file of this generation, without taking its bytes twice."""
        _carry(source, self.path(name))

    def commit(
        self,
        about: dict[str, Any],
        *,
        keep: tuple[str, ...] = (),
        made_from: Mapping[str, str] | None = None,
    ) -> dict[str, str]:
        """Put the outputs in their place in one step.

        Files in the target that no manifest lists are somebody's own: they are carried
        over, never deleted. So are listed ones that somebody changed, under a new name.

        Args:
            about: what the manifest says of the outputs, beside the list of files.
            keep: first parts of names (``clips``, ``procedure.pdf``) whose old outputs
                stay valid where no new ones were built.
            made_from: by its name, what an output was made from; noted for those there.

        Returns:
            SHA-256 of every output by its name.
        """
        shutil.rmtree(self.folder / _SCRATCH, ignore_errors=True)
        old = self.old
        listed: dict[str, str] = old["files"] if old else {}
        files = {name: file_sha256(path) for name, path in _files_in(self.folder)}
        seen = set(listed) | {MANIFEST}
        for name, digest in listed.items():
            source = self.target.joinpath(*name.split("/"))
            kept = name.split("/")[0] in keep and name not in files
            if kept and source.is_file() and file_sha256(source) == digest:
                _carry(source, self.path(name))
                files[name] = digest
        for name, source in _files_in(self.target):
            seen.add(name)
            if name == MANIFEST and old:
                continue
            if name not in listed:
                _carry(source, _free_name(self.path(name)))
            elif file_sha256(source) != listed[name]:
                _carry(source, _free_name(self.path(f"{name}.kept")))
        files = dict(sorted(files.items()))
        noted = {name: key for name, key in sorted((made_from or {}).items()) if name in files}
        whole = {"format": MANIFEST_FORMAT, **about, "made_from": noted, "files": files}
        text = json.dumps(whole, indent=2, ensure_ascii=False)
        self.write(MANIFEST, f"{text}\n".encode())
        before_step("exchange", self.target)
        exchange(self.folder, self.target)
        before_step("tidy", self.target)
        for name, source in _files_in(self.folder):
            if name not in seen:  # somebody put it there in the last moment
                place = self.target.joinpath(*name.split("/"))
                place.parent.mkdir(parents=True, exist_ok=True)
                _carry(source, _free_name(place))
        flush_folder(self.target.parent)
        return files


@contextlib.contextmanager
def new_generation(target: Path) -> Iterator[Generation]:
    """Build a folder of outputs beside its place; leave nothing behind unless committed.

    Args:
        target: the folder the outputs are for: missing, empty, or one made before.

    Raises:
        InputError: if the folder holds files and no manifest of ours, if it cannot be
            written, or if another run is building for it.
        MachineError: if the disk is full.
    """
    target = Path(os.path.abspath(target))  # noqa: PTH100 - without following links
    try:
        _check_target(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        with hold_lock(target.parent / f".{target.name}.lock", target):
            _remove_leftovers(target)
            folder = target.parent / f".{target.name}.new-{secrets.token_hex(4)}"
            before_step("make", folder)
            folder.mkdir()
            try:
                yield Generation(target, folder)
            finally:
                shutil.rmtree(folder, ignore_errors=True)
    except OSError as error:
        inside = str(error.filename or "").startswith(str(target))
        raise file_error(error, error.filename if inside else target) from error


def _check_target(target: Path) -> None:
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise InputError(
            "this is a file or a link, not a folder", remedy="Name a folder", file=target
        )
    if target.is_dir() and read_manifest(target) is None and any(target.iterdir()):
        raise InputError(
            "the folder holds files that Reelwright did not make",
            remedy="Name an empty or a new folder",
            file=target,
        )


def _remove_leftovers(target: Path) -> None:
    """Mend what killed runs left beside the target; the lock says no run is alive."""
    for away in target.parent.glob(f".{_glob_escape(target.name)}.new-????????-old"):
        if target.exists():
            shutil.rmtree(away, ignore_errors=True)
        else:
            away.rename(target)
    for leftover in target.parent.glob(f".{_glob_escape(target.name)}.new-????????"):
        if leftover.is_dir() and not leftover.is_symlink():
            shutil.rmtree(leftover, ignore_errors=True)


def _glob_escape(name: str) -> str:
    return "".join(f"[{char}]" if char in "*?[" else char for char in name)


def read_json(path: Path) -> object:
    """Return what a JSON file of the program's own holds, or None if it cannot be read.

    Whoever can write the folder can write the file: it is read up to a bound, and nesting that
    is deeper than Python goes makes it unreadable.
    """
    try:
        with path.open("rb") as stream:
            data = stream.read(_MOST_JSON + 1)
        return json.loads(data) if len(data) <= _MOST_JSON else None
    except (OSError, ValueError, RecursionError):
        return None


_MOST_JSON = 50_000_000


def read_manifest(folder: Path) -> dict[str, Any] | None:
    """Return the manifest of a published folder, or None if it is not one."""
    manifest = read_json(folder / MANIFEST)
    if not isinstance(manifest, dict) or manifest.get("format") != MANIFEST_FORMAT:
        return None
    files = manifest.get("files")
    if not isinstance(files, dict) or not all(isinstance(v, str) for v in files.values()):
        return None
    return manifest


def _files_in(folder: Path) -> Iterator[tuple[str, Path]]:
    """Yield name and path of every file below a folder, links included, not followed."""
    for root, folders, names in os.walk(folder):
        base = Path(root)
        links = [name for name in folders if (base / name).is_symlink()]
        for name in sorted([*names, *links]):
            path = base / name
            yield path.relative_to(folder).as_posix(), path


def _carry(source: Path, place: Path) -> None:
    """Put a file into the new folder as the same file, or as a copy where that fails."""
    before_step("carry", place)
    try:
        os.link(source, place, follow_symlinks=False)
    except (OSError, NotImplementedError):
        shutil.copy2(source, place, follow_symlinks=False)


def _free_name(path: Path) -> Path:
    place, count = path, 1
    while place.exists() or place.is_symlink():
        count += 1
        place = path.with_name(f"{path.name}.{count}")
    return place
