"""Where things stand on the pages, and what the pages look like."""

import random
import subprocess
import sys
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import pytest

from author.errors import Cancelled, MachineError
from author.procedure.values import LINE_LENGTH
from author.progress import Cancel
from author.publish import compiling, typesetting
from author.publish.pdf import make_pdf
from author.resources import font_folder
from publish import golden_pages, sample
from publish.pdf_reading import flat, page_height, page_texts, stills, words
from publish.sample_lists import hazard

MM = 72 / 25.4
# A word of a letter for what it is, and the number of its step: of an action, a way to avoid
# a hazard, and what is printed last.
MARK = r"\bq[avz]\d+x\b"


def some_words(dice: random.Random, most: int) -> str:
    """Return words, some of them very long, up to a number of letters."""
    text = ""
    while len(text) < most - 70:
        text += " " + "m" * dice.choice([2, 3, 5, 8, 8, 60 if dice.random() < 0.1 else 4])
        if dice.random() < 0.08:
            break
    return text.strip() or "so"


def still_of(dice: random.Random, step: dict, number: int) -> dict:
    """Give a step a still, and return it by the step's id."""
    callouts = [
        {"shape": "leader", "at": ["0.5", "0.5"], "text": some_words(dice, 120)}
        for _ in range(dice.randint(0, 4))
    ]
    step["still"] = {"recording": "saw", "at": "1.000000", "alt": "A wheel", "callouts": callouts}
    if not callouts:
        del step["still"]["callouts"]
    size = dice.choice([sample.LANDSCAPE, sample.PORTRAIT])
    return {step["id"]: sample.picture(size, 100 + number)}


def specs_of(dice: random.Random, number: int, most: int) -> list[dict]:
    return [
        {
            "id": f"size-{number}-{place}",
            "characteristic": "Size",
            "quantity": "length",
            "unit": "mm",
            "upper": "1.0",
            "positions": [f"p{k}" for k in range(dice.randint(1, 9))],
        }
        for place in range(dice.randint(1, most))
    ]


def full(dice: random.Random, number: int, warned: bool) -> tuple[dict, dict]:
    """Return a step that takes four fifths of a page, and its still."""
    step = {"id": f"s-{number}", "action": f"Turn qa{number}x.", "not_filmed": f"qz{number}x"}
    if warned:
        step["hazards"] = [hazard("DANGER", "It falls", "It kills", f"Keep qv{number}x.")] * 2
    shown = still_of(dice, step, number)
    step["still"].pop("callouts", None)
    step["specs"] = [
        {**spec, "id": f"size-{number}-{place}", "positions": [f"p{k}" for k in range(6)]}
        for place, spec in enumerate(specs_of(dice, number, 1) * (3 if warned else 4))
    ]
    return step, shown


def crowded(dice: random.Random, count: int, pictured: float = 0.7) -> tuple[list[dict], dict]:
    """Return a section of uneven steps, of which each fits on a page, and their stills."""
    steps, shown = [], {}
    for n in range(1, count + 1):
        if pictured and dice.random() < 0.15:
            step, still = full(dice, n, warned=dice.random() < 0.6)
            steps.append(step)
            shown |= still
            continue
        step = {"id": f"s-{n}", "action": f"Turn qa{n}x {some_words(dice, 160)}."}
        step["not_filmed"] = f"qz{n}x"
        long = dice.random() < 0.2
        count_of = dice.choice([0, 0, 1, 2]) if long else dice.choice([0, 0, 0, 1, 2, 4])
        letters = LINE_LENGTH - 60 if long else 90
        if count_of:
            step["hazards"] = [
                hazard(
                    dice.choice(["DANGER", "WARNING", "CAUTION", "NOTICE"]),
                    some_words(dice, letters),
                    some_words(dice, letters),
                    f"Keep qv{n}x {some_words(dice, letters)}.",
                )
                for _ in range(count_of)
            ]
        if dice.random() < pictured:
            shown |= still_of(dice, step, n)
        if dice.random() < 0.4:
            step["specs"] = specs_of(dice, n, 2)
        if dice.random() < 0.2:
            ways = [{"when": "it is worn", "step": f"s-{dice.randint(1, count)}"}]
            step["decision"] = {"question": "Is it worn?", "ways": [*ways, *ways]}
        steps.append(step)
    return [{"id": "all", "title": "All", "steps": steps}], shown


