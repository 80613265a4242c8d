"""What kind of thing a sentence is: the same job said in many ways, with and without signs."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.proposals.kinds.sentence_kinds import Kind, Marked, kinds_in
from author.proposals.quantities.reading import quantities_in
from proposals.lists import read_list
from proposals.said import said, told

ALONE = {"chatter", "preview"}


def marks_of(text: str) -> tuple[Marked, ...]:
    return kinds_in((said(text),), ())


def kinds_of(text: str) -> set[str]:
    return {mark.kind for mark in marks_of(text)}


@pytest.mark.parametrize(
    "text",
    [
        "Push the cradle under the wheel.",
        "we're gonna take the nut off",
        "So we're gonna, uh, we're gonna take the nut off.",
        "You want to press it in.",
        "I'm just backing this out.",
        "Guard screws, four in all, out.",
        "Gloves on.",
        "Nut off.",
        "New tab washer, nut on, and forty newton metres.",
        "Isolator off, my padlock on.",
        "so what I do is I hook the spring first",
        "go ahead and drop the pan",
        "Make sure you unplug it.",
        "This one goes in the left-hand hole.",
        "The hopper lifts straight off.",
        "The seal needs to be greased.",
        "isolator off padlock on",
        "lemme see okay grab the puller",
        "Wheel back on the axle.",
    ],
)
def test_what_is_done_is_an_action(text: str) -> None:
    assert "action" in kinds_of(text)


@pytest.mark.parametrize(
    "text",
    [
        "This is the pump.",
        "Here's the old one next to a new one.",
        "Never hit the shaft.",
        "It should spin freely.",
        "when you take the nut off",
        "The one that failed.",
    ],
)
def test_what_is_no_order_is_no_action(text: str) -> None:
    assert "action" not in kinds_of(text)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Keep your fingers out of there.", "hazard"),
        ("it'll bite you", "hazard"),
        ("Mind your eyes.", "hazard"),
        ("let it cool or you'll know about it", "hazard"),
        ("I knew a bloke who lost a finger doing that.", "hazard"),
        ("the muffler'll burn you", "hazard"),
        ("Don't pry on the gasket face.", "damage"),
        ("go easy or you'll strip it", "damage"),
        ("Never over eight kilonewtons.", "damage"),
        ("Don't overtighten it.", "damage"),
        ("careful not to nick the seal", "damage"),
        ("No scores, no steps.", "inspection"),
        ("It should spin freely.", "inspection"),
        ("If it doesn't come free after a dozen blows, stop and fetch the puller.", "decision"),
        ("if it's blue bin it", "decision"),
        ("Sharp edge out.", "orientation"),
        ("teeth pointing down on the cutting side", "orientation"),
        ("Put it in with the lip towards the oil.", "orientation"),
        ("Writing facing you.", "orientation"),
        ("Second bearing from the back, the same way.", "orientation"),
        ("Shield outwards.", "orientation"),
        ("Four guard screws, crosswise.", "order"),
        ("do them in a star pattern", "order"),
        ("Washer then nut.", "order"),
        ("Push it under before you touch the nut.", "order"),
        ("Ring first.", "order"),
        ("Guard screws, four in all.", "count"),
        ("There's six of these.", "count"),
        ("One hides behind the dust chute.", "hidden"),
        ("There's one behind the chaff pipe that everybody forgets.", "hidden"),
        ("There's another inside the door jamb most people overlook.", "hidden"),
        ("Five screws you can see and one you can't.", "hidden"),
        ("there's another bolt under the sticker you can't see", "hidden"),
        ("You need to have drained the oil first.", "prerequisite"),
        ("This assumes the wheel is off already.", "prerequisite"),
        ("After this you'd bleed the brakes, that's another video.", "follow_on"),
        ("That boot's torn, we'll get it next time.", "deferred"),
        ("because it walks off otherwise", "reason"),
        ("Do it slowly so that it seats.", "reason"),
        ("that way it can't turn", "reason"),
        ("I went ahead and cleaned this up off camera.", "off_camera"),
        ("While the camera was off I fitted the seal.", "off_camera"),
        ("In this video we'll press out the bearings.", "preview"),
        ("Later on we will set the gap.", "preview"),
        ("Hello everybody and welcome back.", "chatter"),
        ("don't forget to like and subscribe", "chatter"),
        ("Let me move the camera.", "chatter"),
        ("I've dropped it.", "chatter"),
    ],
)
def test_each_kind_is_known(text: str, kind: str) -> None:
    assert kind in kinds_of(text)


@pytest.mark.parametrize("text", ["This is the pump.", "That's the one that failed."])
def test_plain_description_has_no_mark(text: str) -> None:
    assert not kinds_of(text)


@pytest.mark.parametrize(
    "text",
    [
        "Sorry about the dog, now undo the four bolts.",
        "Thanks to everyone who asked about this, so pull the plug out first.",
        "my wife hates this bit but tap the ring home with the drift",
    ],
)
def test_an_order_within_talk_is_not_lost(text: str) -> None:
    kinds = kinds_of(text)
    assert "action" in kinds
    assert not kinds & ALONE


def test_a_finding_and_what_puts_it_off_belong_together() -> None:
    marks = kinds_in(told("The guide block is worn through.", "That is another job."), ())
    assert {mark.sentence for mark in marks if mark.kind == "deferred"} == {0, 1}


def test_what_is_listed_behind_an_announcement_is_announced_too() -> None:
    marks = kinds_in(
        told(
            "Hello and welcome back.",
            "We'll pull the cover, then we'll swap the seal, and then set the gap.",
            "So undo the four cover bolts.",
            *["Undo the screw.", "Lift the cover off."] * 12,
        ),
        (),
    )
    kinds = [{m.kind for m in marks if m.sentence == index} for index in range(3)]
    assert kinds[0] == {"chatter"}
    assert kinds[1] == {"preview"}
    assert "action" in kinds[2]


def test_the_clause_is_marked_and_not_the_whole_sentence() -> None:
    text = "Slide the ring in, lip towards the oil, because the other way it leaks."
    by_kind = {mark.kind: mark.text for mark in marks_of(text)}
    assert by_kind["action"].startswith("Slide the ring in")
    assert "because" not in by_kind["action"]
    assert by_kind["reason"].startswith("because")


def test_an_action_keeps_its_condition() -> None:
    (action,) = [m for m in marks_of("Tap it down until it seats.") if m.kind == "action"]
    assert action.text == "Tap it down until it seats"


def test_a_reason_names_the_words() -> None:
    (mark,) = [m for m in marks_of("Never over eight kilonewtons.") if m.kind == "damage"]
    assert mark.reason.startswith("says what must not happen: 'Never over")


def test_what_was_measured_is_an_inspection() -> None:
    sentences = told("Micrometer on the outer seat.", "I measured sixteen point nine nine five.")
    kinds = {m.kind for m in kinds_in(sentences, quantities_in(sentences)) if m.sentence == 1}
    assert "inspection" in kinds


def test_the_listed_sentences_are_known() -> None:
    """Of those not held back nine in ten hazards and no instruction as talk."""
    table = read_list(Path(__file__).with_name("sentences.yaml"))
    listed = [one for one in table["sentences"] if not one.get("held")]
    hazards = [one for one in listed if "hazard" in one["kinds"]]
    assert sum("hazard" in kinds_of(one["say"]) for one in hazards) >= 0.9 * len(hazards)
    actions = [one for one in listed if "action" in one["kinds"]]
    assert not [one["say"] for one in actions if kinds_of(one["say"]) & ALONE]


def check_marks(text: str) -> None:
    sentence = said(text)
    marks = kinds_in((sentence,), ())
    for mark in marks:
        assert 0 <= mark.begin < mark.end <= len(sentence.text)
        assert mark.text == sentence.text[mark.begin : mark.end]
        assert Decimal(0) < mark.confidence < Decimal(1)
        assert mark.kind in get_args(Kind)
    kinds = {mark.kind for mark in marks}
    assert len(kinds) <= 1 or not kinds & ALONE


RUN = (
    "so we're gonna take the nut off because it'll bite you if don't Ünder İ it's then and 12 "
    "first, before — don't; hello ok? torque in the same way 'cause ’em"
)
WORDS = st.sampled_from(RUN.split())


@settings(max_examples=150, deadline=None)
@given(st.text(min_size=1).filter(lambda text: bool(text.split())))
def test_no_text_breaks_it(text: str) -> None:
    check_marks(text)


@settings(max_examples=150, deadline=None)
@given(st.lists(WORDS, min_size=1, max_size=40))
def test_no_order_of_words_breaks_it(words: list[str]) -> None:
    check_marks(" ".join(words))


@pytest.mark.parametrize("text", ["x" * 10_000, "so " * 5_000, "don't " * 2_000, "a, " * 3_000])
def test_long_rubbish_is_read_to_its_end(text: str) -> None:
    check_marks(text)


def test_nothing_said_is_nothing_marked() -> None:
    assert kinds_in((), ()) == ()


# The shares are what the rules reach; sentences of the next film will do worse.
@pytest.mark.parametrize(
    ("listed", "share"), [("warns", 0.75), ("plain", 0.7), ("talk", 0.63), ("work", 0.85)]
)
def test_sentences_of_other_trades_are_known_by_what_they_speak_of(
    listed: str, share: float
) -> None:
    table = read_list(Path(__file__).with_name("talk.yaml"))
    right = 0
    for text in table[listed]:
        sentences = told("Lift the cover off.", text, "Fit the new bearing.")
        kinds = {
            mark.kind
            for mark in kinds_in(sentences, quantities_in(sentences))
            if mark.sentence == 1
        }
        warned, talk = bool(kinds & {"hazard", "damage"}), bool(kinds & ALONE)
        right += {
            "warns": warned,
            "talk": talk,
            "plain": not warned and not talk,
            "work": not warned and not talk,
        }[listed]
    assert right >= share * len(table[listed])


@pytest.mark.parametrize(
    "text",
    [
        "The belt will have your sleeve.",
        "That capacitor bites, so keep your knuckles out of there.",
        "Run it dry and the vanes chip.",
        "It's only plastic, so don't force it.",
        "that ram weighs three hundred kilos and it doesn't wait for you",
    ],
)
def test_harm_is_known_by_what_is_harmed_and_what_does_it(text: str) -> None:
    assert kinds_of(text) & {"hazard", "damage"}


@pytest.mark.parametrize(
    "text",
    [
        "Lean on that tap and you've lost the thread.",
        "Use a screwdriver and you've put a leak in the groove.",
        "Nobody stands in the hinge while she's moving.",
        "no hammer on the end of the spindle please it mushrooms",
        "I cracked one last winter, doing it cold, and it cost me the casting.",
        "Past that you cook the temper out.",
        "Never put the old one back, and we fit a new one.",
        "You slip there and we fit a new thumb because that edge cuts.",
    ],
)
def test_what_would_come_of_it_makes_a_warning(text: str) -> None:
    assert kinds_of(text) & {"hazard", "damage"}


@pytest.mark.parametrize(
    "text",
    [
        "Don't lose the shims.",
        "That goes in the scrap and we fit a new one.",
        "And we fit a new one.",
        "If it doesn't come out, turn it round and try again.",
        "Pull the worm gear off with your fingers.",
        "Drop it in water at sixty degrees for two minutes.",
        "You can't see the last screw, but you can feel it.",
        "Set the brake handle back towards you.",
        "It shouldn't take more than ten newtons to pull.",
        "The old one is cracked, so it gets replaced.",
    ],
)
def test_a_plain_order_or_reason_is_no_warning(text: str) -> None:
    assert not kinds_of(text) & {"hazard", "damage"}


def _kinds_at(at: int, *texts: str) -> set[str]:
    return {mark.kind for mark in kinds_in(told(*texts), ()) if mark.sentence == at}


@pytest.mark.parametrize(
    "plan",
    [
        "We'll have the motor out, do the brake and the brushes, then put it on the rollers.",
        "We open it, we look at the seat, we measure the coil, and we make it tight again.",
        "we'll drop the cylinder reseal it on the bench check the rod and set the relief",
    ],
)
def test_the_plan_of_the_job_is_announced_and_the_same_later_is_done(plan: str) -> None:
    work = ["Undo the screw.", "Lift the cover off."] * 12
    assert _kinds_at(2, "Hello all.", "This is the pump.", plan, *work) == {"preview"}
    assert "action" in _kinds_at(24, *work, plan, "Undo the nut.")


def test_what_is_said_to_come_first_and_then_is_done_within_a_film() -> None:
    work = ["Undo the screw.", "Lift the cover off."] * 12
    order = "First we'll pull the clip out and then we'll slide the ring off."
    assert "action" in _kinds_at(24, *work, order, "Undo the nut.")


def test_a_part_that_comes_next_is_no_talk() -> None:
    assert "action" in kinds_of("then the nut ask me how i know")


def test_a_warning_of_few_signs_is_less_sure_than_a_phrase() -> None:
    (few,) = [m for m in marks_of("The flywheel will snatch.") if m.kind == "hazard"] or [None]
    (sure,) = [m for m in marks_of("Keep your fingers out of there.") if m.kind == "hazard"]
    assert few is None or few.confidence < sure.confidence


def test_the_last_sentence_of_a_film_is_talk_and_the_same_words_within_are_not() -> None:
    work = ["Undo the screw.", "Lift the cover off."] * 12
    goodbye = "So that's us, the kettle is on and we'll be back."
    kinds = [m.kind for m in kinds_in(told(*work, goodbye), ()) if m.sentence == len(work)]
    assert kinds and set(kinds) <= ALONE


@pytest.mark.parametrize(
    ("text", "is_order"),
    [
        ("Half a millimetre each side.", False),
        ("A bit of grease each side.", False),
        ("Half a turn each side.", True),
        ("A bit each side until it's home.", True),
        ("A quarter turn each.", True),
    ],
)
def test_how_much_there_is_on_each_side_is_no_order_of_work(text: str, is_order: bool) -> None:
    kinds = {mark.kind for mark in kinds_in(told("Lift the cover off.", text)) if mark.sentence}
    assert ("order" in kinds) == is_order
