"""The PDF read back: structure, attachment, pictures, text, pages."""

import io
import random
import re
import time

import pikepdf
import pypdf
import pytest

from author.errors import InputError, MachineError
from author.publish.pdf import make_pdf
from publish import sample
from publish.sample_lists import hazard

PAYLOADS = ["#panic()", "$x$", "*a*", "<b>", "`c`", "\\n", "@d", "//e", "${g}", "= h", "</script>"]


def made(judged=None, stills=None, **more):
    """Return the PDF of the sample, or of another procedure."""
    judged = judged or sample.checked()
    stills = sample.stills() if stills is None else stills
    return make_pdf(judged, stills, yaml=sample.YAML, clips=sample.CLIPS, **more)


@pytest.fixture(scope="module")
def whole() -> bytes:
    return made()


@pytest.fixture
def opened(whole):
    with pikepdf.open(io.BytesIO(whole)) as pdf:
        yield pdf


def page_texts(pdf: bytes) -> list[str]:
    """Return the text of each page, spaces and hyphens at line ends made even."""
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return [flat(page.extract_text()) for page in pages]


def flat(text: str) -> str:
    return "".join(re.sub("[\u00ad\u200b-]", "", text).split())


def structure(pdf: pikepdf.Pdf):
    """Yield every element of the structure tree."""
    todo = [pdf.Root.StructTreeRoot]
    while todo:
        node = todo.pop()
        yield node
        children = node.get("/K", [])
        children = children if isinstance(children, pikepdf.Array) else [children]
        todo += [c for c in children if isinstance(c, pikepdf.Dictionary) and "/S" in c]


def pictures(page: pikepdf.Page) -> list[bytes]:
    """Return the coded bytes of the pictures a page draws."""
    drawn = page.Resources.get("/XObject", {}).values()
    return [x.read_raw_bytes() for x in drawn if x.Subtype == "/Image"]


def test_the_same_input_gives_the_same_bytes(whole):
    assert made() == whole


def test_it_says_which_standards_it_keeps(opened):
    with opened.open_metadata() as meta:
        assert (meta["pdfaid:part"], meta["pdfaid:conformance"]) == ("3", "A")
        assert meta["pdfuaid:part"] == "1"
        assert meta["dc:title"] == sample.FRONT["title"]
    assert opened.Root.Lang == "en"
    assert opened.Root.MarkInfo.Marked
    assert opened.Root.ViewerPreferences.DisplayDocTitle


def test_the_procedure_is_attached_byte_for_byte(opened):
    assert [*opened.attachments] == ["procedure.yaml"]
    attached = opened.attachments["procedure.yaml"]
    assert attached.get_file().read_bytes() == sample.YAML
    assert attached.obj.AFRelationship == "/Source"
    assert attached.get_file().mime_type == "application/yaml"


def test_sections_and_steps_are_bookmarked(opened):
    with opened.open_outline() as outline:
        marks = {item.title: [child.title for child in item.children] for item in outline.root}
    assert [t for t in marks if t.startswith("Section")] == [
        "Section 1: Removal",
        "Section 2: Inspection",
        "Section 3: Fitting",
    ]
    assert marks["Section 3: Fitting"][1] == "6 Fit a new tab washer and tighten the axle nut."


def test_every_still_has_words_for_it(opened):
    alts = [str(node.Alt) for node in structure(opened) if "/Alt" in node]
    for section in sample.SECTIONS:
        for step in section["steps"]:
            if "still" in step:
                assert any(step["still"]["alt"] in alt for alt in alts)
            for callout in step.get("still", {}).get("callouts", []):
                assert any(callout["text"] in alt for alt in alts)
    assert any(alt.startswith("Tightening order: A, then C, then B") for alt in alts)


