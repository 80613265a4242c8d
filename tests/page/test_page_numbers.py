"""Numbers on the work page: its script reads and judges them as the program does.

``vectors.json`` is what ``author.procedure`` decides, for the script and for any other program
to be held against. After a change write it anew: ``python tests/page/test_page_numbers.py``.
"""

from __future__ import annotations

import itertools
import json
import sys
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from publish.sample import document

from author.checks.reading_steps import fineness
from author.procedure.conformity import judge
from author.procedure.document import Procedure
from author.procedure.quantities import Limits, read_number
from author.procedure.units import all_units
from author.publish.lookup import Lookup
from author.publish.page.facts import job_facts
from page.node_page import NodePage

VECTORS = Path(__file__).with_name("vectors.json")
Plain = dict[str, Any]

# --- what the program decides ---

SPECS: list[tuple[str | None, str | None, str | None]] = [
    # lower limit, upper limit, expanded uncertainty
    ("10.00", "10.10", "0.02"),
    ("39.982", "40.007", "0.003"),
    ("-0.05", "0.05", "0.010"),
    ("-12.50", "-11.75", "0.1"),
    ("0", "0.000000000003", "0.000000000001"),
    ("99999999999.5", "999999999999.123456789012", "0.25"),
    (None, "0.05", "0.006"),
    (None, "0", "0.5"),
    (None, "-3.0", "0.2"),
    ("4.45", None, "0.02"),
    ("0", None, "0.1"),
    ("-273.15", None, "1"),
    ("7", "7", None),
    ("5", "6.0", None),
    (None, "12.000", None),
]
TEXTS = [
    "9.80", "4.50", "0", "0.0", "-0", "-0.00", "-3.25", "7", "100", "999999999999",
    "0.000000000001", "-999999999999.999999999999", "1250.5", "9,85", "-9,85", "0,5", "0,125",
    "-0,125", "1234,567", "1,2500", "12,5", "1,250", "12,500", "999,999", "-1,250", "1,250.5",
    "1.250,5", "1,250,000", "1.2.3", "1,2,3", ",5", ".5", "-.5", "5.", "5,", ".", ",", "-", "",
    " 9.80 ", "\u00a04.5\u2009", "\u22123.0", "\u20133.0", "--3", "- 3", "+4.0", "+-4", "007",
    "00.5", "-01", "0x10", "1e3", "1E-3", "NaN", "Infinity", "9.8 mm", "9 8", "1_000",
    "\u0661\u0662", "\uff11\uff12", "\u00bd", "1\u202f250", "1'250", "9.80\u0000", "1/2",
    "1000000000000", "0.1234567890123", "1,1234567890123", "9" * 60, "five",
]  # fmt: skip


STEPS = ["0.001", "0.002", "0.05", "0.10", "0.5", "1", "2", "10", "0.000000000001"]
STEPPED = [
    "39.987", "39.9870", "39.9873", "39.98", "40", "40.0", "6.00", "6.03", "6.05", "6.0", "6",
    "-0.05", "-0.07", "0", "0.0", "20", "20.5", "20.25", "200", "205", "1250.5",
    "999999999999.999999999999",
]  # fmt: skip


def values_for(lower: str | None, upper: str | None, uncertainty: str | None) -> list[str]:
    """Values at each limit and each border of a zone, and the least that can be beside them."""
    band = Decimal(uncertainty or "0")
    ends = [Decimal(end) for end in (lower, upper) if end is not None]
    borders = [end + sign * band for end in ends for sign in (-1, 0, 1)]
    least = Decimal("0.000000000001")
    near = [border + step for border in borders for step in (-least, Decimal(0), least)]
    finer = [
        format(border, "f") + ("00" if "." in format(border, "f") else ".0") for border in ends
    ]
    texts = [format(value, "f") for value in near] + finer + ["0", "-0", "1.5", "-1.5", "10.05"]
    return [text for text in dict.fromkeys(texts) if _readable(text)]


def _readable(text: str) -> bool:
    try:
        read_number(text)
    except ValueError:
        return False
    return True


