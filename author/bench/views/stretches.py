"""Where two lists differ: what lies between a top and a bottom that both have."""

from __future__ import annotations

from collections.abc import Sequence


def unlike(old: Sequence[object], new: Sequence[object]) -> tuple[int, int, int]:
    """Return the stretch in which two lists differ.

    Returns:
        Where it begins in both, where it ends in the old one, where it ends in the new one;
        all the same if it is empty in both.
    """
    top = _alike(old, new)
    bottom = _alike(old[top:][::-1], new[top:][::-1])
    return top, len(old) - bottom, len(new) - bottom


def _alike(one: Sequence[object], other: Sequence[object]) -> int:
    pairs = enumerate(zip(one, other, strict=False))
    return next((at for at, (a, b) in pairs if a != b), min(len(one), len(other)))
