"""``reelwright about``."""

from __future__ import annotations

import platform
import sys
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import click

import author
from author.cli.log import LOG_FILE, log_folder
from author.procedure.document import SCHEMA_NAME
from author.recording import cache_folder, ffmpeg_version
from author.resources import schema_folder
from author.storage import MANIFEST_FORMAT, replace_file

_PACKAGES = (
    "av",
    "opencv-python-headless",
    "imageio-ffmpeg",
    "ffmpeg-python",
    "typst",
    "pydantic",
    "PyYAML",
    "numpy",
    "PyQt6",
)
_LOG_LINES = 200


@click.command("about")
@click.option(
    "--to",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Save it with the end of the log as a text file, to send with a report.",
)
def about_command(to: Path | None) -> int:
    """Say which versions are at work and where settings, cache and log lie.

    The saved report holds what this prints and the last lines of the log, which name
    files; nothing of a procedure or a film.
    """
    text = _about()
    if to is None:
        click.echo(text, nl=False)
        return 0
    replace_file(to, f"{text}\n{_log_end()}".encode())
    click.echo(f"Saved {to}")
    return 0


def _about() -> str:
    rows = [
        ("reelwright", author.__version__),
        ("schema", SCHEMA_NAME),
        ("publication", MANIFEST_FORMAT),
        ("python", sys.version.split()[0]),
        ("system", platform.platform()),
        ("ffmpeg", ffmpeg_version()),
        *((name, _version(name)) for name in _PACKAGES),
        ("schema folder", str(schema_folder())),
        ("cache folder", f"{cache_folder()} (REELWRIGHT_CACHE)"),
        ("log", f"{log_folder() / LOG_FILE} (REELWRIGHT_LOG)"),
        ("settings", "none: everything is said in the call"),
    ]
    width = max(len(name) for name, _ in rows)
    return "".join(f"{name:<{width}}  {text}\n" for name, text in rows)


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return "not installed"


def _log_end() -> str:
    try:
        lines = (log_folder() / LOG_FILE).read_text(encoding="utf-8").splitlines()
    except OSError:
        return "The log is empty.\n"
    return "\n".join(["The end of the log:", *lines[-_LOG_LINES:], ""])
