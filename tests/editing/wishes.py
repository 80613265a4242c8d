"""Random commands on a document, as a restless person might give them; some cannot be done."""

from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from author.editing import (
    AddEntry,
    AddSection,
    AddStep,
    Command,
    JoinSteps,
    MoveEntry,
    MoveMark,
    MoveSection,
    MoveSteps,
    RemoveEntry,
    RemoveSection,
    RemoveSteps,
    Rename,
    SetField,
    SetSpan,
    Span,
    SplitSection,
    SplitStep,
    value_at,
)
from author.editing.addresses import Path, key_of
from author.editing.ids import kind_of
from author.procedure.document import Procedure
from author.procedure.values import Node

Draw = st.DataObject
WORDS = st.sampled_from(
    ["Undo the nut.", "Turn it", "", " x", "Prüfen, ob es läuft", "a\nb", "(to be written) x", "Ω"]
)
IDS = st.sampled_from(["nut", "nut-off", "Bad id", "x1", "", "step-3"])
MARKS = st.decimals(0, 60, places=6)


def places(node: Any, path: Path = ()) -> list[tuple[Path, Any]]:
    """Every place below a node and what stands there; absent values as well."""
    found: list[tuple[Path, Any]] = []
    if isinstance(node, Node):
        for field in type(node).model_fields:
            here = (*path, key_of(type(node), field))
            found += [(here, getattr(node, field)), *places(getattr(node, field), here)]
    elif isinstance(node, tuple):
        for index, entry in enumerate(node):
            found += [((*path, index), entry), *places(entry, (*path, index))]
    return found


def command(data: Draw, procedure: Procedure) -> Command:
    """Draw a command for a document."""
    return data.draw(st.sampled_from(_MAKERS), "kind")(data, procedure)


def _place(data: Draw, procedure: Procedure) -> tuple[Path, Any]:
    step = data.draw(st.sampled_from([None, *[p.path for p in procedure.placed_steps()]]), "step")
    if step is None:
        front = procedure.model_copy(update={"sections": ()})
        return data.draw(st.sampled_from(places(front)), "place")
    return data.draw(st.sampled_from(places(value_at(procedure, step), step)), "place")


def _set(data: Draw, procedure: Procedure) -> Command:
    path, value = _place(data, procedure)
    like = [v for p, v in places(procedure) if p[-1] == path[-1] and v is not value]
    text = isinstance(value, str)
    fresh = [st.none(), st.sampled_from(like) if like else st.none(), WORDS if text else IDS]
    if isinstance(value, Decimal):
        fresh.append(MARKS.map(str))
    return SetField(path, data.draw(st.one_of(fresh), "value"))


def _lists(procedure: Procedure) -> list[tuple[Path, Any]]:
    return [(p, v) for p, v in places(procedure) if isinstance(v, tuple) and v]


def _add_entry(data: Draw, procedure: Procedure) -> Command:
    path, entries = data.draw(st.sampled_from(_lists(procedure)), "list")
    entry = data.draw(st.sampled_from(entries), "entry")
    if isinstance(entry, Node) and kind_of((*path, 0)):
        plain = entry.model_dump(by_alias=True, exclude_none=True)
        del plain["id"]
        entry = data.draw(st.sampled_from([entry, plain]), "with its id or a new one")
    before = data.draw(st.sampled_from([None, 0, 1, 99, getattr(entries[-1], "id", "x")]))
    return AddEntry(path, entry, before)


def _remove_entry(data: Draw, procedure: Procedure) -> Command:
    path, entries = data.draw(st.sampled_from(_lists(procedure)), "list")
    return RemoveEntry((*path, data.draw(st.integers(0, len(entries)))))


def _move_entry(data: Draw, procedure: Procedure) -> Command:
    path, entries = data.draw(st.sampled_from(_lists(procedure)), "list")
    index = st.integers(0, len(entries) - 1)
    return MoveEntry((*path, data.draw(index)), data.draw(st.none() | index))


def _rename(data: Draw, procedure: Procedure) -> Command:
    named = [p for p, v in places(procedure) if kind_of(p) and isinstance(v, Node)]
    path = data.draw(st.sampled_from(named), "thing")
    return Rename(path, data.draw(IDS, "id"))


def _step(data: Draw, procedure: Procedure) -> str:
    return data.draw(st.sampled_from([*(p.step.id for p in procedure.placed_steps()), "gone"]))


def _section(data: Draw, procedure: Procedure) -> str:
    return data.draw(st.sampled_from([*(s.id for s in procedure.sections), "gone"]))


def _maybe(data: Draw, procedure: Procedure, one: Any) -> str | None:
    return one(data, procedure) if data.draw(st.booleans()) else None


def _span(data: Draw, procedure: Procedure) -> Span:
    films = [film.id for film in procedure.recordings]
    start, end = data.draw(MARKS), data.draw(MARKS)
    return Span(data.draw(st.sampled_from([*films, "gone"])), start, end)


def _add_step(data: Draw, procedure: Procedure) -> Command:
    return AddStep(
        data.draw(WORDS),
        section=_maybe(data, procedure, _section),
        before=_maybe(data, procedure, _step),
        after=_maybe(data, procedure, _step),
        span=_span(data, procedure) if data.draw(st.booleans()) else None,
    )


def _move_steps(data: Draw, procedure: Procedure) -> Command:
    steps = tuple(_step(data, procedure) for _ in range(data.draw(st.integers(0, 3))))
    return MoveSteps(
        steps,
        before=_maybe(data, procedure, _step),
        after=_maybe(data, procedure, _step),
        section=_maybe(data, procedure, _section),
        drop_empty=data.draw(st.booleans()),
    )


def _split(data: Draw, procedure: Procedure) -> Command:
    step = _step(data, procedure)
    clips = {p.step.id: p.step.clip for p in procedure.placed_steps()}
    clip = clips.get(step)
    return SplitStep(step, (clip.start + clip.end) / 2 if clip else data.draw(MARKS))


_MAKERS = [
    _set,
    _set,
    _add_entry,
    _remove_entry,
    _move_entry,
    _rename,
    _add_step,
    _move_steps,
    _split,
    lambda data, p: RemoveSteps(tuple({_step(data, p), _step(data, p)})),
    lambda data, p: SetSpan(_step(data, p), _span(data, p)),
    lambda data, p: MoveMark(
        _step(data, p), data.draw(st.sampled_from(["from", "to", "at"])), data.draw(MARKS)
    ),
    lambda data, p: JoinSteps(_step(data, p)),
    lambda data, p: AddSection(data.draw(WORDS), before=_maybe(data, p, _section)),
    lambda data, p: SplitSection(_step(data, p), data.draw(WORDS)),
    lambda data, p: RemoveSection(_section(data, p), with_steps=data.draw(st.booleans())),
    lambda data, p: MoveSection(_section(data, p), before=_maybe(data, p, _section)),
]
