"""How often proposals like one are right, in place of how strong its evidence looks.

The table was counted with ``tests/benchmarks/bench_proposals.py --calibrate`` on narrations
that the rules have not seen; the same script tells how a table from all but one of them does on
that one.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from itertools import pairwise

from author.proposals.proposal import ProposalKind

_TABLE: Mapping[str, tuple[tuple[float, float], ...]] = {
    "hazard": ((0.50, 0.38), (0.65, 0.63), (0.85, 0.67), (0.94, 0.69)),
    "measurement": ((0.66, 0.78), (0.82, 0.80), (0.95, 0.90)),
    "part": ((0.48, 0.65), (0.69, 0.77), (0.82, 0.80), (0.95, 0.90)),
    "step": ((0.49, 0.58), (0.74, 0.84), (0.86, 0.87)),
    "supply": ((0.64, 0.73), (0.88, 0.86)),
    "tool": ((0.59, 0.56), (0.80, 0.83), (0.90, 0.87)),
}
"""By kind: strength of the evidence and share of such proposals that were right, rising."""

_LEAST, _MOST = 0.05, 0.99


def calibrated(kind: ProposalKind, strength: Decimal) -> Decimal:
    """Return the share of proposals of a kind and strength that are right, 0.05 to 0.99.

    Args:
        kind: of the proposal.
        strength: of its evidence, 0 to 1.

    Returns:
        Two decimals; between the points of the table on a straight line.
    """
    points = _TABLE.get(kind, ((0.0, 0.0), (1.0, 1.0)))
    value = min(max(float(strength), points[0][0]), points[-1][0])
    share = points[-1][1]
    for (low, below), (high, above) in pairwise(points):
        if value <= high:
            part = 0.0 if high == low else (value - low) / (high - low)
            share = below + part * (above - below)
            break
    return Decimal(f"{min(max(share, _LEAST), _MOST):.2f}")
