"""Procedures are found by what people remember of them."""

from __future__ import annotations

import os
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.errors import InputError
from author.library.asking.query import read_query, read_range
from author.library.index.words import edits_between, number_key
from author.library.shop import Shop
from author.procedure.units import all_units

from .shops import Plain, action, found, ids, part, procedure, shop_of, torque

HOLD = {
    "id": "cable", "what": "The cable is chafed", "state": "deferred", "holds": True,
    "released_by": "technician",
}  # fmt: skip


@pytest.fixture(scope="module")
def shop(database: str, tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return shop_of(
        tmp_path_factory.mktemp("find") / "shop",
        procedure(
            "drum-bearings",
            "Replace the bearings of the drying drum",
            torque("22.5", "25.0", "N·m"),
            parts=[part("Ball bearing", "6203-2RS", supersedes=["6203-ZZ"])],
            unit={"name": "Drying drum DD-4", "number": "DD-4"},
            state="approved",
            review={"authors": ["A. Reed"], "due": "2027-01-31"},
            changes=[{"revision": 1, "date": "2026-03-01", "what": "First", "by": "A. Reed"}],
        ),
        procedure(
            "shaft-seal",
            "Renew the shaft seal of the wash pump",
            torque("18", "20", "lbf·ft"),
            action("Drive the old bearing seat clean."),
            parts=[part("Shaft seal", "SS 40/62")],
            tools=[{"id": "caliper", "name": "Hook spanner 45 mm"}],
            findings=[HOLD],
            changes=[{"revision": 1, "date": "2024-02-01", "what": "First", "by": "B. Moss"}],
        ),
        procedure(
            "tank-lid",
            "Align the lid of the tank",
            torque(None, "100", "N·m"),
            general_hazards=[
                {"signal": "DANGER", "hazard": "Steam under the lid", "avoid": "Let it cool"}
            ],
            supplies=[{"id": "cloth", "name": "Lid grease", "grade": "NLGI 2", "number": "G-77"}],
        ),
    )


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("replacing bearing", ["drum-bearings"]),  # stems
        ("bearing", ["drum-bearings", "shaft-seal"]),  # the title weighs more than a step
        ("the shaft seals", ["shaft-seal"]),
        ("bering drum", ["drum-bearings"]),  # a slip
        ("6203-2RS", ["drum-bearings"]),
        ("62032rs", ["drum-bearings"]),
        ("6203 2rs", ["drum-bearings"]),
        ("6203zz", ["drum-bearings"]),  # an older number
        ("ss40-62", ["shaft-seal"]),
        ("align", ["tank-lid"]),
        ("steam", ["tank-lid"]),
        ("nothing-like-it-here 998877", []),
    ],
)
def test_words_find_what_is_meant(shop: Shop, typed: str, wanted: list[str]) -> None:
    assert ids(found(shop, typed)) == wanted


def test_the_hit_is_shown_with_its_place(shop: Shop) -> None:
    (one,) = found(shop, "hook spanners").results
    assert one.hit is not None
    assert one.hit.place == "tool"
    assert [one.hit.text[start:end] for start, end in one.hit.found] == ["Hook", "spanner"]


def test_a_slip_is_told_and_words_nobody_has_together_find_any(shop: Shop) -> None:
    assert found(shop, "spaner").taken_as == {"spaner": ("spanner",)}
    answer = found(shop, "steam spanner")
    assert answer.any_word
    assert set(ids(answer)) == {"tank-lid", "shaft-seal"}


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("torque 20 to 24 N·m", {"drum-bearings"}),
        ("torque 25 to 26 N·m", {"drum-bearings", "shaft-seal"}),  # 18 to 20 lbf·ft is 24.4 to 27.1
        ("torque 16 to 18 ft-lbs", {"drum-bearings", "shaft-seal"}),
        ("90..110 Nm", {"tank-lid"}),
        ("torque 100 N·m", {"tank-lid"}),
        ("shaft torque 20 to 30 N·m", {"shaft-seal"}),
        ("min 101 N·m", set()),
        ("20 to 30 mm", set()),
    ],
)
def test_a_range_among_the_words_finds_limits_in_any_unit(
    shop: Shop, typed: str, wanted: set[str]
) -> None:
    assert set(ids(found(shop, typed))) == wanted


