"""Brings together what lies beside two people's procedures: media, what is published, sign-offs."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.reading import read_bytes, read_model
from author.contract.review_file import REVIEW_FILE, review_bytes
from author.library.shelves.bases import Meeting
from author.procedure.review import REVIEW_SCHEMA, ReviewSheet, SignOff
from author.storage import MANIFEST, file_sha256, read_manifest
from author.tasks.library_conflicts import Answers, Clash


@dataclass(slots=True)
class Found:
    """What comes of both while they are brought together.

    Attributes:
        contents: files that are written in place of the author's.
        kept: files that stay as the library has them.
        mine: what the author's folder brings beside the procedure, one line each.
        library: what the library has had since, likewise.
        notes: what else the author should know.
    """

    contents: dict[str, bytes] = field(default_factory=dict)
    kept: set[str] = field(default_factory=set)
    mine: list[str] = field(default_factory=list)
    library: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def merge_files(meeting: Meeting, answers: Answers, found: Found) -> None:
    """Bring together the files beside the procedures by their content.

    Args:
        meeting: both sides.
        answers: asked where both have another file of one name.
        found: takes the names of those that stay as the library has them.

    Raises:
        MachineError: if a file cannot be read.
    """
    units = _published(meeting)
    for unit in sorted(units):
        _unit(meeting, unit, found)
    apart = {PROCEDURE_FILE, REVIEW_FILE}
    for name in sorted({*meeting.shelf, *meeting.files} - apart):
        if name.split("/")[0] in units:
            continue
        was = meeting.base.files.get(name)
        mine, theirs = (_digest(side.get(name)) for side in (meeting.files, meeting.shelf))
        said = f"File '{name}': {'new' if was is None else 'another one'}"
        both = theirs is not None and theirs not in (mine, was) and mine not in (None, was)
        library = both and _library_counts(meeting, name, answers)
        if mine not in (None, was) and not library:
            found.mine.append(said)
        if theirs not in (None, was) and (library or not both):
            found.library.append(said)
        if theirs is not None and theirs not in (mine, was) and (library or not both):
            found.kept.add(name)


def _digest(path: Path | None) -> str | None:
    return None if path is None else file_sha256(path)


def _library_counts(meeting: Meeting, name: str, answers: Answers) -> bool:
    """Whether the library's file counts where both have another one."""
    was = meeting.base.files.get(name)
    mine, theirs = (_size(side[name]) for side in (meeting.files, meeting.shelf))
    before = "not there" if was is None else f"another one ({was[:8]})"
    clash = Clash(f"files/{name}", (), f"The file '{name}':", mine, theirs, before)
    return answers.side(clash) == "library"


def _size(path: Path) -> str:
    return f"{path.stat().st_size:,} bytes ({file_sha256(path)[:8]})"


def _published(meeting: Meeting) -> set[str]:
    """Return the folders that hold what was published, on either side."""
    named = {name.split("/")[0] for name in (*meeting.files, *meeting.shelf) if "/" in name}
    sides = (meeting.mine.file.parent, meeting.theirs.file.parent)
    return {name for name in named if any(read_manifest(side / name) for side in sides)}


def _unit(meeting: Meeting, unit: str, found: Found) -> None:
    """Take what was published as a whole: a manifest lists every file of it."""
    manifest = f"{unit}/{MANIFEST}"
    was = meeting.base.files.get(manifest)
    sides = (meeting.files.get(manifest), meeting.shelf.get(manifest))
    mine, theirs = (None if path is None else file_sha256(path) for path in sides)
    if theirs is not None and theirs not in (mine, was):
        inside = {name for name in meeting.shelf if name.startswith(f"{unit}/")}
        if mine in (None, was):
            found.kept |= inside
            found.library.append(f"What is published in {unit}: made anew")
        else:
            found.notes.append(
                f"Both had published into {unit} anew: what is there now is of your folder."
            )
    if mine not in (None, was):
        found.mine.append(f"What is published in {unit}: made anew")
    if PROCEDURE_FILE in found.contents:
        found.notes.append(
            f"What is published in {unit} was made of one side alone: publish it again."
        )


def merge_sign_offs(meeting: Meeting, answers: Answers, found: Found) -> None:
    """Bring the sign-offs together; every one of both is kept.

    Args:
        meeting: both sides.
        answers: asked whose word is the last on a point that both have signed.
        found: takes the sheet where it is neither of the two.

    Raises:
        InputError: if one of the sheets is wrong.
        MachineError: if a file cannot be read.
    """
    path, place = meeting.files.get(REVIEW_FILE), meeting.shelf.get(REVIEW_FILE)
    if path is None or place is None:
        if place is not None and meeting.theirs.procedure.revision == _revision(meeting):
            found.kept.add(REVIEW_FILE)
        return
    mine, theirs = (_sheet(read_bytes(one), one) for one in (path, place))
    if theirs.revision != mine.revision or theirs == mine:
        return
    text = meeting.base.review
    was = None if text is None else _sheet(text.encode(), path)
    old = was.sign_offs if was is not None and was.revision == mine.revision else ()
    left = [one for one in old if one in mine.sign_offs and one in theirs.sign_offs]
    fresh = [[one for one in sheet.sign_offs if one not in old] for sheet in (mine, theirs)]
    fresh[1] = [one for one in fresh[1] if one not in fresh[0]]
    last = [{one.point: one for one in entries} for entries in fresh]
    later: list[SignOff] = []
    for point in sorted(last[0].keys() & last[1].keys()):
        said, other = (_sign_off(entries[point]) for entries in last)
        clash = Clash(f"sign-offs/{point}", (), f"The sign-off of '{point}':", said, other, "open")
        side = answers.side(clash)
        if side is not None:
            later.append(last[0 if side == "mine" else 1][point])
    whole = (*left, *(one for one in _by_day(fresh) if one not in later), *later)
    for lines, entries in zip((found.mine, found.library), fresh, strict=True):
        if entries:
            lines.append(f"Sign-offs: {len(entries)} more")
    sheet = mine.model_copy(update={"sign_offs": whole})
    if sheet == theirs:
        found.kept.add(REVIEW_FILE)
    elif sheet != mine:
        found.contents[REVIEW_FILE] = review_bytes(sheet)


def _by_day(sides: list[list[SignOff]]) -> list[SignOff]:
    """Return the sign-offs of both in the order of their days, each side's in its own."""
    dated = []
    for entries in sorted(sides, key=lambda side: [one.model_dump_json() for one in side]):
        day = ""
        for one in entries:
            day = max(day, one.date)
            dated.append((day, one))
    return [one for _, one in sorted(dated, key=lambda entry: entry[0])]


def _revision(meeting: Meeting) -> int:
    return meeting.mine.procedure.revision


def _sheet(data: bytes, file: Path) -> ReviewSheet:
    return read_model(data, file, ReviewSheet, REVIEW_SCHEMA)[0]


def _sign_off(one: SignOff) -> str:
    note = f" “{one.note}”" if one.note else ""
    return f"{one.verdict}{note} by {one.by}, {one.role}, {one.date},"
