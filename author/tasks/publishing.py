"""Publish a procedure: YAML, PDF, stills and clips, all from one judged procedure."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import author
from author import recording
from author.checks import DraftProcedure, Publishable
from author.checks.limits import si_values
from author.contract import parse_procedure, write_yaml
from author.contract.procedure_file import PROCEDURE_FILE, as_plain
from author.errors import InputError
from author.procedure.document import PlacedStep, Procedure
from author.procedure.steps import Mask
from author.progress import SILENT, Cancel, Progress
from author.publish.drawing import draw_callouts, grade_banner
from author.publish.pdf import Paper, StillPicture, make_pdf
from author.recording.clips import ClipOrder, export_clips
from author.recording.stills import for_screen
from author.storage import Generation, new_generation, read_manifest
from author.tasks.checking import CheckReport, check_procedure

OUTPUTS = ("yaml", "pdf", "stills", "clips")
PDF_FILE = "procedure.pdf"
PLACES = {"yaml": PROCEDURE_FILE, "pdf": PDF_FILE, "stills": "stills", "clips": "clips"}


@dataclass(frozen=True)
class Published:
    """What was made.

    Attributes:
        folder: where it is.
        files: SHA-256 of each file by its name below the folder.
        report: the check it rests on.
        made: names of the outputs made in this run, of ``OUTPUTS``.
        stale: names of outputs that were kept and show another state of the procedure.
    """

    folder: Path
    files: Mapping[str, str]
    report: CheckReport
    made: tuple[str, ...]
    stale: tuple[str, ...]


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

    Args:
        path: the procedure's folder or file.
        to: the folder to publish into.
        only: which outputs to make; the others that are there stay.
        draft: publish in spite of errors, with DRAFT on every page.
        paper: ``a4`` or ``us-letter``.
        media: more folders to look for recordings in.
        progress: told how far it is.
        cancel: looked at on the way; nothing is left half-written.

    Returns:
        What was made, or the report alone if remarks of severity error forbid it.

    Raises:
        InputError: if the procedure, a film or the folder is wrong.
        MachineError: if the machine fails.
    """
    cancel = cancel or Cancel()
    if to.resolve() == (path if path.is_dir() else path.parent).resolve():
        raise InputError(
            "this is the procedure's own folder", remedy="Publish into another", file=to
        )
    report = check_procedure(path, media, progress, cancel)
    judged: Publishable | None = report.verdict.checked
    if draft:
        judged = report.verdict.draft
    if judged is None:
        return report
    job = _Job(judged, report.paths, progress, cancel, paper)
    with new_generation(to) as generation:
        old = read_manifest(to)
        job.make(generation, only, old)
        cancel.check()
        progress.report("putting it in place", 0, None)
        shown = _states(job, only, old)
        kept = tuple(PLACES[name] for name in OUTPUTS if name not in only)
        files = generation.commit(_about(judged, shown), keep=kept)
    there = {name.split("/")[0] for name in files}
    stale = tuple(n for n, s in shown.items() if s != job.state and PLACES[n] in there)
    return Published(to, files, report, tuple(n for n in OUTPUTS if n in only), stale)


