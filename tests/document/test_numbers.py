"""Numbers keep their digits, and a second unit never widens a tolerance."""

import re
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

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
from author.procedure.units import all_quantities, all_units, find_unit, spoken_spellings
from document.published import (
    AC_NEWTON_METRES,
    AC_RANGES,
    ALL,
    DIFFERENCES,
    DUAL,
    DUAL_WRONG,
    EXACT_FACTORS,
    FACTORS,
    HALF_EVEN,
    INWARD,
    MARKS,
    ROUNDED,
    TABLES,
    TEMPERATURES,
    Published,
)

UNITS = all_units()


def test_published_values_say_where_they_stand() -> None:
    assert len(set(ALL)) >= 150
    for value in ALL:
        assert value.source, value
        assert value.mark in MARKS, value
        assert (value.mark == "M") == ("from memory" in value.source), value
    # A table no test reads would only be counted.
    tests = "".join(
        path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("test_*.py")
    )
    for name in TABLES:
        assert re.search(rf'parametrize\("value", .*\b{name}\b', tests), name


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


@pytest.mark.parametrize(
    ("text", "meant"),
    [("−5", "-5"), ("–0.05", "-0.05"), ("１２", "12"), ("９．８０", "9.80"), ("١٢", "12"),
     ("22\u200b", "22"), ("\u00a022.0", "22.0")],
)  # fmt: skip
def test_signs_that_only_look_like_a_number_are_told_as_such(text: str, meant: str) -> None:
    with pytest.raises(ValueError, match="signs that only look so") as caught:
        read_number(text)
    assert str(caught.value).endswith(f": {meant}")


@pytest.mark.parametrize("text", ["5²", "½", "Ⅻ", "１,５", "−", "1−2"])
def test_what_is_meant_is_not_guessed_at(text: str) -> None:
    with pytest.raises(ValueError, match=r"such as 9\.80|comma"):
        read_number(text)


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**11), max_value=10**11,
                   places=6))  # fmt: skip
def test_any_decimal_comes_back(value: Decimal) -> None:
    text = format(value, "f")
    assert format(read_number(text), "f") == text


# --- factors ------------------------------------------------------------------------------


@pytest.mark.parametrize("value", [*FACTORS, *EXACT_FACTORS], ids=str)
def test_published_factors(value: Published) -> None:
    assert value.agrees(UNITS[value.given[0]].factor)


def test_derived_factors_are_exact() -> None:
    inch, foot = Fraction("0.0254"), Fraction("0.3048")
    gravity = Fraction("9.80665")
    force = Fraction("0.45359237") * gravity  # pound and standard gravity, exact
    assert UNITS["lbf"].factor == force
    assert UNITS["lbf·ft"].factor == force * foot
    assert UNITS["lbf·in"].factor == force * inch
    assert UNITS["ozf·in"].factor == force / 16 * inch
    assert UNITS["psi"].factor == force / inch**2
    assert UNITS["hp"].factor == 550 * force * foot
    assert UNITS["oz"].factor == Fraction("0.45359237") / 16
    assert UNITS["kgf·m"].factor == UNITS["kgf"].factor == gravity
    assert UNITS["kgf·cm"].factor == gravity / 100
    assert UNITS["kgf/cm²"].factor == gravity * 10000
    assert UNITS["inHg"].factor == inch * Fraction("13595.1") * gravity
    assert UNITS["mmHg"].factor == Fraction("13595.1") * gravity / 1000
    assert UNITS["µmHg"].factor == UNITS["mmHg"].factor / 1000
    assert UNITS["Torr"].factor == Fraction(101325, 760)
    assert UNITS["mmH₂O"].factor == gravity  # a millimetre of 1000 kg/m³
    assert UNITS["inH₂O"].factor == inch * 1000 * gravity
    assert UNITS["lbf/in"].factor == force / inch
    assert UNITS["kgf/mm"].factor == gravity * 1000
    assert UNITS["gf·cm"].factor == gravity / 10**5
    assert UNITS["PS"].factor == 75 * gravity
    assert UNITS["ft³"].factor == foot**3
    assert UNITS["ft³/min"].factor == foot**3 / 60
    assert UNITS["ft³/h"].factor == foot**3 / 3600
    assert UNITS["lb/h"].factor == Fraction("0.45359237") / 3600
    assert UNITS["µin"].factor == inch / 10**6
    assert UNITS["US gal"].factor == 231 * inch**3  # 231 cubic inches
    assert UNITS["US qt"].factor == UNITS["US gal"].factor / 4
    assert UNITS["US pt"].factor == UNITS["US gal"].factor / 8
    assert UNITS["imp pt"].factor == UNITS["imp gal"].factor / 8
    assert UNITS["imp gal"].factor == Fraction("0.00454609")  # exactly, since 1976
    assert UNITS["imp gal/h"].factor == UNITS["imp gal"].factor / 3600
    assert UNITS["mile"].factor == 63360 * inch
    assert UNITS["mph"].factor == UNITS["mile"].factor / 3600
    assert UNITS["short ton"].factor == 2000 * UNITS["lb"].factor
    assert UNITS["US fl oz"].factor == UNITS["US gal"].factor / 128


