"""Draws a run chart: the readings of one requirement, job after job, against their limits."""

from __future__ import annotations

import io
import textwrap
import threading
import unicodedata
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from author.library.records.run_series import Point, Series
from author.procedure.quantities import number_text, with_unit
from author.publish import palette
from author.publish.page import colours

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_LOCK = threading.Lock()
_SETTINGS: dict[Any, Any] = {
    "svg.hashsalt": "reelwright run chart",
    "svg.fonttype": "none",
    "text.parse_math": False,
    "font.family": ["sans-serif"],
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 10.5,
    "axes.unicode_minus": True,
    "axes.edgecolor": palette.RULE,
    "axes.labelcolor": palette.INK,
    "text.color": palette.INK,
    "xtick.color": palette.INK,
    "ytick.color": palette.INK,
}
_WIDTH = 0.5
_LINE = "#005387"


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What a chart is drawn on.

    Attributes:
        size: width and height in inches; the height without the list of signs.
        dates: so many days are written below it.
        columns: of the list of signs.
        title: characters in a line of the title.
        titles: lines the name of what was measured may have.
        small: size of the smallest letters, in points.
    """

    size: tuple[float, float]
    dates: int
    columns: int
    title: int
    titles: int
    small: float


_WIDE = _Sheet((9.0, 4.4), dates=12, columns=3, title=70, titles=1, small=9.5)
# So wide that its points are larger than pixels on a phone.
_NARROW = _Sheet((3.6, 3.8), dates=5, columns=1, title=28, titles=3, small=10)
_LEGEND_LINE = 0.2
_ROOM = 0.14  # above and below what is drawn, as a share of it

# Shape first, colour beside it: fill, edge, marker, size, words.
_LOOK: dict[str, tuple[str, str, str, float, str]] = {
    "accept": (palette.INK, palette.INK, "o", 26, "Accepted"),
    "reject": (colours.REJECT, colours.REJECT, "X", 80, "Rejected"),
    "cannot_tell": (colours.CANNOT_TELL, palette.INK, "D", 46, "Cannot tell"),
    "not_judged": (palette.QUIET, palette.QUIET, "s", 26, "Not judged"),
}


def run_chart(series: Series, *, narrow: bool = False) -> bytes:
    """Return a run chart as SVG, the same bytes for the same readings.

    Readings stand in the order of their jobs; rejected ones are crosses, superseded ones
    hollow; those far from all that counts stand at the edge with their value, so that a slip
    of the keys that was taken back does not set the scale. Limits are stepped lines: those of
    the revision each job followed. A line joins the means of the jobs; those with a sign of a
    drift are ringed.

    Args:
        series: the readings.
        narrow: draw it upright, with letters that can be read on a phone.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    # Settings and fonts are shared by all threads of a server.
    with _LOCK, warnings.catch_warnings(), mpl.rc_context(_SETTINGS):
        warnings.simplefilter("ignore", UserWarning)  # signs the font at hand has not
        sheet = _NARROW if narrow else _WIDE
        figure = Figure(figsize=sheet.size, layout="constrained", facecolor=palette.PAPER)
        axes = figure.add_subplot()
        _draw_limits(axes, series, sheet)
        _draw_means(axes, series)
        _draw_points(axes, series, sheet)
        _label(figure, axes, series, sheet)
        out = io.BytesIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return out.getvalue()


def chart_words(series: Series) -> str:
    """Return what the chart shows, for those who do not see it."""
    counting = [one for one in series.points if one.counts]
    refused = sum(one.verdict == "reject" for one in counting)
    mean = series.mean
    said = [
        f"Run chart of {series.characteristic}: {_many(len(counting), 'reading')} of "
        f"{_many(len(series.jobs), 'job')}, {refused} rejected"
    ]
    left_out = len(series.points) - len(counting)
    if left_out:
        said.append(
            f"{_many(left_out, 'reading')} not counted: taken again, taken back, or of a job that "
            "is not done"
        )
    if mean is not None:
        said.append(f"mean {with_unit(number_text(mean), series.unit)}")
    signs = series.sign_words()
    said.append(f"signs of a drift: {len(signs)}, the latest: {signs[0]}" if signs
                else "no sign of a drift")  # fmt: skip
    return ". ".join(f"{one[:1].upper()}{one[1:]}" for one in said) + "."