def set_pages(sections, shown, paper="a4"):
    judged = sample.draft(sections=sections, findings="none")
    return make_pdf(judged, shown, yaml=sample.YAML, clips={}, paper=paper)


def first(spots, mark):
    (spot,) = spots[mark]
    return spot


@pytest.mark.parametrize(
    ("seed", "paper", "count", "pictured"),
    [
        (1, "a4", 60, 0.7),
        (2, "us-letter", 24, 0.7),
        (3, "a4", 12, 1.0),
        (4, "us-letter", 24, 0.0),
        (5, "a4", 1, 1.0),
        (6, "us-letter", 36, 0.8),
        (7, "a4", 24, 0.5),
    ],
)
def test_a_step_that_fits_on_a_page_is_in_one_view(seed, paper, count, pictured):
    """Its hazards, its action, its still and its last line: one page, in this order."""
    sections, shown = crowded(random.Random(seed), count, pictured)
    pdf = set_pages(sections, shown, paper)
    spots, seen = words(pdf, MARK), stills(pdf)
    foot, head = 17 * MM, page_height(pdf) - 21 * MM
    for step in sections[0]["steps"]:
        number = step["id"][2:]
        action, last = first(spots, f"qa{number}x"), first(spots, f"qz{number}x")
        warned = spots.get(f"qv{number}x", [])
        assert len(warned) == len(step.get("hazards", []))
        assert all(w.page == action.page and w.bottom > action.top for w in warned)
        if step["id"] in shown:
            (still,) = seen[shown[step["id"]].jpeg]
            assert still.page == action.page
            assert still.top < action.bottom
            assert still.bottom >= foot
        assert last.page == action.page
        assert last.top < action.bottom
        assert all(s.top <= head + 1 and s.bottom >= foot for s in (action, last, *warned))


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_pages_are_shared_out_so_that_none_stands_half_empty(paper):
    """Steps of a third of a page, and one that takes more than what two of them leave."""
    dice, shown, steps = random.Random(11), {}, []
    for n in range(1, 12):
        step = {"id": f"s-{n}", "action": f"Turn qa{n}x.", "not_filmed": f"qz{n}x"}
        shown |= still_of(dice, step, n)
        step["still"].pop("callouts", None)
        shown[f"s-{n}"] = sample.picture(sample.LANDSCAPE, n)
        if n in {4, 7}:
            step["specs"] = specs_of(random.Random(3), n, 1) * 3
            step["specs"] = [{**s, "id": f"size-{n}-{k}"} for k, s in enumerate(step["specs"])]
        steps.append(step)
    pdf = set_pages([{"id": "all", "title": "All", "steps": steps}], shown, paper)
    lowest = {}
    for spots in words(pdf, r"\bqz\d+x\b").values():
        lowest[spots[0].page] = min(spots[0].bottom, lowest.get(spots[0].page, 1000))
    full = [lowest[page] for page in sorted(lowest)][:-1]
    assert len(full) >= 2
    assert all(end < page_height(pdf) * 0.42 for end in full)


def between_full_pages(middle, shown):
    """Return a PDF in which steps stand between two that each leave little of a page."""
    before, after = (
        {
            "id": f"s-{n}",
            "action": f"Turn qa{n}x.",
            "specs": [
                {
                    **specs_of(random.Random(3), n, 1)[0],
                    "id": f"size-{n}-{k}",
                    "positions": list("abcdef"),
                }
                for k in range(8)
            ],
        }
        for n in (8, 9)
    )
    return set_pages([{"id": "all", "title": "All", "steps": [before, *middle, after]}], shown)


