"""The running account of parts: what came off goes back, or is made good by a new one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from author.checks.remarks import Path, Remark, Subject, remark
from author.procedure.document import Procedure
from author.procedure.items import Part
from author.procedure.ledger import Entry
from author.procedure.ledger_walk import Walk, WayEnd, walk
from author.procedure.lists import LeftOff
from author.procedure.steps import Movement

_RULES = {
    "too_many_off": "ledger.quantity",
    "too_many_scrapped": "ledger.quantity",
    "not_removed": "ledger.not_removed",
    "fitted_twice": "ledger.fitted_twice",
    "scrap_refitted": "ledger.not_removed",
    "place": "ledger.place",
    "stack_order": "ledger.stack_order",
    "not_left_off": "ledger.discharge",
    "left_in_hand": "ledger.not_refitted",
    "left_scrapped": "ledger.not_replaced",
}

# Ways that are looked at to tell which conditions lead to a fault.
_ENOUGH = 30


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on the ledger."""
    procedure = subject.procedure
    parts = {part.id: part for part in procedure.parts}
    yield from _on_the_ways(walk(procedure))
    for path, movement in movements(procedure):
        if movement.part in parts:
            yield from _worn_out(parts[movement.part], movement, path)
            yield from _places(parts[movement.part], movement, path)
    for path, left in _passed_on(procedure):
        if left.part in parts:
            yield from _places(parts[left.part], left, path)
    yield from _lists(procedure, parts)
    yield from _never_used(procedure)


def movements(procedure: Procedure) -> Iterator[tuple[Path, Movement]]:
    """Yield every entry of the ledger in the order of the work, with its path."""
    for placed in procedure.placed_steps():
        for index, movement in enumerate(placed.step.ledger or ()):
            yield (*placed.path, "ledger", index), movement


def _passed_on(procedure: Procedure) -> Iterator[tuple[Path, LeftOff]]:
    """Yield what passes between this procedure and others, with its path."""
    for index, before in enumerate(procedure.prerequisites):
        for number, left in enumerate(before.hands_over or ()):
            yield ("prerequisites", index, "hands_over", number), left
    for index, after in enumerate(procedure.close_outs):
        for number, left in enumerate(after.discharges or ()):
            yield ("close_outs", index, "discharges", number), left


def _on_the_ways(found: Walk) -> Iterator[Remark]:
    """Tell each entry once, with the way it happens on unless it does on every one."""
    ways: dict[Entry, list[WayEnd]] = {}
    for end in found.ends:
        for entry in end.entries:
            ways.setdefault(entry, []).append(end)
    # Some come up on a way that is taken as often as it may be and leads no further.
    for entry in found.first_via:
        ways.setdefault(entry, [])
    told: set[tuple[str, Path, str]] = set()
    # Sets have no order of their own, and the same file must always be told the same.
    for entry, ends in sorted(ways.items(), key=lambda item: repr(item[0])):
        # On different ways the same place may leave different numbers: one is enough.
        mark = (entry.kind, entry.path, entry.part)
        if mark in told:
            continue
        told.add(mark)
        kinds = {end.kind for end in ends}
        sound = [end for end in found.ends if end.kind in kinds and entry not in end.entries]
        everywhere = bool(ends) and not sound
        yield from _tell(entry, "" if everywhere else _way_words(entry, found, ends, sound))
    if not found.whole:
        yield remark("ledger.too_many_ways", "not every way through was walked", ("sections",))


def _way_words(entry: Entry, found: Walk, ends: list[WayEnd], sound: list[WayEnd]) -> str:
    """Return which way is meant, by the last conditions that tell it from others.

    Those are met on every way to the fault and on no way without it; where there are none,
    not on every way without it.
    """
    via = list({edge.path: edge for edge in found.first_via[entry]}.values())
    bad, good = ([{e.path for e in end.via} for end in some[:_ENOUGH]] for some in (ends, sound))
    there = [edge for edge in via if all(edge.path in met for met in bad)]
    telling = [edge for edge in there if not any(edge.path in met for met in good)]
    telling = telling or [edge for edge in there if not all(edge.path in met for met in good)]
    conditions = [f"'{edge.when}'" for edge in (telling or via)[-2:]]
    return f", on the way {' then '.join(conditions)}" if conditions else ""


def _tell(entry: Entry, way: str) -> Iterator[Remark]:
    name, count, there = entry.part, entry.count, entry.there
    goes = "go" if count > 1 else "goes"
    place = f" ({entry.name})" if entry.name else ""
    words = {
        "too_many_off": f"{count} of '{name}' come off, but {there} are on the machine",
        "too_many_scrapped": f"{count} of '{name}' are scrapped, but {there} are in hand",
        "not_removed": f"{count} of '{name}' {goes} on, but {there or 'none'} came off",
        "fitted_twice": f"{count} of '{name}' {goes} on, but all are back already",
        "scrap_refitted": f"{count} of '{name}' {goes} back, but {there or 'none'} "
        f"{'is' if there < 2 else 'are'} kept: the rest is scrap",
        "place": f"'{name}' moves at {entry.name}, which is not as the steps before left it",
        "stack_order": f"'{name}' moves out of the order of '{entry.name}'",
        "not_left_off": f"{count} of '{name}' are discharged, but {there or 'none'} are left off",
        "left_in_hand": f"{count} of '{name}'{place} came off and never {goes} back",
        "left_scrapped": f"{count} of '{name}'{place} {'were' if count > 1 else 'was'} scrapped "
        "and no new one goes in",
    }
    remedy = None
    if entry.kind == "too_many_scrapped":
        remedy = "Take it off in this step or an earlier one"
    elif entry.kind == "scrap_refitted":
        remedy = "Replace it here, or take it off without scrapping it"
    yield remark(_RULES[entry.kind], words[entry.kind] + way, entry.path, remedy)


