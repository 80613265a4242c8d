"""Two recordings of one job on one clock, and from one to the other at the same moment."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from PyQt6.QtCore import Qt
from pytestqt.qtbot import QtBot
from recording.films import make, steady, tone

from author.bench import clock
from author.bench.session import Session
from author.errors import InputError
from author.recording.offsets import Offset
from author.tasks.starting import start_procedure

from .film_stage import Stage

R = Qt.Key.Key_R


@pytest.fixture
def put_up(
    qtbot: QtBot,
    bench_film: Path,
    tmp_path: Path,
    open_session: Callable[[Path], Session],
) -> Iterator[Callable[[], Stage]]:
    """A job with two recordings; the second has three seconds."""
    other = make(tmp_path / "other.mp4", steady(75, 1200), options={"bf": "0"}, sound=tone(3))
    made: list[Stage] = []

    def put() -> Stage:
        start_procedure(tmp_path / "two", [bench_film, other], read_through=False)
        stage = Stage(open_session(tmp_path / "two"))
        made.append(stage)
        stage.show()
        stage.film.setFocus()
        qtbot.waitUntil(lambda: stage.desk.count() == 150, timeout=20_000)
        return stage

    yield put
    for stage in made:
        stage.film.stop()
        stage.hide()
        stage.deleteLater()


def test_the_other_recording_is_shown_at_the_same_moment(
    qtbot: QtBot, put_up: Callable[[], Stage], monkeypatch: pytest.MonkeyPatch
) -> None:
    compared: list[tuple[Path, ...]] = []

    def placed(paths, progress, cancel):
        compared.append(tuple(paths))
        return (Offset(Decimal("1.500000"), 0.97, 100.0),)

    monkeypatch.setattr(clock, "place_recordings", placed)
    stage = put_up()
    first, second = stage.desk.recordings
    shared = stage.film.walking.clock
    qtbot.waitUntil(lambda: shared.knows(second), timeout=60_000)
    assert [[path.name for path in paths] for paths in compared] == [["bench.mp4", "other.mp4"]]
    assert shared.same_moment(Decimal("2.500000"), first, second) == Decimal("0.999900")
    assert shared.same_moment(Decimal("0.999900"), second, first) == Decimal("2.500000")
    stage.desk.show_at(Decimal("2.52"))
    qtbot.keyClick(stage, R)
    assert stage.desk.front == second
    qtbot.waitUntil(lambda: stage.there(25), timeout=20_000)
    stage.desk.show_at(Decimal("2"))
    qtbot.keyClick(stage, R)
    assert (stage.desk.front, stage.desk.frame) == (first, stage.at("3.5002"))
    stage.desk.show_at(Decimal("0.4"))
    qtbot.keyClick(stage, R)
    assert stage.desk.front == second
    assert "did not run" in stage.said[-1][1]
    assert stage.desk.frame == 50


def test_where_the_clocks_are_unsure_each_film_keeps_its_place(
    qtbot: QtBot, put_up: Callable[[], Stage], monkeypatch: pytest.MonkeyPatch
) -> None:
    def unsure(paths, progress, cancel):
        raise InputError("nothing is heard in both", remedy="Clap once", file=paths[1])

    monkeypatch.setattr(clock, "place_recordings", unsure)
    stage = put_up()
    first, second = stage.desk.recordings
    stage.desk.show(40)
    qtbot.keyClick(stage, R)
    assert stage.desk.front == second
    qtbot.waitUntil(lambda: stage.desk.count() == 75, timeout=20_000)
    stage.desk.show(7)
    qtbot.waitUntil(lambda: stage.film.walking.clock.unsure(second) is not None, timeout=60_000)
    qtbot.keyClick(stage, R)
    assert (stage.desk.front, stage.desk.frame) == (first, 40)
    assert "nothing is heard in both" in stage.said[-1][1]
    qtbot.keyClick(stage, R)
    assert (stage.desk.front, stage.desk.frame) == (second, 7)
    qtbot.waitUntil(lambda: stage.there(7), timeout=20_000)