def _draw_limits(axes: Axes, series: Series, sheet: _Sheet) -> None:
    """Draw each limit as a line that steps where another revision was followed."""
    for name in ("lower", "upper"):
        limits = [getattr(job, name) for job in series.jobs]
        for first, last in _stretches([None if one is None else one.exact for one in limits]):
            level = float(limits[first].exact)
            axes.plot(
                [first - _WIDTH, last + _WIDTH], [level, level],
                color=colours.REJECT, linewidth=1.8, solid_capstyle="butt", zorder=2,
            )  # fmt: skip
            text = f"{name} limit {number_text(limits[first].shown)}"
            axes.annotate(
                text, (first - _WIDTH, level), xytext=(3, 3 if name == "upper" else -3),
                textcoords="offset points", fontsize=sheet.small, color=colours.REJECT,
                va="bottom" if name == "upper" else "top", zorder=5,
            )  # fmt: skip
        for n in range(1, len(limits)):
            before, after = limits[n - 1], limits[n]
            if before is not None and after is not None and before.exact != after.exact:
                axes.plot(
                    [n - _WIDTH] * 2, [float(before.exact), float(after.exact)],
                    color=colours.REJECT, linewidth=1.8, zorder=2,
                )  # fmt: skip


def _stretches(values: Sequence[Any]) -> list[tuple[int, int]]:
    """Return first and last index of each stretch of equal values that are not None."""
    found: list[tuple[int, int]] = []
    for n, value in enumerate(values):
        if value is None:
            continue
        if found and found[-1][1] == n - 1 and values[n - 1] == value:
            found[-1] = (found[-1][0], n)
        else:
            found.append((n, n))
    return found


def _draw_means(axes: Axes, series: Series) -> None:
    if series.centre is None:
        return
    ends = [-_WIDTH, len(series.jobs) - 1 + _WIDTH]
    middle = float(series.centre.mean)
    axes.plot(ends, [middle] * 2, color=palette.QUIET, linewidth=1.2, dashes=(6, 3), zorder=1,
              label="Mean of the jobs")  # fmt: skip
    at = [*series.means]
    levels = [float(job.mean) for job in series.jobs if job.mean is not None]
    axes.plot(at, levels, color=_LINE, linewidth=1.2, zorder=2.5, label="Mean of a job")
    told = sorted({n for one in series.signs for n in range(one.first, one.last + 1)})
    if told:
        axes.scatter(
            [at[n] for n in told], [levels[n] for n in told], s=150, facecolors="none",
            edgecolors=palette.CALLOUT, linewidths=1.8, zorder=4, label="Sign of a drift",
        )  # fmt: skip


def _scale(series: Series) -> tuple[float, float] | None:
    """Return the ends of the axis, with room at both, by limits and what is not superseded."""
    limits = [limit for job in series.jobs for limit in (job.lower, job.upper)]
    values = [one.exact for one in series.points if not one.superseded]
    values += [one.exact for one in limits if one is not None]
    if not values or min(values) == max(values):
        return None
    low, high = float(min(values)), float(max(values))
    room = _ROOM * (high - low)
    every = [float(one.exact) for one in series.points]
    # The value of what stands at an edge is written there, beside the words of a limit.
    below, above = min(every, default=low) < low - room, max(every, default=high) > high + room
    return low - room * (2 if below else 1), high + room * (2 if above else 1)


