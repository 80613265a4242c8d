"""Threads are read as shops write them; stress areas and strengths are the published ones."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.procedure.threads import proof_strength, read_thread
from author.procedure.units import all_units
from author.resources import load_table
from document.published import GRADES, PROOF_STRESSES, STRESS_AREAS, UNIFIED_AREAS, Published

SQUARE_INCH = Fraction("25.4") ** 2


@pytest.mark.parametrize("value", STRESS_AREAS, ids=str)
def test_published_metric_stress_areas(value: Published) -> None:
    assert value.agrees(read_thread(value.given[0]).stress_area)


@pytest.mark.parametrize("value", UNIFIED_AREAS, ids=str)
def test_published_unified_stress_areas(value: Published) -> None:
    assert value.agrees(Fraction(read_thread(value.given[0]).stress_area) / SQUARE_INCH)


@pytest.mark.parametrize("value", PROOF_STRESSES, ids=str)
def test_published_proof_stresses(value: Published) -> None:
    thread, name = value.given
    found = proof_strength(read_thread(thread), name)
    assert value.agrees(found.proof)
    assert found.basis == f"ISO 898-1, class {name}"


@pytest.mark.parametrize("value", GRADES, ids=str)
def test_published_strength_of_grades(value: Published) -> None:
    thread, grade = value.given
    found = proof_strength(read_thread(thread), grade)
    assert value.agrees(Fraction(found.proof) * 10**6 / all_units()["psi"].factor)
    assert found.basis == f"SAE J429, grade {grade}"


# --- reading ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "designation", "diameter", "pitch"),
    [
        ("M16 x 1.5", "M16 × 1.5", "16", "1.5"),
        ("M16×1.5", "M16 × 1.5", "16", "1.5"),
        ("M16 × 1.5 LH", "M16 × 1.5", "16", "1.5"),
        ("M8", "M8", "8", "1.25"),
        ("m8", "M8", "8", "1.25"),
        ("M8-6g", "M8", "8", "1.25"),
        ("M8 x 1.25 - 6H", "M8", "8", "1.25"),
        ("M10-1.5", "M10", "10", "1.5"),
        ("M8 x 1.0", "M8 × 1", "8", "1"),
        ("M17 x 1", "M17 × 1", "17", "1"),
        ("1/4-20 UNC", "1/4-20 UNC", "6.35", "1.27"),
        ('1/4" - 20', "1/4-20 UNC", "6.35", "1.27"),
        (".250-20 UNC 2A", "1/4-20 UNC", "6.35", "1.27"),
        ("3/8-24 UNF", "3/8-24 UNF", "9.525", "25.4/24"),
        ("1/2-13", "1/2-13 UNC", "12.7", "25.4/13"),
        ("1 1/8-7 UNC", "1 1/8-7 UNC", "28.575", "25.4/7"),
        ("1-1/8-7", "1 1/8-7 UNC", "28.575", "25.4/7"),
        ("10-32", "#10-32 UNF", "4.826", "0.79375"),
        ("#10-32 UNF-2A", "#10-32 UNF", "4.826", "0.79375"),
        ("No. 10-24", "#10-24 UNC", "4.826", "25.4/24"),
        ("8-32", "#8-32 UNC", "4.1656", "0.79375"),
        ("1-64", "#1-64 UNC", "1.8542", "0.396875"),
        ("1-8", "1-8 UNC", "25.4", "3.175"),
        ("1-14 UNS", "1-14 UNS", "25.4", "25.4/14"),
    ],
)
def test_designations(text: str, designation: str, diameter: str, pitch: str) -> None:
    found = read_thread(text)
    top, _, bottom = pitch.partition("/")
    assert (found.designation, str(found.diameter)) == (designation, diameter)
    assert found.pitch == Fraction(top) / Fraction(bottom or "1")
    assert found.system == ("metric" if designation.startswith("M") else "unified")
    assert read_thread(found.designation) == found


@pytest.mark.parametrize(
    ("text", "said"),
    [("", "write it like"), ("G 1/4", "write it like"), ("M8x1,25", "write it like"),
     ("M8 x 40", "without a length"), ("M8 x 1.25 x 40", "without a length"), ("M8-6", "pitch"),
     ("M17", "give the pitch"), ("M0", "give the pitch"), ("M16 x 0", "pitch"),
     ("1/4-20 UNF", "28 threads an inch"), ("#10-20 UNC", "24 threads an inch"),
     ("3/16-24 UNC", "no such size"), ("1/4-21", "add UNS"), ("1/4-1 UNS", "pitch"),
     ("#13-20 UNS", "from #0 to #12"), ("1/0-20", "write it like"), ("0/4-20 UNS", "pitch"),
     ("M٨", "write it like"), ("M" * 5000, "write it like")],
)  # fmt: skip
def test_what_is_no_thread_is_refused(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=said) as caught:
        read_thread(text)
    assert len(str(caught.value)) < 200


@given(st.text(st.sampled_from("M#0123456789/-.x× UNCFS'\"gH"), max_size=16))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        found = read_thread(text)
    except ValueError:
        return
    assert found.diameter > 0
    assert 0 < found.pitch < Fraction(found.diameter)
    assert 0 < found.stress_area < found.diameter**2


def test_every_thread_of_the_tables_can_be_read() -> None:
    tables = load_table("threads.yaml")
    for diameter, pitch in tables["metric_coarse_pitch"].items():
        assert read_thread(f"M{diameter}").pitch == Fraction(pitch)
    for series in ("unified_coarse", "unified_fine"):
        for size, threads in tables[series].items():
            found = read_thread(f"{size}-{threads}")
            assert found.pitch == Fraction("25.4") / Fraction(threads)
            assert found.designation.endswith({"unified_coarse": "UNC"}.get(series, "UNF"))


# --- strengths ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("thread", "name", "proof", "basis"),
    [
        ("M16", "class 8.8", "580", "ISO 898-1, class 8.8"),
        ("M16 x 1.5", "8", "580", "ISO 898-1, class 8.8, named by nut class 8"),
        ("M20", "Nut class 8", "600", "ISO 898-1, class 8.8, named by nut class 8"),
        ("M12", "10", "830", "ISO 898-1, class 10.9, named by nut class 10"),
        ("1/2-13", "SAE J429 Grade 8", "827.3709", "SAE J429, grade 8"),
        ("1-8", "gr. 5", "586.0544", "SAE J429, grade 5"),
    ],
)
def test_strengths(thread: str, name: str, proof: str, basis: str) -> None:
    found = proof_strength(read_thread(thread), name)
    assert (str(found.proof), found.basis) == (proof, basis)


@pytest.mark.parametrize(
    ("thread", "name", "said"),
    [("M8", "Grade 5", "ISO 898-1"), ("M8", "A2-70", "ISO 898-1"), ("M8", "4", "ISO 898-1"),
     ("M20", "9.8", "ISO 898-1"), ("M42 x 3", "8.8", "to M39"), ("1/2-13", "8.8", "SAE J429"),
     ("10-32", "8", "1/4 to 1 1/2 in"), ("1/2-13", "7", "SAE J429"), ("M8", "", "ISO 898-1")],
)  # fmt: skip
def test_strengths_that_are_not_known_are_refused(thread: str, name: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        proof_strength(read_thread(thread), name)


def test_classes_split_at_their_diameter() -> None:
    """8.8 carries 580 to 16 mm and 600 above (ISO 898-1) [S]; J429 grade 5 less over 1 in [S]."""
    assert proof_strength(read_thread("M16"), "8.8").proof == Decimal(580)
    assert proof_strength(read_thread("M17 x 1"), "8.8").proof == Decimal(600)
    larger = proof_strength(read_thread("1 1/8-7"), "5").proof
    assert larger < proof_strength(read_thread("1-8"), "5").proof
