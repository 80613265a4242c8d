"""The example files of the contract, as tests and other validators take them."""

import pickle
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, Literal

import yaml

from author.contract import read_procedure
from author.contract.json_schema import FORMS
from author.contract.reading import read_bytes, read_model
from author.procedure.document import SCHEMA_NAME, Procedure
from author.procedure.facts import RecordingFacts
from author.procedure.job_record import RECORD_SCHEMA, JobRecord
from author.procedure.review import REVIEW_SCHEMA, ReviewSheet
from author.procedure.shop_sheet import SHOP_SCHEMA
from author.resources import schema_folder

EXAMPLES = schema_folder() / "examples"
_VALID = {
    SCHEMA_NAME: "valid",
    RECORD_SCHEMA: "job_record/valid",
    REVIEW_SCHEMA: "review/valid",
    SHOP_SCHEMA: "library/valid",
}
_INVALID = {
    SCHEMA_NAME: "invalid/schema",
    RECORD_SCHEMA: "job_record/invalid",
    REVIEW_SCHEMA: "review/invalid",
    SHOP_SCHEMA: "library/invalid",
}


def valid(form: str = SCHEMA_NAME) -> list[Path]:
    return sorted((EXAMPLES / _VALID[form]).glob("*.yaml"))


def invalid(form: str = SCHEMA_NAME) -> list[Path]:
    return sorted((EXAMPLES / _INVALID[form]).glob("*.yaml"))


def read_job_record(file: Path) -> JobRecord:
    """Read a job record from a YAML or JSON file, as the program does."""
    return read_model(read_bytes(file), file, JobRecord, RECORD_SCHEMA)[0]


def named(files: list[tuple[str, Path]]) -> list[str]:
    """Names for parametrized tests: the kind of file and its stem."""
    return [f"{form.partition('/')[0]}-{file.stem}" for form, file in files]


ALL_VALID = [(form, file) for form in FORMS for file in valid(form)]
ALL_INVALID = [(form, file) for form in FORMS for file in invalid(form)]


def plain(file: Path) -> Any:
    """Read as another program would: with PyYAML's own loader. It is the caller's to change."""
    return pickle.loads(_read(file))  # noqa: S301 - our own


@cache
def _read(file: Path) -> bytes:
    return pickle.dumps(yaml.safe_load(file.read_text(encoding="utf-8")))


def copied(plain: Any) -> Any:
    """Copy plain values; ``copy.deepcopy`` takes ten times as long."""
    return pickle.loads(pickle.dumps(plain))  # noqa: S301 - our own


def first_line(file: Path) -> str:
    return file.read_text(encoding="utf-8").splitlines()[0].removeprefix("# ")


def procedures() -> dict[tuple[str, int], tuple[Path, Procedure]]:
    """The valid procedures by id and revision."""
    found = ((file, read_procedure(file).procedure) for file in valid())
    return {(p.id, p.revision): (file, p) for file, p in found}


def sign_offs_of(procedure: Procedure) -> ReviewSheet | Literal["none"]:
    """The review among the examples that is about a procedure."""
    for file in valid(REVIEW_SCHEMA):
        sheet, _ = read_model(read_bytes(file), file, ReviewSheet, REVIEW_SCHEMA)
        if (sheet.procedure, sheet.revision) == (procedure.id, procedure.revision):
            return sheet
    return "none"


def facts_of(procedure: Procedure) -> dict[str, RecordingFacts | None]:
    """Facts as the films of an example would have them, 25 frames a second."""
    return {
        film.id: RecordingFacts(
            file=film.file,
            size=film.size,
            sha256=film.sha256,
            width=1280,
            height=720,
            frame_starts=tuple(Decimal(n) / 25 for n in range(int(film.duration * 25))),
            duration=film.duration,
        )
        for film in procedure.recordings
    }
