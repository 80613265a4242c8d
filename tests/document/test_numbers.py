"""Numbers keep their digits, and a second unit never widens a tolerance."""

from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from author.checks.limits import si_values
from author.procedure.quantities import (
    Limits,
    convert,
    decimals_of,
    read_number,
    round_fraction,
    second_unit,
)
from author.procedure.specs import LimitSpec
from author.procedure.units import all_quantities, all_units, find_unit

UNITS = all_units()


@pytest.mark.parametrize(
    "text", ["4.50", "0", "-0.5", "9.80", "100", "0.000001", "123456789012.123456789012"]
)
def test_digits_are_kept(text: str) -> None:
    assert format(read_number(text), "f") == text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1,250", "1250 or 1.250"),
        ("-12,500", "-12500 or -12.500"),
        ("4,5", "decimal point"),
        ("1,250.5", "no grouping"),
        ("1,250,000", "no grouping"),
        ("1.250,5", "no grouping"),
        ("," * 500, "no grouping"),
    ],
)
def test_comma_is_never_guessed_at(text: str, said: str) -> None:
    with pytest.raises(ValueError, match="comma") as caught:
        read_number(text)
    assert said in str(caught.value)
    assert len(str(caught.value)) < 200


@pytest.mark.parametrize(
    "text",
    ["", "1e3", "1E-3", "NaN", "Infinity", "-", "+1", ".5", "5.", "05", "1 000", "1_000", "0x10",
     "½", "١٢", "1.5\n", " 1", "1.5.2", "--1", "9" * 13, "0." + "1" * 13, "9" * 5000],
)  # fmt: skip
def test_what_is_no_plain_number_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="plain decimal number"):
        read_number(text)


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**11), max_value=10**11,
                   places=6))  # fmt: skip
def test_any_decimal_comes_back(value: Decimal) -> None:
    text = format(value, "f")
    assert format(read_number(text), "f") == text


# --- factors ------------------------------------------------------------------------------

# NIST SP 811 (2008), appendices B.8 and B.9, as printed; marks say how each was seen:
# [S] on a page of the source, [S2] in a second copy, [M] from memory.
NIST = [
    ("in", "2.54E-02"),  # [S]
    ("ft", "3.048E-01"),  # [S]
    ("lb", "4.5359237E-01"),  # [S2]
    ("lbf", "4.448222E+00"),  # [S]
    ("lbf·ft", "1.355818E+00"),  # [S2]
    ("lbf·in", "1.129848E-01"),  # [S2]
    ("psi", "6.894757E+03"),  # [S2]
    ("US fl oz", "2.957353E-05"),  # [S]
    ("US qt", "9.463529E-04"),  # digits [M]
    ("US gal", "3.785412E-03"),  # [S]
]


@pytest.mark.parametrize(("symbol", "printed"), NIST)
def test_factor_agrees_with_nist_sp_811(symbol: str, printed: str) -> None:
    decimals = decimals_of(Decimal(printed))
    assert round_fraction(UNITS[symbol].factor, decimals) == Decimal(printed)


def test_derived_factors_are_exact() -> None:
    inch, foot = Fraction("0.0254"), Fraction("0.3048")
    force = Fraction("0.45359237") * Fraction("9.80665")  # pound and standard gravity, exact
    assert UNITS["lbf"].factor == force
    assert UNITS["lbf·ft"].factor == force * foot
    assert UNITS["lbf·in"].factor == force * inch
    assert UNITS["psi"].factor == force / inch**2
    assert UNITS["oz"].factor == Fraction("0.45359237") / 16
    assert UNITS["US gal"].factor == 231 * inch**3  # 231 cubic inches
    assert UNITS["US qt"].factor == UNITS["US gal"].factor / 4
    assert UNITS["US fl oz"].factor == UNITS["US gal"].factor / 128