def _states(job: _Job, only: Sequence[str], old: Mapping[str, Any] | None) -> dict[str, str]:
    """Return which state of the procedure each output shows."""
    before = (old or {}).get("shows")
    known = before if isinstance(before, dict) else {}
    return {
        name: job.state if name in only else str(known.get(name, "unknown"))
        for name in OUTPUTS
        if name in only or name in known
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


def published_yaml(procedure: Procedure) -> bytes:
    """Return the procedure as canonical YAML with the SI values beside its numbers."""
    sections = []
    for section in procedure.sections:
        steps = []
        for step in section.steps:
            changes = {
                key: tuple(s.model_copy(update={"si": si_values(s)}) for s in specs)
                for key, specs in (("specs", step.specs), ("torques", step.torques))
                if specs
            }
            steps.append(step.model_copy(update=changes))
        sections.append(section.model_copy(update={"steps": tuple(steps)}))
    whole = procedure.model_copy(update={"sections": tuple(sections)})
    data = write_yaml(as_plain(whole)).encode()
    if parse_procedure(data, Path(PROCEDURE_FILE)).procedure != whole:
        msg = "the YAML just written does not read back as the same procedure"
        raise AssertionError(msg)
    return data


class _Job:
    """One run of publishing."""

    def __init__(
        self,
        judged: Publishable,
        paths: Mapping[str, Path],
        progress: Progress,
        cancel: Cancel,
        paper: Paper,
    ) -> None:
        self.judged = judged
        self.paths = paths
        self.progress = progress
        self.cancel = cancel
        self.paper = paper
        self.steps = list(judged.procedure.placed_steps())
        self.yaml = published_yaml(judged.procedure)
        mark = b"draft" if isinstance(judged, DraftProcedure) else b""
        self.state = hashlib.sha256(self.yaml + mark).hexdigest()
        self.names = {p.step.id: f"{p.number:02d}-{p.step.id}" for p in self.steps}

    def make(
        self, generation: Generation, only: Sequence[str], old: Mapping[str, Any] | None
    ) -> None:
        if "yaml" in only:
            generation.write(PROCEDURE_FILE, self.yaml)
        pictures = self._pictures() if {"pdf", "stills"} & set(only) else {}
        if "stills" in only:
            self._stills(generation, pictures)
        clips = {p.step.id: f"clips/{self.names[p.step.id]}.mp4" for p in self._with_clip()}
        if "clips" in only:
            self._clips(generation, clips)
        else:
            there = (old or {}).get("files", {})
            clips = {k: v for k, v in clips.items() if isinstance(there, dict) and v in there}
        if "pdf" in only:
            self.cancel.check()
            self.progress.report("setting the PDF", 0, None)
            data = make_pdf(self.judged, pictures, yaml=self.yaml, clips=clips, paper=self.paper)
            generation.write(PDF_FILE, data)

    def _with_clip(self) -> list[PlacedStep]:
        return [p for p in self.steps if p.step.clip and p.step.clip.recording in self.paths]

    def _pictures(self) -> dict[str, StillPicture]:
        """Decode the still of every step, each film in one pass; masks are burnt in."""
        wanted: dict[str, dict[int, list[PlacedStep]]] = {}
        for placed in self.steps:
            still = placed.step.still
            if still and still.recording in self.paths:
                facts = self.judged.facts[still.recording]
                index = min(facts.index_at(still.at), facts.frame_count - 1)
                wanted.setdefault(still.recording, {}).setdefault(index, []).append(placed)
        total = sum(len(steps) for frames in wanted.values() for steps in frames.values())
        pictures: dict[str, StillPicture] = {}
        for name, frames in wanted.items():
            fit = for_screen(self.paths[name], self.cancel)
            with recording.FrameReader(self.paths[name], self.judged.facts[name]) as reader:
                for frame in reader.frames(sorted(frames)):
                    shown = fit(frame.pixels)
                    for placed in frames[frame.index]:
                        self.cancel.check()
                        still = placed.step.still
                        pixels = recording.hide(shown, _boxes(still.masks if still else None))
                        height, width = pixels.shape[:2]
                        jpeg = recording.encode_still(pixels, "jpeg")
                        pictures[placed.step.id] = StillPicture(jpeg, width, height)
                        self.progress.report("picking stills", len(pictures), total)
        return pictures

    def _stills(self, generation: Generation, pictures: Mapping[str, StillPicture]) -> None:
        shown = [p for p in self.steps if p.step.id in pictures]
        language = self.judged.procedure.language
        for count, placed in enumerate(shown, start=1):
            self.cancel.check()
            picture, still = pictures[placed.step.id], placed.step.still
            place = f"step {placed.number} ({placed.step.id})"
            name = f"stills/{self.names[placed.step.id]}"
            if still and still.callouts:
                drawn = draw_callouts(picture, still.callouts, language=language, place=place)
                generation.write(f"{name}.png", drawn)
            else:
                generation.write(f"{name}.jpg", picture.jpeg)
            self.progress.report("drawing stills", count, len(shown))

    def _clips(self, generation: Generation, clips: Mapping[str, str]) -> None:
        """Cut every clip, those of one recording together."""
        orders: dict[str, list[ClipOrder]] = {}
        for placed in self._with_clip():
            clip = placed.step.clip
            if clip is None:
                continue
            facts = self.judged.facts[clip.recording]
            order = ClipOrder(
                name=f"step {placed.number} ({placed.step.id})",
                first=facts.index_at(clip.start),
                end=facts.index_at(clip.end),
                out=generation.path(clips[placed.step.id]),
                masks=_boxes(clip.masks),
                overlay=self._overlay(generation, placed),
            )
            orders.setdefault(clip.recording, []).append(order)
        for name, wanted in orders.items():
            facts = self.judged.facts[name]
            export_clips(self.paths[name], facts, wanted, self.progress, self.cancel)
        for order in (order for wanted in orders.values() for order in wanted):
            if order.overlay:
                order.overlay.unlink()

    def _overlay(self, generation: Generation, placed: PlacedStep) -> Path | None:
        clip = placed.step.clip
        if clip is None or clip.grade == "as_recommended":
            return None
        facts = self.judged.facts[clip.recording]
        name = f".overlay-{self.names[placed.step.id]}.png"
        banner = grade_banner(
            facts.width,
            facts.height,
            clip.grade,
            clip.grade_reason,
            language=self.judged.procedure.language,
            place=f"step {placed.number} ({placed.step.id})",
        )
        generation.write(name, banner)
        return generation.path(name)


def _boxes(masks: Iterable[Mask] | None) -> tuple[tuple[float, float, float, float], ...]:
    """Return masks as left, top, width and height, as shares of the picture."""
    return tuple(
        (
            float(mask.at[0] - mask.size[0] / 2),
            float(mask.at[1] - mask.size[1] / 2),
            float(mask.size[0]),
            float(mask.size[1]),
        )
        for mask in masks or ()
    )
