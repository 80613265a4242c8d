"""What a measured value is called: by the words that name it, else plainly."""

from __future__ import annotations

import re

import pytest

from author.proposals.claims import propose
from author.proposals.proposal import Proposal
from proposals.said import told


def numbers(said: str) -> list[Proposal]:
    found = propose(told(*re.split(r"(?<=[.]) (?=[A-Z0-9])", said))).proposals
    return [one for one in found if one.kind == "measurement"]


def names(said: str) -> list[str | None]:
    return [one.detail("characteristic") for one in numbers(said)]


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("With the spring out, the oil level should be 130 millimetres from the top.", "oil level"),
        ("Runout in the taper is 0.006 millimetres.", "runout"),
        ("Set the nut 3 millimetres below the top of the thread, otherwise the play comes back.",
         "depth"),
        ("The pump should not be more than 20 degrees Celsius hotter than the return pipe.",
         "difference in temperature of the pump"),
        ("There are two big nuts that hold the pump, they are 38 millimetres.",
         "size of the pump nuts"),
        ("Torque the inner four bolts to 10 newton metres.", "torque of the inner bolts"),
        ("Do the first two to 10 newton metres.", "torque of the first two"),
        ("The depth of the bore is 40 millimetres.", "depth of the bore"),
        ("Check the protrusion, 0.5 millimetres above the top.", "protrusion"),
        ("Wear gloves, slide it on. It sits 1.5 millimetres below the edge, plus or minus 0.2.",
         "distance"),
        ("Wear a mask. It's 1.5 millimetres below the edge, plus or minus 0.2.", "distance"),
        ("Check the wear, 2 millimetres at most.", "wear"),
        ("Pull the element forward about ten centimetres, no more.", "distance"),
        ("Turn the fan, it mustn't touch the element, there should be at least 3 millimetres all "
         "round.", "clearance of the fan"),
        ("Play in the bearing is 0.2 millimetres.", "play in the bearing"),
        ("There's 2 millimetres between the guard and the blade.",
         "gap between the guard and the blade"),
        ("The sprocket teeth have grooves of 0.6 millimetres.", "depth of the grooves"),
        ("If a tooth is chipped more than 3 millimetres, it's scrap.", "chip"),
        ("Slacken the tension knob. If it's frayed on the edges more than 2 millimetres, bin it.",
         "fraying"),
        ("It must be in line with the big one, I check with a straight edge. Not more than one "
         "millimetre out.", "alignment"),
        ("I lay it on the bench and measure over twenty links. New is 254 millimetres.",
         "length over twenty links"),
        ("The belt should move about 10 millimetres when you push it.", "deflection of the belt"),
        ("Nothing falls in the bore. Lay a straight edge across the head and try a feeler gauge. "
         "The limit is 0.05 millimetres.", "flatness of the head"),
        ("The ring may be pressed in no deeper than 0.3 millimetres.", "depth"),
        ("Belt back on, I want about ten millimetres of give in the middle with your thumb.",
         "deflection of the belt"),
        ("Belt on. Push in the middle with your thumb and you want twelve millimetres.",
         "deflection of the belt"),
        ("There's a scratch in the bore, about two tenths of a millimetre.",
         "depth of the scratch"),
        ("Spindle's got a little groove where the seal runs, about a tenth of a millimetre.",
         "depth of the groove"),
        ("There's a groove, two millimetres wide.", "width"),
        ("There's a groove for the clip, eight millimetres from the end.", "distance"),
        ("The heel of the forks wants to be ten to fifteen millimetres off the floor.",
         "height of the forks"),
        ("Bottom knife flush with the plate, top one overlapping half a millimetre.", "overlap"),
        ("Coupler to the lock rollers, you're looking for a quarter inch each side.",
         "clearance between the coupler and the lock rollers"),
        ("Bottom of the door to the sill, I want a quarter inch.",
         "distance from the bottom of the door to the sill"),
        ("Bearings may be within two thou of each other.", "difference between the bearings"),
        ("The rows want to be within half an ohm of each other.", "difference in resistance"),
        ("Nothing to earth, I want over 1 megohm.", "resistance to earth"),
        ("New pins, one every 150 millimetres.", "spacing of the pins"),
        ("The hook's got to be in at least 7 millimetres.", "engagement of the hook"),
        ("The sheath goes in until it's 25 millimetres into the chamber.", "depth of the sheath"),
        ("Straight edge across the pulleys, a millimetre out at most.", "alignment of the pulleys"),
        ("Straight edge across, and it's one and a half thou hollow.", "flatness"),
        ("Set that with a feeler, between 0.05 and 0.1 of a millimetre.", "gap"),
        ("It lets go at forty-one millimetres of extension.", "extension"),
        ("Back to the spring, two millimetres shorter, again.", "length of the spring"),
        ("If it has waves like a washboard of more than 0.2 millimetres, it's scrap.",
         "depth of the waves"),
        ("The two guide keys, those I check for play. Five hundredths of a millimetre is the most.",
         "play of the guide keys"),
        ("The pedal should have ten millimetres of free play.", "free play of the pedal"),
        ("Drive chain. Guard off. Slack, twenty-two millimetres.", "slack of the drive chain"),
        ("Friction wheel next. Diameter new, 590 millimetres.", "diameter of the friction wheel"),
        ("Journal's reading 25.01 millimetres.", "diameter of the journal"),
        ("And under it, careful, a shim. Brass. Mine reads 0.12 millimetres.",
         "thickness of the shim"),
        ("The switch cuts out at ten bar, and I'm looking for it to cut in again at seven bar.",
         "cut-in pressure"),
        ("In ten minutes it may lose maximal thirteen millibar.", "pressure drop"),
        ("It should go from nothing to eight bar in under four minutes.",
         "time from nothing to eight bar"),
        ("You should get a puff for about two seconds.", "time of the puff"),
        ("After twenty minutes the bearing housings should be no more than sixty degrees Celsius.",
         "temperature of the bearing housings"),
        ("Screws at three newton metres. Pump back in, nine newton metres.", "torque of the pump"),
        ("Vent screw in first, drain screw in quick, both of them 7 newton metres.",
         "torque of the vent screw and the drain screw"),
        ("Run it at half speed first, then flat out at 6000 rpm.", "speed"),
        ("No more than half a millimetre of daylight at the hook.", "gap"),
        ("The burr has about one millimetre of land on the edge.", "width of the land"),
        ("The shoes have 1.4 millimetres of lining left.", "thickness of the lining"),
        ("You want eighty per cent contact in the taper.", "contact"),
        ("Check it stops within fifty millimetres.", "stopping distance"),
        ("Under load it may slip 40 millimetres.", "slip"),
        ("Press the seal in flush minus half a millimetre.", "depth below flush"),
        ("Slide the impeller on till it's five millimetres from the backplate.", "distance"),
        ("The safety valve must open at 1.8 bar.", "opening pressure of the safety valve"),
        ("The unloader cuts in at 6 bar.", "cut-in pressure"),
        ("Idle speed is 2800 rpm.", "idle speed"),
        ("Vane height is 22 millimetres.", "vane height"),
        ("End play is 0.1 millimetres.", "end play"),
        ("The spring's free length is 348 millimetres.", "free length of the spring"),
        ("The spring should be 62 millimetres long.", "length of the spring"),
        ("The spring should be 62 millimetres.", "length of the spring"),
        ("Take out one of the 0.2 millimetre shims and measure 0.5 millimetres of play.", "play"),
        ("That's four thou clearance in the barrel.", "clearance in the barrel"),
        ("The tension on the pulley should be 15 kilos.", "tension on the pulley"),
        ("Rod straightness, half a millimetre per metre.", "rod straightness"),
    ],
)  # fmt: skip
def test_a_value_is_called_by_the_words_that_name_it(said: str, named: str) -> None:
    assert named in names(f"Take the cover off. {said}")


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("Now lock it with the grub screw. The indicator says 0.3 millimetres.", [None]),
        ("Take it apart. The pin is 12 millimetres.", ["size of the pin"]),
        ("Get a long bar. It's 40 millimetres.", [None]),
        ("Move it 40 millimetres.", [None]),
        ("The disc is 24 millimetres. Now lock it with the circlip. The clock says 0.05.",
         ["size of the disc", None]),
        ("Set it between 2 and 3 millimetres.", [None]),
        ("Carry the pump about two metres away.", [None]),
        ("Set the arm to the stop, then go back 4 millimetres.", [None]),
        ("Take ten thou off the face.", [None]),
        ("Cut a slot 5 millimetres into the rail.", [None]),
        ("Lift it 5 millimetres and pull the pin.", [None]),
        ("Push the piston back with your thumb. The pin is 12 millimetres.", ["size of the pin"]),
        ("Keep clear of the belt, it's 20 millimetres wide.", ["width"]),
        ("The tyres overlap the step, it's 40 millimetres deep.", ["depth"]),
        ("Give it a spin for ten minutes.", ["time"]),
        ("Move the lever to the top, it's 5 bar.", ["pressure"]),
        ("If you can feel a step then it's a new rod. This is fine. I get 44.95 millimetres.",
         ["diameter of the rod"]),
        ("Don't stretch them cold. The tails are trimmed to 45 millimetres.", ["length"]),
        ("If there's a scratch on the plunger deeper than 0.3 millimetres, scrap it.", ["depth"]),
        ("The dial gauge is set up at a radius of 200 millimetres. The tube is rocked by hand. "
         "We've got 0.3 millimetres.", ["radius", "play of the tube"]),
        ("Open the valve to 2 bar.", ["pressure"]),
        ("Slack the back screw. It's 2 millimetres.", [None]),
        ("The bore is 12.02 millimetres. The coil is held by a nut, 14 millimetres.",
         ["bore", "size of the nut"]),
        ("The bore is 12 millimetres. The spring I measure free, without load. "
         "31 millimetres is right.", ["bore", "free length of the spring"]),
    ],
)  # fmt: skip
def test_what_only_stands_near_is_not_what_is_measured(said: str, named: list[str | None]) -> None:
    assert names(said) == named


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("It may slip 40 millimetres. We got 25 millimetres.", ["slip", "slip"]),
        ("Leave half a millimetre between the impeller and the casing. We set it with the shims. "
         "I measured 0.7 millimetres.", ["gap between the impeller and the casing"] * 2),
        ("Backlash is 0.6 millimetres. Slacken the bolts and push the motor over. Mind your "
         "fingers in there. Don't take those bolts out. It's 0.3 millimetres now.",
         ["backlash", "backlash"]),
        ("Backlash is 0.2 millimetres. Shim it with the 0.1 washer. It's 0.12 now.",
         ["backlash", "thickness of the washer", "backlash"]),
        ("Measure the rod. It's 44.93 millimetres. The limit is 44.90 millimetres.",
         ["diameter of the rod", "diameter of the rod"]),
        ("The chain is 233 millimetres. Replace it from 236 millimetres.",
         ["length of the chain"] * 2),
        ("The front journal is 69.99 millimetres. The rear one is 54.96 millimetres.",
         ["diameter of the front journal", "diameter of the rear journal"]),
        ("End float on the worm is 0.1 millimetres. Ours is 0.22, so one shim, the 0.1, is taken "
         "out. And that leaves 0.12.",
         ["end float on the worm", "end float on the worm", "thickness of the shim",
          "end float on the worm"]),
        ("Pressure spring. Length, free, 110 millimetres. Back in. Set length, 90 millimetres.",
         ["free length of the pressure spring", "set length of the pressure spring"]),
        ("Opening should be about 2.5 seconds, closing not faster than three seconds.",
         ["opening time", "closing time"]),
        ("The sheath goes in until it's 25 millimetres into the chamber, at least 20 millimetres "
         "clear.", ["depth of the sheath", "clearance of the sheath"]),
        ("Set it with a feeler to 0.1 millimetres, on the back guard. Front guard you leave at 0.2 "
         "millimetres.", ["gap", "gap of the front guard"]),
        ("Runout of the tube is 0.08 millimetres. The most allowed is 0.20 millimetres.",
         ["runout of the tube"] * 2),
    ],
)  # fmt: skip
def test_what_is_told_again_is_of_the_same(said: str, named: list[str]) -> None:
    assert names(said) == named


