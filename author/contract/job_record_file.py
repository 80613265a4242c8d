"""Job records: filled-in measurements, as JSON from the work page or as YAML."""

from __future__ import annotations

from pathlib import Path

from author.contract.reading import read_bytes, read_model
from author.procedure.job_record import RECORD_SCHEMA, JobRecord


def read_job_record(file: Path) -> JobRecord:
    """Read a job record from a YAML or JSON file.

    Raises:
        InputError: if it is wrong; ``FileErrors`` tells several faults.
        MachineError: if it cannot be read.
    """
    return read_model(read_bytes(file), file, JobRecord, RECORD_SCHEMA)[0]