@pytest.mark.parametrize(
    ("filters", "wanted"),
    [
        ({"unit": "drying"}, {"drum-bearings"}),
        ({"unit": "dd4"}, {"drum-bearings"}),
        ({"states": ("approved",)}, {"drum-bearings"}),
        ({"parts": ("6203 2RS",)}, {"drum-bearings"}),
        ({"parts": ("seal",)}, {"shaft-seal"}),
        ({"tools": ("hook spanner",)}, {"shaft-seal"}),
        ({"supplies": ("g77",)}, {"tank-lid"}),
        ({"hazards": ("danger steam",)}, {"tank-lid"}),
        ({"hazards": ("danger gloves",)}, set()),
        ({"hold": True}, {"shaft-seal"}),
        ({"hold": False}, {"drum-bearings", "tank-lid"}),
        ({"author": "reed"}, {"drum-bearings"}),
        ({"changed_before": "2025-01-01"}, {"shaft-seal"}),
        ({"changed_since": "2026-03-01"}, {"drum-bearings"}),
        ({"unit": "%"}, set()),
        ({"parts": ("_",)}, set()),
    ],
)
def test_each_filter_keeps_what_it_says(shop: Shop, filters: Plain, wanted: set[str]) -> None:
    assert set(ids(found(shop, **filters))) == wanted


@pytest.mark.parametrize(
    "typed",
    ['"', "a AND", "NEAR(", "title:", "*", "guard*", "^guard", "-guard", "'; drop", "\ue000"],
)
def test_signs_of_the_engine_are_text(shop: Shop, typed: str) -> None:
    found(shop, typed)


def test_more_is_said_and_a_query_is_bounded(shop: Shop) -> None:
    assert found(shop, "refit guard", most=1).more
    with pytest.raises(InputError):
        read_query("word " * 41)
    with pytest.raises(InputError):
        read_query("x" * 3000)
    with pytest.raises(InputError, match="unit"):
        read_range("20 to 30 parsnips")


UNITS = ("N·m", "lbf·ft", "lbf·in", "kgf·cm", "N·cm")
NUMBERS = ("9.8", "10", "20.00", "22.127", "98.0665", "177", "271.16", "300")


def _limits() -> list[tuple[str, str | None, str | None, str]]:
    made = []
    for unit in UNITS:
        for row, low in enumerate(NUMBERS):
            high = None if row % 3 == 2 else str(Decimal(low) * 5 / 4)
            made.append((f"{len(made)}", low if row % 4 else None, high or low, unit))
    return made


LIMITS = {f"p{name}-x": rest for name, *rest in _limits()}


@pytest.fixture(scope="module")
def measured(database: str, tmp_path_factory: pytest.TempPathFactory) -> Shop:
    made = [procedure(name, "", torque(*rest)) for name, rest in LIMITS.items()]
    shop = shop_of(tmp_path_factory.mktemp("specs") / "shop", *made)
    assert len(ids(found(shop))) == len(LIMITS)
    for file in shop.procedures.glob("*/*.yaml"):
        os.utime(file, (1_700_000_000, 1_700_000_000))
    return shop


@settings(max_examples=60, deadline=None)
@given(low=st.sampled_from(NUMBERS), high=st.sampled_from(NUMBERS), unit=st.sampled_from(UNITS))
def test_the_filter_agrees_with_every_requirement_held_against_the_range(
    measured: Shop, low: str, high: str, unit: str
) -> None:
    if Fraction(low) > Fraction(high):
        low, high = high, low
    scale = all_units()[unit].factor
    least, most = Fraction(low) * scale, Fraction(high) * scale
    wanted = set()
    for name, (lower, upper, own) in LIMITS.items():
        values = [Fraction(one) * all_units()[own].factor for one in (lower, upper) if one]
        if max(values) >= least and min(values) <= most:
            wanted.add(name)
    said = f"torque {low} {unit}" if low == high else f"{low} to {high} {unit}"
    answer = found(measured, said)
    assert set(ids(answer)) == wanted, said


@given(st.text(max_size=8), st.text(max_size=8))
def test_slips_are_counted_alike_both_ways(one: str, other: str) -> None:
    assert edits_between(one, other, 3) == edits_between(other, one, 3)
    assert edits_between(one, one, 2) == 0


def test_slips_of_every_kind_count_one() -> None:
    for slip in ("baering", "bering", "beearing", "besring"):
        assert edits_between("bearing", slip, 2) == 1
    assert edits_between("bearing", "sealing", 2) == 2
    assert number_key("BW-101 / A") == "bw101a"


def test_a_damaged_procedure_leaves_the_others_to_be_found(tmp_path: Path, database: str) -> None:
    shop = shop_of(tmp_path / "shop", procedure("one-lid"), procedure("other-lid"))
    (shop.place_of("one-lid") / "procedure.yaml").write_text("schema: procedure/1\nid: [\n")
    assert ids(found(shop, "refit lid")) == ["other-lid"]