PINT_NAMES = {
    "°": "degree", "N·m": "newton*meter", "N·cm": "newton*centimeter", "lbf·ft": "lbf*foot",
    "lbf·in": "lbf*inch", "°C": "degC", "°F": "degF", "K": "delta_degC", "US fl oz": "floz",
    "US qt": "quart", "US gal": "gallon", "r/min": "rpm", "kgf·m": "kgf*meter",
    "kgf·cm": "kgf*centimeter", "ozf·in": "ozf*inch", "kgf/cm²": "kgf/centimeter**2",
    "inHg": "inHg", "Δ°F": "delta_degF", "L/min": "liter/minute", "mL/min": "milliliter/minute",
    "US gal/min": "gallon/minute",
    "hp": "horsepower", "µin": "microinch", "arcmin": "arcminute", "mΩ": "milliohm",
    "MΩ": "megaohm", "thou/ft": "thou/foot", "Ω": "ohm", "kΩ": "kiloohm",
    "in": "inch", "ft": "foot", "m": "meter", "%": "percent", "h": "hour", "min": "minute",
    "short ton": "short_ton", "US pt": "pint", "imp pt": "imperial_pint", "t": "metric_ton",
    "imp gal": "imperial_gallon", "imp gal/min": "imperial_gallon/minute", "L/h": "liter/hour",
    "km/h": "kilometer/hour", "d": "day", "arcsec": "arcsecond", "gf": "force_gram",
    "kN·m": "kilonewton*meter", "gf·cm": "force_gram*centimeter", "N/mm": "newton/millimeter",
    "kgf/mm": "kgf/millimeter", "lbf/in": "lbf/inch", "mmHg": "mmHg", "µmHg": "micrometer_Hg",
    "Torr": "torr", "mmH₂O": "millimeter_H2O", "inH₂O": "inch_H2O", "m³": "meter**3",
    "ft³": "foot**3", "L/s": "liter/second", "m³/h": "meter**3/hour", "m³/min": "meter**3/minute",
    "ft³/min": "foot**3/minute", "ft³/h": "foot**3/hour",
    "US gal/h": "gallon/hour", "imp gal/h": "imperial_gallon/hour", "g/s": "gram/second",
    "kg/min": "kilogram/minute", "kg/h": "kilogram/hour", "lb/h": "pound/hour",
    "mm/min": "millimeter/minute", "in/min": "inch/minute", "ft/s": "foot/second",
    "m/s²": "meter/second**2", "PS": "metric_horsepower",
    "Btu/h": "international_british_thermal_unit/hour", "VA": "volt_ampere",
    "kVA": "kilovolt_ampere", "Wh": "watt_hour", "kWh": "kilowatt*hour", "µΩ": "microohm",
    "GΩ": "gigaohm", "mA·h": "milliampere*hour", "A·h": "ampere*hour",
    "µS/cm": "microsiemens/centimeter", "mS/cm": "millisiemens/centimeter", "lx": "lux",
    "kg/m³": "kilogram/meter**3", "g/cm³": "gram/centimeter**3", "g/L": "gram/liter",
    "mg/L": "milligram/liter", "cSt": "centistokes", "mPa·s": "centipoise",
    "g·mm": "gram*millimeter", "mL/L": "milliliter/liter", "thou/in": "thou/inch",
    "in/ft": "inch/foot", "s/d": "second/day",
}  # fmt: skip
PINT_SI = {"N·m": "newton*meter", "m³": "meter**3", "Ω": "ohm", "1": "", "rad/s": "radian/second",
           "K": "kelvin", "m³/s": "meter**3/second", "F": "farad", "m/s²": "meter/second**2",
           "V·A": "volt*ampere", "S/m": "siemens/meter", "lx": "lux", "kg/m³": "kilogram/meter**3",
           "m²/s": "meter**2/second", "Pa·s": "pascal*second", "kg·m": "kilogram*meter",
           }  # fmt: skip


