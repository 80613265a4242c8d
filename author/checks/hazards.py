"""Hazard messages are whole, and energy is isolated where there is any."""

from __future__ import annotations

import re
from collections.abc import Iterator

from author.checks.remarks import Path, Remark, Subject, remark
from author.procedure.steps import Hazard

_POWER = re.compile(
    r"\b(mains|electric\w*|motors?|switch(ed)? (on|off)|power(ed)?|voltage|hydraulic pressure"
    r"|(can|may|could|might) start|starts? (up|by itself|at any time|unexpectedly)"
    r"|unexpected start)\b",
    re.IGNORECASE,
)
# "Lock and tag the switch" isolates; a lock nut or a locking ring does not.
_ISOLATED = re.compile(
    r"\b(lock(ed|s|ing|out)?\b"
    r"(?![ -]?(nuts?|washers?|rings?|wires?|screws?|bolts?|pins?|plates?|tabs?|collars?)\b)"
    r"|(padlock|isolat|unplug|disconnect)\w*)",
    re.IGNORECASE,
)


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on hazards."""
    procedure = subject.procedure
    for path, message in _messages(subject):
        if message.consequence is None and message.signal != "NOTICE":
            yield remark(
                "hazards.no_consequence",
                f"the {message.signal} message does not say what happens",
                path,
            )
    if not any(_messages(subject)):
        yield remark("hazards.none", "there is no hazard message at all", ("general_hazards",))
    steps = [placed.step for placed in procedure.placed_steps()]
    words = " ".join([*(step.action for step in steps), *(m.hazard for _, m in _messages(subject))])
    done = " ".join([*(step.action for step in steps), *(p.what for p in procedure.prerequisites)])
    if _POWER.search(words) and not _ISOLATED.search(done):
        yield remark("hazards.isolation", "power is named, but no step isolates it", ("sections",))


def _messages(subject: Subject) -> Iterator[tuple[Path, Hazard]]:
    procedure = subject.procedure
    for index, message in enumerate(procedure.general_hazards):
        yield ("general_hazards", index), message
    for placed in procedure.placed_steps():
        for index, message in enumerate(placed.step.hazards or ()):
            yield (*placed.path, "hazards", index), message