def test_a_datum_is_told_in_the_sentence_of_its_number_or_where_it_is_measured_from():
    (one,) = numbers("Find the screw under the oil hole. Measure the quill. It's 31 millimetres.")
    assert one.detail("datum") is None
    (one,) = numbers("Measure from the gasket face. It ought to be 9 millimetres.")
    assert one.detail("datum") == "gasket face"


@pytest.mark.parametrize(
    ("said", "units"),
    [
        ("The spindle weighs 30 kilos. Gap, 2 millimetres. Front journal: 69.995. "
         "The rear one is 54.96.", ["kg", "mm", "mm", "mm"]),
        ("Pump it to 6 bar. Gap, 2 millimetres. Now the end float of the shaft. It reads 0.12.",
         ["bar", "mm", "mm"]),
        ("Pump it to 6 bar. Then turn the adjuster. It's at 8 now.", ["bar", "bar"]),
        ("Vacuum is 42 kilopascals. The ratio should be 60 to 40. I have 61 to 39.", ["kPa", None]),
        ("Vacuum is 42 kilopascals. Count the beats: 60 per minute. Between 58 and 62 I let it go.",
         ["kPa", None]),
        ("The ultimate pressure is less than 20 microns.", ["µmHg"]),
        ("The clearance is less than 20 microns.", ["µm"]),
        ("The gap is 2 millimetres. Run it for ten minutes. If the front gets over 60 degrees, "
         "stop.", ["mm", "min", "°C"]),
        ("The gap is 2 millimetres. If the lid gets over 60 degrees open, stop.", ["mm", "°"]),
    ],
)  # fmt: skip
def test_no_unit_is_carried_to_what_is_of_another_kind(said: str, units: list[str | None]) -> None:
    found = (one.values for one in numbers(said))
    assert [values and values.unit for values in found] == units


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("The motor draws 3.2 amps.", "current of the motor"),
        ("The tank holds 2 bar.", "pressure of the tank"),
        ("The pump weighs eleven kilos.", "weight of the pump"),
        ("Warm the plate to eighty degrees Celsius with the heat gun.", "temperature of the plate"),
        ("Pump the tyre up to 2.4 bar.", "pressure of the tyre"),
        (
            "Do not touch the drum until it is under forty degrees Celsius.",
            "temperature of the drum",
        ),
        ("Twelve point one volts, that's the battery.", "voltage of the battery"),
        (
            "The gearbox should run cool. I get 42 degrees Celsius after an hour.",
            "temperature of the gearbox",
        ),
        (
            "Touch the gearbox with the probe. I get 42 degrees Celsius.",
            "temperature of the gearbox",
        ),
        ("Measure the coil. Sixteen ohms.", "resistance of the coil"),
        ("The gauge says two bar.", "pressure"),
        ("Drain the receiver. The gauge says two bar.", "pressure"),
        ("Pull the fuse. It should be twelve volts.", "voltage"),
        ("Fit the element. Sixteen ohms, good.", "resistance"),
        ("New core, then 40 grams of grease.", None),
        ("Put some heat to it, but stay below 300 degrees Fahrenheit.", "temperature"),
        ("The hose is soft, keep it. Leave about three millimetres under the intake.", "distance"),
    ],
)
def test_state_is_told_of_the_thing_its_clause_or_the_one_before_is_about(
    said: str, named: str | None
) -> None:
    assert names(said)[0] == named


