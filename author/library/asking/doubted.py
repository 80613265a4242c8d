"""Answers about several procedures, each with why its state is not to be relied on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from author.library.asking.graph import Graph
from author.library.asking.graph_drawing import draw
from author.library.asking.where_used import Uses
from author.library.shop import open_shop
from author.library.signing.glance import doubts_about
from author.storage import replace_file


def graph_with_doubts(folder: Path, graph: Graph) -> Graph:
    """Return a graph of prerequisites, at each procedure why its state is only said.

    Args:
        folder: the library's folder.
        graph: the graph.

    Raises:
        InputError, MachineError: if the library cannot be read.
    """
    doubts = _doubts(folder, ((one.place, one.revision) for one in graph.stops))
    return replace(
        graph, stops=tuple(replace(one, doubt=doubts.get(one.place)) for one in graph.stops)
    )


def uses_with_doubts(folder: Path, uses: Uses) -> Uses:
    """Return where something is used, at each procedure why its state is only said.

    Args:
        folder: the library's folder.
        uses: the uses.

    Raises:
        InputError, MachineError: if the library cannot be read.
    """
    doubts = _doubts(folder, ((one.place, one.revision) for one in uses.results))
    return replace(
        uses, results=tuple(replace(one, doubt=doubts.get(one.place)) for one in uses.results)
    )


def draw_into(file: Path, graph: Graph, wanted: Iterable[str]) -> None:
    """Draw a graph of prerequisites into a file.

    Args:
        file: the SVG file.
        graph: the graph.
        wanted: ids it begins at; none for the whole library.

    Raises:
        InputError, MachineError: if it cannot be written.
    """
    named = ", ".join(wanted)
    name = f"What has to be done before {named}" if named else "Prerequisites"
    replace_file(file, draw(graph, name).encode())


def _doubts(folder: Path, places: Iterable[tuple[str, int | None]]) -> dict[str, str]:
    known = {place: revision for place, revision in places if place and revision is not None}
    return doubts_about(open_shop(folder), known.items())