def page_facts(specs: list[Plain]) -> list[Plain]:
    """What the page is told of specs of length in mm; ``uncertainty`` is of their instrument."""
    step: Plain = {"id": "measure", "action": "Measure the bore.", "not_filmed": "Not needed"}
    tools: list[Plain] = []
    step["specs"] = []
    for number, spec in enumerate(specs):
        tools.append({"id": f"gauge-{number}", "name": "Bore gauge", "measures": "mm"})
        if spec.get("uncertainty") is not None:
            tools[-1]["uncertainty"] = spec["uncertainty"]
        known = {key: value for key, value in spec.items() if key != "uncertainty"}
        named = {"id": f"bore-{number}", "characteristic": "Bore", "quantity": "length"}
        step["specs"].append({**named, "unit": "mm", "instrument": f"gauge-{number}", **known})
    sections = [{"id": "all", "title": "All", "steps": [step]}]
    procedure = Procedure.model_validate(document(sections=sections, tools=tools))
    facts = job_facts(procedure, Lookup.of(procedure), "0" * 64, None)
    return [dict(spec) for spec in facts["steps"][0]["specs"]]


def made_vectors() -> Plain:
    rows = [
        {"lower": lower, "upper": upper, "uncertainty": band, "decision_rule": rule}
        for lower, upper, band in SPECS
        for rule in ("simple_acceptance", "guard_band")
        if band is not None or rule == "simple_acceptance"
    ]
    facts = page_facts([{k: v for k, v in row.items() if v is not None} for row in rows])
    judged = []
    for row, spec in zip(rows, facts, strict=True):
        values = values_for(row["lower"], row["upper"], row["uncertainty"])
        zones = {"accept": spec["accept"], "reject": spec["reject"]}
        judged.append({**row, **zones, "cases": [[v, *outcome(row, v)] for v in values]})
    return {
        "what": "Decisions of author.procedure: readings and the texts of numbers.",
        "cases_are": ["value", "verdict", "side"],
        "judged": judged,
        "read": [{"text": text, **read(text)} for text in TEXTS],
        "steps": [
            {"step": step, "cases": [[v, fineness(Decimal(v), Decimal(step))] for v in STEPPED]}
            for step in STEPS
        ],
    }


def outcome(row: Plain, value: str) -> tuple[str, str | None]:
    ends = [None if row[key] is None else Decimal(row[key]) for key in ("lower", "upper")]
    band = None if row["uncertainty"] is None else Decimal(row["uncertainty"])
    limits = Limits(ends[0], None, ends[1], all_units()["mm"])
    found = judge(Decimal(value), limits, band, row["decision_rule"])
    return found.outcome, found.side


def read(text: str) -> Plain:
    """What ``read_number`` makes of a text: its value with all its digits, or what is wrong."""
    try:
        return {"value": format(read_number(text), "f")}
    except ValueError as error:
        return {"refused": "ambiguous" if "could mean" in str(error) else "other"}


def vectors() -> Plain:
    found: Plain = json.loads(VECTORS.read_text(encoding="utf-8"))
    return found


def written(value: Plain) -> str:
    lines = json.dumps(value, ensure_ascii=True, indent=1)
    return f"{lines}\n"


# --- the program, the vectors and the script agree ---


@pytest.fixture(scope="module")
def page() -> Iterator[NodePage]:
    with NodePage() as opened:
        yield opened


def test_the_vectors_are_what_the_program_decides() -> None:
    assert VECTORS.read_text(encoding="utf-8") == written(made_vectors()), (
        "see the top of this file"
    )


def test_the_vectors_hold_every_kind_of_case() -> None:
    held = vectors()
    found = {(row["decision_rule"], *case[1:]) for row in held["judged"] for case in row["cases"]}
    guarded = {("guard_band", v, s) for v in ("reject", "cannot_tell") for s in ("below", "above")}
    simple = {("simple_acceptance", "reject", side) for side in ("below", "above")}
    accepted = {(rule, "accept", None) for rule in ("guard_band", "simple_acceptance")}
    assert found == guarded | simple | accepted
    assert sum(len(row["cases"]) for row in held["judged"]) > 300


