"""A decision tells its case, though the sentence before has told it."""

from __future__ import annotations

import pytest

from author.proposals.steps.cases_before import case_before

from .said import told


def decided(before, text):
    return case_before(text, told(before, text), 1).rstrip(".")


@pytest.mark.parametrize(
    ("before", "text", "whole"),
    [
        ("It knocks.", "If it does, shut it down.", "If it knocks, shut it down"),
        ("It might squeal.", "If it does, back it off.", "If it squeals, back it off"),
        ("Listen for a knock.", "If it does, shut it down.", "If there is a knock, shut it down"),
        ("See if it drips.", "If it does, pull it.", "If it drips, pull it"),
        ("It should run clear.", "If it doesn't, flush it again.",
         "If it does not run clear, flush it again"),
        ("The arms shouldn't touch the frame.", "And if they do, bend them back.",
         "And if the arms touch the frame, bend them back"),
        ("The bearings rumble.", "If they do, change them.", "If the bearings rumble, change them"),
        ("The belt is cracked.", "If it is, change it.", "If the belt is cracked, change it"),
        ("The lamp shouldn't flicker", "if it does check the earth",
         "If the lamp flickers check the earth"),
    ],
)  # fmt: skip
def test_the_case_is_told_with_what_is_decided(before, text, whole):
    assert decided(before, text) == whole


@pytest.mark.parametrize(
    ("before", "text"),
    [
        ("Turn the tap on.", "If it does, pull it."),
        ("Right.", "If it does, shut it down."),
        ("It knocks.", "If it does that for an hour, shut it down."),
        ("It knocks.", "If it knocks hard, shut it down."),
        ("Put the lid on.", "If it isn't level, shim it."),
        ("It comes off in your hand.", "If you can, keep it."),
    ],
)
def test_words_that_tell_no_case_or_their_own_stay(before, text):
    assert decided(before, text) == text.rstrip(".")


def test_a_case_told_long_before_is_not_meant():
    said = told("It knocks.", "Lift the lid.", "If it does, shut it down.")
    assert case_before("If it does, shut it down", said, 2) == "If it does, shut it down"
