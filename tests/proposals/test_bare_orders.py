"""Orders told without a verb: what is put, worn, switched or only said of a thing.

Sentences invented for this; no source.
"""

from __future__ import annotations

from typing import Literal

import pytest

from author.proposals.claims import propose
from author.proposals.orders.wording import imperatives
from proposals.said import told


def ordered(text: str, phase: Literal["removal", "fitting"] = "fitting") -> list[str]:
    """Return the orders of a text."""
    return [order.action for order in imperatives(text, phase=phase)]


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("New gloves on.", "Put new gloves on."),
        ("Face shield on.", "Put the face shield on."),
        ("Welding shield on.", "Put the welding shield on."),
        ("Belt shield on.", "Fit the belt shield."),
        ("Plenty of clean oil on everything.", "Put plenty of clean oil on everything."),
        ("A dab of blue on the threads.", "Put a dab of blue on the threads."),
        ("Bearings in the wee oven.", "Put the bearings in the wee oven."),
        ("Shaft in the freezer overnight.", "Put the shaft in the freezer overnight."),
        ("Rotor in the vice.", "Put the rotor in the vice."),
        ("Screws in a tray.", "Put the screws in a tray."),
        ("Balls in the tin with the clip.", "Put the balls in the tin with the clip."),
        ("Ring in the oven door.", "Fit the ring in the oven door."),
        ("Heating on.", "Turn the heating on."),
        ("We'm having the turbo off.", "Take the turbo off."),
        ("Press the old bearing off with the camera dead.", "Press the old bearing off."),
        ("Lift the pump out while the kettle was on.", "Lift the pump out."),
        ("Lift the pump out while it is warm.", "Lift the pump out while it is warm."),
        ("Grease the nipple every year.", "Grease the nipple."),
        ("Throw the old cover on the heap.", "Throw the old cover on the heap."),
    ],
)  # fmt: skip
def test_a_thing_is_put_where_it_is_kept_or_worn(text: str, order: str) -> None:
    assert ordered(text) == [order]


@pytest.mark.parametrize(
    "text",
    [
        "Dry as a chip.",
        "And you start worrying over that.",
        "Drain plug is on the bottom, square head.",
        "Dead in.",
        "Finish on.",
        "Flow and return open.",
        "You'll throw the meter across the yard.",
    ],
)
def test_what_is_only_told_is_no_order(text: str) -> None:
    assert ordered(text) == []


@pytest.mark.parametrize("text", ["New gloves on.", "New strip in the vice."])
def test_what_is_worn_or_held_renews_no_part(text: str) -> None:
    (order,) = imperatives(text, phase="fitting")
    assert order.act is None


@pytest.mark.parametrize("verb", ["Tag", "Chock", "Isolate", "Park", "Jack", "Bump"])
def test_it_is_the_machine_where_the_whole_is_made_safe(verb: str) -> None:
    (order,) = imperatives(f"{verb} it at the front.", it="the screen")
    assert order.action == f"{verb} it at the front."


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("Return spring off.", "Take the return spring off."),
        ("Key back out of my bib.", "Take the key back out of your bib."),
        ("The fuse goes in my top pocket.", "Put the fuse in your top pocket."),
        ("The key goes into your trousers.", "Put the key into your trousers."),
        ("The jack goes under the frame.", "Set the jack under the frame."),
        ("Gear oil goes in the front hole.", "Put gear oil in the front hole."),
        ("Bearings on the heating plate.", "Put the bearings on the heating plate."),
        ("Bearings on the induction heater.", "Put the bearings on the induction heater."),
        ("The guard goes on before the plug goes in.", "Fit the guard before the plug goes in."),
        ("Lock nut loose.", "Loosen the lock nut."),
        ("Two screws on the motor slide loose.", "Loosen the two screws on the motor slide."),
        ("Start all three bolts wi' your fingers.", "Start all three bolts with your fingers."),
        ("Guard off the drive chain.", "Take the guard off the drive chain."),
        ("Disconnect off at the wall.", "Turn the disconnect off at the wall."),
        ("Quick disconnect off.", "Take the quick disconnect off."),
        ("Choke on.", "Put the choke on."),
        ("All the tools off.", "Take all the tools off."),
        ("Two drops of the oil on the felt.", "Put two drops of the oil on the felt."),
        ("Thick washer to the outside.", "Fit the thick washer to the outside."),
        ("Ring inside the drum.", "Fit the ring inside the drum."),
        ("Pinch the hose.", "Pinch the hose."),
        (
            "Look at the colour of it against the chart.",
            "Look at the colour of it against the chart.",
        ),
    ],
)
def test_the_verb_is_that_of_the_thing(text: str, order: str) -> None:
    assert ordered(text) == [order]


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("pull the flywheel next two screws on the bottom plate", "Pull the flywheel."),
        ("zip the nut off and the yoke slides right off", "Zip the nut off."),
        ("set it on the floor key off", "Set it on the floor."),
        ("take the guard on the drive motor off", "Take the guard on the drive motor off."),
        ("close the inlet slides", "Close the inlet slides."),
        ("take the bolt all the way out it sits in a notch", "Take the bolt all the way out."),
        ("yoke back on dab of sealer on the splines", "Refit the yoke."),
        ("poke the hole with a wire too cause a plugged vent reads zero",
         "Poke the hole with a wire."),
        ("fit the screws on the lugs no wait", "Fit the screws on the lugs."),
        ("wind it out until you got", "Wind it out."),
        ("look at the hub teeth no cracks no hooks worn in", "Look at the hub teeth."),
        ("turn it no more than a flat", "Turn it no more than a flat."),
        ("inspect the rotor under a lamp any crack any pit", "Inspect the rotor under a lamp."),
        ("start it up lovely", "Start it up."),
        ("Set the knife in the block, no, I'll tell you a lie", "Set the knife in the block."),
    ],
)  # fmt: skip
def test_an_order_ends_where_something_else_is_told(text: str, order: str) -> None:
    assert ordered(text) == [order]