def test_the_script_judges_as_the_program(page: NodePage) -> None:
    for row in vectors()["judged"]:
        reactions = {"below": None, "above": None, "undecided": None}
        spec = {"judged": True, "reactions": reactions, **row}
        for value, verdict, side in row["cases"]:
            found = page.call("judgeReading", spec, value)
            assert (found["verdict"], found["side"]) == (verdict, side), (row, value)


# Where a text is refused by the program, which reads files, the page may be told what is meant:
# spaces around, a true minus, a plus, a point in front, a comma that can only be decimal.
MEANT = {
    "9,85": "9.85", "-9,85": "-9.85", "0,5": "0.5", "0,125": "0.125", "-0,125": "-0.125",
    "1234,567": "1234.567", "1,2500": "1.2500", "12,5": "12.5", ",5": "0.5", ".5": "0.5",
    "-.5": "-0.5", " 9.80 ": "9.80", "\u00a04.5\u2009": "4.5", "\u22123.0": "-3.0",
    "\u20133.0": "-3.0", "+4.0": "4.0",
}  # fmt: skip


def test_the_script_reads_as_the_program(page: NodePage) -> None:
    for row in vectors()["read"]:
        text, found = row["text"], page.call("readNumber", row["text"])
        if "value" in row:
            assert found == {"value": text}, text
        elif text in MEANT:
            assert found == {"value": MEANT[text]}, text
            assert read(MEANT[text]) == {"value": MEANT[text]}
        elif row["refused"] == "ambiguous":
            both = [text.replace(",", ""), text.replace(",", ".")]
            assert found == {"choices": both}, text
            assert all(_readable(one) for one in both)
        else:
            assert list(found) == ["problem"], text
            assert found["problem"].endswith("."), text
    assert set(MEANT) <= set(TEXTS)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "Type the number"),
        ("5,", "after the point"),
        ("1.250,5", "one point and no grouping"),
        ("007", "0 too many"),
        ("0.1234567890123", "12 digits"),
        ("\u0661\u0662", "digits 0 to 9"),
        ("9.8 mm", "the number alone"),
    ],
)
def test_what_is_wrong_with_a_number_is_said(page: NodePage, text: str, said: str) -> None:
    assert said in page.call("readNumber", text)["problem"]


# --- laws ---

DIGITS = st.integers(0, 999_999_999_999)
PLACES = st.integers(0, 12)


@st.composite
def numbers(draw: st.DrawFn) -> str:
    """A decimal text a record takes, often with few digits, so that borders are met."""
    few = draw(st.booleans())
    places = draw(st.integers(0, 3)) if few else draw(PLACES)
    whole = draw(st.integers(0, 12) if few else DIGITS)
    part = draw(st.integers(0, 10**places - 1)) if places else 0
    sign = draw(st.sampled_from(["", "-"]))
    return f"{sign}{whole}" + (f".{part:0{places}d}" if places else "")


@st.composite
def rows(draw: st.DrawFn) -> Plain:
    ends = sorted((draw(numbers()), draw(numbers())), key=Decimal)
    keep = draw(st.sampled_from(["both", "lower", "upper"]))
    band = draw(numbers()).removeprefix("-")
    row: Plain = {"lower": ends[0], "upper": ends[1], "uncertainty": None}
    if keep != "both":
        row["upper" if keep == "lower" else "lower"] = None
    row["decision_rule"] = draw(st.sampled_from(["simple_acceptance", "guard_band"]))
    if Decimal(band) > 0:
        row["uncertainty"] = band
    return row


@settings(max_examples=120, deadline=None)
@given(row=rows(), typed=st.lists(numbers(), max_size=3))
def test_whatever_the_limits_script_and_program_agree(
    page: NodePage, row: Plain, typed: list[str]
) -> None:
    given_ = {key: value for key, value in row.items() if value is not None}
    (spec,) = page_facts([given_])
    try:
        outcome(row, "0")
    except ValueError as error:
        assert spec["why_not"] == str(error)
        assert page.call("judgeReading", spec, "0")["verdict"] == "cannot_tell"
        return
    for value in [*typed, *values_for(row["lower"], row["upper"], row["uncertainty"])]:
        found = page.call("judgeReading", spec, value)
        assert (found["verdict"], found["side"]) == outcome(row, value)


