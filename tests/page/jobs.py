"""Jobs in node for tests: the facts of a procedure, a job begun on it, and its record."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
from document.examples import read_job_record

from author.contract import read_procedure
from author.contract.json_schema import schema_of
from author.procedure.document import Procedure
from author.procedure.job_record import RECORD_SCHEMA, JobRecord
from author.publish.lookup import Lookup
from author.publish.page.facts import job_facts
from author.resources import schema_folder
from page.node_page import REF, NodePage

Plain = dict[str, Any]
CONTENT = "5b" * 32
WHY = {"what": "Went on", "reason": "The gauge is away", "approvedBy": "The keeper"}
_VALIDATOR = jsonschema.Draft202012Validator(schema_of(RECORD_SCHEMA))


@cache
def procedure_named(name: str) -> Procedure:
    """Return one of the example procedures."""
    return read_procedure(schema_folder() / "examples" / "valid" / f"{name}.yaml").procedure


def facts_of(procedure: Procedure, content: str = CONTENT) -> Plain:
    """Return what the page is told of a procedure, as it comes out of its JSON."""
    facts = job_facts(procedure, Lookup.of(procedure), content, None)
    found: Plain = json.loads(json.dumps(facts))
    return found


class Job:
    """A job in a page: each method is a function of the page with the job, and facts if it asks.

    Args:
        node: the pages.
        facts: what the page is told.
        page: which of the pages.
        name: name or initials of the first worker.
    """

    WITHOUT_FACTS = (
        *("setWorker", "setHours", "takeOut", "tagFound", "hazardRead", "roundDone"),
        *(
            "setHandover",
            "fittedAt",
            "instrumentOf",
            "recordOf",
            "recordText",
            "recordName",
            "keep",
        ),
    )

    def __init__(
        self, node: NodePage, facts: Plain, page: str = "main", name: str = "K. O."
    ) -> None:
        self.node, self.facts, self.page = node, facts, page
        node.ask(page=page, hold={"facts": facts})
        node.ask(page=page, listen="told")
        self.found = node.call("kept", REF("facts"), page=page, hold="kept")
        given = {"name": name, "role": facts["roles"][0]["id"], "serial": "CP-4 017"}
        self.made = node.call("newJob", REF("facts"), given, page=page, hold="made")

    def do(self, name: str, *args: Any) -> Any:
        """Call a function with the job."""
        given = [REF("made.job")] + ([] if name in self.WITHOUT_FACTS else [REF("facts")])
        return self.node.call(name, *given, *args, page=self.page)

    def well(self, name: str, *args: Any) -> Any:
        """Call a function that has to work."""
        found = self.do(name, *args)
        assert found.get("ok") is True, found
        assert found["unkept"] is None
        return found

    def refused(self, name: str, *args: Any) -> str:
        """Call a function that has to refuse, which must change nothing; return why."""
        before = self.plain()
        found = self.do(name, *args)
        assert found.keys() <= {"problem", "open", "choices"}, found
        assert self.plain() == before
        problem: str = found["problem"]
        return problem

    def plain(self) -> Plain:
        """Return the job itself."""
        found: Plain = self.node.ask(page=self.page, see="made.job")
        return found

    def read_all(self, step: Plain, value: str = "1") -> None:
        """Do what a step asks for but its readings."""
        for n in range(step["hazards"]):
            self.well("readHazard", step["id"], n)
        for point in step["points"]:
            self.well("observe", point, True, "")
        for spec in step["specs"]:
            if spec["instrument"] and self.do("instrumentOf", spec["instrument"]) is None:
                self.well("setInstrument", spec["instrument"], {"number": "A-1"})
            for n in range(spec["passes"]):
                self.well("tightenRound", spec["id"], n, True)
        for part in step["parts"]:
            if not self.do("fittedAt", step["id"], part["part"]):
                self.well("usePart", part)
        if step["witness"]:
            self.well("witness", step["id"], "M. P.")

    def step(self, name: str) -> Plain:
        """Return the facts of a step."""
        return next(step for step in self.facts["steps"] if step["id"] == name)

    def step_of(self, spec: str) -> str:
        """Return the id of the step of a spec."""
        steps = self.facts["steps"]
        found: str = next(s["id"] for s in steps if spec in [one["id"] for one in s["specs"]])
        return found

    def stand(self, name: str) -> None:
        """Move to a step by deviations, doing on the way what no deviation covers."""
        here, target = self.plain()["at"], self.step(name)["number"]
        number = self.step(here)["number"] if here else target + 1
        for step in self.facts["steps"][number - 1 : max(number, target) - 1]:
            for n in range(step["hazards"]):
                self.well("readHazard", step["id"], n)
            if step["stops"] or step["witness"]:
                if self.plain()["at"] != step["id"]:
                    self.well("jumpTo", step["id"], WHY)
                for point in step["stops"]:
                    self.well("observe", point, True, "")
                if step["witness"] and self.do("witnessOf", step["id"]) is None:
                    self.well("witness", step["id"], "M. P.")
        if self.plain()["at"] != name:
            self.well("jumpTo", name, WHY)


def recorded(text: str, folder: Path) -> JobRecord:
    """Return a record that another validator and our reader both take, and keep its bytes."""
    _VALIDATOR.validate(json.loads(text))
    file = folder / "record.json"
    file.write_bytes(text.encode())
    return read_job_record(file)
