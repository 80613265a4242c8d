"""What is told to be renewed or to be scrap: which part that is, and how many."""

from __future__ import annotations

from decimal import Decimal

import pytest

from author.procedure.cues import Cue
from author.proposals.claims import propose
from author.proposals.speech.sentences import sentences_of
from proposals.said import told as spoken


def renewed(*texts):
    """Return what is renewed or thrown away for certain, and what is ordered."""
    cues = [Cue(Decimal(9 * n), Decimal(9 * n + 5), text) for n, text in enumerate(texts)]
    proposals = propose(sentences_of(cues, "film")).proposals
    names = {p.id: p.text for p in proposals}
    moves = [
        (move.act, names[move.part], move.count)
        for p in proposals
        for move in p.moves
        if move.certain and move.act in {"replaces", "discards"}
    ]
    return moves, {p.text: p.detail("ordered") for p in proposals if p.detail("ordered")}


@pytest.mark.parametrize(
    ("texts", "part", "count"),
    [
        (("Take the top cap off.", "The bushing is another story.", "The coating is worn through.",
          "That gets replaced."), "bushing", 1),
        (("Lift the cover off.", "One of the three springs is stretched.", "It's 31.5.",
          "So all three get changed, never just one."), "spring", 3),
        (("Check the pinion shaft.", "The book says five so both bearings get replaced."),
         "bearing", 2),
        (("The top bearing is smooth, the bottom one is rough.", "The bottom one gets a new one."),
         "bottom bearing", 1),
        (("Take the shaft out.", "The shaft gets a new seal."), "seal", 1),
        (("Take the cover off.", "The rollers on the top are worn flat.", "Replace all four."),
         "roller", 4),
        (("Take the cover off.", "The gasket has a crack, so it has to be renewed."), "gasket", 1),
        (("Get the shaft seal out with a hook.", "It leaked, new one with the lip to the oil."),
         "shaft seal", 1),
        (("Pull the rod out.", "The gland bushing is oval.", "It's 45.31 one way.",
          "Anything over 45.25 gets thrown out, so we fit a new one."), "gland bushing", 1),
    ],
)  # fmt: skip
def test_what_is_told_to_be_renewed_is_what_was_told_of(texts, part, count):
    moves, _ = renewed(*texts)
    assert [one for one in moves if one[0] == "replaces"] == [("replaces", part, count)]


def test_that_one_is_the_one_told_of_and_the_new_one_takes_its_place():
    moves, ordered = renewed(
        "The front bearing has a brown stripe.", "That one we replace.",
        "The rear bearing is still fine, I only wash it.", "Slide the new bearing on.",
    )  # fmt: skip
    assert moves == [("replaces", "front bearing", 1)]
    assert ordered == {"front bearing": "yes"}


@pytest.mark.parametrize("said", ["so it's scrap.", "so it gets thrown out.", "so it is scrapped."])
def test_what_is_scrap_is_thrown_away(said):
    moves, _ = renewed("Check the friction disc.", f"Minimum is 8.5 and we're below, {said}")
    assert moves == [("discards", "friction disc", 1)]


@pytest.mark.parametrize(
    "said",
    [
        "If the rod is scored, it gets replaced.",
        "A bent rod is scrap.",
        "The rod should get changed with the next service.",
        "It gets replaced every year at the works.",
        "A new one is eight millimetres thick.",
        "They never get replaced.",
        "Anything over 45 is scrap.",
    ],
)
def test_what_is_told_of_any_or_for_another_day_is_not_renewed_now(said):
    assert not renewed("Take the rod out.", said)[0]


def test_what_is_changed_at_a_size_is_not_changed_now():
    moves, _ = renewed(
        "Fit the wave spring underneath.",
        "Motor brush length is eleven mil, they come new at sixteen and you change them at eight.",
    )
    assert not moves


def test_no_adjective_and_no_season_is_renewed_or_ordered():
    moves, ordered = renewed(
        "Peel the membrane off.", "This one is hard and cracked.",
        "That goes in the bin, a new one every time.",
    )  # fmt: skip
    assert moves == [("discards", "membrane", 1)]
    assert ordered == {"membrane": "yes"}
    _, ordered = renewed("The gear is chipped.", "It'll do this season, but order one.")
    assert ordered == {"gear": "in case"}
    _, ordered = renewed("The coupling rubber is cracked, still usable but order one for later.")
    assert ordered == {"coupling rubber": "in case"}


