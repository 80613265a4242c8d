"""Had each act of a procedure the right to be there: its key, its role, its order, its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from author.library.signing.history import History, Problem
from author.library.signing.manifest import ProcedureAct
from author.library.signing.people import Keyring
from author.library.signing.signatures import act_file
from author.library.signing.states import STATES, WORKED_ON, roles_for, state_of, why_not, words


def act_problems(
    history: History[ProcedureAct],
    keyring: Keyring,
    procedure: str,
    shop: Path,
    *,
    fallen: bool = True,
) -> Iterator[Problem]:
    """Yield what is wrong with the right of acts to be there: key, role, order, place.

    Args:
        history: the procedure's history.
        keyring: whose signatures count.
        procedure: id of the procedure.
        shop: the library's folder.
        fallen: whether to tell of acts that fell because their key was revoked from an
            earlier day on. They are not told where later acts have taken their place.
    """
    acts = [entry.act for entry in history.entries]
    place = history.folder.relative_to(shop).as_posix()
    before: list[ProcedureAct] = []
    known = 0
    for entry in history.entries:
        act, file = entry.act, f"{place}/{act_file(entry.act)}"
        index = keyring.index_of(act.keys)
        if act.library != keyring.founded:
            yield Problem("this was signed in another library", file)
        elif act.procedure != procedure:
            yield Problem(f"this was signed of the procedure '{act.procedure}'", file)
        elif index is None:
            said = "the library's history has lost what it said of keys when this was signed"
            yield Problem(said, file)
        elif index < known:
            yield Problem("this goes by older keys than the act before it", file)
        else:
            known = index
            fell = keyring.fell(act)
            if fell is not None:
                if fallen and not _replaced(act, acts):
                    yield Problem(fell, file)
            else:
                yield from (Problem(said, file) for said in _rights(act, index, keyring, before))
        before.append(act)


def _replaced(act: ProcedureAct, acts: Sequence[ProcedureAct]) -> bool:
    """Whether a later act has ruled on the same revision, or on a newer one."""
    return any(
        one.revision > act.revision or (one.revision == act.revision and one.purpose in STATES)
        for one in acts
        if one.number > act.number
    )


def _rights(
    act: ProcedureAct, index: int, keyring: Keyring, before: list[ProcedureAct]
) -> Iterator[str]:
    holder = keyring.after[index].get(act.key)
    if keyring.after_revoking(act):
        yield f"this was signed after the key of '{act.name}' was revoked"
    elif holder is None or holder.name != act.name:
        yield f"this is signed by a key of '{act.name}' that the library did not admit"
    elif act.role not in holder.roles:
        yield f"'{act.name}' is no {act.role} of this library"
    if act.time < keyring.history.entries[index].act.time:
        yield f"it says {act.time}, before the keys it goes by were admitted: a clock was set back"
    state = state_of(before, act.revision)
    after = act.purpose if act.purpose in STATES else state
    wrong = why_not(before, act.purpose, act.revision, act.name, act.key)
    if wrong is not None:
        yield f"{act.name} could not sign this as {words(act.purpose)}: {wrong}"
    elif act.role not in roles_for(act.purpose, state):
        said = f"no {act.role} may sign a procedure as {words(act.purpose)}"
        yield f"{said} while it is {words(state)}"
    elif act.stays is not None and not _may_stay(act, before):
        yield f"it lets revision {act.stays} stay in force, which it may not"
    elif act.state != after:
        yield f"it says the procedure is {words(act.state)}, and it was {words(after)}"


def _may_stay(act: ProcedureAct, before: list[ProcedureAct]) -> bool:
    """Whether an act puts a draft aside above a revision that is approved."""
    assert act.stays is not None  # noqa: S101 - asked by the caller
    worked_on = state_of(before, act.revision) in WORKED_ON
    older = act.stays < act.revision and state_of(before, act.stays) == "approved"
    return act.purpose == "withdrawn" and worked_on and older