# A scale of hardness is no measure of another (ISO 48-4, ISO 6506-1, ISO 6507-1, ISO 6508-1), nor
# is a level, a pH value or a degree Brix of anything else (IEC 61672-1): from memory.
SCALES = ("Shore A", "Shore D", "HRB", "HRC", "HBW", "HV", "dB", "dB(A)", "pH", "°Bx")


def test_scales_are_not_converted() -> None:
    quantities = [UNITS[symbol].quantity for symbol in SCALES]
    assert len(set(quantities)) == len(SCALES)
    assert all(UNITS[symbol].second is None for symbol in SCALES)
    assert all(sum(unit.quantity == one for unit in UNITS.values()) == 1 for one in quantities)


@pytest.mark.parametrize("symbol", [s for s in UNITS if s not in {"pcs", "turn", *SCALES}])
def test_every_unit_agrees_with_pint(symbol: str) -> None:
    unit = UNITS[symbol]
    registry = pint.get_application_registry()
    si = (
        "delta_degC" if unit.quantity == "temperature_difference" else PINT_SI.get(unit.si, unit.si)
    )
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
     ("N\N{DOT OPERATOR}m", "N·m"), ("US  qt", "US qt"), ('"', "in"), ("\N{OHM SIGN}", "Ω"),
     ("M\N{OHM SIGN}", "MΩ"), ("m\N{OHM SIGN}", "mΩ"), ("kgm", "kgf·m"), ("N/mm²", "MPa"),
     ("in Hg", "inHg"), ("hPa", "mbar"), ("in.lb", "lbf·in"), ("oz-in", "ozf·in"),
     ("deg C", "°C"), ("cc", "mL"), ("lpm", "L/min"), ("mm/m", "mm/m"), ("rpm", "r/min"),
     ("CFM", "ft³/min"), ("m3/h", "m³/h"), ("inH2O", "inH₂O"), ("Ah", "A·h"), ("mm2/s", "cSt"),
     ("lbs/in", "lbf/in"), ("cNm", "N·cm"), ("dBA", "dB(A)"), ("ms", "ms"), ("mS/cm", "mS/cm")],
)  # fmt: skip
def test_usual_spellings_are_understood(spelling: str, symbol: str) -> None:
    found = find_unit(spelling)
    assert found is not None
    assert found.symbol == symbol


@pytest.mark.parametrize(
    ("spoken", "symbol"),
    [("foot pounds", "lbf·ft"), ("Foot-Pounds", "lbf·ft"), ("inch pounds", "lbf·in"),
     ("newton meters", "N·m"), ("Newton Metres", "N·m"), ("ounce inches", "ozf·in"),
     ("pounds per square inch", "psi"), ("PSI", "psi"), ("inches of mercury", "inHg"),
     ("thousandths of an inch", "thou"), ("microns", "µm"), ("degrees celsius", "°C"),
     ("Degrees Fahrenheit", "°F"), ("degrees", "°"), ("minutes of arc", "arcmin"),
     ("cubic centimeters", "mL"), ("fluid ounces", "US fl oz"),
     ("gallons per minute", "US gal/min"),
     ("RPM", "r/min"), ("revolutions per minute", "r/min"), ("surface feet per minute", "ft/min"),
     ("millimetres per second", "mm/s"), ("Hertz", "Hz"), ("horsepower", "hp"),
     ("millivolts", "mV"), ("megohms", "MΩ"), ("microfarads", "µF"), ("pounds of force", "lbf"),
     ("kilos", "kg"), ("litres per second", "L/s"), ("cubic feet per minute", "ft³/min"),
     ("newtons per millimetre", "N/mm"), ("Kilowatt-Hours", "kWh"), ("inches of water", "inH₂O"),
     ("milliseconds", "ms"), ("decibels", "dB"), ("centistokes", "cSt"),
     ("half turns", None), ("MM", None), ("mw", None), ("", None)],
)  # fmt: skip
def test_spoken_forms_are_understood(spoken: str, symbol: str | None) -> None:
    found = find_unit(spoken)
    assert (found and found.symbol) == symbol


