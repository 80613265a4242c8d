"""The errors a user may meet, as a small tree.

::

    ReelwrightError
    ├── InputError      the call or a file is wrong: the user can mend it   (exit 2)
    │   └── FileErrors  several faults of one file
    ├── MachineError    the machine failed: disk, decoder, permissions      (exit 3)
    └── Cancelled       the user stopped a running job                      (exit 3)

Anything else that escapes is a bug of ours and keeps its traceback. One place,
``author.cli``, turns these into a line of text; nobody else prints them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path


class ReelwrightError(Exception):
    """Base of every error that is shown to a user as one line.

    Attributes:
        problem: what is wrong, one sentence without a full stop.
        remedy: what the user can do about it, one sentence without a full stop.
        file: the file it is about, if any.
        line: line in that file, counted from 1.
        column: column in that line, counted from 1.
    """

    exit_code = 1

    def __init__(
        self,
        problem: str,
        *,
        remedy: str = "",
        file: Path | str | None = None,
        line: int | None = None,
        column: int | None = None,
    ) -> None:
        super().__init__(problem)
        self.problem = problem
        self.remedy = remedy
        self.file = None if file is None else str(file)
        self.line = line
        self.column = column

    @property
    def place(self) -> str:
        """File, line and column as ``file:line:column``, or an empty string."""
        parts = [self.file] if self.file else []
        parts += [str(n) for n in (self.line, self.column) if n is not None]
        return ":".join(parts)

    def __str__(self) -> str:
        """Return the whole error as one line."""
        text = f"{self.place}: {self.problem}" if self.place else self.problem
        stop = "" if self.remedy.endswith("?") else "."
        return one_line(f"{text}. {self.remedy}{stop}" if self.remedy else f"{text}.")


class InputError(ReelwrightError):
    """A file or the call is wrong, and the user can mend it."""

    exit_code = 2


class FileErrors(InputError):
    """Several faults of one file, told at once.

    Attributes:
        faults: each fault as an error of its own, in the order of the file.
    """

    def __init__(self, faults: Sequence[InputError]) -> None:
        first = faults[0]
        super().__init__(
            first.problem,
            remedy=first.remedy,
            file=first.file,
            line=first.line,
            column=first.column,
        )
        self.faults = tuple(faults)

    def __str__(self) -> str:
        """Return one line for each fault."""
        return "\n".join(str(fault) for fault in self.faults)


class MachineError(ReelwrightError):
    """The machine failed: full disk, a folder that cannot be written, a decoder that died."""

    exit_code = 3


class Cancelled(ReelwrightError):
    """The user stopped the job; nothing half-written is left."""

    exit_code = 3

    def __init__(self) -> None:
        super().__init__("stopped on request", remedy="Nothing was changed")


def in_command(path: Path | str) -> str:
    """Return a path as it is typed in a command: in quotes where it needs them."""
    text = str(path)
    return f'"{text}"' if re.search(r"[^\w./\\:~+,@%-]", text) else text


# Line separators, signs that turn the direction of writing, and signs that are not seen.
_UNSEEN = frozenset(
    "\u061c\u200b\u200e\u200f\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2060"
    "\u2066\u2067\u2068\u2069\ufeff"
)


def one_line(text: str) -> str:
    r"""Return ``text`` with line ends and control characters made harmless.

    Text from files ends up in terminals: control and bidirectional characters
    are shown as ``\xNN`` or ``\uNNNN`` escapes, line ends as spaces.
    """
    return "".join(_visible(char) for char in " ".join(text.split("\n")))


def _visible(char: str) -> str:
    code = ord(char)
    if code < 0x20 or 0x7F <= code < 0xA0:
        return " " if char in "\t\r" else f"\\x{code:02x}"
    if char in _UNSEEN or 0xD800 <= code <= 0xDFFF:
        return f"\\u{code:04x}"
    return char
