"""The account of parts, rule by rule: what it asks of steps, lists, and what passes on."""

import pytest

from document.changes import (
    GO,
    STOP,
    Case,
    Change,
    acts,
    after,
    before,
    decision,
    later,
    moves,
    other,
    part,
    parts,
    tool,
)
from document.samples import Plain, base, changed, judge, rules, step

OFF = [("removes", "washer"), ("removes", "ring"), ("removes", "sleeve")]
ON = [("refits", "sleeve"), ("refits", "ring"), ("refits", "washer")]
CLIPS = ("removes", "clip", 2)
BACK = ("refits", "clip", 2)
SANDWICH_OFF = [("removes", name) for name in ("washer", "sleeve", "washer")]
SANDWICH_ON = [("refits", name) for name in ("washer", "sleeve", "washer")]
SIDES = part(places=["left", "right"])
LEFT, RIGHT = ["left"], ["right"]
PINNED = {"procedure": other()}
ONE: Plain = {"part": "clip", "quantity": 1}
SCRAP = ONE | {"state": "scrapped"}
TWO: Plain = {"part": "clip", "quantity": 2}
LESS = acts([("removes", "clip", 1)], [BACK])


def pile(*inside_out: str) -> Change:
    """Three more parts on the shaft, and their stack."""

    def change(plain: Plain) -> None:
        for name in ("sleeve", "ring", "washer"):
            parts(**{name: {"quantity": max(1, inside_out.count(name))}})(plain)
        plain["stacks"] = [{"id": "pile", "name": "Shaft end", "inside_out": list(inside_out)}]

    return change


PILE = pile("sleeve", "ring", "washer")


def wheel(supplied: str | None = "bare", each: int = 2, **keys: object) -> Change:
    """A wheel that holds the clips, and comes off whole."""
    told: Plain = {"contains": [{"part": "clip", "quantity": each}], "supplied": supplied, **keys}
    return parts(wheel={key: value for key, value in told.items() if value is not None})


def forks(count: int) -> Plain:
    """Parts that are each left off or not, just as somebody decides."""
    plain = base()
    for number in range(count):
        name = f"p{number}"
        parts(**{name: {}})(plain)
        onward = f"ask-{number + 1}" if number + 1 < count else "last"
        ways = [{"when": "worn", "step": f"take-{number}"}, {"when": "fine", "step": onward}]
        later(
            {"id": f"ask-{number}", "decision": {"question": "Worn", "ways": ways}},
            {"id": f"take-{number}", "ledger": moves(("removes", name))},
        )(plain)
    later({"id": "last"})(plain)
    return plain


def too_many(plain: Plain) -> None:
    plain.update(forks(20))


