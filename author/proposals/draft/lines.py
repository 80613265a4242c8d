"""Lines of text as a draft holds them: one order, one sentence, the note of a step."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.checks.wording import UNWRITTEN
from author.procedure.cues import plain_text
from author.proposals.proposal import Proposal

_LINE = 400
_LEAST = 60
"""Letters of a note that are kept for what is to be confirmed."""
_WORD = re.compile(r"[a-z0-9']+")
_ENDS = re.compile(r"[.!?]\s*|, and ")
_SAYS_WHEN = frozenset({"first", "in", "between", "then"})


def line(text: str, most: int = _LINE) -> str:
    """Return a text as one line that a document may hold."""
    words = " ".join(plain_text(text[: 4 * most]).split()) or "…"
    return words if len(words) <= most else words[: most - 1].rsplit(" ", 1)[0] + "…"


def unwritten(what: str) -> str:
    """Return the mark for what a person has to write."""
    return line(f"{UNWRITTEN} {what}")


def sentence(text: str) -> str:
    """Return a text as one line that begins like a sentence."""
    words = line(text)
    return words[:1].upper() + words[1:]


def notes_of(told: Sequence[str], others: Sequence[str]) -> str:
    """Return notes as one line; what is to be confirmed comes first, so that it counts.

    Args:
        told: what else is done in the step; nothing of it may be lost where the line is full.
        others: what is to be confirmed, decided and counted.
    """
    ranked = sorted(others, key=lambda note: not note.startswith(UNWRITTEN))
    work = _ended(told)
    before = line(_ended(ranked), max(_LINE - len(work) - 1, _LEAST)) if ranked else ""
    return line(f"{before} {work}".strip())


def _ended(notes: Sequence[str]) -> str:
    return " ".join(note if note.rstrip("”")[-1:] in ".!?" else f"{note}." for note in notes)


def done_besides(step: Proposal) -> list[str]:
    """Return what else is done in a step, as its note has it."""
    told = (
        ("First: ", "first"),
        ("In between: ", "between"),
        ("Then: ", "also"),
        ("As said: ", "as_said"),
        ("", "note"),
    )
    return [f"{when}{what}" for when, name in told if (what := step.detail(name))]


def told_besides(action: str, work: Sequence[str], about: Sequence[Proposal]) -> list[str]:
    """Return what else is told of a step: how many there are, what is hidden or was not filmed.

    Args:
        action: the step.
        work: what else is done in it.
        about: all that is proposed of it.
    """
    known = " ".join((action, *work)).lower()
    orders = [set(_WORD.findall(one)) - _SAYS_WHEN for one in _ENDS.split(known)]
    return [
        p.text
        for p in about
        if p.kind in {"hidden", "off_camera"}
        or (
            p.kind == "count"
            and p.text.rstrip(" .,;").lower() not in known
            # "Tighten the four screws crosswise to 9 newton metres" is told but for its number
            and not any(one and one <= set(_WORD.findall(p.text.lower())) for one in orders)
        )
    ]
