"""The account of parts along every way, held against one that tries each way by itself."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from author.procedure.ledger_walk import Walk, walk
from author.procedure.ways import ways_of
from document.changes import parts
from document.samples import Plain, base, load

NAMES = ["nut", "pin"]
REFUSED = {"not_removed", "fitted_twice", "scrap_refitted"}


@dataclass
class Try:
    """What has happened on one way so far."""

    on: dict[str, int]
    hand: dict[str, int]
    gone: dict[str, int]
    faults: frozenset[tuple[Any, ...]] = frozenset()
    used: dict[str, int] = field(default_factory=dict)

    def copy(self) -> "Try":
        return Try(dict(self.on), dict(self.hand), dict(self.gone), self.faults, dict(self.used))

    def counts(self) -> tuple[Any, ...]:
        return tuple((n, self.on[n], self.hand[n], self.gone[n]) for n in sorted(self.on))

    def fault(self, *told: Any) -> None:
        self.faults |= {told}

    def do(self, place: tuple[int, int, int], movement: Plain) -> None:
        name, wanted, act = movement["part"], movement["quantity"], movement["act"]
        on, hand, gone = self.on, self.hand, self.gone
        if act in {"removes", "destroys"}:
            there, kind = on[name], "too_many_off"
        elif act == "replaces":
            there, kind = hand[name] + gone[name], "refused"
        else:
            there = hand[name]
            kind = "refused" if act == "refits" else "too_many_scrapped"
        if wanted > there:
            self.fault(kind, name, place, wanted, there)
        for _ in range(min(wanted, there)):
            if act in {"removes", "destroys"}:
                on[name] -= 1
                (hand if act == "removes" else gone)[name] += 1
            elif act == "discards":
                hand[name] -= 1
                gone[name] += 1
            else:
                (gone if act == "replaces" and gone[name] else hand)[name] -= 1
                on[name] += 1

    def ends(self) -> None:
        for name in self.on:
            for kind, left in (("left_in_hand", self.hand), ("left_scrapped", self.gone)):
                if left[name]:
                    self.fault(kind, name, left[name])


def steps_of(plain: Plain) -> list[tuple[int, int, Plain]]:
    return [
        (s, n, told)
        for s, section in enumerate(plain["sections"])
        for n, told in enumerate(section["steps"])
    ]


def onward(plain: Plain, at: int) -> Iterator[tuple[str, int | str, int | None, str]]:
    """The ways on from a step: a name, where it leads, how often, and its words."""
    steps = steps_of(plain)
    number = {told["id"]: index for index, (_, _, told) in enumerate(steps)}
    first = {
        section["id"]: number[section["steps"][0]["id"]] for section in plain["sections"]
    }  # fmt: skip
    told = steps[at][2]
    if "decision" in told:
        for way in told["decision"]["ways"]:
            target: int | str = "stop" if "stop" in way else "procedure"
            if "step" in way:
                target = number[way["step"]]
            elif "section" in way:
                target = first[way["section"]]
            yield way["when"], target, way.get("at_most"), way["when"]
    else:
        behind = at + 1 if at + 1 < len(steps) else "done"
        yield f"next {at}", number[told["goes_to"]] if "goes_to" in told else behind, None, ""
    for spec in told.get("specs", ()):
        for side in ("below", "above"):
            if "step" in spec.get(side, {}):
                words = f"{spec['id']} {side}"
                yield words, number[spec[side]["step"]], spec[side].get("at_most"), words


def fresh(plain: Plain) -> Try:
    counts = {part["id"]: part["quantity"] for part in plain["parts"]}
    return Try(counts, dict.fromkeys(counts, 0), dict.fromkeys(counts, 0))


def work(plain: Plain, at: int, one: Try) -> None:
    section, number, told = steps_of(plain)[at]
    for index, movement in enumerate(told.get("ledger", ())):
        one.do((section, number, index), movement)


def every_way(plain: Plain) -> tuple[set[tuple[Any, ...]], set[tuple[Any, ...]]]:
    """All ends of all ways, and all faults met on any of them."""
    ends: set[tuple[Any, ...]] = set()
    faults: set[tuple[Any, ...]] = set()
    been: set[tuple[Any, ...]] = set()
    waiting: list[tuple[int | str, Try]] = [(0, fresh(plain))]
    while waiting:
        at, one = waiting.pop()
        state = (at, one.counts(), one.faults, tuple(sorted(one.used.items())))
        if state in been:
            continue
        been.add(state)
        if isinstance(at, str):
            if at == "done":
                one.ends()
            ends.add((at, one.counts(), one.faults))
            faults |= one.faults
            continue
        work(plain, at, one)
        faults |= one.faults
        for name, target, most, _ in onward(plain, at):
            other = one.copy()
            if most is not None:
                other.used[name] = other.used.get(name, 0) + 1
                if other.used[name] > most:
                    continue
            waiting.append((target, other))
    return ends, faults


def follow(plain: Plain, via: list[str]) -> set[tuple[Any, ...]]:
    """Where a way can come to that is told by its conditions.

    Going on from a step that may react takes no condition, so there can be several.
    """
    ends: set[tuple[Any, ...]] = set()
    been: set[tuple[Any, ...]] = set()
    waiting: list[tuple[int | str, Try, int]] = [(0, fresh(plain), 0)]
    while waiting:
        at, one, told = waiting.pop()
        if (at, one.counts(), told) in been:
            continue
        been.add((at, one.counts(), told))
        if isinstance(at, str):
            if told == len(via):
                ends.add((at, one.counts()))
            continue
        work(plain, at, one)
        for _, target, _, words in onward(plain, at):
            if not words:
                waiting.append((target, one.copy(), told))
            elif via[told : told + 1] == [words]:
                waiting.append((target, one.copy(), told + 1))
    return ends


def as_told(found: Walk) -> tuple[set[tuple[Any, ...]], set[tuple[Any, ...]]]:
    """The same of a walk, in the words of ``every_way``."""

    def fault(entry: Any) -> tuple[Any, ...]:
        if entry.kind.startswith("left_"):
            return (entry.kind, entry.part, entry.count)
        kind = "refused" if entry.kind in REFUSED else entry.kind
        _, section, _, number, _, index = entry.path
        return (kind, entry.part, (section, number, index), entry.count, entry.there)

    ends = {
        (
            end.kind,
            tuple((n, a.on, a.in_hand, a.gone) for n, a in sorted(end.accounts.items())),
            frozenset(map(fault, end.entries)),
        )
        for end in found.ends
    }
    return ends, set(map(fault, found.first_via))


MOVEMENTS = st.builds(
    lambda act, part, quantity: {"act": act, "part": part, "quantity": quantity},
    st.sampled_from(["removes", "refits", "replaces", "discards", "destroys"]),
    st.sampled_from(NAMES),
    st.integers(1, 2),
)
MOST = st.sampled_from([None, 1, 2])


@st.composite
def graphs(draw: st.DrawFn) -> Plain:
    """A procedure of a few steps that lead anywhere, on and back."""
    count = draw(st.integers(2, 6))
    names = [f"s{number}" for number in range(count)]
    plain = base()
    plain["parts"] = []
    quantities = [draw(st.integers(1, 2)) for _ in NAMES]
    parts(**{n: {"quantity": q} for n, q in zip(NAMES, quantities, strict=True)})(plain)
    cuts = sorted({0, *draw(st.lists(st.integers(1, count - 1), max_size=2))})
    told = [draw(_steps(names, number, len(cuts))) for number in range(count)]
    plain["sections"] = [
        {"id": f"part-{number}", "title": "Work", "steps": told[start:end]}
        for number, (start, end) in enumerate(zip(cuts, [*cuts[1:], count], strict=True))
    ]
    return plain


@st.composite
def _steps(draw: st.DrawFn, names: list[str], number: int, sections: int) -> Plain:
    told: Plain = {"id": names[number], "action": "Look at it.", "not_filmed": "x"}
    if ledger := draw(st.lists(MOVEMENTS, max_size=2)):
        told["ledger"] = ledger
    turn = draw(st.sampled_from(["on", "on", "choice", "choice", "goes", "reacts"]))
    if turn == "choice":
        ways = [draw(_ways(names, sections)) for _ in range(draw(st.integers(2, 3)))]
        for index, way in enumerate(ways):
            way["when"] = f"{names[number]} {index}"
        told["decision"] = {"question": "Whole", "ways": ways}
    elif turn == "goes":
        told["goes_to"] = draw(st.sampled_from(names))
    elif turn == "reacts":
        most = draw(MOST)
        reaction = {"do": "repeat", "how": "x", "step": draw(st.sampled_from(names))}
        told["specs"] = [
            {"id": f"gap-{number}", "characteristic": "Gap", "quantity": "length", "unit": "mm",
             "upper": "1", "above": reaction | ({"at_most": most} if most else {})}
        ]  # fmt: skip
    return told


@st.composite
def _ways(draw: st.DrawFn, names: list[str], sections: int) -> Plain:
    turn = draw(st.sampled_from(["step", "step", "step", "section", "stop", "procedure"]))
    if turn == "stop":
        return {"stop": "Ask"}
    if turn == "procedure":
        return {"procedure": {"id": "other"}}
    way: Plain = {"step": draw(st.sampled_from(names))}
    if turn == "section":
        way = {"section": f"part-{draw(st.integers(0, sections - 1))}"}
    most = draw(MOST)
    return way | ({"at_most": most} if most else {})


@given(graphs())
@settings(max_examples=400)
def test_every_way_is_walked_and_no_other(plain: Plain) -> None:
    found = walk(load(plain).procedure)
    assert found.whole
    assert as_told(found) == every_way(plain)


@given(graphs())
@settings(max_examples=200)
def test_the_conditions_told_lead_to_the_end_told(plain: Plain) -> None:
    for end in walk(load(plain).procedure).ends:
        counts = tuple((n, a.on, a.in_hand, a.gone) for n, a in sorted(end.accounts.items()))
        assert (end.kind, counts) in follow(plain, [edge.when for edge in end.via])


@given(graphs())
@settings(max_examples=200)
def test_reach_and_ends_are_those_of_the_ways_walked(plain: Plain) -> None:
    graph = ways_of(load(plain).procedure)

    def reach(start: int) -> set[int | str]:
        seen: set[int | str] = set()
        waiting: list[int | str] = [start]
        while waiting:
            at = waiting.pop()
            if at not in seen:
                seen.add(at)
                if isinstance(at, int):
                    waiting.extend(target for _, target, _, _ in onward(plain, at))
        return seen

    all_steps = range(len(graph.steps))
    assert graph.reached() == {at for at in reach(0) if isinstance(at, int)}
    assert graph.leading_out() == {
        at for at in all_steps if any(isinstance(end, str) for end in reach(at))
    }


@given(graphs())
@settings(max_examples=200)
def test_a_round_nothing_bounds_is_told_wherever_there_is_one(plain: Plain) -> None:
    graph = ways_of(load(plain).procedure)

    def comes_back(start: int) -> bool:
        seen: set[int | str] = set()
        waiting: list[int | str] = [start]
        while waiting:
            at = waiting.pop()
            if isinstance(at, int):
                free = {target for _, target, most, _ in onward(plain, at) if most is None}
                waiting.extend(free - seen)
                seen |= free
        return start in seen

    assert bool(graph.endless()) is any(comes_back(at) for at in range(len(graph.steps)))
