"""The sound of clips, cut and coded by itself before the pictures are.

Each clip's sound is read from a point that depends on the clip alone, so that its bytes
are the same in whatever company the clip is made. It is coded, measured as a listener
will hear it, and coded again until it is as loud as it should be.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from author.progress import Cancel
from author.recording import loudness
from author.recording.ffmpeg import execute, together
from author.recording.loudness import Loudness, Setting, Trial
from author.recording.opening import url_of
from author.recording.spans import SOUND_RATE, Span, film_input, sound, sound_seek

_TRIES = 7
_CODED = {"c:a": "aac", "b:a": "160k", "ac": 2, "ar": SOUND_RATE, "flags:a": "+bitexact"}
_PLAIN = {"f": "f32le", "ar": SOUND_RATE, "ac": 2}


@dataclass(frozen=True, slots=True)
class Soundtrack:
    """The finished sound of a clip.

    Attributes:
        file: AAC in an MP4 file, to be copied into the clip.
        loudness: of the finished sound.
    """

    file: Path
    loudness: Loudness


@dataclass(slots=True)
class _Work:
    """One sound on its way."""

    name: str
    span: Span
    folder: Path
    source: Loudness = field(default=Loudness(0, 0))
    trials: list[Trial] = field(default_factory=list)
    setting: Setting | None = None

    @property
    def plain(self) -> Path:
        return self.folder / f"{self.name}.pcm"

    def coded(self, trial: int) -> Path:
        return self.folder / f"{self.name}-{trial}.m4a"


def make_soundtracks(
    spans: Sequence[Span], folder: Path, cancel: Cancel | None
) -> list[Soundtrack | None]:
    """Write the sound of each span into a folder; None for a span without sound.

    Args:
        spans: parts of one film.
        folder: an empty folder for this call alone; takes 384 kB for each second meanwhile.
        cancel: looked at many times a second.

    Raises:
        InputError, MachineError, Cancelled: as ``ffmpeg.run``.
    """
    works = {n: _Work(f"s{n}", s, folder) for n, s in enumerate(spans) if s.has_sound}
    _cut(list(works.values()), cancel)
    for work in works.values():
        work.setting = loudness.first_setting(work.source)
    waiting = list(works.values())
    for trial in range(_TRIES):
        _try(waiting, trial, cancel)
        for work in waiting:
            work.setting = loudness.next_setting(work.source, work.trials)
        waiting = [work for work in waiting if work.setting is not None]
        if not waiting:
            break
    for work in works.values():
        with suppress(OSError):
            work.plain.unlink()
    return [_finished(works[n]) if n in works else None for n in range(len(spans))]


def _finished(work: _Work) -> Soundtrack:
    chosen = loudness.best(work.trials)
    return Soundtrack(work.coded(chosen), work.trials[chosen].result)


def _cut(works: Sequence[_Work], cancel: Cancel | None) -> None:
    """Write each sound uncoded, and measure it on the way."""
    if not works:
        return
    outputs = []
    shared: dict[Any, list[_Work]] = {}
    for work in works:
        shared.setdefault(sound_seek(work.span), []).append(work)
    for seek, group in shared.items():
        found = group[0].span.index.sound
        assert found is not None  # noqa: S101 - has_sound was asked
        source = film_input(group[0].span, seek)[str(found.stream)]
        for work, branch in zip(group, split(source, len(group), "asplit"), strict=True):
            chain = loudness.metered(sound(work.span, branch), work.name)
            outputs.append(_output(chain, work.plain, _PLAIN))
    log = execute(together(outputs), file=works[0].span.path, cancel=cancel)
    for work in works:
        work.source = loudness.read(log, work.name)


def _try(works: Sequence[_Work], trial: int, cancel: Cancel | None) -> None:
    """Code each sound by its setting, and measure what came out."""
    import ffmpeg

    coded, measured = [], []
    for work in works:
        assert work.setting is not None  # noqa: S101 - only those are waiting
        plain = ffmpeg.input(url_of(work.plain), **_PLAIN)  # type: ignore[no-untyped-call]
        chain = loudness.evened(plain["a:0"].filter("anull"), work.setting)
        options = {**_CODED, "fflags": "+bitexact", "map_metadata": -1, "f": "mp4"}
        coded.append(_output(chain, work.coded(trial), options))
        made = ffmpeg.input(url_of(work.coded(trial)), f="mp4")  # type: ignore[no-untyped-call]
        measured.append(ffmpeg.output(loudness.metered(made["a:0"], work.name), "-", f="null"))
    if not works:
        return
    path = works[0].span.path
    execute(together(coded), file=path, cancel=cancel)
    log = execute(together(measured), file=path, cancel=cancel)
    for work in works:
        assert work.setting is not None  # noqa: S101 - only those are waiting
        work.trials.append(Trial(work.setting, loudness.read(log, work.name)))


def _output(chain: Any, file: Path, options: dict[str, Any]) -> Any:
    import ffmpeg

    return ffmpeg.output(chain, url_of(file), **options)


def split(source: Any, count: int, kind: str) -> list[Any]:
    """Return a stream ``count`` times over.

    Args:
        source: a stream of an ffmpeg graph.
        count: how many are needed.
        kind: ``split`` for pictures, ``asplit`` for sound.
    """
    if count == 1:
        return [source]
    node = source.filter_multi_output(kind, count)
    return [node.stream(at) for at in range(count)]
