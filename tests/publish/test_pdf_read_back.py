"""The PDF read back by other libraries: standards, tags, outline, links, attachment, pictures."""

import io
import json
import re
from itertools import cycle, pairwise

import pikepdf
import pypdf
import pytest
from pikepdf import pdfa
from pydantic import ValidationError

from author.checks import check
from author.contract import read_procedure
from author.contract.procedure_file import as_plain
from author.procedure.document import Procedure
from author.publish.finishing import jpeg_size, stand_in
from author.publish.pdf import make_pdf
from author.publish.signatures import Signature
from author.resources import schema_folder
from publish import sample
from publish.pdf_reading import children, flat, outside, page_texts, pictures, structure

EVERYTHING = schema_folder() / "examples" / "valid" / "everything-once.yaml"
PAYLOADS = [
    "#panic()",
    "#{read(1)}",
    "$x$",
    "*a* _b_",
    "@step-1",
    "<step-1>",
    "<b>c</b><script>",
    "`d`",
    "\\n \\u{41}",
    "// e /* f */",
    "= g",
    "https://example.org",
    "~ ... 'h'",
    ") Tj ET (",
    "endstream endobj %PDF",
    "${i} {{j}} &amp;",
]


def made(paper: str = "a4", **more) -> bytes:
    return make_pdf(
        sample.checked(),
        sample.stills(),
        yaml=sample.YAML,
        clips=sample.CLIPS,
        paper=paper,
        signatures=[Signature("Keeper", "K. O.", "3 of 3 accepted", "2026-03-01")],
        **more,
    )


@pytest.fixture(scope="module", params=["a4", "us-letter"])
def whole(request) -> bytes:
    return made(request.param)


@pytest.fixture
def opened(whole):
    with pikepdf.open(io.BytesIO(whole)) as pdf:
        yield pdf


def steps():
    """Return the number and the document of every step of the sample."""
    plain = [step for section in sample.SECTIONS for step in section["steps"]]
    return [*enumerate(plain, 1)]


def links(pdf):
    """Yield every link of every page."""
    for page in pdf.pages:
        yield from (a for a in page.get("/Annots", []) if a.Subtype == "/Link")


def test_its_syntax_is_sound(opened):
    """QPDF reads every object and stream; what ``qpdf --check`` does."""
    assert opened.check_pdf_syntax() == []
    assert opened.get_warnings() == []


def test_it_says_which_standards_it_keeps(whole, opened):
    """ISO 19005-3, 6.6.4 (part and conformance); ISO 14289-1, 5 (part)."""
    with opened.open_metadata(set_pikepdf_as_editor=False) as meta:
        assert (meta["pdfaid:part"], meta["pdfaid:conformance"]) == ("3", "A")
        assert meta["pdfuaid:part"] == "1"
        assert meta["dc:title"] == sample.FRONT["title"]
        assert meta["dc:language"] == {"en"}
    assert pypdf.PdfReader(io.BytesIO(whole)).metadata.title == sample.FRONT["title"]


# What the checker does not know, though the standards allow it.
UNKNOWN = (
    # Any object may be an indirect one (ISO 32000-1, 7.3.10), a destination too.
    ("pikepdf:schema-LinkAnnot", r"'\d+ 0 R' is not valid under any of the given schemas"),
    ("pikepdf:schema-OutlineItem", r"'\d+ 0 R' is not valid under any of the given schemas"),
    # Other properties are described in an extension schema (ISO 19005-3, 6.6.2.3.3).
    ("ISO_19005_3:6.6.2.3.1-1", r".*(pdfaExtension|pdfaSchema|pdfaProperty|pdfuaid|xmpTPg).*"),
    # It checks level B; level A is B and more (ISO 19005-3, 5.2 and 5.4).
    ("ISO_19005_3:6.6.4-3", "pdfaid:conformance is 'A', expected 'B'"),
)


def test_a_checker_of_level_b_finds_only_what_it_does_not_know(whole):
    findings = pdfa.validate_written(io.BytesIO(whole), "3b").findings
    wrong = [f for f in findings if f.kind == "violation"]
    assert len(wrong) < len(findings)  # it has looked
    assert [
        finding
        for finding in wrong
        if not any(r == finding.rule and re.fullmatch(m, finding.message) for r, m in UNKNOWN)
    ] == []


def test_it_is_tagged_and_says_its_language(opened):
    """ISO 14289-1, 7.1, 7.2 and 7.18.3."""
    root = opened.Root
    assert root.MarkInfo.Marked
    assert root.Lang == "en"
    assert root.ViewerPreferences.DisplayDocTitle
    assert all(p.get("/Tabs") == "/S" and "/StructParents" in p for p in opened.pages)


