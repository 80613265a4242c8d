"""What becomes of what a step says already when a proposal is answered or told otherwise.

A draft holds what is proposed before anybody has accepted it, marked as to be confirmed; and a
number that was changed is told in other words beside it too: "tighten the screws to nine newton
metres" is a torque and an order of work.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass

from author.contract.procedure_file import as_plain
from author.procedure.steps import Step
from author.proposals.draft.steps import StepMaker
from author.proposals.proposal import Proposal
from author.tasks.claims_together import Entry, Joined, TogetherMaker, joined
from author.tasks.proposal_places import Known

CLAIM_LISTS = ("hazards", "specs", "torques", "critical_points", "criteria")
"""The lists of a step that claims stand in."""
_LISTS = ("hazards", "critical_points", "criteria")
_SAID = frozenset({"hazard", "avoid", "what", "look_for", "accept", "otherwise"})
_TOLD_BESIDES = ("first", "between", "also", "as_said", "note")


@dataclass(frozen=True, slots=True)
class Before:
    """What a step has of claims, and what it has of them now.

    Attributes:
        was: as it was made until now.
        now: as it is made now.
    """

    was: Entry
    now: Entry

    def joined(self, step: Step, key: str) -> Joined | None:
        """Return what becomes of a list of a step; None if it does not stand there so.

        Args:
            step: the step as it is.
            key: the list of it.
        """
        now = self.now.get(key, ())
        found = joined(step, key, self.was.get(key, ()), now) if now else None
        return found if found is not None and not found.added else None

    def stands(self, step: Step) -> bool:
        """Whether a step says any of what it was made to say."""
        there = {words for key in _LISTS for one in getattr(step, key) or ()
                 for words in map(str, as_plain(one).values())}  # fmt: skip
        made = {words for key in _LISTS for one in self.was.get(key, ())
                for name, words in one.items() if name in _SAID}  # fmt: skip
        note = self.was.get("note", "")
        return not there.isdisjoint(made) or bool(note and note in (step.note or ""))


def told_otherwise(known: Known, number: Proposal) -> Iterator[Proposal]:
    """Yield what is told otherwise than it was, since a number said in the same words is.

    Args:
        known: all proposals, and how they were told.
        number: as it is now.
    """
    for name, was in known.was.items():
        now = known.proposals.get(name)
        if now is None or name == number.id or now.kind == "measurement":
            continue
        if now.overlaps(number) and (now.text, now.details) != (was.text, was.details):
            yield now


def befores(
    maker: TogetherMaker,
    known: Known,
    p: Proposal,
    step: Step,
    accepted: tuple[Set[str], Set[str]],
) -> tuple[Before, ...]:
    """Return what a step may hold of a claim, the widest first.

    A draft was made from all claims of its step, whatever was accepted.

    Args:
        maker: makes the entries.
        known: all proposals, and how they were told.
        p: the claim.
        step: the step of the document.
        accepted: ids of what was accepted before, and of what is accepted now.
    """
    told = next((known.proposals[name] for name in p.steps if name in known.proposals), p)
    before, now = accepted
    groups: tuple[list[Proposal], ...] = ([p],)
    if step.note or any(getattr(step, key) for key in CLAIM_LISTS):  # else nothing stands there
        claims = [q for q in known.proposals.values() if q.kind != "step" and told.id in q.steps]
        groups = (claims, [q for q in claims if q.id in now], [p])
    return tuple(
        Before(
            maker.made([known.was.get(q.id, q) for q in group], step, told, before),
            maker.made(group, step, told, now),
        )
        for group in groups
        if group
    )


def in_its_note(note: str, was: str, now: str) -> str | None:
    """Return a note with other words in the place of those that stand in it; None if none do.

    Args:
        note: of a step.
        was: the words, which may be none.
        now: what stands in their place; nothing takes them out.
    """
    if not was or was not in note:
        return None
    return " ".join(note.replace(was, now).split())


def step_words(
    step: Step, was: Proposal, now: Proposal, accepted: tuple[bool, bool]
) -> Mapping[str, str]:
    """Return the action and the note of a step where they are told otherwise now.

    What a person has written there stays.

    Args:
        step: the step of the document.
        was: the proposed step, as it was told.
        now: the same, as it is told now.
        accepted: whether it was accepted, and whether it is.
    """
    made, anew = (
        StepMaker(frozenset({p.id} if yes else ()), {}, str).made(p, ())
        for p, yes in zip((was, now), accepted, strict=True)
    )
    found: dict[str, str] = {}
    if made["action"] != anew["action"] and step.action == made["action"]:
        found["action"] = anew["action"]
    note = step.note or ""
    pairs = [(made.get("note", ""), anew.get("note", ""))]
    # What was to be confirmed stands before what other claims say, the work behind it.
    pairs += [(pairs[0][0].removesuffix(pairs[0][1]).strip(), "")]
    pairs += [(was.detail(name) or "", now.detail(name) or "") for name in _TOLD_BESIDES]
    for old, new in pairs:
        if old != new:
            note = in_its_note(note, old, new) or note
    if note != (step.note or ""):
        found["note"] = note
    return found
