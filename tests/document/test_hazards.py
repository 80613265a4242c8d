"""Hazards: messages that are whole, in order and in time; energy that is off before work."""

from collections.abc import Callable
from typing import Any

import pytest

from document.samples import Plain, changed, judge, rules, step

Change = Callable[[Plain], Any]
LIVE = {"hazard": "Live terminals", "consequence": "The shock kills", "avoid": "Leave it shut"}


def act(index: int, action: str) -> Change:
    return lambda p: step(p, index).update(action=action)


def note(text: str) -> Change:
    """A note on the first step."""
    return lambda p: step(p, 0).update(note=text)


def message(signal: str, **keys: str) -> Change:
    """A message in the first step."""
    known = {"signal": signal, "hazard": "The lid", "consequence": "Fingers are cut", "avoid": "No"}
    return lambda p: step(p, 0).setdefault("hazards", []).append(known | keys)


def general(**keys: str) -> Change:
    return lambda p: p["general_hazards"][0].update(keys)


def before(what: str) -> Change:
    return lambda p: p.update(prerequisites=[{"id": "safe", "what": what}])


def no_messages(plain: Plain) -> None:
    plain["general_hazards"] = "none"


def another_section(plain: Plain) -> None:
    """Put the second step in a section of its own."""
    steps = plain["sections"][0]["steps"]
    plain["sections"].append({"id": "later", "title": "Later", "steps": [steps.pop()]})


