"""What the line under a still says the keys do now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from author.bench.views.callout_pad import CalloutPad
from author.bench.views.callout_tools import Tool, in_per_cent
from author.bench.words import translate
from author.procedure.steps import Still

if TYPE_CHECKING:
    from author.bench.session import Session


def words_for(pad: CalloutPad, still: Still | None) -> str:
    """Return what the keys do on a pad as it is now, with the still that lies on it."""
    if pad.tool is not None and pad.cross is not None:
        across, down = in_per_cent(pad.cross)
        where = translate("StillHints", "{across} % across, {down} % down.").format(
            across=across, down=down
        )
        return f"{where} {_drawing_words(pad.tool, started=pad.started)}"
    if pad.chosen_item >= 0:
        return translate(
            "StillHints",
            "Arrow keys move it (Shift finely, Ctrl far), with Alt its head or size; "
            "Enter its words, Delete removes it.",
        )
    if still is not None:
        return translate(
            "StillHints",
            "A arrow, X box, Shift+A ring, Shift+X label, Shift+N number, Shift+H hide; "
            "Tab chooses.",
        )
    return ""


def _drawing_words(tool: Tool, *, started: bool) -> str:
    first, last = {
        "arrow": (
            translate("StillHints", "where its words stand"),
            translate("StillHints", "what it points at"),
        ),
        "leader": (
            translate("StillHints", "where its number stands"),
            translate("StillHints", "what it points at"),
        ),
        "label": ("", translate("StillHints", "where it stands")),
    }.get(
        tool,
        (translate("StillHints", "one corner"), translate("StillHints", "the opposite corner")),
    )
    if first and not started:
        words = translate(
            "StillHints", "1 to 9 or arrow keys, then Enter: {first}. Or drag from there to {last}."
        )
        return words.format(first=first, last=last)
    return translate(
        "StillHints", "1 to 9 or arrow keys, then Enter: {last}. Escape leaves off."
    ).format(last=last)


def without(step: str) -> str:
    """Return what stands in the place of a still that a step does not have."""
    if not step:
        return translate("StillHints", "No step is chosen.")
    return translate(
        "StillHints",
        "This step has no still yet.\n\nP takes the frame the film shows,\n"
        "B the best frame near it.",
    )


def waiting(session: Session, still: Still) -> str:
    """Return what stands in the place of a still until its picture comes."""
    if session.films.path(still.recording) is None:
        words = translate("StillHints", "The recording “{name}” is not open.")
        return words.format(name=still.recording)
    return translate("StillHints", "Reading the frame …")
