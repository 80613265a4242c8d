"""Walks through two versions of a part of a document and tells every field that differs."""

from __future__ import annotations

from collections.abc import Callable, Container, Hashable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from author.procedure.differences.fields import told_as
from author.procedure.differences.matching import Pair, content, pair_alike, pair_by, rising
from author.procedure.differences.texts import (
    LEAVES,
    changed_text,
    listed,
    named,
    same_words,
    shown,
    summary,
    target,
)
from author.procedure.differences.weights import Severity, Told
from author.procedure.items import Content
from author.procedure.lists import Change, Concession, LeftOff, SerialRange
from author.procedure.references import named_by
from author.procedure.specs import ChainLink, Fastener, Pass
from author.procedure.steps import Branch, Callout, Hazard, Mask, Movement, SupplyUse, Way
from author.procedure.values import Node

Path = tuple[str | int, ...]

# What entries without an id have in common where they are the same entry, changed.
_KEYS: dict[type[Node], tuple[Callable[[Any], Hashable], ...]] = {
    Content: (lambda n: n.part,),
    LeftOff: (lambda n: (n.part, n.state), lambda n: n.part),
    SerialRange: (lambda n: n.start,),
    Concession: (lambda n: (n.rule, n.at),),
    Change: (lambda n: n.revision,),
    Hazard: (lambda n: (n.hazard, n.avoid), lambda n: n.hazard),
    SupplyUse: (lambda n: (n.supply, n.where), lambda n: n.supply),
    Movement: (lambda n: (n.act, n.part, n.places), lambda n: (n.act, n.part), lambda n: n.part),
    Callout: (lambda n: (n.shape, n.text), lambda n: n.text, lambda n: n.shape),
    Fastener: (lambda n: n.name,),
    Branch: (lambda n: n.when, target),
    ChainLink: (lambda n: n.what,),
}
# Entries that are the same by their place in the list.
_BY_PLACE = (Mask, Pass)
# Entries that are sentences: the same where they are much alike.
_BY_LIKENESS = (Branch, Callout, Change, ChainLink, Hazard, Way)


@dataclass(frozen=True, slots=True)
class At:
    """Where two versions of something stand.

    Attributes:
        old: path in the old document, None where it is not there.
        new: path in the new document, None where it is not there.
        place: step or entry it belongs to, in words.
        label: what it is there, in words; empty for the step or entry itself.
    """

    old: Path | None
    new: Path | None
    place: str
    label: str = ""

    def inside(self, old: str | int | None, new: str | int | None, label: str = "") -> At:
        """Return the place one key or index further in; None where it is not there."""
        return At(
            None if self.old is None or old is None else (*self.old, old),
            None if self.new is None or new is None else (*self.new, new),
            self.place,
            ", ".join(part for part in (self.label, label) if part),
        )


@dataclass(frozen=True, slots=True)
class Found:
    """A difference as the walk meets it.

    Attributes:
        severity: its weight.
        kind: block, field and what happened to it, e.g. ``limit_spec.datum.changed``.
        text: what has changed, without its label.
        at: where.
        keys: fields of the block that differ, where it is about several.
        values: what to give as old and new values, where that is not what stands there.
        node: what was added or removed.
    """

    severity: Severity
    kind: str
    text: str
    at: At
    keys: tuple[str, ...] = ()
    values: tuple[Any, Any] | None = None
    node: Node | None = None


Special = Callable[["Walk", Any, Any, At], set[str]]


