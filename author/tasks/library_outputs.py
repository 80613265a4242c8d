"""Published folders of a library that show another state of their procedure than its file has."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

from author.contract.procedure_file import PROCEDURE_FILE, as_plain
from author.contract.reading import read_bytes
from author.contract.yaml_writer import write_yaml
from author.errors import InputError
from author.library.quick_reader import read_document
from author.library.shop import REVISIONS
from author.library.signing.history import Problem
from author.library.signing.manifest import with_state
from author.library.signing.states import WORKED_ON
from author.procedure.document import State
from author.publish.published_yaml import with_si_values
from author.storage import MANIFEST, read_manifest

_DRAFT_MARK = b"draft"


def outputs_behind(folder: Path, place: str) -> Iterator[Problem]:
    """Yield the published folders beside a procedure that are behind its file.

    A state that the library gave since makes no output old.

    Args:
        folder: the folder that holds the procedure file.
        place: the same below the library's folder.

    Raises:
        MachineError: if a file cannot be read.
    """
    manifests = {
        inner.name: manifest
        for inner in sorted(path for path in folder.iterdir() if path.is_dir())
        if not inner.is_symlink() and (manifest := read_manifest(inner)) is not None
    }
    file = folder / PROCEDURE_FILE
    try:
        one = read_document(read_bytes(file), file) if manifests else None
    except InputError:
        return  # a file that cannot be read is told of by itself
    if one is None:
        return
    now = _states_now(write_yaml(as_plain(with_si_values(one))).encode())
    for name, manifest in manifests.items():
        shows, revision = manifest.get("shows"), manifest.get("revision")
        if manifest.get("procedure") != one.id:
            continue
        old = sorted(
            str(output)
            for output, state in dict(shows if isinstance(shows, dict) else {}).items()
            if state not in now
        )
        said = None
        if one.state in WORKED_ON and (folder / REVISIONS / str(revision)).is_dir():
            continue  # it is of a revision that work still goes by
        if revision != one.revision:
            said = f"this shows revision {revision}, and the file is revision {one.revision}"
        elif old:
            said = f"what is published is behind the file ({', '.join(old)[:200]})"
        if said is not None:
            yield Problem(f"{said}: publish again", f"{place}/{name}/{MANIFEST}")


def _states_now(published: bytes) -> frozenset[str]:
    """Return what manifests call this content, published or as a draft, in any state."""
    texts = [told for state in get_args(State) if (told := with_state(published, state))]
    return frozenset(
        hashlib.sha256(text + mark).hexdigest() for text in texts for mark in (b"", _DRAFT_MARK)
    )
