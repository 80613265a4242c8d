"""A film that is not where it was is said so at its steps, and shown where it lies."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

from pytestqt.qtbot import QtBot

from author.bench.views.status_line import StatusLine
from author.bench.window import BenchWindow
from author.editing import AddStep, Span


def test_a_step_whose_film_is_missing_says_so_until_it_is_shown(
    open_window: Callable[[Path], BenchWindow],
    job_folder: Path,
    bench_film: Path,
    tmp_path: Path,
    qtbot: QtBot,
) -> None:
    elsewhere = tmp_path / "elsewhere" / "moved.mp4"
    elsewhere.parent.mkdir()
    (job_folder / bench_film.name).rename(elsewhere)
    window = open_window(job_folder)
    session, status = window.session, window.statusBar()
    assert isinstance(status, StatusLine)
    (ref,) = session.procedure.recordings
    span = Span(ref.id, Decimal(3), Decimal(5))
    assert session.do(AddStep("Look at it.", id="bare", span=span)), status.words()
    window.actions_by_name["step_after"].trigger()
    assert session.step == "bare"
    assert f"Not found: {ref.file}" in status.words()
    assert "“Add a recording” in the menu “Job”" in status.words()
    window.adding.add(elsewhere)
    qtbot.waitUntil(lambda: session.films.index(ref.id) is not None)
    session.tell("advice", "")
    for deed in ("step_before", "step_after"):
        window.actions_by_name[deed].trigger()
    assert "Not found" not in status.words()
    assert session.procedure.recordings == (ref,)
