"""Remarks and the rules behind them; the rules' words are in ``schema/rules.yaml``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal, cast

from author.procedure.document import Procedure
from author.procedure.facts import RecordingFacts
from author.procedure.review import ReviewSheet
from author.resources import load_table

Severity = Literal["error", "warning", "advice"]
Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule.

    Attributes:
        id: ``family.name``.
        severity: error, warning or advice.
        why: one sentence that says why it matters.
        source: the standard and clause, or ``common practice, no source``.
        remedy: what to do about a remark, one sentence.
        may_stand: whether a concession can let a remark of it stand.
    """

    id: str
    severity: Severity
    why: str
    source: str
    remedy: str
    may_stand: bool = True


@dataclass(frozen=True, slots=True)
class Remark:
    """One result of a check.

    Attributes:
        rule: the rule that made it.
        problem: what is wrong at this place, one sentence.
        path: the place in the document.
        remedy: what to do here; the rule's own remedy unless the check knows better.
    """

    rule: Rule
    problem: str
    path: Path
    remedy: str


@dataclass(frozen=True, slots=True)
class Neighbour:
    """What is known of another procedure of the shop.

    Attributes:
        revisions: revisions that are there.
        needs: ids of the procedures its newest revision asks for as prerequisites.
        leaves_off: by revision, the pieces its close-outs leave to others, by the part's
            id or number and by whether they are kept or scrapped.
        finds_off: by revision, the pieces its prerequisites hand over to it, likewise.
    """

    revisions: frozenset[int]
    needs: frozenset[str]
    leaves_off: Mapping[int, Mapping[tuple[str, str], int]]
    finds_off: Mapping[int, Mapping[tuple[str, str], int]]


@dataclass(frozen=True, slots=True)
class Subject:
    """What the rules look at.

    Attributes:
        procedure: the document.
        facts: what is known of each recording by its id; None for one that was not
            found. Empty where recordings were not looked for.
        recordings_known: whether recordings were looked for at all.
        review: the sign-offs beside the procedure, if there are any.
        review_known: whether sign-offs were looked for at all.
        shelf: the other procedures of the shop by id; None where they were not looked
            for, and then nothing is asked about them.
    """

    procedure: Procedure
    facts: Mapping[str, RecordingFacts | None]
    recordings_known: bool
    review: ReviewSheet | None = None
    review_known: bool = False
    shelf: Mapping[str, Neighbour] | None = None


@cache
def all_rules() -> dict[str, Rule]:
    """Return every rule by its id, in the order of ``schema/rules.yaml``."""
    table = load_table("rules.yaml")["rules"]
    return {
        entry["id"]: Rule(
            id=entry["id"],
            severity=cast("Severity", entry["severity"]),
            why=entry["why"],
            source=entry["source"],
            remedy=entry["remedy"],
            may_stand=entry.get("may_stand", True),
        )
        for entry in table
    }


def remark(rule: str, problem: str, path: Path, remedy: str | None = None) -> Remark:
    """Return a remark of a rule.

    Args:
        rule: id of the rule.
        problem: what is wrong here, without a full stop.
        path: the place in the document.
        remedy: what to do here, without a full stop; the rule's if None.
    """
    found = all_rules()[rule]
    return Remark(found, problem, path, remedy or found.remedy)
