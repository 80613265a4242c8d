"""What stands around the work: unit, people, films, sources, what comes before and after."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from author.procedure.values import (
    SOME,
    Count,
    Date,
    Duration,
    FileName,
    Fingerprint,
    Id,
    Line,
    Mark,
    Node,
    RuleId,
)


class SerialRange(Node):
    """Serial numbers from one to another, both included.

    Attributes:
        start: the first; ``from`` in the file.
        end: the last; ``to`` in the file; absent where all later ones are meant.
    """

    start: Annotated[Line, Field(alias="from")]
    end: Annotated[Line | None, Field(alias="to")] = None


class Machine(Node):
    """The machine or assembly the procedure applies to.

    Attributes:
        name: what it is called in the shop.
        number: its type or inventory number.
        applies_to: which ones, by build, in words.
        serials: which ones, by serial number.
        not_for: which ones it must not be used on.
    """

    name: Line
    number: Line | None = None
    applies_to: Line | None = None
    serials: Annotated[tuple[SerialRange, ...], *SOME] | None = None
    not_for: Line | None = None


class Person(Node):
    """A role in the job, never a named individual.

    Attributes:
        id: short name of the role.
        role: the role in words.
        count: how many people of that role the job needs.
        skill: what they must be trained or licensed for.
        time: how long each of them is needed, such as ``PT45M``.
    """

    id: Id
    role: Line
    count: Count = 1
    skill: Line | None = None
    time: Duration | None = None


class RecordingRef(Node):
    """A recording the procedure was made from.

    Attributes:
        id: short name used by steps.
        file: file name without folder.
        size: bytes.
        duration: seconds, six decimals.
        sha256: SHA-256 of the content, by which a moved file is found and a changed one
            noticed.
        shows: what is on it.
    """

    id: Id
    file: FileName
    size: Annotated[int, Field(ge=0)]
    duration: Mark
    sha256: Fingerprint
    shows: Line | None = None


class Source(Node):
    """Where a number or a demand comes from.

    Attributes:
        id: short name used by specs.
        kind: maker's manual, published standard, the shop's own rule, a reading on this
            unit, the technician's word on the film, or invented demo data.
        title: what it is, with edition and clause where there is one.
    """

    id: Id
    kind: Literal["maker", "standard", "shop", "measured", "film", "demo"]
    title: Line


class ProcedureRef(Node):
    """Another procedure, at a revision.

    Attributes:
        id: its id.
        revision: its revision.
    """

    id: Id
    revision: Count | None = None


class LeftOff(Node):
    """Parts that one procedure leaves off and another fits.

    Attributes:
        part: id of the part in this procedure.
        quantity: how many.
        places: from which of the part's places, where it has named ones.
        state: ``kept`` to go back, or ``scrapped``, so that new ones go in.
    """

    part: Id
    quantity: Count = 1
    places: Annotated[tuple[Line, ...], *SOME] | None = None
    state: Literal["kept", "scrapped"] = "kept"


class Prerequisite(Node):
    """What must be done or true before the job starts.

    Attributes:
        id: short name.
        what: one sentence.
        procedure: the procedure that does it, if there is one.
        hands_over: parts it has left off, which this procedure finds off.
    """

    id: Id
    what: Line
    procedure: ProcedureRef | None = None
    hands_over: Annotated[tuple[LeftOff, ...], *SOME] | None = None


class CloseOut(Node):
    """What must be done after the last step, before the unit is used again.

    Attributes:
        id: short name.
        what: one sentence.
        role: id of the role that does it.
        procedure: the procedure that does it, if there is one.
        discharges: parts this procedure leaves off, which the close-out fits.
    """

    id: Id
    what: Line
    role: Id | None = None
    procedure: ProcedureRef | None = None
    discharges: Annotated[tuple[LeftOff, ...], *SOME] | None = None


class Finding(Node):
    """A defect seen on the unit.

    Attributes:
        id: short name.
        what: what is wrong, one sentence.
        step: id of the step at which it is seen.
        state: dealt with here, inherited from an earlier job, or deferred to another.
        holds: true where the unit must not be used until it is released.
        released_by: id of the role that may release it.
        follow_on: what has to happen, one sentence.
        due: when it has to be dealt with: a day, year first, or a condition in words, such as
            ``at the next service`` or ``before 500 hours run``.
        procedure: the procedure that deals with it, if there is one.
    """

    id: Id
    what: Line
    step: Id | None = None
    state: Literal["dealt_with", "inherited", "deferred"]
    holds: bool = False
    released_by: Id | None = None
    follow_on: Line | None = None
    due: Line | None = None
    procedure: ProcedureRef | None = None


class Concession(Node):
    """A remark that may stand, with who answers for it. It is listed, never silent.

    Attributes:
        rule: id of the rule whose remark stands.
        at: id of the thing it is about (step, spec, part …), or the key of the list.
        reason: why it may stand.
        role: id of the role that answers for it.
    """

    rule: RuleId
    at: Line
    reason: Line
    role: Id


class Change(Node):
    """What a revision changed.

    Attributes:
        revision: the revision.
        date: when it was written.
        what: what changed, one sentence.
        by: who wrote it: a name, initials or a role.
    """

    revision: Count
    date: Date
    what: Line
    by: Line | None = None


class ReviewPlan(Node):
    """Who wrote the procedure, so that another signs it, and when it is looked at again.

    Attributes:
        authors: names or initials of those who wrote it.
        due: the day by which it has to be reviewed again.
    """

    authors: Annotated[tuple[Line, ...], *SOME]
    due: Date | None = None
