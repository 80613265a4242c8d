"""What becomes of parts: what is off, what goes back, what is new and what only perhaps."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.speech.sentences import sentences_of
from proposals.said import told
from proposals.said import told as spoken


def moves(*texts):
    cues = [Cue(Decimal(9 * n), Decimal(9 * n + 5), text) for n, text in enumerate(texts)]
    proposals = propose(sentences_of(cues, "film")).proposals
    names = {p.id: p.text for p in proposals}
    return [
        (move.act, names[move.part], move.count, move.certain)
        for p in proposals
        if p.kind == "step"
        for move in p.moves
    ]


def test_what_is_backed_off_dumped_or_chocked_comes_off_no_machine():
    assert not moves("Slacken the lock nut and back it off three or four threads.")
    assert not moves("Dump the tank.")
    assert {one[1] for one in moves("Chock the wheels, key out.")} <= {"key"}
    assert not moves("Get the front wheel off the ground.")
    assert not moves("Unhook the battery.")


def test_new_ones_do_not_make_what_goes_in_with_them_new():
    told = moves("Take the pads and the pad pin out.", "Now fit the new pads and the pad pin.")
    assert ("replaces", "pad pin", 1, True) not in told


def test_they_are_several_and_a_new_one_is_of_what_was_named_last():
    told = moves("Pull the old bearings, pulling on the inner race. They're going in the bin.")
    assert ("discards", "inner race", 1, True) not in told
    told = moves("Take the air filter housing off.", "The element's filthy, I'll put a new one in.")
    assert ("replaces", "air filter housing", 1, True) not in told


def test_a_name_does_not_take_in_the_word_back():
    names = {one[1] for one in moves("Now it goes together.", "Bobbin case back in.")}
    assert "bobbin case back" not in names


@pytest.mark.parametrize(
    ("said", "part"),
    [
        (("Take the lid off.", "Clean the rim.", "Right, that's the lid on."), "lid"),
        (("Take the filter out.", "Clean the bowl.", "So that's the filter back in."), "filter"),
        (("pull the plug out", "clean the filter", "water on plug in and watch it fill"), "plug"),
    ],
)
def test_what_is_told_to_be_back_goes_back_in_the_ledger(said, part):
    assert ("refits", part, 1, True) in moves(*said)


@pytest.mark.parametrize(
    "said",
    [
        "Don't run it with the lid on.",
        "If the lid's on, it whistles.",
        "There's a mark on the lid in the corner.",
        "Look at the lid on both sides.",
    ],
)
def test_what_is_named_beside_on_goes_nowhere(said):
    told = moves("Take the lid off.", "Clean the rim.", said)
    assert ("refits", "lid", 1, True) not in told


@pytest.mark.parametrize(
    ("said", "part"),
    [
        ("Undo the carrier, carrier's out, mind your fingers.", "carrier"),
        ("There we go, the impeller's off, mind your fingers.", "impeller"),
        ("And that rotor is out now.", "rotor"),
    ],
)
def test_what_is_told_to_be_off_came_off(said, part):
    told = moves("Undo the two bolts in the housing.", said, "Clean the bore.")
    assert ("removes", part, 1, True) in told


@pytest.mark.parametrize(
    "said",
    [
        "The wheel's out of true.",
        "The bearing's out by two thou.",
        "The pump's off.",
        "If the carrier's out, mind your fingers.",
        "Make sure the key's out.",
        "The lamp's out.",
    ],
)
def test_what_is_out_of_true_or_switched_off_is_still_there(said):
    told = moves("Undo the two bolts in the housing.", said, "Clean the bore.")
    assert not [one for one in told if one[0] == "removes" and "bolt" not in one[1]]


def test_what_is_lifted_out_is_what_the_fasteners_held():
    told = moves("Now the thermostat. Undo the two bolts and lift it out.", "Clean the face.")
    assert ("removes", "thermostat", 1, True) in told
    told = moves(
        "now the float valve while we are in here", "undo the half inch nut and lift it out",
    )  # fmt: skip
    assert ("removes", "float valve", 1, True) in told
    told = moves("Undo the two bolts under the bracket and lift it out.", "Clean the face.")
    assert ("removes", "bracket", 1, True) not in told
    for said in ("Undo the nut and take it off.", "Undo the drain plug and lift it out."):
        told = moves("Now the pump.", said, "Clean the face.")
        assert ("removes", "pump", 1, True) not in told


def test_a_cap_that_is_popped_comes_off_and_a_bonnet_does_not():
    assert ("removes", "dust cap", 1, True) in moves("Pop the dust cap, it's full of grease.")
    assert ("removes", "cover", 1, True) in moves("Pop the cover, three clips.")
    for said in ("Pop the dust cap on.", "Pop the bonnet.", "Pop the lid open.", "Pop the clutch."):
        assert not [one for one in moves(said) if one[0] == "removes"]


def test_a_nut_that_is_tightened_after_it_came_off_is_back():
    told = moves("Undo the gland nut.", "Clean the seat.", "Tighten the gland nut to four.")
    assert ("refits", "gland nut", 1, True) in told


OFF = ("Now undo the eight nuts around the casing.", "Lift the casing off.")
ON = ("Right, that's it all clean, now it goes together again.", "Put the casing back on.")


@pytest.mark.parametrize(
    "said",
    [
        "Press on the inner ring only.",
        "Press the stop button in.",
        "Stop button in.",
        "Right knob in one click.",
        "The clamp screws go to forty.",
    ],
)
def test_what_is_pressed_or_turned_goes_nowhere(said):
    assert moves(*OFF, said) == moves(*OFF)


@pytest.mark.parametrize(
    ("said", "part"),
    [
        ("Press on the new bearing with the sleeve.", "bearing"),
        ("New button in.", "button"),
        ("Press the new knob on.", "knob"),
    ],
)
def test_what_is_new_is_fitted(said, part):
    assert ("replaces", part, 1, True) in moves(*OFF, said)


@pytest.mark.parametrize(
    ("said", "act", "part"),
    [
        ("The drive pulley comes off with a puller.", "removes", "drive pulley"),
        ("The key comes out.", "removes", "key"),
        ("Pull the impeller with the two-leg puller.", "removes", "impeller"),
        ("Pull the wires.", "removes", "wire"),
        ("Connect the hose.", "refits", "hose"),
        ("Fit a new gasket.", "replaces", "gasket"),
    ],
)
def test_what_is_done_with_a_part(said, act, part):
    assert [move[:2] for move in moves(said)] == [(act, part)]


@pytest.mark.parametrize(
    "said",
    [
        "Take the cover off the machine and put it on the bench.",
        "Put the screws in the box.",
        "Take it off the jack.",
        "Lower the motor down onto the bench.",
        "Work the lever back and forth ten times.",
    ],
)
def test_what_is_laid_aside_is_not_fitted(said):
    assert not [move for move in moves(said) if move[0] in {"refits", "replaces"}]


def test_nuts_that_are_told_by_their_count_go_back_with_their_torque():
    told = moves(*OFF, *ON, "Do the eight nuts to forty newton metres.")
    assert ("removes", "casing nut", 8, True) in told
    assert ("refits", "casing nut", 8, True) in told


def test_what_a_little_is_taken_off_stays():
    for text in ("Take a bit off the pad.", "Take the same off each rod.", "Take a hair off it."):
        assert "removes" not in {one[0] for one in moves("Check the pad and the rod.", text)}
    assert "removes" in {one[0] for one in moves("Take the little cover off.")}


def test_one_nut_is_none_of_the_eight():
    told = moves(*OFF, *ON, "Now do the nut on the spindle up to ten newton metres.")
    assert not [move for move in told if move[0] == "refits" and move[2] == 8]


def test_a_screw_of_another_size_is_another_screw():
    told = moves(
        "Undo the four M8 screws.", "Lift the lid off.", *ON,
        "Fit the end plate with the four M6 screws, ten newton metres.",
    )  # fmt: skip
    assert not [move for move in told if move[:2] == ("refits", "M8 screw")]


def test_what_was_thrown_away_comes_back_new():
    told = moves("Pull the seal out and bin it.", *ON, "Press the seal in square.")
    assert [move[0] for move in told if move[1] == "seal"] == ["removes", "discards", "replaces"]


@pytest.mark.parametrize(
    "said",
    [
        "If the key has got a step worn in it you bin it and put a new one in.",
        "If it is cracked, replace the key.",
        "You see the key there, any score in the key means a new key.",
    ],
)
def test_what_is_renewed_only_if_something_is_found_is_not_certain(said):
    told = [move for move in moves("Take the key out of the shaft.", said) if move[0] != "removes"]
    assert told
    assert not any(certain for *_, certain in told)


@pytest.mark.parametrize(
    "said",
    [
        "Over twenty-five you gotta change the wear ring.",
        "Chuck the spring under three hundred and seventy-eight millimetres.",
    ],
)
def test_a_bound_makes_it_uncertain_as_well(said):
    assert not [move for move in moves("Lift the cover off.", said) if move[0] != "removes" and
                move[3]]  # fmt: skip


def test_the_plug_in_the_wall_is_not_that_of_the_sump_and_no_part_comes_off():
    told = moves("Pull the plug out of the wall.", "Then take the drain plug out.")
    assert {move[1] for move in told} == {"drain plug"}


def test_a_plug_that_is_pulled_before_work_is_of_the_mains():
    assert not moves("Pull the plug and hang it where you can see it.", "Plug it in again.")
    assert moves("Pull the plug wire off.")[0][1] == "plug wire"
    assert moves("Pull the plug out and look at the colour.")[0][1] == "plug"


def test_a_trigger_squeezed_to_let_pressure_off_stays_on():
    assert not moves("Squeeze the trigger to let the pressure off.")
    assert moves("Squeeze the clip off.")[0][1] == "clip"


def test_what_is_off_goes_back_where_it_is_put_through():
    back = moves(
        "Knock the shaft out.", "Right, refitting now.", "Grease the shaft and slide it through."
    )
    assert [(one[0], one[1]) for one in back] == [("removes", "shaft"), ("refits", "shaft")]
    assert not moves("Refitting now.", "Push the brush through the pipe to clean it.")


def test_nuts_of_two_names_are_not_taken_for_each_other():
    told = moves("Take the six dome nuts off. Hold the impeller nut. Undo the impeller nut.")
    assert ("removes", "dome nut", 6, True) in told
    assert ("removes", "impeller nut", 1, True) in told
    assert len(told) == 2


@pytest.mark.parametrize(
    "said", ["Push the idler over.", "Turn off the breaker and put your lock on it.",
             "Slide the engine back."]
)  # fmt: skip
def test_what_is_moved_or_locked_is_not_fitted(said):
    assert not [move for move in moves("Take the lid off.", said) if move[0] == "refits"]


def test_what_is_tossed_is_what_was_named_last():
    told = moves("Take out the four bolts and drop the brush. Toss it.")
    assert not [move for move in told if move[0] == "discards"]
    told = moves("Peel the old O-ring off the face and bin it.")
    assert [move[:2] for move in told] == [("removes", "O-ring"), ("discards", "O-ring")]


@pytest.mark.parametrize(
    ("said", "off"),
    [
        ("Remove the cover, the gasket and the two dowels.", {"cover": 1, "gasket": 1, "dowel": 2}),
        ("Take out the seal and the two bearings.", {"seal": 1, "bearing": 2}),
        ("Take the nut, the washer and the spring off.", {"nut": 1, "washer": 1, "spring": 1}),
        ("Circlip off, then the bearing.", {"circlip": 1, "bearing": 1}),
        ("Undo the twenty four cover bolts.", {"cover bolt": 24}),
        ("Undo the twenty-four cover bolts.", {"cover bolt": 24}),
        ("Undo a dozen cover bolts.", {"cover bolt": 12}),
        ("Undo the two dozen clamp screws.", {"clamp screw": 24}),
    ],
)
def test_all_that_an_order_names_comes_off(said, off):
    assert moves(said) == [("removes", part, count, True) for part, count in off.items()]


def test_all_that_an_order_fits_is_fitted():
    told = moves("Put the washer on, then the nut.")
    assert [*told, *moves("Fit a new gasket and four new bolts.")] == [
        ("refits", "washer", 1, True),
        ("refits", "nut", 1, True),
        ("replaces", "gasket", 1, True),
        ("replaces", "bolt", 4, True),
    ]


@pytest.mark.parametrize(
    "said",
    [
        "That seal goes in the scrap.",
        "The seal is for the bin.",
        "It's for the bin.",
        "So that goes in the scrap and we fit a new one.",
    ],
)
def test_what_is_for_the_bin_is_thrown_away(said):
    told = moves("Pull the seal out.", said, "Then clean the bore.")
    assert ("discards", "seal", 1, True) in told


def test_what_is_for_the_bin_only_if_something_is_found_is_not():
    told = moves("Pull the seal out.", "If it's hard it's for the bin.", "Then clean the bore.")
    assert not any(act == "discards" for act, *_ in told)


@pytest.mark.parametrize(
    "texts",
    [
        ("Take the old strainer out, put the new one in.",),
        ("Take the old strainer off and put the new one on.",),
        ("Old strainer out, new one in.",),
        ("Pull the old strainer out.", "Clean the bowl.", "The new one goes in dry."),
        ("Undo the two screws.", "Pull the old strainer out and fit the new one."),
        ("Pull the strainer out, chuck the old one in the bin and fit the new one.",),
    ],
)
def test_the_new_one_takes_the_place_of_what_came_off(texts):
    told = moves("Lift the lid off.", *texts)
    assert ("replaces", "strainer", 1, True) in told
    assert {part for act, part, *_ in told if act == "replaces"} == {"strainer"}


def test_new_ones_are_as_many_as_came_off():
    assert ("replaces", "seal", 2, True) in moves(
        "Take the two old seals out.", "Fit the new ones."
    )


@pytest.mark.parametrize(
    "said",
    [
        "Look, the new one is a touch longer.",
        "Check the new one against the old one.",
        "The new one comes in a box.",
    ],
)
def test_a_new_one_that_is_only_looked_at_is_not_fitted(said):
    assert not [one for one in moves("Pull the strainer out.", said) if one[0] == "replaces"]


@pytest.mark.parametrize(
    ("said", "part"),
    [
        ("Put the plug back, with a new copper washer.", "copper washer"),
        ("Put the motor in, and a new cover gasket.", "cover gasket"),
        ("Fit the cartridge with a new O-ring.", "O-ring"),
    ],
)
def test_what_is_new_goes_on_with_the_thing_it_is_told_with(said, part):
    assert ("replaces", part, 1, True) in moves("Lift the lid off.", said)


@pytest.mark.parametrize(
    "said",
    ["Take the plug out with the new socket.", "Put the lid on, and clean the new gasket groove."],
)
def test_what_is_new_is_not_always_fitted(said):
    assert not [one for one in moves(said) if one[0] == "replaces"]


def test_what_holds_it_goes_back_with_it():
    told = moves("Undo the four screws and lift the cover off.", *ON[:1],
                 "Put the cover on with the four screws.")  # fmt: skip
    assert [one[2] for one in told if one[0] == "refits"] == [1, 4]


@pytest.mark.parametrize(
    "said",
    [
        "If your nail catches on a scratch, that's a new rod.",
        "If it's bent you want a new rod.",
        "If there is rust on it, it gets a new rod.",
        "If it's frayed then it's a new one.",
        "Any rust and it's a new rod.",
    ],
)
def test_what_a_finding_would_mean_is_not_certain(said):
    told = moves("Take the rod out.", said, "Right, now slide the rod back in.")
    assert [one[3] for one in told if one[0] == "replaces"] == [False]
    assert ("refits", "rod", 1, True) in told


def test_a_new_part_behind_when_is_certain():
    assert moves("Once that is done, fit the new gasket.") == [("replaces", "gasket", 1, True)]


def test_all_of_those_are_all_that_was_named():
    told = moves("Undo the four bolts and both washers.", "All of those go in the bin.")
    assert {one[1:3] for one in told if one[0] == "discards"} == {("bolt", 4), ("washer", 2)}


def test_them_are_what_the_step_before_was_for():
    told = moves("Take the two screws out.", "Lovely.", "Chuck them.")
    assert ("discards", "screw", 2, True) in told


def test_what_is_put_in_the_scrap_is_what_was_pulled_and_not_what_it_was_pulled_off():
    told = moves("Pull the wheel off the shaft and put it in the scrap.")
    assert told == [("removes", "wheel", 1, True), ("discards", "wheel", 1, True)]


def test_a_bin_of_something_is_no_scrap():
    assert not [one for one in moves("Lift the guard off.", "It's in the bin of covers.")
                if one[0] == "discards"]  # fmt: skip


def test_things_told_one_after_the_other_are_each_moved():
    told = moves("Take off the electrodes, one screw, and then the baffle plate.")
    # The one screw that holds them comes off with them.
    assert [one[1] for one in told] == ["electrode", "electrode screw", "baffle plate"]
    told = moves("Energiser ring goes in first, then the main seal on top of it.")
    assert [one[1] for one in told] == ["energiser ring", "main seal"]


def test_that_is_the_one_thing_named_just_before():
    told = moves("There's a lock screw on the side here.", "Undo that and put it in the tin.")
    assert told == [("removes", "lock screw", 1, True)]
    told = moves("There's a lock screw and a grub screw.", "Undo that.", "Wipe the face.")
    assert told == []


@pytest.mark.parametrize(
    "said",
    [
        "Unplug the burner.",
        "Handbrake on.",
        "Put the handbrake on.",
        "Set it back to 75.",
        "Push the rod in by hand.",
        "Get it off the stands.",
    ],
)
def test_what_stays_on_the_machine_is_not_moved(said):
    assert moves("Take the lid off.", said) == [("removes", "lid", 1, True)]


@pytest.mark.parametrize(
    ("said", "move"),
    [
        ("Unplug the connector.", ("removes", "connector")),
        ("Plug the lead back in.", ("refits", "lead")),
        ("Take the wheel off.", ("removes", "wheel")),
        ("Put the brake caliper on.", ("refits", "brake caliper")),
    ],
)
def test_what_is_pulled_and_put_on_is_moved(said, move):
    assert [one[:2] for one in moves(said)] == [move]


def test_what_is_pushed_in_where_things_go_back_is_fitted():
    assert moves(*ON[:1], "Push the seal in by hand.") == [("refits", "seal", 1, True)]


SAFE = "Turn the isolator off and lock it off."


@pytest.mark.parametrize(
    ("texts", "nuts"),
    [
        (("Four wing nuts.", "Lift the cover off."), ("wing nut", 4)),
        (("Six M6 cap heads, five mil key.", "Cover comes off now."), ("M6 cap head", 6)),
        (("There's six cap screws, and then the cover comes off.",), ("cover screw", 6)),
        (("Held on by two M8 nuts.", "Pull the cover off."), ("M8 nut", 2)),
    ],
)
def test_what_is_only_counted_before_something_comes_off_is_undone(texts, nuts):
    told = moves(SAFE, *texts)
    assert [one[:3] for one in told] == [("removes", *nuts), ("removes", "cover", 1)]


@pytest.mark.parametrize(
    "texts",
    [
        ("Four wing nuts.", "Leave those, and lift the cover off."),
        ("Four wing nuts.", "Wipe the cover.", "Check it.", "Lift the cover off."),
        ("Four drain plugs.", "Lift the cover off."),
        ("Four wing nuts up here.", "Lift the cover off."),
    ],
)
def test_what_is_counted_is_not_always_undone(texts):
    assert {part for _, part, *_ in moves(SAFE, *texts)} <= {"cover"}


@pytest.mark.parametrize(
    "said",
    [
        "Carrier comes off with the gasket and the spacer behind it.",
        "Ease the carrier off, gasket and spacer come with it.",
        "Carrier, gasket and spacer all come off.",
        "Carrier off, gasket, spacer.",
        "And the carrier comes away and the gasket and the spacer.",
        "It's the carrier, the gasket and the spacer off.",
    ],
)
def test_what_comes_off_with_another_part_is_off(said):
    told = moves(SAFE, said)
    assert {one[:2] for one in told} == {
        ("removes", "carrier"), ("removes", "gasket"), ("removes", "spacer"),
    }  # fmt: skip


@pytest.mark.parametrize(
    "said",
    [
        "Take the wheel out, and the spacer stays on the shaft.",
        "Pull the wheel out with the wires still on.",
        "Pull the wheel off with two M8 bolts.",
        "Lift the wheel off, mind the gasket.",
        "Wheel off and the drive belt's behind it.",
    ],
)
def test_what_stays_or_helps_does_not_come_off_with_it(said):
    assert [one[:2] for one in moves(SAFE, said)] == [("removes", "wheel")]


def test_a_new_washer_is_not_the_one_that_came_off():
    told = moves(
        "Lift out the spacer, the washer and the spring.",
        "The bottom bolt gets a new copper washer.",
        "Drop the spring in, then the washer, then the spacer.",
    )
    assert {("removes", "washer", 1, True), ("refits", "washer", 1, True)} <= set(told)
    assert ("removes", "copper washer", 1, True) not in told
    told = moves("Take the gasket off.", "Now fit a new paper gasket.")
    assert told == [("removes", "paper gasket", 1, True), ("replaces", "paper gasket", 1, True)]


def test_a_new_one_of_what_the_job_renews_is_that():
    told = moves(
        "Today we're changing the oil seals in the left leg.", "Pry the dust seal out.",
        "Now it goes together.", "Put the new seal on with the marked side up.",
    )  # fmt: skip
    assert [one[1] for one in told if one[0] == "replaces"] == ["oil seal"]


def test_one_screw_is_none_of_the_two_of_another_thing():
    told = moves(
        "Take the shower screen off.", "One screw, in the middle.", "Valve body, two Allen screws.",
        "Right, that's all clean, now it goes together.", "Put the screen and the screw back.",
    )  # fmt: skip
    assert "valve body screw" not in {one[1] for one in told if one[0] == "refits"}


def test_them_are_what_a_size_is_told_of():
    told = moves(
        "The rotor comes out with the vanes, mind the vane springs, they fly.",
        "Vane height new is 22 millimetres and I throw them out under 20.5.",
    )  # fmt: skip
    assert ("discards", "vane", 1, False) in told
    assert "vane spring" not in {one[1] for one in told}


def test_that_is_what_sits_underneath():
    told = moves(
        "Pry the dust seal up.", "Underneath it sits the retaining clip.", "Take that out."
    )
    assert ("removes", "retaining clip", 1, True) in told


@pytest.mark.parametrize(
    ("said", "off"),
    [
        ("Work the lever both ways with the engine off.", set()),
        ("Take your watch off before you go near the terminals.", set()),
        ("Work the lever off with the engine off.", {"lever"}),
        ("Take the terminals off.", {"terminal"}),
    ],
)
def test_what_is_worked_with_the_engine_off_comes_off_nothing(said, off):
    assert {one[1] for one in moves(said) if one[0] == "removes"} == off


@pytest.mark.parametrize(
    ("off", "back", "part"),
    [
        ("Take the four screws out and lift the panel off.", "Panel back on, four screws.",
         "screw"),
        ("Undo the six bolts and lift the cover off.", "Cover back on, six bolts.", "bolt"),
        ("Remove the three nuts and the lid.", "Lid on, three nuts.", "nut"),
        ("Take the two clips off and pull the hose off.", "Hose back on with two clips.", "clip"),
    ],
)  # fmt: skip
def test_fasteners_counted_behind_what_goes_back_go_back_with_it(off, back, part):
    found = propose(spoken(off, "Clean the face.", back)).proposals
    assert any(
        m.act == "refits" and m.part.endswith(part) for p in found for m in p.moves
    )  # fmt: skip


def test_fasteners_that_hold_it_on_are_not_back():
    found = propose(spoken("Undo the two nuts.", "The lid is held on, three screws.")).proposals
    assert not any(m.act == "refits" for p in found for m in p.moves)


@pytest.mark.parametrize(
    "said",
    [
        "Put the parking brake on and chock the wheel.",
        "Pull the parking brake on.",
        "Put it on level ground.",
        "Put the trailer on the concrete.",
    ],
)
def test_a_brake_that_is_put_on_and_what_stands_is_not_fitted(said: str) -> None:
    moves = [m for p in propose(told("Take the wheel off.", said)).proposals for m in p.moves]
    assert [move.act for move in moves] == ["removes"]


def test_a_nut_that_is_backed_off_stays_on() -> None:
    said = told("Going back together.", "Fit the nut.", "Tighten it, then back it off.")
    assert [m.act for p in propose(said).proposals for m in p.moves] == ["refits"]
    said = told("The brake is seized.", "Take the screws out.", "Put the brake back on.")
    assert [m.act for p in propose(said).proposals for m in p.moves] == ["removes", "refits"]


def test_what_is_only_pulled_or_pressed_to_work_it_comes_off_no_machine():
    assert not moves("Pull the front brake and rock the bike.")
    assert not moves("Press the valve in until it stops hissing.")
    assert moves("Pull the brake lever off.") == [("removes", "brake lever", 1, True)]
    refits = moves(
        "Take the bearing out.", "Press the new bearing in, only press on the outer ring."
    )
    assert "outer ring" not in {part for _, part, *_ in refits}


def test_what_is_lifted_straight_up_is_out():
    assert ("removes", "cartridge", 1, True) in moves("Nut off and lift the cartridge straight up.")


def test_all_that_a_list_tells_of_goes_back():
    told = moves("Undo the bolts.", "The bolts, the washers and the plate go back on.")
    assert {part for act, part, *_ in told if act == "refits"} >= {"washer", "plate"}
