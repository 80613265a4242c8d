"""Start a procedure from recordings: a folder that can be checked at once."""

from __future__ import annotations

import re
import shutil
from collections.abc import Container, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from author import recording
from author.checks.naming import new_id
from author.checks.wording import UNWRITTEN
from author.contract import parse_procedure, write_yaml
from author.contract.procedure_file import PROCEDURE_FILE, as_plain
from author.errors import InputError, ReelwrightError
from author.procedure.document import SCHEMA_NAME
from author.procedure.facts import RecordingFacts
from author.procedure.values import check_file_name
from author.progress import SILENT, Cancel, Progress
from author.storage import file_error, replace_file, without_links
from author.tasks.media import remember_places


@dataclass(frozen=True, slots=True)
class Started:
    """A new procedure.

    Attributes:
        file: its procedure file.
        recordings: facts of each recording by its id.
    """

    file: Path
    recordings: dict[str, RecordingFacts]


def start_procedure(
    folder: Path,
    recordings: Sequence[Path],
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
    *,
    read_through: bool = True,
) -> Started:
    """Make a procedure folder from recordings.

    The films stay where they are; the folder notes their places for this machine alone.

    Args:
        folder: where to make it; it may exist if it holds no procedure.
        recordings: films of the job, in order.
        progress: told how far it is.
        cancel: looked at on the way.
        read_through: whether every frame is decoded first; without it the durations are
            what the containers say, until somebody has read the films through.

    Raises:
        InputError: if the folder holds a procedure, or a film is no film.
        MachineError: if the machine fails.
    """
    file = folder / PROCEDURE_FILE
    if file.exists():
        raise InputError("there is a procedure already", remedy="Name another folder", file=file)
    hold_names(recordings)
    names = [path.name for path in recordings]
    for name in names:
        if names.count(name) > 1:
            raise InputError(
                "two recordings have the same name", remedy="Rename one of them", file=name
            )
    find_out = recording.facts_of if read_through else recording.quick_facts_of
    facts: dict[str, RecordingFacts] = {}
    for path in recordings:
        facts[name_of(path.stem, facts)] = find_out(path, progress, cancel)
    data = write_yaml(_first_draft(folder, facts)).encode()
    canonical = write_yaml(as_plain(parse_procedure(data, file).procedure)).encode()
    fresh = not folder.exists()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise file_error(error, folder) from error
    try:
        remember_places(folder, {path.name: path.resolve() for path in recordings})
        replace_file(file, canonical)
    except ReelwrightError:
        if fresh:
            shutil.rmtree(folder, ignore_errors=True)
        raise
    return Started(file, facts)


def hold_names(recordings: Sequence[Path]) -> None:
    """See that films are called what a procedure can call them.

    Raises:
        InputError: if one is not.
    """
    for path in recordings:
        try:
            check_file_name(path.name)
        except ValueError:
            raise InputError(
                "no procedure can name a film of this name",
                remedy="Rename it: one line, with no control character and no space at its end",
                file=path,
            ) from None


def name_of(place: str, taken: Container[str] = ()) -> str:
    """Return an id made from the name of a file or folder, not taken yet."""
    return new_id(place, taken, "film", most=8)


def title_of(place: str) -> str:
    """Return a title made from the name of a file or folder, or that it is to be written."""
    words = " ".join(place.replace("_", " ").replace("-", " ").split())
    return re.sub(r"[^\w .,]", "", words)[:200].strip().capitalize() or UNWRITTEN


def _first_draft(folder: Path, facts: dict[str, RecordingFacts]) -> dict[str, Any]:
    name = without_links(folder).name
    return {
        "schema": SCHEMA_NAME,
        "id": name_of(name),
        "title": title_of(name),
        "revision": 1,
        "state": "draft",
        "language": "en",
        "purpose": f"{UNWRITTEN} what the job achieves and when it is due",
        "unit": {"name": f"{UNWRITTEN} the machine"},
        "limits_of_use": [f"{UNWRITTEN} what this procedure does not cover"],
        "people": [{"id": "technician", "role": "Technician"}],
        "recordings": [
            {
                "id": name,
                "file": fact.file,
                "size": fact.size,
                "duration": f"{fact.duration:f}",
                "sha256": fact.sha256,
            }
            for name, fact in facts.items()
        ],
        "sources": [{"id": "film", "kind": "film", "title": "The technician's word on the film"}],
        **dict.fromkeys(
            ("prerequisites", "parts", "tools", "supplies", "stacks", "general_hazards"), "none"
        ),
        "sections": [{"id": "work", "title": "Work", "steps": _first_steps(facts)}],
        **dict.fromkeys(("chains", "close_outs", "findings", "concessions", "changes"), "none"),
    }


def _first_steps(facts: dict[str, RecordingFacts]) -> list[dict[str, Any]]:
    """Return one step for each film that shows all of it, to be split by a person."""
    steps: list[dict[str, Any]] = []
    for count, (name, fact) in enumerate(facts.items(), start=1):
        middle = fact.frame_starts[fact.frame_count // 2]
        steps.append(
            {
                "id": f"step-{count}",
                "action": f"{UNWRITTEN} one action, as an order",
                "clip": {"recording": name, "from": "0", "to": f"{fact.duration:f}"},
                "still": {
                    "recording": name,
                    "at": f"{middle:f}",
                    "alt": f"{UNWRITTEN} what the picture shows",
                },
            }
        )
    return steps
