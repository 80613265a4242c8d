"""What goes wrong, is refused, is fine or is left, told without an "if" or like an order."""

from __future__ import annotations

import pytest

from author.proposals.claims import propose
from author.proposals.draft.warning_halves import halves_of
from author.proposals.steps.mishaps import halves_of_mishap
from author.proposals.steps.verdicts import with_verdicts
from proposals.said import told


def of_kind(kind, *texts):
    return [p.text for p in propose(told(*texts)).proposals if p.kind == kind]


@pytest.mark.parametrize(
    ("texts", "warning"),
    [
        (("Put the ratchet on back to front and the brake won't hold at all.",),
         "Put the ratchet on back to front and the brake won't hold at all"),
        (("Get it the wrong way round and it'll sink worse than before.",),
         "Get it the wrong way round and it'll sink worse than before"),
        (("Any oil on the discs and they'll slip.",), "Any oil on the discs and they'll slip"),
        (("No float at all and she'll burn out by the motorway.",),
         "No float at all and she'll burn out by the motorway"),
        (("An open ender will round it, ask me how I know.",), "An open ender will round it"),
    ],
)  # fmt: skip
def test_a_mishap_told_like_an_order_warns_and_is_not_done(texts, warning):
    assert of_kind("hazard", *texts) == [warning]
    assert not of_kind("step", *texts)
    assert not of_kind("inspection", *texts)


@pytest.mark.parametrize(
    ("said", "avoid", "harm"),
    [
        ("Put the ratchet on back to front and the brake won't hold at all",
         "Do not put the ratchet on back to front", "the brake won't hold at all"),
        ("Any oil on the discs and they're rubbish", "No oil on the discs", "they're rubbish"),
        ("Anything over 25, or you'll crack the housing", "Nothing over 25",
         "you'll crack the housing"),
        ("Any grit in there or it'll score the bore", "No grit in there",
         "it'll score the bore"),
    ],
)  # fmt: skip
def test_a_mishap_is_avoided_by_not_doing_it(said, avoid, harm):
    assert halves_of_mishap(said) == (avoid, harm)


def test_what_comes_of_it_behind_or_is_no_order():
    assert halves_of("Twelve tops, or you pull the thread") == (
        "Twelve tops",
        "you pull the thread",
    )


@pytest.mark.parametrize(
    "said", ["Never pry it", "No float at all and she'll burn out", "Lift it and it comes off"]
)
def test_what_is_no_mishap_has_no_such_halves(said):
    assert halves_of_mishap(said) is None


@pytest.mark.parametrize(
    ("said", "of"),
    [
        ("Nuts to 23 newton metres, pipe to 15 newton metres.", ["nuts", "pipe"]),
        ("Tighten the nuts on the flange to 15 newton metres.", ["flange nuts"]),
        (
            "Sprocket bolts are a hundred newton metres and the cover bolts are only twenty.",
            ["sprocket bolts", "cover bolts"],
        ),
    ],
)
def test_a_torque_is_of_what_stands_alone_before_it(said, of):
    numbers = [p for p in propose(told(said)).proposals if p.kind == "measurement"]
    assert [p.detail("characteristic") for p in numbers] == [f"torque of the {one}" for one in of]


def test_how_people_get_hurt_is_told_of_what_was_said_before():
    texts = ("Put the ratchet on back to front and the brake won't hold.",
             "That's how people get hurt.")  # fmt: skip
    found = [p for p in propose(told(*texts)).proposals if p.kind == "hazard"]
    assert [p.text for p in found] == [texts[0].rstrip(".")]
    assert found[0].detail("signal") == "WARNING"


@pytest.mark.parametrize(
    "order",
    ["Warm the hub and the bearing drops in.",
     "Put the chamfer side in first and the ring goes on easy."],
)  # fmt: skip
def test_what_an_order_brings_about_is_no_mishap(order):
    assert of_kind("step", order)
    assert not of_kind("hazard", order)


@pytest.mark.parametrize(
    ("texts", "decision"),
    [
        (("Look for scores, anything a nail catches, new tube.",),
         "Anything a nail catches, new tube"),
        (("Cracks you can catch with a nail, drum's scrap.",),
         "Cracks you can catch with a nail, drum's scrap"),
        (("Light brown is fine, black bars or burning and it wants a new armature.",),
         "Black bars or burning and it wants a new armature"),
        (("Any pitting you can catch with a nail, new rod.",),
         "Any pitting you can catch with a nail, new rod"),
        (("Check the oil.", "Bronze flakes, stop there and call me."),
         "Bronze flakes, stop there and call me"),
        (("Bubbles at the rod, strip it.",), "Bubbles at the rod, strip it"),
    ],
)  # fmt: skip
def test_what_is_refused_is_a_decision_and_not_accepted(texts, decision):
    assert decision in of_kind("decision", *texts)
    words = set(decision.lower().split()[:2])
    assert not any(words <= set(text.lower().split()) for text in of_kind("inspection", *texts))
    done = " ".join(of_kind("step", *texts)).lower()
    assert "strip" not in done
    assert "stop" not in done


