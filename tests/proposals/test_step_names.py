"""What a step is called: by what an author would write over it, told or meant."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.kinds.sentence_kinds import kinds_in
from author.proposals.orders.wording import imperatives
from author.proposals.quantities.reading import quantities_in
from author.proposals.speech.sentences import sentences_of
from author.proposals.steps.action_points import Candidate, StepTalk
from author.proposals.steps.actions import called
from author.proposals.steps.implied_checks import order_of_check
from author.proposals.steps.implied_orders import implied_orders
from author.proposals.steps.moved import Moved
from author.proposals.steps.topics import topic_orders
from author.proposals.things.finding import things_in
from proposals.said import told


def steps_of(*texts, gap=12):
    cues = [Cue(Decimal(gap * n), Decimal(gap * n + 4), text) for n, text in enumerate(texts)]
    return [p for p in propose(sentences_of(cues, "film")).proposals if p.kind == "step"]


def meant_by(*texts, phase="inspection"):
    """Return what is meant by the numbers and checks of the last of some sentences."""
    said = told(*texts)
    quantities, things = quantities_in(said), things_in(said)
    marks = kinds_in(said, quantities)
    found = implied_orders(said, quantities, marks, things, [phase] * len(said))
    order = found.get(len(said) - 1)
    return order and order.action


def check_of(text):
    order = order_of_check(text, things_in(told(text)))
    return order and order.action


def topic_of(text, phase):
    said = told(text)
    return topic_orders(said, things_in(said), [phase]).get(0)


def by_orders(*texts, phase="removal"):
    """Return what a step with these sentences is called, and what is done before and after."""
    every = [Candidate(o, n) for n, text in enumerate(texts) for o in imperatives(text)]
    kinds, names = (frozenset({"action"}),) * len(texts), (frozenset[str](),) * len(texts)
    found = called(every, StepTalk(tuple(range(len(texts))), texts, kinds, names, phase))
    return found.action, [o.action for o in found.before], [o.action for o in found.after]


@pytest.mark.parametrize(
    ("text", "phase", "name"),
    [
        ("Wheel nut next, and it's a left-hand thread.", "removal", "Undo the wheel nut."),
        ("Okay, the side cover, and this one gets everybody.", "removal", "Remove the side cover."),
        ("Wheel nut next, and it's a left-hand thread.", "fitting", "Fit the wheel nut."),
        ("New seals, these have a double lip.", "fitting", "Fit the new seals."),
        ("Now the shaft, where the seal rides.", "inspection", "Check the shaft."),
        ("So here's the rotor, and it's heavy.", "removal", "Remove the rotor."),
        ("Moving on to the seal, these are fun.", "removal", "Remove the seal."),
        ("That leaves the cover.", "fitting", "Fit the cover."),
        ("Bearings they're both shot", "removal", "Remove the bearings."),
        ("Panel, three screws.", "closing", "Fit the panel."),
        ("The keyway, clean it out.", "fitting", "Check the keyway."),
        ("Backlash now, clock on a tooth.", "fitting", "Measure the backlash."),
        ("And end float, push and pull.", "inspection", "Measure the end float."),
        ("Oil, all of it.", "removal", "Drain the oil."),
        ("New oil, the thin stuff.", "fitting", "Fill with new oil."),
    ],
)
def test_of_a_thing_named_first_something_is_done(text, phase, name):
    assert topic_of(text, phase).action == name


@pytest.mark.parametrize(
    "text",
    ["The side cover holds the oil in.", "Feelers next, in the gap.", "Now it drips on the cover,"],
)
def test_a_thing_that_something_is_told_of_asks_for_nothing(text):
    assert topic_of(text, "removal") is None


def test_a_step_is_called_by_what_is_done_to_the_thing_named_first():
    names = [step.text for step in steps_of(
        "Wheel nut next, and this is what catches people out, it's a left-hand thread, so it goes "
        "the other way.",
        "I've seen people put a length of pipe on it and shear the end clean off.",
        "Now the belt comes off.",
    )]  # fmt: skip
    assert names[0].startswith("Undo the wheel nut")


def test_what_nobody_says_is_told_to_be_meant():
    said, meant = steps_of(
        "Undo the wheel nut and take the wheel off.",
        "Okay, the side cover next, and this one gets everybody, there's a hidden bolt behind it.",
        "Look for it with a torch, behind the bracket, it's full of dirt.",
    )
    assert meant.text.startswith("Remove the side cover")
    assert "is meant, though nobody says it" in meant.reason
    assert "is said to be done" in said.reason


@pytest.mark.parametrize(
    ("talk", "order"),
    [
        (("Take the motor off.", "Now the worm.", "The drive's greased at both nipples.",
          "Pull the seal."), "emove the worm"),
        (("Take the hose off.", "Drive chain.", "Guard off first.", "Slack, twenty-two mil."),
         "emove the drive chain"),
        (("Fit the rollers.", "Chain.", "Tensioner bolt loose, half a turn, not out."),
         "it the chain"),
        (("Lift the cover off.", "Right, input shaft.", "Circlip off with the circlip pliers.",
          "Pull the gear off.", "Drive the output shaft out."), "emove the input shaft"),
        (("Fit the seal.", "Now unloader.", "Strip the body and clean it."), "it the unloader"),
        (("Fit the looper.", "Next the needle guard.", "Set that with a feeler."),
         "it the needle guard"),
    ],
)  # fmt: skip
def test_a_heading_takes_nothing_off(talk, order):
    assert order not in " ".join(
        f"{p.text} {p.detail('also') or ''}"
        for p in propose(told(*talk)).proposals
        if p.kind == "step"
    )


@pytest.mark.parametrize(
    ("name", "behind"),
    [
        ("impeller", "It's held by one nut."),
        ("impeller", "Comes straight off."),
        ("wheel rollers", "We're changing all four."),
        ("coupler", "The old one was a K."),
        ("needles", "Fit a fresh pair."),
        ("rotor", "Then clean the bore. Later the rotor goes back in."),
        ("inlet cover", "It's grimy."),
    ],
)
def test_a_thing_named_first_moves_where_that_is_told(name, behind):
    said = told(f"Now the {name}.", *behind.split(" Later ", maxsplit=1))
    assert Moved(said, {}).is_moved(name, 0)


def test_a_step_partly_called_by_what_nobody_says_tells_so():
    step, *_ = steps_of(
        "First, isolator off at the wall.",
        "Roller guard next, and there's four bolts you see and one you don't.",
        gap=6,
    )
    assert "emove the roller guard" in step.text
    assert step.reason.startswith("'Turn' is said to be done, the rest is meant")
    assert step.detail("meant") == "yes"


def test_a_number_told_is_measured():
    names = [step.text for step in steps_of(
        "Fit the rotor.",
        "End float now, indicator on the end of the spindle, push and pull, and we want point one "
        "to point three of a millimetre.",
    )]  # fmt: skip
    assert "Measure the end float" in names[-1]


@pytest.mark.parametrize(
    ("text", "phase", "name"),
    [
        ("Air gap with the feelers, three tenths of a millimetre, half a millimetre at most.",
         "inspection", "Measure the air gap with the feelers."),
        ("The runout of the shaft is four hundredths of a millimetre at most.", "inspection",
         "Measure the runout of the shaft."),
        ("The gap between the rotor and the stator is at least 0.2 mm.", "inspection",
         "Measure the gap between the rotor and the stator."),
        ("The air gap, three tenths of a millimetre all the way round.", "fitting",
         "Set the air gap all the way round."),
        ("Set the pressure with the small screw to 2 bar.", "closing", "Set the pressure."),
        ("New bearings, in the oven at eighty degrees Celsius.", "fitting", "Heat the bearings."),
        ("Fresh oil, it takes 4.6 litres.", "fitting", "Fill with oil."),
        ("Drain the tank, about sixty litres of oil come out.", "removal", "Drain the oil."),
        ("Careful, there's 230 volts on those terminals.", "make_safe",
         "Check that there is no voltage."),
        ("The wheel nut at 40 newton metres.", "fitting", "Tighten the wheel nut."),
    ],
)  # fmt: skip
def test_what_a_number_is_told_for_names_the_step(text, phase, name):
    assert meant_by(text, phase=phase) == name


@pytest.mark.parametrize(
    "text",
    ["The belt is 1930 millimetres long.", "The three bolts are 120 degrees apart.",
     "At most 120 degrees apart.",
     "There's 400 volts on the plate.", "After thirty miles we do it again."],
)  # fmt: skip
def test_a_number_that_nobody_measures_asks_for_nothing(text):
    assert meant_by(text, phase="fitting") is None


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("it oughta spin on by hand with just a little drag",
         "Check that it spins on by hand with just a little drag."),
        ("so the springs should stand proud", "Check that the springs stand proud."),
        ("Pump must not leak", "Check that the pump does not leak."),
        ("It wants to be square, but look", "Check that it is square."),
        ("there should be no play", "Check that there is no play."),
        ("no nicks and no rust", "Check that there are no nicks and no rust."),
        ("Before I take it down, I look at the tread", None),
        ("it runs hot with anything over that", None),
        ("Make sure it is in the groove", "Check that it is in the groove."),
        ("the lip faces in", None),
        ("it has a rattle and the bolts of the rotor come to their check, and in this order we go",
         None),
    ],
)  # fmt: skip
def test_a_check_says_what_has_to_be_so(text, name):
    assert check_of(text) == name


def test_measure_it_again_says_what():
    steps = steps_of(
        "Fit the rotor.",
        "The end float, I want point one to point three of a millimetre.",
        "Put a thinner shim behind the rotor.",
        "Measure it again.",
    )
    told = " ".join(f"{step.text} {step.detail('also')}" for step in steps)
    assert "easure the end float again" in told


@pytest.mark.parametrize(
    ("said", "one", "other"),
    [
        ("Press the bearings on the shaft.| Warm 'em to about eighty, and they just drop on.",
         "arm the bearings", "ress the bearings"),
        ("Fit the seals in the gland.| Soak the seals first.",
         "oak the seals first", "it the seals"),
        ("Pull the coupling off.| Punch a dot so that you know which way it goes back.",
         "unch a dot first", "ull the coupling"),
        ("Press the bush in.| Freeze it first and it'll slide in.",
         "reeze the bush first", "ress the bush"),
        ("Take the cover off.| Mark the wires so you know where they go.",
         "ake the cover", "ark the wires"),
        ("Fit the hub.| Clean the threads first.", "it the hub", "lean the threads"),
        ("Pull the bearing.| Grease the new seal and it goes in easily.",
         "ull the bearing", "rease the new seal"),
    ],
)  # fmt: skip
def test_what_is_told_behind_and_done_first_stands_first(said, one, other):
    steps = steps_of(*said.split("|"), gap=8)
    told = " ".join(f"{step.detail('first')} {step.text} {step.detail('also')}" for step in steps)
    assert told.index(one) < told.index(other)


def test_words_that_tell_where_and_how_name_no_value():
    assert meant_by("The clearance is two tenths at most from the edge oh wait.") == (
        "Measure the clearance."
    )
    assert meant_by("The current by the gauge is at most five amps.") == "Measure the current."


def test_what_finds_no_room_is_told_before_or_after():
    action, before, after = by_orders(
        "Use a soft rag.", "Undo the four bolts.", "Take the cover off.", "Wipe your hands."
    )
    assert action == "Undo the four bolts, and take the cover off."
    assert before == ["Use a soft rag."]
    assert after == ["Wipe your hands."]


def test_it_in_a_name_is_what_the_name_tells():
    (step,) = steps_of("Undo the six bolts, lift the cover off, hook the seal out, and bin it.")
    assert "bolts, and bin it" not in step.text
    assert "cover off, and bin it" not in step.text


def test_what_is_done_between_two_things_is_told_between_them():
    (step,) = steps_of(
        "Bleed the pressure, open the gun into a bucket till it stops, and unhook the battery."
    )
    assert step.text == "Bleed the pressure, and unhook the battery."
    assert step.detail("between") == "Open the gun into a bucket until it stops."
    assert not step.detail("also")


def test_two_things_done_alike_stand_behind_one_verb():
    assert by_orders("Fit the rotor.", "Fit the cover with its screws.", phase="fitting")[0] == (
        "Fit the rotor and the cover with its screws."
    )


def test_nothing_is_told_twice():
    names = [step.text for step in steps_of(
        "The new parts are clean, so fit the new belt.",
        "New seals, these have a double lip. Fit the new seals.",
    )]  # fmt: skip
    assert all(name.lower().count("seals") < 2 for name in names)


def test_what_a_number_tightens_is_not_fitted_too():
    names = [step.text for step in steps_of(
        "Fit the rotor and the cover.",
        "Base nuts, twenty-five foot pound, half of it first, all round.",
        "Then grease the shaft.",
        gap=30,
    )]  # fmt: skip
    assert not any("it the base nuts" in name for name in names)


def test_what_is_named_at_its_place_and_held_to_a_number_is_not_fitted():
    names = [step.text for step in steps_of(
        "Refitting now.",
        "The seat on the shaft, seventeen millimetres, nothing under sixteen point nine eight.",
    )]  # fmt: skip
    assert any("Check the seat on the shaft" in name for name in names)
    names = [step.text for step in steps_of("The washer on the stud, then the nut, 40 Nm.")]
    assert not any("Check" in name for name in names)


def test_what_is_felt_is_not_checked_besides():
    names = [
        step.text for step in steps_of("Slide the shaft in.", "You want to feel it bottom out.")
    ]
    assert not any("Check the shaft" in name for name in names)


def test_no_step_is_called_by_an_order_that_breaks_off():
    every = [Candidate(o, 0) for o in (*imperatives("Leave"), *imperatives("Press the seal in"))]
    talk = StepTalk((0,), ("Leave, press the seal in",), (frozenset(),), (frozenset(),), "fitting")
    found = called(every, talk)
    assert (found.action, found.before, found.after) == ("Press the seal in.", (), ())


def test_no_step_is_called_by_what_is_done_only_in_a_case():
    action, _, after = by_orders("Take the cover off.", "If it sticks, tap the cover.")
    assert action == "Take the cover off."
    assert [one for one in after if one.startswith("If it sticks")]


def test_what_a_thing_has_not_got_is_not_fitted():
    names = [step.text for step in steps_of(
        "Undo the tensioner.", "Teeth are good, no hooks on them, so take the sprocket off.",
    )]  # fmt: skip
    assert not any("hooks" in name for name in names)


def test_a_number_leaves_no_article_behind():
    (step,) = steps_of("Stop it with the button and let it run the thirty seconds until it stops.")
    assert "run until it stops" in f"{step.text} {step.detail('also')}"


def test_what_is_named_behind_a_number_is_not_checked_by_it():
    assert not steps_of(
        "This one's a loader, seven and a half kilos, and we're doing both bearings."
    )


def test_it_is_what_agrees_with_it_and_not_what_was_undone():
    (step,) = steps_of("Undo the two screws at the back of the lid, and slide it back.")
    assert step.text == "Undo the two screws at the back of the lid, and slide the lid back."


def test_what_gets_done_has_the_thing_it_is_done_to():
    (step,) = steps_of("Vanes get soaked in air tool oil in a jar lid.")
    assert step.text == "Soak the vanes in air tool oil in a jar lid."


@pytest.mark.parametrize(
    "said",
    [
        "And don't put your hand on the delivery pipe, it'll be above a hundred degrees.",
        "The hinge pin has a bit of play, half a millimetre, leave it till the next service.",
    ],
)
def test_how_bad_it_is_and_what_is_left_as_it_is_is_not_measured(said):
    steps = [p.text for p in propose(told("Fit the cover.", said)).proposals if p.kind == "step"]
    assert not [one for one in steps if "easure" in one]


def test_what_is_read_in_a_warning_is_measured():
    assert meant_by("Never let the oil temperature get over ninety degrees.") is not None
