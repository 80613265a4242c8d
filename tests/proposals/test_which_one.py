"""Numbers that tell which one or when, and those that only look like it."""

from __future__ import annotations

import pytest

from author.proposals.quantities.reading import quantities_in
from proposals.said import told

_BEFORE = "The gap is 20 mm."


def read(*sentences: str) -> list[str]:
    return [one.text for one in quantities_in(told(_BEFORE, *sentences))][1:]


@pytest.mark.parametrize(
    "sentence",
    [
        "Drive it out with a piece of two by four, the size of the flange.",
        "Or it lets go at two in the morning.",
        "Read the dial at twelve, three, six and nine.",
        "Read the dial at 12, 3, 6 and 9 o'clock.",
        "It's 8.99 a tub.",
        "The stickers are seven zloty.",
        "That hook's ninety pound, never mind the postage.",
        "Fill it with eighty-five one-forty gear oil.",
        "75 90 gear oil goes in the front hole.",
        "Undo it with the key of ten.",
        "Nut of nineteen at the right.",
        "It comes loose with a five-eighths.",
        "Take the four bolts out, nine sixteenths, and the plate comes off.",
        "We've got to swap it, impact, fifteen sixteenths, and it zips right off.",
        "Push on the outer race, big socket, inch and thirteen sixteenths.",
        "Flare nuts, inch and an eighth, and always two wrenches.",
        "The ground, and two little ones, three eighths.",
        "Undo the four motor bolts, that's a 17 and let it drop.",
        "Above sits a 6202, the lower is the same.",
        "The factor is 4.9 for this multiplier.",
        "I counted, twenty-two, so write that down.",
        "Polish it in a figure of eight.",
        "You need the fifty-hour kit.",
        "It's a hundred thou dial.",
        "It reads in five gram divisions.",
        "Rub it with the straightedge eighteen inch across the ways.",
        "The radius is like a two pound coin.",
        "That's the eight-sided socket, ninety-five mil, and it's left-hand.",
        "I had to cut twenty minutes here.",
        "I have looked ten minutes for it.",
        "Run it slow, that's three thousand an hour.",
        "It may only do ten starts in an hour.",
        "It loses three volts an hour.",
        "In the pack are two wide ones with a thin one.",
        "Get a new pump, the six watt one, not the nine watt, that one overflows the trough.",
        "Fit the two hundred bar hose, not the hundred bar one.",
        "Order the twelve volt relay, not the twenty-four volt.",
        "Use the five litre can, never the twenty litre.",
        "You don't want the nine watt, it overflows.",
        "The nine watt is the wrong one.",
        "Then give it ten long strokes to get the air out.",
        "The balls are in two rings, twenty-five a row.",
        "In ninety percent of cases it's the seal.",
    ],
)
def test_number_that_tells_which_one_is_no_quantity(sentence: str) -> None:
    assert read(sentence) == []


@pytest.mark.parametrize(
    ("sentence", "wanted"),
    [
        ("The block is 6 by 4 mm.", ["6 by 4 mm"]),
        ("Cut a piece of gasket two by four inches.", ["two by four inches"]),
        ("A bit of 6 by 4 millimetre bar.", ["6 by 4 millimetre"]),
        ("In the morning it's 0.4.", ["0.4"]),
        ("The torques are at three, six, nine and twelve newton metres.",
         ["three", "six", "nine", "twelve newton metres"]),
        ("The shim is 0.25 a side.", ["0.25"]),
        ("Pour in two litres of oil.", ["two litres"]),
        ("Two litres of the two-twenty, to the middle of the glass.", ["Two litres"]),
        ("One point two litres of eighty-ninety, to the level hole.", ["One point two litres"]),
        ("The oil goes in at 80 to 90 degrees.", ["80 to 90 degrees"]),
        ("The oil pressure is 80 to 90 psi.", ["80 to 90 psi"]),
        ("Do the nut to 25 newton metres.", ["25 newton metres"]),
        ("The bolts want a 25 newton metre.", ["25 newton metre"]),
        ("With a half turn it's done.", ["a half turn"]),
        ("Check the wrench, 40 newton metres.", ["40 newton metres"]),
        ("Put the wrench on, five mil of thread shows.", ["five mil"]),
        ("It holds a 6200 rpm limit.", ["6200 rpm"]),
        ("The figure is eight.", ["eight"]),
        ("The dial reads 30 thou.", ["30 thou"]),
        ("Set 2 thou dial end play.", ["2 thou"]),
        ("Use the straightedge 2 inches in from the edge.", ["2 inches"]),
        ("Change it every 50 hours.", ["50 hours"]),
        ("Cut it, then wait ten minutes.", ["ten minutes"]),
        ("We cut the power, ten minutes.", ["ten minutes"]),
        ("Two coats, an hour apart.", ["an hour"]),
        ("Leave it to soak an hour.", ["an hour"]),
        ("It loses three volts, an hour later.", ["three volts", "an hour"]),
        ("It weighs 40 pounds.", ["40 pounds"]),
        ("The pin is ten long.", ["ten"]),
        ("The slot is two wide, six deep.", ["two", "six"]),
        ("It has to be ten long across the flats.", ["ten"]),
        ("Open it ninety percent.", ["ninety percent"]),
        ("You don't want a two millimetre gap there.", ["two millimetre"]),
        ("Don't use the full forty newton metres.", ["forty newton metres"]),
        ("The gap is 2 mm, not more than 3 mm.", ["2 mm, not more than 3 mm"]),
        ("It's at 1.8 bar, not the two bar it should be.", ["1.8 bar, not the two bar"]),
    ],
)  # fmt: skip
def test_number_that_only_looks_like_it_stays(sentence: str, wanted: list[str]) -> None:
    assert read(sentence) == wanted


def test_size_in_millimetres_tells_the_unit_of_what_is_told_behind_it() -> None:
    *_, last = quantities_in(
        told(
            _BEFORE,
            "The pressure is 16 bar.",
            "It's fifteen by thirty-five by eleven.",
            "Wipe it dry.",
            "I get seventeen point one.",
        )
    )
    assert last.unit == "mm"