# rule, changes that break it, changes that come near and do not.
HAZARD_CASES: list[tuple[str, list[Change], list[Change]]] = [
    ("hazards.no_consequence", [lambda p: p["general_hazards"][0].pop("consequence")],
     [lambda p: p["general_hazards"][0].pop("consequence"), general(signal="NOTICE")]),
    ("hazards.order", [message("CAUTION"), message("WARNING")],
     [message("DANGER", **LIVE), message("CAUTION"), message("CAUTION"), message("NOTICE",
                                                        consequence="It bends")]),
    ("hazards.order", [lambda p: p["general_hazards"].append(LIVE | {"signal": "DANGER"})], []),
    ("hazards.no_message", [act(0, "Drain the hot oil.")],
     [act(0, "Drain the hot oil."), message("WARNING", consequence="It burns the skin")]),
    # A message of the section or of the whole job is enough; one that comes later is not.
    ("hazards.no_message", [act(0, "Drain the hot oil."),
                            lambda p: (message("WARNING", consequence="It burns")(p),
                                       step(p, 1).update(hazards=step(p, 0).pop("hazards")))],
     [act(1, "Drain the hot oil."), message("WARNING", consequence="It burns the skin")]),
    ("hazards.no_message", [act(1, "Drain the hot oil."), another_section,
                            message("WARNING", consequence="It burns the skin")],
     [act(1, "Drain the hot oil."), another_section, general(consequence="It scalds hands")]),
    ("hazards.no_message", [lambda p: step(p, 0).update(criteria=[
        {"id": "a", "look_for": "Rust", "accept": "None", "otherwise": "Dip it in acid"}])],
     [act(0, "Wait until it is no longer hot.")]),
    ("hazards.too_late", [lambda p: step(p, 0).update(note="Be careful, it cuts")],
     [lambda p: step(p, 0).update(note="The warning lamp goes out")]),
    ("hazards.too_late", [act(1, "Turn it on. Danger: it moves.")],
     [act(1, "Hang the danger tag on the lever.")]),
    ("hazards.holds_step", [message("WARNING", avoid="Tighten the guard to 5 N·m first")],
     [message("WARNING", avoid="Keep at least 2 m away")]),
    ("hazards.holds_step", [message("WARNING", hazard="A gap above 0.5 mm takes fingers in")],
     [message("WARNING", hazard="Air above 200 kPa drives chips into the skin")]),
    ("hazards.holds_step", [message("WARNING", avoid="Set the stop to 5 mm ± 1 mm")],
     [message("WARNING", hazard="The part weighs 35 kg and is at 80 °C, live at 400 V")]),
    ("hazards.holds_step", [message("WARNING", avoid="1. Open the vent 2. Wait 3. Pull it off")],
     [message("WARNING", avoid="Use a class 2 mask, size 3")]),
    ("hazards.notice_hurts", [message("NOTICE", consequence="Fingers are cut")],
     [message("NOTICE", consequence="The ring is cut")]),
    ("hazards.notice_hurts", [message("NOTICE", consequence="Feet are crushed")],
     [message("NOTICE", consequence="The feet of the frame are bent")]),
    ("hazards.notice_hurts", [message("NOTICE", consequence="Loss of sight")],
     [message("NOTICE", consequence="The eye of the ring breaks when the hand wheel slips")]),
    ("hazards.only_damage", [message("WARNING", consequence="The shaft is scratched")],
     [message("WARNING", consequence="The shaft breaks and hits the face")]),
    ("hazards.only_damage", [message("DANGER", consequence="The thread is stripped")],
     [message("DANGER", hazard="The load falls", consequence="The frame is bent")]),
    ("hazards.only_damage", [general(consequence="The belt wears", hazard="The rough guard")],
     [message("NOTICE", consequence="The belt wears")]),
    ("hazards.isolation", [act(0, "Open the motor cover.")],
     [act(0, "Lock and tag the isolator."), act(1, "Open the motor cover.")]),
    ("hazards.isolation", [act(0, "Take the lock nut and locking ring off the motor.")],
     [act(0, "Open the motor cover."), before("The saw is locked out")]),
    ("hazards.isolation", [general(hazard="The fan can start at any time.")],
     [general(hazard="Start with the long screw.")]),
    # A hose that is disconnected isolates nothing.
    ("hazards.isolation", [act(0, "Disconnect the hose."), act(1, "Open the motor cover.")],
     [act(0, "Disconnect the battery."), act(1, "Open the motor cover.")]),
    # What is ordered in a note is done; what is forbidden or told there is not.
    ("hazards.isolation", [act(0, "Open the motor cover."), note("The isolator hangs high.")],
     [act(0, "Open the motor cover."), note("Then: Turn the isolator off. Try to start it.")]),
    ("hazards.isolation", [act(0, "Open the motor cover."), note("Never lock it alone.")],
     [act(0, "Open the motor cover."), note("It hums. Put your padlock on.")]),
    ("hazards.isolation", [act(0, "Open the motor cover."), note("Don't lock it alone.")],
     [act(0, "Open the motor cover."), note("Lock the isolator and keep the key.")]),
    ("hazards.isolation", [act(0, "Open the motor cover."), note("The padlock is checked later.")],
     [act(0, "Open the motor cover."), note("First: Isolate the saw.")]),
    ("hazards.isolation", [], [act(0, "Undo it with the electric screwdriver.")]),
    ("hazards.isolated_late", [act(0, "Take the motor cover off."), act(1, "Lock the isolator.")],
     [act(0, "Lock the isolator."), act(1, "Take the motor cover off.")]),
    # What comes off the machine tells it as well as the word.
    ("hazards.isolated_late", [act(0, "Swing the motor out."), act(1, "Lock the isolator.")],
     [act(0, "Swing the motor out."), act(1, "Lock the isolator."), before("It is unplugged")]),
    ("hazards.isolated_late", [act(0, "Take the motor cover off."), note("Then: Lock it.")],
     [act(0, "Take the motor cover off."), note("First: Turn the isolator off."),
      act(1, "Lock the isolator.")]),
    ("hazards.stored_energy", [message("WARNING", hazard="The spring is under tension")],
     [message("WARNING", hazard="The spring is under tension"), act(0, "Release the spring.")]),
    ("hazards.stored_energy", [message("WARNING", hazard="The line stays under pressure")],
     [message("WARNING", hazard="The line stays under pressure"), before("The line is vented")]),
    ("hazards.stored_energy", [message("WARNING", hazard="The raised table can fall")],
     [message("WARNING", hazard="The raised table can fall"), act(0, "Set the table on blocks.")]),
    ("hazards.stored_energy", [message("DANGER", hazard="The capacitor holds its charge")],
     [message("DANGER", hazard="The capacitor holds its charge"), act(0, "Discharge it.")]),
    ("hazards.none", [no_messages],
     [lambda p: step(p, 0).update(hazards=p["general_hazards"]), no_messages]),
]  # fmt: skip


