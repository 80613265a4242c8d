"""What a proposed step shows that a step of the document shows already."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from author.checks.wording import UNWRITTEN
from author.editing import Span
from author.procedure.document import PlacedStep, Procedure
from author.progress import Cancel
from author.tasks.proposal_places import Known, Places

_LEAST = Decimal("0.25")
"""Seconds that both may show: marks set by hand are no closer."""


@dataclass(frozen=True, slots=True)
class Overlap:
    """A span that is shown by steps already.

    Attributes:
        numbers: numbers of the steps.
        free: the longest part of the span that none of them shows, seconds; None if there
            is none to speak of.
    """

    numbers: tuple[int, ...]
    free: tuple[Decimal, Decimal] | None


def overlap_of(
    procedure: Procedure, recording: str, start: Decimal, end: Decimal
) -> Overlap | None:
    """Return what steps of a document show of a span, or None if nothing to speak of.

    The step of a whole film that a new procedure begins with does not count.

    Args:
        procedure: the document.
        recording: id of the recording.
        start: of the span, seconds.
        end: of the span, seconds.
    """
    numbers = []
    free = [(start, end)]
    for placed in procedure.placed_steps():
        clip = placed.step.clip
        if clip is None or clip.recording != recording or _is_begun(placed):
            continue
        if min(clip.end, end) - max(clip.start, start) >= _LEAST:
            numbers.append(placed.number)
        pieces = [((a, min(b, clip.start)), (max(a, clip.end), b)) for a, b in free]
        free = [piece for pair in pieces for piece in pair if piece[0] < piece[1]]
    if not numbers:
        return None
    longest = max(free, key=lambda piece: piece[1] - piece[0], default=None)
    if longest is not None and longest[1] - longest[0] < _LEAST:
        longest = None
    return Overlap(tuple(numbers), longest)


def overlaps_of(
    procedure: Procedure, known: Known, spans: Mapping[str, Span], cancel: Cancel | None = None
) -> dict[str, Overlap]:
    """Return what a document shows of proposed steps already, by their ids.

    A proposed step that is one of the document's is not over it.

    Args:
        procedure: the document.
        known: what is known of the proposals.
        spans: what shows the proposed steps, by their ids.
        cancel: looked at before each.

    Raises:
        Cancelled: if it was stopped.
    """
    places = Places(procedure, known)
    found = {}
    for name, span in spans.items():
        if cancel:
            cancel.check()
        overlap = overlap_of(procedure, span.recording, span.start, span.end)
        if overlap is not None and places.step_of(known.proposals[name]) is None:
            found[name] = overlap
    return found


def _is_begun(placed: PlacedStep) -> bool:
    step = placed.step
    return step.clip is not None and step.clip.start == 0 and step.action.startswith(UNWRITTEN)
