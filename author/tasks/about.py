"""Which versions are at work and where everything lies, for a person and for a report."""

from __future__ import annotations

import platform
import sys
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import author
from author.editing.journal_file import state_folder
from author.library.index.tables import INDEX_VERSION
from author.library.signing.keys import keys_folder
from author.procedure.document import SCHEMA_NAME
from author.recording import ffmpeg_version
from author.resources import schema_folder
from author.storage import MANIFEST_FORMAT, cache_folder, replace_file
from author.tasks.failure_log import LOG_FILE, log_folder

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
    "cryptography",
    "SQLAlchemy",
    "psycopg",
    "starlette",
    "uvicorn",
    "argon2-cffi",
    "matplotlib",
)
_LOG_LINES = 200


def about() -> str:
    """Return versions and places, a line each."""
    rows = [
        ("reelwright", author.__version__),
        ("schema", SCHEMA_NAME),
        ("publication", MANIFEST_FORMAT),
        ("library index", str(INDEX_VERSION)),
        ("python", sys.version.split()[0]),
        ("system", platform.platform()),
        ("ffmpeg", ffmpeg_version()),
        *((name, _version(name)) for name in _PACKAGES),
        ("schema folder", str(schema_folder())),
        ("cache folder", f"{cache_folder()} (REELWRIGHT_CACHE)"),
        ("journals", f"{state_folder()} (REELWRIGHT_STATE)"),
        ("keys", f"{keys_folder()} (REELWRIGHT_KEYS)"),
        ("index of libraries", "in each library, or where REELWRIGHT_INDEX says"),
        ("log", f"{log_folder() / LOG_FILE} (REELWRIGHT_LOG)"),
        ("settings", "of the window: Qt's place for Reelwright; the commands have none"),
    ]
    width = max(len(name) for name, _ in rows)
    return "".join(f"{name:<{width}}  {text}\n" for name, text in rows)


def save_report(to: Path) -> None:
    """Save versions and places with the end of the log as a text file.

    It names files; it holds nothing of a procedure or a film.

    Raises:
        InputError, MachineError: if the file cannot be written.
    """
    replace_file(to, f"{about()}\n{_log_end()}".encode())


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
