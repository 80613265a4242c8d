"""Colours of the work page in light and in dark, as CSS.

Hazard panels look the same in both, like a plate on a machine.
"""

from __future__ import annotations

from author.publish import palette

# RAL 6032 by way of ISO 3864-4, as the hazard colours are.
ACCEPT = "#237F52"
REJECT = palette.PANELS["DANGER"].ground
CANNOT_TELL = palette.PANELS["CAUTION"].ground

LIGHT = {
    "paper": palette.PAPER,
    "ink": palette.INK,
    "quiet": palette.QUIET,
    "rule": palette.RULE,
    "edge": "#5F686E",
    "tint": palette.TINT,
    "act": palette.BAR,
    "act-ink": palette.PAPER,
    "link": palette.PANELS["NOTICE"].ground,
    "focus": palette.PANELS["NOTICE"].ground,
}
DARK = {
    "paper": "#14181B",
    "ink": "#F0F2F3",
    "quiet": "#B7BFC4",
    "rule": "#4C565C",
    "edge": "#8F999F",
    "tint": "#20272B",
    "act": "#DDE4E7",
    "act-ink": "#14181B",
    "link": "#8CC8F5",
    "focus": "#8CC8F5",
}
# The same in light and in dark.
FIXED = {
    "bar": palette.BAR,
    "bar-ink": palette.PAPER,
    "bar-quiet": "#C6CED2",
    "mark": palette.CALLOUT,
    "casing": palette.CASING,
    "plate": palette.PAPER,
    "plate-ink": palette.INK,
    "accept": ACCEPT,
    "accept-ink": palette.PAPER,
    "reject": REJECT,
    "reject-ink": palette.PAPER,
    "cannot-tell": CANNOT_TELL,
    "cannot-tell-ink": "#000000",
}


def as_css() -> str:
    """Return the colours as custom properties, dark ones by the device or by the switch."""
    dark = _properties(DARK)
    return (
        f":root{{color-scheme:light;{_properties(FIXED)}{_signals()}{_properties(LIGHT)}}}\n"
        f"@media (prefers-color-scheme:dark){{:root:not([data-theme=light])"
        f"{{color-scheme:dark;{dark}}}}}\n"
        f":root[data-theme=dark]{{color-scheme:dark;{dark}}}\n"
        f"@media print{{:root:root:root{{color-scheme:light;{_properties(LIGHT)}}}}}\n"
    )


def _properties(colours: dict[str, str]) -> str:
    return "".join(f"--{name}:{colour};" for name, colour in colours.items())


def _signals() -> str:
    return "".join(
        f"--{word.lower()}:{panel.ground};--{word.lower()}-ink:{panel.ink};"
        for word, panel in palette.PANELS.items()
    )