def test_headings_go_down_one_level_at_a_time(opened):
    """ISO 14289-1, 7.4.2."""
    levels = [int(str(n.S)[2:]) for n in structure(opened) if re.fullmatch("/H[1-6]", str(n.S))]
    assert levels[0] == 1
    assert all(deeper - level <= 1 for level, deeper in pairwise(levels))


def test_tables_have_heads_that_name_their_direction(opened):
    """ISO 14289-1, 7.5."""
    tables = [n for n in structure(opened) if n.S == "/Table"]
    assert len(tables) > 10
    for table in tables:
        heads = [
            cell
            for group in children(table)
            for row in (children(group) if group.S != "/TR" else [group])
            for cell in children(row)
            if cell.S == "/TH"
        ]
        assert heads
        assert all(any("/Scope" in attributes for attributes in head.A) for head in heads)


def test_every_figure_has_words_for_it_and_every_still_is_one(opened):
    """ISO 14289-1, 7.3."""
    alts = [str(node.get("/Alt", "")) for node in structure(opened) if node.S == "/Figure"]
    assert all(alts)
    with_still = [step for _, step in steps() if "still" in step]
    patterns = [step for _, step in steps() for t in step.get("torques", []) if "order" in t]
    assert len(alts) == len(with_still) + len(patterns)
    for step in with_still:
        (alt,) = [a for a in alts if step["still"]["alt"] in a]
        assert all(c["text"] in alt for c in step["still"].get("callouts", []))


def test_the_outline_is_the_sections_and_their_steps(whole, opened):
    def shown(items):
        return [(item.title, shown(item.children)) for item in items]

    with opened.open_outline() as outline:
        marks = shown(outline.root)
    expected, number = [], 0
    for place, section in enumerate(sample.SECTIONS, 1):
        inside = []
        for step in section["steps"]:
            number += 1
            inside.append((f"{number} {step['action']}", []))
        expected.append((f"Section {place}: {section['title']}", inside))
    start = next(i for i, (title, _) in enumerate(marks) if title.startswith("Section"))
    assert marks[start : start + len(expected)] == expected
    assert [title for title, _ in marks[:start]] == [
        "Shop procedure",
        "Parts, tools and supplies",
        "Safety",
    ]
    reader = pypdf.PdfReader(io.BytesIO(whole))
    texts = page_texts(whole)
    marked = [entry for group in reader.outline if isinstance(group, list) for entry in group]
    for entry in marked:
        assert flat(entry.title) in texts[reader.get_destination_page_number(entry)]


def test_the_procedure_is_attached_byte_for_byte(opened):
    """ISO 19005-3, 6.8: relationship, media type, and listed as associated."""
    assert [*opened.attachments] == ["procedure.yaml"]
    attached = opened.attachments["procedure.yaml"]
    assert attached.get_file().read_bytes() == sample.YAML
    assert attached.obj.AFRelationship == "/Source"
    assert attached.get_file().mime_type == "application/yaml"
    assert [spec.UF for spec in opened.Root.AF] == ["procedure.yaml"]


def test_links_inside_lead_to_pages_and_links_outside_are_the_clips(opened):
    named = {}
    for name, target in pikepdf.NameTree(opened.Root.Names.Dests).items():
        named[name] = target.D if isinstance(target, pikepdf.Dictionary) else target
    inside, outside = 0, set()
    for link in links(opened):
        assert str(link.Contents)  # ISO 14289-1, 7.18.5
        assert "/StructParent" in link
        if "/A" in link:
            assert link.A.S == "/URI"
            outside.add(str(link.A.URI))
            continue
        target = link.Dest
        target = target if isinstance(target, pikepdf.Array) else named[str(target)]
        assert pikepdf.Page(target[0]).index in range(len(opened.pages))
        inside += 1
    assert inside > 20
    assert outside == set(sample.CLIPS.values())


def test_nothing_in_it_acts(opened):
    """No script, no program started, no form, no sound: ISO 19005-3, 6.5 and 6.6."""
    forbidden = {"/JS", "/JavaScript", "/AA", "/OpenAction", "/Launch", "/AcroForm", "/RichMedia"}
    actions = {"/URI", "/GoTo"}
    for entry in opened.objects:
        for node in dictionaries(entry):
            assert not forbidden & set(node.keys())
            if node.get("/Type") == "/Action" or "/URI" in node:
                assert str(node.S) in actions


def dictionaries(node):
    """Yield the dictionaries in an object, not those of other objects it refers to."""
    if isinstance(node, pikepdf.Stream | pikepdf.Dictionary):
        yield node
        below = [node[key] for key in node.keys()]  # noqa: SIM118 - no iterator over keys
    else:
        below = [*node] if isinstance(node, pikepdf.Array) else []
    for value in below:
        if isinstance(value, pikepdf.Object) and not value.is_indirect:
            yield from dictionaries(value)


