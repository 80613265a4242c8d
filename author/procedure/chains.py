"""Dimension chains: what a gap can be when every part of it lies within its limits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from author.procedure.quantities import decimals_of, round_fraction

# Digits a root-sum-square limit has more than the limits it was made from.
_MORE_DECIMALS = 2


@dataclass(frozen=True, slots=True)
class Link:
    """One dimension of a chain.

    Attributes:
        sign: 1 where it makes the closing dimension larger, -1 where it makes it smaller.
        lower: its smallest size.
        upper: its largest size, in the same unit.
    """

    sign: Literal[1, -1]
    lower: Decimal
    upper: Decimal


@dataclass(frozen=True, slots=True)
class Closing:
    """The dimension that is left over, in the unit of the links.

    Attributes:
        middle: its value when every link has the middle of its limits.
        lower: the smallest it can be.
        upper: the largest it can be.
    """

    middle: Decimal
    lower: Decimal
    upper: Decimal


def worst_case(links: Sequence[Link]) -> Closing:
    """Return what the closing dimension can be with every link at its worst limit.

    Args:
        links: the dimensions of the chain, all in one unit.

    Returns:
        Exact values: the half widths of all links add up.

    Raises:
        ValueError: if there is no link, or the limits of one are crossed.

    Source: Σ |t| (ficientdesign.com, tolerance stack-up analysis).
    """
    ends = _ends(links)
    decimals = _decimals(links)
    return Closing(
        middle=_middle(links),
        lower=round_fraction(sum((low for low, _ in ends), Fraction(0)), decimals),
        upper=round_fraction(sum((high for _, high in ends), Fraction(0)), decimals),
    )


def root_sum_square(links: Sequence[Link]) -> Closing:
    """Return what the closing dimension will hardly ever leave if the links vary alone.

    The half widths are added as squares about the sum of the middles, so unequal
    tolerances (+0.025 / 0) count from the middle of their limits. It holds where the links
    are made independently and lie about the middle; one unlucky set of parts may exceed
    it, which the worst case does not allow.

    Args:
        links: the dimensions of the chain, all in one unit.

    Returns:
        Limits with two decimals more than the finest link, rounded outward: the lower one
        down, the upper one up. They never lie outside those of the worst case.

    Raises:
        ValueError: if there is no link, or the limits of one are crossed.

    Source: √Σ t² (ficientdesign.com, tolerance stack-up analysis).
    """
    exact = _ends(links)
    decimals = _decimals(links) + _MORE_DECIMALS
    # Whole numbers of the last decimal, so that the root can be rounded exactly.
    ends = [(int(low * 10**decimals), int(high * 10**decimals)) for low, high in exact]
    twice_middle = sum(low + high for low, high in ends)
    squares = sum((high - low) ** 2 for low, high in ends)
    root = math.isqrt(squares)
    root += root * root < squares
    return Closing(
        middle=_middle(links),
        lower=round_fraction(Fraction((twice_middle - root) // 2, 10**decimals), decimals),
        upper=round_fraction(Fraction(-((-twice_middle - root) // 2), 10**decimals), decimals),
    )


def _ends(links: Sequence[Link]) -> list[tuple[Fraction, Fraction]]:
    """Return what each link adds to the closing dimension, smallest and largest."""
    if not links:
        msg = "a chain has at least one link"
        raise ValueError(msg)
    found = []
    for link in links:
        if link.lower > link.upper:
            msg = f"the limits of a link are crossed: {link.lower:f} lies above {link.upper:f}"
            raise ValueError(msg)
        ends = Fraction(link.lower) * link.sign, Fraction(link.upper) * link.sign
        found.append((min(ends), max(ends)))
    return found


def _middle(links: Sequence[Link]) -> Decimal:
    middle = sum((low + high for low, high in _ends(links)), Fraction(0)) / 2
    decimals = _decimals(links)
    # Half of an odd last digit takes one decimal more.
    return round_fraction(middle, decimals + ((middle * 10**decimals).denominator > 1))


def _decimals(links: Sequence[Link]) -> int:
    return max(decimals_of(v) for link in links for v in (link.lower, link.upper))
