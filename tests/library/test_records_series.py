"""Readings through all jobs: limits of their time, exact units, signs of a drift, the chart."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.errors import InputError
from author.library.records.run_rules import FEWEST, Sign, centre_of, signs_in, words_of
from author.library.records.run_series import exact_in, shown_in
from author.library.shop import Shop
from author.procedure.units import all_units
from author.tasks.library_records import readings, spec_list
from author.tasks.run_chart import chart_words, run_chart

from .record_samples import NAME, content_of, job, lid, lid_shop, next_revision, reading, sent
from .shops import Plain, spec

# NIST/SEMATECH e-Handbook 6.3.2.2, flow rates of ten batches: mean 50.81, mean moving range
# 1.8778, limits 55.8041 and 45.8159; the handbook calls the process in control. Read in public
# test suites that cite itl.nist.gov/div898/handbook/pmc/section3/pmc322.htm, not on the page.
FLOW = [
    Fraction(one)
    for one in ("49.6", "47.6", "49.9", "51.3", "47.8", "51.2", "52.6", "52.4", "53.6", "52.1")
]


def test_the_handbooks_example_of_individuals() -> None:
    centre = centre_of(FLOW)
    assert centre is not None
    assert centre.sigma is not None
    assert centre.lower is not None
    assert centre.upper is not None
    assert round(float(centre.mean), 2) == 50.81
    assert round(float(centre.sigma) * 1.128, 4) == 1.8778
    assert (round(float(centre.upper), 4), round(float(centre.lower), 4)) == (55.8041, 45.8159)
    assert signs_in(FLOW) == ()


def test_a_batch_beyond_the_handbooks_limits_is_a_sign() -> None:
    """The centre moves with the eleventh batch, so it is held against the widened limits."""
    far = signs_in([*FLOW, Fraction(70)])
    assert ("beyond", "above", 10, 10) in [(s.rule, s.side, s.first, s.last) for s in far]


def values(text: str) -> list[Fraction]:
    return [Fraction(one) for one in text.split()]


@pytest.mark.parametrize(
    "text, told",
    [
        # Six in a row trending (6.3.2); five are none.
        ("1 2 3 4 5 6", [("trend", "rising", 0, 5)]),
        ("6 5 4 3 2 1", [("trend", "falling", 0, 5)]),
        ("1 2 3 4 5 5 6", []),
        ("1 2 3 4 5", []),
        # Eight in a row on one side of the mean; seven are none, and one on it breaks the run.
        ("0 " * 8 + "4 4", [("run", "below", 0, 7)]),
        ("0 " * 7 + "4 4", []),
        # The mean is 2, and the value on it belongs to no side.
        ("1 1 1 1 2 1 1 1 1 4 4 4 4", []),
    ],
)
def test_the_rules_as_they_are_worded(text: str, told: list[tuple[str, str, int, int]]) -> None:
    found = [(s.rule, s.side, s.first, s.last) for s in signs_in(values(text))]
    assert [one for one in found if one[0] in {"trend", "run"}] == told


def test_zones_count_the_last_value_and_wait_for_enough_of_them() -> None:
    steady = [Fraction(n % 2) for n in range(20)]  # mean 0.5, sigma 1/1.128
    high = [*steady, Fraction(3), Fraction(0), Fraction(3)]
    found = {(s.rule, s.last) for s in signs_in(high)}
    assert ("two_of_three", 22) in found
    short = [*values("0 1 0 1 0 1"), Fraction(9)]
    assert len(short) < FEWEST
    assert signs_in(short) == ()
    wide = [*steady, *values("2 2 2 0 2")]
    assert ("four_of_five", 24) in {(s.rule, s.last) for s in signs_in(wide)}


SERIES = st.lists(st.integers(0, 40).map(lambda n: Fraction(n, 7)), max_size=30)


@given(SERIES)
def test_turned_over_the_signs_turn_over(some: list[Fraction]) -> None:
    turn = {"above": "below", "below": "above", "rising": "falling", "falling": "rising"}
    plain = [Sign(s.rule, turn[s.side], s.first, s.last) for s in signs_in(some)]
    assert sorted(plain, key=repr) == sorted(signs_in([-one for one in some]), key=repr)


@given(SERIES, st.integers(1, 9), st.integers(-9, 9))
def test_another_unit_changes_no_sign(some: list[Fraction], factor: int, offset: int) -> None:
    assert signs_in([one * factor + offset for one in some]) == signs_in(some)


@given(SERIES)
def test_every_sign_is_what_it_says(some: list[Fraction]) -> None:
    centre = centre_of(some)
    for one in signs_in(some):
        assert centre is not None
        part = some[one.first : one.last + 1]
        assert words_of(one)
        if one.rule == "trend":
            assert len(part) >= 6
            assert all((b > a) == (one.side == "rising") and a != b for a, b in pairwise(part))
        elif one.rule == "run":
            assert len(part) >= 8
            assert all((v > centre.mean) == (one.side == "above") for v in part)
            assert centre.mean not in part


# --- units ---


@given(st.decimals(-1000, 1000, places=3), st.sampled_from(["lbf·ft", "lbf·in", "N·m", "kgf·m"]))
def test_conversion_is_exact_and_comes_back(value: Decimal, symbol: str) -> None:
    read, unit = all_units()[symbol], all_units()["N·m"]
    there = exact_in(value, read, unit)
    assert there / unit.factor * unit.factor == there
    assert read.from_si(unit.factor * there + unit.offset) == Fraction(value)
    shown = shown_in(value, read, unit)
    assert abs(Fraction(shown) - there) <= Fraction(1, 1000) * read.factor / unit.factor / 2 or (
        symbol == "N·m" and Fraction(shown) == there
    )


def test_published_torques_come_out() -> None:
    """TM 9-2320-362-14&P, table F-1: 26 lb-ft is 35 N·m, 130 is 176, 635 is 861."""
    read, unit = all_units()["lbf·ft"], all_units()["N·m"]
    for pounds, newtons in ((26, 35), (130, 176), (635, 861)):
        assert round(exact_in(Decimal(pounds), read, unit)) == newtons
    assert shown_in(Decimal("4.50"), unit, unit) == Decimal("4.50")
    assert str(shown_in(Decimal("4.50"), unit, unit)) == "4.50"


def test_differences_of_temperature_have_no_offset() -> None:
    """NIST SP 811: a difference of 10 °F is 5.5556 °C; 98.6 °F is 37 °C."""
    fahrenheit, celsius = all_units()["°F"], all_units()["°C"]
    assert exact_in(Decimal("98.6"), fahrenheit, celsius) == 37
    steps = [one for one in all_units().values() if one.quantity == "temperature_difference"]
    kelvin = next(one for one in steps if one.symbol == "K")
    assert exact_in(Decimal(10), fahrenheit, kelvin) == Fraction(50, 9)


# --- the series of a library ---


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return lid_shop(tmp_path / "shop")


def inch(plain: Plain) -> None:
    """Let the gap be given in inches, tighter than before."""
    spec(plain).update(unit="in", lower="0.200", upper="0.230")
    plain["tools"][0].update(measures="in", range_to="6", resolution="0.001")


def test_every_reading_stands_with_the_limits_of_its_revision_in_one_unit(shop: Shop) -> None:
    sent(shop, job(content_of(shop), 1, readings=[reading("5.00")]))
    sent(shop, job(content_of(shop), 2, readings=[reading("0.20") | {"unit": "in"}]))
    next_revision(shop, lid(inch, revision=2))
    second = {"procedure": {"id": NAME, "revision": 2}}
    content = content_of(shop)
    sent(shop, job(content, 3, **second, readings=[reading("0.215") | {"unit": "in"}]))
    sent(shop, job(content, 4, **second, readings=[reading("5.00", "reject", reaction="Moved")]))
    series = readings(shop.folder, NAME, "gap").value
    assert series.unit.symbol == "in"
    points = [(str(one.shown), one.unit, one.verdict) for one in series.points]
    assert points == [
        ("0.1969", "mm", "accept"), ("0.20", "in", "accept"),
        ("0.215", "in", "accept"), ("0.1969", "mm", "reject"),
    ]  # fmt: skip
    assert series.points[0].exact == Fraction(500, 2540)
    limits = [(job_.revision, job_.lower and job_.lower.exact) for job_ in series.jobs]
    assert limits == [(1, Fraction(450, 2540))] * 2 + [(2, Fraction(1, 5))] * 2
    first = series.jobs[0]
    assert first.lower is not None
    assert first.upper is not None
    # Shown in inches the older limits are no wider than they were.
    assert first.lower.shown >= Decimal("4.50") / Decimal("25.4")
    assert first.upper.shown <= Decimal("6.00") / Decimal("25.4")


def test_superseded_readings_count_for_nothing_and_positions_weigh_as_one_job(shop: Shop) -> None:
    def several(plain: Plain) -> None:
        spec(plain)["positions"] = ["front", "rear"]

    shop_of = lid_shop(shop.folder.with_name("two"), lid(several))
    content = content_of(shop_of)
    for day in range(1, 8):
        front, rear = f"4.6{day}", f"5.6{day}"
        rows = [
            reading("4.40", "reject", position="front", superseded=True, reaction="Moved"),
            reading(front, position="front"),
            reading(rear, position="rear"),
        ]
        sent(shop_of, job(content, day, readings=rows))
    series = readings(shop_of.folder, NAME, "gap").value
    means = [one.mean for one in series.jobs]
    assert means == [Fraction(f"5.1{day}") for day in range(1, 8)]
    assert series.mean == Decimal("5.140")
    assert series.sign_words() == (
        "Means of jobs: 7 in a row are rising, from 2026-03-01 to 2026-03-07",
    )
    assert sum(one.superseded for one in series.points) == 7
    newest = readings(shop_of.folder, NAME, "gap", most=3).value
    assert newest.left_out == ("4 jobs before the newest 3",)
    assert [one.mean for one in newest.jobs] == means[-3:]
    one_place = readings(shop_of.folder, NAME, "gap", position="rear").value
    assert {one.position for one in one_place.points} == {"rear"}
    listed = spec_list(shop_of.folder).value
    assert [(one.spec, one.readings, one.rejected) for one in listed] == [("gap", 14, 0)]


def test_as_found_and_as_left_and_real_work_and_demo_are_kept_apart(shop: Shop) -> None:
    content = content_of(shop)
    rows = [reading("4.70", phase="as_found"), reading("5.00")]
    sent(shop, job(content, 1, readings=rows))
    sent(shop, job(content, 2, readings=[reading("5.20")], data="shop"))
    sent(shop, job(content, 3, readings=rows))
    series = readings(shop.folder, NAME, "gap").value
    assert (series.phase, [str(one.shown) for one in series.points]) == ("as_left", ["5.00"] * 2)
    assert series.left_out == ("1 reading is not of invented demo data",)
    found = readings(shop.folder, NAME, "gap", phase="as_found").value
    assert [str(one.shown) for one in found.points] == ["4.70"] * 2
    with pytest.raises(InputError, match="no record in the library has a reading"):
        readings(shop.folder, NAME, "bore")


# --- the chart ---

NASTY = "$\\frac{a}{b}$ </text><script>alert(1)</script> & 螺"


def chart_of(shop: Shop) -> tuple[bytes, ET.Element]:
    data = run_chart(readings(shop.folder, NAME, "gap").value)
    return data, ET.fromstring(data)  # noqa: S314 - our own


def test_the_chart_is_the_same_bytes_with_its_text_as_text(shop: Shop) -> None:
    for day in range(1, 4):
        sent(shop, job(content_of(shop), day))
    data, drawing = chart_of(shop)
    assert data == run_chart(readings(shop.folder, NAME, "gap").value)
    told = " ".join(drawing.itertext())
    for words in ("Gap to the pulley", "lower limit 4.50", "upper limit 6.00", "2026-03-02",
                  "demo data", "Accepted"):  # fmt: skip
        assert words in told
    assert b"<dc:date>" not in data


def test_what_a_record_says_stays_text_in_the_chart(tmp_path: Path) -> None:
    shop = lid_shop(tmp_path / "shop", lid(lambda plain: spec(plain).update(characteristic=NASTY)))
    sent(shop, job(content_of(shop)))
    data, drawing = chart_of(shop)
    assert NASTY[:20] in " ".join(drawing.itertext())
    assert {one.tag.rpartition("}")[2] for one in drawing.iter()}.isdisjoint({"script", "image"})
    assert b"<script" not in data


def test_a_reading_that_was_taken_back_does_not_set_the_scale(shop: Shop) -> None:
    slip = reading("540.00", "reject", superseded=True, note="Mistyped", reaction="Taken back")
    sent(shop, job(content_of(shop), readings=[slip, reading("5.40")]))
    _, drawing = chart_of(shop)
    told = " ".join(drawing.itertext())
    assert "540.00 ↑" in told
    assert "5.40 ↑" not in told
    assert {"4.50", "5.00", "5.50", "6.00"} <= {one[:4] for one in told.split()}
    assert re.search(r"\b[1-9]\d\d\b(?!\.00 ↑)", re.sub(r"2026-\d\d-\d\d", "", told)) is None


@pytest.mark.parametrize("slip", ["540.00", "0.54"])
def test_what_stands_at_the_edge_is_not_written_over_a_limit(shop: Shop, slip: str) -> None:
    wrong = reading(slip, "reject", superseded=True, note="Mistyped", reaction="Taken back")
    sent(shop, job(content_of(shop), readings=[wrong, reading("5.40")]))
    _, drawing = chart_of(shop)
    at = {one.text: float(one.get("y", "0")) for one in drawing.iter() if one.get("y")}
    told = next(y for words, y in at.items() if words and words.startswith(slip))
    letters = 10
    assert all(abs(told - y) > letters for words, y in at.items() if "limit" in (words or ""))


def shapes(drawing: ET.Element) -> dict[str, int]:
    """Return how many marks of each shape a drawing has, by the path they repeat."""
    space = {"s": "http://www.w3.org/2000/svg"}
    found: dict[str, int] = {}
    for group in drawing.iterfind(".//s:g", space):
        if re.fullmatch(r"PathCollection_\d+", group.get("id", "")):
            path = group.find(".//s:path", space)
            if path is not None:
                key = re.sub(r"[-0-9. \n]", "", path.get("d", ""))
                uses = len(group.findall(".//s:use", space)) or 1
                found[key] = found.get(key, 0) + uses
    return found


def test_rejected_readings_have_a_shape_of_their_own_and_superseded_ones_are_hollow(
    shop: Shop,
) -> None:
    content = content_of(shop)
    sent(shop, job(content, 1))
    _, plain = chart_of(shop)
    rows = [
        reading("4.40", "reject", superseded=True, reaction="Moved"),
        reading("6.40", "reject", reaction="Stopped"),
    ]
    sent(shop, job(content, 2, readings=rows))
    data, drawing = chart_of(shop)
    assert len(shapes(plain)) == 1
    assert set(shapes(plain)) < set(shapes(drawing))
    told = " ".join(drawing.itertext())
    assert "Rejected, not counted" in told
    assert "fill: none; stroke: #9b2423" in data.decode()
    assert "1 rejected" in chart_words(readings(shop.folder, NAME, "gap").value)