def test_every_font_is_embedded_and_can_be_read_out(opened):
    """ISO 19005-3, 6.2.11.4.1 and 6.2.11.7."""
    fonts = [o for o in opened.objects if isinstance(o, pikepdf.Dictionary) and "/BaseFont" in o]
    top = [font for font in fonts if font.Subtype == "/Type0"]
    assert len(top) == 2
    assert all("/ToUnicode" in font for font in top)
    for font in fonts:
        if font.Subtype != "/Type0":
            assert {"/FontFile2", "/FontFile3"} & set(font.FontDescriptor.keys())


def test_stills_are_carried_byte_for_byte_and_nothing_else_is_a_picture(opened):
    inside = {raw for page in opened.pages for raw in pictures(page)}
    given = {still.jpeg for still in sample.stills().values()}
    assert inside == given
    for entry in opened.objects:
        if isinstance(entry, pikepdf.Stream) and entry.get("/Subtype") == "/Image":
            assert (entry.Filter, entry.BitsPerComponent) == ("/DCTDecode", 8)
            assert (entry.Width, entry.Height) == jpeg_size(entry.read_raw_bytes())


def test_a_still_that_is_no_colour_jpeg_is_our_mistake():
    with pytest.raises(ValueError, match="three components"):
        jpeg_size(stand_in(0))


def texts_of(node, path=()):
    """Yield every text of a document with its path."""
    if isinstance(node, str):
        yield path, node
    elif isinstance(node, dict | list):
        for key, value in node.items() if isinstance(node, dict) else enumerate(node):
            yield from texts_of(value, (*path, key))


def put(node, path, text):
    for key in path[:-1]:
        node = node[key]
    node[path[-1]] = text


def poisoned(plain, texts=PAYLOADS):
    """Plant payloads in every free text of a document and return them by their path."""
    planted, fixed = {}, set()
    payloads = cycle(texts)
    for path, text in [*texts_of(plain)]:
        kind = tuple("*" if isinstance(key, int) else key for key in path)
        if kind in fixed or "si" in kind:  # SI values are derived, and not printed
            continue
        for payload in (next(payloads), texts[0]):  # a file name takes not every one
            planted[path] = f"{payload} q{len(planted)}x"
            put(plain, path, planted[path])
            try:
                Procedure.model_validate_json(json.dumps(plain))
                break
            except ValidationError:
                del planted[path]
        else:  # an id, a number, a word of a list
            put(plain, path, text)
            fixed.add(kind)
    return planted


def test_markup_in_any_text_comes_out_as_text():
    plain = as_plain(read_procedure(EVERYTHING).procedure)
    planted = poisoned(plain)
    procedure = Procedure.model_validate_json(json.dumps(plain))
    pdf = make_pdf(check(procedure).draft, {}, yaml=b"", clips={})
    printed = "".join(page_texts(pdf))
    not_printed = {"alt", "text"}  # said of a still; there is none here
    assert len(planted) > 250
    assert [
        (path, text)
        for path, text in planted.items()
        if flat(text) not in printed and path[-1] not in not_printed
    ] == []
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert not [link for link in links(opened) if "/A" in link]
        with opened.open_metadata(set_pikepdf_as_editor=False) as meta:
            assert meta["dc:title"] == plain["title"]


def test_markup_in_the_words_of_a_still_comes_out_as_text():
    document = sample.document()
    still = document["sections"][0]["steps"][0]["still"]
    still["alt"] = " ".join(PAYLOADS)
    still["callouts"][0]["text"] = " ".join(PAYLOADS)
    pdf = make_pdf(sample.draft(**document), sample.stills(), yaml=b"", clips={})
    assert flat(" ".join(PAYLOADS)) in "".join(page_texts(pdf))
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        alts = [str(node.Alt) for node in structure(opened) if "/Alt" in node]
    assert any(alt.count(" ".join(PAYLOADS)) == 2 for alt in alts)


def test_very_long_words_everywhere_stay_on_the_paper():
    """None of it runs off the page, whatever it stands in."""
    plain = as_plain(read_procedure(EVERYTHING).procedure)
    long_words = ["BW-101-2RS/C3_0042.18" * 9, "W" * 120, "Dampfschifffahrtsgesellschaft" * 5]
    planted = poisoned(plain, long_words)
    procedure = Procedure.model_validate_json(json.dumps(plain))
    pdf = make_pdf(check(procedure).draft, {}, yaml=b"", clips={}, paper="us-letter")
    assert len(planted) > 250
    assert outside(pdf, 12 * 72 / 25.4, 5 * 72 / 25.4) == []