@pytest.mark.parametrize(
    "text",
    [
        "Return valve is warm.",
        "Direct lost happy days.",
        "The play of the block in the slot.",
        "Mine goes at the end.",
        "Skrim the motor off.",
    ],
)
def test_what_names_no_thing_or_verb_is_no_order(text: str) -> None:
    assert ordered(text) == []


def test_the_spindle_is_wound_back() -> None:
    assert ordered("Spindle back.", "removal") == ["Wind the spindle back."]


def test_a_second_order_begins_behind_how_the_first_is_done() -> None:
    said = "park it flat chock both back wheels"
    assert ordered(said) == ["Park it flat.", "Chock both back wheels."]


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("Clock on the flange.", "Set the clock on the flange."),
        ("Dial at zero.", "Set the dial at zero."),
        ("Hand on the casing.", "Put your hand on the casing."),
        ("Foot on the pedal.", "Put your foot on the pedal."),
        ("One hand in your pocket.", "Put one hand in your pocket."),
        ("Grub screw out of the collar.", "Take the grub screw out of the collar."),
        ("Cap screws out.", "Take the cap screws out."),
        ("Steam wand open over a jug.", "Open the steam wand over a jug."),
        ("Release valve open two turns.", "Open the release valve two turns."),
        ("Cut gloves on.", "Put the cut gloves on."),
        ("Dry paper against the edge.", "Put dry paper against the edge."),
        ("Clip in its groove.", "Undo the clip in its groove."),
        ("Power on.", "Turn the power on."),
        ("Fused spur off.", "Turn the fused spur off."),
        ("Brake on.", "Apply the brake."),
        ("Pump ten quick strokes.", "Pump ten quick strokes."),
        ("End cover on the alternator four screws.", "Remove the end cover on the alternator."),
        (
            "Two hoses on the cylinder, inch and a sixteenth wrench.",
            "Remove the two hoses on the cylinder.",
        ),
        ("Drain plug at the bottom.", "Remove the drain plug at the bottom."),
        ("The arrow goes to the front.", "Point the arrow to the front."),
        ("Both figures go on the card.", "Write both figures on the card."),
        ("The old pot goes to the brake shop.", "Send the old pot to the brake shop."),
        ("In it goes brushes square on the rings.", "Fit it."),
        ("Stop at the bottom.", "Stop at the bottom."),
        ("I put the mount back during lunch.", "Put the mount back."),
        ("Round the corners.", "Round the corners."),
        ("Direct the hose away.", "Direct the hose away."),
        ("Count the holes that blow.", "Count the holes that blow."),
        ("I swapped those first.", "Swap them first."),
        ("Strap wrench round it.", "Set the strap wrench round it."),
    ],
)
def test_what_begins_a_name_is_no_verb(text: str, order: str) -> None:
    assert ordered(text, "removal") == [order]


@pytest.mark.parametrize(
    "text",
    [
        "Round the block.",
        "Direct on the mains.",
        "Rough side to the brush.",
        "Bore in the headstock.",
        "Bit of pitting on two.",
        "It'll take your arm with it.",
        "It will bash you in the ear.",
        "You can catch it with a nail.",
        "I chuck 'em at eight.",
        "Oil at that pressure goes in through your skin.",
        "So that's bang on.",
        "If you don't you chip the edge.",
        "Flange to the outside.",
        "Bottom of the door to the sill.",
        "The housing inside.",
        "Pinch point at the newel.",
        "Trip hazard by the door.",
        "Look at the colour of it.",
    ],
)
def test_harm_limits_and_places_are_no_orders(text: str) -> None:
    assert ordered(text) == []


def test_what_is_put_in_it_is_not_it() -> None:
    (order,) = imperatives("Put a bearing in it.", it="the bearing")
    assert order.action == "Put a bearing in it."


def test_what_you_are_told_not_to_do_is_forbidden() -> None:
    said = "Use the hoist, don't you lift this, and don't you dare touch the hub."
    assert ordered(said)[1:] == ["Do not lift this.", "Do not touch the hub."]


