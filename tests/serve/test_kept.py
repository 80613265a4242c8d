"""What is made once and shown again: never old, never somebody else's, never without bounds."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from typing import Any

import pytest
from library.shops import part, procedure, put

from author.serve import find_pages, procedure_pages
from author.serve.remembering import Remembered, bytes_of

from .conftest import Desk, Open

PAGES = (
    "/?q=guard",
    "/where-used?what=BW-207",
    "/due",
    "/procedures/guard-clips",
    "/procedures/guard-clips/order",
    "/procedures/guard-clips/before.svg",
)
SAFE = {"id": "safe", "what": "Make safe", "procedure": {"id": "lock-out"}}
LATE = {"authors": ["A. Reed"], "due": "2020-01-01"}


def changed(desk: Desk, **keys: Any) -> None:
    """Write the procedure that all pages show anew, and have it taken up."""
    keys = {"parts": [part("Guard clip", "BW-207")], "prerequisites": [SAFE], **keys}
    title = keys.pop("title", "Renew the guard clips")
    plain = procedure("guard-clips", title, review=LATE, **keys)
    put(desk.folder / "procedures" / "guard-clips", plain)
    desk.client.app.state.index.look_now()  # type: ignore[attr-defined]


def counted(monkeypatch: pytest.MonkeyPatch, where: Any, name: str) -> list[object]:
    calls: list[object] = []
    real: Callable[..., Any] = getattr(where, name)

    def counting(*arguments: Any, **named: Any) -> Any:
        calls.append(arguments)
        return real(*arguments, **named)

    monkeypatch.setattr(where, name, counting)
    return calls


@pytest.mark.parametrize("path", PAGES)
def test_a_page_asked_for_again_is_the_same_until_a_procedure_changes(
    here: Desk, path: str
) -> None:
    changed(here)
    first = here.get(path)
    assert first.status_code == 200
    assert here.get(path).text == first.text
    changed(here, title="Renew the guard claws")
    changed(here, title="Renew the guard claws", parts=[part("Claw of the guard", "BW-207")])
    again = here.get(path).text
    assert "claws" in again
    assert "Renew the guard clips" not in again


def test_nothing_is_looked_for_twice_in_one_state_of_the_library(
    here: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    changed(here)
    asked = {
        "/?q=guard": counted(monkeypatch, find_pages, "find"),
        "/where-used?what=BW-207": counted(monkeypatch, find_pages, "where_used"),
        "/due": counted(monkeypatch, find_pages, "reviews_due"),
        "/procedures/guard-clips": counted(monkeypatch, procedure_pages, "naming"),
        "/procedures/guard-clips/order": counted(monkeypatch, procedure_pages, "order_sheet"),
    }
    for path, calls in asked.items():
        for _ in range(3):
            here.get(path)
        assert len(calls) == 1, path
    changed(here, title="Renew the guard claws")
    for path, calls in asked.items():
        here.get(path)
        assert len(calls) == 2, path


def test_a_file_that_was_just_changed_is_ordered_from_before_the_index_knows(
    opened: Open, bare: Any
) -> None:
    desk = opened(bare, look_every=1000)
    path = "/procedures/guard-clips/order"
    assert "BW-207" in desk.get(path).text
    clip = part("Guard clip", "BW-999")
    place = desk.folder / "procedures"
    put(place / "guard-clips", procedure("guard-clips", parts=[clip], prerequisites=[SAFE]))
    assert "BW-999" in desk.get(path).text
    put(place / "lock-out", procedure("lock-out", parts=[part("Lock", "LK-5")]))
    assert "LK-5" in desk.get(path).text
    shutil.rmtree(place / "lock-out")
    assert "LK-5" not in desk.get(path).text


def test_a_library_made_anew_shows_nothing_of_the_one_before(here: Desk) -> None:
    changed(here)
    assert "guard-clips" in here.get("/?q=guard").text
    shutil.rmtree(here.folder / "procedures" / "guard-clips")
    shutil.rmtree(here.folder / ".index")
    here.client.app.state.index.look_now()  # type: ignore[attr-defined]
    assert "guard-clips" not in here.get("/?q=guard").text


@pytest.mark.parametrize("path", PAGES[:-1])
def test_what_is_kept_holds_nothing_of_who_asked_first(opened: Open, path: str) -> None:
    desk = opened()
    seen = {}
    for name in ("K. Keeper", "R. Reader", "A. Author"):
        assert desk.sign_in(name).status_code == 303
        seen[name] = desk.get(path).text, desk.token()
        desk.post("/sign-out")
    for name, (text, token) in seen.items():
        assert f'value="{token}"' in text
        assert f">{name}<" in text
        assert ('href="/people"' in text) is (name == "K. Keeper")
        for other, (_, foreign) in seen.items():
            assert other == name or (foreign not in text and other not in text)


def test_no_text_of_a_file_is_taken_for_the_joints_of_a_page(here: Desk) -> None:
    title = "<!--|--> <!--main--> <!--body--> guard"
    changed(here, title=title, purpose=title)
    shown = "&lt;!--|--&gt; &lt;!--main--&gt; &lt;!--body--&gt; guard"
    for path in (*PAGES[:-1], "/?q=%3C!--|--%3E+guard"):
        text = here.get(path).text
        assert shown in text or path.startswith("/where-used")
        assert "<!--" not in text
        assert text.count("</main>") == 1


def test_what_is_remembered_has_bounds() -> None:
    some = Remembered(80)
    for number in range(20):
        some.put(number, f"made {number}", 10)
        some.get(0)
    assert [number for number in range(20) if some.get(number)] == [0, *range(13, 20)]
    some.put(0, "made anew", 4)
    some.put("large", "more than an eighth", 11)
    assert (some.get(0), some.get("large")) == ("made anew", None)
    some.put(0, "larger than may be", 50)
    assert some.get(0) is None


def test_the_room_a_value_takes_grows_with_what_it_is_made_of() -> None:
    few, many = ({"rows": [("a word", 1)] * count} for count in (1, 100))
    assert bytes_of(many) > 50 * bytes_of(("a word",))
    assert bytes_of(few) < bytes_of(many)
