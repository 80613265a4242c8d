"""Names of things in talk: found, told apart, gathered."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.checks.verbs import words
from author.proposals.kinds.sentence_kinds import kinds_in
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of
from author.proposals.language.word_forms import singular
from author.proposals.things.finding import Thing, things_in
from author.proposals.things.gathering import gathered
from author.proposals.things.ordering import orderings
from proposals.lists import read_list
from proposals.said import said, told

TALK = Path(__file__).with_name("things.yaml")


def named(*texts: str) -> list[tuple[str, str]]:
    return [(thing.kind, thing.name) for thing in things_in(told(*texts))]


def listed(*texts: str) -> list[tuple[str, str, int | None]]:
    return [(item.kind, item.name, item.count) for item in gathered(things_in(told(*texts)))]


def talk() -> list[dict[str, Any]]:
    return read_list(TALK)["sentences"]


def test_most_names_in_the_listed_talk_are_found_and_few_others() -> None:
    hits = got = want = 0
    for one in talk():
        things = {(thing.kind, thing.name.lower()) for thing in things_in([said(one["say"])])}
        gold = {
            (kind, name.lower())
            for key, kind in (("parts", "part"), ("tools", "tool"), ("supplies", "supply"))
            for name in one.get(key, ())
        }
        hits, got, want = hits + len(things & gold), got + len(things), want + len(gold)
    assert hits / got > 0.88
    assert hits / want > 0.92


@pytest.mark.parametrize("one", [one for one in talk() if one.get("exact")])
def test_what_is_marked_exactly_is_found_and_nothing_else(one: dict[str, Any]) -> None:
    found = {(thing.kind, thing.name.lower()) for thing in things_in([said(one["say"])])}
    assert found == {
        (key.removesuffix("s"), name) for key in ("parts", "tools") for name in one.get(key, ())
    }


@pytest.mark.parametrize(
    ("text", "kind", "name"),
    [
        ("the bearing puller", "tool", "bearing puller"),
        ("the puller bearing", "part", "puller bearing"),
        ("grab the grease gun", "tool", "grease gun"),
        ("oil filter off", "part", "oil filter"),
        ("Oil seal next.", "part", "oil seal"),
        ("a squirt of brake cleaner", "supply", "brake cleaner"),
        ("a pair of needle-nose pliers", "tool", "needle-nose pliers"),
        ("with a six mil allen key", "tool", "six mil allen key"),
        ("with a T20", "tool", "T20"),
        ("the left-hand front spacer sleeve", "part", "left-hand front spacer sleeve"),
        ("Pull the frobnicator off.", "part", "frobnicator"),
        ("put it on a block of wood", "tool", "wood block"),
        ("gloves on", "tool", "gloves"),
        ("wrap PTFE tape round it", "supply", "PTFE tape"),
        ("drain plug out", "part", "drain plug"),
        ("a smear of blue on the face", "supply", "marking blue"),
        ("mic the shaft where it sits", "tool", "micrometer"),
        ("drop it in water", "supply", "water"),
        ("new copper washer screw it in", "part", "copper washer"),
        ("hair dryer on the hub", "tool", "hair dryer"),
        ("the cylinder's got a sweat on", "part", "cylinder"),
        ("press it in with a washer", "tool", "washer"),
        ("that steel pick'll scratch it", "tool", "steel pick"),
        ("put the screws in a saucer", "tool", "saucer"),
        ("setting ring in the taper", "tool", "setting ring"),
        ("new lamp in and the cover on", "part", "lamp"),
        ("take the lamp out", "part", "lamp"),
        ("feelers in the gap", "tool", "feeler gauge"),
        ("depth mic off the top face", "tool", "depth micrometer"),
        ("blow it out with the air line", "tool", "air line"),
        ("use the key with two pins", "tool", "key"),
        ("your harness on", "tool", "harness"),
        ("take a picture of the wires first", "tool", "camera"),
        ("put a level on the bed", "tool", "spirit level"),
        ("suck the chips out with a vacuum", "tool", "vacuum cleaner"),
        ("cable ties round the loom", "supply", "cable ties"),
    ],
)
def test_the_last_word_of_a_name_tells_its_kind(text: str, kind: str, name: str) -> None:
    assert (kind, name) in named(text)


@pytest.mark.parametrize(
    "text",
    [
        "this thing",
        "that one goes the other way",
        "bring the camera over to this side",
        "it takes a bit of time",
        "press it in",
        "drain it and clean it",
        "the hub face",
        "never use a hammer",
        "it's full of oil",
        "turn the water off",
        "it is stone cold",
        "that's forty pounds of iron",
        "a crack in the angle iron",
        "sharp like a pizza cutter",
        "pull it down with a vacuum of half a bar",
        "",
    ],
)
def test_plain_words_are_no_things(text: str) -> None:
    assert things_in([said(text)] if text else []) == ()


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("a dab of blue on the threads", "on the threads"),
        ("grease in the cavity between the lips", "in the cavity between the lips"),
        ("sealant round the flange and then the cover", "round the flange"),
        ("grease the lip before it goes in", "the lip"),
        ("you need some grease", None),
    ],
)
def test_where_a_supply_goes(text: str, where: str | None) -> None:
    assert [thing.where for thing in things_in([said(text)]) if thing.kind == "supply"] == [where]


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("New bearing, B W one oh one.", "BW-101"),
        ("the seal, part number six two oh three", "6203"),
        ("the bearing w double two one", "W-221"),
        ("the seal goes in two point one", None),
        ("three bolts", None),
    ],
)
def test_a_part_number_is_kept_only_where_it_is_spelled(text: str, number: str | None) -> None:
    (thing,) = things_in([said(text)])
    assert thing.number == number


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("four guard screws", 4),
        ("both bearings", 2),
        ("a pair of brake pads", 2),
        ("these two clips", 2),
        ("the screw", None),
        ("12 studs", 12),
    ],
)
def test_counts(text: str, count: int | None) -> None:
    assert [thing.count for thing in things_in([said(text)])] == [count]


def test_one_entry_for_each_thing_however_it_is_named() -> None:
    assert listed(
        "Bend the tab washer back.",
        "That washer is scrap.",
        "New tab washers come in a bag.",
        "a flashlight helps",
        "hold the torch",
    ) == [("part", "tab washer", None), ("tool", "flashlight", None)]


def test_two_kinds_of_washer_stay_two() -> None:
    assert listed("Tab washer, washer, axle nut.", "Nut off.") == [
        ("part", "tab washer", None),
        ("part", "washer", None),
        ("part", "axle nut", None),
    ]


def test_the_short_name_is_taken_for_the_one_named_last() -> None:
    things = things_in(told("the drain plug", "the spark plug", "take the plug out"))
    items = gathered(things)
    assert [(item.name, item.mentions) for item in items] == [
        ("drain plug", (0,)),
        ("spark plug", (1, 2)),
    ]


def test_what_is_spoken_of_once_in_passing_is_in_no_list() -> None:
    assert listed("My door squeaks as well.", "Undo the nut.") == [("part", "nut", None)]


def test_a_word_that_was_measured_is_no_name() -> None:
    from author.proposals.quantities.reading import quantities_in

    sentences = told("Torque the four bolts to forty newton metres.")
    (thing,) = things_in(sentences, quantities_in(sentences))
    assert (thing.name, thing.count) == ("bolts", 4)


def test_a_word_of_the_table_stands_in_one_list() -> None:
    table = trade_words()
    assert {"part", "tool", "supply", "weak", "feature", "plain"} == set(table.heads.values())
    assert not {phrase for phrase in table.phrases if len(phrase.split()) > 4}


@pytest.mark.parametrize(
    ("form", "base"),
    [
        ("taken", "take"),
        ("undid", "undo"),
        ("tapping", "tap"),
        ("taping", "tape"),
        ("easing", "ease"),
        ("pried", "pry"),
        ("pressing", "press"),
        ("reseated", "reseat"),
        ("bearing", "bear"),
        ("gasket", None),
    ],
)
def test_base_forms(form: str, base: str | None) -> None:
    assert base_of(form) == (base if form != "bearing" else base_of("bearing"))


@pytest.mark.parametrize(
    ("many", "one"),
    [("bushes", "bush"), ("bodies", "body"), ("pliers", "pliers"), ("knives", "knife")],
)
def test_one_of_many(many: str, one: str) -> None:
    assert singular(many) == one


def _holds(thing: Thing, text: str) -> bool:
    return 0 <= thing.begin < thing.end <= len(text) and bool(thing.name) and "\n" not in thing.name


@settings(max_examples=150, deadline=None)
@given(st.lists(st.text(max_size=80), max_size=4))
def test_any_text_is_read(texts: list[str]) -> None:
    sentences = [said(text) for text in texts if text.split()]
    things = things_in(sentences)
    assert all(_holds(thing, sentences[thing.sentence].text) for thing in things)
    items = gathered(things)
    mentions = [at for item in items for at in item.mentions]
    assert sorted(set(mentions)) == sorted(mentions)
    assert all(things[at].kind == item.kind for item in items for at in item.mentions)


WORDS = st.sampled_from(
    sorted(
        words("the a old four washer tab nut axle grease gun press off of it and to 6 mm oil blue")
    )
)


@settings(max_examples=150, deadline=None)
@given(st.lists(WORDS, min_size=1, max_size=25))
def test_any_talk_is_read(spoken: list[str]) -> None:
    sentence = said(" ".join(spoken))
    things = things_in([sentence])
    assert all(_holds(thing, sentence.text) for thing in things)
    assert gathered(things) == gathered(things_in([sentence]))


@pytest.mark.parametrize("garbage", ["x" * 10_000, "the " * 2_500, "nut " * 2_500, "a'" * 5_000])
def test_a_very_long_sentence_is_read(garbage: str) -> None:
    gathered(things_in([said(garbage)]))


def test_what_is_named_in_mere_talk_is_in_no_list() -> None:
    sentences = told(
        "Hello everybody, welcome back, sorry about the ceiling fan.", "Lift the impeller out."
    )
    marks = kinds_in(sentences, ())
    names = [item.name for item in gathered(things_in(sentences, (), marks))]
    assert names == ["impeller"]


def weighed(*texts: str) -> list[tuple[str, str]]:
    """Return what is in the lists where it is known what kind of sentence each is."""
    sentences = told(*texts)
    things = things_in(sentences, (), kinds_in(sentences, ()))
    return [(item.kind, item.name) for item in gathered(things)]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Take the fan cowl off, undo the four little screws.", "fan cowl screw"),
        ("Undo the six bolts round the flange.", "flange bolt"),
        ("Remove the guard, four bolts.", "guard bolt"),
    ],
)
def test_fasteners_are_named_by_what_they_hold(text: str, name: str) -> None:
    assert ("part", name) in weighed(text)


def test_fasteners_that_hold_nothing_named_keep_their_name() -> None:
    assert weighed("Undo the bolts and lift the bearing out.") == [
        ("part", "bolt"),
        ("part", "bearing"),
    ]


def test_what_is_worked_on_is_in_the_list_and_what_is_told_of_is_not() -> None:
    assert weighed("Unscrew the claw.", "Lift the claw out.") == [("part", "claw")]
    assert weighed("The window was open all day.") == []


def test_one_word_and_two_are_one_thing() -> None:
    assert len(listed("Slide the billhook out.", "Clean the bill hook.")) == 1


@pytest.mark.parametrize(
    ("text", "name", "count"),
    [
        ("Unplug the seven pin plug.", "seven pin plug", None),
        ("Pull the two way connector.", "two way connector", None),
        ("Take the two leg springs out.", "leg springs", 2),
        ("Undo the four cover screws.", "cover screws", 4),
    ],
)
def test_a_number_may_be_part_of_a_name(text: str, name: str, count: int | None) -> None:
    assert [(one.name, one.count) for one in things_in([said(text)])] == [(name, count)]


@pytest.mark.parametrize(
    ("texts", "counts"),
    [
        (("Undo the cover screws.", "There's five of them."), {"cover screw": 5}),
        (("Undo the bolts round the casing, there's eight of them.",), {"bolt": 8, "casing": None}),
        (("Take the clips off.", "Eight of those."), {"clip": 8}),
        (("Undo the little screw, there's four of them.",), {"screw": 4}),
        (("Undo the screws.", "Take two of them out."), {"screw": None}),
        (("Undo the bolts.", "Two of them go in the cover."), {"bolt": None, "cover": None}),
        (("Clean the cover.", "There's two of them."), {"cover": None}),
        (("Undo the four bolts.", "There's eight of them."), {"bolt": 4}),
    ],
)
def test_a_count_said_apart_is_that_of_the_part_named_before(
    texts: tuple[str, ...], counts: dict[str, int | None]
) -> None:
    assert {name: count for kind, name, count in listed(*texts) if kind == "part"} == counts


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("One seal kit, part number T K four four one oh, one wear ring.", ["TK-4410", None]),
        ("The AB-20 wear ring and the CD-40 seal.", ["AB-20", "CD-40"]),
        ("The drive belt is DR-12 and the idler pulley is DR-14.", ["DR-12", "DR-14"]),
    ],
)
def test_a_number_is_that_of_the_thing_it_is_said_of(text: str, numbers: list[str]) -> None:
    things = [one for one in things_in([said(text)]) if one.kind == "part"]
    assert [one.number for one in things] == numbers


def ordered(*texts: str) -> dict[str, str]:
    """Return what is said to be ordered of the parts."""
    things = things_in(told(*texts))
    return {things[at].name: way for at, way in orderings(texts, things).items()}


@pytest.mark.parametrize(
    ("texts", "ways"),
    [
        (("You need a seal kit.",), {"seal kit": "always"}),
        (
            ("You'll want one seal kit, part number T K forty, one wear ring.",),
            {"seal kit": "always", "wear ring": "always"},
        ),
        (("You need a pair of front discs.",), {"front discs": "always"}),
        (("And you need a new copper washer for this one.",), {"copper washer": "always"}),
        (
            ("What you need to bring: a new nozzle, a pump strainer with its gasket.",),
            {"nozzle": "always", "pump strainer": "always", "gasket": "always"},
        ),
        (("Take the belt off.", "Order one of those."), {"belt": "always"}),
        (("That's the drive belt, order two metres of it.",), {"drive belt": "always"}),
        (("If it's scored you need a new shaft.",), {"shaft": "in_case"}),
        (("Order a rod if it leaked.",), {"rod": "in_case"}),
        (("You need a gasket, just in case.",), {"gasket": "in_case"}),
        (("Don't order the hub, we reused it.",), {"hub": "never"}),
        (("The wiper comes with the kit so don't order that separately.",), {"wiper": "never"}),
        (("You don't need to order the bolts.",), {"bolts": "never"}),
    ],
)
def test_what_is_said_to_be_ordered(texts: tuple[str, ...], ways: dict[str, str]) -> None:
    assert ordered(*texts) == ways


@pytest.mark.parametrize(
    "text",
    [
        "You need a 13 spanner.",
        "You'll need a hand with this cover.",
        "You need to fit the seal first.",
        "You want the gasket dry.",
        "You want the seal lip facing out.",
        "You need an M8 bolt to pull it out with.",
        "You need two bolts finger tight.",
        "In order to get the seal out you pull it.",
        "The order of the bolts is crosswise.",
        "What you need is to pull the seal.",
        "Put the seals in the right order.",
    ],
)
def test_what_is_needed_for_the_work_is_not_ordered(text: str) -> None:
    assert ordered(text) == {}


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("spray it with brake cleaner copper grease", ["brake cleaner", "copper grease"]),
        ("the grooves hold solvent", ["solvent"]),
        ("lift it off the frames connecting rod next", ["connecting rod"]),
        ("the grub screw two mil hex key", ["grub screw", "two mil hex key"]),
        ("slide off the long spacer pair bearing", ["long spacer", "bearing"]),
        ("before you touch a single bolt", ["bolt"]),
        ("hub face wire brush", ["wire brush"]),
        ("take the screw out of the disc t30 torx", ["screw", "disc", "t30 torx"]),
        ("O-ring bolt goes in", ["O-ring", "bolt"]),
        # Words that belong together stay so.
        ("the wheel nut torque wrench", ["wheel nut torque wrench"]),
        ("an oil filter wrench", ["oil filter wrench"]),
        ("some wheel bearing grease", ["wheel bearing grease"]),
        ("a can of brake parts cleaner", ["brake parts cleaner"]),
        ("a six mil allen key", ["six mil allen key"]),
        ("the cover bolt", ["cover bolt"]),
        ("a ten mil half inch drive socket", ["ten mil half inch drive socket"]),
        ("a single row bearing", ["single row bearing"]),
        ("the brake pads", ["brake pads"]),
        ("the frame bolts", ["frame bolts"]),
    ],
)
def test_two_names_heard_as_one_are_two(text: str, names: list[str]) -> None:
    assert [name for _, name in named(text)] == names


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("rub it down with 600 paper", "600 paper"),
        ("top it up with dot 4 fluid", "dot 4 fluid"),
        ("some 10W-40 oil in the sump", "10W-40 oil"),
        ("a smear of number two grease", "number two grease"),
        ("medium strength threadlocker on it", "medium strength threadlocker"),
        ("half a litre of oil", "oil"),
        ("two rags", "rags"),
    ],
)
def test_a_supply_keeps_its_grade(text: str, name: str) -> None:
    assert [one for kind, one in named(text) if kind == "supply"] == [name]


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("Set the CO2 between 9 and 10 percent.", None),
        ("Grease all the new seals first.", "all the new seals"),
        ("Put copper grease on the pins again.", "on the pins"),
        ("Put copper grease on all 4 pins.", "on all 4 pins"),
        ("Put copper grease between the plates.", "between the plates"),
    ],
)
def test_where_a_supply_goes_is_a_place(text: str, where: str | None) -> None:
    assert [one.where for one in things_in([said(text)]) if one.kind == "supply"] == [where]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Bend it with the big adjustable.", "adjustable spanner"),
        ("By feel with a stubby.", "stubby screwdriver"),
        ("Ten mil hex, long one, from the drive side.", "ten mil hex key"),
        ("Slacken it with a five mil key.", "five mil hex key"),
        ("Undo it with a 30 mm key.", "30 mm key"),
        ("Put the clock on and rock it.", "dial gauge"),
        ("It runs out by two thou on the clock.", "dial gauge"),
        ("Put the tacho on the shaft.", "tachometer"),
        ("Hoover the dust out.", "vacuum cleaner"),
    ],
)
def test_tools_told_by_shape_size_or_verb_have_their_whole_name(text: str, name: str) -> None:
    assert ("tool", name) in named(text)


@pytest.mark.parametrize(
    "text",
    [
        "The pulley is adjustable.", "Take the clock out of its case.", "Oil the clock.",
        "Two bar on the clock.", "Turn it round against the clock.", "The key slides in its slot.",
        "The allen bolts are tight.", "A stubby lever comes off.",
    ],
)  # fmt: skip
def test_words_for_such_tools_may_mean_something_else(text: str) -> None:
    assert not [name for kind, name in named(text) if kind == "tool"]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Spray soapy water all around the head.", True),
        ("Soapy water on every joint.", True),
        ("Drain the water.", False),
        ("Touch it up with paint.", True),
        ("Get a dab of paint on the nut.", True),
        ("The paint was thick under the feet.", False),
        ("Road dirt and salt get in there.", False),
        ("The water runs out.", False),
    ],
)
def test_what_is_put_on_is_a_supply_and_what_is_found_there_is_none(text: str, found: bool) -> None:
    assert any(kind == "supply" for kind, _ in named(text)) is found


def test_another_thing_is_no_part_of_the_name_of_a_sized_tool() -> None:
    assert ("tool", "ten mil socket") in named("the flange washers ten mil socket")


def test_a_strap_that_lifts_is_a_tool_and_a_bolt_that_comes_off_a_part() -> None:
    found = weighed(
        "Undo the drum bolts and take the bolts off.",
        "Put a strap round the drum and lift it out.",
        "Hook the strap on the hoist.",
    )
    assert ("tool", "strap") in found
    assert ("part", "drum bolt") in found


@pytest.mark.parametrize(
    ("texts", "name", "count"),
    [
        (("Take the four nuts off.", "There's a fifth one hidden under the felt."), "nut", 5),
        (("Undo the three cover screws.", "There is a fourth one behind the label."),
         "cover screw", 4),
        (("Undo the two clips.", "And another one under the tray."), "clip", 3),
        (("Undo the four screws.", "There's a third one missing."), "screw", 4),
        (("Undo the four screws.", "There's another way in at the side."), "screw", 4),
        (("Unplug the 24 volt lead.",), "24 volt lead", None),
        (("Pull the 30 amp fuse out.",), "30 amp fuse", None),
        (("Pull the 30 fuses out.",), "fuse", 30),
    ],
)  # fmt: skip
def test_one_more_is_counted_and_a_rating_is_no_count(
    texts: tuple[str, ...], name: str, count: int | None
) -> None:
    assert ("part", name, count) in listed(*texts)