@pytest.mark.parametrize(
    ("said", "done"),
    [
        ("Ten drops of oil down the inlet.", "Put ten drops of oil down the inlet"),
        ("Chain the gate.", "Chain the gate"),
        ("Leave a 3 mm gap between the cover and the fan.", "Leave the gap between the cover"),
        ("Bucket flat on the floor, engine off.", "Lower the bucket flat to the floor"),
        ("Thickness dial at zero, so the plate covers the edge.", "Set the thickness dial to zero"),
        ("Battery off, negative first.", "Disconnect the battery, negative first"),
        ("Then on to the next slot, never back.", "Turn it on to the next slot, never back"),
    ],
)
def test_a_verb_that_goes_without_saying_is_told(said: str, done: str) -> None:
    (step,) = [p for p in propose(told(said)).proposals if p.kind == "step"]
    assert step.text.startswith(done)


@pytest.mark.parametrize(
    "said",
    ["The chain the gate hangs on is worn.", "If the dial is at zero, start it.",
     "There's a drop of oil on the thread."],
)  # fmt: skip
def test_what_only_sounds_so_has_no_verb_of_ours(said: str) -> None:
    texts = [p.text for p in propose(told(said)).proposals if p.kind == "step"]
    assert not any(text.startswith(("Chain", "Set", "Put")) for text in texts)


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("Push until it clicks.", "Push until it clicks."),
        ("Push down on both at the same time.", "Push down on both at the same time."),
        ("Tap lightly with a pencil at each point.", "Tap lightly with a pencil at each point."),
        ("Lift at the three lugs.", "Lift at the three lugs."),
        ("Check against the photo.", "Check against the photo."),
        ("Test again.", "Test again."),
        ("Mark which shim goes where.", "Mark which shim goes where."),
        ("Note how it sits.", "Note how it sits."),
        ("Stone the burrs off the flange.", "Stone the burrs off the flange."),
        ("Blue the taper up.", "Blue the taper up."),
        ("there lift it straight up", "Lift it straight up."),
        ("Now back the rotor vanes in their slots.", "Put the rotor vanes back in their slots."),
        ("Back the screw out a turn.", "Back the screw out a turn."),
        ("get the seal out with a hook it leaked", "Get the seal out with a hook."),
        ("check the runout on the carrier with an indicator we've got four",
         "Check the runout on the carrier with an indicator."),
        ("Check the bolts are tight.", "Check the bolts are tight."),
    ],
)  # fmt: skip
def test_a_verb_that_may_be_a_name_asks_for_work_by_what_follows_it(text: str, order: str) -> None:
    assert ordered(text)[:1] == [order]


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("Jam nut down.", "Run the jam nut down."),
        ("Both nuts up by hand till the valve sits flat.",
         "Run both nuts up by hand until the valve sits flat."),
        ("Nut hand tight.", "Run the nut up hand tight."),
        ("Jam nut tight.", "Tighten the jam nut."),
        ("Case down.", "Put the case down."),
        ("Air regulator right down.", "Turn the air regulator right down."),
        ("Air back on slowly.", "Turn the air back on slowly."),
        ("Ball joint back up in its hole.", "Put the ball joint back up in its hole."),
        ("Water tap under the sink off.", "Turn the water tap under the sink off."),
        ("New brushes in with the curve up.", "Fit new brushes with the curve up."),
        ("Membrane with the rib upwards.", "Fit the membrane with the rib upwards."),
        ("Wires clipped up away from the pump.", "Clip the wires up away from the pump."),
        ("The lid hinges down.", "Hinge the lid down."),
        ("End caps push on.", "Push the end caps on."),
        ("The clutch unscrews clockwise.", "Unscrew the clutch clockwise."),
        ("Now the top burr carrier unscrews.", "Unscrew the top burr carrier."),
        ("The felt ring soaks in spindle oil.", "Soak the felt ring in spindle oil."),
        ("Nut hand tight plus a quarter turn.", "Run the nut up hand tight."),
        ("Then the case with a new O-ring.", "Fit the case with a new O-ring."),
        ("The window and its seal lift out.", "Lift the window and its seal out."),
    ],
)  # fmt: skip
def test_how_a_thing_is_to_be_is_an_order(text: str, order: str) -> None:
    assert ordered(text) == [order]


@pytest.mark.parametrize(
    "text",
    [
        "Tap at the sink.",
        "Lift out of order.",
        "Know which way it goes.",
        "Shaft down a thou.",
        "All the nuts tight.",
        "The bolts with the paint.",
        "Lip worn in.",
        "The door hinges are worn.",
        "There goes the old one.",
        "Nut up top.",
        "The shaft soaks up the heat.",
        "The cover with the dent in it.",
        "Slide rails with wear.",
    ],
)
def test_how_a_thing_is_asks_for_nothing(text: str) -> None:
    assert ordered(text) == []


@pytest.mark.parametrize("said", ["Pins out.", "Chocks out.", "Props away."])
def test_what_held_a_machine_comes_out_at_the_end_too(said):
    (order,) = imperatives(said, phase="fitting")
    assert order.action.startswith("Take the ")


@pytest.mark.parametrize("said", ["Red seal out.", "Lip out."])
def test_which_way_round_a_part_goes_takes_nothing_out(said):
    assert not imperatives(said, phase="fitting")
