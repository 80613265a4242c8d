"""Things told by their place, by a verb or by what they hold; and words that only sound so."""

from __future__ import annotations

import pytest

from author.proposals.quantities.reading import quantities_in
from author.proposals.things.fastened import by_what_they_hold
from author.proposals.things.finding import things_in
from author.proposals.things.gathering import key_of
from proposals.said import told


def _named(*texts: str) -> set[str]:
    sentences = told(*texts)
    found = things_in(sentences, quantities_in(sentences))
    return {one.name for one in by_what_they_hold(found, sentences)}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Two rollers in the feed, the top one first.", "top roller"),
        ("Take the left door plate off, then the right one.", "right door plate"),
        ("The bearings, the lower one's a six two oh one.", "lower bearing"),
        ("Press it on by the inner race, never by the outer.", "outer race"),
        ("Bottom hinge screws first, then the top uns.", "top hinge screws"),
    ],
)
def test_a_thing_is_told_by_its_place(text: str, name: str) -> None:
    assert name in _named(text)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Two bolts here, use the right one or it strips.", "right bolt"),
        ("Lift the lid, the top one lives on the shelf.", "top lid"),
        ("Oil the shaft, the inner and so on.", "inner shaft"),
        ("Pull the left lever, then the one with the knob.", "right lever"),
        ("Fill it up to the upper, not past it.", "upper"),
    ],
)
def test_a_place_alone_names_nothing(text: str, name: str) -> None:
    assert name not in _named(text)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Fill it with ISO 46 to about an inch below the top.", "ISO 46 oil"),
        ("Top it up with 46 hydraulic.", "46 hydraulic oil"),
        ("Fill it with forty six hydraulic up to the mark.", "forty six hydraulic oil"),
        ("I'll lap that with some 400 grit.", "400 grit"),
        ("rub it down with four hundred grit", "four hundred grit"),
        ("Dress it with 600 wet and dry.", "600 wet and dry paper"),
        ("It's a number two lithium, about a cupful.", "number two lithium grease"),
        ("Pack it with EP2.", "EP2 grease"),
        ("Grease it with EP2 until it comes out.", "EP2 grease"),
        ("It gets a squirt of two stroke.", "two stroke oil"),
        ("Fill the gearbox with 80W90.", "80W90 oil"),
        ("Top up with dot four.", "dot four fluid"),
        ("Not ISO 46, use ISO 68.", "ISO 68 oil"),
    ],
)
def test_a_grade_alone_is_a_supply(text: str, name: str) -> None:
    assert {one for one in _named(text) if not one.endswith("gearbox")} == {name}


@pytest.mark.parametrize(
    "text",
    [
        "It's a two stroke engine.",
        "It's a two stroke, so mind the mix.",
        "Fit the 80 grit disc.",
        "The ISO 46 sticker is on the tank.",
        "The M6 ISO bolts go in.",
        "Take the EP2 plug out.",
        "The 46 hydraulic hoses come off.",
        "Never put 400 grit on it.",
        "It's wet and dry by turns.",
        "Feel the grit in it.",
        "The gauge reads 46 hydraulic and 30 air.",
    ],
)
def test_a_grade_before_a_name_of_its_own_or_of_a_machine_is_no_supply(text: str) -> None:
    said = told(text)
    found = things_in(said, quantities_in(said))
    assert not [one for one in found if "by grade" in one.signs]


def test_oils_of_two_grades_are_two() -> None:
    assert key_of("ISO 46 oil") != key_of("ISO 68 oil")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Take off the belt guard, that's four M8 screws.", "belt guard M8 screws"),
        ("Off with the hopper, that's six wee bolts.", "hopper bolts"),
        ("The lid's held on by two long bolts.", "lid bolts"),
        ("Undo the two M8 nuts on the motor foot.", "motor foot M8 nuts"),
    ],
)
def test_a_fastener_told_by_its_size_is_named_by_what_it_holds(text: str, name: str) -> None:
    assert name in _named(text)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Slacken the pinch bolts on the yoke.", "pinch bolts"),
        ("Undo the M6 screws and lift the cover.", "M6 screws"),
        ("Off with the hopper, that's two drain plugs.", "drain plugs"),
        ("Fit the washer, then four M8 screws.", "M8 screws"),
    ],
)
def test_a_fastener_with_a_name_of_its_own_or_of_nothing_near_keeps_it(
    text: str, name: str
) -> None:
    assert name in _named(text)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Park it in neutral chock both ends.", "wheel chock"),
        ("Scribe a line across the flange.", "scriber"),
        ("Punch a mark on the yoke.", "punch"),
        ("Pull the heater out and ohm it.", "multimeter"),
        ("Forty newton metres on the small wrench.", "torque wrench"),
        ("Sixty degrees on the gun, then stop.", "infrared thermometer"),
        ("Lay a tape on it, forty inches between the posts.", "tape measure"),
        ("Open the drain cock over a bucket.", "drain cock"),
    ],
)
def test_a_tool_or_a_part_is_told_by_verb_number_or_whole_name(text: str, name: str) -> None:
    assert name in _named(text)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("The coil reads fifty ohm across the tags.", "multimeter"),
        ("Undo it with the small wrench.", "torque wrench"),
        ("Undo it with the strap wrench to forty newton metres.", "torque wrench"),
        ("Keep the gun moving, eighty degrees is plenty.", "infrared thermometer"),
        ("Wrap it with the tape, ten millimetres past the edge.", "tape measure"),
        ("It is a punched hole, leave it.", "punch"),
        ("The wheels are chocked.", "wheel chock"),
        ("The scribed line shows.", "scriber"),
    ],
)
def test_what_only_sounds_like_a_tool_is_none(text: str, name: str) -> None:
    assert name not in _named(text)


