"""Clips, stills and callouts against the recordings they come from.

What a recording is reaches these rules as facts; they never open it.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from author.checks.remarks import Path, Remark, Subject, remark
from author.procedure.facts import RecordingFacts
from author.procedure.lists import RecordingRef
from author.procedure.steps import Callout, Clip, Still
from author.procedure.times import clock_text

_NEEDS = {
    "arrow": ("tail",),
    "ring": ("size",),
    "box": ("size",),
    "label": ("text",),
    "leader": ("tail", "text"),
}


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on pictures."""
    recordings = {entry.id: entry for entry in subject.procedure.recordings}
    yield from _recordings(subject)
    for placed in subject.procedure.placed_steps():
        step, path = placed.step, placed.path
        if step.clip and step.clip.recording in recordings:
            ref = recordings[step.clip.recording]
            yield from _clip(step.clip, ref, subject.facts.get(ref.id), (*path, "clip"))
        if step.still and step.still.recording in recordings:
            ref = recordings[step.still.recording]
            yield from _still(step.still, ref, subject.facts.get(ref.id), (*path, "still"))
            if step.still.masks is None and _hidden(step.still, step.clip):
                yield remark(
                    "pictures.unmasked",
                    "the clip hides a part of the picture, its still does not",
                    (*path, "still"),
                )
            if step.clip and _lies_outside(step.still, step.clip):
                yield remark(
                    "pictures.still_outside",
                    f"the still is of {clock_text(step.still.at)}, the clip of step '{step.id}' "
                    f"is from {clock_text(step.clip.start)} to {clock_text(step.clip.end)}",
                    (*path, "still", "at"),
                )
        if step.still is None and step.not_filmed is None:
            yield remark("pictures.none", f"step '{step.id}' has no still", path)


def _recordings(subject: Subject) -> Iterator[Remark]:
    if not subject.recordings_known:
        return
    for index, ref in enumerate(subject.procedure.recordings):
        facts = subject.facts.get(ref.id)
        path: Path = ("recordings", index)
        if facts is None:
            yield remark("pictures.no_recording", f"'{ref.file}' was not found", path)
        elif facts.sha256 != ref.sha256:
            yield remark(
                "pictures.changed_recording",
                f"'{ref.file}' is not the film this procedure was made from: "
                "its fingerprint differs",
                path,
            )


def _clip(
    clip: Clip, ref: RecordingRef, facts: RecordingFacts | None, path: Path
) -> Iterator[Remark]:
    length = facts.duration if facts else ref.duration
    if clip.grade != "as_recommended" and clip.grade_reason is None:
        yield remark("pictures.grade", "why the clip is graded so is not said", path)
    if clip.start >= clip.end:
        yield remark("pictures.empty_span", "'from' is not before 'to'", path)
    elif facts and clip.end <= length and facts.index_at(clip.start) == facts.index_at(clip.end):
        yield remark("pictures.empty_span", "there is no whole frame between the marks", path)
    for key, value in (("from", clip.start), ("to", clip.end)):
        if value > length:
            yield _outside(f"'{key}' is {value:f} s", ref, length, (*path, key))
    for damage in facts.damage if facts else ():
        if damage.start is not None and damage.start < clip.end and _end(damage.end) > clip.start:
            yield remark("pictures.damaged", f"the clip crosses damage: {damage.what}", path)


def _still(
    still: Still, ref: RecordingRef, facts: RecordingFacts | None, path: Path
) -> Iterator[Remark]:
    length = facts.duration if facts else ref.duration
    if still.at >= length:
        yield _outside(f"'at' is {still.at:f} s", ref, length, (*path, "at"))
    for damage in facts.damage if facts else ():
        if damage.start is not None and damage.start <= still.at < _end(damage.end):
            yield remark("pictures.damaged", f"the still is damaged: {damage.what}", path)
    for index, callout in enumerate(still.callouts or ()):
        yield from _callout(callout, (*path, "callouts", index))


def _outside(what: str, ref: RecordingRef, length: Decimal, path: Path) -> Remark:
    return remark(
        "pictures.outside",
        f"{what}, but '{ref.file}' ends at {length:f} s",
        path,
        f"Choose a mark up to {length:f} ({clock_text(length)})",
    )


def _end(end: Decimal | None) -> Decimal:
    return Decimal("Infinity") if end is None else end


def _callout(callout: Callout, path: Path) -> Iterator[Remark]:
    missing = [key for key in _NEEDS[callout.shape] if getattr(callout, key) is None]
    if missing:
        yield remark("pictures.callout", f"the {callout.shape} has no {missing[0]}", path)


def _hidden(still: Still, clip: Clip | None) -> bool:
    """Whether a still lies in a span that the clip of its step masks."""
    return (
        clip is not None
        and clip.masks is not None
        and clip.recording == still.recording
        and clip.start <= still.at < clip.end
    )


def _lies_outside(still: Still, clip: Clip) -> bool:
    """Whether a still is of the clip's recording and no frame of the clip.

    One of another recording may well be of the same moment; where the clip shows nothing,
    another rule says so.
    """
    return (
        clip.recording == still.recording
        and clip.start < clip.end
        and not clip.start <= still.at < clip.end
    )
