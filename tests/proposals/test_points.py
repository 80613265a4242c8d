"""Critical points: which of several things comes first, and which way round a part goes."""

from __future__ import annotations

import pytest

from author.proposals.kinds.sentence_kinds import kinds_in
from proposals.said import said


def kinds_of(text):
    return {mark.kind for mark in kinds_in([said(text)])}


@pytest.mark.parametrize(
    "text",
    [
        "Tighten the bolts crosswise.",
        "Tighten them in a star.",
        "Work from the middle out.",
        "First the washer, then the nut.",
        "The first bolt goes in by hand, then the second.",
        "Do it in three stages.",
        "Hand tight first, then three quarters of a turn.",
        "Mark the gear before you pull it off.",
        "They go back in the order they came out.",
    ],
)
def test_what_comes_first_is_an_order(text):
    assert "order" in kinds_of(text)


@pytest.mark.parametrize(
    "text",
    [
        "It's tight for the first turn.",
        "For the first light, hold the button.",
        "Don't do an emergency stop for the first 200.",
        "The first time you press, it goes to the floor.",
        "Hand tight only on the bowl.",
        "Check the bore in three places.",
        "It comes out with a bang.",
        "Before you do anything else, pump the pedal.",
        "Rock it from side to side.",
    ],
)
def test_a_stretch_a_place_or_a_force_is_no_order(text):
    assert "order" not in kinds_of(text)


@pytest.mark.parametrize(
    "text",
    [
        "Lip up.",
        "Fit the seal with the lip facing the oil.",
        "The chamfer goes towards the shoulder.",
        "The arrow points at the fan.",
        "Face down on the bench.",
        "Red seal out.",
        "It slides in from the drive side.",
        "Set the rings with their gaps opposite.",
        "Spring in with the tight windings down.",
    ],
)
def test_the_side_or_the_mark_of_a_part_tells_which_way_round_it_goes(text):
    assert "orientation" in kinds_of(text)


@pytest.mark.parametrize(
    "text",
    [
        "Keep your face away from the ports.",
        "Face out of the way.",
        "Warm the main seal in hot water.",
        "Vacuum the soot out of the bottom.",
        "Hook the old seal out with the puller.",
        "Pull the rod straight up.",
        "Tap it sideways with the mallet.",
        "There's a groove in the shaft.",
        "Spring in.",
        "Throat plate out.",
        "Clean the valve faces up.",
        "Strap the back end down.",
        "Four bolts out of the drive end shield.",
        "Turn it over by hand.",
        "Go by the level.",
    ],
)
def test_where_a_part_or_a_person_goes_is_no_way_round(text):
    assert "orientation" not in kinds_of(text)
