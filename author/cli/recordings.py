"""``reelwright recording`` and ``reelwright frame``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import click

from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json, progress_shown
from author.errors import InputError, one_line
from author.procedure.facts import Damage
from author.procedure.times import clock_text, read_clock
from author.progress import Cancel
from author.recording import Description, Offset
from author.tasks.recordings import (
    Happenings,
    PartsReport,
    Passage,
    describe_recording,
    join_parts,
    place_recordings,
    save_frame,
)

_SHOTS_SHOWN = 8


@click.command("recording")
@click.argument("files", nargs=-1, required=True, type=NAMED_PATH)
@click.option("--split", is_flag=True, help="The files are one recording the camera split.")
@click.option(
    "--same-job", is_flag=True, help="The files show one job: find from the sound how they lie."
)
@click.option("--json", "as_json", is_flag=True, help="Print it for programs.")
@click.pass_obj
def recording_command(
    cancel: Cancel, files: tuple[Path, ...], split: bool, same_job: bool, as_json: bool
) -> int:
    """Say what FILE is: shown size, length, frame rate, sound, rotation, damage, shots.

    The film is read from end to end once; what was found is kept in the cache folder.
    With --split several files are put on one clock, in the order of their names; with
    --same-job the sound tells when each recording began, or that it cannot be told.
    """
    if split and same_job:
        raise InputError("--split and --same-job exclude each other", remedy="Give one of them")
    if len(files) > 1 and not (split or same_job):
        raise InputError("several recordings were named", remedy="Add --split or --same-job")
    if len(files) < 2 and (split or same_job):
        raise InputError("there is only one recording", remedy="Name two or more")
    with progress_shown() as progress:
        if split:
            parts = join_parts(files, progress, cancel)
            plain, rows = _joined_plain(parts), list(_joined_rows(parts))
        elif same_job:
            offsets = place_recordings(files, progress, cancel)
            plain, rows = _placed_plain(files, offsets), list(_placed_rows(files, offsets))
        else:
            found = describe_recording(files[0], progress, cancel)
            description = found.description
            plain = _plain(description) | _happenings(found.happenings)
            rows = [*_rows(description), *_seen(found.happenings, description.facts.duration)]
            rows.append(("SHA-256", description.facts.sha256))
    if as_json:
        print_json(plain)
        return 0
    width = max(len(label) for label, _ in rows)
    for label, text in rows:
        click.echo(one_line(f"{label:<{width}}  {text}"))
    return 0


def _joined_rows(parts: PartsReport) -> Iterator[tuple[str, str]]:
    joined = parts.joined
    for number, name in enumerate(joined.names):
        yield "part", f"{clock_text(joined.offset(number), 3)} {name}"
    yield "shown size", f"{joined.width} × {joined.height} pixels"
    yield "length", f"{clock_text(joined.duration, 3)} ({joined.duration:f} s)"
    yield "frames", f"{joined.frame_count:,}"
    yield from _damage_rows(joined.damage)
    yield from _seen(parts.happenings, joined.duration)


def _joined_plain(parts: PartsReport) -> dict[str, Any]:
    joined = parts.joined
    return {
        "parts": [
            {"file": name, "offset": f"{joined.offset(n):f}", "first_frame": joined.firsts[n]}
            for n, name in enumerate(joined.names)
        ],
        "width": joined.width,
        "height": joined.height,
        "duration": f"{joined.duration:f}",
        "frames": joined.frame_count,
        "damage": _damage_plain(joined.damage),
        **_happenings(parts.happenings),
    }


def _placed_rows(files: Sequence[Path], offsets: Sequence[Offset]) -> Iterator[tuple[str, str]]:
    yield "first", f"{files[0].name}: its clock counts"
    for file, each in zip(files[1:], offsets, strict=True):
        way = "after" if each.seconds >= 0 else "before"
        drift = "" if each.drift is None else f", its clock runs {each.drift:+.0f} ppm slow"
        sure = f"{100 * each.confidence:.0f} % sure"
        yield "placed", f"{file.name}: began {abs(each.seconds):f} s {way} it{drift}, {sure}"


def _placed_plain(files: Sequence[Path], offsets: Sequence[Offset]) -> dict[str, Any]:
    return {
        "first": files[0].name,
        "others": [
            {
                "file": file.name,
                "offset": f"{each.seconds:f}",
                "confidence": round(each.confidence, 3),
                "drift_ppm": None if each.drift is None else round(each.drift, 1),
            }
            for file, each in zip(files[1:], offsets, strict=True)
        ],
    }


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
    yield from _damage_rows(facts.damage)


def _damage_rows(found: Sequence[Damage]) -> Iterator[tuple[str, str]]:
    for damage in found:
        since = "" if damage.start is None else f" from {clock_text(damage.start, 3)}"
        until = "" if damage.end is None else f" to {clock_text(damage.end, 3)}"
        yield "damaged", f"{damage.what}{since}{until}"
    if not found:
        yield "damage", "none found"


def _seen(found: Happenings, length: Decimal) -> Iterator[tuple[str, str]]:
    """What happens in the film, in three lines."""
    count = len(found.shots)
    places = [clock_text(each.start, 1) for each in found.shots[:_SHOTS_SHOWN]]
    more = ", …" if count > _SHOTS_SHOWN else ""
    at = f", changing at {', '.join(places)}{more}" if places else ""
    yield "shots", f"{count + 1}{at}"
    yield "movement", _share(found.motion, "working", length) + " of the time"
    if found.pauses is not None:
        silent = _share(found.pauses, "pause", length)
        yield "speech", f"{len(found.pauses)} pauses, {silent} of the time"


def _share(passages: Sequence[Passage], what: str, length: Decimal) -> str:
    total = sum((each.end - each.start for each in passages if each.what == what), Decimal(0))
    return f"{round(100 * total / length) if length else 0} %"


def _happenings(found: Happenings) -> dict[str, Any]:
    def listed(passages: Sequence[Passage], key: str) -> list[dict[str, str]]:
        return [
            {key: each.what, "from": f"{each.start:f}", "to": f"{each.end:f}"} for each in passages
        ]

    pauses = None
    if found.pauses is not None:
        pauses = [{"from": f"{p.start:f}", "to": f"{p.end:f}"} for p in found.pauses]
    return {
        "shot_changes": listed(found.shots, "kind"),
        "motion": listed(found.motion, "kind"),
        "pauses": pauses,
    }


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
        "damage": _damage_plain(facts.damage),
    }


def _damage_plain(found: Sequence[Damage]) -> list[dict[str, str | None]]:
    return [
        {
            "what": d.what,
            "from": None if d.start is None else f"{d.start:f}",
            "to": None if d.end is None else f"{d.end:f}",
        }
        for d in found
    ]


@click.command("frame")
@click.argument("recording", type=NAMED_PATH)
@click.option("--at", required=True, metavar="TIME", help="Seconds, or minutes:seconds.")
@click.option(
    "--out",
    required=True,
    type=NAMED_PATH,
    metavar="FILE",
    help="Picture to write, .png or .jpg.",
)
@click.option(
    "--best",
    metavar="SECONDS",
    help="Choose the sharpest frame within so many seconds before and after TIME.",
)
@click.option("--json", "as_json", is_flag=True, help="Print what was written for programs.")
@click.pass_obj
def frame_command(
    cancel: Cancel, recording: Path, at: str, out: Path, best: str | None, as_json: bool
) -> int:
    """Write the frame of RECORDING whose start is nearest to TIME.

    Times are on the clock a player shows. Rotation is applied.
    """
    seconds = _seconds(at, "--at as 12.5 or 1:12.5")
    within = None if best is None else _seconds(best, "--best as 0.5 or 2")
    with progress_shown() as progress:
        saved = save_frame(recording, seconds, out, progress, cancel, best_within=within)
    if as_json:
        print_json(
            {
                "file": str(saved.path),
                "frame": saved.index,
                "start": f"{saved.start:f}",
                "width": saved.width,
                "height": saved.height,
                **({"reason": saved.reason} if best is not None else {}),
            }
        )
    else:
        said = f"Wrote {saved.path}: frame {saved.index}, which starts at {saved.start:f} s, "
        click.echo(one_line(f"{said}{saved.width} × {saved.height} pixels"))
        if saved.reason:
            click.echo(one_line(f"Chosen: {saved.reason}"))
    return 0


def _seconds(text: str, form: str) -> Decimal:
    try:
        return read_clock(text)
    except ValueError as error:
        raise InputError(str(error), remedy=f"Write {form}") from None
