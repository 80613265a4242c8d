"""Documents to edit, and what is asked of them in many tests."""

import json
from pathlib import Path

from document.samples import base, changed, filmed, load

from author.contract import parse_procedure
from author.contract.procedure_file import as_plain
from author.editing import OpenDocument, open_document
from author.procedure.document import Procedure
from author.resources import schema_folder

EVERYTHING = schema_folder() / "examples" / "valid" / "everything-once.yaml"


def guard(folder: Path, text: str | None = None) -> OpenDocument:
    """The small procedure of two filmed steps, opened in a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / "procedure.yaml"
    file.write_text(load(changed(filmed)).text() if text is None else text, encoding="utf-8")
    return open_document(folder)


def small() -> Procedure:
    """The small procedure of two filmed steps."""
    return load(changed(filmed)).procedure


def unfilmed() -> Procedure:
    """The same without a film."""
    return load(base()).procedure


def text(procedure: Procedure) -> str:
    """A document to its last digit; compare with ``==`` outside of ``assert``."""
    return json.dumps(as_plain(procedure))


def same(one: Procedure, other: Procedure) -> bool:
    """Whether two documents are the same to the last digit."""
    return text(one) == text(other)


def read(file: Path) -> Procedure:
    """What a file holds."""
    return parse_procedure(file.read_bytes(), file).procedure
