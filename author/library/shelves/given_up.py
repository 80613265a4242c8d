"""What was given up where two people had changed the same, kept beside the procedure.

One line for each place, the oldest first. Who shelves again or takes the library's copy is told
of what was written since their own folder was taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from author.contract.reading import read_bytes
from author.storage import write_file

GIVEN_UP = "given-up.txt"


def given_up_in(folder: Path) -> tuple[str, ...]:
    """Return what was given up of a procedure, one line each, oldest first.

    Args:
        folder: the procedure's folder in the library.

    Raises:
        InputError, MachineError: if it cannot be read.
    """
    file = folder / GIVEN_UP
    if not file.is_file():
        return ()
    return tuple(read_bytes(file).decode(errors="replace").splitlines())


def add_given_up(built: Path, lines: Sequence[str]) -> None:
    """Add lines to what was given up, in a folder that is being built.

    Raises:
        InputError, MachineError: if it cannot be read.
        OSError: if it cannot be written.
    """
    if not lines:
        return
    whole = (*given_up_in(built), *lines)
    # The file may be that of the library itself, at a second place.
    (built / GIVEN_UP).unlink(missing_ok=True)
    write_file(built / GIVEN_UP, "".join(f"{line}\n" for line in whole).encode())
