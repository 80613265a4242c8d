"""What options may say: one line of words, where it is written into files, and a file's name."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from author.errors import InputError
from author.procedure.values import LINE_LENGTH, check_line


def check_words(name: str, text: str | None) -> None:
    """Hold what an option says against what one line of the files may be.

    Args:
        name: the option.
        text: what was given; None if it was left out.

    Raises:
        InputError: if it is empty, too long or more than one line.
    """
    if text is None:
        return
    if not text or len(text) > LINE_LENGTH:
        said = "is empty" if not text else f"has more than {LINE_LENGTH} characters"
        raise InputError(f"{name} {said}", remedy="Write a few words")
    try:
        check_line(text)
    except ValueError as error:
        raise InputError(f"{name} {error}", remedy="Write it on one line") from None


class _NamedPath(click.Path):
    """A path that is no empty text: ``--to "$NOT_SET"`` means no file of the folder one is in.

    Whether it may be read tells who reads it, with what can be done about it.
    """

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if value == "":
            self.fail("it is empty: name a file or a folder", param, ctx)
        return super().convert(value, param, ctx)


NAMED_PATH = _NamedPath(readable=False, path_type=Path)
"""What every option and argument takes that names a file or a folder."""
