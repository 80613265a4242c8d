"""Sets one document in a process of its own: ``compiling.py FOLDER TEMPLATE FONTS OUT``.

Run by path, never imported by the program: Typst keeps what it has laid out for the next
time, some hundred megabytes a document, and gives it back only with the end of its process.
Needs nothing but Typst, so that nothing else is loaded.
"""

from __future__ import annotations

import sys
from pathlib import Path

import typst

_RESTLESS = "did not converge"

UNWRITTEN = 74
"""Exit code where the pages are set and cannot be written."""


def compiler(folder: Path, template: str, fonts: Path) -> typst.Compiler:
    """Return a compiler that sees one folder and our fonts, and no network."""
    return typst.Compiler(
        str(folder / f"{template}.typ"),
        root=str(folder),
        font_paths=[str(fonts)],
        ignore_system_fonts=True,
        # Packages could only come from this folder, which holds none: no network.
        package_path=str(folder),
        package_cache_path=str(folder),
    )


def settled(made_by: typst.Compiler) -> bytes | None:
    """Return the PDF, or None if its pages do not come to rest.

    Page numbers stand in the text, and their width can move a step to the next page and so
    change them. Where that goes round in a circle they are given room for any number.
    """
    for inputs in ({}, {"steady": "yes"}):
        made, warnings = made_by.compile_with_warnings(
            format="pdf", pdf_standards=["a-3a", "ua-1"], timestamp=0, sys_inputs=inputs
        )
        if not any(_RESTLESS in warning.message for warning in warnings):
            return made if isinstance(made, bytes) else None
    return None


def main() -> None:
    """Set the document and write it as PDF/A-3a and PDF/UA-1."""
    folder, template, fonts, out = sys.argv[1:]
    made = settled(compiler(Path(folder), template, Path(fonts)))
    if made is None:
        msg = f"the pages of {template} do not come to rest"
        raise RuntimeError(msg)
    try:
        Path(out).write_bytes(made)
    except OSError as error:  # no fault of the template: the disk is full, say
        sys.stderr.write(error.strerror or str(error))
        sys.exit(UNWRITTEN)


if __name__ == "__main__":
    main()
