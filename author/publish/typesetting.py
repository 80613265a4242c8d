"""Runs Typst: files in a folder of its own, no network, our fonts only."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any, Literal

from author.errors import Cancelled, MachineError
from author.progress import Cancel
from author.resources import font_folder

_HIDE_WINDOW = getattr(subprocess, "CREATE_NO_WINDOW", 0)
_LOOK_EVERY = 0.05  # seconds between looks at the cancel flag


def typeset(
    template: str,
    data: Mapping[str, Any],
    files: Mapping[str, bytes],
    form: Literal["pdf", "png"],
    cancel: Cancel | None = None,
) -> bytes:
    """Return a template filled with data, as one PDF or one picture.

    Text reaches the template as JSON, never as markup, so nothing in it is run.

    Args:
        template: name of the template without its suffix.
        data: JSON-able data the template reads.
        files: other files the template reads, by plain name.
        form: ``pdf`` (PDF/A-3a and PDF/UA-1) or ``png`` (one pixel for each point).
        cancel: looked at while a PDF is set.

    Raises:
        MachineError: if the working files cannot be written, or the pages cannot be set.
        Cancelled: if the user asked to stop.
    """
    try:
        with tempfile.TemporaryDirectory(prefix="reelwright-") as name:
            folder = Path(name)
            _write_files(folder, data, files)
            if form == "pdf":
                return _pages(folder, template, cancel)
            return _picture(folder, template)
    except OSError as error:
        raise MachineError(
            f"the pages could not be set: {error.strerror or error}",
            remedy="Make room on the disk that holds temporary files",
            file=error.filename,
        ) from error


def _write_files(folder: Path, data: Mapping[str, Any], files: Mapping[str, bytes]) -> None:
    """Write templates, data and other files into the folder the compiler may read."""
    for entry in resources.files("author.publish").joinpath("templates").iterdir():
        if entry.name.endswith(".typ"):
            (folder / entry.name).write_bytes(entry.read_bytes())
    for file, content in files.items():
        (folder / file).write_bytes(content)
    text = json.dumps(data, ensure_ascii=False)
    (folder / "data.json").write_text(text, encoding="utf-8")


def _picture(folder: Path, template: str) -> bytes:
    from author.publish.compiling import compiler

    made = compiler(folder, template, font_folder()).compile(format="png", ppi=72.0)
    if not isinstance(made, bytes):
        msg = f"{template} gave {type(made).__name__} instead of one picture"
        raise TypeError(msg)
    return made


def _pages(folder: Path, template: str, cancel: Cancel | None) -> bytes:
    """Return the PDF that a process of its own makes of a folder."""
    script, out = Path(__file__).with_name("compiling.py"), folder / "made.pdf"
    # -P: no module is taken from the folder we happen to stand in.
    command = [sys.executable, "-P", *map(str, (script, folder, template, font_folder(), out))]
    with subprocess.Popen(command, stderr=subprocess.PIPE, creationflags=_HIDE_WINDOW) as process:
        while True:
            try:
                _, told = process.communicate(timeout=_LOOK_EVERY)
                break
            except subprocess.TimeoutExpired:
                if cancel is not None and cancel.requested:
                    process.kill()
                    raise Cancelled from None
    if process.returncode and cancel is not None:
        cancel.check()  # who stops a run often stops all its processes at once
    if process.returncode < 0:
        raise MachineError(
            f"the pages could not be set: the typesetter was ended (signal {-process.returncode})",
            remedy="Close other programs, it may have needed more memory, and try again",
        )
    if process.returncode:
        from author.publish.compiling import UNWRITTEN

        if process.returncode == UNWRITTEN:
            raise OSError(told.decode(errors="replace"))
        msg = f"the template {template} failed:\n{told.decode(errors='replace')}"
        raise RuntimeError(msg)
    return out.read_bytes()
