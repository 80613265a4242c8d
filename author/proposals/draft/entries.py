"""One proposal as an entry of a list of the document, as the file has it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from author.proposals.draft.due import due_of
from author.proposals.draft.lines import line, unwritten
from author.proposals.proposal import Proposal

SECTION_TITLES = {
    "make_safe": "Make safe",
    "removal": "Removal",
    "inspection": "Inspection",
    "fitting": "Fitting",
    "closing": "Closing",
}
"""Headings by the part of the job that a step is guessed to belong to."""

THING_LISTS = {"part": "parts", "tool": "tools", "supply": "supplies"}
JOB_LISTS = {"prerequisite": "prerequisites", "follow_on": "close_outs", "deferred": "findings"}
NOTHING = frozenset({"preview", "chatter"})
"""Kinds that propose to leave the words out: nothing becomes of them."""


def section_title(step: Proposal) -> str:
    """Return the heading of the section a proposed step is guessed to belong to."""
    phase = step.detail("section") or "removal"
    return SECTION_TITLES.get(phase, phase.replace("_", " ").capitalize())


def named(text: str) -> str:
    """Return a text as the name of an entry: one line that begins with a capital."""
    words = line(text)
    return words[:1].upper() + words[1:]


def renewed_parts(steps: Iterable[Proposal]) -> dict[str, bool]:
    """Return the parts that steps throw away or renew, and whether that is certain.

    Args:
        steps: all steps proposed.
    """
    found: dict[str, bool] = {}
    for step in steps:
        for move in step.moves:
            if move.act in {"replaces", "discards"}:
                found[move.part] = found.get(move.part, False) or move.certain
    return found


def thing_entry(thing: Proposal, renewed: Mapping[str, bool]) -> dict[str, Any]:
    """Return a part, tool or supply as the file has it, without an id.

    Args:
        thing: the proposal.
        renewed: parts that are renewed, and whether that is certain.
    """
    entry: dict[str, Any] = {"name": named(thing.text)}
    if (number := thing.detail("number")) and thing.kind != "tool":
        entry["number"] = line(number)
    if thing.kind == "part":
        count = thing.detail("count") or "1"
        if count.isdecimal() and int(count) > 1:
            entry["quantity"] = int(count)
        certain, ordered = renewed.get(thing.id), thing.detail("ordered")
        if certain is None:
            certain = {"yes": True, "in case": False}.get(ordered or "")
        replace = "always" if certain else "if_worn" if certain is False else "never"
        order = "always" if certain else "in_case" if certain is False else "never"
        if ordered == "no":
            order = "never"  # the old one goes back, or the new one comes in a kit
        elif ordered == "yes":
            order = "always"
        elif certain is None and "number" in entry:
            replace, order = "if_worn", "in_case"
        entry |= {"replace": replace, "order": order}
        if kit := thing.detail("kit"):
            # What is in a kit that is ordered goes in new, and is ordered by the kit.
            entry |= {"replace": "always", "note": line(f"Comes with the {kit}")}
    return entry


def job_entry(proposal: Proposal, step: str | None = None) -> dict[str, Any]:
    """Return what comes before or after the job, or is left for another, without an id.

    Args:
        proposal: a prerequisite, a follow-on job or a deferred finding.
        step: id in the document of the step a finding is seen at.
    """
    entry: dict[str, Any] = {"what": named(proposal.text)}
    if proposal.kind == "deferred":
        # Another unit need not have it: who does the job there must not take it for a finding.
        entry["what"] = line(f"On the unit filmed: {entry['what']}")
        entry |= {"step": step} if step else {}
        follow = unwritten("which job deals with it, and whether the unit may be used")
        entry |= {"state": "deferred", "follow_on": follow}
        entry |= {"due": line(due)} if (due := due_of(proposal.said)) else {}
        entry |= {"holds": True} if proposal.detail("holds") else {}
    return entry
