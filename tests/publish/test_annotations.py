"""Every mark as a Web Annotation: by the recommendation's MUSTs, as JSON-LD, as media fragments."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from typing import Any
from urllib.parse import unquote, urljoin
from xml.etree import ElementTree as ET

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pyld import jsonld

from author.checks.verdict import check
from author.procedure.document import Procedure
from author.publish.annotations import web_annotations
from publish import sample

CONTEXT = "http://www.w3.org/ns/anno.jsonld"
# RFC 3987 in short: an absolute name with a scheme, or a relative reference of plain signs.
IRI = {"type": "string", "pattern": r"^[a-z][a-z0-9+.-]*:[^\s<>\"{}|\\^`]+$"}
RELATIVE_IRI = {"type": "string", "pattern": r"^([A-Za-z0-9._~/!$&'()*+,;=@-]|%[0-9A-F]{2})+$"}
# Web Annotation Data Model, W3C Recommendation 23 February 2017: what it says MUST be, and
# the SHOULDs we keep. Beside each: the section, and the number of its example.
MOTIVATIONS = [  # 3.3.5
    *("assessing", "bookmarking", "classifying", "commenting", "describing", "editing"),
    *("highlighting", "identifying", "linking", "moderating", "questioning", "replying", "tagging"),
]
FRAGMENT_SELECTOR = {  # 4.2.1, example 20
    "type": "object",
    "properties": {
        "type": {"const": "FragmentSelector"},  # "exactly 1 type … FragmentSelector"
        "value": {"type": "string"},  # "exactly 1 value property"
        "conformsTo": {"const": "http://www.w3.org/TR/media-frags/"},  # "not more than 1"
        "refinedBy": {"$ref": "#/$defs/svg"},  # 4.2.9, example 29
    },
    "required": ["type", "value", "conformsTo"],
    "additionalProperties": False,
}
SVG_SELECTOR = {  # 4.2.7, example 27
    "type": "object",
    "properties": {"type": {"const": "SvgSelector"}, "value": {"type": "string"}},
    "required": ["type", "value"],
    "additionalProperties": False,
}
TEXTUAL_BODY = {  # 3.2.4, example 5; purpose: 3.3.5, example 15
    "type": "object",
    "properties": {
        "type": {"const": "TextualBody"},
        "value": {"type": "string"},  # "exactly 1 value property"
        "format": {"const": "text/plain"},  # 3.2.1: a media type
        "language": {"type": "string", "pattern": "^[a-z]{2,3}(-[A-Z]{2})?$"},  # 3.2.1: BCP 47
        "purpose": {"enum": MOTIVATIONS},
    },
    "required": ["type", "value", "purpose"],
    "additionalProperties": False,
}
ANNOTATION = {  # 3.1, example 1
    "type": "object",
    "properties": {
        "id": IRI,  # "exactly 1 IRI"
        "type": {"const": "Annotation"},
        "motivation": {"enum": MOTIVATIONS},
        "body": {"type": "array", "minItems": 1, "items": TEXTUAL_BODY},  # 3.2.6, example 9
        "target": {  # 3.1: "1 or more target"; 4, example 17
            "type": "object",
            "properties": {
                "type": {"const": "SpecificResource"},
                "source": RELATIVE_IRI,  # "exactly 1 source"
                "selector": {  # 4.2: several select the same
                    "anyOf": [
                        {"$ref": "#/$defs/fragment"},
                        {"type": "array", "minItems": 2, "items": {"$ref": "#/$defs/fragment"}},
                    ]
                },
            },
            "required": ["type", "source", "selector"],
            "additionalProperties": False,
        },
    },
    "required": ["id", "type", "motivation", "body", "target"],
    "additionalProperties": False,
}
COLLECTION = {  # 5.1, examples 38 and 40
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "$defs": {"fragment": FRAGMENT_SELECTOR, "svg": SVG_SELECTOR},
    "type": "object",
    "properties": {
        "@context": {"const": CONTEXT},  # "If there is only one value … as a string" (3.1)
        "id": IRI,
        "type": {"const": "AnnotationCollection"},
        "label": {"type": "string"},
        "total": {"type": "integer", "minimum": 0},  # xsd:nonNegativeInteger
        "first": {  # 5.2, example 39; embedded, so without a context of its own
            "type": "object",
            "properties": {
                "id": IRI,
                "type": {"const": "AnnotationPage"},
                "partOf": IRI,
                "startIndex": {"const": 0},  # "first entry in the first page is … 0"
                "items": {"type": "array", "minItems": 1, "items": ANNOTATION},  # "1 or more"
            },
            "required": ["id", "type", "partOf", "startIndex", "items"],
            "additionalProperties": False,
        },
        "last": IRI,
    },
    "required": ["@context", "id", "type", "label", "total"],
    # "a total … greater than 0 MUST have exactly 1 first page", SHOULD have a last
    "if": {"properties": {"total": {"minimum": 1}}},
    "then": {"required": ["first", "last"]},
    "additionalProperties": False,
}
VALIDATOR = jsonschema.Draft202012Validator(COLLECTION)

# The terms we use and what they stand for: Web Annotation Vocabulary, W3C Recommendation 23
# February 2017, and its context at CONTEXT. An IRI is told from a text by "@type".
OA, AS, RDF = (
    "http://www.w3.org/ns/oa#",
    "http://www.w3.org/ns/activitystreams#",
    "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
)
TERMS = {
    "id": "@id",
    "type": "@type",
    **{name: OA + name for name in ("Annotation", "TextualBody", "SpecificResource")},
    **{name: OA + name for name in ("FragmentSelector", "SvgSelector", *MOTIVATIONS)},
    "AnnotationCollection": f"{AS}OrderedCollection",
    "AnnotationPage": f"{AS}OrderedCollectionPage",
    "label": "http://www.w3.org/2000/01/rdf-schema#label",
    "total": f"{AS}totalItems",
    "startIndex": f"{AS}startIndex",
    "items": {"@id": f"{AS}items", "@type": "@id", "@container": "@list"},
    **{name: {"@id": AS + name, "@type": "@id"} for name in ("first", "last", "partOf")},
    "body": {"@id": f"{OA}hasBody", "@type": "@id"},
    "target": {"@id": f"{OA}hasTarget", "@type": "@id"},
    "source": {"@id": f"{OA}hasSource", "@type": "@id"},
    "selector": {"@id": f"{OA}hasSelector", "@type": "@id"},
    "refinedBy": {"@id": f"{OA}refinedBy", "@type": "@id"},
    "motivation": {"@id": f"{OA}motivatedBy", "@type": "@vocab"},
    "purpose": {"@id": f"{OA}hasPurpose", "@type": "@vocab"},
    "conformsTo": {"@id": "http://purl.org/dc/terms/conformsTo", "@type": "@id"},
    "format": "http://purl.org/dc/elements/1.1/format",
    "language": "http://purl.org/dc/elements/1.1/language",
    "value": f"{RDF}value",
}


def media_fragment(value: str, duration: Decimal) -> tuple[Any, Any]:
    """Return span and area of a fragment, None for a dimension that is ignored.

    Media Fragments URI 1.0, sections 4.2.1 and 4.2.2 (syntax) and 5.2 (clipping to the
    media, invalid dimensions are ignored); whole per cent only.
    """
    span = area = None
    for pair in value.split("&"):
        name, _, text = pair.partition("=")
        if name == "t":
            span = _span(unquote(text), duration)
        if name == "xywh":
            found = re.fullmatch("percent:([0-9]+),([0-9]+),([0-9]+),([0-9]+)", unquote(text))
            area = None if found is None else tuple(int(n) for n in found.groups())
    return span, area


def _span(text: str, duration: Decimal) -> tuple[Decimal, Decimal] | None:
    seconds = r"([0-9]+(?:\.[0-9]*)?)"
    found = re.fullmatch(f"(?:npt:)?(?:{seconds}(?:,{seconds})?|,{seconds})", text)
    if found is None:
        return None
    start, end, only_end = found.groups()
    begin, stop = Decimal(start or 0), Decimal(end or only_end or duration)
    stop = min(stop, duration)
    return (begin, stop) if begin < stop else None


@pytest.mark.parametrize(
    ("value", "span"),
    [
        # W3C test cases (w3.org/2008/WebVideo/Fragments/TC): a media of 9.97 s is enough here.
        ("t=3,7", ("3", "7")),
        ("t=npt:3,7", ("3", "7")),
        ("t=,7", ("0", "7")),
        ("t=3", ("3", "9.97")),
        ("t=3,15", ("3", "9.97")),
        ("t=,", None),
        ("t=3,3", None),
        ("t=7,3", None),
        ("t=3,", None),
    ],
)
def test_the_reader_of_fragments_by_the_test_cases_of_the_w3c(value: str, span: Any) -> None:
    expected = span and tuple(map(Decimal, span))
    assert media_fragment(value, Decimal("9.97")) == (expected, None)


def items_of(data: bytes) -> list[dict[str, Any]]:
    collection = json.loads(data)
    VALIDATOR.validate(collection)
    items: list[dict[str, Any]] = collection.get("first", {}).get("items", [])
    assert collection["total"] == len(items)
    assert len({item["id"] for item in items}) == len(items)
    assert all(item["id"].startswith(f"{collection['id']}:") for item in items)
    return items


def marks_of(procedure: Procedure) -> list[tuple[str, str, Any]]:
    """Return step id, kind and mark of every mark, in the order of the document."""
    found: list[tuple[str, str, Any]] = []
    for placed in procedure.placed_steps():
        clip, still, name = placed.step.clip, placed.step.still, placed.step.id
        if clip:
            found += [(name, "clip", clip), *((name, "clip mask", m) for m in clip.masks or ())]
        if still:
            found.append((name, "still", still))
            found += [(name, "callout", c) for c in still.callouts or ()]
            found += [(name, "still mask", m) for m in still.masks or ()]
    return found


MOTIVES = {
    "clip": "describing",
    "still": "describing",
    "callout": "highlighting",
    "clip mask": "editing",
    "still mask": "editing",
}


def with_masks() -> dict[str, Any]:
    """Return the sample with a mask on the clip and the still of its first step."""
    document = sample.document()
    step = document["sections"][0]["steps"][0]
    step["clip"]["masks"] = [{"at": ["0.1", "0.95"], "size": ["0.333333", "0.2"]}]
    step["still"]["masks"] = [{"at": ["1", "1"], "size": ["0.000001", "0.000001"]}]
    return document


def test_every_mark_is_there_once_and_in_order() -> None:
    judged = sample.checked(sections=with_masks()["sections"])
    items = items_of(web_annotations(judged))
    marks = marks_of(judged.procedure)
    assert len(marks) > 15
    assert {kind for _, kind, _ in marks} == set(MOTIVES)
    facts = judged.facts["saw"]
    for item, (step, kind, mark) in zip(items, marks, strict=True):
        assert f":{step}:" in item["id"]
        assert item["motivation"] == MOTIVES[kind]
        selector = item["target"]["selector"]
        first = selector if isinstance(selector, dict) else selector[0]
        span, area = media_fragment(first["value"], facts.duration)
        assert span is not None
        if kind == "clip":
            assert span == (mark.start, mark.end)
        if kind == "still":
            assert span == (mark.at, mark.at + Decimal("0.5"))  # two frames a second
        if kind in {"clip", "still"}:
            assert area is None
        else:
            _check_area(mark, area, selector[1])


def _check_area(mark: Any, area: Any, exact: dict[str, Any]) -> None:
    """Whole per cent hold all of the mark, with less than one to spare; the SVG is exact."""
    width, height = mark.size or (Decimal("0.01"), Decimal("0.01"))
    left, top = (100 * (at - n / 2) for at, n in zip(mark.at, (width, height), strict=True))
    right, bottom = left + 100 * width, top + 100 * height
    x, y, w, h = area
    assert w > 0
    assert h > 0
    assert max(left, 0) - 1 < x <= max(left, 0)
    assert max(top, 0) - 1 < y <= max(top, 0)
    assert min(right, 100) <= x + w < min(right, 100) + 1
    assert min(bottom, 100) <= y + h < min(bottom, 100) + 1
    assert "xywh" not in exact["value"]
    svg = ET.fromstring(exact["refinedBy"]["value"])  # noqa: S314 - made by us
    assert svg.tag == "{http://www.w3.org/2000/svg}svg"
    assert svg.get("viewBox") == "0 0 100 100"
    (shape,) = svg
    numbers = {name: Decimal(value) for name, value in shape.attrib.items()}
    if shape.tag.endswith("rect"):
        assert numbers == {"x": left, "y": top, "width": 100 * width, "height": 100 * height}
    else:
        assert (numbers["cx"], numbers["cy"]) == (100 * mark.at[0], 100 * mark.at[1])
        assert (numbers["rx"], numbers["ry"]) == (50 * width, 50 * height)


def test_the_shape_is_asked_for_in_every_part() -> None:
    """Each key the shape requires is taken out once, and is missed."""
    whole = json.loads(web_annotations(sample.checked()))
    callout = next(n for n, i in enumerate(whole["first"]["items"]) if "callout" in i["id"])
    item = ("first", "items", callout)
    asked: list[tuple[tuple[str | int, ...], list[str]]] = [
        ((), ["@context", "id", "type", "label", "total", "first", "last"]),
        (("first",), ["id", "type", "partOf", "startIndex", "items"]),
        (item, ["id", "type", "motivation", "body", "target"]),
        ((*item, "body", 0), ["type", "value", "purpose"]),
        ((*item, "target"), ["type", "source", "selector"]),
        ((*item, "target", "selector", 0), ["type", "value", "conformsTo"]),
        ((*item, "target", "selector", 1, "refinedBy"), ["type", "value"]),
    ]
    for path, keys in asked:
        for key in keys:
            damaged = json.loads(json.dumps(whole))
            part = damaged
            for step in path:
                part = part[step]
            del part[key]
            assert not VALIDATOR.is_valid(damaged), (path, key)


def test_words_of_a_mark() -> None:
    judged = sample.checked(language="de-AT")
    by_id = {
        item["id"].partition("upper-wheel-bearings:")[2]: item
        for item in items_of(web_annotations(judged))
    }
    steps = {placed.step.id: placed.step for placed in judged.procedure.placed_steps()}
    bodies = {
        name: [(b["purpose"], b["value"], b.get("language")) for b in item["body"]]
        for name, item in by_id.items()
    }
    action, de = steps["wheel-off"].action, "de-AT"
    clip, still = steps["wheel-off"].clip, steps["guard-off"].still
    assert clip is not None
    assert still is not None
    assert still.callouts is not None
    assert bodies["wheel-off:clip"] == [
        ("describing", action, de),
        ("tagging", "do_not_copy", None),
        ("commenting", clip.grade_reason, de),
    ]
    assert bodies["guard-off:still"] == [
        ("describing", still.alt, de),
        ("classifying", steps["guard-off"].action, de),
    ]
    assert bodies["guard-off:still:callout-1"][0] == ("describing", still.callouts[0].text, de)


def test_it_is_a_graph_of_annotations() -> None:
    """PyLD expands it with the terms of the vocabulary; nothing is lost, nothing is unknown."""
    data = json.loads(web_annotations(sample.checked()))
    asked: list[str] = []

    def loader(url: str, _: Any) -> dict[str, Any]:
        asked.append(url)
        return {"contextUrl": None, "documentUrl": url, "document": {"@context": TERMS}}

    options = {"documentLoader": loader, "base": "https://shop.example/jobs/wheel/marks.jsonld"}
    (collection,) = jsonld.expand(data, options)
    assert set(asked) == {CONTEXT}
    assert collection["@type"] == [f"{AS}OrderedCollection"]
    (page,) = collection[f"{AS}first"]
    (listed,) = page[f"{AS}items"]
    items = data["first"]["items"]
    assert [a["@id"] for a in listed["@list"]] == [item["id"] for item in items]
    for annotation, item in zip(listed["@list"], items, strict=True):
        assert annotation["@type"] == [f"{OA}Annotation"]
        assert annotation[f"{OA}motivatedBy"] == [{"@id": OA + item["motivation"]}]
        (target,) = annotation[f"{OA}hasTarget"]
        source = item["target"]["source"]
        assert target[f"{OA}hasSource"] == [{"@id": f"https://shop.example/jobs/wheel/{source}"}]
        bodies = annotation[f"{OA}hasBody"]
        assert [b[f"{RDF}value"] for b in bodies] == [
            [{"@value": b["value"]}] for b in item["body"]
        ]
    # Expanding drops keys it has no term for: what is compacted again must be the same.
    assert jsonld.compact(collection, CONTEXT, options) == data


def test_names_of_files_are_relative_iris() -> None:
    names = {"saw": "take #1 50% – säge?.mp4", "phone": "../films/a b:c.mp4"}
    items = items_of(web_annotations(sample.checked(), names))
    sources = {item["target"]["source"] for item in items}
    assert sources == {
        "take%20%231%2050%25%20%E2%80%93%20s%C3%A4ge%3F.mp4",
        "../films/a%20b%3Ac.mp4",
    }
    base = "https://shop.example/jobs/wheel/marks.jsonld"
    assert {unquote(urljoin(base, source)) for source in sources} == {
        f"https://shop.example/jobs/wheel/{names['saw']}",
        "https://shop.example/jobs/films/a b:c.mp4",
    }


def test_ids_stay_when_steps_are_added_and_the_revision_rises() -> None:
    before = sample.draft()
    sections = sample.document()["sections"]
    sections[0]["steps"].insert(0, {"id": "look", "action": "Look at the saw.", "not_filmed": "x"})
    after = sample.draft(sections=sections, revision=9)
    ids = [item["id"] for item in items_of(web_annotations(before))]
    assert [item["id"] for item in items_of(web_annotations(after))] == ids
    assert "revision 9" in json.loads(web_annotations(after))["label"]


def test_drafts_and_demo_data_are_told() -> None:
    label = json.loads(web_annotations(sample.draft()))["label"]
    assert label.endswith("(DRAFT, demo data)")
    assert "DRAFT" not in json.loads(web_annotations(sample.checked()))["label"]


def test_without_films_the_marks_are_told_as_written() -> None:
    document = sample.document()
    step = document["sections"][0]["steps"][0]
    step["clip"].update({"from": "12.345678", "to": "15.600000"})
    step["still"]["at"] = "14.000000"
    judged = check(Procedure.model_validate(document)).draft
    assert not judged.facts
    values = [item["target"]["selector"]["value"] for item in items_of(web_annotations(judged))[:2]]
    assert values == ["t=12.345678,15.6", "t=14,14.000001"]


def test_a_draft_may_have_marks_that_cannot_be_told() -> None:
    document = sample.document()
    first, second, third = document["sections"][0]["steps"][:3]
    for step in (second, third):
        step.pop("clip", None)
        step.pop("still", None)
    first["clip"]["recording"] = "lost"
    first["still"]["recording"] = "lost"
    second["clip"] = {"recording": "saw", "from": "9.000000", "to": "9.000000"}
    third["id"] = first["id"]
    third["clip"] = {"recording": "saw", "from": "1.000000", "to": "2.000000"}
    document["sections"] = [{"id": "s", "title": "S", "steps": [first, second, third]}]
    (item,) = items_of(web_annotations(check(Procedure.model_validate(document)).draft))
    assert item["id"].endswith(":step-3:clip")


def test_no_marks_no_page() -> None:
    steps = [{"id": "look", "action": "Look at the saw.", "not_filmed": "no film of it"}]
    judged = sample.draft(sections=[{"id": "s", "title": "S", "steps": steps}])
    assert items_of(web_annotations(judged)) == []
    assert "first" not in json.loads(web_annotations(judged))


shares = st.integers(1, 1_000_000).map(lambda n: f"{Decimal(n) / 1_000_000:.6f}")
points = st.integers(0, 1_000_000).map(lambda n: f"{Decimal(n) / 1_000_000:.6f}")


@settings(deadline=None)
@given(st.lists(st.tuples(points, points, shares, shares), min_size=1, max_size=8))
def test_any_area(areas: list[tuple[str, str, str, str]]) -> None:
    document = sample.document()
    step = document["sections"][0]["steps"][0]
    step["still"]["masks"] = [{"at": [x, y], "size": [w, h]} for x, y, w, h in areas]
    step["still"]["callouts"] = [
        {"shape": "ring", "at": [x, y], "size": [w, h], "text": '</svg> & "<b>'}
        for x, y, w, h in areas
    ]
    document["sections"] = [{"id": "s", "title": "S", "steps": [step]}]
    judged = check(Procedure.model_validate(document)).draft
    data = web_annotations(judged)
    assert data == web_annotations(judged)
    items = items_of(data)
    assert len(items) == 2 + 2 * len(areas)
    for item, (_, kind, mark) in zip(items, marks_of(judged.procedure), strict=True):
        if kind not in {"clip", "still"}:
            one, exact = item["target"]["selector"]
            _check_area(mark, media_fragment(one["value"], Decimal(999))[1], exact)