def test_no_spelling_means_two_units() -> None:
    from author.resources import load_table

    seen: dict[str, str] = {}
    for symbol, entry in load_table("units.yaml")["units"].items():
        for spelling in {symbol, *entry["spellings"]}:
            assert seen.setdefault(spelling, symbol) == symbol, spelling
            found = find_unit(spelling)
            assert found is not None
            assert found.symbol == symbol
    # What is read in any case means one unit as well, and what is read as it stands.
    for spelling, symbol in seen.items():
        folded = " ".join(spelling.casefold().replace("-", " ").split())
        assert spoken_spellings().get(folded, symbol) == symbol or len(spelling) < 3, spelling
    assert find_unit("furlong") is None


# --- rounding of limits -------------------------------------------------------------------


def limits(lower: str | None, upper: str | None, unit: str, nominal: str | None = None) -> Limits:
    numbers = [None if text is None else Decimal(text) for text in (lower, nominal, upper)]
    return Limits(*numbers, unit=UNITS[unit])


@pytest.mark.parametrize("value", INWARD, ids=str)
def test_published_limits_in_a_second_unit(value: Published) -> None:
    lower, upper, unit, other = value.given
    found = convert(limits(lower, upper, unit), UNITS[other])
    assert f"{found.lower} {found.upper}" == value.value


@pytest.mark.parametrize("value", AC_NEWTON_METRES, ids=str)
def test_torque_ranges_at_two_decimals_and_by_our_rule(value: Published) -> None:
    low, high = (UNITS["lbf·in"].to_si(Decimal(end)) for end in value.given)
    assert str(round_fraction(low, 2, "ROUND_CEILING")) == value.value.split()[0]
    assert str(round_fraction(high, 2, "ROUND_FLOOR")) == value.value.split()[1]
    ours = convert(limits(*value.given, "lbf·in"), UNITS["N·m"])
    assert ours.lower is not None
    assert ours.upper is not None
    # Ours may take fewer decimals, and then lies inside.
    assert value.numbers[0] <= ours.lower < ours.upper <= value.numbers[1]


@pytest.mark.parametrize("value", AC_RANGES, ids=str)
def test_torque_ranges_stay_inside(value: Published) -> None:
    lower, upper = value.value.split()
    before = limits(lower, upper, "lbf·in")
    _assert_inside(before, convert(before, UNITS["N·m"]))


@pytest.mark.parametrize("value", DUAL, ids=str)
def test_published_dual_unit_table(value: Published) -> None:
    assert value.agrees(UNITS["lbf·ft"].to_si(Decimal(value.given[0])))


@pytest.mark.parametrize("value", DUAL_WRONG, ids=str)
def test_published_table_where_it_contradicts_itself(value: Published) -> None:
    assert not value.agrees(UNITS["lbf·ft"].to_si(Decimal(value.given[0])))


@pytest.mark.parametrize("value", TEMPERATURES, ids=str)
def test_temperatures(value: Published) -> None:
    fahrenheit, celsius = Decimal(value.given[0]), value.numbers[0]
    assert value.agrees(UNITS["°C"].from_si(UNITS["°F"].to_si(fahrenheit)))
    assert UNITS["°F"].from_si(UNITS["°C"].to_si(celsius)) == fahrenheit


@pytest.mark.parametrize("value", DIFFERENCES, ids=str)
def test_differences_of_temperature(value: Published) -> None:
    assert value.agrees(UNITS["Δ°F"].to_si(Decimal(value.given[0])))


@pytest.mark.parametrize("value", ROUNDED, ids=str)
def test_one_converted_value_keeps_what_its_digits_say(value: Published) -> None:
    number, unit, other = value.given
    found = convert(limits(None, None, unit, number), UNITS[other])
    assert str(found.nominal) == value.value


def test_psi() -> None:
    # 1 psi = 6894.757293168361 Pa [C]
    assert float(UNITS["psi"].factor) == pytest.approx(6894.757293168361, rel=1e-15)


@pytest.mark.parametrize("value", HALF_EVEN, ids=str)
def test_half_goes_to_even(value: Published) -> None:
    number, decimals = value.given
    assert str(round_fraction(Fraction(number), int(decimals))) == value.value


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
