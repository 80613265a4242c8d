"""Puts a number that somebody changed into what else was said with the old one.

"Tighten the four screws crosswise to between 9 and 11 newton metres" is a torque, and an order of
work in the same words: who gives the torque other limits means both.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from author.proposals.draft.lines import line, unwritten
from author.proposals.language.closed_words import NUMBERS
from author.proposals.proposal import Proposal, Values
from author.proposals.quantities.text import limits_text

_IN_WORDS = frozenset(
    {"order", "orientation", "hazard", "inspection", "decision", "count", "reason", "step"}
)
_TOLD_BESIDES = ("first", "between", "also", "note", "as_said")
_TOKEN = re.compile(r"\d+(?:\.\d+)?|[a-z]+", re.IGNORECASE)
_OVER = re.compile(
    r"\b(?:over|above|past|beyond|(?:more|higher|tighter|no more|hotter) than|exceed|at most|max|"
    r"up to)\s*$",
    re.IGNORECASE,
)
_UNDER = re.compile(
    r"\b(?:under|below|(?:less|lower|no less) than|at least|min)\s*$", re.IGNORECASE
)
_SAY_LITTLE = frozenset({"one", "a", "an", "oh", "half"})


def with_changed_numbers(
    was: Mapping[str, Proposal], now: Sequence[Proposal]
) -> tuple[Proposal, ...]:
    """Return proposals with the new number wherever the old one was told in the same words.

    Where the old number is told in other words, these are marked with the detail ``stale``, what
    the number is now: a person writes them anew.

    Args:
        was: what was proposed, by its id.
        now: the same after the answers.
    """
    found = list(now)
    for number in now:
        before = was.get(number.id)
        if before is None or number.kind != "measurement" or not number.detail("changed_by"):
            continue
        old, new = before.said, number.values
        if new is None or not new.numbers() or new == before.values:
            continue
        for at, each in enumerate(found):
            beside = each.kind in _IN_WORDS and each.overlaps(before)
            if beside and each.text == was.get(each.id, each).text:
                found[at] = _with_number(each, old, new, number.detail("changed_by") or "")
    return tuple(found)


def stale_mark(proposal: Proposal) -> str | None:
    """Return the mark for words that tell a number as it is no more; None where none do.

    Args:
        proposal: as ``with_changed_numbers`` returns it.
    """
    now = proposal.detail("stale")
    return (
        unwritten(f"tell anew, since it is {now} now: “{line(proposal.text, 200)}”")
        if now
        else None
    )


def _with_number(each: Proposal, old: str, new: Values, by: str) -> Proposal:
    """Return a proposal in which a number is told as it is now."""
    details = dict(each.details)
    text = _put(each.text, old, new)
    for name in _TOLD_BESIDES if each.kind == "step" else ():
        if name in details:
            details[name] = _put(details[name], old, new)
    told = " ".join((text, *(details.get(name, "") for name in _TOLD_BESIDES)))
    if _tells(told, old):
        details["stale"] = _number_text(new)
    elif text != each.text:
        details["changed_by"] = by
    return replace(each, text=text, details=tuple(details.items()))


def _put(text: str, old: str, new: Values) -> str:
    at = text.lower().find(old.lower())
    if at < 0 or not old:
        return text
    ahead, behind = text[:at], text[at + len(old) :]
    told = _number_text(new)
    both = new.lower is not None and new.upper is not None and new.nominal is None
    if both and re.search(r"\bbetween\s*$", ahead, re.IGNORECASE):
        told = f"{new.lower:f} and {new.upper:f} {new.unit or ''}".rstrip()
    elif both and re.match(r"between\b", old, re.IGNORECASE):
        told = f"between {new.lower:f} and {new.upper:f} {new.unit or ''}".rstrip()
    one = [limit for limit in (new.lower, new.nominal, new.upper) if limit is not None]
    if len(one) == 1 and (_OVER if new.upper is not None else _UNDER).search(ahead):
        told = f"{one[0]:f} {new.unit or ''}".rstrip()  # "never go over 90 °C"
    return f"{ahead}{told}{behind}"


def _tells(text: str, old: str) -> bool:
    """Whether a text still tells all the numbers of some words."""
    wanted = {token for token in _TOKEN.findall(old.lower()) if _is_number(token)}
    return bool(wanted) and wanted <= set(_TOKEN.findall(text.lower()))


def _is_number(token: str) -> bool:
    return token[0].isdigit() or (token in NUMBERS and token not in _SAY_LITTLE)


def _number_text(values: Values) -> str:
    numbers = limits_text(values.lower, values.nominal, values.upper)
    return f"{numbers} {values.unit or ''}".rstrip()
