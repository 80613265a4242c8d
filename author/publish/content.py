"""A procedure as plain page data: every word and number that is printed, ready to be set.

The templates only place what stands here; nothing is computed there but page numbers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from author.checks.verdict import DraftProcedure, Publishable
from author.procedure.document import Procedure
from author.procedure.times import read_duration
from author.publish import list_content, palette
from author.publish.lookup import Data, Lookup, procedure_text, shortened, step_reference
from author.publish.sheet_frame import STATES
from author.publish.signatures import Signature, signature_rows
from author.publish.step_content import hazard_data, step_data

_MARKS = {"superseded": "SUPERSEDED", "withdrawn": "WITHDRAWN"}
_FRONT = "the front matter"
_HEAD_LETTERS = 48


def page_data(
    judged: Publishable, clips: Mapping[str, str], signatures: Sequence[Signature] = ()
) -> Data:
    """Return the whole procedure as data for the templates.

    Args:
        judged: the procedure and whether it is a draft.
        clips: relative path of the clip by step id.
        signatures: who signed it.
    """
    procedure = judged.procedure
    lookup = Lookup.of(procedure)
    sections = _sections(procedure, lookup, clips)
    mark = "DRAFT" if isinstance(judged, DraftProcedure) else _MARKS.get(procedure.state)
    return {
        "colours": palette.as_data(),
        "mark": mark,
        "demo": procedure.data == "demo",
        "language": procedure.language.partition("-")[0],
        "region": procedure.language.partition("-")[2] or None,
        "short_title": shortened(procedure.title, _HEAD_LETTERS if mark else _HEAD_LETTERS + 20),
        "metadata": _metadata(procedure),
        # Lists stand before what names their entries: a fault is told where it is mended.
        "parts": [list_content.part_data(part, lookup) for part in procedure.parts],
        "tools": [list_content.tool_data(tool) for tool in procedure.tools],
        "supplies": [list_content.supply_data(supply, lookup) for supply in procedure.supplies],
        "sources": [list_content.source_data(n, s) for n, s in enumerate(procedure.sources, 1)],
        "recordings": [list_content.recording_data(r) for r in procedure.recordings],
        "front": _front(procedure, lookup),
        "signatures": signature_rows(procedure, signatures),
        "contents": [_contents_row(s) for s in sections],
        "stacks": [
            {"name": s.name, "parts": [lookup.part(p) for p in s.inside_out]}
            for s in procedure.stacks
        ],
        "chains": [list_content.chain_data(chain, lookup) for chain in procedure.chains],
        "concessions": [list_content.concession_data(c, lookup) for c in procedure.concessions],
        "changes": [list_content.change_data(change) for change in reversed(procedure.changes)],
        "general_hazards": [hazard_data(h) for h in procedure.general_hazards],
        "sections": sections,
        "step_hazards": _step_hazards(procedure),
        "hazards_by_step": _hazards_by_step(procedure),
        "numbers": _numbers(sections),
        "close_outs": [list_content.close_out_data(c, lookup) for c in procedure.close_outs],
        "findings": [list_content.finding_data(f, lookup) for f in procedure.findings],
        "note": procedure.note,
    }


def _metadata(procedure: Procedure) -> Data:
    keywords = [procedure.id, f"revision {procedure.revision}", STATES[procedure.state]]
    return {"title": procedure.title, "purpose": procedure.purpose, "keywords": keywords}


def _front(procedure: Procedure, lookup: Lookup) -> Data:
    return {
        "title": procedure.title,
        "id": procedure.id,
        "revision": procedure.revision,
        "state": STATES[procedure.state],
        "notice": procedure.notice,
        "purpose": procedure.purpose,
        "unit": procedure.unit.name,
        "applies_to": list_content.applies_to(procedure.unit),
        "labour_time": labour_text(procedure.labour_time),
        "people": [
            {
                "role": p.role,
                "count": p.count,
                "skill": p.skill,
                "time": labour_text(p.time),
            }
            for p in procedure.people
        ],
        "authors": ", ".join(procedure.review.authors) if procedure.review else "",
        "review_due": procedure.review.due if procedure.review else None,
        "limits_of_use": [*procedure.limits_of_use],
        "prerequisites": [
            {
                "what": p.what,
                "procedure": procedure_text(p.procedure),
                "parts": list_content.left_off(p.hands_over, lookup),
            }
            for p in procedure.prerequisites
        ],
        "holds": [list_content.finding_data(f, lookup) for f in procedure.findings if f.holds],
    }


def labour_text(duration: str | None) -> str | None:
    """Return a duration such as ``PT2H30M`` as ``2 h 30 min``."""
    if duration is None:
        return None
    hours, minutes = divmod(read_duration(duration), 60)
    words = [f"{hours} h"] * (hours > 0) + [f"{minutes} min"] * (minutes > 0 or hours == 0)
    return " ".join(words)


def _sections(procedure: Procedure, lookup: Lookup, clips: Mapping[str, str]) -> list[Data]:
    sections: list[Data] = [
        {
            "number": n,
            "id": s.id,
            "title": s.title,
            "short": shortened(f"Section {n}: {s.title}", _HEAD_LETTERS),
            "label": f"section-{n}",
            "steps": [],
        }
        for n, s in enumerate(procedure.sections, 1)
    ]
    for placed in procedure.placed_steps():
        sections[placed.section_index]["steps"].append(step_data(placed, lookup, clips))
    return sections


def _contents_row(section: Data) -> Data:
    numbers = [step["number"] for step in section["steps"]]
    first, last = numbers[0], numbers[-1]
    return {
        "number": section["number"],
        "title": section["title"],
        "label": section["label"],
        "steps": f"step {first}" if first == last else f"steps {first} to {last}",
    }


def _step_hazards(procedure: Procedure) -> list[Data]:
    """Return every hazard of a step, gravest first, each with its step."""
    found = [
        {**hazard_data(hazard), "step": step_reference(placed)}
        for placed in procedure.placed_steps()
        for hazard in placed.step.hazards or ()
    ]
    return sorted(found, key=lambda h: palette.SIGNALS.index(h["signal"]))


def _hazards_by_step(procedure: Procedure) -> list[Data]:
    """Return every hazard of a step once, gravest first, with all the steps it lurks at."""
    merged: dict[tuple[str, str], Data] = {}
    for row in _step_hazards(procedure):
        key = (row["signal"], row["hazard"])
        entry = {"signal": row["signal"], "hazard": row["hazard"], "steps": []}
        steps = merged.setdefault(key, entry)["steps"]
        if row["step"] not in steps:
            steps.append(row["step"])
    return [*merged.values()]


def _numbers(sections: list[Data]) -> list[Data]:
    """Return every spec that is measured, in order, each with its step."""
    return [
        {**spec, "step": {"text": f"{step['number']}", "to": step["label"], "paged": False}}
        for section in sections
        for step in section["steps"]
        for spec in step["specs"]
    ]


def texts(data: object, place: str = _FRONT) -> Iterator[tuple[str, str]]:
    """Yield every text of page data with the place it stands at, in words.

    Args:
        data: page data or a part of it.
        place: where it stands, told with each text unless a step or list says better.
    """
    if isinstance(data, str):
        yield place, data
    elif isinstance(data, dict):
        if "action" in data and "number" in data:
            place = f"step {data['number']} ({data['id']})"
        elif "steps" in data and "title" in data:
            place = f"section {data['number']}"
        for key, value in data.items():
            yield from texts(value, _PLACES.get(key, place) if place == _FRONT else place)
    elif isinstance(data, list):
        for value in data:
            yield from texts(value, place)


_PLACES = {
    "signatures": "the list of signatures",
    "people": "the list of people",
    "prerequisites": "the list of prerequisites",
    "holds": "the list of findings",
    "parts": "the list of parts",
    "tools": "the list of tools",
    "supplies": "the list of supplies",
    "stacks": "the list of stacks",
    "chains": "the list of dimension chains",
    "concessions": "the list of concessions",
    "changes": "the list of changes",
    "general_hazards": "the list of general hazards",
    "close_outs": "the list of close-outs",
    "findings": "the list of findings",
    "sources": "the list of sources",
    "recordings": "the list of recordings",
}
