"""Order sheets over several procedures, and record sheets, blank or filled.

No film is looked at: there is no picture on a sheet.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from author.checks import check
from author.checks.job_records import faults_of
from author.checks.verdict import forbids
from author.contract import LoadedProcedure, read_procedure
from author.contract.reading import read_bytes, read_model
from author.contract.review_file import read_review
from author.errors import FileErrors, InputError
from author.procedure.job_record import RECORD_SCHEMA, JobRecord
from author.procedure.orders import Job, OrderSheet, order_sheet
from author.procedure.review import ReviewSheet
from author.progress import SILENT, Cancel, Progress
from author.publish.order_sheet import order_csv, order_pdf
from author.publish.published_yaml import published_yaml
from author.publish.record_sheet import sheet_pdf
from author.storage import file_error, file_sha256, read_manifest, replace_file
from author.tasks.checking import CheckReport

if TYPE_CHECKING:
    from author.publish.pdf import Paper

ORDER_FILES = ("order.csv", "order.pdf")


@dataclass(frozen=True, slots=True)
class MadeOrder:
    """An order sheet that was written.

    Attributes:
        files: where it is.
        sheet: what is on it.
    """

    files: tuple[Path, ...]
    sheet: OrderSheet


@dataclass(frozen=True, slots=True)
class MadeRecord:
    """A record sheet that was written.

    Attributes:
        file: where it is.
        loaded: the procedure it is of.
        record: what it is filled with, None if it is blank.
        draft: whether its pages are marked as a draft.
    """

    file: Path
    loaded: LoadedProcedure
    record: JobRecord | None
    draft: bool


def make_order_sheet(
    paths: Sequence[Path],
    to: Path,
    *,
    times: Mapping[str, int] | None = None,
    draft: bool = False,
    paper: Paper = "a4",
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> MadeOrder | list[CheckReport]:
    """Write one order sheet for some procedures, ``order.csv`` and ``order.pdf``.

    Args:
        paths: folders or files of the procedures; one that is named twice is done twice.
        to: the folder to write into, made if it is missing.
        times: how many times each is done, by its id; once if it is not named.
        draft: go on in spite of errors; what comes from such a procedure is marked.
        paper: size of the pages.
        progress: told how far it is.
        cancel: looked at between procedures.

    Returns:
        What was made, or the reports of the procedures that have errors.

    Raises:
        InputError: if a procedure, the number of times or the folder is wrong.
        MachineError: if the machine fails.
    """
    cancel = cancel or Cancel()
    _check_folder(to)
    loaded: list[tuple[LoadedProcedure, CheckReport | None]] = []
    for done, path in enumerate(paths):
        cancel.check()
        progress.report("reading procedures", done, len(paths))
        one = read_procedure(path)
        loaded.append((one, _forbidding(one)))
    bad = [report for _, report in loaded if report is not None]
    if bad and not draft:
        return bad
    counts = _times([one for one, _ in loaded], times or {})
    jobs = [Job(one.procedure, counts[one.procedure.id], bool(bad)) for one, bad in loaded]
    sheet = order_sheet(jobs)
    cancel.check()
    progress.report("setting the order sheet", 0, None)
    made = (order_csv(sheet), order_pdf(sheet, paper))
    cancel.check()
    try:
        to.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise file_error(error, to) from error
    files = tuple(to / name for name in ORDER_FILES)
    for file, data in zip(files, made, strict=True):
        replace_file(file, data)
    return MadeOrder(files, sheet)


def _check_folder(to: Path) -> None:
    if to.exists() and not to.is_dir():
        raise InputError("this is a file, not a folder", remedy="Name a folder", file=to)
    if read_manifest(to) is not None:
        raise InputError(
            "this folder holds what was published of a procedure",
            remedy="Name another folder for the order sheet",
            file=to,
        )


def _times(loaded: Sequence[LoadedProcedure], times: Mapping[str, int]) -> dict[str, int]:
    """Return how many times each procedure is done, by its id."""
    revisions: dict[str, set[int]] = {}
    for one in loaded:
        revisions.setdefault(one.procedure.id, set()).add(one.procedure.revision)
    for name in times:
        if name not in revisions:
            raise InputError(
                f"--times names '{name[:60]}', which is not among the procedures",
                remedy=f"Name one of: {', '.join(sorted(revisions))}",
            )
        if len(revisions[name]) > 1:
            raise InputError(
                f"--times names '{name}', of which several revisions are given",
                remedy="Name a procedure as often as it is done, or give one revision alone",
            )
    return {name: times.get(name, 1) for name in revisions}


def make_record_sheet(
    path: Path,
    to: Path,
    *,
    record: Path | None = None,
    draft: bool = False,
    paper: Paper = "a4",
) -> MadeRecord | CheckReport:
    """Write the record sheet of a procedure as PDF, blank or filled from a job record.

    Args:
        path: the procedure's folder or file.
        to: the PDF to write.
        record: a job record of it, as JSON or YAML; None for a blank sheet.
        draft: go on in spite of errors, with DRAFT on every page.
        paper: size of the pages.

    Returns:
        What was made, or the report of a procedure that has errors.

    Raises:
        InputError: if the procedure is wrong, or the record is wrong or of another
            procedure; ``FileErrors`` tells several faults.
        MachineError: if the machine fails.
    """
    if to.suffix.lower() != ".pdf":
        raise InputError("a record sheet is a PDF", remedy="Name a file that ends in .pdf", file=to)
    loaded = read_procedure(path)
    report = _forbidding(loaded)
    if report is not None and not draft:
        return report
    filled = None if record is None else _read_record(record, loaded)
    data = sheet_pdf(
        loaded.procedure,
        draft=report is not None,
        record=filled,
        paper=paper,
        content=_content(loaded, filled),
    )
    replace_file(to, data)
    return MadeRecord(to, loaded, filled, report is not None)


def _read_record(file: Path, loaded: LoadedProcedure) -> JobRecord:
    """Read a record and hold it against its procedure, each fault with its line."""
    record, tree = read_model(read_bytes(file), file, JobRecord, RECORD_SCHEMA)
    faults = []
    for fault in faults_of(record, loaded.procedure):
        line, column = tree.place(fault.path)
        faults.append(
            InputError(fault.problem, remedy=fault.remedy, file=file, line=line, column=column)
        )
    if faults:
        raise FileErrors(faults)
    return record


def _content(loaded: LoadedProcedure, record: JobRecord | None) -> str:
    """Return the fingerprint of the procedure file, as its author or as publishing wrote it."""
    own = file_sha256(loaded.file)
    if record is None or record.content == own:
        return own
    published = hashlib.sha256(published_yaml(loaded.procedure)).hexdigest()
    return published if record.content == published else own


def _forbidding(loaded: LoadedProcedure) -> CheckReport | None:
    """Return the report of a procedure that must not leave the house, films aside."""
    sign_offs: ReviewSheet | Literal["none"] = read_review(loaded.file.parent) or "none"
    verdict = check(loaded.procedure, None, sign_offs)
    return CheckReport(loaded, verdict, {}) if any(map(forbids, verdict.remarks)) else None
