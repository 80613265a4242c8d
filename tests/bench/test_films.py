"""The films on the desk: a picture is always of its frame, and the newest wish comes first."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from author.bench.films import FilmDesk
from author.bench.images import FramePicture
from author.recording.film import Film

from .film_stage import number_in


class Watch:
    """Keeps what was shown; every picture is looked at."""

    def __init__(self, desk: FilmDesk) -> None:
        self.shown: list[FramePicture] = []
        self.desk = desk
        desk.shown.connect(self._look)

    def _look(self, picture: FramePicture) -> None:
        assert number_in(picture.image) == picture.frame
        assert picture.start == self.desk.start_of(picture.frame, picture.recording)
        self.shown.append(picture)


@pytest.fixture
def desk(qtbot: QtBot, bench_film: Path) -> Iterator[FilmDesk]:
    made = FilmDesk()
    made.open("film", bench_film)
    yield made
    made.close()
    made.deleteLater()


def arrived(desk: FilmDesk, frame: int) -> Callable[[], bool]:
    return lambda: desk.picture is not None and desk.picture.frame == frame and not desk.waiting


def test_every_picture_is_that_of_its_time(qtbot: QtBot, desk: FilmDesk) -> None:
    watch = Watch(desk)
    qtbot.waitUntil(lambda: desk.count() == 150 and desk.picture is not None, timeout=20_000)
    chance = random.Random(5)
    goals = [1, 2, 3, 2, 1, 149, 148, 147, *(chance.randrange(150) for _ in range(25))]
    for frame in goals:
        desk.show(frame)
        assert desk.moment == desk.start_of(frame)
        if chance.random() < 0.4:
            qtbot.waitUntil(arrived(desk, frame), timeout=20_000)
    qtbot.waitUntil(arrived(desk, goals[-1]), timeout=20_000)
    assert watch.shown[-1].frame == goals[-1]


def test_a_wish_outside_the_film_means_its_ends(qtbot: QtBot, desk: FilmDesk) -> None:
    qtbot.waitUntil(lambda: desk.count() == 150, timeout=20_000)
    desk.show(-5)
    assert desk.frame == 0
    desk.show(9999)
    assert desk.frame == 149
    end = desk.start_of(150)
    assert desk.start_of(149) < end <= Decimal("6.000000")
    assert desk.boundary(Decimal("2.01")) == Decimal("2.000000")
    assert desk.boundary(Decimal("99")) == end


def test_a_frame_lasts_until_the_next_begins(qtbot: QtBot, desk: FilmDesk) -> None:
    qtbot.waitUntil(lambda: desk.count() == 150, timeout=20_000)
    for frame in (0, 1, 77, 149):
        start = desk.start_of(frame)
        assert desk.frame_during(start) == frame
        assert desk.frame_during(start + Decimal("0.039")) == frame
    assert desk.frame_during(Decimal("-1")) == 0


def test_patient_wishes_go_out_one_at_a_time_the_newest_next(
    qtbot: QtBot, desk: FilmDesk, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The exact index, which may come last of all, has the frame looked at asked for again.
    qtbot.waitUntil(lambda: desk.is_exact() and not desk.waiting, timeout=20_000)
    asked: list[int] = []
    show = Film.show

    def noted(film: Film, frame: int, *, full: bool = False) -> None:
        asked.append(frame)
        show(film, frame, full=full)

    monkeypatch.setattr(Film, "show", noted)
    watch = Watch(desk)
    for frame in range(30, 90):
        desk.show(frame, patient=True)
    assert asked == [30]
    assert desk.frame == 89
    qtbot.waitUntil(arrived(desk, 89), timeout=20_000)
    assert asked == [30, 89]
    assert {each.frame for each in watch.shown} == {30, 89}


def test_while_a_film_runs_the_moment_is_that_of_the_frame_shown(
    qtbot: QtBot, desk: FilmDesk
) -> None:
    qtbot.waitUntil(lambda: desk.count() == 150 and not desk.waiting, timeout=20_000)
    watch = Watch(desk)
    desk.run(True)
    assert desk.run_to(40)
    assert not desk.run_to(41)
    assert desk.frame == 0
    qtbot.waitUntil(arrived(desk, 40), timeout=20_000)
    assert desk.frame == watch.shown[-1].frame == 40
    desk.run(False)


def test_a_film_that_cannot_be_read_says_so(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "notes.mp4"
    path.write_text("not a film")
    desk = FilmDesk()
    try:
        with qtbot.waitSignal(desk.failed, timeout=20_000):
            desk.open("film", path)
        error = desk.broken()
        assert error is not None
        assert "is not a video file" in error.problem
        assert desk.picture is None
    finally:
        desk.close()
        desk.deleteLater()


def test_a_better_index_keeps_the_moment(qtbot: QtBot, desk: FilmDesk) -> None:
    watch = Watch(desk)
    qtbot.waitUntil(lambda: desk.count() == 150, timeout=20_000)
    desk.show(75)
    qtbot.waitUntil(desk.is_exact, timeout=40_000)
    qtbot.waitUntil(arrived(desk, 75), timeout=20_000)
    assert desk.moment == Decimal("3.000000")
    assert watch.shown[-1].frame == 75
