"""The procedure as a PDF for the wall and the file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from author.checks.verdict import Publishable
from author.progress import Cancel
from author.publish import glyphs
from author.publish.content import page_data, texts
from author.publish.drawing import StillPicture
from author.publish.finishing import finished, stand_in
from author.publish.signatures import Signature
from author.publish.typesetting import typeset

__all__ = ["Paper", "StillPicture", "make_pdf"]

Paper = Literal["a4", "us-letter"]


def make_pdf(
    procedure: Publishable,
    stills: Mapping[str, StillPicture],
    *,
    yaml: bytes,
    clips: Mapping[str, str],
    paper: Paper = "a4",
    signatures: Sequence[Signature] = (),
    cancel: Cancel | None = None,
) -> bytes:
    """Return the procedure as PDF/A-3a and PDF/UA-1, the same bytes for the same input.

    The dates in its metadata are a fixed day in 1980: they say nothing. The state and
    revision are printed on every page.

    Args:
        procedure: the checked procedure, or a draft, whose pages are all marked so.
        stills: pictures by step id, masks burnt in; a step without one is set without.
        yaml: the procedure file, attached byte for byte as ``procedure.yaml``.
        clips: path of each clip, relative to the PDF, by step id.
        paper: size of the pages.
        signatures: who signed it, printed on the front.
        cancel: looked at while the pages are set.

    Raises:
        InputError: if a text has characters that the shipped fonts lack.
        MachineError: if the working files cannot be written, or the pages cannot be set.
        Cancelled: if the user asked to stop.
    """
    data = page_data(procedure, clips, signatures)
    glyphs.refuse_missing(texts(data))
    # Equal stills are carried once.
    numbers: dict[bytes, int] = {}
    for section in data["sections"]:
        for step in section["steps"]:
            still = stills.get(step["id"])
            if still is not None and step["alt"] is not None:
                number = numbers.setdefault(still.jpeg, len(numbers))
                file = f"still-{number}.png"
                step["still"] = {"file": file, "width": still.width, "height": still.height}
    files = {f"still-{number}.png": stand_in(number) for number in numbers.values()}
    whole = {**glyphs.breakable(data), "paper": paper}
    pages = typeset("procedure", whole, {**files, "procedure.yaml": yaml}, "pdf", cancel)
    return finished(pages, [*numbers])
