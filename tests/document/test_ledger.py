"""The ledger as an account: what the reverse of a removal must and must not say."""

from collections import Counter
from dataclasses import dataclass
from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from document.changes import after, before, other, parts
from document.samples import Plain, base, changed, rules, step

NAMES = ["axle-nut", "tab-ring", "sleeve", "cone", "shim"]
QUANTITIES = st.fixed_dictionaries({name: st.integers(1, 4) for name in NAMES})
LEDGER = {
    "ledger.not_refitted", "ledger.not_replaced", "ledger.not_removed", "ledger.quantity",
    "ledger.single_use", "ledger.stack_order", "ledger.fitted_twice",
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
def test_the_exact_reverse_leaves_nothing_to_say(case: tuple[dict[str, int], list[Any]]) -> None:
    quantities, off = case
    assert said(procedure(quantities, off, reverse(off))) == set()


@given(removals(), st.data())
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
def test_one_piece_too_many_is_noticed(case: tuple[dict[str, int], list[Any]], act: str) -> None:
    quantities, off = case
    on = [*reverse(off), (act, off[0][1], 1)]
    assert said(procedure(quantities, off, on)) == {"ledger.fitted_twice"}


@given(removals())
def test_more_than_there_are_is_noticed(case: tuple[dict[str, int], list[Any]]) -> None:
    quantities, off = case
    name = off[0][1]
    taken = Counter(part for _, part, _ in off)[name]
    more = [*off, ("removes", name, quantities[name] - taken + 1)]
    assert "ledger.quantity" in said(procedure(quantities, more, reverse(more)))


@given(st.permutations(NAMES), st.data())
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
def test_the_outer_part_of_a_stack_may_come_off_alone(stack: list[str], depth: int) -> None:
    quantities = dict.fromkeys(NAMES, 1)
    off = [("removes", name, 1) for name in reversed(stack[-depth:])]
    assert said(procedure(quantities, off, reverse(off), stack)) == set()


@given(st.lists(st.sampled_from(NAMES), min_size=2, max_size=6))
def test_like_parts_are_told_apart_by_their_place(stack: list[str]) -> None:
    quantities = dict(Counter(stack))
    off = [("removes", name, 1) for name in reversed(stack)]
    assert said(procedure(quantities, off, reverse(off), stack)) == set()


# --- assemblies, named places, stacks, and what passes on, all in one job ---

WHOLE = {
    "ledger.not_refitted", "ledger.not_replaced", "ledger.not_removed", "ledger.fitted_twice",
    "ledger.quantity", "ledger.stack_order", "ledger.place", "ledger.discharge", "ledger.assembly",
}  # fmt: skip
KINDS = ["cart", "wheel", "bearing", "cap", "peg", "pile"]
UNDO = {"removes": "refits", "destroys": "replaces"}


@dataclass
class Job:
    """What comes off, what goes on, and what others take off before and fit after."""

    parts: dict[str, Plain]
    pile: list[str]
    before: list[Plain]
    off: list[Plain]
    on: list[Plain]
    after: list[Plain]

    def plain(self) -> Plain:
        def listed(plain: Plain) -> None:
            plain["parts"] = []
            plain["stacks"] = [{"id": "pile", "name": "Pile", "inside_out": self.pile}]

        told = [
            listed,
            parts(**self.parts),
            lambda p: put_ledger(p, 0, self.off),
            lambda p: put_ledger(p, 1, self.on),
            before(*map(left_off, self.before), procedure=other()),
            after(*map(left_off, self.after), procedure=other()),
        ]
        return changed(*told)

    def rules(self) -> set[str]:
        return set(rules(self.plain())) & WHOLE


def put_ledger(plain: Plain, index: int, movements: list[Plain]) -> None:
    step(plain, index).pop("ledger")
    if movements:
        step(plain, index)["ledger"] = movements


def left_off(movement: Plain) -> Plain:
    """What another procedure takes off or fits in the place of a movement."""
    kept = movement["act"] in {"removes", "refits"}
    left = {key: value for key, value in movement.items() if key != "act"}
    return left | {"state": "kept" if kept else "scrapped"}


class Machine:
    """A machine that is taken apart: it knows what is on it and how each act is undone.

    A cart holds wheels, a wheel holds bearings; pegs sit at named places; parts of the
    pile lie on one another.
    """

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        wheels, bearings = draw(st.integers(1, 2)), draw(st.integers(1, 2))
        self.each = {"cart": ("wheel", wheels), "wheel": ("bearing", bearings)}
        # Where contents are also taken out one by one, only bare assemblies are scrapped:
        # a complete new one would make those in hand left over.
        self.deep = draw(st.booleans())
        supplied = st.just("bare") if self.deep else st.sampled_from(["bare", "complete"])
        self.supplied = {name: draw(supplied) for name in ("cart", "wheel")}
        self.on = {"cart": 1, "wheel": wheels, "bearing": wheels * bearings, "cap": 3}
        self.pegs = ["a", "b", "c"][: draw(st.integers(2, 3))]
        self.pile = draw(st.permutations(["sleeve", "ring", "shim", "cone"]))
        self.lying = list(self.pile)
        self.parts: dict[str, Plain] = {name: {"quantity": n} for name, n in self.on.items()}
        for name, (inner, each) in self.each.items():
            self.parts[name] |= {
                "contains": [{"part": inner, "quantity": each}], "supplied": self.supplied[name],
            }  # fmt: skip
        self.parts["peg"] = {"quantity": len(self.pegs), "places": list(self.pegs)}
        self.parts |= {name: {} for name in self.pile}

    def take(self, name: str) -> tuple[Plain, list[Plain]] | None:
        """Take something off; return how, and what undoes it."""
        draw = self.draw
        act = draw(st.sampled_from(["removes", "destroys"]))
        if name == "pile":
            movement: Plain = {"act": act, "part": self.lying.pop()} if self.lying else {}
        elif name == "peg":
            count = draw(st.integers(1, 2))
            places, self.pegs = self.pegs[:count], self.pegs[count:]
            movement = {"act": act, "part": "peg", "quantity": len(places), "places": places}
            movement = movement if places else {}
        else:
            movement = self._some_of(name, act)
        if not movement:
            return None
        undone = [{**movement, "act": UNDO[act]}]
        if act == "destroys" and self.supplied.get(name) != "complete":
            undone += self._replaced(name, movement.get("quantity", 1))
        elif act == "destroys":
            self._lose(name, movement.get("quantity", 1))
        return movement, undone

    def _some_of(self, name: str, act: str) -> Plain:
        untouched = name == "bearing" or self.supplied["cart"] == "complete"
        if name in {"wheel", "bearing"} and untouched and not self.deep:
            return {}
        if not self.on[name]:
            return {}
        count = self.draw(st.integers(1, self.on[name]))
        self.on[name] -= count
        return {"act": act, "part": name, "quantity": count}

    def _lose(self, name: str, count: int) -> list[tuple[str, int]]:
        """What is scrapped with pieces of an assembly, from the outside in."""
        inner, each = self.each.get(name, ("", 0))
        lost = min(self.on.get(inner, 0), count * each)
        if not lost:
            return []
        self.on[inner] -= lost
        return [(inner, lost), *self._lose(inner, lost)]

    def _replaced(self, name: str, count: int) -> list[Plain]:
        """What has to be fitted into a new bare assembly."""
        found: list[Plain] = []
        for inner, lost in self._lose(name, count):
            found.append({"act": "replaces", "part": inner, "quantity": lost})
            if self.supplied.get(inner) == "complete":
                break
        return found


@st.composite
def jobs(draw: st.DrawFn, *, piled: bool = False) -> Job:
    """A job that puts back what it takes off, in exactly the reverse order.

    With ``piled`` at least two parts of the pile go back in the job itself.
    """
    machine = Machine(draw)
    names = ["pile", "pile"] * piled
    names += draw(st.lists(st.sampled_from(KINDS), min_size=1, max_size=10))
    taken = [found for name in names if (found := machine.take(name))]
    assume(taken)
    handed = 0 if piled else draw(st.integers(0, len(taken) - 1))
    off: list[Plain] = []
    for movement, _ in taken[handed:]:
        if movement["act"] == "destroys" and draw(st.booleans()):
            gone = {key: value for key, value in movement.items() if key != "places"}
            off += [{**movement, "act": "removes"}, {**gone, "act": "discards"}]
        else:
            off.append(movement)
    on = [entry for _, undone in reversed(taken) for entry in undone]
    kept = len(on) if piled else draw(st.integers(0, len(on)))
    return Job(
        machine.parts, machine.pile, [m for m, _ in taken[:handed]], off, on[:kept], on[kept:]
    )


@given(jobs())
@settings(max_examples=150)
def test_whatever_is_put_back_in_reverse_is_in_order(job: Job) -> None:
    assert job.rules() == set()


@given(jobs(), st.data())
@settings(max_examples=150)
def test_whatever_is_not_put_back_is_told(job: Job, data: st.DataObject) -> None:
    where = data.draw(st.sampled_from([put for put in (job.on, job.after) if put]))
    movement = where.pop(data.draw(st.integers(0, len(where) - 1)))
    told = {"refits": "ledger.not_refitted", "replaces": "ledger.not_replaced"}
    assert told[movement["act"]] in job.rules()


@given(jobs(), st.data())
@settings(max_examples=100)
def test_whatever_was_not_taken_off_is_told(job: Job, data: st.DataObject) -> None:
    # What is destroyed inside an assembly would be lost with it anyway.
    taken = [
        (told, movement)
        for told in (job.before, job.off)
        for movement in told
        if movement["act"] == "removes"
    ]
    assume(taken)
    told, movement = data.draw(st.sampled_from(taken))
    told.remove(movement)
    assert job.rules() != set()


@given(jobs(piled=True), st.data())
@settings(max_examples=120)
def test_a_pile_put_back_in_another_order_is_told(job: Job, data: st.DataObject) -> None:
    where = [index for index, movement in enumerate(job.on) if movement["part"] in job.pile]
    there = [job.on[index] for index in where]
    swapped = data.draw(st.permutations(there).filter(lambda other: other != there))
    for index, movement in zip(where, swapped, strict=True):
        job.on[index] = movement
    assert job.rules() == {"ledger.stack_order"}
