"""When a step was told that no film shows: the words that say so, and the moment in them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from author.procedure.times import clock_text, read_clock
from author.proposals.proposal import Proposal

_BEGINS = "Made from captions alone; told from"
_CLOCK = r"[0-9]{1,4}:[0-5][0-9]\.[0-9]"
_TOLD = re.compile(rf"{_BEGINS} (?P<start>{_CLOCK}) to (?P<end>{_CLOCK})(?: of (?P<of>\S+))?")


@dataclass(frozen=True, slots=True)
class ToldAt:
    """A moment of captions.

    Attributes:
        recording: id of the captions, or None where there are no others.
        start: when it begins, seconds, rounded to tenths.
        end: when it ends, as ``start``.
    """

    recording: str | None
    start: Decimal
    end: Decimal


def told_at_words(step: Proposal, *, several: bool) -> str:
    """Return why a step has no picture, with the moment at which it was told.

    Args:
        step: the proposed step.
        several: whether others were told in other captions.
    """
    of = f" of {step.recording}" if several else ""
    return f"{_BEGINS} {clock_text(step.start)} to {clock_text(step.end)}{of}"


def told_at(words: str | None) -> ToldAt | None:
    """Return the moment in the words of ``told_at_words``; None in those of a person."""
    found = _TOLD.fullmatch(words or "")
    if found is None:
        return None
    return ToldAt(found["of"], read_clock(found["start"]), read_clock(found["end"]))


def in_tenths(seconds: Decimal) -> Decimal:
    """Return a time rounded as moments are told."""
    return read_clock(clock_text(seconds))