def test_part_named_right_behind_its_number_is_what_it_is_of() -> None:
    assert names(
        "Nought point five metres a second, that's the belt."
        " Nought point five oh five, that's the handrail."
    ) == ["speed of the belt", "speed of the handrail"]


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("These have one and a half millimetres left on the leading shoe and two on the trailing."
         " Minimum is two.",
         ["size of the leading shoe", "size of the trailing shoe", "size of the shoe"]),
        ("I get 24.98 millimetres on the inner bearing and 24.95 on the outer.",
         ["size of the inner bearing", "size of the outer bearing"]),
        ("The disc is 22 millimetres on the left side.", ["size of the disc"]),
        ("The outer pad has four millimetres. Minimum is two.",
         ["thickness of the outer pad", "thickness of the outer pad"]),
    ],
)  # fmt: skip
def test_side_told_behind_a_number_is_the_one_it_is_of(said: str, named: list[str]) -> None:
    assert names(said) == named


@pytest.mark.parametrize(
    ("said", "where"),
    [
        ("Tyre pressures, fourteen psi in the front and ten in the back.",
         ["in the front", "in the back"]),
        ("The gap is eight thou on the inlet, ten on the exhaust.",
         ["on the inlet", "on the exhaust"]),
        ("Leave 10 millimetres at the top.", [None]),
        ("Leave 10 millimetres on the left and 10 on the left again.", [None, None]),
        ("It's 12 millimetres in the front cover and 10 in the back cover.", [None, None]),
    ],
)  # fmt: skip
def test_two_values_of_two_sides_hold_each_at_its_own(said: str, where: list[str | None]) -> None:
    assert [one.detail("positions") or None for one in numbers(said)] == where


