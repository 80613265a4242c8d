"""The procedure file as it leaves the house: canonical YAML, SI values beside its numbers."""

from __future__ import annotations

from pathlib import Path

from author.checks.limits import si_values
from author.contract import parse_procedure, write_yaml
from author.contract.procedure_file import PROCEDURE_FILE, as_plain
from author.procedure.document import Procedure


def published_yaml(procedure: Procedure) -> bytes:
    """Return the procedure as canonical YAML with the SI values beside its numbers."""
    whole = with_si_values(procedure)
    data = write_yaml(as_plain(whole)).encode()
    if parse_procedure(data, Path(PROCEDURE_FILE)).procedure != whole:
        msg = "the YAML just written does not read back as the same procedure"
        raise AssertionError(msg)
    return data


def with_si_values(procedure: Procedure) -> Procedure:
    """Return the procedure with the SI values beside the numbers of every spec."""
    sections = []
    for section in procedure.sections:
        steps = []
        for step in section.steps:
            changes = {
                key: tuple(s.model_copy(update={"si": si_values(s)}) for s in specs)
                for key, specs in (("specs", step.specs), ("torques", step.torques))
                if specs
            }
            steps.append(step.model_copy(update=changes))
        sections.append(section.model_copy(update={"steps": tuple(steps)}))
    return procedure.model_copy(update={"sections": tuple(sections)})
