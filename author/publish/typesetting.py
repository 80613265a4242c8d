"""Runs Typst in the process: files in a folder of its own, no network, our fonts only."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any, Literal

from author.errors import MachineError
from author.resources import font_folder


def typeset(
    template: str,
    data: Mapping[str, Any],
    files: Mapping[str, bytes],
    form: Literal["pdf", "png"],
) -> bytes:
    """Return a template filled with data, as one PDF or one picture.

    Text reaches the template as JSON, never as markup, so nothing in it is run.

    Args:
        template: name of the template without its suffix.
        data: JSON-able data the template reads.
        files: other files the template reads, by plain name.
        form: ``pdf`` (PDF/A-3a and PDF/UA-1) or ``png`` (one pixel for each point).

    Raises:
        MachineError: if the working files cannot be written.
    """
    try:
        with tempfile.TemporaryDirectory(prefix="reelwright-") as name:
            folder = Path(name)
            _write_files(folder, data, files)
            made = _compiled(folder, template, form)
    except OSError as error:
        raise MachineError(
            f"the pages could not be set: {error.strerror or error}",
            remedy="Make room on the disk that holds temporary files",
            file=error.filename,
        ) from error
    if not isinstance(made, bytes):
        msg = f"{template} gave {type(made).__name__} instead of one file"
        raise TypeError(msg)
    return made


def _write_files(folder: Path, data: Mapping[str, Any], files: Mapping[str, bytes]) -> None:
    """Write templates, data and other files into the folder the compiler may read."""
    for entry in resources.files("author.publish").joinpath("templates").iterdir():
        if entry.name.endswith(".typ"):
            (folder / entry.name).write_bytes(entry.read_bytes())
    for file, content in files.items():
        (folder / file).write_bytes(content)
    text = json.dumps(data, ensure_ascii=False)
    (folder / "data.json").write_text(text, encoding="utf-8")


def _compiled(folder: Path, template: str, form: Literal["pdf", "png"]) -> object:
    """Return what the compiler makes: bytes, or a list where a picture has several pages."""
    import typst

    compiler = typst.Compiler(
        str(folder / f"{template}.typ"),
        root=str(folder),
        font_paths=[str(font_folder())],
        ignore_system_fonts=True,
        # Packages could only come from this folder, which holds none: no network.
        package_path=str(folder),
        package_cache_path=str(folder),
    )
    if form == "png":
        return compiler.compile(format="png", ppi=72.0)
    return compiler.compile(format="pdf", pdf_standards=["a-3a", "ua-1"], timestamp=0)
