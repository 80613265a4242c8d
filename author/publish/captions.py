"""Captions and chapters as WebVTT text, valid by the W3C's rules.

Source: WebVTT, W3C, sections 4.1 (file structure), 4.2.2 (cue text), 4.2.3 (chapter
title text) and 4.5.1 (files using only nested cues). What the literal text of the last
one forgets, cues one after the other, is taken as its own example has it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal

from author.procedure.cues import Cue, plain_text
from author.procedure.document import Procedure
from author.procedure.facts import RecordingFacts

__all__ = ["Cue", "chapters", "cut", "webvtt"]

_MS = Decimal("0.001")
_ZERO = Decimal(0)
_MOMENT = Decimal("0.3")
"""Seconds within which nobody reads a caption."""


def webvtt(cues: Iterable[Cue]) -> bytes:
    """Return cues as a WebVTT file, UTF-8 without a byte-order mark.

    Times are rounded to milliseconds, half to even. Cues stand by their start, those that
    begin together in the order given; overlaps are kept. What no player could show is
    left out: a cue without words, or without length once it is rounded.

    Args:
        cues: plain words, seconds from the start of what is played.
    """
    kept = []
    for cue in cues:
        start, end = (max(t, _ZERO).quantize(_MS, ROUND_HALF_EVEN) for t in (cue.start, cue.end))
        words = plain_text(cue.text)
        if words and start < end:
            kept.append(Cue(start, end, words))
    kept.sort(key=lambda cue: cue.start)
    blocks = [f"{_stamp(c.start)} --> {_stamp(c.end)}\n{_escaped(c.text)}\n" for c in kept]
    return "\n".join(["WEBVTT\n", *blocks] if blocks else ["WEBVTT\n", ""]).encode()


def _stamp(seconds: Decimal) -> str:
    """Return whole milliseconds as ``00:01:02.500``; hours have two digits or more."""
    minutes, rest = divmod(int(seconds / _MS), 60_000)
    return f"{minutes // 60:02}:{minutes % 60:02}:{rest // 1000:02}.{rest % 1000:03}"


def _escaped(words: str) -> str:
    """Return plain words as cue text; with no ``>`` in it, no ``-->`` can be."""
    return words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def cut(cues: Iterable[Cue], start: Decimal, end: Decimal) -> tuple[Cue, ...]:
    """Return the cues of a clip, clipped to it, on the clip's clock.

    The last words of what was said before it, that a clip shows for a moment only as it begins,
    are not among them.

    Args:
        cues: cues on the recording's clock.
        start: where the clip's first frame begins, seconds on the recording's clock.
        end: where its last frame ends, same clock.

    Returns:
        Cues from 0, the beginning of the clip's first frame, to ``end - start``.
    """
    return tuple(
        replace(cue, start=max(cue.start, start) - start, end=min(cue.end, end) - start)
        for cue in cues
        if max(cue.start, start) < min(cue.end, end) and not _ends_before(cue, start)
    )


def _ends_before(cue: Cue, start: Decimal) -> bool:
    """Whether a cue is that of the sentence before a clip, and runs into it by a moment."""
    within = cue.end - start
    return cue.start < start and within < min(_MOMENT, start - cue.start)


def chapters(procedure: Procedure, recording_id: str, facts: RecordingFacts) -> tuple[Cue, ...]:
    """Return one chapter for each step with a clip in a recording, in order of time.

    Times are those of the clip's frames, rounded up to milliseconds: rounded down, a
    player that seeks to the chapter would show the frame before.

    A chapters file may only have cues one after the other or one within the other. Where
    two clips overlap in part, the one that begins first ends where the other begins, and
    so does all that lies in it up to there: the player then names the step begun last.
    Of two clips of the same span, the later step lies within the earlier one.

    Args:
        procedure: the document.
        recording_id: which of its recordings.
        facts: that recording's.
    """
    found = []
    for placed in procedure.placed_steps():
        clip = placed.step.clip
        if clip is None or clip.recording != recording_id:
            continue
        start, end = (
            facts.boundary(facts.index_at(mark)).quantize(_MS, ROUND_CEILING)
            for mark in (clip.start, clip.end)
        )
        if start < end:
            found.append(Cue(start, end, f"{placed.number} {placed.step.action}"))
    return _nested(sorted(found, key=lambda cue: (cue.start, -cue.end)))


def _nested(cues: list[Cue]) -> tuple[Cue, ...]:
    """Return cues without partial overlap.

    Args:
        cues: by their start; of those that begin together, the longest first.
    """
    whole = list(cues)
    open_ones: list[int] = []  # each within the one before it
    for index, cue in enumerate(cues):
        while open_ones and whole[open_ones[-1]].end < cue.end:
            before = open_ones.pop()
            # Never emptied: one that begins together with this one is not shorter.
            whole[before] = replace(whole[before], end=min(whole[before].end, cue.start))
        open_ones.append(index)
    return tuple(whole)
