"""What a signature is over: who said what of exactly which stored bytes, and when.

An act is one entry of a history. There are two histories: that of the library, which
says whose keys count, and one for each procedure. Every act names the act before it by
its SHA-256, so that none can be changed, taken out or put in between.
"""

from __future__ import annotations

import errno
import re
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import Annotated, Literal, cast

from pydantic import BeforeValidator, Field

from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.review_file import REVIEW_FILE
from author.errors import InputError
from author.library.shop import Role
from author.procedure.document import State
from author.procedure.values import SOME, Count, Date, Fingerprint, Id, Line, Moment, Node
from author.storage import MANIFEST, file_error, file_sha256, read_manifest

Purpose = Literal[
    "authored",
    "reviewed",
    "published",
    "draft",
    "in_review",
    "approved",
    "superseded",
    "withdrawn",
]
"""Why somebody signs a procedure: its work, its review, what was published of it, or a new
state of it."""
KeyPurpose = Literal["founded", "admitted", "revoked"]

NOTHING_BEFORE = "0" * 64
LONGEST_NAME = 500
_MEDIA = ("stills", "clips")
_STATE_LINE = re.compile(
    rb"^(state:[ ]*[\"']?)(draft|in_review|approved|superseded|withdrawn)\b", re.MULTILINE
)
# Acts that do not answer for what reviewers say.
_WITHOUT_REVIEW = frozenset({"authored", "in_review", "draft", "published"})


class Act(Node):
    """What every act says.

    Attributes:
        number: counts the acts of a history from 1.
        before: SHA-256 of the file of the act before.
        time: when it was signed, in UTC, by the clock of whoever signed.
        name: who signed, as the library has the name.
        role: the role they signed in.
        key: their public key, 64 hexadecimal digits.
        reason: why, where that is worth saying.
    """

    number: Count
    before: Fingerprint
    time: Moment
    name: Line
    role: Role
    key: Fingerprint
    reason: Line | None = None


class KeyHolder(Node):
    """Somebody whose signatures count.

    Attributes:
        name: the name the library knows them by.
        roles: what they may sign as.
        key: their public key.
    """

    name: Line
    roles: Annotated[tuple[Role, ...], *SOME]
    key: Fingerprint


class KeyAct(Act):
    """An act of the library's own history: a key counts from here on, or no longer.

    Attributes:
        form: ``library-act/1``.
        purpose: ``founded`` (the first keeper admits their own key), ``admitted`` or
            ``revoked``.
        holder: whose key it is about.
        seed: chance digits in the founding act, so that no two libraries are alike.
        since: the day from which on signatures of a revoked key do not count; those
            before the revocation all do, if absent.
        known: by procedure, the last act that a key had signed when it was revoked: what it
            signs later never counts, whatever time it claims.
    """

    form: Literal["library-act/1"]
    purpose: KeyPurpose
    holder: KeyHolder
    seed: Fingerprint | None = None
    since: Date | None = None
    known: dict[Id, Count] | None = None


def _is_safe(name: str) -> bool:
    """Whether a path cannot lead out of a folder, on no system."""
    parts = PurePosixPath(name).parts
    inside = bool(parts) and ".." not in parts and parts[0] != "/"
    return inside and len(name) <= LONGEST_NAME and not set(name) & set('\\:\0\n"')


def safe_names(value: object) -> object:
    """Return names of files by what they map to, as they are.

    Raises:
        ValueError: if one could lead out of a folder, on some system.
    """
    if isinstance(value, Mapping) and not all(_is_safe(str(name)) for name in value):
        msg = "names a file outside the folder"
        raise ValueError(msg)
    return value


class ProcedureAct(Act):
    """An act of a procedure's history.

    Attributes:
        form: ``procedure-act/1``.
        library: SHA-256 of the library's founding act.
        keys: SHA-256 of the newest act of the library's history at that time.
        purpose: why it was signed.
        procedure: id of the procedure.
        revision: its revision.
        state: the state it has with this act.
        files: SHA-256 of the stored bytes of each file that was signed, by its path below
            the procedure's folder.
        stays: where a draft is withdrawn and put aside, the older revision that stays in force.
    """

    form: Literal["procedure-act/1"]
    library: Fingerprint
    keys: Fingerprint
    purpose: Purpose
    procedure: Id
    revision: Count
    state: State
    files: Annotated[
        dict[Annotated[str, Field(max_length=LONGEST_NAME)], Fingerprint],
        BeforeValidator(safe_names),
    ]
    stays: Count | None = None


