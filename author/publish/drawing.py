"""Pictures with callouts, and the band that says how a clip is graded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from author.procedure.steps import Callout
from author.publish import glyphs, palette
from author.publish.step_content import callout_data, grade_words
from author.publish.typesetting import typeset

Grade = Literal["tolerated_here", "do_not_copy"]


@dataclass(frozen=True, slots=True)
class StillPicture:
    """A still as it is shown, its masks already burnt in.

    Attributes:
        jpeg: the JPEG file, carried into the PDF byte for byte.
        width: its width in pixels.
        height: its height in pixels.
    """

    jpeg: bytes
    width: int
    height: int


def draw_callouts(
    picture: StillPicture,
    callouts: Sequence[Callout],
    *,
    language: str = "en",
    place: str = "a callout",
) -> bytes:
    """Return a still at its own size with its callouts on it, as PNG.

    Args:
        picture: the still.
        callouts: what is drawn; leaders are numbered in this order from 1.
        language: language of the texts, for hyphenation.
        place: where the callouts stand, in words, for an error.

    Raises:
        InputError: if a text has characters that the fonts lack.
    """
    glyphs.refuse_missing((place, c.text) for c in callouts if c.text)
    data = {
        "colours": palette.as_data(),
        "width": picture.width,
        "height": picture.height,
        "language": language.partition("-")[0],
        "callouts": callout_data(tuple(callouts)),
    }
    return typeset("still", glyphs.breakable(data), {"still.jpg": picture.jpeg}, "png")


def grade_banner(
    width: int,
    height: int,
    grade: Grade,
    reason: str | None,
    *,
    language: str = "en",
    place: str = "the grade of a clip",
) -> bytes:
    """Return a clear picture with a band at its upper edge that says the grade, as PNG.

    Args:
        width: width of the clip in pixels.
        height: height of the clip in pixels.
        grade: ``tolerated_here`` or ``do_not_copy``.
        reason: why, if it is known.
        language: language of the reason, for hyphenation.
        place: where the grade stands, in words, for an error.

    Returns:
        RGBA, transparent but for the band, which takes a quarter of the height at most
        unless the reason is too long even in small letters.

    Raises:
        InputError: if the reason has characters that the fonts lack.
    """
    words = grade_words(grade, reason)
    glyphs.refuse_missing([(place, words)])
    data = {
        "colours": palette.as_data(),
        "width": width,
        "height": height,
        "language": language.partition("-")[0],
        "grade": grade,
        "words": words,
    }
    return typeset("banner", glyphs.breakable(data), {}, "png")