@settings(max_examples=150, deadline=None)
@given(a=numbers(), b=numbers(), more=st.lists(numbers(), max_size=4))
def test_sums_are_exact(page: NodePage, a: str, b: str, more: list[str]) -> None:
    exact = [Decimal(text) for text in (a, b, *more)]
    order = (exact[0] > exact[1]) - (exact[0] < exact[1])
    assert page.call("compareNumbers", a, b) == order
    less = page.call("subtractNumbers", a, b)
    assert Decimal(less) == exact[0] - exact[1]
    assert _places(less) == max(_places(a), _places(b))
    spread = page.call("spreadOf", [a, b, *more])
    assert Decimal(spread) == max(exact) - min(exact)
    assert _places(spread) <= max(_places(text) for text in (a, b, *more))


def _places(text: str) -> int:
    return len(text.partition(".")[2])


@settings(max_examples=150, deadline=None)
@given(text=st.text(max_size=12) | st.text("0123456789.,-+ ", max_size=12))
def test_any_text_is_read_or_refused_in_words(page: NodePage, text: str) -> None:
    found = page.call("readNumber", text)
    for value in (*found.get("choices", ()), *([found["value"]] if "value" in found else ())):
        assert _readable(value)
    assert found.keys() <= {"value", "choices", "problem"}
    assert len(found) == 1


@settings(max_examples=60, deadline=None)
@given(
    spread=numbers().map(lambda text: text.removeprefix("-")),
    units=st.sampled_from([*itertools.permutations(["mm", "µm", "in", "thou", "m"], 2)]),
)
def test_a_spread_in_another_unit_is_exact_or_a_last_digit_more(
    page: NodePage, spread: str, units: tuple[str, str]
) -> None:
    from_, to = (all_units()[unit] for unit in units)
    ratio = from_.factor / to.factor
    exact = from_.to_si(Decimal(spread)) / to.factor
    found = page.call("scaleNumber", spread, [str(ratio.numerator), str(ratio.denominator)])
    rest = Fraction(found) * 10**12 - exact * 10**12
    assert 0 <= rest < 1
    assert not found.endswith((".", ".0"))


def test_the_script_knows_the_steps_of_a_scale_as_the_program(page: NodePage) -> None:
    for row in vectors()["steps"]:
        for value, kind in row["cases"]:
            assert page.call("fineness", value, row["step"]) == kind, (row["step"], value)


@settings(max_examples=150, deadline=None)
@given(value=numbers(), step=numbers().map(lambda text: text.removeprefix("-")))
def test_a_value_the_scale_shows_is_a_whole_number_of_its_steps(
    page: NodePage, value: str, step: str
) -> None:
    if Decimal(step) == 0:
        return
    kind = page.call("fineness", value, step)
    assert kind == fineness(Decimal(value), Decimal(step))
    if kind is None:
        assert (Fraction(value) / Fraction(step)).denominator == 1
        assert _places(value) <= _places(step)


def test_a_reference_and_what_has_no_limit_are_not_judged(page: NodePage) -> None:
    specs = page_facts([{"nominal": "5"}, {"lower": "1", "upper": "2", "reference": True}])
    for spec in specs:
        found = page.call("judgeReading", spec, "9")
        assert found == {"verdict": "not_judged", "side": None, "reaction": None}


def test_the_reaction_is_that_of_the_side(page: NodePage) -> None:
    asked = {side: {"do": "repeat", "how": f"Was {side}"} for side in ("below", "above")}
    row = {"lower": "1.0", "upper": "2.0", "uncertainty": "0.1", "decision_rule": "guard_band"}
    (spec,) = page_facts([{**row, **asked, "undecided": {"do": "stop", "how": "Ask"}}])
    said = {"0.89": "Was below", "0.9": "Ask", "1.1": None, "2.1": "Ask", "2.11": "Was above"}
    for value, how in said.items():
        found = page.call("judgeReading", spec, value)["reaction"]
        assert (found and found["how"]) == how, value


if __name__ == "__main__":
    VECTORS.write_text(written(made_vectors()), encoding="utf-8")
