"""What a source is called: its title, and what kind of word it is."""

from __future__ import annotations

from author.bench.words import translate
from author.procedure.lists import Source


def source_kinds() -> tuple[tuple[str, str], ...]:
    """Return the kinds of a source with their words, the weakest claim first.

    The first is what Enter alone takes: that a maker or a standard says it is a choice of its
    own.
    """
    return (
        ("film", translate("Sheet", "the technician's word on the film")),
        ("measured", translate("Sheet", "reading on this unit")),
        ("shop", translate("Sheet", "the shop's own rule")),
        ("standard", translate("Sheet", "published standard")),
        ("maker", translate("Sheet", "maker's manual")),
        ("demo", translate("Sheet", "invented demo data")),
    )


def source_kind(source: Source) -> str:
    """Return the words for the kind of a source."""
    return dict(source_kinds())[source.kind]


def source_called(source: Source) -> str:
    """Return a source as its field shows it: ``Demo data sheet 1 · maker's manual``."""
    return f"{source.title} · {source_kind(source)}"