@dataclass
class Walk:
    """Collects differences.

    Attributes:
        words: words for ids of both documents, by the list they stand in.
        specials: what tells several fields of a block together, by the kind of block; it
            returns the fields it has looked after.
        found: the differences met so far.
        units: units of the numbers of what is walked through, where they stand further out.
    """

    words: dict[str, dict[str, str]]
    specials: dict[type[Node], Special]
    found: list[Found] = field(default_factory=list)
    units: tuple[str, str] | None = None

    def tell(self, severity: Severity, kind: str, text: str, at: At, **more: Any) -> None:
        """Note one difference."""
        self.found.append(Found(severity, kind, text, at, **more))

    def node(self, old: Any, new: Any, at: At) -> None:
        """Tell how two versions of one block differ."""
        done: set[str] = {"schema_name"}
        for kind in type(old).__mro__:
            if kind in self.specials:
                done |= self.specials[kind](self, old, new, at)
        for name in type(old).model_fields:
            if name not in done:
                self.one_field(name, old, new, at)

    def one_field(self, name: str, old: Any, new: Any, at: At) -> None:
        """Tell how one field of two versions of a block differs."""
        was, now = getattr(old, name), getattr(new, name)
        if was is now or (isinstance(was, str) and was == now):
            return
        if name == "id":
            inner = at.inside("id", "id")
            self.tell("words", "id.renamed", f"renamed: {was} is now {now}", inner)
            return
        kind: Any = type(old)
        told = told_as(kind, name)
        key = kind.model_fields[name].alias or name
        inner = at.inside(key if was is not None else None, key if now is not None else None)
        if _is_list(was, Node) or _is_list(now, Node):
            self.entries(told, was or (), now or (), at.inside(key, key))
        elif _is_list(was, str) or _is_list(now, str):
            target = named_by(kind, name)
            self.lines(told, was or (), now or (), at.inside(key, key), target)
        elif isinstance(was, Node) and isinstance(now, Node) and not isinstance(was, LEAVES):
            self.node(was, now, at.inside(key, key, told.name))
        elif _plain(was) != _plain(now):
            self._value(told, (was, now), (old, new), inner)

    def _value(self, told: Told, values: tuple[Any, Any], nodes: tuple[Any, Any], at: At) -> None:
        was, now = values
        severity = told.weigh(was, now)
        if was is None or now is None:
            there = now if was is None else was
            word = "added" if was is None else "removed"
            node = there if isinstance(there, Node) else None
            text = f"{told.name} {word}: {shown(there)}{_unit(told, nodes[was is None], there)}"
            self.tell(severity, f"{told.kind}.{word}", text, at, node=node)
            return
        if isinstance(now, bool) and told.on:
            text = told.on if now else told.off
        else:
            text = changed_text(told.name, was, now) + _unit(told, nodes[1], now)
        if isinstance(was, Decimal) and was == now:
            severity = "work" if severity == "safety" else severity
            text = f"{text}: same value, other digits"
        elif isinstance(was, str) and " " in was and same_words(was, now):
            severity, text = "words", f"{text}: other capitals or marks"
        self.tell(severity, f"{told.kind}.changed", text, at)

    def lines(
        self, told: Told, was: Sequence[str], now: Sequence[str], at: At, names: str | None
    ) -> None:
        """Tell how two lists of words or of ids differ."""
        if tuple(was) == tuple(now):
            return
        if told.whole:
            at = replace(at, old=at.old if was else None, new=at.new if now else None)
            word = "changed" if was and now else "added" if now else "removed"
            text = f"{told.name} {listed(was)} → {listed(now)}"
            self.tell(told.weigh(tuple(was), tuple(now)), f"{told.kind}.{word}", text, at)
            return
        pairs = pair_by(was, now, [lambda line: line])
        if names is None:
            pairs = pair_alike(was, now, pairs)
        for a, b in merged(pairs, len(was), len(now)):
            inner = at.inside(a, b)
            if a is not None and b is not None:
                if was[a] != now[b]:
                    self._value(told, (was[a], now[b]), (None, None), inner)
                continue
            line = self._with_words(was[a] if a is not None else now[b or 0], names)
            word = "added" if a is None else "removed"
            severity = told.weigh(None, line) if a is None else told.weigh(line, None)
            self.tell(severity, f"{told.kind}.{word}", f"{told.name} {word}: {line}", inner)
        if len(rising([a for a, _ in pairs])) < len(pairs):
            text = f"order of the list: {listed(was)} → {listed(now)}"
            self.tell(told.moved, f"{told.kind}.reordered", f"{told.name}, {text}", at)

    def _with_words(self, name: str, target: str | None) -> str:
        words = self.words.get(target or "", {}).get(name)
        return f"{name} ({words})" if words else name

    def entries(self, told: Told, was: Sequence[Any], now: Sequence[Any], at: At) -> None:
        """Tell how two lists of blocks differ."""
        self.paired(told, was, now, at, paired(was, now))

    def paired(
        self,
        told: Told,
        was: Sequence[Any],
        now: Sequence[Any],
        at: At,
        pairs: list[Pair],
        elsewhere: tuple[Container[int], Container[int]] = ((), ()),
    ) -> None:
        """Tell how two lists of blocks differ whose entries are paired already.

        Args:
            told: how it is told.
            was: entries of the old list.
            now: entries of the new list.
            at: where the lists stand.
            pairs: entries that belong together.
            elsewhere: old and new entries without a partner here that are told elsewhere.
        """
        kept = rising([a for a, _ in pairs])
        moved = {pair for position, pair in enumerate(pairs) if position not in kept}
        top = len(at.new or ()) == 1
        for a, b in merged(pairs, len(was), len(now)):
            if (b is None and a in elsewhere[0]) or (a is None and b in elsewhere[1]):
                continue
            node = now[b] if b is not None else was[a or 0]
            inner = at.inside(a, b)
            own_place = top and hasattr(node, "id")
            if own_place:
                inner = replace(inner, place=f"{told.name} {node.id}", label="")
            if a is None or b is None:
                self._one_sided(told, node, inner, added=a is None, own_place=own_place)
                continue
            if not own_place:
                inner = at.inside(a, b, named(told.name, node, b + 1))
            if (a, b) in moved:
                text = f"moved: was number {a + 1} of its list, now {b + 1}"
                self.tell(told.moved, f"{told.kind}.moved", text, inner, values=(a + 1, b + 1))
            self.node(was[a], now[b], inner)

    def _one_sided(self, told: Told, node: Any, at: At, *, added: bool, own_place: bool) -> None:
        word = "added" if added else "removed"
        severity = told.weigh(None, node) if added else told.weigh(node, None)
        said = summary(node) if own_place else _called(node)
        text = f"{word}: {said}" if own_place else f"{told.name} {word}: {said}"
        self.tell(severity, f"{told.kind}.{word}", text, at, node=node)