def step_with_still(number, count):
    """Return a step with a still and a measurement at some places."""
    spec = specs_of(random.Random(3), number, 1)[0]
    spec["positions"] = [f"p{k}" for k in range(count)]
    step = {"id": f"s-{number}", "action": f"Turn qa{number}x.", "specs": [spec]}
    step["still"] = {"recording": "saw", "at": "1.000000", "alt": "A wheel"}
    return step


@pytest.mark.parametrize(
    ("size", "width"),
    [
        (sample.LANDSCAPE, 165),  # as wide as the text
        ((840, 480), 142.2),  # as wide as its pixels are at 150 to an inch
        ((640, 360), 110.4),  # not much wider for it, so it stays as it was
        (sample.PORTRAIT, 65),
    ],
)
def test_a_still_alone_on_a_page_that_stays_empty_is_larger(size, width):
    step, shown = step_with_still(1, 2), {"s-1": sample.picture(size, 1)}
    pdf = between_full_pages([step], shown)
    spots = words(pdf, MARK)
    before, own, after = (first(spots, f"qa{n}x").page for n in (8, 1, 9))
    assert before < own < after
    (still,) = stills(pdf)[shown["s-1"].jpeg]
    assert (still.top - still.bottom) / MM == pytest.approx(width * size[1] / size[0], abs=0.2)
    assert still.page == own


def test_a_still_is_not_made_smaller_where_the_step_becomes_longer_for_it():
    """Beside a larger one stands what would have to stand below a smaller one."""
    steps = [step_with_still(n, 24) for n in (1, 2)]
    shown = {step["id"]: sample.picture(sample.PORTRAIT, n) for n, step in enumerate(steps)}
    pdf = between_full_pages(steps, shown)
    spots = words(pdf, MARK)
    assert first(spots, "qa1x").page == first(spots, "qa2x").page
    for step in steps:
        (still,) = stills(pdf)[shown[step["id"]].jpeg]
        assert still.top - still.bottom >= 88 * MM


def letter_size(pdf, letters):
    """Return the size of type of a text of capitals, by how tall they are."""
    spots = words(pdf, letters)[letters]
    return min(spot.top - spot.bottom for spot in spots) / 0.729


@pytest.mark.parametrize("size", [sample.LANDSCAPE, sample.PORTRAIT])
def test_words_over_a_picture_are_of_eight_points_at_least(size):
    callouts = [{"shape": "label", "at": ["0.5", "0.5"], "text": "HEED"}]
    steps = [{"id": f"s-{n}", "action": "Turn."} for n in range(6)]
    for step in steps:
        step["still"] = {"recording": "saw", "at": "1.000000", "alt": "A wheel"}
        step["still"]["callouts"] = callouts
    shown = {step["id"]: sample.picture(size, n) for n, step in enumerate(steps)}
    pdf = set_pages([{"id": "all", "title": "All", "steps": steps}], shown)
    assert letter_size(pdf, "HEED") >= 7.9


@pytest.mark.parametrize(
    ("tail", "text", "beside"),
    [
        (["0.20", "0.20"], "HEED", False),
        (["0.46", "0.46"], "HEED", True),  # it would lie on the head of its own arrow
        (["0.20", "0.78"], "HEED THE OTHER", True),  # it would lie on the ring
    ],
)
def test_words_that_would_cover_what_is_pointed_at_stand_beside(tail, text, beside):
    ring = {"shape": "ring", "at": ["0.2", "0.8"], "size": ["0.1", "0.1"]}
    arrow = {"shape": "arrow", "at": ["0.5", "0.5"], "tail": tail, "text": text}
    still = {"recording": "saw", "at": "1.000000", "alt": "A wheel", "callouts": [ring, arrow]}
    steps = [{"id": "s-1", "action": "Turn.", "still": still}]
    shown = {"s-1": sample.picture(sample.LANDSCAPE, 1)}
    pdf = set_pages([{"id": "all", "title": "All", "steps": steps}], shown)
    with pypdfium2.PdfDocument(pdf) as opened:
        (page, number) = next(
            (page, n)
            for page in (one.get_textpage() for one in opened)
            if (n := page.get_text_range().find("HEED")) >= 0
        )
        left, *_ = page.get_charbox(number)
    assert (left > (18 + 13 + 92) * MM) is beside


