"""Open a procedure to work on it, with its films found but not read through."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from author import recording
from author.contract.procedure_file import find_procedure_file
from author.contract.review_file import read_review
from author.editing import OpenDocument, open_document
from author.procedure.lists import RecordingRef
from author.procedure.review import ReviewSheet
from author.progress import SILENT, Cancel, Progress
from author.tasks.media import candidates, remember_places
from author.tasks.starting import name_of


@dataclass(frozen=True, slots=True)
class Opened:
    """A procedure that is open to be worked on.

    Attributes:
        document: the open document.
        places: path of each recording that was found, by its id. Whether its content is
            the one the procedure names is known when it has been read through.
        sign_offs: what reviewers said so far, if there is anything.
    """

    document: OpenDocument
    places: dict[str, Path]
    sign_offs: ReviewSheet | None


def open_for_editing(path: Path) -> Opened:
    """Open a procedure to work on it.

    Args:
        path: the procedure's folder or file.

    Raises:
        InputError: if the file is no procedure.
        MachineError: if it cannot be read.
    """
    document = open_document(find_procedure_file(path))
    folder = document.file.parent
    places = {}
    for ref in document.procedure.recordings:
        found = next(candidates(ref, folder, ()), None)
        if found is not None:
            places[ref.id] = found
    return Opened(document, places, read_review(folder))


@dataclass(frozen=True, slots=True)
class Added:
    """A recording that may join a procedure.

    Attributes:
        ref: what the procedure says of it.
        path: where it lies.
    """

    ref: RecordingRef
    path: Path


def recording_to_add(
    document: OpenDocument,
    path: Path,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Added:
    """Read what a procedure has to say of a recording, and note its place for this machine.

    Raises:
        InputError: if it is no film.
        MachineError: if it cannot be read, or its place cannot be noted.
    """
    facts = recording.quick_facts_of(path, progress, cancel)
    taken = [ref.id for ref in document.procedure.recordings]
    remember_places(document.file.parent, {path.name: path.resolve()})
    ref = RecordingRef(
        id=name_of(path.stem, taken),
        file=facts.file,
        size=facts.size,
        duration=facts.duration,
        sha256=facts.sha256,
    )
    return Added(ref, path)
