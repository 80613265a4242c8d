"""Frames and clips of the sample films are exact: each frame carries its own number."""

from __future__ import annotations

import random
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from generate.pixel_code import read

from author import recording
from author.procedure.document import PlacedStep
from author.recording import FrameReader, decode_still, facts_of
from author.tasks.publishing import OUTPUTS, Published, publish

from .conftest import MEDIA, SAMPLE

COMMAND = Path(sys.executable).with_name("reelwright")


@pytest.mark.parametrize("name", ["saw.mp4", "phone.mp4"])
def test_two_hundred_random_times_give_the_exact_frame(name: str) -> None:
    facts = facts_of(MEDIA / name)
    assert facts.damage == ()
    chance = random.Random(name)
    last = int(facts.duration * 1_000_000) - 1
    times = [Decimal(chance.randint(0, last)) / 1_000_000 for _ in range(200)]
    wanted = {}
    for time in times:
        # The rule, told anew: the boundary whose time is nearest, the earlier on a tie.
        bounds = [*facts.frame_starts, facts.duration]
        nearest = min(range(len(bounds)), key=lambda i: (abs(bounds[i] - time), i))
        wanted[min(nearest, facts.frame_count - 1)] = time
        assert facts.index_at(time) == nearest
    with FrameReader(MEDIA / name, facts) as reader:
        for frame in reader.frames(sorted(wanted)):
            assert read(frame.pixels) == frame.index


@pytest.mark.parametrize("name", ["saw.mp4", "phone.mp4"])
def test_the_command_writes_the_exact_frame(name: str, tmp_path: Path) -> None:
    facts = facts_of(MEDIA / name)
    chance = random.Random(f"command {name}")
    for index in [0, facts.frame_count - 1, *chance.sample(range(facts.frame_count), 4)]:
        out = tmp_path / f"{index}.png"
        at = f"{facts.frame_starts[index]:f}"
        subprocess.run(
            [COMMAND, "frame", MEDIA / name, "--at", at, "--out", out],
            check=True,
            capture_output=True,
        )
        assert read(decode_still(out.read_bytes())) == index


def test_clips_begin_and_end_on_the_exact_frames(published: Published) -> None:
    procedure = published.report.loaded.procedure
    steps = [placed for placed in procedure.placed_steps() if placed.step.clip]
    assert {p.step.clip.recording for p in steps if p.step.clip} == {"saw", "phone"}
    for placed in steps:
        first, end = span(published, placed)
        clip = published.folder / "clips" / f"{placed.number:02d}-{placed.step.id}.mp4"
        facts = facts_of(clip)
        assert facts.frame_count == end - first, clip.name
        assert facts.damage == ()
        with FrameReader(clip, facts) as reader:
            codes = [read(f.pixels) for f in reader.frames([0, facts.frame_count - 1])]
        assert codes == [first, end - 1], clip.name


def span(published: Published, placed: PlacedStep) -> tuple[int, int]:
    clip = placed.step.clip
    assert clip is not None
    facts = published.report.verdict.draft.facts[clip.recording]
    return facts.index_at(clip.start), facts.index_at(clip.end)


def test_stills_are_the_frames_marked(published: Published) -> None:
    for placed in published.report.loaded.procedure.placed_steps():
        still = placed.step.still
        if still is None:
            assert placed.step.not_filmed
            continue
        name = f"stills/{placed.number:02d}-{placed.step.id}"
        facts = published.report.verdict.draft.facts[still.recording]
        for ending in (".jpg", *(["-marked.png"] if still.callouts else [])):
            pixels = decode_still((published.folder / f"{name}{ending}").read_bytes())
            assert read(pixels) == facts.index_at(still.at), name


def test_published_twice_is_the_same_to_the_byte(published: Published, tmp_path: Path) -> None:
    """All but the clips, which take a minute: those of a small film are held to it as well."""
    only = [name for name in OUTPUTS if name not in ("clips", "page")]
    again = publish(SAMPLE, tmp_path / "again", only=only)
    assert isinstance(again, Published)
    # Without clips beside it the PDF names none.
    tops = {"procedure.pdf", "clips", "page"}
    first = {n: d for n, d in published.files.items() if n.split("/")[0] not in tops}
    assert {n: d for n, d in again.files.items() if n not in tops} == first


def test_the_loudness_of_a_clip_is_even(published: Published) -> None:
    """EBU R 128 v4.0: within 1 LU in production; −16 LUFS is our own target."""
    clip = next(iter(sorted((published.folder / "clips").glob("*.mp4"))))
    ffmpeg = recording.ffmpeg.ffmpeg_program()  # type: ignore[attr-defined]
    done = subprocess.run(
        [ffmpeg, "-nostdin", "-i", clip, "-af", "ebur128", "-f", "null", "-"],
        check=True,
        capture_output=True,
        text=True,
    )
    summary = done.stderr[done.stderr.rindex("Integrated loudness") :]
    value = float(summary.split("I:")[1].split("LUFS")[0])
    assert value == pytest.approx(-16, abs=1)