@pytest.mark.parametrize(
    ("said", "accepted"),
    [
        ("Light brown is fine, black bars or burning and it wants a new armature.",
         "Light brown is fine"),
        ("A bit of sparking is normal, a ring of fire all the way round is not.",
         "A bit of sparking is normal, a ring of fire all the way round is not"),
        ("No cracks, or it's scrap.", "No cracks"),
    ],
)  # fmt: skip
def test_what_is_fine_is_what_is_accepted(said, accepted):
    assert accepted in of_kind("inspection", said)


@pytest.mark.parametrize("said", ["It's fine.", "That one is fine, leave it.", "5 mm is fine."])
def test_what_this_unit_is_like_and_what_a_number_tells_is_no_verdict(said):
    assert not with_verdicts(told(said), [])


@pytest.mark.parametrize(
    ("said", "first"),
    [
        ("Take the circlip out, glasses on, because it can fly.", "Put the glasses on."),
        ("Lift the guard off. Put your gloves on, the edges are sharp.", "Put the gloves on."),
    ],
)
def test_what_is_worn_is_put_on_first(said, first):
    (step,) = [p for p in propose(told(*said.split(". "))).proposals if p.kind == "step"]
    assert first in (step.detail("first") or "")


@pytest.mark.parametrize(
    ("said", "done"),
    [
        ("Then stop, lock off, check the hertz again.", "Lock it off"),
        ("Main switch off, lock.", "Lock it off"),
        ("Isolate, lock, tag.", "Hang your tag on it"),
    ],
)
def test_a_lock_told_in_one_word_is_put_on_and_not_taken_off(said, done):
    (step,) = [p for p in propose(told(said)).proposals if p.kind == "step"]
    whole = " ".join((step.text, step.detail("first") or "", step.detail("also") or ""))
    assert done.lower() in whole.lower()
    assert "take the lock" not in whole.lower()


@pytest.mark.parametrize(
    ("texts", "finding"),
    [
        (("Tail end roller's noisy as well, leave that for the shutdown.",),
         "Tail end roller's noisy as well, leave that for the shutdown"),
        (("Spindle bearing sounds dry, I'll look at that in March.",),
         "Spindle bearing sounds dry, I'll look at that in march"),
        (("The foot switch sticks, but that's a separate visit.",),
         "The foot switch sticks, but that's a separate visit"),
        (("The belt's a bit glazed, that'll wait.",), "The belt's a bit glazed, that'll wait"),
        (("The handbrake cable is frayed as well.",
          "I'm not letting it go out until that's done."),
         "The handbrake cable is frayed as well, I'm not letting it go out until that's done"),
    ],
)  # fmt: skip
def test_what_is_left_for_another_visit_is_a_finding_and_no_work(texts, finding):
    assert of_kind("deferred", *texts) == [finding]
    assert not of_kind("step", *texts)


@pytest.mark.parametrize(
    ("texts", "part", "ordered"),
    [
        (("We're putting a set of carbon brushes in the motor today.",), "carbon brush", "yes"),
        (("New bearings, new lip seal, and the key goes back.",), "lip seal", "yes"),
        (("Clean the bore.", "The new gasket goes on dry."), "gasket", "yes"),
        (("Look at the armature.", "If it's burnt it wants a new armature."), "armature",
         "in case"),
        (("Wipe the cover.",), "cover", None),
    ],
)  # fmt: skip
def test_a_part_that_is_called_new_is_ordered(texts, part, ordered):
    found = {p.text: p.detail("ordered") for p in propose(told(*texts)).proposals
             if p.kind == "part"}  # fmt: skip
    assert found[part] == ordered


@pytest.mark.parametrize(
    ("said", "part", "count"),
    [
        ("Undo the four 17 millimetre bolts.", "17 millimetre bolt", "4"),
        ("Two 13 mil nuts hold it to the bulkhead.", "13 mil nut", "2"),
        ("Take the twenty seven mil nut off.", "twenty seven mil nut", None),
    ],
)
def test_a_count_before_a_size_is_no_part_of_the_name(said, part, count):
    found = {p.text: p.detail("count") for p in propose(told(said)).proposals if p.kind == "part"}
    assert found[part] == count


@pytest.mark.parametrize(
    ("said", "never"),
    [
        ("Fit the pair face to face. No wait, back to back.", "no wait"),
        ("Turn it by hand, and if it binds you've gone too far, take a shim out.", "go too far"),
        ("Pull it out, and aim for a tenth.", "aim for"),
    ],
)
def test_what_takes_back_or_tells_a_value_is_neither_warning_nor_work(said, never):
    texts = of_kind("hazard", *said.split(". ")) + of_kind("step", *said.split(". "))
    assert not any(never in text.lower() for text in texts)


def test_work_put_off_to_a_service_is_no_talk():
    texts = ("I'm leaving the top hinge, it's got a bit of play.",
             "We'll do it with the next service.")  # fmt: skip
    assert of_kind("deferred", *texts)
    assert not of_kind("chatter", *texts)


