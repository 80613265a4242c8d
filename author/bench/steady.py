"""Which frame of a measuring step shows the reading: one where all is still, and sharp."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from author.bench.words import translate
from author.editing import NO_ALT, AddEntry, Address, Change, SetField, Span
from author.procedure.steps import Still
from author.proposals.proposal import Proposal
from author.tasks.proposal_places import ShownBy
from author.tasks.proposal_sheet import OpenFilm, Sheet

if TYPE_CHECKING:
    from author.bench.films import FilmDesk
    from author.bench.session import Session
    from author.recording.analyses import Analyses

Marks = tuple[Decimal, Decimal]
"""Begin and end of a span, seconds."""
# Seconds to both sides of the middle of a long span: more would keep the window waiting.
_AROUND = 5.0


def steady_frame(analyses: Analyses, first: int, end: int) -> int | None:
    """Return the sharpest frame of the longest stretch without motion in a span.

    An instrument is read when it rests. Of stretches as long as one another the last one
    counts: the hands have done by then.

    Args:
        analyses: what was seen in the film.
        first: index of the first frame of the span.
        end: index of the frame up to which it goes.

    Returns:
        An index; None where something moves all the time.
    """
    end = min(end, len(analyses.times))
    stretches = [
        (max(span.start, first), min(span.end, end))
        for span in analyses.motion
        if span.kind == "still" and min(span.end, end) > max(span.start, first)
    ]
    if not stretches:
        return None

    def seconds(stretch: tuple[int, int]) -> float:
        return float(analyses.times[stretch[1] - 1] - analyses.times[stretch[0]])

    longest = max(stretches, key=lambda stretch: (seconds(stretch), stretch[0]))
    middle = (longest[0] + longest[1]) // 2
    best = analyses.best_still(middle, min(seconds(longest) / 2, _AROUND)).index
    return min(max(best, longest[0]), longest[1] - 1)


def reading_at(films: FilmDesk, recording: str, start: Decimal, end: Decimal) -> Decimal | None:
    """Return when the reading is seen in a span; None if that is not known."""
    analyses = films.analyses(recording)
    if analyses is None or films.index(recording) is None:
        return None
    first, last = films.frame_at(start, recording), films.frame_at(end, recording)
    frame = steady_frame(analyses, first, last)
    return None if frame is None else films.start_of(frame, recording)


def best_at(films: FilmDesk, span: Span) -> Decimal | None:
    """Return when the sharpest frame of a span is shown, the nearest to its middle of equals.

    Args:
        films: the open films.
        span: the span of a step.

    Returns:
        Start of a frame inside the span, seconds; None until the film is read through.
    """
    analyses = films.analyses(span.recording)
    if analyses is None or films.index(span.recording) is None:
        return None
    known = min(films.count(span.recording), len(analyses.times))
    first, end = (min(films.frame_at(at, span.recording), known) for at in (span.start, span.end))
    if first >= end:
        return None
    middle = (first + end - 1) // 2
    # One frame less, so that the rounding of times takes in none of the next step.
    within = float(analyses.times[end - 1] - analyses.times[first]) / 2
    best = analyses.best_still(middle, min(within, _AROUND)).index
    return films.start_of(min(max(best, first), end - 1), span.recording)


def in_frames(films: FilmDesk, recording: str, marks: Marks) -> ShownBy:
    """Return the frames that a span means, as they are known so far."""
    start, end = (films.frame_at(mark, recording) for mark in marks)
    start = min(start, films.count(recording) - 1)
    end = max(end, start + 1)
    return ShownBy(films.start_of(start, recording), films.start_of(end, recording))


def on_reading(films: FilmDesk, recording: str, shown: ShownBy) -> ShownBy:
    """Return what shows a measuring step, with its still on the reading where that is known."""
    at = reading_at(films, recording, shown.start, shown.end)
    return shown if at is None else replace(shown, still=at)


def measuring(proposals: Iterable[Proposal]) -> frozenset[str]:
    """Return the ids of the proposed steps in which something is measured."""
    return frozenset(p.steps[0] for p in proposals if p.kind == "measurement" and p.steps)


def with_readings(sheet: Sheet, films: Sequence[OpenFilm]) -> Sheet:
    """Return proposals whose measuring steps have their stills on the reading."""
    known = {film.recording: film for film in films}
    wanted, shown = measuring(sheet.proposals), dict(sheet.shown)
    for p in sheet.proposals:
        film, by = known.get(p.recording), shown.get(p.id)
        if p.id not in wanted or film is None or by is None:
            continue
        if film.facts is None or film.analyses is None:
            continue
        first, end = film.facts.index_at(by.start), film.facts.index_at(by.end)
        frame = steady_frame(film.analyses, first, end)
        if frame is not None:
            shown[p.id] = replace(by, still=film.facts.boundary(frame))
    return replace(sheet, shown=shown)


def add_requirement(session: Session, into: Address, entry: Mapping[str, Any]) -> Change:
    """Add a requirement to a step; its still goes to the reading if nobody chose another.

    Args:
        session: whose document.
        into: address of the list: ``("steps", step, "specs")``.
        entry: the requirement as the file has it.

    Returns:
        What became of the document: one entry to undo.

    Raises:
        InputError: if the document refuses it.
    """
    document = session.document
    still = _still_on_reading(session, str(into[1])) if into[-1] == "specs" else None
    if still is None:
        return document.do(AddEntry(into, entry))
    with document.gesture(translate("Sheet", "Add a measurement")):
        change = document.do(AddEntry(into, entry))
        document.do(SetField((*into[:-1], "still"), still))
    return change


def _still_on_reading(session: Session, step: str) -> Still | None:
    """Return the still of a step on its reading, if nobody chose the one it has so far."""
    placed = session.placed(step)
    clip, still = (placed.step.clip, placed.step.still) if placed is not None else (None, None)
    if clip is None or still is None or still.alt != NO_ALT or still.callouts or still.masks:
        return None
    span = Span(clip.recording, clip.start, clip.end)
    if still.at not in {span.middle(), best_at(session.films, span)}:
        return None
    at = reading_at(session.films, clip.recording, clip.start, clip.end)
    return None if at is None else still.model_copy(update={"at": at})