PINT_NAMES = {
    "°": "degree", "N·m": "newton*meter", "N·cm": "newton*centimeter", "lbf·ft": "lbf*foot",
    "lbf·in": "lbf*inch", "°C": "degC", "°F": "degF", "K": "delta_degC", "US fl oz": "floz",
    "US qt": "quart", "US gal": "gallon", "r/min": "rpm", "Ω": "ohm", "kΩ": "kiloohm",
    "in": "inch", "ft": "foot", "m": "meter", "%": "percent", "h": "hour", "min": "minute",
}  # fmt: skip
PINT_SI = {"N·m": "newton*meter", "m³": "meter**3", "Ω": "ohm", "1": "", "rad/s": "radian/second",
           "K": "kelvin"}  # fmt: skip


@pytest.mark.parametrize("symbol", [s for s in UNITS if s not in {"pcs", "turn"}])
def test_every_unit_agrees_with_pint(symbol: str) -> None:
    unit = UNITS[symbol]
    registry = pint.get_application_registry()
    si = "delta_degC" if symbol == "K" else PINT_SI.get(unit.si, unit.si)
    for value in (0, 1, 250):
        theirs = registry.Quantity(value, PINT_NAMES.get(symbol, symbol)).to(si).magnitude
        assert float(unit.to_si(Decimal(value))) == pytest.approx(theirs, rel=1e-12, abs=1e-12)


def test_table_of_units_holds_together() -> None:
    for unit in UNITS.values():
        assert unit.quantity in all_quantities()
        assert unit.si == all_quantities()[unit.quantity]
        assert find_unit(unit.symbol) is unit
        if unit.second is not None:
            assert UNITS[unit.second].quantity == unit.quantity
    assert {unit.quantity for unit in UNITS.values()} == set(all_quantities())


@pytest.mark.parametrize(
    ("spelling", "symbol"),
    [("Nm", "N·m"), ("ft-lb", "lbf·ft"), ("um", "µm"), ("μm", "µm"), ("mils", "thou"),
     ("lbf/in²", "psi"), ("rpm", "r/min"), ("litre", "L"), ("Ω", "Ω"), ("newton  metre", "N·m"),
     ("N\N{DOT OPERATOR}m", "N·m"), ("US  qt", "US qt"), ('"', "in")],
)  # fmt: skip
def test_usual_spellings_are_understood(spelling: str, symbol: str) -> None:
    found = find_unit(spelling)
    assert found is not None
    assert found.symbol == symbol


def test_no_spelling_means_two_units() -> None:
    from author.resources import load_table

    seen: dict[str, str] = {}
    for symbol, entry in load_table("units.yaml")["units"].items():
        for spelling in {symbol, *entry["spellings"]}:
            assert seen.setdefault(spelling, symbol) == symbol, spelling
    assert find_unit("furlong") is None
    assert find_unit("MM") is None


# --- rounding of limits -------------------------------------------------------------------


def limits(lower: str | None, upper: str | None, unit: str, nominal: str | None = None) -> Limits:
    numbers = [None if text is None else Decimal(text) for text in (lower, nominal, upper)]
    return Limits(*numbers, unit=UNITS[unit])


# Digits the nine-tenths rule and the source agree on. lower, upper, unit -> other unit.
SAME_DIGITS = [
    # tec-ease.com, tip 65, after ASME Y14.5M-1994 and ANSI/IEEE 268 [S]
    ("10.7", "11.3", "mm", "in", "0.422", "0.444"),
    # FAA AC 43.13-1B (1998), table 7-1 [S], exact factors, rounded inward [C]
    ("20", "25", "lbf·in", "N·m", "2.26", "2.82"),
    # 0.250 to 0.254 in [C]
    ("0.250", "0.254", "in", "mm", "6.35", "6.45"),
    # 30 to 35 lbf·ft [C]
    ("30", "35", "lbf·ft", "N·m", "40.7", "47.4"),
]


@pytest.mark.parametrize(("lower", "upper", "unit", "other", "low", "high"), SAME_DIGITS)
def test_published_limits_in_a_second_unit(
    lower: str, upper: str, unit: str, other: str, low: str, high: str
) -> None:
    found = convert(limits(lower, upper, unit), UNITS[other])
    assert (str(found.lower), str(found.upper)) == (low, high)


