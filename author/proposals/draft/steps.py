"""One step of the draft, made of what is proposed about it.

Nothing is added that was not said: what a step needs and the talk lacks is left marked to be
written. A number that was heard stands with a note that it is to be confirmed, which the rules
count as an error until a person has accepted it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from author.procedure.times import clock_text
from author.procedure.units import all_units
from author.proposals.draft.changed_words import stale_mark
from author.proposals.draft.inspections import Inspection, inspections
from author.proposals.draft.ladders import other_way
from author.proposals.draft.lines import (
    done_besides,
    line,
    notes_of,
    sentence,
    told_besides,
    unwritten,
)
from author.proposals.draft.messages import Message, messages, worth_telling
from author.proposals.draft.points import points_told
from author.proposals.draft.stages import passes_of, stages
from author.proposals.draft.warning_halves import without_lead
from author.proposals.proposal import Proposal
from author.proposals.quantities.text import in_words

# "So don't accept it", "so the rod stays" tell what follows, and not why.
# "Wedge it so it can't turn": without its "so" it would tell the contrary
_KEPT_FROM = re.compile(
    r"so (?:that )?[^,;]*\b(?:can't|cannot|doesn't|don't|won't)\b", re.IGNORECASE
)
_NO_REASON = re.compile(
    r"(?:i|we)(?:'ve| have)? (?:got|noticed|had|have)\b|(?:so )?(?:don't|do not|never)\b|"
    r"(?:so )?(?:the|that|this) [\w-]+(?: [\w-]+)? (?:stays?|goes (?:back|again)|is (?:fine|good|"
    r"ok|"
    r"okay|scrap))$",
    re.IGNORECASE,
)
_LEAST_REASON = 3
_THREADS = "condition of the threads: dry, oiled or with threadlocker"
_BY_THE_CLOCK = frozenset({"time", "turns"})
"""Quantities nothing is accepted or refused by, unless limits are said."""


Made = dict[str, Any]
IdOf = Callable[[str], str]


def heard(proposal: Proposal) -> str:
    """Return the note on a number that nobody has accepted yet."""
    unit = proposal.values.unit if proposal.values else None
    carried = unit and proposal.detail("unit_from_elsewhere")
    guessed = f" (the unit {unit} was not said)" if carried else ""
    return unwritten(
        f"confirm what was heard at {clock_text(proposal.start)}: "
        f"“{line(proposal.said, 200)}”{guessed}"
    )


class StepMaker:
    """Makes the steps of a draft.

    Args:
        accepted: ids of the proposals that a person has accepted or changed.
        id_of: id in the draft of a proposed part, tool or supply.
        new_id: gives an id that is not taken yet, from words.
        sources: takes a source for each number that is confirmed, by which a reviewer finds it
            in the film; where None, its source is the film as a whole.
    """

    def __init__(
        self,
        accepted: frozenset[str],
        id_of: Mapping[str, str],
        new_id: IdOf,
        sources: list[Made] | None = None,
    ) -> None:
        self.sources = sources
        self._accepted = accepted
        self._id_of = id_of
        self._new_id = new_id

    def made(self, step: Proposal, about: Sequence[Proposal]) -> Made:
        """Return a step as the file has it, without clip and still.

        Args:
            step: the proposed step.
            about: all other proposals that belong to it, in the order said.
        """
        work = done_besides(step)
        notes: list[str] = []
        if step.detail("meant") and step.id not in self._accepted:
            notes.append(unwritten("confirm what is done here: nobody says it in words"))
        made: Made = {"id": self._new_id(step.text), "action": line(step.text)}
        hazards = [p for p in about if p.kind == "hazard"]
        numbers = [p for p in about if p.kind == "measurement"]
        # "It wants to be 24.95 or better" is the limit itself.
        # "It has a left-hand thread, so it undoes clockwise" is a point, and no reason.
        points = [p for p in about if p.kind == "orientation"]
        told_so = [*hazards, *points, *(p for p in numbers if p.values and p.values.numbers())]
        reasons = [
            p for p in about if p.kind == "reason" and not any(p.overlaps(one) for one in told_so)
        ]
        # "Slacken the nut so the chain comes off" says its reason itself.
        said_there = [step.text, *(p.text for p in about if p.kind == "decision")]
        reasons = [
            p for p in reasons
            if len(without_lead(p.text).split()) >= _LEAST_REASON and not _NO_REASON.match(p.text)
            and (p.id in self._accepted or not any(p.text.lower() in t.lower() for t in said_there))
        ]  # fmt: skip
        if reasons:
            said = reasons[0].text
            whole = said.startswith("Otherwise") or _KEPT_FROM.match(said)
            made["reason"] = sentence(said if whole else without_lead(said))
        looked_at = inspections(about, self._accepted, step)
        # What is done if not stands with what is looked at.
        told_there = {one.decided.id for one in looked_at if one.decided}
        warned = messages(worth_telling(about, self._accepted), self._accepted)
        self._put(made, "hazards", [self._hazard(one) for one in warned])
        self._put(made, "tools", self._used(about, "tool"))
        self._put(
            made, "supplies", [self._supply(p, step) for p in about if self._known(p, "supply")]
        )
        self._put(made, "ledger", self._ledger(step))
        specs = [p for p in numbers if _is_spec(p)]
        told_before = [p for p in specs if not self._only_decides(p, about, specs)]
        self._put(made, "specs", [self._spec(p) for p in told_before])
        threads = {p.detail("designation") for p in numbers} - {"", None}
        thread = next(iter(threads)) if len(threads) == 1 else None
        torques = {(p.values, p.detail("role")): p for p in reversed(numbers) if _is_torque(p)}
        staged = stages([*reversed(torques.values())])
        self._put(made, "torques", [self._torque(some, thread) for some in staged])
        notes += [
            sentence(p.text) if p.id in self._accepted and _is_size(p) else heard(p)
            for p in numbers
            if not _is_spec(p) and not _is_torque(p)
        ]
        # "If it comes off the jack it'll have your foot off" decides nothing. "If it howls, stop
        # it" tells no harm, and stands where it is decided.
        warning = [one for message in warned for one in message.proposals]
        points = points_told(about, warning, self._accepted)
        self._put(made, "critical_points", [self._point(p) for p in points])
        self._put(made, "criteria", [self._criterion(one) for one in looked_at])
        decisions = [
            p for p in about
            if p.kind == "decision" and p.id not in told_there
            and not any(p.overlaps(one) for one in warning)
        ]  # fmt: skip
        ladder = next((found for p in decisions if (found := _ladder(step, p))), None)
        if ladder:
            made["ladder"] = ladder
        notes += [
            sentence(p.text)
            if p.id in self._accepted
            else unwritten(f"decide as was said: “{line(p.detail('cased') or p.said, 200)}”")
            for p in decisions[1 if ladder else 0 :]
        ]
        notes += [mark for p in (step, *about) if (mark := stale_mark(p))]
        besides = told_besides(line(step.text), work, about)
        # Whoever writes the note, or wants none, has read what the program would put there.
        notes += [] if step.detail("noted") else [*dict.fromkeys(besides)]
        if work or notes:
            made["note"] = notes_of(work, notes)
        return made

    def _only_decides(
        self, each: Proposal, about: Sequence[Proposal], specs: Sequence[Proposal]
    ) -> bool:
        """Whether a number only says again, in a decision, where the limit of another lies."""
        if each.id in self._accepted or each.values is None:
            return False
        decided = any(p.kind == "decision" and p.overlaps(each) for p in about)
        own = set(each.values.numbers())
        others = (p.values for p in specs if p is not each and p.values is not None)
        return decided and any(
            own <= {v.lower, v.upper} for v in others if v.unit == each.values.unit
        )

    def _put(self, made: Made, key: str, values: Sequence[Any]) -> None:
        kept = [value for value in values if value]
        if kept:
            made[key] = kept

    def _known(self, proposal: Proposal, kind: str) -> bool:
        return proposal.kind == kind and proposal.id in self._id_of

    def _used(self, about: Sequence[Proposal], kind: str) -> list[str]:
        return [self._id_of[p.id] for p in about if self._known(p, kind)]

    def _supply(self, proposal: Proposal, step: Proposal) -> Made:
        told_in = (proposal.detail("where_in") or step.id).split(" ")
        where = proposal.detail("where") if step.id in told_in else None
        use = {"supply": self._id_of[proposal.id]}
        return use | {"where": line(where)} if where else use

    def _ledger(self, step: Proposal) -> list[Made]:
        entries = []
        for move in step.moves:
            if move.part in self._id_of and move.certain:
                entry: Made = {"act": move.act, "part": self._id_of[move.part]}
                entries.append(entry | ({"quantity": move.count} if move.count > 1 else {}))
        return entries

    def _hazard(self, message: Message) -> Made:
        """A warning says what can harm, or how to avoid it; the other half is to be written."""
        harm = sentence(message.harm) if message.harm else unwritten("what can do harm")
        avoid = sentence(message.avoid) if message.avoid else unwritten("how to avoid it")
        return {"signal": message.signal, "hazard": harm, "avoid": avoid}

    def _spec(self, proposal: Proposal) -> Made:
        role = proposal.detail("role")
        values = proposal.values
        assert values is not None and values.unit is not None  # noqa: S101
        name = proposal.detail("characteristic") or in_words(proposal.detail("quantity"))
        spec: Made = {
            "id": self._new_id(name),
            "characteristic": line(name[:1].upper() + name[1:]),
            "quantity": all_units()[values.unit].quantity,
            "unit": values.unit,
        }
        for key in ("lower", "nominal", "upper"):
            value: Decimal | None = getattr(values, key)
            if value is not None:
                spec[key] = f"{value:f}"
        if role in {"about", "measured"} or (role == "aim" and spec["quantity"] in _BY_THE_CLOCK):
            spec["reference"] = True
        if datum := proposal.detail("datum"):
            spec["datum"] = line(datum)
        spec["source"] = "reading" if role == "measured" else "film"
        if positions := proposal.detail("positions"):
            spec["where"] = line(positions)
        if proposal.id not in self._accepted:
            spec["note"] = heard(proposal)
            return spec
        if self.sources is not None:
            spec["source"] = self._place_in_film(proposal, spec["source"] == "reading")
        if note := proposal.detail("note"):
            spec["note"] = sentence(note)
        return spec

    def _place_in_film(self, proposal: Proposal, read: bool) -> str:
        """Return the source of a number that is confirmed: its moment and words in the film."""
        at = clock_text(proposal.start)
        found = self._new_id(f"film at {at}")
        said = f"{proposal.recording} at {at}: “{line(proposal.said, 200)}”"
        kind = "measured" if read else "film"
        if by := proposal.detail("answered_by"):
            said, kind = f"Answered by {line(by, 60)}, asked of {said}", "shop"
        elif by := proposal.detail("changed_by"):
            # Nobody said this number on the film: who wrote it answers for it.
            said, kind = (
                f"Changed by {line(by, 60)}; said on {said}",
                "measured" if read else "shop",
            )
        if self.sources is not None:
            self.sources.append({"id": found, "kind": kind, "title": line(said)})
        return found

    def _torque(self, stages: Sequence[Proposal], thread: str | None) -> Made:
        """Return a torque with the stages that lead to it."""
        spec = self._spec(stages[-1])
        if len(stages) > 1 and "note" in spec:
            said = ", ".join(f"“{line(one.said, 60)}”" for one in stages)
            spec["note"] = unwritten(
                f"confirm what was heard at {clock_text(stages[0].start)}: in stages {said}"
            )
        if passes := passes_of(stages):
            spec["passes"] = passes
        spec["thread"] = line(thread) if thread else unwritten("thread")
        told = stages[-1].detail("threads")
        spec["threads"] = line(told) if told else unwritten(_THREADS)
        return spec

    def _point(self, proposal: Proposal) -> Made:
        return {
            "id": self._new_id(proposal.text),
            "kind": proposal.kind,
            "what": sentence(proposal.text),
            "source": self._of_film((proposal,)),
        }

    def _of_film(self, told: Sequence[Proposal]) -> str:
        """Return the source of words: the film, or where somebody wrote them of his own."""
        own = next((p for p in told if p.detail("answered_by") or p.detail("changed_by")), None)
        if own is None or self.sources is None:
            return "film"
        return self._place_in_film(own, read=False)

    def _criterion(self, each: Inspection) -> Made:
        look, accept, source = each.look_for, each.accept, self._of_film(each.proposals)
        return {
            "id": self._new_id(look or accept),
            "look_for": sentence(look) if look else unwritten("what to look for"),
            "accept": sentence(accept) if accept else unwritten("what is accepted"),
            "otherwise": sentence(each.otherwise)
            if each.otherwise
            else unwritten("what happens if not"),
            "source": source,
        }


def _has_limits(proposal: Proposal) -> bool:
    values = proposal.values
    return values is not None and values.unit is not None and bool(values.numbers())


def _is_torque(proposal: Proposal) -> bool:
    unit = proposal.values.unit if proposal.values else None
    return (
        _has_limits(proposal)
        and all_units()[str(unit)].quantity == "torque"
        and proposal.detail("role") in {"limits", "aim", "about"}
    )


def _is_spec(proposal: Proposal) -> bool:
    role = proposal.detail("role")
    if not _has_limits(proposal) or role not in {"limits", "aim", "about", "measured"}:
        return False
    return not _is_torque(proposal)


def _is_size(proposal: Proposal) -> bool:
    """Whether a number stands in no requirement: a thread, or a size of several numbers."""
    return proposal.detail("role") in {"thread", "size"}


def _ladder(step: Proposal, decision: Proposal) -> list[Made] | None:
    """Return two ways where one is given up for another: 'if it will not move, fetch …'."""
    way = other_way(step, decision)
    if way is None:
        return None
    return [
        {"how": line(step.text), "give_up_when": sentence(way[0])},
        {"how": sentence(way[1])},
    ]
