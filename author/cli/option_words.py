"""What is written into files from an option is one line of words."""

from __future__ import annotations

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
