"""The document of the work page: whole, labelled, closed to what is not its own."""

import hashlib
import json
import re
import subprocess
from collections import Counter
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from publish.test_content import strings
from publish.test_palette import contrast

from author.checks.verdict import check
from author.contract import read_procedure
from author.contract.procedure_file import as_plain
from author.procedure.cues import Cue
from author.procedure.document import Procedure
from author.publish import palette
from author.publish.page import SCRIPTS, PageClip, PagePicture, colours, work_page
from author.publish.page.building import page_script, sentences
from author.publish.page.callouts import callout_shapes
from author.publish.page.pattern import pattern_drawing
from author.resources import schema_folder
from page import small_page
from page.node_page import names_in, script_text
from page.read_html import read_html

VALID = sorted((schema_folder() / "examples" / "valid").glob("*.yaml"))
HOSTILE = "\"'><img src=x onerror=alert(1)></script><style>*{}</style>{{ 7 * 7 }}&lt;b&gt; ]]>"
MOST_SCRIPT = 60_000


def page_of(procedure):
    """Return the page of a procedure with a picture and a clip for each step that has one."""
    steps = [p.step for p in procedure.placed_steps()]
    pictures = {s.id: PagePicture(f"stills/{s.id}.jpg", 1280, 720) for s in steps if s.still}
    starts = (Decimal(0), Decimal("0.5"))
    cues = (Cue(Decimal(0), Decimal(1), f"Words {HOSTILE}"),)
    clips = {
        s.id: PageClip(f"clips/{s.id}.mp4", 1280, 720, starts, Decimal(1), cues)
        for s in steps
        if s.clip
    }
    return work_page(check(procedure).draft, pictures, clips, content="0" * 64)


@pytest.fixture(scope="module")
def document():
    procedure = read_procedure(schema_folder() / "examples/valid/everything-once.yaml").procedure
    return read_html(page_of(procedure)["index.html"])


def hostile(node, key=""):
    """Return plain data with something nasty behind every text that is free."""
    if isinstance(node, dict):
        # Names of fasteners are given again in their order.
        return {k: v if k == "fasteners" else hostile(v, k) for k, v in node.items()}
    if isinstance(node, list):
        return [hostile(v, key) for v in node]
    free = {
        "title", "purpose", "notice", "name", "what", "role", "skill", "action", "reason", "note",
        "hazard", "consequence", "avoid", "alt", "text", "characteristic", "where", "how", "when",
        "look_for", "accept", "otherwise", "question", "stop", "thread", "threads", "number",
        "give_up_when", "may_damage", "allowed_because", "no_return", "amount", "datum",
        "not_filmed", "grade_reason", "follow_on", "orientation", "limits_of_use", "order_if",
        "applies_to", "bears_on", "grade_words", "shows", "due",
    }  # fmt: skip
    # An id has no space; what is called a number of a part may have none either.
    is_text = isinstance(node, str) and key in free and (" " in node or key in {"name", "number"})
    return f"{node} {HOSTILE}" if is_text and len(node) < 300 else node


def test_the_same_input_gives_the_same_bytes():
    judged = small_page.draft()
    files, again = small_page.page_files(judged), small_page.page_files(judged)
    # By their hashes: told apart letter by letter they would take minutes and all memory.
    digests = [{n: hashlib.sha256(d).hexdigest() for n, d in f.items()} for f in (files, again)]
    assert digests[0] == digests[1]
    assert [*files] == ["index.html", "page.css", "page.js"]


