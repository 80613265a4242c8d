"""The PDF read back: structure, attachment, pictures, text, pages."""

import io

import pikepdf
import pypdf
import pytest

from author.errors import InputError, MachineError
from author.publish.pdf import make_pdf
from publish import sample
from publish.pdf_reading import flat, page_texts, pictures, structure


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


def test_the_same_input_gives_the_same_bytes(whole):
    assert made() == whole


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


def test_ways_on_name_pages_and_lead_there(whole, opened):
    texts = page_texts(whole)
    page = 1 + next(i for i, t in enumerate(texts) if "Pressineachnewbearing" in t)
    assert f"Gotostep5(page{page})" in "".join(texts)
    links = [a for p in opened.pages for a in p.get("/Annots", []) if a.Subtype == "/Link"]
    assert links


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


def test_when_a_finding_is_due_stands_in_the_list_and_beside_a_hold():
    plain = {
        "id": "guide", "what": "The guide is worn.", "state": "deferred", "holds": True,
        "released_by": "supervisor", "due": "at the next service",
    }  # fmt: skip
    pages = page_texts(made(sample.draft(findings=[plain])))
    due = flat("Due: at the next service.")
    assert due in pages[0]
    assert due in "".join(pages[1:])


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


def test_characters_without_a_glyph_are_refused():
    document = sample.document()
    document["sections"][1]["steps"][0]["reason"] = "日本"
    with pytest.raises(InputError, match=r"step 4 \(measure-bore\).*U\+65E5"):
        made(sample.draft(**document))


def test_a_full_disk_is_one_clear_error(monkeypatch):
    def full(*_args, **_kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.write_bytes", full)
    with pytest.raises(MachineError, match="No space left"):
        made(sample.draft())
