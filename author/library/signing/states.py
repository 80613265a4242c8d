"""Which act may follow which: the states of a procedure and who may bring them about."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from author.library.shop import Role
from author.library.signing.manifest import ProcedureAct, Purpose
from author.procedure.document import State
from author.procedure.review import same_name

STATES: tuple[State, ...] = ("draft", "in_review", "approved", "superseded", "withdrawn")
WORKED_ON: frozenset[State] = frozenset({"draft", "in_review"})
"""States in which a revision is still written, so that work goes by the one before."""
SETTLED: frozenset[State] = frozenset(STATES) - WORKED_ON
"""States that somebody signed for, and that a later change of content makes stale."""
OUT_OF_USE: frozenset[State] = SETTLED - {"approved"}
"""States in which no work goes by a revision any more."""
_MAY: dict[State, dict[str, tuple[Role, ...]]] = {
    "draft": {"in_review": ("author",), "withdrawn": ("keeper",)},
    "in_review": {
        "draft": ("reviewer", "author"),
        "approved": ("reviewer",),
        "withdrawn": ("keeper",),
    },
    "approved": {
        "in_review": ("reviewer", "keeper"),
        "superseded": ("reviewer", "keeper"),
        "withdrawn": ("reviewer", "keeper"),
    },
    "superseded": {"withdrawn": ("reviewer", "keeper")},
    "withdrawn": {},
}
"""From a state to the next, and the roles that may sign it."""
_SIGNED_IN: dict[Purpose, tuple[tuple[Role, ...], tuple[State, ...]]] = {
    "authored": (("author",), ("draft", "in_review")),
    "reviewed": (("reviewer",), ("in_review", "approved")),
    "published": (("keeper", "reviewer", "author"), ("approved",)),
}
"""Acts that leave the state as it is: who may sign them, and while it is what."""
_WRITING = frozenset({"authored", "in_review", "draft"})
_JUDGING = frozenset({"reviewed", "approved"})


def state_of(acts: Sequence[ProcedureAct], revision: int) -> State:
    """Return the state of a revision by its history; what nobody signed is a draft."""
    for act in reversed(acts):
        if act.revision == revision and act.purpose in STATES:
            return act.state
    return "draft"


def put_aside(acts: Iterable[ProcedureAct]) -> frozenset[int]:
    """Return the revisions that were withdrawn as drafts while an older one stayed in force."""
    return frozenset(act.revision for act in acts if act.stays is not None)


def newest_signed(acts: Sequence[ProcedureAct]) -> int | None:
    """Return the newest revision that was signed and not put aside, None if there is none."""
    aside = put_aside(acts)
    return max((act.revision for act in acts if act.revision not in aside), default=None)


def ruling(older: Mapping[int, State], aside: Callable[[], frozenset[int]]) -> int | None:
    """Return which kept revision work goes by while a later one is still written.

    The newest that was settled says how the procedure stands. Where that one is withdrawn or
    superseded, nothing is in force: one before it does not come back.

    Args:
        older: the state of each kept revision, by its number.
        aside: returns the drafts that were put aside, which settle nothing; asked if it matters.

    Returns:
        Its number; None if none was ever settled.
    """
    for number in sorted(older, reverse=True):
        state = older[number]
        if state in SETTLED and (state != "withdrawn" or number not in aside()):
            return number
    return None


def roles_for(purpose: Purpose, state: State) -> tuple[Role, ...]:
    """Return who may sign for a purpose while a procedure is in a state; empty if nobody."""
    if purpose in _SIGNED_IN:
        roles, states = _SIGNED_IN[purpose]
        return roles if state in states else ()
    return _MAY[state].get(purpose, ())


def why_not(
    acts: Sequence[ProcedureAct], purpose: Purpose, revision: int, name: str, key: str
) -> str | None:
    """Return why an act may not follow others, one sentence without a full stop.

    The right of the key and its role are not looked at here.

    Args:
        acts: the acts before it, oldest first.
        purpose: why it is signed.
        revision: of what revision.
        name: who signs.
        key: their public key.
    """
    newest = newest_signed(acts) or revision
    state = state_of(acts, revision)
    # What work goes by may be taken out of use while a later revision is being written.
    in_use = state == "approved" and state_of(acts, newest) in WORKED_ON
    if revision < newest and not (purpose == "withdrawn" and in_use):
        return f"revision {newest} has been signed, and this is revision {revision}"
    if purpose == state and any(act.revision == revision for act in acts):
        return f"it is {words(state)} already"
    if not roles_for(purpose, state):
        if purpose in _SIGNED_IN:
            _, states = _SIGNED_IN[purpose]
            fit = " or ".join(words(one) for one in states)
            return f"it is {words(state)}, and can be signed as {purpose} while it is {fit}"
        ways = " or ".join(words(one) for one in _MAY[state])
        onward = f"can become {ways}" if ways else "stays so: begin a new revision"
        return f"it is {words(state)}, and {onward}"
    return _own_work(acts, purpose, revision, name, key)


def way_on(acts: Sequence[ProcedureAct], purpose: Purpose, revision: int) -> str:
    """Return what can be done where an act may not follow others, without full stop.

    Args:
        acts: the acts before it, oldest first.
        purpose: why it was to be signed.
        revision: of what revision.
    """
    newest = newest_signed(acts) or revision
    state = state_of(acts, revision)
    if revision < newest:
        return f"Bring back revision {newest}, or count the revision up beyond it"
    if purpose == state:
        return "'reelwright library history' tells who signed that"
    if not _MAY[state]:
        return f"Count the revision up to {revision + 1}, and shelve that"
    if roles_for(purpose, state):
        return "Have somebody else sign"
    return "Take it there first with 'reelwright library state'"


def _own_work(
    acts: Sequence[ProcedureAct], purpose: Purpose, revision: int, name: str, key: str
) -> str | None:
    def own(act: ProcedureAct) -> bool:
        return act.key == key or same_name(act.name) == same_name(name)

    if purpose in _JUDGING:
        wrote = next(
            (a for a in acts if a.role == "author" and a.purpose in _WRITING and own(a)), None
        )
        if wrote is not None:
            return (
                f"{name} signed it as its author on {wrote.time[:10]}, and nobody judges own work"
            )
    if purpose == "authored":
        judged = next(
            (a for a in acts if a.revision == revision and a.purpose in _JUDGING and own(a)), None
        )
        if judged is not None:
            return f"{name} judged this revision on {judged.time[:10]}, and cannot be its author"
    return None


def words(state: str) -> str:
    """Return a state as it is said: ``in review``."""
    return state.replace("_", " ")
