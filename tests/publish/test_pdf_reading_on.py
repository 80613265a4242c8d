"""Who reads on over the end of a page: skipped steps, whole tables, page numbers in one line."""

import re

import pytest

from author.publish.content import page_data
from author.publish.pdf import make_pdf
from publish import sample
from publish.pdf_reading import flat, page_texts, words
from publish.sample_lists import hazard


def deciding(*ways, **more):
    return {
        "id": "look",
        "action": "Look.",
        "decision": {"question": "Is it worn?", "ways": [*ways]},
        **more,
    }


def step(key, **more):
    return {"id": key, "action": f"Do {key}.", **more}


STOP = {"when": "it is worn twice", "stop": "Tag it."}
GOOD = {"when": "it is sound", "step": "fit"}
WORN = {"when": "it is worn", "step": "mend"}


def draft(*steps, closing=("close",)):
    sections = [
        {"id": "work", "title": "Work", "steps": [*steps]},
        {"id": "end", "title": "End", "steps": [step(key) for key in closing]},
    ]
    return sample.draft(sections=sections, findings="none")


def skips(judged):
    """Return what is said over each step that may be skipped, by its id."""
    steps = (s for section in page_data(judged, {})["sections"] for s in section["steps"])
    return {s["id"]: s["skip"] for s in steps if s["skip"]}


def test_a_step_that_the_decision_before_it_passes_by_says_who_does_it():
    found = skips(draft(deciding(GOOD, WORN, STOP), step("mend"), step("fit")))
    (told,) = found.values()
    assert [*found] == ["mend"]
    assert [s["text"] for s in told["senders"]] == ["step 1"]
    assert [(p["when"], p["reference"]["text"]) for p in told["past"]] == [
        ("it is sound", "step 3")
    ]


def test_whoever_sends_a_reader_to_a_skipped_step_is_named():
    limit = {"id": "size", "characteristic": "Size", "quantity": "length", "unit": "mm"}
    sent = {**limit, "upper": "1.0", "above": {"do": "recover", "how": "Mend it.", "step": "mend"}}
    steps = [step("size", specs=[sent]), deciding(GOOD, STOP), step("mend"), step("fit")]
    back = step("again", goes_to="mend")
    told = skips(draft(*steps, back))["mend"]
    assert [s["text"] for s in told["senders"]] == ["step 1", "step 5"]


def test_a_way_past_may_lead_to_a_section():
    past = {"when": "it is sound", "section": "end"}
    told = skips(draft(deciding(past, WORN), step("mend"), step("fit")))["mend"]
    assert [p["reference"]["to"] for p in told["past"]] == ["section-2"]


@pytest.mark.parametrize(
    "steps",
    [
        # The good case goes on with the next step; others go back, stop or leave.
        [deciding({"when": "it is sound", "step": "mend"}, STOP), step("mend"), step("fit")],
        [step("fit"), deciding(GOOD, WORN), step("mend")],
        [deciding(WORN, {"when": "it is bent", "procedure": {"id": "bend"}}), step("mend")],
        # A draft may name what is not there.
        [deciding({"when": "it is sound", "step": "nowhere"}, WORN), step("mend")],
        [deciding({"when": "it is sound", "section": "nowhere"}, WORN), step("mend")],
        # Without a decision nobody is led past.
        [step("look", goes_to="fit"), step("mend"), step("fit")],
    ],
)
def test_a_step_that_everybody_goes_on_with_says_nothing(steps):
    assert skips(draft(*steps)) == {}


def test_what_may_be_skipped_is_said_above_its_hazards():
    warned = step("mend", hazards=[hazard("WARNING", "It falls", None, "Keep off.")])
    pdf = make_pdf(draft(deciding(GOOD, WORN), warned, step("fit")), {}, yaml=b"", clips={})
    text = "".join(page_texts(pdf))
    told = re.search(r"Skipstep2unlessstep1\(page\d+\)sendsyouhere\.Ifitissound→Gotostep3", text)
    assert told
    assert told.end() < text.rindex(flat("It falls"))


@pytest.mark.parametrize("tools", range(20, 60, 4))
def test_a_short_table_is_not_parted(tools):
    """Whatever stands over it, instruments are all on one page, with their heading."""
    listed = [{"id": f"t-{n}", "name": f"Tool {n}"} for n in range(tools)]
    gauge = next(t for t in sample.document()["tools"] if "measures" in t)
    gauges = [{**gauge, "id": f"g-{n}", "name": f"Gauge qg{n}x"} for n in range(8)]
    judged = sample.draft(
        sections=[{"id": "work", "title": "Work", "steps": [step("fit")]}],
        tools=[*listed, *gauges],
        findings="none",
        stacks="none",
        parts="none",
    )
    spots = words(make_pdf(judged, {}, yaml=b"", clips={}), r"\bqg\d+x\b|Measuring instruments")
    assert len({s.page for found in spots.values() for s in found}) == 1


def test_a_page_number_stands_in_the_line_of_its_step():
    hazards = [hazard("WARNING", "It falls", None, "Keep off.")]
    judged = draft(*(step(f"s-{n}", hazards=hazards) for n in range(13)))
    spots = words(make_pdf(judged, {}, yaml=b"", clips={}), r"step \d+ \(page \d+\)")
    assert len(spots) == 13
