"""Ways through a procedure: where steps lead, and that many of them are walked in no time."""

import pytest

from author.procedure import ledger_walk
from author.procedure.ledger_walk import walk
from author.procedure.ways import Ways, ways_of
from document.changes import (
    BACK,
    GO,
    STOP,
    Change,
    decision,
    later,
    moves,
    parts,
    sets,
)
from document.samples import Plain, base, changed, judge, load, step
from document.test_ledger_rules import forks

# --- where steps lead ---


def ways(*changes: Change) -> Ways:
    return ways_of(load(changed(*changes)).procedure)


def targets(found: Ways) -> list[list[int | str]]:
    return [[edge.target for edge in edges] for edges in found.edges]


def test_steps_follow_each_other_to_the_end() -> None:
    assert targets(ways(later({"id": "last"}))) == [[1], [2], ["done"]]
    assert [edge.path for edges in ways().edges for edge in edges] == [(), ()]


def test_a_decision_leads_only_where_it_says() -> None:
    more = {"when": "a", "section": "work"}, {"when": "b", "procedure": {"id": "x"}}
    found = ways(decision(GO, STOP, *more))
    assert targets(found) == [[1, "stop", 0, "procedure"], ["done"]]
    assert [edge.when for edge in found.edges[0]] == ["It is", "It is gone", "a", "b"]
    path = ("sections", 0, "steps", 0, "decision", "ways")
    assert [edge.path for edge in found.edges[0]] == [(*path, number) for number in range(4)]


def test_a_way_to_nowhere_is_no_way() -> None:
    nowhere = [{"when": "a", "step": "x"}, {"when": "b", "section": "y"}, {"when": "c"}]
    assert targets(ways(decision(*nowhere)))[0] == []
    assert targets(ways(lambda p: step(p, 0).update(goes_to="nowhere"))) == [[1], ["done"]]


def test_a_step_goes_where_it_says() -> None:
    found = ways(lambda p: step(p, 1).update(goes_to="guard-off"))
    assert targets(found) == [[1], [0]]
    assert found.edges[1][0].path == ("sections", 0, "steps", 1, "goes_to")


def test_a_reaction_leads_to_its_step_beside_the_next_one() -> None:
    back = {"do": "repeat", "how": "Bend it", "step": "guard-off", "at_most": 2}
    found = ways(sets(below=back, above=back | {"do": "stop"}))
    assert targets(found) == [[1], ["done", 0]]
    reaction = found.edges[1][1]
    assert (reaction.when, reaction.at_most) == ("gap below", 2)
    assert reaction.path == ("sections", 0, "steps", 1, "specs", 0, "below")


def test_a_section_begins_with_its_first_step() -> None:
    def split(plain: Plain) -> None:
        last = plain["sections"][0]["steps"].pop()
        plain["sections"].append({"id": "refit", "title": "Refit", "steps": [last]})

    found = ways(split, decision(STOP, {"when": "a", "section": "refit"}))
    assert targets(found)[0] == ["stop", 1]


def test_what_is_reached_and_what_leads_out() -> None:
    cut = ways(decision(STOP, {"when": "a", "step": "last"}), later({"id": "last"}))
    assert cut.reached() == {0, 2}
    assert cut.leading_out() == {0, 1, 2}
    loop = ways(lambda p: step(p, 1).update(goes_to="guard-off"), later({"id": "last"}))
    assert loop.reached() == {0, 1}
    assert loop.leading_out() == {2}


def test_a_round_is_endless_unless_some_way_in_it_is_bounded() -> None:
    assert [edge.target for edge in ways(decision(BACK, GO)).endless()] == [0]
    assert ways(decision(BACK | {"at_most": 1}, GO)).endless() == []
    mend = later({"id": "mend", "goes_to": "guard-on"})
    into: Plain = {"when": "a", "step": "mend"}
    assert [edge.target for edge in ways(decision(into, STOP, at=1), mend).endless()] == [1]
    assert ways(decision(into | {"at_most": 2}, STOP, at=1), mend).endless() == []
    # Two rounds through one step: the bound of one is none for the other.
    both = ways(decision(BACK | {"at_most": 1}, BACK, GO))
    assert [edge.path[-1] for edge in both.endless()] == [1]


# --- many ways ---


