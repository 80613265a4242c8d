"""How what is written in a field and is not in the document is told."""

from __future__ import annotations

from collections.abc import Sequence

from author.bench.places import read
from author.bench.session import Session
from author.bench.unfinished import Left
from author.bench.words import translate

_MOST_TOLD = 6
_LONGEST = 60


def left_over(session: Session) -> list[Left]:
    """Return what is left in the fields of a window and has a place in the document."""
    return [one for one in session.unfinished.left() if _has_place(session, one)]


def told_left(session: Session, left: Sequence[Left]) -> str:
    """Return what is left as lines: ``Step 7: “Bore”``."""
    lines = [f"{_where(session, one)}: “{_short(one.words)}”" for one in left[:_MOST_TOLD]]
    more = len(left) - _MOST_TOLD
    return "\n".join([*lines, f"… {more}"] if more > 0 else lines)


def not_taken(session: Session) -> str:
    """Return a sentence on what is half written, and so not in the procedure; empty if nothing."""
    if not (left := left_over(session)):
        return ""
    words = translate("LeftOver", "Half written, and not in it yet: %1.")
    return words.replace("%1", told_left(session, left).replace("\n", "; "))


def _has_place(session: Session, left: Left) -> bool:
    """Whether the step that something was written for is still there."""
    return left.at[0] != "steps" or read(session.procedure, left.at[:2]) is not None


def _where(session: Session, left: Left) -> str:
    placed = session.placed(str(left.at[1])) if left.at[0] == "steps" else None
    if placed is None:
        return translate("LeftOver", "Beside the steps")
    return translate("LeftOver", "Step %1").replace("%1", str(placed.number))


def _short(words: str) -> str:
    return words if len(words) <= _LONGEST else f"{words[:_LONGEST]}…"
