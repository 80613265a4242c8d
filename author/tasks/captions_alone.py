"""The captions of a draft that no film belongs to, and where they lie."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from author.errors import InputError
from author.procedure.cues import Cue
from author.procedure.values import check_file_name
from author.proposals.draft.answers import read_answers
from author.recording.captions import read_speech
from author.tasks.media import place_of, remember_places
from author.tasks.starting import name_of


def names_of(files: Sequence[Path]) -> list[str]:
    """Return ids for captions or films, from the names of their files, each another one."""
    names: list[str] = []
    for file in files:
        names.append(name_of(file.stem, names))
    return names


def kept_names(files: Sequence[Path]) -> tuple[str, ...]:
    """Return the names a sheet of answers keeps of captions; none if it cannot keep them all."""
    try:
        return tuple(check_file_name(file.name) for file in files)
    except ValueError:
        return ()


def remember_captions(folder: Path, files: Sequence[Path]) -> None:
    """Note where captions lie that a draft of this folder would not find again by their name."""
    far = {
        file.name: file.resolve()
        for file in files
        if next((p.resolve() for p in _places(folder, file.name) if p.is_file()), None)
        != file.resolve()
    }
    if far:
        remember_places(folder, far)


def captions_of(answers: Path) -> tuple[tuple[str, Path], ...]:
    """Return id and file of the captions that a sheet of answers was made from, in order.

    Args:
        answers: the sheet; need not be there.

    Returns:
        Nothing where it was made from films.

    Raises:
        InputError: captions it names are not there, or the sheet is wrong.
        MachineError: if it cannot be read.
    """
    sheet = read_answers(answers)
    files = [_found(answers, name) for name in (sheet.captions if sheet else None) or ()]
    return tuple(zip(names_of(files), files, strict=True))


def cues_alone(answers: Path) -> tuple[Cue, ...]:
    """Return what those captions say, one file after the other.

    Raises:
        InputError, MachineError: as ``captions_of``, or they cannot be read.
    """
    read = (read_speech(file, best_effort=True) for _, file in captions_of(answers))
    return tuple(cue for speech in read for cue in speech.cues)


def _found(answers: Path, name: str) -> Path:
    found = next((place for place in _places(answers.parent, name) if place.is_file()), None)
    if found is None:
        raise InputError(
            f"the captions '{name}' it was made from are not there",
            remedy="Lay them beside it, or run 'reelwright propose' again with --captions",
            file=answers,
        )
    return found


def _places(folder: Path, name: str) -> Iterator[Path]:
    yield from (folder / name, folder / "media" / name, folder.parent / name)
    noted = place_of(folder, name)
    if noted is not None:
        yield noted
