"""Things that are named and not meant, verbs and persons that sound like things, glue by colour."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.quantities.reading import quantities_in
from author.proposals.things.finding import things_in
from author.proposals.things.named import FAINT, Thing
from proposals.said import told


def _things(*texts: str) -> list[Thing]:
    said = told(*texts)
    return list(things_in(said, quantities_in(said)))


def _signs(text: str, name: str) -> frozenset[str]:
    found = [one for one in _things(text) if one.name == name]
    return found[0].signs if found else frozenset()


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Don't be prying in the split with a screwdriver.", "screwdriver"),
        ("never you go near that bore with a chisel", "chisel"),
        ("Turn it by hand rather than with a wrench.", "wrench"),
    ],
)
def test_the_wrong_tool_is_told_from_the_one_that_is_used(text: str, name: str) -> None:
    assert "warned off" in _signs(text, name)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Pry it with a screwdriver.", "screwdriver"),
        ("It won't come, so a chisel under the rim.", "chisel"),
        ("Not that way, grab the big wrench.", "wrench"),
    ],
)
def test_what_is_told_behind_a_pause_is_warned_of_no_more(text: str, name: str) -> None:
    assert name in {one.name.split()[-1] for one in _things(text)}
    assert "warned off" not in _signs(text, name)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Put it under the press and press it out.", "press"),
        ("Set it up on the press.", "press"),
        ("Any grease is fine.", "grease"),
        ("Normal oil is fine.", "oil"),
    ],
)
def test_what_sounds_alike_and_is_meant_is_a_thing(text: str, name: str) -> None:
    assert name in {one.name for one in _things(text) if one.confidence > FAINT}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Oil under pressure goes straight through skin, so never feel for a leak.", "oil"),
        ("Diesel will go under your skin.", "diesel"),
        ("Acid will have your eyes out.", "acid"),
        ("Oil on the drum will make it slip.", "oil"),
        ("Grease on the disc ruins the pads.", "grease"),
    ],
)
def test_a_supply_that_is_told_as_a_danger_is_none_of_the_job(text: str, name: str) -> None:
    assert name not in {one.name for one in _things(text) if one.kind == "supply"}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("A smear of oil on the lip will stop it tearing.", "oil"),
        ("Oil on the threads will help it go on.", "oil"),
        ("Oil goes in through the filler.", "oil"),
        ("Grease goes into the nipple until it comes out.", "grease"),
    ],
)
def test_a_supply_that_helps_is_one_of_the_job(text: str, name: str) -> None:
    assert name in {one.name for one in _things(text) if one.kind == "supply"}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("A diaphragm the size of a saucer.", "saucer"),
        ("Driver says it pulls to the left.", "screwdriver"),
        ("the driver reckons it's been like that a week", "screwdriver"),
        ("Pull the cord and it must die at once.", "die"),
        ("If it doesn't ratchet, start again.", "ratchet"),
        ("It eats resin like that.", "eats resin"),
        ("Press start, just to prove it.", "press"),
        ("A bit of grey paste is normal, flakes are not.", "grey paste"),
        ("Some oil in the pan is quite normal.", "oil"),
        ("That'll last until spring.", "spring"),
        ("Leave that for next fall.", "fall"),
        ("It'll do till Easter.", "easter"),
        ("Er, no, that's the tilt cylinder, it's two eighty on this one.", "tilt cylinder"),
        ("No, sorry, that's the flywheel, these are sixty.", "flywheel"),
    ],
)
def test_what_is_likened_done_or_said_is_no_thing(text: str, name: str) -> None:
    assert name not in {one.name for one in _things(text) if one.confidence > FAINT}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Get the flat driver in the slot.", "flat driver"),
        ("Lift the pan, it must drain for an hour.", "pan"),
        ("Then the die, and it goes on dry.", "die"),
        ("Grab a length of hose and a pan.", "pan"),
        ("No, that's the drain plug, undo that.", "drain plug"),
    ],
)
def test_other_things_are_meant(text: str, name: str) -> None:
    assert name in {one.name for one in _things(text)}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Securing bolt with the blue glue.", "blue threadlocker"),
        ("medium glue on the four screws", "threadlocker"),
        ("a drop of the purple on the grub screw", "purple threadlocker"),
        ("Wood glue on the tenon.", "wood glue"),
        ("Hot glue on the pad.", "hot glue"),
    ],
)
def test_glue_told_by_its_colour_or_strength_holds_threads(text: str, name: str) -> None:
    assert [one.name for one in _things(text) if one.kind == "supply"] == [name]


@pytest.mark.parametrize(
    ("texts", "name"),
    [
        (("Clamp on the black one, three amps.",), "clamp meter"),
        (("Put the clamp round the live.", "It draws six amps."), "clamp meter"),
        (("Undo the clamp on the hose.",), "clamp"),
        (("The clamp gets six newton metres.",), "clamp"),
    ],
)
def test_a_clamp_that_reads_a_current_is_a_meter(texts: tuple[str, ...], name: str) -> None:
    assert name in {one.name for one in _things(*texts)}


@pytest.mark.parametrize(
    "text",
    [
        "Don't pry it with a screwdriver.",
        "Clean it with a rag, don't use a screwdriver.",
        "Never you lever it with a screwdriver.",
    ],
)
def test_what_is_not_to_be_used_is_no_tool_of_the_job(text: str) -> None:
    assert not [p for p in _proposed(text) if "screwdriver" in p]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Don't lower it until you've gone round with a wrench.", "wrench"),
        ("Don't start without gloves on.", "gloves"),
        ("Don't pry it with a screwdriver. Turn the screw with the screwdriver.", "screwdriver"),
    ],
)
def test_what_is_asked_for_behind_a_refusal_is_a_tool(text: str, name: str) -> None:
    assert name in _proposed(text)


def test_a_knife_edge_is_no_tool_where_it_tells_how_sharp_something_is() -> None:
    assert not [one for one in _things("It's got a knife edge on it.") if one.kind == "tool"]
    assert [one for one in _things("Check it with a knife edge.") if one.kind == "tool"]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("If it's stuck don't put a bar on it, the ears break off.", "bar"),
        ("Never put a bar between the vanes, they break.", "bar"),
        ("Pull the tube out sharply, like a slide hammer.", "slide hammer"),
        ("Don't use a metal stop, because it can punch a hole in the crown.", "punch"),
        ("Don't touch it with fingers, grease kills the brake.", "grease"),
        ("Grease the lip with a little fork grease.", "grease"),
        ("Put a plastic bag over the end of the tube.", "bag"),
        ("Open the tap. Vacuum at the gauge 42 kilopascals.", "vacuum cleaner"),
        ("It's tight with coffee oil.", "coffee oil"),
        ("Only four newton metres, they're soft lead.", "soft lead"),
        ("Heat the new bearing in the oil bath to 90 degrees.", "heat gun"),
        ("Lower the bucket to the ground.", "bucket"),
        ("Shim it down with a one mil washer under the yoke.", "one mil washer"),
    ],
)
def test_what_is_forbidden_or_is_no_tool_is_in_no_list(text: str, name: str) -> None:
    said = told(*(f"{one.rstrip('.')}." for one in text.split(". ")))
    found = [p for p in propose(said).proposals if p.text == name]
    assert not [p for p in found if p.kind in {"tool", "supply"} or name == "soft lead"]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Don't undo it until you've put a bar through the wheel.", "bar"),
        ("Don't forget the torque wrench.", "torque wrench"),
        ("Don't turn it without the torque wrench.", "torque wrench"),
        ("You can punch the mark in here.", "punch"),
        ("Grease the lip lightly.", "grease"),
        ("Vacuum the chips out.", "vacuum cleaner"),
        ("Put the bolts in the bucket.", "bucket"),
    ],
)
def test_what_sounds_forbidden_and_is_used_is_in_the_list(text: str, name: str) -> None:
    assert name in _proposed(text)


def test_a_lead_is_a_part_and_lead_is_a_metal() -> None:
    assert [one.name for one in _things("Unplug the red lead.")] == ["lead"]
    assert not _things("They're soft lead.")


@pytest.mark.parametrize(
    ("text", "name", "where"),
    [
        ("Just the rack gets a smear of moly grease.", "moly grease", "the rack"),
        ("The bearing gets a dab of lithium grease.", "lithium grease", "The bearing"),
        ("Grease the lip with a little fork grease.", "fork grease", "the lip"),
        ("Food grade grease on the thread nothing else.", "food grade grease", "on the thread"),
        ("A drop of threadlock on the screw, the blue one.", "blue threadlock", "on the screw"),
        ("A drop of threadlock on the screw, not the red one.", "threadlock", "on the screw"),
        ("Clean the faces with brake cleaner.", "brake cleaner", None),
    ],
)
def test_where_a_supply_goes_is_what_gets_it(text: str, name: str, where: str | None) -> None:
    supplies = {one.name: one.where for one in things_in(told(text)) if one.kind == "supply"}
    assert supplies == {name: where}


def test_what_is_not_to_be_greased_is_no_place_for_grease() -> None:
    told_of = _things("Don't grease the rollers.", "Just the rack gets a smear of moly grease.")
    assert [one.where for one in told_of if one.kind == "supply" and one.where] == ["the rack"]


def test_oil_is_not_the_oil_that_frees_rust() -> None:
    found = _proposed("Spray penetrating oil on the bolt.", "Put a drop of oil on the lip.")
    assert {"penetrating oil", "oil"} <= set(found)


def _proposed(*texts: str) -> list[str]:
    kinds = {"tool", "supply"}
    found = propose(told("Lift the cover off.", *texts)).proposals
    return [one.text for one in found if one.kind in kinds]


def _used(*texts: str) -> tuple[set[str], set[str]]:
    """Return the tools and supplies that are used, and those that are only told not to be."""
    found = [p for p in propose(told("Undo the nut.", *texts)).proposals
             if p.kind in {"tool", "supply"}]  # fmt: skip
    left = {p.text for p in found if p.detail("left_out")}
    return {p.text for p in found} - left, left


@pytest.mark.parametrize(
    "text",
    [
        "The new gasket comes dry inside, without grease.",
        "Fit the cover without silicone.",
        "Fit the seal dry, no sealant.",
        "Oil the chains, don't grease them, grease never gets in the pins.",
        "Never a wire brush on soft aluminium.",
    ],
)
def test_what_is_not_to_be_used_stands_in_no_step(text: str) -> None:
    used, _ = _used(text)
    assert not used - {"oil"}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Don't start it without oil.", "oil"),
        ("Never run it without gloves.", "gloves"),
        ("It won't seal without sealant.", "sealant"),
        ("Don't forget the torque wrench.", "torque wrench"),
        ("Oil the chain, never the pads.", "oil"),
    ],
)
def test_what_must_not_be_missing_is_used(text: str, name: str) -> None:
    assert name in _used(text)[0]


def test_a_supply_taken_back_is_not_used() -> None:
    assert not _used("A spot of loctite.", "Sorry, not on these, the heat just cooks it.")[0]
    assert not _used("A dab of grease on the lip, no, not on this one.")[0]
    assert _used("A dab of grease on the lip.", "Not on the face.")[0] == {"grease"}


def test_one_brush_is_not_the_other_that_is_not_to_be_used() -> None:
    used, left = _used("Never a wire brush.", "Brush it on the male thread only.")
    assert (used, left) == ({"brush"}, {"wire brush"})


def _names(*texts: str) -> set[str]:
    return {one.name for one in _things(*texts) if one.confidence > FAINT}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("We've got milky oil here.", "milky oil"),
        ("The helicoid grease has gone to glue.", "helicoid grease"),
        ("The tip's got a bit of a hook on it.", "hook"),
        ("A slipped driver is a scratched lens.", "slipped driver"),
        ("It let go at forty-one millimetres of extension.", "extension"),
        ("Today we are going to change the vanes of the vacuum pump.", "vacuum pump"),
        ("The inner lip faces in to keep oil in.", "oil"),
        ("New O-ring on the carrier grease it.", "carrier grease"),
        ("Next shutdown, order one.", "shutdown"),
        ("They're already greased so don't add any.", "grease"),
        ("The bearings come greased.", "grease"),
        ("So today we're doing the carrier bearings on this belt grinder.", "belt grinder"),
    ],
)
def test_dirt_harm_and_the_machine_are_no_things(text: str, name: str) -> None:
    assert name not in _names(text)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Lift it with a hook.", "hook"),
        ("Use an extension on the ratchet.", "extension"),
        ("Pull it down with the vacuum pump.", "vacuum pump"),
        ("Put the grease on the shaft, it stays put.", "grease"),
        ("Pour oil in slowly.", "oil"),
        ("Inch and an eighth spanner on the pipe.", "inch and an eighth spanner"),
        ("Use the three quarter spanner.", "three quarter spanner"),
        ("Polish it with six hundred paper.", "six hundred paper"),
        ("Undo the screws, Torx twenty.", "torx twenty"),
        ("It has eight screws, Allen of six.", "six allen key"),
    ],
)
def test_what_is_used_has_its_whole_name(text: str, name: str) -> None:
    assert name in _names(text)


def test_a_tool_named_within_a_number_is_one() -> None:
    text = "Warm the housing to eighty degrees Celsius with the heat gun, no more than a hundred."
    assert "heat gun" in {one.name for one in _things(text)}


def test_a_speed_and_a_pronoun_are_no_places() -> None:
    wheres = {one.name: one.where for one in _things("Run a strip of cloth at half speed first.",
                                                     "Grease them.")}  # fmt: skip
    assert not any(wheres.values())
