"""Proposals as a whole: what is told of a short talk, and that any talk is borne."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.orders.wording import imperatives
from author.proposals.proposal import KINDS, Names
from author.proposals.speech.sentences import sentences_of
from proposals.said import told

TALK = (
    (0, "Hello everybody, thanks for watching."),
    (6, "Undo the four cover bolts, and lift the cover off."),
    (12, "Keep your fingers clear, the spring under it will bite."),
    (20, "Now fit the new gasket, dry, with the tab to the left."),
    (28, "Cover back on, and tighten the bolts crosswise to twenty-two newton metres."),
    (36, "The hose is cracked, that is another job."),
)


def proposals(talk=TALK):
    cues = [Cue(Decimal(at), Decimal(at + 4), text) for at, text in talk]
    return propose(sentences_of(cues, "film")).proposals


def of(kind, talk=TALK):
    return [p for p in proposals(talk) if p.kind == kind]


def test_steps_tell_what_is_done_and_when():
    steps = of("step")
    assert steps[0].text == "Undo the four cover bolts, and lift the cover off."
    assert steps[1].text == "Fit the new gasket dry, with the tab to the left."
    assert steps[0].start < 7
    assert all(p.start < p.end for p in steps)


def test_what_is_needed_before_and_after_the_work_is_in_no_step():
    before = (3, "Before you start, get yourself the gasket kit, it comes with two rings.")
    after = (42, "After this you'd bleed the brakes, that's another video.")
    steps = of("step", (TALK[0], before, *TALK[1:5], after))
    assert steps[0].start > 5
    assert not [step for step in steps if "kit" in step.said or "bleed" in step.said]


def test_what_makes_safe_before_the_work_is_a_step():
    order = "Before you start, unplug it from the wall."
    assert of("step", (TALK[0], (3, order), *TALK[1:5]))[0].text == order


def test_a_lock_told_in_bits_is_a_step_of_its_own():
    told = "Power off, lock on, key in my pocket."
    steps = of("step", ((3, told), (7, "Take the four cap screws out."), *TALK[3:5]))
    assert steps[0].said == told


def test_a_heard_number_carries_its_unit_moment_and_step():
    (number,) = of("measurement")
    assert (number.values.nominal, number.values.unit) == (Decimal(22), "N·m")
    assert 30 < number.start < number.end <= 36
    assert number.steps and number.reason


def test_a_warning_belongs_to_its_step():
    (warning,) = [p for p in of("hazard") if "fingers" in p.text.lower()]
    assert warning.detail("signal") == "WARNING"
    assert warning.steps == (of("step")[0].id,)


def test_parts_are_listed_once_with_every_step_that_names_them():
    (cover,) = [p for p in of("part") if p.text == "cover"]
    assert len(cover.steps) == 2


def test_moves_tell_what_comes_off_and_goes_on():
    acts = {(m.act, m.part) for p in of("step") for m in p.moves}
    assert ("removes", "part-cover") in acts
    assert ("refits", "part-cover") in acts


def test_talk_that_is_no_work_is_left_out():
    assert "Hello" in of("chatter")[0].said
    assert not any("watching" in p.said for p in of("step"))


def test_ids_are_the_same_in_every_run_and_unlike_one_another():
    first, again = proposals(), proposals()
    assert [p.id for p in first] == [p.id for p in again]
    assert len({p.id for p in first}) == len(first)


def test_nothing_said_proposes_nothing():
    assert propose(()).proposals == ()


@given(st.lists(st.text(max_size=200), max_size=8))
def test_any_talk_is_borne(texts):
    cues = [Cue(Decimal(5 * n), Decimal(5 * n + 4), t) for n, t in enumerate(texts) if t.strip()]
    for proposal in propose(sentences_of(cues, "film")).proposals:
        assert proposal.kind in KINDS
        assert 0 <= proposal.confidence <= 1
        assert proposal.text and proposal.reason
        assert proposal.start <= proposal.end


def test_making_safe_is_a_step_of_its_own_even_in_one_breath_with_the_work():
    steps = of(
        "step",
        (
            (1, "Isolate it and lock it off."),
            (1, "Undo the four bolts on the end cover."),
            *TALK[1:3],
        ),
    )
    assert steps[0].text == "Isolate it, and lock it off."
    assert steps[1].text.startswith("Undo the four bolts on the end cover")


def test_a_comparison_keeps_its_meaning_where_its_number_is_told_elsewhere():
    steps = of(
        "step", ((0, "Press the spindle out, and drive it until it's two mil below the face."),)
    )
    done = f"{steps[0].text} {steps[0].detail('also')}".lower()
    assert done.endswith("drive it until it's the value given below the face.")


@pytest.mark.parametrize(
    ("said", "end"),
    [
        ("squeeze the pump until the gauge says two bar.",
         "squeeze the pump until the gauge says the value given."),
        ("run it until the oil temperature reaches sixty degrees.",
         "run it until the oil temperature reaches the value given."),
        ("give it half an hour to go off.", "give it the time given to go off."),
    ],
)  # fmt: skip
def test_an_order_does_not_break_off_where_its_number_stood(said, end):
    (step,) = of("step", ((0, f"Press the spindle out, and {said}"),))
    assert (step.detail("also") or step.text).lower().endswith(end)


def test_what_others_do_and_what_goes_wrong_is_never_an_order():
    talk = (
        *TALK[1:3],
        (16, "I've seen a circlip go through a tin roof."),
        (19, "Drop a spanner across the terminals and you'll see stars."),
        (23, "With no air in it that spring'll slam on and take your knuckles with it."),
        *TALK[3:5],
    )
    told = " ".join(f"{step.text} {step.detail('also')}" for step in of("step", talk)).lower()
    assert "cover" in told
    assert not [word for word in ("roof", "spanner", "knuckles") if word in told]


def test_a_thing_nobody_knows_is_one_where_it_is_taken_off():
    (order,) = imperatives("Frobbit off", phase="removal")
    assert order.action == "Take the frobbit off."
    assert order.act == "removes"


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("Mind the wires, because if you drag the rotor over them you've bought a motor.",
         "Because if you drag the rotor over them you've bought a motor"),
        ("Hold it level, cause, you know, the oil runs out.", "Because the oil runs out"),
    ],
)  # fmt: skip
def test_a_reason_is_told_with_its_words(said, reason):
    told = [p.text for p in of("reason", (*TALK[1:2], (16, said), *TALK[3:4]))]
    assert told == [reason]


def test_a_reading_is_proposed_once_as_a_number():
    talk = (
        *TALK[1:2],
        (16, "Clock on the rim, and spin it."),
        (22, "Four thou."),
        (26, "Now no play at all in it, four thou of runout and it's smooth."),
    )
    assert len(of("measurement", talk)) == 2
    looked = [p.text for p in of("inspection", talk)]
    assert not [one for one in looked if one == "Four thou"]
    assert any("play" in one for one in looked)


def test_fasteners_that_hold_a_part_are_undone():
    talk = ((0, "Six nuts hold the casing on."), (5, "Pull the casing straight back."))
    assert of("step", talk)[0].text == "Undo the six nuts, and pull the casing straight back."
    assert [move.act for move in of("step", talk)[0].moves].count("removes") >= 1


def test_it_is_not_the_thing_that_another_faces():
    talk = (
        *TALK[1:2],
        (12, "Now the seal."),
        (14, "Note which way it faces, the spring side is towards the motor."),
        (19, "Hook it out with a pick."),
    )
    (step,) = of("step", talk)[-1:]
    assert "Hook the seal out with a pick." in f"{step.text} {step.detail('also')}"


@pytest.mark.parametrize(
    "said",
    [
        "The strainer's chewed up, I'd order one, but it's gonna be fine for this season.",
        "The strap is frayed but it'll be okay till the next winter.",
        "This one's a bit grumbly, I'll tell the customer but we're not doing it today.",
        "The gear is worn but in spec, I'll look again in a year.",
        "There's a bit of pitting on the ram. I'm going to leave that.",
        "It is worn a little, but it is within limits, so I'm leaving it as it is.",
        "The piston has a light mark. It doesn't affect the sealing, so we'll reuse it.",
        "The sprocket's got a little hook to it. We're gonna run it.",
        "One of them has some cracks on the bottom, I'm leaving those.",
    ],
)
def test_what_will_do_for_a_season_is_a_finding_left(said):
    assert of("deferred", (*TALK[1:3], (20, said)))


def test_a_finding_told_over_three_sentences_is_one():
    said = ("The key's half sheared.", "I haven't got one here.", "It'll hold for now.")
    talk = (*TALK[1:3], *((20 + 3 * at, text) for at, text in enumerate(said)))
    (found,) = of("deferred", talk)
    assert "half sheared" in found.text
    assert "hold for now" in found.text


def test_what_is_refused_outright_is_never_left_out_as_talk():
    talk = (
        *TALK[1:3],
        (20, "Look at the rubber for cracks."),
        (24, "Any crack at all, it's done."),
    )
    assert [p for p in of("decision", talk) if "crack" in p.text]
    assert not [p for p in of("chatter", talk) if "crack" in p.text]


def test_a_brake_caliper_is_no_instrument():
    talk = (*TALK[1:3], (20, "Wrap the caliper in a rag."), (24, "Offer the caliper up."))
    assert not [p for p in of("inspection", talk) if "rag" in p.text]


def test_what_only_does_harm_is_no_supply():
    talk = (*TALK[1:3], (20, "Not with oil, because mineral grease will swell the rubber."))
    assert "mineral grease" not in [p.text for p in of("supply", talk)]


def test_what_is_forbidden_is_nothing_to_look_at():
    talk = (*TALK[1:3], (20, "Don't put your hand in the drum, it'll break your arm."))
    assert not of("inspection", talk)
    assert not of("inspection", (*TALK[1:3], (20, "Don't feel for leaks with your hand.")))
    assert [p for p in of("hazard", talk) if "break your arm" in p.text]


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("Put it together. Axle sixty-five newton metres, before you do the pinch bolt.",
         "torque of the axle"),
        ("Tighten the banjo bolt. The bleed nipple only wants six newton metres.",
         "torque of the bleed nipple"),
        ("Fit the top nut. The plunger housing takes forty-five newton metres.",
         "torque of the plunger housing"),
        ("Run the pump. The housing shouldn't get hotter than sixty degrees Celsius.",
         "temperature of the housing"),
    ],
)  # fmt: skip
def test_a_value_is_of_what_its_sentence_is_about(said, named):
    talk = tuple((20 + 5 * at, one) for at, one in enumerate(re.split(r"(?<=[.]) ", said)))
    (number,) = of("measurement", (*TALK[1:2], *talk))
    assert number.detail("characteristic") == named


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("Press the new bearing on to twelve millimetres.", "depth"),
        ("Press it in, no more than three tenths of a millimetre below flush.", "depth"),
        ("Tighten it till it deflects six millimetres.", "deflection"),
        ("The shaft where the seal runs, I measure twenty-four point nine seven millimetres.",
         "diameter of the shaft"),
    ],
)  # fmt: skip
def test_what_a_length_is_of_is_told_by_what_is_done(said, named):
    (number,) = of("measurement", (*TALK[1:2], (20, said)))
    assert (number.detail("characteristic") or "").startswith(named)


def test_what_waits_for_another_day_is_a_finding_left():
    (found,) = of(
        "deferred", (*TALK[1:3], (20, "The rubber's cracked, but that's next week's problem."))
    )
    assert "next week's problem" in found.said


def test_a_lock_out_is_never_talk():
    talk = (
        *TALK[:1],
        (3, "First thing, and I'm not joking about this, lock out the motor."),
        *TALK[1:],
    )
    assert of("step", talk)[0].text == "Lock out the motor."


def test_what_is_never_to_be_done_is_no_order():
    talk = (
        *TALK[1:3],
        (14, "Never ever run it without the guard."),
        (18, "Do not look for a leak by hand."),
    )
    told = " ".join(f"{step.text} {step.detail('also')}" for step in of("step", talk))
    assert "Run it" not in told
    assert "Look for" not in told


def test_a_number_taken_back_stands_in_no_order():
    said = (
        "Tighten the four cover screws to 9 newton metres, crosswise. Sorry, no, 12 newton metres."
    )
    talk = (*TALK[1:3], (20, said))
    assert not [step for step in of("step", talk) if "9" in step.text]


def test_an_order_of_tightening_is_no_length():
    talk = (*TALK[1:5], (33, "One, four, two, five, three, six."))
    assert {p.values.unit for p in of("measurement", talk) if p.values} == {"N·m"}


def test_a_forbidden_supply_is_none():
    assert not of("supply", (*TALK[1:3], (20, "Gasket on dry, no sealant.")))


def test_a_decision_is_told_with_what_is_then_done():
    (found,) = of(
        "decision", (*TALK[1:3], (20, "If it's worn, it gets a new shim and two washers."))
    )
    assert found.text.endswith("two washers")


def test_tools_of_different_sizes_are_different_tools():
    talk = (
        *TALK[1:2],
        (12, "Hold the shaft with a strap wrench, and take the nut off with a 24 mm spanner."),
        (20, "Key out, and the grub screw with a 5 mm Allen key."),
        (26, "Put the key back in and slide the pulley on."),
    )
    tools = {p.text.lower() for p in of("tool", talk)}
    assert {"strap wrench", "24 mm spanner", "5 mm allen key"} <= tools
    assert "key" in {p.text for p in of("part", talk)}


def test_what_is_told_of_a_tool_is_no_order():
    orders = imperatives("drive the bottom pin out with a brass drift it weighs about two kilos")
    assert [order.action for order in orders] == ["Drive the bottom pin out with a brass drift."]


def test_ids_of_a_film_with_a_long_name_fit_the_file():
    names = Names()
    film = "left-hand-gearbox-output-shaft-seal-swap"
    given = [names.free(film, "-measurement-0121") for _ in range(12)]
    assert len(set(given)) == 12
    assert all(len(name) <= 48 and "-measurement-0121" in name for name in given)
    assert names.free("left-hand-gearbox-output-shaft-bearing", "-measurement-0121") not in given


def test_what_is_named_like_the_second_of_another_has_its_own_id():
    names = Names()
    given = [names.free(name) for name in ("part-nut", "part-nut-2", "part-nut")]
    assert given == ["part-nut", "part-nut-2", "part-nut-3"]


@pytest.mark.parametrize(
    "sentence",
    ["Drive side up on the bench.", "Tape flags on everything."],
)
def test_work_that_no_order_could_be_made_of_stays_as_it_was_said(sentence: str) -> None:
    found = propose(told("Undo the six screws.", sentence, "Lift the case off."))

    steps = [p for p in found.proposals if p.kind == "step"]
    assert [p.detail("as_said") for p in steps if p.detail("as_said")] == [f"“{sentence}”"]


def test_what_an_order_a_number_or_a_warning_tells_is_not_said_again() -> None:
    found = propose(
        told("Undo the six screws.", "Jam nut down.", "Never lever on the lip.", "Lift it off.")
    )

    assert not any(p.detail("as_said") for p in found.proposals)


def test_a_number_told_before_the_first_step_or_behind_the_last_belongs_to_the_nearest():
    found = propose(
        told(
            "The boiler is at 1.2 bar.",
            "Turn the burner off.",
            "Take the cover off.",
            "It should show three bar in the morning.",
        )
    ).proposals
    assert all(p.steps for p in found if p.kind == "measurement")


def test_a_reading_is_kept_in_what_sounds_like_talk_where_its_limits_were_told():
    said = told(
        "Set the block to carry it between three and five millimetres.",
        "All three want to be within two thou of each other.",
        "This one's carrying four, lovely.",
    )
    found = [p for p in propose(said).proposals if p.kind == "measurement"]
    assert any(p.detail("role") == "measured" and p.said == "four" for p in found)
