"""What the line under a still says the keys do now."""

from __future__ import annotations

from PyQt6.QtCore import QCoreApplication

from author.bench.views.callout_pad import CalloutPad
from author.bench.views.callout_tools import Tool, in_per_cent
from author.procedure.steps import Still


def words_for(pad: CalloutPad, still: Still | None) -> str:
    """Return what the keys do on a pad as it is now, with the still that lies on it."""
    if pad.tool is not None and pad.cross is not None:
        across, down = in_per_cent(pad.cross)
        where = _tr("{across} % across, {down} % down.").format(across=across, down=down)
        return f"{where} {_drawing_words(pad.tool, started=pad.started)}"
    if pad.chosen_item >= 0:
        return _tr(
            "Arrow keys move it (Shift finely, Ctrl far), with Alt its head or size; "
            "Enter its words, Delete removes it."
        )
    if still is not None:
        return _tr(
            "A arrow, X box, Shift+A ring, Shift+X label, Shift+N number, Shift+H hide; "
            "Tab chooses."
        )
    return ""


def _drawing_words(tool: Tool, *, started: bool) -> str:
    first, last = {
        "arrow": (_tr("where its words stand"), _tr("what it points at")),
        "leader": (_tr("where its number stands"), _tr("what it points at")),
        "label": ("", _tr("where it stands")),
    }.get(tool, (_tr("one corner"), _tr("the opposite corner")))
    if first and not started:
        words = _tr("1 to 9 or arrow keys, then Enter: {first}. Or drag from there to {last}.")
        return words.format(first=first, last=last)
    return _tr("1 to 9 or arrow keys, then Enter: {last}. Escape leaves off.").format(last=last)


def _tr(words: str) -> str:
    return QCoreApplication.translate("StillHints", words)
