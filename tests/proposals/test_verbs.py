"""Verbs of work: one list for all stages, their forms, and orders made of every one of them."""

from __future__ import annotations

import pytest

from author.checks.verbs import words
from author.proposals.claims import propose
from author.proposals.language.verbs import (
    WORK,
    base_of,
    base_of_done,
    base_of_going,
    base_of_past,
    base_of_third,
    forms,
    is_work,
)
from author.proposals.orders.wording import imperatives
from proposals.said import told


@pytest.mark.parametrize(
    ("form", "base"),
    [
        ("unpinned", "unpin"), ("unthreading", "unthread"), ("resealed", "reseal"),
        ("snipping", "snip"), ("backfilled", "backfill"), ("overtightened", "overtighten"),
        ("debur", "debur"), ("unwound", "unwind"), ("rebuilt", "rebuild"), ("tapes", "tape"),
        ("taped", "tape"), ("tapped", "tap"), ("scraped", "scrape"), ("scrapped", "scrap"),
        ("levelled", "level"), ("leveled", "level"), ("froze", "freeze"), ("undid", "undo"),
        ("swept", "sweep"), ("re-cut", "re-cut"), ("tied", "tie"), ("was", "be"),
        # Names of things, and how things are.
        ("backlash", None), ("unsupported", None), ("unbroken", None), ("background", None),
        ("rebound", None), ("review", None), ("uneven", None), ("overhead", None), ("bed", "bed"),
        ("james", None), ("design", None), ("delay", None), ("until", None), ("backplate", None),
    ],
)  # fmt: skip
def test_every_form_leads_to_its_verb(form, base):
    assert base_of(form) == base


def test_the_forms_of_a_verb_lead_back_to_a_verb_written_alike():
    for verb in WORK:
        third, going, past, done = forms(verb)
        found = (base_of_third(third), base_of_going(going), base_of_past(past), base_of_done(done))
        assert all(found) and is_work(verb), verb


# These ask for something else than work on what is named, or need more words behind them.
_OTHERWISE = words(
    "wear shear gouge remember order ask blue start do avoid go apply reapply kill cant give let "
    "round"
)


def test_every_verb_of_work_makes_an_order():
    silent = [
        said
        for verb in sorted(WORK - _OTHERWISE)
        for _, going, _, done in [forms(verb)]
        for said in (
            f"{verb.capitalize()} the cover.",
            f"Then you {verb} the cover.",
            f"I'm {going} the cover.",
            f"I've {done} the cover.",
        )
        if not imperatives(said)
    ]
    assert silent == []


@pytest.mark.parametrize(
    "said",
    [
        "Unpin the lever.", "Unthread the drain plug.", "Reseal the flange.", "Snip the cable tie.",
        "Buff the flange with a fine pad.", "Fettle the casting.", "Blast the housing with soda.",
        "Backfill the old gasket.", "Cool the housing with air.", "Debur the edge.",
    ],
)  # fmt: skip
def test_orders_of_a_talk_are_told_with_their_own_verbs(said):
    steps = [p.text for p in propose(told("Lock it out.", said, pause="3")).proposals]
    assert said in steps


@pytest.mark.parametrize("said", ["Blast it!", "Blast!", "The backlash is fine.", "It's uneven."])
def test_what_only_sounds_like_an_order_makes_no_step(said):
    found = propose(told("Lock it out.", said, pause="3")).proposals
    assert [p.text for p in found if p.kind == "step"] == ["Lock it out."]