def paired(was: Sequence[Any], now: Sequence[Any]) -> list[Pair]:
    """Pair the entries of two lists that have no ids."""
    if not was or not now:
        return []
    kind = type(now[0])
    if kind in _BY_PLACE:
        return [(index, index) for index in range(min(len(was), len(now)))]
    pairs = pair_by(was, now, [content, *_KEYS.get(kind, ())])
    if kind not in _BY_LIKENESS:
        return pairs
    return pair_alike([summary(n) for n in was], [summary(n) for n in now], pairs)


def merged(pairs: Sequence[Pair], olds: int, news: int) -> Iterator[tuple[int | None, int | None]]:
    """Yield all entries of two lists: the new order, what is gone where it stood before.

    Args:
        pairs: entries of both lists that belong together.
        olds: length of the old list.
        news: length of the new list.
    """
    partner = dict(pairs)
    gone: dict[int | None, list[int]] = {}
    before: int | None = None
    for a in range(olds):
        if a in partner:
            before = partner[a]
        else:
            gone.setdefault(before, []).append(a)
    back = {b: a for a, b in pairs}
    yield from ((a, None) for a in gone.get(None, ()))
    for b in range(news):
        yield back.get(b), b
        yield from ((a, None) for a in gone.get(b, ()))


def _called(node: Node) -> str:
    name, words = getattr(node, "id", None), summary(node)
    return f"{name}, {words}" if name and words else name or words


def _is_list(value: Any, kind: type) -> bool:
    return isinstance(value, tuple) and bool(value) and isinstance(value[0], kind)


def _plain(value: Any) -> Any:
    if isinstance(value, Node):
        return content(value)
    if isinstance(value, tuple):
        return [_plain(entry) for entry in value]
    return format(value, "f") if isinstance(value, Decimal) else value


def _unit(told: Told, node: Any, value: Any) -> str:
    if told.unit is None or not isinstance(value, Decimal):
        return ""
    unit = getattr(node, told.unit)
    return f" {unit}" if unit else ""
