"""Questions to the technician: what the film leaves out, worst first."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.draft.gaps import questions
from author.proposals.speech.sentences import sentences_of
from proposals.said import told


def asked(*texts):
    cues = [Cue(Decimal(8 * n), Decimal(8 * n + 5), text) for n, text in enumerate(texts)]
    return questions(propose(sentences_of(cues, "film")).proposals)


@pytest.mark.parametrize(
    ("texts", "part"),
    [
        (["Tighten the four cover bolts crosswise."], "to what torque"),
        (["Lift the pump cover off."], "never said to go back"),
        (["Now tighten the nut to forty newton metres."], "between which limits"),
        (["Set the gap to point two five."], "which unit"),
        (["Then measure the bore with the bore gauge."], "no number is said"),
        (["Take the motor cover off.", "Pull the motor out."], "making safe"),
        (["Lift the lid off.", "The hose is cracked, that is another job."], "who releases it"),
    ],
)
def test_what_is_missing_is_asked(texts, part):
    assert any(part in question.text for question in asked(*texts))


@pytest.mark.parametrize(
    ("texts", "part"),
    [
        (["Tighten the nut to between 38 and 42 newton metres."], "to what torque"),
        (["Lift the pump cover off.", "Now put the pump cover back on."], "never said to go back"),
        (["Unplug the motor.", "Take the motor cover off."], "making safe"),
        (["Measure the disc.", "Thickness new, twelve millimetres.", "Scrap it under eleven."],
         "between which limits"),
    ],
)  # fmt: skip
def test_what_was_said_is_not_asked(texts, part):
    assert not any(part in question.text for question in asked(*texts))


def test_the_worst_comes_first():
    found = asked("Take the motor cover off.", "Wipe it with a rag.", "Tighten the cover screws.")
    assert [q.weight for q in found] == sorted((q.weight for q in found), reverse=True)
    assert "making safe" in found[0].text


def test_a_question_names_the_moment():
    (question,) = [q for q in asked("Hm.", "Tighten the bolts.") if "torque" in q.text]
    assert "0:0" in question.text
    assert 7 < question.at < 9


def test_a_tight_nut_that_comes_off_needs_no_torque():
    told = asked(
        "Take the cover off, four screws, and lift it away.",
        "The nut is tight, so heat it and undo it with the long bar.",
        "Pull the hub off and take the key out.",
    )
    assert not [one for one in told if "to what torque" in one.text]


def test_what_the_technician_does_not_know_is_asked():
    told = asked("Lift the cover off.", "What I don't know is whether the bush is the same part.")
    assert any("who knows" in one.text for one in told)


def test_stages_of_a_torque_are_asked_for_once():
    told = asked(
        "Right, that goes back together.",
        "Tighten the nuts, five newton metres, then ten, then fifteen newton metres.",
    )
    assert len([one for one in told if "between which limits" in one.text]) == 1


def test_a_value_outside_of_the_limits_told_beside_it_is_asked_for():
    told = asked(
        "Measure the spring.", "Length, a hundred and eight millimetres.", "Under 105, bin it.",
        "Set length, ninety millimetres.",
    )  # fmt: skip
    assert any("90" in one.text or "ninety" in one.text for one in told)


def test_a_number_said_twice_is_asked_for_once():
    told = asked("Tighten the nut to thirty. It's thirty newton metres.")
    assert len([one for one in told if "between which limits" in one.text]) == 1


def test_of_times_and_of_readings_with_limits_nothing_is_asked():
    told = asked(
        "Let it run for ten minutes.",
        "The gap should be between three and five millimetres, mine is four millimetres.",
    )
    assert not [one for one in told if "limits" in one.text]


def test_supplies_are_asked_for_in_one_question():
    told = asked("Wipe it with a rag and some degreaser, then put grease and threadlock ready.")
    assert len([one for one in told if "which" in one.text.lower() and "grade" in one.text]) == 1


def test_a_bit_of_wire_is_no_electricity():
    assert not [one for one in asked("Hang it on a bit of wire.") if "making safe" in one.text]


def test_what_need_not_be_ordered_is_not_asked_for():
    told = asked("Pull the hub off.", "Don't order the hub, we reused it.", "Take the nut off.")
    assert not [one for one in told if "hub" in one.text.lower()]
    told = asked("Pull the wiper out.", "The wiper comes with the kit so don't order that.")
    assert not [one for one in told if "order that" in one.text]


@pytest.mark.parametrize(
    "texts",
    [
        ("Take the guard off.", "Clean the face.", "Guard's back on."),
        ("Take the guard off.", "Clean the face.", "That's the guard back on."),
        ("Take the guard off.", "Clean the face.", "Guard on, and do the screw up."),
        ("Take the guard off.", "Clean the face.", "Guard down over the pins."),
        ("Take the guard off.", "Clean the face.", "And the little guard back in."),
    ],
)
def test_what_is_said_to_be_back_is_not_asked_for(texts):
    assert not [one for one in asked(*texts) if "never said to go back" in one.text]


@pytest.mark.parametrize(
    "said",
    [
        "Never run it with the guard on.",
        "If the guard's on, you can't see it.",
        "Clean the guard on both sides.",
        "There's a mark on the guard in the corner.",
        "Don't put the guard on.",
    ],
)
def test_what_is_named_beside_on_is_not_back(said):
    told = asked("Take the guard off.", said, "Clean the face.")
    assert [one for one in told if "guard" in one.text and "never said to go back" in one.text]


def test_what_is_taken_off_without_a_verb_is_not_asked_for():
    told = asked("Right, now it goes together.", "Carrier off.", "Clean it.", "Carrier on.")
    assert not [one for one in told if "arrier" in one.text]


OFF = ("Take the guard off.", "Lift the belt off.", "Pull the pulley off.")


@pytest.mark.parametrize(
    "said",
    [
        "Do it all up in reverse.",
        "Then it all goes back together the reverse of how it came off.",
        "Reassembly is just the reverse of removal.",
        "Put everything back in reverse order.",
        "And the lot goes back together the way it came apart.",
    ],
)
def test_what_goes_back_in_reverse_is_asked_for_once_with_every_part(said):
    found = asked(*OFF, said)
    (question,) = [q for q in found if "order of refitting" in q.text]
    listed = question.text.partition("last off first")[2]
    places = [listed.index(name) for name in ("pulley", "belt", "guard")]
    assert places == sorted(places)
    assert not any("never said to go back" in q.text for q in found)
    proposed = propose(
        sentences_of([Cue(Decimal(9), Decimal(12), said)], "film")
    ).proposals  # fmt: skip
    assert not any(move.act == "refits" for p in proposed for move in p.moves)


def test_what_is_told_to_go_back_is_not_asked_again():
    found = asked(*OFF, "The pulley goes back on.", "The rest goes back together in reverse.")
    (question,) = [q for q in found if "order of refitting" in q.text]
    _, _, left = question.text.partition("Off and not said to go back")
    assert "pulley" not in left and "guard" in left


@pytest.mark.parametrize(
    "said",
    [
        "Run the motor in reverse to wind it back.",
        "Put the washer back the way it came out.",
        "It doesn't all go back together in the reverse of how it came off.",
        "Knock the drill back into reverse gear.",
        "The belt goes back on the opposite side.",
    ],
)
def test_other_things_in_reverse_ask_for_no_order_of_refitting(said):
    assert not any("order of refitting" in q.text for q in asked(*OFF, said))


@pytest.mark.parametrize("what", ["locknut", "wingnuts", "cable gland", "union"])
def test_what_is_turned_tight_is_asked_for_its_torque(what):
    assert [q for q in asked(f"Tighten the {what}.") if "to what torque" in q.text]


def test_a_ball_screw_that_runs_tight_is_not_asked_for_its_torque():
    assert not [q for q in asked("Run the ball screw up till it's tight.") if "torque" in q.text]


def test_a_refused_number_leaves_no_question_behind():
    said = "Drain plug's at the bottom here, nineteen mil, stick a tray under it."
    found = propose(told("Take the cover off.", said)).proposals
    assert [p for p in found if p.kind == "measurement"]
    left = [p for p in found if p.kind != "measurement"]
    assert not [q for q in questions(left) if "nineteen" in q.text.lower()]


@pytest.mark.parametrize(
    "safe",
    [
        "Battery switch off.",
        "Main switch off, lock it, tag it.",
        "Plug's out, and I set it on the table where I can see it.",
        "Take the negative off the battery, it's the ten spanner.",
        "Main switch to zero, lock, and I take the key with me.",
        "Turn the power off at the wall.",
        "Pull the disconnect, my lock on it.",
        "Disconnect the battery.",
        "Unhook the battery.",
    ],
)
def test_the_machine_is_made_safe_in_many_words(safe):
    found = asked(safe, "Take the motor cover off.", "Pull the motor out.")
    assert not [one for one in found if "making safe" in one.text]


@pytest.mark.parametrize(
    "said",
    ["Pull the drain plug out.", "Take the leads off the coil.", "Pull the switch out.",
     "Put the breaker bar on the bolt.", "Battery cover off.", "Take the switch panel off.",
     "I ground the burr off.", "Hit the emergency stop.", "Disconnect the fuel hose.",
     "Fit the lock on the door."],
)  # fmt: skip
def test_what_only_comes_off_makes_nothing_safe(said):
    assert [one for one in asked("Take the motor cover off.", said) if "making safe" in one.text]


@pytest.mark.parametrize(
    "said",
    [
        "Put the three nuts on, finger tight.",
        "Snug the badge screws by hand, they're plastic threads.",
        "Fit the wheel with the bolts just snug.",
    ],
)
def test_what_is_tightened_by_hand_is_asked_for_no_torque(said):
    assert not [one for one in asked("Put the cover on.", said) if "to what torque" in one.text]


def test_a_bolt_without_torque_is_asked_for_beside_one_that_has_it():
    found = asked(
        "Put the cover on.", "Tighten the cover bolts to 40 newton metres.",
        "Put the bracket on.", "The hose goes in its clip.", "Tighten the bracket bolts.",
    )  # fmt: skip
    (one,) = [q for q in found if "to what torque" in q.text]
    assert "“Tighten the bracket bolts”" in one.text


def test_a_gauge_that_is_only_read_is_not_measured_with():
    found = asked("Take the pump cover off.", "The gauge on top reads nothing.")
    assert not [one for one in found if "Something is measured" in one.text]


def test_parts_that_come_off_in_one_step_are_asked_for_together():
    found = asked("Take the elbow and the fan cover off.", "Oil the shaft.")
    (one,) = [q for q in found if "never said to go back" in q.text]
    assert "elbow and fan cover come off" in one.text
    assert one.several


def test_what_is_to_be_renewed_and_never_goes_in_is_asked_for():
    found = asked("Shoes are down to one and a half mil, so they're scrap.", "Clean the drum.")
    assert [q for q in found if "The shoe is to be renewed" in q.text]
    found = asked(
        "Parts you want: two fork seals and a gasket.", "Take the cover off.", "Put the cover on.",
    )  # fmt: skip
    (one,) = [q for q in found if "no step fits" in q.text]
    assert "fork seal" in one.text
    assert "gasket" in one.text
    assert len(one.parts) == 2
    found = asked("Take the guard off.", "The belt's cracked so new belt.", "Clean it.")
    assert not [q for q in found if "no step fits" in q.text]
    found = asked("Parts you want: one seal kit.", "Take the cover off.")
    assert not [q for q in found if "no step fits" in q.text]


@pytest.mark.parametrize(
    "said",
    [
        "The last bolt's behind the rib where you can't see it.",
        "There's one more under the flange, you gotta feel for it.",
        "I tested that this morning.",
    ],
)
def test_where_a_thing_is_and_what_was_done_are_no_inspection(said):
    found = asked("Take the pump cover off.", said)
    assert not [one for one in found if "what is accepted" in one.text]


def test_a_look_is_asked_for_with_what_is_looked_at():
    found = asked("Take the pump cover off.", "Rollers next, have a look.")
    assert any("“Rollers next, have a look”" in q.text for q in found)


def test_what_one_would_live_with_is_not_live():
    found = asked("Put a straightedge on the rod, fifteen thou is the most I'd live with.")
    assert not [one for one in found if "making safe" in one.text]


def test_what_the_shop_hung_on_for_the_job_stays_off():
    found = asked("Take the lock off.", "Take the ratchet straps off.", "Lift the cover off.")
    left = [one.text for one in found if "never said to go back" in one.text]
    assert left
    assert not [text for text in left if "lock" in text or "strap" in text]


@pytest.mark.parametrize(
    ("said", "of", "asks_how"),
    [
        ("Next check the free length of the valve spring with a caliper.",
         "free length of the valve spring", False),
        ("Check the gap between the electrodes.", "gap between the electrodes", True),
        ("Check the chain with a straight edge.", "", False),
    ],
)  # fmt: skip
def test_limits_are_asked_of_what_is_measured_and_told_without_them(said, of, asks_how):
    (found,) = [q for q in asked(said) if q.asks == "limits"]
    assert found.of == of
    assert ("with what instrument" in found.text) is asks_how
    assert not [q for q in asked(said) if q.asks == "accepted"]


@pytest.mark.parametrize("said", ["Check the seal with your fingers.", "Check the oil level."])
def test_what_is_only_looked_at_is_asked_no_limits(said):
    assert not [q for q in asked(said) if q.asks == "limits"]
