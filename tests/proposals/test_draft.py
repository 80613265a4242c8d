"""The draft that proposals make: what was said, and nothing that was not."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from author.checks.wording import UNWRITTEN
from author.contract import parse_procedure, write_yaml
from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.draft.procedure import Front, draft_of
from author.proposals.speech.sentences import sentences_of
from proposals.said import told


def draft(*texts, accepted=lambda _: False, every=8):
    cues = [Cue(Decimal(every * n), Decimal(every * n + 5), text) for n, text in enumerate(texts)]
    proposals = propose(sentences_of(cues, "film")).proposals
    taken = frozenset(p.id for p in proposals if accepted(p))
    made = draft_of(proposals, Front("job", "Job"), {}, taken)
    loaded = parse_procedure(write_yaml(made.plain, made.comments).encode(), Path("p.yaml"))
    return loaded.procedure, loaded.text()


def steps(procedure):
    return [placed.step for placed in procedure.placed_steps()]


def test_a_heard_number_stands_to_be_confirmed_with_its_words():
    procedure, _ = draft("Press the seal in to a depth of four and a half millimetres.")
    ((_, _, spec),) = procedure.placed_specs()
    assert spec.nominal == Decimal("4.5")
    assert spec.note.startswith(UNWRITTEN)
    assert "four and a half millimetres" in spec.note


def test_an_accepted_number_stands_as_it_is():
    procedure, _ = draft(
        "Press the seal in to a depth of four and a half millimetres.",
        accepted=lambda p: p.kind == "measurement",
    )
    ((_, _, spec),) = procedure.placed_specs()
    assert spec.note is None


def test_what_is_to_be_confirmed_in_a_note_ends_before_the_next_sentence():
    procedure, _ = draft("Take the side guard off; it's held by four M6 screws.")
    (step,) = steps(procedure)
    assert "confirm what was heard" in step.note
    assert "“M6”. " in step.note


_TOPIC = (
    "Undo the wheel nut and take the wheel off.",
    "Okay, the side cover next, and this one gets everybody, there's a hidden bolt behind it.",
    "Look for it with a torch, behind the bracket, it's full of dirt.",
)


def test_what_nobody_says_is_to_be_confirmed():
    said, meant = steps(draft(*_TOPIC, every=13)[0])
    assert meant.action.startswith("Remove the side cover")
    assert meant.note.startswith(f"{UNWRITTEN} confirm what is done here")
    assert UNWRITTEN not in (said.note or "")


def test_what_nobody_says_stands_once_it_is_accepted():
    _, meant = steps(draft(*_TOPIC, accepted=lambda p: p.kind == "step", every=13)[0])
    assert meant.action.startswith("Remove the side cover")
    assert UNWRITTEN not in (meant.note or "")


def test_the_words_stand_before_the_step_as_evidence():
    _, text = draft("So, um, lift the cover off.")
    assert "# Said at 0:00" in text
    assert "lift the cover off" in text


def test_a_warning_gets_no_words_that_were_not_said():
    procedure, _ = draft("Lift the cover off.", "Never put your fingers under the spring.")
    (hazard,) = [h for step in steps(procedure) for h in step.hazards or ()]
    assert hazard.avoid == "Never put your fingers under the spring"
    assert hazard.hazard.startswith(UNWRITTEN)
    assert hazard.consequence is None


def test_gloves_are_not_what_the_step_is_for():
    procedure, _ = draft("Put your gloves on. Lift the blade off.")
    assert steps(procedure)[0].action.startswith("Lift the blade off")


def test_a_way_that_fails_leads_to_the_next_one():
    procedure, _ = draft(
        "Drive the bearing out with the drift. If it doesn't move after ten blows, "
        "pull it with the puller."
    )
    (step,) = steps(procedure)
    assert step.action == "Drive the bearing out with the drift."
    assert step.note is None
    first, second = step.ladder
    assert first.give_up_when == "It doesn't move after ten blows"
    assert second.how == "Pull it with the puller"


def test_nothing_said_about_steps_leaves_one_to_be_written():
    procedure, _ = draft("Hello everybody.")
    assert steps(procedure)[0].action.startswith(UNWRITTEN)


def test_hostile_words_stay_words():
    text = 'Lift the "<b>cover</b>": {x} # off, then 1:30 it\'s !!tag &a *b'
    procedure, yaml = draft(text)
    again = parse_procedure(yaml.encode(), Path("p.yaml"))
    assert again.procedure == procedure


def test_a_number_stands_in_one_place_and_not_in_the_action_as_well():
    procedure, _ = draft("Tighten the bolts to nine newton metres.")
    (step,) = steps(procedure)
    assert step.action == "Tighten the bolts."
    assert step.torques[0].nominal == Decimal(9)


def test_a_warning_is_not_refused_with_its_step():
    cues = [
        Cue(Decimal(0), Decimal(4), "Lift the cover off."),
        Cue(Decimal(20), Decimal(24), "Now pull the spring out."),
        Cue(Decimal(25), Decimal(29), "Never put your fingers under the spring."),
    ]
    proposals = propose(sentences_of(cues, "film")).proposals
    refused = [p for p in proposals if p.kind == "step"][1]
    left = [p for p in proposals if p is not refused]
    made = draft_of(left, Front("job", "Job"), {}).plain
    (step,) = [step for section in made["sections"] for step in section["steps"]]
    assert any("fingers" in hazard["avoid"] for hazard in step["hazards"])


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Keep your sleeves away from the fan, it'll have your arm.",
         "Keep your sleeves away from the fan", "It'll have your arm"),
        ("Don't you ever open the radiator cap hot, it'll spit boiling water in your face.",
         "Don't you ever open the radiator cap hot", "It'll spit boiling water in your face"),
        ("Never stand in line with it when it starts, it can burst.",
         "Never stand in line with it when it starts", "It can burst"),
        ("Never lever it with a screwdriver, you'll gouge the cover.",
         "Never lever it with a screwdriver", "You'll gouge the cover"),
        ("25 newton metres and no more or the casting cracks.",
         "25 newton metres and no more", "The casting cracks"),
        ("A quarter turn at a time or the plate bends.",
         "A quarter turn at a time", "The plate bends"),
        ("Slowly or the spring jumps out and cuts you.",
         "Slowly", "The spring jumps out and cuts you"),
    ],
)  # fmt: skip
def test_both_halves_of_a_warning_stand_in_one_message(said, avoid, harm):
    procedure, _ = draft("Lift the cover off.", said)
    (hazard,) = [h for step in steps(procedure) for h in step.hazards or ()]
    assert (hazard.avoid, hazard.hazard) == (avoid, harm)


def test_a_count_of_sides_is_no_count_of_parts():
    procedure, _ = draft("Fit the new wheel with the paper discs on both sides.")
    (step,) = steps(procedure)
    assert [(move.part, move.quantity) for move in step.ledger] == [("wheel", 1)]


def test_a_count_before_the_part_is_its_quantity():
    procedure, _ = draft("Remove the four guard screws.")
    (step,) = steps(procedure)
    assert [(move.part, move.quantity) for move in step.ledger] == [("guard-screw", 4)]


def messages(*texts):
    procedure, _ = draft("Lift the cover off.", *texts)
    return [(h.avoid, h.hazard) for step in steps(procedure) for h in step.hazards or ()]


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("It's about eighteen kilos, so get somebody to help you.",
         "Get somebody to help you", "It's about eighteen kilos"),
        ("Wear the face shield, a bearing can burst in there.",
         "Wear the face shield", "A bearing can burst in there"),
        ("Mind your face, there's a spring under there and it will go through the ceiling.",
         "Mind your face", "There's a spring under there and it will go through the ceiling"),
        ("Never lever it off. You'll blow the seal.", "Never lever it off", "You'll blow the seal"),
        ("If you smell gas, shut it off and call the gas company.",
         "Shut it off and call the gas company", "You smell gas"),
        ("If it turns the wrong way, stop straight away, because the impeller nut will unscrew.",
         "Stop straight away", "It turns the wrong way: the impeller nut will unscrew"),
    ],
)  # fmt: skip
def test_a_warning_told_in_one_breath_is_one_message(said, avoid, harm):
    assert messages(said) == [(avoid, harm)]


def test_what_hurts_people_stands_before_what_hurts_things():
    procedure, _ = draft(
        "Lift the cover off.", "Don't drop the gear. Never put your fingers in the chain."
    )
    signals = [h.signal for step in steps(procedure) for h in step.hazards or ()]
    assert signals == sorted(signals, key=lambda signal: signal == "NOTICE")


def criteria(*texts):
    procedure, _ = draft("Lift the cover off.", *texts)
    return [(c.look_for, c.accept) for step in steps(procedure) for c in step.criteria or ()]


def test_what_to_look_at_and_what_is_accepted_are_one_criterion():
    ((look_for, accept),) = criteria("Check the lip of the seal. It should be smooth all round.")
    assert look_for == "Check the lip of the seal"
    assert accept == "It should be smooth all round"


@pytest.mark.parametrize(
    ("said", "told"),
    [
        # The order to look may be no inspection of its own.
        ("Look at the rod. There should be a thin film of oil.",
         [("Look at the rod", "There should be a thin film of oil")]),
        ("Feel the pins. They should move in and out with your fingers.",
         [("Feel the pins", "They should move in and out with your fingers")]),
        ("Turn it by hand. It should turn freely, with no rough spots.",
         [("(to be written) what to look for", "It should turn freely, with no rough spots")]),
        ("Check the hub. No play, and it should spin freely.",
         [("Check the hub", "No play, it should spin freely")]),
        ("Try the brakes on the road. No judder, no pulling.",
         [("Try the brakes on the road", "No judder, no pulling")]),
        ("Check the bore for scratches you should still see the crosshatch.",
         [("Check the bore for scratches", "You should still see the crosshatch")]),
        # What this unit was found to be is no criterion.
        ("Check the oil. So it's fine.", [("Check the oil", "(to be written) what is accepted")]),
        ("Check the belt. So that's good.",
         [("Check the belt", "(to be written) what is accepted")]),
        # Nothing was ordered to be looked at.
        ("Drain the oil. There should be a thin film left.",
         [("(to be written) what to look for", "There should be a thin film left")]),
    ],
)  # fmt: skip
def test_what_is_accepted_stands_with_the_order_to_look(said, told):
    assert criteria(said) == told


@pytest.mark.parametrize(
    "said",
    [
        "Check the runout between centres, no more than five hundredths of a millimetre.",
        "Mine is nought point two one millimetres.",
        "Bleed it at the screw until there are no more bubbles.",
    ],
)
def test_what_a_number_tells_is_no_criterion_beside_it(said):
    assert not criteria(said)


@pytest.mark.parametrize(
    "said",
    [
        "Make sure it's unplugged and squeeze the trigger.",
        "Measure the shaft where the seal runs. I've got about point one here, it'll do.",
        "Scrape the gasket off with a plastic scraper, no metal please.",
    ],
)
def test_what_makes_safe_or_is_said_of_a_reading_or_a_tool_is_no_criterion(said):
    assert criteria(said) == []


def test_a_torque_told_in_stages_is_one_torque_with_its_passes():
    procedure, _ = draft(
        "Now that goes back together.",
        "Tighten the eight nuts, twenty newton metres first and then forty newton metres.",
    )
    (torque,) = [torque for step in steps(procedure) for torque in step.torques or ()]
    assert torque.nominal == Decimal(40)
    assert [one.percent for one in torque.passes] == [50, 100]
    assert "nut" in torque.characteristic


def test_stages_that_are_no_whole_per_cent_stand_with_what_was_said():
    procedure, _ = draft("Tighten the casing bolts first to 15, then 30, then 45 newton metres.")
    (torque,) = [torque for step in steps(procedure) for torque in step.torques or ()]
    assert [(one.percent, one.note) for one in torque.passes] == [
        (33, "said as 15 N·m"), (67, "said as 30 N·m"), (100, None),
    ]  # fmt: skip


def test_a_part_that_is_only_spoken_of_is_in_no_list():
    procedure, _ = draft("Lift the pump cover off.", "You can see the impeller in there.")
    assert [part.name for part in procedure.parts] == ["Pump cover"]


def test_parts_of_a_spoken_list_are_ordered():
    procedure, _ = draft(
        "Lift the cover off.", "Parts you want: two fork seals, two copper washers and a gasket."
    )
    ordered = {part.name for part in procedure.parts if part.order == "always"}
    assert ordered == {"Fork seal", "Copper washer", "Gasket"}


def test_a_part_renewed_only_if_worn_is_ordered_in_case():
    procedure, _ = draft("Take the key out.", "If it is cracked, replace the key.")
    (key,) = [part for part in procedure.parts if part.name == "Key"]
    assert (key.replace, key.order) == ("if_worn", "in_case")


def test_nothing_that_is_done_is_lost_where_the_note_is_full():
    many = [f"Then take the number {word} cover off and clean it." for word in ("red", "blue")]
    procedure, _ = draft(
        "Lift the lid off. If it sticks and will not come and you have tried all there is to "
        "try with the big bar and the heat and the oil, then fetch somebody who knows. "
        "Undo the bolts. Turn the plate round. Wipe the seat. " + " ".join(many)
    )
    told = " ".join(f"{step.action} {step.note or ''}" for step in steps(procedure))
    assert "blue cover" in told


def test_a_number_to_order_by_stands_with_its_part():
    procedure, _ = draft(
        "Lift the lid off and pull the roller out.",
        "Parts you want: two snap rings and a felt seal, part number BR-3301.",
    )
    parts = {part.name: part for part in procedure.parts}
    assert parts["Felt seal"].number == "BR-3301"
    assert parts["Snap ring"].quantity == 2
    assert "Part number" not in parts


def test_a_count_that_the_action_tells_is_not_told_again():
    made, _ = draft("Undo the four bolts and lift the cover off.")
    (step,) = steps(made)
    assert step.action == "Undo the four bolts, and lift the cover off."
    assert "four bolts" not in (step.note or "")


def test_when_it_is_done_is_no_prerequisite_by_itself():
    made, _ = draft("Pull the plug out of the wall before you start.", "Lift the cover off.")
    assert not made.prerequisites
    made, _ = draft("Before you start, get yourself the gasket kit.", "Lift the cover off.")
    assert [one.what for one in made.prerequisites] != ["Before you start"]


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Don't touch the hook till you've done that.",
         "Don't touch the hook until you've done that", "(to be written) what can do harm"),
        ("Don't use the old washer if it's gone flat.",
         "Don't use the old washer if it's gone flat", "(to be written) what can do harm"),
        ("It has to be level, never vertical, or the bearings run dry.",
         "Never vertical", "The bearings run dry"),
        ("Do not wind the nut off the end or all the balls fall out.",
         "Do not wind the nut off the end", "All the balls fall out"),
        ("Wear a glove, those teeth'll open you up.",
         "Wear a glove", "Those teeth'll open you up"),
        ("When the piston goes past the port, go slow, it'll cut the seal.",
         "When the piston goes past the port, go slow", "It'll cut the seal"),
        ("Put a block of wood under the spindle, the slide will drop.",
         "Put a block of wood under the spindle", "The slide will drop"),
        ("Loosen them, but don't take the screws right out, because they are easily lost inside.",
         "Don't take the screws right out", "They are easily lost inside"),
        ("The gauge must read zero before you slacken a bolt, because hot water will scald you.",
         "The gauge must read zero before you slacken a bolt", "Hot water will scald you"),
        ("Never run the pump dry, not even for a few seconds, as the faces will burn.",
         "Never run the pump dry, not even for a few seconds", "The faces will burn"),
        ("Never get under a load that's held only by a jack.",
         "Never get under a load that's held only by a jack", "(to be written) what can do harm"),
        ("Cover the tank, because brake fluid strips paint in minutes.",
         "Cover the tank", "Brake fluid strips paint in minutes"),
        ("You scratch that groove and it'll leak forever.",
         "(to be written) how to avoid it", "You scratch that groove and it'll leak forever"),
    ],
)  # fmt: skip
def test_a_warning_tells_when_it_holds_and_what_comes_of_it(said, avoid, harm):
    assert messages(said) == [(avoid, harm)]


def test_a_limit_is_no_warning_where_no_harm_is_told():
    assert messages("Tighten it to six, never more than eight newton metres.") == []


def test_a_new_one_in_assembly_takes_the_place_of_what_came_off():
    made, _ = draft(
        "Knock the two bearings out from the back.",
        "Right, now it all goes together again.",
        "New bearings go in the freezer for an hour.",
        "Slide the shaft in.",
    )
    parts = {part.name: part.replace for part in made.parts}
    assert parts["Bearing"] == "always"


def test_several_are_not_counted_as_one_of_another_name():
    made, _ = draft(
        "Take out the four screws on the head.",
        "Undo the centre screw, it's left-hand thread.",
        "Put the centre screw back in.",
        "Fit the head screws and nip them up.",
    )
    counts = {part.name: part.quantity for part in made.parts}
    assert counts.get("Centre screw") in {1, None}


def test_just_is_not_left_out_of_what_is_forbidden():
    assert messages("Don't just switch it off.") == [
        ("Don't just switch it off", "(to be written) what can do harm")
    ]


def test_a_number_said_again_in_a_decision_is_no_second_requirement():
    procedure, _ = draft(
        "Check the gap with a feeler gauge, it should be between 0.3 and 0.5 millimetres.",
        "If it's less than 0.3 millimetres, put another shim behind the impeller.",
    )
    specs = [spec for _, _, spec in procedure.placed_specs()]
    assert [(spec.lower, spec.upper) for spec in specs] == [(Decimal("0.3"), Decimal("0.5"))]


def test_a_unit_that_was_not_said_is_told_in_the_note():
    procedure, _ = draft(
        "Set the first gap to 0.5 millimetres.", "Set the second gap to 0.7, same feeler gauge."
    )
    notes = [spec.note for _, _, spec in procedure.placed_specs()]
    assert "the unit mm was not said" in notes[-1]


def test_what_the_job_is_said_to_be_helps_to_write_the_purpose():
    procedure, _ = draft(
        "Hello everybody, today we change the shaft seal on the wash-down pump.",
        *(["Undo the screw.", "Lift the cover off."] * 12),
    )
    assert procedure.purpose.startswith(UNWRITTEN)
    assert "change the shaft seal" in procedure.purpose


@pytest.mark.parametrize(
    ("said", "rules"),
    [
        ("You need a new shaft seal for this.", ("always", "always")),
        ("If it's scored you need a new shaft seal.", ("if_worn", "in_case")),
        ("Don't order the shaft seal, we reused it.", ("never", "never")),
    ],
)
def test_a_part_is_ordered_as_it_was_said(said, rules):
    procedure, _ = draft("Pull the shaft seal out.", said, "Lift the pump cover off.")
    (seal,) = [part for part in procedure.parts if part.name == "Shaft seal"]
    assert (seal.replace, seal.order) == rules


def test_what_is_ordered_is_no_step():
    procedure, _ = draft("Take the drive belt off.", "Order one of those.", "Lift the cover off.")
    assert not [step for step in steps(procedure) if "rder" in f"{step.action} {step.note}"]


def test_a_confirmed_number_keeps_its_moment_and_words_in_the_film():
    said = "Tighten the bolts to 40 newton metres."
    procedure, _ = draft(said, accepted=lambda p: p.kind == "measurement")
    ((_, _, number),) = procedure.placed_specs()
    source = next(one for one in procedure.sources if one.id == number.source)
    assert (source.kind, number.note) == ("film", None)
    assert source.title == "film at 0:02.7: “40 newton metres”"
    procedure, _ = draft(said)
    assert len(procedure.sources) == 2


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("Then spin the casting at eight thousand revs a minute.", "Speed of the casting"),
        ("It's two hundred litres an hour.", "Flow"),
        ("Sixty-two Rockwell C.", "Hardness"),
    ],
)
def test_a_number_of_nothing_told_has_its_kind_as_name_in_plain_words(said, named):
    procedure, _ = draft("Take the casting off.", said)
    assert named in {spec.characteristic for _, _, spec in procedure.placed_specs()}


@pytest.mark.parametrize(
    "said",
    ["If it howls you stop it and look at the belt.",
     "if it's stuck don't put a bar on it the ears break off warm it and use the pin wrench"],
)  # fmt: skip
def test_what_is_decided_stands_where_no_warning_tells_it(said):
    procedure, _ = draft("Lift the cover off.", "Start the saw.", said, "Tighten the belt.")
    told = " ".join(
        f"{step.note or ''} {[h.hazard + h.avoid for h in step.hazards or ()]} {step.ladder or ''}"
        for step in steps(procedure)
    )
    assert said.rstrip(".") in told


@pytest.mark.parametrize(
    "opening",
    [
        "Right, this is the hand pump off the press, and it's getting a reseal.",
        "Hello everybody, welcome to the channel, and thanks for watching.",
    ],
)
def test_what_machine_and_job_are_is_told_where_they_are_to_be_written(opening):
    procedure, _ = draft(opening, "Lift the cover off.")
    words = opening.split(",")[1].strip()
    assert procedure.purpose.startswith(UNWRITTEN)
    assert words in procedure.purpose
    assert words in procedure.unit.name


def criteria_of(*texts):
    made = draft_of(propose(told(*texts)).proposals, Front(id="x", title="x"), {}).plain
    steps = [step for part in made["sections"] for step in part["steps"]]
    told_of = [one for step in steps for one in step.get("criteria", ())]
    return [(one["look_for"], one["accept"], one["otherwise"]) for one in told_of], steps


@pytest.mark.parametrize(
    ("texts", "otherwise"),
    [
        (("Feel the caps.", "Warm's fine.",
          "If you can't keep your hand on it, stop and slacken the caps."),
         "If you can't keep your hand on it, stop and slacken the caps"),
        (("Turn it by hand.", "It should never push the needle.",
          "If it pushes it, slacken the screw."), "If it pushes it, slacken the screw"),
        (("Check the joint for leaks.", "If it drips, nip it up."), "If it drips, nip it up"),
    ],
)  # fmt: skip
def test_what_is_done_if_not_stands_with_what_is_looked_at(texts, otherwise):
    told_of, steps = criteria_of(*texts)
    assert otherwise in [one for _, _, one in told_of]
    assert not any("decide" in step.get("note", "") for step in steps)
    assert not any(otherwise in str(step.get("hazards")) for step in steps)


@pytest.mark.parametrize(
    "said", ["If you want to, give it a lick of paint.", "If you've got time, flush it too."]
)
def test_what_one_may_do_besides_is_no_answer_to_a_check(said):
    told_of, _ = criteria_of("Check the drum.", said)
    assert [one for _, _, one in told_of] == ["(to be written) what happens if not"]


def test_a_step_that_is_but_the_other_way_is_not_given_up_for_itself():
    _, steps = criteria_of("Now it marks forty-three.",
                           "If it doesn't arrive, check the pipe for leaks.")  # fmt: skip
    assert not any("ladder" in step for step in steps)


def points_of(*texts):
    _, steps = criteria_of(*texts)
    return [point["what"] for step in steps for point in step.get("critical_points", ())]


@pytest.mark.parametrize(
    "texts",
    [
        ("Mark the front edge so you know which way it goes back.",),
        ("First thing is always the same, forks on the floor.",),
        ("Take the shims out.", "Keep them exactly as they came out."),
        ("Slacken the motor bolts.",
         "Don't roll the belt off over the pulley with a screwdriver, you'll nick the edge."),
        ("Undo the nuts.", "Three long studs right through."),
    ],
)  # fmt: skip
def test_what_is_told_elsewhere_or_for_what_is_no_point(texts):
    assert not [one for one in points_of(*texts) if not one.startswith("Keep")]


def test_how_a_part_lies_is_a_point():
    assert points_of("Fit the new seal with the lip facing in.")


@pytest.mark.parametrize(
    "said",
    [
        "Pull the red cord so the door is off the trolley.",
        "Slacken the nut so the chain comes off.",
    ],
)
def test_a_reason_that_stands_in_the_order_is_not_told_twice(said):
    found = propose(told(said, "Undo the lid.")).proposals
    draft = draft_of(found, Front(id="x", title="x"), {}).plain
    steps = [step for section in draft["sections"] for step in section["steps"]]
    assert "reason" not in steps[0]
    assert "door" not in {part["name"].lower() for part in draft["parts"]}


@pytest.mark.parametrize(
    ("said", "supply", "places"),
    [
        (("Put plenty of grease on the threads.", "Fit the bolt.", "Tighten it.",
          "Now the bearings.", "Put some grease in them and press the bearings in.",
          "Check that they turn freely."), "grease", {"on the threads"}),
        (("Undo the lid.", "Have a cloth ready, there's always a bit of water in the hoses.",
          "Pull the hoses off.", "Fill the tank with fresh water and plug it in."), "water", set()),
    ],
)  # fmt: skip
def test_a_supply_is_put_only_where_its_step_says(said, supply, places):
    found = propose(told(*said)).proposals
    plain = draft_of(found, Front(id="x", title="x"), {}).plain
    uses = [
        use for s in plain["sections"] for step in s["steps"] for use in step.get("supplies", ())
    ]
    assert any(use["supply"] == supply for use in uses)
    assert {use["where"] for use in uses if use["supply"] == supply and "where" in use} == places
    assert sum("where" in use for use in uses if use["supply"] == supply) <= 1


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("Wedge a piece of wood in the blade so it can't turn.", "So it can't turn"),
        ("Leave it on the bench, so we can use it again.", "We can use it again"),
    ],
)
def test_what_is_kept_from_happening_is_told_with_so(said: str, reason: str) -> None:
    found = propose(told("Take the cover off.", said)).proposals
    steps = [s for t in draft_of(found, Front(id="x", title="x"), {}).plain["sections"]
             for s in t["steps"]]  # fmt: skip
    assert reason in [step.get("reason") for step in steps]