LEDGER_CASES: list[Case] = [
    ("ledger.not_refitted", [acts([CLIPS], [("refits", "clip", 1)])],
     [acts([CLIPS], [("refits", "clip", 1), ("replaces", "clip", 1)])]),
    ("ledger.not_replaced", [acts([("destroys", "clip", 2)], [("replaces", "clip", 1)])],
     [acts([("destroys", "clip", 2)], [("replaces", "clip", 2)])]),
    ("ledger.not_replaced", [acts([CLIPS], [("discards", "clip", 1), ("refits", "clip", 1)])],
     [acts([CLIPS, ("discards", "clip", 2)], [("replaces", "clip", 2)])]),
    ("ledger.not_removed", [acts([], [("refits", "clip", 1)])], [acts([CLIPS], [BACK])]),
    ("ledger.not_removed", [acts([CLIPS], [("replaces", "clip", 3)])],
     [acts([CLIPS], [("replaces", "clip", 2)])]),
    # What is scrap does not go back.
    ("ledger.not_removed", [acts([("destroys", "clip", 2)], [BACK])],
     [acts([("destroys", "clip", 1), ("removes", "clip", 1)],
           [("refits", "clip", 1), ("replaces", "clip", 1)])]),
    ("ledger.fitted_twice", [acts([CLIPS], [BACK, ("refits", "clip", 1)])], []),
    ("ledger.fitted_twice", [acts([CLIPS], [BACK, ("replaces", "clip", 1)])],
     [acts([CLIPS], [BACK, CLIPS, BACK])]),
    ("ledger.quantity", [acts([("removes", "clip", 3)], [BACK])], []),
    ("ledger.quantity", [acts([CLIPS, ("destroys", "clip", 1)], [BACK])], []),
    ("ledger.quantity", [acts([CLIPS], [BACK, ("discards", "clip", 1)])], []),
    ("ledger.single_use", [part(single_use=True)],
     [part(single_use=True), acts([CLIPS], [("replaces", "clip", 2)])]),
    ("ledger.always_new", [part(replace="always")],
     [part(replace="always"), acts([CLIPS], [("replaces", "clip", 2)])]),
    ("ledger.never_ordered", [part(replace="if_worn"), acts([CLIPS], [("replaces", "clip", 2)])],
     [part(replace="if_worn", order="in_case"), acts([CLIPS], [("replaces", "clip", 2)])]),
    ("ledger.never_ordered", [part(order="in_case"), acts([CLIPS], [("replaces", "clip", 2)])],
     [acts([CLIPS], [BACK])]),
    ("ledger.order_if", [part(order="only_if")], [part(order="only_if", order_if="one is bent")]),
    ("ledger.stack_order", [PILE, acts([CLIPS, *OFF[::-1]], [*ON, BACK])],
     [PILE, acts([CLIPS, *OFF], [*ON, BACK])]),
    ("ledger.stack_order", [PILE, acts([CLIPS, *OFF], [*ON[::-1], BACK])], []),
    # Only the innermost comes off, through the others.
    ("ledger.stack_order", [PILE, acts([CLIPS, OFF[2]], [ON[0], BACK])], []),
    # Like parts are told apart by their place.
    ("ledger.stack_order",
     [pile("washer", "sleeve", "washer"),
      acts([CLIPS, *SANDWICH_OFF], [*SANDWICH_ON[::2], SANDWICH_ON[1], BACK])],
     [pile("washer", "sleeve", "washer"), acts([CLIPS, *SANDWICH_OFF], [*SANDWICH_ON, BACK])]),
    # A new one of the same place.
    ("ledger.stack_order", [],
     [PILE, acts([CLIPS, OFF[0], ("destroys", "ring")], [("replaces", "ring"), ON[2], BACK])]),
    ("ledger.place", [part(places=["left", "right", "top"])], [SIDES]),
    ("ledger.place", [part(places=["left", "left"])], [SIDES, acts([CLIPS], [BACK])]),
    ("ledger.place", [acts([("removes", "clip", 2, ["left", "right"])], [BACK])], []),
    ("ledger.place", [SIDES, acts([("removes", "clip", 1)], [("refits", "clip", 1)])],
     [SIDES, acts([("removes", "clip", 1, LEFT)], [("refits", "clip", 1, LEFT)])]),
    ("ledger.place", [SIDES, acts([("removes", "clip", 1, ["top"])], [("refits", "clip", 1)])],
     [SIDES, acts([("removes", "clip", 2, ["right", "left"])], [BACK])]),
    ("ledger.place", [SIDES, acts([("removes", "clip", 2, LEFT)], [BACK])], []),
    ("ledger.place", [SIDES, acts([("removes", "clip", 2, ["left", "left"])], [BACK])], []),
    # Another place than it came from; the hidden place forgotten and a known one fitted twice.
    ("ledger.place", [SIDES, acts([("removes", "clip", 1, LEFT)], [("refits", "clip", 1, RIGHT)])],
     [SIDES, acts([CLIPS], [("refits", "clip", 1, RIGHT), ("refits", "clip", 1, LEFT)])]),
    ("ledger.place",
     [SIDES, acts([CLIPS], [("refits", "clip", 1, LEFT), ("refits", "clip", 1, LEFT)])], []),
    ("ledger.place", [SIDES, acts([("removes", "clip", 1, LEFT)] * 2, [BACK])], []),
    # What is in hand is at no place any more.
    ("ledger.place", [],
     [SIDES, acts([CLIPS, ("discards", "clip", 1)],
                  [("refits", "clip", 1, LEFT), ("replaces", "clip", 1, RIGHT)])]),
    ("ledger.place", [SIDES, before(ONE, **PINNED), LESS],
     [SIDES, before(ONE | {"places": LEFT}, **PINNED),
      acts([("removes", "clip", 1, RIGHT)], [BACK])]),
    ("ledger.place", [SIDES, before(ONE | {"places": LEFT}, **PINNED),
                      acts([("removes", "clip", 1, LEFT)], [BACK])], []),
    ("ledger.place", [SIDES, acts([CLIPS], [("refits", "clip", 1, LEFT)]), after(ONE, **PINNED)],
     [SIDES, acts([CLIPS], [("refits", "clip", 1, LEFT)]),
      after(ONE | {"places": RIGHT}, **PINNED)]),
    ("ledger.assembly", [part(contains=[{"part": "clip"}])], [wheel()]),
    ("ledger.assembly", [wheel(), part(contains=[{"part": "wheel"}])], []),
    ("ledger.assembly", [wheel(each=3)], [wheel(each=1)]),
    ("ledger.assembly", [wheel(quantity=2)], [wheel(each=1, quantity=2)]),
    ("ledger.assembly",
     [wheel(None), acts([("removes", "wheel")], [("replaces", "wheel"), ("replaces", "clip", 2)])],
     [wheel(None), acts([("removes", "wheel")], [("refits", "wheel")])]),
    ("ledger.assembly", [wheel(None), acts([CLIPS], [("replaces", "wheel")])],
     [wheel("complete"), acts([("destroys", "wheel")], [("replaces", "wheel")])]),
    # A content that is not listed has a remark of its own.
    ("ledger.assembly", [], [part(contains=[{"part": "seal"}])]),
    ("ledger.discharge", [after(ONE, **PINNED)],
     [acts([CLIPS], [("refits", "clip", 1)]), after(ONE, **PINNED)]),
    ("ledger.discharge", [acts([CLIPS], [("refits", "clip", 1)]), after(TWO, **PINNED)],
     [acts([CLIPS], []), after(ONE, ONE, **PINNED)]),
    # Kept and scrapped are not the same.
    ("ledger.discharge", [acts([CLIPS], [("refits", "clip", 1)]), after(SCRAP, **PINNED)],
     [acts([CLIPS, ("discards", "clip", 1)], [("refits", "clip", 1)]), after(SCRAP, **PINNED)]),
    ("ledger.not_refitted", [acts([CLIPS], []), after(ONE, **PINNED)],
     [acts([CLIPS], []), after(TWO, **PINNED)]),
    ("ledger.not_replaced", [acts([("destroys", "clip", 2)], []), after(SCRAP, **PINNED)],
     [acts([("destroys", "clip", 2)], []), after(SCRAP | TWO, **PINNED)]),
    # What is handed over is off from the start, and has to go on or to be passed on.
    ("ledger.quantity", [before(ONE, **PINNED)], [before(ONE, **PINNED), LESS]),
    ("ledger.quantity", [before(TWO | {"quantity": 3}, **PINNED), acts([], [BACK])],
     [before(TWO, **PINNED), acts([], [BACK])]),
    ("ledger.not_refitted", [before(ONE, **PINNED), acts([], [])],
     [before(ONE, **PINNED), acts([], []), after(ONE, **PINNED)]),
    ("ledger.not_removed", [before(SCRAP, **PINNED), acts([], [("refits", "clip", 1)])],
     [before(SCRAP, **PINNED), acts([], [("replaces", "clip", 1)])]),
    ("ledger.too_many_ways", [too_many], [lambda p: p.update(forks(8))]),
    ("ledger.never_used", [lambda p: p["tools"].append({"id": "hammer", "name": "Hammer"})],
     [lambda p: (p["tools"].append({"id": "hammer", "name": "Hammer"}), step(p, 0).update(
         ladder=[{"how": "a"}, {"how": "b", "tools": ["hammer"]}]))]),
    ("ledger.never_used", [parts(seal={})], [parts(seal={}), part(contains=[{"part": "seal"}])]),
    ("ledger.never_used", [lambda p: step(p, 0).pop("supplies")],
     [acts([], []), before(TWO, **PINNED), after(TWO, **PINNED)]),
    ("ledger.nothing_listed", [lambda p: (p.update(supplies="none"), step(p, 0).pop("supplies"))],
     [lambda p: (p.update(supplies="none", state="in_review"), step(p, 0).pop("supplies"))]),
]  # fmt: skip


