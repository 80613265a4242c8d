"""Finds the comments of a YAML text: which stand on lines of their own, and before what."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from author.contract.yaml_places import Path, Places
from author.contract.yaml_text import place_at
from author.errors import InputError

MAX_COMMENTS = 100_000

Comments = dict[Path, tuple[str, ...]]


def find_comments(
    text: str, spans: Sequence[tuple[int, int]], places: Places, file: str
) -> tuple[Comments, tuple[int, ...]]:
    """Return whole-line comments by the path they stand before, and lines of the others.

    Args:
        text: the whole text.
        spans: where scalars with a # in them begin and end, in order, as offsets.
        places: of keys and entries.
        file: its name, for errors.

    Returns:
        Comments after the last node have the empty path. The lines, from 1, are those of
        comments that share their line with a value.

    Raises:
        InputError: if a # stands right behind a value, or there are too many comments.
    """
    kept: dict[Path, list[str]] = {}
    dropped: list[int] = []
    line, counted, found = 0, 0, 0
    at = text.find("#")
    while at >= 0:
        nearest = bisect_right(spans, (at, len(text))) - 1
        if nearest >= 0 and at < spans[nearest][1]:
            at = text.find("#", spans[nearest][1])
            continue
        line, counted = line + text.count("\n", counted, at), at
        found += 1
        end = text.find("\n", at)
        before = text[text.rfind("\n", 0, at) + 1 : at]
        if found > MAX_COMMENTS or before[-1:] not in {"", " ", "\t"}:
            raise _fault(text, at, file, too_many=found > MAX_COMMENTS)
        if before.strip(" \t"):
            dropped.append(line + 1)
        else:
            kept.setdefault(places.first_after(line), []).append(text[at + 1 : end])
        at = text.find("#", end)
    return {path: tuple(words) for path, words in kept.items()}, tuple(dropped)


def _fault(text: str, at: int, file: str, *, too_many: bool) -> InputError:
    line, column = place_at(text, at)
    problem, remedy = (
        (f"more than {MAX_COMMENTS} comments", "Take some out")
        if too_many
        else (
            "a # stands right behind a value",
            "Put a space before a comment, and a text with # in quotes",
        )
    )
    return InputError(problem, remedy=remedy, file=file, line=line, column=column)
