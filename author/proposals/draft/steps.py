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

from author.checks.wording import UNWRITTEN
from author.procedure.cues import plain_text
from author.procedure.times import clock_text
from author.procedure.units import all_units
from author.proposals.proposal import Proposal

_LINE = 400
_ORDERS = re.compile(
    r"(?:never|don'?t|do not|keep|wear|always|mind|watch|careful|be careful|make sure|let|go easy|"
    r"whatever you do|don'?t you|stay|stand|use|put|turn|take|hold|gloves?|glasses|goggles|"
    r"eye protection|no)\b",
    re.IGNORECASE,
)
_ACCEPTS = re.compile(
    r"\b(?:no|should|must|free|freely|smooth|clean|flat|straight|tight|within|fine|good|without)\b",
    re.IGNORECASE,
)
_FAILS = re.compile(
    r"(?:if|when|where|unless)\b.*\b(?:won'?t|doesn'?t|does not|will not|can'?t|cannot|isn'?t|"
    r"not)\b",
    re.IGNORECASE,
)
_WORD_BEFORE = re.compile(
    r"^(?:so|and|but|because|cause|'cause|otherwise|or|then)\W+", re.IGNORECASE
)

_CLAUSE = re.compile(r"\s*[,;:–—]\s*|\s+(?=because\b)")
_HARMS = re.compile(
    r"(?:because\s+|or\s+|and\s+)?(?:it|it'?ll|it'?s|they|they'?ll|you|you'?ll|that|that'?ll|there|"
    r"there'?s|the|this|because)\b",
    re.IGNORECASE,
)

Made = dict[str, Any]
IdOf = Callable[[str], str]


def line(text: str, most: int = _LINE) -> str:
    """Return a text as one line that a document may hold."""
    words = " ".join(plain_text(text[: 4 * most]).split()) or "…"
    return words if len(words) <= most else words[: most - 1].rsplit(" ", 1)[0] + "…"


def unwritten(what: str) -> str:
    """Return the mark for what a person has to write."""
    return line(f"{UNWRITTEN} {what}")


def heard(proposal: Proposal) -> str:
    """Return the note on a number that nobody has accepted yet."""
    return unwritten(
        f"confirm what was heard at {clock_text(proposal.start)}: “{line(proposal.said, 200)}”"
    )


WORTH = Decimal("0.3")
"""Confidence below which a warning stands in a draft only once a person has accepted it."""
# "So it doesn't swing on you": what the order before it keeps from happening.
_KEPT_FROM = re.compile(r"^((?:it|they|that|this|you|the \w+)) (?:doesn't|don't) ", re.IGNORECASE)


