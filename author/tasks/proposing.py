"""Propose a draft procedure from what was said and shown on recordings."""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

from author import recording
from author.contract import parse_procedure, write_yaml
from author.contract.procedure_file import PROCEDURE_FILE
from author.errors import InputError
from author.procedure.facts import RecordingFacts
from author.progress import SILENT, Cancel, Progress, begin_part
from author.proposals.claims import propose
from author.proposals.draft.announced import announced_title
from author.proposals.draft.answered import (
    Answered,
    answered,
    hold_same_talk,
    left_over_notes,
    sheet_of,
    unread_notes,
)
from author.proposals.draft.answers import (
    AnswerSheet,
    answers_for,
    answers_text,
    named_by,
    read_answers,
    waiting_changes,
)
from author.proposals.draft.filled import Filled, filled, unasked_notes
from author.proposals.draft.procedure import Front, draft_of
from author.proposals.draft.rewritten import hold_as_written
from author.proposals.proposal import Proposal, Question
from author.proposals.speech.sentences import sentences_of
from author.proposals.speech.spoken import Sentence
from author.proposals.speech.tongue import english_note
from author.proposals.speech.walking import Walked
from author.proposals.steps.spans import Seen
from author.recording.captions import find_captions, read_speech
from author.recording.recognition import check_model, recognised
from author.recording.said import Speech
from author.recording.word_times import words_text
from author.storage import file_sha256, replace_file, without_links
from author.tasks.captions_alone import kept_names, names_of, remember_captions
from author.tasks.media import remember_places
from author.tasks.proposal_sheet import only_writer
from author.tasks.starting import hold_names, name_of, title_of


@dataclass(frozen=True, slots=True)
class ProposedJob:
    """What is proposed about a job.

    Attributes:
        captions: caption files read, in order.
        proposals: what is proposed and not refused.
        refused: what is proposed and was refused.
        accepted: ids of the proposals that were accepted or changed.
        questions: what the film leaves open, worst first, and then what is answered and belongs
            to no one place of the draft.
        notes: what was put right or left out on the way, one sentence each.
        draft: the draft procedure as canonical YAML.
        answered_by: who accepted, changed or refused, by the id of the proposal, where known.
    """

    captions: tuple[Path, ...]
    proposals: tuple[Proposal, ...]
    refused: tuple[Proposal, ...]
    accepted: frozenset[str]
    questions: tuple[Question, ...]
    notes: tuple[str, ...]
    draft: str
    answered_by: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Film:
    """A recording with what was seen and heard in it."""

    facts: RecordingFacts
    found: recording.Analyses

    def best_still(self, start: int, end: int) -> int:
        """Return the sharpest frame around the middle of a span of frames."""
        middle = (start + end) // 2
        half = float(self.facts.boundary(end) - self.facts.boundary(start)) / 2
        index = self.found.best_still(middle, max(half * 0.8, 0.0)).index
        return min(max(index, start), end - 1)

    def seen(self) -> Seen:
        """Return what helps to tell steps apart."""
        starts = (*self.facts.frame_starts, self.facts.duration)
        return Seen(
            shots=tuple(starts[shot.index] for shot in self.found.shots),
            pauses=tuple((Decimal(p.start), Decimal(p.end)) for p in self.found.pauses),
            duration=self.facts.duration,
        )


@dataclass(frozen=True, slots=True)
class _Source:
    """Captions, and the recording they belong to; one of the two may be lacking."""

    name: str
    captions: Path | None
    film: Path | None

    @property
    def file(self) -> Path:
        """The file the words come from."""
        found = self.captions or self.film
        assert found is not None  # noqa: S101
        return found


