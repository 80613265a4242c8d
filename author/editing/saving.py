"""Writing the open document to its file, and noticing that another has done so.

What takes time is a job that may run on any thread: it holds a snapshot and touches nothing
of the open document, which takes the result in when it comes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

from author.contract.procedure_file import LoadedProcedure, parse_procedure
from author.contract.reading import read_bytes
from author.contract.yaml_reader import YamlTree
from author.editing.history import State
from author.editing.merging import Merge, merge
from author.errors import InputError
from author.procedure.document import Procedure
from author.storage import file_error, replace_file


@dataclass(frozen=True, slots=True)
class Stamp:
    """By what a file is known again.

    Attributes:
        size: bytes.
        changed: when it was changed, nanoseconds.
        number: the file system's own number of it.
        sha256: of its bytes.
    """

    size: int
    changed: int
    number: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Saved:
    """The document is in its file.

    Attributes:
        state: the snapshot that was written.
        data: the bytes.
        stamp: the file as it is now.
        mark: number of the last record of the journal that is in it.
    """

    state: State
    data: bytes
    stamp: Stamp
    mark: int


@dataclass(frozen=True, slots=True)
class WouldDrop:
    """Nothing was written: comments that share their line with a value would be lost.

    Attributes:
        lines: their lines in the file, from 1.
    """

    lines: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Changed:
    """Nothing was written: the file is not as it was when it was opened or saved last.

    Attributes:
        theirs: what the file holds now; None if that is no procedure.
        stamp: the file as it is now; None if it cannot be read.
        data: its bytes.
        mine: the snapshot it was held against.
        merge: what comes of both.
        problem: why the file is no procedure, or cannot be read.
    """

    theirs: LoadedProcedure | None
    stamp: Stamp | None
    data: bytes
    mine: Procedure
    merge: Merge
    problem: InputError | None = None


SaveResult = Saved | WouldDrop | Changed


def text_of(state: State, file: Path) -> bytes:
    """Return a snapshot as canonical YAML with the comments that were kept."""
    tree = YamlTree(comments=dict(state.comments))
    return LoadedProcedure(state.procedure, tree, file).text().encode()


def stamp_of(file: Path, digest: str) -> Stamp:
    """Return by what a file with these contents is known again.

    Args:
        file: the file. Look at it before its bytes are read, so that a change in between
            is not missed.
        digest: SHA-256 of its bytes, or an empty text where that is not known yet.

    Raises:
        InputError, MachineError: if it cannot be looked at.
    """
    try:
        seen = file.stat()
    except OSError as error:
        raise file_error(error, file) from error
    return Stamp(seen.st_size, seen.st_mtime_ns, seen.st_ino, digest)


def read_stamped(file: Path) -> tuple[bytes, Stamp]:
    """Return the bytes of a file and by what it is known again.

    Raises:
        InputError, MachineError: if it cannot be read.
    """
    seen = stamp_of(file, "")
    data = read_bytes(file)
    return data, replace(seen, sha256=sha256(data).hexdigest())


def held_against(
    file: Path, data: bytes, stamp: Stamp, base: Procedure, mine: Procedure
) -> Changed:
    """Return what a file that another has changed means for the open document.

    Args:
        file: the file.
        data: its bytes now.
        stamp: by what it is known again.
        base: the document it held when it was opened or saved last.
        mine: the open document.
    """
    try:
        theirs = parse_procedure(data, file)
    except InputError as error:
        return Changed(None, stamp, data, mine, Merge(None), error)
    return Changed(theirs, stamp, data, mine, merge(base, mine, theirs.procedure))


@dataclass(frozen=True, slots=True)
class SaveJob:
    """One saving: run it on any thread, then give its result to the document.

    Attributes:
        file: where to.
        state: the snapshot.
        base: the document the file held when it was opened or saved last.
        known: SHA-256 of the file then.
        dropped: lines of comments that would be lost.
        mark: number of the last record of the journal that is in the snapshot.
        announce: called with the SHA-256 of what is about to be written.
    """

    file: Path
    state: State
    base: Procedure
    known: str
    dropped: tuple[int, ...]
    mark: int
    announce: Callable[[str], None]

    def run(self) -> SaveResult:
        """Write the file, unless another has changed it or comments would be lost.

        Raises:
            InputError, MachineError: if it cannot be written; the file is as it was.
        """
        if self.dropped:
            return WouldDrop(self.dropped)
        data = text_of(self.state, self.file)
        digest = sha256(data).hexdigest()
        found = ""
        if self.file.exists():
            there, stamp = read_stamped(self.file)
            found = stamp.sha256
            if found not in {self.known, digest}:
                mine = self.state.procedure
                return held_against(self.file, there, stamp, self.base, mine)
        if found != digest:
            self.announce(digest)
            replace_file(self.file, data)
        return Saved(self.state, data, stamp_of(self.file, digest), self.mark)


@dataclass(frozen=True, slots=True)
class FileLook:
    """One look at the file: run it on any thread.

    Attributes:
        file: the file.
        stamp: by what it was known last.
        base: the document it held then.
        mine: the open document.
    """

    file: Path
    stamp: Stamp
    base: Procedure
    mine: Procedure

    def run(self) -> Changed | Stamp | None:
        """Look at the file; its bytes are read only if it was touched.

        Returns:
            None if nothing has happened to it; a stamp if it was touched and holds the
            same; what it means if it holds something else, or is gone.

        Raises:
            MachineError: if it cannot be read.
        """
        try:
            now = stamp_of(self.file, self.stamp.sha256)
            if now == self.stamp:
                return None
            data, now = read_stamped(self.file)
        except InputError as error:
            return Changed(None, None, b"", self.mine, Merge(None), error)
        if now.sha256 == self.stamp.sha256:
            return now
        return held_against(self.file, data, now, self.base, self.mine)
