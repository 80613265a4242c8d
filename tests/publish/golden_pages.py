"""Small pictures of pages of the sample, to see by chance changes of the layout.

Make them anew after a change that is meant, and look at each::

    PYTHONPATH=tests python -m publish.golden_pages
"""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pypdfium2
from numpy.typing import NDArray

from author.publish.pdf import Paper, make_pdf
from author.publish.signatures import Signature
from publish import sample

FOLDER = Path(__file__).with_name("golden")
COMMAND = "PYTHONPATH=tests python -m publish.golden_pages"
DPI = 50
# The page, from 1, by the name of its picture.
PAGES: dict[Paper, dict[str, int]] = {
    "a4": {
        "front": 1,
        "lists": 2,
        "safety": 3,
        "limits-and-decision": 5,
        "torque-pattern": 7,
        "numbers": 8,
    },
    "us-letter": {"letter-front": 1, "letter-hazards": 6},
}
_SIGNATURES = [
    Signature(
        "Tool room supervisor", "M. Tarn", "10 of 10 numbers and points accepted", "2026-03-02"
    )
]


def rendered() -> dict[str, NDArray[np.uint8]]:
    """Return the pages as they come out now, grey, by name."""
    found: dict[str, NDArray[np.uint8]] = {}
    for paper, pages in PAGES.items():
        pdf = make_pdf(
            sample.checked(),
            sample.stills(),
            yaml=sample.YAML,
            clips=sample.CLIPS,
            paper=paper,
            signatures=_SIGNATURES,
        )
        with pypdfium2.PdfDocument(pdf) as opened:
            for name, number in pages.items():
                page = opened[number - 1].render(scale=DPI / 72, grayscale=True)
                found[name] = page.to_numpy().reshape(page.height, -1)[:, : page.width].copy()
    return found


def main() -> None:
    """Write every picture."""
    FOLDER.mkdir(exist_ok=True)
    for name, page in rendered().items():
        # Sixteen greys are plenty, and a third of the bytes.
        cv2.imwrite(
            str(FOLDER / f"{name}.png"), (page // 17) * 17, [cv2.IMWRITE_PNG_COMPRESSION, 9]
        )


if __name__ == "__main__":
    main()
