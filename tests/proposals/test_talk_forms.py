"""Sponsors, greetings and farewells are talk; an order in like words is kept."""

from __future__ import annotations

import pytest

from author.proposals.kinds.sentence_kinds import kinds_in
from author.proposals.quantities.reading import quantities_in
from proposals.said import told

_WORK = ["Take the two screws out of the cover.", "Lift the cover off."] * 12


def kinds_between(text: str) -> set[str]:
    sentences = told(*_WORK, text, *_WORK)
    marks = kinds_in(sentences, quantities_in(sentences))
    return {mark.kind for mark in marks if mark.sentence == len(_WORK)}


@pytest.mark.parametrize(
    "text",
    [
        "This one's brought to you by Oddy's Bakery, four rolls for the price of three.",
        "Thanks to Marrow and Daughter for the biscuit money, you know who you are.",
        "The film is sponsored by nobody, as usual.",
        "Quick word for those who keep the lights on, Oddy's Seat Covers, any colour.",
        "A little plug for my cousin's place, Oddy's Tyres, he does a good price.",
        "This bit's sponsored by Finch Socks, nine pairs in a box, code TOES.",
        "I am filming, Zdenek, leave it on the wall.",
        "Sorry, Zdenek, go past, go past.",
        "Gidday Wiremu, leave it by the stairs.",
        "So, stay warm, and see you next week.",
        "Okay, tschüss, and oil your chain.",
        "I had to cut here, the school bus came.",
        "Look at the state of that, it's like porridge.",
        "In he comes, my neighbour, with his tea and his opinions.",
        "Off we go to the pub, I said to my wife.",
        "My wife's mother is on the telly next.",
        "First I had a coffee with my brother, he's a vicar.",
        "See you next week, friends, my kettle's on now.",
    ],
)
def test_what_is_said_to_others_is_talk(text: str) -> None:
    kinds = kinds_between(text)
    assert kinds
    assert kinds <= {"chatter", "preview"}


@pytest.mark.parametrize(
    "text",
    [
        "Wheel nuts crosswise, fifty newton metres, and this one's sponsored by Finch Socks.",
        "The beam is supported by a jack stand.",
        "The code is on the plate.",
        "Fit the little plug for the oil gallery.",
        "Keep the lights on while you test the relay.",
        "Tell the apprentice to hold the link below the lever.",
        "Before anybody steps over that rail, I telephone the signaller, and I take a line block.",
        "If the pin goes with it the gearbox is goodnight.",
        "Look at the state of the seal, and change it if it's hard.",
        "Look at the size of the gap, it wants to be two millimetres.",
        "Stop the machine, Zdenek, and lock it out.",
        "Put the nut by the spring.",
        "Cut the gasket here.",
        "Leave the cover off.",
        "And out she comes.",
        "In it goes again.",
        "Next, the bearing.",
        "Impeller next.",
        "Pulley, now.",
        "First close the valve and put the belts on, both.",
    ],
)
def test_work_in_words_like_those_is_kept(text: str) -> None:
    assert "chatter" not in kinds_between(text)


def test_one_of_the_family_who_was_hurt_is_a_warning() -> None:
    assert "hazard" in kinds_between("My cousin lost two fingers in one of these.")