def test_hazard_panels_are_read_in_order(whole):
    """ANSI Z535.6; OASIS DITA hazardstatement: word, hazard, consequence, avoidance, then act."""
    for section in sample.SECTIONS:
        for step in section["steps"]:
            page = next(t for t in page_texts(whole) if flat(step["action"]) in t)
            for message in step.get("hazards", []):
                parts = [message.get(k) for k in ("signal", "hazard", "consequence", "avoid")]
                signal, what, *rest = [flat(p) for p in parts if p]
                places = [page.index(p) for p in (what, *rest, flat(step["action"]))]
                assert places == sorted(places)
                assert signal in page[: places[0]]


def test_stills_are_carried_byte_for_byte(opened):
    inside = [p for page in opened.pages for p in pictures(page)]
    for still in sample.stills().values():
        assert still.jpeg in inside


def test_fonts_are_embedded(opened):
    fonts = [o for o in opened.objects if isinstance(o, pikepdf.Dictionary)]
    described = [o for o in fonts if o.get("/Type") == "/FontDescriptor"]
    assert described
    assert all(o.get("/FontFile2") or o.get("/FontFile3") or o.get("/FontFile") for o in described)


def test_ways_on_name_pages_and_lead_there(whole, opened):
    texts = page_texts(whole)
    page = 1 + next(i for i, t in enumerate(texts) if "Pressineachnewbearing" in t)
    assert f"Gotostep5(page{page})" in "".join(texts)
    links = [a for p in opened.pages for a in p.get("/Annots", []) if a.Subtype == "/Link"]
    assert any("/Dest" in a or a.get("/A", {}).get("/S") == "/GoTo" for a in links)
    places = {str(a.A.URI) for a in links if a.get("/A", {}).get("/S") == "/URI"}
    assert "clips/01-guard-off.mp4" in places


@pytest.mark.parametrize("word", ["Demo data", "upper-wheel-bearings, revision 3", "In review"])
def test_every_page_says_what_it_is(whole, word):
    assert all(flat(word) in text for text in page_texts(whole))


def test_pages_are_counted(whole):
    texts = page_texts(whole)
    assert all(f"Page{n}of{len(texts)}" in t for n, t in enumerate(texts, 1))


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("us-letter", (612, 792))])
def test_paper(paper, size):
    for page in pypdf.PdfReader(io.BytesIO(made(paper=paper))).pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == size


def test_only_a_draft_is_marked_on_every_page(whole):
    assert not any("DRAFT" in text for text in page_texts(whole))
    assert all(text.count("DRAFT") >= 2 for text in page_texts(made(sample.draft())))


def test_a_withdrawn_procedure_is_marked_on_every_page():
    pages = page_texts(made(sample.draft(state="withdrawn")))
    assert all("Withdrawn,donotuse" in text for text in pages)


def test_what_holds_the_unit_stands_on_the_front(whole):
    front = page_texts(whole)[0]
    assert "HOLD" in front
    assert flat("Released only by: Tool room supervisor") in front
    assert "HOLD" not in page_texts(made(sample.draft(findings="none")))[0]


def test_markup_comes_out_as_text():
    everything = " ".join(PAYLOADS)

    def poisoned(value, key=""):
        if isinstance(value, dict):
            return {k: poisoned(v, k) for k, v in value.items()}
        if isinstance(value, list):
            return [poisoned(v, key) for v in value]
        free = {"title", "what", "how", "text", "alt", "action", "reason", "note", "name", "when"}
        more = {"hazard", "consequence", "avoid", "look_for", "accept", "otherwise", "question"}
        return f"{value} {everything}" if key in free | more else value

    document = {k: poisoned(v, k) for k, v in sample.document().items() if k != "sections"}
    document["sections"] = poisoned(sample.document()["sections"][:1])
    pdf = made(sample.draft(**document))
    text = "".join(page_texts(pdf))
    assert text.count(flat(everything)) > 20
    with pikepdf.open(io.BytesIO(pdf)) as opened, opened.open_metadata() as meta:
        assert meta["dc:title"].endswith(everything)


