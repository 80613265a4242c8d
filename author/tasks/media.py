"""Finds the recordings of a procedure and says what they are."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from pathlib import Path

from author import recording
from author.contract import LoadedProcedure
from author.errors import InputError
from author.procedure.facts import RecordingFacts
from author.procedure.lists import RecordingRef
from author.progress import SILENT, Cancel, Progress
from author.storage import read_json, replace_file

_MOST_ENTRIES = 5_000
# Where films and captions of this folder lie on this machine: private, no part of the document.
PLACES_FILE = ".recording-places.json"


def remember_places(folder: Path, places: Mapping[str, Path]) -> None:
    """Note where films or captions lie that are not beside the procedure, besides those noted.

    Args:
        folder: the procedure's folder.
        places: path of each by its file name.
    """
    known = _remembered(folder) | dict(places)
    plain = {name: str(path) for name, path in sorted(known.items())}
    replace_file(folder / PLACES_FILE, (json.dumps(plain, indent=2) + "\n").encode())


def place_of(folder: Path, name: str) -> Path | None:
    """Return where a film or captions were when they were noted, or None."""
    return _remembered(folder).get(name)


def _remembered(folder: Path) -> dict[str, Path]:
    plain = read_json(folder / PLACES_FILE)
    if not isinstance(plain, dict):
        return {}
    return {str(name): Path(path) for name, path in plain.items() if isinstance(path, str)}


def candidates(ref: RecordingRef, folder: Path, extra: Sequence[Path] = ()) -> Iterator[Path]:
    """Yield the files that could be a recording, nearest first.

    A file is looked for by its name in the folders given, in the procedure's folder, in
    ``media`` there, in the folder above, and where it was when the procedure was made;
    then, under any name, by its size in the same folders.
    """
    places = [p for p in (*extra, folder, folder / "media", folder.parent) if p.is_dir()]
    for place in places:
        path = place / ref.file
        if path.is_file():
            yield path
    noted = place_of(folder, ref.file)
    if noted is not None and noted.is_file():
        yield noted
    for place in places:
        for path in sorted(islice(place.iterdir(), _MOST_ENTRIES)):
            if path.name != ref.file and path.is_file() and path.stat().st_size == ref.size:
                yield path


def find_recordings(
    loaded: LoadedProcedure,
    extra: Sequence[Path] = (),
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> tuple[dict[str, Path], dict[str, RecordingFacts | None]]:
    """Find every recording of a procedure and read it through.

    A file whose content is the one the procedure names is preferred; where there is
    none, the nearest of that name is taken and the rules will say that it differs.

    Args:
        loaded: the procedure and its file.
        extra: folders the user named.
        progress: told how far it is.
        cancel: looked at on the way.

    Returns:
        The path of each recording found, and the facts of each (None if not found).

    Raises:
        InputError: if a film is no film, or a folder named is not there.
    """
    for place in extra:
        if not place.is_dir():
            raise InputError("there is no such folder", remedy="Correct --media", file=place)
    paths: dict[str, Path] = {}
    facts: dict[str, RecordingFacts | None] = {}
    for ref in loaded.procedure.recordings:
        found = list(candidates(ref, loaded.file.parent, extra))
        path = next((p for p in found if p.name == ref.file), None)
        fact = None
        for same_size in (p for p in found if p.stat().st_size == ref.size):
            # Under another name it may be anything: its content is looked at first.
            renamed = same_size.name != ref.file
            if renamed and recording.sha256_of(same_size, progress, cancel) != ref.sha256:
                continue
            known = recording.facts_of(same_size, progress, cancel)
            if known.sha256 == ref.sha256:
                path, fact = same_size, known
                break
        if path is not None and fact is None:
            fact = recording.facts_of(path, progress, cancel)
        facts[ref.id] = fact
        if path is not None:
            paths[ref.id] = path
    return paths, facts