def test_a_step_that_no_page_holds_begins_one_and_keeps_hazards_action_and_still_together():
    dice = random.Random(8)
    sections, shown = crowded(dice, 6)
    step = sections[0]["steps"][3]
    step["hazards"] = [
        hazard("DANGER", "It falls", "It kills", f"Keep qv4x {some_words(dice, 300)}.")
        for _ in range(3)
    ]
    step["specs"] = specs_of(dice, 4, 1) * 12
    for place, spec in enumerate(step["specs"]):
        step["specs"][place] = {**spec, "id": f"size-4-{place}"}
    shown |= still_of(dice, step, 4)
    pdf = set_pages(sections, shown)
    spots, seen = words(pdf, MARK), stills(pdf)
    action, (still,) = first(spots, "qa4x"), seen[shown["s-4"].jpeg]
    assert {action.page, still.page} == {w.page for w in spots["qv4x"]} | {still.page}
    assert first(spots, "qz4x").page > action.page
    assert first(spots, "qz3x").page < action.page


def test_more_hazards_than_a_page_holds_are_all_printed():
    sections, shown = crowded(random.Random(9), 3)
    step = sections[0]["steps"][1]
    step["hazards"] = [
        hazard("WARNING", f"qh{n}x" + " m" * 190, "m" + " m" * 190, "m" + " m" * 190)
        for n in range(12)
    ]
    pdf = set_pages(sections, shown)
    printed = words(pdf, r"\bqh\d+x\b")
    assert len(printed) == 12
    pages = {spot.page for spots in printed.values() for spot in spots}
    assert len(pages) > 2


def test_all_limits_stand_on_one_sheet_where_they_can():
    """Rows are set tight rather than begin a second sheet for the last of them."""
    steps = [
        {"id": f"s-{n}", "action": f"Measure qa{n}x.", "specs": specs_of(random.Random(n), n, 1)}
        for n in range(17)
    ]
    for n, step in enumerate(steps):
        step["specs"][0] |= {"positions": ["one", "two"], "characteristic": f"Size qb{n}x"}
    pdf = set_pages([{"id": "all", "title": "All", "steps": steps}], {})
    sheets = {spots[-1].page for spots in words(pdf, r"\bqb\d+x\b").values()}
    assert len(sheets) == 1


@pytest.mark.parametrize(("count", "short"), [(1, True), (3, True), (60, False)])
def test_safety_is_whole_and_on_the_page_of_lists_that_fill_it_only_if_it_fits(count, short):
    tools = [{"id": f"t-{n}", "name": f"Tool {n}"} for n in range(count)]
    lists = dict.fromkeys(("parts", "supplies", "sources", "findings"), "none")
    document = sample.document(tools=tools, stacks="none", general_hazards="none", **lists)
    steps = [
        {"id": f"s-{n}", "action": "Go.", "hazards": [hazard("NOTICE", f"It {n}", None, "Do.")]}
        for n in range(22 if not short else 2)
    ]
    document["sections"] = [{"id": "all", "title": "All", "steps": steps}]
    pdf = make_pdf(sample.draft(**document), {}, yaml=b"", clips={})
    texts = page_texts(pdf)
    assert ("Atsinglesteps" in texts[1]) is short
    page = texts[1 if short else 2]
    assert all(flat(f"It {n}") in page for n in range(len(steps)))


def test_page_numbers_in_the_text_are_those_of_the_pages():
    sections, shown = crowded(random.Random(10), 40)
    pdf = set_pages(sections, shown)
    texts = page_texts(pdf)
    spots = words(pdf, MARK)
    for step in sections[0]["steps"]:
        if "decision" in step:
            target = step["decision"]["ways"][0]["step"][2:]
            page = first(spots, f"qa{target}x").page
            assert f"Gotostep{target}(page{page})" in "".join(texts)


