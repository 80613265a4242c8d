"""Warnings in the draft: what can do harm and how to avoid it, however the two are tied."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.draft.messages import WORTH, messages
from proposals.said import told

NOTHING = ""


def warned(*texts):
    """Return how to avoid harm and what the harm is, of all that is warned of."""
    found = propose(told("Lift the cover off.", *texts)).proposals
    return [(m.avoid, m.harm) for m in messages([p for p in found if p.kind == "hazard"])]


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Keep your face away from the ports, because it'll spit.",
         "Keep your face away from the ports", "it'll spit"),
        ("Now crack the bleeder, keep your face away from the ports, because it'll spit.",
         "Keep your face away from the ports", "it'll spit"),
        ("keep your face off to the side because there can be air in there",
         "Keep your face off to the side", "there can be air in there"),
        ("Use a brass or plastic pick, because a steel one scratches.",
         "Use a brass or plastic pick", "a steel one scratches"),
        ("Red rubber grease on the pins, not copper grease because it swells the rubber.",
         "Not copper grease", "it swells the rubber"),
        ("Let the boiler cool down until it's below 40, because the door will burn you.",
         "Let the boiler cool down until it's below 40", "the door will burn you"),
        ("hit it with the impact driver or you'll round it off",
         "Hit it with the impact driver", "you'll round it off"),
        ("Keep the block under it, otherwise it drops on your shin.",
         "Keep the block under it", "it drops on your shin"),
        ("Don't let it hang on the hose because you'll tear it inside.",
         "Don't let it hang on the hose", "you'll tear it inside"),
        ("Goggles on, the grooves hold solvent and it comes straight back at you.",
         "Goggles on", "the grooves hold solvent and it comes straight back at you"),
        ("That gives ten thousand volts, so don't ever put your fingers in there.",
         "don't ever put your fingers in there", "That gives ten thousand volts"),
        ("The spring's under load and it'll fly out, so put a rag over it.",
         "put a rag over it", "it'll fly out"),
        ("Tape over the keyway so it doesn't cut the lip.",
         "Tape over the keyway", "it can cut the lip"),
        ("Put tape round the splines so they don't cut the lip.",
         "Put tape round the splines", "they can cut the lip"),
    ],
)  # fmt: skip
def test_what_avoids_harm_stands_with_the_harm_it_is_tied_to(said, avoid, harm):
    assert warned(said) == [(avoid, harm)]


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        # What stands before is no order, or is ours and no harm.
        ("The lid came off in two halves, and never lever it with a screwdriver.",
         "Never lever it with a screwdriver", NOTHING),
        ("Don't force it, because we need it later.", "Don't force it", NOTHING),
        ("I'm slow today because it'll burn you.", NOTHING, "it'll burn you"),
        # What is done before something else is no way to avoid what comes of the next.
        ("Pull the clip, lift the hose, never lever it with a screwdriver.",
         "Never lever it with a screwdriver", NOTHING),
        ("It gets so hot it'll burn you.", NOTHING, "It gets so hot it'll burn you"),
    ],
)  # fmt: skip
def test_what_is_not_tied_to_a_warning_is_no_half_of_it(said, avoid, harm):
    assert warned(said) == [(avoid, harm)]


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Snap that one and you'll never get it out again.", NOTHING,
         "Snap that one and you'll never get it out again"),
        ("and you'll never get it out again", NOTHING, "You'll never get it out again"),
        ("never work under it on just the jack", "Never work under it on just the jack", NOTHING),
        ("leave it never touch it with bare hands", "Never touch it with bare hands", NOTHING),
        ("that one never lift it by the shaft", "Never lift it by the shaft", NOTHING),
    ],
)  # fmt: skip
def test_a_threat_is_no_order(said, avoid, harm):
    assert warned(said) == [(avoid, harm)]


@pytest.mark.parametrize(
    ("order", "forgotten"),
    [
        ("before you do anything else get in and pump the pedal till it goes hard",
         "if you forget that the first time you press the brake there's nothing there and you go "
         "through the wall"),
        ("Before you do anything else, get in and pump the pedal till it goes hard.",
         "If you forget that, the first time you press the brake there's nothing there and you go "
         "through the wall."),
    ],
)  # fmt: skip
def test_what_must_not_be_forgotten_is_the_order_before(order, forgotten):
    found = propose(told("Lift the cover off.", order, forgotten)).proposals
    ((avoid, harm),) = warned(order, forgotten)
    assert avoid == "Pump the pedal until it goes hard"
    assert harm.startswith("If you forget that")
    assert harm.endswith("you go through the wall")
    assert not [p.text for p in found if p.kind in {"order", "prerequisite"}]


def test_what_must_not_be_forgotten_is_the_order_in_front_of_it():
    said = "Put the pin back in the lock, if you skip that, the arm drops on your hands."
    ((avoid, harm),) = warned("Undo the cap.", said)
    assert avoid == "Put the pin back in the lock"
    assert harm == "If you skip that, the arm drops on your hands"


def test_nothing_is_taken_for_what_is_forgotten_where_nothing_was_ordered():
    ((avoid, _),) = warned("The pump is noisy.", "If you skip this, the arm drops on your hands.")
    assert avoid == NOTHING


@pytest.mark.parametrize(
    "said",
    [
        "It stretches without cracking.",
        "You want the seal kit in your hand before you start.",
        "If you ain't got caps, a sandwich bag and a rubber band'll do.",
        "It can't touch the wheel.",
        "Plug both ports with new plugs so no dirt gets in.",
        "Eighty degrees, is too hot.",
        "five hundred volts",
        "And let's do the boiler itself.",
        "Unhook the spring and catch the arm.",
        "Catch the bearing in your hand.",
        "A soot vacuum and a dust mask.",
        "When it gets painted in spring, it goes back outside.",
        "Press start to prove it's dead.",
        "There's a fifth screw under the badge that nobody finds.",
        "Open the door and you'll see a wire band round the edge.",
        "Open the cover and you'll see a band.",
        "This is the fiddly bit, two people makes it easier.",
    ],
)
def test_a_denied_harm_a_plan_or_a_reading_is_no_warning(said):
    assert warned(said) == []


@pytest.mark.parametrize(
    "said",
    [
        "Pull it off without scratching the bore.",
        "It doesn't care about your fingers.",
        "It'll catch your arm.",
        "Plug the ports or dirt gets in.",
        "Don't touch it, it's too hot.",
        "There's five hundred volts in there.",
        "It lets go and jumps at your face.",
        "Mask and goggles on.",
        "You can't touch that wheel, it cuts.",
        "It'll go off in your hand.",
    ],
)
def test_a_warning_that_sounds_like_one_of_them_is_kept(said):
    assert warned(said)


@pytest.mark.parametrize(
    ("order", "tied", "message"),
    [
        ("hit it with the impact driver", "or you'll round it off",
         ("Hit it with the impact driver", "you'll round it off")),
        ("Keep the block under it.", "Otherwise it drops on your shin.",
         ("Keep the block under it", "it drops on your shin")),
        ("Undo the bolts half a turn each.", "Because it'll warp the head.",
         ("Undo the bolts half a turn each", "it'll warp the head")),
        # Nothing was ordered, or something else was said between.
        ("The pump is noisy.", "Because it'll burn you.", (NOTHING, "it'll burn you")),
        ("Undo the bolts, it's a nice day.", "Or you'll strip it.", (NOTHING, "you'll strip it")),
    ],
)  # fmt: skip
def test_a_pause_parts_no_warning_from_what_it_is_tied_to(order, tied, message):
    assert warned(order, tied) == [message]


@pytest.mark.parametrize(
    "said",
    [
        "Careful, the oil's hot.",
        "Careful, if it's been running the oil's hot, so let it stand an hour.",
        "Watch out, if it's been on the element's hot, so wait ten minutes.",
        "Careful, the spring's under tension.",
        "Careful, the motor's heavy, so two of you.",
    ],
)
def test_a_danger_told_behind_a_word_of_caution_stands_in_the_draft(said):
    found = propose(told("Lift the cover off.", said)).proposals
    hazards = [p for p in found if p.kind == "hazard"]
    assert [p.detail("signal") for p in hazards if p.confidence >= WORTH] == ["WARNING"]


@pytest.mark.parametrize(
    ("said", "harm"),
    [
        ("Careful, the oil's hot.", "the oil's hot"),
        ("Careful, if it's been running the oil's hot.", "if it's been running the oil's hot"),
        ("Watch out, the edges are sharp.", "the edges are sharp"),
        ("Be careful, it's hot.", "it's hot"),
    ],
)
def test_a_word_of_caution_alone_avoids_nothing(said, harm):
    assert warned(said) == [("", harm)]


def test_what_is_not_hot_yet_is_no_danger():
    assert not warned("The water's not hot yet.")


@pytest.mark.parametrize(
    "said",
    [
        "Wrap the tape round, one turn, don't overlap.",
        "One layer of tape, don't overlap it.",
        "If it is more than that, take the wheel off.",
        "If it's over that, the guard comes off.",
    ],
)
def test_how_a_thing_is_laid_and_what_a_value_decides_are_no_warnings(said):
    assert warned(said) == []


def test_what_a_value_would_do_is_a_warning():
    assert warned("If it is more than that, stop, it can break.") != []


def test_what_comes_of_what_is_forbidden_stands_with_it():
    said = "They're cheap, and never put a steel bolt in there, the auger'll take the gearbox."
    assert warned(said) == [("Never put a steel bolt in there", "the auger'll take the gearbox")]


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Not the grinder, the sparks melt the boot.", "Not the grinder",
         "the sparks melt the boot"),
        ("Glasses on, these clips fly.", "Glasses on", "these clips fly"),
        ("Face shield for that, please, it comes out like a cork.",
         "Face shield for that, please", "it comes out like a cork"),
        ("Don't pry on the front corner, it's where it's sealed, and it cracks.",
         "Don't pry on the front corner", "it's where it's sealed, and it cracks"),
        ("And don't force it, glass doesn't argue.", "Don't force it", "glass doesn't argue"),
        ("mask on, we don't know what's in the old ones", "Mask on",
         "we don't know what's in the old ones"),
        ("never lever behind it with a screwdriver the shaft's only alloy",
         "Never lever behind it with a screwdriver", "the shaft's only alloy"),
        # What is told in passing is no reason.
        ("Don't belt it, that's it, and put the cap on.", "Don't belt it", NOTHING),
    ],
)  # fmt: skip
def test_the_reason_told_right_behind_stands_with_what_is_forbidden(said, avoid, harm):
    assert warned(said) == [(avoid, harm)]


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Fingers away from the fan.", "Fingers away from the fan", NOTHING),
        ("Nobody stands on the swing side.", "Nobody stands on the swing side", NOTHING),
        ("Everyone behind the line, it weighs nine hundred kilos.", "Everyone behind the line",
         "it weighs nine hundred kilos"),
        ("Oxygen in there with oil is an explosion.", NOTHING,
         "Oxygen in there with oil is an explosion"),
        ("This runs at 160 degrees and it doesn't look any different hot than cold.", NOTHING,
         "it doesn't look any different hot than cold"),
    ],
)  # fmt: skip
def test_where_one_stands_is_ordered_and_what_there_is_is_told(said, avoid, harm):
    assert warned(said)[-1:] == [(avoid, harm)]


def test_what_hurts_people_is_not_avoided_by_what_spares_a_thing():
    said = ("Solvent in the eye is not funny.", "No rags in there, fluff gets in the passages.")
    assert ("", "Solvent in the eye is not funny") in warned(*said)


@pytest.mark.parametrize(
    "said",
    [
        "Squeeze that tube and you've bought a ram.",
        "Push on the inner and you dent the balls.",
    ],
)
def test_what_one_would_spoil_by_is_no_work_and_stands_in_the_warning(said):
    found = propose(told("Lift the cover off.", said)).proposals
    assert [p.text for p in found if p.kind == "step"] == ["Lift the cover off."]
    assert warned(said) == [(NOTHING, said.rstrip("."))]


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Lever on it and it cracks.", "Do not lever on it", "it cracks"),
        ("Swap them and the caliper binds.", "Do not swap them", "the caliper binds"),
        ("Wind it right out and it fires at you.", "Do not wind it right out", "it fires at you"),
    ],
)
def test_what_comes_of_an_order_is_avoided_by_not_doing_it(said, avoid, harm):
    found = propose(told("Lift the cover off.", said)).proposals
    assert [p.text for p in found if p.kind == "step"] == ["Lift the cover off."]
    assert warned(said) == [(avoid, harm)]


def test_what_breaks_free_is_meant_to():
    found = propose(told("Lift the cover off.", "Turn the nut and it breaks free.")).proposals
    assert "turn the nut" in next(p.text for p in found if p.kind == "step")


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("If you take out one bolt completely, the plate tips and takes your finger.",
         "Do not take out one bolt completely", "the plate tips and takes your finger"),
        ("No petrol, petrol swells the rubber.", "No petrol", "petrol swells the rubber"),
        ("Never diesel, diesel rots the hose.", "Never diesel", "diesel rots the hose"),
        ("Pack it about a third full with grease, no more, or it'll run hot.",
         "Pack it about a third full with grease, no more", "it'll run hot"),
        ("Those three take eight newton metres, not more than ten, or the ear will crack.",
         "Those three take eight newton metres, not more than ten", "the ear will crack"),
        ("There's 175 psi in there and that'll kill you dead so crack the tank drain.",
         "crack the tank drain", "There's 175 psi in there and that'll kill you dead"),
        ("If you put it in backwards it'll never shut, it'll sit there hissing at you.",
         NOTHING, "If you put it in backwards it'll never shut, it'll sit there hissing at you"),
        ("You jam it down you ruin the seat.", "You jam it down you ruin the seat", NOTHING),
        ("put the screw back with way oil on it not grease, grease just holds the swarf",
         "Put the screw back with way oil on it not grease", "grease just holds the swarf"),
        ("These needles come up through the chamber and they'll go through your hand.",
         NOTHING, "These needles come up through the chamber and they'll go through your hand"),
        ("Then I wait five minutes, there are capacitors in the drive, they hold 600 volts.",
         "wait five minutes", "there are capacitors in the drive, they hold 600 volts"),
        ("let it cool first the oil is at eighty degrees and it burns you",
         "Let it cool first", "the oil is at eighty degrees and it burns you"),
        ("One scratch in the groove and it leaks again.",
         "Not one scratch in the groove", "it leaks again"),
        ("Just a dab, because too much ends up on the shoes.",
         "Just a dab", "too much ends up on the shoes"),
        ("If it just spins, don't fight it with the hex key.",
         "If it spins, don't fight it with the hex key", NOTHING),
    ],
)  # fmt: skip
def test_a_warning_keeps_its_case_its_limit_and_its_noun(said, avoid, harm):
    assert warned(said) == [(avoid, harm)]


@pytest.mark.parametrize(
    "said",
    [
        "Push a plastic trim tool in and they'll pop.",
        "Lift the cowl away and lay it face down on the bench.",
        "This one is hard and cracked.",
        "The filter is a sponge.",
        "The armature plate is blue from heat, but flat.",
        "The cap is next, but only once the leg's back in the yokes.",
        "Use the impact wrench, just a short burst.",
        "Open circuit means a new coil.",
        "Take them out and lift the guard off.",
        "The chain has stretched.",
        "Pop them out with a flat screwdriver.",
        "New bearings go on hot, eighty degrees in the oven for twenty minutes.",
        "Make sure it's unplugged and undo the lid.",
        "Put the lid on and don't forget to open the valve.",
        "The guard will lift off now.",
        "Unplug the connector, and the pump comes away in your hand.",
        "And here's the reason, a coin and a hair grip stuck in the impeller.",
        "There's a bit of rag wrapped round the shaft.",
        "There you go, the gear has no teeth left on one side.",
        "The old seal has got no rubber left on it.",
        "Wipe all the old grease out, and the plastic dust too, with a rag.",
        "Now the seal, lever it out, it's never used twice.",
        "The rack has one chipped tooth, I can live with that.",
    ],
)
def test_how_a_thing_is_or_comes_free_is_no_warning(said):
    assert warned(said) == []


@pytest.mark.parametrize(
    "said",
    [
        "Push the clip in and it'll fly out at your eye.",
        "Mind your face down there, it spits.",
        "The edge is sharp and worn.",
        "The chain is still sharp, mind your hands.",
        "Never lift the guard off while it turns.",
        "Pop them out with a flat screwdriver, mind the bore.",
        "Ease it on over the splines, mind the lip.",
        "Don't run it with the guard off.",
        "The spring comes out and it can take your eye out.",
        "There's a wire stuck in the fan, it can cut your fingers.",
    ],
)
def test_what_can_harm_by_the_way_it_is_or_comes_free_warns(said):
    assert warned(said)


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Never touch the spring or its cable drums, it can break your arm.",
         "Never touch the spring or its cable drums", "it can break your arm"),
        ("Don't put your fingers near the belt or its pulleys, it can take them off.",
         "Don't put your fingers near the belt or its pulleys", "it can take them off"),
        ("Never grab the blade or the belt.", "Never grab the blade or the belt", NOTHING),
        ("Don't let go of it, or the plate bends.", "Don't let go of it", "the plate bends"),
        ("Never lever on the lip or your new seal leaks.",
         "Never lever on the lip, or your new seal leaks", NOTHING),
        ("Never open the gas valve, it's not part of this job and it can kill you.",
         "Never open the gas valve", "it's not part of this job and it can kill you"),
    ],
)  # fmt: skip
def test_what_else_must_not_be_touched_is_no_harm(said, avoid, harm):
    assert warned(said) == [(avoid, harm)]


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Now the quill drops out of the bottom, so have one hand there.",
         "have one hand there", "The quill drops out of the bottom"),
        ("The motor drops down when the last bolt is out, so hold it.",
         "hold it", "The motor drops down when the last bolt is out"),
        ("The lid falls off, so be ready to catch it.",
         "be ready to catch it", "The lid falls off"),
        ("When you pull the pin the arm swings down, so keep your hands clear.",
         "keep your hands clear", "The arm swings down"),
        ("It tips over when that's out, so keep a block under it.",
         "keep a block under it", "It tips over when that's out"),
    ],
)  # fmt: skip
def test_what_falls_by_itself_warns_and_is_not_dropped(said, avoid, harm):
    assert warned(said) == [(avoid, harm)]
    steps = [p for p in propose(told("Lift the cover off.", said)).proposals if p.kind == "step"]
    assert [p.text for p in steps] == ["Lift the cover off."]


@pytest.mark.parametrize(
    "said",
    [
        "The old bearing drops out, so clean the bore.",
        "The cover comes off, so put it to one side.",
        "If the wedge falls out, put it back.",
    ],
)
def test_what_comes_out_on_purpose_is_work(said):
    assert warned(said) == []


@pytest.mark.parametrize(
    ("talk", "words"),
    [
        ("You're shooting for 2,900 psi, never go over 3,000.", "Never go over 3,000"),
        ("Idle speed should be 2,800.", "Idle speed should be 2,800"),
        ("Never go over 3, it splits.", "Never go over 3"),
    ],
)
def test_the_comma_of_thousands_ends_no_clause(talk, words):
    found = propose(told("Start the engine.", talk)).proposals
    assert any(p.text.startswith(words) for p in found if p.kind != "step")


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Not only the switch, the plug.", "Not only the switch, the plug", NOTHING),
        ("Don't lose it, don't bend it, it goes back exactly as it came.",
         "Don't lose it, don't bend it", "it goes back exactly as it came"),
        ("Kill the power, and work the lever to dump any pressure that's left.",
         "work the lever to dump any pressure that's left", NOTHING),
        ("If it won't budge, put some heat to it, but stay below three hundred degrees or you'll "
         "ruin the chrome.",
         "If it won't budge, put some heat to it, but stay below three hundred degrees",
         "you'll ruin the chrome"),
        ("If it won't shift, don't lever behind the impeller, it's only plastic.",
         "If it won't shift, don't lever behind the impeller", "it's only plastic"),
        ("They're sharp even when they're blunt, so gloves on for this bit.",
         "Gloves on for this bit", "They're sharp even when they're blunt"),
        ("Sorry, not on these, no threadlock here at all, the heat just cooks it.",
         "Not on these, no threadlock here at all", "the heat cooks it"),
        ("You mustn't pump without turning the drive, or the new seal is blown straight out.",
         "You mustn't pump without turning the drive", "the new seal is blown straight out"),
        ("Before this I do not open, because the steam burns you immediately.",
         "Before this I do not open", "the steam burns you immediately"),
        ("Brass tweezers, not steel, steel is magnetic and you'll chase it all night.",
         "Brass tweezers, not steel", "steel is magnetic and you'll chase it all night"),
        ("Undo the cap bolts and lift the block out, and get a mate to help you, it weighs about "
         "18 kilos.", "Get a mate to help you", "it weighs about 18 kilos"),
        ("Pull the bolts and get the hoist on it, that thing's about a hundred and ten pounds.",
         "Get the hoist on it", "that thing's about a hundred and ten pounds"),
        ("Oil them, don't grease them, grease never gets in the pins.",
         "Don't grease them", "grease never gets in the pins"),
        ("The screws only two newton metres, it is plastic behind.",
         "The screws only two newton metres", "it is plastic behind"),
        ("It must not be less than 29.95, or the new bearing will creep.",
         "It must not be less than 29.95", "the new bearing will creep"),
        ("Set the gap to fifteen thousandths, and you don't want less than ten or it'll bind.",
         "You don't want less than ten", "it'll bind"),
        ("I want that drum under forty degrees before anybody goes in, and then it's off at the "
         "isolator.", "I want that drum under forty degrees before anybody goes in", NOTHING),
        ("hoover out every groove any glaze left in there will eat the new element",
         "Hoover out every groove", "any glaze left in there will eat the new element"),
    ],
)  # fmt: skip
def test_both_halves_of_what_is_told_in_one_sentence(said, avoid, harm):
    assert warned(said) == [(avoid, harm)]


@pytest.mark.parametrize(
    "said",
    [
        "Now it is open, and it is hard like wood.",
        "And under it, careful, a shim.",
        "Keep the pins if they're straight.",
        "Contacts are burned, you get a new set.",
        "This is the swing bridge's hand winch, it slips under load.",
        "The motor and the pump, you lift them out together.",
        "Key in my pocket, nobody else's.",
        "I warm them to eighty degrees, never over a hundred and ten, and they just drop on.",
        "The cord is out of it so it can't fire while I'm turning the prop.",
        "It can drop a hundred psi, no more than that.",
        "The hose is still soft.",
        "Push it on the barb, its plastic.",
        "leave about three millimeters under the intake so it doesnt suck scale",
    ],
)
def test_pieces_of_orders_and_states_of_old_parts_warn_of_nothing(said):
    assert warned(said) == []


@pytest.mark.parametrize(
    "said",
    [
        "Keep the pins clear of the blade.",
        "The terminals are live.",
        "It's like a razor.",
        "It can drop on your foot.",
        "The clamp can drop ten millimetres onto your hand.",
        "Guard on before you start it.",
        "This is the dangerous part, it bites.",
        "I'm wearing gloves for this one.",
    ],
)
def test_what_hurts_warns_in_the_same_forms(said):
    assert len(warned(said)) == 1


@pytest.mark.parametrize(
    ("said", "signal"),
    [
        ("Don't touch the face with your fingers.", "NOTICE"),
        ("Don't touch the disc with your fingers, it's hot.", "WARNING"),
        ("Too tight and you'll have these bearings out again by Easter.", "NOTICE"),
    ],
)
def test_where_only_a_part_suffers_it_is_a_notice(said, signal):
    found = propose(told("Lift the cover off.", said)).proposals
    assert [m.signal for m in messages([p for p in found if p.kind == "hazard"])] == [signal]


def test_a_half_goes_with_the_one_told_nearest_to_it():
    told_of = warned(
        "Kill the power, and work the lever to dump any pressure that's left.",
        "Hydraulic oil will go right through your skin, so never feel for a leak with your hand.",
    )
    assert ("Never feel for a leak with your hand",
            "Hydraulic oil will go right through your skin") in told_of  # fmt: skip


FILLING = ("Undo the bolts.", "Lift the plate off.", "Take the shaft out.", "Clean the bore.",
           "Fit the new ring.", "Press the seal in.", "Put the plate back.", "Do the bolts up.",
           "Fill it with oil.")  # fmt: skip


@pytest.mark.parametrize(
    ("said", "told_of"),
    [
        ("Crack the hose slowly, there's always pressure in there.",
         (NOTHING, "there's always pressure in there")),
        ("New set, all three, don't mix old with new.", ("Don't mix old with new", NOTHING)),
        ("All six new, never mixed.", ("Never mixed", NOTHING)),
        ("Wear gloves, that stuff burns, and never mix it with the sanitizer.",
         ("Never mix it with the sanitizer", NOTHING)),
        ("I clean it with a cloth and alcohol, not with benzine.", ("Not with benzine", NOTHING)),
        ("I want that rail dead before anyone touches it.",
         ("I want that rail dead before anyone touches it", NOTHING)),
        ("I want the pressure down to nought before you crack a union.",
         ("I want the pressure down to nought before you crack a union", NOTHING)),
        ("Mind how it lifts, mark the edge with paint.", ("Mind how it lifts", NOTHING)),
        ("Cover, ten screws, five newton metres, hand driver only.",
         ("Hand driver only", NOTHING)),
    ],
)  # fmt: skip
def test_some_forms_warn_in_a_talk_of_any_length(said, told_of):
    told_in = {(avoid, harm[:1].lower() + harm[1:]) for avoid, harm in warned(*FILLING, said)}
    assert told_of in told_in


@pytest.mark.parametrize(
    "said",
    [
        "Mix the two parts well.",
        "There's no pressure in there now.",
        "Bring it with you, not with me.",
        "I want the wheel off before you start on the brake.",
        "I want the gap under two mil before you lock it.",
        "Right, that's us, mind how you go.",
    ],
)
def test_words_like_them_do_not(said):
    assert warned(*FILLING, said) == []


@pytest.mark.parametrize(
    "said",
    [
        "You want to see no skipped stitches over half a metre.",
        "It's skipping stitches, and the belt is slipping.",
        "If it drops a stitch, turn the screw.",
    ],
)
def test_a_stitch_that_is_skipped_hurts_nobody(said):
    assert not [p for p in propose(told(said)).proposals if p.kind == "hazard"]
    for hurt in ("Keep your fingers clear, or you'll need stitches.", "I had six stitches in it."):
        assert [p for p in propose(told(hurt)).proposals if p.kind == "hazard"]


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Don't let the piston drop on the threads as it comes out.",
         "Don't let the piston drop on the threads as it comes out", NOTHING),
        ("Use some tape over the threads so you don't cut the seal.",
         "Use some tape over the threads", "you can cut the seal"),
        ("Use a block of wood so you don't mark the flange.",
         "Use a block of wood", "you can mark the flange"),
        ("It's hot, so you don't touch it.", "you don't touch it", "It's hot"),
        ("Don't use the gun on these, they cut their own thread and you'll strip it.",
         "Don't use the gun on these", "they cut their own thread and you'll strip it"),
        ("Clamp it in the vice by the lug, not by the tube.",
         "Clamp it in the vice by the lug, not by the tube", NOTHING),
        ("Never look for a leak with your hand, the oil can go straight through your skin.",
         "Never look for a leak with your hand", "the oil can go straight through your skin"),
        ("Don't check the oil with the engine running.",
         "Don't check the oil with the engine running", NOTHING),
        ("Keep the hoses and the wires away from the blade.",
         "Keep the hoses and the wires away from the blade", NOTHING),
        ("Mind the ribs, one rib off and the belt comes off.", "Not one rib off",
         "the belt comes off"),
        ("The motor has to be level, otherwise the air stays in the bearings.",
         "The motor has to be level", "the air stays in the bearings"),
        ("You don't have to touch it to get a shock.", NOTHING,
         "You don't have to touch it to get a shock"),
    ],
)  # fmt: skip
def test_each_half_is_told_whole(said: str, avoid: str, harm: str) -> None:
    assert warned(said) == [(avoid, harm)]


@pytest.mark.parametrize(
    "said",
    [
        "Keep the bolts and the cup washers, we use those again.",
        "Keep the old bolts, the clips and both washers.",
        "The tank holds eighteen litres, you don't have to drain it if you plug the hoses.",
        "If one snaps, don't panic, you can drill it out.",
        "They're coated, so you only use them once.",
        "You only use these nuts once.",
        "The piston has to be pushed back.",
        "Press on the outer ring only, and on the inner ring when it goes on the shaft.",
        "Mine only turns about 60 and then it jams.",
        "You need a screwdriver, a multimeter and some heat resistant gloves.",
    ],
)
def test_what_is_kept_or_need_not_be_done_warns_of_nothing(said: str) -> None:
    assert warned(said) == []


def test_where_looking_is_forbidden_nothing_is_looked_at() -> None:
    found = propose(told("Lift the cover off.", "Never look for a leak with your hand.")).proposals
    assert not [one for one in found if one.kind == "inspection"]
