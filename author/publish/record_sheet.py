"""The record sheet as PDF: blank to be filled in by hand, or filled from a job record."""

from __future__ import annotations

from author.checks.job_records import faults_of
from author.checks.verdict import DraftProcedure, Publishable
from author.errors import FileErrors, InputError
from author.procedure.document import Procedure
from author.procedure.job_record import JobRecord
from author.publish import glyphs
from author.publish.pdf import Paper
from author.publish.record_content import record_data
from author.publish.sheet_frame import texts_of
from author.publish.typesetting import typeset


def record_pdf(
    judged: Publishable,
    record: JobRecord | None = None,
    paper: Paper = "a4",
    content: str | None = None,
) -> bytes:
    """Return the record sheet of a procedure, the same bytes for the same input.

    Args:
        judged: the procedure, checked or a draft, whose pages are all marked so.
        record: one execution of it; None for a blank sheet with room to write.
        paper: size of the pages.
        content: SHA-256 of the procedure file, in hexadecimal. A record made with another
            is told of on the sheet.

    Raises:
        InputError: if the record is not one of this procedure and revision, names what the
            procedure has not (``FileErrors`` tells several faults), or a text has characters
            that the shipped fonts lack.
        MachineError: if the working files cannot be written.
    """
    draft = isinstance(judged, DraftProcedure)
    return sheet_pdf(judged.procedure, draft=draft, record=record, paper=paper, content=content)


def sheet_pdf(
    procedure: Procedure,
    *,
    draft: bool,
    record: JobRecord | None = None,
    paper: Paper = "a4",
    content: str | None = None,
) -> bytes:
    """Return the record sheet of a procedure whose films nobody has looked at.

    There is no picture on a record sheet, so none is needed. Arguments and errors are as
    for ``record_pdf``; ``draft`` says whether every page is marked.
    """
    if record is not None:
        _refuse_faults(record, procedure)
    data = record_data(procedure, draft=draft, record=record, content=content)
    glyphs.refuse_missing(texts_of(data, "the record sheet"))
    return typeset("record", {**glyphs.breakable(data), "paper": paper}, {}, "pdf")


def _refuse_faults(record: JobRecord, procedure: Procedure) -> None:
    faults = [
        InputError(
            f"{fault.problem} (at {'/'.join(str(part) for part in fault.path)})",
            remedy=fault.remedy,
        )
        for fault in faults_of(record, procedure)
    ]
    if faults:
        raise faults[0] if len(faults) == 1 else FileErrors(faults)
