"""Say what every way through a procedure leaves off the machine."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from author.contract import read_procedure
from author.procedure.document import Procedure
from author.procedure.ledger import Account
from author.procedure.ledger_walk import Walk, WayEnd, walk

_ENDS = {
    "done": "to the last step",
    "stop": "to a stop",
    "procedure": "on to another procedure",
}


@dataclass(frozen=True, slots=True)
class LedgerReport:
    """The ends of all ways through a procedure.

    Attributes:
        procedure: the document.
        found: what was walked.
    """

    procedure: Procedure
    found: Walk

    def lines(self) -> list[str]:
        """Return the report as lines of text."""
        names = {part.id: part.name for part in self.procedure.parts}
        lines: list[str] = []
        for number, end in enumerate(self.found.ends, start=1):
            via = "; then ".join(edge.when for edge in end.via)
            lines.append(f"{number}. {_ENDS[end.kind]}{f', by way of: {via}' if via else ''}")
            left = [f"   {names[name]}: {text}" for name, text in left_words(end).items()]
            lines.extend(left or ["   nothing is left off"])
        if not self.found.whole:
            lines.append("There are more ways than were walked.")
        return lines

    def as_plain(self) -> dict[str, Any]:
        """Return the report for programs."""
        return {
            "procedure": self.procedure.id,
            "revision": self.procedure.revision,
            "whole": self.found.whole,
            "ways": [
                {
                    "end": end.kind,
                    "via": [edge.when for edge in end.via],
                    "parts": [
                        {
                            "part": name,
                            "on": account.on,
                            "in_hand": account.in_hand,
                            "scrapped": account.gone,
                            "empty_places": None
                            if account.empty is None
                            else sorted(account.empty),
                        }
                        for name, account in end.accounts.items()
                    ],
                }
                for end in self.found.ends
            ],
        }


def left_words(end: WayEnd) -> dict[str, str]:
    """Return, by the part's id, what is off at the end of a way, in words."""
    return {
        name: _words(account)
        for name, account in end.accounts.items()
        if account.in_hand or account.gone
    }


def _words(account: Account) -> str:
    said = [f"{account.in_hand} in hand"] * (account.in_hand > 0)
    said += [f"{account.gone} scrapped, no new one in"] * (account.gone > 0)
    places = f" (from {', '.join(sorted(account.empty))})" if account.empty else ""
    return f"{', '.join(said)}{places}"


def report_ledger(path: Path) -> LedgerReport:
    """Walk every way through a procedure and say what it leaves off.

    Args:
        path: the procedure's folder or file.

    Raises:
        InputError: if the file is no procedure.
        MachineError: if it cannot be read.
    """
    procedure = read_procedure(path).procedure
    return LedgerReport(procedure, walk(procedure))