@pytest.mark.parametrize(
    ("said", "named", "role"),
    [
        ("Check the runout with a dial gauge ten millimetres in from the edge, less than 0.05.",
         ["distance", "runout"], "about"),
        ("Measure the thickness ten millimetres in from the edge, the minimum is 8.",
         ["distance", "thickness"], "about"),
        ("Measure the bore 20 millimetres down from the top, 50.00 to 50.02.",
         ["distance", "bore"], "about"),
        ("The play is 2 millimetres from the end.", ["play"], "aim"),
        ("The depth should be 10 millimetres below the top.", ["depth"], "aim"),
    ],
)  # fmt: skip
def test_how_far_from_an_edge_it_is_measured_is_no_value_of_it(said, named, role):
    assert names(said) == named
    assert numbers(said)[0].detail("role") == role
    if len(named) > 1:
        assert numbers(said)[1].detail("datum") is None


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("The earth screw gets 1.2 newton metres, the others 0.8.",
         ["torque of the earth screw", "torque of the other screws"]),
        ("The long bolts get 40 newton metres, the rest 25.",
         ["torque of the long bolts", "torque of the other bolts"]),
        ("Tighten the M6 bolts to 10 newton metres and the M8 to 22.",
         ["torque of the M6 bolts", "torque of the M8 bolts"]),
        ("The top bolt gets 40 newton metres, the other one 25.",
         ["torque of the top bolt", "torque of the other bolt"]),
        ("The long bolts get 40 newton metres, no, 25.", ["torque of the long bolts"]),
    ],
)  # fmt: skip
def test_the_others_have_a_torque_of_their_own(said, named):
    every = numbers(f"Undo it. {said}")
    told_of = [one.text.split(":")[0] for one in every if one.detail("role") != "thread"]
    assert told_of == named


def test_each_of_two_torques_is_of_its_own_bolts():
    """Which value is whose is what a new hire cannot guess."""
    assert names("Torque the long bolts to 10 newton metres and the short ones to 12.") == [
        "torque of the long bolts",
        "torque of the short bolts",
    ]
    assert names("Torque the inner four bolts to 10 newton metres and the outer six to 12.") == [
        "torque of the inner bolts",
        "torque of the outer bolts",
    ]
