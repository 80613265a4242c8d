"""Proposals for an open document, and the sheet of answers beside it."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path

from author.errors import InputError
from author.folder_exchange import hold_lock
from author.procedure.facts import RecordingFacts
from author.procedure.quantities import Limits
from author.procedure.spec_entry import entry_text, read_entry
from author.procedure.units import all_units
from author.progress import SILENT, Cancel, Progress, begin_part
from author.proposals.claims import propose
from author.proposals.draft.answered import (
    answered,
    hold_same_talk,
    left_over_notes,
    sheet_of,
    unread_notes,
)
from author.proposals.draft.answers import (
    Answer,
    AnswerSheet,
    Say,
    answers_text,
    read_answers,
)
from author.proposals.draft.changes import Changed, SaidValues, hold_whole, with_name
from author.proposals.draft.filled import rows_for, with_answers
from author.proposals.draft.gaps import questions
from author.proposals.draft.lines import line
from author.proposals.draft.rewritten import hold_as_written
from author.proposals.proposal import Proposal, Question, Values
from author.proposals.quantities.text import in_words
from author.proposals.speech.sentences import sentences_of
from author.proposals.speech.spoken import Sentence
from author.proposals.speech.tongue import english_note
from author.proposals.speech.walking import Walked
from author.proposals.steps.spans import Seen
from author.recording.analyses import Analyses
from author.recording.captions import find_captions, read_speech
from author.storage import file_error, replace_file
from author.tasks.captions_alone import captions_of
from author.tasks.proposal_places import ShownBy

_FOR_INFORMATION = {"about", "measured"}


@dataclass(frozen=True, slots=True, eq=False)
class OpenFilm:
    """A film that is open, with what is known of it so far, or captions that have none.

    Attributes:
        recording: its id in the document.
        path: where it lies.
        captions: its captions, if they are known; they alone where there is no film.
        duration: its length in seconds, or None.
        facts: where its frames are, or None.
        analyses: what was seen and heard in it, or None.
    """

    recording: str
    path: Path
    duration: Decimal | None = None
    facts: RecordingFacts | None = None
    analyses: Analyses | None = None
    captions: Path | None = None


@dataclass(frozen=True, slots=True)
class Decision:
    """What a person says to a proposal.

    Attributes:
        say: ``open``, ``accept``, ``change`` or ``refuse``.
        change: what is to stand in its place, if it was changed.
        by: who says it, if that is known.
    """

    say: Say = "open"
    change: Changed | None = None
    by: str | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """What is proposed, what was answered, and what the films leave out.

    Attributes:
        proposals: all that is proposed, in the order said.
        decisions: the answers, by the id of the proposal; open ones are left out.
        shown: what shows the proposed steps, where a film was looked through.
        questions: worst first.
        notes: what was put right or left out on the way, one sentence each.
    """

    proposals: tuple[Proposal, ...]
    decisions: Mapping[str, Decision]
    shown: Mapping[str, ShownBy] = field(default_factory=dict)
    questions: tuple[Question, ...] = ()
    notes: tuple[str, ...] = ()


def propose_for(
    films: Sequence[OpenFilm],
    answers: Path,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Sheet:
    """Propose from the captions beside open films; answers given before are kept.

    Args:
        films: the films, in the order of the work.
        answers: the sheet of answers; need not be there.
        progress: told how far it is.
        cancel: looked at on the way.

    Raises:
        InputError: no captions lie beside any film, nothing is said in them, they are of
            another recording, or the sheet of answers is wrong.
        Cancelled: it was stopped.
    """
    before = read_answers(answers)
    said: list[Sentence] = []
    notes: list[str] = []
    for done, film in enumerate(films):
        progress.report("reading what is said", done, len(films))
        if cancel:
            cancel.check()
        said += _said_on(film, notes)
    if not said:
        first = films[0].path if films else None
        raise InputError(
            "no captions with words lie beside the films",
            remedy="Lay captions of the same name beside the film: WebVTT, SubRip, or text "
            "with times",
            file=first,
        )
    seen = {film.recording: each for film in films if (each := _seen(film)) is not None}
    found = propose(Walked(said, progress, cancel), seen)
    begin_part("finding what was not said", progress, cancel)
    hold_as_written(answers, before, found.proposals)
    held = answered(found.proposals, before)
    hold_same_talk(answers, before, held, [film.captions or film.path for film in films])
    notes += unread_notes(before, held, found.proposals)
    notes += left_over_notes(answers, before, held, found.proposals)
    sheet = sheet_of(found.proposals, before)
    by_film = {film.recording: film for film in films}
    steps = [p for p in found.proposals if p.kind == "step"]
    asked = with_answers(questions(held.proposals), before)
    begin_part("looking for what shows each step", progress, cancel)
    shown = {p.id: best for p in steps if (best := _shown_by(p, by_film[p.recording])) is not None}
    return Sheet(
        found.proposals,
        _decisions(sheet, found.proposals),
        shown,
        asked,
        tuple(notes),
    )


@contextlib.contextmanager
def only_writer(file: Path, wait: float = 60.0) -> Iterator[None]:
    """Keep others from a sheet of answers that is read, changed and written again.

    Args:
        file: the sheet; where its folder does not exist yet, nobody else can be writing it.
        wait: seconds to wait for another run.

    Raises:
        InputError, MachineError: if another run holds it for longer, or the folder takes no file.
    """
    with contextlib.ExitStack() as held:
        if file.parent.is_dir():
            try:
                held.enter_context(hold_lock(file.with_name(f".{file.name}.lock"), file, wait))
            except OSError as error:
                raise file_error(error, file) from error
        yield


def keep_answers(
    file: Path,
    proposals: Sequence[Proposal],
    decided: Mapping[str, Decision],
) -> tuple[Question, ...]:
    """Write answers into the sheet; those of others that stand in it by now stay.

    Args:
        file: the sheet of answers.
        proposals: all that is proposed.
        decided: what was decided, by the id of the proposal, ``open`` where an answer was
            taken back.

    Returns:
        What the film leaves out after these answers, worst first.

    Raises:
        InputError: if the sheet in the file is wrong, which stays as it is, or another run is
            writing it.
        MachineError: if it cannot be written.
    """
    with only_writer(file):
        before = read_answers(file)
        hold_as_written(file, before, proposals)
        sheet = _with(sheet_of(proposals, before), decided)
        asked = questions(answered(proposals, sheet).proposals)
        sheet = sheet.model_copy(update={"questions": rows_for(asked, before) or None})
        text = answers_text(sheet).encode()
        if before is None or text != answers_text(before).encode():
            replace_file(file, text)
    return with_answers(asked, before)


def captions_alone(answers: Path) -> tuple[OpenFilm, ...]:
    """Return the captions that a draft without films was made from, as if they were films.

    Args:
        answers: the sheet of answers; need not be there.

    Raises:
        InputError: captions it names are not there, or the sheet is wrong.
        MachineError: if it cannot be read.
    """
    return tuple(OpenFilm(name, file, captions=file) for name, file in captions_of(answers))


def _said_on(film: OpenFilm, notes: list[str]) -> list[Sentence]:
    captions = film.captions or find_captions(film.path)
    if captions is None:
        notes.append(f"no captions lie beside {film.path.name}")
        return []
    speech = read_speech(captions, best_effort=True)
    if film.duration is not None:
        speech = speech.held_against(film.duration, captions)
    spoken = list(sentences_of(speech, film.recording))
    notes += [f"{captions.name}: {note}" for note in (*speech.notes, *english_note(spoken))]
    return spoken


def _seen(film: OpenFilm) -> Seen | None:
    if film.facts is None or film.analyses is None:
        return None
    starts = (*film.facts.frame_starts, film.facts.duration)
    return Seen(
        shots=tuple(starts[shot.index] for shot in film.analyses.shots),
        pauses=tuple((Decimal(p.start), Decimal(p.end)) for p in film.analyses.pauses),
        duration=film.facts.duration,
    )


def _shown_by(step: Proposal, film: OpenFilm) -> ShownBy | None:
    """Return the frames that show a step, and the sharpest around their middle."""
    facts, analyses = film.facts, film.analyses
    if facts is None or analyses is None:
        return None
    first = min(facts.index_at(step.start), facts.frame_count - 1)
    end = max(min(facts.index_at(step.end), facts.frame_count), first + 1)
    start, stop = facts.boundary(first), facts.boundary(end)
    best = analyses.best_still((first + end) // 2, float(stop - start) * 0.4).index
    return ShownBy(start, stop, facts.boundary(min(max(best, first), end - 1)))


def _decisions(sheet: AnswerSheet, proposals: Sequence[Proposal]) -> dict[str, Decision]:
    ours = {proposal.id for proposal in proposals}
    return {
        row.id: Decision(row.answer, row.change, row.by)
        for row in sheet.proposals
        if row.id in ours and (row.answer != "open" or row.change is not None)
    }


def _with(sheet: AnswerSheet, decided: Mapping[str, Decision]) -> AnswerSheet:
    """Return a sheet with other answers."""
    rows = tuple(_row(row, decided.get(row.id)) for row in sheet.proposals)
    return sheet.model_copy(update={"proposals": rows})


def _row(row: Answer, decision: Decision | None) -> Answer:
    if decision is None:
        return row
    new = {"answer": decision.say, "change": decision.change, "by": decision.by}
    return row.model_copy(update=new)


def as_changed(proposal: Proposal, change: Changed, by: str | None = None) -> Proposal:
    """Return a proposal as a person has changed it, and who that is if it is known.

    A number that is for information stays so until it is given limits.
    """
    sheet = _with(sheet_of((proposal,), None), {proposal.id: Decision("change", change, by)})
    changed = answered((proposal,), sheet).proposals[0]
    role = proposal.detail("role")
    if change.values is None or role not in _FOR_INFORMATION or _has_limits(change.values):
        return changed
    details = dict(changed.details) | {"role": role}
    return replace(changed, details=tuple(details.items()))


def as_decided(proposal: Proposal, decisions: Mapping[str, Decision]) -> Proposal:
    """Return a proposal as a person has changed it, or as it is where nothing was changed."""
    decision = decisions.get(proposal.id)
    if decision is None or decision.change is None:
        return proposal
    return as_changed(proposal, decision.change, decision.by)


def entry_of(proposal: Proposal) -> str:
    """Return how what is proposed is typed: its text, or for a number its name and limits."""
    values = proposal.values
    if proposal.kind != "measurement" or values is None or not values.numbers():
        return proposal.text
    name, limits = _name_of(proposal), _limits_entry(proposal, values)
    return f"{name}: {limits}" if name else limits


def _name_of(proposal: Proposal) -> str:
    """Return what a number is called, what it is measured from with it; may be empty."""
    name, datum = proposal.detail("characteristic") or "", proposal.detail("datum")
    return f"{name} from the {datum}" if name and datum else name


def _limits_entry(proposal: Proposal, values: Values) -> str:
    reference = proposal.detail("role") in _FOR_INFORMATION
    if values.unit is not None:
        limits = Limits(values.lower, values.nominal, values.upper, all_units()[values.unit])
        return entry_text(limits, reference=reference)
    limits = Limits(values.lower, values.nominal, values.upper, all_units()["mm"])
    return entry_text(limits, reference=reference).removesuffix("mm")


def change_of(proposal: Proposal, typed: str) -> Changed | None:
    """Return what a person has typed in place of what is proposed; None if that is the same.

    A number typed without a name keeps the one it has.

    Raises:
        InputError: if it is empty, or no number with limits and unit where one is asked for,
            or its name is left out before the colon.
    """
    words = line(typed) if typed.strip() else ""
    if not words:
        raise InputError("nothing stands in its place", remedy="Write it, or refuse it")
    values = proposal.values
    if proposal.kind != "measurement" or values is None or not values.numbers():
        if words == proposal.text:
            return None
        change = Changed(text=words)
        hold_whole(proposal.kind, values.unit if values else None, change)
        return change
    named, colon, typed_limits = words.rpartition(":")
    named = named.strip()
    if colon and not named:
        raise InputError("no name stands before the colon", remedy="Write it, or the number alone")
    same_name = not named or named == _name_of(proposal)
    if same_name and typed_limits.strip() == _limits_entry(proposal, values):
        return None
    entry = read_entry(typed_limits.strip(), all_units()[values.unit] if values.unit else None)
    new, reference = entry.limits, proposal.detail("role") in _FOR_INFORMATION
    if entry.reference and not reference:
        raise InputError(
            "this number is one to meet, not for information",
            remedy="Accept it, then say so in its job sheet",
        )
    if reference and not entry.reference and new.lower is None and new.upper is None:
        raise InputError(
            "this number is for information, and one to meet has limits",
            remedy="Write limits, such as 39.97..39.99 mm, or ref before the number",
        )
    own = proposal.detail("characteristic") or in_words(proposal.detail("quantity"))
    renamed = proposal
    if not same_name:  # what it is measured from is a part of the name typed
        renamed = replace(proposal, details=tuple(d for d in proposal.details if d[0] != "datum"))
    numbers = entry_text(new, reference=entry.reference)
    return Changed(
        text=line(with_name(renamed, own if same_name else named, numbers)),
        values=SaidValues(
            lower=new.lower, nominal=new.nominal, upper=new.upper, unit=new.unit.symbol
        ),
    )


def _has_limits(values: SaidValues) -> bool:
    return values.lower is not None or values.upper is not None