def test_upper_and_top_are_one_place() -> None:
    assert key_of("upper bearing") == key_of("top bearing")
    assert key_of("fork lowers") != key_of("fork bottoms")


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("copper washer nut and the spring last", {"copper washer", "nut", "spring"}),
        ("then the wavy washer spacer sleeve and nut", {"wavy washer", "spacer sleeve", "nut"}),
        ("rod seal wiper piston and that's the lot", {"rod seal wiper", "piston"}),
        ("drain screw pulley next", {"drain screw", "pulley"}),
        ("new bowl gasket lid on", {"bowl gasket", "lid"}),
        ("the nut cover off", {"nut cover"}),
        ("gasket housing and the screw cap", {"gasket housing", "screw cap"}),
        ("circlip groove clean", set()),
        ("a bolt carrier and a washer plate", {"bolt carrier", "washer plate"}),
        ("the nut bolt out of the slide", {"nut bolt"}),
        ("the forgotten sleeve and the pitted race", {"sleeve", "race"}),
        ("tight bearing, torn gaiter", {"bearing", "gaiter"}),
        ("the lined plate and the slotted disc", {"lined plate", "slotted disc"}),
    ],
)
def test_a_name_ends_with_its_fastener_and_without_its_state(text: str, names: set[str]) -> None:
    found = _named(text)
    assert names <= found
    assert not {one for one in found if one.startswith(("forgotten", "pitted", "tight", "torn"))}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Three nuts off the stator, half inch spanner.", "stator nuts"),
        ("Take the two screws from the bracket.", "bracket screws"),
        ("The lid goes back with four little screws.", "lid screws"),
        ("The blower housing's mounted with six bolts.", "blower housing bolts"),
    ],
)
def test_fasteners_come_off_what_they_hold(text: str, name: str) -> None:
    assert name in _named(text)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Rear cover's eleven bolts round the edge.", "rear cover bolts"),
        ("Rear cover, seventeen bolts, three lengths.", "rear cover bolts"),
        ("Two screws at the back for the lid.", "lid screws"),
        ("Six screws round the pan, and a seventh below.", "pan screws"),
        ("One screw in the middle of the spray plate.", "spray plate screw"),
        ("Four screws and the valve housing is off.", "valve housing screws"),
        ("End cover on the alternator, four screws.", "end cover screws"),
        ("The clamp plates on the two carriers, four screws.", "clamp plate screws"),
        ("A mark with the pen on the hub, then six screws.", "hub screws"),
        ("Airbox, four clamps, two screws.", "airbox screws"),
        ("Scraper first, it's four bolts.", "scraper bolts"),
        ("The wear ring's got three countersunk screws.", "wear ring screws"),
        ("The fan deck's on four M six bolts.", "fan deck bolts"),
        ("The lid's on two brass screws.", "lid screws"),
        ("Counterweight, three long bolts.", "counterweight bolts"),
        ("Guard's four bolts, off.", "guard bolts"),
        ("Grub screw out of the sleeve.", "Grub screw"),
        ("Under the hood, three nuts.", "nuts"),
        ("Four screws and the spring is off.", "screws"),
        ("Four screws and the valve housing comes next.", "screws"),
        ("Hit it with the slide hammer, two screws.", "screws"),
        ("The piston ring, two screws.", "screws"),
    ],
)
def test_fasteners_are_told_by_what_they_hold(text: str, name: str) -> None:
    assert name.lower() in {one.lower() for one in _named(text)}


def test_long_fasteners_are_told_from_short_ones() -> None:
    names = _named("The lid has two long screws.", "The back has two short screws.")
    assert "lid long screws" in names
