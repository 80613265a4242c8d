"""What the pages show: found procedures, how a procedure stands, damage, long texts."""

from __future__ import annotations

import os
import re
import shutil
import threading
import time
from collections.abc import Callable
from html import unescape
from pathlib import Path

import pytest
from library.shops import part, procedure, put
from library_signing.bench_shop import REVIEWER, SECOND, START, BenchShop

from author.library.index.indexing import refresh
from author.library.shop import INDEX, open_shop
from author.serve.near_graph import demands_of, graph_before
from author.serve.procedure_view import view_of
from author.tasks.library_shelves import shelve_folders

from .conftest import Desk, Open

HOSTILE = """<script>alert("1")</script> & 'x' "y" {{ 271 * 3889 }}"""
_RESULT = re.compile(r'<h3><a href="/procedures/([^"]+)">')


def results(desk: Desk, query: str) -> list[str]:
    answer = desk.get(f"/?{query}")
    assert answer.status_code == 200
    return _RESULT.findall(answer.text)


def until(met: Callable[[], bool]) -> bool:
    """Wait for the look at the library that takes up a change."""
    end = time.monotonic() + 20
    while not met():
        if time.monotonic() > end:
            return False
        time.sleep(0.05)
    return True


def plain(text: str) -> str:
    """Return the words of a page."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def test_words_filters_and_ranges_find(here: Desk) -> None:
    assert results(here, "") == ["belt-change", "lock-out", "guard-clips"]
    assert results(here, "q=renew+clips") == ["guard-clips"]
    assert results(here, "part=bw999") == []
    assert results(here, "part=BW+207&q=") == ["guard-clips"]
    assert results(here, "state=approved") == ["belt-change"]
    assert set(results(here, "q=length+0.18+to+0.2+in")) == {"lock-out", "guard-clips"}
    assert set(results(here, "spec=length+4.6+to+5+mm&tool=caliper")) == {"lock-out", "guard-clips"}
    assert set(results(here, "hazard=sharp&hold=no")) == {"lock-out", "guard-clips"}
    page = here.get("/?q=renw+clips").text
    assert "No procedure has “renw”: taken for renew" in plain(page)
    assert "<mark>" in page
    assert "More than 1 found" in plain(here.get("/?q=guard&most=1").text)
    assert "most=26" in here.get("/?q=guard&most=1").text


@pytest.mark.parametrize(
    "query",
    ["spec=wide", "since=31.12.2026", "older=ten", "q=" + "word+" * 3000, "spec=torque+1,250+N·m"],
)
def test_a_query_nobody_can_read_is_told_in_place(here: Desk, query: str) -> None:
    answer = here.get(f"/?{query}")
    assert answer.status_code == 400
    assert 'class="problem"' in answer.text
    assert "Find a procedure" in answer.text


@pytest.mark.parametrize(
    "query",
    ["most=-1", "most=99999999999999999999", "state=x&hold=perhaps&revisions=2", "q=%00%ff"],
)
def test_odd_choices_are_left_out(here: Desk, query: str) -> None:
    assert here.get(f"/?{query}").status_code == 200


def test_where_used(here: Desk) -> None:
    assert "Guard clip (BW-207) × 2" in plain(here.get("/where-used?what=bw207").text)
    assert "has to be done before it" in plain(here.get("/where-used?what=lock-out").text)
    assert "Nothing uses it" in here.get("/where-used?what=nothing").text
    assert here.get("/where-used").status_code == 200


def test_reviews_due(here: Desk) -> None:
    late = procedure("late-one", "Late", review={"authors": ["A. R."], "due": "2020-03-31"})
    put(here.folder / "procedures" / "late-one", late)
    assert until(lambda: "due 2020-03-31" in here.get("/due").text)


def test_a_procedure_shows_what_it_is(here: Desk) -> None:
    said = plain(here.get("/procedures/guard-clips").text)
    for text in (
        "Renew the guard clips", "Bench drill BD-2", "This is a draft", "Nobody has signed",
        "Sharp edges of the guard.", "CAUTION", "Make safe. lock-out", "Guard clip", "BW-207",
        "Gap to the pulley 4.50 to 6.00 mm", "There is no bench page",
        "Lock out the drill draft before this one",
    ):  # fmt: skip
        assert text in said
    lock = plain(here.get("/procedures/lock-out").text)
    assert "Named by other procedures Renew the guard clips draft needs this one before it" in lock
    drawn = here.get("/procedures/guard-clips/before.svg")
    assert drawn.headers["content-type"].startswith("image/svg+xml")
    assert drawn.text.count("<rect") == 3


def test_what_to_order(here: Desk) -> None:
    said = plain(here.get("/procedures/guard-clips/order").text)
    assert "2 Guard clip BW-207" in said
    assert "Lock out the drill , revision 1, draft, has to be done before" in said
    alone = plain(here.get("/procedures/guard-clips/order?alone=yes").text)
    assert "has to be done before" not in alone.replace("all that has to be done before it", "")


def test_an_approved_procedure_is_as_signed(here: Desk) -> None:
    page = here.get("/procedures/belt-change")
    said = plain(page.text)
    assert "As signed. Approved by R. Reviewer (reviewer) on 2026-09-14" in said
    assert "Follow revision 2 at the bench" in said
    assert 'href="/procedures/belt-change/files/procedure.pdf"' in page.text
    assert "authored, A. Author (author)" in said


def change_limit(folder: Path) -> None:
    file = folder / "procedures" / "belt-change" / "procedure.yaml"
    text = file.read_text(encoding="utf-8")
    lower = re.search(r'lower: "([0-9.]+)"', text)
    assert lower
    file.write_text(text.replace(lower[0], 'lower: "0.01"', 1), encoding="utf-8")


def swap_still(folder: Path) -> None:
    still = folder / "procedures" / "belt-change" / "published" / "stills" / "01-unplug.jpg"
    before = still.stat()
    still.write_bytes(b"a other " * 8)  # as long as it was, and as old
    os.utime(still, ns=(before.st_atime_ns, before.st_mtime_ns + 1))


def edit_history(folder: Path) -> None:
    acts = sorted((folder / "procedures" / "belt-change" / "signatures").iterdir())
    acts[-1].unlink()


def forget_keys(folder: Path) -> None:
    newest = sorted((folder / "history").iterdir())[1]
    newest.write_bytes(newest.read_bytes().replace(b"A. Author", b"B. Author"))


@pytest.mark.parametrize("tamper", [change_limit, swap_still, edit_history, forget_keys])
def test_what_is_not_as_signed_is_told_at_once(here: Desk, tamper: Callable[[Path], None]) -> None:
    assert "As signed." in here.get("/procedures/belt-change").text
    tamper(here.folder)
    said = plain(here.get("/procedures/belt-change").text)
    assert "Not as signed. Do not work by it" in said
    assert "at the bench" not in said


def test_every_file_is_read_again_after_a_while(bare: Path, opened: Open) -> None:
    desk = opened(bare, audit_age=0.0)
    assert "As signed." in desk.get("/procedures/belt-change").text
    still = bare / "procedures" / "belt-change" / "published" / "stills" / "01-unplug.jpg"
    before = still.stat()
    with still.open("r+b") as stream:
        stream.write(b"another")
    os.utime(still, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert "Not as signed." in desk.get("/procedures/belt-change").text


@pytest.mark.parametrize("state", ["superseded", "withdrawn"])
def test_what_is_not_in_force_is_not_offered(here: Desk, state: str) -> None:
    shop = BenchShop(here.folder, START.replace(year=2027))
    shop.sign(state, REVIEWER)
    said = plain(here.get("/procedures/belt-change").text)
    assert "at the bench" not in said
    assert "all the same, to end a job" in said
    assert SECOND is not None


def test_an_older_revision_says_so(here: Desk, tmp_path: Path) -> None:
    newer = procedure("guard-clips", "Renew the guard clips twice", revision=2)
    put(tmp_path / "next", newer)
    assert [one.did for one in shelve_folders(here.folder, [tmp_path / "next"])] == ["next"]
    now = here.get("/procedures/guard-clips").text
    assert 'href="/procedures/guard-clips/revisions/1"' in now
    old = plain(here.get("/procedures/guard-clips/revisions/1").text)
    assert "This is an older revision. Revision 2 has taken its place." in old
    for number in ("3", "x", "1.0", "-1", "00000001"):
        assert here.get(f"/procedures/guard-clips/revisions/{number}").status_code == 404
    assert until(lambda: results(here, "q=twice") == ["guard-clips"])
    assert until(lambda: "guard-clips/revisions/1" in results(here, "q=renew&revisions=yes"))


def test_a_text_from_a_file_is_text(here: Desk) -> None:
    made = procedure(
        "hostile", HOSTILE, parts=[part(HOSTILE, HOSTILE)], note=HOSTILE, purpose=HOSTILE
    )
    put(here.folder / "procedures" / "hostile", made)
    assert until(lambda: "hostile" in results(here, "q=alert"))
    for path in (
        "/?q=alert", "/procedures/hostile", "/procedures/hostile/order",
        "/procedures/hostile/before.svg", "/where-used?what=%3Cscript%3Ealert(%221%22)",
        "/?q=%3Cscript%3E&unit=%22%3E%3Cb%3E",
        "/procedures/%3Cscript%3E", "/sign-in?to=%22%3E%3Cscript%3E",
    ):  # fmt: skip
        text = here.get(path).text
        assert "<script" not in text
        assert "1053919" not in text  # what a template would have made of it


def test_a_title_as_long_as_may_be_breaks_no_page(here: Desk) -> None:
    made = procedure("long-one", "W" * 400, parts=[part("P" * 400, "N" * 400)])
    put(here.folder / "procedures" / "long-one", made)
    too_long = here.folder / "procedures" / "too-long"
    put(too_long, procedure("too-long", "T" * 10_000))
    assert until(lambda: "W" * 400 in here.get("/").text)
    assert "1 file of the library cannot be used as it is" in plain(here.get("/").text)
    for path in ("/procedures/long-one", "/procedures/long-one/order"):
        assert "W" * 400 in here.get(path).text
    answer = here.get("/procedures/too-long")
    assert answer.status_code == 400
    assert "The file of this procedure is wrong" in plain(answer.text)


def test_a_damaged_or_deleted_index_is_built_anew(here: Desk) -> None:
    assert results(here, "part=bw207") == ["guard-clips"]
    for damage in (lambda file: file.write_bytes(b"nonsense" * 1000), lambda file: file.unlink()):
        folder = here.folder / INDEX
        for file in folder.glob("index.sqlite*"):
            damage(file) if file.name == "index.sqlite" else file.unlink()
        assert results(here, "part=bw207") == ["guard-clips"]


def test_a_new_procedure_is_found_without_a_restart(here: Desk) -> None:
    put(here.folder / "procedures" / "fresh-one", procedure("fresh-one", "Swage the ferrule"))
    assert here.get("/procedures/fresh-one").status_code == 200
    assert until(lambda: results(here, "q=ferrule") == ["fresh-one"])
    shutil.rmtree(here.folder / "procedures" / "fresh-one")
    assert here.get("/procedures/fresh-one").status_code == 404
    assert until(lambda: results(here, "q=ferrule") == [])


def test_a_share_that_cannot_be_written_opens(
    shop: Path, opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    mkdir = Path.mkdir

    def read_only(path: Path, *arguments: object, **named: object) -> None:
        if path.is_relative_to(shop):
            raise OSError(30, "Read-only file system", str(path))  # EROFS
        mkdir(path, *arguments, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(Path, "mkdir", read_only)
    desk = opened()
    assert desk.client.app.state.index.index.apart  # type: ignore[attr-defined]
    assert desk.sign_in("R. Reader").status_code == 303
    assert results(desk, "part=bw207") == ["guard-clips"]
    assert "As signed." in desk.get("/procedures/belt-change").text
    assert not (shop / INDEX).exists()


def test_a_view_is_read_once_while_its_file_stays(here: Desk) -> None:
    shop = open_shop(here.folder)
    first = view_of(shop, "lock-out")
    assert view_of(shop, "lock-out").head is first.head
    put(here.folder / "procedures" / "lock-out", procedure("lock-out", "Another title"))
    assert view_of(shop, "lock-out").head.title == "Another title"


def test_an_index_that_is_made_anew_disturbs_no_reader(here: Desk) -> None:
    index = here.client.app.state.index  # type: ignore[attr-defined]
    wrong: list[object] = []

    def reading() -> None:
        for _ in range(60):
            answer = here.get("/procedures/guard-clips")
            if answer.status_code != 200:
                wrong.append(answer.text)

    readers = [threading.Thread(target=reading) for _ in range(3)]
    for one in readers:
        one.start()
    for _ in range(6):
        with index._one:
            refresh(index.shop, index._writing, anew=True)
    for one in readers:
        one.join()
    assert wrong == []


def needs(*ids: str, revision: int | None = None) -> list[dict[str, object]]:
    pinned = {} if revision is None else {"revision": revision}
    return [
        {"id": f"b{n}", "what": f"Do {one}", "procedure": {"id": one, **pinned}}
        for n, one in enumerate(ids)
    ]


def test_what_keeps_a_procedure_from_being_begun_is_told(here: Desk) -> None:
    made = {
        "one": needs("two", "gone"),
        "two": needs("one", "old"),
        "last": needs("one", "lock-out", revision=7),
    }
    for name, before in made.items():
        put(here.folder / "procedures" / name, procedure(name, prerequisites=before))
    put(here.folder / "procedures" / "old", procedure("old", state="withdrawn"))
    here.client.app.state.index.look_now()  # type: ignore[attr-defined]
    rows = here.client.app.state.index  # type: ignore[attr-defined]
    graph, more = rows.ask(lambda connection: graph_before(connection, "last", 40))
    assert not more
    assert graph.circles == (("one", "two"),)
    wrong = {(one.order.first, one.order.then): one.wrong for one in demands_of(graph)}
    assert wrong == {
        ("gone", "one"): "the library does not hold it",
        ("lock-out", "last"): "the library has revision 1",
        ("old", "two"): "it is withdrawn",
        ("one", "last"): "the library has revision 1",
        ("one", "two"): "they wait for one another in a circle",
        ("two", "one"): "they wait for one another in a circle",
    }
    few, more = rows.ask(lambda connection: graph_before(connection, "last", 2))
    assert (len(few.stops), more) == (2, True)
    said = plain(here.get("/procedures/last").text)
    assert "They wait for one another in a circle." in said
    ordered = plain(here.get("/procedures/last/order").text)
    assert "gone: the library does not hold it." in ordered