@pytest.mark.parametrize(
    ("said", "part", "how"),
    [
        ("Anything over five you need a regulator.", "regulator", "in case"),
        ("More than two mil and you'll want a new shaft.", "shaft", "in case"),
        ("Over half a mil you need a shim.", "shim", "in case"),
        ("On the older ones you need an adapter.", "adapter", "in case"),
        ("You'll need a new regulator for this.", "regulator", "yes"),
        ("You need a gasket and two seals.", "gasket", "yes"),
    ],
)
def test_what_is_needed_over_a_size_is_needed_in_that_case(said, part, how):
    assert renewed(said, "Clean the filter.")[1][part] == how


def test_what_harm_comes_to_is_not_what_is_thrown_away():
    moves, ordered = renewed(
        "Now the membrane.", "Peel it off, don't use a screwdriver, you scratch the seat.",
        "This one is cracked.", "That goes in the bin, a new one every time.",
    )  # fmt: skip
    assert [one[1] for one in moves] == ["membrane"]
    assert ordered == {"membrane": "yes"}


def test_what_is_always_new_is_not_refitted():
    moves, _ = renewed("O-rings, two of them, always new.", "Fit the O-rings.")
    assert ("replaces", "O-ring", 2) in moves


@pytest.mark.parametrize(
    ("talk", "order"),
    [
        (("Take the clip off.", "The bushing is another story, it's oval.", "That gets replaced."),
         "Replace the bushing."),
        (("Take the cover off.", "The seal is worn out.", "So that one we replace."),
         "Replace the seal."),
        (("Take the cover off.", "Fit a new seal, the old one gets thrown out."), None),
        (("Take the cover off.", "New seal next, lip inwards."), None),
    ],
)  # fmt: skip
def test_what_is_told_to_be_renewed_is_an_order_too(talk, order):
    also = " ".join(p.detail("also") or "" for p in propose(spoken(*talk)).proposals)
    assert ("Replace the" in also) == (order is not None)
    assert order is None or order in also


@pytest.mark.parametrize(
    ("texts", "part", "count"),
    [
        (("So both reeds we're renewing, and the rest stays.", "Reeds go on."), "reed", 2),
        (("Take the O-rings off.", "O-rings you always change, two of them."), "O-ring", 2),
        (("Undo the nut.", "Hanger rollers.", "One's got a flat, so we're changing all four."),
         "hanger roller", 4),
        (("Take the cover off.", "The valve we don't repair, the valve becomes new."), "valve", 1),
        (("Take the cover off.", "The copper ring also new.", "The elbow stays."),
         "copper ring", 1),
        (("Take the cover off.", "The gasket of the cover is new always."), "gasket", 1),
        (("Split pin in the joining link.", "New.", "Old one in the bin."), "split pin", 1),
        (("Take the guard off.", "Now knives.", "New set, all three."), "knife", 1),
        (("Needles first.", "Fit a fresh pair, size 90, and nip the screws."), "needle", 1),
        (("Lift the rotor out.", "These are six two oh five bearings, and you change both."),
         "bearing", 2),
        (("Old seals off.", "The lips face down.", "Dip the new ones in oil."), "seal", 1),
        (("Take the nut off.", "Rollers, six off.", "Bearings dry, two of them.", "All six new."),
         "roller", 6),
        (("Chains first.", "Twelve links should be 305.", "Right one's 316, so both get changed."),
         "chain", 2),
    ],
)  # fmt: skip
def test_however_it_is_turned_it_is_renewed(texts, part, count):
    told = [one[1:] for one in renewed(*texts)[0] if one[0] == "replaces"]
    assert told == [(part, count)]


@pytest.mark.parametrize(
    "said",
    [
        "The belt is new.",
        "Pulley diameter new, five ninety.",
        "Somebody's been in here, the belt is new as well.",
        "They come new at sixteen.",
        "That is not allowed, then the whole belt must be changed.",
        "The book says change both at ten thousand hours.",
        "If the belt is frayed we're changing both.",
        "The belt we never replace.",
        "On the new ones it's a clip.",
        "Wipe the belt with the brush.",
    ],
)
def test_what_is_new_by_now_or_in_a_case_is_not_renewed(said):
    assert not renewed("Take the guard off.", "Slide the belt off.", said)[0]


def test_both_new_is_told_of_two():
    _, ordered = renewed("Lift the head.", "Don't reuse the gaskets, head gasket and plate gasket "
                         "both new.")  # fmt: skip
    assert ordered == {"head gasket": "yes", "plate gasket": "yes"}


