"""Captions of the narration as WebVTT and SubRip."""

from __future__ import annotations

import textwrap
from pathlib import Path

Cue = tuple[float, float, str]


def stamp(seconds: float, comma: bool = False) -> str:
    """Return hours, minutes, seconds and milliseconds."""
    ms = round(seconds * 1000)
    text = f"{ms // 3600000:02}:{ms // 60000 % 60:02}:{ms // 1000 % 60:02}.{ms % 1000:03}"
    return text.replace(".", ",") if comma else text


def write(folder: Path, name: str, cues: list[Cue]) -> None:
    """Write both caption files of a film."""
    vtt, srt = ["WEBVTT\n"], []
    for number, (start, end, words) in enumerate(cues, 1):
        body = "\n".join(textwrap.wrap(words, 42, break_on_hyphens=False))
        vtt.append(f"{number}\n{stamp(start)} --> {stamp(end)}\n{body}\n")
        srt.append(f"{number}\n{stamp(start, True)} --> {stamp(end, True)}\n{body}\n")
    (folder / f"{name}.vtt").write_text("\n".join(vtt), encoding="utf-8")
    (folder / f"{name}.srt").write_text("\n".join(srt), encoding="utf-8")
