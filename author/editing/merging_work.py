"""Brings the sections and steps of two versions together: what each step says, and where it is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from typing import TYPE_CHECKING, Any

from author.editing.merging_order import NoOrder, merged_order, order_of_one
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.steps import Section, Step

if TYPE_CHECKING:
    from author.editing.merging import Merger


class Work:
    """The sections of three versions while they are brought together."""

    def __init__(self, merger: Merger) -> None:
        self.merger = merger
        self.sections = [_by_id(doc, [s.id for s in doc.sections]) for doc in merger.docs]
        self.steps: list[dict[str, Step]] = []
        self.places: list[dict[str, str]] = []
        for doc in merger.docs:
            placed = [(section.id, step) for section in doc.sections for step in section.steps]
            _by_id(doc, [step.id for _, step in placed])
            self.steps.append({step.id: step for _, step in placed})
            self.places.append({step.id: section for section, step in placed})

    def merged(self) -> tuple[Section, ...]:
        """Return the sections of both, with their steps.

        Raises:
            InputError: if no step would be left.
        """
        steps = self._kept("steps", self.steps)
        sections = self._kept("sections", self.sections, leave=("steps",))
        homes = {name: self._home(name, sections) for name in steps}
        found: list[Section] = []
        for name in self._order([list(keys) for keys in self.sections], sections, ("sections",)):
            inside = {step for step, home in homes.items() if home == name}
            if not inside:
                if any(name in keys for keys in self.sections[1:]):
                    said = f"section '{sections[name].title}' would be left without a step"
                    self.merger.tell(("sections", name), said)
                continue
            lists = [[s for s, home in places.items() if home == name] for places in self.places]
            order = self._order(lists, inside, ("sections", name, "steps"))
            found.append(_with_steps(sections[name], tuple(steps[step] for step in order)))
        if not found:
            raise InputError("no step would be left", remedy="Keep one of the two")
        return tuple(found)

    def _kept(self, key: str, by_id: list[Any], leave: tuple[str, ...] = ()) -> dict[str, Any]:
        """Return what is left of the steps or sections, each as both have it."""
        found: dict[str, Any] = {}
        for name in dict.fromkeys(name for keys in by_id for name in keys):
            base, mine, theirs = (keys.get(name) for keys in by_id)
            place = (key, name)
            if mine is not None and theirs is not None and base is not None:
                entry = self.merger.block(base, mine, theirs, place, leave)
            elif mine is not None and theirs is not None:
                # Of a section that both have made, its steps are brought together one by one.
                alike = self._alike(mine, theirs, leave)
                entry = mine if alike else self.merger.value(None, mine, theirs, place)
            elif base is None:
                entry = theirs if mine is None else mine
            else:
                entry = self._taken_out(key, name, base, mine, theirs)
            if entry is not None:
                found[name] = entry
        return found

    def _alike(self, mine: Any, theirs: Any, leave: tuple[str, ...]) -> bool:
        """Whether two entries are the same but for the fields left out."""
        fields = [field for field in type(mine).model_fields if field not in leave]
        return all(self.merger.same(getattr(mine, f), getattr(theirs, f)) for f in fields)

    def _taken_out(self, key: str, name: str, base: Any, mine: Any, theirs: Any) -> Any:
        """Return None for what one side took out and the other left alone."""
        left = theirs if mine is None else mine
        if left is None:
            return None
        side = 2 if mine is None else 1
        if key == "sections":
            untouched = left.title == base.title
        else:
            untouched = self.merger.same(base, left)
            untouched = untouched and self.places[side][name] == self.places[0][name]
        return None if untouched else self.merger.conflict((key, name), base, mine, theirs)

    def _home(self, step: str, sections: dict[str, Section]) -> str:
        """Return the section a step is in."""
        base, mine, theirs = (places.get(step) for places in self.places)
        if mine is None or theirs is None:
            wanted = theirs if mine is None else mine
        elif theirs in (mine, base):
            wanted = mine
        elif mine == base:
            wanted = theirs
        else:
            wanted = self.merger.conflict(("steps", step), base, mine, theirs)
        home = str(wanted)
        if home not in sections:
            self.merger.tell(("steps", step), f"the section of step '{step}' has been taken out")
            home = next((p for p in (mine, theirs, *sections) if p in sections), home)
            sections.setdefault(home, self._section(home))
        return home

    def _section(self, name: str) -> Section:
        """Return a section as one of the two still has it."""
        return next(keys[name] for keys in self.sections[1:] if name in keys)

    def _order(
        self, lists: list[list[str]], wanted: Collection[str], place: tuple[str, ...]
    ) -> list[str]:
        try:
            return merged_order(lists, wanted)
        except NoOrder:
            self.merger.conflict(place, *(tuple(keys) for keys in lists))
            mine, theirs = lists[1:]
            if self.merger.prefer == "theirs":
                return order_of_one(theirs, mine, wanted)
            return order_of_one(mine, theirs, wanted)


def _with_steps(section: Section, steps: tuple[Step, ...]) -> Section:
    same = len(steps) == len(section.steps) and all(
        a is b for a, b in zip(steps, section.steps, strict=True)
    )
    return section if same else section.model_copy(update={"steps": steps})


def _by_id(doc: Procedure, names: list[str]) -> dict[str, Section]:
    twice = [name for name, count in Counter(names).items() if count > 1]
    if twice:
        raise InputError(
            f"the id '{twice[0]}' is given twice, so that it cannot be told what belongs together",
            remedy="Give each its own id first",
        )
    return {section.id: section for section in doc.sections}