@pytest.mark.parametrize(
    ("said", "part"),
    [
        ("The seat is worn so new washer.", "washer"),
        ("The springs, well, I was going to reuse them but they're rusty, so no, new springs.",
         "spring"),
        ("It's under two so that's new pads.", "pad"),
        ("The thing's shot, so we need a new diaphragm.", "diaphragm"),
        ("The spider's cheap, it is always replaced.", "spider"),
    ],
)  # fmt: skip
def test_what_was_found_and_ends_in_a_new_one_is_renewed(said, part):
    told, ordered = renewed("Take the cover off.", said, "Put the cover on.")
    assert ("replaces", part, 1) in told
    assert ordered[part] == "yes"


@pytest.mark.parametrize(
    "said",
    [
        "If the seat's worn, so new washer.",
        "So any new washer will squeak for a day.",
        "The washer would slip, so a new washer might help.",
        "The washer's cracked, so new washer next time.",
    ],
)
def test_what_would_end_in_a_new_one_is_not_renewed(said):
    told, ordered = renewed("Take the cover off.", said, "Put the cover on.")
    assert not told
    assert ordered.get("washer") != "yes"


def test_what_the_job_renews_is_what_is_told_by_its_places():
    for job in ("Today we're changing the spindle bearings.",
                "So we'll take the quill out and change the spindle bearings."):  # fmt: skip
        _, ordered = renewed(
            job, "Pull the lower bearing off.", "Drive the upper one out.",
            "Fit the lower bearing.", "Press the upper bearing in.")  # fmt: skip
        assert ordered == {"lower bearing": "yes", "upper bearing": "yes"}
    _, ordered = renewed("Today we're changing the spindle bearings.", "The motor bearing is fine.",
                         "Pull the lower bearing off.")  # fmt: skip
    assert ordered == {"spindle bearing": "yes"}


def test_what_is_thrown_away_is_what_is_named_with_it():
    moves, _ = renewed(
        "The volute, and the cover lifts off.", "That O-ring's flat, that gets binned."
    )
    assert moves == [("discards", "O-ring", 1)]
    _, ordered = renewed("Drain the tank, and don't reuse that oil.", "Never reuse the washer.")
    assert ordered == {"washer": "yes"}


def test_what_is_used_again_is_not_ordered():
    _, ordered = renewed("Take the pins out.", "New pins no I said I'm using the old pins.")
    assert ordered == {"pin": "no"}
    assert renewed("Undo the clips.", "Reusing the clips, they're good.")[1] == {"clip": "no"}
    assert not renewed("Undo the screws.", "Don't use the old screws.")[1]


def test_what_is_replaced_only_if_it_is_worn_is_told_so():
    texts = ("Take the cover off.", "If you can't get 7, the keeper's worn and you replace it.")
    moves = [move for p in propose(spoken(*texts)).proposals for move in p.moves]
    assert [(m.act, m.certain) for m in moves if "keeper" in m.part] == [("replaces", False)]


def test_a_new_one_has_a_name_in_its_order():
    texts = ("Take the filter housing off.", "The element's filthy, I'll put a new one in.")
    steps = [p.text for p in propose(spoken(*texts)).proposals if p.kind == "step"]
    assert steps == ["Take the filter housing off, and put a new element in."]


def test_a_bearing_told_by_its_side_is_not_the_one_that_stays():
    said = spoken(
        "Both bearings on the output side are rough, so those get replaced.",
        "The input bearings feel fine, I'm leaving them in.",
    )
    found = propose(said).proposals
    named = {one.text: one.detail("ordered") for one in found if one.kind == "part"}
    assert named == {"output bearing": "yes", "input bearing": None}


@pytest.mark.parametrize(
    ("texts", "step"),
    [
        (("The bushings in the top plate I press out and put new ones in.", "Fit the plate."),
         "ut new bushings in"),
        (("Pull the seal in the cover out and put a new one in.", "Refit the cover."),
         "ut a new seal in"),
        (("I knock the bearings in the hub out and fit new ones.", "Refit the hub."),
         "it new bearings"),
    ],
)  # fmt: skip
def test_where_a_part_sits_is_not_renewed_with_it(texts, step):
    found = propose(spoken(*texts)).proposals
    assert step in " ".join(f"{p.text} {p.details}" for p in found)
    moves = [(m.act, m.part) for p in found for m in p.moves]
    names = {p.id: p.text for p in found if p.kind == "part"}
    assert not {names.get(part) for act, part in moves if act == "replaces"} & {
        "top plate", "cover", "hub"}  # fmt: skip


