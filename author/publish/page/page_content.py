"""What the work page shows: the words of the PDF, with the ids that the scripts work by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from author.checks.verdict import Publishable
from author.procedure.bolt_patterns import turn_text
from author.procedure.document import PlacedStep, Procedure
from author.procedure.specs import LimitSpec, TorqueSpec
from author.publish.content import page_data
from author.publish.lookup import Data, Lookup
from author.publish.page.callouts import callout_shapes
from author.publish.page.facts import JobFacts, StepFacts, job_facts
from author.publish.page.media import PageClip, PagePicture
from author.publish.page.pattern import pattern_drawing
from author.publish.page.ways_on import only_by_ways, plain_ways
from author.publish.signatures import Signature

# A name of a place this long stands over a box of half the width.
_SHORT = 14


_NOT_YET = {
    "draft": "Draft: nobody has approved it",
    "in_review": "In review: not approved yet",
}


def page_content(
    judged: Publishable,
    pictures: Mapping[str, PagePicture],
    clips: Mapping[str, PageClip],
    content: str,
    signatures: Sequence[Signature] = (),
) -> tuple[Data, JobFacts]:
    """Return everything the templates set, and what the scripts decide by.

    Args:
        judged: the checked procedure, or a draft.
        pictures: stills by step id.
        clips: clips by step id.
        content: SHA-256 of the published procedure file.
        signatures: who signed the procedure.
    """
    procedure = judged.procedure
    data = page_data(judged, {step: clip.file for step, clip in clips.items()}, signatures)
    lookup = Lookup.of(procedure)
    facts = job_facts(procedure, lookup, content, data["mark"])
    shown = [(step, section) for section in data["sections"] for step in section["steps"]]
    rows = zip(shown, procedure.placed_steps(), facts["steps"], strict=True)
    aside = only_by_ways(
        {one["id"]: plain_ways(one["ways"], one["decision"] is not None) for one in facts["steps"]}
    )
    for (step, section), placed, known in rows:
        _complete(step, placed, known, lookup)
        step["section"] = {"number": section["number"], "title": section["title"]}
        step["still"] = pictures.get(placed.step.id) if placed.step.still else None
        step["drawing"] = _drawing(step)
        step["aside"] = placed.step.id in aside
        step["film"] = clips.get(placed.step.id) if placed.step.clip else None
    data["not_yet"] = _NOT_YET.get(procedure.state)
    data["count"] = len(shown)
    data["roles"] = facts["roles"]
    data["section_starts"] = [section["steps"][0]["number"] for section in data["sections"]]
    _name_lists(data, procedure)
    return data, facts


def media_facts(procedure: Procedure, clips: Mapping[str, PageClip]) -> Data:
    """Return what the scripts need of films by the label of a step.

    Times are plain numbers of seconds, since a media element takes no others; what that
    rounds off is far less than a frame.
    """
    found: Data = {}
    for placed in procedure.placed_steps():
        clip = clips.get(placed.step.id) if placed.step.clip else None
        if clip is not None:
            found[f"step-{placed.number}"] = {
                "frames": [float(start) for start in clip.frame_starts],
                "duration": float(clip.duration),
                "cues": [[float(c.start), float(c.end), c.text] for c in clip.cues],
            }
    return found


def _drawing(step: Data) -> Data | None:
    still: PagePicture | None = step["still"]
    if still is None or not step["callouts"]:
        return None
    return callout_shapes(step["callouts"], still.width, still.height)


def _complete(step: Data, placed: PlacedStep, facts: StepFacts, lookup: Lookup) -> None:
    """Put ids beside the words of a step, and draw its bolt patterns."""
    source = placed.step
    label = step["label"]
    rows = zip(step["specs"], source.all_specs(), facts["specs"], strict=True)
    for number, (shown, spec, decided) in enumerate(rows, start=1):
        shown["key"] = spec.id
        shown["anchor"] = f"{label}-spec-{number}"
        shown["boxes"] = [] if spec.reference else decided["boxes"]
        shown["worked_out"] = decided["spread_of"] is not None
        shown["tool"] = _tool(spec, lookup)
        shown["wide"] = any(len(box) > _SHORT for box in shown["boxes"])
        shown["turns"] = {}
        if isinstance(spec, TorqueSpec):
            shown["turns"] = _turns(spec.order or ())
            pattern = shown["torque"]["pattern"]
            shown["torque"]["drawing"] = pattern_drawing(pattern) if len(pattern) > 1 else None
    for shown, point in zip(step["critical_points"], source.critical_points or (), strict=True):
        shown["key"] = point.id
    for shown, criterion in zip(step["criteria"], source.criteria or (), strict=True):
        shown["key"] = criterion.id
    step["new_parts"] = [
        {
            "key": move.part,
            "name": lookup.part(move.part),
            "number": _numbers(move.part, lookup),
            "quantity": move.quantity,
        }
        for move in source.ledger or ()
        if move.act == "replaces"
    ]


def _turns(order: Sequence[str]) -> dict[str, str]:
    """Return when each fastener has its turn, in words; the first time counts."""
    found: dict[str, str] = {}
    for rank, name in enumerate(order, start=1):
        found.setdefault(name, turn_text(rank))
    return found


def _tool(spec: LimitSpec, lookup: Lookup) -> Data | None:
    """Return the instrument a spec is measured with, by its id and name alone."""
    if spec.instrument is None or spec.instrument not in lookup.tools:
        return None
    return {"key": spec.instrument, "name": lookup.tools[spec.instrument].name}


def _name_lists(data: Data, procedure: Procedure) -> None:
    """Give the entries that are ticked the keys they are kept under."""
    ticked: list[tuple[list[Any], str, tuple[Any, ...]]] = [
        (data["front"]["prerequisites"], "before", procedure.prerequisites),
        (data["parts"], "part", procedure.parts),
        (data["tools"], "tool", procedure.tools),
        (data["supplies"], "supply", procedure.supplies),
        (data["close_outs"], "after", procedure.close_outs),
        (data["findings"], "hold", procedure.findings),
    ]
    for shown, kind, entries in ticked:
        for row, entry in zip(shown, entries, strict=True):
            row["key"] = f"{kind}:{entry.id}"
    for row, part in zip(data["parts"], procedure.parts, strict=True):
        # It sits on the machine and goes back: there is nothing to lay out.
        row["stays"] = (part.replace, part.order) == ("never", "never")
    for row, close_out in zip(data["close_outs"], procedure.close_outs, strict=True):
        row["by"] = close_out.role


def _numbers(part: str, lookup: Lookup) -> str | None:
    """Return the numbers a part may be fitted under, None where it is told by none."""
    found = lookup.parts.get(part)
    return " or ".join(found.numbers) or None if found else None