def problems(*changes: Change) -> list[str]:
    """What is said of the account itself; the parts here are such as nobody orders."""
    remarks = judge(changed(*changes)).remarks
    return [one.problem for one in remarks if one.rule.id != "ledger.never_ordered"]


def test_scrap_that_goes_back_is_told_as_scrap() -> None:
    (remark, left) = judge(changed(acts([("destroys", "clip", 2)], [BACK]))).remarks[::-1]
    assert remark.problem == "2 of 'clip' go back, but none is kept: the rest is scrap"
    assert "without scrapping it" in remark.remedy
    assert left.rule.id == "ledger.not_replaced"


def test_what_is_left_is_told_with_its_place() -> None:
    sides = acts([CLIPS], [("refits", "clip", 1, RIGHT)])
    assert problems(SIDES, sides) == ["1 of 'clip' (left) came off and never goes back"]


def test_contents_stay_in_an_assembly_that_comes_off() -> None:
    there_and_back = acts([("removes", "wheel")], [("refits", "wheel")])
    assert problems(wheel(), there_and_back) == []
    inside = acts([("removes", "wheel"), CLIPS], [BACK, ("refits", "wheel")])
    assert problems(wheel(), inside) == []
    forgotten = acts([("removes", "wheel"), CLIPS], [("refits", "wheel")])
    assert problems(wheel(), forgotten) == ["2 of 'clip' came off and never go back"]