def _worn_out(part: Part, movement: Movement, path: Path) -> Iterator[Remark]:
    if movement.act != "refits":
        return
    if part.single_use:
        yield remark("ledger.single_use", f"'{part.id}' is single use and goes back", path)
    elif part.replace == "always":
        yield remark("ledger.always_new", f"the old '{part.id}' goes back", path)


def _places(part: Part, movement: Movement | LeftOff, path: Path) -> Iterator[Remark]:
    if part.places is None:
        if movement.places:
            yield remark("ledger.place", f"'{part.id}' has no named places", (*path, "places"))
        return
    if movement.places is None:
        # What is in hand is at no place any more.
        in_hand = isinstance(movement, Movement) and movement.act == "discards"
        if movement.quantity < part.quantity and not in_hand:
            yield remark(
                "ledger.place",
                f"which of the {part.quantity} of '{part.id}' is not said",
                path,
                f"Add 'places' with some of: {', '.join(part.places)}",
            )
        return
    unknown = [place for place in movement.places if place not in part.places]
    if unknown or len(set(movement.places)) != movement.quantity:
        said = f"has no place '{unknown[0]}'" if unknown else "moves another number than is named"
        yield remark("ledger.place", f"'{part.id}' {said}", (*path, "places"))


def _lists(procedure: Procedure, parts: Mapping[str, Part]) -> Iterator[Remark]:
    replaced = {m.part for _, m in movements(procedure) if m.act == "replaces"}
    for index, part in enumerate(procedure.parts):
        path: Path = ("parts", index)
        if part.order == "only_if" and part.order_if is None:
            yield remark("ledger.order_if", f"when '{part.id}' is ordered is not said", path)
        if part.id in replaced and "never" in (part.order, part.replace):
            key = "order" if part.order == "never" else "replace"
            yield remark(
                "ledger.never_ordered",
                f"a new '{part.id}' goes in, and the list says '{key}: never'",
                (*path, key),
            )
        if part.places and len(set(part.places)) != part.quantity:
            yield remark(
                "ledger.place",
                f"there are {part.quantity} of '{part.id}', but {len(set(part.places))} places",
                (*path, "places"),
                "Name as many different places as there are pieces",
            )
        if part.contains and part.supplied is None and part.id in replaced:
            yield remark(
                "ledger.assembly",
                f"whether a new '{part.id}' brings its contents is not said",
                path,
                "Say 'supplied: complete' or 'supplied: bare'",
            )
        yield from _contents(part, parts, path)


def _contents(part: Part, parts: Mapping[str, Part], path: Path) -> Iterator[Remark]:
    for number, content in enumerate(part.contains or ()):
        inner = parts.get(content.part)
        if inner is None:
            continue
        if part.id == content.part or part.id in _all_inside(content.part, parts):
            said = f"'{part.id}' is said to sit in itself"
        elif content.quantity * part.quantity > inner.quantity:
            there = content.quantity * part.quantity
            said = f"{there} of '{inner.id}' sit in '{part.id}', but {inner.quantity} are listed"
        else:
            continue
        yield remark("ledger.assembly", said, (*path, "contains", number))


def _all_inside(name: str, parts: Mapping[str, Part]) -> set[str]:
    found: set[str] = set()
    waiting = [name]
    while waiting:
        part = parts.get(waiting.pop())
        for content in (part.contains or ()) if part else ():
            if content.part not in found:
                found.add(content.part)
                waiting.append(content.part)
    return found


def _never_used(procedure: Procedure) -> Iterator[Remark]:
    used: Counter[tuple[str, str]] = Counter()
    for placed in procedure.placed_steps():
        step = placed.step
        used.update(("tools", tool) for tool in step.tools or ())
        used.update(("tools", tool) for way in step.ladder or () for tool in way.tools or ())
        used.update(("tools", s.instrument) for s in step.all_specs() if s.instrument)
        used.update(("supplies", use.supply) for use in step.supplies or ())
        used.update(("parts", movement.part) for movement in step.ledger or ())
    # What sits in an assembly or in a stack is there to be known, moved or not.
    used.update(("parts", c.part) for part in procedure.parts for c in part.contains or ())
    used.update(("parts", left.part) for _, left in _passed_on(procedure))
    for name in ("parts", "tools", "supplies"):
        # In a draft 'none' may be what the file began with; later it was thought of.
        if not getattr(procedure, name) and procedure.state == "draft":
            yield remark("ledger.nothing_listed", f"no {name} are listed", (name,))
        for index, entry in enumerate(getattr(procedure, name)):
            if not used[(name, entry.id)]:
                yield remark("ledger.never_used", f"no step uses '{entry.id}'", (name, index))