def test_very_long_words_are_broken_and_stay_whole_in_copied_text():
    word = "BW-101-2RS/C3_0042.18" * 15
    document = sample.document(title=word)
    document["sections"][0]["steps"][0]["action"] = word
    document["parts"][0]["number"] = word
    pdf = made(sample.draft(**document))
    assert "".join(page_texts(pdf)).count(flat(word)) >= 3
    longest = 0
    for page in pypdf.PdfReader(io.BytesIO(pdf)).pages:
        lines = page.extract_text().splitlines()
        longest = max([longest, *(len(line) for line in lines)])
    assert longest < 150


def test_without_stills_and_with_one_step():
    one = [{"id": "only", "title": "Only", "steps": [{"id": "go", "action": "Look at it."}]}]
    lists = dict.fromkeys(
        ("parts", "tools", "supplies", "sources", "findings", "close_outs", "people"), "none"
    )
    pdf = made(sample.draft(sections=one, general_hazards="none", stacks="none", **lists), {})
    text = "".join(page_texts(pdf))
    assert "Lookatit." in text
    assert "None." in text
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert not any(pictures(page) for page in opened.pages)
    assert "Measurethebore" in "".join(page_texts(made(sample.draft(), {})))


def test_sixty_steps_take_seconds():
    stills = {f"turn-{n}": sample.picture(sample.LANDSCAPE, n) for n in range(1, 61)}
    judged = sample.draft(sections=sample.many_steps(60), findings="none")
    start = time.perf_counter()
    pdf = made(judged, stills)
    assert time.perf_counter() - start < 8  # about 1.5 s on two free cores
    assert len(pdf) <= 1.1 * sum(len(s.jpeg) for s in stills.values())
    assert "60Turnthewheel" in "".join(page_texts(pdf))


def test_characters_without_a_glyph_are_refused():
    document = sample.document()
    document["sections"][1]["steps"][0]["reason"] = "日本"
    with pytest.raises(InputError, match=r"step 4 \(measure-bore\).*U\+65E5"):
        made(sample.draft(**document))


def crowded(seed: int) -> tuple[list[dict], dict]:
    """Return a section of uneven steps, and their stills."""
    dice = random.Random(seed)
    steps, stills = [], {}
    for n in range(1, 31):
        words = " ".join(f"w{n}x{i}" for i in range(dice.randint(3, 40)))
        step = {"id": f"s-{n}", "action": f"Turn mark{n}end {words}."}
        step["hazards"] = [
            hazard(dice.choice(["DANGER", "NOTICE"]), "A", None, f"Avoid{n}n{i} {words}.")
            for i in range(dice.randint(0, 3))
        ]
        if not step["hazards"]:
            del step["hazards"]
        if dice.random() < 0.8:
            step["still"] = {"recording": "saw", "at": "1.000000", "alt": "A wheel"}
            size = dice.choice([sample.LANDSCAPE, sample.PORTRAIT])
            stills[step["id"]] = sample.picture(size, 100 + n)
        if dice.random() < 0.5:
            step["specs"] = [
                {
                    "id": f"size-{n}-{i}",
                    "characteristic": "Size",
                    "quantity": "length",
                    "unit": "mm",
                    "upper": "1.0",
                    "positions": [f"p{k}" for k in range(dice.randint(1, 9))],
                }
                for i in range(dice.randint(1, 6))
            ]
        steps.append(step)
    return [{"id": "all", "title": "All", "steps": steps}], stills


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("seed", [1, 2])
def test_a_hazard_stays_on_the_page_of_its_action_and_still(paper, seed):
    sections, stills = crowded(seed)
    pdf = made(sample.draft(sections=sections, findings="none"), stills, paper=paper)
    texts = page_texts(pdf)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        shown = [pictures(page) for page in opened.pages]
    for step in sections[0]["steps"]:
        (page,) = [i for i, t in enumerate(texts) if flat(step["action"]) in t]
        for message in step.get("hazards", []):
            assert [i for i, t in enumerate(texts) if flat(message["avoid"]) in t] == [page]
        if step["id"] in stills:
            assert stills[step["id"]].jpeg in shown[page]


def test_a_full_disk_is_one_clear_error(monkeypatch):
    def full(*_args, **_kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.write_bytes", full)
    with pytest.raises(MachineError, match="No space left"):
        made(sample.draft())
