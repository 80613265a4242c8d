"""A chain of dimensions closes between limits, at the worst and by root sum square."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.procedure.chains import Closing, Link, root_sum_square, worst_case
from document.published import MIDDLES, ROOT_SUM_SQUARES, WORST_CASES, Published

Method = Callable[[list[Link]], Closing]


def chain(value: Published) -> list[Link]:
    found = []
    for text in value.given:
        lower, upper = (Decimal(part) for part in text[1:].split())
        found.append(Link(1 if text[0] == "+" else -1, lower, upper))
    return found


@pytest.mark.parametrize("value", MIDDLES, ids=str)
def test_published_middles(value: Published) -> None:
    assert value.agrees(worst_case(chain(value)).middle)
    assert value.agrees(root_sum_square(chain(value)).middle)
    assert str(worst_case(chain(value)).middle) == value.value


@pytest.mark.parametrize("value", WORST_CASES, ids=str)
def test_published_worst_cases(value: Published) -> None:
    found = worst_case(chain(value))
    assert value.agrees(found.lower, found.upper)


@pytest.mark.parametrize("value", ROOT_SUM_SQUARES, ids=str)
def test_published_root_sum_squares(value: Published) -> None:
    found = root_sum_square(chain(value))
    assert value.agrees(found.lower, found.upper)


def test_limits_of_a_root_sum_square_are_rounded_outward() -> None:
    """√(0.1² + 0.1²) is 0.14142…: two decimals more than the links have, outward."""
    links = [Link(1, Decimal("9.9"), Decimal("10.1"))] * 2
    found = root_sum_square(links)
    assert (str(found.lower), str(found.upper)) == ("19.858", "20.142")


def test_unequal_tolerances_count_from_the_middle() -> None:
    """40 +0.025/0 less 40 0/−0.011: a clearance from 0 to 0.036, its middle 0.018."""
    links = [Link(1, Decimal("40.000"), Decimal("40.025")),
             Link(-1, Decimal("39.989"), Decimal("40.000"))]  # fmt: skip
    found = worst_case(links)
    assert found == Closing(Decimal("0.018"), Decimal("0.000"), Decimal("0.036"))
    # ±√(0.0125² + 0.0055²) = ±0.013656…
    found = root_sum_square(links)
    assert found == Closing(Decimal("0.018"), Decimal("0.00434"), Decimal("0.03166"))


@pytest.mark.parametrize("method", [worst_case, root_sum_square])
def test_what_is_no_chain_is_refused(method: Method) -> None:
    with pytest.raises(ValueError, match="at least one link"):
        method([])
    with pytest.raises(ValueError, match="crossed"):
        method([Link(1, Decimal(2), Decimal(1))])


NUMBERS = st.decimals(min_value=-(10**6), max_value=10**6, places=3)


@st.composite
def links(draw: st.DrawFn) -> list[Link]:
    ends = draw(st.lists(st.tuples(st.sampled_from([1, -1]), NUMBERS, NUMBERS), min_size=1))
    return [Link(sign, min(one, other), max(one, other)) for sign, one, other in ends]


@given(links())
def test_root_sum_square_lies_inside_the_worst_case(found: list[Link]) -> None:
    worst, likely = worst_case(found), root_sum_square(found)
    assert worst.lower <= likely.lower <= likely.middle <= likely.upper <= worst.upper
    assert worst.middle == likely.middle
    if len(found) == 1:
        assert (worst.lower, worst.upper) == (likely.lower, likely.upper)


@given(links())
def test_root_sum_square_is_the_root_of_the_squares(found: list[Link]) -> None:
    likely = root_sum_square(found)
    step = Fraction(1, 10**5)
    squares = sum(Fraction(link.upper - link.lower) ** 2 for link in found) / 4
    for half in (likely.upper - likely.middle, likely.middle - likely.lower):
        outward, inward = Fraction(half), max(Fraction(half) - step, Fraction(0))
        assert inward**2 <= squares <= outward**2


@given(links())
def test_a_chain_turned_round_closes_the_other_way(found: list[Link]) -> None:
    turned = [Link(-1 if link.sign == 1 else 1, link.lower, link.upper) for link in found]
    for method in (worst_case, root_sum_square):
        one, other = method(found), method(turned)
        assert (one.lower, one.middle, one.upper) == (-other.upper, -other.middle, -other.lower)


@given(links())
def test_the_order_of_links_does_not_count(found: list[Link]) -> None:
    for method in (worst_case, root_sum_square):
        assert method(found) == method(sorted(found, key=lambda link: link.upper))
