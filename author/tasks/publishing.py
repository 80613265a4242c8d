"""Publish a procedure: everything that leaves the house, all from one judged procedure."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import author
from author import recording
from author.checks import DraftProcedure, Publishable
from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.review_file import read_review
from author.errors import InputError
from author.progress import SILENT, Cancel, Progress
from author.publish.annotations import web_annotations
from author.publish.canonical_json import canonical_json
from author.publish.captions import Cue, chapters, cut, webvtt
from author.publish.order_sheet import order_csv, order_pdf, sheet_of
from author.publish.page import PageClip, PagePicture, work_page
from author.publish.pdf import Paper, make_pdf
from author.publish.published_yaml import published_yaml
from author.publish.record_sheet import record_pdf
from author.publish.signatures import Signature, signatures_of
from author.recording.captions import find_captions, read_speech
from author.storage import new_generation, without_links
from author.tasks.checking import CheckReport, check_procedure
from author.tasks.key_signatures import key_signatures, strangers
from author.tasks.made_before import MadeBefore, key_of
from author.tasks.published_media import MadeFile, PublishedMedia

PLACES: dict[str, tuple[str, ...]] = {
    "yaml": (PROCEDURE_FILE,),
    "json": ("procedure.json",),
    "pdf": ("procedure.pdf",),
    "page": ("page",),
    "stills": ("stills",),
    "clips": ("clips",),
    "captions": ("captions",),
    "order": ("order.csv", "order.pdf"),
    "record": ("record.pdf",),
    "annotations": ("annotations.jsonld",),
}
"""Each output and the names in the published folder that are its own."""

OUTPUTS = tuple(PLACES)
PDF_FILE = PLACES["pdf"][0]
_PAGE_FILES = ("index.html", "page.css", "page.js")


@dataclass(frozen=True)
class Published:
    """What was made.

    Attributes:
        folder: where it is.
        files: SHA-256 of each file by its name below the folder.
        report: the check it rests on.
        made: names of the outputs asked for in this run, of ``OUTPUTS``.
        unchanged: those of them in which no file had to be made anew.
        stale: names of outputs that were kept and show another state of the procedure.
        notes: what the user should know of what was made, one sentence each.
    """

    folder: Path
    files: Mapping[str, str]
    report: CheckReport
    made: tuple[str, ...]
    unchanged: tuple[str, ...]
    stale: tuple[str, ...]
    notes: tuple[str, ...]


def publish(
    path: Path,
    to: Path,
    *,
    only: Sequence[str] = OUTPUTS,
    draft: bool = False,
    paper: Paper = "a4",
    media: Sequence[Path] = (),
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Published | CheckReport:
    """Check a procedure and, if it may leave the house, make its outputs.

    What the folder holds from a run before and would come out the same is taken from
    there, not made again.

    Args:
        path: the procedure's folder or file.
        to: the folder to publish into.
        only: which outputs to make; the others that are there stay.
        draft: publish in spite of errors, with DRAFT on every page.
        paper: size of the pages.
        media: more folders to look for recordings in.
        progress: told how far it is.
        cancel: looked at on the way; nothing is left half-written.

    Returns:
        What was made, or the report alone if remarks of severity error forbid it.

    Raises:
        InputError: if the procedure, a film, its captions or the folder is wrong.
        MachineError: if the machine fails.
    """
    cancel = cancel or Cancel()
    own = path if path.is_dir() else path.parent
    if without_links(to) == without_links(own):
        raise InputError(
            "this is the procedure's own folder", remedy="Publish into another", file=to
        )
    report = check_procedure(path, media, progress, cancel)
    judged: Publishable | None = report.verdict.checked
    if draft:
        judged = report.verdict.draft
    if judged is None:
        return report
    wanted = tuple(name for name in OUTPUTS if name in only)
    home = report.loaded.file.parent
    sheet = read_review(home)
    signed = signatures_of(judged.procedure, sheet, strangers(home, sheet))
    signed += key_signatures(home, judged.procedure)
    with new_generation(to) as generation:
        before = MadeBefore(generation)
        shown = PublishedMedia(judged, report.paths, generation, before, progress, cancel)
        job = _Job(judged, report.paths, signed, shown, before, paper, progress, cancel)
        job.make(wanted, generation.old)
        cancel.check()
        progress.report("putting it in place", 0, None)
        states = _states(job.state, wanted, generation.old)
        keep = tuple(top for name in OUTPUTS if name not in wanted for top in PLACES[name])
        files = generation.commit(
            _about(judged, states), keep=keep, made_from={**before.before, **before.keys}
        )
    there = {name.split("/")[0] for name in files}
    fresh = {name.split("/")[0] for name in before.fresh}
    return Published(
        folder=to,
        files=files,
        report=report,
        made=wanted,
        unchanged=tuple(n for n in wanted if not fresh & set(PLACES[n])),
        stale=tuple(n for n, s in states.items() if s != job.state and there & set(PLACES[n])),
        notes=tuple(shown.notes),
    )


def _states(state: str, wanted: Sequence[str], old: Mapping[str, Any] | None) -> dict[str, str]:
    """Return which state of the procedure each output shows."""
    before = (old or {}).get("shows")
    known = before if isinstance(before, dict) else {}
    return {
        name: state if name in wanted else str(known.get(name, "unknown"))
        for name in OUTPUTS
        if name in wanted or name in known
    }


def _about(judged: Publishable, shown: Mapping[str, str]) -> dict[str, object]:
    procedure = judged.procedure
    return {
        "shows": dict(shown),
        "procedure": procedure.id,
        "revision": procedure.revision,
        "state": procedure.state,
        "draft": isinstance(judged, DraftProcedure),
        "made_with": {"reelwright": author.__version__, "ffmpeg": recording.ffmpeg_version()},
    }


class _Job:
    """One run of publishing."""

    def __init__(
        self,
        judged: Publishable,
        paths: Mapping[str, Path],
        signatures: tuple[Signature, ...],
        media: PublishedMedia,
        before: MadeBefore,
        paper: Paper,
        progress: Progress,
        cancel: Cancel,
    ) -> None:
        self.judged = judged
        self.paths = paths
        self.signatures = signatures
        self.media = media
        self.before = before
        self.paper = paper
        self.progress = progress
        self.cancel = cancel
        self.yaml = published_yaml(judged.procedure)
        mark = b"draft" if isinstance(judged, DraftProcedure) else b""
        self.state = hashlib.sha256(self.yaml + mark).hexdigest()

    def make(self, wanted: Sequence[str], old: Mapping[str, Any] | None) -> None:
        """Make the outputs wanted."""
        stills = self.media.stills() if {"pdf", "stills", "page"} & set(wanted) else {}
        if "stills" in wanted:
            self.media.put_stills(stills)
        clips = self.media.clips() if {"clips", "page"} & set(wanted) else {}
        names = {
            p.step.id: f"clips/{self.media.names[p.step.id]}.mp4" for p in self.media.with_clip()
        }
        if "clips" in wanted:
            for step, made in clips.items():
                self.before.put(made.path, names[step], made.key, fresh=made.fresh)
        else:
            there = (old or {}).get("files", {})
            names = {step: name for step, name in names.items() if name in there}
        cues = self._captions() if {"captions", "page"} & set(wanted) else {}
        write = self.before.write
        makers: dict[str, Callable[[], None]] = {
            "yaml": lambda: write(PROCEDURE_FILE, self.state, lambda: self.yaml),
            "json": lambda: write(
                PLACES["json"][0], self.state, lambda: canonical_json(self.judged.procedure)
            ),
            "pdf": lambda: self._pdf(stills, names),
            "page": lambda: self._page(stills, clips, cues),
            "captions": lambda: self._put_captions(cues),
            "order": self._order,
            "record": self._record,
            "annotations": self._annotations,
        }
        for name in wanted:
            if name in makers:
                self.cancel.check()
                makers[name]()

    def _pdf(self, stills: Mapping[str, MadeFile], clips: Mapping[str, str]) -> None:
        def made() -> bytes:
            self.progress.report("setting the PDF", 0, None)
            return make_pdf(
                self.judged,
                {step: self.media.picture(step, still) for step, still in stills.items()},
                yaml=self.yaml,
                clips=clips,
                paper=self.paper,
                signatures=self.signatures,
                cancel=self.cancel,
            )

        shown = {step: still.key for step, still in stills.items()}
        signed = [str(signature) for signature in self.signatures]
        self.before.write(
            PDF_FILE, key_of("pdf", self.state, shown, clips, self.paper, signed), made
        )

    def _page(
        self,
        stills: Mapping[str, MadeFile],
        clips: Mapping[str, MadeFile],
        cues: Mapping[str, tuple[Cue, ...]],
    ) -> None:
        names = self.media.names
        for folder, suffix, files in (("stills", "jpg", stills), ("clips", "mp4", clips)):
            for step, made in files.items():
                name = f"page/{folder}/{names[step]}.{suffix}"
                self.before.put(made.path, name, made.key, fresh=made.fresh)
        facts = self.judged.facts
        pictures, shown = {}, {}
        for placed in self.media.steps:
            step, still, clip = placed.step.id, placed.step.still, placed.step.clip
            if step in stills and still is not None:
                of = facts[still.recording]
                pictures[step] = PagePicture(f"stills/{names[step]}.jpg", of.width, of.height)
            if step in clips and clip is not None:
                of = facts[clip.recording]
                first, end = of.index_at(clip.start), of.index_at(clip.end)
                start, stop = of.frame_starts[first], of.boundary(end)
                shown[step] = PageClip(
                    f"clips/{names[step]}.mp4",
                    of.width,
                    of.height,
                    tuple(at - start for at in of.frame_starts[first:end]),
                    stop - start,
                    cut(cues.get(clip.recording, ()), start, stop),
                )
        content = hashlib.sha256(self.yaml).hexdigest()
        signed = [str(signature) for signature in self.signatures]
        self.before.write_all(
            [f"page/{name}" for name in _PAGE_FILES],
            key_of("page", self.state, pictures, shown, signed),
            lambda: {
                f"page/{name}": data
                for name, data in work_page(
                    self.judged, pictures, shown, content=content, signatures=self.signatures
                ).items()
            },
        )

    def _captions(self) -> dict[str, tuple[Cue, ...]]:
        """Return what is said on each recording, from the caption file beside it."""
        cues: dict[str, tuple[Cue, ...]] = {}
        for name, path in self.paths.items():
            file = find_captions(path)
            if file is not None:
                speech = read_speech(file)
                cues[name] = speech.cues
                self.media.notes += [f"{file.name}: {note}" for note in speech.notes]
        return cues

    def _put_captions(self, cues: Mapping[str, tuple[Cue, ...]]) -> None:
        """Write captions and chapters of each recording, and the captions of each clip."""
        files: dict[str, bytes] = {}
        for name in self.paths:
            marks = chapters(self.judged.procedure, name, self.judged.facts[name])
            if marks:
                files[f"captions/{name}-chapters.vtt"] = webvtt(marks)
            if name in cues:
                files[f"captions/{name}.vtt"] = webvtt(cues[name])
        for placed in self.media.with_clip():
            clip = placed.step.clip
            if clip is None or clip.recording not in cues:
                continue
            of = self.judged.facts[clip.recording]
            start = of.boundary(of.index_at(clip.start))
            said = cut(cues[clip.recording], start, of.boundary(of.index_at(clip.end)))
            files[f"captions/{self.media.names[placed.step.id]}.vtt"] = webvtt(said)
        for name, data in files.items():
            self.before.write(name, key_of("captions", data.hex()), partial(bytes, data))

    def _order(self) -> None:
        names = PLACES["order"]
        sheet = sheet_of(self.judged)
        self.before.write_all(
            names,
            key_of("order", self.state, self.paper),
            lambda: dict(zip(names, (order_csv(sheet), order_pdf(sheet, self.paper)), strict=True)),
        )

    def _record(self) -> None:
        content = hashlib.sha256(self.yaml).hexdigest()
        self.before.write(
            PLACES["record"][0],
            key_of("record", self.state, self.paper),
            lambda: record_pdf(self.judged, paper=self.paper, content=content),
        )

    def _annotations(self) -> None:
        ends = {n: (f.frame_count, f.duration, f.sha256) for n, f in self.judged.facts.items()}
        self.before.write(
            PLACES["annotations"][0],
            key_of("annotations", self.state, ends),
            lambda: web_annotations(self.judged),
        )
