"""Holds two people's changes of one procedure together, and names what both have changed.

The ways of merging are those of the open document. Here nobody sits before a window: what is
one thing in the trade is never put together from two halves, an order that would be left to
chance is asked about, and every answer counts for one place.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

from author.editing.addresses import Address, path_of
from author.editing.merging import Merger
from author.editing.merging_order import NoOrder, merged_order
from author.editing.merging_work import Work
from author.editing.patches import plain_value
from author.editing.words import name_of
from author.errors import InputError
from author.procedure.differences.texts import shown
from author.procedure.document import Procedure
from author.procedure.items import Content, Tool
from author.procedure.lists import (
    Change,
    Concession,
    LeftOff,
    ProcedureRef,
    RecordingRef,
    SerialRange,
)
from author.procedure.quantities import number_text, range_text, with_unit
from author.procedure.specs import (
    ChainLink,
    Fastener,
    LimitSpec,
    Pass,
    Reaction,
    TorqueSpec,
    WrenchExtension,
)
from author.procedure.steps import (
    Branch,
    Callout,
    Clip,
    Decision,
    Hazard,
    Mask,
    Movement,
    Section,
    Step,
    Still,
    SupplyUse,
    Way,
    WitnessPoint,
)
from author.procedure.values import Node

Side = Literal["mine", "library"]
Key = TypeVar("Key", bound=Hashable)
ALL = "all"

# What one sentence, number or moment of the trade is made of: never half of the one and half
# of the other.
_WHOLE: tuple[type[Node], ...] = (
    Branch, Callout, ChainLink, Change, Clip, Concession, Content, Decision, Fastener, Hazard,
    LeftOff, Mask, Movement, Pass, ProcedureRef, Reaction, SerialRange, Still, SupplyUse, Way,
    WitnessPoint, WrenchExtension,
)  # fmt: skip
_LIMITS = ("quantity", "unit", "lower", "nominal", "upper", "reference", "spread_of")
_TOGETHER: dict[type[Node], tuple[str, ...]] = {
    LimitSpec: _LIMITS,
    TorqueSpec: (*_LIMITS, "thread", "threads", "nut_factor", "extension"),
    Tool: ("measures", "range_from", "range_to", "resolution", "uncertainty"),
    RecordingRef: ("file", "size", "duration", "sha256"),
}
_WHOLE_LISTS = frozenset(
    {"passes", "order", "fasteners", "inside_out", "links", "ladder", "ways", "places"}
    | {"positions", "masks", "callouts"}
)


@dataclass(frozen=True, slots=True)
class Clash:
    """A place that both have changed, each in its own way.

    Attributes:
        place: by what it is answered, e.g. ``steps/press-in/specs/depth``; empty if it can
            only be mended in the folder.
        address: the same as an address in the document; empty for a file.
        what: the place in words, or the whole sentence where it can only be mended.
        mine: what the author's folder has.
        theirs: what the library has.
        was: what stood there when the folder was taken.
    """

    place: str
    address: Address
    what: str
    mine: str = ""
    theirs: str = ""
    was: str = ""

    def __str__(self) -> str:
        """Return it as one sentence without a full stop."""
        if not self.place:
            return self.what
        said = f"{self.what} {self.mine} here, {self.theirs} in the library"
        return f"{said}; it was {self.was}"


class Answers:
    """What counts at which place.

    Attributes:
        open: what nobody has answered yet, in the order it was met.
        used: the places whose answer was asked for.
        decided: what both had changed, by its place, with what counts there.
    """

    def __init__(self, given: Mapping[str, Side] | None = None) -> None:
        self._given = dict(given or {})
        self.open: list[Clash] = []
        self.used: set[str] = set()
        self.decided: dict[str, tuple[Clash, Side]] = {}

    def side(self, clash: Clash) -> Side | None:
        """Return what counts at a place, and note it where nobody has said."""
        self.used.add(clash.place)
        answer = self._given.get(clash.place, self._given.get(ALL))
        if answer is None and not any(clash.place == one.place for one in self.open):
            self.open.append(clash)
        if answer is not None:
            self.decided[clash.place] = clash, answer
        return answer

    def tell(self, what: str, address: Address = ()) -> None:
        """Note what can only be mended in the folder."""
        self.open.append(Clash("", address, what))

    def settle(self) -> None:
        """Leave out what can only be mended in the folder while there is anything to answer.

        Whether it is so depends on the answers.
        """
        self.open = [one for one in self.open if one.place] or self.open

    def unused(self) -> list[str]:
        """Return the places that were answered and never asked about."""
        return sorted(self._given.keys() - self.used - {ALL})


def place_text(address: Address) -> str:
    """Return by what a place is answered."""
    return "/".join(str(part) for part in address) or "procedure"


class Meet(Merger):
    """One merge of a folder and a library under way.

    Attributes:
        answers: what counts where both have changed the same.
    """

    def __init__(
        self, base: Procedure, mine: Procedure, theirs: Procedure, answers: Answers
    ) -> None:
        super().__init__(base, mine, theirs, None)
        self.answers = answers

    def work(self) -> Work:
        """Return what merges the sections and their steps where the versions meet."""
        return _MeetWork(self)

    def conflict(self, place: Address, base: Any, mine: Any, theirs: Any) -> Any:
        """Return what counts at a place, and note it where nobody has said."""
        values = [self._said(place, base, value) for value in (mine, theirs)]
        said = (*values, self._shown(place, base))
        return self._asked(place, self._words(place), said, mine, theirs)

    def _asked(self, place: Address, what: str, said: Sequence[str], mine: Any, theirs: Any) -> Any:
        side = self.answers.side(Clash(place_text(place), place, what, *said))
        if side is None:
            # For now, so that what else is asked does not hang on who comes first.
            mine_first = repr(plain_value(mine)) >= repr(plain_value(theirs))
            side = "mine" if mine_first else "library"
        self.prefer = "mine" if side == "mine" else "theirs"
        return mine if side == "mine" else theirs

    def tell(self, place: Address, what: str) -> None:
        """Note something that cannot be as both versions have it."""
        self.answers.tell(what, place)

    def block(
        self, base: Any, mine: Any, theirs: Any, place: Address, leave: Sequence[str] = ()
    ) -> Any:
        """Return a block as both have it, but for the fields left out."""
        if isinstance(mine, _WHOLE):
            return self.conflict(place, base, mine, theirs)
        fields = _TOGETHER.get(type(mine), ())
        was, kept, others = (
            tuple(getattr(node, field) for field in fields) for node in (base, mine, theirs)
        )
        if not (self.same(was, kept) or self.same(was, others) or self.same(kept, others)):
            chosen = self._one_thing(base, mine, theirs, place)
            update = {field: getattr(chosen, field) for field in fields}
            mine, theirs = mine.model_copy(update=update), theirs.model_copy(update=update)
        return super().block(base, mine, theirs, place, leave)

    def _one_thing(self, base: Any, mine: Any, theirs: Any, place: Address) -> Any:
        """Return whose limits, film or scale counts."""
        what = self._words(place)
        if isinstance(mine, LimitSpec):
            what = f"{self._head(place)}: {_inside(mine.characteristic)}"
        said = [_one_thing_text(node) for node in (mine, theirs, base)]
        return self._asked(place, what, said, mine, theirs)

    def _list(self, lists: tuple[tuple[Any, ...], ...], place: Address) -> tuple[Any, ...] | None:
        return None if place[-1] in _WHOLE_LISTS else super()._list(lists, place)

    def _by_key(
        self,
        lists: tuple[tuple[Any, ...], ...],
        key: Callable[[Any], Hashable],
        place: Address,
    ) -> tuple[Any, ...] | None:
        found = super()._by_key(lists, key, place)
        if found is None:
            return None
        entries = {key(entry): entry for entry in found}
        keys = [[key(entry) for entry in values] for values in lists]
        return tuple(entries[name] for name in self.order(keys, entries, place, matters=False))

    def order(
        self,
        lists: Sequence[Sequence[Key]],
        wanted: Collection[Key],
        place: Address,
        *,
        matters: bool,
    ) -> list[Key]:
        """Return the order of a list as both have it.

        Args:
            lists: what it is called in the base, mine and theirs.
            wanted: what is left.
            place: of the list.
            matters: whether an order that neither has chosen has to be asked about.
        """
        base, mine, theirs = lists
        try:
            first = merged_order([base, mine, theirs], wanted)
            second = merged_order([base, theirs, mine], wanted)
        except NoOrder:
            first, second = (_woven(one, other, wanted) for one, other in _both(mine, theirs))
            matters = True
        if first == second or not matters:
            return min(first, second, key=lambda order: [str(name) for name in order])
        self.conflict(place, *(tuple(values) for values in lists))
        at = next(index for index, name in enumerate(first) if name != second[index])
        preferred, other = (theirs, mine) if self.prefer == "theirs" else (mine, theirs)
        if first[at] in preferred and first[at] not in other:
            return first
        if second[at] in preferred and second[at] not in other:
            return second
        return first if self.prefer != "theirs" else second

    # --- words ---

    def _step(self, name: str | int) -> Step | None:
        base, mine, theirs = self.docs
        for doc in (mine, theirs, base):
            for placed in doc.placed_steps():
                if placed.step.id == name:
                    return placed.step
        return None

    def _head(self, place: Address) -> str:
        step = self._step(place[1]) if place[:1] == ("steps",) and len(place) > 1 else None
        return f"Step '{step.action.rstrip('.')}'" if step is not None else "The procedure"

    def _words(self, place: Address) -> str:
        """Return a place as the trade calls it, ready for what stands there."""
        said = self._name(place)
        if place[:1] != ("steps",) or len(place) < 2:
            return f"{said[0].upper()}{said[1:]}:"
        inner = said.rpartition(" of step ")[0]
        return f"{self._head(place)}: {inner}" if inner else f"{self._head(place)}:"

    def _name(self, place: Address) -> str:
        base, mine, theirs = self.docs
        for doc in (mine, theirs, base):
            try:
                return name_of(doc, path_of(doc, place))
            except InputError:
                continue
        return " ".join(str(part) for part in place) or "the procedure"

    def _said(self, place: Address, base: Any, value: Any) -> str:
        """Return what has become of what stood at a place."""
        if base is not None and value is None:
            return "taken out"
        changed = base is not None and isinstance(value, Step | Section)
        return "changed" if changed else self._shown(place, value)

    def _shown(self, place: Address, value: Any) -> str:
        """Return what stands at a place."""
        if value is None or value == ():
            return "nothing"
        if isinstance(value, tuple):
            return "; ".join(self._entry(place, entry) for entry in value)
        if isinstance(value, str) and place[:1] == ("steps",) and len(place) == 2:
            return f"in section '{self._section(value)}'"
        return _node_text(value)

    def _entry(self, place: Address, value: Any) -> str:
        """Return an entry of a list; steps and sections come by their ids."""
        if place == ("sections",):
            return f"'{self._section(value)}'"
        step = self._step(value) if place[-1] == "steps" and len(place) == 3 else None
        return _node_text(value) if step is None else f"'{step.action}'"

    def _section(self, name: str) -> str:
        sections: list[Section] = [s for doc in self.docs for s in doc.sections]
        return next((one.title for one in sections if one.id == name), name)


class _MeetWork(Work):
    """The sections of three versions while they meet."""

    merger: Meet

    def _order(
        self, lists: list[list[str]], wanted: Collection[str], place: tuple[str, ...]
    ) -> list[str]:
        return self.merger.order(lists, wanted, place, matters=True)


def _inside(text: str) -> str:
    """Return a text as it stands inside a sentence: ``Depth`` as ``depth``, ``PCD`` as it is."""
    return text if text[1:2].isupper() else f"{text[0].lower()}{text[1:]}"


def _node_text(value: Any) -> str:
    if isinstance(value, Step):
        return f"'{value.action}'"
    if isinstance(value, Section):
        return f"'{value.title}'"
    if isinstance(value, LimitSpec):
        return f"{value.characteristic} {_one_thing_text(value)}"
    if isinstance(value, Hazard):
        parts = (f"{value.signal}: {value.hazard}", value.consequence, value.avoid)
        return f"“{'. '.join(part for part in parts if part)}”"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return shown(value)


def _one_thing_text(node: Any) -> str:
    """Return limits, the scale of a tool or a film as one value."""
    if isinstance(node, LimitSpec):
        limits = node.limits()
        text = range_text(limits)
        if node.nominal is not None and (node.lower, node.upper) != (None, None):
            text += f", nominal {with_unit(number_text(node.nominal), limits.unit)}"
        more = [node.thread, node.threads] if isinstance(node, TorqueSpec) else []
        return ", ".join([text, *more, *(["for reference only"] if node.reference else [])])
    if isinstance(node, Tool):
        parts = (node.range_from, node.range_to, node.resolution, node.uncertainty)
        said = " / ".join("-" if part is None else number_text(part) for part in parts)
        return f"{said} {node.measures or ''}".rstrip()
    return f"{node.file} ({node.sha256[:8]})"


def _both(mine: Sequence[Key], theirs: Sequence[Key]) -> tuple[tuple[Sequence[Key], ...], ...]:
    return (mine, theirs), (theirs, mine)


def _woven(first: Sequence[Key], second: Sequence[Key], wanted: Collection[Key]) -> list[Key]:
    """Return the order of one, with what only the other has behind what it follows there."""
    order = [key for key in first if key in wanted]
    before: Key | None = None
    for key in (key for key in second if key in wanted):
        if key not in order:
            order.insert(0 if before is None else order.index(before) + 1, key)
        before = key
    return order
