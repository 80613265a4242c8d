"""``reelwright recording`` and ``reelwright frame``."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import click

from author.cli.showing import print_json, progress_shown
from author.errors import InputError, one_line
from author.procedure.times import clock_text, read_clock
from author.progress import Cancel
from author.recording import Description
from author.tasks.recordings import describe_recording, save_frame


@click.command("recording")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print it for programs.")
@click.pass_obj
def recording_command(cancel: Cancel, file: Path, as_json: bool) -> int:
    """Say what FILE is: shown size, length, frame rate, sound, rotation, damage.

    The film is read from end to end once; what was found is kept in the cache folder.
    """
    with progress_shown() as progress:
        found = describe_recording(file, progress, cancel)
    if as_json:
        print_json(_plain(found))
        return 0
    rows = list(_rows(found))
    width = max(len(label) for label, _ in rows)
    for label, text in rows:
        click.echo(one_line(f"{label:<{width}}  {text}"))
    return 0


def _rows(found: Description) -> Iterator[tuple[str, str]]:
    facts = found.facts
    yield "film", f"{facts.file}, {facts.size:,} bytes, {found.container}, {found.codec}"
    yield "shown size", f"{facts.width} × {facts.height} pixels"
    stored = (found.stored_width, found.stored_height)
    turned = f", turned {found.rotation}° clockwise" if found.rotation else ""
    mirrored = ", mirrored" if found.mirrored else ""
    if turned or mirrored or stored != (facts.width, facts.height):
        yield "stored", f"{stored[0]} × {stored[1]} pixels{turned}{mirrored}"
    yield "length", f"{clock_text(facts.duration, 3)} ({facts.duration:f} s)"
    yield "frames", f"{facts.frame_count:,}{_spread(found)}"
    yield "sound", _sound(found)
    for chapter in found.chapters:
        yield "chapter", f"{clock_text(chapter.start)} {chapter.title}"
    for damage in facts.damage:
        since = "" if damage.start is None else f" from {clock_text(damage.start, 3)}"
        until = "" if damage.end is None else f" to {clock_text(damage.end, 3)}"
        yield "damaged", f"{damage.what}{since}{until}"
    if not facts.damage:
        yield "damage", "none found"
    yield "SHA-256", facts.sha256


def _spread(found: Description) -> str:
    if found.median_ms is None:
        return ""
    if not found.varies:
        return f", one every {found.median_ms} ms"
    return (
        f", at a varying rate: {found.shortest_ms} to {found.longest_ms} ms apart, "
        f"mostly {found.median_ms} ms"
    )


def _sound(found: Description) -> str:
    sound = found.sound
    if sound is None:
        return "none"
    lead = found.sound_lead or Decimal(0)
    text = f"{sound.codec}, {sound.channels} channel{'s' * (sound.channels != 1)}, {sound.rate} Hz"
    if abs(lead) < Decimal("0.001"):
        return text
    return f"{text}, starts {abs(lead):f} s {'before' if lead > 0 else 'after'} the picture"


def _plain(found: Description) -> dict[str, Any]:
    facts, sound = found.facts, found.sound
    return {
        "file": facts.file,
        "bytes": facts.size,
        "sha256": facts.sha256,
        "container": found.container,
        "codec": found.codec,
        "width": facts.width,
        "height": facts.height,
        "stored_width": found.stored_width,
        "stored_height": found.stored_height,
        "rotation": found.rotation,
        "mirrored": found.mirrored,
        "duration": f"{facts.duration:f}",
        "frames": facts.frame_count,
        "first_frame": f"{facts.frame_starts[0]:f}",
        "rate_varies": found.varies,
        "frame_interval_ms": {
            "shortest": None if found.shortest_ms is None else str(found.shortest_ms),
            "median": None if found.median_ms is None else str(found.median_ms),
            "longest": None if found.longest_ms is None else str(found.longest_ms),
        },
        "sound": None
        if sound is None
        else {
            "codec": sound.codec,
            "channels": sound.channels,
            "rate": sound.rate,
            "start": f"{sound.start:f}",
        },
        "chapters": [
            {"start": f"{c.start:f}", "end": f"{c.end:f}", "title": c.title} for c in found.chapters
        ],
        "damage": [
            {
                "what": d.what,
                "from": None if d.start is None else f"{d.start:f}",
                "to": None if d.end is None else f"{d.end:f}",
            }
            for d in facts.damage
        ],
    }


@click.command("frame")
@click.argument("recording", type=click.Path(path_type=Path))
@click.option("--at", required=True, metavar="TIME", help="Seconds, or minutes:seconds.")
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Picture to write, .png or .jpg.",
)
@click.option("--json", "as_json", is_flag=True, help="Print what was written for programs.")
@click.pass_obj
def frame_command(cancel: Cancel, recording: Path, at: str, out: Path, as_json: bool) -> int:
    """Write the frame of RECORDING whose start is nearest to TIME.

    Times are on the clock a player shows. Rotation is applied.
    """
    try:
        seconds = read_clock(at)
    except ValueError as error:
        raise InputError(str(error), remedy="Write --at as 12.5 or 1:12.5") from None
    with progress_shown() as progress:
        saved = save_frame(recording, seconds, out, progress, cancel)
    if as_json:
        print_json(
            {
                "file": str(saved.path),
                "frame": saved.index,
                "start": f"{saved.start:f}",
                "width": saved.width,
                "height": saved.height,
            }
        )
    else:
        click.echo(
            f"Wrote {saved.path}: frame {saved.index}, which starts at {saved.start:f} s, "
            f"{saved.width} × {saved.height} pixels"
        )
    return 0