@pytest.mark.parametrize("file", VALID, ids=lambda f: f.stem)
def test_hostile_text_comes_out_as_text(file):
    plain = as_plain(read_procedure(file).procedure)
    calm = read_html(page_of(Procedure.model_validate(plain))["index.html"])
    files = page_of(Procedure.model_validate(hostile(plain)))
    nasty = read_html(files["index.html"])
    counts = [Counter(e.tag for e in shown.elements) for shown in (nasty, calm)]
    assert [*(counts[0] - counts[1]), *(counts[1] - counts[0])] == []
    attributes = {name for e in nasty.elements for name in e.attributes}
    assert attributes == {name for e in calm.elements for name in e.attributes}
    assert not [name for name in attributes if name.startswith("on") or name == "style"]
    assert nasty.text.count("onerror=alert(1)") > 20
    assert b"onerror" not in files["page.css"]
    for block in ("facts", "media"):
        text = nasty.with_id(block).text
        assert not set("<>&\u2028\u2029") & set(text)
        json.loads(text)


@pytest.mark.parametrize("file", VALID, ids=lambda f: f.stem)
def test_no_words_of_the_document_are_left_out(file):
    procedure = read_procedure(file).procedure
    document = read_html(page_of(procedure)["index.html"])
    kept = {"alt", "aria-label", "value"}
    told = [v or "" for e in document.elements for k, v in e.attributes.items() if k in kept]
    printed = re.sub(r"\s+", " ", " ".join([document.text, *told]))
    words = [(path, text) for path, text in strings(as_plain(procedure)) if " " in text]
    assert len(words) > 20
    missing = [(path, text) for path, text in words if text not in printed]
    assert missing == []


def test_every_control_has_a_name(document):
    labels = {e.attributes["for"] for e in document.all("label")}
    fields = document.all("input", "select", "textarea")
    assert len(fields) > 50
    assert [f.attributes for f in fields if f.attributes.get("id") not in labels] == []
    nameless = [
        press.attributes
        for press in document.all("button", "a")
        if not (press.text.strip() or press.attributes.get("aria-label"))
    ]
    # These the script gives their words before they are seen.
    filled = [{"data-act": "doReaction"}, {"id": "go-on"}, {"href": "#start", "class": "act"}]
    assert [a for a in nameless if not any(f.items() <= a.items() for f in filled)] == []


def test_every_button_of_the_document_does_something(document):
    acts = {e.attributes["data-act"] or "" for e in document.elements if "data-act" in e.attributes}
    assert len(acts) > 20
    table = script_text("main").partition("const ACTS = {")[2].partition("\n};")[0]
    plain = [line for line in table.splitlines() if re.fullmatch(r"(  |\w+,? ?)+", line)]
    named = re.findall(r"^  (\w+):", table, re.MULTILINE)
    assert acts == {*re.findall(r"\w+", " ".join(plain)), *named}


def test_ids_are_there_once_and_references_find_them(document):
    ids = Counter(e.attributes["id"] for e in document.elements if "id" in e.attributes)
    assert [key for key, count in ids.items() if count > 1] == []
    names = ("aria-labelledby", "aria-describedby", "for")
    found = [
        k for e in document.elements for n in names for k in (e.attributes.get(n) or "").split()
    ]
    links = [e.attributes.get("href") or "" for e in document.all("a", "use")]
    assert [link for link in links if link and not link.startswith("#")] == []
    asked = {*found, *(link[1:] for link in links if link)}
    assert len(asked) > 100
    assert asked - ids.keys() == set()


def test_headings_go_down_by_one(document):
    levels = [int(e.tag[1]) for e in document.all("h1", "h2", "h3", "h4")]
    assert levels.count(1) == 1
    assert all(later <= before + 1 for before, later in pairwise(levels))
    screens = [
        e for e in document.elements if "screen" in (e.attributes.get("class") or "").split()
    ]
    titles = [document.with_id(e.attributes["aria-labelledby"] or "") for e in screens]
    assert {(e.tag, e.attributes.get("tabindex")) for e in titles} == {("h2", "-1")}


