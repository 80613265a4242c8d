"""The same library gives the same answers, whatever database its index lies in."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.library.asking.finding import Answer, find
from author.library.asking.graph import prerequisites
from author.library.asking.listing import open_findings, problems, reviews_due
from author.library.asking.query import Filters, read_query
from author.library.asking.where_used import where_used
from author.library.index.address import VARIABLE
from author.library.index.database import Index
from author.library.index.indexing import refresh
from author.library.index.stems import stems_of
from author.library.shop import Shop

from .shops import action, part, procedure, put, shop_of, torque

WORDS = (
    "bearing", "bearings", "possible", "possibly", "technology", "technological", "Größe", "grosse",
    "naïve", "naive", "Lösung", "ring", "rings", "is", "as", "gas", "gases", "6203-2RS", "6203 2rs",
    "1e5", "0x1f", "007", "M8", "½", "x²", "日本語", "seal", "sealing", "sealed", "valve", "valves",
    "generally", "generalise", "news", "skies", "dying", "agreed", "hopping", "relational", "a.b",
)  # fmt: skip


@pytest.fixture(scope="module")
def both(server: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Index, Index]]:
    """The indexes of one library, in a file and in PostgreSQL."""
    chance = random.Random(5)
    made = []
    for number in range(30):
        some = chance.sample(WORDS, 5)
        limits = [
            torque("20", "30", "N·m"),
            torque(None, "100", "N·m"),
            torque("18", "20", "lbf·ft"),
        ]
        made.append(
            procedure(
                f"job-{chance.randrange(10_000)}-{number}",
                f"{some[0]} {chance.choice('ABba')} {some[1]}",
                limits[number % 3],
                action(" ".join(some[2:])),
                parts=[part(chance.choice(WORDS), chance.choice(("BW-1", "bw 1", "B.W/2")))],
                unit={"name": chance.choice(("Saw", "saw", "Äther", "Zug"))}
                | ({} if number % 2 else {"number": "S-1"}),
                review={"authors": ["A. Reed"], "due": f"2026-0{1 + number % 9}-01"},
            )
        )
        if number % 3:
            made[-1]["findings"] = [
                {"id": f"f{row}", "what": "Worn", "state": "deferred"} for row in range(number % 3)
            ]
    shop = shop_of(tmp_path_factory.mktemp("both") / "shop", *made)
    put(shop.place_of("misplaced"), made[0])
    indexes = _index(shop, "sqlite"), _index(shop, server)
    put(shop.place_of("a-late"), made[0] | {"id": "a-late"})  # by now all others have their rows
    for index in indexes:
        refresh(shop, index, workers=1)
    yield indexes


def _index(shop: Shop, address: str) -> Index:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(VARIABLE, address)
        index = Index(shop)
    refresh(shop, index, workers=1)
    return index


def _found(index: Index, typed: str, filters: Filters) -> Answer:
    with index.reading() as connection:
        return find(connection, read_query(typed), filters, 50)


def _same(both: tuple[Index, Index], typed: str, filters: Filters) -> None:
    """Hold two answers against one another; what they rank by is each engine's own."""
    answers = [_found(index, typed, filters) for index in both]
    plain = [replace(one, results=()) for one in answers]
    assert plain[0] == plain[1]
    sets = [
        sorted((replace(row, weight=0.0) for row in one.results), key=lambda row: row.place)
        for one in answers
    ]
    assert sets[0] == sets[1]
    if not typed.strip():
        assert [row.place for row in answers[0].results] == [
            row.place for row in answers[1].results
        ]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.one_of(
            st.sampled_from(WORDS),
            st.sampled_from(WORDS).map(lambda word: word[:-2] + word[-1:]),
            st.sampled_from(("22 N·m", "20 to 30 N·m", "zzz", "refit", "ref", "bw1", "B W 1")),
        ),
        max_size=3,
    )
)
def test_both_find_the_same(both: tuple[Index, Index], typed: list[str]) -> None:
    _same(both, " ".join(typed), Filters())


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=12).filter(lambda text: "\x00" not in text))
def test_both_take_whatever_is_typed(both: tuple[Index, Index], typed: str) -> None:
    _same(both, typed.encode("utf-8", "replace").decode(), Filters())


@pytest.mark.parametrize(
    "filters",
    [
        Filters(unit="saw"), Filters(unit="S1"), Filters(parts=("bw1",)), Filters(parts=("ring",)),
        Filters(hold=False), Filters(author="reed"), Filters(changed_since="2020-01-01"),
        Filters(hazards=("caution",)), Filters(tools=("caliper",)), Filters(supplies=("cloth",)),
        Filters(states=("draft", "approved")), Filters(unit="%"), Filters(unit="Äther"),
    ],
)  # fmt: skip
def test_both_filter_alike(both: tuple[Index, Index], filters: Filters) -> None:
    _same(both, "", filters)


def test_lists_and_graphs_are_the_same_in_the_same_order(both: tuple[Index, Index]) -> None:
    told = []
    for index in both:
        with index.reading() as connection:
            told.append(
                [
                    problems(connection),
                    reviews_due(connection, "2026-06-01"),
                    open_findings(connection, "2026-06-01"),
                    prerequisites(connection),
                    *(where_used(connection, what) for what in ("bw1", "BW-1", "cloth", "ring")),
                ]
            )
    for here, there in zip(*told, strict=True):
        assert here == there
        assert here


def test_every_procedure_is_in_both(both: tuple[Index, Index]) -> None:
    for index in both:
        assert len(_found(index, "", Filters()).results) == 32


def test_equal_weights_are_put_in_order_by_place(both: tuple[Index, Index]) -> None:
    for index in both:
        order = [(-row.weight, row.place) for row in _found(index, "gloves", Filters()).results]
        assert order == sorted(order)
        assert len({weight for weight, _ in order}) < len(order) > 10
        assert "a-late" in {place for _, place in order}


def test_words_of_no_length_and_of_great_length_have_a_stem() -> None:
    assert stems_of(["running", "of", "x" * 3000, "日本語"])[:2] == ["run", "of"]
    assert stems_of(["x" * 3000]) == ["x" * 400]
