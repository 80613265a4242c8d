"""The first pane: what is offered, and where a new procedure is kept."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication

from author.bench.app import Bench
from author.bench.opening import OpeningPane, folders_for, recent
from author.contract import read_procedure
from author.editing import SetField

from .hands import answer_by


@pytest.fixture
def bench(qapp: QApplication):
    made = Bench(qapp)
    yield made
    made.close()


@pytest.fixture
def film(bench_film: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(bench_film, tmp_path / "pump.mp4"))


def begun(bench: Bench, film: Path, qtbot) -> None:
    bench.open([film])
    qtbot.keyClick(bench.pane, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bench.window is not None, timeout=20_000)


def test_enter_begins_a_procedure_beside_the_film(bench, film, qtbot):
    begun(bench, film, qtbot)
    file = bench.window.session.document.file
    assert file.parent == film.parent / "pump-procedure"
    assert read_procedure(file).procedure.recordings[0].file == "pump.mp4"
    assert recent() == [file.parent]


def test_what_is_known_of_a_film_read_before_is_known_in_its_procedure(bench, film, qtbot):
    bench.open([film])
    qtbot.waitUntil(lambda: bench.pane.films.analyses() is not None)
    qtbot.keyClick(bench.pane, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bench.window is not None, timeout=20_000)
    session = bench.window.session
    (ref,) = session.procedure.recordings
    known = bench.window.proposals_view.proposing
    qtbot.waitUntil(lambda: session.facts().get(ref.id) is not None, timeout=20_000)
    assert session.facts()[ref.id].frame_count == 150
    (open_film,) = known._films()
    assert open_film.facts is not None
    assert open_film.analyses is not None
    qtbot.waitUntil(lambda: session.verdict is not None and not session.jobs.is_running("check"))


def test_a_film_that_has_a_procedure_leads_back_to_it(bench, film, qtbot, monkeypatch):
    asked = answer_by(monkeypatch, "Take it up")
    begun(bench, film, qtbot)
    document = bench.window.session.document
    document.do(SetField(("title",), "Not saved"))
    qtbot.wait(100)
    bench.close()  # as a crash would leave it: in the journal only
    taken, free = folders_for(film)
    assert ([one.name for one in taken], free.name) == (["pump-procedure"], "pump-procedure-2")
    bench.open([film])
    pane = bench.pane
    assert "already" in pane.says
    assert "not saved" in pane.offered[0]
    qtbot.keyClick(pane._list, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bench.window is not None, timeout=20_000)
    assert bench.window.session.document.file == document.file
    assert not bench.window.session.document.read_only
    qtbot.waitUntil(lambda: bool(asked))
    assert bench.window.session.procedure.title == "Not saved"


def test_without_anything_it_offers_what_was_opened_last(bench, film, qtbot):
    begun(bench, film, qtbot)
    folder = bench.window.session.document.file.parent
    bench.close()
    bench.open([])
    assert bench.pane.offered == [str(folder)]


def test_a_folder_without_a_procedure_is_told_and_nothing_is_lost(bench, tmp_path, qtbot):
    bench.open([tmp_path])
    qtbot.waitUntil(lambda: "there is no such procedure" in bench.pane.says)
    assert bench.window is None


def test_what_is_no_film_is_told(qapp, tmp_path, qtbot, bench):
    path = tmp_path / "notes.mp4"
    path.write_text("not a film", encoding="utf-8")
    bench.open([path])
    qtbot.waitUntil(lambda: "is not a video file" in bench.pane.says, timeout=20_000)
    assert isinstance(bench.pane, OpeningPane)
    assert not bench.pane._begin.isEnabled()
    bench.pane._begin.click()
    bench.pane._start()
    assert not bench.pane.jobs.is_running("open")
    assert not (tmp_path / "notes-procedure").exists()


def test_dark_pressed_twice_while_it_is_put_on_stays_dark(bench, film, qtbot):
    begun(bench, film, qtbot)
    deed = bench.window.actions_by_name["dark"]
    was = deed.isChecked()
    deed.trigger()
    deed.trigger()
    assert deed.isChecked() is not was
    assert bench.settings.value("dark", type=bool) is not was
    qtbot.waitUntil(lambda: not bench._dressing.isActive())
    deed.trigger()
    assert deed.isChecked() is was
    assert bench.settings.value("dark", type=bool) is was


def test_smaller_type_gives_back_the_room_that_larger_type_took(bench, film, qtbot):
    begun(bench, film, qtbot)
    window = bench.window
    screen = window.screen().availableSize()
    window.resize(screen)
    needs = window.minimumSizeHint().width()
    window.actions_by_name["still"].trigger()
    for name in ("larger", "smaller"):
        for _ in range(10):
            window.actions_by_name[name].trigger()
        qtbot.wait(50)
        window.to_film()
        qtbot.wait(50)
    qtbot.waitUntil(lambda: window.width() <= max(needs, screen.width()))
    assert window.minimumSizeHint().width() <= needs + 8
