"""Pages that are made ahead are those that would be made when asked for, and no others."""

from __future__ import annotations

import multiprocessing
import re
from pathlib import Path

import pytest
from library.shops import procedure, put

from author.serve import making_ahead, procedure_view
from author.serve.remembering import Remembered

from .conftest import Desk, Open
from .test_pages import until

NAMES = ("belt-change", "guard-clips", "lock-out")


def shown(desk: Desk, name: str) -> str:
    answer = desk.get(f"/procedures/{name}")
    assert answer.status_code == 200
    return answer.text


def test_what_is_made_ahead_is_what_would_be_made_when_asked_for(
    opened: Open, bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(bare / "procedures" / "torn", procedure("torn")).write_text("schema: procedure/1\nid: [")
    asked = {name: shown(opened(bare), name) for name in NAMES}
    ahead = Remembered(1_000_000)
    monkeypatch.setattr(procedure_view, "_SHOWN", ahead)
    monkeypatch.setattr(making_ahead, "_FIRST_WAIT", 0.0)
    desk = opened(bare, ahead=True)
    app = desk.client.app
    assert until(lambda: all(app.state.audit._found.get(name) for name in NAMES))  # type: ignore[attr-defined]
    with monkeypatch.context() as patch:
        patch.delattr(procedure_view, "_make")
        patch.delattr("author.serve.standing_audit.audit_procedure")
        for name in NAMES:
            assert lines(shown(desk, name)) == lines(asked[name])
    put(bare / "procedures" / "lock-out", procedure("lock-out", "Lock it out otherwise"))
    assert "Lock it out otherwise" in shown(desk, "lock-out")
    assert until(lambda: not multiprocessing.active_children())


def lines(text: str) -> list[str]:
    """Return the lines of a page without the time its files were last read."""
    return re.sub(r"signatures at \d\d:\d\d", "", text).splitlines()


def test_making_ahead_ends_where_room_does_and_with_the_server(
    opened: Open, bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    full = Remembered(8)
    for number in range(8):
        full.put(number, "made")
    monkeypatch.setattr(procedure_view, "_SHOWN", full)
    monkeypatch.setattr(making_ahead, "_FIRST_WAIT", 0.0)
    desk = opened(bare, ahead=True)
    assert until(lambda: not multiprocessing.active_children())
    assert full.get(0) == "made"
    assert "Lock out the drill" in shown(desk, "lock-out")
