"""The entries of a procedure's lists as plain page data."""

from __future__ import annotations

from author.procedure.items import Part, Supply, Tool
from author.procedure.lists import (
    Change,
    CloseOut,
    Concession,
    Finding,
    LeftOff,
    Machine,
    RecordingRef,
    Source,
)
from author.procedure.quantities import Limits
from author.procedure.serials import ranges_said
from author.procedure.specs import Chain, ChainLink
from author.procedure.times import clock_text
from author.procedure.units import all_units
from author.publish import number_texts
from author.publish.lookup import Data, Lookup, procedure_text

_REPLACE = {"always": "New one every time", "if_worn": "New one if worn", "never": "Goes back"}
_SOURCE_KINDS = {
    "maker": "Maker's manual",
    "standard": "Published standard",
    "shop": "Shop rule",
    "measured": "Read on this unit",
    "film": "Said on the film",
    "demo": "Invented demo data",
}
_FINDING_STATES = {
    "dealt_with": "Dealt with in this job",
    "inherited": "Left over from an earlier job",
    "deferred": "Left for another job",
}


def part_data(part: Part, lookup: Lookup) -> Data:
    """Return a part: when it is ordered, and what has to be known of it."""
    order = {
        "always": "Order always",
        "in_case": "Order in case it is needed",
        "only_if": f"Order only if {part.order_if}" if part.order_if else "Order only if asked for",
        "never": "Do not order",
    }[part.order]
    pack = f", pack of {part.pack_size}" if part.pack_size > 1 else ""
    return {
        "name": part.name,
        "number": part.number,
        "quantity": part.quantity,
        "replace": _REPLACE[part.replace],
        "order": f"{order}{pack if part.order != 'never' else ''}",
        "single_use": part.single_use,
        "note": _part_note(part, lookup),
    }


def tool_data(tool: Tool) -> Data:
    """Return a tool or instrument."""
    return {
        "name": tool.name,
        "instrument": tool.measures is not None,
        "range": number_texts.scale_text(tool.measures, tool.range_from, tool.range_to),
        "resolution": number_texts.value_text(tool.measures, tool.resolution),
        "uncertainty": number_texts.value_text(tool.measures, tool.uncertainty),
        "note": _joined(tool.bears_on and f"Bears on: {tool.bears_on}", tool.note),
    }


def supply_data(supply: Supply, lookup: Lookup) -> Data:
    """Return a supply."""
    return {
        "name": supply.name,
        "number": supply.number,
        "recommended": lookup.source(supply.recommended_by),
        "note": _joined(supply.grade and f"Grade: {supply.grade}", supply.note),
    }


def close_out_data(close_out: CloseOut, lookup: Lookup) -> Data:
    """Return what has to be done after the work."""
    return {
        "what": close_out.what,
        "role": lookup.role(close_out.role),
        "procedure": procedure_text(close_out.procedure),
        "parts": left_off(close_out.discharges, lookup),
    }


def finding_data(finding: Finding, lookup: Lookup) -> Data:
    """Return a defect seen on the unit."""
    return {
        "what": finding.what,
        "step": lookup.step(finding.step),
        "state": _FINDING_STATES[finding.state],
        "holds": finding.holds,
        "released_by": lookup.role(finding.released_by),
        "follow_on": finding.follow_on,
        "due": finding.due,
        "procedure": procedure_text(finding.procedure),
    }


def source_data(number: int, source: Source) -> Data:
    """Return a source with its number."""
    return {
        "number": number,
        "label": f"source-{number}",
        "kind": _SOURCE_KINDS[source.kind],
        "title": source.title,
    }


def recording_data(recording: RecordingRef) -> Data:
    """Return a recording."""
    return {
        "id": recording.id,
        "file": recording.file,
        "shown": recording.file,
        "length": clock_text(recording.duration),
        "fingerprint": recording.sha256[:16],
        "shows": recording.shows,
    }


def _joined(*texts: str | None) -> str | None:
    return "; ".join(text for text in texts if text) or None


def _listed(label: str, names: tuple[str, ...] | None) -> str | None:
    return f"{label}: {', '.join(names)}" if names else None


def _part_note(part: Part, lookup: Lookup) -> str | None:
    inside = ", ".join(f"{c.quantity} × {lookup.part(c.part)}" for c in part.contains or ())
    supplied = {"complete": "a new one brings them", "bare": "a new one comes without", None: ""}
    return _joined(
        inside and _joined(f"With it go {inside}", supplied[part.supplied]),
        _listed("Sit at", part.places),
        _listed("Takes the place of", part.supersedes),
        _listed("Also fits", part.alternatives),
        part.note,
    )


def applies_to(unit: Machine) -> str | None:
    """Return which units are meant, in words, by build and serial number."""
    ranges = ranges_said(unit.serials or ())
    return _joined(
        unit.number and f"Number {unit.number}",
        unit.applies_to,
        ranges and f"serial numbers {ranges}",
        unit.not_for and f"not for {unit.not_for}",
    )


def left_off(parts: tuple[LeftOff, ...] | None, lookup: Lookup) -> str | None:
    """Return parts that pass from one procedure to another, in words."""
    words = {"kept": "kept to go back", "scrapped": "scrapped"}
    listed = (
        f"{p.quantity} × {', '.join((lookup.part(p.part), *(p.places or ())))} ({words[p.state]})"
        for p in parts or ()
    )
    return "; ".join(listed) or None


def chain_data(chain: Chain, lookup: Lookup) -> Data:
    """Return a dimension chain: its links with their sign and limits, and what they close."""
    _, closing = lookup.specs.get(chain.closes, (None, None))
    return {
        "name": chain.name,
        "method": {"worst_case": "worst case", "root_sum_square": "root sum square"}[chain.method],
        "links": [_link(link, chain, lookup) for link in chain.links],
        "closes": closing.characteristic if closing else f"“{chain.closes}” (missing)",
        "range": number_texts.range_text(closing.limits()) if closing else None,
    }


def _link(link: ChainLink, chain: Chain, lookup: Lookup) -> Data:
    _, spec = lookup.specs.get(link.spec or "", (None, None))
    own = Limits(link.lower, None, link.upper, all_units()[chain.unit])
    limits = spec.limits() if spec else own
    sign = "+" if link.direction == "adds" else "−"
    return {"sign": sign, "what": link.what, "range": number_texts.range_text(limits)}


def concession_data(concession: Concession, lookup: Lookup) -> Data:
    """Return a remark that stands, with who answers for it."""
    return {
        "rule": concession.rule,
        "at": concession.at,
        "reason": concession.reason,
        "role": lookup.role(concession.role),
    }


def change_data(change: Change) -> Data:
    """Return what a revision changed."""
    return {
        "revision": change.revision,
        "date": change.date,
        "what": change.what,
        "by": change.by,
    }