def _draw_points(axes: Axes, series: Series, sheet: _Sheet) -> None:
    scale = _scale(series)
    places = [*dict.fromkeys(one.position for one in series.points)]
    step = 0.5 / max(len(places), 1)

    def across(one: Point) -> float:
        # Readings at several places stand side by side, the same place always at one side.
        return one.job + (places.index(one.position) - (len(places) - 1) / 2) * step

    for verdict, (fill, edge, marker, size, words) in _LOOK.items():
        for hollow in (False, True):
            some = [one for one in series.points if one.verdict == verdict and one.counts != hollow]
            if some:
                axes.scatter(
                    [across(one) for one in some], [_level(one, scale) for one in some],
                    marker=marker, s=size, linewidths=1.1, zorder=3 if not hollow else 2.7,
                    facecolors="none" if hollow else fill, edgecolors=edge,
                    label=f"{words}, not counted" if hollow else words, clip_on=False,
                )  # fmt: skip
    if scale is None:
        axes.margins(y=_ROOM)
        return
    axes.set_ylim(*scale)
    for one in series.points:
        level = _level(one, scale)
        if level != float(one.exact):
            above = level == scale[1]
            axes.annotate(
                f"{number_text(one.shown)} {'↑' if above else '↓'}", (across(one), level),
                xytext=(0, -7 if above else 7), textcoords="offset points", ha="center",
                va="top" if above else "bottom", fontsize=sheet.small, color=palette.QUIET,
            )  # fmt: skip


def _level(one: Point, scale: tuple[float, float] | None) -> float:
    """Return where a reading is drawn: at its value, or at the end of the axis."""
    value = float(one.exact)
    return value if scale is None else max(scale[0], min(value, scale[1]))


def _label(figure: Figure, axes: Axes, series: Series, sheet: _Sheet) -> None:
    count = len(series.jobs)
    axes.set_xlim(-0.7, max(count, 1) - 0.3)
    every = max(1, -(-count // sheet.dates))
    shown = range((count - 1) % every, count, every)  # the newest job always has its day
    each = [one.began[:10] for one in series.jobs]
    days = [
        series.jobs[n].began[:16].replace("T", " ") if each.count(each[n]) > 1 else each[n]
        for n in shown
    ]
    axes.set_xticks([*shown], days, rotation=30, ha="right", fontsize=sheet.small)
    axes.grid(visible=True, axis="y", color=palette.TINT, linewidth=0.8)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.ticklabel_format(axis="y", style="plain", useOffset=False)
    _explain(figure, axes, sheet)
    title = _title(series, sheet)
    figure.suptitle(title, x=0.01, ha="left", fontsize=12, fontweight="bold")


def _title(series: Series, sheet: _Sheet) -> str:
    """Return what is drawn, in lines that fit; the unit and 'demo data' are never cut off."""
    words = {"as_found": "as found", "as_left": "as left"}[series.phase]
    demo = ", demo data" if series.data == "demo" else ""
    name = series.characteristic
    about = f"in {series.unit.symbol}, {words} ({series.procedure}{demo})"
    broad = sum(unicodedata.east_asian_width(sign) in {"W", "F"} for sign in name)
    most = sheet.title * len(name) // (len(name) + broad)
    if len(f"{name} {about}") <= most:
        return f"{name} {about}"
    lines = textwrap.wrap(name, most)
    if len(lines) > sheet.titles:
        lines = [*lines[: sheet.titles - 1], f"{lines[sheet.titles - 1][: most - 1]}…"]
    return "\n".join([*lines, *textwrap.wrap(about, sheet.title)])


def _explain(figure: Figure, axes: Axes, sheet: _Sheet) -> None:
    """List the signs below the chart, on a sheet that grows by what they need."""
    handles, labels = axes.get_legend_handles_labels()
    if not handles:
        return
    lines = -(-len(handles) // sheet.columns)
    figure.set_figheight(sheet.size[1] + lines * _LEGEND_LINE)
    figure.legend(
        handles, labels, loc="outside lower left", ncols=sheet.columns, frameon=False,
        fontsize=sheet.small,
    )  # fmt: skip


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'s' * (count != 1)}"