def test_nothing_is_asked_of_a_network(document):
    policy = next(e for e in document.all("meta") if "http-equiv" in e.attributes)
    assert (policy.attributes["content"] or "").startswith("default-src 'none'; script-src 'self'")
    for element in document.elements:
        for name in ("src", "href", "poster", "data-poster"):
            target = element.attributes.get(name) or ""
            assert re.fullmatch(r"(#[\w-]*|page\.(css|js)|(stills|clips)/[\w.-]+|data:,)?", target)
    files = small_page.page_files(small_page.draft())
    assert b"url(" not in files["page.css"]
    assert b"@import" not in files["page.css"]
    words = (
        r"fetch|XMLHttp|import\s*\(|\beval\b|innerHTML|insertAdjacent|document\.write|new Function"
    )
    # A clip that the page shows anyway, from a server that sends it as a whole only.
    assert re.findall(words, files["page.js"].decode()) == ["fetch", "fetch"]
    # Its name of the film is made short there.
    assert re.search(rb"fetch\(\w+\.currentSrc\)", files["page.js"])


def test_a_draft_is_marked_and_its_language_told():
    shown = read_html(small_page.page_files(small_page.draft(language="de-AT"))["index.html"])
    assert shown.all("html")[0].attributes["lang"] == "de-AT"
    header = shown.all("header")[0]
    assert "DRAFT: not for use" in header.text
    assert "Demo data" in header.text


def test_hazards_stand_before_the_action_and_the_clip(document):
    step = next(e for e in document.elements if e.attributes.get("data-hazard") == "0").around[-2]
    assert step.tag == "article"
    within = [e for e in document.elements if step in e.around]
    order = [(e.attributes.get("class") or "").split()[:1] for e in within]
    kinds = [k[0] for k in order if k and k[0] in {"hazards", "action", "columns"}]
    assert kinds == ["hazards", "action", "columns"]


def test_without_script_everything_stands_there_and_it_is_said(document):
    line = document.all("noscript")[0].text
    assert "This browser runs no script" in line
    assert all("controls" in e.attributes for e in document.all("video"))


def test_the_script_is_small_whole_and_uses_no_name_twice(tmp_path):
    script = page_script()
    assert len(script.encode()) <= MOST_SCRIPT
    names = Counter(n for s in SCRIPTS for n in names_in(script_text(s)))
    assert [name for name, count in names.items() if count > 1] == []
    file = tmp_path / "page.js"
    file.write_text(script)
    subprocess.run(["node", "--check", str(file)], check=True)


def test_each_sentence_of_the_scripts_is_there_and_none_is_left_over():
    told = sentences()
    called = re.findall(r'\bsentence\("(\w+)"', "".join(script_text(s) for s in SCRIPTS))
    kinds = re.findall(r'notKept\("(\w+)"', script_text("keeping"))
    kinds += ["full", "denied", "other_content", "broken"]
    kinds += ["instrument", "reading", "reaction", "round", "point", "part"]
    assert told.keys() == {*called, *kinds}


@pytest.mark.parametrize("theme", [colours.LIGHT, colours.DARK])
def test_words_and_edges_stand_out(theme):
    """WCAG 2.2, 1.4.3 for words and 1.4.11 for what controls are known by."""
    for ink, ground in (
        ("ink", "paper"), ("ink", "tint"), ("quiet", "paper"), ("quiet", "tint"),
        ("link", "paper"), ("link", "tint"), ("act-ink", "act"),
    ):  # fmt: skip
        assert contrast(theme[ink], theme[ground]) >= 4.5, (ink, ground)
    for edge in ("edge", "focus"):
        assert contrast(theme[edge], theme["paper"]) >= 3


def test_verdicts_and_bars_stand_out():
    fixed = colours.FIXED
    for name in ("accept", "reject", "cannot-tell", "bar"):
        assert contrast(fixed[name], fixed[f"{name}-ink"]) >= 4.5
    # "Read" in a hazard panel, which is white by day and by night.
    assert contrast(fixed["accept"], palette.PAPER) >= 4.5