def rejoining(count: int, bad: int | None = None) -> Plain:
    """Decisions of two ways that meet again; what comes off on one goes back on it."""
    plain = base()
    ask: list[Plain] = []
    for number in range(count):
        name, onward = f"p{number}", f"ask-{number + 1}" if number + 1 < count else "last"
        parts(**{name: {}})(plain)
        ledger = moves(("removes", name), ("refits", name))[: 1 if number == bad else 2]
        choices = [
            {"when": f"{number} is worn", "step": f"mend-{number}"},
            {"when": f"{number} is fine", "step": onward},
        ]
        ask += [
            {"id": f"ask-{number}", "decision": {"question": "Worn", "ways": choices}},
            {"id": f"mend-{number}", "ledger": ledger},
        ]
    later(*ask, {"id": "last"})(plain)
    return plain


def test_ways_that_meet_again_are_walked_on_once() -> None:
    """2^30 ways in the time of one: each way by itself would take years."""
    found = walk(load(rejoining(30)).procedure)
    assert found.whole
    assert len(found.ends) == 1
    assert judge(rejoining(30)).remarks == ()


def test_the_one_bad_way_among_many_is_named() -> None:
    (remark,) = judge(rejoining(30, bad=14)).remarks
    assert remark.problem == "1 of 'p14' came off and never goes back, on the way '14 is worn'"


def test_more_ways_than_can_be_walked_are_told_and_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """2^20 states that are all different, and 2^200; a tenth of the steps shows it as well."""
    monkeypatch.setattr(ledger_walk, "_MOST_STEPS", ledger_walk._MOST_STEPS // 10)
    for count in (20, 200):
        found = walk(load(forks(count)).procedure)
        assert not found.whole
        assert found.ends
    told = {remark.rule.id for remark in judge(forks(20)).remarks}
    assert told == {"ledger.too_many_ways", "ledger.not_refitted"}


def test_ways_that_differ_are_all_walked_where_they_can_be() -> None:
    found = walk(load(forks(8)).procedure)
    assert found.whole
    assert len(found.ends) == 2**8
    told = [remark.problem for remark in judge(forks(8)).remarks]
    assert told == [
        f"1 of 'p{n}' came off and never goes back, on the way 'worn'" for n in range(8)
    ]  # fmt: skip


def test_a_round_without_end_is_walked_until_nothing_new_comes_up() -> None:
    plain = changed(
        decision(BACK, GO),
        parts(shim={"quantity": 40}),
        lambda p: step(p, 0).update(ledger=moves(("removes", "shim"))),
        lambda p: step(p, 1).update(ledger=moves(("refits", "shim", 40))),
    )
    found = walk(load(plain).procedure)
    assert found.whole
    # Too few are off after 1 to 39 rounds, all after 40, and then there is one round too many.
    told = [sorted(entry.kind for entry in end.entries) for end in found.ends]
    assert told == [["not_removed"]] * 39 + [[], ["too_many_off"]]


def test_a_bound_counts_over_the_whole_way() -> None:
    """How often a way may be taken does not begin anew when another round is made."""
    plain = changed(
        decision(BACK | {"at_most": 2}, GO),
        decision(BACK | {"at_most": 2}, STOP, at=1),
        parts(shim={"quantity": 9}),
        lambda p: step(p, 0).update(ledger=moves(("removes", "shim"))),
        lambda p: step(p, 1).pop("ledger"),
    )
    found = walk(load(plain).procedure)
    assert {end.accounts["shim"].in_hand for end in found.ends} == {1, 2, 3, 4, 5}


def test_who_comes_late_but_may_go_on_further_is_not_stopped() -> None:
    """Two come to one place in one state; the second still has a round to make."""
    detour = [
        {"id": f"detour-{n}", "decision": {"question": "Sure", "ways": [
            {"when": "yes", "step": f"detour-{n + 1}" if n < 3 else "one-off"}, STOP]}}
        for n in range(4)
    ]  # fmt: skip
    again: Plain = {"when": "it is tight", "step": "more-off", "at_most": 1}
    plain = changed(
        decision({"when": "a", "step": "look"}, {"when": "b", "step": "detour-0"}),
        parts(shim={"quantity": 5}),
        lambda p: p["sections"][0]["steps"].pop(1),
        lambda p: step(p, 0).pop("ledger"),
        later(
            {"id": "more-off", "ledger": moves(("removes", "shim")), "goes_to": "look"},
            {"id": "look", "decision": {"question": "Loose", "ways": [again, STOP]}},
            *detour,
            {"id": "one-off", "ledger": moves(("removes", "shim")), "goes_to": "look"},
        ),
    )
    found = walk(load(plain).procedure)
    assert {end.accounts["shim"].in_hand for end in found.ends} == {0, 1, 2}