def test_a_kind_of_danger_is_told_once_in_a_section() -> None:
    hot = [act(0, "Drain the hot oil."), act(1, "Wipe the hot pan.")]
    assert rules(changed(*hot)) == ["hazards.no_message"]
    assert rules(changed(*hot, another_section)) == ["hazards.no_message"] * 2
    (remark,) = judge(changed(*hot)).remarks
    assert remark.problem == "'hot' signals heat, and no message speaks of it"


KINDS = {
    "The upper terminals stay live.": "live parts",
    "Unhook the spring while it is under tension.": "stored force",
    "Blow it out with compressed air.": "pressure",
    "Lift the hot pan off.": "heat",
    "The rim is sharp.": "sharp edges",
    "The wheel can fall.": "falling or heavy loads",
    "Watch the belt with the engine running.": "moving parts",
    "Pour the acid in.": "harmful substances",
    "The spirit is flammable.": "fire or explosion",
}


@pytest.mark.parametrize(("text", "kind"), KINDS.items())
def test_every_kind_of_danger_is_heard(text: str, kind: str) -> None:
    plain = changed(no_messages, lambda p: step(p, 0).update(reason=text))
    said = [r.problem for r in judge(plain).remarks if r.rule.id == "hazards.no_message"]
    assert [problem.partition(" signals ")[2].partition(",")[0] for problem in said] == [kind]


def test_a_message_of_another_kind_does_not_count() -> None:
    cold = {"hazard": "The gas is cold", "consequence": "It freezes the skin", "avoid": "Wait"}
    plain = changed(no_messages, message("WARNING", **cold), act(0, "Drain the hot oil."))
    assert "hazards.no_message" in rules(plain)


# Signal word, hazard, consequence, how to avoid it: nothing is to be said of these.
GOOD_MESSAGES = [
    ("DANGER", "The busbar is live at 400 V", "The shock kills", "Keep 1 m away"),
    ("WARNING", "The drum runs down for 30 s", "Hands are torn", "Wait until it stands still"),
    ("WARNING", "The pan is hotter than 60 °C", "Burns to the skin", "Wear heat-proof gloves"),
    ("WARNING", "The jet leaves at 150 bar", "Oil gets under the skin", "Keep the hood shut"),
    ("WARNING", "The brake fluid eats paint", "The brakes fail on the road", "Wipe it off"),
    ("WARNING", "A bar left in the chuck", "It flies off when the lathe starts", "Count the bars"),
    ("CAUTION", "The lid weighs 18 kg", "Backs are strained", "Lift it with two people"),
    ("CAUTION", "Swarf lies on the table", "Hands are cut", "Use the brush"),
    ("CAUTION", "The floor is oily", "People slip", "Wipe it up at once"),
    ("NOTICE", "The rim is soft", "The rim is dented", "Rest it on wood"),
    ("NOTICE", "Static charge", "The board fails after weeks", "Wear the wrist strap"),
    ("NOTICE", "Fingerprints on the race", "The race rusts", "Hold it by its faces"),
    ("NOTICE", "The hand wheel is cast", "Its arms are bent", "Turn it by hand only"),
    ("NOTICE", "The machine stands on soft feet", "The feet are bent", "Lift it straight up"),
]


@pytest.mark.parametrize("parts", GOOD_MESSAGES, ids=lambda p: p[1])
def test_nothing_is_said_of_a_good_message(parts: tuple[str, str, str, str]) -> None:
    keys = ("signal", "hazard", "consequence", "avoid")
    safe = before("The machine is locked out, and its pressure is let off")
    assert rules(changed(safe, message(**dict(zip(keys, parts, strict=True))))) == []


def test_remarks_on_messages_stand_at_the_message() -> None:
    plain = changed(message("NOTICE"), message("WARNING", consequence="It is dented"))
    found = {remark.rule.id: remark.path for remark in judge(plain).remarks}
    here = ("sections", 0, "steps", 0, "hazards")
    assert found["hazards.order"] == (*here, 1)
    assert found["hazards.notice_hurts"] == (*here, 0, "signal")
    assert found["hazards.only_damage"] == (*here, 1, "signal")