def names_to_sign(folder: Path, purpose: Purpose) -> tuple[str, ...]:
    """Return the files of a procedure's folder that a signature covers, as they are now.

    These are the procedure, the sign-offs (in acts of reviewers and keepers), and the
    stills and clips that the manifests of published folders list. Of what was published
    the manifest as well, and with it all that it lists: pages, prints, sheets.

    Args:
        folder: the procedure's folder.
        purpose: why it is signed.

    Raises:
        InputError, MachineError: if the folder cannot be read.
    """
    names = [PROCEDURE_FILE]
    if purpose not in _WITHOUT_REVIEW and (folder / REVIEW_FILE).exists():
        names.append(REVIEW_FILE)
    try:
        inner = sorted(path for path in folder.iterdir() if path.is_dir())
    except OSError as error:
        raise file_error(error, folder) from error
    for place in inner:
        listed = read_manifest(place)
        if listed is None:
            continue
        media = (name for name in listed["files"] if name.split("/")[0] in _MEDIA)
        names += [f"{place.name}/{name}" for name in media]
        if purpose == "published":
            names.append(f"{place.name}/{MANIFEST}")
    return tuple(sorted(names))


def covers_media(act: ProcedureAct) -> bool:
    """Whether an act was signed over stills or clips, beside the text."""
    return any(name.split("/")[1:2] and name.split("/")[1] in _MEDIA for name in act.files)


def changed_outputs(folder: Path, digests: dict[tuple[Path, str], str | None]) -> Iterator[str]:
    """Yield the published files that are not what the manifest beside them lists.

    Args:
        folder: the procedure's folder.
        digests: digests known already by folder and name; those taken are added.

    Raises:
        InputError, MachineError: if a file cannot be read.
    """
    for place in sorted(path for path in folder.iterdir() if path.is_dir()):
        for name, listed in (read_manifest(place) or {"files": {}})["files"].items():
            whole = f"{place.name}/{name}"
            if (folder, whole) not in digests:
                digests[folder, whole] = digest_of(folder, whole)
            if digests[folder, whole] != listed:
                yield whole


def hashed(folder: Path, names: tuple[str, ...]) -> dict[str, str]:
    """Return the SHA-256 of files that are to be signed.

    Raises:
        InputError: if one is missing, is a link, or lies outside the folder.
        MachineError: if one cannot be read.
    """
    found = {}
    for name in names:
        if not _is_safe(name):
            raise InputError(
                f"'{name[:80]}' is no name that can be signed",
                remedy="Give the folder or the file a plain name, and publish again",
                file=folder,
            )
        digest = digest_of(folder, name)
        if digest is None:
            raise InputError(
                "this is not there, or it is a link",
                remedy="Publish the procedure again, so that its stills and clips are there",
                file=folder / name,
            )
        found[name] = digest
    return found


def digest_of(folder: Path, name: str) -> str | None:
    """Return the SHA-256 of a file, or None if it is missing, a link, or outside.

    Raises:
        InputError, MachineError: if it cannot be read.
    """
    path = folder
    try:
        for part in PurePosixPath(name).parts:
            path = path / part
            if part in {"..", "/"} or path.is_symlink():
                return None
        return file_sha256(path) if path.is_file() else None
    except OSError as error:
        if error.errno in {errno.ENAMETOOLONG, errno.EINVAL}:
            return None  # no file can be called so
        raise file_error(error, path) from error


def with_state(data: bytes, state: State) -> bytes | None:
    """Return a procedure file with another state in it and every other byte as it was.

    Args:
        data: the file.
        state: the state it is to say.

    Returns:
        None if the state does not stand on a line of its own.
    """
    if len(_STATE_LINE.findall(data)) != 1:
        return None
    return _STATE_LINE.sub(rb"\g<1>" + state.encode(), data)


def stated(data: bytes) -> State | None:
    """Return the state that a procedure file says; None if it stands on no line of its own."""
    found = _STATE_LINE.findall(data)
    return cast("State", found[0][1].decode()) if len(found) == 1 else None
