"""What a technician types for a requirement is read as it was meant, or refused with a way out."""

from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.errors import InputError
from author.procedure.quantities import Limits, decimals_of, second_unit
from author.procedure.spec_entry import entry_text, read_entry, reading_text, text_of_spec
from author.procedure.specs import LimitSpec
from author.procedure.units import all_spellings, all_units
from document.published import ZONES, Published

READ = {
    "9.80..10.20 mm": ("9.80", None, "10.20", "mm"),
    "9.80 to 10.20 mm": ("9.80", None, "10.20", "mm"),
    "9.80 - 10.20 mm": ("9.80", None, "10.20", "mm"),
    "9.80–10.20mm": ("9.80", None, "10.20", "mm"),
    "9.80 mm … 10.20 mm": ("9.80", None, "10.20", "mm"),
    "between 5 and 6 mm": ("5", None, "6", "mm"),
    "min 5 max 6 mm": ("5", None, "6", "mm"),
    "22 ±2 lbf·ft": ("20", "22", "24", "lbf·ft"),
    "22 +-2 ft lb": ("20", "22", "24", "lbf·ft"),
    "22+/-2 foot-pounds": ("20", "22", "24", "lbf·ft"),
    "22 ft. lbs. ± 2": ("20", "22", "24", "lbf·ft"),
    "22.0 ±0.25 Nm": ("21.75", "22.0", "22.25", "N·m"),
    "22 plus or minus 2 N·m": ("20", "22", "24", "N·m"),
    "no less than 5 mm": ("5", None, None, "mm"),
    "not more than 5 mm": (None, None, "5", "mm"),
    "- 5..10 °C": ("-5", None, "10", "°C"),
    "5 in..6 in": ("5", None, "6", "in"),
    "22 (+1/-2) N·m": ("20", "22", "23", "N·m"),
    "22 +1/-2 N·m": ("20", "22", "23", "N·m"),
    "22 -2 +1 N·m": ("20", "22", "23", "N·m"),
    "40 +0.025/0 mm": ("40", "40", "40.025", "mm"),
    "40 -0.008/-0.033 mm": ("39.967", None, "39.992", "mm"),
    "22 N·m ±10 %": ("19.8", "22", "24.2", "N·m"),
    "20.00 ±10 % N·m": ("18.00", "20.00", "22.00", "N·m"),
    "95 ±2 %": ("93", "95", "97", "%"),
    "±0.2 mm": ("-0.2", "0", "0.2", "mm"),
    "max 0.10 mm": (None, None, "0.10", "mm"),
    "0.02 mm max": (None, None, "0.02", "mm"),
    "≤ 0.10 mm": (None, None, "0.10", "mm"),
    "min 5 mm": ("5", None, None, "mm"),
    "5 mm min.": ("5", None, None, "mm"),
    "at least 5 mm": ("5", None, None, "mm"),
    "max 5 min": (None, None, "5", "min"),
    "10.00 (9.80..10.30) mm": ("9.80", "10.00", "10.30", "mm"),
    "10.00 (max 10.30) mm": (None, "10.00", "10.30", "mm"),
    "9,80..10,20 mm": ("9.80", None, "10.20", "mm"),
    "0,125..0,130 in": ("0.125", None, "0.130", "in"),
    "1,250.5..1,300.5 mm": ("1250.5", None, "1300.5", "mm"),
    "1.250,5..1.300,5 mm": ("1250.5", None, "1300.5", "mm"),
    ".005...010 mm".replace("...", ".. ."): ("0.005", None, "0.010", "mm"),
    "1/4..3/8 in": ("0.25", None, "0.375", "in"),
    'max 1-1/2"': (None, None, "1.5", "in"),
    "max 1½ in": (None, None, "1.5", "in"),
    "-5 - -2 °C": ("-5", None, "-2", "°C"),
    "−5..+10 °C": ("-5", None, "10", "°C"),
}


def numbers(limits: Limits) -> tuple[str | None, ...]:
    three = (limits.lower, limits.nominal, limits.upper)
    return (*(None if v is None else format(v, "f") for v in three), limits.unit.symbol)


@pytest.mark.parametrize("typed", READ)
def test_what_is_typed_is_read_with_its_digits(typed: str) -> None:
    entry = read_entry(typed)
    assert numbers(entry.limits) == READ[typed]
    assert not entry.reference


