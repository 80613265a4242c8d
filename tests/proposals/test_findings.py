"""Findings that are left for later, and reasons: what tells them, and what only sounds so."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.draft.due import due_of
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
        (["Refit the cover.", "The rope has two broken strands, that's for the rigger next month."],
         "The rope has two broken strands, that's for the rigger next month"),
        (["That hose is chafed, keep an eye on it."], "That hose is chafed, keep an eye on it"),
        (["Pull the wheel off, the drum's worn, but it'll do for now."],
         "The drum's worn, but it'll do for now"),
    ],
)  # fmt: skip
def test_a_finding_tells_the_thing_and_its_state(texts, finding):
    assert of_kind("deferred", *texts) == [finding]


@pytest.mark.parametrize(
    ("texts", "finding", "due"),
    [
        (["She'll want a belt by Christmas."], "She'll want a belt by Christmas", "By Christmas"),
        (["The belt is a bit glazed.", "It's good for another month, then change it."],
         "The belt is a bit glazed, it's good for another month, then change it", "Another month"),
        (["The belt's good for another month then change it."],
         "The belt's good for another month then change it", "Another month"),
        (["Look at the belt, it's good for another season."],
         "Belt: it's good for another season", "Another season"),
        (["The filter's good for another two months.", "Then change it."],
         "The filter's good for another two months", "Another two months"),
        (["Brush is worn to six millimetres, I'd do it next time."],
         "Brush is worn to six millimetres, I'd do it next time", "Next time"),
        (["The flexible hose has a bit of rust on it, that has to be changed this year."],
         "The flexible hose has a bit of rust on it, that has to be changed this year",
         "This year"),
        (["The thrust bearing is a bit rough, so that's for the winter."],
         "The thrust bearing is a bit rough, so that's for the winter", "For the winter"),
        (["The chain will need a new link in the spring."],
         "The chain will need a new link in the spring", "In the spring"),
    ],
)  # fmt: skip
def test_what_is_good_for_so_long_or_wanted_by_then_is_a_finding(texts, finding, due):
    found = propose(told("Lift the cover off.", *texts, "Put the cover back.")).proposals
    (later,) = [p for p in found if p.kind == "deferred"]
    assert (later.text, due_of(later.said)) == (finding, due)
    done = " ".join(f"{p.text} {p.detail('also')}" for p in found if p.kind == "step")
    assert "hange" not in done
    assert "eplace" not in done


@pytest.mark.parametrize(
    "text",
    [
        "You'll want a brush for the corners.",
        "It'll need a new seal in the groove.",
        "That grease is good for bearings.",
        "Grease it or it'll want a new bearing by Christmas.",
        "The pump will need a minute to settle.",
    ],
)
def test_what_the_job_needs_now_is_left_for_no_other_day(text):
    assert of_kind("deferred", text) == []


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


@pytest.mark.parametrize(
    ("texts", "finding"),
    [
        (["The power lead's got a nick in it i've not got one here so i'll come back thursday"],
         "The power lead's got a nick in it I've not got one here so I'll come back thursday"),
        (["The brake hose on this side is cracked.", "We won't do that today."],
         "The brake hose on this side is cracked, we won't do that today"),
        (["The bearings are on their way out.", "We'll do the bearings at the shutdown.",
          "For now I only note it down."],
         "The bearings are on their way out, we'll do the bearings at the shutdown"),
        (["The pin eye has some play.",
          "The bushing there should get changed with the next service."],
         "The pin eye has some play, the bushing there should get changed with the next service"),
        (["There's a crack in the handle.", "I'd ask the owner about that."],
         "There's a crack in the handle, I'd ask the owner about that"),
        (["The capacitor's marginal.", "I'd change it at the next tuning visit."],
         "The capacitor's marginal, I'd change it at the next tuning visit"),
        (["The hose is getting brown.", "Not today, at the next service in spring."],
         "The hose is getting brown, not today, at the next service in spring"),
        (["The gear lever has some slop, but it doesn't jump out, so I leave that as it is."],
         "The gear lever has some slop, but it doesn't jump out, so I leave that as it is"),
        (["There's a small nick in the tube.", "It's above the seal, so I'm leaving it alone."],
         "There's a small nick in the tube, it's above the seal, so I'm leaving it alone"),
        (["Rubber has small cracks still usable but order one for next time"],
         "Rubber has small cracks still usable but order one for next time"),
        (["One tooth on the gear is chipped.",
          "It'll do this season, but order one for the winter."],
         "One tooth on the gear is chipped, it'll do this season, but order one for the winter"),
        (["The left hose is chafed.", "I won't touch that now, I'll tell the customer."],
         "The left hose is chafed, I won't touch that now, I'll tell the customer"),
        (["The mirror bracket rattles.", "We'll weld it when the machine comes back."],
         "The mirror bracket rattles, we'll weld it when the machine comes back"),
        (["The rear one is 54.96.", "So that's worn.", "We'll have that ground some other time."],
         "The rear one is 54.96, that's worn, we'll have that ground some other time"),
    ],
)  # fmt: skip
def test_a_fault_put_off_is_one_finding_with_its_thing(texts, finding):
    assert of_kind("deferred", *texts) == [finding]
    assert of_kind("hazard", *texts) == of_kind("chatter", *texts) == []
    assert not any(finding.startswith(each) for each in of_kind("inspection", *texts))


@pytest.mark.parametrize(
    "texts",
    [
        ["I use a stripe of paint, one for the base, two for the rod."],
        ["Check the belt for cracks.", "If it's cracked, change it at the next service."],
        ["The old seal was worn.", "Leave it in the oil until you need it."],
        ["The nut is rusted solid, so leave it to soak overnight."],
        ["The rubber's perished.", "It should come off in one piece."],
        ["It was leaking.", "You leave it like that and it'll flood the motor."],
        ["The bearing has a brown stripe.", "The customer needs the machine on Monday."],
        ["The lid is dirty.", "I'll leave it like that while it drains."],
        ["The rod is bent.", "Order one for the job before you start."],
        ["We'll put the belt on in a minute."],
    ],
)
def test_what_is_not_put_off_is_no_finding(texts):
    assert of_kind("deferred", *texts) == []


@pytest.mark.parametrize(
    ("text", "finding"),
    [
        ("The pull cord is frayed, I won't do that today, but it should be changed before winter.",
         "The pull cord is frayed, I won't do that today, but it should be changed before winter"),
        ("The seat is worn, I won't do it today, it needs replacing next time.",
         "The seat is worn, I won't do it today, it needs replacing next time"),
        ("The belt is cracked, I'm not doing that today, so put the cover back on.",
         "The belt is cracked, I'm not doing that today"),
        ("The belt is worn, not today, so the cover goes back on.", "The belt is worn, not today"),
        ("Mine jams, so the whole valve has to be changed, and I'm doing that in the summer.",
         "the whole valve has to be changed, and I'm doing that in the summer"),
        ("The vessel is original from 2004 so that should be looked at when it is drained.",
         "The vessel is original from 2004 so that should be looked at when it is drained"),
        ("The idler is a bit noisy but it's okay for now, I'd change it with the next belt.",
         "The idler is a bit noisy but it's okay for now, I'd change it with the next belt"),
        ("The hose is ten years old, so it should be changed at the next service.",
         "The hose is ten years old, so it should be changed at the next service"),
    ],
)  # fmt: skip
def test_a_finding_ends_where_work_goes_on(text, finding):
    found = propose(told("Take the cover off.", text)).proposals
    told_of = [p.text for p in found if p.kind == "deferred"]
    assert [one.lower() for one in told_of] == [finding.lower()]
    if "cover" in text:
        assert any("efit the cover" in f"{p.text} {p.detail('also')}" for p in found)


@pytest.mark.parametrize(
    ("texts", "finding"),
    [
        (["The silencer is with rust, but that we leave it for the other visit."],
         "The silencer is with rust, but that we leave it for the other visit"),
        (["Brush strip, left bottom, missing bristles.", "Report it."],
         "Brush strip, left bottom, missing bristles, report it"),
        (["Sprocket.", "Teeth hooked a bit.", "Not today.", "Next shutdown, order one."],
         "Sprocket: teeth hooked a bit, not today, next shutdown, order one"),
        (["There's a wisp of haze on the rear lens.", "Another day, when it's apart."],
         "There's a wisp of haze on the rear lens, another day, when it's apart"),
        (["Mast rollers have got a bit of play in them, but I'd leave those for the "
          "thousand-hour service."],
         "Mast rollers have got a bit of play in them, but I'd leave those for the "
         "thousand-hour service"),
        (["anodes half gone they'll do this season but tell the customer"],
         "Anodes half gone they'll do this season but tell the customer"),
        (["the inlet filter is getting brown its good for another month then change it"],
         "The inlet filter is getting brown its good for another month then change it"),
        (["The pads are low.", "They'll do two thousand miles, then renew them."],
         "The pads are low, they'll do two thousand miles, then renew them"),
        (["Feed roller's got a flat on it, but that can wait while the next service."],
         "Feed roller's got a flat on it, but that can wait while the next service"),
        (["Take the belt off, it's a bit shiny but it'll do another year, so that goes back on."],
         "Belt: it's a bit shiny but it'll do another year"),
        (["The power lead's a bit chafed, I'll do that next week when the new gland comes in."],
         "The power lead's a bit chafed, I'll do that next week when the new gland comes in"),
        (["Bottom knife's gone dull, but I've none on the shelf so I've ordered one."],
         "Bottom knife's gone dull, but I've none on the shelf so I've ordered one"),
    ],
)  # fmt: skip
def test_a_finding_has_its_thing_and_when_it_is_done(texts, finding):
    assert of_kind("deferred", *texts) == [finding]


def test_what_is_renewed_after_it_has_lasted_is_not_renewed_now():
    steps = of_kind("step", "The pads are low.", "They'll last another month.", "Then change them.")
    assert not any("hange" in step for step in steps)
    proposals = propose(told("Undo the nut.", "The belt is a bit frayed.",
                             "It's good for another month, then change it.")).proposals  # fmt: skip
    assert not any("eplace" in str(p.detail("also")) for p in proposals)


@pytest.mark.parametrize(
    "texts",
    [
        ["Anything up to half a millimetre is fine.",
         "In between, you'd make a note and look again in six months."],
        ["Undo the clamp.", "Report it if the light stays on."],
        ["The gauge is good.", "Another day, another engine."],
        ["Fit the new seal.", "That'll do this season proud."],
        ["Run it for an hour, then change it."],
        ["The oil's warm.", "It's good for an hour, then drain it."],
    ],
)  # fmt: skip
def test_what_holds_of_any_unit_is_no_finding_of_this_one(texts):
    assert not of_kind("deferred", *texts)


@pytest.mark.parametrize(
    ("said", "due"),
    [
        ("this I do not make today, that we make by the next service", "By the next service"),
        ("but I'd leave those for the thousand-hour service", "For the thousand-hour service"),
        ("leave them, but write it up for the next visit", "For the next visit"),
        ("that's for the next service", "For the next service"),
        ("it weeps a bit, that's a job for the summer", "For the summer"),
        ("I changed it at the last service", None),
    ],
)
def test_when_a_finding_is_due(said, due):
    assert due_of(said) == due


def test_what_is_accepted_before_a_finding_of_something_else_stands():
    found = of_kind("inspection", "Run it and look underneath.",
                    "A drop or two is fine, a steady drip isn't.",
                    "The gun's got a worn pin, it'll do for this season.")  # fmt: skip
    assert "A drop or two is fine, a steady drip isn't" in found