def test_a_machine_is_made_safe_in_a_step_of_its_own_in_the_order_told():
    texts = ("Isolate it at the panel, put your padlock on it and hang your tag.",
             "Circlip out, it's on the left.")  # fmt: skip
    first, second = (p for p in propose(told(*texts)).proposals if p.kind == "step")
    assert first.text == "Isolate it at the panel, and put your padlock on it."
    assert "tag" in (first.detail("also") or "")
    assert second.text.startswith("Take the circlip out")


@pytest.mark.parametrize(
    ("texts", "done", "never"),
    [
        (("Now the clutch shaft comes out to the left.", "No, to the right."), "right", "left"),
        (("Turn the nut clockwise.", "No, sorry, anticlockwise."), "anticlockwise", " clockwise"),
        (("Measure the dogs.", "New they're 8 mm, and under 6.5 you chuck them."), "dogs", "huck"),
        (("Run it for ten minutes.", "One drop a minute is okay."), "Run it", "Drop"),
        (("Switch it off at the wall, padlock the breaker, and prove it's dead.",),
         "padlock the breaker", "xyz"),
    ],
)  # fmt: skip
def test_what_is_put_right_or_told_in_a_case_is_done_as_meant(texts, done, never):
    whole = " ".join(
        " ".join((p.text, p.detail("first") or "", p.detail("also") or ""))
        for p in propose(told(*texts)).proposals if p.kind == "step"
    )  # fmt: skip
    assert done in whole
    assert never not in whole


@pytest.mark.parametrize(
    "said",
    ["The burner nozzle looks mucky but leave it alone, that's for the gas man at the service.",
     "The wheel bearing's a bit rough, leave that, that's for the yearly service.",
     "motor bearing next winter"],
)  # fmt: skip
def test_what_is_for_somebody_else_is_a_finding_and_no_work(said):
    assert len(of_kind("deferred", said)) == 1
    assert not of_kind("step", said)


def test_all_that_makes_safe_comes_before_the_work_and_gloves_with_it():
    first, second = (p for p in propose(told(
        "Isolator off, padlock the isolator, hang your tag, and try the start button.",
        "Undo the four bolts and lift the guard off, gloves on, the edge is sharp.",
    )).proposals if p.kind == "step")  # fmt: skip
    safe = f"{first.text} {first.detail('between') or ''} {first.detail('also') or ''}"
    assert "adlock the isolator" in safe
    assert "tag" in safe
    assert "bolts" not in safe
    assert "gloves" in (second.detail("first") or "")


@pytest.mark.parametrize(
    "refused",
    [
        "A scratch what you feel with the fingernail, this is not allowed, then the whole door "
        "ring "
        "must be changed",
        "Any crack in the web and the wheel must be scrapped",
        "One pit on the race, then the bearing has to be replaced",
        "If a bolt moves more than about thirty degrees, it's been loose, so it's thrown away",
        "Owt more than four thou and you bin it",
        "If you've less than that half you put a shim washer behind",
    ],
)
def test_what_must_be_changed_then_is_decided_and_not_checked(refused):
    texts = (f"{refused}.",)
    assert of_kind("decision", *texts) == [refused]
    assert not of_kind("inspection", *texts)
    assert not any(one.startswith("Check") for one in of_kind("step", *texts))


@pytest.mark.parametrize(
    ("texts", "accepted"),
    [
        (("Each vane must to fall for its own weight in the slot.",
          "If it doesn't falls, you sand it a little."),
         "Each vane must to fall for its own weight in the slot"),
        (("The driver must fill the slot.", "If it rocks, stop, dress the blade."),
         "The driver must fill the slot"),
        (("Spin by hand.", "No drag, no click."), "No drag, no click"),
        (("Turn it both ways.", "No tight spots."), "No tight spots"),
    ],
)  # fmt: skip
def test_what_must_be_so_is_accepted_where_the_next_sentence_tells_what_if_not(texts, accepted):
    assert accepted in of_kind("inspection", *texts)


@pytest.mark.parametrize(
    "texts",
    [
        ("You should wear gloves.", "If it's hot, wait."),
        ("Fit the seal.", "No grease."),
        ("The cover must be replaced every year.",),
    ],
)
def test_what_somebody_is_to_do_is_nothing_accepted(texts):
    assert not of_kind("inspection", *texts)


@pytest.mark.parametrize(
    ("texts", "decided"),
    [
        (("Never slower than the step.", "Slower, back to the spring, two mil shorter, again."),
         "Slower, back to the spring, two mil shorter, again"),
        (("It wants to run at ten.", "Any hotter, stop and slacken it."),
         "Any hotter, stop and slacken it"),
    ],
)  # fmt: skip
def test_what_is_done_beyond_a_limit_is_decided_without_an_if(texts, decided):
    assert decided in of_kind("decision", *texts)


@pytest.mark.parametrize("said", ["Lower, lower, that's it.", "More light here, please."])
def test_words_of_more_and_less_alone_decide_nothing(said):
    assert not of_kind("decision", "Lift the cover off.", said)