@pytest.mark.parametrize(
    "typed", ["ref 3.0 mm", "about 3.0 mm", "3.0 mm ref", "(3.0) mm", "≈3.0mm"]
)
def test_a_number_for_information_is_a_reference(typed: str) -> None:
    entry = read_entry(typed)
    assert (numbers(entry.limits), entry.reference) == ((None, "3.0", None, "mm"), True)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("< 0.1 mm", "Read as max: a reading of exactly 0.1 mm is accepted"),
        ("> 5 mm", "Read as min: a reading of exactly 5 mm is accepted"),
        ("≤ 0.1 mm", ""),
        ("22 N·m ±10 %", "±10 % of 22 is ±2.2"),
        ("40 -0.008/-0.033 mm", "40 itself lies outside these limits"),
        ("40 N7", "Limits of 40 N7, ISO 286-2"),
        ("22 ±2 N·m", ""),
    ],
)
def test_what_was_not_typed_is_explained(typed: str, said: str) -> None:
    entry = read_entry(typed)
    assert entry.explanation == said
    assert not entry.reference


def test_a_strict_bound_is_read_as_a_limit() -> None:
    assert read_entry("< 0.1 mm").limits == read_entry("max 0.1 mm").limits


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("22 (20..24) Nm", "22 ±2 N·m"),
        ("22 ±2.0 Nm", "22 ±2.0 N·m"),
        ("22.0 (20..24) Nm", "22.0 (20..24) N·m"),
        ("22 +1/-2 Nm", "22 (20..23) N·m"),
        ("5 mm min", "min 5 mm"),
        ("approx. 3 mm", "ref 3 mm"),
        ("nom 3 mm", "nominal 3 mm"),
        ("-5 to -2 deg C", "−5..−2 °C"),
    ],
)
def test_the_form_the_program_writes(typed: str, shown: str) -> None:
    entry = read_entry(typed)
    assert entry_text(entry.limits, reference=entry.reference) == shown


REFUSED = {
    "": "no number",
    "10 mm": "ref 10 mm",
    "9.80..10.20": "no unit",
    "1,250..1,300 in": "1250 or 1.250",
    ".5...75 in": ".5..0.75",
    "10 -12 °C": "Write 10..12 or 10 +0/-12.",
    "10 -5 °C": "Write both limits or 10 +0/-5.",
    "22 +1/3 N·m": "22 +1/-2",
    "22 (+1 3) N·m": "do not make limits",
    "-5 -2 °C": "-5..-2",
    "22 +1 N·m": "22 +1/-0",
    "10.2..9.8 mm": "9.8..10.2 mm",
    "10..10 mm": "no tolerance",
    "10 ±0 mm": "no tolerance",
    "1 in..30 mm": "two units",
    "22 ±2 NM": "mean N·m?",
    "22 ±2 inchs": "mean in?",
    "1 250 mm max": "side by side",
    "1/3 in max": "decimal",
    "007 mm max": "plain number",
    "max 1e5 mm": "'e' is neither",
    "1e5 mm": "power of ten",
    "40 H7/n6": "40 H7 for the hole or 40 n6",
    "40 H7 in": "in mm",
    "40 Z99": "40 N7",
    "9.80..10.20 mm " * 20: "letters long",
    "max 1234567890123 mm": "twelve digits",
}


@pytest.mark.parametrize("typed", REFUSED)
def test_what_is_not_clear_is_refused_with_a_way_out(typed: str) -> None:
    with pytest.raises(InputError) as refused:
        read_entry(typed)
    assert REFUSED[typed] in str(refused.value)
    assert refused.value.problem and refused.value.remedy


def test_only_the_quantity_asked_for_is_taken() -> None:
    with pytest.raises(InputError, match="mm is a unit of length, not of torque"):
        read_entry("9.80..10.20 mm", quantity="torque")


@pytest.mark.parametrize(
    ("unit", "quantity", "remedy"),
    [
        (None, None, "Did you mean mm or N·m?"),
        ("in", None, "Did you mean mm?"),
        (None, "torque", "Did you mean N·m?"),
    ],
)
def test_a_slip_in_a_unit_is_read_by_what_is_asked_for(
    unit: str | None, quantity: str | None, remedy: str
) -> None:
    with pytest.raises(InputError) as found:
        read_entry("max 0.1 nm", None if unit is None else all_units()[unit], quantity)
    assert found.value.remedy == remedy


def test_the_unit_that_stood_there_is_taken_where_none_is_typed() -> None:
    assert read_entry("9.80..10.20", unit=all_units()["mm"]) == read_entry("9.80..10.20 mm")


