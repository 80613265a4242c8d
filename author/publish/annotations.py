"""Every mark of a procedure as a W3C Web Annotation collection (JSON-LD).

Sources: Web Annotation Data Model (W3C Recommendation, 23 February 2017), sections 3.1,
3.2.4, 3.3.5, 4.2.1, 4.2.7, 4.2.9, 5.1 and 5.2; Media Fragments URI 1.0 (W3C
Recommendation, 25 September 2012), sections 4.2.1 and 4.2.2. A media fragment has areas
in whole per cent only, so each area is told a second time, exactly, as SVG.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal
from urllib.parse import quote

from author.checks.verdict import DraftProcedure, Publishable
from author.procedure.document import PlacedStep, Procedure
from author.procedure.facts import RecordingFacts
from author.procedure.steps import Callout, Clip, Mask, Still

__all__ = ["web_annotations"]

CONTEXT = "http://www.w3.org/ns/anno.jsonld"
MEDIA_FRAGMENTS = "http://www.w3.org/TR/media-frags/"
_NAMESPACE = "urn:reelwright:marks"
# The shortest time a mark can tell: a still of a film that is not there has no known end.
_INSTANT = Decimal("0.000001")
# Width and height of what an arrow, a leader or a label points at, shares of the picture's.
_SPOT = (Decimal("0.01"), Decimal("0.01"))

Plain = dict[str, Any]
Purpose = Literal["describing", "classifying", "commenting", "tagging", "editing"]
Span = tuple[Decimal, Decimal]


def web_annotations(judged: Publishable, files: Mapping[str, str] | None = None) -> bytes:
    """Return every clip, still, callout and mask as a Web Annotation collection.

    A clip or still is *described*, a callout *highlighted*, and a mask asks for an *edit*:
    to hide what it covers. The action of the step describes its clip and classifies all
    else; a clip's grade is a tag. Ids stay the same from revision to revision as long as
    the step keeps its id, and a callout or mask its place in the list.

    Times are those of the frames a mark means, from the start of the first to the end of
    the last. Where the recording was not found, they are the marks as written, and a
    still lasts for a millionth of a second. A draft may have marks on a recording it does
    not name, or spans without length: these cannot be told and are left out.

    Args:
        judged: the procedure and the facts of its recordings.
        files: where a recording lies by its id, relative to the annotations, parts parted
            by ``/``; without it the recordings' own file names.
    """
    procedure = judged.procedure
    sources = {r.id: r.file for r in procedure.recordings} | dict(files or {})
    maker = _Maker(
        f"{_NAMESPACE}:{procedure.id}",
        procedure.language,
        {key: quote(name, safe="/") for key, name in sources.items()},
        judged.facts,
    )
    items: list[Plain] = []
    seen: set[str] = set()
    for placed in procedure.placed_steps():
        # In a draft two steps may have one id.
        name = placed.step.id if placed.step.id not in seen else f"step-{placed.number}"
        seen.add(placed.step.id)
        items += maker.of_step(placed, name)
    return (json.dumps(_collection(judged, items), indent=1, ensure_ascii=False) + "\n").encode()


def _collection(judged: Publishable, items: list[Plain]) -> Plain:
    procedure = judged.procedure
    name = f"{_NAMESPACE}:{procedure.id}"
    collection: Plain = {
        "@context": CONTEXT,
        "id": name,
        "type": "AnnotationCollection",
        "label": _label(procedure, draft=isinstance(judged, DraftProcedure)),
        "total": len(items),
    }
    if items:  # a page without annotations is none (section 5.2)
        page = f"{name}:page-1"
        collection["first"] = {
            "id": page,
            "type": "AnnotationPage",
            "partOf": name,
            "startIndex": 0,
            "items": items,
        }
        collection["last"] = page
    return collection


def _label(procedure: Procedure, *, draft: bool) -> str:
    marks = ["DRAFT"] * draft + ["demo data"] * (procedure.data == "demo")
    state = procedure.state.replace("_", " ")
    rest = f" ({', '.join(marks)})" if marks else ""
    return f"{procedure.title}, revision {procedure.revision}, {state}{rest}"


@dataclass(frozen=True, slots=True)
class _Maker:
    """What all annotations of a procedure share.

    Attributes:
        base: what every id begins with.
        language: language of the procedure's texts.
        sources: relative IRI of each recording by its id.
        facts: facts of the recordings that were found.
    """

    base: str
    language: str
    sources: Mapping[str, str]
    facts: Mapping[str, RecordingFacts]

    def of_step(self, placed: PlacedStep, name: str) -> Iterator[Plain]:
        """Yield the annotations of a step: clip, its masks, still, callouts, its masks."""
        clip, still = placed.step.clip, placed.step.still
        action = placed.step.action
        if clip is not None:
            yield from self._clip(clip, f"{self.base}:{name}:clip", action)
        if still is not None:
            yield from self._still(still, f"{self.base}:{name}:still", action)

    def _clip(self, clip: Clip, name: str, action: str) -> Iterator[Plain]:
        span = self._span(clip.recording, clip.start, clip.end)
        if span is None:
            return
        bodies = [self._body(action, "describing"), _tag(clip.grade)]
        if clip.grade_reason:
            bodies.append(self._body(clip.grade_reason, "commenting"))
        target = self._target(clip.recording, _fragment(span))
        yield _annotation(name, "describing", bodies, target)
        yield from self._masks(clip.masks, name, action, clip.recording, span)

    def _still(self, still: Still, name: str, action: str) -> Iterator[Plain]:
        span = self._frame(still.recording, still.at)
        if span is None:
            return
        step = self._body(action, "classifying")
        target = self._target(still.recording, _fragment(span))
        yield _annotation(name, "describing", [self._body(still.alt, "describing"), step], target)
        for number, callout in enumerate(still.callouts or (), start=1):
            words = [self._body(callout.text, "describing")] if callout.text else []
            selectors = _area(span, callout)
            yield _annotation(
                f"{name}:callout-{number}",
                "highlighting",
                [*words, step],
                self._target(still.recording, selectors),
            )
        yield from self._masks(still.masks, name, action, still.recording, span)

    def _masks(
        self,
        masks: tuple[Mask, ...] | None,
        name: str,
        action: str,
        recording: str,
        span: Span,
    ) -> Iterator[Plain]:
        bodies = [_body("Hide this area.", "editing", "en"), self._body(action, "classifying")]
        for number, mask in enumerate(masks or (), start=1):
            target = self._target(recording, _area(span, mask))
            yield _annotation(f"{name}:mask-{number}", "editing", bodies, target)

    def _span(self, recording: str, start: Decimal, end: Decimal) -> Span | None:
        """Return from when to when a clip is shown, or None if that is nothing."""
        facts = self.facts.get(recording)
        if facts is not None:
            start, end = (facts.boundary(facts.index_at(mark)) for mark in (start, end))
        return (start, end) if recording in self.sources and start < end else None

    def _frame(self, recording: str, at: Decimal) -> Span | None:
        """Return from when to when the frame of a still is shown, or None if it is not."""
        facts = self.facts.get(recording)
        start, end = at, at + _INSTANT
        if facts is not None and facts.frame_count:
            index = min(facts.index_at(at), facts.frame_count - 1)
            start, end = facts.boundary(index), facts.boundary(index + 1)
        return (start, end) if recording in self.sources and start < end else None

    def _body(self, text: str, purpose: Purpose) -> Plain:
        return _body(text, purpose, self.language)

    def _target(self, recording: str, selector: Plain | list[Plain]) -> Plain:
        return {
            "type": "SpecificResource",
            "source": self.sources[recording],
            "selector": selector,
        }


def _annotation(name: str, motivation: str, bodies: list[Plain], target: Plain) -> Plain:
    return {
        "id": name,
        "type": "Annotation",
        "motivation": motivation,
        "body": bodies,
        "target": target,
    }


def _body(text: str, purpose: Purpose, language: str) -> Plain:
    return {
        "type": "TextualBody",
        "purpose": purpose,
        "value": text,
        "format": "text/plain",
        "language": language,
    }


def _tag(word: str) -> Plain:
    """Return a word for programs, in no language."""
    return {"type": "TextualBody", "purpose": "tagging", "value": word}


def _fragment(span: Span, area: str = "") -> Plain:
    """Return a media fragment: seconds, half open, and whole per cent of the picture."""
    start, end = (format(t.normalize(), "f") for t in span)
    return {
        "type": "FragmentSelector",
        "conformsTo": MEDIA_FRAGMENTS,
        "value": f"t={start},{end}{area}",
    }


def _area(span: Span, mark: Callout | Mask) -> list[Plain]:
    """Return two selectors of one area: all of it in whole per cent, and exactly as SVG."""
    size = mark.size or _SPOT
    boxed = isinstance(mark, Mask) or mark.shape in {"box", "label"}
    (x, width), (y, height) = (
        _whole_per_cent(at, extent) for at, extent in zip(mark.at, size, strict=True)
    )
    exact = _fragment(span)
    exact["refinedBy"] = {"type": "SvgSelector", "value": _svg(mark.at, size, boxed=boxed)}
    return [_fragment(span, f"&xywh=percent:{x},{y},{width},{height}"), exact]


def _whole_per_cent(at: Decimal, extent: Decimal) -> tuple[int, int]:
    """Return begin and length of all that a part of the picture touches, never past it."""
    first = max(0, math.floor((at - extent / 2) * 100))
    last = min(100, math.ceil((at + extent / 2) * 100))
    return first, last - first


def _svg(at: tuple[Decimal, Decimal], size: tuple[Decimal, Decimal], *, boxed: bool) -> str:
    """Return a shape on a canvas of 100 by 100, stretched over the picture."""
    x, y, half_width, half_height = (v * 100 for v in (*at, size[0] / 2, size[1] / 2))
    places = {"cx": x, "cy": y, "rx": half_width, "ry": half_height}
    if boxed:
        places = {
            "x": x - half_width,
            "y": y - half_height,
            "width": half_width * 2,
            "height": half_height * 2,
        }
    written = " ".join(f'{k}="{format(v.normalize(), "f")}"' for k, v in places.items())
    shape = "rect" if boxed else "ellipse"
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" '
        f'preserveAspectRatio="none"><{shape} {written}/></svg>'
    )
