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
        ("The depth of the bore is 40 millimetres.", "depth of the bore"),
        ("Play in the bearing is 0.2 millimetres.", "play in the bearing"),
        ("There's 2 millimetres between the guard and the blade.",
         "gap between the guard and the blade"),
        ("The sprocket teeth have grooves of 0.6 millimetres.", "depth of the grooves"),
        ("If a tooth is chipped more than 3 millimetres, it's scrap.", "chip"),
        ("The ring may be pressed in no deeper than 0.3 millimetres.", "depth"),
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
         ["size of the rod", "size of the rod"]),
        ("The chain is 233 millimetres. Replace it from 236 millimetres.",
         ["length of the chain"] * 2),
        ("The front journal is 69.99 millimetres. The rear one is 54.96 millimetres.",
         ["size of the front journal", "size of the rear journal"]),
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
