"""Stills and clips of a procedure, each made once and only if it was not made before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from author import recording
from author.checks import Publishable
from author.procedure.document import PlacedStep
from author.procedure.steps import Mask
from author.progress import Cancel, Progress
from author.publish.drawing import StillPicture, draw_callouts, grade_banner
from author.recording import kept_clips
from author.recording.clips import ClipOrder, export_clips
from author.recording.loudness import Loudness
from author.recording.stills import for_screen
from author.storage import Generation, write_file
from author.tasks.made_before import MadeBefore, key_of

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class MadeFile:
    """A still or clip that lies in the generation, to be shared by the outputs that show it.

    Attributes:
        path: where it lies.
        key: what it was made from.
        fresh: whether it was made in this run.
    """

    path: Path
    key: str
    fresh: bool


class PublishedMedia:
    """Makes the stills and clips of one run of publishing.

    Attributes:
        names: file name of a step's pictures without suffix, such as ``07-press-bearing``,
            by its id.
        notes: what the user should know of what was made, one sentence each.
    """

    def __init__(
        self,
        judged: Publishable,
        paths: Mapping[str, Path],
        generation: Generation,
        before: MadeBefore,
        progress: Progress,
        cancel: Cancel,
    ) -> None:
        self._judged = judged
        self._paths = paths
        self._generation = generation
        self._before = before
        self._progress = progress
        self._cancel = cancel
        self.steps = list(judged.procedure.placed_steps())
        self.names = {p.step.id: f"{p.number:02d}-{p.step.id}" for p in self.steps}
        self.notes: list[str] = []

    def stills(self) -> dict[str, MadeFile]:
        """Return the still of every step with a picture, as JPEG without callouts, masks in it."""
        made: dict[str, MadeFile] = {}
        wanted: dict[str, dict[int, list[PlacedStep]]] = {}
        for placed in self.steps:
            still = placed.step.still
            if still is None or still.recording not in self._paths:
                continue
            facts = self._judged.facts[still.recording]
            index = min(facts.index_at(still.at), facts.frame_count - 1)
            key = key_of("still", facts.sha256, index, boxes(still.masks))
            place = self._generation.scratch(f"stills/{self.names[placed.step.id]}.jpg")
            had = self._before.fetch(key, place)
            made[placed.step.id] = MadeFile(place, key, fresh=not had)
            if not had:
                wanted.setdefault(still.recording, {}).setdefault(index, []).append(placed)
        self._decode(wanted, made)
        return made

    def _decode(
        self, wanted: Mapping[str, Mapping[int, list[PlacedStep]]], made: Mapping[str, MadeFile]
    ) -> None:
        """Decode stills, those of each film in one pass."""
        total = sum(len(steps) for frames in wanted.values() for steps in frames.values())
        done = 0
        for name, frames in wanted.items():
            fit = for_screen(self._paths[name], self._cancel)
            with recording.FrameReader(self._paths[name], self._judged.facts[name]) as reader:
                for frame in reader.frames(sorted(frames)):
                    shown = fit(frame.pixels)
                    for placed in frames[frame.index]:
                        self._cancel.check()
                        still = placed.step.still
                        pixels = recording.hide(shown, boxes(still.masks if still else None))
                        jpeg = recording.encode_still(pixels, "jpeg")
                        write_file(made[placed.step.id].path, jpeg)
                        done += 1
                        self._progress.report("picking stills", done, total)

    def picture(self, step: str, made: MadeFile) -> StillPicture:
        """Return a still with its size."""
        placed = next(p for p in self.steps if p.step.id == step)
        still = placed.step.still
        facts = self._judged.facts[still.recording if still else ""]
        return StillPicture(made.path.read_bytes(), facts.width, facts.height)

    def put_stills(self, stills: Mapping[str, MadeFile]) -> None:
        """Make the output ``stills``: each as it is, and with its callouts where it has some."""
        language = self._judged.procedure.language
        shown = [p for p in self.steps if p.step.id in stills]
        for count, placed in enumerate(shown, start=1):
            self._cancel.check()
            still, made = placed.step.still, stills[placed.step.id]
            name = f"stills/{self.names[placed.step.id]}"
            self._before.put(made.path, f"{name}.jpg", made.key, fresh=made.fresh)
            if still is None or not still.callouts:
                continue
            callouts, picture = still.callouts, self.picture(placed.step.id, made)
            place = _said(placed)
            plain = [c.model_dump(mode="json") for c in callouts]
            self._before.write(
                f"{name}-marked.png",
                key_of("marked", made.key, plain, language),
                partial(draw_callouts, picture, callouts, language=language, place=place),
            )
            self._progress.report("drawing stills", count, len(shown))

    def with_clip(self) -> list[PlacedStep]:
        """Return the steps with a clip whose recording is there."""
        return [p for p in self.steps if p.step.clip and p.step.clip.recording in self._paths]

    def clips(self) -> dict[str, MadeFile]:
        """Return the clip of every step with one, those of a recording cut together."""
        made: dict[str, MadeFile] = {}
        orders: dict[str, list[ClipOrder]] = {}
        keys: dict[Path, str] = {}
        for placed in self.with_clip():
            clip = placed.step.clip
            if clip is None:
                continue
            facts = self._judged.facts[clip.recording]
            first, end = facts.index_at(clip.start), facts.index_at(clip.end)
            shown = boxes(clip.masks), clip.grade, clip.grade_reason
            language = self._judged.procedure.language
            ffmpeg = recording.ffmpeg_version()
            key = key_of("clip", facts.sha256, first, end, *shown, language, ffmpeg)
            place = self._generation.scratch(f"clips/{self.names[placed.step.id]}.mp4")
            had = self._before.fetch(key, place)
            made[placed.step.id] = MadeFile(place, key, fresh=not had)
            keys[place] = key
            if had:
                continue
            if kept_clips.fetch(key, place):  # cut for another folder, or an earlier state
                self._note_quiet(_said(placed), kept_clips.loudness(key))
                continue
            order = ClipOrder(
                name=_said(placed),
                first=first,
                end=end,
                out=place,
                masks=boxes(clip.masks),
                overlay=self._overlay(placed),
            )
            orders.setdefault(clip.recording, []).append(order)
        for name, wanted in orders.items():
            facts = self._judged.facts[name]
            for each in export_clips(
                self._paths[name], facts, wanted, self._progress, self._cancel
            ):
                self._note_quiet(each.name, each.loudness)
                kept_clips.store(keys[each.out], each.out, each.loudness)
        return made

    def _note_quiet(self, name: str, loud: Loudness | None) -> None:
        if loud is not None and not loud.silent and not loud.reached:
            self.notes.append(
                f"the sound of {name} comes to {loud.integrated:.1f} LUFS "
                "only: louder, its blows would be cut off"
            )

    def _overlay(self, placed: PlacedStep) -> Path | None:
        """Return a picture of the band that says a clip's grade, None if it needs none."""
        clip = placed.step.clip
        if clip is None or clip.grade == "as_recommended":
            return None
        facts = self._judged.facts[clip.recording]
        path = self._generation.scratch(f"bands/{self.names[placed.step.id]}.png")
        banner = grade_banner(
            facts.width,
            facts.height,
            clip.grade,
            clip.grade_reason,
            language=self._judged.procedure.language,
            place=_said(placed),
        )
        write_file(path, banner)
        return path


def _said(placed: PlacedStep) -> str:
    return f"step {placed.number} ({placed.step.id})"


def boxes(masks: Iterable[Mask] | None) -> tuple[Box, ...]:
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
