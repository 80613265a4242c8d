"""Contrast of everything that carries words (WCAG 2.2, success criterion 1.4.3)."""

import pytest

from author.publish import palette


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2."""
    shares = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2: never rounded up."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_published_values():
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.5422, abs=1e-4)
    assert contrast("#777777", "#FFFFFF") < 4.5


@pytest.mark.parametrize("signal", palette.SIGNALS)
def test_signal_words_stand_out(signal):
    panel = palette.PANELS[signal]
    assert contrast(panel.ground, panel.ink) >= 4.5


@pytest.mark.parametrize("grade", palette.BANNERS)
def test_grades_stand_out(grade):
    panel = palette.BANNERS[grade]
    assert contrast(panel.ground, panel.ink) >= 4.5


@pytest.mark.parametrize(
    ("ink", "ground"),
    [
        (palette.INK, palette.PAPER),
        (palette.QUIET, palette.PAPER),
        (palette.QUIET, palette.TINT),
        (palette.PAPER, palette.BAR),
        (palette.CASING, palette.CALLOUT),
    ],
)
def test_words_stand_out(ink, ground):
    assert contrast(ink, ground) >= 4.5


def test_only_notice_goes_without_the_alert_triangle():
    """ANSI Z535.6: the alert symbol is for injury, NOTICE is for damage."""
    assert {s for s, p in palette.PANELS.items() if not p.alert} == {"NOTICE"}
