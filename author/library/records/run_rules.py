"""Signs of a drift in values that come one after another: the rules of a control chart.

Sources: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2 (Western Electric rules and
the rules for trends) and 6.3.2.2 (individuals: sigma is the mean moving range over 1.128);
read in copies that cite it, not on its own pages. ISO 7870-2 has the rule of six as well, from
memory. That the zones wait for ten values is the length of the handbook's example.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

D2 = Fraction(1128, 1000)
"""Mean range of two values of a normal distribution, in sigmas."""
TREND = 6
RUN = 8
FEWEST = 10
"""So many values are needed before sigma is worth being judged by."""


@dataclass(frozen=True, slots=True)
class Centre:
    """Where values lie and how far they scatter.

    Attributes:
        mean: their mean.
        sigma: by the mean moving range; None of fewer than two values.
    """

    mean: Fraction
    sigma: Fraction | None

    @property
    def lower(self) -> Fraction | None:
        """Three sigmas below the mean."""
        return None if self.sigma is None else self.mean - 3 * self.sigma

    @property
    def upper(self) -> Fraction | None:
        """Three sigmas above the mean."""
        return None if self.sigma is None else self.mean + 3 * self.sigma


@dataclass(frozen=True, slots=True)
class Sign:
    """A sign that values do not scatter by chance alone.

    Attributes:
        rule: ``beyond``, ``two_of_three``, ``four_of_five``, ``run`` or ``trend``.
        side: ``above`` or ``below`` the mean; ``rising`` or ``falling`` for a trend.
        first: index of the first value it is seen in.
        last: index of the last one.
    """

    rule: str
    side: str
    first: int
    last: int


WORDS = {
    "beyond": "lies more than three sigmas {side} the mean",
    "two_of_three": "two of three in a row lie more than two sigmas {side} the mean",
    "four_of_five": "four of five in a row lie more than one sigma {side} the mean",
    "run": "{count} in a row lie {side} the mean",
    "trend": "{count} in a row are {side}",
}


def words_of(sign: Sign) -> str:
    """Return what a sign says, without its place."""
    return WORDS[sign.rule].format(side=sign.side, count=sign.last - sign.first + 1)


def centre_of(values: Sequence[Fraction]) -> Centre | None:
    """Return mean and sigma of values in their order, None of none."""
    if not values:
        return None
    mean = Fraction(sum(values), len(values))
    moves = [abs(after - before) for before, after in pairwise(values)]
    sigma = Fraction(sum(moves), len(moves)) / D2 if moves else None
    return Centre(mean, sigma)


def signs_in(values: Sequence[Fraction]) -> tuple[Sign, ...]:
    """Return the signs of a drift in values in their order, by where they end.

    A run or trend that goes on is one sign, as long as it is.
    """
    centre = centre_of(values)
    if centre is None:
        return ()
    found = [*_trends(values), *_runs(values, centre.mean)]
    if centre.sigma and len(values) >= FEWEST:
        for side, sense in (("above", 1), ("below", -1)):
            away = [sense * (value - centre.mean) / centre.sigma for value in values]
            found += [Sign("beyond", side, n, n) for n, far in enumerate(away) if far > 3]
            found += _zones(away, "two_of_three", side, (2, 3, 2))
            found += _zones(away, "four_of_five", side, (4, 5, 1))
    return tuple(sorted(found, key=lambda one: (one.last, one.first, one.rule)))


def _zones(away: Sequence[Fraction], rule: str, side: str, of: tuple[int, int, int]) -> list[Sign]:
    """Return where so many of so many in a row, the last among them, lie beyond a zone."""
    least, width, zone = of
    found: list[Sign] = []
    for last in range(len(away)):
        beyond = [n for n in range(max(0, last - width + 1), last + 1) if away[n] > zone]
        if last in beyond and len(beyond) >= least:
            if found and found[-1].last == last - 1:
                found[-1] = Sign(rule, side, found[-1].first, last)
            else:
                found.append(Sign(rule, side, beyond[0], last))
    return found


def _runs(values: Sequence[Fraction], mean: Fraction) -> list[Sign]:
    """Return where enough values in a row lie on one side of the mean."""
    sides = [0 if value == mean else 1 if value > mean else -1 for value in values]
    names = {1: "above", -1: "below"}
    return [
        Sign("run", names[side], first, last)
        for side, first, last in _stretches(sides)
        if side and last - first + 1 >= RUN
    ]


def _trends(values: Sequence[Fraction]) -> list[Sign]:
    """Return where enough values in a row each rise or each fall."""
    steps = [
        0 if after == before else 1 if after > before else -1 for before, after in pairwise(values)
    ]
    names = {1: "rising", -1: "falling"}
    return [
        Sign("trend", names[sense], first, last + 1)
        for sense, first, last in _stretches(steps)
        if sense and last - first + 2 >= TREND
    ]


def _stretches(signs: Sequence[int]) -> list[tuple[int, int, int]]:
    """Return each stretch of equal signs: the sign, its first and its last index."""
    found: list[tuple[int, int, int]] = []
    for n, sign in enumerate(signs):
        if found and found[-1][0] == sign:
            found[-1] = (sign, found[-1][1], n)
        else:
            found.append((sign, n, n))
    return found
