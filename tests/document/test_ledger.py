"""The ledger as an account: what the reverse of a removal must and must not say."""

from collections import Counter
from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from document.samples import Plain, base, rules, step

NAMES = ["axle-nut", "tab-ring", "sleeve", "cone", "shim"]
QUANTITIES = st.fixed_dictionaries({name: st.integers(1, 4) for name in NAMES})
LEDGER = {
    "ledger.not_refitted", "ledger.not_replaced", "ledger.not_removed", "ledger.quantity",
    "ledger.single_use", "ledger.stack_order",
}  # fmt: skip


def procedure(
    quantities: dict[str, int],
    off: list[Any],
    on: list[Any],
    stack: list[str] | None = None,
) -> Plain:
    plain = base()
    plain["parts"] = [
        {"id": name, "name": "Piece", "quantity": count, "replace": "never", "order": "never"}
        for name, count in quantities.items()
    ]
    for index, moves in ((0, off), (1, on)):
        step(plain, index).pop("ledger")
        if moves:
            step(plain, index)["ledger"] = [
                {"act": act, "part": part, "quantity": count} for act, part, count in moves
            ]
    if stack:
        plain["stacks"] = [{"id": "pile", "name": "Pile", "inside_out": stack}]
    return plain


def said(plain: Plain) -> set[str]:
    return set(rules(plain)) & LEDGER


@st.composite
def removals(draw: st.DrawFn) -> tuple[dict[str, int], list[tuple[str, str, int]]]:
    """Parts, and a way to take some of them off, in pieces."""
    quantities = draw(QUANTITIES)
    pieces = [name for name, count in quantities.items() for _ in range(count)]
    taken = draw(st.lists(st.sampled_from(range(len(pieces))), unique=True, min_size=1))
    acts = draw(st.lists(st.sampled_from(["removes", "destroys"]), min_size=len(taken),
                         max_size=len(taken)))  # fmt: skip
    return quantities, [(act, pieces[i], 1) for act, i in zip(acts, taken, strict=True)]


def reverse(off: list[tuple[str, str, int]]) -> list[tuple[str, str, int]]:
    back = {"removes": "refits", "destroys": "replaces"}
    return [(back[act], part, count) for act, part, count in reversed(off)]


@given(removals())
@settings(deadline=None)
def test_the_exact_reverse_leaves_nothing_to_say(case: tuple[dict[str, int], list[Any]]) -> None:
    quantities, off = case
    assert said(procedure(quantities, off, reverse(off))) == set()


@given(removals(), st.data())
@settings(deadline=None)
def test_one_piece_left_out_is_noticed(
    case: tuple[dict[str, int], list[Any]], data: st.DataObject
) -> None:
    quantities, off = case
    on = reverse(off)
    lost = data.draw(st.sampled_from(range(len(on))))
    left = on[lost][0]
    rest = on[:lost] + on[lost + 1 :]
    expected = "ledger.not_refitted" if left == "refits" else "ledger.not_replaced"
    assert expected in said(procedure(quantities, off, rest))


@given(removals(), st.sampled_from(["refits", "replaces"]))
@settings(deadline=None)
def test_one_piece_too_many_is_noticed(case: tuple[dict[str, int], list[Any]], act: str) -> None:
    quantities, off = case
    on = [*reverse(off), (act, off[0][1], 1)]
    assert said(procedure(quantities, off, on)) == {"ledger.not_removed"}


@given(removals())
@settings(deadline=None)
def test_more_than_there_are_is_noticed(case: tuple[dict[str, int], list[Any]]) -> None:
    quantities, off = case
    name = off[0][1]
    taken = Counter(part for _, part, _ in off)[name]
    more = [*off, ("removes", name, quantities[name] - taken + 1)]
    assert "ledger.quantity" in said(procedure(quantities, more, reverse(more)))


@given(st.permutations(NAMES), st.data())
@settings(deadline=None)
def test_a_stack_goes_back_in_one_order_only(stack: list[str], data: st.DataObject) -> None:
    quantities = dict.fromkeys(NAMES, 1)
    off = [("removes", name, 1) for name in reversed(stack)]
    on = [("refits", name, 1) for name in stack]
    assert said(procedure(quantities, off, on, stack)) == set()
    other = data.draw(st.permutations(on))
    assume(other != on)
    assert said(procedure(quantities, off, other, stack)) == {"ledger.stack_order"}
    wrong = [("removes", name, 1) for _, name, _ in reversed(other)]
    assert said(procedure(quantities, wrong, on, stack)) == {"ledger.stack_order"}


@given(st.permutations(NAMES), st.integers(1, 5))
@settings(deadline=None)
def test_the_outer_part_of_a_stack_may_come_off_alone(stack: list[str], depth: int) -> None:
    quantities = dict.fromkeys(NAMES, 1)
    off = [("removes", name, 1) for name in reversed(stack[-depth:])]
    assert said(procedure(quantities, off, reverse(off), stack)) == set()


@given(st.lists(st.sampled_from(NAMES), min_size=2, max_size=6))
@settings(deadline=None)
def test_like_parts_are_told_apart_by_their_place(stack: list[str]) -> None:
    quantities = dict(Counter(stack))
    off = [("removes", name, 1) for name in reversed(stack)]
    assert said(procedure(quantities, off, reverse(off), stack)) == set()
