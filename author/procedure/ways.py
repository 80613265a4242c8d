"""The ways through a procedure: from step to step, by decisions and by reactions.

A step without a decision leads to the next one, or where it says it goes to; a decision
leads only where its ways say. A reaction that names a step leads there as well. A stop,
another procedure and the end of the last step are ends.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from author.procedure.document import PlacedStep, Procedure
from author.procedure.steps import Branch

EndKind = Literal["done", "stop", "procedure"]
Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Edge:
    """One way on from a step.

    Attributes:
        target: index of the step it leads to, or how the job ends.
        when: the condition in words, or the spec and the side its reading lies on; empty
            where there is none.
        path: the place in the document that says so, empty for the next step.
        at_most: how often it may be taken, if that is said.
    """

    target: int | EndKind
    when: str = ""
    path: Path = ()
    at_most: int | None = None


@dataclass(frozen=True, slots=True)
class Ways:
    """All steps of a procedure and the ways between them.

    Attributes:
        steps: every step in order; an index into it names a step here.
        edges: the ways on from each.
    """

    steps: tuple[PlacedStep, ...]
    edges: tuple[tuple[Edge, ...], ...]

    def reached(self) -> set[int]:
        """Return the steps that can be reached from the first."""
        return self._spread({0}, [[e.target for e in edges] for edges in self.edges])

    def endless(self) -> list[Edge]:
        """Return the ways back that may be taken without end.

        A way back is bounded where it, or another way that the round needs, says how
        often it may be taken.
        """
        round_of = self._rounds()
        return [
            edge
            for index, edges in enumerate(self.edges)
            for edge in edges
            if isinstance(edge.target, int) and edge.target <= index and edge.at_most is None
            if round_of[edge.target] == round_of[index]
        ]

    def _rounds(self) -> list[int]:
        """Return a number for each step, the same for steps that lead to one another.

        Only ways that may be taken without end count. Source: Kosaraju and Sharir, strongly
        connected components by two walks, here without recursion (from memory).
        """
        free = [[e.target for e in edges if e.at_most is None] for edges in self.edges]
        onward = [[t for t in targets if isinstance(t, int)] for targets in free]
        back: list[list[int]] = [[] for _ in onward]
        for index, targets in enumerate(onward):
            for target in targets:
                back[target].append(index)
        round_of = [-1] * len(onward)
        for start in reversed(_finished(onward)):
            waiting = [start] if round_of[start] < 0 else []
            while waiting:
                index = waiting.pop()
                round_of[index] = start
                waiting.extend(before for before in back[index] if round_of[before] < 0)
        return round_of

    def leading_out(self) -> set[int]:
        """Return the steps from which some end can be reached."""
        back: list[list[int | EndKind]] = [[] for _ in self.steps]
        ends: set[int] = set()
        for index, edges in enumerate(self.edges):
            for edge in edges:
                if isinstance(edge.target, int):
                    back[edge.target].append(index)
                else:
                    ends.add(index)
        return self._spread(ends, back)

    @staticmethod
    def _spread(start: set[int], onward: list[list[int | EndKind]]) -> set[int]:
        seen, waiting = set(start), list(start)
        while waiting:
            for target in onward[waiting.pop()]:
                if isinstance(target, int) and target not in seen:
                    seen.add(target)
                    waiting.append(target)
        return seen


def _finished(onward: list[list[int]]) -> list[int]:
    """Return the steps in the order in which a walk in depth is done with them."""
    seen = [False] * len(onward)
    done: list[int] = []
    for start in range(len(onward)):
        waiting = [(start, iter(onward[start]))] if not seen[start] else []
        seen[start] = True
        while waiting:
            index, rest = waiting[-1]
            target = next((one for one in rest if not seen[one]), None)
            if target is None:
                done.append(index)
                waiting.pop()
            else:
                seen[target] = True
                waiting.append((target, iter(onward[target])))
    return done


def ways_of(procedure: Procedure) -> Ways:
    """Return the ways through a procedure.

    What leads to a step or section that does not exist, or to none, is left out: other
    rules tell of it.
    """
    steps = tuple(procedure.placed_steps())
    places = {placed.step.id: index for index, placed in enumerate(steps)}
    sections: dict[str, int] = {}
    for index, placed in enumerate(steps):
        sections.setdefault(placed.section.id, index)
    edges = []
    for index, placed in enumerate(steps):
        following: int | EndKind = index + 1 if index + 1 < len(steps) else "done"
        onward = _decision_edges(placed, places, sections)
        if placed.step.decision is None:
            onward = [_plain_edge(placed, following, places)]
        edges.append((*onward, *_reaction_edges(placed, places)))
    return Ways(steps, tuple(edges))


def _plain_edge(placed: PlacedStep, following: int | EndKind, places: dict[str, int]) -> Edge:
    name = placed.step.goes_to
    if name is None or name not in places:
        return Edge(following)
    return Edge(places[name], path=(*placed.path, "goes_to"))


def _decision_edges(
    placed: PlacedStep, places: dict[str, int], sections: dict[str, int]
) -> list[Edge]:
    decision = placed.step.decision
    if decision is None:
        return []
    found = []
    for number, way in enumerate(decision.ways):
        target = _target(way, places, sections)
        if target is not None:
            path = (*placed.path, "decision", "ways", number)
            found.append(Edge(target, way.when, path, way.at_most))
    return found


def _target(way: Branch, places: dict[str, int], sections: dict[str, int]) -> int | EndKind | None:
    if way.step is not None:
        return places.get(way.step)
    if way.section is not None:
        return sections.get(way.section)
    if way.procedure is not None:
        return "procedure"
    return None if way.stop is None else "stop"


def _reaction_edges(placed: PlacedStep, places: dict[str, int]) -> list[Edge]:
    found = []
    for key, specs in (("specs", placed.step.specs), ("torques", placed.step.torques)):
        for number, spec in enumerate(specs or ()):
            for side in ("below", "above", "undecided"):
                reaction = getattr(spec, side)
                if reaction is None or reaction.step is None or reaction.do == "stop":
                    continue
                target = places.get(reaction.step)
                if target is not None:
                    words = f"{spec.id} {side}"
                    path = (*placed.path, key, number, side)
                    found.append(Edge(target, words, path, reaction.at_most))
    return found
