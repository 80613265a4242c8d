"""Answers of a library as lines for a person and as plain values for a program."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from author.cli.showing import print_json
from author.errors import one_line

if TYPE_CHECKING:
    from author.library.asking.finding import Answer, Found, FoundSpec
    from author.library.asking.graph import Graph
    from author.library.asking.listing import Due, FileProblem, OpenFinding
    from author.library.asking.where_used import Uses
    from author.procedure.orders import OrderRule, PartLine
    from author.tasks.library_finding import LibraryOrder, Reply
    from author.tasks.library_shelves import Reindexed

Value = TypeVar("Value")
Plain = dict[str, Any]
_ROLES = {
    "own": "",
    "older": "as a number it has taken the place of",
    "instead": "as an alternative",
    "before": "before it",
    "after": "after it",
    "finding": "for a finding of it",
    "branch": "by a decision of it",
}
_RULES: dict[OrderRule, str] = {
    "always": "To order",
    "in_case": "To have in case",
    "only_if": "Only if something is so",
}


def told(
    reply: Reply[Value],
    as_json: bool,
    plain: Callable[[Value], Plain],
    say: Callable[[Value], None],
) -> int:
    """Print an answer, what happened to the index, and which files could not be looked through."""
    if as_json:
        found = plain(reply.value)
        print_json({**found, "notes": list(reply.notes), "problems": _problems(reply.problems)})
        return 0
    say(reply.value)
    for note in reply.notes:
        click.echo(one_line(f"{note}."), err=True)
    _say_problems(reply.problems)
    return 0


def _problems(problems: tuple[FileProblem, ...]) -> list[Plain]:
    return [asdict(one) for one in problems]


def _say_problems(problems: tuple[FileProblem, ...]) -> None:
    for one in problems:
        line = "" if one.line is None else f", line {one.line}"
        click.echo(
            one_line(f"procedures/{one.place}{line}: {one.problem}. {one.remedy}."), err=True
        )


def _line(text: str) -> None:
    click.echo(one_line(text))


def found_plain(answer: Answer) -> Plain:
    """Return what was found for a program."""
    return {
        "results": [_found_plain(one) for one in answer.results],
        "more": answer.more,
        "taken_as": {word: list(like) for word, like in answer.taken_as.items()},
        "any_word": answer.any_word,
    }


def _found_plain(one: Found) -> Plain:
    plain = asdict(one)
    plain["weight"] = round(one.weight, 3)
    plain["specs"] = [asdict(spec) for spec in one.specs]
    if one.hit is not None:
        plain["hit"]["found"] = [list(span) for span in one.hit.found]
    return plain


def say_found(answer: Answer) -> None:
    """Print what was found, each with the hit."""
    for word, like in answer.taken_as.items():
        _line(f"Nobody has '{word}': looked for {' or '.join(like)}")
    if answer.any_word:
        _line("No procedure has all the words: these have some of them")
    for one in answer.results:
        held = ", has a finding that holds" if one.holds else ""
        state = _state(one.state, one.doubt)
        if one.current and not one.in_force:
            state += ", no job goes by it yet"
        elif one.in_force and not one.current:
            state += ", a later revision is being worked on"
        _line(f"{one.procedure}, revision {one.revision}, {state}{held}: {one.title} – {one.unit}")
        if one.hit is not None:
            _line(f"    {one.hit.place}: {_marked(one.hit.text, one.hit.found)}")
        for spec in one.specs:
            _line(f"    step {spec.step}: {spec.characteristic} {_numbers(spec)}")
    if not answer.results:
        _line("Nothing was found")
    elif answer.more:
        _line("There are more: add a word or a filter, or give --most")


def _state(state: str, doubt: str | None) -> str:
    """Return a state in words, and why it is only said where that is so."""
    said = state.replace("_", " ")
    return said if doubt is None else f"says {said}, {doubt}"


def _marked(text: str, found: tuple[tuple[int, int], ...]) -> str:
    """Return a text with what was found in it between two signs each."""
    made, at = "", 0
    for start, end in found:
        made += f"{text[at:start]}»{text[start:end]}«"
        at = end
    return made + text[at:]


def _numbers(spec: FoundSpec) -> str:
    from decimal import Decimal

    from author.procedure.quantities import Limits, range_text
    from author.procedure.units import all_units

    low, middle, high = (
        None if value is None else Decimal(value)
        for value in (spec.lower, spec.nominal, spec.upper)
    )
    return range_text(Limits(low, middle, high, all_units()[spec.unit]))


def doubted_uses(shop: Path, reply: Reply[Uses]) -> Reply[Uses]:
    """Return where something is used, what is not as signed marked."""
    from author.library.asking.doubted import uses_with_doubts

    return replace(reply, value=uses_with_doubts(shop, reply.value))


def doubted_graph(
    shop: Path, reply: Reply[Graph], wanted: tuple[str, ...], svg: Path | None
) -> Reply[Graph]:
    """Return what comes before what, what is not as signed marked, in the drawing too."""
    from author.library.asking.doubted import draw_into, graph_with_doubts

    graph = graph_with_doubts(shop, reply.value)
    if svg is not None and graph != reply.value:
        draw_into(svg, graph, wanted)
    return replace(reply, value=graph)


def used_plain(uses: Uses) -> Plain:
    """Return where something is used, for a program."""
    return {
        "what": uses.what,
        "results": [asdict(one) for one in uses.results],
        "superseded_by": list(uses.superseded_by),
        "older_numbers": list(uses.older),
    }


def say_used(uses: Uses) -> None:
    """Print where something is used."""
    if uses.superseded_by:
        _line(f"{uses.what} has been superseded: order {' or '.join(uses.superseded_by)}")
    if uses.older:
        _line(f"{uses.what} has taken the place of {', '.join(uses.older)}")
    for one in uses.results:
        steps = f", step {', '.join(map(str, one.steps))}" if one.steps else ""
        pieces = f" × {one.quantity}" if one.quantity is not None else ""
        number = f" ({one.number})" if one.number else ""
        role = f", {_ROLES[one.role]}" if _ROLES[one.role] else ""
        newer = f"; order {' or '.join(one.superseded_by)} now" if one.superseded_by else ""
        _line(
            f"{one.procedure}, revision {one.revision}, {_state(one.state, one.doubt)}: "
            f"{one.kind} {one.name}{number}{pieces}{steps}{role}{newer}"
        )
    if not uses.results:
        _line("Nothing uses it")


def graph_plain(graph: Graph) -> Plain:
    """Return what comes before what, for a program."""
    before: dict[str, list[Plain]] = {}
    for order in graph.orders:
        before.setdefault(order.then, []).append(
            {"procedure": order.first, "revision": order.revision, "in_circle": order.in_circle}
        )
    return {
        "results": [{**asdict(stop), "before": before.get(stop.id, [])} for stop in graph.stops],
        "circles": [list(some) for some in graph.circles],
        "remarks": list(graph.remarks),
    }


def say_graph(graph: Graph) -> None:
    """Print what comes before what."""
    before: dict[str, list[str]] = {}
    for order in graph.orders:
        before.setdefault(order.then, []).append(order.first)
    for stop in graph.stops:
        firsts = ", ".join(before.get(stop.id, ())) or "nothing"
        _line(f"{stop.id}, {_state(stop.state, stop.doubt)}; before it: {firsts}")
    for remark in graph.remarks:
        _line(f"{remark}.")
    if not graph.stops:
        _line("No procedure waits for another")


def order_plain(order: LibraryOrder) -> Plain:
    """Return what to order, for a program."""
    sheet = order.sheet
    lines = [*sheet.numbered, *sheet.unnumbered]
    parts = [_part_plain(line, rule) for rule in _RULES for line in lines if line.asked(rule)]
    supplies = [
        {"kind": "supply", **asdict(line), "shares": [asdict(share) for share in line.shares]}
        for line in sheet.supplies
    ]
    return {
        "results": [*parts, *supplies],
        "jobs": [
            {
                "procedure": job.procedure.id,
                "revision": job.procedure.revision,
                "state": job.procedure.state,
                "times": job.times,
                "prerequisite": job.procedure.id not in order.asked,
                "doubt": order.doubts.get(job.procedure.id),
            }
            for job in sheet.jobs
        ],
        "remarks": list(order.remarks),
    }


def _part_plain(line: PartLine, rule: OrderRule) -> Plain:
    return {
        "kind": "part",
        "number": line.number,
        "name": line.name,
        "when": rule,
        "conditions": list(line.conditions) if rule == "only_if" else [],
        "pieces": line.asked(rule),
        "pieces_with_all": line.asked(),
        "pack_size": line.pack_size,
        "packs": line.packs(rule),
        "instead_of": [list(chain) for chain in line.instead_of],
        "alternatives": list(line.alternatives),
        "brings": list(line.brings),
        "for": [asdict(share) for share in line.shares if share.rule == rule],
        "remarks": list(line.remarks),
    }


def say_order(order: LibraryOrder) -> None:
    """Print what to order; what it lacks also beside the answer."""
    from author.library.asking.graph import leaves_out

    for job in order.sheet.jobs:
        why = "" if job.procedure.id in order.asked else ", has to be done before"
        doubt, state = order.doubts.get(job.procedure.id), job.procedure.state
        # What nobody has approved may name parts that are never fitted.
        says = f"; {_state(state, doubt)}" if doubt or state != "approved" else ""
        _line(f"{job.name}: {job.times} time{'s' * (job.times != 1)}{why}{says}")
    lines = [*order.sheet.numbered, *order.sheet.unnumbered]
    for rule, heading in _RULES.items():
        asked = [line for line in lines if line.asked(rule)]
        if asked:
            _line(f"{heading}:")
        for line in asked:
            for text in _part_lines(line, rule):
                _line(f"  {text}")
    if order.sheet.supplies:
        _line("Supplies to have in hand:")
    for supply in order.sheet.supplies:
        used = dict.fromkeys(amount for share in supply.shares for amount in share.amounts)
        words = [supply.name, supply.grade, supply.number, "; ".join(used)]
        _line(f"  {', '.join(word for word in words if word)}")
    for remark in order.remarks:
        out = leaves_out(remark)
        _line(f"Not in this order: {remark}." if out else f"{remark}.")
        if out:
            click.echo(one_line(f"This order is not whole: {remark}."), err=True)


def _part_lines(line: PartLine, rule: OrderRule) -> Iterator[str]:
    count = line.packs(rule)
    packs = f" ({count} pack{'s' * (count != 1)} of {line.pack_size})" * (line.pack_size > 1)
    condition = f", if: {'; '.join(line.conditions)}" if rule == "only_if" else ""
    yield f"{line.asked(rule)} × {line.number or 'no number'}, {line.name}{packs}{condition}"
    if line.alternatives:
        yield f"    or {', '.join(line.alternatives)}"
    for remark in line.remarks:
        yield f"    {remark}"


def due_plain(due: list[Due]) -> Plain:
    """Return the reviews that are due, for a program."""
    return {"results": [asdict(one) for one in due]}


def say_due(due: list[Due]) -> None:
    """Print the reviews that are due."""
    for one in due:
        by = f"; written by {', '.join(one.authors)}" if one.authors else ""
        says = f"; {_state(one.state, one.doubt)}" if one.doubt else ""
        _line(f"{one.due}  {one.procedure}, revision {one.revision}: {one.title}{by}{says}")
    if not due:
        _line("No review is due")


def holds_plain(findings: list[OpenFinding]) -> Plain:
    """Return the open findings, unit by unit, for a program."""
    units: dict[tuple[str, str | None], list[Plain]] = {}
    for one in findings:
        units.setdefault((one.unit, one.unit_number), []).append(asdict(one))
    return {
        "results": [
            {
                "unit": unit,
                "unit_number": number,
                "would_hold": any(one["holds"] for one in some),
                "findings": some,
            }
            for (unit, number), some in units.items()
        ]
    }


def say_holds(findings: list[OpenFinding]) -> None:
    """Print the open findings, unit by unit."""
    last: tuple[str, str | None] | None = None
    if findings:
        _line("By procedures:")
    for one in findings:
        if (one.unit, one.unit_number) != last:
            last = (one.unit, one.unit_number)
            _line(f"  {one.unit}{f', {one.unit_number}' if one.unit_number else ''}:")
        by = f" by {one.released_by}" if one.released_by else ""
        hold = f"would hold each unit until released{by}: " if one.holds else ""
        step = f", step {one.step}" if one.step else ""
        onward = f"; {one.follow_on}" if one.follow_on else ""
        onward += f"; {'OVERDUE' if one.overdue else 'due'}: {one.due}" if one.due else ""
        _line(f"    {hold}{one.what}{onward} ({one.procedure}{step})")
    if not findings:
        _line("No procedure has an open finding")


def reindexed_plain(seen: Reindexed) -> Plain:
    """Return what a look over a library did, for a program."""
    return {
        "results": [
            {
                "index": str(seen.index),
                "in_cache": seen.apart,
                "read": seen.done.read,
                "removed": seen.done.removed,
                "rebuilt": seen.done.rebuilt or None,
            }
        ],
        "problems": _problems(seen.problems),
        "records": [asdict(one) for one in seen.records],
    }


def say_reindexed(seen: Reindexed) -> None:
    """Print what a look over a library did."""
    built = f", built anew: {seen.done.rebuilt}" if seen.done.rebuilt else ""
    apart = ", in the cache folder, because the library cannot be written" if seen.apart else ""
    _line(f"{seen.index}{apart}{built}")
    _line(f"{seen.done.read} new or changed, {seen.done.removed} gone")
    _say_problems(seen.problems)
    for one in seen.records:
        click.echo(one_line(f"{one.place}: {one.problem}. {one.remedy}."), err=True)
