"""Claims of one step that were said in several breaths: the entries a draft makes of them.

A warning may tell its harm in one breath and how to avoid it in the next, an inspection what to
look for and what is accepted, a torque its stages. Where one is accepted after the other, the
entry that stands there is completed, so that no second one says the other half.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from itertools import count
from typing import Any

from author.checks.wording import UNWRITTEN
from author.contract.procedure_file import as_plain
from author.procedure.steps import Step
from author.proposals.draft.steps import StepMaker
from author.proposals.proposal import Proposal

Entry = dict[str, Any]
TOGETHER = frozenset({"hazard", "inspection", "measurement"})
"""Kinds of which several may make one entry."""
_NAMES = frozenset({"id", "source"})
_NUMBERED = "\0"
"""Stands in an id that is only for the making, between its words and a number."""


@dataclass(frozen=True, slots=True)
class Joined:
    """What becomes of a list of a step when one more claim is accepted.

    Attributes:
        changed: entries that another takes the place of, by their index; None takes one out.
        added: entries that come to the list.
    """

    changed: Mapping[int, Entry | None]
    added: Sequence[Entry]


@dataclass(frozen=True, slots=True, eq=False)
class _Kept:
    """What claims were made into.

    Attributes:
        of: the proposals it was made from, kept since they are known by where they lie.
        entry: what a step has of them.
        heard: the sources of its numbers.
    """

    of: tuple[Proposal, ...]
    entry: Entry
    heard: Sequence[Entry]


class TogetherMaker:
    """Makes the entries of claims; their ids tell only the words that ids are made of.

    What it made is kept: of many claims accepted together, each asks anew for what the others
    of its step come to.

    Attributes:
        heard: the sources of numbers that were made, each a moment of the film.
    """

    def __init__(self) -> None:
        self.heard: list[Entry] = []
        self._numbers = count()
        self._kept: dict[tuple[object, ...], _Kept] = {}

    def made(
        self,
        claims: Sequence[Proposal],
        step: Step,
        told: Proposal,
        accepted: Set[str] | None = None,
    ) -> Entry:
        """Return what a step has of claims, as the file has it.

        Args:
            claims: of the step, in the order said.
            step: the step of the document.
            told: the proposal whose words the step was made from.
            accepted: ids of those that are accepted; all of them where None.
        """
        sure = frozenset(p.id for p in claims if accepted is None or p.id in accepted)
        # To tell proposals apart by their whole content takes as long as making them.
        key = (step.action, id(told), sure, *map(id, claims))
        if (kept := self._kept.get(key)) is None:
            bare = replace(
                told, kind="step", text=step.action, details=(), moves=(), values=None
            )  # fmt: skip
            heard: list[Entry] = []
            entry = StepMaker(sure, {}, self._named, heard).made(bare, claims)
            kept = self._kept[key] = _Kept((told, *claims), entry, heard)
        self.heard += kept.heard
        return {name: _copied(value) for name, value in kept.entry.items()}

    def _named(self, words: str) -> str:
        return f"{words}{_NUMBERED}{next(self._numbers)}"


def _copied(value: Any) -> Any:
    """Return a list of entries for whoever asked to write names into them; all else as it is."""
    return [dict(one) for one in value] if isinstance(value, list) else value


def words_of(name: str) -> str:
    """Return the words an id is to be made of."""
    return name.partition(_NUMBERED)[0]


def joined(step: Step, key: str, before: Sequence[Entry], after: Sequence[Entry]) -> Joined | None:
    """Return what becomes of a list of a step when one more claim is accepted.

    Args:
        step: the step as it is.
        key: the list of it.
        before: the entries of the claims accepted so far.
        after: the entries of those and one more.

    Returns:
        None if an entry that would be completed does not stand there any more as it was made:
        what a person has written is never written over.
    """
    plain_before, plain_after = [*map(_bare, before)], [*map(_bare, after)]
    gone = [one for one, bare in zip(before, plain_before, strict=True) if bare not in plain_after]
    come = [one for one, bare in zip(after, plain_after, strict=True) if bare not in plain_before]
    there = [as_plain(one) for one in getattr(step, key) or ()]
    said = all(any(_stands(one, new, new) for one in there) for new in come or after)
    if said and not any(_to_confirm(one, was, come) for was in gone for one in there):
        return Joined({}, ())  # it says nothing new, or is accepted once more
    if not come:
        return None
    changed: dict[int, Entry | None] = {}
    for number, was in enumerate(gone):
        new = come[number] if number < len(come) else None
        at = next((n for n, one in enumerate(there) if n not in changed
                   and _stands(one, was, new)), None)  # fmt: skip
        if at is None:
            return None
        changed[at] = None if new is None else _completed(there[at], was, new)
    return Joined(changed, come[len(gone) :])


def taken_away(
    step: Step, key: str, before: Sequence[Entry], after: Sequence[Entry]
) -> Mapping[int, Entry | None] | None:
    """Return what becomes of a list of a step when a claim is refused.

    Args:
        step: the step as it is.
        key: the list of it.
        before: the entries of its claims with that one.
        after: the entries of the others.

    Returns:
        Entries that another takes the place of, by their index; None takes one out. None in
        all if one of them does not stand there as it was made.
    """
    plain_before, plain_after = [*map(_bare, before)], [*map(_bare, after)]
    gone = [bare for bare in plain_before if bare not in plain_after]
    come = [bare for bare in plain_after if bare not in plain_before]
    there = [as_plain(one) for one in getattr(step, key) or ()]
    changed: dict[int, Entry | None] = {}
    for number, was in enumerate(gone):
        at = next((n for n, one in enumerate(there) if n not in changed
                   and _stands(one, was, None)), None)  # fmt: skip
        if at is None:
            return None
        changed[at] = _completed(there[at], was, come[number]) if number < len(come) else None
    return changed


def _to_confirm(there: Entry, was: Entry, come: Sequence[Entry]) -> bool:
    """Whether an entry says what was to be confirmed and is so now: "confirm what was heard"."""
    marks = {name for name, value in _bare(was).items() if UNWRITTEN in str(value)}
    left = marks.difference(*come) if come else set()
    return any(there.get(name) == was[name] for name in left) and _stands(there, was, None)


def _stands(there: Entry, was: Entry, new: Entry | None) -> bool:
    """Whether an entry is as it was made, but for marks that were filled and may stay."""
    for name, value in _bare(was).items():
        same = str(there.get(name)) == str(value)
        filled = UNWRITTEN in str(value) and (new is None or new.get(name, value) == value)
        if not same and (new is None or not filled):
            return False
    return True


def _completed(there: Entry, was: Entry, new: Entry) -> Entry:
    """Return an entry of a step with what is made otherwise now; what a person wrote stays."""
    gone = {name for name, value in was.items()
            if name not in new and str(there.get(name)) == str(value)}  # fmt: skip
    more = {name: value for name, value in _bare(new).items() if value != was.get(name)}
    kept = {name: value for name, value in there.items() if name not in gone}
    return {**kept, **more, **_source_of(new)}


def _bare(entry: Entry) -> Entry:
    return {name: value for name, value in entry.items() if name not in _NAMES}


def _source_of(entry: Entry) -> Entry:
    """Return the source of an entry if it is a moment of the film."""
    source = entry.get("source", "")
    return {"source": source} if _NUMBERED in source else {}
