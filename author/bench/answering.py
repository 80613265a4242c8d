"""Where the answer to a question is written: the field of the document it asks for."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from author.checks.wording import UNWRITTEN
from author.editing import Address, exists, value_at
from author.procedure.document import Procedure
from author.procedure.values import Node
from author.proposals.proposal import Proposal, Question

_WORD = re.compile(r"[^\W_]+")
_OF_A_STEP = {"torque": "torques", "part": "ledger", "limits": "specs"}
"""What a question about a whole step asks for, and the list of the step it belongs in."""
_OF_THE_JOB = {"supply": ("supplies", "grade"), "deferred": ("findings", "released_by"),
               "prerequisite": ("prerequisites", "what"), "follow_on": ("close_outs", "what"),
               "part": ("parts", "name"), "tool": ("tools", "name")}  # fmt: skip
_OF_CLAIMS = {"hazard": ("hazards", "consequence"), "inspection": ("criteria", "accept"),
              "orientation": ("critical_points", "what"),
              "order": ("critical_points", "what")}  # fmt: skip

_ASKED_FIELD = {"avoided": "avoid", "otherwise": "otherwise"}
_NOT_PROPOSED = {("hazard", "told"): ("consequence",), ("hazard", "avoided"): ("avoid",),
                 ("inspection", "accepted"): ("accept", "otherwise"),
                 ("inspection", "otherwise"): ("otherwise",), ("supply", "told"): ("grade",),
                 ("deferred", "told"): ("released_by",)}  # fmt: skip
"""What an entry has only from a person where that is asked for: no proposal brings it."""
_LIMITS = ("lower", "upper")


def is_of_power(question: Question) -> bool:
    """Whether a question asks how the machine is made safe, whatever was said."""
    return question.asks == "safe"


def is_of_the_job(question: Question, about: Proposal) -> bool:
    """Whether a question is answered outside the steps."""
    return about.kind in _OF_THE_JOB or is_of_power(question)


def place_of(
    question: Question, about: Proposal, procedure: Procedure, step: str | None
) -> Address:
    """Return the address of the field in which a question is answered.

    Args:
        question: the question.
        about: the proposal it is about, as it was changed.
        procedure: the document; it has what the proposal became, if anything.
        step: id of the step the proposal belongs to; None for what is none of a step.
    """
    if is_of_power(question):
        return _entry(("prerequisites",), procedure.prerequisites, about, "what")
    if about.kind in _OF_THE_JOB:
        key, field = _OF_THE_JOB[about.kind]
        return _entry((key,), getattr(procedure, key), about, field)
    return () if step is None else _in_step(question, about, procedure, step)


def is_answered(
    question: Question, about: Proposal, procedure: Procedure, step: str | None
) -> bool:
    """Whether the entry that a proposal became has what a question about it asks for.

    Args:
        question: the question.
        about: the proposal it is about, as it was changed; it is in the document.
        procedure: the document.
        step: id of the step the proposal belongs to; None for what is none of a step.
    """
    if is_of_power(question) or question.several:
        return False
    *entry, _ = place_of(question, about, procedure, step) or ("",)
    if about.kind == "measurement":
        filled = any(not is_left(procedure, (*entry, field)) for field in _LIMITS)
        return question.asks == "limits" and filled and not _stands_bare(about, procedure, step)
    fields = _NOT_PROPOSED.get((about.kind, question.asks), ())
    return bool(fields) and not any(is_left(procedure, (*entry, field)) for field in fields)


def _stands_bare(about: Proposal, procedure: Procedure, step: str | None) -> bool:
    """Whether a number stands in its step as it was said, without limits."""
    found = [p.step for p in procedure.placed_steps() if p.step.id == step]
    said = None if about.values is None else about.values.nominal
    return any(
        spec.nominal == said and spec.lower is None and spec.upper is None
        for one in found
        for spec in (*(one.torques or ()), *(one.specs or ()))
    )


def is_left(procedure: Procedure, place: Address) -> bool:
    """Whether nothing stands at a place of the document, or what is still to be written."""
    now = value_at(procedure, place) if exists(procedure, place) else None
    return now is None or now in {"", ()} or (isinstance(now, str) and UNWRITTEN in now)


def _in_step(question: Question, about: Proposal, procedure: Procedure, step: str) -> Address:
    at: Address = ("steps", step)
    found = next(p.step for p in procedure.placed_steps() if p.step.id == step)
    if about.kind == "step":
        return (*at, _OF_A_STEP.get(question.asks, "action"))
    if about.kind == "measurement":
        torques, specs = found.torques or (), found.specs or ()
        best = _likest((*torques, *specs), about)
        if best is None:
            return (*at, "specs")
        if best < len(torques):
            return (*at, "torques", best, "lower")
        return (*at, "specs", best - len(torques), "lower")
    if about.kind in _OF_CLAIMS:
        key, field = _OF_CLAIMS[about.kind]
        field = _ASKED_FIELD.get(question.asks, field)
        return _entry((*at, key), getattr(found, key), about, field)
    return (*at, "note")


def _entry(at: Address, entries: object, about: Proposal, field: str) -> Address:
    """Return the field of the entry that says most of what a proposal says."""
    best = _likest(entries, about) if isinstance(entries, tuple) else None
    return at if best is None else (*at, best, field)


def _likest(entries: Sequence[Any], about: Proposal) -> int | None:
    """Return the index of the entry with most words of a proposal; of equals the last."""
    if not entries:
        return None
    values = about.values.numbers() if about.values is not None else ()
    said = _words(" ".join([about.text, *(value for _, value in about.details)]))
    said |= {f"{number:f}" for number in values}
    shared = [len(said & _words_of(entry)) for entry in entries]
    return max(range(len(entries)), key=lambda at: (shared[at], at))


def _words_of(entry: object) -> set[str]:
    if not isinstance(entry, Node):
        return _words(str(entry))
    plain = entry.model_dump(mode="json", exclude_none=True)
    texts = [str(value) for value in plain.values() if isinstance(value, str | int)]
    return _words(" ".join(texts)) | set(texts)


def _words(text: str) -> set[str]:
    return {word.casefold() for word in _WORD.findall(text)}
