"""Values somebody else published, each with its source, for the tests of the numbers.

Marks say how a value was seen: S on a page of the source, S2 in a second copy or summary,
S? on a poor page whose arithmetic is right, L from a library, C computed here from a formula
seen elsewhere, M from memory.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

MARKS = {"S", "S2", "S?", "L", "C", "M"}


@dataclass(frozen=True, slots=True)
class Published:
    """One published value.

    Attributes:
        what: what it is a value of.
        given: what it was worked out from, as the source prints it.
        value: as printed; two numbers with a space between are a lower and an upper one.
        source: where it stands.
        mark: how it was seen.
        tolerance: how far ours may be off: a share (``0.2 %``) or a number; to the digits
            printed if empty.
    """

    what: str
    given: tuple[str, ...]
    value: str
    source: str
    mark: str
    tolerance: str = ""

    def __str__(self) -> str:
        """Name it in a list of tests."""
        return f"{self.what}: {' '.join(self.given)[:40]}"

    @property
    def numbers(self) -> tuple[Decimal, ...]:
        """The value, or both values."""
        return tuple(Decimal(part) for part in self.value.split())

    def agrees(self, *found: Decimal | Fraction) -> bool:
        """Say whether what was found is the value."""
        return len(found) == len(self.numbers) and all(
            abs(Fraction(ours) - Fraction(theirs)) <= self._allowed(theirs)
            for ours, theirs in zip(found, self.numbers, strict=True)
        )

    def _allowed(self, theirs: Decimal) -> Fraction:
        if self.tolerance.endswith("%"):
            return abs(Fraction(theirs)) * Fraction(self.tolerance.rstrip(" %")) / 100
        if self.tolerance:
            return Fraction(self.tolerance)
        exponent = theirs.as_tuple().exponent
        assert isinstance(exponent, int)
        return Fraction(10) ** exponent / 2


def _each(
    what: str, rows: dict[str, str], source: str, mark: str, tolerance: str = ""
) -> tuple[Published, ...]:
    """Make one value of each row; what is given stands in the key, with | between."""
    return tuple(
        Published(what, tuple(given.split("|")), value, source, mark, tolerance)
        for given, value in rows.items()
    )


# --- units --------------------------------------------------------------------------------

_NIST = "NIST SP 811 (2008), app. B"
FACTORS = (
    *_each("factor", {"in": "2.54E-02", "ft": "3.048E-01", "lbf": "4.448222", "inHg": "3386.389",
                      "US fl oz": "2.957353E-05", "US gal": "3.785412E-03"}, _NIST, "S"),
    *_each("factor", {"lb": "4.5359237E-01", "lbf·ft": "1.355818", "lbf·in": "1.129848E-01",
                      "ozf·in": "7.061552E-03", "kgf·m": "9.80665", "psi": "6894.757"},
           _NIST, "S2"),
    *_each("factor", {"US qt": "9.463529E-04"}, f"{_NIST}, digits from memory", "M"),
    # Read off a copy of app. B.9; a centipoise, a centistokes and a second as in their rows.
    *_each("factor", {"arcsec": "4.848137E-06", "mmHg": "1.333224E+02", "µmHg": "1.333224E-01",
                      "Torr": "1.333224E+02", "mmH₂O": "9.80665", "inH₂O": "2.490889E+02",
                      "gf": "9.80665E-03", "PS": "7.354988E+02", "mPa·s": "1.0E-03",
                      "cSt": "1.0E-06"}, _NIST, "S2"),
    *_each("factor", {"ft³/min": "4.719474E-04"}, f"{_NIST}, as a table of a library quotes it",
           "S2"),
    *_each("factor", {"lbf/in": "1.751268E+02", "US gal/h": "1.051503E-06", "Btu/h": "2.930711E-01",
                      "lb/h": "1.259979E-04", "ft³/h": "7.865791E-06",
                      "ft³": "2.831685E-02", "in/min": "4.233333E-04",
                      "ft/s": "3.048E-01", "kWh": "3.6E+06", "Wh": "3.6E+03", "A·h": "3.6E+03",
                      "g/cm³": "1.0E+03"},
           f"{_NIST}, digits from memory", "M"),
    # The page prints 0.112 985 and 29.5735 mL, 3.785 41 L.
    *_each("factor", {"lbf·in": "0.112985", "US fl oz": "0.0000295735", "US gal": "0.00378541"},
           "navalfacilities.tpub.com/1004_6/1004_60046.htm", "S"),
)  # fmt: skip
EXACT_FACTORS = _each(
    "exact factor",
    {"in": "0.0254", "lb": "0.45359237", "lbf": "4.4482216152605",
     "lbf·ft": "1.3558179483314004", "lbf·in": "0.1129848290276167",
     "US fl oz": "0.0000295735295625", "US qt": "0.000946352946", "US gal": "0.003785411784"},
    "from the definitions in NIST SP 811", "C", "0",
)  # fmt: skip
TEMPERATURES = (
    *_each("Celsius", {"98.6": "37", "212": "100", "-40": "-40", "32": "0"},
           "NIST SP 811, app. B: t/°C = (t/°F − 32)/1.8", "S2", "0"),
)  # fmt: skip
DIFFERENCES = _each("kelvin", {"10": "5.5556"}, "NIST SP 811, app. B", "S2")
ROUNDED = (
    *_each("one value converted", {"36|ft|m": "11.0"}, "NIST SP 811 (2008), B.7.2", "S"),
    *_each("one value converted", {"36|in|cm": "91", "40.1|in|cm": "101.9"},
           "NIST LC 1137, as daysontheweb.blogspot.com quotes it", "S2"),
)  # fmt: skip
HALF_EVEN = (
    *_each("half to even", {"1.655000|2": "1.66", "1.625000|2": "1.62"},
           "ASME A112.18.1-2018, annex A.2", "S", "0"),
    *_each("half to even", {"60.25132|1": "60.3"},
           "armymunitions.tpub.com/Mm04409/Rounding-Off-145.htm", "S", "0"),
)  # fmt: skip

# Limits rounded inward, where the nine-tenths rule takes as many digits as the source.
INWARD = (
    *_each("inward", {"10.7|11.3|mm|in": "0.422 0.444"},
           "tec-ease.com, tip 65, after ANSI/IEEE 268 and ASME Y14.5M-1994", "S", "0"),
    *_each("inward", {"20|25|lbf·in|N·m": "2.26 2.82"},
           "FAA AC 43.13-1B (1998), table 7-1, in N·m", "C", "0"),
    *_each("inward", {"0.250|0.254|in|mm": "6.35 6.45", "30|35|lbf·ft|N·m": "40.7 47.4"},
           "exact factors", "C", "0"),
)  # fmt: skip
AC_NEWTON_METRES = _each(
    "N·m to two decimals, inward",
    {"20|25": "2.26 2.82", "50|70": "5.65 7.90", "100|140": "11.30 15.81",
     "160|190": "18.08 21.46"},
    "FAA AC 43.13-1B (1998), table 7-1, in N·m", "C", "0",
)  # fmt: skip
AC_RANGES = _each(
    "torque range in lbf·in",
    {"8-36 tension": "12 15", "10-32 tension": "20 25", "1/4-28 tension": "50 70",
     "5/16-24 tension": "100 140", "3/8-24 tension": "160 190", "7/16-20 tension": "450 500",
     "1/2-20 tension": "480 690", "9/16-18 tension": "800 1000", "5/8-18 tension": "1100 1300",
     "3/4-16 tension": "2300 2500", "1/4-28 shear": "30 40", "5/16-24 shear": "60 85",
     "3/8-24 shear": "95 110", "1/2-20 shear": "290 410", "1/4-20 tension": "40 50",
     "5/16-18 tension": "80 90", "3/8-16 tension": "160 185", "1/2-13 tension": "400 480"},
    "FAA AC 43.13-1B (1998), table 7-1 (landseaskyspace.com/ac4313/7-44.html)", "S", "0",
)  # fmt: skip
_TM_DUAL = "TM 9-2320-362-14&P, table F-1"
DUAL = (
    *_each("N·m beside lb-ft",
           {"26": "35", "43": "58", "65": "88", "90": "122", "130": "176", "185": "251",
            "440": "597", "635": "861", "343": "465"}, _TM_DUAL, "S"),
    *_each("N·m beside lb-ft", {"225": "305", "300": "407"}, "TM 5-3810-305-23", "S"),
)  # fmt: skip
# The same table where it is off by itself: true 406.7, 28.5, 569.4.
DUAL_WRONG = _each("N·m beside lb-ft", {"300": "408", "21": "29", "420": "570"}, _TM_DUAL, "S")

# --- conformity ---------------------------------------------------------------------------

_BOLT = "talalspecialbolt.com: micrometer ±0.003 mm, U 0.0010"
_TUR = "techmaster.us, test uncertainty ratio"
# Given: value, lower, upper limit, U.
JUDGED = (
    Published("outcome", ("0.0017", "-0.003", "0.003", "0.0010"), "accept", _BOLT, "S"),
    Published("outcome", ("0.0025", "-0.003", "0.003", "0.0010"), "cannot_tell", _BOLT, "S"),
)
# Given: lower and upper limit, U.
ACCEPTANCE = (
    *_each("acceptance limits", {"-0.003|0.003|0.0010": "-0.002 0.002"}, _BOLT, "S", "0"),
    *_each("acceptance limits", {"10.00|10.10|0.02": "10.02 10.08"},
           "ISO 14253-1, arithmetic of an example", "S?", "0"),
)  # fmt: skip
# An upper limit alone, and the guard band worked out for 0.1 % of consumer's risk.
ACCEPTANCE_ABOVE = _each(
    "acceptance limit", {"2|0.328": "1.672"},
    "JCGM 106:2012, 9.5.4, as the suncal notebook computes it", "S", "0",
)  # fmt: skip
# Given: tolerance, U.
RATIOS = (
    *_each("test uncertainty ratio", {"0.10|0.0125": "4", "0.10|0.025": "2"}, _TUR, "S", "0"),
    *_each("test uncertainty ratio", {"8.00|1.600": "2.50"},
           "harpermetrology.com: ±4.00 µm, U 1.600", "S", "0"),
)  # fmt: skip
# Given: tolerance.
STEPS = (
    *_each("coarsest step", {"0.02": "0.002"},
           "Minitab glossary, rule of tens: ball pen 0.34 to 0.36 mm", "S", "0"),
    *_each("coarsest step", {".004": ".0004"},
           "metalworkingsolutions.net: hole .250 + .004, gages a tenth of it", "S", "0"),
)  # fmt: skip

# --- threads ------------------------------------------------------------------------------

_898 = "ISO 898-1 (usefastener.com/knowledge/404)"
STRESS_AREAS = (
    *_each("As,nom in mm²",
           {"M3": "5.03", "M3.5": "6.78", "M4": "8.78", "M5": "14.2", "M6": "20.1", "M7": "28.9",
            "M8": "36.6", "M10": "58.0", "M12": "84.3", "M14": "115", "M16": "157", "M18": "192",
            "M20": "245", "M22": "303", "M24": "353", "M27": "459", "M30": "561", "M33": "694",
            "M36": "817", "M39": "976"}, _898, "S"),
    *_each("As in mm²",
           {"M5": "14.183", "M6": "20.123", "M8": "36.609", "M10": "57.990", "M12": "84.267",
            "M14": "115.44", "M16": "156.67", "M20": "244.79", "M24": "352.50"},
           "engineersedge.com, metric thread stress areas", "S", "0.005 %"),
)  # fmt: skip
# Printed values differ from the formula by a unit of the last digit here and there.
UNIFIED_AREAS = (
    *_each("At in in²",
           {"1/4-20": "0.0318", "5/16-18": "0.0524", "3/8-16": "0.0775", "7/16-14": "0.1063",
            "1/2-13": "0.1419", "9/16-12": "0.1820", "5/8-11": "0.2260", "3/4-10": "0.3340",
            "1/4-28": "0.0364", "3/8-24": "0.0878", "1/2-20": "0.1599"},
           "martin-sprocket torque table", "S", "0.2 %"),
    *_each("At in in²",
           {"#10-32": "0.0200", "5/16-24": "0.0580", "7/16-20": "0.1187", "9/16-18": "0.203",
            "5/8-18": "0.256", "3/4-16": "0.373", "7/8-14": "0.509", "1-12": "0.663",
            "1 1/4-12": "1.073"}, "boltport.com/threads/unf", "S", "0.2 %"),
    *_each("At in in²", {"7/8-9": "0.462", "1-8": "0.606", "1 1/8-7": "0.763", "1 1/2-6": "1.405"},
           "wermac.org/bolts/bolts_thread_pitch_chart.html", "S", "0.2 %"),
)  # fmt: skip
PROOF_STRESSES = _each(
    "Sp in N/mm²",
    {"M10|4.6": "225", "M10|4.8": "310", "M10|5.6": "280", "M10|5.8": "380", "M10|6.8": "440",
     "M16|8.8": "580", "M18|8.8": "600", "M10|9.8": "650", "M10|10.9": "830", "M10|12.9": "970"},
    "ISO 898-1 (usefastener.com/knowledge/403)", "S", "0",
)  # fmt: skip
# One page prints 65 000 for grade 5 to 1 in: an error, and not among these.
GRADES = _each(
    "proof strength in psi",
    {"1/4-20|1": "33000", "1/2-13|2": "55000", "7/8-9|2": "33000", "1/4-20|5": "85000",
     "1-8|5": "85000", "1 1/8-7|5": "74000", "1/2-13|8": "120000"},
    "SAE J429 (china-bolts.com; mst.edu/~jthomas)", "S", "0.001 %",
)  # fmt: skip
# The printed loads are no plain rounding of area times stress: 0.5 % apart with the area to
# three digits, 0.62 % (M6, 8.8) with the area as the formula gives it.
_LOADS = {
    "M5": "3200 5400 8230 11800 13800", "M6": "4520 7640 11600 16700 19500",
    "M8": "8240 13900 21200 30400 35500", "M10": "13000 22000 33700 48100 56300",
    "M12": "19000 32000 48900 70000 81800", "M16": "35300 59700 91000 130000 152000",
    "M20": "55100 93100 147000 203000 238000",
}  # fmt: skip
PROOF_LOADS = _each(
    "proof load in N",
    {f"{thread}|{name}": load
     for thread, loads in _LOADS.items()
     for name, load in zip(("4.6", "5.8", "8.8", "10.9", "12.9"), loads.split(), strict=True)},
    "ISO 898-1 (staging2.optimas.com, ISO metric thread proof loads)", "S", "0.65 %",
)  # fmt: skip

# --- joints -------------------------------------------------------------------------------

NUT_FACTORS = (
    *_each("K", {"dry, black": "0.30", "zinc plated": "0.20", "lubricated": "0.18",
                 "cadmium plated": "0.16", "anti-seize": "0.12"}, "Shigley, table 8-15", "S", "0"),
    *_each("K", {"waxed": "0.10"}, "martin-sprocket torque table", "S", "0"),
)  # fmt: skip
# Given: thread, class, share of the proof load, K.
TORQUES = (
    *_each("torque in N·m", {"M12|8.8|0.70|0.2": "82"},
           "aionlinecalculator.com/bolt-torque-calculator.html", "S"),
    *_each("torque in N·m", {"M8|8.8|0.75|0.2": "25.47", "M6|8.8|0.75|0.2": "10.49",
                             "M8|10.9|0.75|0.2": "36.45", "M10|8.8|0.75|0.2": "50.46"},
           "T = K·d·F with the printed stress areas", "C", "0.2 %"),
)  # fmt: skip
PRELOADS = (
    *_each("preload in kN", {"M12|8.8|0.70": "34"},
           "aionlinecalculator.com/bolt-torque-calculator.html", "S"),
    *_each("preload in kN", {"M8|8.8|0.75": "15.92", "M6|8.8|0.75": "8.74",
                             "M10|8.8|0.75": "25.23"},
           "As·Sp with the printed stress areas", "C", "0.2 %"),
)  # fmt: skip
# Given: torque in N·m, diameter in mm, K.
PRELOADS_OF_TORQUE = _each(
    "preload in kN", {"50|10|0.2": "25.0"}, "engitoolbox.org/calculators/bolt-torque", "S"
)
# Given: preload in lbf, diameter in inches, K; 69 000 psi on 0.1419 in² is 9791.1 lbf.
TORQUES_IN_POUNDS = (
    *_each("torque in lbf·ft", {"9791.1|0.5|0.20": "82", "9791.1|0.5|0.22": "90",
                                "9791.1|0.5|0.10": "41"}, "martin-sprocket torque table", "S"),
    *_each("torque in lbf·ft", {"25000|0.75|0.2": "312.5"},
           "Shigley, examples 8-3 and 8-4, 3750 lbf·in, from memory", "M", "0"),
)  # fmt: skip
# Given: torque wanted, L, E, angle.
SETTINGS = (
    *_each("setting", {"40|12|4|0": "30"}, "TM 9-2350-261-20-1, p. 2-29", "S", "0"),
    *_each("setting", {"300|10|4|0": "214"}, "TM 1-1500-204-23-9", "S"),
    *_each("setting", {"300|18|6|0": "225"}, "TM 5-3810-305-23, in ft-lb", "S", "0"),
    *_each("setting", {"407|18|6|0": "305"}, "TM 5-3810-305-23, in N·m", "S"),
    *_each("setting", {"135|10|1.5|0": "117.39", "135|10|-1.5|0": "158.82"},
           "Robinson R66 maintenance manual, p. 20.4", "S"),
    *_each("setting", {"30|12|3|0": "24"}, "Piper PA-28-161 maintenance manual, fig. 2-14", "S",
           "0"),
    *_each("setting", {"50|16|2|0": "44.44", "50|16|2|90": "50"}, "Performance Tool M199", "S"),
)  # fmt: skip
# Given: setting, L, E, angle.
APPLIED = _each("torque applied", {"60|12|2|0": "70"}, "TM 9-254", "S", "0")

# --- chains -------------------------------------------------------------------------------

_GAP = "+4.015 4.025|-1.995 2.005|-1.497 1.503|-0.498 0.502"
_FLOAT = "+39.90 40.10|-24.95 25.05|-1.97 2.03|-9.95 10.05"
_TEN = "|".join(["+0.9 1.1"] * 10)
_FICIENT = "ficientdesign.com, tolerance stack-up analysis"
_METRICMECH = "metricmech.com, tolerance stack-up worked example"
MIDDLES = (
    *_each("middle", {_GAP: "0.020"}, _FICIENT, "S", "0"),
    *_each("middle", {_FLOAT: "3.00"}, _METRICMECH, "S", "0"),
)
WORST_CASES = (
    *_each("worst case", {_GAP: "0.005 0.035"}, _FICIENT, "S", "0"),
    *_each("worst case", {_FLOAT: "2.77 3.23"}, f"{_METRICMECH}, ±0.23", "C", "0"),
    *_each("worst case", {_TEN: "9.0 11.0"}, "ten parts ±0.1 are ±1.0", "S?", "0"),
)
ROOT_SUM_SQUARES = (
    *_each("root sum square", {_GAP: "0.012 0.028"}, _FICIENT, "S"),
    *_each("root sum square", {_GAP: "0.01206 0.02794"}, f"{_FICIENT}, ±0.00794", "S", "0.00001"),
    *_each("root sum square", {_FLOAT: "2.8739 3.1261"}, f"{_METRICMECH}, ±0.1261", "C", "0.0001"),
    *_each("root sum square", {_TEN: "9.684 10.316"}, "ten parts ±0.1 are ±0.316", "S?", "0.001"),
)

# --- fits ---------------------------------------------------------------------------------

_SCHAEFFLER = "ISO 286-2 (medias.schaeffler.sg, ISO tolerances)"
_SUMITOMO = "JIS B 0401 (docs.steelcam.org/sumitomo)"
_GERMANY = "germany-bearing.com"
# Lower and upper deviation in µm.
ZONES = (
    *_each("deviations", {"40 H7": "0 25", "47 H7": "0 25", "52 H7": "0 30", "40 H8": "0 39",
                          "47 J7": "-11 14", "40 K7": "-18 7", "47 M7": "-25 0", "40 N7": "-33 -8",
                          "40 G7": "9 34"}, _SCHAEFFLER, "S", "0"),
    *_each("deviations", {"40 P7": "-42 -17", "40 JS7": "-12.5 12.5"}, _GERMANY, "S", "0"),
    *_each("deviations", {"17 k6": "1 12", "20 k6": "2 15", "35 js6": "-8 8", "17 js5": "-4 4",
                          "35 m6": "9 25", "40 n6": "17 33", "50 p6": "26 42"}, _SUMITOMO, "S",
           "0"),
    *_each("deviations", {"25 g6": "-20 -7", "25 f7": "-41 -20", "17 h6": "-11 0",
                          "40 h7": "-25 0"}, "eicac.co.uk", "S", "0"),
    *_each("deviations", {"17 j6": "-3 8", "18 k6": "1 12", "18.5 k6": "2 15"}, "isofits 1.0", "L",
           "0"),
    # The corrigendum prints one of the two; the other follows from the tolerance grade.
    *_each("deviations", {"100 E8": "72 126", "25 R10": "-112 -28", "280 f9": "-186 -56"},
           "ISO 286-2:1988/Cor.1:2006 (1library.net)", "S", "0"),
    *_each("deviations", {"8 K6": "-7 2", "5 J6": "-3 5", "8 J6": "-4 5", "280 M6": "-41 -9"},
           "online.flippingbook.com/view/962121/282; Machine Drawing, table 15.3", "S2", "0"),
)  # fmt: skip
# Least and greatest clearance in µm.
FITS = _each(
    "clearance",
    {"25 H7/g6": "7 41", "40 H7/n6": "-33 8", "50 H7/p6": "-42 -1", "25 H7/s6": "-48 -14"},
    "pressfit 0.1.0", "L", "0",
)  # fmt: skip
# A bearing's outer ring of normal class, 0/−11 over 30 to 50 mm, in a housing.
SEATS = _each(
    "clearance",
    {"40 J7|-11|0": "-11 25", "40 K7|-11|0": "-18 18", "40 M7|-11|0": "-25 11",
     "40 N7|-11|0": "-33 3"},
    f"{_GERMANY}, s67, s70, s74; ISO 492", "S", "0",
)  # fmt: skip

TABLES = {
    name: rows for name, rows in globals().items() if name.isupper() and isinstance(rows, tuple)
}
ALL = tuple(value for rows in TABLES.values() for value in rows)