def propose_job(
    captions: Sequence[Path],
    recordings: Sequence[Path] = (),
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
    *,
    answers: Path | None = None,
    to: Path | None = None,
    speech_model: Path | None = None,
    by: str | None = None,
) -> ProposedJob:
    """Propose a draft, and write it and the sheet of answers if files are named for them.

    Args:
        captions: caption files; for a recording without one, that which lies beside it.
        recordings: films of the job, in the order of the work.
        progress: told how far it is.
        cancel: looked at on the way.
        answers: sheet of answers; read if it is there, and written with all proposals.
        to: procedure file to write, or a folder for it.
        speech_model: folder of a model that recognises the speech of recordings without
            captions; what it heard is kept beside the draft as words with times.
        by: who gave the answers of the sheet that name nobody.

    Raises:
        InputError: a file is wrong or missing, captions belong to no recording, or the
            procedure file was changed since it was written from proposals.
        MachineError: the machine fails.
        Cancelled: it was stopped; nothing was written.
    """
    file = _procedure_file(to) if to is not None else None
    if answers is not None:
        _answers(answers, by)  # a wrong one is told before all work
    ours = file is not None and answers is not None and answers.parent == file.parent
    if answers is not None and not ours:
        _hold_place(answers)
    for path in (*captions, *recordings):
        if not path.exists():
            raise InputError("there is no such file", remedy="Check its name", file=path)
    sources = _sources(captions, recordings, speech_model)
    films = {s.name: _film(s.film, progress, cancel) for s in sources if s.film is not None}
    said: list[Sentence] = []
    notes: list[str] = []
    heard: dict[str, Speech] = {}
    for source in sources:
        if cancel:
            cancel.check()
        if source.captions is not None:
            speech = _read(source.captions, films.get(source.name))
        else:
            assert source.film is not None  # noqa: S101
            assert speech_model is not None  # noqa: S101
            speech = heard[source.name] = recognised(source.film, speech_model, progress, cancel)
        spoken = sentences_of(speech, source.name)
        notes += [f"{source.file.name}: {n}" for n in (*speech.notes, *english_note(spoken))]
        said += spoken
    if not said:
        raise InputError(
            "nothing is said in it", remedy="Give captions with words", file=sources[0].file
        )
    walked = Walked(said, progress, cancel)
    found = propose(walked, {name: film.seen() for name, film in films.items()})
    begin_part("finding what was not said", progress, cancel)
    with only_writer(answers) if answers else contextlib.nullcontext():
        # Read only now: an hour of film takes its time, and somebody may answer meanwhile.
        before = _answers(answers, by) if answers else None
        full = _held(answers, before, found.proposals, notes, [source.file for source in sources])
        done = full.done
        name = without_links(file.parent).name if file else sources[0].file.stem
        front = Front(name_of(name), announced_title(done.proposals) or title_of(name))
        begin_part("writing the draft", progress, cancel)
        draft = _canonical(done, front, films, file)
        digest = hashlib.sha256(draft.encode()).hexdigest() if file else None
        names = kept_names(_alone(sources))
        sheet = answers_text(sheet_of(found.proposals, before, digest, names, full.rows))
        begin_part("writing", progress, cancel)
        if file is not None:
            _hold_ours(file, before, digest)
            _write(file, draft, sources)
            notes += _keep_heard(file.parent, heard)
        if answers is not None:
            replace_file(answers, sheet.encode())
    left = {p.id for p in done.proposals}
    return ProposedJob(
        captions=tuple(s.captions for s in sources if s.captions is not None),
        proposals=done.proposals,
        refused=tuple(p for p in found.proposals if p.id not in left),
        accepted=done.accepted,
        questions=full.questions,
        notes=tuple(notes),
        draft=draft,
        answered_by=done.by,
    )


def _read(captions: Path, film: _Film | None) -> Speech:
    """Return what captions say, held against the film they belong to."""
    speech = read_speech(captions, best_effort=True)
    return speech if film is None else speech.held_against(film.facts.duration, captions)


def _hold_place(answers: Path) -> None:
    """See before all work that a sheet of answers can be written where it is named."""
    if not answers.parent.is_dir():
        raise InputError(
            "the folder of the answers does not exist", remedy="Make it first", file=answers
        )
    if not os.access(answers.parent, os.W_OK | os.X_OK):
        raise InputError(
            "nothing may be written into the folder of the answers",
            remedy="Name a file in another folder after --answers",
            file=answers,
        )


def _answers(file: Path, by: str | None) -> AnswerSheet | None:
    sheet = read_answers(file)
    return sheet if sheet is None or by is None else named_by(sheet, by)