LOST = ["2 of 'clip' were scrapped and no new one goes in"]


WAYS_OFF = [
    [("destroys", "wheel")],
    [("removes", "wheel"), ("discards", "wheel")],
    [("removes", "wheel")],
]


@pytest.mark.parametrize("off", WAYS_OFF)
def test_a_bare_new_assembly_wants_its_contents(off: list[tuple[str, str]]) -> None:
    bare = acts(off, [("replaces", "wheel")])
    assert problems(wheel("bare"), bare) == LOST
    filled = acts(off, [("replaces", "wheel"), ("replaces", "clip", 2)])
    assert problems(wheel("bare"), filled) == []


def test_a_complete_new_assembly_brings_its_contents() -> None:
    complete = acts([("destroys", "wheel")], [("replaces", "wheel")])
    assert problems(wheel("complete"), complete) == []
    twice = acts([("destroys", "wheel")], [("replaces", "wheel"), ("replaces", "clip", 2)])
    assert problems(wheel("complete"), twice) == [
        "2 of 'clip' go on, but all are back already"
    ]  # fmt: skip
    # Those in hand are then left over and need no way back.
    spare = acts([CLIPS, ("destroys", "wheel")], [("replaces", "wheel")])
    assert problems(wheel("complete"), spare) == []


def test_contents_taken_out_in_time_outlive_their_assembly() -> None:
    saved = acts([CLIPS, ("destroys", "wheel")], [("replaces", "wheel"), BACK])
    assert problems(wheel("bare"), saved) == []


def test_an_assembly_in_an_assembly_is_lost_and_comes_with_it() -> None:
    cart = parts(cart={"contains": [{"part": "wheel"}], "supplied": "bare"})
    lost = acts([("destroys", "cart")], [("replaces", "cart")])
    assert sorted(problems(wheel("bare"), cart, lost)) == [
        "1 of 'wheel' was scrapped and no new one goes in", *LOST
    ]  # fmt: skip
    whole = parts(cart={"contains": [{"part": "wheel"}], "supplied": "complete"})
    assert problems(wheel("bare"), whole, lost) == []


def test_contents_lost_with_their_assembly_leave_their_places() -> None:
    """The places are empty then, so that new ones may be named place by place."""
    one_by_one = acts(
        [("destroys", "wheel")],
        [("replaces", "wheel"), ("replaces", "clip", 1, LEFT), ("replaces", "clip", 1, RIGHT)],
    )
    assert problems(SIDES, wheel("bare"), one_by_one) == []
    # One of two wheels is lost with one clip: which place that was, nobody has said.
    pair = wheel("bare", each=1, quantity=2)
    half = acts([("destroys", "wheel")], [("replaces", "wheel"), ("replaces", "clip", 1, RIGHT)])
    assert problems(SIDES, pair, half) == []


def test_a_complete_assembly_that_is_scrapped_and_passed_on_takes_its_contents_along() -> None:
    gone = [
        acts([("destroys", "wheel")], []),
        after({"part": "wheel", "state": "scrapped"}, **PINNED),
    ]
    assert problems(wheel("complete"), *gone) == []
    assert problems(wheel("bare"), *gone) == LOST


def test_a_fault_on_one_way_names_that_way() -> None:
    ways = [{"when": "it is worn", "step": "bin"}, {"when": "it is fine", "step": "guard-on"}]
    plain = changed(
        decision(*ways),
        later({"id": "bin", "ledger": moves(("discards", "clip")), "goes_to": "guard-on"}),
        lambda p: step(p, 1).update(
            decision={"question": "Done", "ways": [GO | {"step": "end"}, STOP]}
        ),
        later({"id": "end"}),
    )
    found = {remark.rule.id: remark.problem for remark in judge(plain).remarks}
    assert found["ledger.not_removed"].endswith(", on the way 'it is worn'")
    # Whether the job was stopped later on does not matter.
    assert found["ledger.not_replaced"].endswith(", on the way 'it is worn'")


def test_a_fault_on_every_way_names_none() -> None:
    ways = decision({"when": "a", "step": "guard-on"}, {"when": "b", "step": "guard-on"})
    assert problems(ways, acts([CLIPS], [])) == ["2 of 'clip' came off and never go back"]


def test_tools_of_no_step_are_told() -> None:
    assert rules(changed(tool(id="ruler"))) == ["ledger.never_used", "ids.reference"]
