"""Where a thing is used, what comes before what, what to order, what is due and open."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.errors import InputError
from author.library.asking.graph import Graph, Order, Stop, circles_in
from author.library.asking.graph_drawing import draw
from author.library.asking.query import Filters
from author.library.shop import Shop
from author.tasks.library_finding import (
    due_in,
    find_in,
    graph_of,
    holds_in,
    order_from,
    where_used_in,
)

from .shops import Plain, part, procedure, put, shop_of

_ALL = ("bearings", "drum-off", "egg", "hen", "lock-out", "old-way")


def before(*names: str, revision: int | None = None) -> list[Plain]:
    """Prerequisites that other procedures bring about."""
    return [
        {
            "id": f"before-{row}",
            "what": f"The {name} is done",
            "procedure": {"id": name} | ({"revision": revision} if revision else {}),
        }
        for row, name in enumerate(names)
    ]


@pytest.fixture
def shop(tmp_path: Path, database: str) -> Shop:
    """Bearings wait for the drum, the drum for the lockout; two wait for one another."""
    return shop_of(
        tmp_path / "shop",
        procedure("lock-out", parts=[part("Seal wire", "W-1", order="in_case")]),
        procedure(
            "drum-off",
            prerequisites=before("lock-out"),
            parts=[part("Drum screw", "M-8", alternatives=["M-8A"], quantity=4, pack_size=10)],
        ),
        procedure(
            "bearings",
            "Replace the drum bearings",
            prerequisites=before("drum-off", "not-written", "old-way", revision=3),
            parts=[
                part("Ball bearing", "6203-2RS", supersedes=["6203-ZZ"]),
                part("Drum screw", "M8", id="screw", quantity=2),
                part("Tolerance ring", "TR-40", id="ring", order="only_if", order_if="it turns"),
            ],
            review={"authors": ["A. Reed"], "due": "2026-05-01"},
        ),
        procedure("old-way", state="withdrawn", review={"authors": ["B."], "due": "2020-01-01"}),
        procedure("hen", prerequisites=before("egg"), parts=[part("Bearing", "6203 ZZ")]),
        procedure("egg", prerequisites=before("hen")),
    )


def test_a_number_is_found_however_it_is_written_and_followed_to_the_newest(shop: Shop) -> None:
    uses = where_used_in(shop.folder, "6203zz").value
    assert uses.superseded_by == ("6203-2RS",)
    told = {(one.procedure, one.role): one for one in uses.results}
    assert set(told) == {("bearings", "older"), ("hen", "own")}
    assert told["hen", "own"].steps == (1, 2)
    newest = where_used_in(shop.folder, "6203 2RS").value
    assert newest.older == ("6203-ZZ",)
    assert {(one.procedure, one.role) for one in newest.results} == {
        ("bearings", "own"), ("bearings", "older"), ("hen", "own"),
    }  # fmt: skip


def test_whoever_still_orders_by_an_older_number_is_told_the_newest(shop: Shop) -> None:
    put(shop.place_of("hen"), procedure("hen", parts=[part("Bearing", "6203-ZZ")]))
    told = {one.procedure: one for one in where_used_in(shop.folder, "6203-ZZ").value.results}
    assert told["hen"].superseded_by == ("6203-2RS",)
    assert told["bearings"].superseded_by == ()


def test_numbers_that_replace_one_another_in_a_circle_do_not_hang(shop: Shop) -> None:
    put(shop.place_of("hen"), procedure("hen", parts=[part("A", "A-1", supersedes=["B-1"])]))
    put(shop.place_of("egg"), procedure("egg", parts=[part("B", "B-1", supersedes=["A-1"])]))
    assert len(where_used_in(shop.folder, "A-1").value.results) == 4


@pytest.mark.parametrize(
    ("what", "wanted"),
    [
        ("drum screw", {("drum-off", "part"), ("bearings", "part")}),
        ("M-8A", {("drum-off", "part")}),
        ("Cloth", {(name, "supply") for name in _ALL}),
        ("caliper", {(name, "tool") for name in _ALL}),
        ("drum-off", {("bearings", "procedure")}),
        ("nothing such", set()),
        ("%", set()),
    ],
)
def test_parts_tools_supplies_and_procedures_are_followed(
    shop: Shop, what: str, wanted: set[tuple[str, str]]
) -> None:
    results = where_used_in(shop.folder, what).value.results
    assert {(one.procedure, one.kind) for one in results} == wanted


def test_circles_missing_and_withdrawn_ones_are_named_and_drawn(shop: Shop, tmp_path: Path) -> None:
    graph = graph_of(shop.folder, (), tmp_path / "graph.svg").value
    assert graph.circles == (("egg", "hen"),)
    assert list(graph.remarks) == [
        "These wait for one another in a circle: egg, hen",
        "bearings waits for revision 3 of drum-off, and the library has revision 1",
        "bearings waits for not-written, which the library does not hold",
        "bearings waits for old-way, which is withdrawn",
    ]
    root = ET.fromstring((tmp_path / "graph.svg").read_text(encoding="utf-8"))  # noqa: S314
    said = {"".join(one.itertext()) for one in root.iter("{http://www.w3.org/2000/svg}text")}
    assert {"not-written", "not in the library", "revision 1, withdrawn"} <= said
    small = graph_of(shop.folder, ("drum-off",)).value
    assert [stop.id for stop in small.stops] == ["drum-off", "lock-out"]
    with pytest.raises(InputError, match="no procedure 'nobody'"):
        graph_of(shop.folder, ("nobody",))
    with pytest.raises(InputError, match="SVG"):
        graph_of(shop.folder, (), tmp_path / "graph.png")


def test_text_from_files_is_text_in_the_drawing() -> None:
    nasty = '<script>alert(1)</script>&"\x00\x1b]]>' + "x" * 500
    graph = Graph((Stop("a", nasty, 1, "draft"),), (), (), (nasty,))
    root = ET.fromstring(draw(graph, nasty))  # noqa: S314
    assert not list(root.iter("{http://www.w3.org/2000/svg}script"))
    assert draw(graph, nasty) == draw(graph, nasty)


NODES = st.sampled_from("abcdefg")


@given(st.dictionaries(NODES, st.sets(NODES, max_size=4), max_size=7))
def test_a_circle_is_what_can_reach_itself(needs: dict[str, set[str]]) -> None:
    def reached(start: str) -> set[str]:
        found: set[str] = set()
        waiting = list(needs.get(start, ()))
        while waiting:
            one = waiting.pop()
            if one not in found:
                found.add(one)
                waiting += needs.get(one, ())
        return found

    circles = circles_in(needs)
    wanted = {one for one in "abcdefg" if one in reached(one)}
    assert {one for some in circles for one in some} == wanted
    assert all(set(some) <= reached(some[0]) for some in circles)
    graph = Graph(
        tuple(Stop(one, one, 1, "draft") for one in "abcdefg"),
        tuple(
            Order(first, then, None, any(first in some and then in some for some in circles))
            for then in sorted(needs)
            for first in sorted(needs[then])
        ),
        tuple(tuple(sorted(some)) for some in circles),
        (),
    )
    assert ET.fromstring(draw(graph, "any graph")) is not None  # noqa: S314


def test_order_takes_prerequisites_along_and_merges(shop: Shop) -> None:
    order = order_from(shop.folder, ("bearings",), {"bearings": 3}).value
    assert [(job.procedure.id, job.times) for job in order.sheet.jobs] == [
        ("bearings", 3), ("drum-off", 1), ("lock-out", 1),
    ]  # fmt: skip
    lines = {line.number: line for line in order.sheet.numbered}
    assert lines["6203-2RS"].asked("always") == 6
    assert lines["M-8"].alternatives == ("M-8A",)
    assert (lines["M-8"].asked(), lines["M-8"].packs()) == (4, 1)
    assert lines["W-1"].rule == "in_case"
    assert lines["TR-40"].conditions == ("it turns",)
    assert any("withdrawn" in remark for remark in order.remarks)


def test_order_refuses_what_it_cannot_stand_for(shop: Shop) -> None:
    for wanted, times, said in (
        (("nobody",), {}, "no procedure"),
        (("old-way",), {}, "withdrawn"),
        (("hen",), {"bearings": 2}, "not among"),
    ):
        with pytest.raises(InputError, match=said):
            order_from(shop.folder, wanted, times)
    assert {job.procedure.id for job in order_from(shop.folder, ("hen",)).value.sheet.jobs} == {
        "hen", "egg",
    }  # fmt: skip


def test_reviews_fall_due_on_their_day_and_never_for_withdrawn_ones(shop: Shop) -> None:
    assert due_in(shop.folder, "2026-04-30").value == []
    (one,) = due_in(shop.folder, "2026-05-01").value
    assert (one.procedure, one.due, one.authors) == ("bearings", "2026-05-01", ("A. Reed",))


def test_what_is_overdue_is_listed_first_and_found_by_its_words(shop: Shop) -> None:
    def finding(name: str, **other: object) -> Plain:
        return {"id": name, "what": f"The {name} is worn", "state": "deferred", **other}

    early = [finding("belt", due="at the next service")]
    put(shop.place_of("ant"), procedure("ant", findings=early, unit={"name": "Air pump"}))
    late = [
        finding("cable", holds=True, released_by="technician", follow_on="The cable is renewed"),
        finding("guide", due="2026-03-01"),
        finding("tyre", due="2026-02-01"),
        finding("wheel", due="2026-09-01"),
    ]
    put(shop.place_of("hen"), procedure("hen", findings=late, unit={"name": "Band saw"}))
    told = [(one.what[4:9], one.overdue) for one in holds_in(shop.folder, "2026-06-01").value]
    saw = [("tyre ", True), ("guide", True), ("cable", False), ("wheel", False)]
    assert told == [*saw, ("belt ", False)]
    before = [(one.what[4:9], one.overdue) for one in holds_in(shop.folder, "2026-02-01").value]
    assert before == [("belt ", False), ("cable", False), *((n, False) for n in GUIDE_ON)]
    answer = find_in(shop.folder, "next service", Filters(), 5).value
    assert [hit.procedure for hit in answer.results] == ["ant"]


GUIDE_ON = ("guide", "tyre ", "wheel")


def test_open_findings_are_listed_by_unit_until_they_are_dealt_with(shop: Shop) -> None:
    def finding(name: str, state: str, **other: object) -> Plain:
        return {"id": name, "what": f"The {name} is worn", "state": state, **other}

    unit = {"name": "Band saw", "number": "BS-1"}
    findings = [
        finding("guide", "deferred"),
        finding("tyre", "dealt_with"),
        finding("cable", "dealt_with", holds=True, released_by="technician", step="guard-on"),
    ]
    put(shop.place_of("hen"), procedure("hen", findings=findings, unit=unit))
    told = [
        (one.unit, one.what, one.holds, one.released_by, one.step)
        for one in holds_in(shop.folder).value
    ]
    assert told == [
        ("Band saw", "The cable is worn", True, "Technician", 2),
        ("Band saw", "The guide is worn", False, None, None),
    ]