@pytest.mark.parametrize(
    ("texts", "ordered"),
    [
        (("Now the seal, lever it out, it's never used twice.", "Fit the seal."), {"seal": "yes"}),
        (("Take the gasket off.", "It's not reused.", "Put the gasket on."), {"gasket": "yes"}),
        (("The O-rings are never used twice.", "Fit the O-rings."), {"O-ring": "yes"}),
        (("Pull the copper washers off.", "These are single use.", "Fit the copper washers."),
         {"copper washer": "yes"}),
        (("Undo the nuts.", "You only use them once.", "Fit the nuts."), {"nut": "yes"}),
        (("Undo the nuts.", "They get used once only.", "Fit the nuts."), {"nut": "yes"}),
        (("Take the valve out.", "You only do this once.", "Fit the valve."), {}),
        (("Take the valve out.", "Press it once only.", "Fit the valve."), {}),
        (("Take the nut off, it's used again.", "Fit the nut."), {}),
        (("Undo the bolts.", "Use the puller, it's not used again after this.", "Fit the bolts."),
         {}),
    ],
)  # fmt: skip
def test_what_is_never_used_twice_is_renewed(texts, ordered):
    assert renewed(*texts)[1] == ordered


@pytest.mark.parametrize(
    ("off", "thrown", "part"),
    [
        ("The old belt comes off the motor pulley and then off the wheel.",
         "Looks like it's cracked, it goes in the bin.", "belt"),
        ("The old seal comes out of the housing.", "It goes in the bin.", "seal"),
        ("Pull the filter out of the bowl.", "It's black, so it goes in the bin.", "filter"),
        ("Take off the gasket.", "It goes in the bin.", "gasket"),
        ("Take the hose off the pump.", "That goes in the scrap.", "hose"),
    ],
)  # fmt: skip
def test_what_another_part_came_off_is_not_thrown_away_with_it(off, thrown, part):
    found = propose(spoken(off, thrown)).proposals
    assert {m.part for p in found for m in p.moves if m.act == "discards"} == {f"part-{part}"}


def test_a_shell_measured_before_one_is_ordered_is_not_ordered():
    for text in ("Measure the shell before you order one.", "Check the bore before you order one."):
        _, ordered = renewed(text)
        assert "yes" not in ordered.values()
    _, ordered = renewed("Measure the belt before you order a new one.")
    assert ordered == {"belt": "yes"}
    assert renewed("The hose is cracked, so order one.")[1] == {"hose": "yes"}


@pytest.mark.parametrize(
    ("texts", "ordered"),
    [
        (("There's one wiper, one rod seal and the piston seal, and all of them get thrown away.",),
         {"wiper", "rod seal", "piston seal"}),
        (("There's a wiper, a rod seal and two o-rings.", "All of them get replaced."),
         {"wiper", "rod seal", "o-ring"}),
        (("The seal and the o-ring are hard, so they get replaced.",), {"seal", "o-ring"}),
        (("Take out the circlip and the bearing.", "Both get renewed."), {"circlip", "bearing"}),
        (("Take the cover off the housing, and the seals, they get replaced.",), {"seal"}),
        (("There's a cover and a spring here.", "The seals are old.", "Those get replaced."),
         {"seal"}),
        (("Lift the cover and the guard off, both seals get replaced.",), {"seal"}),
    ],
)  # fmt: skip
def test_all_of_them_are_those_just_listed(texts: tuple[str, ...], ordered: set[str]) -> None:
    assert {name for name, told in renewed(*texts)[1].items() if told == "yes"} == ordered


@pytest.mark.parametrize(
    ("texts", "ordered"),
    [
        (("The spring on the idler arm is stretched, so I'll order one of those for next time.",),
         {"spring": "in case"}),
        (("The seal in the pump housing is weeping, order one.",), {"seal": "yes"}),
        (("The hose from the tank is cracked.", "Order one of those."), {"hose": "yes"}),
        (("The guard is fine, but the pulley is worn, so order one.",), {"pulley": "yes"}),
        (("Don't order the spring for the idler arm.",), {"spring": "no"}),
    ],
)  # fmt: skip
def test_order_one_is_of_the_thing_and_not_of_its_place(
    texts: tuple[str, ...], ordered: dict[str, str]
) -> None:
    assert {name: told for name, told in renewed(*texts)[1].items() if told} == ordered
