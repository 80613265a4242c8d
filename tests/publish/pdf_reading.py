"""Ways to read a PDF back: its words and where they stand, its tree, its pictures."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

import pikepdf
import pypdf
import pypdfium2
import pypdfium2.raw as pdfium


@dataclass(frozen=True)
class Spot:
    """Where something stands: page from 1, and its upper and lower edge from the page's foot."""

    page: int
    top: float
    bottom: float


def flat(text: str) -> str:
    """Return text without spaces, and without hyphens, which lines may end with."""
    return "".join(re.sub("[\u00ad\u200b-]", "", text).split())


def page_texts(pdf: bytes) -> list[str]:
    """Return the text of each page, spaces and hyphens at line ends made even."""
    return [flat(page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def structure(pdf: pikepdf.Pdf) -> Iterator[pikepdf.Object]:
    """Yield every element of the structure tree, in the order it is read."""
    todo = [pdf.Root.StructTreeRoot]
    while todo:
        node = todo.pop()
        if "/S" in node:
            yield node
        todo += reversed(children(node))


def children(node: pikepdf.Object) -> list[pikepdf.Object]:
    """Return the elements below an element of the structure tree."""
    below = node.get("/K", [])
    below = below if isinstance(below, pikepdf.Array) else [below]
    return [c for c in below if isinstance(c, pikepdf.Dictionary) and "/S" in c]


def pictures(page: pikepdf.Page) -> list[bytes]:
    """Return the coded bytes of the pictures a page draws."""
    drawn = page.Resources.get("/XObject", {}).values()
    return [x.read_raw_bytes() for x in drawn if x.Subtype == "/Image"]


def words(pdf: bytes, pattern: str) -> dict[str, list[Spot]]:
    """Return where each text of a pattern stands."""
    found: dict[str, list[Spot]] = {}
    with pypdfium2.PdfDocument(pdf) as opened:
        for number, page in enumerate(opened, 1):
            text = page.get_textpage()
            for match in re.finditer(pattern, text.get_text_range()):
                _, bottom, _, top = text.get_charbox(match.start())
                found.setdefault(match.group(), []).append(Spot(number, top, bottom))
    return found


def stills(pdf: bytes) -> dict[bytes, list[Spot]]:
    """Return where each picture stands, by its coded bytes."""
    found: dict[bytes, list[Spot]] = {}
    with pypdfium2.PdfDocument(pdf) as opened:
        for number, page in enumerate(opened, 1):
            for entry in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE], max_depth=8):
                _, bottom, _, top = entry.get_bounds()
                raw = bytes(entry.get_data(decode_simple=False))
                found.setdefault(raw, []).append(Spot(number, top, bottom))
    return found


def page_height(pdf: bytes) -> float:
    """Return the height of the first page in points."""
    with pypdfium2.PdfDocument(pdf) as opened:
        return float(opened[0].get_height())


def outside(pdf: bytes, side: float, end: float) -> list[tuple[int, str]]:
    """Return the page and letter of whatever stands too near the edge of the paper.

    Args:
        pdf: the document.
        side: points that have to be free at the left and at the right.
        end: points that have to be free at the head and at the foot.
    """
    found = []
    with pypdfium2.PdfDocument(pdf) as opened:
        for number, page in enumerate(opened, 1):
            text = page.get_textpage()
            letters, (width, height) = text.get_text_range(), page.get_size()
            for place, letter in enumerate(letters):
                left, bottom, right, top = text.get_charbox(place)
                inside = (
                    side <= left <= right <= width - side and end <= bottom <= top <= height - end
                )
                if not letter.isspace() and not inside:
                    found.append((number, letter))
    return found
