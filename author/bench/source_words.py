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
    """Return the words for the kind of a source; empty if its title says just that."""
    kind = dict(source_kinds())[source.kind]
    return "" if source.title.rstrip(".").casefold() == kind.casefold() else kind


def source_called(source: Source) -> str:
    """Return a source as its field shows it: ``Demo data sheet 1 · maker's manual``."""
    kind = source_kind(source)
    return f"{source.title} · {kind}" if kind else source.title
