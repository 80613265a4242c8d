"""Confidence: rising with the evidence, between nothing and certainty."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from author.proposals.confidence import calibrated
from author.proposals.proposal import KINDS

SHARES = st.decimals(0, 1, places=3)


@given(st.sampled_from(KINDS), SHARES, SHARES)
def test_more_evidence_never_means_less_confidence(kind, one, two):
    low, high = sorted((one, two))
    assert calibrated(kind, low) <= calibrated(kind, high)


@given(st.sampled_from(KINDS), SHARES)
def test_it_is_a_share_and_never_certain(kind, strength):
    assert Decimal("0.05") <= calibrated(kind, strength) <= Decimal("0.99")
