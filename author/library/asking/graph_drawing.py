"""Draws the graph of prerequisites as SVG: what is done first stands at the left."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from xml.sax.saxutils import escape

from author.library.asking.graph import Graph, Order, Stop

Point = tuple[int, int]
Key = str | tuple[str, str, int]
"""A procedure, or the place of a line that passes a column by."""

_WIDE, _HIGH = 230, 54
_GAP_X, _GAP_Y = 70, 22
_EDGE = 24
_LANE = 10
_MOST_LETTERS = 34
_LOOKS = {
    "missing": ("#fff4f2", "#b3261e", "5 3"),
    "withdrawn": ("#f3f3f3", "#5f5f5f", "2 3"),
    "approved": ("#f1f8f2", "#1b6e35", ""),
}
_LINE = "#33475b"
_PLAIN = ("#ffffff", _LINE, "")
_CIRCLE = "#b3261e"


def draw(graph: Graph, name: str) -> str:
    """Return a graph as an SVG document.

    The same graph gives the same text. Colour never stands alone: a missing or withdrawn
    procedure says so, and the lines of a circle are broken.

    Args:
        graph: the graph.
        name: what is drawn, for a reader who cannot see it.
    """
    boxes, passing = _places(graph)
    wide = max((x for x, _ in boxes.values()), default=0) + _WIDE + _GAP_X
    low = [y for _, y in boxes.values()] + [y for some in passing.values() for _, y in some]
    high = max(low, default=0) + _HIGH + _EDGE
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" '
        f'height="{high}" role="img" font-family="DejaVu Sans, sans-serif">',
        f"<title>{_safe(name)}</title>",
        f"<desc>{_safe('. '.join(graph.remarks) or 'Nothing to look at')}.</desc>",
        f'<rect width="{wide}" height="{high}" fill="#ffffff"/>',
        *_lines(graph, boxes, passing),
        *(line for stop in graph.stops for line in _box(stop, *boxes[stop.id])),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _places(graph: Graph) -> tuple[dict[str, Point], dict[Order, list[Point]]]:
    """Return the corner of each box, and the points through which each line passes by others.

    A column for each round; what stands in it is near what it waits for. A line that passes
    a column by has a place of its own in it, so that it never runs behind a box. Source:
    layered drawing after Sugiyama, Tagawa and Toda (1981), from memory, by one sweep.
    """
    rounds = _rounds(graph)
    last_round = max(rounds.values(), default=0)
    columns: dict[int, list[Key]] = {column: [] for column in range(last_round + 1)}
    before: dict[Key, list[Key]] = {}
    passing: dict[Order, list[Key]] = {}
    key: Key
    for stop in graph.stops:
        columns[rounds[stop.id]].append(stop.id)
    for order in graph.orders:
        last: Key = order.first
        passing[order] = []
        for column in range(rounds[order.first] + 1, rounds[order.then]):
            key = (order.first, order.then, column)
            columns[column].append(key)
            before[key] = [last]
            passing[order].append(key)
            last = key
        if rounds[order.first] < rounds[order.then]:
            before.setdefault(order.then, []).append(last)
    places: dict[Key, Point] = {}
    for column, keys in columns.items():
        wish = {key: _middle(before.get(key, []), places) for key in keys}
        y = _EDGE
        for key in sorted(keys, key=lambda one: (wish[one], str(one))):
            y = max(y, int(wish[key])) if isinstance(key, str) else y
            places[key] = (_EDGE + column * (_WIDE + _GAP_X), y)
            y += (_HIGH if isinstance(key, str) else _LANE) + _GAP_Y
    boxes = {key: place for key, place in places.items() if isinstance(key, str)}
    return boxes, {order: [places[key] for key in keys] for order, keys in passing.items()}


def _middle(others: list[Key], places: Mapping[Key, Point]) -> float:
    known = [places[one][1] for one in others if one in places]
    return sum(known) / len(known) if known else 0.0


def _rounds(graph: Graph) -> dict[str, int]:
    """Return in which round each can be done at the earliest; a circle counts as one."""
    group = {stop.id: stop.id for stop in graph.stops}
    for circle in graph.circles:
        group.update(dict.fromkeys(circle, circle[0]))
    after: dict[str, set[str]] = {one: set() for one in group.values()}
    waits = dict.fromkeys(after, 0)
    for order in graph.orders:
        first, then = group[order.first], group[order.then]
        if first != then and then not in after[first]:
            after[first].add(then)
            waits[then] += 1
    rounds = dict.fromkeys(after, 0)
    ready = [one for one in sorted(after) if not waits[one]]
    while ready:
        one = ready.pop()
        for then in after[one]:
            rounds[then] = max(rounds[then], rounds[one] + 1)
            waits[then] -= 1
            if not waits[then]:
                ready.append(then)
    return {stop.id: rounds[group[stop.id]] for stop in graph.stops}


def _lines(
    graph: Graph, boxes: Mapping[str, Point], passing: Mapping[Order, list[Point]]
) -> Iterator[str]:
    for order in graph.orders:
        x1, y1 = boxes[order.first]
        x2, y2 = boxes[order.then]
        middle = _HIGH // 2
        if x1 < x2:
            path, at = f"M{x1 + _WIDE} {y1 + middle}", (x1 + _WIDE, y1 + middle)
            for x, y in passing[order]:
                path += f"{_curve(at, (x, y + _LANE // 2))} h{_WIDE}"
                at = (x + _WIDE, y + _LANE // 2)
            path += _curve(at, (x2, y2 + middle))
            end, back = (x2, y2 + middle), 7
        else:  # of a circle: both in one column
            end, back = (x2 + _WIDE, y2 + middle + 8), -7
            out, start = x1 + _WIDE + 44, y1 + middle - 8
            path = f"M{x1 + _WIDE} {start} C{out} {start} {out} {end[1]} {end[0]} {end[1]}"
        colour, dash = (_CIRCLE, ' stroke-dasharray="6 3"') if order.in_circle else (_LINE, "")
        yield f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="1.5"{dash}/>'
        yield f'<path d="M{end[0]} {end[1]} l{-back} -4 v8 z" fill="{colour}"/>'


def _curve(start: Point, end: Point) -> str:
    bend = (end[0] - start[0]) // 2
    return f" C{start[0] + bend} {start[1]} {end[0] - bend} {end[1]} {end[0]} {end[1]}"


def _box(stop: Stop, x: int, y: int) -> Iterator[str]:
    fill, line, dash = _LOOKS.get("missing" if stop.doubt else stop.state, _PLAIN)
    broken = f' stroke-dasharray="{dash}"' if dash else ""
    state = stop.state.replace("_", " ")
    said = "not in the library" if stop.state == "missing" else f"revision {stop.revision}, {state}"
    under = (stop.title, said)
    if stop.doubt:
        under = (f"revision {stop.revision}, says {state},", stop.doubt)
    yield (
        f'<g><title>{_safe(stop.title or stop.id)}</title><rect x="{x}" y="{y}" width="{_WIDE}" '
        f'height="{_HIGH}" rx="4" fill="{fill}" stroke="{line}" stroke-width="1.5"{broken}/>'
    )
    for height, size, weight, text in (
        (16, 11, "bold", stop.id),
        (31, 10, "normal", under[0]),
        (45, 10, "normal", under[1]),
    ):
        yield (
            f'<text x="{x + 8}" y="{y + height}" font-size="{size}" font-weight="{weight}" '
            f'fill="#1c1c1c">{_safe(_short(text))}</text>'
        )
    yield "</g>"


def _short(text: str) -> str:
    return text if len(text) <= _MOST_LETTERS else f"{text[: _MOST_LETTERS - 1].rstrip()}…"


def _safe(text: str) -> str:
    return escape("".join(char for char in text if char >= " " or char in "\t\n"))