class StepMaker:
    """Makes the steps of a draft.

    Args:
        accepted: ids of the proposals that a person has accepted or changed.
        id_of: id in the draft of a proposed part, tool or supply.
        new_id: gives an id that is not taken yet, from words.
    """

    def __init__(self, accepted: frozenset[str], id_of: Mapping[str, str], new_id: IdOf) -> None:
        self._accepted = accepted
        self._id_of = id_of
        self._new_id = new_id

    def made(self, step: Proposal, about: Sequence[Proposal]) -> Made:
        """Return a step as the file has it, without clip and still.

        Args:
            step: the proposed step.
            about: all other proposals that belong to it, in the order said.
        """
        told = (("First", step.detail("first")), ("Then", step.detail("also")))
        notes = [f"{when}: {what}" for when, what in told if what]
        made: Made = {"id": self._new_id(step.text), "action": line(step.text)}
        reasons = [p for p in about if p.kind == "reason"]
        if reasons:
            made["reason"] = _sentence(_WORD_BEFORE.sub("", reasons[0].text, count=1))
        hazards = [p for p in about if p.kind == "hazard"]
        worth = [p for p in hazards if p.confidence >= WORTH or p.id in self._accepted]
        self._put(made, "hazards", [self._hazard(p) for p in worth])
        self._put(made, "tools", self._used(about, "tool"))
        self._put(made, "supplies", [self._supply(p) for p in about if self._known(p, "supply")])
        self._put(made, "ledger", self._ledger(step))
        numbers = [p for p in about if p.kind == "measurement"]
        self._put(made, "specs", [self._spec(p) for p in numbers if _is_spec(p)])
        threads = {p.detail("designation") for p in numbers} - {"", None}
        thread = next(iter(threads)) if len(threads) == 1 else None
        torques = {(p.values, p.detail("role")): p for p in reversed(numbers) if _is_torque(p)}
        self._put(made, "torques", [self._torque(p, thread) for p in reversed(torques.values())])
        notes += [heard(p) for p in numbers if not _is_spec(p) and not _is_torque(p)]
        self._put(made, "critical_points", [
            self._point(p) for p in about if p.kind in {"orientation", "order"}
        ])  # fmt: skip
        self._put(made, "criteria", [self._criterion(p) for p in about if p.kind == "inspection"])
        decisions = [p for p in about if p.kind == "decision"]
        ladder = next((found for p in decisions if (found := _ladder(step, p))), None)
        if ladder:
            made["ladder"] = ladder
        notes += [
            unwritten(f"decide as was said: “{line(p.said, 200)}”")
            for p in decisions[1 if ladder else 0 :]
        ]
        notes += [p.text for p in about if p.kind in {"count", "hidden", "off_camera"}]
        if notes:
            made["note"] = _notes(notes)
        return made

    def _put(self, made: Made, key: str, values: Sequence[Any]) -> None:
        kept = [value for value in values if value]
        if kept:
            made[key] = kept

    def _known(self, proposal: Proposal, kind: str) -> bool:
        return proposal.kind == kind and proposal.id in self._id_of

    def _used(self, about: Sequence[Proposal], kind: str) -> list[str]:
        return [self._id_of[p.id] for p in about if self._known(p, kind)]

    def _supply(self, proposal: Proposal) -> Made:
        where = proposal.detail("where")
        use = {"supply": self._id_of[proposal.id]}
        return use | {"where": line(where)} if where else use

    def _ledger(self, step: Proposal) -> list[Made]:
        entries = []
        for move in step.moves:
            if move.part in self._id_of:
                entry: Made = {"act": move.act, "part": self._id_of[move.part]}
                entries.append(entry | ({"quantity": move.count} if move.count > 1 else {}))
        return entries

    def _hazard(self, proposal: Proposal) -> Made:
        """A warning says what can harm, or how to avoid it; the other half is to be written."""
        text = _sentence(_WORD_BEFORE.sub("", proposal.text, count=1))
        signal = proposal.detail("signal") or "WARNING"
        avoid, harm = _halves(text)
        harm = _KEPT_FROM.sub(r"\1 can ", harm)
        if not harm:
            return {"signal": signal, "hazard": unwritten("what can do harm"), "avoid": text}
        if not avoid:
            return {"signal": signal, "hazard": harm, "avoid": unwritten("how to avoid it")}
        return {"signal": signal, "hazard": _sentence(harm), "avoid": _sentence(avoid)}

    def _spec(self, proposal: Proposal) -> Made:
        role = proposal.detail("role")
        values = proposal.values
        assert values is not None and values.unit is not None  # noqa: S101
        name = proposal.detail("characteristic") or proposal.detail("quantity") or "value"
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
        if role in {"about", "measured"}:
            spec["reference"] = True
        if datum := proposal.detail("datum"):
            spec["datum"] = line(datum)
        spec["source"] = "reading" if role == "measured" else "film"
        if positions := proposal.detail("positions"):
            spec["where"] = line(positions)
        if proposal.id not in self._accepted:
            spec["note"] = heard(proposal)
        return spec

    def _torque(self, proposal: Proposal, thread: str | None) -> Made:
        spec = self._spec(proposal)
        spec["thread"] = line(thread) if thread else unwritten("thread")
        spec["threads"] = unwritten("condition of the threads: dry, oiled or with threadlocker")
        return spec

    def _point(self, proposal: Proposal) -> Made:
        return {
            "id": self._new_id(proposal.text),
            "kind": proposal.kind,
            "what": _sentence(proposal.text),
            "source": "film",
        }

    def _criterion(self, proposal: Proposal) -> Made:
        text = _sentence(proposal.text)
        accepts = _ACCEPTS.search(text)
        return {
            "id": self._new_id(proposal.text),
            "look_for": text if not accepts else unwritten("what to look for"),
            "accept": text if accepts else unwritten("what is accepted"),
            "otherwise": unwritten("what happens if not"),
            "source": "film",
        }


def _halves(text: str) -> tuple[str, str]:
    """Return how to avoid harm and what the harm is, as far as each is said."""
    clauses = [part for part in _CLAUSE.split(text) if part]
    orders = [bool(_ORDERS.match(part)) for part in clauses]
    if not any(orders):
        return "", text
    first = orders.index(True)
    if first:
        return ", ".join(clauses[first:]), ", ".join(clauses[:first])
    # What is ordered goes on until somebody or something does harm.
    turn = next((n for n, part in enumerate(clauses) if n and _HARMS.match(part)), len(clauses))
    harm = _WORD_BEFORE.sub("", ", ".join(clauses[turn:]), count=1)
    return ", ".join(clauses[:turn]), harm


def _sentence(text: str) -> str:
    words = line(text)
    return words[:1].upper() + words[1:]


def _notes(notes: Sequence[str]) -> str:
    """Return notes as one line; what is to be confirmed comes first, so that it counts."""
    ranked = sorted(notes, key=lambda note: not note.startswith(UNWRITTEN))
    return line(" ".join(note if note[-1:] in ".!?”" else f"{note}." for note in ranked))


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


def _ladder(step: Proposal, decision: Proposal) -> list[Made] | None:
    """Return two ways where one is given up for another: 'if it will not move, fetch …'."""
    text = line(decision.text)
    if not _FAILS.match(text):
        return None
    condition, comma, other = text.partition(",")
    if not comma or len(other.split()) < 2:
        return None
    sign = condition.split(" ", 1)[1]
    return [
        {"how": line(step.text), "give_up_when": _sentence(sign)},
        {"how": _sentence(other.strip())},
    ]
