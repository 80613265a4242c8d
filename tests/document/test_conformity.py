"""A measured value is accepted, refused, or nobody can tell, by a rule that is named."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from author.procedure.conformity import (
    DecisionRule,
    coarsest_step,
    judge,
    uncertainty_ratio,
)
from author.procedure.quantities import Limits
from author.procedure.units import all_units
from document.published import (
    ACCEPTANCE,
    ACCEPTANCE_ABOVE,
    JUDGED,
    RATIOS,
    STEPS,
    Published,
)

D = Decimal


def limits(lower: str | None, upper: str | None) -> Limits:
    ends = [None if text is None else D(text) for text in (lower, upper)]
    return Limits(ends[0], None, ends[1], all_units()["mm"])


# --- published ----------------------------------------------------------------------------


@pytest.mark.parametrize("value", JUDGED, ids=str)
def test_published_outcomes(value: Published) -> None:
    measured, lower, upper, uncertainty = value.given
    found = judge(D(measured), limits(lower, upper), D(uncertainty), "guard_band")
    assert found.outcome == value.value


@pytest.mark.parametrize("value", ACCEPTANCE, ids=str)
def test_published_acceptance_limits(value: Published) -> None:
    lower, upper, uncertainty = value.given
    found = judge(D(lower), limits(lower, upper), D(uncertainty), "guard_band")
    assert found.lower is not None
    assert found.upper is not None
    assert value.agrees(found.lower, found.upper)


@pytest.mark.parametrize("value", ACCEPTANCE_ABOVE, ids=str)
def test_published_acceptance_limit_of_one_side(value: Published) -> None:
    upper, band = value.given
    found = judge(D(0), limits(None, upper), D(band), "guard_band")
    assert found.upper is not None
    assert value.agrees(found.upper)
    assert found.lower is None


@pytest.mark.parametrize("value", RATIOS, ids=str)
def test_published_uncertainty_ratios(value: Published) -> None:
    tolerance, uncertainty = map(Fraction, value.given)
    assert value.agrees(uncertainty_ratio(tolerance, uncertainty))


@pytest.mark.parametrize("value", STEPS, ids=str)
def test_published_rule_of_tens(value: Published) -> None:
    assert value.agrees(coarsest_step(Fraction(value.given[0])))


# --- where the borders lie ----------------------------------------------------------------

BORDERS = [
    # value, simple acceptance, guard band with U 0.02, side
    ("9.9799", "reject", "reject", "below"),
    ("9.980", "reject", "cannot_tell", "below"),
    ("9.999", "reject", "cannot_tell", "below"),
    ("10.000", "accept", "cannot_tell", "below"),
    ("10.019", "accept", "cannot_tell", "below"),
    ("10.020", "accept", "accept", None),
    ("10.080", "accept", "accept", None),
    ("10.081", "accept", "cannot_tell", "above"),
    ("10.100", "accept", "cannot_tell", "above"),
    ("10.120", "reject", "cannot_tell", "above"),
    ("10.1201", "reject", "reject", "above"),
]


@pytest.mark.parametrize(("value", "simple", "guarded", "side"), BORDERS)
def test_borders(value: str, simple: str, guarded: str, side: str | None) -> None:
    both = limits("10.00", "10.10")
    found = judge(D(value), both, D("0.02"), "guard_band")
    assert (found.outcome, found.side, found.rule) == (guarded, side, "guard_band")
    found = judge(D(value), both, D("0.02"), "simple_acceptance")
    assert (found.outcome, found.lower, found.upper) == (simple, D("10.00"), D("10.10"))
    assert found.side == (side if simple == "reject" else None)
    assert judge(D(value), both, None, "simple_acceptance") == found


def test_a_reading_is_not_rounded_to_pass() -> None:
    """A measured 0.236 is not 0.24 (tec-ease.com, tip 64) [S]."""
    assert judge(D("0.236"), limits("0.24", None), None, "simple_acceptance").side == "below"


def test_one_limit_never_leaves_too_little_to_accept() -> None:
    found = judge(D(5), limits("1", None), D(3), "guard_band")
    assert (found.outcome, found.lower, found.upper) == ("accept", D(4), None)


@pytest.mark.parametrize(
    ("lower", "upper", "uncertainty", "rule", "said"),
    [
        (None, None, "0.1", "guard_band", "no limit"),
        ("2", "1", None, "simple_acceptance", "crossed"),
        ("1", "2", None, "guard_band", "give it"),
        ("1", "2", "-0.1", "guard_band", "0 or more"),
        ("1", "2", "0.5", "guard_band", "better instrument"),
        ("1", "2", "0.1", "luck", "no decision"),
    ],
)
def test_what_cannot_be_judged_is_refused(
    lower: str | None, upper: str | None, uncertainty: str | None, rule: DecisionRule, said: str
) -> None:
    known = None if uncertainty is None else D(uncertainty)
    with pytest.raises(ValueError, match=said):
        judge(D("1.5"), limits(lower, upper), known, rule)


@pytest.mark.parametrize("uncertainty", ["0", "-1"])
def test_no_uncertainty_has_no_ratio(uncertainty: str) -> None:
    with pytest.raises(ValueError, match="more than zero"):
        uncertainty_ratio(Fraction(1), Fraction(uncertainty))


# --- laws ---------------------------------------------------------------------------------

NUMBERS = st.decimals(min_value=-1000, max_value=1000, places=3)
WIDTHS = st.decimals(min_value=0, max_value=10, places=3)


@given(NUMBERS, NUMBERS, NUMBERS, WIDTHS)
def test_the_guard_band_never_decides_against_the_limits(
    value: Decimal, one: Decimal, other: Decimal, uncertainty: Decimal
) -> None:
    lower, upper = sorted((one, other))
    assume(2 * uncertainty < upper - lower)
    both = Limits(lower, None, upper, all_units()["mm"])
    simple = judge(value, both, None, "simple_acceptance")
    guarded = judge(value, both, uncertainty, "guard_band")
    assert guarded.outcome in {simple.outcome, "cannot_tell"}
    if uncertainty == 0:
        assert guarded.outcome == simple.outcome
    # A surer instrument never turns a decision round.
    surer = judge(value, both, uncertainty / 2, "guard_band")
    assert guarded.outcome in {surer.outcome, "cannot_tell"}


@given(NUMBERS, NUMBERS, WIDTHS)
def test_both_sides_are_alike(value: Decimal, limit: Decimal, uncertainty: Decimal) -> None:
    above = judge(value, Limits(None, None, limit, all_units()["mm"]), uncertainty, "guard_band")
    below = judge(-value, Limits(-limit, None, None, all_units()["mm"]), uncertainty, "guard_band")
    assert above.outcome == below.outcome
    assert (above.side is None) == (below.side is None)