def _held(
    file: Path | None,
    sheet: AnswerSheet | None,
    proposals: Sequence[Proposal],
    notes: list[str],
    spoken_in: Sequence[Path],
) -> Filled:
    """Return proposals after the answers of a sheet, and note what was not taken of it."""
    if file is not None:
        hold_as_written(file, sheet, proposals)
    done = answered(proposals, sheet)
    if file is not None:
        hold_same_talk(file, sheet, done, spoken_in)
    notes += waiting_changes(sheet)
    notes += unread_notes(sheet, done, proposals)
    notes += left_over_notes(file or Path(), sheet, done, proposals)
    full = filled(proposals, done, sheet, file)
    notes += unasked_notes(file or Path(), sheet, full.left_over)
    return full


def answers_beside(to: Path) -> Path:
    """Return where the answers to a draft are kept if nothing else is said: as by the window.

    Args:
        to: procedure file of the draft, or a folder for it.
    """
    return answers_for(_procedure_file(to))


def _procedure_file(to: Path) -> Path:
    return to if to.suffix.lower() in {".yaml", ".yml"} else to / PROCEDURE_FILE


def _hold_ours(file: Path, before: AnswerSheet | None, digest: str | None) -> None:
    """Refuse to write over a procedure that these answers did not make.

    One as this run would write it is ours too: a run before may have been cut short between the
    draft and the answers.
    """
    if not file.exists() or file_sha256(file) in {digest, before and before.draft}:
        return
    raise InputError(
        "there is a procedure already, and it was not written by this sheet of answers "
        "or was changed since"
        if before is not None
        else "there is a procedure already, and no sheet of answers says that it may be "
        "written over",
        remedy="To go on with this one, answer in the window ('reelwright bench'); to have it made "
        "anew with the same answers, name another file after --to and the sheet after --answers",
        file=file,
    )


def _sources(
    captions: Sequence[Path], recordings: Sequence[Path], model: Path | None
) -> list[_Source]:
    """Put captions and recordings together: by name, else by their order.

    A model is looked at here already: films are read through before it is needed.
    """
    if model is not None:
        check_model(model)
    hold_names(recordings)
    left = list(captions)
    pairs: list[tuple[Path | None, Path]] = []
    for film in recordings:
        own = next((c for c in left if c.stem == film.stem), None)
        if own is not None:
            left.remove(own)
        pairs.append((own, film))
    placed: list[tuple[Path | None, Path | None]] = []
    for own, film in pairs:
        captions_of = own or (left.pop(0) if left else find_captions(film))
        if captions_of is None and model is None:
            raise InputError(
                "no captions lie beside this recording",
                remedy="Name them with --captions, or recognise them with --speech-model",
                file=film,
            )
        placed.append((captions_of, film))
    if left and recordings:
        raise InputError(
            "these captions belong to none of the recordings",
            remedy="Give as many recordings as captions, or none",
            file=left[0],
        )
    placed += [(alone, None) for alone in left]
    if not placed:
        raise InputError(
            "neither captions nor a recording is named", remedy="Name captions with --captions"
        )
    files = [shown or _Source("", captions_of, None).file for captions_of, shown in placed]
    named = zip(names_of(files), placed, strict=True)
    return [_Source(name, captions_of, shown) for name, (captions_of, shown) in named]


def _alone(sources: Sequence[_Source]) -> list[Path]:
    """Return the captions that no film belongs to."""
    return [source.file for source in sources if source.film is None]


def _film(path: Path, progress: Progress, cancel: Cancel | None) -> _Film:
    facts = recording.facts_of(path, progress, cancel)
    return _Film(facts, recording.analyses_of(path, progress, cancel))


def _canonical(done: Answered, front: Front, films: dict[str, _Film], file: Path | None) -> str:
    """Return the draft as it is written; reading it shows that it is a procedure."""
    draft = draft_of(done.proposals, front, films, done.accepted)
    text = write_yaml(draft.plain, draft.comments).encode()
    return parse_procedure(text, file or Path(PROCEDURE_FILE)).text()


def _write(file: Path, draft: str, sources: Sequence[_Source]) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    films = [s.film for s in sources if s.film is not None]
    if films:
        remember_places(file.parent, {path.name: path.resolve() for path in films})
    remember_captions(file.parent, _alone(sources))
    replace_file(file, draft.encode())


def _keep_heard(folder: Path, heard: Mapping[str, Speech]) -> Iterator[str]:
    """Write what was recognised beside the draft, and say where."""
    for name, speech in heard.items():
        kept = folder / f"{name}.said.json"
        replace_file(kept, words_text(speech).encode())
        yield f"what was heard is kept in {kept}: give it with --captions next time"