# FAA AC 43.13-1B (1998), table 7-1, lbf·in [S]; N·m to two decimals, inward [C].
AC_43_13 = [
    ("20", "25", "2.26", "2.82"),
    ("50", "70", "5.65", "7.90"),
    ("100", "140", "11.30", "15.81"),
    ("160", "190", "18.08", "21.46"),
]


@pytest.mark.parametrize(("lower", "upper", "low", "high"), AC_43_13)
def test_torque_ranges_at_two_decimals_and_by_our_rule(
    lower: str, upper: str, low: str, high: str
) -> None:
    factor = UNITS["lbf·in"].factor
    exact = [Fraction(lower) * factor, Fraction(upper) * factor]
    assert str(round_fraction(exact[0], 2, "ROUND_CEILING")) == low
    assert str(round_fraction(exact[1], 2, "ROUND_FLOOR")) == high
    ours = convert(limits(lower, upper, "lbf·in"), UNITS["N·m"])
    assert ours.lower is not None
    assert ours.upper is not None
    # Ours may take fewer decimals, and then lies inside.
    assert Decimal(low) <= ours.lower < ours.upper <= Decimal(high)


# AC 43.13-1B, table 7-1, the rest of the tension nuts, fine and coarse, and shear nuts [S].
MORE_AC = ["12-15", "450-500", "480-690", "800-1000", "1100-1300", "2300-2500", "30-40", "60-85",
           "95-110", "290-410", "40-50", "80-90", "160-185", "400-480"]  # fmt: skip


@pytest.mark.parametrize("both", MORE_AC)
def test_more_torque_ranges_stay_inside(both: str) -> None:
    lower, upper = both.split("-")
    before = limits(lower, upper, "lbf·in")
    _assert_inside(before, convert(before, UNITS["N·m"]))


# TM 9-2320-362-14&P, table F-1 [S]: lb-ft and the N·m printed beside it.
DUAL = [(26, 35), (43, 58), (65, 88), (90, 122), (130, 176), (185, 251), (440, 597), (635, 861),
        (343, 465), (225, 305)]  # fmt: skip
# The same table where it is off by itself: true 406.7, 28.5, 569.4 [C].
DUAL_WRONG = [(300, 408), (21, 29), (420, 570)]


@pytest.mark.parametrize(("pounds", "newtons"), DUAL)
def test_published_dual_unit_table(pounds: int, newtons: int) -> None:
    assert round_fraction(UNITS["lbf·ft"].to_si(Decimal(pounds)), 0) == newtons


@pytest.mark.parametrize(("pounds", "newtons"), DUAL_WRONG)
def test_published_table_where_it_contradicts_itself(pounds: int, newtons: int) -> None:
    assert round_fraction(UNITS["lbf·ft"].to_si(Decimal(pounds)), 0) != newtons


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [("98.6", "37"), ("212", "100"), ("-40", "-40"), ("32", "0")],  # NIST SP 811, app. B [S2]
)
def test_temperatures(fahrenheit: str, celsius: str) -> None:
    assert UNITS["°C"].from_si(UNITS["°F"].to_si(Decimal(fahrenheit))) == Fraction(celsius)
    assert UNITS["°F"].from_si(UNITS["°C"].to_si(Decimal(celsius))) == Fraction(fahrenheit)


def test_psi() -> None:
    # 1 psi = 6894.757293168361 Pa [C]
    assert float(UNITS["psi"].factor) == pytest.approx(6894.757293168361, rel=1e-15)


@pytest.mark.parametrize(
    ("value", "decimals", "rounded"),
    # ASME A112.18.1-2018, annex A.2 [S]; US Army rounding text, MM0440 [S]
    [("1.655000", 2, "1.66"), ("1.625000", 2, "1.62"), ("60.25132", 1, "60.3")],
)
def test_half_goes_to_even(value: str, decimals: int, rounded: str) -> None:
    assert str(round_fraction(Fraction(value), decimals)) == rounded


