"""Tools told without their article, by a verb, by what they read or by a size alone."""

from __future__ import annotations

import pytest

from author.checks.verbs import words
from author.proposals.claims import propose
from author.proposals.quantities.reading import quantities_in
from author.proposals.things.finding import things_in
from proposals.said import told

_SHORT = words(
    "gauge stand stands stick bar scraper drill file key spanner lock harness caliper calliper"
)


def tools_of(*texts: str) -> list[str]:
    said = told(*texts)
    return [one.name for one in things_in(said, quantities_in(said)) if one.kind == "tool"]


@pytest.mark.parametrize(
    ("text", "tool"),
    [
        ("Bearing cap off, clock on the journal, and bar it round slowly.", "dial gauge"),
        ("clock under the carriage and lift it", "dial gauge"),
        ("mike across the lobe, new is forty", "micrometer"),
        ("OK mike on the old journal, and it's nineteen ninety-six.", "micrometer"),
        ("The pin is ten new and I mike nine ninety-eight.", "micrometer"),
        ("Level across the top, and two degrees is fine.", "spirit level"),
        ("Isolator off, and the tester says all three phases are dead.", "voltage tester"),
        ("Pour it into a can and put the lid on.", "can"),
        ("Tip the screws into a dish.", "dish"),
        ("Right, indicator against the flange, and no more than four thou.", "dial indicator"),
        ("The clock shows three hundredths at the rim.", "dial gauge"),
        ("Wheels off the floor, stands under the sill, and shake it.", "stands"),
        ("Then two stands under the chassis.", "stands"),
        ("it goes on stands, not on the jack", "stands"),
        ("chocks both sides of the trailer wheel", "chocks"),
        ("Get a stand under the gearbox before the last bolt.", "stand"),
        ("Poke the drain clear with a long stick.", "long stick"),
        ("lever the sheave over with a bar", "bar"),
        ("slip a bar under the lip and lift", "bar"),
        ("bar through the sprocket so it can't run back", "bar"),
        ("Take the long bar to that nut.", "long bar"),
        ("Strop round the mast, and take the weight.", "strop"),
        ("Gun on the pump housing, sixty degrees, no more.", "infrared thermometer"),
        ("seventy degrees, the gun says", "infrared thermometer"),
        ("file it flat and wipe it", "file"),
        ("scrape that old gasket off", "scraper"),
        ("Meg it, and write the reading down.", "insulation tester"),
        ("drift them out from below", "drift"),
        ("Hub nut, key of thirty, and a long pipe.", "thirty spanner"),
        ("Four screws, key five, and the lid is off.", "five hex key"),
        ("with the key of four you open the cap", "four hex key"),
        ("the key is nine mm, the same as the other", "key"),
        ("Axle nut, a forty-six key.", "forty-six spanner"),
        ("Power off at the isolator, lock, tag, and my name on it.", "lock"),
        ("Breaker down, a lock on each, and tags.", "lock"),
        ("Up the ladder with the harness on, clipped above you.", "harness"),
        ("put the calliper on the rod, twenty-five millimetres new", "calliper"),
        ("Brush it, then calliper at three places, new is ninety millimetres.", "calliper"),
    ],
)
def test_a_tool_told_short_is_found(text: str, tool: str) -> None:
    assert tool in tools_of(text)


@pytest.mark.parametrize(
    "text",
    [
        "Stand clear of the belt.",
        "Stand off to the side while it spins up.",
        "the shaft stands still",
        "When it stands in the slot, stop.",
        "nobody stands under the load",
        "leave it to stand for ten minutes",
        "Mine stands at two point five.",
        "stick the cover back on",
        "the vanes stick in the rotor",
        "It'll stick to the magnet plate.",
        "have your mate stand on the pedal",
        "Pressure should be four bar in the line.",
        "about half a bar under what it was",
        "within a bar of the other side",
        "a bar and a half in the vessel",
        "down to a bar on the return",
        "don't scrape it, soak it",
        "never drill the rivet, punch it",
        "don't you file the rotor",
        "new key, ten by eight, tapped in",
        "The key is five mil wide.",
        "Engine off, key in the pocket.",
        "key out, and two bolts behind it",
        "ten hours on the clock",
        "half an hour by the clock on the wall",
        "Press the lock back in the drawer, and the tag on the cable.",
        "Take the door lock off, two screws.",
        "unplug the harness behind the motor, the grey one",
        "Slide the caliper off, the pad is three millimetres.",
        "Caliper off, two bolts, and the disc is eleven millimetres.",
        "caliper on, and the pads go in at nine millimetres",
    ],
)
def test_words_alike_are_no_such_tools(text: str) -> None:
    assert not [name for name in tools_of(text) if name.split()[-1].lower() in _SHORT]


@pytest.mark.parametrize(
    ("text", "tool"),
    [
        ("Scrape it off with a putty knife.", "scraper"),
        ("wire brush the face till it's bright", "brush"),
        ("heat it with the gun to eighty degrees", "infrared thermometer"),
        ("keep the gun moving till it's at ninety degrees", "infrared thermometer"),
    ],
)
def test_another_tool_is_meant(text: str, tool: str) -> None:
    assert tool not in tools_of(text)


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("The oil can go straight through your skin.", []),
        ("The oil can still leak out.", []),
        ("Grab the oil can and a rag.", ["oil can"]),
        ("The hoses take a one and one eighth spanner.", ["one and one eighth spanner"]),
        ("Use a one eighth pin punch.", ["one eighth pin punch"]),
    ],
)
def test_a_can_is_no_verb_and_a_size_is_told_whole(said: str, named: list[str]) -> None:
    found = propose(told("Take the cover off.", said)).proposals
    assert [one.text for one in found if one.kind == "tool"] == named