@pytest.mark.parametrize("name", [n for pages in golden_pages.PAGES.values() for n in pages])
def test_pages_look_as_they_did(name, rendered, tmp_path):
    before = cv2.imread(str(golden_pages.FOLDER / f"{name}.png"), cv2.IMREAD_GRAYSCALE)
    now = rendered[name]
    hint = f"look at {tmp_path}; if the change is meant, run: {golden_pages.COMMAND}"
    cv2.imwrite(str(tmp_path / f"{name}.png"), now)
    assert before is not None, hint
    assert before.shape == now.shape, hint
    # Edges and the grain of stills differ a little from one machine to another: compare
    # what is left when both are made a little unsharp.
    soft = [cv2.blur(page, (3, 3)).astype(int) for page in (before, now)]
    apart = np.abs(soft[0] - soft[1])
    assert apart.mean() < 3, hint
    assert (apart > 60).mean() < 0.002, hint


@pytest.fixture(scope="module")
def rendered():
    return golden_pages.rendered()


def folder_with(tmp_path: Path, text: str) -> Path:
    (tmp_path / "page.typ").write_text(text)
    return tmp_path


def test_pages_whose_numbers_move_them_are_given_steady_numbers(tmp_path):
    """With room for any number, the text does not move when the number changes."""
    going_round = (
        '#if "steady" not in sys.inputs { context { pagebreak(); '
        "for n in range(counter(page).final().first()) { pagebreak() } } }\n"
        '#set document(title: "A")\n= A'
    )
    compiler = compiling.compiler(folder_with(tmp_path, going_round), "page", font_folder())
    assert compiling.settled(compiler)


def test_pages_that_do_not_come_to_rest_are_never_handed_out(tmp_path):
    endless = (
        "#context { for n in range(counter(page).final().first()) { pagebreak() } }\n"
        '#set document(title: "A")\n= A'
    )
    folder = folder_with(tmp_path, endless)
    done = subprocess.run(
        [sys.executable, compiling.__file__, folder, "page", font_folder(), folder / "out.pdf"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode != 0
    assert "do not come to rest" in done.stderr
    assert not (folder / "out.pdf").exists()


def test_a_typesetter_that_is_ended_is_told_as_such(monkeypatch, tmp_path):
    script = tmp_path / "killed.py"
    script.write_text("import os, signal\nos.kill(os.getpid(), signal.SIGKILL)\n")
    monkeypatch.setattr(
        "author.publish.typesetting.Path.with_name", lambda _self, _name: script, raising=True
    )
    with pytest.raises(MachineError, match="signal 9"):
        set_pages(sample.many_steps(1), {})


def test_a_typesetter_that_is_ended_with_the_run_is_no_fault(monkeypatch, tmp_path):
    cancel, script = Cancel(), tmp_path / "ended.py"
    script.write_text("import sys\nsys.exit(1)\n")
    monkeypatch.setattr(
        "author.publish.typesetting.Path.with_name", lambda _self, _name: script, raising=True
    )
    monkeypatch.setattr(typesetting, "_LOOK_EVERY", 60)
    cancel.request()
    with pytest.raises(Cancelled):
        typesetting._pages(tmp_path, "order", cancel)


def test_pages_that_cannot_be_written_are_no_fault_of_the_template(monkeypatch):
    real = typesetting._write_files

    def taken(folder, data, files):
        real(folder, data, files)
        (folder / "made.pdf").mkdir()

    monkeypatch.setattr(typesetting, "_write_files", taken)
    with pytest.raises(MachineError, match="could not be set: Is a directory"):
        set_pages(sample.many_steps(1), {})


def test_setting_pages_can_be_cancelled():
    cancel = Cancel()
    cancel.request()
    with pytest.raises(Cancelled):
        make_pdf(sample.draft(), {}, yaml=b"", clips={}, cancel=cancel)