def test_no_tolerance_is_refused() -> None:
    # 22 lbf·ft is 29.828 N·m: inward rounding would turn it over [C].
    with pytest.raises(ValueError, match="no tolerance"):
        convert(limits("22", "22", "lbf·ft"), UNITS["N·m"])
    with pytest.raises(ValueError, match="no tolerance"):
        convert(limits("23", "22", "lbf·ft"), UNITS["N·m"])
    with pytest.raises(ValueError, match="different quantities"):
        convert(limits("22", "23", "lbf·ft"), UNITS["mm"])


def test_single_limits_are_rounded_to_the_safe_side() -> None:
    assert convert(limits("10.7", None, "mm"), UNITS["in"]).lower == Decimal("0.422")
    assert convert(limits(None, "11.3", "mm"), UNITS["in"]).upper == Decimal("0.444")


def test_nominal_at_a_limit_is_not_rounded_past_it() -> None:
    # 10.70 mm is 0.42125… in: nearest would be 0.421, below the lower limit 0.422.
    found = convert(limits("10.7", "11.3", "mm", nominal="10.7"), UNITS["in"])
    assert found.nominal == found.lower == Decimal("0.422")
    found = convert(limits("10.7", "11.3", "mm", nominal="11.3"), UNITS["in"])
    assert found.nominal == found.upper == Decimal("0.444")


def _assert_inside(before: Limits, after: Limits) -> None:
    low, high = (after.unit.to_si(v) for v in (after.lower, after.upper) if v is not None)
    lower, upper = (before.unit.to_si(v) for v in (before.lower, before.upper) if v is not None)
    assert lower <= low < high <= upper
    assert high - low >= (upper - lower) * Fraction(9, 10)


PAIRS = [(a, b) for a in UNITS for b in UNITS if a != b and UNITS[a].quantity == UNITS[b].quantity]
NUMBERS = st.decimals(min_value=-(10**6), max_value=10**6, places=3)


@given(st.sampled_from(PAIRS), NUMBERS, NUMBERS, st.integers(0, 10))
def test_conversion_never_widens_and_keeps_nine_tenths(
    pair: tuple[str, str], one: Decimal, other: Decimal, share: int
) -> None:
    assume(one != other)
    lower, upper = sorted((one, other))
    nominal = lower + (upper - lower) * share / 10
    before = Limits(lower, nominal, upper, UNITS[pair[0]])
    try:
        after = convert(before, UNITS[pair[1]])
    except ValueError as error:
        assert "too small" in str(error)
        return
    _assert_inside(before, after)
    assert list(after.values()) == sorted(after.values())
    # Fewest decimals: one fewer would keep less, so no more than these are printed.
    assert after.lower is not None
    assert after.upper is not None
    assert decimals_of(after.lower) == decimals_of(after.upper)


@given(st.sampled_from(PAIRS), NUMBERS, st.booleans())
def test_a_single_limit_is_never_violated(
    pair: tuple[str, str], value: Decimal, is_lower: bool
) -> None:
    unit, other = UNITS[pair[0]], UNITS[pair[1]]
    before = Limits(value if is_lower else None, None, None if is_lower else value, unit)
    after = convert(before, other)
    if after.lower is not None:
        assert other.to_si(after.lower) >= unit.to_si(value)
    if after.upper is not None:
        assert other.to_si(after.upper) <= unit.to_si(value)


def test_every_unit_with_a_second_can_be_shown_in_it() -> None:
    for unit in UNITS.values():
        found = second_unit(Limits(Decimal(10), None, Decimal(12), unit))
        assert (found is None) == (unit.second is None)


@pytest.mark.parametrize(
    ("unit", "quantity", "number", "si"),
    [("mm", "length", "4.50", "0.0045"), ("°C", "temperature", "0", "273.15"),
     ("MPa", "pressure", "999999999999", "999999999999000000"), ("bar", "pressure", "2", "200000"),
     ("µm", "length", "0.000000000001", "0"), ("K", "temperature_difference", "5", "5")],
)  # fmt: skip
def test_si_values(unit: str, quantity: str, number: str, si: str) -> None:
    spec = LimitSpec.model_validate(
        {"id": "a", "characteristic": "A", "quantity": quantity, "unit": unit, "upper": number}
    )
    upper = si_values(spec).upper
    assert upper is not None
    assert format(upper, "f") == si
