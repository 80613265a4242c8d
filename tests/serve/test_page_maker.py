"""What another process makes is what would be made where it is shown, and no more is lost by it."""

from __future__ import annotations

import multiprocessing
import re
from pathlib import Path

import pytest
from library.shops import procedure, put
from starlette.testclient import TestClient

from author.serve import page_maker, procedure_view
from author.serve.application import create_app
from author.serve.remembering import Remembered
from author.serve.settings import Settings

from .conftest import Desk, Open
from .test_pages import until

NAMES = ("belt-change", "guard-clips", "lock-out")


def shown(desk: Desk, name: str) -> str:
    answer = desk.get(f"/procedures/{name}")
    assert answer.status_code == 200
    return answer.text


@pytest.fixture
def shown_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing was shown before, and the process begins with the server."""
    monkeypatch.setattr(procedure_view, "_SHOWN", Remembered(1_000_000))
    monkeypatch.setattr(procedure_view, "_HEADS", Remembered(1_000))
    monkeypatch.setattr(page_maker, "_FIRST_WAIT", 0.0)


def made_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have nothing made in this process."""
    for name in ("_make", "_read"):
        monkeypatch.delattr(procedure_view, name)
    monkeypatch.delattr("author.serve.standing_audit.audit_procedure")


@pytest.mark.usefixtures("shown_first")
def test_what_is_made_ahead_is_what_would_be_made_when_asked_for(
    opened: Open, bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(bare / "procedures" / "torn", procedure("torn")).write_text("schema: procedure/1\nid: [")
    asked = {name: shown(opened(bare), name) for name in NAMES}
    monkeypatch.setattr(procedure_view, "_SHOWN", Remembered(1_000_000))
    monkeypatch.setattr(procedure_view, "_HEADS", Remembered(1_000))
    desk = opened(bare, ahead=True)
    app = desk.client.app
    assert until(lambda: all(app.state.audit._found.get(name) for name in NAMES))  # type: ignore[attr-defined]
    with monkeypatch.context() as patch:
        made_here(patch)
        for name in NAMES:
            assert lines(shown(desk, name)) == lines(asked[name])
    put(bare / "procedures" / "lock-out", procedure("lock-out", "Lock it out otherwise"))
    assert "Lock it out otherwise" in shown(desk, "lock-out")


@pytest.mark.usefixtures("shown_first")
def test_what_is_asked_for_is_made_in_the_other_process_before_anything_ahead(
    opened: Open, bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk, _ = with_nothing_ahead(opened, bare, monkeypatch)
    with monkeypatch.context() as patch:
        made_here(patch)
        assert "Lock out the drill" in shown(desk, "lock-out")
        put(bare / "procedures" / "lock-out", procedure("lock-out", "Lock it out otherwise"))
        assert "Lock it out otherwise" in shown(desk, "lock-out")
        # Pages of a list are held against their signatures there as well.
        desk.client.app.state.audit.kinds(["guard-clips"])  # type: ignore[attr-defined]
        assert until(lambda: desk.client.app.state.audit._found.get("guard-clips"))  # type: ignore[attr-defined]


@pytest.mark.usefixtures("shown_first")
def test_a_process_that_has_ended_leaves_the_pages_to_the_server(
    opened: Open, bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk, maker = with_nothing_ahead(opened, bare, monkeypatch)
    for process in multiprocessing.active_children():
        process.kill()
    assert "Lock out the drill" in shown(desk, "lock-out")
    assert maker._line is None
    assert "Guard" in shown(desk, "guard-clips")
    assert until(lambda: not multiprocessing.active_children())


@pytest.mark.usefixtures("shown_first")
def test_the_process_ends_with_the_server(opened: Open, bare: Path) -> None:
    with TestClient(create_app(bare, Settings(ahead=True))):
        assert until(lambda: bool(multiprocessing.active_children()))
    assert until(lambda: not multiprocessing.active_children())


def with_nothing_ahead(
    opened: Open, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> tuple[Desk, page_maker.PageMaker]:
    """Open a library whose other process makes only what is asked for, and wait for it."""
    monkeypatch.setattr(page_maker, "folder_names", lambda shop: iter(()))
    desk = opened(folder, ahead=True)
    maker: page_maker.PageMaker = desk.client.app.state.maker  # type: ignore[attr-defined]
    assert until(lambda: maker._line is not None)
    return desk, maker


def lines(text: str) -> list[str]:
    """Return the lines of a page without the time its files were last read."""
    return re.sub(r"signatures at \d\d:\d\d", "", text).splitlines()


@pytest.mark.usefixtures("shown_first")
def test_nothing_is_made_ahead_where_room_ends(
    opened: Open, bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    full = Remembered(8)
    for number in range(8):
        full.put(number, "made")
    monkeypatch.setattr(procedure_view, "_SHOWN", full)
    made: list[str] = []
    real = page_maker.PageMaker._have

    def noted(maker: page_maker.PageMaker, name: str) -> None:
        made.append(name)
        real(maker, name)

    monkeypatch.setattr(page_maker.PageMaker, "_have", noted)
    desk = opened(bare, ahead=True)
    maker = desk.client.app.state.maker  # type: ignore[attr-defined]
    assert until(lambda: maker._line is not None)
    assert "Lock out the drill" in shown(desk, "lock-out")
    assert made == ["lock-out"]
    assert full.get(0) == "made"