SHARES = st.floats(0, 1)


@given(
    st.sampled_from(["arrow", "ring", "box", "label", "leader"]),
    st.tuples(SHARES, SHARES),
    st.one_of(st.none(), st.tuples(SHARES, SHARES)),
    st.one_of(st.none(), st.tuples(st.floats(0.01, 1), st.floats(0.01, 1))),
    st.text("abc ", min_size=1, max_size=60),
)
def test_callouts_are_drawn_within_the_picture(shape, at, tail, size, text):
    callout = {
        "shape": shape, "at": [*at], "tail": tail and [*tail], "size": size and [*size],
        "text": text, "number": 1 if shape == "leader" else None,
    }  # fmt: skip
    drawn = callout_shapes([callout], 1280, 720)
    assert sum(len(drawn[k]) for k in ("heads", "rings", "boxes", "discs", "plates")) >= 1
    for plate in drawn["plates"]:
        assert plate["text"] == text
        assert all(0 <= n <= 1000 for n in plate["place"].values())


def test_an_arrow_points_at_its_place():
    callout = {
        "shape": "arrow", "at": [0.5, 0.5], "tail": [0.25, 0.5], "size": None,
        "text": None, "number": None,
    }  # fmt: skip
    drawn = callout_shapes([callout], 200, 100)
    assert drawn["lines"] == [("25.00%", "50.00%", "50.00%", "50.00%")]
    assert drawn["heads"][0][2] == "M0 0L-1.150 -0.500L-1.150 0.500Z"


def test_words_on_a_picture_have_numbers_of_their_own_after_those_of_leaders():
    shapes = [("arrow", "edge"), ("leader", "screw"), ("ring", None), ("box", "hook")]
    callouts = [
        {
            "shape": shape, "at": [0.5, 0.5], "tail": None, "size": None, "text": text,
            "number": 1 if shape == "leader" else None,
        }
        for shape, text in shapes
    ]  # fmt: skip
    drawn = callout_shapes(callouts, 200, 100)
    key = [(sign["number"], sign["text"], sign["led"]) for sign in drawn["key"]]
    assert key == [(1, "screw", True), (2, "edge", False), (3, "hook", False)]
    assert [(plate["number"], plate["text"]) for plate in drawn["plates"]] == [
        (2, "edge"),
        (3, "hook"),
    ]


def test_a_pattern_is_numbered_in_tightening_order_and_joined():
    pattern = [
        {"shown": "A", "at": [0.2, 0.2], "rank": 1},
        {"shown": "B", "at": [0.8, 0.21], "rank": 3},
        {"shown": "a very long name of a screw", "at": [0.8, 0.8], "rank": 2},
        {"shown": "D", "at": [0.2, 0.8], "rank": None},
    ]
    drawn = pattern_drawing(pattern)
    shown = [(c["inside"], c["beside"]) for c in drawn["circles"]]
    assert shown == [("A", "1st"), ("B", "3rd"), ("2nd", "a very long n…"), ("D", "–")]
    assert len(drawn["lines"]) == 2
    inside = [
        0 < c["x"] < drawn["width"] and 0 < c["y"] < drawn["height"] for c in drawn["circles"]
    ]
    assert all(inside)
    assert abs(drawn["circles"][0]["y"] - drawn["circles"][1]["y"]) < 5


def test_a_torque_is_not_called_so_twice():
    plain = small_page.document()
    (torque,) = plain["sections"][0]["steps"][2]["torques"]
    heads = []
    for name in ("Guard screws", "Torque of the guard screws"):
        torque["characteristic"] = name
        judged = check(Procedure.model_validate(plain)).draft
        page = work_page(judged, {}, {}, content="0" * 64)["index.html"].decode()
        heads += re.findall(r'<h3 id="[^"]*-name">([^<]*[Ss]crews)', page)
    assert heads == ["Torque: Guard screws", "Torque of the guard screws"]
