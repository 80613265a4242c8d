"""Loose talk made into short orders."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.checks import clauses
from author.checks.text import sentences, tokens
from author.checks.verbs import words
from author.proposals.orders.wording import Order, imperatives
from proposals.lists import read_list

TALK = read_list(Path(__file__).with_name("orders.yaml"))["orders"]


@pytest.mark.parametrize(
    "one", [one for one in TALK if not one.get("held")], ids=lambda o: o["say"]
)
def test_orders_as_a_good_author_would_write_them(one: dict[str, Any]) -> None:
    given_orders = imperatives(one["say"], it=one.get("it"), phase=one.get("phase"))
    if one["want"] is None:
        assert given_orders == ()
        return
    assert given_orders[0].action in one["want"]
    if "then" in one:
        assert given_orders[1].action in one["then"]
    if "act" in one:
        assert given_orders[0].act == one["act"]
    if "object" in one:
        assert given_orders[0].object == one["object"]


def test_most_of_the_held_back_talk_is_worded_well() -> None:
    held = [one for one in TALK if one.get("held")]
    good = 0
    for one in held:
        order = next(iter(imperatives(one["say"], it=one.get("it"), phase=one.get("phase"))), None)
        good += (order.action if order else None) in (one["want"] or [None])
    assert good / len(held) >= 0.8


@pytest.mark.parametrize("one", [one for one in TALK if one["want"]], ids=lambda o: o["say"])
def test_orders_keep_to_the_rules_of_wording(one: dict[str, Any]) -> None:
    for order in imperatives(one["say"], it=one.get("it"), phase=one.get("phase")):
        said = tokens(order.action)
        assert len(sentences(order.action)) == 1
        assert clauses.not_an_order(said) is None
        assert clauses.condition_behind(said) is None
        assert len(clauses.orders(said)) <= 2


@pytest.mark.parametrize(
    ("text", "action"),
    [
        ("so uh you wanna you wanna pull the cover off", "Pull the cover off."),
        ("the left, no sorry, the right screw comes out", "Take the right screw out."),
        ("we'll go on and drain the oil", "Drain the oil."),
        ("I've unbolted the bracket", "Unbolt the bracket."),
        ("The cover's two screws get loosened.", "Loosen the cover's two screws."),
        ("then you're gonna clip 'em in", "Clip them in."),
        ("Before I split it, I scribe a line.", "Before you split it, scribe a line."),
        ("That bolt goes in the trash.", "Discard the bolt."),
        ("put the cover back on", "Refit the cover."),
        ("put the cover on with new screws", "Fit the cover with new screws."),
        ("put the gloves on", "Put the gloves on."),
        ("put the water back on", "Put the water back on."),
        ("In it goes, lip up.", "Fit it, lip up."),
        ("Before anything else, pull the plug.", "Pull the plug."),
        ("Before you touch anything, lock the isolator.", "Lock the isolator."),
        ("Before anything goes in, clean the bore.", "Before anything goes in, clean the bore."),
        ("those two pins we tap out from the back", "Tap the two pins out from the back."),
        ("The clamp, that gets slackened first.", "Slacken the clamp first."),
        ("Only now do the lock and the tag come off.", "Take the lock and the tag off."),
        ("heat her up slowly", "Heat it up slowly."),
        ("let him down on his back", "Let it down on its back."),
        ("shut your valve", "Shut the valve."),
        ("keep your fingers clear of the wheel", "Keep your fingers clear of the wheel."),
        ("set them in that order", "Set them in that order."),
        (
            "We hung it on a pipe yesterday and turned it over.",
            "Hang it on a pipe and turn it over.",
        ),
    ],
)
def test_ways_to_say_it(text: str, action: str) -> None:
    order = next(iter(imperatives(text)), None)
    assert order is not None
    assert order.action == action


@pytest.mark.parametrize(
    ("text", "actions"),
    [
        ("peel it off and both gaskets are trash", ["Peel it off."]),
        ("slide the ram in oil it", ["Slide the ram in.", "Oil it."]),
        ("take the blades apart set the gap", ["Take the blades apart.", "Set the gap."]),
        ("clamp the base by the flats you'll squash it", ["Clamp the base by the flats."]),
        ("pull the cover off four screws", ["Pull the cover off."]),
        (
            "keep the washers in the order they came off",
            ["Keep the washers in the order they came off."],
        ),
        ("wind it until the screw is free", ["Wind it until the screw is free."]),
        ("push it in by the outer race it won't mind", ["Push it in by the outer race."]),
        ("let the spring down don't let it fly", ["Let the spring down.", "Do not let it fly."]),
        ("swing the motor in belt off", ["Swing the motor in.", "Take the belt off."]),
        ("undo the clamp the same way", ["Undo the clamp the same way."]),
        ("give each bolt a quarter turn", ["Turn each bolt a quarter turn."]),
    ],
)
def test_talk_without_signs_is_parted(text: str, actions: list[str]) -> None:
    assert [order.action for order in imperatives(text)] == actions


@pytest.mark.parametrize(
    "text",
    [
        "Don't leave the key in, you'll go straight through a window.",
        "If you forget that, you'll bend the rack.",
        "nobody over the bore",
    ],
)
def test_what_comes_of_a_mistake_is_no_order(text: str) -> None:
    assert not any(order.verb in {"go", "bend", "fit"} for order in imperatives(text))


@pytest.mark.parametrize(
    ("text", "it", "action"),
    [
        ("pull them out", "the pins", "Pull the pins out."),
        ("pull it out", "the pins", "Pull it out."),
        ("unscrew them both", "the two nuts", "Unscrew both the nuts."),
        ("throw away", "the seals", "Throw the seals away."),
        ("let it stand", "the hose", "Let it stand."),
        ("undo the nut and pull it", "the cover", "Undo the nut."),
    ],
)
def test_it_is_named_where_the_number_agrees(text: str, it: str, action: str) -> None:
    orders = imperatives(text, it=it)
    assert orders[0].action == action
    assert all(it not in order.action for order in orders[1:])


@pytest.mark.parametrize(
    ("text", "act"),
    [
        ("take the cover off", "removes"),
        ("lift the lid away", "removes"),
        ("undo the nut", "removes"),
        ("put the cover back on", "refits"),
        ("slide the wheel on the axle", "refits"),
        ("the new seal goes in", "replaces"),
        ("swap the filter", "replaces"),
        ("bin the old gasket", "discards"),
        ("throw the clip away", "discards"),
        ("don't take the cover off", None),
        ("put grease on the lip", None),
        ("spin the wheel", None),
    ],
)
def test_what_is_done_with_a_part(text: str, act: str | None) -> None:
    order = next(iter(imperatives(text)), None)
    assert order is not None
    assert order.act == act


def test_a_long_order_is_cut_short() -> None:
    text = "take the cover off " + "with the big flat driver and the small one " * 6
    order = next(iter(imperatives(text)), None)
    assert order is not None
    assert len(order.action.split()) <= 20


def _holds(order: Order) -> bool:
    one_line = order.action.splitlines() == [order.action] and "\t" not in order.action
    return one_line and order.action.endswith(".") and bool(order.verb)


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_read(text: str) -> None:
    assert all(map(_holds, imperatives(text, phase="removal")))


WORDS = st.sampled_from(
    sorted(
        words(
            """
    so we're gonna take the nut off and then if it until don't get have bit, out. back goes in
    comes with a four is sorry no we the put screw right because there's that new to of clean dry
    """
        )
    )
)


@settings(max_examples=300, deadline=None)
@given(st.lists(WORDS, max_size=30), st.sampled_from([None, "removal", "fitting", "inspection"]))
def test_any_talk_is_read(spoken: list[str], phase: Any) -> None:
    orders = imperatives(" ".join(spoken), it="the seal", phase=phase)
    assert all(map(_holds, orders))
    assert all(len(order.action.split()) <= 22 for order in orders)


@pytest.mark.parametrize(
    "garbage", ["x" * 10_000, "take the " * 1_500, "if it " * 2_000, "," * 9_000]
)
def test_a_very_long_text_is_read(garbage: str) -> None:
    assert all(map(_holds, imperatives(garbage, phase="fitting")))


@pytest.mark.parametrize(
    ("said", "order"),
    [
        ("I put a washer on and tightened it.", "Put a washer on and tighten it."),
        ("I set the gap and locked the nut.", "Set the gap and lock the nut."),
        ("I put it in the oven and left it for an hour.",
         "Put it in the oven and leave it for an hour."),
        ("Put the cleaned and dried gear back.", "Put the cleaned and dried gear back."),
        ("Cut the old and rusted bolt off.", "Cut the old and rusted bolt off."),
        ("Keep it oiled and wrapped.", "Keep it oiled and wrapped."),
    ],
)  # fmt: skip
def test_a_second_verb_behind_one_that_has_one_form_is_no_past(said: str, order: str) -> None:
    assert [one.action for one in imperatives(said)] == [order]
