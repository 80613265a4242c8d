"""The demonstration: the whole way once, on the sample recordings."""

from __future__ import annotations

from pathlib import Path

from author.errors import InputError
from author.progress import SILENT, Cancel, Progress
from author.tasks.checking import CheckReport
from author.tasks.publishing import Published, publish

SAMPLE = Path("sample_media") / "upper-wheel-bearings"


def find_checkout(start: Path) -> Path:
    """Return the nearest folder at or above ``start`` that holds the sample media.

    Raises:
        InputError: if there is none; the films are too large to be part of the package.
    """
    start = start.resolve()
    for folder in (start, *start.parents, Path(__file__).resolve().parents[2]):
        if (folder / SAMPLE / "procedure.yaml").is_file():
            return folder
    raise InputError(
        "the sample films are not here: they come with the source, not with the package",
        remedy="Run it in a checkout, in the folder that holds sample_media",
        file=start,
    )


def run_demo(
    start: Path,
    to: Path | None = None,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Published | CheckReport:
    """Check and publish the sample procedure.

    Args:
        start: where to look for the sample media, upwards.
        to: where to publish; ``exports/demo`` in the checkout if None.
        progress: told how far it is.
        cancel: looked at on the way.

    Raises:
        InputError: if the sample media are not there.
        MachineError: if the machine fails.
    """
    checkout = find_checkout(start)
    target = to or checkout / "exports" / "demo"
    return publish(checkout / SAMPLE, target, progress=progress, cancel=cancel)
