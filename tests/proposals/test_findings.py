"""Findings that are left for later, and reasons: what tells them, and what only sounds so."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from proposals.said import told


def of_kind(kind, *texts):
    found = propose(told("Lift the cover off.", *texts)).proposals
    return [p.text for p in found if p.kind == kind]


@pytest.mark.parametrize(
    ("texts", "finding"),
    [
        (["The pin bushing's a bit loose.", "But it'll do until the yearly service."],
         "The pin bushing's a bit loose, but it'll do until the yearly service"),
        (["The pin bushing's a bit loose, but it'll do until the yearly service."],
         "The pin bushing's a bit loose, but it'll do until the yearly service"),
        (["There's a hairline crack in the cover.", "We'll look at it next year."],
         "There's a hairline crack in the cover, we'll look at it next year"),
        (["The coupling is noisy.", "So that goes on the list for the autumn."],
         "The coupling is noisy, so that goes on the list for the autumn"),
        (["Press the seal in.", "The cable's going hard at the gland.", "That's for another day."],
         "The cable's going hard at the gland, that's for another day"),
        (["That hose is chafed, keep an eye on it."], "That hose is chafed, keep an eye on it"),
        (["Pull the wheel off, the drum's worn, but it'll do for now."],
         "The drum's worn, but it'll do for now"),
    ],
)  # fmt: skip
def test_a_finding_tells_the_thing_and_its_state(texts, finding):
    assert of_kind("deferred", *texts) == [finding]


@pytest.mark.parametrize(
    ("texts", "finding"),
    [
        # An order, or talk, is no state of a thing.
        (["Pull the old seal.", "That goes on the list for the autumn."],
         "That goes on the list for the autumn"),
        (["Nice day today.", "That's a job for another day."], "That's a job for another day"),
        # The clause names its own thing.
        (["The belt is new.", "That bearing's noisy but I'll note it for next time."],
         "That bearing's noisy but I'll note it for next time"),
    ],
)  # fmt: skip
def test_nothing_is_taken_in_that_is_no_state(texts, finding):
    assert of_kind("deferred", *texts) == [finding]


@pytest.mark.parametrize(
    ("said", "done"),
    [
        ("Keep an eye on the reservoir while you pump.",
         "Keep an eye on the reservoir while you pump."),
        ("Write the mileage on the job card.", "Write the mileage on the job card."),
    ],
)  # fmt: skip
def test_an_order_to_watch_or_to_write_is_no_finding(said, done):
    assert of_kind("deferred", said) == []
    steps = [p for p in propose(told("Lift the cover off.", said)).proposals if p.kind == "step"]
    assert any(done in f"{step.text} {step.detail('also')}" for step in steps)


@pytest.mark.parametrize(
    "said",
    [
        "So that goes in the scrap.",
        "Pull the filter out, it's for the bin.",
        "I did that an hour ago, so take the cover off.",
        "You see the click, so turn it back.",
    ],
)
def test_where_a_thing_goes_or_what_was_seen_is_no_reason(said):
    assert of_kind("reason", said) == []


@pytest.mark.parametrize(
    "said",
    [
        "Grease the pin so that it comes out next time.",
        "Turn it clockwise, because it's a left-hand thread.",
        "Fit the clip, otherwise the hose comes off.",
        "Wipe it dry so it doesn't slip.",
        "It's a left-hand thread, so turn it clockwise.",
    ],
)
def test_why_something_is_done_is_a_reason(said):
    assert of_kind("reason", said)
