"""Colours of what is printed or drawn, in one place, so that their contrast can be tested.

Hazard colours are the RAL safety colours by way of ISO 3864-4 (RAL 3001, 2010, 1003,
5005 as sRGB). No colour carries a meaning alone: a word or a shape always says it too.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Literal, get_args

Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
SIGNALS: tuple[Signal, ...] = get_args(Signal)


@dataclass(frozen=True, slots=True)
class Panel:
    """How a signal word is shown.

    Attributes:
        ground: colour behind the word.
        ink: colour of the word.
        alert: whether the alert triangle stands before it (ANSI Z535.6: not for NOTICE).
    """

    ground: str
    ink: str
    alert: bool


PANELS: dict[Signal, Panel] = {
    "DANGER": Panel("#9B2423", "#FFFFFF", True),
    "WARNING": Panel("#D05D29", "#000000", True),
    "CAUTION": Panel("#F9A800", "#000000", True),
    "NOTICE": Panel("#005387", "#FFFFFF", False),
}
INK = "#15191D"
PAPER = "#FFFFFF"
QUIET = "#4A5258"
RULE = "#9AA1A6"
TINT = "#EEF0F1"
BAR = "#263238"
# Callouts: a colour no machine, hand or hazard panel has, always between white edges.
CALLOUT = "#9C0059"
CASING = "#FFFFFF"
BANNERS: dict[str, Panel] = {
    "tolerated_here": Panel("#263238", "#FFFFFF", False),
    "do_not_copy": Panel("#9B2423", "#FFFFFF", False),
}


def as_data() -> dict[str, Any]:
    """Return every colour as plain data for the templates."""
    return {
        "ink": INK,
        "paper": PAPER,
        "quiet": QUIET,
        "rule": RULE,
        "tint": TINT,
        "bar": BAR,
        "callout": CALLOUT,
        "casing": CASING,
        "panels": {word: asdict(panel) for word, panel in PANELS.items()},
        "banners": {grade: asdict(panel) for grade, panel in BANNERS.items()},
    }
