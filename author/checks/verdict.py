"""Runs the rules and says whether a procedure may leave the house."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import InitVar, dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal

from pydantic import BaseModel

from author.checks import (
    chains,
    due_days,
    fasteners,
    hazards,
    ids,
    instruments,
    joints,
    ledger,
    limits,
    links,
    pictures,
    review,
    said_numbers,
    wording,
)
from author.checks.concessions import Conceded, concede
from author.checks.remarks import Neighbour, Path, Remark, Subject, all_rules
from author.memory import collector_at_rest
from author.procedure.document import Procedure
from author.procedure.facts import RecordingFacts
from author.procedure.review import ReviewSheet

_FAMILIES: tuple[Callable[[Subject], Iterator[Remark]], ...] = (
    ids.check,
    limits.check,
    said_numbers.check,
    chains.check,
    instruments.check,
    fasteners.check,
    joints.check,
    ledger.check,
    hazards.check,
    wording.check,
    pictures.check,
    links.check,
    due_days.check,
    review.check,
)
_ONLY_HERE = object()


@dataclass(frozen=True)
class _Judged:
    """A procedure the rules have seen."""

    procedure: Procedure
    facts: Mapping[str, RecordingFacts]
    remarks: tuple[Remark, ...]
    conceded: tuple[Conceded, ...]
    maker: InitVar[object]  # not kept, so a copy with other contents cannot be made

    def __post_init__(self, maker: object) -> None:
        if maker is not _ONLY_HERE:
            msg = f"only author.checks makes a {type(self).__name__}"
            raise TypeError(msg)


@dataclass(frozen=True)
class CheckedProcedure(_Judged):
    """A procedure without an error remark, and the facts of its recordings."""


@dataclass(frozen=True)
class DraftProcedure(_Judged):
    """A procedure that still has errors: every page made from it is marked DRAFT."""


Publishable = CheckedProcedure | DraftProcedure


@dataclass(frozen=True, slots=True)
class Verdict:
    """All remarks on a procedure, and what may be done with it.

    Attributes:
        remarks: in the order of the document.
        conceded: remarks that a concession in the document lets stand.
        checked: the checked procedure, or None if a remark is an error.
        draft: the procedure for publishing as a draft.
    """

    remarks: tuple[Remark, ...]
    conceded: tuple[Conceded, ...]
    checked: CheckedProcedure | None
    draft: DraftProcedure

    def count(self, severity: str) -> int:
        """Return how many remarks have a severity."""
        return sum(r.rule.severity == severity for r in self.remarks)


def forbids(remark: Remark) -> bool:
    """Whether a remark keeps a procedure from leaving the house.

    Places still to be written are no fault of a procedure that was just begun, so they
    warn; nobody wants them on a wall either.
    """
    return remark.rule.severity == "error" or remark.rule.id == "wording.unwritten"


def check(
    procedure: Procedure,
    facts: Mapping[str, RecordingFacts | None] | None = None,
    sign_offs: ReviewSheet | Literal["none", "unknown"] = "unknown",
    shelf: Mapping[str, Neighbour] | None = None,
) -> Verdict:
    """Hold a procedure against every rule.

    Args:
        procedure: the document.
        facts: what is known of each recording by its id, None for one that was looked
            for and not found. Without it, rules about recordings ask nothing, and no
            checked procedure is given.
        sign_offs: the sign-offs beside the procedure; ``none`` where there are none, and
            without it nothing is asked about them.
        shelf: the other procedures of the shop by id; without it nothing is asked about
            them.
    """
    subject = Subject(
        procedure,
        facts or {},
        recordings_known=facts is not None,
        review=sign_offs if isinstance(sign_offs, ReviewSheet) else None,
        review_known=sign_offs != "unknown",
        shelf=shelf,
    )
    with collector_at_rest():
        found = [remark for family in _FAMILIES for remark in family(subject)]
    ranks = {rule: rank for rank, rule in enumerate(all_rules())}

    def order(remark: Remark) -> tuple[tuple[int, ...], int]:
        return _document_order(procedure, remark.path), ranks[remark.rule.id]

    left, conceded = concede(procedure, sorted(found, key=order))
    remarks = tuple(sorted(left, key=order))
    known = MappingProxyType({k: f for k, f in subject.facts.items() if f is not None})
    clean = subject.recordings_known and not any(forbids(r) for r in remarks)
    return Verdict(
        remarks=remarks,
        conceded=conceded,
        checked=(
            CheckedProcedure(procedure, known, remarks, conceded, _ONLY_HERE) if clean else None
        ),
        draft=DraftProcedure(procedure, known, remarks, conceded, _ONLY_HERE),
    )


def _document_order(procedure: Procedure, path: Path) -> tuple[int, ...]:
    """Return where a path stands in the file, its keys in the order they are written."""
    ranks: list[int] = []
    node: object = procedure
    for part in path:
        if isinstance(part, int):
            ranks.append(part)
            node = node[part] if isinstance(node, tuple) else None
        elif isinstance(node, BaseModel):
            names = _names(type(node))
            ranks.append(list(names).index(part))
            node = getattr(node, names[part])
    return tuple(ranks)


@cache
def _names(model: type[BaseModel]) -> dict[str, str]:
    """Return the field behind each key of a block, in the order of the file."""
    return {field.alias or name: name for name, field in model.model_fields.items()}
