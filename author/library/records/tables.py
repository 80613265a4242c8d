"""The tables of job records in the index; they are made by the first look for records."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Index, Integer, Table

from author.library.index.tables import Letters, metadata, of_file

RECORDS_VERSION = 5
"""Counted up when these tables or what is kept in them change; they are then filled anew."""
VERSION_NOTE = "records version"

record_files = Table(
    "record_files",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("place", Letters, nullable=False, unique=True),
    Column("problem", Letters),
    Column("remedy", Letters),
)
"""Records, releases and answers by their places below the folder of records."""


job_records = Table(
    "job_records",
    metadata,
    Column("file", Integer, primary_key=True, autoincrement=False),
    Column("slug", Letters, nullable=False, index=True),
    Column("key", Letters, nullable=False),
    Column("job", Letters, nullable=False, index=True),
    Column("unit", Letters, nullable=False),
    Column("serial", Letters),
    Column("alike", Letters, nullable=False, index=True),
    Column("procedure", Letters, nullable=False, index=True),
    Column("revision", Integer, nullable=False),
    Column("title", Letters, nullable=False),
    Column("data", Letters, nullable=False),
    Column("began", Letters, nullable=False),
    Column("began_utc", Letters, nullable=False),
    Column("ended", Letters),
    Column("outcome", Letters, nullable=False),
    Column("workers", Letters, nullable=False),
    Column("hours", Letters),
    Column("notes", Integer, nullable=False),
    Column("entries", Integer, nullable=False),
    Column("number", Integer, nullable=False),
    Column("sent_by", Letters, nullable=False),
    Column("sent_at", Letters, nullable=False),
    Column("latest", Boolean, nullable=False),
    Column("disputed", Boolean, nullable=False),
)
"""``latest`` is the state of its job that counts; the others are superseded. ``disputed``
are it and each other finished state that has readings it has not."""

record_readings = Table(
    "record_readings",
    metadata,
    *of_file(
        Column("n", Integer, nullable=False),
        Column("procedure", Letters, nullable=False),
        Column("spec", Letters, nullable=False),
        Column("step", Integer, nullable=False),
        Column("characteristic", Letters, nullable=False),
        Column("quantity", Letters, nullable=False),
        Column("position", Letters),
        Column("phase", Letters, nullable=False),
        Column("value", Letters, nullable=False),
        Column("unit", Letters, nullable=False),
        Column("verdict", Letters, nullable=False),
        Column("judged", Letters),
        Column("superseded", Boolean, nullable=False),
        Column("instrument", Letters),
        Column("calibrated", Letters),
        Column("by", Letters),
        Column("reaction", Letters),
        Column("spec_unit", Letters, nullable=False),
        Column("lower", Letters),
        Column("nominal", Letters),
        Column("upper", Letters),
    ),
    Index("record_readings_by_spec", "procedure", "spec"),
)
"""Readings with the limits of the revision each was taken under."""

record_findings = Table(
    "record_findings",
    metadata,
    *of_file(
        Column("finding", Letters, nullable=False, index=True),
        Column("kind", Letters, nullable=False),
        Column("item", Letters, nullable=False),
        Column("what", Letters, nullable=False),
        Column("holds", Boolean, nullable=False),
        Column("tagged_by", Letters),
        Column("step", Integer),
        Column("role", Letters),
        Column("follow_on", Letters),
        Column("due", Letters),
    ),
)
"""Defects seen in a job (``new``), and those its procedure knows of (``known``)."""

record_questions = Table(
    "record_questions",
    metadata,
    *of_file(
        Column("question", Letters, nullable=False, index=True),
        Column("step", Integer),
        Column("text", Letters, nullable=False),
    ),
)

record_releases = Table(
    "record_releases",
    metadata,
    *of_file(
        Column("finding", Letters, nullable=False, index=True),
        Column("by", Letters, nullable=False),
        Column("role", Letters, nullable=False),
        Column("at", Letters, nullable=False),
        Column("why", Letters, nullable=False),
    ),
)

record_answers = Table(
    "record_answers",
    metadata,
    *of_file(
        Column("question", Letters, nullable=False, index=True),
        Column("n", Integer, nullable=False),
        Column("answer", Letters, nullable=False),
        Column("by", Letters, nullable=False),
        Column("at", Letters, nullable=False),
    ),
)

RECORD_DETAILS = (
    job_records,
    record_readings,
    record_findings,
    record_questions,
    record_releases,
    record_answers,
)
"""Tables whose rows belong to a file, by its id in ``file``."""
RECORD_TABLES = (record_files, *RECORD_DETAILS)