@pytest.mark.parametrize("value", ZONES, ids=str)
def test_published_zones(value: Published) -> None:
    """Limits of ISO 286-2 as the sources of ``document.published`` print them."""
    entry = read_entry(value.given[0])
    size = Decimal("".join(c for c in value.given[0].split()[0] if c in "0123456789."))
    low, high = entry.limits.lower, entry.limits.upper
    assert low is not None and high is not None
    assert value.agrees((low - size) * 1000, (high - size) * 1000)
    assert "ISO 286" in entry.explanation
    assert list(entry.limits.values()) == sorted(entry.limits.values())


NUMBERS = st.decimals(min_value=-10**6, max_value=10**6, places=3) | st.decimals(
    min_value=-100, max_value=100, places=12
) | st.integers(-(10**11), 10**11).map(Decimal)  # fmt: skip


@given(
    st.lists(NUMBERS, min_size=3, max_size=3),
    st.tuples(st.booleans(), st.booleans(), st.booleans()).filter(any),
    st.sampled_from(sorted(all_units())),
    st.booleans(),
)
def test_typing_what_is_shown_changes_nothing(
    three: list[Decimal], kept: tuple[bool, bool, bool], symbol: str, reference: bool
) -> None:
    low, middle, high = (v if k else None for v, k in zip(sorted(three), kept, strict=True))
    if low is not None and low == high:
        high = None
    unit = all_units()[symbol]
    spec = LimitSpec(
        id="a", characteristic="A", quantity=unit.quantity, unit=symbol,
        lower=low, nominal=middle, upper=high, reference=reference,
    )  # fmt: skip
    entry = read_entry(text_of_spec(spec))
    assert numbers(entry.limits) == numbers(spec.limits())
    assert entry.reference == reference


def test_nothing_is_shown_for_no_number() -> None:
    assert entry_text(Limits(None, None, None, all_units()["mm"])) == ""


@given(st.sampled_from(sorted(all_spellings())), st.sampled_from([" ", ""]))
def test_every_spelling_of_a_unit_is_read(spelling: str, space: str) -> None:
    unit = all_units()[all_spellings()[spelling]]
    assert read_entry(f"1.5..2.5{space}{spelling}").limits.unit == unit
    assert read_entry(f"max 2.5{space}{spelling}").limits.unit == unit


@given(st.text(max_size=40) | st.text(alphabet="0123456789.,+-±/ ()mintoxrefN·lb°C", max_size=30))
def test_anything_typed_is_read_or_refused(typed: str) -> None:
    try:
        entry = read_entry(typed)
    except InputError as error:
        assert error.problem and error.remedy
        assert str(error) == " ".join(str(error).split())
    else:
        assert (
            read_entry(entry_text(entry.limits, reference=entry.reference)).limits == entry.limits
        )


# pint is the oracle: https://pint.readthedocs.io, its own definitions.
@pytest.mark.parametrize(
    ("typed", "ours", "theirs"),
    [
        ("9.80..10.20 mm", "mm", "inch"),
        ("22 ±2 lbf·ft", "force_pound * foot", "N * m"),
        ("0.3859..0.4015 in", "inch", "mm"),
        ("30..32 psi", "psi", "kPa"),
        ("20..25 °C", "degC", "degF"),
        ("3..4 US qt", "quart", "liter"),
    ],
)
def test_the_second_unit_lies_inside(typed: str, ours: str, theirs: str) -> None:
    registry = pint.UnitRegistry(non_int_type=Decimal)
    limits = read_entry(typed).limits
    second = second_unit(limits)
    assert second is not None
    for value, shown, rounding in (
        (limits.lower, second.lower, ROUND_CEILING),
        (limits.upper, second.upper, ROUND_FLOOR),
    ):
        assert value is not None and shown is not None
        # pint works with 28 digits; the last of them are not to be counted up.
        exact = round(registry.Quantity(value, ours).to(theirs).magnitude, 20)
        step = Decimal(1).scaleb(-decimals_of(shown))
        assert shown == exact.quantize(step, rounding)


def test_a_reading_shows_both_units() -> None:
    assert reading_text(read_entry("max 0.10 mm").limits) == "max 0.10 mm = max 0.0039 in"
    assert reading_text(read_entry("22 ±2 ft lb").limits) == (
        "22 (20 to 24) lbf·ft = 29.8 (27.2 to 32.5) N·m"
    )
    assert reading_text(read_entry("10.0 (max 10.5) mm").limits) == (
        "10.0 (max 10.5) mm = 0.394 (max 0.413) in"
    )
    assert reading_text(read_entry("10.0 (min 9.5) mm").limits) == (
        "10.0 (min 9.5) mm = 0.394 (min 0.375) in"
    )
    assert reading_text(read_entry("max 5 min").limits) == "max 5 min"
